"""A mirrored oven has a mirrored plan: valid there by the independent proof, and as good to the second.

What is invariant: the hearth's places, which of them shut each other out, which lie in splash reach, which a
hand passes over from the middle of the mouth, and so every plan's legality and cost. Not invariant: which of
several equally good places a search takes first, as places stand in another order.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hearthtide.house.files import oven_design
from hearthtide.house.models import House
from hearthtide.planning.build import house_outlines, stage_masks
from hearthtide.planning.engine.search import search
from hearthtide.planning.places import Places, bits, enumerate_places
from hearthtide.planning.problem import Item, Problem, Schedule, Stage
from hearthtide.planning.proof.prove import prove
from rich_night import rich_nights
from small_night import HEARTHS, OVEN, places_of, small_house

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]
SAME_M = 1e-9


def mirrored_oven(oven: dict[str, Any]) -> dict[str, Any]:
    """The oven with its fires on the other side."""
    burners = []
    for burner in (OVEN | oven)["burners"]:
        if "bearing" in burner:
            degrees = -float(burner["bearing"].removesuffix(" deg"))
            burner = burner | {"bearing": f"{degrees:g} deg"}
        burners.append(burner)
    return oven | {"burners": burners}


@cache
def house_of(hearth: str, mirrored: bool) -> House:
    oven = HEARTHS[hearth]
    return small_house(oven=mirrored_oven(oven) if mirrored else oven)


@cache
def across(hearth: str) -> tuple[Places, tuple[int, ...]]:
    """The mirrored hearth's places, and for each of the hearth's own the number of its mirror image there."""
    own, house = places_of(house_of(hearth, False)), house_of(hearth, True)
    theirs = enumerate_places(oven_design(house), house.file.zones, house_outlines(house))
    image = []
    for spot in own.spots:
        found = [
            n
            for n, other in enumerate(theirs.spots)
            if abs(other.x_m + spot.x_m) < SAME_M
            and abs(other.y_m - spot.y_m) < SAME_M
            and other.outline == spot.outline
        ]
        (number,) = found
        image.append(number)
    return theirs, tuple(image)


@cache
def mask_across(mask: int, hearth: str) -> int:
    """The mirror images of a mask's places."""
    _, image = across(hearth)
    return sum(1 << image[p] for p in bits(mask))


def problem_across(problem: Problem, hearth: str) -> Problem:
    """The same night on the mirrored hearth."""

    def stage(own: Stage) -> Stage:
        rows = (tuple(replace(c, places=mask_across(c.places, hearth)) for c in row) for row in own.choices)
        return replace(own, choices=tuple(rows))

    def item(own: Item) -> Item:
        return replace(own, stages=tuple(map(stage, own.stages)))

    orders = tuple(replace(o, items=tuple(map(item, o.items))) for o in problem.orders)
    closed = tuple(replace(c, places=mask_across(c.places, hearth)) for c in problem.closed)
    return replace(problem, orders=orders, closed=closed, places=across(hearth)[0])


def schedule_across(schedule: Schedule, problem: Problem, image: tuple[int, ...]) -> Schedule:
    """The same acts at the same seconds, every item at the mirror image of its place."""
    orders = {order.key: order for order in problem.orders}
    items = {item.key: item for order in problem.orders for item in order.items}
    booked = []
    for one in schedule.booked:
        placed = tuple(
            replace(
                p,
                item=items[p.item.key],
                stays=tuple(replace(stay, place=image[stay.place]) for stay in p.stays),
            )
            for p in one.placed
        )
        order = replace(orders[one.order.key], items=tuple(p.item for p in placed))
        booked.append(replace(one, order=order, placed=placed))
    return replace(schedule, booked=tuple(booked))


@pytest.mark.parametrize("hearth", sorted(HEARTHS))
def test_the_mirrored_hearth_has_the_mirrored_places(hearth: str) -> None:
    own, (theirs, image) = places_of(house_of(hearth, False)), across(hearth)
    assert sorted(image) == list(range(len(theirs.spots)))
    for p, spot in enumerate(own.spots):
        other = theirs.spots[image[p]]
        assert other.zone == spot.zone
        assert other.flame_m == pytest.approx(spot.flame_m, abs=1e-9)
    for relation in ("conflicts", "splash"):
        for p, mask in enumerate(getattr(own, relation)):
            assert mask_across(mask, hearth) == getattr(theirs, relation)[image[p]]


@pytest.mark.parametrize("hearth", sorted(HEARTHS))
def test_every_stage_may_stand_at_the_mirrored_places(hearth: str) -> None:
    house, (theirs, _) = house_of(hearth, False), across(hearth)
    own = places_of(house)
    for dish in house.dishes.values():
        for n in range(len(dish.stages)):
            found = tuple(mask_across(mask, hearth) for mask in stage_masks(dish, n, own))
            assert found == stage_masks(dish, n, theirs)


@settings(max_examples=12, deadline=None, suppress_health_check=SLOW)
@given(rich_nights(4), st.integers(1, 1000))
def test_a_mirrored_plan_is_proven_on_the_mirrored_hearth_at_the_same_cost(
    problem: Problem, seed: int
) -> None:
    hearth = next(name for name in HEARTHS if places_of(house_of(name, False)).spots == problem.places.spots)
    schedule = search(problem, rounds=40, seed=seed)
    problem = replace(problem, orders=schedule.orders)
    other = problem_across(problem, hearth)
    plan = schedule_across(schedule, other, across(hearth)[1])
    assert prove(other, plan) == ()  # what it costs is counted anew there, to the last second
