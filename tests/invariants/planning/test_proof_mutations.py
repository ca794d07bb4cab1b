"""The proof lets what the search plans pass and refuses every way of spoiling it, under the right name.

Each mutant's cost is counted anew and said honestly, so that nothing but the rule it breaks can refuse it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from by_hand import faults, honest, shifted, with_act, with_placed, with_stay
from hearthtide.planning.engine.search import search
from hearthtide.planning.problem import (
    Bank,
    Booked,
    Closed,
    Handling,
    Placed,
    Problem,
    Reality,
    Schedule,
    Stay,
)
from hearthtide.planning.proof.floor import Floor
from hearthtide.planning.proof.prove import prove
from rich_night import CHANGES, cut_at
from small_night import MIXED, clock, items_of, problem_of, small_house, small_night

NOW_S = clock("18:13")
RULES = ("allergens", "chores", "long rest of the stone", "one hand", "preheat", "tall", "uneven cooks")


@cache
def night() -> tuple[Problem, Schedule]:
    problem = problem_of(small_house(cooks=2, platters=2), MIXED)
    for rule in RULES:
        problem = CHANGES[rule](problem)
    return problem, search(problem, rounds=200, seed=3)


@cache
def half_way() -> Reality:
    return cut_at(night()[1], NOW_S)


def night_half_way() -> tuple[Problem, Schedule]:
    """The night without the chore that is done by then."""
    problem, plan = night()
    return replace(problem, chores=problem.chores[1:]), replace(plan, chores=plan.chores[1:])


def all_placed() -> list[Placed]:
    return [p for b in night()[1].booked for p in b.placed]


def found(changed: Placed, reality: Reality | None = None) -> set[str]:
    problem, plan = night() if reality is None else night_half_way()
    return faults(problem, honest(problem, with_placed(plan, changed), reality), reality)


def test_the_schedule_itself_is_accepted() -> None:
    problem, plan = night()
    assert faults(problem, plan) == set()
    assert faults(*night_half_way(), half_way()) == set()
    assert len(half_way().begun) >= 3
    assert sorted(p.item.key for p in all_placed()) == sorted(ITEMS)
    assert all(p.handlings for p in all_placed())


# --- each act -------------------------------------------------------------------------------------

# By item, so that collecting the tests plans nothing.
ITEMS = items_of(MIXED)


def placed_of(key: str) -> Placed:
    return next(p for p in all_placed() if p.item.key == key)


def with_handlings(placed: Placed, *handlings: Handling) -> Placed:
    return replace(placed, handlings=handlings)


def with_one(placed: Placed, act: Handling, *instead: Handling) -> Placed:
    """The item with one act replaced by others, by none to leave it out."""
    acts = (instead if h == act else (h,) for h in placed.handlings)
    return with_handlings(placed, *(h for some in acts for h in some))


@pytest.mark.parametrize("key", ITEMS)
def test_an_act_left_out(key: str) -> None:
    placed = placed_of(key)
    for act in placed.handlings:
        want = "turns" if act.act in ("turn", "spin", "flip") else "acts"
        assert want in found(with_one(placed, act)), act


@pytest.mark.parametrize("key", ITEMS)
def test_an_act_done_twice(key: str) -> None:
    placed = placed_of(key)
    for act in placed.handlings:
        want = "turns" if act.act in ("turn", "spin", "flip") else "acts"
        again = replace(act, start_s=act.start_s + act.hands_s)
        assert want in found(with_handlings(placed, *placed.handlings, again)), act


@pytest.mark.parametrize("key", ITEMS)
@pytest.mark.parametrize("by_s", [-7, 7])
def test_a_launch_load_move_or_pull_shifted_without_its_stay(key: str, by_s: int) -> None:
    placed = placed_of(key)
    for act in placed.handlings:
        names = found(with_one(placed, act, replace(act, start_s=act.start_s + by_s)))
        if act.act in ("launch", "load", "move", "pull"):
            assert "stay" in names, act
        elif act.act in ("turn", "spin", "flip"):
            far = replace(act, start_s=placed.stays[act.stage].start_s)
            assert "turns" in found(with_one(placed, act, far)), act


@pytest.mark.parametrize("key", ITEMS)
def test_an_act_by_nobody_or_in_other_seconds(key: str) -> None:
    placed = placed_of(key)
    for act in placed.handlings:
        for wrong in (replace(act, cook=2), replace(act, hands_s=act.hands_s + 1)):
            assert "hands" in found(with_one(placed, act, wrong)), act


@pytest.mark.parametrize("key", ITEMS)
def test_the_cook_of_an_act_stolen_by_another(key: str) -> None:
    """Whoever else is at work just then, both hands: one of the two acts is left without."""
    problem, plan = night()
    placed = placed_of(key)
    other = next(p for p in all_placed() if p is not placed)
    for act in placed.handlings:
        hands_s = problem.hands_s(act.cook, "pull")
        thief = Handling(act.start_s + act.hands_s // 2, hands_s, act.cook, "pull", 0)
        changed = with_placed(plan, with_handlings(other, *other.handlings, thief))
        assert "hands" in faults(problem, honest(problem, changed)), act


def test_acts_right_after_one_another_cannot_close_up() -> None:
    """Wherever two acts of one cook touch, the later one cannot come sooner."""
    own = sorted(((h, p) for p in all_placed() for h in p.handlings), key=lambda one: one[0].start_s)
    touching = [
        (b, p)
        for cook in (0, 1)
        for (a, _), (b, p) in pairwise([one for one in own if one[0].cook == cook])
        if b.start_s == a.start_s + a.hands_s and {a.act, b.act}.isdisjoint({"spin", "flip", "flame"})
    ]
    assert touching
    for act, placed in touching:
        early = replace(act, start_s=act.start_s - 2)
        names = found(with_handlings(placed, *(early if h == act else h for h in placed.handlings)))
        assert names & {"hands", "acts"}, act


# --- each item ------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ITEMS)
def test_an_item_forgotten_or_cooked_twice(key: str) -> None:
    problem, plan = night()

    def without(b: Booked) -> Booked:
        return replace(b, placed=tuple(p for p in b.placed if p.item.key != key))

    assert "orders" in faults(
        problem, honest(problem, replace(plan, booked=tuple(map(without, plan.booked))))
    )
    placed = next(p for p in all_placed() if p.item.key == key)
    doubled = tuple(
        replace(b, placed=(*b.placed, shifted(placed, 4000))) if placed in b.placed else b
        for b in plan.booked
    )
    assert "orders" in faults(problem, honest(problem, replace(plan, booked=doubled)))


@pytest.mark.parametrize("key", ITEMS)
def test_an_item_before_its_call(key: str) -> None:
    placed = next(p for p in all_placed() if p.item.key == key)
    order = next(b.order for b in night()[1].booked if placed in b.placed)
    names = found(shifted(placed, order.called_s - 1 - placed.handlings[0].start_s))
    assert "called" in names or placed.handlings[0].start_s < order.called_s


@pytest.mark.parametrize("key", ITEMS)
@pytest.mark.parametrize("by_s", [-61, -1])
def test_a_rest_dropped_or_cut_short(key: str, by_s: int) -> None:
    placed = next(p for p in all_placed() if p.item.key == key)
    assert "rest" in found(replace(placed, ready_s=placed.leave_s + placed.item.rest_s + by_s))


@pytest.mark.parametrize("key", ITEMS)
@pytest.mark.parametrize("by_s", [-40, 40])
def test_a_last_stage_shortened_or_drawn_out(key: str, by_s: int) -> None:
    placed = next(p for p in all_placed() if p.item.key == key)
    last = placed.stays[-1]
    late = replace(last, end_s=last.end_s + by_s, held_until_s=last.held_until_s + by_s)
    moved = with_act(placed, "pull", start_s=late.end_s)
    stays = (*placed.stays[:-1], late)
    ends = replace(moved, stays=stays, leave_s=late.end_s, ready_s=late.end_s + placed.item.rest_s)
    assert "stage" in found(ends)


@pytest.mark.parametrize("key", ITEMS)
def test_a_stage_said_to_ask_other_seconds(key: str) -> None:
    placed = next(p for p in all_placed() if p.item.key == key)
    for number, stay in enumerate(placed.stays):
        assert "stage" in found(with_stay(placed, number, asked_s=stay.asked_s - 1))


@pytest.mark.parametrize("key", ITEMS)
def test_an_item_on_a_spot_it_does_not_ask_for_or_that_is_none(key: str) -> None:
    problem, _ = night()
    placed = next(p for p in all_placed() if p.item.key == key)
    for number in range(len(placed.stays)):
        asked = sum({c.places for c in placed.item.choices(number, 0)})
        foreign = next(p for p in range(len(problem.places.spots)) if not asked >> p & 1)
        assert "place" in found(with_stay(placed, number, place=foreign))
        assert "place" in found(with_stay(placed, number, place=len(problem.places.spots)))


@pytest.mark.parametrize("key", ITEMS)
def test_an_item_on_a_spot_that_is_shut(key: str) -> None:
    problem, plan = night()
    placed = next(p for p in all_placed() if p.item.key == key)
    for stay in placed.stays:
        shut = Closed(1 << stay.place, stay.held_until_s - 1, stay.held_until_s)
        assert "closed" in faults(replace(problem, closed=(shut,)), plan)
        if stay is not placed.stays[-1] and placed.stays[-1].place == stay.place:
            continue  # it stays on for its load
        later = replace(shut, from_s=stay.held_until_s, until_s=stay.held_until_s + 1)
        wrong = prove(replace(problem, closed=(later,)), plan)
        assert [f for f in wrong if f.name == "closed" and f.about == key] == []


# --- two items ------------------------------------------------------------------------------------


def meeting(plan: Schedule | None = None) -> Iterator[tuple[Placed, int, Placed, Stay]]:
    """Pairs of stays of two items at one time: the first one's item and number, the second."""
    every = all_placed() if plan is None else [p for b in plan.booked for p in b.placed]
    for p in every:
        for number, stay in enumerate(p.stays):
            for q in every:
                for other in q.stays:
                    at_once = stay.start_s < other.held_until_s and other.start_s < stay.held_until_s
                    if p is not q and at_once:
                        yield p, number, q, other


