import random
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from hearthtide.day.counts import Counts, certain, spread_counts
from hearthtide.day.dishes import portions_of, share_of, wanted
from hearthtide.house.sold import History, SoldDay

DAY = date(2025, 12, 2)


def test_a_share_is_found_again(invented):
    history = invented(330, share=0.09)
    share = share_of(history, {"chicken": 1}, DAY)
    assert share.each == pytest.approx(0.09, rel=0.12)
    assert share.spread == pytest.approx(1.0, abs=0.15)  # chance alone
    assert share_of(history, {"chicken": 2}, DAY).each == pytest.approx(2 * share.each, rel=0.05)


def test_nights_that_differ_more_than_chance_widen_the_band(invented):
    rng = random.Random(3)
    history = invented(330)
    uneven = History(
        tuple(replace(one, dishes={"chicken": round(rng.gauss(9, 6) ** 2 / 12)}) for one in history.days)
    )
    assert share_of(uneven, {"chicken": 1}, DAY).spread > 2


def test_a_weekday_of_its_own_is_learned_slowly(invented):
    history = invented(330)

    def tuesdays(count, weeks):
        first = DAY - timedelta(weeks=weeks)
        return History(
            tuple(
                replace(one, dishes={"chicken": count if one.day.weekday() == 1 and one.day >= first else 8})
                for one in history.days
            )
        )

    usual = share_of(tuesdays(8, 0), {"chicken": 1}, DAY).each
    one_week, many = (share_of(tuesdays(20, n), {"chicken": 1}, DAY).each for n in (1, 40))
    assert usual < one_week < many
    assert many * 66 > 15 and one_week * 66 < 13


def test_what_ran_out_counts_as_wanted_at_least(invented):
    """A cap at 9 portions: told of it the share comes back most of the way, not told it stays low."""
    history = invented(600, share=0.12)
    capped, told = [], []
    for one in history.days:
        gone = one.dishes["chicken"] > 9
        cut = replace(one, dishes={"chicken": min(9, one.dishes["chicken"])})
        capped.append(cut)
        told.append(replace(cut, ran_out=frozenset({"chicken"}) if gone else frozenset()))
    day = date(2026, 6, 2)
    low, back = (share_of(History(tuple(days)), {"chicken": 1}, day) for days in (capped, told))
    true = share_of(history, {"chicken": 1}, day)
    assert back.ran_out > 100 and low.all_days < 0.85 * true.all_days
    assert abs(back.all_days - true.all_days) < 0.5 * abs(low.all_days - true.all_days)


def test_portions_are_wanted_for_every_number_of_guests():
    share = share_of(
        History(
            tuple(SoldDay(DAY - timedelta(days=n), 100, dishes={"a": 10, "b": 5}) for n in range(60, 0, -1))
        ),
        {"a": 1, "b": 2},
        DAY,
    )
    assert share.each == pytest.approx(0.2, rel=1e-6)
    guests = Counts(np.array([0.0] * 50 + [0.5] + [0.0] * 99 + [0.5]))  # 50 or 150
    told = wanted(share, guests)
    assert told.mean == pytest.approx(20.0, rel=0.01)
    assert told.sd > 9.5
    assert wanted(share, certain(0)).shares[0] == pytest.approx(1.0)


def test_bands_of_a_known_law_hold_what_they_say():
    """Guests by one law, plates by another: of 2,000 nights drawn from both, the share within the band."""
    rng = np.random.default_rng(5)
    guests = Counts(spread_counts(np.array([70.0]), 2.0, 200)[0])
    days = tuple(
        SoldDay(DAY - timedelta(days=n), 70, dishes={"a": int(rng.poisson(7))}) for n in range(400, 0, -1)
    )
    told = wanted(share_of(History(days), {"a": 1}, DAY), guests)
    drawn = rng.choice(len(guests.shares), 2000, p=guests.shares)
    plates = rng.poisson(0.1 * drawn)
    low, high = told.band()
    nominal = told.shares[low : high + 1].sum()
    assert nominal >= 0.8
    assert np.mean((plates >= low) & (plates <= high)) == pytest.approx(nominal, abs=0.04)


def test_a_dish_that_few_nights_tell_has_no_share(invented):
    history = invented(330)
    bare = History(tuple(replace(one, dishes={}) for one in history.days[:-5]) + history.days[-5:])
    assert share_of(bare, {"chicken": 1}, date(2026, 6, 2)) is None
    assert portions_of({"pasta": 1})(history.days[0]) is None
