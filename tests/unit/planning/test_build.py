"""From the house's files to the problem the search sees."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hearthtide.house.places import Outline
from hearthtide.planning.build import (
    drops_needed,
    first_call_s,
    fitting_drops,
    handles_of,
    house_choices,
    house_outlines,
    split,
    stage_masks,
)
from hearthtide.planning.places import bits
from hearthtide.planning.problem import Bank, Choice, Handle, Order, Problem
from small_night import ALL_ACTS, MIXED, clock, places_of, problem_of, small_house, small_night

HOUSE = small_house()


def pizzas(count: int, cooks: int | dict[str, tuple[str, ...]] = 1) -> tuple[Problem, Order]:
    """A problem and one order of so many pizzas, not yet cut into drops."""
    problem = problem_of(small_house(cooks=cooks), small_night(("A1", "18:00", "18:30", ("pizza",))))
    order = problem.orders[0]
    items = tuple(replace(order.items[0], key=f"A1-{n}") for n in range(1, count + 1))
    return problem, replace(order, items=items)


def test_what_the_house_wrote_is_what_the_search_sees() -> None:
    problem = problem_of(HOUSE, MIXED)
    assert problem.from_s == first_call_s(MIXED) == clock("18:00")
    assert problem.bank == Bank(12, 600)
    assert (problem.plating_s, problem.together_s, problem.late_after_s) == (45, 75, 120)
    assert problem.recovery_s == 45
    assert problem.act_s["launch"] == 10
    assert set(problem.act_s) == set(ALL_ACTS)
    assert [cook.name for cook in problem.cooks] == ["Cook 1"]


def test_every_plate_ordered_is_an_item_with_its_own_key() -> None:
    problem = problem_of(HOUSE, MIXED)
    items = [item for order in problem.orders for item in order.items]
    assert sorted(item.dish for item in items) == sorted(d for t in MIXED.tickets for d in t.dishes)
    assert len({item.key for item in items}) == len(items)
    assert all(len(item.stages) == len(HOUSE.dishes[item.dish].stages) for item in items)


def test_items_carry_the_dish() -> None:
    items = {i.dish: i for o in problem_of(HOUSE, MIXED).orders for i in o.items}
    assert (items["pizza"].dressed, items["pizza"].cut, items["pizza"].on_stone) == (True, True, True)
    assert (items["steak"].from_bank, items["steak"].on_stone) == (True, False)
    assert (items["steak"].rest_s, items["steak"].hold_s) == (300, 180)
    assert items["chicken"].shortest_s == 600 + 120 + 120


def test_a_house_without_a_bank_has_no_platter_limit() -> None:
    assert problem_of(small_house(platters=None), MIXED).bank is None


def test_outlines_are_each_named_once() -> None:
    # Shrimp and chicken share a pan.
    assert sorted(house_outlines(HOUSE), key=lambda o: (o.radius_m, o.width_m)) == [
        Outline(0.26, 0.20, 0.0),
        Outline(0, 0, 0.075),
        Outline(0, 0, 0.13),
        Outline(0, 0, 0.14),
    ]


def test_handles_come_in_order_of_time() -> None:
    dish = HOUSE.dishes["pizza"]
    stage = dish.stages[0].model_copy(update={"turns": (0.7, 0.4), "flips": (0.5,)})
    mixed = dish.model_copy(update={"stages": (stage,)})
    assert handles_of(mixed, 0) == (Handle("turn", 0.4), Handle("flip", 0.5), Handle("turn", 0.7))


def test_masks_follow_the_dishs_wishes() -> None:
    places = places_of(HOUSE)
    near, mid = stage_masks(HOUSE.dishes["shrimp"], 0, places)
    assert {places.spots[p].zone for p in bits(near)} == {"near"}
    assert {places.spots[p].zone for p in bits(mid)} == {"mid"}
    (choices,) = house_choices(HOUSE.dishes["shrimp"], 0, places) or ()
    assert choices == (Choice(300, near, 0), Choice(300, mid, 1))


def test_a_stage_without_minutes_has_no_house_choices() -> None:
    dish = HOUSE.dishes["dip"]
    untimed = dish.model_copy(update={"stages": (dish.stages[0].model_copy(update={"minutes": None}),)})
    assert house_choices(untimed, 0, places_of(HOUSE)) is None


@pytest.mark.parametrize(
    ("count", "cooks", "drops"),
    [
        # Pulls and cuts, 8 + 22 s each, within 75 s together and 45 s plating: 30 n <= 120 s.
        # All hands, 25 + 10 + 2 * 12 + 8 + 22 s each, within those 120 s, 180 s on the stone and 25 s
        # to dress the first: 89 n <= 325 s. The second is the tighter.
        (1, 1, 1),
        (3, 1, 1),
        (4, 1, 2),
        (7, 1, 2),
        (8, 1, 3),
        # Two pairs of hands: 44.5 n <= 325 s.
        (7, 2, 1),
        (8, 2, 2),
    ],
)
def test_drops_needed_by_hand(count: int, cooks: int, drops: int) -> None:
    assert drops_needed(*pizzas(count, cooks)) == drops


def test_a_cutter_at_the_pass_allows_more_at_once() -> None:
    # Without the cut a pizza takes the oven's hands 67 s: 4 * 67 = 268 s fit into 325 s, 4 * 89 do not.
    apart = {"Oven cook": tuple(act for act in ALL_ACTS if act != "cut"), "Pass": ("cut",)}
    assert drops_needed(*pizzas(4, apart)) < drops_needed(*pizzas(4, 1))
    for count in (4, 6, 8):
        assert len(fitting_drops(*pizzas(count, apart))) <= len(fitting_drops(*pizzas(count, 1)))


def test_drops_hold_every_item_once_and_name_the_ticket() -> None:
    problem, order = pizzas(10)
    parts = fitting_drops(problem, order)
    assert len(parts) >= drops_needed(problem, order)
    assert sorted(i.key for part in parts for i in part.items) == sorted(i.key for i in order.items)
    assert [part.drop for part in parts] == list(range(1, len(parts) + 1))
    assert {part.ticket for part in parts} == {"A1"}
    assert len({part.key for part in parts}) == len(parts)
    assert all((part.called_s, part.wanted_s) == (order.called_s, order.wanted_s) for part in parts)


def test_drops_have_a_like_mix() -> None:
    problem = problem_of(HOUSE, small_night(("A1", "18:00", "18:30", ("pizza",) * 2)))
    pizza, other = problem.orders[0].items
    items = [replace(pizza, key=f"A1-{n}") for n in range(4)]
    items += [replace(other, key=f"A1-{n}", dish="dip") for n in range(4, 8)]
    first, second = split(replace(problem.orders[0], items=tuple(items)), 2)
    for part in (first, second):
        assert sorted(item.dish for item in part.items) == ["dip", "dip", "pizza", "pizza"]


def test_one_drop_is_the_order_itself() -> None:
    problem, order = pizzas(3)
    assert split(order, 1) == [order]
    assert fitting_drops(problem, order) == [order]


def test_never_more_drops_than_plates() -> None:
    _, order = pizzas(2)
    assert len(split(order, 5)) == 2
