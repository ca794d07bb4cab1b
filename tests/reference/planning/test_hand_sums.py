"""Nights of four dishes summed by hand, in the open: the proof counts the same, the search finds the same."""

from __future__ import annotations

from dataclasses import replace

import pytest

from by_hand import booked, done, faults, honest
from hearthtide.planning.engine.search import search
from hearthtide.planning.problem import Booked, Item, Problem, Schedule, Weights
from hearthtide.planning.proof.floor import Floor
from published import Published
from rich_night import with_choices, with_items
from small_night import clock, problem_of, small_house, small_night

pytestmark = pytest.mark.subject("planning")
TRADE, SUM = "trade scenario, by hand from its stated minutes", "sum by hand"

# Written out so that the sums below stay as they are read: a house's own prices, not the tool's.
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
    reach=6.0,
)
ROUNDS = 2000


def night(wanted: str, *tickets: tuple[str, tuple[str, ...]], cooks: int = 2, platters: int = 12) -> Problem:
    """Tables called at 19:05 and wanted in one minute; stages of exactly the house's minutes."""
    rows = [(table, "19:05", wanted, dishes) for table, dishes in tickets]
    problem = problem_of(small_house(cooks=cooks, platters=platters), small_night(*rows))
    return with_items(replace(problem, weights=PRICES), lambda i: with_choices(i, early_s=0, late_s=0))


def launched(problem: Problem, starts: dict[str, str], cooks: dict[str, int]) -> Schedule:
    """Every dish launched when the sum says, by that cook, to the second; none in the way of another."""
    floor = Floor(problem)
    of: list[Booked] = []
    taken: list[int] = []
    for order in problem.orders:
        placed = []
        for one in order.items:
            own = [clear_spot(floor, one, number, taken) for number in range(len(one.stages))]
            taken += own
            placed.append(done(one, clock(starts[one.key]), *own, cook=cooks[one.key]))
        of.append(booked(order, *placed))
    return honest(problem, Schedule(tuple(of), 0.0, 0, 0))


def clear_spot(floor: Floor, one: Item, stage: int, taken: list[int]) -> int:
    """The first spot the stage asks for that is clear of all taken ones and of the hands' way to them."""
    mask = sum({c.places for c in one.choices(stage, 0)})
    return next(
        p
        for p in range(mask.bit_length())
        if mask >> p & 1 and not any(floor.clash(p, q) or floor.over(p, q) or floor.over(q, p) for q in taken)
    )


def went_in(plan: Schedule) -> dict[str, int]:
    return {p.item.dish: p.stays[0].start_s for b in plan.booked for p in b.placed}


B4 = ("pizza", "steak", "shrimp", "chicken")
B4_IN = {"B4-1": "19:18:15", "B4-2": "19:08:45", "B4-3": "19:16:15", "B4-4": "19:07:15"}
# The steak is pulled as the shrimp is launched, shrimp and pizza come off in the same second.
B4_COOKS = {"B4-1": 1, "B4-2": 1, "B4-3": 0, "B4-4": 0}


def test_ticket_b4_costs_nothing_when_it_lands_as_the_trade_says(published: Published) -> None:
    """Called 19:05, to land 19:22:00. Plated in 0:45: all four ready at 19:21:15.

    ==========  ==============================  ==========================================
    chicken     in 19:07:15, 10:00 + 2:00       off 19:19:15, rests 2:00, ready 19:21:15
    steak       in 19:08:45, 7:30               off 19:16:15, rests 5:00, ready 19:21:15
    shrimp      in 19:16:15, 5:00               off and ready 19:21:15
    pizza       in 19:18:15, 3:00               off and ready 19:21:15, cut by 19:21:45
    ==========  ==============================  ==========================================

    Assumed: in is the begin of the launch, off the begin of the pull; the dough is dressed 25 s before;
    the steak's platter is hot in the bank; two pairs of hands (at 19:16:15 and 19:21:15 two acts fall
    together); the half chicken is boned (12 min), nothing else is on the stone. Late 0, early 0, plates 0 s
    apart, none held, every stage to the second: the night costs 0.
    """
    problem = night("19:22", ("B4", B4))
    found = search(problem, rounds=ROUNDS)
    plan = launched(problem, B4_IN, B4_COOKS)
    assert faults(problem, plan) == set()
    assert plan.booked[0].landing_s == clock("19:22")
    assert plan.cost == 0.0
    assert faults(problem, found) == set()
    for key, time in B4_IN.items():
        dish = B4[int(key[-1]) - 1]
        published(
            f"ticket B4, two pairs of hands: {dish} goes in, after 19:00",
            TRADE,
            expected=clock(time) - clock("19:00"),
            computed=went_in(found)[dish] - clock("19:00"),
            absolute=0,
            unit="s",
        )
    what = "ticket B4, two pairs of hands: cost of the plan found"
    published(what, SUM, expected=0.0, computed=found.cost, absolute=1e-6)


