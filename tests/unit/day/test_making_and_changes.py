from datetime import date, timedelta

import pytest

from hearthtide.day.changes import judged, standing
from hearthtide.day.demand import covers_ahead
from hearthtide.day.making import Made, days_needed, par_of
from hearthtide.day.pars import Costs
from hearthtide.house.sold import Change, Lot

TUESDAY = date(2025, 11, 25)
COSTS = Costs(17.5, 6.5)


def made(days=2, **said):
    return Made("chicken", "Half chickens", {"chicken": 1}, days, COSTS, **said)


@pytest.fixture(scope="module")
def par(invented):
    history = invented(340)

    def reckon(one, day=TUESDAY, lots=()):
        return par_of(history, one, day, covers_ahead(history, days_needed([one], day)), lots)

    return reckon


def test_lots_are_counted_by_their_last_day_and_past_ones_are_not(par):
    lots = (
        Lot("chicken", TUESDAY - timedelta(days=1), 3),  # its last day
        Lot("chicken", TUESDAY, 2),  # made this morning
        Lot("chicken", TUESDAY - timedelta(days=2), 9),  # past
    )
    found = par(made(), lots=lots)
    assert found.ahead.stock == (3, 2)
    assert found.past == (lots[2],)
    assert found.ours.on_hand == 5 and found.ours.par == 5 + found.ours.make


def test_a_shut_day_ahead_wants_nothing_and_makes_the_par_last(par):
    sunday = date(2025, 11, 23)
    found = par(made(3), sunday)
    assert found.ahead.demand[1].mean == 0  # Monday
    assert found.ahead.until_next == 2  # Tuesday makes anew


def test_what_is_made_on_two_days_a_week_must_do_in_between(par):
    every, twice = par(made(4)), par(made(4, made_on=frozenset({1, 4})))
    assert (every.ahead.until_next, twice.ahead.until_next) == (1, 3)
    assert twice.ours.par > sum(one.mean for one in twice.ahead.demand[:3]) > every.ours.par
    other = par(made(4, made_on=frozenset({4})))
    assert other.ours.make == 0 and other.rule is None and "not made on Tuesdays" in other.remarks[0]
    once = par(made(2, made_on=frozenset({1})))
    assert any("not made again within its 2 days" in one for one in once.remarks)


def test_a_longer_life_asks_for_more_and_costs_less(par):
    one, two = par(made(1)), par(made(2))
    assert two.ours.par > one.ours.par and two.ours.money < one.ours.money


def test_the_chef_s_own_par_has_its_own_sum(par):
    found = par(made())
    own = found.at(found.ours.par - 3)
    assert own.par == found.ours.par - 3 and own.money > found.ours.money
    assert own.runs_out > found.ours.runs_out


def change(day, ours, yours, figure="covers", told="1"):
    return Change(told, date(2026, 6, day), figure, ours, yours, "Ana", "rain")


def test_the_last_number_of_a_day_stands():
    changes = (change(2, 83, 70), change(2, 83, 75, told="2"), change(3, 80, 60))
    assert standing(changes, date(2026, 6, 2))["covers"].yours == 75


def test_numbers_are_held_against_what_came():
    changes = (
        change(2, 83, 40),  # changed again below
        change(2, 83, 70),
        change(3, 80, 90),
        change(4, 50, 60),  # has not come yet
        change(2, 5, 9, "shrimp"),
    )
    came = {date(2026, 6, 2): 68.0, date(2026, 6, 3): 81.0}
    found = judged(changes, lambda _figure, day: came.get(day), "covers")
    assert (found.days, found.nearer) == (2, 1)
    assert found.ours_off == pytest.approx((15 + 1) / 2)
    assert found.yours_off == pytest.approx((2 + 9) / 2)
    assert (found.ours_short, found.ours_left) == (1, 15)
    assert (found.yours_short, found.yours_left) == (0, 11)
    assert judged(changes, lambda _figure, _day: None, "covers") is None
