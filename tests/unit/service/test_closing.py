"""The closing page's figures, counted by hand on a short night."""

import pytest

from hearthtide.service import commands as told
from hearthtide.service.closing import Busiest, DishCount, closing
from hearthtide.service.history import history
from hearthtide.service.tickets import Spot
from told_night import AT_S, Told, called, kitchen


@pytest.fixture
def night():
    return Told()


def closed(night, doors_s=AT_S):
    return closing(night.facts, history(night.log.read()).told, kitchen().house.dishes, doors_s)


def of(closing, dish):
    return next(one for one in closing.dishes if one.dish == dish)


def test_a_night_without_tickets_has_every_dish_at_nothing(night):
    page = closed(night)
    assert {one.dish for one in page.dishes} == set(kitchen().house.dishes)
    assert all(one == DishCount(one.dish) for one in page.dishes)
    assert (page.floor_at_doors, page.busiest, page.was_in, page.handover) == (None, None, (), None)


def test_every_plate_is_counted_once_by_what_became_of_it(night):
    night.taken(called(dishes="pizza pizza pizza pizza shrimp", later="cheese_dip", covers=5))
    night.taken(told.MoveDone("B4-1", "launch"))
    night.taken(told.Refire("B4-1"))
    night.taken(told.Amended("B4", take_off=("B4-2",)))
    night.taken(told.EightySix("shrimp"))
    night.taken(told.MoveDone("B4-3", "pull"))
    assert of(closed(night), "pizza") == DishCount(
        "pizza", called=5, made=1, refired=1, taken_off=1, unfinished=2
    )
    night.taken(told.Landed("B4"))
    page = closed(night)
    assert of(page, "pizza") == DishCount("pizza", called=5, made=3, refired=1, taken_off=1)
    assert of(page, "shrimp") == DishCount("shrimp", called=1, ran_out=1)
    assert of(page, "cheese_dip") == DishCount("cheese_dip", called=1, unfinished=1)
    assert (page.tickets, page.covers, page.courses_landed, page.courses_open) == (1, 5, 1, 1)


def test_waste_stands_by_reason_beside_the_plates(night):
    night.taken(told.Waste("pizza", 3))
    night.taken(told.Waste("pizza", 1, "burnt"))
    pizza = of(closed(night), "pizza")
    assert (pizza.called, pizza.wasted, pizza.wasted_in_all) == (0, (("left over", 3), ("burnt", 1)), 4)


def test_what_ran_out_says_from_when_to_when_and_an_undone_86_is_not_there(night):
    night.taken(told.EightySix("wings"), id="tablet-1-0001")
    night.taken(told.Undo("tablet-1-0001"))
    night.taken(told.EightySix("shrimp"))
    night.now_s += 1800
    night.taken(told.BackOn("shrimp"))
    night.now_s += 600
    night.taken(told.EightySix("shrimp"), by="Ben")
    spans = [(s.name, s.from_s, s.until_s, s.by) for s in closed(night).gone]
    assert spans == [("shrimp", AT_S, AT_S + 1800, "Ana"), ("shrimp", AT_S + 2400, None, "Ben")]


def test_the_floor_at_doors_is_the_nearest_reading_and_the_ends_count_from_doors_on(night):
    for at_s, floor_C in ((-1200, 428), (-300, 390), (600, 352), (2400, 371)):
        night.now_s = AT_S + at_s
        night.taken(told.Reading(floor_C, "floor", "gun", spot=Spot(0, 0.6)))
    night.taken(told.Reading(520, "dome", "gun", place="dome"))
    page = closed(night)
    assert [one.temperature_C for one in (page.floor_at_doors, page.floor_highest, page.floor_lowest)] == [
        390,
        371,
        352,
    ]
    assert closed(night, doors_s=AT_S + 2 * 3600).floor_at_doors is None


def test_the_busiest_half_hour_is_by_the_clock_and_has_its_floor(night):
    night.taken(called(dishes="pizza pizza pizza", wanted_s=AT_S + 3000))
    for minute, plate in ((25, 1), (35, 2), (40, 3)):
        night.now_s = AT_S + 60 * minute
        night.taken(told.MoveDone(f"B4-{plate}", "pull"))
    night.taken(told.Reading(340, "floor", "gun", place="centre"))
    page = closed(night)
    assert page.busiest == Busiest(AT_S + 1800, AT_S + 3600, 2)
    assert (page.floor_at_busiest.temperature_C, page.floor_at_busiest.place) == (340, "centre")


def test_flame_changes_cooks_out_spills_and_platters_are_all_there_in_order(night):
    level = kitchen().house.oven.flames[-1].name
    night.taken(told.FlameSet(level))
    night.taken(told.FlameOut(), by="Ben")
    night.taken(told.CookOut("Pass"))
    night.taken(told.Spill(0.1, 0.5, 0.1, AT_S + 420, "butter"))
    night.taken(told.DeadPlatter(2))
    page = closed(night)
    assert [(one.name, one.by) for one in page.flame] == [(level, "Ana"), ("", "Ben")]
    assert [(one.name, one.until_s) for one in page.cooks_out] == [("Pass", None)]
    assert ([one.name for one in page.spills], page.dead_platters) == (["butter"], 2)


def test_who_was_in_are_those_who_told_something_themselves(night):
    night.taken(called(dishes="pizza"))
    night.taken(told.MoveDone("B4-1", "dress", assumed=True), by="the plan")
    night.taken(told.TicketCalled(called("B5").ticket, "feed"), by="till")
    night.now_s += 60
    night.taken(told.MoveDone("B4-1", "launch"), by="Ana")
    night.taken(told.Handover("Wood is low."), by="Ben")
    page = closed(night)
    assert [(one.name, one.first_s, one.last_s, one.told) for one in page.was_in] == [
        ("Ana", AT_S, AT_S + 60, 2),
        ("Ben", AT_S + 60, AT_S + 60, 1),
    ]
    assert page.handover.words == "Wood is low."
