"""A night run live: what is told goes into the plan, plans come out, and what was told stays."""

from dataclasses import replace

import pytest

from hearthtide.service import commands as told
from hearthtide.service.facts import ActDone
from live_night import LiveNight, clock


@pytest.fixture
def night() -> LiveNight:
    night = LiveNight("18:00")
    night.call("A1", "18:20", "pizza pizza steak")
    return night


def moves(night: LiveNight, item: str) -> list[tuple[str, float]]:
    return [(m.act, m.start_s) for m in night.shown.moves if m.item == item]


def test_a_ticket_is_planned_and_shown_with_its_landing(night):
    (landing,) = night.shown.landings
    assert (landing.table, landing.wanted_s, landing.planned_s) == ("A1", clock("18:20"), clock("18:20"))
    assert [p.item for p in landing.plates] == ["A1-1", "A1-2", "A1-3"]
    assert {m.item for m in night.shown.moves} == {"A1-1", "A1-2", "A1-3"}
    assert night.night.state.facts.plan is not None


def test_acts_nobody_speaks_of_are_taken_as_done_and_the_table_as_landed(night):
    night.until("18:25")
    facts = night.night.state.facts
    plate = facts.plate("A1-1")
    assert [d.act for d in plate.done] == ["dress", "launch", "turn", "turn", "pull", "cut"]
    assert all(d.assumed and d.by == "the plan" for d in plate.done)
    (course,) = facts.ticket("A1").courses
    assert course.landed_s == clock("18:20")
    assert night.shown.landings == ()


def test_a_landed_table_is_not_planned_again(night):
    night.until("18:40")
    asked = night.planner.asked
    night.call("B2", "19:05", "steak")
    night.until("18:50")
    assert set(night.placed) == {"B2-1"}
    assert night.planner.asked > asked


def test_a_tap_in_time_changes_nothing(night):
    act, start_s = moves(night, "A1-3")[0]
    night.until(start_s + 3)
    asked = night.planner.asked
    assert night.tell(told.MoveDone("A1-3", act)).taken
    assert night.planner.asked == asked
    assert moves(night, "A1-3")[0] == (act, start_s)


def test_an_act_done_early_is_where_it_was_done(night):
    act, start_s = moves(night, "A1-3")[0]
    night.until(start_s - 100)
    assert night.tell(told.MoveDone("A1-3", act)).taken
    done_s = night.now_s
    hands_s = next(m.hands_s for m in night.shown.moves if m.item == "A1-3")
    assert moves(night, "A1-3")[0] == (act, done_s - hands_s)


def test_not_yet_holds_an_act_back(night):
    act, start_s = moves(night, "A1-3")[0]
    night.until(start_s + 2)
    assert night.tell(told.NotYet("A1-3", act, 40.0)).taken
    assert moves(night, "A1-3")[0][1] >= night.now_s + 40
    night.until(start_s + 30)
    assert night.night.state.facts.plate("A1-3").done == ()


def test_an_undone_act_is_due_again_at_once(night):
    act, start_s = moves(night, "A1-3")[0]
    night.until(start_s + 4)
    answer = night.tell(told.MoveDone("A1-3", act))
    night.now_s += 3
    assert night.tell(told.Undo(answer.id)).taken
    assert night.night.state.facts.plate("A1-3").done == ()
    again_s = moves(night, "A1-3")[0][1]
    assert night.now_s <= again_s <= night.now_s + 15
    night.until(again_s + 60)
    assert [type(d) for d in night.night.state.facts.plate("A1-3").done][:1] == [ActDone]


def test_what_is_seen_to_take_longer_lands_later_and_says_who_slips(night):
    start_s = moves(night, "A1-3")[0][1]
    night.until(start_s + 200)
    before = night.shown.landings[0].planned_s
    pull_s = dict(moves(night, "A1-3"))["pull"]
    assert night.tell(told.StageSeen("A1-3", pull_s + 180)).taken
    assert dict(moves(night, "A1-3"))["pull"] >= pull_s + 150
    assert night.shown.landings[0].planned_s > before
    assert [(s.table, s.was_s) for s in night.shown.slips] == [("A1", before)]


