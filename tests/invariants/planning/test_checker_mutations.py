"""The checker lets a legal plan pass and refuses every way of spoiling it, under the right name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import pytest

from hearthtide.house.models import NightFile
from hearthtide.planning.checker import check_moves
from hearthtide.planning.plan import ItemReport, Landing, Move, OnStone
from small_night import MIXED, items_of, plan_of, small_house, solved

HOUSE = small_house(platters=2)


@dataclass(frozen=True)
class Paper:
    """A plan as the checker reads it."""

    moves: tuple[Move, ...]
    landings: tuple[Landing, ...]
    items: tuple[ItemReport, ...]

    def broken(self, night: NightFile = MIXED) -> set[str]:
        checks = check_moves(HOUSE, night, self.moves, self.landings, self.items)
        assert all(check.ok or check.detail for check in checks)
        return {check.name for check in checks if not check.ok}

    def item(self, dish: str, count: int = 0) -> ItemReport:
        return [item for item in self.items if item.dish == dish][count]

    def with_item(self, changed: ItemReport) -> Paper:
        items = tuple(changed if item.item == changed.item else item for item in self.items)
        return replace(self, items=items)

    def with_stay(self, item: ItemReport, stay: OnStone, number: int = 0) -> Paper:
        """The item's stay changed, and its launch or move with it: wrong, but of a piece."""
        stays = (*item.stays[:number], stay, *item.stays[number + 1 :])
        act = "move" if number else "launch"
        moves = tuple(
            replace(m, start_s=stay.start_s, spot_x_m=stay.x_m, spot_y_m=stay.y_m)
            if m.item == item.item and m.act == act
            else m
            for m in self.moves
        )
        return replace(self.with_item(replace(item, stays=stays)), moves=moves)

    def with_moves(self, change: Callable[[Move], Move | None], item: str = "") -> Paper:
        moves = (change(m) if not item or m.item == item else m for m in self.moves)
        return replace(self, moves=tuple(m for m in moves if m is not None))

    def with_landing(self, ticket: str, **changed: Any) -> Paper:
        landings = tuple(replace(x, **changed) if x.ticket == ticket else x for x in self.landings)
        return replace(self, landings=landings)


@cache
def legal() -> Paper:
    problem, schedule = solved(HOUSE, MIXED, rounds=300)
    plan = plan_of(HOUSE, MIXED, problem, schedule)
    return Paper(plan.moves, plan.landings, plan.items)


def test_the_plan_itself_is_accepted() -> None:
    assert legal().broken() == set()
    assert sorted(item.item for item in legal().items) == sorted(ITEMS)
    assert all(acts_of(item) for item in ITEMS)


# By item, so that collecting the tests plans nothing.
ITEMS = items_of(MIXED)


def acts_of(item: str) -> list[Move]:
    return [move for move in legal().moves if move.item == item]


@pytest.mark.parametrize("by_s", [30, -30])
@pytest.mark.parametrize("item", ITEMS)
def test_a_launch_move_or_pull_shifted_by_half_a_minute_is_noticed(item: str, by_s: int) -> None:
    """What begins or ends a stay is tied to it; a turn may move, as long as order and hands allow."""
    tied = [own for own in acts_of(item) if own.act in ("launch", "move", "pull")]
    assert len(tied) >= 2
    for own in tied:
        late = replace(own, start_s=own.start_s + by_s)
        found = legal().with_moves(lambda m, own=own, late=late: late if m == own else m, item).broken()
        assert found & {"moves and stays agree", "acts in order", "hands"}, (own, found)


@pytest.mark.parametrize("item", ITEMS)
def test_any_act_left_out_is_noticed(item: str) -> None:
    for own in acts_of(item):
        left = legal().with_moves(lambda m, own=own: None if m == own else m, item)
        assert "acts in order" in left.broken(), own


@pytest.mark.parametrize("item", ITEMS)
def test_any_act_done_twice_is_noticed(item: str) -> None:
    for own in acts_of(item):
        again = replace(own, start_s=own.start_s + own.hands_s)
        twice = replace(legal(), moves=(*legal().moves, again))
        assert "acts in order" in twice.broken(), own


def test_one_kind_of_act_for_another_is_noticed() -> None:
    steak = legal().item("steak").item
    spun = legal().with_moves(lambda m: replace(m, act="spin", hands_s=8) if m.act == "flip" else m, steak)
    assert "acts in order" in spun.broken()


def test_two_acts_at_once_are_too_much_for_one_cook() -> None:
    first, second = legal().moves[:2]

    def at_once(move: Move) -> Move:
        return replace(move, start_s=second.start_s - first.hands_s + 1) if move == first else move

    assert "hands" in legal().with_moves(at_once).broken()


