"""How a lot stands by its records: nothing becomes what its readings do not prove.

Limits are those of the FDA Food Code 2022 as the rule set cites them: 165 °F poultry (3-401.11), cooling
135 to 70 °F in 2 h and to 41 °F in 6 h (3-501.14), hot holding 135 °F (3-501.16), 165 °F re-heated to hold
within 2 h and any temperature re-heated for one order (3-403.11), seven days (3-501.17).
"""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.safety.probe_check import Checked
from hearthtide.safety.states import ARROWS, SERVED
from hearthtide.service.records.entries import (
    ChilledBy,
    Corrected,
    LotMade,
    LotMarked,
    ProbeChecked,
    Pulled,
    ReadingTaken,
    Record,
)
from hearthtide.service.records.ledger import NotSo
from kept_lots import Lots, kept
from read_by_hand import at


def answers(lots, lot="chicken"):
    return {one.rule: one.answer for one in lots.keeping.lot(lot).verdicts}


def test_a_lot_goes_its_way_on_readings_alone():
    lots = Lots()
    lots.chilled()
    told = lots.keeping.lot("chicken")
    assert told.state == "chilled"
    assert [one.answer for one in told.verdicts][:3] == ["pass", "pass", "pass"]
    lots.pulled("19:30")
    lots.became("re-heated and served", "19:45", "chicken/1")
    assert lots.keeping.lot("chicken/1").state == "re-heated and served"
    assert [one.lot for one in lots.keeping.watched().lots] == ["chicken"], "what was served is not watched"


def test_what_is_not_read_is_not_cooked():
    lots = Lots()
    lots.made()
    with pytest.raises(NotSo, match="no reading of the coldest part"):
        lots.became("cooked", "12:50")
    lots.read("164F", "12:51")
    with pytest.raises(NotSo, match="fail"):
        lots.became("cooked", "12:52")
    lots.read("165F", "12:53")
    lots.became("cooked", "12:54")


@pytest.mark.parametrize(
    ("readings", "lacks"),
    [
        ([("135F", "13:00"), ("71F", "15:00"), ("41F", "19:00")], "fail"),
        ([("135F", "13:00"), ("70F", "15:01"), ("41F", "19:00")], "fail"),
        ([("135F", "13:00"), ("70F", "15:00"), ("42F", "19:00")], "unproven|fail"),
        ([("135F", "13:00"), ("70F", "15:00")], "unproven"),
        ([], "unproven"),
    ],
)
def test_cooling_that_is_not_shown_in_time_chills_nothing(readings, lacks):
    lots = Lots()
    lots.made()
    lots.read("166F", "12:48")
    lots.became("cooked", "12:50")
    lots.became("cooling", "12:55")
    for value, when in readings:
        lots.read(value, when, "warmest")
    with pytest.raises(NotSo, match=lacks):
        lots.became("chilled", "19:00")


def test_the_clock_of_cooling_starts_with_the_heat_where_no_hot_reading_was_taken():
    """Cooked told at 12:50 and cooling at 14:00: the hour between counts."""
    lots = Lots()
    lots.made()
    lots.read("166F", "12:48")
    lots.became("cooked", "12:50")
    lots.became("cooling", "14:00")
    lots.read("70F", "15:00", "warmest")
    lots.read("41F", "18:50", "warmest")
    with pytest.raises(NotSo, match="fail"):
        lots.became("chilled", "18:51")


def test_a_reading_of_another_lot_or_of_after_proves_nothing():
    lots = Lots()
    lots.made()
    lots.read("170F", "12:40", lot="other")
    with pytest.raises(NotSo, match="unproven"):
        lots.became("cooked", "12:50")
    lots.read("170F", "12:55")
    with pytest.raises(NotSo, match="unproven"):
        lots.became("cooked", "12:52")


def test_to_hold_hot_it_is_heated_through_within_two_hours_of_the_cold():
    lots = Lots()
    lots.chilled()
    lots.pulled("19:30")
    lots.read("165F", "21:31", lot="chicken/1", held_s=15)
    with pytest.raises(NotSo, match="2 h"):
        lots.became("re-heated and held", "21:32", "chicken/1")
    lots.pulled("19:40", "chicken/2")
    lots.read("165F", "21:39", lot="chicken/2")
    with pytest.raises(NotSo, match="for 15 s is wanted"):
        lots.became("re-heated and held", "21:39", "chicken/2")
    lots.read("165F", "21:40", lot="chicken/2", held_s=15)
    lots.became("re-heated and held", "21:40", "chicken/2")
    lots.read("134F", "22:00", lot="chicken/2")
    with pytest.raises(NotSo, match="134"):
        lots.became("served", "22:01", "chicken/2")


