"""The label of what left the cold: its time by its mark and published hours, never its lot's date alone."""

from __future__ import annotations

from datetime import timedelta

import pytest

from hearthtide.printing.labels import SIZES, TEMPLATE, Size, labels_data
from hearthtide.printing.lot_labels import label_of
from hearthtide.printing.lot_out import hours_of
from hearthtide.printing.typeset import pdf
from hearthtide.service.records.book import Book
from hearthtide.service.records.course import course
from hearthtide.service.records.entries import LotMarked, ProcedureKept, Pulled, Record, TimeMarked
from kept_lots import Lots, house_by
from read_by_hand import at
from read_print import words_of


def pulled(procedure: bool = False, mark: str = "", read: str = "", when: str = "19:20") -> Lots:
    """A half out of the cold at 19:20 UTC, 15:20 there, on Tuesday 2 June 2026; chilled by the US code."""
    lots = Lots()
    if procedure:
        lots.write(ProcedureKept("time alone", "binder 3"), "11:00")
    lots.chilled()
    lots.pulled(when)
    if read:
        lots.read(read, "19:20", "warmest", "chicken/1")
    if mark:
        lots.write(TimeMarked("chicken/1", at(mark, lots.day)), "19:21")
    return lots


def label(lots: Lots, rules: str | None, hours: float = 0):
    ledger = Book(lots.log, None).about(lambda _: True)
    when = at("19:30", lots.day) + timedelta(hours=hours)
    return label_of(ledger, "chicken/1", house_by(rules), {}, when, True)


def test_it_says_since_when_it_is_out_and_until_when_by_its_mark() -> None:
    # FDA Food Code 2022 3-501.19(B): by a written procedure, marked, at most 4 h after it left.
    lots = pulled(procedure=True, mark="23:00")
    told = label(lots, "us-fda-2022")
    assert (told.state, told.state_words) == ("OUT OF THE COLD", "since 15:20")
    assert (told.last, told.why, told.warning) == ("Use or bin by 19:00 Tue 2 Jun", "as marked", "")
    assert label(lots, "us-fda-2022", hours=3.5).warning == ""
    over = label(lots, "us-fda-2022", hours=30)
    assert over.warning.startswith("DO NOT USE: it is past its own mark")
    assert over.warning.endswith("Out of the cold since 15:20 Tue 2 Jun") and not over.use_first


@pytest.mark.parametrize(
    ("procedure", "mark", "why"),
    [
        (True, "", "DO NOT USE: time not marked. Out of the cold since 15:20"),
        (False, "", "DO NOT USE: time not marked; no written procedure is kept here: time alone"),
        (False, "23:00", "DO NOT USE: no written procedure is kept here: time alone"),
        (True, "23:40", "DO NOT USE: it is not marked within 4 h"),
    ],
)
def test_by_the_us_code_it_is_not_used_without_procedure_and_a_mark_within_4_h(
    procedure: bool, mark: str, why: str
) -> None:
    # 3-501.19(A) and (B)(1), (2) and (4): written procedures, a mark 4 h past the point it left, no other.
    assert label(pulled(procedure, mark), "us-fda-2022").warning.startswith(why)


def test_a_reading_that_lacks_is_said_and_does_not_hide_that_the_time_is_over() -> None:
    # England and Wales: one period of 4 h above 8 °C (temperature control regulations; from memory).
    # The lot's 41 °F at 19:00 is too old to show where what left at 19:40 began: half an hour, own choice.
    lots = pulled(when="19:40")
    told = label(lots, "england-wales-ni", 0.5)
    assert told.last == "Use or bin by 19:40 Tue 2 Jun" and told.warning == ""
    assert told.why.startswith("4 h 00 min by ") and told.why.endswith("; no reading shows where it began")
    assert label(lots, "england-wales-ni", 4.5).warning.startswith("DO NOT USE: 4 h")
    read = label(pulled(), "england-wales-ni")
    assert read.why.startswith("4 h 00 min by ") and "no reading" not in read.why
    assert "it began at 9" in label(pulled(read="9C"), "england-wales-ni").warning


@pytest.mark.parametrize("size", sorted(SIZES))
def test_all_of_it_has_room_on_every_label(size: Size) -> None:
    lacking = label(pulled(when="19:40"), "england-wales-ni", 30 / 60)
    for one in (lacking, label(pulled(True, "23:00"), "us-fda-2022"), label(pulled(), "us-fda-2022", 30)):
        words = words_of(pdf(TEMPLATE, labels_data((one,), size, "Labels")))
        says = (one.warning,) if one.warning else (one.state, one.state_words, one.last, one.why)
        assert [said for said in says if said not in words] == []


