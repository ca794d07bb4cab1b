"""A night's minutes asked anew on warmer stone and under a higher flame: what floor heat does to it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, reduce
from operator import or_

import numpy as np

from hearthtide.house.models import House
from hearthtide.oven.advance import advance
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.zones import working_zone
from hearthtide.planning.build import FLAME_GIVE_S, dish_stages
from hearthtide.planning.flame import STEP_S, FlamePlan, Held, QuickNight, pattern_C, states_at
from hearthtide.planning.judge import FLOOR_GIVE_C
from hearthtide.planning.lifted import with_items
from hearthtide.planning.places import Places
from hearthtide.planning.problem import BIN_S, Choice, Chore, Item, Problem, Stage
from hearthtide.planning.recovery import with_rests
from hearthtide.planning.response import Moment, night_choices
from hearthtide.planning.ways_out import FlameUp
from hearthtide.quantities.show import clock_text

Rows = tuple[tuple[Choice, ...], ...]

LAG_S = 600  # the stone answers a flame after 5 to 10 minutes; it goes up so long before the rush
SPANS_S = (2400, 1200)  # for which a flame is held higher where the stone does not bear the whole rush
J_PER_KWH = 3.6e6


@dataclass(frozen=True)
class NightStove:
    """The oven as a night's minutes were asked of it: `moments` in the middle of each half hour.

    `stages` are the dishes' by key, `ordered` the night's dishes; `ahead` is the oven under what the night
    is expected to draw, `watched` under what its plan was then seen to draw. The night is lit at `lit_s`;
    `first_s` is its first call.
    """

    house: House
    places: Places
    ahead: QuickNight
    flame: FlamePlan
    moments: tuple[Moment, ...]
    stages: Mapping[str, tuple[Stage, ...]]
    ordered: frozenset[str]
    ambient_C: float
    lit_s: float
    first_s: int
    watched: QuickNight | None = None

    @property
    def oven(self) -> Oven:
        return self.ahead.oven

    def at_top(self, problem: Problem) -> Problem:
        """The problem read with the stone at the top of its band wherever its median is colder.

        The whole depth of the stone is warmer by as much, dome and gas are as they were.
        """
        return self._restaged(problem, self._top)

    @cached_property
    def _top(self) -> Mapping[str, tuple[Stage, ...]]:
        top_C, zone = self.house.oven.floor_band.high, working_zone(self.oven)
        found = tuple(_raised(m, top_C - float(np.median(m.state.floor_C[zone]))) for m in self.moments)
        return self.stages if found == self.moments else self._read(found, rests=False)

    def flame_up(self, problem: Problem, from_s: int, until_s: int) -> FlameUp | None:
        """One level higher from ten minutes before `from_s`, for as long of the rush as the stone bears it.

        Until ten minutes before `until_s`, else 40 min, else 20. None where the flame is at its highest, and
        where even so the free working stone would leave its band (by more than it is held to at all).
        """
        start_s = max(self.first_s, from_s - LAG_S)
        ends = (until_s - LAG_S, *(start_s + span for span in SPANS_S))
        levels = tuple(sorted(self.oven.design.levels, key=lambda level: level.power_W))
        for end_s in sorted({end for end in ends if start_s < end <= until_s}, reverse=True):
            higher = raised(self.flame, levels, start_s, end_s)
            if higher is None:
                continue
            before = self._seen_at(start_s)
            hot_C, limit_C = _hottest_C(*before, higher, start_s, end_s), self._limit_C
            if hot_C <= limit_C or hot_C <= _hottest_C(*before, self.flame, start_s, end_s):
                return self._up(problem, higher, start_s, end_s)
        return None

    @property
    def _limit_C(self) -> float:
        return self.house.oven.floor_band.high + FLOOR_GIVE_C

    def _seen_at(self, start_s: int) -> tuple[QuickNight, OvenState]:
        """The oven at that time under the night's flame and what its plan draws, its cold pattern known."""
        night, lit_s = self.watched or self.ahead, round(self.lit_s)
        before_s = max(lit_s, round(min(start_s, night.draw.first_s)) - STEP_S)
        first, state = states_at(night, self.ambient_C, lit_s, self.flame, (before_s, start_s))
        night.pattern_C = pattern_C(first.floor_C, night.zone)
        return night, state

    def _up(self, problem: Problem, higher: FlamePlan, start_s: int, end_s: int) -> FlameUp:
        middles = tuple(self.first_s + BIN_S // 2 + n * BIN_S for n in range(len(self.moments)))
        states = states_at(self.ahead, self.ambient_C, round(self.lit_s), higher, middles)
        powers = (higher.mean_W(middle - BIN_S // 2, middle + BIN_S // 2) for middle in middles)
        heated = tuple(Moment(state, power) for state, power in zip(states, powers, strict=True))
        stages = self._read(heated, rests=self.house.file.pizza_recovery is None)
        seconds = range(start_s, end_s, STEP_S)
        fuel_J = STEP_S * sum(higher.power_W(t) - self.flame.power_W(t) for t in seconds)
        words = f"flame up one level {clock_text(start_s)} to {clock_text(end_s)}"
        return FlameUp(
            _with_chores(self._restaged(problem, stages), start_s, end_s), words, fuel_J / J_PER_KWH
        )

    def _restaged(self, problem: Problem, stages: Mapping[str, tuple[Stage, ...]]) -> Problem:
        return with_items(problem, lambda item: restaged(item, self.stages[item.dish], stages[item.dish]))

    def _read(self, moments: tuple[Moment, ...], rests: bool) -> Mapping[str, tuple[Stage, ...]]:
        """The dishes' stages with the minutes of other moments; as they are where a dish then has none.

        Only half hours that are no longer alike (`Moment.kind`) are asked anew.
        """
        both = enumerate(zip(self.moments, moments, strict=True))
        changed = [n for n, (own, new) in both if own.kind != new.kind]
        asked = tuple(moments[n] for n in changed)
        dishes = {key: dish for key, dish in self.house.dishes.items() if key in self.ordered}
        house = self.house.model_copy(update={"dishes": dishes})
        choices, stuck = night_choices(self.oven, house, self.places, asked)
        usable = {key: rows for key, rows in choices.items() if key not in stuck}
        if rests:
            usable = dict(with_rests(self.oven, house, self.places, asked, usable))
        known = {
            (key, n): self._merged(stage.choices, usable.get((key, n)), changed)
            for key, own in self.stages.items()
            for n, stage in enumerate(own)
        }
        return dish_stages(self.house, known)

    def _merged(self, rows: Rows, asked: Rows | None, changed: list[int]) -> Rows:
        """A stage's rows, those of changed half hours in place; the house's own minutes have but one."""
        if asked is None or len(rows) < len(self.moments):
            return rows
        new = dict(zip(changed, asked, strict=True))
        return tuple(new.get(n, row) for n, row in enumerate(rows))


def _raised(moment: Moment, by_C: float) -> Moment:
    if by_C <= 0:
        return moment
    state = moment.state
    warmer = replace(state, floor_C=state.floor_C + by_C, floor_nodes_C=state.floor_nodes_C + by_C)
    return replace(moment, state=warmer)


def _hottest_C(night: QuickNight, state: OvenState, flame: FlamePlan, start_s: int, end_s: int) -> float:
    """The free working stone at its hottest from `start_s` until the flame has been down for a while."""
    hottest_C = -math.inf
    for at in range(start_s, end_s + 2 * LAG_S, STEP_S):
        state = advance(night.oven, state, flame.power_W(at), float(STEP_S), night.load(at)).state
        hottest_C = max(hottest_C, night.free_C(state, at))
    return hottest_C


def restaged(item: Item, before: tuple[Stage, ...], after: tuple[Stage, ...]) -> Item:
    """The item with other minutes; a spot given by hand stays the only one."""
    stages = (
        new if own == old else replace(own, choices=tuple(_only(row, _places(own)) for row in new.choices))
        for own, old, new in zip(item.stages, before, after, strict=True)
    )
    return replace(item, stages=tuple(stages))


def _places(stage: Stage) -> int:
    return reduce(or_, (choice.places for row in stage.choices for choice in row))


def _only(row: tuple[Choice, ...], places: int) -> tuple[Choice, ...]:
    return tuple(replace(c, places=c.places & places) for c in row if c.places & places) or row


def raised(flame: FlamePlan, levels: tuple[FlameLevel, ...], from_s: int, until_s: int) -> FlamePlan | None:
    """The flame plan one level higher during [from_s, until_s); None where that changes nothing."""
    if until_s <= from_s:
        return None
    held = [h for h in flame.held if h.start_s < from_s]
    inside = [
        Held(from_s, _level_at(flame, from_s)),
        *(h for h in flame.held if from_s < h.start_s < until_s),
    ]
    held += [Held(h.start_s, levels[min(levels.index(h.level) + 1, len(levels) - 1)]) for h in inside]
    held += [Held(until_s, _level_at(flame, until_s)), *(h for h in flame.held if h.start_s > until_s)]
    higher = replace(flame, held=tuple(held))
    same = all(higher.power_W(t) == flame.power_W(t) for t in range(from_s, until_s, STEP_S))
    return None if same else higher


def _level_at(flame: FlamePlan, time_s: int) -> FlameLevel:
    return max((h for h in flame.held if h.start_s <= time_s), key=lambda h: h.start_s).level


def _with_chores(problem: Problem, up_s: int, down_s: int) -> Problem:
    """The two changes as work of the hands at the hearth, where these do the flame."""
    if not problem.cooks_for("flame"):
        return problem
    more = (
        Chore("flame", up_s, FLAME_GIVE_S, "flame up"),
        Chore("flame", down_s, FLAME_GIVE_S, "flame down"),
    )
    return replace(problem, chores=(*problem.chores, *more))
