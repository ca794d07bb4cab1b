"""A cold unit that failed: each item by each code, how long by the logger's rows; no pass that is none."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from hearthtide.safety.cold_failure import Inside, cold_failure_verdict, failure_clause, out_for
from hearthtide.safety.readings import Limit, Reading
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.rules import ColdFailure

NOW = datetime(2026, 6, 2, 8, 30, tzinfo=UTC)
GOOD = datetime(2026, 6, 1, 22, 40, tzinfo=UTC)
FIVE = Limit(F=Decimal(41), C=Decimal(5))


def at(clock):
    hours, minutes = map(int, clock.split(":"))
    return datetime(2026, 6, 2, tzinfo=UTC) + timedelta(hours=hours, minutes=minutes)


def air(*rows):
    return tuple(
        Reading(f"a{n}", "walk-in", at(clock), 0, Decimal(str(value)), "C", "air", "logger", "nobody")
        for n, (clock, value) in enumerate(rows)
    )


def food(value, unit="C", when=NOW, needs_cold=True):
    read = Reading("r1", "food", when, 0, Decimal(str(value)), unit, "warmest", "probe", "Ida")
    return Inside("food", needs_cold, (read,))


NIGHT = air(("00:00", 4.2), ("02:10", 5.0), ("02:20", 5.1), ("06:50", 8.0), ("07:00", 8.2), ("08:30", 9.5))


def by(name, value, rows=NIGHT, last_good=GOOD, **more):
    return cold_failure_verdict(rule_set(name), food(value, **more), rows, last_good, NOW)


@pytest.mark.parametrize("edition", ["us-fda-2013", "us-fda-2017", "us-fda-2022"])
@pytest.mark.parametrize("value", [8.1, 7.4, 8.8, 8.0])
def test_by_the_us_code_all_that_needs_cold_is_out_six_hours_twenty(edition, value):
    # The trade's scenario: logger above 5 °C since 02:10, read at 08:30: 6 h 20; over 4 h above 5 °C is out.
    told = by(edition, value)
    assert told.outcome == "discard" and told.out.words == "6 h 20 min"
    assert told.kept.answer == told.time.answer == "fail" and told.time.rule == "CF1"


@pytest.mark.parametrize(
    ("value", "outcome"),
    [
        (8.1, "a person decides"),
        (7.4, "within its limit"),
        (8.8, "a person decides"),
        (8.0, "within its limit"),
    ],
)
def test_in_england_the_clock_of_eight_degrees_is_one_hour_forty(value, outcome):
    told = by("england-wales-ni", value)
    assert told.outcome == outcome
    if outcome == "a person decides":
        assert told.out.words == "1 h 40 min" and "2 h 20 min are left" in told.time.words
        assert told.time.answer == "unproven"


def test_what_each_set_says_of_eight_point_one_after_such_a_night():
    # Ontario: out of its 4 °C for 2 h at most. Australia: its times added, 4 h. Scotland, Codex: no number.
    told = {name: by(name, 8.1).outcome for name in rule_set_names()}
    assert told["canada-ontario"] == told["australia"] == "discard"
    assert told["scotland"] == told["codex"] == "a person decides"
    assert "within its limit" not in told.values()


def test_a_clause_for_a_failed_cold_gives_no_leave_to_keep_food_on_time_alone():
    clause = failure_clause(rule_set("us-fda-2022"))
    assert isinstance(clause, ColdFailure) and clause.within_s == 4 * 3600


def test_less_than_its_hours_is_a_person_s_decision_and_never_a_pass():
    short = air(("06:00", 4.0), ("06:10", 6.0), ("08:30", 7.0))
    told = by("us-fda-2022", 6.5, short)
    assert told.outcome == "a person decides" and told.out.words == "2 h 30 min"
    assert told.kept.answer == "fail" and told.time.answer == "unproven"


def test_air_that_came_back_leaves_food_in_doubt():
    # Above 5 °C from 00:10 to 06:50 and cold since: the food may have been warm for 0 to 8 h 20.
    back = air(("00:10", 5.0), ("00:20", 9.0), ("06:50", 4.5), ("08:30", 4.0))
    told = by("us-fda-2022", 6.5, back)
    assert told.outcome == "a person decides"
    assert told.out.least == timedelta(0) and told.out.most == timedelta(hours=8, minutes=20)


def test_a_logger_that_never_saw_it_warm_does_not_clear_warm_food():
    told = by("us-fda-2022", 6.5, air(("00:00", 4.0), ("08:30", 4.0)))
    assert told.outcome == "a person decides" and told.out.most == NOW - GOOD
    assert by("us-fda-2022", 6.5, (), None).outcome == "a person decides"


def test_from_the_first_row_where_nothing_before_was_good():
    assert out_for(FIVE, False, air(("03:00", 6.0), ("08:30", 7.0)), None, NOW).least == timedelta(hours=5.5)
    assert out_for(FIVE, False, (), None, NOW) is None
    assert out_for(FIVE, False, air(("09:00", 9.0)), None, NOW) is None  # after now


def test_rows_before_the_last_good_one_do_not_count():
    rows = air(("00:00", 9.0), ("03:00", 4.0), ("08:00", 5.0), ("08:30", 6.0))
    assert out_for(FIVE, False, rows, at("02:00"), NOW).most == timedelta(minutes=30)


def test_food_within_its_limit_food_nobody_read_and_food_that_needs_no_cold():
    cold = air(("00:00", 4.0), ("06:00", 5.0), ("08:30", 4.0))
    assert by("us-fda-2022", 4.9, cold).outcome == "within its limit"
    assert by("us-fda-2022", 41, cold, unit="F").outcome == "within its limit"
    unread = cold_failure_verdict(rule_set("us-fda-2022"), Inside("soup", True, ()), NIGHT, GOOD, NOW)
    assert unread.outcome == "a person decides" and unread.kept.answer == "unproven"
    later = by("us-fda-2022", 4.0, when=NOW + timedelta(hours=1))
    assert later.outcome == "a person decides"  # a reading after now proves nothing now
    dough = by("us-fda-2022", 9.8, needs_cold=False)
    assert dough.outcome == "not by this rule" and dough.kept.answer == "not applicable"


def test_food_that_is_cold_again_is_not_cleared_of_the_hours_before():
    # The trade's night, over 5 °C from 02:10, the unit back at 07:30: at the most 08:30 - 02:10 = 6 h 20 min,
    # where the US set gives 4 h.
    back = air(("00:00", 4.2), ("02:10", 5.0), ("02:20", 5.1), ("07:20", 8.4), ("07:30", 3.9), ("08:30", 3.9))
    told = by("us-fda-2022", 4.8, back)
    assert told.outcome == "a person decides"
    assert (told.kept.answer, told.time.answer, told.time.rule) == ("pass", "unproven", "CF1")
    assert "6 h 20 min" in told.time.words and told.out.most == timedelta(hours=6, minutes=20)
    # Out for 08:30 - 04:40 = 3 h 50 min at the most, under 4 h: the probe's word stands.
    later = air(("04:40", 5.0), ("04:50", 5.1), ("07:30", 3.9), ("08:30", 3.9))
    assert by("us-fda-2022", 4.8, later).outcome == "within its limit"
    # By England's 8 °C the same air was over for 08:30 - 06:50 at the most.
    assert by("england-wales-ni", 7.4, NIGHT).outcome == "within its limit"


def test_cold_food_beside_a_logger_that_says_nothing_or_stopped():
    unseen = by("us-fda-2022", 4.8, ())
    assert unseen.outcome == "a person decides" and unseen.time.answer == "unproven"
    stopped = by("us-fda-2022", 4.8, air(("00:00", 4.0), ("04:00", 4.0)))  # 4 h 30 that no row speaks of
    assert stopped.outcome == "a person decides" and "4 h 30 min" in stopped.time.words
    assert by("us-fda-2022", 4.8, air(("00:00", 4.0), ("05:00", 4.0))).outcome == "within its limit"


def test_a_reading_that_no_food_can_have_decides_nothing():
    assert by("us-fda-2022", -80).outcome == "a person decides"
