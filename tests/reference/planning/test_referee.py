"""The referee against sums by hand, brute force and the checker; then the search against the referee."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from hearthtide.house.models import Act
from hearthtide.planning.checker import check_moves
from hearthtide.planning.checker_stages import check_stages
from hearthtide.planning.cost import order_cost, reached_over
from hearthtide.planning.engine.search import search
from hearthtide.planning.places import Places
from hearthtide.planning.problem import (
    Bank,
    Choice,
    Chore,
    Closed,
    Handle,
    Hands,
    Item,
    Order,
    Problem,
    Stage,
    Weights,
)
from job_shop import apart
from published import Published
from referee import at_least, counted, judge
from referee_acts import NotModelled
from referee_places import cliques, most_at_once, thinned
from single_machine import as_night, drawn_jobs, least_cost
from small_night import plan_of, problem_of, small_house, tiny_night

pytestmark = pytest.mark.subject("planning")
CP_SAT = "OR-Tools CP-SAT 9.15, the same night on the same few places"
T = 68_400  # 19:00
WINDOWS = [(seed, dishes) for dishes in (2, 3, 4, 5) for seed in range(1, 7)]
PRICES = Weights(
    late=1.0,
    beyond=2.0,
    long=3.0,
    early=0.2,
    hasty=0.0,
    spread=2.0,
    close=0.05,
    overheld=5.0,
    off=1.0,
    reach=0.0,
)
"""What the sums by hand count with, whatever a house's own are."""


def item(key: str, stages: tuple[Stage, ...], **told: object) -> Item:
    plain = Item(
        key=key,
        ticket=key,
        dish=key,
        stages=stages,
        pace=(1.0,) * len(stages),
        prefer=(0,) * len(stages),
        rest_s=0,
        hold_s=600,
        dressed=False,
        cut=False,
        on_stone=False,
        from_bank=False,
    )
    return replace(plain, **told)


def stage(seconds: int, places: int, **told: object) -> Stage:
    return Stage("work", ((Choice(seconds, places, 0, 0, 0),),), (), **told)


def night(places: Places, *orders: tuple[int, tuple[Item, ...]], **told: object) -> Problem:
    """Orders by the second they are wanted; one cook, 10 s an act, a turn 12 s, plating 40 s."""
    acts = get_args(Act)
    plain = Problem(
        orders=tuple(
            Order(f"T{n}", f"T{n}", 1, T, wanted, items) for n, (wanted, items) in enumerate(orders)
        ),
        places=places,
        cooks=(Hands("cook", frozenset(acts)),),
        act_s=dict.fromkeys(acts, 10) | {"turn": 12},
        bank=None,
        plating_s=40,
        together_s=60,
        late_after_s=120,
        recovery_s=0,
        from_s=T,
        weights=PRICES,
    )
    return replace(plain, **told)


def optimum(problem: Problem) -> float:
    verdict = judge(problem, effort=10.0)
    assert verdict.proven and verdict.schedule is not None
    return verdict.cost


# --- by hand -----------------------------------------------------------------------------------------


def test_one_dish_that_has_the_time_costs_nothing() -> None:
    assert optimum(night(apart(1), (T + 600, (item("a", (stage(100, 1),)),)))) == 0.0


def test_one_dish_called_too_late_is_late_by_what_it_takes() -> None:
    """Launched at once it is off after 300 s and plated after 340: 240 s late, 120 of them past the limit."""
    assert optimum(night(apart(1), (T + 100, (item("a", (stage(300, 1),)),)))) == 240 + 2 * 120


def test_two_dishes_on_one_spot_are_a_stage_and_a_pull_apart() -> None:
    """100 s on the stone, 10 s of pulling: one lands as wanted, the other 110 s before, at 0.2 a second."""
    two = night(apart(1), *((T + 900, (item(key, (stage(100, 1),)),)) for key in "ab"))
    assert optimum(two) == pytest.approx(0.2 * 110)


def test_bare_stone_rests_between_two() -> None:
    """As before, and 45 s of recovery on top."""
    dough = [item(key, (stage(100, 1),), on_stone=True) for key in "ab"]
    assert optimum(night(apart(1), *((T + 900, (d,)) for d in dough), recovery_s=45)) == pytest.approx(
        0.2 * 155
    )


def test_two_spots_leave_only_the_hands_to_wait_for() -> None:
    """Two launches and two pulls by one pair of hands: 10 s apart."""
    two = night(apart(2), *((T + 900, (item(key, (stage(100, 3),)),)) for key in "ab"))
    assert optimum(two) == pytest.approx(0.2 * 10)


def test_a_second_pair_of_hands_lands_both() -> None:
    both = (Hands("one", frozenset(get_args(Act))), Hands("two", frozenset(get_args(Act))))
    two = night(apart(2), *((T + 900, (item(key, (stage(100, 3),)),)) for key in "ab"), cooks=both)
    assert optimum(two) == 0.0


def test_plates_of_one_table_10_s_apart_cost_their_spread() -> None:
    """The second pull is the last: 10 s of spread at 0.05."""
    one = night(apart(2), (T + 900, tuple(item(key, (stage(100, 3),)) for key in "ab")))
    assert optimum(one) == pytest.approx(0.05 * 10)


