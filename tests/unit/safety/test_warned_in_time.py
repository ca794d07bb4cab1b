"""When a lot that cools is probed next, and what a foreseen curve may and may not do."""

from datetime import timedelta

import pytest

from hearthtide.safety.cooling import Foreseen, cooled, next_look, warnings
from hearthtide.safety.rule_sets import rule_set
from read_by_hand import at, read

FDA = rule_set("us-fda-2022")
START = at("14:00")


def falls(half_h, base_C=3.0):
    """A curve that halves its excess over the air in so many hours, from 57 °C."""
    at_s = [60.0 * n for n in range(24 * 60)]
    return Foreseen(at_s, [base_C + (57.0 - base_C) * 0.5 ** (t / 3600 / half_h) for t in at_s])


def test_it_is_probed_at_the_start_then_at_each_look():
    """Start, 1 h, 1 h 45, 2 h, 4 h, 6 h (own choice; the fourth is the code's own limit)."""
    taken, now = [], START
    for minutes in (0, 60, 105, 120, 240, 360):
        due = START + timedelta(minutes=minutes)
        assert next_look(START, tuple(taken), now) == due
        taken.append(read("60C", due, "warmest"))
        now = due
    assert next_look(START, tuple(taken), now) is None


def test_a_look_that_was_missed_stays_due_until_the_next():
    taken = (read("60C", START, "warmest"),)
    assert next_look(START, taken, at("15:40")) == at("15:00")
    assert next_look(START, taken, at("15:46")) == at("15:45")


def test_a_slow_curve_warns_of_its_stage_with_something_to_do():
    found = warnings(FDA, falls(2.5), 1800.0)
    assert [one.rule for one in found] == ["CL1", "CL2"]
    assert "Probe it now" in found[0].words and "thinner layers" in found[0].words


def test_a_fast_curve_warns_of_nothing_and_passes_nothing():
    assert warnings(FDA, falls(0.7), 1800.0) == []
    assert [one.answer for one in cooled(FDA, (), START, at("23:00")).stages] == ["unproven", "unproven"]


def test_a_curve_that_comes_close_warns():
    """It passes 21 °C after 1 h 55 by its own formula: within ten minutes of the limit."""
    half_h = (115 / 60) / 1.585  # 54 to 18 K over the air is a third: log2(3) halvings
    assert [one.rule for one in warnings(FDA, falls(half_h), 0.0)][:1] == ["CL1"]


def test_once_it_is_late_the_words_are_of_keeping_it_apart():
    (first, *_) = warnings(FDA, falls(2.5), 3 * 3600.0)
    assert "late" in first.words and "thinner" not in first.words


@pytest.mark.parametrize("made", ["room", "hot"])
def test_food_made_at_room_temperature_has_a_limit_of_its_own(made):
    """3-501.14(B): four hours to 41 °F."""
    readings = (read("41F", "17:59", "warmest"),)
    found = cooled(FDA, readings, START, at("23:00"), made).stages
    assert len(found) == (1 if made == "room" else 2)
    late = (read("41F", "18:01", "warmest"),)
    assert cooled(FDA, late, START, at("23:00"), "room").stages[0].answer == "fail"
