"""What is taken when: bookings that leave no trace, and questions answered as brute force would."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from hearthtide.planning.places import bits
from hearthtide.planning.problem import Bank, Handling, Placed, Stay
from hearthtide.planning.timeline import Timeline, nearest_run
from small_night import ALL_ACTS, MIXED, clock, problem_of, small_house, solved

PROBLEM, SCHEDULE = solved(small_house(), MIXED)
START = PROBLEM.from_s


def nearest_by_trying(busy: int, width: int, need: int, wish: int) -> int | None:
    free = [s for s in range(width + 1) if not any(busy >> t & 1 for t in range(s, s + need))]
    return min(free, key=lambda s: (abs(s - wish), s), default=None)


def test_nearest_run_equals_trying_every_start() -> None:
    rng = random.Random(11)
    found = 0
    for _ in range(4000):
        width = rng.randint(0, 60)
        busy = 0
        for _ in range(rng.randint(0, 5)):
            busy |= (1 << rng.randint(1, 25)) - 1 << rng.randint(0, 60)
        need, wish = rng.randint(1, 30), rng.randint(0, width)
        wanted = nearest_by_trying(busy, width, need, wish)
        assert nearest_run(busy, width, need, wish) == wanted, (bin(busy), width, need, wish)
        found += wanted is not None
    assert 1000 < found < 3990


def test_a_booked_order_given_back_leaves_no_trace() -> None:
    line = Timeline(PROBLEM)
    empty = snapshot(line)
    first, *others = SCHEDULE.booked
    line.add_order(first)
    alone = snapshot(line)
    assert alone != empty
    for booked in others:
        line.add_order(booked)
    for booked in reversed(others):
        line.drop_order(booked)
    assert snapshot(line) == alone
    line.drop_order(first)
    assert snapshot(line) == empty


def snapshot(line: Timeline) -> tuple[object, ...]:
    """Everything the timeline can be asked, at a fair number of times."""
    times = range(START, START + 3600, 150)
    return (
        tuple(line.busy),
        tuple(line.blocked(t, t + 200, bare) for t in times for bare in (True, False)),
        tuple(line.used_since(t, t + 600) for t in times),
        tuple(line.platter_free(t, t + 700) for t in times),
    )


def blocked_by_trying(placed: list[Placed], start_s: int, end_s: int, on_stone: bool) -> int:
    """Every booked stay looked at, with the pause between bare dough and bare dough."""
    mask = 0
    for stay in (stay for p in placed for stay in p.stays):
        pause = PROBLEM.recovery_s if on_stone and stay.on_stone else 0
        if not (stay.held_until_s + pause <= start_s or end_s + pause <= stay.start_s):
            mask |= PROBLEM.places.conflicts[stay.place]
    return mask


def test_blocked_equals_looking_at_every_stay() -> None:
    line = Timeline(PROBLEM)
    for booked in SCHEDULE.booked:
        line.add_order(booked)
    placed = [p for booked in SCHEDULE.booked for p in booked.placed]
    rng = random.Random(5)
    busy = 0
    for _ in range(300):
        start = START + rng.randint(0, 2000)
        end = start + rng.randint(1, 800)
        bare = rng.random() < 0.5
        wanted = blocked_by_trying(placed, start, end, bare)
        assert line.blocked(start, end, bare) == wanted
        busy += wanted != 0
    assert 100 < busy < 300


@pytest.mark.parametrize(("wait_s", "free"), [(0, False), (44, False), (45, True), (200, True)])
def test_bare_stone_rests_before_bare_dough(wait_s: int, free: bool) -> None:
    line = Timeline(PROBLEM)
    line.add_stay(Stay("first", 0, 0, START, START + 180, START + 188, 180, on_stone=True))
    begins = START + 188 + wait_s
    assert PROBLEM.recovery_s == 45
    assert bool(line.blocked(begins, begins + 100, True) & 1) is not free


def test_a_pan_need_not_wait_for_the_stone() -> None:
    line = Timeline(PROBLEM)
    line.add_stay(Stay("first", 0, 0, START, START + 180, START + 188, 180, on_stone=True))
    assert not line.blocked(START + 188, START + 300, False)
    assert line.blocked(START + 187, START + 300, False) == PROBLEM.places.conflicts[0]


def test_lifting_the_stone_blocks_nothing() -> None:
    line = Timeline(replace(PROBLEM, stone_binds=False))
    line.add_stay(Stay("first", 0, 0, START, START + 180, START + 188, 180, on_stone=True))
    assert line.blocked(START, START + 300, True) == 0


def test_acts_stay_inside_their_window_and_off_busy_hands() -> None:
    line = Timeline(PROBLEM)
    line.take_hands(Handling(START + 100, 60, 0, "launch", 0))
    wish = START + 130
    assert line.nearest_act("pull", wish, 20, 20, 0) is None
    before = line.nearest_act("pull", wish, 40, 20, 0)
    assert before is not None
    assert before.start_s == START + 100 - PROBLEM.act_s["pull"]
    after = line.nearest_act("pull", wish, 20, 40, 0)
    assert after is not None
    assert after.start_s == START + 160


def test_no_act_before_the_first_call() -> None:
    line = Timeline(PROBLEM)
    assert line.nearest_act("pull", START - 10, 60, 5, 0) is None
    first = line.nearest_act("pull", START - 10, 60, 15, 0)
    assert first is not None
    assert first.start_s == START


def test_only_a_cook_who_does_the_act_is_asked() -> None:
    cooks = {"Oven cook": ALL_ACTS[:-1], "Pass": ALL_ACTS[-1:]}
    line = Timeline(problem_of(small_house(cooks), MIXED))
    cut, pull = (line.nearest_act(act, START + 9, 0, 0, 0) for act in ("cut", "pull"))
    assert cut is not None
    assert pull is not None
    assert (cut.cook, pull.cook) == (1, 0)


def test_platters_come_back_after_landing_and_turnaround() -> None:
    line = Timeline(replace(PROBLEM, bank=Bank(1, 600)))
    steak = next(p for booked in SCHEDULE.booked for p in booked.placed if p.item.dish == "steak")
    line.add(steak)
    out, back = steak.stays[0].start_s, steak.ready_s + PROBLEM.plating_s + 600
    assert not line.platter_free(out, out + 60)
    assert not line.platter_free(back - 1, back + 60)
    assert line.platter_free(back, back + 60)
    # One that must be back before: it too needs its turnaround.
    assert line.platter_free(out - 700, out - 600)
    assert not line.platter_free(out - 700, out - 599)


def test_two_platters_in_use_at_once_need_a_bank_of_two() -> None:
    steaks = [p for booked in SCHEDULE.booked for p in booked.placed if p.item.dish == "steak"]
    assert len(steaks) == 2
    for count, free in ((1, False), (2, False), (3, True)):
        line = Timeline(replace(PROBLEM, bank=Bank(count, 600)))
        for steak in steaks:
            line.add(steak)
        middle = max(p.stays[0].start_s for p in steaks) + 5
        assert line.platter_free(middle, middle + 60) is free


def test_rested_stone_is_taken_first() -> None:
    line = Timeline(PROBLEM)
    line.add_stay(Stay("first", 0, 0, START, START + 180, START + 188, 180, on_stone=True))
    begins = START + 300
    used = line.used_since(begins - 600, begins)
    candidates = PROBLEM.places.conflicts[0] | 1 << len(PROBLEM.places.spots) - 1
    place = line.pick(candidates, begins, True, 0)
    assert not used >> place & 1
    only_used = PROBLEM.places.conflicts[0]
    assert only_used >> line.pick(only_used, begins, True, 0) & 1


def test_pick_gives_a_candidate_whatever_the_shift() -> None:
    line = Timeline(PROBLEM)
    candidates = sum(1 << p for p in (3, 90, 400, 401, 800))
    picked = {line.pick(candidates, START, False, shift) for shift in range(12)}
    assert picked <= set(bits(candidates))
    assert len(picked) > 1
    assert line.pick(1 << 77, START, False, 5) == 77


def test_clock_and_bins_agree() -> None:
    assert clock("18:00") == START
    assert [PROBLEM.bin_of(START + s) for s in (0, 1799, 1800)] == [0, 0, 1]