def test_one_platter_serves_two_tables_a_turnaround_apart() -> None:
    """Out at the launch, back 200 s after landing: 100 s on the stone, 40 s of plating, 340 s in all."""
    steaks = [item(key, (stage(100, 3),), from_bank=True) for key in "ab"]
    told = night(apart(2), *((T + 1500, (s,)) for s in steaks), bank=Bank(1, 200))
    assert optimum(told) == pytest.approx(0.2 * (100 + 40 + 200))


def test_a_platter_that_stays_keeps_its_place_and_a_moved_one_frees_it() -> None:
    """Two stages of 100 s on the one spot: 210 s apart; the second on a spot of its own: 110 s."""
    for last, spread_s in ((stage(100, 0b1, stays=True), 210), (stage(100, 0b10), 110)):
        two = night(apart(2), *((T + 2000, (item(key, (stage(100, 1), last)),)) for key in "ab"))
        assert optimum(two) == pytest.approx(0.2 * spread_s)


def test_turns_of_three_find_room_near_their_moments() -> None:
    """Three turns of 12 s fit into the 20 s before and after their moments: the minutes are kept."""
    turned = Stage("work", ((Choice(100, 0b111, 0, 10, 10, off_per_s=1.0),),), (Handle("turn", 0.5),))
    three = night(apart(3), (T + 900, tuple(item(key, (turned,)) for key in "abc")))
    assert optimum(three) == pytest.approx(0.05 * 20)


def test_reaching_over_another_costs_each_time() -> None:
    """Two spots in one line: what stands behind is put in first and taken out last.

    With the longer stage in front that cannot be: the launch at least goes over the front one (6), and the
    pull comes 10 s after the other (2 a second). Both acts over it would cost 12, the pulls as far apart.
    """
    line = apart(2)
    line.__dict__["reach"] = (0, 0b01)  # to spot 1 a hand goes over spot 0
    weights = replace(PRICES, reach=6.0, close=0.0)
    for front_s, back_s, together_s, cost in ((100, 200, 60, 0.0), (200, 100, 0, 6.0 + 2.0 * 10)):
        both = (item("a", (stage(front_s, 0b01),)), item("b", (stage(back_s, 0b10),)))
        told = night(line, (T + 900, both), weights=weights, together_s=together_s)
        assert optimum(told) == pytest.approx(cost)


# --- against other methods ---------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(1, 5))
@pytest.mark.parametrize("early", [0.2, 1.0])
def test_the_referee_and_brute_force_agree_on_one_machine(
    published: Published, seed: int, early: float
) -> None:
    jobs = drawn_jobs(seed, 5, 0.8 if seed % 2 else 1.2)
    published(
        "the referee's optimum, one machine, five jobs with due dates",
        "brute force over all orders with the best idle time",
        expected=least_cost(jobs, 1.0, early),
        computed=optimum(as_night(jobs, 1.0, early)),
        absolute=1e-6,
        unit="guest-seconds",
        at=f"jobs {seed}, early {early}",
    )


def test_what_fits_at_once_is_counted_exactly() -> None:
    """Five places in a ring, each in conflict with its neighbours: two at once; by weight, the best two."""
    ring = Places(apart(5).spots, tuple(1 << p | 1 << (p + 1) % 5 | 1 << (p - 1) % 5 for p in range(5)))
    assert most_at_once(ring, dict.fromkeys(range(5), 1)) == 2
    assert most_at_once(ring, {0: 5, 1: 9, 2: 5, 3: 1, 4: 1}) == 10
    pairs = {frozenset((a, b)) for found in cliques(ring, 0b11111) for a in found for b in found if a != b}
    assert pairs == {frozenset((p, (p + 1) % 5)) for p in range(5)}


@pytest.mark.parametrize(("seed", "dishes"), WINDOWS[::3])
def test_the_checker_accepts_what_the_referee_plans(seed: int, dishes: int) -> None:
    house, tickets = small_house(), tiny_night(seed, dishes)
    problem = thinned(quiet(problem_of(house, tickets)), 8)
    verdict = judge(problem)
    assert verdict.schedule is not None
    plan = plan_of(house, tickets, problem, verdict.schedule)
    checks = check_moves(house, tickets, plan.moves, plan.landings, plan.items)
    checks += check_stages(house, plan.moves, plan.items)
    assert {c.name: c.detail for c in checks if not c.ok} == {}


@pytest.mark.parametrize(("seed", "dishes"), WINDOWS[::5])
def test_the_bound_without_places_is_below_the_optimum(seed: int, dishes: int) -> None:
    """On all places: what no plan can undercut is undercut neither by the search nor by the best on a few."""
    problem = quiet(problem_of(small_house(), tiny_night(seed, dishes)))
    bound = at_least(problem, effort=5.0)
    assert bound <= judge(thinned(problem, 8)).cost + 1e-6
    assert bound <= search(problem, rounds=500).cost + 1e-6