def test_a_cook_who_does_not_do_the_act_is_noticed() -> None:
    cooks = small_house(cooks={"Cook 1": ("launch", "pull"), "Cook 2": ("cut", "dress")}).file
    house = HOUSE.model_copy(update={"file": cooks})
    checks = check_moves(house, MIXED, legal().moves, legal().landings, legal().items)
    assert "hands" in {check.name for check in checks if not check.ok}


def test_an_act_hurried_below_its_seconds_is_noticed() -> None:
    hurried = legal().with_moves(lambda m: replace(m, hands_s=1) if m.act == "cut" else m)
    assert "moves and stays agree" in hurried.broken()


@pytest.mark.parametrize("gap_m", [-0.10, -0.005, 0.004])
def test_two_items_too_close_are_noticed(gap_m: float) -> None:
    """Overlapping, or nearer than the centimetre that hands need."""
    pizza = legal().item("pizza", 0)
    other = next(i for i in legal().items if i.item != pizza.item and together(i.stays[0], pizza.stays[0]))
    here = other.stays[0]
    away = (pizza.diameter_m or 0) / 2 + half(here) + gap_m
    side = -1 if here.x_m > 0 else 1
    moved = replace(pizza.stays[0], x_m=here.x_m + side * away, y_m=here.y_m)
    assert "no overlap" in legal().with_stay(pizza, moved).broken()


def together(a: OnStone, b: OnStone) -> bool:
    return a.start_s < b.end_s and b.start_s < a.end_s


def half(stay: OnStone) -> float:
    return (stay.diameter_m or stay.width_m or 0) / 2


def test_items_that_stand_there_one_after_the_other_do_not_overlap() -> None:
    """The same place is free again once a pan has left it: no false alarm."""
    shrimp, dip = legal().item("shrimp"), legal().item("dip", 0)
    spot = shrimp.stays[0]
    for start_s, refused in ((spot.end_s - 1, True), (spot.end_s, False)):
        same = replace(dip.stays[0], x_m=spot.x_m, y_m=spot.y_m, start_s=start_s, end_s=start_s + 368)
        alone = Paper(legal().moves, (), (shrimp, replace(dip, stays=(same,))))
        assert ("no overlap" in alone.broken()) is refused


def test_swapped_spots_are_noticed() -> None:
    """Two launches told each other's spots: the items then stand where the plan does not say."""
    a, b = legal().item("pizza", 0), legal().item("steak", 0)
    spots = {a.item: b.stays[0], b.item: a.stays[0]}

    def swapped(move: Move) -> Move:
        if move.act != "launch" or move.item not in spots:
            return move
        stay = spots[move.item]
        return replace(move, spot_x_m=stay.x_m, spot_y_m=stay.y_m)

    assert "moves and stays agree" in legal().with_moves(swapped).broken()


def test_a_pizza_swapped_to_the_platters_spot_is_too_near_the_flame() -> None:
    pizza, steak = legal().item("pizza", 0), legal().item("steak", 0)
    spot = steak.stays[0]
    swapped = legal().with_stay(pizza, replace(pizza.stays[0], x_m=spot.x_m, y_m=spot.y_m))
    assert "clear of the flame" in swapped.broken()


@pytest.mark.parametrize(("x_m", "y_m"), [(0.0, 0.05), (0.0, 1.1), (0.55, 0.55), (-0.5, 0.3), (0.0, -0.3)])
def test_off_the_hearth_is_noticed(x_m: float, y_m: float) -> None:
    """Over the sill at the mouth, through the back wall, the right and left walls, outside altogether."""
    pizza = legal().item("pizza", 0)
    assert "on the hearth" in legal().with_stay(pizza, replace(pizza.stays[0], x_m=x_m, y_m=y_m)).broken()


def test_in_the_flame_is_noticed() -> None:
    steak = legal().item("steak", 0)
    # The ribbon lies back left, 8 cm from the wall; its middle is 52 cm from the centre at -45 degrees.
    x_m, y_m = -0.52 * 0.7071, 0.5454 + 0.52 * 0.7071
    for share in (0.7, 0.85):
        x, y = share * x_m, 0.5454 + share * (y_m - 0.5454)
        assert (
            "clear of the flame" in legal().with_stay(steak, replace(steak.stays[0], x_m=x, y_m=y)).broken()
        )


def test_too_soon_on_stone_just_used_is_noticed() -> None:
    first, second = sorted((i for i in legal().items if i.dish == "pizza"), key=lambda i: i.stays[0].start_s)[
        1:3
    ]
    spot = first.stays[0]
    for wait_s, refused in ((0, True), (44, True), (45, False)):
        start = spot.end_s + wait_s
        stay = replace(second.stays[0], x_m=spot.x_m, y_m=spot.y_m, start_s=start, end_s=start + 188)
        found = legal().with_stay(second, stay).broken()
        assert ("spot rested" in found) is refused, wait_s