def test_ticket_b4_wanted_at_once_costs_what_its_earliest_honest_landing_makes_it(
    published: Published,
) -> None:
    """Wanted 19:10. The chicken goes in as it is called: 19:05 + 12:00 + 2:00 + 0:45 = 19:19:45.

    585 s late: 585 x 1, 465 of them past two minutes x 2, none past ten minutes: 585 + 930 = 1515, for
    each of four guests (a small night has a guest a dish): 6060.
    The others are timed to be ready at 19:19:00 with it.
    """
    problem = night("19:10", ("B4", B4))
    found = search(problem, rounds=ROUNDS)
    starts = {"B4-1": "19:16", "B4-2": "19:06:30", "B4-3": "19:14", "B4-4": "19:05"}
    plan = launched(problem, starts, B4_COOKS)
    assert faults(problem, plan) == set()
    assert plan.booked[0].landing_s == clock("19:19:45")
    assert plan.cost == pytest.approx(4 * (585 + 2 * 465))
    assert faults(problem, found) == set()
    what = "ticket B4 wanted at once, two pairs of hands: cost of the plan found"
    published(what, SUM, expected=6060.0, computed=found.cost, absolute=1e-6)


def test_four_dips_and_one_pair_of_hands_are_ten_seconds_apart(published: Published) -> None:
    """Four dips, 6:00 each, one pair of hands, wanted 19:22: the last is ready at 19:21:15.

    A launch takes 10 s, a pull 8 s: with every dip 360 s on the stone launches and pulls are 10 s apart:
    in at 19:14:45, 14:55, 15:05 and 15:15, off six minutes later. 30 s apart at 0.05 each
    for four guests: 6.
    """
    problem = night("19:22", ("D1", ("dip",) * 4), cooks=1)
    found = search(problem, rounds=ROUNDS)
    starts = {"D1-1": "19:14:45", "D1-2": "19:14:55", "D1-3": "19:15:05", "D1-4": "19:15:15"}
    plan = launched(problem, starts, dict.fromkeys(starts, 0))
    assert faults(problem, plan) - {"cost"} == set()
    assert plan.booked[0].landing_s == clock("19:22")
    assert plan.parts["spread"] == pytest.approx(4 * 0.05 * 30)
    assert plan.cost == pytest.approx(6)
    closer = {**starts, "D1-4": "19:15:14"}  # a second less, and the launches run into one another
    assert faults(problem, launched(problem, closer, dict.fromkeys(starts, 0))) == {"hands"}
    assert faults(problem, found) == set()
    what = "four dips, one pair of hands: cost of the plan found"
    published(what, SUM, expected=6.0, computed=found.cost, absolute=1e-6)


def test_two_steaks_on_one_platter(published: Published) -> None:
    """Two tables with a steak each, one platter (10:00 back to hot), and a dip and shrimp, wanted 19:25.

    A steak is 7:30 + 5:00 + 0:45 = 13:15 from launch to table. On time, the first goes in 19:11:45; the
    platter is hot again at 19:35:00 and the second lands 19:48:15, 1395 s late:
    1395 + 2 x 1275 + 3 x 795 = 6330.

    A second earlier for the first costs 0.2 and saves 1 + 2 + 3 for the other, as long as that is more
    than ten minutes late. It goes in when it is called: lands 19:18:15, 405 s early: 81. The platter is
    hot at 19:28:15, the second lands 19:41:30, 990 s late: 990 + 2 x 870 + 3 x 390 = 3900. Together 3981.
    The dip and the shrimp land to the second and cost nothing: no plan costs less.
    """
    tickets = (("A1", ("steak",)), ("A2", ("steak",)), ("A3", ("dip",)), ("A4", ("shrimp",)))
    problem = night("19:25", *tickets, platters=1)
    found = search(problem, rounds=ROUNDS)
    dip, shrimp = {"A3-1": "19:18:15"}, {"A4-1": "19:19:15"}
    for first, second, cost in (("19:11:45", "19:35:00", 6330), ("19:05:00", "19:28:15", 3981)):
        starts = {"A1-1": first, "A2-1": second, **dip, **shrimp}
        plan = launched(problem, starts, {"A1-1": 1, "A2-1": 1, "A3-1": 1, "A4-1": 0})
        assert faults(problem, plan) == set()
        assert plan.cost == pytest.approx(cost)
    sooner = {"A1-1": "19:05:00", "A2-1": "19:28:14", **dip, **shrimp}
    again = launched(problem, sooner, {"A1-1": 1, "A2-1": 1, "A3-1": 1, "A4-1": 0})
    assert faults(problem, again) == {"platters"}
    assert faults(problem, found) == set()
    published(
        "two steaks on one platter: cost of the plan found",
        SUM,
        expected=(3981 - 1e-6, 3981 * 1.05),
        computed=found.cost,
    )
