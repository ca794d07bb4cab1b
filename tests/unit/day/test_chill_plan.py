"""Where hot lots go: places, kilograms, neighbours, what is stored; what is not started and what would."""

import math
from dataclasses import replace

import pytest

from cold_units import ALL, BLAST, COLD_C, HALVES, HOUR_S, ICE, REACH_IN, SAUCE, US, WALK_IN, WINGS, lot
from hearthtide.day.chill_check import faults
from hearthtide.day.chill_lots import Rack, There
from hearthtide.day.chill_plan import plan_chilling, prompts
from hearthtide.day.chill_sides import moved, sides
from hearthtide.errors import PhysicalRangeError
from hearthtide.food.chill_band import ChillDoubt, Cooling, chill_all, chill_members
from hearthtide.food.chill_methods import FAN_RACK, STILL_RACK
from hearthtide.food.chilling import ChillLimits, ToChill
from hearthtide.safety.cooling import LOOKS


def planned(lots, units=ALL, **more):
    plan = plan_chilling(lots, units, US, COLD_C, hot_C=57.0, **more)
    assert faults(plan, units) == ()
    return plan


def test_what_makes_it_in_the_first_unit_stays_there():
    (one,) = planned([lot("wings")]).lots
    assert one.feasible and [stand.unit for stand in one.stands] == ["walk-in"]
    assert one.stands[0].racks == (("trolley", 2),)
    assert one.likely.end_s <= one.late.end_s
    assert (one.course.quick_C <= one.course.core_C + 1e-9).all()
    assert (one.course.core_C <= one.course.slow_C + 1e-9).all()


def test_what_is_too_slow_goes_through_a_strong_unit_first():
    (one,) = planned([lot("beans", ToChill("beans", 0.04), in_pan=True)], (WALK_IN, BLAST)).lots
    assert [stand.unit for stand in one.stands] == ["blast", "walk-in"]
    assert one.stands[0].until_s % 300 == 0


def test_looks_are_those_of_the_records():
    assert prompts(0.0, None) == tuple(one.total_seconds() for one in LOOKS)
    assert prompts(0.0, 3 * HOUR_S)[-1] == 4 * HOUR_S


def test_too_many_hot_kilograms_are_refused_and_a_later_start_is_found():
    units = (replace(WALK_IN, most_hot_kg=9.0),)
    first, second = planned([lot("a"), lot("b", hours=15.25)], units).lots
    assert first.feasible and not second.feasible and second.binds == "kilograms"
    later = next(way for way in second.ways if way.kind == "later")
    plan = planned([lot("a"), replace(second.lot, ready_s=later.lot.ready_s)], units)
    assert plan.feasible


def test_trays_want_air_about_them():
    # Ten places 75 mm apart: 22 mm of wings and 50 mm of air fit into each, 40 mm of halves into every
    # second.
    units = (replace(WALK_IN, racks=(Rack("trolley", 10, 0.075),)),)
    assert planned([lot("wings", trays=10)], units).feasible
    (one,) = planned([lot("halves", HALVES, trays=6)], units).lots
    assert one.binds == "place" and {"fewer"} <= {way.kind for way in one.ways}
    assert planned([lot("halves", HALVES, trays=5)], units).feasible


def test_a_thick_lot_takes_the_places_of_a_thin_one_beside_it():
    units = (replace(WALK_IN, racks=(Rack("trolley", 10, 0.075),)),)
    thin, thick = planned([lot("wings", trays=4), lot("halves", HALVES, 15.1, trays=2)], units).lots
    assert thin.feasible and not thick.feasible and thick.binds == "place"


def test_what_is_stored_is_not_warmed_and_neighbours_are_not_spoiled():
    # A unit that takes away little: one lot is right, a heavy one would warm what stands there.
    units = (replace(WALK_IN, takes_W=700.0, most_hot_kg=200.0),)
    assert planned([lot("a", kg=3.0)], units).feasible
    heavy = planned([lot("a", kg=3.0), lot("b", hours=15.1, kg=60.0, trays=6)], units).lots[1]
    assert heavy.binds in ("stored", "others", "limit")
    beside = plan_chilling(
        [lot("a", HALVES, kg=8.0), lot("b", hours=15.2, kg=60.0, trays=6)], units, US, None
    )
    assert beside.lots[0].feasible and beside.lots[1].binds in ("others", "limit")


def test_what_is_there_already_counts():
    units = (replace(WALK_IN, most_hot_kg=9.0),)
    there = There(lot("stew", ToChill("beans", 0.03), 14.75, in_pan=True), "walk-in")
    (one,) = plan_chilling([lot("wings")], units, US, COLD_C, there=(there,)).lots
    assert one.binds == "kilograms"
    (alone,) = plan_chilling([lot("wings")], units, US, COLD_C).lots
    assert alone.feasible
    with pytest.raises(KeyError, match="walk-in"):
        plan_chilling([lot("wings")], units, US, there=(There(lot("stew"), "cellar"),))


