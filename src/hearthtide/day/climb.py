"""The oven from lighting to doors: a flame that climbs, holds for roasting, brings the stone to its band."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hearthtide.house.oven_file import FloorBandFile
from hearthtide.oven.advance import advance
from hearthtide.oven.answers import stone_C
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.model import Oven, OvenState
from hearthtide.planning.draw import Draw
from hearthtide.planning.flame import CHANGE_COST_K2, DECIDE_S, FlamePlan, Held, QuickNight
from hearthtide.ranges import Array

EVERY_S = 300  # between two states that are kept; own choice
STEP_S, STEPS = 30, 4  # of the quick oven, and how many with one look at its air; own choice
AHEAD_S = (
    600  # beyond a decision's own ten minutes: the stone answers a flame after five to ten (common practice)
)
SETTLE_S = 3600  # how long the band is followed once it is reached; own choice


@dataclass(frozen=True, eq=False)
class Climb:
    """A flame plan from lighting (second 0) and the oven under it, a state every EVERY_S.

    `ready_s`: from when on the free working stone stands in the band, the roasting over; None when it does
    not within the climb. `roast_until_s` 0: it climbs straight through.
    """

    oven: Oven
    flame: FlamePlan
    states: tuple[OvenState, ...]
    ready_s: int | None
    roast_until_s: int

    @property
    def alike_until_s(self) -> int:
        """Until when every climb of the same oven and draw that roasts as long or longer is this one."""
        return max(0, self.roast_until_s - AHEAD_S)

    @property
    def until_s(self) -> int:
        return EVERY_S * (len(self.states) - 1)

    @cached_property
    def stone_C(self) -> Array:
        """Median of the working stone in each state."""
        return np.array([stone_C(self.oven, state) for state in self.states])

    def stone_at_C(self, time_s: float) -> float:
        """The working stone, between two kept states by a straight line."""
        return float(np.interp(time_s, EVERY_S * np.arange(len(self.states)), self.stone_C))

    def fuel_J(self, until_s: float) -> float:
        """What the flame gives from lighting on."""
        starts = [float(held.start_s) for held in self.flame.held]
        ends = [*starts[1:], max(until_s, starts[-1])]
        spans = zip(self.flame.held, starts, ends, strict=True)
        return sum(h.level.power_W * max(0.0, min(end, until_s) - start) for h, start, end in spans)


@dataclass(frozen=True, eq=False)
class _Way:
    """Decisions so far: the level of each, the states every EVERY_S (the cold one first), the free stone."""

    levels: tuple[FlameLevel, ...]
    states: tuple[OvenState, ...]
    free_C: tuple[float, ...]

    @property
    def now_s(self) -> int:
        return DECIDE_S * len(self.levels)

    def until(self, time_s: int) -> _Way:
        """The decisions before that time alone."""
        count = max(0, time_s // DECIDE_S)
        kept = count * (DECIDE_S // EVERY_S)
        return _Way(self.levels[:count], self.states[: kept + 1], self.free_C[: kept + 1])


class Climber:
    """One oven under one draw: climbs of several lengths share what they have in common."""

    def __init__(
        self, oven: Oven, band: FloorBandFile, ambient_C: float, draw: Draw, roast_C: float, longest_s: int
    ) -> None:
        self.oven, self.band, self.draw = oven, band, draw
        self.roast_C = min(roast_C, band.low)
        self.longest_s = longest_s
        self.night = QuickNight(oven, draw)
        cold = oven.cold(ambient_C)
        self.held = _Way((), (cold,), (self.night.free_C(cold, 0),))

    @property
    def aim_C(self) -> float:
        return (self.band.low + self.band.high) / 2

    def climb(self, roast_until_s: int, on_progress: Callable[[float], None] = lambda _: None) -> Climb:
        """Held at the roasting heat until then (0: straight through), then in its band until settled."""
        branch_s = roast_until_s - AHEAD_S
        while self.held.now_s < min(branch_s, self.longest_s):
            self.held = self._decided(self.held, self.roast_C)
            on_progress(0.7 * self.held.now_s / max(1, branch_s))
        way, ready_s = self.held.until(branch_s), None
        while way.now_s < self.longest_s and not (
            ready_s is not None and way.now_s >= max(ready_s, roast_until_s) + SETTLE_S
        ):
            way = self._decided(way, self.aim_C)
            ready_s = _ready_s(way, self.band.low, roast_until_s)
        on_progress(1.0)
        held = tuple(
            Held(DECIDE_S * i, level)
            for i, level in enumerate(way.levels)
            if i == 0 or level is not way.levels[i - 1]
        )
        return Climb(self.oven, FlamePlan(held, ready_s), way.states, ready_s, roast_until_s)

    def _decided(self, way: _Way, aim_C: float) -> _Way:
        """The next ten minutes under the flame that keeps the free stone nearest the aim for twenty."""
        levels = self.oven.design.levels
        current = way.levels[-1] if way.levels else None
        here = len(levels) - 1 if current is None else levels.index(current)
        tried = [self._extended(way, level) for level in levels[max(0, here - 1) : here + 2]]
        costs = []
        for one in tried:
            level = one.levels[-1]
            _, later = self.run(one.states[-1], one.now_s, AHEAD_S, level)
            off_C = np.array([one.free_C[-1], *later]) - aim_C
            costs.append(float((off_C**2).mean()) + CHANGE_COST_K2 * (current not in (None, level)))
        return tried[int(np.argmin(costs))]

    def _extended(self, way: _Way, level: FlameLevel) -> _Way:
        states, free_C = self.run(way.states[-1], way.now_s, DECIDE_S, level)
        return _Way((*way.levels, level), (*way.states, *states), (*way.free_C, *free_C))

    def run(
        self, state: OvenState, from_s: int, span_s: int, level: FlameLevel
    ) -> tuple[list[OvenState], list[float]]:
        """States and free stone every EVERY_S."""
        states, free_C = [], []
        for at_s in range(from_s, from_s + span_s, EVERY_S):
            for part_s in range(at_s, at_s + EVERY_S, STEP_S * STEPS):
                steps = min(STEPS, (at_s + EVERY_S - part_s) // STEP_S)
                load = self.night.load(part_s)
                state = advance(self.oven, state, level.power_W, float(STEP_S), load, steps=steps).state
            states.append(state)
            free_C.append(self.night.free_C(state, at_s))
        return states, free_C


def _ready_s(way: _Way, low_C: float, after_s: int) -> int | None:
    """When the free stone first stands at the band's low end, the roasting over."""
    return next(
        (EVERY_S * i for i, at_C in enumerate(way.free_C) if at_C >= low_C and EVERY_S * i >= after_s),
        None,
    )
