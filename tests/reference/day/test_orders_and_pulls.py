"""Base stock against its closed form and simulated days; a day's use and thinning against chance itself."""

import random
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from hearthtide.day.counts import Counts
from hearthtide.day.dishes import Share, wanted
from hearthtide.day.orders import Supply, Use, base_stock, orders, over, runs_short, use_of
from hearthtide.day.reheat_pulls import thinned

TUESDAY = date(2026, 6, 2)


@pytest.mark.parametrize("level", [0.5, 0.8, 0.95, 0.99])
def test_the_level_is_that_of_normal_demand_over_lead_time_and_review(level):
    """mean (L + R) + z sd sqrt(L + R): any text on stock, from memory; z by scipy's quantiles."""
    days, mean, sd = 9, 14.0, 3.5
    closed = mean * days + stats.norm.ppf(level) * sd * np.sqrt(days)
    assert base_stock(over([Use(mean, sd)] * days), level) == pytest.approx(closed, rel=1e-9)
    assert 1 - runs_short(over([Use(mean, sd)] * days), closed) == pytest.approx(level, abs=1e-9)


def test_so_ordered_it_lasts_as_often_as_was_asked():
    """4000 stretches with normal days: what was ordered up to lasts to the delivery after in 90 of 100."""
    supply = Supply("flour", "Flour", 0.01, 40.0, 2, frozenset({1, 4}), 0.90)
    uses = [Use(10.0, 2.5)] * 21
    first = orders(supply, TUESDAY, uses)[0]
    whole = 40.0 + first.packs * supply.pack
    days = (first.until - TUESDAY).days
    assert (first.arrives, first.until) == (date(2026, 6, 5), date(2026, 6, 9))
    assert first.by == date(2026, 6, 3)
    rng = np.random.default_rng(1)
    lasted = np.mean(rng.normal(10.0, 2.5, (4000, days)).sum(axis=1) <= whole)
    assert lasted == pytest.approx(0.90, abs=3 * np.sqrt(0.9 * 0.1 / 4000) + 0.002)


def test_orders_follow_each_other_and_know_of_each_other():
    """By hand, with no chance in it: 10 kg a day, packs of 25, Tuesdays and Fridays, two days ahead."""
    supply = Supply("flour", "Flour", 25.0, 30.0, 2, frozenset({1, 4}), 0.95)
    told = orders(supply, TUESDAY, [Use(10.0, 0.0)] * 14)
    # To Tuesday the 9th 70 kg are wanted: 40 lack, two packs. To Friday the 12th 100: 80 are there or
    # ordered, one pack. To Tuesday the 16th 140: 105, two packs. That of the 16th has none after it in view.
    assert [(one.arrives.day, one.packs, one.there) for one in told] == [(5, 2, 30), (9, 1, 80), (12, 2, 105)]
    assert all(one.short == 0 for one in told)


def test_what_is_coming_counts_once_and_comes_with_the_next_delivery():
    supply = Supply("flour", "Flour", 25.0, 15.0, 2, frozenset({1, 4}), 0.95, coming=50.0)
    first = orders(supply, TUESDAY, [Use(10.0, 0.0)] * 14)[0]
    # 70 wanted to the 9th, 65 there or coming: one pack; before the 5th 30 are wanted and 15 are there
    assert (first.arrives.day, first.there, first.packs, first.short) == (5, 65, 1, 1.0)


def test_one_dish_uses_what_its_whole_table_of_chances_has():
    """Mean and variance against the full table: covers' chances, then portions' (an exact mixture)."""
    covers = Counts(np.array([*([0.0] * 50), 0.2, 0.3, 0.3, 0.2]))
    share = Share(0.3, 1.1, 1.4, 400.0, 60, 0)
    table = wanted(share, covers)
    use = use_of({"pizza": 0.5}, {"pizza": share}, covers)
    assert use.mean == pytest.approx(0.5 * table.mean, rel=1e-3)
    assert use.sd == pytest.approx(0.5 * table.sd, rel=5e-3)


def test_two_dishes_share_their_guests():
    """Drawn at random: guests first, then each dish by itself."""
    rng = random.Random(1)
    covers = Counts(np.array([*([0.0] * 40), *([0.05] * 20)]))
    shares = {"pizza": Share(0.6, 1.0, 1.0, 1e9, 60, 0), "dip": Share(0.1, 1.0, 1.0, 1e9, 60, 0)}
    use = use_of({"pizza": 0.2, "dip": 0.1}, shares, covers)
    draw = np.random.default_rng(rng.randint(0, 9))
    guests = 40 + draw.integers(0, 20, 200_000)
    kg = 0.2 * draw.poisson(0.6 * guests) + 0.1 * draw.poisson(0.1 * guests)
    assert use.mean == pytest.approx(kg.mean(), rel=0.005)
    assert use.sd == pytest.approx(kg.std(), rel=0.01)


@pytest.mark.parametrize("share", [0.0, 0.25, 0.6, 1.0])
def test_a_thinned_poisson_is_a_poisson(share):
    """Kingman, Poisson Processes (1993), colouring theorem (from memory): so is any part taken by chance."""
    whole = Counts(stats.poisson.pmf(np.arange(60), 9.0) / stats.poisson.cdf(59, 9.0))
    part = thinned(whole, share).shares
    assert part == pytest.approx(stats.poisson.pmf(np.arange(60), 9.0 * share), abs=1e-9)


def test_a_supply_that_cannot_be_is_refused():
    for wrong in ({"pack": 0.0}, {"level": 1.0}, {"delivered": frozenset()}):
        with pytest.raises(ValueError, match="expected"):
            Supply(**{
                "key": "f", "name": "F", "pack": 1.0, "on_hand": 0.0, "lead_days": 1,
                "delivered": frozenset({1}), "level": 0.9, **wrong,
            })  # fmt: skip


def test_days_without_a_delivery_in_view_are_not_told():
    supply = Supply("flour", "Flour", 25.0, 0.0, 2, frozenset({1}), 0.95)
    assert orders(supply, TUESDAY, [Use(10.0, 1.0)] * 5) == ()
    assert orders(supply, TUESDAY + timedelta(days=1), [Use(10.0, 1.0)] * 14)[0].arrives == date(2026, 6, 9)
