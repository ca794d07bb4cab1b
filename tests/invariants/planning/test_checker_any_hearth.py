"""The checker on hearths of every kind: legal plans pass; what leaves the stone or stands in a fire does not.

Where walls and fires lie is worked out here by hand, from the lengths in `small_night.HEARTHS`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest

from hearthtide.house.models import House
from hearthtide.planning.checker import check_moves, flame_points
from hearthtide.planning.checker_stages import check_stages
from hearthtide.planning.plan import Check, ItemReport, Plan
from small_night import HEARTHS, MIXED, plan_of, small_house, small_night, solved

BOX, WOOD = "box, ribbon and fire below", "round, wood"
# The bed's middle: 22 cm inside the wall of a disc of 1.4 m, to the right of its centre; the sill is 50 cm.
BED_M = (0.7 - 0.22, math.sqrt(0.7**2 - 0.25**2))


@cache
def legal(hearth: str) -> tuple[House, Plan]:
    house = small_house(oven=HEARTHS[hearth])
    problem, schedule = solved(house, MIXED, rounds=300)
    return house, plan_of(house, MIXED, problem, schedule)


def broken(house: House, plan: Plan, items: tuple[ItemReport, ...]) -> set[str]:
    checks: tuple[Check, ...] = check_moves(house, MIXED, plan.moves, plan.landings, items)
    return {check.name for check in checks + check_stages(house, plan.moves, items) if not check.ok}


def with_first_at(plan: Plan, dish: str, x_m: float, y_m: float) -> tuple[ItemReport, ...]:
    """The plan's items, the first of a dish moved there on paper."""
    chosen = next(item for item in plan.items if item.dish == dish)
    stay = replace(chosen.stays[0], x_m=x_m, y_m=y_m)
    return tuple(replace(i, stays=(stay, *i.stays[1:])) if i is chosen else i for i in plan.items)


@pytest.mark.parametrize("hearth", sorted(HEARTHS))
def test_a_legal_plan_passes(hearth: str) -> None:
    house, plan = legal(hearth)
    assert broken(house, plan, plan.items) == set()


def test_every_item_lies_between_the_walls_of_the_box() -> None:
    for item in legal(BOX)[1].items:
        for stay in item.stays:
            half_w = (stay.diameter_m or stay.width_m or 0.0) / 2
            half_d = (stay.diameter_m or stay.depth_m or 0.0) / 2
            assert abs(stay.x_m) + half_w <= 0.75
            assert half_d <= stay.y_m <= 1.1 - half_d
            # The ribbon lies 8 cm inside the left wall.
            assert stay.x_m - half_w >= -0.75 + 0.08


@pytest.mark.parametrize(("x_m", "y_m"), [(0.66, 0.5), (0.3, 1.02), (0.3, 0.04)])
def test_past_a_wall_or_the_sill_of_the_box_is_off_the_hearth(x_m: float, y_m: float) -> None:
    house, plan = legal(BOX)
    assert "on the hearth" in broken(house, plan, with_first_at(plan, "pizza", x_m, y_m))


def test_the_corner_of_a_box_is_on_the_hearth() -> None:
    house, plan = legal(BOX)
    assert "on the hearth" not in broken(house, plan, with_first_at(plan, "pizza", 0.6, 0.95))


@pytest.mark.parametrize("out_m", [0.0, 0.05, 0.09, 0.13, 0.18, 0.22])
@pytest.mark.parametrize("turn_deg", [0, 100, 210])
def test_a_crock_anywhere_in_the_bed_is_in_the_fire(out_m: float, turn_deg: float) -> None:
    """15 cm wide on embers of 36 cm: also where it does not reach the bed's rim."""
    house, plan = legal(WOOD)
    x = BED_M[0] + out_m * math.sin(math.radians(turn_deg))
    y = BED_M[1] + out_m * math.cos(math.radians(turn_deg))
    assert "clear of the flame" in broken(house, plan, with_first_at(plan, "dip", x, y))


def test_a_wide_bed_has_no_hole_for_a_small_vessel() -> None:
    """On embers of 90 cm every place is within a small vessel's half width, 2.5 cm, of a flame point."""
    bed = {"kind": "bed", "bearing": "90 deg", "standoff": "50 cm", "diameter": "90 cm"}
    house = small_house(oven=HEARTHS[WOOD] | {"diameter": "2 m", "burners": [bed]})
    points = flame_points(house)
    middle = (1.0 - 0.5, math.sqrt(1.0 - 0.25**2))
    for step in range(500):  # a golden-section spiral over the bed
        out, turn = 0.45 * math.sqrt((step + 0.5) / 500), step * 2.39996
        at = middle[0] + out * math.cos(turn), middle[1] + out * math.sin(turn)
        assert min(math.dist(at, point) for point in points) <= 0.03
    assert max(math.dist(middle, point) for point in points) == pytest.approx(0.45)


def test_an_oven_with_fire_only_below_has_no_flame_to_keep_clear_of() -> None:
    deck = {
        "burners": [{"kind": "under", "share": "100 %"}],
        "crown": "flat",
        "wall_height": "30 cm",
        "crown_rise": None,
    }
    house = small_house(oven=deck)
    plain = {key: house.dishes[key] for key in ("pizza", "dip")}
    house = house.model_copy(update={"dishes": plain})
    night = small_night(("A1", "18:00", "18:20", ("pizza", "dip")))
    problem, schedule = solved(house, night)
    plan = plan_of(house, night, problem, schedule)
    assert flame_points(house) == []
    checks = check_moves(house, night, plan.moves, plan.landings, plan.items)
    checks += check_stages(house, plan.moves, plan.items)
    assert [check for check in checks if not check.ok] == []
