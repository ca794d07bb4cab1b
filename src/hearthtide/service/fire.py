"""The fire of a live night, kept up to the minute: what burns, what the stone will do, when it is shut."""

from __future__ import annotations

from itertools import pairwise

from hearthtide.planning.night import Prepared
from hearthtide.planning.problem import Closed
from hearthtide.service.facts import Facts
from hearthtide.service.shown import ShownFire, ShownFlameChange, ShownFloor
from hearthtide.service.stove import Burnt, back_s, burnt_on, cold, foreseen, level_at, read

AHEAD_S = (600, 1200, 1800)  # the stone answers a flame after 5 to 10 minutes: three times that is shown
CHANGES_S = 5400  # flame changes are told so long ahead; own choice


class Fire:
    """One oven's evening, brought on by `at` and asked after that."""

    def __init__(self, ready: Prepared, lit_s: int, ambient_C: float, low_C: float) -> None:
        self._ready, self._low_C = ready, low_C
        self._burnt: Burnt = cold(ready.ahead, ambient_C, lit_s)
        self._readings = 0
        self._was_out = False
        self._shut: Closed | None = None
        self._shown: tuple[int, ShownFire] | None = None

    def at(self, facts: Facts, now_s: int) -> None:
        """Brings the oven up to now, and takes in what was read of the floor since."""
        night, flame = self._ready.ahead, self._ready.flame
        self._burnt = burnt_on(self._burnt, night, flame, facts, now_s, shut_s=self._shut_s)
        floor = [taken for taken in facts.readings if taken.reading.of == "floor"]
        for taken in floor[self._readings :]:
            self._burnt = read(self._burnt, self._ready.ahead, taken)
            self._shown = None
        self._readings = len(floor)

    def shut(self, facts: Facts, now_s: int) -> tuple[Closed, ...]:
        """The whole stone: until it is first in its band; without a flame or in danger, until it is back."""
        out = facts.flame_out is not None or bool(facts.dangers)
        until_s = 0 if self._shut is None else self._shut.until_s
        if (out and until_s < now_s + 60) or (self._was_out and not out):
            self._shut = self._everywhere(now_s, self._back_s(facts, now_s))
        self._was_out = out
        first_s = self._ready.flame.ready_s
        if self._shut is None and first_s is not None and now_s < first_s:
            self._shut = self._everywhere(now_s, first_s)
        if self._shut is not None and self._shut.until_s <= now_s:
            self._shut = None
        return () if self._shut is None else (self._shut,)

    def shown(self, facts: Facts, now_s: int) -> ShownFire:
        """As screens draw it; worked out once a minute, and anew after a reading or another flame."""
        night, flame = self._ready.ahead, self._ready.flame
        level = level_at(flame, facts, night, now_s).name
        if self._shown is not None:
            minute, last = self._shown
            if minute == now_s // 60 and last.level == level:
                return last
        ahead = foreseen(self._burnt, night, flame, facts, AHEAD_S, self._shut_s)
        now = ShownFire(
            level=level,
            out_since_s=None if facts.flame_out is None else facts.flame_out.at_s,
            floor=tuple(
                ShownFloor(float(t), round(c, 1)) for t, c in zip(ahead.at_s, ahead.zone_C, strict=True)
            ),
            changes=self._changes(now_s),
            heat_C=tuple(round(c, 1) for c in ahead.heat_C),
            read_C=self._burnt.read_C,
            read_s=None if self._burnt.read_C is None else self._burnt.read_s,
        )
        self._shown = now_s // 60, now
        return now

    @property
    def _shut_s(self) -> int:
        """Until when nothing new goes on the stone."""
        return 0 if self._shut is None else self._shut.until_s

    def _changes(self, now_s: int) -> tuple[ShownFlameChange, ...]:
        return tuple(
            ShownFlameChange(float(held.start_s), held.level.name, held.level.power_W > before.level.power_W)
            for before, held in pairwise(self._ready.flame.held)
            if now_s <= held.start_s < now_s + CHANGES_S
        )

    def _everywhere(self, now_s: int, until_s: int) -> Closed:
        from_s = now_s if self._shut is None else self._shut.from_s
        return Closed((1 << len(self._ready.problem.places.spots)) - 1, from_s, until_s)

    def _back_s(self, facts: Facts, now_s: int) -> int:
        return back_s(self._burnt, self._ready.ahead, self._ready.flame, facts, now_s, self._low_C)
