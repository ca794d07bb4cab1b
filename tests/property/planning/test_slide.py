"""Sliding: the few gaps it looks at bind as all of them would, and a board's bookings follow its rows."""

from __future__ import annotations

import numpy as np
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from hearthtide.planning.engine import kernel as K
from hearthtide.planning.engine.board import Laid, lay, set_down
from hearthtide.planning.engine.kernel import Board, Ints
from hearthtide.planning.engine.search import search
from hearthtide.planning.problem import Placed, Problem, Reality, Schedule
from rich_night import START_S, cut_at, rich_nights
from small_night import problem_of, small_house, small_night

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


def board_of(
    problem: Problem, seed: int, reality: Reality | None = None, running: Schedule | None = None
) -> Board:
    """A first schedule on a board; what of `running` still holds stands as it was."""
    laid = lay(problem, reality, running, seed)
    stands: list[Placed] = [p for booked in running.booked for p in booked.placed] if running else []
    set_down(laid, stands)
    return constructed(laid)


def constructed(laid: Laid) -> Board:
    b = laid.board
    first, end = int(b.t[0, K.ORDER0]), int(b.t[0, K.ORDER1])
    b.t[first:end, K.LISTED] = range(first, end)
    stuck = K.construct(b, 4, True)
    if stuck >= 0:
        reject()
    K.save_best(b, 1)
    return b


def shifts(b: Board, way: int, early_s: int, everything: bool) -> list[int] | None:
    """How far each act may slide, by all pairs of stays or those the search looks at; None: nothing may."""
    n = K.caps(b, way, early_s)
    if n < 0:
        return None
    n = K.gaps_of_hands(b, way, n)
    n = all_gaps(b, way, n) if everything else K.gaps_of_stone(b, way, n)
    assert K.tightest(b, K.gaps_of_tables(b, way, n))
    found: list[int] = b.t[b.t[0, K.SLOT0] : b.t[0, K.ROWS], K.SHIFT].tolist()
    return found


def all_gaps(b: Board, way: int, n: int) -> int:
    """Every two stays of which one is in the way of the other, the earlier held before the later."""
    stays = [s for s in range(b.t[0, K.STAGE0], b.t[0, K.STAGE1]) if b.t[s, K.STANDS]]
    for s in stays:
        for t in stays:
            if (
                b.t[t, K.BEGIN] < b.t[s, K.BEGIN]
                and b.t[t, K.ITEM] != b.t[s, K.ITEM]
                and K.in_the_way(b, t, s)
            ):
                bare = b.t[b.t[s, K.ITEM], K.ON_STONE] and b.t[b.t[t, K.ITEM], K.ON_STONE]
                slack = b.t[s, K.BEGIN] - b.t[t, K.HELD] - (b.t[t, K.RECOVERY] if bare else 0)
                begin = 0 if b.t[s, K.ITEM] == b.t[0, K.ITEM1] else b.t[s, K.S_BEGIN]
                end = 0 if b.t[t, K.ITEM] == b.t[0, K.ITEM1] else K.ends_with(b, b.t[t, K.ITEM], t)
                n = K.hold(b, n, end, begin, slack) if way < 0 else K.hold(b, n, begin, end, slack)
    return n


@settings(max_examples=40, deadline=None, suppress_health_check=SLOW)
@given(rich_nights(), st.integers(1, 1000), st.sampled_from([-1, 1]), st.sampled_from([0, 200]))
def test_the_gaps_looked_at_bind_as_all_do(problem: Problem, seed: int, way: int, early_s: int) -> None:
    b = board_of(problem, seed)
    for _ in range(4):
        assert shifts(b, way, early_s, False) == shifts(b, way, early_s, True)
        K.improve(b, 5, 300.0, 300.0, K.FAR)


@settings(max_examples=20, deadline=None, suppress_health_check=SLOW)
@given(rich_nights(), st.integers(1, 1000), st.integers(1, 30), st.sampled_from([-1, 1]))
def test_the_gaps_looked_at_bind_as_all_do_around_what_has_begun(
    problem: Problem, seed: int, minute: int, way: int
) -> None:
    first = search(problem, rounds=20)
    reality = cut_at(first, START_S + 60 * minute, 0, 0, len(problem.cooks))
    b = board_of(problem, seed, reality, first)
    assert shifts(b, way, 100, False) == shifts(b, way, 100, True)


