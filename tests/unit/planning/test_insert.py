"""One order back-timed from the minute its plates should be ready."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from hearthtide.planning.insert import (
    EARLY_MAX_S,
    LATE_MAX_S,
    Tries,
    fits_alone,
    order_cost,
    place_order,
    ready_times,
    rest_slack_s,
    tolerance_s,
)
from hearthtide.planning.problem import Booked, Problem
from hearthtide.planning.timeline import Timeline
from small_night import MIXED, clock, problem_of, small_house, small_night, solved


def booked_alone(dishes: tuple[str, ...], called: str, wanted: str, cooks: int = 1) -> tuple[Problem, Booked]:
    problem, schedule = solved(small_house(cooks=cooks), small_night(("B4", called, wanted, dishes)))
    (booked,) = schedule.booked
    return problem, booked


@pytest.mark.parametrize(
    ("dish", "launch", "leave"),
    [  # landing 19:22:00, plating 0:45, so ready at 19:21:15; back from there by hand
        ("pizza", "19:18:15", "19:21:15"),
        ("steak", "19:08:45", "19:16:15"),
        ("shrimp", "19:16:15", "19:21:15"),
        ("chicken", "19:07:15", "19:19:15"),
        ("dip", "19:15:15", "19:21:15"),
    ],
)
def test_a_dish_alone_is_back_timed_to_the_second(dish: str, launch: str, leave: str) -> None:
    _, booked = booked_alone((dish,), "19:05", "19:22")
    (placed,) = booked.placed
    assert booked.landing_s == clock("19:22")
    assert placed.stays[0].start_s == clock(launch)
    assert placed.leave_s == clock(leave)
    assert placed.ready_s == clock("19:21:15")


def test_a_late_call_lands_as_early_as_the_dish_allows() -> None:
    _, booked = booked_alone(("steak",), "19:05", "19:10")
    assert booked.placed[0].stays[0].start_s == clock("19:05")
    assert booked.landing_s == clock("19:18:15")  # 7:30 on the stone, 5:00 rest, 0:45 plating


def test_a_late_called_pizza_is_dressed_first() -> None:
    _, booked = booked_alone(("pizza",), "19:05", "19:06")
    dress = next(h for h in booked.placed[0].handlings if h.act == "dress")
    assert dress.start_s >= clock("19:05")
    # 0:25 to dress, 3:00 on the stone, 0:45 plating; the scan of ready times is 4 s coarse.
    assert clock("19:09:10") <= booked.landing_s <= clock("19:09:14")


def test_pizza_acts_at_their_moments() -> None:
    _, booked = booked_alone(("pizza",), "19:05", "19:22")
    begin = clock("19:18:15")
    acts = [(h.act, h.start_s - begin) for h in booked.placed[0].handlings]
    # Dressed 25 s before, turned at 40 % and 70 % of 180 s, cut as soon as the peel is free (8 s).
    assert acts == [("dress", -25), ("launch", 0), ("turn", 72), ("turn", 126), ("pull", 180), ("cut", 188)]


def test_stages_meet_at_the_move() -> None:
    problem, booked = booked_alone(("chicken",), "19:05", "19:22")
    (placed,) = booked.placed
    first, second = placed.stays
    assert (first.start_s, first.end_s) == (clock("19:07:15"), clock("19:17:15"))
    assert (second.start_s, second.end_s) == (clock("19:17:15"), clock("19:19:15"))
    assert first.held_until_s == first.end_s + problem.act_s["move"]
    assert second.held_until_s == second.end_s + problem.act_s["pull"]
    assert not problem.places.conflicts[first.place] >> second.place & 1
    zones = [problem.places.spots[stay.place].zone for stay in placed.stays]
    assert zones == ["mid", "near"]


@pytest.mark.parametrize("cooks", [1, 2])
@pytest.mark.parametrize("first", [True, False])
@pytest.mark.parametrize("dish", ["pizza", "steak", "shrimp", "chicken", "dip"])
@pytest.mark.parametrize("count", [2, 3])
def test_nothing_is_touched_before_the_ticket_is_called(
    dish: str, count: int, first: bool, cooks: int
) -> None:
    before = () if first else (("A1", "17:00", "17:30", ("dip",)),)
    night = small_night(*before, ("B4", "19:05", "19:06", (dish,) * count))
    _, schedule = solved(small_house(cooks=cooks), night)
    own = [p for booked in schedule.booked if booked.order.ticket == "B4" for p in booked.placed]
    assert len(own) == count
    assert min(h.start_s for placed in own for h in placed.handlings) >= clock("19:05")


def test_stages_keep_to_their_tolerance() -> None:
    _, schedule = solved(small_house(), MIXED)
    for placed in (p for booked in schedule.booked for p in booked.placed):
        ends = [*(stay.start_s for stay in placed.stays[1:]), placed.leave_s]
        minutes = {"pizza": [180], "steak": [450], "shrimp": [300], "chicken": [600, 120], "dip": [360]}
        for stay, end, wanted in zip(placed.stays, ends, minutes[placed.item.dish], strict=True):
            assert abs(end - stay.start_s - wanted) <= tolerance_s(wanted)
        assert [stay.asked_s for stay in placed.stays] == minutes[placed.item.dish]


@pytest.mark.parametrize(("stage_s", "give_s"), [(30, 3), (75, 3), (180, 7), (375, 15), (2400, 15)])
def test_tolerance(stage_s: int, give_s: int) -> None:
    assert tolerance_s(stage_s) == give_s


def test_rest_may_run_on_by_a_quarter_at_most_a_minute() -> None:
    items = {item.dish: item for order in problem_of(small_house(), MIXED).orders for item in order.items}
    assert rest_slack_s(items["pizza"]) == 0
    assert rest_slack_s(items["chicken"]) == 30
    assert rest_slack_s(items["steak"]) == 60


def test_rest_is_never_cut_short() -> None:
    _, schedule = solved(small_house(), MIXED)
    for placed in (p for booked in schedule.booked for p in booked.placed):
        rested = placed.ready_s - placed.leave_s
        assert placed.item.rest_s <= rested <= placed.item.rest_s + rest_slack_s(placed.item)


def test_plates_of_an_order_are_ready_together() -> None:
    problem, schedule = solved(small_house(), MIXED)
    for booked in schedule.booked:
        ready = [p.ready_s for p in booked.placed]
        assert max(ready) - min(ready) == booked.spread_s <= problem.together_s
        assert 0 <= booked.landing_s - max(ready) - problem.plating_s <= problem.act_s["cut"]


def test_every_pizza_is_cut_before_its_table_lands() -> None:
    large = small_night(("A1", "18:00", "18:20", ("pizza",) * 4), ("A2", "18:01", "18:21", ("pizza",) * 3))
    small = small_night(*((f"A{n}", "18:00", "18:06", ("pizza",)) for n in range(3)))
    for night, cooks in ((large, 1), (large, 2), (small, 1), (small, 2)):
        _, schedule = solved(small_house(cooks=cooks), night)
        for booked in schedule.booked:
            cuts = [h for p in booked.placed for h in p.handlings if h.act == "cut"]
            assert len(cuts) == len(booked.placed)
            assert max(h.start_s + h.hands_s for h in cuts) <= booked.landing_s


def test_ready_times_go_out_from_the_wish() -> None:
    problem = problem_of(small_house(), MIXED)
    order = problem.orders[0]
    wish = order.wanted_s - problem.plating_s
    times = list(ready_times(problem, order, wish, wish - 600))
    early = [t for t in times if t < wish]
    late = [t for t in times if t > wish]
    assert times == [wish, *early, *late]
    assert early == sorted(early, reverse=True)
    assert early[-1] == wish - EARLY_MAX_S
    assert late == sorted(late)
    assert late[-1] >= wish + LATE_MAX_S
    assert late[0] == wish + 4


def test_ready_times_never_come_before_the_earliest() -> None:
    problem = problem_of(small_house(), MIXED)
    order = problem.orders[0]
    wish = order.wanted_s - problem.plating_s
    for earliest in (wish - 30, wish, wish + 77):
        times = list(ready_times(problem, order, wish, earliest))
        assert times[0] == max(wish, earliest)
        assert min(times) >= earliest
        assert all(b > a for a, b in pairwise([t for t in times if t >= max(wish, earliest)]))


def test_cost_of_an_order_by_hand() -> None:
    problem, booked = booked_alone(("dip",), "19:05", "19:22")
    assert order_cost(problem, booked) == 0
    later = replace(booked, landing_s=booked.landing_s + 100)
    # 100 s late, and the dip waits 100 of the 240 s it holds.
    assert order_cost(problem, later) == pytest.approx(100)
    too_late = replace(booked, landing_s=booked.landing_s + 300)
    # 300 s late, 180 of them beyond the house's 2 min twice more, 60 s overheld five times.
    assert order_cost(problem, too_late) == pytest.approx(300 + 2 * 180 + 5 * 60)
    early = replace(booked, order=replace(booked.order, wanted_s=booked.order.wanted_s + 50))
    assert order_cost(problem, early) == pytest.approx(10)


def test_ceiling_refuses_and_leaves_the_timeline_empty() -> None:
    problem = problem_of(small_house(), small_night(("B4", "19:05", "19:06", ("steak",))))
    line, tries = Timeline(problem), Tries()
    order = problem.orders[0]
    assert place_order(line, order, order.wanted_s - 45, 5.0, tries) is None
    assert line.busy == [0]
    assert not line.blocked(clock("19:00"), clock("20:00"), True)
    assert place_order(line, order, order.wanted_s - 45, 1e9, tries) is not None
    assert line.busy != [0]
    assert tries.count > 0


def test_what_fits_alone_and_what_does_not() -> None:
    problem = problem_of(small_house(), small_night(("A1", "18:00", "18:30", ("pizza",))))
    pizza = problem.orders[0].items[0]

    def order_of(count: int) -> bool:
        items = tuple(replace(pizza, key=f"A1-{n}") for n in range(count))
        return fits_alone(problem, replace(problem.orders[0], items=items))

    assert order_of(1)
    assert order_of(3)
    # Pulls and cuts of nine take 270 s; the pass allows 75 s apart and 45 s plating.
    assert not order_of(9)
