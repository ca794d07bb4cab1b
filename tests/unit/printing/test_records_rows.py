"""What stands on a print for an inspector: every value as it was read, the old beside the new, no praise."""

import hashlib
import json
import re
from dataclasses import replace
from datetime import date

import pytest

from hearthtide.printing.records_pdf import _page, records_pdf, shown, told
from hearthtide.printing.records_rows import check_rows, lot_blocks
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.service.log import MemoryLog
from hearthtide.service.records.chain import GENESIS
from hearthtide.service.records.entries import ReadingTaken
from hearthtide.service.records.listing import Asked, differences, listing
from kept_records import FDA, checked, local, reading, record, the_day, write

COOLED = Asked(step="cooled")
NOW = local("21:00")


def of(records, asked=COOLED, rules=FDA):
    book = write(MemoryLog(), records)
    return listing(book.walk(), asked, rules, NOW)


def words_of(value):
    if isinstance(value, str):
        return [value]
    inner = value.values() if isinstance(value, dict) else value
    return [words for one in inner for words in words_of(one)]


def row(found, lot, seq):
    (block,) = [one for one in lot_blocks(found) if one["name"] == lot]
    return next(one for one in block["rows"] if one["seq"] == seq)


def test_a_reading_stands_with_its_value_instrument_person_time_and_offset():
    one = row(of(the_day()), "wings Tuesday", "3")
    assert (one["at"], one["by"], one["who"]) == ("2026-06-02 14:00 -04:00", "probe 2", "Ben")
    assert one["part"] == "warmest, middle tray"
    assert one["read"] == [{"text": "135 °F", "style": "bold"}]


def test_a_correction_stands_beside_the_old_which_is_struck_through():
    found = of(the_day())
    old, new = {"text": "70 °F", "style": "old"}, {"text": "71 °F", "style": "bold"}
    first, then = row(found, "wings Tuesday", "5"), row(found, "wings Tuesday", "7")
    assert old in first["read"] and new in first["read"]
    assert "corrected by No. 7" in words_of(first["notes"])
    assert then["what"] == "correction of No. 5"
    assert old in then["notes"][0] and new in then["notes"][0]
    assert any("misread" in words and "Ana" in words for words in words_of(then["notes"]))


def test_what_was_written_late_what_is_open_and_how_it_was_closed_are_said():
    found = of(the_day())
    assert "late" in words_of(row(found, "wings Tuesday", "4")["notes"])
    assert "closed by No. 9" in words_of(row(found, "wings Tuesday", "8")["notes"])
    assert "open" in words_of(row(found, "dip Tuesday", "10")["notes"])
    closing = words_of(row(found, "wings Tuesday", "9")["notes"])
    assert {"pans stacked two high", "spread out in ice", "one layer of pans", "14 kg thrown away"} <= set(
        closing
    )


def test_a_verdict_names_its_section_and_the_entries_it_stands_on():
    """FDA Food Code 3-501.14(A)(1): from 135 to 70 °F within two hours; here 71 °F after 2 h 20 min."""
    (block,) = [one for one in lot_blocks(of(the_day())) if one["name"] == "wings Tuesday"]
    first = block["verdicts"][0]
    assert first["answer"] == "fail" and "3-501.14(A)(1)" in first["stands"]
    assert re.search(r"stands on No\. \d", first["stands"])


def test_a_failed_probe_takes_a_pass_from_the_print():
    """Reference scenario 15: 33.9 °F in ice slush on a thermometer of both scales fails (4-203.11)."""
    cooked = record("r", ReadingTaken(reading("r", "166F", "18:00", point="coldest")), "18:00")
    asked = Asked(step="cooked", food="poultry")
    good = of((checked("a", "9:00", "32.5"), cooked), asked)
    bad = of((checked("a", "9:00", "32.5"), cooked, checked("b", "20:00", "33.9")), asked)
    assert [one.verdict.answer for one in good.verdicts] == ["pass"]
    assert [one.verdict.answer for one in bad.verdicts] == ["unproven"]
    assert [(one["off"], one["answer"]) for one in check_rows(bad, FDA)] == [
        ("+0.5 °F", "pass"),
        ("+1.9 °F", "fail"),
    ]


