"""A night planned end to end: flame, response, search, verify, re-time, check."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from dataclasses import dataclass

from hearthtide.errors import NoPlan
from hearthtide.house.files import oven_design
from hearthtide.house.models import House, NightFile
from hearthtide.oven.grid import NOMINAL, QUICK
from hearthtide.oven.model import Oven, build_oven
from hearthtide.planning.build import build_problem, corrected, first_call_s, house_outlines
from hearthtide.planning.draw import Draw, expected_draw
from hearthtide.planning.flame import FlamePlan, QuickNight, govern, states_at
from hearthtide.planning.improve import Schedule, Unplaceable, solve
from hearthtide.planning.judge import corrections, untouched
from hearthtide.planning.places import Places, enumerate_places
from hearthtide.planning.plan import Plan
from hearthtide.planning.problem import BIN_S, Booked, Problem
from hearthtide.planning.report import Night, assemble
from hearthtide.planning.response import Moment, night_choices
from hearthtide.planning.verify import Seen, Verifier

ROUNDS = 120  # of ruin and recreate for the first schedule
REPAIR_ROUNDS = 40
MOST_VERIFIED = 4
AFTER_S = 2700  # how long after the last wanted minute the flame is planned on

Progress = Callable[[str, float], None]


def silent(_what: str, _share: float) -> None:
    """Progress for those who do not want any."""


@dataclass
class Clocked:
    """Seconds spent per kind of work, for the plan's figures."""

    solve_s: float = 0.0
    verify_s: float = 0.0
    field_s: float = 0.0

    def figures(self) -> dict[str, float]:
        return {name: round(seconds, 2) for name, seconds in vars(self).items()}


def plan_night(
    house: House, night: NightFile, seed: int = 1, rounds: int = ROUNDS, on_progress: Progress = silent
) -> Plan:
    """Plan and verify a night.

    The same seed gives the same plan. The verifier runs on the quick oven first, then on the nominal one,
    four times in all at most; stages it finds too short or too long are re-timed in between, the flame
    once. What still fails is named in the plan's checks.

    Raises
    ------
    NoPlan
        A dish of the night can be done nowhere on this hearth, or an order fits nowhere in four hours.
    """
    spent = Clocked()
    began = time.perf_counter()
    design = oven_design(house)
    nominal, quick = build_oven(design, NOMINAL), build_oven(design, QUICK)
    places = enumerate_places(design, house.file.zones, house_outlines(house))
    until = round(max(ticket.wanted for ticket in night.tickets)) + AFTER_S
    flame = _flame(quick, house, night, expected_draw(house, night), until, on_progress)
    problem = _problem(nominal, house, night, places, flame, until)
    spent.field_s = time.perf_counter() - began

    rng = random.Random(seed)
    began = time.perf_counter()
    schedule = _solve(problem, rounds, rng, (), lambda s: on_progress("search", s))
    spent.solve_s += time.perf_counter() - began
    verifier = Verifier(nominal, house, night, places)
    first = Verifier(quick, house, night, places)
    seen, verified = _verified(first, schedule, flame, spent, on_progress), 1
    while verified < MOST_VERIFIED:
        changed = corrections(house, schedule, seen)
        if verified == 1:
            flame = _flame(quick, house, night, seen.draw, until, on_progress)
        elif not changed:
            break
        if changed:
            began = time.perf_counter()
            problem = corrected(problem, changed)
            keep = untouched(schedule, changed)
            schedule = _solve(problem, REPAIR_ROUNDS, rng, keep, lambda s: on_progress("search", s))
            spent.solve_s += time.perf_counter() - began
        seen = _verified(verifier, schedule, flame, spent, on_progress)
        verified += 1
    ran = Night(house, night, problem, schedule, flame, seen, verifier)
    return assemble(ran, spent.figures() | {"rounds": float(verified), "seed": float(seed)}, seed)


def _problem(
    oven: Oven, house: House, night: NightFile, places: Places, flame: FlamePlan, until_s: int
) -> Problem:
    """The problem with every stage timed: by the house's own minutes, else by the food models."""
    first = first_call_s(night)
    starts = tuple(range(first, until_s, BIN_S))
    draw = QuickNight(oven, expected_draw(house, night))
    states = states_at(draw, night.ambient, round(night.lit), flame, starts)
    moments = tuple(Moment(state, flame.power_W(s)) for s, state in zip(starts, states, strict=True))
    choices, stuck = night_choices(oven, house, places, moments)
    ordered = {key for ticket in night.tickets for key in ticket.dishes}
    for (key, _), why in stuck.items():
        if key in ordered:
            raise NoPlan(
                f"dish {key}",
                f"its stage can be done nowhere on this hearth: {why}",
                f"Change its places or what must be true in dishes/{key}.yaml, or the flames in oven.yaml.",
            )
    return build_problem(house, night, places, choices)


def _solve(
    problem: Problem,
    rounds: int,
    rng: random.Random,
    keep: tuple[Booked, ...],
    on_progress: Callable[[float], None],
) -> Schedule:
    try:
        return solve(problem, rounds, rng, keep, on_progress)
    except Unplaceable as err:
        raise NoPlan(
            f"ticket {err.order.ticket}",
            "no minute in four hours has room for its plates",
            "Split the ticket, or plan the night in two files.",
        ) from err


def _verified(
    verifier: Verifier, schedule: Schedule, flame: FlamePlan, spent: Clocked, on_progress: Progress
) -> Seen:
    began = time.perf_counter()
    seen = verifier.run(schedule, flame, (), lambda s: on_progress("verify", s))
    spent.verify_s += time.perf_counter() - began
    return seen


def _flame(
    quick: Oven, house: House, night: NightFile, draw: Draw, until_s: int, on_progress: Progress
) -> FlamePlan:
    return govern(
        QuickNight(quick, draw),
        house.oven.floor_band,
        night.ambient,
        round(night.lit),
        until_s,
        lambda share: on_progress("flame", share),
    )
