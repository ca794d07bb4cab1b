"""What was told and is no fact of its own: acts undone, that wait; food that a probe says is slower."""

from __future__ import annotations

from collections.abc import Iterator

from hearthtide.house.models import House
from hearthtide.planning.happened import Told, probed_s
from hearthtide.planning.night import Prepared
from hearthtide.planning.told import Running
from hearthtide.quantities.show import clock_text
from hearthtide.service.commands import Event, MoveDone, Undo
from hearthtide.service.facts import Facts, Taken
from hearthtide.service.follow import ActKey, Besides

WAITS_S = 12.0  # an act taken back is due so soon again: the hand is still at it; own choice
REMEMBERED = 400  # acts told of late that an undo may mean


class Heard:
    """Events as they come; `besides` then says what of them the plan has to know."""

    def __init__(self, house: House, ready: Prepared) -> None:
        self._told = Told(house, ready)
        self._acts: dict[str, ActKey] = {}
        self._put_off: dict[ActKey, float] = {}
        self._probed: dict[tuple[str, int, float, float], float | str] = {}

    def hear(self, event: Event) -> None:
        """One event that was taken."""
        what = event.command.what
        if isinstance(what, MoveDone):
            key = (what.item, what.act, what.nth)
            self._put_off.pop(key, None)
            self._acts[event.command.id] = key
            if len(self._acts) > REMEMBERED:
                self._acts.pop(next(iter(self._acts)))
        elif isinstance(what, Undo) and what.of in self._acts:
            self._put_off[self._acts.pop(what.of)] = event.command.at_s + WAITS_S

    def besides(self, running: Running, facts: Facts) -> tuple[Besides, tuple[str, ...]]:
        """What the facts alone do not say, and readings the models cannot follow, in words."""
        seen: dict[str, float] = {}
        odd = []
        for key, answer in self._probes(running, facts):
            if isinstance(answer, str):
                odd.append(answer)
            else:
                seen[key] = answer
        return Besides(dict(self._put_off), seen), tuple(odd)

    def _probes(self, running: Running, facts: Facts) -> Iterator[tuple[str, float | str]]:
        """For each plate probed in the stage it is in, when that stage will be done, or why nobody knows."""
        last: dict[str, Taken] = {
            taken.reading.item: taken
            for taken in facts.readings
            if taken.reading.of == "core" and taken.reading.item is not None
        }
        for placed in (p for b in running.schedule.booked for p in b.placed if p.item.key in last):
            taken = last[placed.item.key]
            for stay in placed.stays:
                if stay.start_s < taken.at_s < stay.held_until_s and stay.start_s <= running.now_s:
                    known = (placed.item.key, stay.stage, taken.at_s, taken.reading.temperature_C)
                    if known not in self._probed:
                        self._probed[known] = self._asked(placed.item.key, running, taken, stay.stage)
                    yield placed.item.key, self._probed[known]

    def _asked(self, key: str, running: Running, taken: Taken, stage: int) -> float | str:
        placed = next(p for b in running.schedule.booked for p in b.placed if p.item.key == key)
        stay = next(s for s in placed.stays if s.stage == stage)
        try:
            lasts_s = probed_s(self._told, placed, stay, taken.at_s, taken.reading.temperature_C)
        except ValueError as err:
            return f"{clock_text(taken.at_s)} {key}: {err}"
        return max(stay.start_s + lasts_s, taken.at_s)
