"""A Friday rush with one pair of hands and a walk-in 12-top.

The trade scenario's answer: hands bind first, calling the stone full would be wrong; work moved to the
pass, the flame up about 19:10.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from hearthtide.house.files import read_house, read_night
from hearthtide.planning.night import plan_night
from hearthtide.planning.plan import Plan

EXAMPLES = Path(__file__).parents[3] / "examples"
SEVEN = 19 * 3600


@pytest.fixture(scope="module")
def plan() -> Plan:
    house = read_house(EXAMPLES / "osmer-and-vane")
    friday = read_night(house, "friday")
    rush = tuple(t for t in friday.tickets if SEVEN <= t.called < SEVEN + 30 * 60)
    assert any(t.table == "P1" and len(t.dishes) == 16 for t in rush)  # the 12-top
    return plan_night(house, friday.model_copy(update={"tickets": rush}))


def test_friday_rush_with_one_pair_of_hands_names_the_hands(plan):
    checks = {check.name: check.ok for check in plan.checks}
    legal = (
        "complete",
        "hands",
        "acts in order",
        "moves and stays agree",
        "on the hearth",
        "no overlap",
        "clear of the flame",
        "spot rested",
        "platters",
    )
    assert {name: checks[name] for name in legal} == dict.fromkeys(legal, True)
    assert not checks["on time"]
    assert plan.limit is not None and plan.limit.binds == "hands"


def test_the_stone_is_not_called_full(plan):
    need = {need.limit: need.share for need in plan.limit.needs}
    assert need["hands"] > 1 > need["stone"]
    assert plan.limit.without["stone"] > 2 * plan.limit.without["hands"]


def test_work_moved_to_the_pass_is_a_way_out_with_its_figures(plan):
    (way,) = (way for way in plan.limit.ways_out if way.kind == "pass")
    assert "cutting" in way.words
    assert way.taken_guest_s > 0 and way.price_s > 0 and way.net_s > 0
    assert way.late_guest_s + way.taken_guest_s <= plan.limit.late_guest_s


def test_the_flame_goes_up_before_the_rush(plan):
    ups = [change.start_s for change in plan.flame if change.words.startswith("flame up")]
    assert any(abs(at_s - (SEVEN + 600)) <= 600 for at_s in ups)