def test_nothing_on_it_says_that_anything_is_safe_compliant_or_certified():
    caution = chosen_words(FDA)
    for rules in (FDA, None):
        found = of(the_day(), COOLED if rules else Asked(), rules)
        page = _page(found, rules, "Brindlecote", -240)
        words = " ".join(words_of({**page, "caution": ""})).lower()
        assert not re.search(r"\b(safe|compliant|complies|certif\w*|approv\w*)\b", words)
    assert caution in _page(of(the_day()), FDA, "", -240)["caution"]


@pytest.mark.parametrize(
    ("asked", "lots"),
    [
        (Asked(), ["wings Tuesday", "dip Tuesday"]),
        (Asked("wings"), ["wings Tuesday"]),
        (Asked("smoked"), ["wings Tuesday"]),
        (Asked("josé"), ["wings Tuesday"]),
        (Asked("dip", date(2026, 6, 2), date(2026, 6, 2)), ["dip Tuesday"]),
        (Asked("", date(2026, 6, 3)), []),
        (Asked("", None, date(2026, 6, 1)), []),
    ],
)
def test_whole_lots_are_listed_of_what_is_asked_for(asked, lots):
    found = of(the_day(), asked, None)
    assert list(found.lots) == lots
    if "wings Tuesday" in lots:
        ids = {one.record.id for one in found.entries}
        assert {"check-1", "lot-1", "r-1", "r-2", "r-3", "r-4", "c-1", "d-1", "x-1"} <= ids


def test_the_attached_list_is_hashed_and_linked_without_our_program():
    """SHA-256 (FIPS 180-4, Python's own) over the print's list, and over the chain of its entries."""
    found = of(the_day())
    made = records_pdf(found, FDA, "", "", -240)
    back = told(made)
    assert back is not None and back.head == found.head and back.now == NOW.isoformat()
    assert hashlib.sha256(back.listed.encode()).hexdigest() == back.sha256 == found.sha256
    lines = [json.loads(line) for line in back.listed.splitlines()]
    entries = sorted((one for one in lines if "entry" in one), key=lambda one: one["entry"])
    before = GENESIS
    for one in entries:
        assert one["before"] == before
        said = f"{before}\n{one['entry']}\n{one['record']}"
        before = hashlib.sha256(said.encode()).hexdigest()
        assert one["hash"] == before
    assert f"{len(entries)}:{before}" == back.head.words
    assert records_pdf(found, FDA, "", "", -240) == made, "the same list gives the same bytes"


def test_a_letter_that_the_fonts_lack_is_written_by_its_number_and_named():
    odd = the_day()[2]
    odd = replace(
        odd, body=ReadingTaken(replace(odd.body.reading, instrument="probe 食", person="Ελένη Жанна"))
    )
    page = shown(_page(of((odd,)), FDA, "", -240))
    words = words_of(page)
    assert "probe [U+98DF]" in words and "Ελένη Жанна" in words
    assert "[U+98DF]" in page["missing"]
    assert shown(_page(of(the_day()), FDA, "", -240))["missing"] == ""


def test_what_a_list_no_longer_agrees_with_is_named_on_both_sides():
    found = of(the_day())
    assert differences(found.lines(), found.lines()) == ()
    fewer = of(the_day()[:-1])
    apart = differences(found.lines(), fewer.lines())
    assert any("printed, and not so in the records" in one and "r-5" in one for one in apart)
    assert all("in the records, and not printed" in one or "not so in" in one for one in apart)


@pytest.mark.parametrize("made", [b"", b"%PDF-1.7\n%%EOF", b"no print", b"<dc:description>"])
def test_what_is_no_print_tells_nothing(made):
    assert told(made) is None
