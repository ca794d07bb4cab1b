"""What planning a day's chilling costs by its number of lots: docs/day-chill.md keeps the figures."""

import random
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "shared"))

from cold_units import ALL, COLD_C, US, lot
from hearthtide.day import chill_sides
from hearthtide.day.chill_check import faults
from hearthtide.day.chill_plan import plan_chilling
from hearthtide.food.chilling import ToChill

FOODS = (
    ("chicken_cooked", 0.04, 0.6),
    ("chicken_cooked", 0.025, 0.0),
    ("chicken_wing_cooked", 0.022, 0.8),
    ("tomato_sauce", 0.04, 0.0),
    ("tomato_sauce", 0.03, 0.0),
    ("beans", 0.035, 0.0),
)


def day(count):
    """So many lots from 9 to 18 o'clock, invented and seeded."""
    rng = random.Random(1)
    return [
        lot(
            f"lot {n}",
            ToChill(*FOODS[n % len(FOODS)]),
            9 + 9 * n / count,
            rng.uniform(2, 6),
            rng.choice((1, 2)),
            core_C=rng.choice((75.0, 80.0, 85.0)),
        )
        for n in range(count)
    ]


@pytest.mark.parametrize("count", [10, 20, 40, 80])
def test_a_plan(benchmark, count):
    def planned():
        chill_sides.sides.cache_clear()
        return plan_chilling(day(count), ALL, US, COLD_C, ways=False)

    benchmark.pedantic(planned, rounds=3, warmup_rounds=1)


def test_with_its_ways_out(benchmark):
    benchmark.pedantic(lambda: plan_chilling(day(40), ALL, US, COLD_C), rounds=2, warmup_rounds=1)


def test_the_checker(benchmark):
    plan = plan_chilling(day(40), ALL, US, COLD_C, ways=False)
    benchmark.pedantic(lambda: faults(plan, ALL), rounds=3, warmup_rounds=1)