def test_two_items_on_one_spot_and_two_that_touch() -> None:
    problem, _ = night()
    floor = Floor(problem)
    pairs = list(meeting())
    assert len(pairs) > 20
    for p, number, _, other in pairs:
        assert "overlap" in found(with_stay(p, number, place=other.place))
    p, number, _, other = pairs[0]
    touching = [
        s for s in range(len(problem.places.spots)) if s != other.place and floor.clash(s, other.place)
    ]
    for spot in touching[::7]:
        assert "overlap" in found(with_stay(p, number, place=spot))


def test_the_places_of_two_items_swapped() -> None:
    """Of different outlines or wishes: each then stands where it should not."""
    problem, plan = night()
    swaps = [(p, n, q, s) for p, n, q, s in meeting() if p.item.dish < q.item.dish and s.stage == 0]
    assert len(swaps) > 5
    for p, number, q, other in swaps:
        mine = with_stay(p, number, place=other.place)
        theirs = with_stay(q, 0, place=p.stays[number].place)
        swapped = with_placed(with_placed(plan, mine), theirs)
        wishes = [c.places >> other.place & 1 for c in p.item.choices(number, 0)]
        back = [c.places >> p.stays[number].place & 1 for c in q.item.choices(0, 0)]
        names = faults(problem, honest(problem, swapped))
        assert "place" in names or (any(wishes) and any(back))


