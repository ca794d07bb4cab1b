"""The night while it runs: what stands, what is open, and what each event changes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hearthtide.planning.cost import order_cost, reached_over
from hearthtide.planning.engine.search import search
from hearthtide.planning.events import ActSeen, Gone, NewTicket, Refire, StageSeen, after_event, find
from hearthtide.planning.problem import Bank, Begun, Closed, Handling, Reality
from hearthtide.planning.proof.prove import prove
from hearthtide.planning.replan import (
    Running,
    cost_of,
    holds,
    open_problem,
    over_at_s,
    reality_at,
    soonest_s,
    told_changes,
)
from hearthtide.planning.slide import slid
from small_night import MIXED, clock, problem_of, small_house, small_night, solved

STEAK = small_night(("A1", "18:00", "18:20", ("steak",)))


def running(now: str | int, night=MIXED, cooks: int = 2) -> Running:
    problem, schedule = solved(small_house(cooks=cooks), night, rounds=20)
    return Running(problem, schedule, clock(now) if isinstance(now, str) else now)


def acts_of(run: Running) -> dict[str, tuple[Handling, ...]]:
    return {p.item.key: p.handlings for b in run.schedule.booked for p in b.placed}


def the(run: Running, item: str, act: str) -> Handling:
    return next(h for h in acts_of(run)[item] if h.act == act)


# --- what stands ---------------------------------------------------------------------------------


@pytest.mark.parametrize("now", ["18:08", "18:10", "18:14", "18:19", "18:25"])
def test_what_has_begun_stands_as_it_was_done_and_what_is_told_for_the_minute_as_told(now: str):
    run = running(now)
    begun = {b.item: b for b in reality_at(run).begun}
    for key, acts in acts_of(run).items():
        due = [h for h in acts if h.start_s < run.now_s + 60]
        if not due:
            continue
        if all(h.act == "dress" for h in due):
            due = [h for h in acts if h.act in ("dress", "launch")]  # its launch is told with it
        if over_at_s(run.problem, find(run.schedule, key)[0]) > run.now_s:
            assert [h for h in begun[key].handlings if h.start_s < run.now_s + 60 or h.act == "launch"] == due
            placed = find(run.schedule, key)[1]
            assert [s.place for s in begun[key].stays] == [s.place for s in placed.stays][
                : len(begun[key].stays)
            ]
    assert begun, "nothing has begun: the minute is chosen badly"


def test_before_the_first_act_nothing_stands():
    assert reality_at(running("17:50")).begun == ()


def test_a_stage_that_has_not_ended_is_thought_done_when_its_minutes_are_over():
    run = running("18:12", STEAK)
    (begun,) = reality_at(run).begun
    assert begun.stays[-1].end_s == begun.stays[0].start_s + clock("0:07:30")


def test_a_cook_is_taken_until_the_act_under_way_is_done():
    run = running("18:00")
    first = min((h for acts in acts_of(run).values() for h in acts), key=lambda h: h.start_s)
    mid = replace(run, now_s=first.start_s + 1)
    assert reality_at(mid).busy_until_s[first.cook] == first.start_s + first.hands_s
    assert reality_at(replace(run, now_s=first.start_s)).busy_until_s[first.cook] == first.start_s


def test_a_pull_told_for_food_that_turns_out_not_done_stands_no_more_but_its_turns_do():
    run = running("18:00", STEAK)
    pull = the(run, "A1-1", "pull")
    run = replace(run, now_s=pull.start_s - 20)
    assert pull in reality_at(run).begun[0].handlings
    late = after_event(run, StageSeen("A1-1", 0, pull.start_s + 40))
    (begun,) = reality_at(late).begun
    assert pull not in begun.handlings
    assert [h.act for h in begun.handlings] == ["launch", "flip"]
    assert begun.stays[-1].end_s == pull.start_s + 40


def test_a_pull_told_too_late_for_food_that_is_done_sooner_stands_no_more():
    run = running("18:00", STEAK)
    pull = the(run, "A1-1", "pull")
    seen = after_event(replace(run, now_s=pull.start_s - 50), StageSeen("A1-1", 0, pull.start_s - 30))
    assert pull not in reality_at(seen).begun[0].handlings


def test_an_act_whose_hands_are_still_busy_stands_no_more():
    run = running("18:00", cooks=1)
    acts = sorted((h for own in acts_of(run).values() for h in own), key=lambda h: h.start_s)
    first, second = acts[4], acts[5]
    key = next(k for k, own in acts_of(run).items() if first in own)
    seen = ActSeen(key, first, first.start_s, second.start_s - first.start_s + 25)
    run = after_event(replace(run, now_s=first.start_s + 1), seen)
    standing = [h for b in reality_at(run).begun for h in b.handlings]
    assert second not in standing
    assert reality_at(run).busy_until_s[0] == second.start_s + 25


# --- what is open --------------------------------------------------------------------------------


def test_an_order_is_open_until_its_stone_has_recovered_and_its_platters_are_back():
    run = running("18:00", STEAK)
    (booked,) = run.schedule.booked
    over = booked.landing_s + clock("0:10:00")
    assert over_at_s(run.problem, booked) == over
    assert open_problem(replace(run, now_s=over - 1)).orders == run.problem.orders
    assert open_problem(replace(run, now_s=over)).orders == ()
    assert reality_at(replace(run, now_s=over)).begun == ()
    no_bank = replace(run.problem, bank=None)
    assert over_at_s(no_bank, booked) == booked.landing_s
    assert over_at_s(replace(run.problem, bank=Bank(12, 60)), booked) == booked.landing_s + 60


def test_closures_go_when_they_are_over():
    run = running("18:10")
    shut = Closed(1, clock("18:08"), clock("18:15"))
    run = after_event(run, shut)
    assert open_problem(run).closed == (shut,)
    assert open_problem(replace(run, now_s=clock("18:15"))).closed == ()


def test_the_earliest_landing_counts_the_minutes_a_steak_has_been_in_already():
    """By hand: in for 5 of its 7:30, it needs 2:30, rests 5:00 and is plated in 0:45; anew 13:15."""
    run = running("18:00", STEAK)
    launch = the(run, "A1-1", "launch")
    run = replace(run, now_s=launch.start_s + 300)
    (order,) = run.problem.orders
    problem, reality = open_problem(run), reality_at(run)
    tolerance = 15  # of 450 s: 4 %, at most 15 s
    assert soonest_s(problem, reality, order) == run.now_s + 150 - tolerance + 300 + 45
    assert soonest_s(problem, replace(reality, begun=()), order) == run.now_s + 450 + 300 + 45


def test_the_earliest_landing_after_a_told_pull_is_its_rest_and_plating():
    run = running("18:00", STEAK)
    pull = the(run, "A1-1", "pull")
    run = replace(run, now_s=pull.start_s + 100)
    (order,) = run.problem.orders
    assert soonest_s(open_problem(run), reality_at(run), order) == pull.start_s + 300 + 45


# --- events --------------------------------------------------------------------------------------


def test_a_new_ticket_is_open_and_not_yet_placed():
    run = running("18:10")
    other, _ = solved(small_house(cooks=2), small_night(("E5", "18:10", "18:30", ("pizza",))))
    seen = after_event(run, NewTicket(other.orders))
    assert [o.key for o in open_problem(seen).orders][-1] == "E5"
    assert seen.schedule == run.schedule
    with pytest.raises(ValueError, match="order E5 is open already"):
        after_event(seen, NewTicket(other.orders))


def test_an_act_done_late_moves_what_it_begins_and_nothing_else():
    run = running("18:00")
    launch = the(run, "B2-1", "launch")
    seen = after_event(run, ActSeen("B2-1", launch, launch.start_s + 7, launch.hands_s + 3))
    _, placed = find(seen.schedule, "B2-1")
    was = find(run.schedule, "B2-1")[1]
    assert placed.stays[0].start_s == launch.start_s + 7
    assert placed.stays[0].end_s == was.stays[0].end_s
    assert {k: a for k, a in acts_of(seen).items() if k != "B2-1"} == {
        k: a for k, a in acts_of(run).items() if k != "B2-1"
    }
    with pytest.raises(ValueError, match="no launch is told"):
        after_event(seen, ActSeen("B2-1", launch, launch.start_s, launch.hands_s))


def test_a_pull_done_late_makes_the_plate_ready_later():
    run = running("18:00", STEAK)
    pull = the(run, "A1-1", "pull")
    seen = after_event(run, ActSeen("A1-1", pull, pull.start_s + 30, pull.hands_s))
    (was,), (now,) = run.schedule.booked, seen.schedule.booked
    assert now.placed[0].leave_s == was.placed[0].leave_s + 30
    assert now.landing_s == was.landing_s + 30


def test_nothing_is_seen_of_a_stage_that_has_not_begun():
    run = running("17:59", STEAK)
    with pytest.raises(ValueError, match="it has not begun"):
        after_event(run, StageSeen("A1-1", 0, clock("18:20")))
    launch = the(run, "A1-1", "launch")
    with pytest.raises(ValueError, match="expected after it began"):
        after_event(replace(run, now_s=launch.start_s), StageSeen("A1-1", 0, launch.start_s))
    with pytest.raises(ValueError, match="item Z9-1 is in no open order"):
        after_event(run, StageSeen("Z9-1", 0, clock("18:20")))


def test_a_spill_takes_told_launches_off_its_places_and_a_dressed_base_need_not_be_dressed_again():
    run = running("18:00")
    dress = the(run, "D4-1", "dress")
    run = replace(run, now_s=dress.start_s + dress.hands_s)
    placed = find(run.schedule, "D4-1")[1]
    assert "D4-1" in {b.item for b in reality_at(run).begun}
    spilt = after_event(run, Closed(1 << placed.stays[0].place, run.now_s, run.now_s + 600))
    assert "D4-1" not in {b.item for b in reality_at(spilt).begun}
    dressed = {i.key: i.dressed for o in open_problem(spilt).orders for i in o.items}
    assert dressed["D4-1"] is False
    assert dressed["D4-2"] is True


def test_a_dish_that_has_run_out_is_taken_off_where_it_has_not_begun():
    run = running("18:00")
    steak = the(run, "A1-3", "launch")
    run = replace(run, now_s=steak.start_s + 5)
    other = the(run, "B2-1", "launch")
    gone = after_event(run, Gone("steak"))
    left = {i.key for o in gone.problem.orders for i in o.items}
    assert "A1-3" in left
    assert ("B2-1" in left) == (other.start_s < run.now_s)
    assert "B2-2" in left
    only = after_event(replace(running("18:00", STEAK), now_s=clock("18:00")), Gone("steak"))
    assert only.problem.orders == () and only.schedule.booked == ()


def test_spoiled_food_is_begun_anew_and_shuts_its_place_until_it_is_off():
    run = running("18:00")
    launch = the(run, "A1-3", "launch")
    run = replace(run, now_s=launch.start_s + 60)
    place = find(run.schedule, "A1-3")[1].stays[0].place
    again = after_event(run, Refire("A1-3"))
    items = {i.key for o in open_problem(again).orders for i in o.items}
    assert "A1-3+" in items and "A1-3" not in items
    assert "A1-3" not in {b.item for b in reality_at(again).begun}
    (shut,) = open_problem(again).closed
    assert shut.places >> place & 1 and shut.from_s == run.now_s
    (chore,) = open_problem(again).chores
    assert chore.act == "pull" and chore.wanted_s == run.now_s


def test_food_spoiled_off_the_hearth_shuts_nothing():
    run = running("18:00", STEAK)
    pull = the(run, "A1-1", "pull")
    again = after_event(replace(run, now_s=pull.start_s + 60), Refire("A1-1"))
    assert again.problem.closed == () and again.problem.chores == ()
    assert [i.key for o in again.problem.orders for i in o.items] == ["A1-1+"]


# --- whether a plan can be run on --------------------------------------------------------------


def test_a_plan_with_nothing_new_can_be_run_on_and_costs_what_it_cost():
    run = running("18:12")
    assert holds(run.problem, run.schedule, run.now_s)
    fresh, schedule = run.problem, run.schedule
    own = sum(order_cost(fresh, b) for b in schedule.booked)
    assert cost_of(fresh, schedule) == own + fresh.weights.reach * reached_over(fresh, schedule.booked)


def test_a_plan_that_lacks_something_is_late_or_would_stand_in_a_spill_cannot_be_run_on():
    run = running("18:12")
    last = max((p for b in run.schedule.booked for p in b.placed), key=lambda p: p.stays[0].start_s)
    shut = Closed(1 << last.stays[0].place, last.stays[0].start_s, last.stays[0].end_s)
    other, _ = solved(small_house(cooks=2), small_night(("E5", "18:10", "18:30", ("pizza",))))
    on = next(
        s
        for b in run.schedule.booked
        for p in b.placed
        for s in p.stays
        if s.start_s < run.now_s and s.end_s > run.now_s
    )
    longer = StageSeen(on.item, on.stage, on.start_s + on.asked_s + 60)
    sooner = StageSeen(on.item, on.stage, on.start_s + on.asked_s - 60)
    for event in (shut, NewTicket(other.orders), longer, sooner):
        seen = after_event(run, event)
        assert not holds(seen.problem, seen.schedule, seen.now_s), event
    ahead = sorted(
        (h.start_s, key, h) for key, acts in acts_of(run).items() for h in acts if h.start_s > run.now_s
    )
    _, key, first = next(a for a in ahead if sum(b[2].cook == a[2].cook for b in ahead) > 1)
    seen = after_event(run, ActSeen(key, first, first.start_s, 3600))
    assert not holds(seen.problem, seen.schedule, seen.now_s)
    over = replace(shut, from_s=run.now_s - 600, until_s=run.now_s)
    seen = after_event(run, over)
    assert holds(seen.problem, seen.schedule, seen.now_s)


# --- sliding, and what a re-plan changes ----------------------------------------------------------


@pytest.mark.parametrize("now", ["18:00", "18:12", "18:40"])
def test_a_plan_with_nothing_new_slides_nowhere(now: str):
    run = running(now)
    assert slid(run.problem, run.schedule, run.now_s) == run.schedule


def test_a_slide_moves_the_pull_of_what_takes_longer_and_keeps_order_and_gaps():
    run = running("18:00", STEAK)
    pull, flip = the(run, "A1-1", "pull"), the(run, "A1-1", "flip")
    seen = after_event(replace(run, now_s=flip.start_s - 5), StageSeen("A1-1", 0, pull.start_s + 33))
    after = Running(seen.problem, slid(seen.problem, seen.schedule, seen.now_s), seen.now_s)
    assert the(after, "A1-1", "pull").start_s == pull.start_s + 33
    assert the(after, "A1-1", "flip") == flip
    assert after.schedule.booked[0].landing_s == run.schedule.booked[0].landing_s + 33


def test_what_is_within_its_band_does_not_slide():
    run = running("18:00", STEAK)
    pull, flip = the(run, "A1-1", "pull"), the(run, "A1-1", "flip")
    seen = after_event(replace(run, now_s=flip.start_s - 5), StageSeen("A1-1", 0, pull.start_s + 15))
    assert slid(seen.problem, seen.schedule, seen.now_s) == seen.schedule


def test_told_changes_counts_acts_of_the_minute_and_no_others():
    run = running("18:00")
    first = min((h for acts in acts_of(run).values() for h in acts), key=lambda h: h.start_s)
    run = replace(run, now_s=first.start_s - 10)
    told, changed = told_changes(run, run)
    expected = sum(run.now_s <= h.start_s < run.now_s + 60 for a in acts_of(run).values() for h in a)
    assert (told, changed) == (expected, 0)
    key = next(k for k, own in acts_of(run).items() if first in own)
    for late, count in ((2, 0), (3, 1)):
        seen = after_event(run, ActSeen(key, first, first.start_s + late, first.hands_s))
        assert told_changes(run, seen) == (expected, count)
        assert told_changes(run, seen, same_s=3) == (expected, 0)


def test_a_platter_out_is_not_given_away_while_its_table_is_thought_over() -> None:
    night = small_night(("A1", "18:00", "18:20", ("steak",)), ("A2", "18:00", "18:20", ("steak",)))
    problem = problem_of(small_house(platters=1), night)
    now_s = problem.from_s
    first = search(problem, Reality(now_s), rounds=0)
    (stay,) = next(p.stays for b in first.booked for p in b.placed if p.item.key == "A2-1")
    stands = replace(stay, start_s=now_s + 2, end_s=now_s + 452, held_until_s=now_s + 460)
    begun = Begun("A2-1", (stands,), (Handling(now_s + 2, 10, 0, "launch", 0),))
    reality = Reality(now_s, (begun,), (now_s,))
    for rounds in (0, 40, 200):
        assert prove(problem, search(problem, reality, rounds=rounds), reality) == ()