def test_a_lot_that_cools_already_has_the_marks_of_one_that_is_placed():
    placed = planned([lot("wings")], (WALK_IN,)).lots[0]
    plan = planned([], (WALK_IN,), there=(There(lot("wings"), "walk-in"),))
    (one,) = plan.stood
    assert plan.feasible and plan.lots == () and one.feasible
    assert (one.likely, one.late, one.prompts_s) == (placed.likely, placed.late, placed.prompts_s)
    assert one.stands == placed.stands


def test_a_lot_that_cools_already_and_misses_is_told_as_one_that_is_not_started():
    sauce = lot("sauce", SAUCE, in_pan=True)
    (refused,) = planned([sauce], (WALK_IN,)).lots
    plan = planned([], (WALK_IN,), there=(There(sauce, "walk-in"),))
    (one,) = plan.stood
    assert refused.binds == one.binds == "limit" and not plan.feasible
    assert one.reason in refused.reason and one.stands


def test_trays_of_lots_that_cool_already_without_a_place_are_told():
    # Five places: three and three trays leave one over; and 5 + 5 kg in a unit for 9.
    units = (replace(WALK_IN, racks=(Rack("trolley", 5, 0.10),), most_hot_kg=9.0),)
    there = tuple(There(lot(key, hours=h, trays=3), "walk-in") for key, h in (("late", 15.1), ("soon", 15.0)))
    late, soon = planned([], units, there=there).stood
    assert soon.stands[0].racks == (("trolley", 3),) and late.stands[0].racks == (("trolley", 2),)
    assert late.binds == "place" and "1 of its 3 trays" in late.reason
    assert "10.0 kg hot at once, 9 kg at most" in late.reason and "10.0 kg" in soon.reason
    # Another lot finds no room there; in a unit of its own it does.
    assert planned([lot("wings", hours=15.2)], units, there=there).lots[0].binds == "kilograms"


def test_what_is_stored_beside_a_lot_that_cools_already():
    units = (replace(WALK_IN, takes_W=700.0, most_hot_kg=200.0),)
    plan = planned([], units, there=(There(lot("a", kg=60.0, trays=6), "walk-in"),))
    assert [one.unit for one in plan.warmed] == ["walk-in"] and not plan.feasible
    assert plan.warmed[0].stored_C > COLD_C
    hidden = replace(plan, units=tuple(replace(one, stored_C=4.0) for one in plan.units))
    assert any("stored warms" in words for words in faults(hidden, units))
    assert faults(replace(plan, stood=()), units)


def test_the_checker_refuses_a_miss_of_a_lot_that_cools_already_that_is_not_told():
    plan = planned([], (WALK_IN,), there=(There(lot("sauce", SAUCE, in_pan=True), "walk-in"),))
    told = plan.stood[0]
    for other in (replace(told, feasible=True), replace(told, reason=""), replace(told, stands=())):
        assert faults(replace(plan, stood=(other,)), (WALK_IN,))


def test_what_is_wanted_cold_too_soon_is_held_hot():
    (one,) = planned([lot("halves", HALVES, 16.0, wanted_s=17 * HOUR_S)], (WALK_IN,)).lots
    assert one.binds == "wanted" and one.ways[0].kind == "hot hold"
    assert "57 °C" in one.ways[0].words
    (slow,) = planned([lot("sauce", SAUCE, in_pan=True)], (WALK_IN,)).lots
    assert slow.binds == "limit" and slow.ways[-1].kind == "hot hold"


def test_every_way_out_that_is_offered_makes_it():
    lots = (
        lot("sauce", SAUCE, in_pan=True),
        lot("lidded", ToChill("tomato_sauce", 0.03, lid=True)),
        lot("halves", ToChill("chicken_cooked", 0.055)),
        lot("heavy", WINGS, kg=60.0, trays=20),
    )
    kinds = set()
    for one in lots:
        (plan,) = planned([one], (WALK_IN,)).lots
        assert not plan.feasible and plan.reason and plan.ways
        assert [way.trouble for way in plan.ways] == sorted(way.trouble for way in plan.ways)
        for way in plan.ways:
            kinds.add(way.kind)
            if way.lot is not None:
                walk_in = WALK_IN if way.air_C is None else replace(WALK_IN, air_C=way.air_C)
                assert planned([way.lot], (walk_in, ICE) if way.kind == "ice" else (walk_in,)).feasible
    assert {"lid off", "ice", "thinner", "fewer", "hot hold"} <= kinds