def test_dough_on_stone_that_has_not_rested() -> None:
    pizzas = sorted((p for p in all_placed() if p.item.on_stone), key=lambda p: p.stays[0].start_s)
    for p, q in pairwise(pizzas):
        for pause_s in (0, 119):
            by_s = p.stays[0].held_until_s + pause_s - q.stays[0].start_s
            assert "stone rest" in found(with_stay(shifted(q, by_s), 0, place=p.stays[0].place))


def beside(floor: Floor, spot: int, low_m: float, high_m: float) -> Iterator[int]:
    return (q for q in range(len(floor.prints)) if low_m <= floor.gap(spot, q) < high_m)


def test_raw_put_beside_ready_to_eat() -> None:
    problem, plan = night()
    tried = 0
    for p, number, q, other in meeting():
        raw = p.item.spits & q.item.guards
        for spot in list(beside(Floor(problem), other.place, 0.01, 0.149))[:3] if raw else ():
            tried += 1
            names = faults(problem, honest(problem, with_placed(plan, with_stay(p, number, place=spot))))
            assert "splash" in names
    assert tried


def test_handled_behind_a_tall_item() -> None:
    crowd = small_night(("A1", "18:00", "18:20", ("chicken", "chicken", "pizza", "shrimp", "dip", "dip")))
    problem = CHANGES["tall"](problem_of(small_house(cooks=3), crowd))
    plan = search(problem, rounds=100)
    floor, tried = Floor(problem), 0
    for p, number, q, other in meeting(plan):
        stay = p.stays[number]
        acts = [h for h in p.handlings if h.stage >= 0 and stay.start_s <= h.start_s < stay.held_until_s]
        if not q.item.tall or not any(other.start_s <= h.start_s < other.held_until_s for h in acts):
            continue
        for spot in [s for s in range(len(floor.prints)) if floor.over(s, other.place, 0.01)][::9]:
            tried += 1
            names = faults(problem, honest(problem, with_placed(plan, with_stay(p, number, place=spot))))
            assert "tall" in names
    assert tried