def test_seven_days_with_the_day_of_making_and_a_mark():
    lots = Lots()
    lots.chilled()
    lots.pulled("60:30")
    with pytest.raises(NotSo, match="no mark"):
        lots.became("re-heated and served", "60:40", "chicken/1")
    lots.write(LotMarked("chicken", lots.day.date().replace(day=8)), "61:00")
    lots.became("re-heated and served", "61:10", "chicken/1")
    # 2 June is day one: 8 June is the seventh day; the 9th begins four hours behind UTC at 04:00.
    lots.pulled("171:30", "chicken/2")
    lots.became("re-heated and served", "171:40", "chicken/2")
    lots.pulled("172:10", "chicken/3")
    with pytest.raises(NotSo, match="discard"):
        lots.became("re-heated and served", "172:20", "chicken/3")


def test_a_thermometer_that_fails_its_check_takes_what_it_proved():
    lots = Lots()
    lots.made()
    lots.read("166F", "12:48", instrument="probe 2")
    off = Checked("c1", "probe 2", at("12:49"), "Ben", Decimal("35.5"), Decimal(32), "F", "F")
    lots.write(ProbeChecked(off), "12:49", id="c1")
    with pytest.raises(NotSo, match="failed its check"):
        lots.became("cooked", "12:50")


def test_an_entry_says_what_is_lacking_of_its_lot():
    lots = Lots()
    for body in (LotMarked("x", lots.day.date()), ChilledBy("x", "ice", 40)):
        with pytest.raises(NotSo, match="Make the lot first"):
            lots.write(body, "12:00")
    lots.made()
    with pytest.raises(NotSo, match="another name"):
        lots.made("12:10")
    with pytest.raises(NotSo, match="pulled from a chilled lot"):
        lots.pulled("12:10")
    lots.became("discarded", "12:30")
    with pytest.raises(NotSo, match="cannot become"):
        lots.became("cooked", "12:40")


def test_without_a_food_or_without_rules_nothing_is_proved():
    lots = Lots()
    lots.made(food=None)
    lots.read("170F", "12:48")
    with pytest.raises(NotSo, match="no verdict"):
        lots.became("cooked", "12:50")
    free = Lots(rules=None)
    free.made()
    free.read("170F", "12:48")
    with pytest.raises(NotSo, match="no verdict"):
        free.became("cooked", "12:50")
    told = free.keeping.lot("chicken")
    assert told.verdicts == () and free.keeping.watched().rules == ""
    assert [way.to for way in told.ways if way.lacks == ()] == ["discarded"]
    free.became("discarded", "12:55")


def test_what_cools_is_watched_with_its_next_look_and_its_stair():
    lots = Lots()
    lots.made()
    lots.read("166F", "12:48")
    lots.became("cooked", "12:50")
    lots.became("cooling", "12:55")
    lots.read("135F", "13:00", "warmest")
    (told,) = lots.keeping.watched().lots
    assert told.cooling_since_s == 13 * 3600
    assert told.next_look_s == 14 * 3600
    assert [(one.at_s / 3600, one.F, one.C) for one in told.stair] == [(15, 70, 21), (19, 41, 5)]
    assert "how it is chilled" in told.not_foreseen
    lots.write(ChilledBy("chicken", "covered", 60), "13:01")
    (told,) = lots.keeping.watched().lots
    assert told.foreseen.points[0] == (13 * 3600, pytest.approx(57.2, abs=0.1))
    warmest_C = [of_C for _, of_C in told.foreseen.points]
    assert warmest_C == sorted(warmest_C, reverse=True) and warmest_C[-1] < 10
    assert "Split it" in told.foreseen.warnings[0], (
        "a thick piece under a lid comes too late, and is told in time"
    )
    lots.write(ChilledBy("chicken", "ice", 20), "13:02")
    (told,) = lots.keeping.watched().lots
    assert told.foreseen.warnings == ()
    assert all(one.answer == "unproven" for one in told.verdicts[1:3]), "a curve proves nothing"