def test_a_limit_close_to_the_room_s_own_air_wants_a_colder_room():
    # Ontario: 60 to 20 °C in 2 h, then 4 °C within 4 h more. In air of 3.5 °C its slow side never gets there.
    ontario = ChillLimits(60.0, 20.0, 4.0, 2 * HOUR_S, math.inf, 4 * HOUR_S)
    # Dry faces: open wet ones cool below the air.
    warm, dry = (replace(WALK_IN, air_C=3.5),), lot("flat", ToChill("chicken_cooked", 0.03, wet=0.0))
    (one,) = plan_chilling([dry], warm, ontario, 4.0).lots
    assert one.binds == "limit" and one.ways[0].kind == "colder"
    colder = (replace(WALK_IN, air_C=one.ways[0].air_C),)
    assert plan_chilling([dry], colder, ontario, 4.0).feasible


def test_nothing_is_judged_where_the_code_states_no_times():
    (one,) = plan_chilling([lot("sauce", ToChill("tomato_sauce", 0.09), in_pan=True)], (WALK_IN,), None).lots
    assert one.feasible and one.likely.middle_s is not None


def test_no_unit_for_such_a_lot():
    (one,) = plan_chilling([lot("sauce", SAUCE, in_pan=True)], (replace(WALK_IN, pans=None),), US).lots
    assert one.binds == "no way" and math.isinf(one.used)


def test_a_key_that_comes_twice_and_quantities_out_of_range_are_refused():
    with pytest.raises(KeyError):
        plan_chilling([lot("a"), lot("a")], ALL, US)
    with pytest.raises(PhysicalRangeError):
        lot("a", core_C=120.0)
    with pytest.raises(PhysicalRangeError):
        replace(WALK_IN, takes_W=0.0)


@pytest.mark.parametrize(
    ("what", "method"),
    [(HALVES, FAN_RACK), (WINGS, STILL_RACK), (ToChill("beans", 0.03), FAN_RACK)],
)
def test_about_a_tenth_of_drawn_cases_are_worse_than_the_slow_side(what, method):
    # The other side draws 400 members of the same doubts; a tenth by first order: 5 to 17 in 100 are taken.
    doubt = ChillDoubt()
    slow, quick = sides(what, 75.0, method, US, doubt)
    drawn = chill_all(chill_members(doubt, 400, 3), Cooling(what, 75.0, method, US)).used
    for side, low, high in ((slow, 0.05, 0.17), (quick, 0.83, 0.95)):
        own = chill_all((side,), Cooling(what, 75.0, method, US)).used[0]
        assert low <= (drawn > own).mean() <= high
    assert moved([0.0] * 6, doubt).thickness == 1.0


MUTATIONS = {
    "later": lambda s: replace(s, from_s=s.from_s + 600),
    "elsewhere": lambda s: replace(s, unit="cellar"),
    "fewer trays": lambda s: replace(s, racks=((s.racks[0][0], s.racks[0][1] - 1),)),
    "a rack that is not there": lambda s: replace(s, racks=(("attic", 2),)),
    "gone too soon": lambda s: replace(s, until_s=s.from_s + 900),
    "backwards": lambda s: replace(s, until_s=s.from_s - 900),
}


@pytest.mark.parametrize("name", MUTATIONS)
def test_the_checker_refuses_a_stand_that_was_changed(name):
    plan = planned([lot("wings"), lot("halves", HALVES, 15.5)])
    one = plan.lots[0]
    other = replace(one, stands=(MUTATIONS[name](one.stands[0]),))
    assert faults(replace(plan, lots=(other, *plan.lots[1:])), ALL)


def test_the_checker_refuses_plans_made_for_other_units_lots_or_limits():
    plan = planned([lot("wings"), lot("halves", HALVES, 15.5)])
    wings, halves = plan.lots
    worse = (
        (plan, (replace(WALK_IN, most_hot_kg=6.0), REACH_IN)),
        (plan, (replace(WALK_IN, racks=(Rack("trolley", 2, 0.1),)), REACH_IN)),
        (plan, (replace(WALK_IN, pieces=STILL_RACK, takes_W=620.0), REACH_IN)),
        (replace(plan, limits=replace(US, middle_within_s=1200.0)), ALL),
        (replace(plan, lots=(replace(wings, prompts_s=wings.prompts_s[:1]), halves)), ALL),
        (replace(plan, lots=(replace(wings, likely=halves.likely), halves)), ALL),
        (replace(plan, lots=(replace(wings, lot=replace(wings.lot, wanted_s=15.2 * HOUR_S)), halves)), ALL),
        (replace(plan, lots=(replace(wings, feasible=False), halves)), ALL),
        (replace(plan, lots=(replace(wings, stands=()), halves)), ALL),
        (replace(plan, keeps_C=2.0), (replace(WALK_IN, air_C=1.0, takes_W=640.0), REACH_IN)),
    )
    for changed, units in worse:
        assert faults(changed, units), changed.limits
