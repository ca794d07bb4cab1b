"""A night planned end to end: flame, response, search, verify, re-time, check."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace

from hearthtide.errors import NoPlan
from hearthtide.house.files import oven_design
from hearthtide.house.models import House, NightFile
from hearthtide.house.set_aside import without_dishes
from hearthtide.oven.grid import NOMINAL, QUICK
from hearthtide.oven.model import Oven, build_oven
from hearthtide.planning.build import (
    build_problem,
    corrected,
    dish_stages,
    first_call_s,
    flame_chores,
    house_outlines,
)
from hearthtide.planning.draw import Draw, expected_draw
from hearthtide.planning.engine.search import Effort, Unplaceable, repair
from hearthtide.planning.flame import FlamePlan, QuickNight, govern, states_at
from hearthtide.planning.judge import corrections, floor_check, house_timed, untouched
from hearthtide.planning.places import enumerate_places
from hearthtide.planning.plan import Plan, with_left_out
from hearthtide.planning.problem import BIN_S, Booked, Problem, Schedule, Stage
from hearthtide.planning.recovery import with_rests
from hearthtide.planning.report import Night, assemble
from hearthtide.planning.response import Moment, night_choices
from hearthtide.planning.verify import Seen, Verifier
from hearthtide.planning.warmer import NightStove

# Of ruin and recreate, for the first schedule and for repairs: a second each for a night of 90 items
# (docs/performance.md).
ROUNDS, REPAIR_ROUNDS = 6000, 2000
MOST_VERIFIED = 4  # runs of the verifier, the first on the quick oven: three rounds of correction at most
AFTER_S = 2700  # how long after the last wanted minute the flame is planned on

Progress = Callable[[str, float], None]
PictureTimes = Callable[[Iterable[tuple[int, int]]], tuple[int, ...]]


def silent(_what: str, _share: float) -> None:
    """Progress for those who do not want any."""


def no_pictures(_stays: Iterable[tuple[int, int]]) -> tuple[int, ...]:
    """Maps of the stone at no minute at all."""
    return ()


def plan_night(
    house: House,
    night: NightFile,
    seed: int = 1,
    rounds: int = ROUNDS,
    picture_times: PictureTimes = no_pictures,
    on_progress: Progress = silent,
) -> Plan:
    """Plan and verify a night.

    The same seed gives the same plan. The verifier runs on the quick oven first: what the food then takes
    decides the flame, and the models' minutes are asked anew under it. Then it runs on the nominal oven,
    four times at most; in between, stages it finds too short or too long are re-timed, and the flame is
    planned again if the stone left its band. What still fails is named in the plan's checks.

    `picture_times` chooses, from (start_s, end_s) of every stay on the stone, the minutes whose stone the
    plan keeps as maps; `on_progress` is told what is being done and the share done.

    A dish that can be done nowhere on this hearth is left out, and the check `plates ordered` names it.

    Raises
    ------
    NoPlan
        No dish of the night can be done on this hearth, or an order fits nowhere in four hours.
    """
    return _Planner(house, night, seed, picture_times, on_progress).plan(rounds)


@dataclass(frozen=True)
class Prepared:
    """A night ready to be planned as it is called: its problem, its dishes' stages, what is left out.

    The flame is planned on what all the night's tickets will draw: the books are known, the calls are not.
    `moments` is the oven expected in each half hour from the problem's first second on. `flame` is what it
    burns at when it is kept as planned, `ahead` the quick oven under what the books will draw.
    """

    problem: Problem
    stages: Mapping[str, tuple[Stage, ...]]
    left_out: tuple[str, ...]
    oven: Oven
    moments: tuple[Moment, ...]
    flame: FlamePlan
    ahead: QuickNight


def prepare_night(house: House, night: NightFile, on_progress: Progress = silent) -> Prepared:
    """The flame and every stage's minutes for a night, without planning it.

    Raises
    ------
    NoPlan
        No dish of the night can be done on this hearth.
    """
    return _Planner(house, night, 1, no_pictures, on_progress).prepared()


class _Planner:
    """One night being planned; keeps the clock of each kind of work for the plan's figures."""

    def __init__(
        self,
        house: House,
        night: NightFile,
        seed: int,
        picture_times: PictureTimes,
        on_progress: Progress,
    ) -> None:
        self.house, self.night, self.seed = house, night, seed
        self.picture_times, self.on_progress = picture_times, on_progress
        self.tries = 0
        self.left_out: list[str] = []
        self.stages: dict[str, tuple[Stage, ...]] = {}
        self.moments: tuple[Moment, ...] = ()
        self.stove: NightStove | None = None
        self.spent = {"solve_s": 0.0, "verify_s": 0.0, "field_s": 0.0}
        design = oven_design(house)
        with self._clocked("field_s"):
            self.nominal, self.quick = build_oven(design, NOMINAL), build_oven(design, QUICK)
            places = enumerate_places(design, house.file.zones, house_outlines(house))
            # As every problem wants them: places that are replaced are counted anew.
            self.places = replace(places, splash_m=house.file.splash)

    def prepared(self) -> Prepared:
        until = round(max(ticket.wanted for ticket in self.night.tickets)) + AFTER_S
        draw = expected_draw(self.house, self.night)
        flame = self._flame(draw, until)
        problem = self._problem(flame, until)
        ahead = QuickNight(self.quick, draw)
        return Prepared(problem, self.stages, tuple(self.left_out), self.nominal, self.moments, flame, ahead)

    def plan(self, rounds: int) -> Plan:
        until = round(max(ticket.wanted for ticket in self.night.tickets)) + AFTER_S
        flame = self._flame(expected_draw(self.house, self.night), until)
        problem = self._problem(flame, until)
        schedule = self._solve(problem, rounds, ())
        quick = Verifier(self.quick, self.house, self.night, self.places, draw_only=True)
        seen = self._verify(quick, schedule, flame)
        flame = self._flame(seen.draw, max(until, round(seen.times_s[-1])))
        problem = self._problem(flame, until)
        schedule = self._repair(problem, schedule, self._on_house_minutes(schedule))
        verifier = Verifier(self.nominal, self.house, self.night, self.places)
        seen = self._verify(verifier, schedule, flame)
        verified = 2
        while verified < MOST_VERIFIED:
            # Nothing mends what the last change breaks: a plate that is long is right and stays where it is.
            last = verified == MOST_VERIFIED - 1
            changed = corrections(self.house, schedule, seen, only_short=last)
            steady = floor_check(self.house, seen, round(self.night.doors)).ok
            again = not steady and verified == 2
            if not changed and not again:
                break
            if again:
                flame = self._flame(seen.draw, max(until, round(seen.times_s[-1])))
            if changed:
                problem = corrected(replace(problem, orders=schedule.orders), changed)
                schedule = self._repair(problem, schedule, untouched(schedule, changed))
            seen = self._verify(verifier, schedule, flame)
            verified += 1
        figures = {name: round(seconds, 2) for name, seconds in self.spent.items()}
        figures |= {"rounds": float(verified), "tries": float(self.tries), "seed": float(self.seed)}
        problem = replace(problem, orders=schedule.orders)
        stove = (
            None if self.stove is None else replace(self.stove, watched=QuickNight(self.nominal, seen.draw))
        )
        ran = Night(self.house, self.night, problem, schedule, flame, seen, verifier, stove)
        return with_left_out(assemble(ran, figures, self.seed), self.left_out)

    @contextmanager
    def _clocked(self, kind: str) -> Iterator[None]:
        began = time.perf_counter()
        yield
        self.spent[kind] += time.perf_counter() - began

    def _told(self, what: str) -> Callable[[float], None]:
        return lambda share: self.on_progress(what, share)

    def _flame(self, draw: Draw, until_s: int) -> FlamePlan:
        with self._clocked("field_s"):
            ahead = QuickNight(self.quick, draw)
            band, lit = self.house.oven.floor_band, round(self.night.lit)
            return govern(ahead, band, self.night.ambient, lit, until_s, self._told("flame"))

    def _problem(self, flame: FlamePlan, until_s: int) -> Problem:
        """The problem with every stage timed: by the house's own minutes, else by the food models."""
        with self._clocked("field_s"):
            self.on_progress("response", 0.0)
            middles = tuple(range(first_call_s(self.night) + BIN_S // 2, until_s + BIN_S // 2, BIN_S))
            ahead = QuickNight(self.nominal, expected_draw(self.house, self.night))
            states = states_at(ahead, self.night.ambient, round(self.night.lit), flame, middles)
            powers = [flame.mean_W(middle - BIN_S // 2, middle + BIN_S // 2) for middle in middles]
            moments = tuple(Moment(s, p) for s, p in zip(states, powers, strict=True))
            self.moments = moments
            choices, stuck = night_choices(self.nominal, self.house, self.places, moments)
            self._leave_out({key: why for (key, _), why in stuck.items()})
            if self.house.file.pizza_recovery is None:
                choices = with_rests(self.nominal, self.house, self.places, moments, choices)
        self.stages = dish_stages(self.house, choices)
        self.stove = NightStove(
            house=self.house,
            places=self.places,
            ahead=ahead,
            flame=flame,
            moments=moments,
            stages=self.stages,
            ordered=frozenset(key for ticket in self.night.tickets for key in ticket.dishes),
            ambient_C=self.night.ambient,
            lit_s=self.night.lit,
            first_s=first_call_s(self.night),
        )
        chores = flame_chores(self.house, flame, first_call_s(self.night), until_s)
        return build_problem(self.house, self.night, self.places, choices, chores)

    def _leave_out(self, stuck: dict[str, str]) -> None:
        """Take dishes that can be done nowhere off the night; NoPlan when nothing is left of it."""
        ordered = {key for ticket in self.night.tickets for key in ticket.dishes}
        for key in sorted(ordered & stuck.keys()):
            remedy = f"Change its places or what must be true in dishes/{key}.yaml, or flames in oven.yaml."
            nowhere = NoPlan(f"dish {key}", f"it can be done nowhere on this hearth ({stuck[key]})", remedy)
            self.left_out.append(str(nowhere))
            night = without_dishes(self.night, [key])
            if night is None:
                raise nowhere
            self.night = night

    def _repair(self, problem: Problem, schedule: Schedule, keep: tuple[Booked, ...]) -> Schedule:
        """Place again what is not kept; move the rest only where that leaves the night clearly worse."""
        return self._solve(problem, REPAIR_ROUNDS, keep, 1.2 * schedule.cost + 10.0)

    def _solve(
        self, problem: Problem, rounds: int, keep: tuple[Booked, ...], content_cost: float = 1e-9
    ) -> Schedule:
        try:
            with self._clocked("solve_s"):
                effort = Effort(rounds, on_progress=self._told("search"), content_cost=content_cost)
                found = repair(problem, keep, seed=self.seed, effort=effort)
        except Unplaceable as err:
            raise NoPlan(
                f"{err.order.items[0].dish} for {err.order.ticket}",
                "no minute in four hours has room for it",
                "Look at its minutes and places, the bank of platters and the acts of the house's people.",
            ) from err
        self.tries += found.tries
        return found

    def _on_house_minutes(self, schedule: Schedule) -> tuple[Booked, ...]:
        """The bookings that another flame does not change: every dish of the ticket timed by the house."""
        moved = {
            p.item.ticket
            for b in schedule.booked
            for p in b.placed
            if not house_timed(self.house.dishes[p.item.dish])
        }
        return tuple(b for b in schedule.booked if b.order.ticket not in moved)

    def _verify(self, verifier: Verifier, schedule: Schedule, flame: FlamePlan) -> Seen:
        stays = [(s.start_s, s.end_s) for b in schedule.booked for p in b.placed for s in p.stays]
        with self._clocked("verify_s"):
            return verifier.run(schedule, flame, self.picture_times(stays), self._told("verify"))
