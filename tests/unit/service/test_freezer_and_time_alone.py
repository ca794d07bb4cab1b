"""Freezing, written procedures for time alone, a stopped first heat, cold food that nobody read, noted rules.

The days are those of the reference's scenario 13: cooked on 1 October, frozen on the 3rd, thawed on the 10th:
the 13th is the last day where every thawed date counts (3-501.18(A)(1)), and 14 October by one state's own
example, whose way of counting is not this one. Time alone: 3-501.19(A) and (B).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from hearthtide.house.rules_file import RulesFile
from hearthtide.safety.par_cook import Procedure
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.rules import ColdReads
from hearthtide.service.records.chain import record_of
from hearthtide.service.records.entries import (
    RECORD,
    FreezerMoved,
    LotMarked,
    ProcedureKept,
    Record,
    TimeMarked,
)
from hearthtide.service.records.keeping import Keeping
from hearthtide.service.records.ledger import NotSo
from hearthtide.service.records.rules_noted import noted_rules, rules_entry, rules_sha256
from hearthtide.service.records.told import Place
from kept_lots import WEST_MIN, Lots, house_by

OCTOBER = datetime(2026, 10, 1, tzinfo=UTC)
OWN_READS = {
    "id": "own-reads", "what": "cold reads", "section": "house plan 4", "severity": "block", "known": "own",
    "words": "The walk-in is read every four hours.", "every_s": 4 * 3600,
    "override": {"who": "Ana", "on": "2026-05-01", "why": "the house's own plan"},
}  # fmt: skip


def clock(day: int, hour: int) -> str:
    """An hour of a day of October by UTC; the place is four hours behind."""
    return f"{(day - 1) * 24 + hour}:00"


def frozen(*marks: tuple[int, date], out: int = 10) -> Lots:
    """Scenario 13, with last days written on it on these days of October."""
    lots = Lots(day=OCTOBER)
    lots.chilled()
    acts = [(3, FreezerMoved("chicken", "in")), (out, FreezerMoved("chicken", "out"))]
    acts += [(day, LotMarked("chicken", last)) for day, last in marks]
    for day, body in sorted(acts, key=lambda one: one[0]):
        lots.write(body, clock(day, 20))
    return lots


def day_of(lots: Lots, day: int) -> str:
    """What is said of its days on a day of October, at 16:00 of the place."""
    lots.now = OCTOBER + timedelta(days=day - 1, hours=20)
    told = lots.keeping.lot("chicken")
    assert told is not None
    return next(one.answer for one in told.verdicts if one.rule == "DM1")


def test_the_freezer_stops_the_days_and_a_new_mark_stands_for_the_old() -> None:
    lots = frozen((1, date(2026, 10, 7)), (10, date(2026, 10, 13)))
    assert day_of(lots, 13) == "pass"
    assert day_of(lots, 14) == "fail"
    lots.became("served", clock(13, 21))
    assert lots.keeping.lot("chicken").state == "served"  # type: ignore[union-attr]


def test_the_old_mark_alone_and_one_a_day_too_far_are_no_good() -> None:
    assert day_of(frozen((1, date(2026, 10, 7))), 11) == "fail", "past its own mark"
    too_far = frozen((1, date(2026, 10, 7)), (10, date(2026, 10, 14)))
    assert day_of(too_far, 12) == "fail", "wrongly marked"


def test_what_went_in_unmarked_is_held_for_a_person() -> None:
    """Scenario 13: unmarked at freezing, hold."""
    assert day_of(frozen((10, date(2026, 10, 13))), 12) == "unproven"


def test_in_the_freezer_nothing_is_served_or_pulled() -> None:
    lots = Lots(day=OCTOBER)
    lots.chilled()
    lots.write(LotMarked("chicken", date(2026, 10, 7)), clock(2, 20))
    lots.write(FreezerMoved("chicken", "in"), clock(3, 20))
    told = lots.keeping.lot("chicken")
    assert told is not None and told.frozen
    with pytest.raises(NotSo, match="frozen"):
        lots.became("served", clock(4, 20))
    with pytest.raises(NotSo, match="freezer"):
        lots.pulled(clock(4, 21))


def test_the_freezer_takes_what_is_chilled_once_and_gives_what_is_in_it() -> None:
    lots = Lots(day=OCTOBER)
    lots.made()
    with pytest.raises(NotSo, match="raw"):
        lots.write(FreezerMoved("chicken", "in"), "12:10")
    other = Lots(day=OCTOBER)
    other.chilled()
    with pytest.raises(NotSo, match="not in the freezer"):
        other.write(FreezerMoved("chicken", "out"), "20:00")
    other.write(FreezerMoved("chicken", "in"), "20:00")
    with pytest.raises(NotSo, match="already"):
        other.write(FreezerMoved("chicken", "in"), "21:00")
    with pytest.raises(NotSo, match="nobody"):
        other.write(FreezerMoved("no lot", "in"), "21:00")


def on_time(procedure: str | None = "09:00", until: str | None = "24:00") -> Lots:
    """Held hot at 136 °F, leaving its heat at 20:00, with a procedure and a mark or without."""
    lots = Lots()
    if procedure is not None:
        lots.write(ProcedureKept("time alone", "TP-1, blue folder"), procedure)
    lots.made(when="12:00")
    lots.read("166F", "12:48")
    lots.became("cooked", "12:50")
    lots.read("136F", "19:50", "warmest")
    if until is not None:
        hours, minutes = map(int, until.split(":"))
        lots.write(TimeMarked("chicken", lots.day + timedelta(hours=hours, minutes=minutes)), "19:55")
    lots.became("time-controlled", "20:00")
    return lots


def test_time_alone_runs_by_a_procedure_kept_before_and_its_mark() -> None:
    """3-501.19(B): four hours from 135 °F or above; used by its mark."""
    on_time().became("served", "24:00")
    late = on_time()
    with pytest.raises(NotSo, match="mark"):
        late.became("served", "24:01")
    early = on_time(until="22:00")
    with pytest.raises(NotSo, match="past its own mark"):
        early.became("served", "22:01")


@pytest.mark.parametrize(
    ("procedure", "until", "said"),
    [
        (None, "24:00", "no written procedure"),
        ("19:59", None, "bears no time"),
        ("9:00", "24:01", "not marked within 4 h"),
    ],
)
def test_without_its_procedure_or_with_a_wrong_mark_time_alone_is_refused(procedure, until, said) -> None:
    with pytest.raises(NotSo, match=said):
        on_time(procedure, until)


def test_a_procedure_that_was_written_down_afterwards_is_none() -> None:
    """Prepared in advance, 3-501.19(A): told as of the morning, entered a minute after the food left."""
    lots = on_time()
    when = lots.day + timedelta(hours=9)
    entered = lots.day + timedelta(hours=20, minutes=1)
    anew = Lots()
    anew.keeping.write(
        Record("p", "Ben", "tablet", when, entered, WEST_MIN, ProcedureKept("time alone", "TP-1"))
    )
    anew.made()
    anew.read("166F", "12:48")
    anew.became("cooked", "12:50")
    anew.read("136F", "19:50", "warmest")
    anew.write(TimeMarked("chicken", anew.day + timedelta(hours=24)), "19:55")
    with pytest.raises(NotSo, match="no written procedure"):
        anew.became("time-controlled", "20:00")


def with_rules(**rules) -> Lots:
    """Records of the invented house, by rules of its own besides the set."""
    lots = Lots()
    house = house_by()
    chosen = RulesFile.model_validate({"set": "us-fda-2022", **rules})
    house = house.model_copy(update={"file": house.file.model_copy(update={"rules": chosen})})
    place = Place(lots.day, lambda _: WEST_MIN)
    lots.keeping = Keeping(lots.log, house, place, lambda: lots.now)
    return lots


def test_no_set_that_is_shipped_says_how_often_cold_food_is_read() -> None:
    assert all(not rule_set(name).of(ColdReads) for name in rule_set_names())
    lots = Lots()
    lots.chilled()
    lots.became("served", "38:00")  # a day later, never read in the cold: no set holds that up


def test_by_a_house_s_own_rule_cold_food_that_nobody_read_is_held_up() -> None:
    lots = with_rules(own=[OWN_READS])
    lots.chilled()  # at 19:01
    lots.read("40F", "23:01", "warmest")
    lots.now = lots.day + timedelta(hours=27, minutes=1)
    told = lots.keeping.lot("chicken")
    assert told is not None
    assert {one.rule: one.answer for one in told.verdicts}["own-reads"] == "pass"
    with pytest.raises(NotSo, match="not read for 4 h"):
        lots.became("served", "27:02")
    lots.read("40F", "28:00", "warmest")
    with pytest.raises(NotSo, match="not read for 4 h"):  # the gap stays one
        lots.became("served", "28:01")
    lots.became("discarded", "28:02")


def test_a_house_s_own_rule_that_is_a_notice_tells_and_holds_nothing_up() -> None:
    lots = with_rules(own=[OWN_READS | {"severity": "notice"}])
    lots.chilled()
    lots.now = lots.day + timedelta(hours=26)
    told = lots.keeping.lot("chicken")
    assert told is not None and "not read for" in " ".join(one.words for one in told.verdicts)
    lots.became("served", "26:01")


def test_a_first_heat_is_stopped_by_the_house_s_procedure_within_its_hour() -> None:
    """3-401.14(A): no longer than 60 minutes; prior approval."""
    paper = Procedure("PC-7", "county", date(2026, 3, 1))
    for minutes, may in ((60, True), (61, False)):
        lots = with_rules(par_cook=paper.__dict__ | {"approved_on": "2026-03-01"})
        lots.made("12:00")
        end = f"{12 + minutes // 60}:{minutes % 60:02}"
        if may:
            lots.became("par-cooked", end)
            told = lots.keeping.lot("chicken")
            assert told is not None and told.state == "par-cooked"
            assert "PC-7" in " ".join(one.words for one in told.verdicts)
        else:
            with pytest.raises(NotSo, match="is the limit"):
                lots.became("par-cooked", end)
    locked = Lots()
    locked.made("12:00")
    with pytest.raises(NotSo, match="locked"):
        locked.became("par-cooked", "12:30")


def test_the_rules_stand_in_the_records_once_and_come_back_as_they_were() -> None:
    lots = with_rules(own=[OWN_READS])
    lots.keeping.note_rules("Ana", "tablet")
    lots.keeping.note_rules("Ana", "tablet")
    (record,) = lots.keeping.export()
    rules = lots.keeping.rules
    assert rules is not None and record.body == rules_entry(rules)
    bodies = [body for body in lots.keeping.walk()]
    assert noted_rules(bodies, rules_sha256(rules)) == rules
    assert noted_rules(bodies, rules_sha256(rule_set("us-fda-2022"))) is None
    other = with_rules()
    other.log, other.keeping = (
        lots.log,
        Keeping(lots.log, house_by(), Place(lots.day, lambda _: WEST_MIN), lambda: lots.now),
    )
    other.keeping.note_rules("Ana", "tablet")
    assert len(other.keeping.export()) == 2


@pytest.mark.parametrize("name", rule_set_names())
def test_every_set_is_written_and_read_back_the_same(name) -> None:
    rules = rule_set(name)
    then = datetime(2026, 6, 2, tzinfo=UTC)
    text = RECORD.dump_json(Record("r", "Ana", "tablet", then, then, 0, rules_entry(rules))).decode()
    again = record_of(1, text)
    assert isinstance(again, Record) and again.body.rules == rules  # type: ignore[union-attr]
    assert rules_sha256(again.body.rules) == rules_sha256(rules)  # type: ignore[union-attr]