@pytest.mark.parametrize("hours", [0, 8, 30])
def test_without_rules_only_a_mark_gives_it_time(hours: int) -> None:
    assert label(pulled(), None, hours).warning.startswith("DO NOT USE: time not marked. Out of the cold")
    marked = label(pulled(mark="21:00"), None, hours)
    assert (marked.warning == "") == (hours == 0)
    assert marked.warning.startswith("DO NOT USE: its time is over, as marked") == (hours > 0)


def test_a_whole_lot_on_time_alone_has_its_hours_too() -> None:
    # 3-501.19(B): 4 h after it left, though it may be kept for days in the cold.
    lots = Lots()
    lots.write(ProcedureKept("time alone", "binder 3"), "11:00")
    lots.chilled()
    lots.write(TimeMarked("chicken", at("23:10", lots.day)), "19:09")
    lots.became("time-controlled", "19:10")
    ledger = Book(lots.log, None).about(lambda _: True)
    told = label_of(ledger, "chicken", house_by(), {}, at("19:30", lots.day), False)
    assert (told.state, told.state_words) == ("ON TIME ALONE", "since 15:10")
    assert (told.last, told.warning) == ("Use or bin by 19:10 Tue 2 Jun", "")
    over = label_of(ledger, "chicken", house_by(), {}, at("23:11", lots.day), False)
    assert over.warning.startswith("DO NOT USE: it is past its own mark")


def test_times_out_are_added_up_where_a_set_says_so() -> None:
    # Australia, Standard 3.2.2, 2 h and 4 h: all its times between 5 and 60 °C together are 4 h at most.
    lots = Lots("australia")
    lots.chilled_by("60C", "20C", "4C")
    lots.became("time-controlled", "18:05")
    lots.became("chilled", "19:05")
    lots.pulled("19:20")
    told = label(lots, "australia")
    assert told.last == "Use or bin by 18:20 Tue 2 Jun"
    assert told.why.startswith("4 h 00 min by 3.2.2")
    assert label(lots, "australia", 3).warning.startswith("DO NOT USE: 4 h 10 min out in all")


def test_it_has_no_more_time_than_its_lot_has_days() -> None:
    lots = pulled(True, "23:00")
    lots.write(LotMarked("chicken", lots.day.date()), "19:25")
    assert label(lots, "us-fda-2022").last == "Use or bin by 19:00 Tue 2 Jun"
    lots.write(LotMarked("chicken", lots.day.date() - timedelta(1)), "19:26")
    assert label(lots, "us-fda-2022").warning == "DO NOT USE: last day was Mon 1 Jun"


@pytest.mark.parametrize(("lot", "value", "usable"), [("chicken/1", "60F", True), ("chicken", "40F", False)])
def test_six_hours_only_where_it_was_read_while_out_and_not_its_lot_in_the_cold(
    lot: str, value: str, usable: bool
) -> None:
    # 3-501.19(C): 6 h from 41 °F while it is never above 70 °F and that is watched; else (B), 4 h.
    lots = pulled(True)
    five = at("19:20", lots.day) + timedelta(hours=5)
    lots.write(TimeMarked("chicken/1", five), "19:21")
    lots.read(value, "20:00", "warmest", lot)
    told = label(lots, "us-fda-2022", 1)
    assert told.last == ("Use or bin by 20:20 Tue 2 Jun" if usable else "Do not use")
    assert told.warning.startswith("DO NOT USE: it is not marked within 4 h") != usable


def test_its_hours_end_with_its_lots_last_day() -> None:
    lots = Lots()
    lots.chilled()
    lots.write(LotMarked("chicken", lots.day.date()), "20:00")
    lots.now = late = lots.day + timedelta(hours=26)  # 22:00 of the same day there
    pulled = Pulled("chicken/1", "chicken", "1 half")
    lots.keeping.write(Record("late", "Ben", "tablet", late, late, -240, pulled))
    ledger = Book(lots.log, None).about(lambda _: True)
    told = label_of(ledger, "chicken/1", house_by("england-wales-ni"), {}, late, False)
    assert (told.last, told.why) == ("Use or bin by 24:00 Tue 2 Jun", "as marked")


def test_what_never_left_the_cold_has_no_hours() -> None:
    lots = pulled()
    ledger = Book(lots.log, None).about(lambda _: True)
    of = course(ledger, "chicken")
    assert of is not None
    assert hours_of(ledger, of, house_by().file.chosen_rules, lots.now) is None
