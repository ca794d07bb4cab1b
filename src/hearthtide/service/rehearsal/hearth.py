"""The oven of a rehearsal as it really is: a little stronger or weaker than the models', read by a gun."""

from __future__ import annotations

from numpy.random import Generator

from hearthtide.planning.flame import QuickNight
from hearthtide.planning.night import Prepared
from hearthtide.service.commands import Reading
from hearthtide.service.facts import Facts
from hearthtide.service.rehearsal.manner import Manner
from hearthtide.service.rehearsal.says import Says
from hearthtide.service.stove import Burnt, burnt_on, cold, stone_C

GUN = "floor gun"


class Hearth:
    """Burns what is told or planned, at a power that is off by a share all night."""

    def __init__(
        self, ready: Prepared, lit_s: int, ambient_C: float, manner: Manner, dice: Generator, says: Says
    ) -> None:
        self._night = QuickNight(ready.ahead.oven, ready.ahead.draw)
        self._ready, self._manner, self._dice, self._says = ready, manner, dice, says
        self._share = 1.0 + manner.flame * float(dice.standard_normal())
        self._burnt: Burnt = cold(self._night, ambient_C, lit_s)
        self._next_s: float | None = None

    def step(self, now_s: float, facts: Facts, who: str) -> None:
        """Brings it up to now; `who` reads the floor when that is due."""
        self._burnt = burnt_on(self._burnt, self._night, self._ready.flame, facts, int(now_s), self._share)
        if self._next_s is None:
            self._next_s = now_s + self._manner.gun_every_s / 2
        if now_s >= self._next_s:
            self._next_s += self._manner.gun_every_s
            read_C = self.floor_C(now_s) + self._manner.gun_C * float(self._dice.standard_normal())
            self._says(who, Reading(round(read_C), "floor", GUN, place="working stone"))

    def floor_C(self, now_s: float) -> float:
        """What the working stone really is."""
        return stone_C(self._burnt, now_s)
