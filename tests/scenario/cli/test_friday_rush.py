"""A Friday rush with one pair of hands and a walk-in 12-top.

The trade scenario's answer: hands bind first, and calling the stone full would be wrong.
"""

from __future__ import annotations

from pathlib import Path

from hearthtide.house.files import read_house, read_night
from hearthtide.planning.night import plan_night

EXAMPLES = Path(__file__).parents[3] / "examples"


def test_friday_rush_with_one_pair_of_hands_names_the_hands():
    house = read_house(EXAMPLES / "osmer-and-vane")
    friday = read_night(house, "friday")
    rush = tuple(t for t in friday.tickets if 19 * 3600 <= t.called < 19 * 3600 + 30 * 60)
    assert any(t.table == "P1" and len(t.dishes) == 16 for t in rush)  # the 12-top
    plan = plan_night(house, friday.model_copy(update={"tickets": rush}))
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
