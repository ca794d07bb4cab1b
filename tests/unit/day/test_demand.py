from dataclasses import replace
from datetime import date, timedelta

import pytest

from hearthtide.day.demand import covers_ahead, covers_of, last_miss, score_of, scored
from hearthtide.day.grid import grid_of
from hearthtide.day.history import last_same_weekdays, mean
from hearthtide.day.walk import basis, walk
from hearthtide.house.sold import History, SoldDay

DAY = date(2025, 12, 2)  # a Tuesday


def altered(history, change):
    return History(tuple(change(one) for one in history.days))


def shares(told):
    return told.counts.shares.tolist()


def test_nothing_sold_on_the_day_or_later_is_looked_at(invented):
    history = invented(360, bookings=True)
    later = altered(history, lambda one: replace(one, covers=5) if one.day >= DAY else one)
    assert shares(covers_of(history, DAY)) == shares(covers_of(later, DAY))


def test_a_noted_day_is_kept_and_nothing_is_learned_from_it(invented):
    history = invented(300)
    day = date(2025, 10, 28)
    odd = [date(2025, 10, 14), date(2025, 10, 17)]

    def told(covers):
        return altered(
            history, lambda one: replace(one, covers=covers, note="snow") if one.day in odd else one
        )

    assert shares(covers_of(told(5), day)) == shares(covers_of(told(400), day))
    last = covers_of(told(5), day).last
    assert odd[0] not in [one for one, _ in last] and len(last) == 4


def test_bookings_move_the_number_and_narrow_the_band(invented):
    history = invented(330, bookings=True)
    known = covers_of(history, DAY).known
    next_day = known + timedelta(days=2)  # the Tuesday after a Sunday

    def with_booked(n):
        return covers_of(History((*history.before(next_day).days, SoldDay(next_day, None, n))), next_day)

    few, many = with_booked(20), with_booked(55)
    assert "bookings" in few.learned and "bookings" not in covers_of(invented(330), DAY).learned
    assert many.counts.middle > few.counts.middle + 15
    plain = covers_of(invented(330), next_day)
    assert many.counts.sd < plain.counts.sd


def test_bookings_that_the_past_does_not_tell_are_not_used(invented):
    history = invented(330)
    day = history.days[-1].day + timedelta(days=1)
    while day.weekday() == 0:
        day += timedelta(days=1)
    told = covers_of(History((*history.days, SoldDay(day, None, 55))), day)
    assert "bookings" not in told.learned
    assert any("bookings are not used" in one for one in told.remarks)


def test_a_holiday_is_learned_from_those_that_were(invented):
    feasts = [date(2025, 3, 4) + timedelta(days=35 * n) for n in range(8)]
    history = invented(340, holidays=feasts)
    day = date(2025, 12, 9)

    def told(holiday):
        return covers_of(History((*history.days, SoldDay(day, None, None, holiday))), day)

    assert day not in history.by_date and "holidays" in told("").learned
    assert told("feast").counts.middle > 1.25 * told("").counts.middle
    assert any("holiday" in one for one in told("feast").remarks)


def test_a_holiday_that_was_never_seen_says_so(invented):
    history = invented(300)
    day = history.days[-1].day + timedelta(days=7)
    told = covers_of(History((*history.days, SoldDay(day, None, None, "feast"))), day)
    assert any("none is in the history" in one for one in told.remarks)


def test_a_shut_day_wants_nothing(invented):
    history = invented(200)
    monday = history.days[-1].day + timedelta(days=1)
    while monday.weekday() != 0:
        monday += timedelta(days=1)
    assert shares(covers_of(history, monday)) == [1.0]
    tuesday = monday + timedelta(days=1)
    shut = covers_of(History((*history.days, SoldDay(tuesday, None, note="shut: boiler"))), tuesday)
    assert shares(shut) == [1.0] and shut.remarks == ("shut",)


def test_too_few_days_leave_the_rule_alone_to_speak(invented):
    told = covers_of(invented(21), date(2025, 1, 21))
    assert told.counts is None and told.rule is not None
    assert any("only the plain rule" in one for one in told.remarks)
    with pytest.raises(ValueError, match="nothing known"):
        covers_of(invented(21), date(2025, 1, 2))
    with pytest.raises(ValueError, match="at most 28 days"):
        covers_of(invented(21), date(2025, 4, 1))


def test_nine_weeks_are_enough(invented):
    assert covers_of(invented(63), date(2025, 3, 5)).counts is not None


def test_several_days_are_told_from_one_morning(invented):
    history = invented(330)
    days = (DAY, DAY + timedelta(days=1), DAY + timedelta(days=2))
    told = covers_ahead(history, days)
    assert {one.known for one in told} == {date(2025, 11, 27)} or all(one.known < DAY for one in told)
    cut = altered(history, lambda one: replace(one, covers=1) if one.day >= DAY else one)
    assert [shares(one) for one in told] == [shares(one) for one in covers_ahead(cut, days)]
    assert shares(told[0]) == shares(covers_of(history, DAY))


def test_the_last_miss_is_what_was_said_then(invented):
    history = invented(330)
    told = covers_of(history, DAY)
    miss = last_miss(history, told)
    before = DAY - timedelta(days=7)
    assert miss.said.day == before and miss.came == history.by_date[before].covers
    assert miss.said.ahead_days == told.ahead_days
    late = altered(history, lambda one: replace(one, covers=3) if one.day >= before else one)
    assert shares(last_miss(late, told).said) == shares(miss.said)


def test_the_score_counts_the_last_eight_weeks(invented):
    history = invented(330)
    score = score_of(history, covers_of(history, DAY))
    assert 40 <= score.days <= 48
    assert 0 < score.ours < score.week_before
    assert score_of(invented(70), covers_of(invented(70), date(2025, 3, 11))) is None


def test_the_rule_on_the_grid_is_the_rule_by_weekdays(invented):
    """Written twice, once over a whole calendar and once for a day."""
    history = invented(150, holidays=[date(2025, 4, 1)])
    last = history.days[-1].day
    grid = grid_of(history, last, last)
    for ahead in (1, 3, 7, 8, 15):
        rule = grid.rule(ahead)
        for one in history.days[40:]:
            known = one.day - timedelta(days=ahead)
            told = mean([n for _, n in last_same_weekdays(history, one.day, known)])
            assert rule[grid.at(one.day)] == pytest.approx(told)


def test_a_band_holds_what_it_says_on_a_house_that_does_not_change(invented):
    """Every night of a year and a half of an invented house whose law stays: eight of ten within."""
    history = invented(700, seed=9)
    first, last = history.days[150].day, history.days[-1].day
    found = scored(walk(basis(grid_of(history, last, last), False, first), 2), first, last)
    assert found.days > 400
    assert found.held == pytest.approx(0.8, abs=0.04)  # two standard errors of so many nights
    assert found.ours < found.rule < found.week_before