STATES = sorted({to for _, to in ARROWS})
ACTS = st.one_of(
    st.tuples(st.just("read"), st.sampled_from([30, 38, 41, 42, 60, 70, 71, 134, 135, 164, 165, 170]),
              st.sampled_from(["coldest", "warmest"]), st.sampled_from(["lot", "part"])),
    st.tuples(st.just("became"), st.sampled_from(STATES), st.just(""), st.sampled_from(["lot", "part"])),
    st.tuples(st.just("pulled"), st.just(0), st.just(""), st.just("part")),
)  # fmt: skip


@settings(deadline=None, max_examples=150)
@given(st.lists(st.tuples(ACTS, st.sampled_from([1, 20, 60, 120, 300])), max_size=25))
def test_no_sequence_of_entries_serves_what_was_not_heated_through(acts):
    """Before anybody is served the lot has a reading of its coldest part of 165 °F or more."""
    lots, minutes = Lots(), 0
    lots.made("0:00", "lot")
    hottest: dict[str, int] = {"lot": 0, "part": 0}
    for (act, value, point, lot), wait in acts:
        minutes += wait
        when = f"{minutes // 60}:{minutes % 60:02}"
        try:
            if act == "read":
                lots.read(f"{value}F", when, point, lot)
                if point == "coldest":
                    hottest[lot] = max(hottest[lot], value)
            elif act == "pulled":
                lots.write(Pulled("part", "lot", "1"), when)
            else:
                lots.became(value, when, lot)
                if value in SERVED or value in ("cooked", "chilled", "re-heated and held"):
                    assert hottest["lot"] >= 165
        except NotSo:
            continue


def made_and_read(value="166F"):
    lots = Lots()
    lots.made()
    lots.read(value, "12:48", place="thigh")
    return lots


def correct(lots, of, value, when, second=""):
    now = next(one for one in lots.keeping.export() if one.id == of).body.reading
    changed = replace(now, value=Decimal(value[:-1]), unit=value[-1], id="")
    return lots.write(Corrected(of, changed, "misread", second), when)


def off(lots, shown, when, instrument="probe 1"):
    checked = Checked("c", instrument, at(when), "Ben", Decimal(shown), Decimal(32), "F", "F")
    lots.write(ProbeChecked(checked), when)


def test_a_failing_reading_is_not_corrected_away_alone():
    """To what no food can read, to another unit, by a thermometer that failed: by two people only."""
    for value in ("950F", "150C"):
        lots = made_and_read("150F")
        with pytest.raises(NotSo, match="second person"):
            correct(lots, "entry-0002", value, "12:50")
    lots = made_and_read()
    off(lots, "35.5", "12:49")
    with pytest.raises(NotSo, match="second person"):
        correct(lots, "entry-0002", "170F", "12:50")
    correct(lots, "entry-0002", "170F", "12:51", second="Ana")


@pytest.mark.parametrize("spoil", ["check", "correction"])
def test_what_was_proved_and_is_no_longer_goes_to_nobody(spoil):
    lots = made_and_read()
    lots.became("cooked", "12:50")
    if spoil == "check":
        off(lots, "35.5", "12:52")
    else:
        correct(lots, "entry-0002", "140F", "12:52")
    with pytest.raises(NotSo, match="cooked is"):
        lots.became("served", "12:55")
    lots.became("discarded", "12:56")


def test_portions_fall_with_the_lot_they_are_from():
    lots = Lots()
    lots.chilled()
    lots.pulled("19:30")
    correct(lots, "entry-0002", "120F", "19:35")
    with pytest.raises(NotSo, match="cooked is"):
        lots.became("re-heated and served", "19:40", "chicken/1")
    other = Lots()
    other.chilled()
    other.pulled("19:30")
    other.became("discarded", "19:35")
    with pytest.raises(NotSo, match="was discarded"):
        other.became("re-heated and served", "19:40", "chicken/1")
    with pytest.raises(NotSo, match="nothing is made of it"):
        other.write(LotMade("soup", "half_chicken", "1", ("chicken",), "poultry"), "19:45")


