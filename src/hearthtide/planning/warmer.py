"""A night's minutes asked anew on warmer stone and under a higher flame: what floor heat does to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, reduce
from operator import or_

import numpy as np

from hearthtide.house.models import House
from hearthtide.oven.advance import advance
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.model import Oven
from hearthtide.oven.zones import working_zone
from hearthtide.planning.build import FLAME_GIVE_S, dish_stages
from hearthtide.planning.flame import STEP_S, FlamePlan, Held, QuickNight, pattern_C
from hearthtide.planning.judge import FLOOR_GIVE_C
from hearthtide.planning.lifted import with_items
from hearthtide.planning.places import Places
from hearthtide.planning.problem import BIN_S, Choice, Chore, Item, Problem, Stage
from hearthtide.planning.recovery import with_rests
from hearthtide.planning.response import Moment, night_choices
from hearthtide.planning.ways_out import FlameUp
from hearthtide.quantities.show import clock_text

LAG_S = 600  # the stone answers a flame after 5 to 10 minutes; it goes up so long before the rush
J_PER_KWH = 3.6e6


@dataclass(frozen=True)
class NightStove:
    """The oven as a night's minutes were asked of it: `moments` in the middle of each half hour.

    `stages` are the dishes' by key, `ahead` the oven under what the night is expected to draw.
    """

    house: House
    places: Places
    ahead: QuickNight
    flame: FlamePlan
    moments: tuple[Moment, ...]
    stages: Mapping[str, tuple[Stage, ...]]
    first_s: int

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
        """One level higher from ten minutes before `from_s` until ten before `until_s`.

        None where the flame is at its highest, where no half hour's middle lies in between, and where the
        free working stone would leave its band (by more than it is held to at all).
        """
        start_s, end_s = max(self._middle_s(0), from_s - LAG_S), until_s - LAG_S
        levels = tuple(sorted(self.oven.design.levels, key=lambda level: level.power_W))
        higher = raised(self.flame, levels, start_s, end_s)
        if higher is None:
            return None
        heated = self._heated(higher, start_s)
        if heated is None or heated == self.moments:
            return None
        start_text, end_text = clock_text(start_s), clock_text(end_s)
        fuel_J = sum(
            (higher.power_W(t) - self.flame.power_W(t)) * STEP_S for t in range(start_s, end_s, STEP_S)
        )
        stages = self._read(heated, rests=self.house.file.pizza_recovery is None)
        read = self._restaged(problem, stages)
        words = f"flame up one level {start_text} to {end_text}, in time for the rush"
        return FlameUp(_with_chores(read, start_s, end_s), words, fuel_J / J_PER_KWH)

    def _middle_s(self, half_hour: int) -> int:
        return self.first_s + BIN_S // 2 + half_hour * BIN_S

    def _heated(self, flame: FlamePlan, start_s: int) -> tuple[Moment, ...] | None:
        """The moments under another flame from `start_s`; None where the free stone leaves its band."""
        begin = max(n for n in range(len(self.moments)) if self._middle_s(n) <= start_s)
        state, now = self.moments[begin].state, self._middle_s(begin)
        self.ahead.pattern_C = pattern_C(self.moments[0].state.floor_C, self.ahead.zone)
        found, high_C = list(self.moments[: begin + 1]), self.house.oven.floor_band.high + FLOOR_GIVE_C
        for n in range(begin + 1, len(self.moments)):
            for at in range(now, self._middle_s(n), STEP_S):
                load = self.ahead.load(at)
                state = advance(self.oven, state, flame.power_W(at), float(STEP_S), load).state
                if at >= start_s and self.ahead.free_C(state, at) > high_C:
                    return None
            now = self._middle_s(n)
            found.append(Moment(state, flame.mean_W(now - BIN_S // 2, now + BIN_S // 2)))
        return tuple(found)

    def _restaged(self, problem: Problem, stages: Mapping[str, tuple[Stage, ...]]) -> Problem:
        return with_items(problem, lambda item: restaged(item, self.stages[item.dish], stages[item.dish]))

    def _read(self, moments: tuple[Moment, ...], rests: bool) -> dict[str, tuple[Stage, ...]]:
        """The dishes' stages with the minutes of other moments; as they are where a dish then has none."""
        choices, stuck = night_choices(self.oven, self.house, self.places, moments)
        usable = {key: rows for key, rows in choices.items() if key not in stuck}
        if rests:
            usable = dict(with_rests(self.oven, self.house, self.places, moments, usable))
        known = {
            (key, n): usable.get((key, n), stage.choices)
            for key, own in self.stages.items()
            for n, stage in enumerate(own)
        }
        return dish_stages(self.house, known)


def _raised(moment: Moment, by_C: float) -> Moment:
    if by_C <= 0:
        return moment
    state = moment.state
    warmer = replace(state, floor_C=state.floor_C + by_C, floor_nodes_C=state.floor_nodes_C + by_C)
    return replace(moment, state=warmer)


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
