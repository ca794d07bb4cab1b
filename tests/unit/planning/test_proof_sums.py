"""The proof's own geometry and cost, against arithmetic written out here."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

import by_hand as by
from by_hand import SIX, done, item, problem, schedule, stage
from hearthtide.planning.problem import Handle, Order, Reality, Schedule, Weights
from hearthtide.planning.proof.counted import cost_of, reach_bounds
from hearthtide.planning.proof.floor import Floor, Footprint, gap_m
from hearthtide.planning.proof.reading import Night

# A house's own, written out so that the sums below stay as they are read.
PRICES = Weights(
    late=1.0,
    beyond=2.0,
    long=3.0,
    early=0.2,
    hasty=2.0,
    spread=2.0,
    close=0.05,
    overheld=5.0,
    off=1.0,
    reach=6.0,
    overrun=60.0,
    parked=60.0,
    told=0.5,
    told_far=0.1,
    changed=15.0,
)
SQUARE = Footprint(((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)), 0.0)


def box(x: float, y: float, w: float, d: float) -> Footprint:
    return Footprint(((x - w, y - d), (x + w, y - d), (x + w, y + d), (x - w, y + d)), 0.0)


@pytest.mark.parametrize(
    ("other", "expected"),
    [
        (Footprint(((3.0, 0.0),), 0.5), 1.5),  # a disc beside it
        (Footprint(((4.0, 5.0),), 1.0), 4.0),  # off the corner: 3, 4, 5
        (Footprint(((0.0, 0.0),), 0.5), -0.5),  # inside it
        (box(4.0, 0.0, 1.0, 3.0), 2.0),  # side by side
        (box(5.0, 6.0, 1.0, 1.0), 5.0),  # corner to corner: 3, 4, 5
        (box(0.0, 0.0, 3.0, 0.1), 0.0),  # a cross, no corner inside
        (box(0.0, 0.0, 0.1, 0.1), 0.0),  # one in the other
        (Footprint(((-3.0, 0.0), (3.0, 0.0)), 0.0), 0.0),  # a way through
        (Footprint(((0.0, 4.0), (4.0, 0.0)), 0.0), math.sqrt(2)),  # a way past a corner
        (Footprint(((2.0, 2.0), (5.0, 2.0)), 0.0), math.sqrt(2)),  # one that ends before it
    ],
)
def test_gaps_from_edge_to_edge(other: Footprint, expected: float) -> None:
    assert gap_m(SQUARE, other) == pytest.approx(expected, abs=1e-12)
    assert gap_m(other, SQUARE) == pytest.approx(expected, abs=1e-12)


def test_a_handle_goes_over_what_stands_within_three_centimetres_of_its_way() -> None:
    # The way to (0.36, 0.8) passes the middle (0.3, 0.4) at |0.3 * 0.8 - 0.4 * 0.36| / 0.877 = 11 cm.
    floor = Floor(problem(item("A1-1", stage(300, by.NEAR_R))))
    assert floor.over(by.BEHIND, by.NEAR_R)
    assert not floor.over(by.NEAR_R, by.BEHIND)
    assert not floor.over(by.BEHIND, by.NEAR_L)
    assert not floor.over(by.BEHIND, by.BEHIND)
    # 11.0 cm is 2 cm inside the edge: with the handle's 3 cm it would still be over, were it 4 cm off.
    inside = 0.13 - (0.3 * 0.8 - 0.4 * 0.36) / math.hypot(0.36, 0.8)
    assert floor.over(by.BEHIND, by.NEAR_R, 0.03 + inside - 1e-4)
    assert not floor.over(by.BEHIND, by.NEAR_R, 0.03 + inside + 1e-4)


def test_one_table_late_early_apart_and_kept_waiting() -> None:
    """Two plates, weight 2. The first is ready 18:05:00, the second 18:08:20: 200 s apart, 75 allowed.

    Ready 18:08:20, plated 18:09:05. The first waits 200 s, 120 s of them allowed.
    """
    a, b = item("A1-1", stage(300, by.NEAR_L)), item("A1-2", stage(400, by.NEAR_R))
    one = Order("A1", "A1", 1, SIX, SIX + 300, (a, b), weight=2.0)
    on = replace(problem(weights=PRICES), orders=(one,))
    plan = schedule(on, done(a, SIX, by.NEAR_L), done(b, SIX + 100, by.NEAR_R))
    assert plan.booked[0].landing_s == SIX + 500 + 45
    # 245 s late, 125 s of it past two minutes.
    late = 2.0 * (1.0 * 245 + 2.0 * 125)
    expected = {"late": late, "spread": 2.0 * (2.0 * 125 + 0.05 * 200), "overheld": 5.0 * 80}
    assert plan.parts == pytest.approx(dict.fromkeys(plan.parts, 0.0) | expected)
    early = replace(on, orders=(replace(one, wanted_s=SIX + 600),))
    assert schedule(early, *plan.booked[0].placed).parts["early"] == pytest.approx(2.0 * 0.2 * 55)
    hasty = replace(on, orders=(replace(one, wanted_s=SIX + 905),))  # lands six minutes early
    assert cost_of(hasty, schedule(hasty, *plan.booked[0].placed))["early"] == pytest.approx(
        2.0 * (0.2 * 360 + 2.0 * 60)
    )
    long = replace(on, orders=(replace(one, called_s=SIX - 900, wanted_s=SIX - 100),))  # 645 s late
    parts = cost_of(long, schedule(long, *plan.booked[0].placed))
    assert parts["late"] == pytest.approx(2.0 * (645 + 2.0 * 525 + 3.0 * 45))


def test_a_longer_rest_brings_plates_together_but_not_closer_off_the_hearth() -> None:
    """Done 18:07:00 and 18:08:20, 80 s apart; the first rests 10 s longer: 70 s apart, 75 allowed."""
    a, b = item("A1-1", stage(300, by.NEAR_L), rest_s=120), item("A1-2", stage(400, by.NEAR_R))
    on = replace(problem(weights=PRICES), orders=(Order("A1", "A1", 1, SIX, SIX + 545, (a, b)),))
    first, second = done(a, SIX, by.NEAR_L), done(b, SIX + 100, by.NEAR_R)
    assert schedule(on, first, second).parts["spread"] == pytest.approx(2.0 * 5 + 0.05 * 80)
    rested = replace(first, ready_s=first.ready_s + 10)
    assert schedule(on, rested, second).parts["spread"] == pytest.approx(0.05 * 80)


def test_seconds_off_a_stage_cost_what_its_place_says() -> None:
    one = item("A1-1", stage(300, by.NEAR_L, off_per_s=0.4))
    on, placed = problem(one, weights=Weights(off=3.0)), done(one, SIX, by.NEAR_L)
    (stay,) = placed.stays
    plan = schedule(on, replace(placed, stays=(replace(stay, end_s=stay.end_s + 5),)))
    assert plan.parts["off"] == pytest.approx(3.0 * 0.4 * 5)


def test_every_hand_over_a_neighbour_counts() -> None:
    """The one behind is launched before the other, turned over it, and pulled over it: twice 6."""
    front = item("A1-1", stage(300, by.NEAR_R))
    behind = item("B2-1", stage(200, by.BEHIND, handles=(Handle("spin", 0.5),)))
    on = problem(front, behind, weights=PRICES)
    plan = schedule(on, done(front, SIX + 50, by.NEAR_R), done(behind, SIX, by.BEHIND))
    assert plan.parts["reach"] == 2 * 6.0
    assert reach_bounds(Night(on, plan, None, None), Floor(on)) == (2, 2)
    free = replace(on, weights=Weights(reach=0.0))
    assert cost_of(free, plan)["reach"] == 0.0


def test_changes_of_what_was_told_cost_by_how_soon_it_was_for() -> None:
    """Told at 18:00: launch 18:00:50, flip 18:03:20 (past three minutes: free), at NEAR_L.

    Now launched 12 s later at FAR: 10 s past the 2 s that are the same, 0.5 each; another place 15.
    """
    one = item("A1-1", stage(300, by.NEAR_L, by.FAR, handles=(Handle("flip", 0.5),)))
    on = problem(one, weights=PRICES)
    running = schedule(on, done(one, SIX + 50, by.NEAR_L))
    plan = schedule(on, done(one, SIX + 62, by.FAR))
    assert told(on, plan, running, SIX) == pytest.approx(0.5 * 10 + 15)
    assert told(on, plan, running, SIX + 30) == pytest.approx(0.5 * 10 + 15 + 0.1 * 10)  # 170 s to the flip
    assert told(on, plan, running, SIX + 51) == pytest.approx(0.1 * 10)  # the launch is past
    assert told(on, plan, running, SIX - 200) == 0.0
    assert told(on, schedule(on, done(one, SIX + 52, by.NEAR_L)), running, SIX) == 0.0
    assert cost_of(on, plan)["told"] == 0.0


def told(on, plan: Schedule, running: Schedule, now_s: int) -> float:
    return cost_of(on, plan, Reality(now_s), running)["told"]