# --- platters, tables, chores, cost ---------------------------------------------------------------


def test_the_bank_over_used() -> None:
    problem, plan = night()
    poor = replace(problem, bank=Bank(1, problem.bank.turnaround_s if problem.bank else 0))
    assert faults(poor, plan) == {"platters"}
    slow = replace(problem, bank=Bank(2, 7200))
    more = [p for p in all_placed() if p.item.from_bank]
    assert len(more) == 2
    assert faults(slow, plan) == set()


def test_a_landing_shifted() -> None:
    problem, plan = night()
    for n, b in enumerate(plan.booked):
        for by_s in (-60, -1, 1):
            wrong = replace(b, landing_s=b.landing_s + by_s)
            booked = (*plan.booked[:n], wrong, *plan.booked[n + 1 :])
            assert "landing" in faults(problem, honest(problem, replace(plan, booked=booked)))


def test_a_plate_moved_to_another_table() -> None:
    problem, plan = night()
    a, b, *others = plan.booked
    given = replace(a, placed=a.placed[1:])
    taken = replace(b, placed=(*b.placed, a.placed[0]))
    assert "orders" in faults(problem, honest(problem, replace(plan, booked=(given, taken, *others))))


def test_a_chore_forgotten_or_late() -> None:
    problem, plan = night()
    assert len(plan.chores) == 2
    assert "chores" in faults(problem, replace(plan, chores=plan.chores[1:]))
    late = replace(plan.chores[0], start_s=plan.chores[0].start_s + 400)
    assert "chores" in faults(problem, replace(plan, chores=(late, plan.chores[1])))


def test_the_cost_broken() -> None:
    problem, plan = night()
    for kind in plan.parts:
        for by in (-1e-5, 1e-5, 1.0):
            parts = {**plan.parts, kind: plan.parts[kind] + by}
            assert faults(problem, replace(plan, parts=parts)) == {"cost"}
    assert faults(problem, replace(plan, cost=plan.cost + 1e-5)) == {"cost"}


# --- what has begun, what was told ----------------------------------------------------------------


def begun_keys() -> set[str]:
    return {b.item for b in half_way().begun}


@pytest.mark.parametrize("key", ITEMS)
def test_a_begun_or_told_item_moved(key: str) -> None:
    placed = next(p for p in all_placed() if p.item.key == key)
    names = found(with_stay(placed, 0, place=placed.stays[0].place + 1), half_way())
    later = found(shifted(placed, 1), half_way())
    assert bool(names & {"begun", "told"}) == bool(later & {"begun", "told"}) == (key in begun_keys())


def test_each_act_begun_or_told_moved_by_a_second() -> None:
    names: dict[str, int] = {"begun": 0, "told": 0}
    for begun in half_way().begun:
        placed = next(p for p in all_placed() if p.item.key == begun.item)
        for act in begun.handlings:
            moved = replace(act, start_s=act.start_s + 1)
            wrong = found(
                with_handlings(placed, *(moved if h == act else h for h in placed.handlings)), half_way()
            )
            want = "begun" if act.start_s < NOW_S else "told"
            assert want in wrong
            names[want] += 1
    assert min(names.values()) > 0


def test_what_is_not_begun_planned_for_the_past() -> None:
    for placed in all_placed():
        if placed.item.key not in begun_keys():
            early = shifted(placed, NOW_S - 1 - placed.stays[0].start_s)
            assert "before now" in found(early, half_way())


SPOILT: list[Callable[[Schedule], Schedule]] = [
    lambda plan: replace(plan, booked=plan.booked[1:]),
    lambda plan: replace(plan, booked=(*plan.booked, plan.booked[0])),
]


@pytest.mark.parametrize("spoil", SPOILT)
def test_a_whole_order_left_out_or_doubled(spoil: Callable[[Schedule], Schedule]) -> None:
    problem, plan = night()
    assert "orders" in faults(problem, honest(problem, spoil(plan)))
