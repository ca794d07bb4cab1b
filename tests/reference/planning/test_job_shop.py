"""The search as it is on job shops of the literature, against their published optima.

The mapping (`job_shop.as_night`) adds nothing to the engine: machines are spots, jobs are items worked off as
soon as can be, with a wait off the hearth between operations. A makespan below the optimum would be a clash
not seen.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from statistics import median

import pytest

from hearthtide.planning.engine.search import search
from hearthtide.planning.problem import Schedule
from job_shop import as_night, faults, job_shops, makespan, proven
from published import Published

pytestmark = pytest.mark.subject("planning")
SEEDS, ROUNDS = range(1, 6), 20_000
# How far over the optimum the median may lie; own choice, what a plain search of this kind is known to reach.
WITHIN = {"ft06": 0.0, "ft10": 0.05, "ft20": 0.04, "la01": 0.0, "la06": 0.0, "la16": 0.05}
PROVES = {"ft06": 1.0, "ft20": 20.0, "la01": 1.0, "la06": 1.0, "la16": 20.0}  # effort; ft10 takes two workers
NAMES = sorted(job_shops())

CAUSE = (
    "Two operations that bind change places at a time, in six rounds of ten; the others take whole jobs off. "
    "20,000 rounds from four starts, most of them hot, are few for a hundred operations."
)
MISSED = dict.fromkeys(("ft10", "ft20", "la16"), CAUSE)


@cache
def found(name: str) -> tuple[Schedule, ...]:
    return tuple(search(as_night(job_shops()[name]), seed=seed, rounds=ROUNDS) for seed in SEEDS)


@pytest.mark.parametrize("name", sorted(PROVES))
def test_the_instances_are_those_of_the_published_optima(published: Published, name: str) -> None:
    """CP-SAT proves the published optimum on our copy: not a digit of it is wrong that matters."""
    shop = job_shops()[name]
    best, bound = proven(shop, PROVES[name])
    assert best == bound
    published(
        "job shop, optimum proven by CP-SAT",
        shop.source,
        expected=shop.optimum,
        computed=best,
        absolute=0.0,
        unit="s",
        at=name,
    )


@pytest.mark.parametrize("name", NAMES)
def test_never_below_the_published_optimum(published: Published, name: str) -> None:
    """Every plan keeps machines and the order of operations, as its stays tell; none beats the optimum."""
    shop = job_shops()[name]
    for schedule in found(name):
        assert faults(shop, schedule) == []
        assert schedule.cost == makespan(schedule)
    least = min(makespan(schedule) for schedule in found(name))
    what = "job shop, best makespan of five seeds, not below the optimum"
    published(what, shop.source, expected=(shop.optimum, math.inf), computed=least, unit="s", at=name)


@pytest.mark.parametrize("name", NAMES)
def test_near_the_published_optimum(published: Published, name: str) -> None:
    shop = job_shops()[name]
    middle = median(makespan(schedule) for schedule in found(name))
    most = shop.optimum * (1 + WITHIN[name])
    what = f"job shop, median makespan of five seeds, {100 * WITHIN[name]:.0f} % over the optimum allowed"
    published(
        what,
        shop.source,
        expected=(shop.optimum, most),
        computed=middle,
        unit="s",
        at=name,
        missed=MISSED.get(name, ""),
    )


def test_a_clash_and_a_wrong_order_are_seen() -> None:
    """`faults` itself: two jobs on one machine at once, and an operation before the one before it."""
    shop = job_shops()["ft06"]
    good = found("ft06")[0]
    (booked,) = good.booked
    assert faults(shop, good) == []
    first, *others = booked.placed
    late = first.stays[-1]
    moved = replace(late, start_s=0, end_s=late.end_s - late.start_s)
    broken = replace(first, stays=(*first.stays[:-1], moved))
    told = faults(shop, replace(good, booked=(replace(booked, placed=(broken, *others)),)))
    assert any("begins before the one before it ends" in fault for fault in told)