def test_a_dish_that_runs_out_leaves_the_plan_unless_it_has_begun(night):
    night.call("B2", "18:40", "steak dip")
    assert night.tell(told.EightySix("dip")).taken
    assert "B2-2" not in night.placed and "B2-1" in night.placed


def test_a_held_course_waits_until_it_is_fired(night):
    night.call("B2", "18:40", "pizza")
    assert night.tell(told.Hold("B2")).taken
    assert "B2-1" not in night.placed
    assert night.tell(told.Fire("B2", float(clock("18:50")))).taken
    landing = next(one for one in night.shown.landings if one.table == "B2")
    assert landing.planned_s >= clock("18:49")


def test_a_drag_moves_its_landing(night):
    assert night.tell(told.Drag("A1", 300.0)).taken
    assert night.shown.landings[0].planned_s >= clock("18:25")


def test_plates_added_land_with_their_course(night):
    from hearthtide.service.tickets import Plate

    assert night.tell(told.DishesAdded("A1", (Plate("dip"),))).taken
    assert {p.item for one in night.shown.landings for p in one.plates} == {"A1-1", "A1-2", "A1-3", "A1-4"}


def test_a_spoiled_plate_is_made_again_and_its_stone_cleared(night):
    start_s = moves(night, "A1-3")[0][1]
    night.until(start_s + 60)
    stood = next(s for s in night.shown.stays if s.item == "A1-3")
    assert night.tell(told.Refire("A1-3")).taken
    assert "A1-3" not in night.placed
    assert "A1-3+" in night.placed
    assert any(m.act == "pull" and m.item.startswith("-") for m in night.shown.moves)
    clearing = night.playing.live.clearing
    assert len(clearing) == 1 and clearing[0].from_s == night.now_s
    assert stood.from_s == start_s
    night.until(clearing[0].until_s + 20)
    assert night.playing.live.clearing == ()


def test_nothing_new_goes_into_a_spill(night):
    stay = next(s for s in night.shown.stays if s.item == "A1-1")
    assert night.tell(told.Spill(stay.x_m, stay.y_m, 0.1, float(clock("18:19")))).taken
    now = next(s for s in night.shown.stays if s.item == "A1-1")
    far = ((now.x_m - stay.x_m) ** 2 + (now.y_m - stay.y_m) ** 2) ** 0.5
    assert far > 0.1 or now.from_s >= clock("18:19")


def test_a_missing_cook_does_nothing_more():
    night = LiveNight("18:00", cooks=2)
    night.call("A1", "18:20", "pizza pizza steak dip")
    assert night.tell(told.CookOut("Cook 1")).taken
    night.until(night.now_s + 15)
    ahead = [m for m in night.shown.moves if m.start_s > night.now_s + 60]
    assert ahead and {m.cook for m in ahead} == {"Cook 2"}


def test_without_anybody_who_can_the_plan_says_so_and_stays(night):
    assert night.tell(told.CookOut("Cook 1")).taken
    assert night.shown.planner.condition == "down" and night.shown.planner.trouble
    assert night.tell(told.CookIn("Cook 1")).taken
    assert night.shown.planner.condition == "ready" and night.shown.planner.trouble == ""


def test_dead_platters_are_missed():
    night = LiveNight("18:00")
    assert night.tell(told.DeadPlatter(11)).taken
    night.call("A1", "18:20", "steak steak")
    steaks = sorted((s.from_s, s.until_s) for s in night.shown.stays if s.dish == "steak")
    assert len(steaks) == 2 and steaks[1][0] >= steaks[0][1]


def test_while_the_flame_is_out_nothing_new_goes_on_the_stone(night):
    assert night.tell(told.FlameOut()).taken
    starts = [s.from_s for s in night.shown.stays]
    assert min(starts) >= night.now_s + 600
    assert night.shown.fire.level == "out" and night.shown.fire.out_since_s == night.now_s
    assert night.tell(told.GasShut()).taken
    night.until(night.now_s + 300)
    level = night.house.oven.flames[-1].name
    assert night.tell(told.FlameSet(level)).taken
    assert night.shown.fire.out_since_s is None


