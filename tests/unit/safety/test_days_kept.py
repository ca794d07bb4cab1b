"""Days that food may be kept, counted by hand on a calendar."""

from datetime import date

import pytest

from hearthtide.safety.dates import Frozen, Kept, date_verdict, last_day
from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.rules import DateMark

JUNE = [date(2026, 6, day) for day in range(1, 31)]


@pytest.mark.parametrize(
    ("name", "last"), [("us-fda-2022", 8), ("us-fda-2013", 8), ("france", 5), ("codex", 6)]
)
def test_the_last_day_of_food_made_on_the_second(name, last):
    """FDA: day 1 of 7; France: the day and three after it; Codex: five days with it."""
    (rule,) = rule_set(name).of(DateMark)
    assert last_day(rule, Kept(JUNE[1])) == date(2026, 6, last)
    marked = Kept(JUNE[1], marked=date(2026, 6, last))
    assert date_verdict(rule_set(name), marked, date(2026, 6, last)).passes
    assert date_verdict(rule_set(name), marked, date(2026, 6, last + 1)).answer == "fail"


def test_unmarked_after_a_day_or_marked_too_late_it_is_discarded():
    rules = rule_set("us-fda-2022")
    assert date_verdict(rules, Kept(JUNE[1]), JUNE[2]).passes, "within a day no mark is asked for"
    assert "no mark" in date_verdict(rules, Kept(JUNE[1]), JUNE[3]).words
    assert "wrongly marked" in date_verdict(rules, Kept(JUNE[1], marked=JUNE[9]), JUNE[3]).words


def test_two_stays_in_the_freezer_are_both_left_out():
    (rule,) = rule_set("us-fda-2022").of(DateMark)
    kept = Kept(JUNE[0], frozen=(Frozen(JUNE[1], JUNE[10]), Frozen(JUNE[12], JUNE[20])))
    # counted: 1, 2 (into the freezer), 11 (thawed), 12, 13 (into it again), 21 (thawed), 22
    assert last_day(rule, kept) == date(2026, 6, 22)
    # the dates of going in not counted: 1, 11, 12, 21, 22, 23, 24
    assert last_day(rule, kept, "freezing date free") == date(2026, 6, 24)


def test_food_in_the_freezer_is_not_judged_by_days():
    frozen = Kept(JUNE[0], frozen=(Frozen(JUNE[1], None),), marked=JUNE[6])
    assert date_verdict(rule_set("us-fda-2022"), frozen, JUNE[25]).answer == "unproven"


def test_a_set_without_days_leaves_them_to_the_house():
    found = date_verdict(rule_set("scotland"), Kept(JUNE[0]), JUNE[25])
    assert found.answer == "not applicable"
    assert "house" in found.words
