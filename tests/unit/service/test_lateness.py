"""Why a table was late: the steps on a night written by hand."""

import pytest

from hearthtide.service import commands as told
from hearthtide.service.history import history
from hearthtide.service.lateness import PlanThen, late_courses
from told_night import AT_S, Told, called

LANDS_S = AT_S + 1320


@pytest.fixture
def night():
    return Told()


def plan(night, minutes_late, table="B4", course=1, acts=None):
    """A plan made now, knowing all the log, that lands the course so much later than at first."""
    lands_s = {(table, course): LANDS_S + 60.0 * minutes_late}
    return PlanThen(night.now_s, night.night.state.seq, lands_s, acts or {})


def late(night, plans, late_after_s=120.0):
    return late_courses(night.facts, history(night.log.read()).told, plans, late_after_s)


def land(night, minutes_late, table="B4"):
    night.now_s = LANDS_S + 60.0 * minutes_late
    night.taken(told.Landed(table))


def test_a_course_within_the_house_s_limit_is_not_late_and_one_second_beyond_is(night):
    night.taken(called())
    plans = [plan(night, 0)]
    land(night, 2)
    assert late(night, plans) == ()
    assert [one.table for one in late(night, plans, late_after_s=119.0)] == ["B4"]


def test_steps_stand_by_what_they_cost_with_what_came_before_each(night):
    night.taken(called())
    plans = [plan(night, 0)]
    night.now_s += 60
    night.taken(called("B7", "pizza", covers=1))
    plans.append(plan(night, 1))
    night.now_s += 60
    night.taken(told.Spill(0.1, 0.5, 0.12, night.now_s + 420), by="Ben")
    night.taken(told.Refire("B4-1"))
    plans.append(plan(night, 6))
    night.now_s += 60
    night.taken(told.StageSeen("B4-2", AT_S + 900))
    plans.append(plan(night, 5))
    land(night, 5)
    (one,) = late(night, plans)
    assert (one.told_s, one.landed_s, one.late_s) == (LANDS_S, LANDS_S + 300, 300)
    assert [(s.added_s, [(c.kind, c.of, c.by) for c in s.causes]) for s in one.steps] == [
        (300, [("spill", "", "Ben"), ("refire", "B4-1", "Ana")]),
        (60, [("ticket", "B7", "Ana")]),
        (-60, [("seen", "B4-2", "Ana")]),
    ]


def test_an_act_done_late_is_a_cause_by_how_late_it_was_the_table_s_own_first(night):
    night.taken(called(dishes="pizza shrimp"))
    night.taken(called("B7", "pizza"))
    acts = {
        ("B4-1", "launch", 1): AT_S + 100.0,
        ("B7-1", "launch", 1): AT_S + 60.0,
        ("B4-2", "launch", 1): AT_S + 90,
    }
    plans = [plan(night, 0, acts=acts)]
    for item, at_s in (("B7-1", 160), ("B4-1", 150), ("B4-2", 105)):
        night.now_s = AT_S + at_s
        night.taken(told.MoveDone(item, "launch"))
    plans.append(plan(night, 3))
    land(night, 3)
    (one,) = late(night, plans)
    assert [(c.kind, c.of, c.late_s) for c in one.steps[0].causes] == [
        ("late_act", "B4-1", 50),
        ("late_act", "B7-1", 100),
    ]
    assert one.steps[0].causes[0].words == "launch of B4-1 was done 0:50 late"


def test_what_was_late_after_the_last_plan_is_a_step_of_its_own(night):
    night.taken(called(dishes="pizza"))
    plans = [plan(night, 0, acts={("B4-1", "pull", 1): AT_S + 1200})]
    night.now_s = AT_S + 1400
    night.taken(told.MoveDone("B4-1", "pull"))
    land(night, 4)
    (one,) = late(night, plans)
    (step,) = one.steps
    assert (step.after_plan, step.added_s, [c.of for c in step.causes]) == (True, 240, ["B4-1"])


def test_of_readings_a_plate_s_core_is_a_cause_and_the_stone_s_is_not(night):
    night.taken(called())
    plans = [plan(night, 0)]
    night.taken(told.Reading(352, "floor", "gun", place="centre"))
    night.taken(told.Reading(41, "core", "probe 2", item="B4-2"))
    plans.append(plan(night, 3))
    land(night, 3)
    (one,) = late(night, plans)
    assert [(c.kind, c.of) for c in one.steps[0].causes] == [("reading", "B4-2")]


def test_what_was_undone_caused_nothing(night):
    night.taken(called())
    plans = [plan(night, 0)]
    night.taken(told.FlameOut(), id="tablet-1-0001")
    night.taken(told.Undo("tablet-1-0001"))
    plans.append(plan(night, 3))
    land(night, 3)
    (one,) = late(night, plans)
    assert [(s.added_s, s.causes) for s in one.steps] == [(180, ())]


def test_a_course_that_no_plan_held_or_that_has_not_landed_is_not_told_late(night):
    night.taken(called(later="cheese_dip"))
    plans = [plan(night, 0, course=2)]
    land(night, 30)
    assert late(night, plans) == ()


def test_a_plan_told_after_a_course_landed_says_nothing_of_it(night):
    night.taken(called())
    plans = [plan(night, 0)]
    land(night, 3)
    night.now_s += 60
    plans.append(plan(night, 9))
    (one,) = late(night, plans)
    assert [(s.added_s, s.after_plan) for s in one.steps] == [(180, True)]


def test_the_latest_course_stands_first(night):
    night.taken(called("B4"))
    night.taken(called("B5"))
    plans = [PlanThen(AT_S, 2, {("B4", 1): LANDS_S, ("B5", 1): LANDS_S}, {})]
    land(night, 3, "B4")
    land(night, 8, "B5")
    assert [one.table for one in late(night, plans)] == ["B5", "B4"]
