"""A schedule put on paper: moves with places, facings and words; landings; items; figures."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from hearthtide.oven.design import FlameLevel
from hearthtide.planning.flame import FlamePlan, Held
from hearthtide.planning.plan import Plan
from hearthtide.planning.problem import Problem, Schedule
from hearthtide.planning.report import flame_changes
from hearthtide.planning.verify import turn_deg
from small_night import ALL_ACTS, MIXED, clock, places_of, plan_of, small_house, small_night, solved

HOUSE = small_house()


@cache
def planned() -> tuple[Problem, Schedule]:
    return solved(HOUSE, MIXED)


@cache
def the_plan() -> Plan:
    return plan_of(HOUSE, MIXED, *planned())


def test_the_plan_keeps_every_promise() -> None:
    assert the_plan().kept
    assert the_plan().limit is None
    assert the_plan().cautions


def test_every_handling_is_a_move_in_order_of_time() -> None:
    handlings = [h for b in planned()[1].booked for p in b.placed for h in p.handlings]
    moves = the_plan().moves
    assert sorted((m.start_s, m.act) for m in moves) == sorted((h.start_s, h.act) for h in handlings)
    assert [m.start_s for m in moves] == sorted(m.start_s for m in moves)
    assert all(m.words.startswith(f"{m.ticket}, ") for m in moves)


def test_acts_beside_the_hearth_have_no_spot() -> None:
    for move in the_plan().moves:
        beside = move.act in ("dress", "cut")
        assert (move.spot_x_m is None) is beside
        assert (move.facing_deg is None) is beside


def test_an_item_goes_in_facing_the_flame_and_is_turned_from_there() -> None:
    places = places_of(HOUSE)
    placed = next(p for b in planned()[1].booked for p in b.placed if p.item.dish == "pizza")
    own = [m for m in the_plan().moves if m.item == placed.item.key and m.facing_deg is not None]
    towards = places.spots[placed.stays[0].place].flame_bearing_deg % 360
    assert [m.act for m in own] == ["launch", "turn", "turn", "pull"]
    assert turn_deg(placed, "turn", 0) == 120.0
    wanted = [towards, (towards + 120) % 360, (towards + 240) % 360, (towards + 240) % 360]
    assert [m.facing_deg for m in own] == pytest.approx(wanted)


def test_two_alike_for_one_table_are_told_apart_by_their_side() -> None:
    """A1 has two pizzas and one steak: which pizza is turned must be said, which steak need not be."""
    turns = [m.words for m in the_plan().moves if m.ticket == "A1" and m.act == "turn"]
    assert len(set(turns)) == 2
    (flip,) = [m.words for m in the_plan().moves if m.ticket == "A1" and m.act == "flip"]
    assert flip == "A1, flip strip steak"


def test_a_move_names_the_new_spot() -> None:
    chicken = next(item for item in the_plan().items if item.dish == "chicken")
    move = next(m for m in the_plan().moves if m.item == chicken.item and m.act == "move")
    assert (move.spot_x_m, move.spot_y_m) == (chicken.stays[1].x_m, chicken.stays[1].y_m)
    assert "to the flame" in move.words


def test_landings_are_the_tickets_own() -> None:
    for landing, ticket in zip(the_plan().landings, MIXED.tickets, strict=True):
        assert (landing.ticket, landing.covers) == (ticket.table, ticket.covers)
        assert (landing.called_s, landing.wanted_s) == (ticket.called, ticket.wanted)
        assert landing.late_s == landing.planned_s - ticket.wanted
        assert len(landing.items) == len(ticket.dishes)
        assert landing.earliest_s <= landing.planned_s


def test_items_are_as_large_as_their_vessels() -> None:
    for item in the_plan().items:
        vessel = HOUSE.dishes[item.dish].vessel
        assert item.diameter_m == vessel.diameter
        for stay in item.stays:
            sides = {stay.width_m, stay.depth_m}
            assert sides == {vessel.width, vessel.depth}
            assert stay.diameter_m == pytest.approx(vessel.diameter) if vessel.diameter else stay.width_m
        assert item.minutes_from == "house"


def test_figures_count_the_night() -> None:
    assert the_plan().figures["covers"] == 11
    assert the_plan().figures["tickets"] == 4
    assert the_plan().figures["items"] == 11
    assert the_plan().figures["late_max_s"] == max(0, *(x.late_s for x in the_plan().landings))


def test_own_minutes_are_set_beside_the_models() -> None:
    assert [c.ticket for c in the_plan().comparison] == ["A1", "B2", "C3", "D4"]


def test_flame_in_a_cooks_words() -> None:
    low, high = FlameLevel("low", 7_000.0), FlameLevel("high", 22_000.0)
    plan = FlamePlan((Held(0, high), Held(600, low), Held(900, high), Held(1800, low)), None)
    changes = flame_changes(plan, until_s=1700)  # what comes after the last landing is nobody's move
    assert [c.words for c in changes] == ["light, set to high", "flame down to low", "flame up to high"]
    assert [c.start_s for c in changes] == [0, 600, 900]


def late_plan() -> Plan:
    night = small_night(*((f"A{n}", "18:00", "18:02", ("pizza",)) for n in range(4)))
    house = small_house()
    return plan_of(house, night, *solved(house, night))


def test_a_late_night_is_not_kept_and_says_what_binds() -> None:
    plan = late_plan()
    assert not plan.kept
    assert plan.limit is not None
    assert plan.limit.late_total_s == plan.figures["late_total_s"]
    assert plan.limit.ways_out


def test_one_broken_promise_breaks_the_plan() -> None:
    assert not replace(the_plan(), checks=(*the_plan().checks, replace(the_plan().checks[0], ok=False))).kept


def test_the_acts_of_the_night_are_known_acts() -> None:
    # Nothing preheats in this house, and its flame is no hand's act here.
    assert {m.act for m in the_plan().moves} == set(ALL_ACTS) - {"load", "flame"}
    assert {m.cook for m in the_plan().moves} == {"Cook 1"}
    assert min(m.start_s for m in the_plan().moves) >= clock("18:00")
