"""A ticket on the house's own minutes and, beside it, on the models'."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from hearthtide.planning.beside import compare
from hearthtide.planning.plan import Comparison
from hearthtide.planning.problem import Problem, Schedule
from small_night import clock, item_as_planned, seen_as_planned, small_house, small_night, solved

HOUSE = small_house()
NIGHT = small_night(("A1", "18:00", "18:20", ("pizza",)), ("B4", "19:05", "19:22", ("steak", "dip")))


@cache
def planned() -> tuple[Problem, Schedule]:
    return solved(HOUSE, NIGHT)


def compared(dish: str, met_s: float | None) -> dict[str, Comparison]:
    """Both tickets, with one dish's stage met after so many seconds and all else as planned."""
    problem, schedule = planned()
    seen = seen_as_planned(schedule)
    placed = next(p for b in schedule.booked for p in b.placed if p.item.dish == dish)
    item = item_as_planned(placed)
    changed = replace(item, stages=(replace(item.stages[0], met_s=met_s),))
    seen = replace(seen, items=seen.items | {item.key: changed})
    return {c.ticket: c for c in compare(HOUSE, problem, schedule, seen)}


def test_models_that_agree_change_nothing() -> None:
    for comparison in compared("dip", 360.0).values():
        assert comparison.house_landing_s == comparison.models_landing_s
        for row in comparison.rows:
            assert row.models_s == pytest.approx(row.house_s, abs=15)


def test_a_longer_dip_goes_in_earlier_and_still_lands_in_time() -> None:
    b4 = compared("dip", 480.0)["B4"]
    dip = next(row for row in b4.rows if row.dish == "dip")
    assert b4.models_landing_s == clock("19:22")
    assert dip.house_s == pytest.approx(360, abs=15)
    assert dip.models_s == pytest.approx(480, abs=15)
    assert dip.models_in_s is not None
    assert dip.house_in_s - dip.models_in_s == pytest.approx(120, abs=90)
    assert "house 6:00, models 8:00" in dip.why


def test_minutes_too_long_for_the_call_land_late() -> None:
    b4 = compared("dip", 1200.0)["B4"]
    # Called 19:05, 20:00 on the stone (or 15 s less, within its band), 0:45 plating, some scan: late by 3:45.
    assert b4.models_landing_s is not None
    assert -15 <= b4.models_landing_s - clock("19:25:45") <= 15
    assert b4.house_landing_s == clock("19:22")


def test_a_target_out_of_reach_leaves_the_models_side_empty() -> None:
    b4 = compared("dip", None)["B4"]
    assert b4.models_landing_s is None
    assert all(row.models_s is None and row.models_in_s is None for row in b4.rows)
    assert b4.house_landing_s == clock("19:22")


def test_every_plate_has_its_row() -> None:
    found = compared("dip", 480.0)
    assert [row.item for row in found["A1"].rows] == ["A1-1"]
    assert sorted(row.item for row in found["B4"].rows) == ["B4-1", "B4-2"]


def test_a_ticket_without_house_minutes_is_not_compared() -> None:
    dip = HOUSE.dishes["dip"]
    untimed = dip.model_copy(update={"stages": (dip.stages[0].model_copy(update={"minutes": None}),)})
    pizza = HOUSE.dishes["pizza"]
    unsaid = pizza.model_copy(update={"stages": (pizza.stages[0].model_copy(update={"minutes": None}),)})
    house = HOUSE.model_copy(update={"dishes": HOUSE.dishes | {"dip": untimed, "pizza": unsaid}})
    found = compare(house, *planned(), seen_as_planned(planned()[1]))
    assert [c.ticket for c in found] == ["B4"]