def test_one_hot_reading_does_not_hold_for_a_day():
    lots = made_and_read()
    lots.became("cooked", "12:50")
    lots.became("held hot", "12:55")
    lots.read("140F", "13:00")
    lots.became("served", "16:55")
    late = made_and_read()
    late.became("cooked", "12:50")
    late.became("held hot", "12:55")
    late.read("140F", "13:00")
    with pytest.raises(NotSo, match="not read for over 4 h"):
        late.became("served", "17:01")


def test_a_lot_that_got_warm_in_the_cold_is_told_and_goes_to_nobody():
    lots = Lots()
    lots.chilled()
    lots.read("70F", "20:00", "warmest")
    lots.pulled("20:30")
    assert "HH1C" in {one.rule for one in lots.keeping.lot("chicken/1").verdicts if one.answer == "fail"}
    with pytest.raises(NotSo, match="kept cold: fail"):
        lots.became("re-heated and served", "20:40", "chicken/1")
    with pytest.raises(NotSo, match="kept cold: fail"):
        lots.became("served", "20:45")


def test_what_was_read_before_a_lot_was_made_is_not_of_it():
    lots = Lots()
    lots.read("170F", "11:30")
    lots.made("12:00")
    with pytest.raises(NotSo, match="unproven"):
        lots.became("cooked", "12:10")
    with pytest.raises(NotSo, match="made after that"):
        lots.became("discarded", "11:00")


def test_cooling_that_a_failed_check_took_back_is_not_told_as_met():
    lots = Lots()
    lots.chilled()
    off(lots, "29.0", "19:05")
    told = lots.keeping.lot("chicken")
    assert [one.answer for one in told.verdicts if one.section.startswith("3-501.14")] == ["unproven"]


def test_australia_adds_up_every_time_out():
    """The 2 h / 4 h guide to Standard 3.2.2: 1 h 55 twice is 3 h 50, and no way back into the cold."""
    lots = Lots("australia")
    lots.chilled_by("60C", "21C", "5C")
    lots.became("time-controlled", "19:30")
    lots.became("chilled", "21:25")
    lots.became("time-controlled", "21:30")
    with pytest.raises(NotSo, match="3 h 50 min"):
        lots.became("chilled", "23:25")


def test_portions_are_pulled_once_and_a_mark_is_not_moved_on():
    lots = Lots()
    lots.chilled()
    lots.pulled("19:30")
    with pytest.raises(NotSo, match="left the cold already"):
        lots.pulled("22:30", "chicken/2", "chicken/1")
    lots.write(LotMarked("chicken", lots.day.date().replace(day=4)), "19:40")
    lots.write(LotMarked("chicken", lots.day.date().replace(day=8)), "19:41")
    assert lots.keeping.lot("chicken").last_day == "2026-06-04"


def test_an_id_says_one_thing_only():
    lots = made_and_read()
    with pytest.raises(NotSo, match="says something else"):
        lots.write(LotMade("other", "half_chicken", "1"), "13:00", id="entry-0001")


def test_proofs_are_worked_out_anew_when_another_wrote_meanwhile():
    """Two boards on one log: a colder reading comes between what proves a lot and its entry."""
    lots = made_and_read()
    other = kept(lots.log, lambda: (lots.now - lots.day).total_seconds(), lots.day)
    real, first = lots.keeping._book.write, []

    def write(record, known=None):
        if not first:
            first.append(True)
            one = next(r for r in lots.keeping.export() if r.id == "entry-0002").body.reading
            colder = replace(one, id="late", value=Decimal(120), at=at("12:49"))
            other.write(Record("late", "Ana", "t", at("12:49"), at("12:49"), -240, ReadingTaken(colder)))
        return real(record, known)

    lots.keeping._book.write = write
    with pytest.raises(NotSo, match="fail"):
        lots.became("cooked", "12:50")


def test_only_lots_that_are_not_over_are_watched_however_many_there_were():
    lots = Lots()
    for n in range(30):
        lots.made(f"12:{n:02}", f"old {n}")
        lots.became("discarded", f"13:{n:02}", f"old {n}")
    lots.made("14:00")
    assert [one.lot for one in lots.keeping.watched().lots] == ["chicken"]
    again = kept(lots.log, lambda: (lots.now - lots.day).total_seconds(), lots.day)
    assert [one.lot for one in again.watched().lots] == ["chicken"], "also by one that reads them all at once"
    assert lots.keeping.lot("old 3").state == "discarded"