def test_a_bound_counts_what_fits() -> None:
    """Three items for a ring that holds two at once: the third is off before both others are on.

    Their launches and its pull take the hands 10 s each: it is pulled 120 s before the last.
    """
    ring = Places(apart(5).spots, tuple(1 << p | 1 << (p + 1) % 5 | 1 << (p - 1) % 5 for p in range(5)))
    three = night(ring, *((T + 900, (item(key, (stage(100, 0b11111),)),)) for key in "abc"))
    hands_only = replace(three, stone_binds=False)
    assert at_least(hands_only) == pytest.approx(0.2 * (10 + 20))
    assert at_least(three) == pytest.approx(optimum(three)) == pytest.approx(0.2 * (10 + 120))


def test_the_same_verdict_twice() -> None:
    problem = thinned(quiet(problem_of(small_house(), tiny_night(4, 5))), 8)
    assert judge(problem) == judge(problem)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"chores": (Chore("flame", T, 60, "flame up"),)}, "chores"),
        ({"closed": (Closed(1, T, T + 60),)}, "closed places"),
        ({"one_handed": frozenset({"pull"})}, "one-handed acts"),
        ({"weights": replace(PRICES, late=0.333)}, "hundredths"),
    ],
)
def test_what_is_not_modelled_is_refused(told: dict[str, object], words: str) -> None:
    with pytest.raises(NotModelled, match=words):
        judge(night(apart(1), (T + 600, (item("a", (stage(100, 1),)),)), **told))


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"tall": True}, "tall"),
        ({"asap": True}, "as soon as can be"),
        ({"spits": frozenset({"raw"})}, "kept apart"),
        ({"prefer": (1,)}, "used again"),
        ({"stages": (stage(100, 1, buffer_s=60),)}, "off the hearth"),
        ({"stages": (Stage("s", ((Choice(9, 1, 0),), (Choice(8, 1, 0),)), ()),)}, "over the night"),
        ({"stages": (Stage("s", ((Choice(9, 1, 0), Choice(8, 1, 1)),), ()),)}, "two choices"),
    ],
)
def test_items_it_does_not_model_are_refused(told: dict[str, object], words: str) -> None:
    with pytest.raises(NotModelled, match=words):
        judge(night(apart(1), (T + 600, (replace(item("a", (stage(100, 1),)), **told),))))


# --- the search --------------------------------------------------------------------------------------


def quiet(problem: Problem) -> Problem:
    """Reach costs nothing: most windows are then proven in a second."""
    return replace(problem, weights=replace(problem.weights, reach=0.0))


def test_the_search_never_beats_a_proof_and_mostly_equals_it(published: Published) -> None:
    equal = 0
    for seed, dishes in WINDOWS:
        problem = thinned(quiet(problem_of(small_house(), tiny_night(seed, dishes))), 8)
        found = search(problem, rounds=2000)
        assert found.cost == pytest.approx(sum(order_cost(problem, b) for b in found.booked))
        least = optimum(problem)
        assert found.cost >= least - 1e-6, (seed, dishes)
        equal += found.cost <= least + 1e-6
    what = f"nights of two to five dishes, of {len(WINDOWS)}, that the search solves to the proven optimum"
    published(what, CP_SAT, expected=(len(WINDOWS) // 2 + 1, len(WINDOWS)), computed=equal)


@pytest.mark.parametrize(("seed", "dishes"), WINDOWS[1::4])
def test_the_referee_counts_a_plan_of_the_search_as_the_search_does(seed: int, dishes: int) -> None:
    """Acts and places held as the search has them: they break no rule of the referee, and cost the same."""
    problem = thinned(problem_of(small_house(cooks=2), tiny_night(seed, dishes)), 8)
    found = search(problem, rounds=200)
    assert counted(problem, found) == pytest.approx(found.cost)


def test_a_plan_that_breaks_a_rule_is_not_counted() -> None:
    """The pull a minute later: the stage is past its band."""
    problem = thinned(quiet(problem_of(small_house(), tiny_night(3, 2))), 8)
    found = search(problem, rounds=50)
    first, *others = found.booked
    (placed,) = first.placed
    *acts, pull = placed.handlings
    late = replace(placed, handlings=(*acts, replace(pull, start_s=pull.start_s + 60)))
    with pytest.raises(ValueError, match="no plan"):
        counted(problem, replace(found, booked=(replace(first, placed=(late,)), *others)))


def test_beginning_from_a_plan_ends_no_dearer() -> None:
    problem = thinned(quiet(problem_of(small_house(), tiny_night(4, 5))), 8)
    start = search(problem, rounds=2000)
    assert judge(problem, effort=0.1, start=start).cost <= start.cost + 1e-6


def test_the_search_counts_reach_as_the_referee_does() -> None:
    for seed, dishes in WINDOWS[6:12]:
        problem = thinned(problem_of(small_house(), tiny_night(seed, dishes)), 6)
        found = search(problem, rounds=2000)
        crossed = problem.weights.reach * reached_over(problem, found.booked)
        assert found.cost == pytest.approx(crossed + sum(order_cost(problem, b) for b in found.booked))
        assert found.cost >= optimum(problem) - 1e-6, (seed, dishes)
