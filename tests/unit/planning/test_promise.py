"""A plan run at other durations: what it gives exactly, and what the room is told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hearthtide.planning.promise import Promise, Spreads, landings_s, minute_to_tell, promises
from hearthtide.planning.waits import waits_of
from small_night import MIXED, clock, small_house, small_night, solved

ONE = small_night(("A1", "18:00", "18:20", ("shrimp",)))
NONE = Spreads(0.0, 0.0)


def rng(seed: int = 1) -> np.random.Generator:
    return np.random.default_rng(seed)


def test_zero_spread_gives_the_plan_itself_exactly():
    problem, schedule = solved(small_house(), MIXED, rounds=20)
    for promise in promises(problem, schedule, rng(), NONE, samples=7):
        assert promise.p10_s == promise.p50_s == promise.p90_s == promise.planned_s
        assert promise.share == 1.0 and promise.holds


def test_every_act_of_a_plan_run_as_planned_keeps_its_second():
    problem, schedule = solved(small_house(cooks=2), MIXED, rounds=20)
    waits = waits_of(problem, schedule)
    start = waits.run(waits.planned_hands_s(), np.zeros((len(waits.stays), 1)))
    assert start[:, 0].tolist() == [h.start_s for h in waits.handlings]


def test_one_dish_is_pulled_later_by_what_its_stage_takes_longer():
    """By hand: the pull waits for the stage, and for nothing else."""
    problem, schedule = solved(small_house(), ONE)
    waits = waits_of(problem, schedule)
    planned = waits.planned_hands_s()
    start = waits.run(planned, np.full((1, 1), 40.0))
    pull = next(n for n, h in enumerate(waits.handlings) if h.act == "pull")
    assert start[pull, 0] == waits.handlings[pull].start_s + 40


def test_a_late_pull_makes_the_next_launch_of_the_same_hands_late_by_what_the_gap_leaves():
    problem, schedule = solved(small_house(), MIXED, rounds=20)
    waits = waits_of(problem, schedule)
    hands = waits.planned_hands_s()
    first = waits.handlings[0]
    hands[0] += 500.0
    start = waits.run(hands, np.zeros((len(waits.stays), 1)))
    after = next(n for n, h in enumerate(waits.handlings) if n and h.cook == first.cook)
    assert start[after, 0] == max(waits.handlings[after].start_s, first.start_s + first.hands_s + 500)


def test_a_place_is_waited_for():
    """Two pizzas on one place: the second goes in once the first is off and its stone has rested."""
    night = small_night(("A1", "18:00", "18:20", ("pizza",)), ("B2", "18:00", "18:40", ("pizza",)))
    problem, schedule = solved(small_house(cooks=2), night)
    first, second = (b.placed[0] for b in schedule.booked)
    same = replace(second, stays=(replace(second.stays[0], place=first.stays[0].place),))
    schedule = replace(schedule, booked=(schedule.booked[0], replace(schedule.booked[1], placed=(same,))))
    problem = replace(problem, recovery_s=600)
    waits = waits_of(problem, schedule)
    longer = np.zeros((2, 1))
    longer[[s.item for s in waits.stays].index("A1-1")] = 3600.0
    start = waits.run(waits.planned_hands_s(), longer)
    own = {(key, h.act): n for n, (key, h) in enumerate(zip(waits.items, waits.handlings, strict=True))}
    pulled = start[own["A1-1", "pull"], 0] + problem.act_s["pull"]
    assert start[own["B2-1", "launch"], 0] == pulled + problem.recovery_s


def test_what_has_been_done_is_not_sampled():
    problem, schedule = solved(small_house(), ONE)
    past = schedule.booked[0].landing_s + 1
    landed = landings_s(problem, schedule, rng(), Spreads(0.3, 30.0), 50, now_s=past)
    assert np.all(landed == schedule.booked[0].landing_s)


def test_same_seed_same_promise_and_another_seed_another():
    problem, schedule = solved(small_house(), MIXED, rounds=5)
    one, same, other = (promises(problem, schedule, rng(s), Spreads(0.1, 5.0), 200) for s in (3, 3, 4))
    assert one == same
    assert one != other


def test_the_minute_to_tell_by_hand():
    """Of ten tables nine land by 19:02:30 and one at 19:20: 19:01 holds nine, whatever the mean says."""
    nine = [clock("19:00") + 60 * k / 3 for k in range(9)]
    told, share = minute_to_tell(np.array([*nine, float(clock("19:20"))]))
    assert told in (clock("19:00"), clock("19:01"), clock("19:02"))
    assert share == 0.9
    assert abs(told - np.median([*nine, clock("19:20")])) <= 30


def test_a_minute_that_does_not_hold_says_its_share():
    wide = np.linspace(clock("19:00"), clock("20:00"), 601)
    told, share = minute_to_tell(wide)
    assert 0.09 < share < 0.11
    words = Promise("B4", "B4", told, told, told, told, told, share).words
    assert "best there is" in words and "10 times in 100 only" in words


def test_a_spread_below_zero_and_no_samples_are_refused():
    with pytest.raises(ValueError, match=r"spread -0\.1"):
        Spreads(stage=-0.1)
    problem, schedule = solved(small_house(), ONE)
    with pytest.raises(ValueError, match="samples = 0"):
        promises(problem, schedule, rng(), samples=0)
    with pytest.raises(ValueError, match="expected 3 acts"):
        waits_of(problem, schedule).run(np.zeros((1, 1)), np.zeros((1, 1)))


def test_a_plan_that_never_ends_a_stay_is_refused():
    problem, schedule = solved(small_house(), ONE)
    (booked,) = schedule.booked
    no_pull = replace(
        booked.placed[0], handlings=tuple(h for h in booked.placed[0].handlings if h.act != "pull")
    )
    with pytest.raises(ValueError, match="no pull, load or move ends it"):
        waits_of(problem, replace(schedule, booked=(replace(booked, placed=(no_pull,)),)))
