"""A night again: meant beside done, on two plans written by hand."""

import pytest

from hearthtide.service import commands as told
from hearthtide.service.history import history
from hearthtide.service.plan_told import KeptAct, KeptOrder, KeptPlate, KeptStay, PlanMade
from hearthtide.service.replay import Stood, plans_then, replay
from told_night import AT_S, Told, called


@pytest.fixture
def night():
    return Told()


def stay(x_m, start_s, end_s, on_stone=True):
    return KeptStay(0, 0, x_m, 0.5, int(AT_S + start_s), int(AT_S + end_s), int(AT_S + end_s), 0, on_stone)


def kept(key, x_m, start_s, end_s, acts=("launch", "pull"), on_stone=True):
    times = {
        "launch": start_s,
        "load": start_s,
        "pull": end_s,
        "dress": start_s - 25,
        "turn": (start_s + end_s) // 2,
    }
    return KeptPlate(
        key,
        "pizza",
        int(AT_S + end_s),
        int(AT_S + end_s),
        (stay(x_m, start_s, end_s, on_stone),),
        tuple(KeptAct(act, int(AT_S + times[act]), 10, 0, 0) for act in acts),
    )


def planned(night, lands_s, *plates, key="B4.1", table="B4"):
    order = KeptOrder(key, table, int(AT_S + 1320), int(AT_S + lands_s), plates)
    night.taken(PlanMade(night.night.state.seq, (order,)), by="the plan")


def again(night):
    return replay(night.facts, history(night.log.read()), 120.0)


def plate(shown, item):
    return next(one for one in shown.plates if one.item == item)


def test_an_empty_night_is_a_replay_of_nothing(night):
    assert (again(night).plates, again(night).courses, again(night).late) == ((), (), ())


def test_a_plate_stood_where_the_plan_of_its_launch_had_it_until_it_was_pulled(night):
    night.taken(called(dishes="pizza"))
    planned(night, 1320, kept("B4-1", 0.1, 900, 1100))
    night.now_s = AT_S + 600
    planned(night, 1400, kept("B4-1", 0.3, 980, 1180))
    night.now_s = AT_S + 990
    night.taken(told.MoveDone("B4-1", "launch"))
    night.now_s = AT_S + 1200
    planned(night, 1400, kept("B4-1", 0.4, 980, 1210))
    night.now_s = AT_S + 1215
    night.taken(told.MoveDone("B4-1", "pull"))
    one = plate(again(night), "B4-1")
    assert one.stood == (Stood(AT_S + 990, AT_S + 1215, 0.3, 0.5),)
    assert [(m.at_s, m.stays[0].x_m) for m in one.meant] == [
        (AT_S, 0.1),
        (AT_S + 600, 0.3),
        (AT_S + 1200, 0.4),
    ]


def test_a_plan_that_moves_a_plate_by_a_few_seconds_is_not_told_again(night):
    night.taken(called(dishes="pizza"))
    planned(night, 1320, kept("B4-1", 0.1, 900, 1100))
    planned(night, 1320, kept("B4-1", 0.1, 908, 1108))
    planned(night, 1320, kept("B4-1", 0.1, 918, 1118))
    assert [m.stays[0].from_s - AT_S for m in plate(again(night), "B4-1").meant] == [900, 918]


def test_a_spoilt_plate_stood_until_it_was_told_off_and_one_landed_until_its_course_left(night):
    night.taken(called(dishes="pizza pizza"))
    planned(night, 1320, kept("B4-1", 0.1, 900, 1100), kept("B4-2", 0.4, 900, 1100))
    night.now_s = AT_S + 900
    night.taken(told.MoveDone("B4-1", "launch"))
    night.taken(told.MoveDone("B4-2", "launch"))
    night.now_s = AT_S + 950
    night.taken(told.Refire("B4-1"))
    night.now_s = AT_S + 1320
    night.taken(told.Landed("B4"))
    shown = again(night)
    assert (plate(shown, "B4-1").off, plate(shown, "B4-1").stood[0].until_s) == ("re-fired", AT_S + 950)
    assert plate(shown, "B4-2").stood[0].until_s == AT_S + 1320
    assert plate(shown, "B4-1+").stood == ()


def test_a_platter_stood_where_it_was_loaded_as_bare_dough_does(night):
    night.taken(called(dishes="strip_steak"))
    planned(night, 1320, kept("B4-1", 0.2, 900, 1100, ("load", "pull"), on_stone=False))
    night.now_s = AT_S + 905
    night.taken(told.MoveDone("B4-1", "load"))
    night.now_s = AT_S + 1110
    night.taken(told.MoveDone("B4-1", "pull"))
    assert plate(again(night), "B4-1").stood == (Stood(AT_S + 905, AT_S + 1110, 0.2, 0.5),)


def test_a_launch_that_no_plan_meant_stands_nowhere(night):
    night.taken(called(dishes="pizza"))
    night.taken(told.MoveDone("B4-1", "launch"))
    assert plate(again(night), "B4-1").stood == ()


def test_a_course_tells_each_landing_once_and_of_its_drops_the_last(night):
    night.taken(called(dishes="pizza pizza"))
    for lands_s in (1320, 1320, 1500):
        orders = tuple(
            KeptOrder(
                f"B4.1/{n}", "B4", int(AT_S), int(AT_S + lands_s + 60 * n), (kept(f"B4-{n}", 0.1, 900, 1100),)
            )
            for n in (1, 2)
        )
        night.taken(PlanMade(night.night.state.seq, orders), by="the plan")
    (course,) = again(night).courses
    assert course.told == ((AT_S, AT_S + 1440), (AT_S, AT_S + 1620))


def test_marks_carry_a_spill_s_circle_and_late_tables_their_steps(night):
    night.taken(called(dishes="pizza"))
    planned(night, 1320, kept("B4-1", 0.1, 900, 1100))
    night.now_s += 60
    night.taken(told.Spill(0.1, 0.5, 0.2, AT_S + 480), by="Ben")
    planned(night, 1620, kept("B4-1", 0.4, 1200, 1400))
    night.now_s = AT_S + 1620
    night.taken(told.Landed("B4"))
    shown = again(night)
    spill = next(mark for mark in shown.marks if mark.kind == "spill")
    assert (spill.x_m, spill.radius_m, spill.until_s, spill.by) == (0.1, 0.2, AT_S + 480, "Ben")
    assert [(one.table, one.steps[0].added_s, one.steps[0].causes[0].kind) for one in shown.late] == [
        ("B4", 300, "spill")
    ]
    assert (shown.from_s, shown.until_s) == (AT_S, AT_S + 1620)


def test_acts_are_numbered_among_their_kind_in_order_of_time(night):
    night.taken(called(dishes="pizza"))
    acts = (KeptAct("turn", int(AT_S + 950), 10, 0, 0), KeptAct("turn", int(AT_S + 920), 10, 0, 0))
    one = kept("B4-1", 0.1, 900, 1100)
    planned(night, 1320, KeptPlate(one.key, one.dish, one.leave_s, one.ready_s, one.stays, acts))
    (plan,) = plans_then(history(night.log.read()).plans)
    assert plan.acts_s == {("B4-1", "turn", 1): AT_S + 920, ("B4-1", "turn", 2): AT_S + 950}
