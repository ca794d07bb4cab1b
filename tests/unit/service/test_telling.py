"""What becomes of commands: taken or refused in one line, once only, undone for ten seconds."""

import re

import pytest

from hearthtide.service import commands as told
from hearthtide.service.log import MemoryLog
from hearthtide.service.state import KEEP_S, folded, snapshot_of, state_of
from hearthtide.service.tickets import Course, Plate, Spot, Ticket, file_of, ticket_of
from told_night import AT_S, Told, called, kitchen, ticket


@pytest.fixture
def night():
    return Told()


def plates(night, table="B4"):
    return {p.key: p for p in night.facts.ticket(table).plates}


def test_a_ticket_is_called_and_its_plates_are_numbered_over_its_courses(night):
    night.taken(called(later="cheese_dip pizza", priority=2.0))
    live = night.facts.ticket("B4")
    assert [(p.key, p.dish, p.course) for p in live.plates] == [
        ("B4-1", "pizza", 1),
        ("B4-2", "strip_steak", 1),
        ("B4-3", "shrimp", 1),
        ("B4-4", "cheese_dip", 2),
        ("B4-5", "pizza", 2),
    ]
    assert (live.covers, live.priority, live.way) == (2, 2.0, "tapped")
    assert [c.lands_s for c in live.courses] == [AT_S + 1320, AT_S + 2520]


def test_a_ticket_in_a_house_s_words_and_in_the_service_s_is_the_same_ticket():
    one = ticket(later="cheese_dip", allergy=("nuts",), priority=3.0)
    assert ticket_of(file_of(one)) == one


