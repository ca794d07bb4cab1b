"""What a day's demand and pars cost on the invented Brindlecote: docs/performance.md keeps the figures."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from hearthtide.cli.pars_command import made_of
from hearthtide.day.demand import covers_ahead, covers_of, last_miss, score_of
from hearthtide.day.making import par_of
from hearthtide.house.files import read_house
from hearthtide.house.history_file import take_history
from hearthtide.house.pars_file import read_pars

DAY = date(2026, 6, 2)


@pytest.fixture(scope="module")
def house():
    return read_house(Path(__file__).parents[1] / "examples" / "brindlecote")


@pytest.fixture(scope="module")
def history(house):
    return take_history(house).history


def test_reading_the_sales(benchmark, house):
    benchmark(take_history, house)


def test_covers_of_a_day(benchmark, history):
    benchmark(covers_of, history, DAY)


def test_last_miss_and_eight_weeks(benchmark, history):
    told = covers_of(history, DAY)
    benchmark(lambda: (last_miss(history, told), score_of(history, told)))


def test_seven_pars(benchmark, house, history):
    made = [made_of(key, one) for key, one in read_pars(house).made.items()]
    covers = covers_ahead(history, [DAY + timedelta(days=n) for n in range(3)])
    benchmark(lambda: [par_of(history, one, DAY, covers, ()) for one in made])
