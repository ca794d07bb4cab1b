"""Dough by age and tray, by hand."""

from datetime import date

import pytest

from hearthtide.day.dough import Balls, Evening, age_word, dough_days, evening_of, trays_out

TUESDAY, MONDAY, SUNDAY, FRIDAY = date(2026, 6, 2), date(2026, 6, 1), date(2026, 5, 31), date(2026, 5, 29)
SIX = 18 * 3600
HOUR = 3600


def test_the_oldest_goes_first_and_the_third_day_ends_in_the_bin():
    lots = [Balls(SUNDAY, 10), Balls(MONDAY, 20), Balls(FRIDAY, 5)]
    one, two, three = dough_days(lots, TUESDAY, (30, 0, 0), (8, 25, 10))
    assert [(b.made.day, b.count) for b in one.there] == [(31, 10), (1, 20), (2, 30)]
    assert (one.binned, one.short) == (2, 0)  # 2 of Sunday are left on their third day
    assert [(b.made.day, b.count) for b in two.there] == [(1, 20), (2, 30)]
    assert (two.binned, two.short) == (0, 0)  # all of Monday's went, and five of Tuesday's
    assert (three.there[0].count, three.binned, three.short) == (25, 15, 0)


def test_what_lacks_is_told():
    one, two = dough_days([], TUESDAY, (10, 0), (8, 10))
    assert (one.short, two.short) == (0, 8)


def test_the_words_for_ages_are_the_trade_s():
    assert [age_word(age) for age in (1, 2, 3)] == ["good", "best", "last day"]


def test_at_an_even_pace_trays_come_out_evenly():
    """Twelve an hour and trays of six: one each half hour, each 75 min before it is wanted."""
    evening = Evening(SIX, (6.0,) * 4)
    told = trays_out(evening, [Balls(MONDAY, 60)], TUESDAY, 6, 4500, 9000)
    assert told.short == 0
    assert [one.ready_s - SIX for one in told.out] == [0, 1800, 3600, 5400]
    assert all(one.ready_s - one.out_s == 4500 and one.balls == 6 for one in told.out)


def test_a_slow_evening_gets_part_trays():
    """Two an hour and two hours to use them in: four at a time, never a ball past its time."""
    evening = Evening(SIX, (1.0,) * 8)
    told = trays_out(evening, [Balls(MONDAY, 60)], TUESDAY, 12, 4500, 2 * HOUR)
    assert [one.balls for one in told.out] == [4, 4]
    assert [one.ready_s - SIX for one in told.out] == [0, 2 * HOUR]


def test_the_oldest_comes_out_first_and_what_is_past_not_at_all():
    evening = Evening(SIX, (6.0, 6.0))
    told = trays_out(evening, [Balls(TUESDAY, 6), Balls(SUNDAY, 4), Balls(FRIDAY, 9)], TUESDAY, 6, 4500, 9000)
    assert [(one.made, one.balls) for one in told.out] == [(SUNDAY, 4), (TUESDAY, 6)]
    assert told.short == 2


def test_the_evening_is_the_house_s_own_curve():
    assert evening_of(SIX, (1, 3), 8).balls == (2.0, 6.0)
    with pytest.raises(ValueError, match="somebody"):
        evening_of(SIX, (0, 0), 8)
    with pytest.raises(ValueError, match="above 0"):
        trays_out(Evening(SIX, (1.0,)), [], TUESDAY, 0, 4500, 9000)