@settings(max_examples=60, deadline=None, suppress_health_check=SLOW)
@given(rich_nights(), st.integers(1, 30), st.sampled_from([-1, 1]), st.sampled_from([0, 120]))
def test_what_is_overtaken_is_an_act_of_another_item(
    problem: Problem, minute: int, way: int, busy_s: int
) -> None:
    """Not what stays where it is, of which row 0 stands in for the act: it is of no item."""
    first = search(problem, rounds=20)
    reality = cut_at(first, START_S + 60 * minute, 0, busy_s, len(problem.cooks))
    b = board_of(problem, 1, reality, first)
    n1 = K.caps(b, way, 0)
    if n1 < 0:
        reject()
    n3 = K.gaps_of_stone(b, way, K.gaps_of_hands(b, way, n1))
    n = K.gaps_of_tables(b, way, n3)
    if not K.tightest(b, n):
        reject()
    for o in [*range(b.t[0, K.ORDER0], b.t[0, K.ORDER1])] * 4:
        g = K.binding(b, n1, n3, n, K.last_pull(b, o))
        if g >= 0:
            by, held = b.t[b.room[g], K.OF_ITEM], b.t[b.room[g + 1], K.OF_ITEM]
            assert b.room[g] > 0 and by != held and b.t[by, K.MOVES]


@settings(max_examples=40, deadline=None, suppress_health_check=SLOW)
@given(rich_nights(), st.integers(1, 1000))
def test_what_is_booked_is_what_the_rows_say(problem: Problem, seed: int) -> None:
    """After any rounds hands, platters, stone and acts over other food are as a count from the rows."""
    b = board_of(problem, seed)
    for _ in range(5):
        K.improve(b, 6, 500.0, 200.0, K.FAR)
        assert np.array_equal(b.busy - hands_by_rows(b), np.zeros_like(b.busy))
        assert standing(b) == standing_by_rows(b)
        items = range(b.t[0, K.ITEM0], b.t[0, K.ITEM1])
        assert b.t[0, K.USE_REACH] == 0 or 2 * b.t[0, K.CROSSED] == sum(K.passed_over(b, i) for i in items)


def hands_by_rows(b: Board) -> Ints:
    """Hands and platters in use by second, from acts and items."""
    found = np.zeros(b.busy.shape, dtype=np.int64)
    for k in range(b.t[0, K.SLOT0], b.t[0, K.ROWS]):
        act, start, cook = (int(b.t[k, n]) for n in (K.ACT, K.START, K.COOK))
        if start >= 0:
            found[cook, start : start + b.t[1 + cook, act]] += b.t[K.NEED, act]
    for i in range(b.t[0, K.ITEM0], b.t[0, K.ITEM1]):
        if b.t[i, K.OUT_FROM] >= 0:
            found[-1, b.t[i, K.OUT_FROM] : b.t[i, K.OUT_TO]] += 1
    return found


def standing(b: Board) -> list[list[int]]:
    """The stages that hang in each bucket of time."""
    firsts = (k * int(b.t[0, K.BUCKET]) for k in range(b.t[0, K.BUCKETS]))
    return [sorted(b.room[at + 1 : at + 1 + b.room[at]].tolist()) for at in firsts]


def standing_by_rows(b: Board) -> list[list[int]]:
    found: list[list[int]] = [[] for _ in range(b.t[0, K.BUCKETS])]
    for s in range(b.t[0, K.STAGE0], b.t[0, K.STAGE1]):
        if b.t[s, K.STANDS]:
            for k in range(b.t[s, K.BEGIN] // K.BUCKET_S, b.t[s, K.HELD] // K.BUCKET_S + 1):
                found[k].append(s)
    return found


def test_a_gap_left_out_would_be_seen() -> None:
    """The comparison itself: six pizzas on a hearth of 90 cm would slide onto one another without it."""
    tickets = [(f"T{n}", "18:00", "18:05", ("pizza",)) for n in range(6)]
    house = small_house(cooks=6, platters=None, oven={"diameter": "90 cm"})
    b = board_of(problem_of(house, small_night(*tickets)), 1)
    whole = shifts(b, -1, 0, True)
    assert whole is not None
    n = K.gaps_of_tables(b, -1, K.gaps_of_hands(b, -1, K.caps(b, -1, 0)))
    assert K.tightest(b, n)
    assert sum(whole) < sum(b.t[b.t[0, K.SLOT0] : b.t[0, K.ROWS], K.SHIFT].tolist())