def test_in_danger_nothing_new_goes_in_and_nothing_is_supposed_done(night):
    assert night.tell(told.DangerSeen("extraction off")).taken
    assert {move.act for move in night.shown.moves} <= {"pull", "cut"}
    before = [e.command for e in map(told.event_of, night.night.since(0)) if e.command.by == "the plan"]
    night.until(night.now_s + 600)
    after = [e.command for e in map(told.event_of, night.night.since(0)) if e.command.by == "the plan"]
    supposed = [one.what.kind for one in after[len(before) :] if one.what.kind != "plan"]
    assert supposed == []
    assert night.tell(told.DangerOver("extraction off")).taken
    assert {move.act for move in night.shown.moves} & {"dress", "launch"}


def test_a_gun_reading_moves_what_is_foreseen(night):
    before = night.shown.fire.floor
    from hearthtide.service.tickets import Spot

    x, y = 0.0, 0.5
    reading = told.Reading(before[0].zone_C + 30.0, "floor", "gun 1", spot=Spot(x, y))
    assert night.tell(reading).taken
    night.until(night.now_s + 60)
    now = night.shown.fire
    assert (now.read_C, now.read_s) == (reading.temperature_C, pytest.approx(night.now_s - 60))
    assert now.floor != before


def test_a_night_taken_up_again_has_its_plan(night):
    night.until("18:09")
    again = LiveNight("18:09", log=night.log)
    assert set(again.placed) == set(night.placed)
    for item in night.placed:
        begun = [m for m in moves(night, item) if m[1] < night.now_s]
        assert moves(again, item)[: len(begun)] == begun
    assert [one.planned_s for one in again.shown.landings] == [one.planned_s for one in night.shown.landings]


def test_a_split_course_lands_in_its_drops(night):
    assert night.tell(told.Split("A1", 2, 240.0)).taken
    first, second = night.shown.landings
    assert (first.drop, first.drops, second.drop) == (1, 2, 2)
    assert second.planned_s - first.planned_s >= 120


def test_before_the_stone_is_ready_nothing_is_promised_on_it():
    night = LiveNight("14:05")
    night.call("A1", "14:40", "shrimp")
    (landing,) = night.shown.landings
    assert landing.planned_s > clock("15:00")  # the small house's stone is ready an hour after it is lit


def test_a_planner_that_says_nothing_is_killed(night, monkeypatch):
    killed = []
    night.planner.kill = lambda: killed.append(night.now_s)
    stuck = night.planner.state()
    monkeypatch.setattr(night.planner, "state", lambda: replace(stuck, condition="planning"))
    night.until(night.now_s + 9, step_s=1)
    assert killed == []
    night.until(night.now_s + 4, step_s=1)
    assert len(killed) == 1


def test_of_a_table_that_has_left_nothing_more_is_planned(night):
    act, start_s = moves(night, "A1-3")[0]
    night.until(start_s + 60)
    assert night.tell(told.MoveDone("A1-3", act)).taken
    assert night.tell(told.Landed("A1")).taken
    night.call("B2", "19:00", "dip")
    assert set(night.placed) == {"A1-3", "B2-1"}
    assert [one.table for one in night.shown.landings] == ["B2"]
    assert {m.item for m in night.shown.moves if m.start_s > night.now_s} == {"B2-1"}


def test_a_landing_that_is_told_asks_for_no_plan(night):
    night.call("B2", "18:40", "steak dip")
    night.until("18:20")
    asked = night.planner.asked
    assert night.tell(told.Landed("A1"), at_s=clock("18:20")).taken
    assert night.planner.asked == asked
    night.until("18:21")
    assert night.planner.asked <= asked + 1


def test_a_planner_that_refused_is_asked_again_only_after_a_while(night):
    assert night.tell(told.CookOut("Cook 1")).taken
    asked = night.planner.asked
    night.until(night.now_s + 10, step_s=1)
    assert night.planner.asked == asked
    night.until(night.now_s + 10, step_s=1)
    assert night.planner.asked == asked + 1


def test_while_a_table_is_late_the_search_goes_on_a_little():
    night = LiveNight("18:00")
    night.call("A1", "18:05", "steak")  # 8 min at the least, and its rest
    asked = night.planner.asked
    assert asked == 3
    night.until(night.now_s + 30, step_s=1)
    assert night.planner.asked == asked
    assert night.shown.landings[0].planned_s > clock("18:10")