def test_too_many_platters_are_noticed() -> None:
    """Two steaks are out at once: a bank of two will do, a bank of one will not."""
    small = HOUSE.model_copy(update={"file": small_house(platters=1).file})
    for house, kept in ((HOUSE, True), (small, False)):
        checks = check_moves(house, MIXED, legal().moves, legal().landings, legal().items)
        assert {c.name: c.ok for c in checks}["platters"] is kept


@pytest.mark.parametrize(("late_s", "refused"), [(120, False), (121, True), (900, True)])
def test_a_late_landing_is_noticed(late_s: int, refused: bool) -> None:
    landing = next(x for x in legal().landings if x.ticket == "D4")
    found = legal().with_landing("D4", planned_s=landing.wanted_s + late_s).broken()
    assert ("on time" in found) is refused


def test_plates_apart_are_noticed() -> None:
    landing = next(x for x in legal().landings if x.ticket == "D4")
    last = landing.planned_s - 45
    for apart_s, refused in ((75, False), (76, True), (240, True)):
        key = landing.items[0]
        item = next(i for i in legal().items if i.item == key)
        paper = legal().with_item(replace(item, ready_s=last - apart_s))
        others = [i for i in legal().items if i.item in landing.items[1:]]
        for other in others:
            paper = paper.with_item(replace(other, ready_s=last))
        assert ("together" in paper.broken()) is refused, apart_s


def test_food_kept_waiting_at_the_pass_is_noticed() -> None:
    pizza = next(i for i in legal().items if i.ticket == "D4" and i.dish == "pizza")
    landing = next(x for x in legal().landings if x.ticket == "D4")
    for waits_s, refused in ((150, False), (151, True)):
        paper = legal().with_item(replace(pizza, ready_s=landing.planned_s - 45 - waits_s))
        assert ("held on the pass" in paper.broken()) is refused, waits_s


def test_a_landing_before_the_food_is_ready_is_noticed() -> None:
    landing = legal().landings[0]
    found = legal().with_landing(landing.ticket, planned_s=landing.planned_s - 100).broken()
    assert "held on the pass" in found


def test_a_drop_apart_from_the_first_is_told() -> None:
    assert "together" in legal().with_landing("A1", drop=2).broken()


def test_a_plate_forgotten_is_noticed() -> None:
    gone = legal().item("dip", 1)
    items = tuple(item for item in legal().items if item.item != gone.item)
    moves = tuple(move for move in legal().moves if move.item != gone.item)
    landings = tuple(
        replace(x, items=tuple(key for key in x.items if key != gone.item)) for x in legal().landings
    )
    assert "complete" in Paper(moves, landings, items).broken()


def test_a_plate_that_never_lands_or_lands_twice_is_noticed() -> None:
    first, *others = legal().landings
    never = replace(legal(), landings=(replace(first, items=first.items[1:]), *others))
    twice = replace(legal(), landings=(replace(first, items=(*first.items, first.items[0])), *others))
    assert "complete" in never.broken()
    assert "complete" in twice.broken()


def test_a_plate_the_landing_names_but_nobody_cooks_is_noticed() -> None:
    items = tuple(item for item in legal().items if item.item != legal().item("dip", 1).item)
    assert "complete" in replace(legal(), items=items).broken()


def test_acts_on_an_item_that_is_not_there_are_noticed() -> None:
    ghost = replace(legal().moves[0], item="Z9-1", start_s=legal().moves[0].start_s - 300)
    assert replace(legal(), moves=(ghost, *legal().moves)).broken()


def test_an_unknown_cook_is_noticed() -> None:
    first = legal().moves[0]
    stranger = legal().with_moves(lambda m: replace(m, cook="Nobody") if m == first else m)
    assert "hands" in stranger.broken()


def test_a_dish_nobody_ordered_is_noticed() -> None:
    dip = legal().item("dip", 0)
    assert "complete" in legal().with_item(replace(dip, dish="shrimp")).broken()


def test_a_touch_before_the_call_is_noticed() -> None:
    first = min(legal().moves, key=lambda m: m.start_s)
    found = legal().with_landing(first.ticket, called_s=first.start_s + 1).broken()
    assert "moves and stays agree" in found


def test_a_cut_after_the_plates_have_left_is_noticed() -> None:
    landing = next(x for x in legal().landings if x.ticket == "D4")

    def late(move: Move) -> Move:
        return replace(move, start_s=landing.planned_s) if move.act == "cut" else move

    pizza = next(i for i in legal().items if i.ticket == "D4" and i.dish == "pizza")
    assert "moves and stays agree" in legal().with_moves(late, pizza.item).broken()