@pytest.mark.parametrize(
    ("what", "words"),
    [
        (called("B4"), "B4 has a ticket tonight"),
        (called("B5", "piza"), "Did you mean `pizza`"),
        (called("B5", wanted_s=AT_S), "lies in the past"),
        (called("B5", called_s=AT_S + 1400), "not after it was called"),
        (called("B5", refire_of="Z9"), "Z9 has no ticket"),
        (called("B5", "shrimp", allergy=("shellfish",)), "shrimp: expected .*allergy order of B5"),
        (called("B5", "pizza", allergy=("moonstone",)), "an allergen by a word that is known"),
        (told.Amended("B4"), "nothing of B4 is amended"),
        (told.Amended("Z9", covers=3), "Z9 has no ticket"),
        (told.Amended("B4", take_off=("B4-9",)), "B4-9 is no plate"),
        (told.Amended("B4", take_off=("B5-1",)), "not of B4"),
        (told.Amended("B4", allergy=("crustacean",)), "shrimp: expected"),
        (told.Amended("B4", course=2, wanted_s=AT_S + 60), "lands at .* after that"),
        (told.Amended("B4", course=3, wanted_s=AT_S + 60), "no course 3"),
        (told.Amended("B4", wanted_s=AT_S + 9999), "before that. Move that one first"),
        (told.DishesAdded("B4", (Plate("soup"),)), "a dish of this house"),
        (told.DishesAdded("B4", (Plate("pizza", Spot(1.9, 3.9)),)), "not on this hearth"),
        (told.EightySix("soup"), "no dish of this house"),
        (told.BackOn("shrimp"), "shrimp is on"),
        (told.Fire("B4", AT_S + 600), "is not held"),
        (told.Drag("B4", 3600), "before that"),
        (told.Split("B4", 4), "has 3 plates"),
        (told.Refire("B4-7"), "no plate of tonight"),
        (told.MoveDone("B4-1", "flame"), "Say the level"),
        (told.MoveDone("Z9-1", "launch"), "no plate of tonight"),
        (told.Reading(50, "core", "probe 2"), "of one place"),
        (told.Reading(50, "core", "probe 2", item="Z9-1"), "Name the place instead"),
        (told.Reading(120, "core", "probe 2", item="B4-1"), "Read again"),
        (told.Spill(0, 0.5, 0.1, AT_S), "lies in the past"),
        (told.DeadPlatter(13), "12 platters left"),
        (told.CookOut("Nobody"), "no cook of this house"),
        (told.CookIn("Pass"), "Pass is in"),
        (told.FlameSet("volcano"), "no flame of this oven"),
        (told.Waste("soup", 1), "no dish of this house"),
        (told.Waste("pizza", 0), "0 of pizza are counted as left over"),
        (told.Waste("pizza", -1), "0 of pizza are counted as left over"),
        (told.Undo("nothing-such"), "was not taken"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line_and_changes_nothing(night, what, words):
    night.taken(called(later="cheese_dip"))
    assert re.search(words, night.refused(what))


def test_a_repeat_changes_nothing_and_gets_the_first_answer(night):
    first = night.taken(called(), id="tablet-1-0001")
    state = night.night.state
    again = night.say(called(), id="tablet-1-0001")
    assert again.repeat and (again.seq, again.taken) == (first.seq, True)
    assert night.night.state == state
    no = night.say(called(), id="tablet-1-0002")
    night.taken(told.Amended("B4", covers=3))
    later = night.say(called("B9"), id="tablet-1-0002")  # the id counts, not what it says
    assert (later.taken, later.words, later.seq, later.repeat) == (False, no.words, no.seq, True)
    assert night.facts.ticket("B9") is None


def test_the_largest_ticket_that_can_be_written_is_taken_and_its_allergy_amended(night):
    many = tuple(Course(AT_S + 1200 * n, (Plate("vegetables"),) * 60) for n in range(1, 7))
    night.taken(told.TicketCalled(Ticket("B4", 100, AT_S, many), "feed"))
    assert len(plates(night)) == 360
    night.taken(told.Amended("B4", allergy=("mustard",)))


def test_what_would_grow_without_end_is_refused_with_a_way_out(night):
    night.taken(called(dishes="pizza"))
    for _ in range(16):
        night.taken(told.DishesAdded("B4", (Plate("pizza"),) * 60))
    assert "999 plates. Call a new ticket" in night.refused(told.DishesAdded("B4", (Plate("pizza"),) * 60))
    for n in range(8):
        night.taken(told.Refire(f"B4-1{'+' * n}"))
    assert "made again 8 times" in night.refused(told.Refire("B4-1++++++++"))
    for n in range(399):
        night.taken(called(f"T{n}", "pizza"))
    assert "400 tickets, as many as it can hold" in night.refused(called("T400", "pizza"))


def test_a_course_that_has_landed_is_over(night):
    night.taken(called(later="cheese_dip"))
    night.taken(told.StageSeen("B4-1", AT_S + 600))
    assert plates(night)["B4-1"].seen_done_s == AT_S + 600
    night.taken(told.Landed("B4"))
    for what in (
        told.Landed("B4"),
        told.Hold("B4"),
        told.Split("B4", 2),
        told.Drag("B4", 60),
        told.Amended("B4", wanted_s=AT_S + 600),
        told.DishesAdded("B4", (Plate("pizza"),)),
        told.StageSeen("B4-1", AT_S + 600),
    ):
        assert "landed at 19:00" in night.refused(what)
    night.taken(told.Hold("B4", 2))


def test_courses_told_out_of_order_are_refused(night):
    one = Course(AT_S + 1200, (Plate("pizza"),), drag_s=600)
    two = Course(AT_S + 1500, (Plate("pizza"),))
    words = night.refused(told.TicketCalled(Ticket("B4", 2, AT_S, (one, two)), "feed"))
    assert "comes before the one ahead of it lands" in words


def test_an_86_takes_off_what_has_not_begun_and_what_is_called_later_is_refused(night):
    night.taken(called(dishes="shrimp shrimp pizza"))
    night.taken(told.MoveDone("B4-1", "launch"))
    night.taken(told.EightySix("shrimp"))
    assert [p.off for p in plates(night).values()] == ["", "86", ""]
    assert "86 shrimp since 19:00" in night.refused(called("B5", "shrimp"))
    assert "86 shrimp" in night.refused(told.DishesAdded("B4", (Plate("shrimp"),)))
    assert "86 shrimp" in night.refused(told.Refire("B4-1"))
    assert "Nothing more" in night.refused(told.EightySix("shrimp"))
    night.taken(told.BackOn("shrimp"))
    night.taken(called("B5", "shrimp"))
    assert plates(night)["B4-2"].off == "86"


def test_a_base_dressed_at_the_bench_has_not_begun(night):
    night.taken(called(dishes="pizza pizza"))
    night.taken(told.MoveDone("B4-1", "dress"))
    night.taken(told.EightySix("pizza"))
    assert [p.off for p in plates(night).values()] == ["86", "86"]


def test_amending_takes_plates_off_and_keeps_the_numbers_of_the_rest(night):
    night.taken(called())
    night.taken(told.Amended("B4", covers=3, wanted_s=AT_S + 900, take_off=("B4-2",)))
    night.taken(told.DishesAdded("B4", (Plate("pizza"), Plate("wings"))))
    assert {k: p.off for k, p in plates(night).items()} == {
        "B4-1": "",
        "B4-2": "taken off",
        "B4-3": "",
        "B4-4": "",
        "B4-5": "",
    }
    assert (night.facts.ticket("B4").covers, night.facts.ticket("B4").courses[0].wanted_s) == (3, AT_S + 900)
    assert "no longer made (taken off)" in night.refused(told.MoveDone("B4-2", "launch"))


def test_an_allergy_told_late_is_taken_with_the_plate_it_forbids_taken_off(night):
    night.taken(called())
    assert "shrimp" in night.refused(told.Amended("B4", allergy=("crustacean",)))
    taken_off = tuple(p.key for p in plates(night).values() if p.dish != "pizza")
    night.taken(told.Amended("B4", allergy=("crustacean",), take_off=taken_off))
    assert night.facts.ticket("B4").allergy == ("crustacean",)


def test_hold_fire_drag_and_split(night):
    night.taken(called(later="cheese_dip pizza"))
    night.taken(told.Hold("B4", 2))
    assert "held already" in night.refused(told.Hold("B4", 2))
    night.taken(told.Fire("B4", AT_S + 3000, 2))
    night.taken(told.Drag("B4", 300, 2))
    night.taken(told.Split("B4", 2, 360, 2))
    course = night.facts.ticket("B4").courses[1]
    assert (course.held, course.lands_s, course.drops, course.drops_apart_s) == (False, AT_S + 3300, 2, 360)
    night.taken(told.Drag("B4", 0, 2))
    assert night.facts.ticket("B4").courses[1].lands_s == AT_S + 3000


def test_a_plate_made_again_is_a_new_plate_of_the_same_course(night):
    night.taken(called())
    night.taken(told.Refire("B4-2"))
    old, new = plates(night)["B4-2"], plates(night)["B4-2+"]
    assert (old.off, new.off, new.dish, new.course) == ("re-fired", "", "strip_steak", 1)
    night.taken(told.Refire("B4-2+"))
    assert "B4-2++" in plates(night)
    night.taken(told.Landed("B4"))
    assert "a re-fire of its table" in night.refused(told.Refire("B4-1"))
    assert "landed at 19:00" in night.refused(told.MoveDone("B4-1", "pull"))


def test_two_tablets_race_on_one_move_and_the_second_is_told_who_was_first(night):
    night.taken(called())
    night.taken(told.MoveDone("B4-1", "launch"), by="Ana")
    assert "done by Ana at 19:00" in night.refused(told.MoveDone("B4-1", "launch"), by="Ben")
    assert "undo that" in night.refused(told.NotYet("B4-1", "launch", 30), by="Ben")
    assert [d.by for d in plates(night)["B4-1"].done] == ["Ana"]


def test_what_was_only_due_is_contradicted_and_then_done(night):
    night.taken(called())
    night.taken(told.MoveDone("B4-1", "launch", assumed=True), by="the plan")
    night.taken(told.NotYet("B4-1", "launch", 40))
    plate = plates(night)["B4-1"]
    assert (plate.done, [later.until_s for later in plate.later]) == ((), [AT_S + 40])
    night.now_s += 45
    night.taken(told.MoveDone("B4-1", "launch", assumed=True), by="the plan")
    night.taken(told.MoveDone("B4-1", "launch"), by="Ana")
    plate = plates(night)["B4-1"]
    assert (plate.later, [(d.by, d.at_s) for d in plate.done]) == ((), [("Ana", AT_S + 45)])
    assert "done by Ana" in night.refused(told.MoveDone("B4-1", "launch", assumed=True))


def test_readings_keep_who_where_when_and_by_what(night):
    night.taken(called())
    night.taken(told.Reading(61.5, "core", "probe 2", item="B4-2"), at_s=AT_S - 30, by="Ben")
    night.taken(told.Reading(348, "floor", "gun", spot=Spot(0, 0.6)))
    night.taken(told.Reading(3.4, "air", "wall thermometer", place="walk-in"))
    first = night.facts.readings[0]
    assert (first.by, first.at_s, first.reading.instrument, first.reading.item) == (
        "Ben",
        AT_S - 30,
        "probe 2",
        "B4-2",
    )
    assert len(night.facts.readings) == 3


def test_upsets_stand_until_they_are_over(night):
    night.taken(told.Spill(0.1, 0.5, 0.12, AT_S + 420, "shrimp butter"))
    night.taken(told.DeadPlatter(2))
    night.taken(told.CookOut("Pass"))
    answer = night.taken(told.FlameOut())
    assert any("shut the gas" in line for line in answer.cautions)
    facts = night.facts
    assert (facts.dead_platters, facts.cooks_out[0].name, facts.flame_out.at_s) == (2, "Pass", AT_S)
    assert facts.shut[0].why == "shrimp butter"
    assert "out since" in night.refused(told.CookOut("Pass"))
    assert "out since" in night.refused(told.FlameOut())
    night.taken(told.CookIn("Pass"))
    level = kitchen().house.oven.flames[-1].name
    night.taken(told.GasShut())
    night.now_s += 300
    night.taken(told.FlameSet(level))
    assert (night.facts.cooks_out, night.facts.flame_out, night.facts.flame.name) == ((), None, level)


def test_waste_adds_up_by_dish_and_reason_and_can_be_taken_back(night):
    night.taken(told.Waste("pizza", 2))
    night.taken(told.Waste("pizza", 1, "burnt"))
    night.taken(told.Waste("pizza", 3))
    assert [night.facts.wasted_of("pizza", why) for why in ("left over", "burnt", "dropped")] == [5, 1, 0]
    assert "5 of pizza are counted as left over" in night.refused(told.Waste("pizza", -6))
    night.taken(told.Waste("pizza", -5))
    assert [(w.why, w.count) for w in night.facts.wasted] == [("burnt", 1)]


def test_the_last_note_for_the_next_cook_stands_with_who_wrote_it(night):
    night.taken(told.Handover("Wood is low."))
    night.taken(told.Handover("Wood is low.\nLeft back is cold."), by="Ben")
    note = night.facts.handover
    assert (note.words, note.by, note.at_s) == ("Wood is low.\nLeft back is cold.", "Ben", AT_S)


def test_an_act_is_undone_for_ten_seconds_and_no_longer(night):
    night.taken(called())
    before = night.facts
    night.taken(told.MoveDone("B4-1", "launch"), id="tablet-1-0001")
    night.now_s += 10
    night.taken(told.Undo("tablet-1-0001"))
    assert night.facts == before
    assert "undone already" in night.refused(told.Undo("tablet-1-0001"))
    night.taken(told.MoveDone("B4-1", "launch"), id="tablet-1-0002")
    night.now_s += 10.5
    assert "can be undone for 10 s" in night.refused(told.Undo("tablet-1-0002"))


def test_an_undo_told_minutes_later_counts_by_the_time_it_was_said(night):
    night.taken(called())
    night.taken(told.MoveDone("B4-1", "launch"), id="tablet-1-0001")
    night.now_s += 300
    night.taken(told.Undo("tablet-1-0001"), at_s=AT_S + 6)
    assert plates(night)["B4-1"].done == ()


def test_what_others_built_upon_is_not_undone_and_what_is_beside_it_stays(night):
    night.taken(called(), id="tablet-1-0001")
    night.taken(called("B5"))
    assert night.say(told.Undo("tablet-1-0001")).taken
    assert [t.table for t in night.facts.tickets] == ["B5"]
    night.taken(called("B6"), id="tablet-1-0003")
    night.taken(told.MoveDone("B6-1", "launch"))
    assert "since then launch of B6-1 is done. Undo that first." in night.refused(told.Undo("tablet-1-0003"))


def test_an_undone_86_puts_its_plates_back(night):
    night.taken(called())
    before = night.facts
    night.taken(told.EightySix("shrimp"), id="tablet-1-0001")
    night.taken(told.Undo("tablet-1-0001"))
    assert night.facts == before


def test_what_is_long_past_is_settled_and_can_be_undone_no_more(night):
    night.taken(called(), id="tablet-1-0001")
    night.now_s += KEEP_S + 1
    night.taken(told.FlameOut())
    state = night.night.state
    assert [e.command.what.kind for e in state.recent] == ["flame_out"]
    assert state.settled.ticket("B4") is not None
    assert "long ago" in night.refused(told.Undo("tablet-1-0001"), at_s=AT_S + 5)


def test_a_device_whose_clock_runs_ahead_is_told_so(night):
    assert "runs 2:00 ahead" in night.refused(called(), at_s=AT_S + 120)


def test_time_in_the_log_never_runs_backwards(night):
    night.taken(called())
    night.now_s -= 60
    night.taken(told.FlameOut(), at_s=AT_S)
    assert night.night.state.heard_s == AT_S


def test_two_services_on_one_log_take_turns(night):
    other = Told(night.log)
    other.ids = (f"device-b-{n}" for n in range(100))
    heard = []
    end = night.night.listen(lambda seq, event: heard.append((seq, event.command.id)))
    night.taken(called())
    assert "has a ticket tonight" in other.say(called()).words
    other.taken(called("B5"))
    night.taken(called("B6"))
    assert [t.table for t in night.facts.tickets] == ["B4", "B5", "B6"]
    assert heard == [(1, "device-a-1"), (2, "device-b-0"), (3, "device-b-1"), (4, "device-a-2")]
    end()
    night.taken(called("B7"))
    assert len(heard) == 4
    assert other.night.read_on() == night.night.state


def test_a_late_device_reads_on_and_a_snapshot_is_the_same_state():
    night = Told(MemoryLog())
    night.taken(called())
    night.night.keep()
    night.now_s += 1
    night.taken(told.MoveDone("B4-1", "launch"), id="tablet-1-0001")
    assert [entry.id for entry in night.night.since(1)] == ["tablet-1-0001"]
    again = Told(night.log)
    assert again.night.state == night.night.state == folded(night.log.read())
    assert snapshot_of(again.night.state) == snapshot_of(night.night.state)
    assert state_of(snapshot_of(night.night.state)) == night.night.state


def test_the_gas_is_shut_first_and_the_wait_cannot_be_cut_short(night):
    """Five minutes (common practice, no source) from the gas being shut, not from the flame going out."""
    level = kitchen().house.oven.flames[-1].name
    assert "Say that first" in night.refused(told.GasShut())
    night.taken(told.FlameOut())
    night.now_s += 600
    assert "nobody has said that the gas is shut" in night.refused(told.FlameSet(level))
    night.taken(told.GasShut())
    assert "The wait runs from then" in night.refused(told.GasShut())
    night.now_s += 299
    assert "cannot be cut short" in night.refused(told.FlameSet(level))
    night.now_s += 1
    night.taken(told.FlameSet(level))
    night.taken(told.FlameOut())
    assert "nobody has said" in night.refused(told.FlameSet(level)), (
        "each flame that goes out has its own wait"
    )


def test_while_a_danger_stands_no_flame_is_lit_and_the_fire_may_only_go_down(night):
    levels = [one.name for one in kitchen().house.oven.flames]  # lowest first
    night.taken(told.FlameSet(levels[1]))
    answer = night.taken(told.DangerSeen("extraction off"))
    assert any("everyone out" in line for line in answer.cautions)
    assert "since" in night.refused(told.DangerSeen("extraction off"))
    assert "extraction off" in night.refused(told.FlameSet(levels[2]))
    night.taken(told.FlameSet(levels[0]))
    assert "nobody told of fire" in night.refused(told.DangerOver("fire"))
    night.taken(told.DangerOver("extraction off"))
    night.taken(told.FlameSet(levels[2]))
    assert night.facts.dangers == ()


def test_a_late_word_ends_nothing_newer(night):
    night.taken(told.DangerSeen("fire"))
    night.now_s += 60
    assert "after that" in night.refused(told.DangerOver("fire"), at_s=night.now_s - 100)
    night.taken(told.DangerOver("fire"))
    assert night.facts.danger_over_s == night.now_s


def test_a_danger_and_a_flame_that_is_out_are_taken_from_a_clock_that_runs_ahead(night):
    night.taken(told.DangerSeen("carbon monoxide"), at_s=night.now_s + 600)
    assert night.facts.dangers[0].at_s == night.now_s
    night.taken(told.FlameOut(), at_s=night.now_s + 600)
    assert night.facts.flame_out.at_s == night.now_s


def test_the_wait_runs_by_the_boards_clock_alone(night):
    level = kitchen().house.oven.flames[0].name
    night.taken(told.FlameOut())
    night.taken(told.GasShut(), at_s=night.now_s - 60)
    night.now_s += 297
    assert "cannot be cut short" in night.refused(told.FlameSet(level), at_s=night.now_s + 4)
    night.now_s += 3
    night.taken(told.FlameSet(level))
