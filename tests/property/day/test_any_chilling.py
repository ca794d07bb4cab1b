"""Whatever comes hot into whatever units: the checker finds no fault with the plan, the rest has a reason."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from cold_units import BLAST, COLD_C, HOUR_S, ICE, REACH_IN, US, WALK_IN
from hearthtide.day.chill_check import faults
from hearthtide.day.chill_lots import HotLot, Rack
from hearthtide.day.chill_plan import plan_chilling
from hearthtide.food.chilling import ToChill

FOODS = (("chicken_cooked", False), ("chicken_wing_cooked", False), ("tomato_sauce", True), ("beans", True))
# Of ten millimetres, so that what is drawn comes again and its slow side is found in memory.
DEPTHS_M = (0.015, 0.025, 0.04, 0.06)


@st.composite
def lots(draw):
    made = []
    for n in range(draw(st.integers(1, 7))):
        food, pan = draw(st.sampled_from(FOODS))
        what = ToChill(food, draw(st.sampled_from(DEPTHS_M)), lid=pan and draw(st.booleans()))
        made.append(
            HotLot(
                f"lot {n}",
                f"lot {n}",
                what,
                draw(st.sampled_from((1.0, 4.0, 15.0))),
                draw(st.integers(1, 9)),
                draw(st.sampled_from((65.0, 85.0))),
                60.0 * draw(st.integers(10 * 60, 14 * 60)),
                in_pan=pan,
                wanted_s=draw(st.sampled_from((None, 17 * HOUR_S))),
            )
        )
    return made


@st.composite
def units(draw):
    walk_in = replace(
        WALK_IN,
        takes_W=draw(st.sampled_from((700.0, 2000.0))),
        most_hot_kg=draw(st.sampled_from((6.0, 40.0))),
        racks=(Rack("trolley", draw(st.integers(1, 20)), draw(st.sampled_from((0.075, 0.2)))),),
    )
    return (walk_in, *draw(st.sets(st.sampled_from((REACH_IN, BLAST, ICE)))))


@settings(max_examples=25, deadline=None)
@given(lots(), units())
def test_a_plan_has_no_fault_and_the_rest_a_reason(hot, cold):
    plan = plan_chilling(hot, cold, US, COLD_C, ways=False)
    assert faults(plan, cold) == ()
    assert [one.lot.key for one in plan.lots] == [one.key for one in hot]
    for one in plan.lots:
        assert one.feasible == bool(one.stands) == (one.binds is None)
        assert one.feasible or one.reason
        assert not one.feasible or one.used <= 1
    assert all(course.air_C.max() < 40 for course in plan.units)


@settings(max_examples=15, deadline=None)
@given(lots(), units())
def test_the_same_lots_in_any_order_give_the_same_plan(hot, cold):
    first = plan_chilling(hot, cold, US, COLD_C, ways=False)
    again = plan_chilling(hot[::-1], cold, US, COLD_C, ways=False)
    found = {one.lot.key: one.stands for one in again.lots}
    assert all(found[one.lot.key] == one.stands for one in first.lots)
