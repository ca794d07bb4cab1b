"""Records: chained, corrected by new entries, doubted where a probe failed; nothing altered goes unseen."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from hashlib import sha256

import pytest

from hearthtide.safety.probe_check import Checked
from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.verdicts import cook_verdict
from hearthtide.service.log import Entry, MemoryLog
from hearthtide.service.records.book import Book, Tampered, says
from hearthtide.service.records.chain import Head, Walk, against, checked, read
from hearthtide.service.records.entries import (
    Closed,
    Corrected,
    Deviation,
    LotMade,
    ProbeChecked,
    ReadingTaken,
    Record,
)
from hearthtide.service.records.ledger import Ledger, NotSo, accepted, found, judged
from read_by_hand import at
from read_by_hand import read as reading

FDA = rule_set("us-fda-2022")


def record(id, body, person="Ben", when="18:00", late_min=0):
    then = at(when)
    return Record(id, person, "tablet at the pass", then, then + timedelta(minutes=late_min), -240, body)


def poultry(readings):
    return cook_verdict(FDA, "poultry", readings)


@pytest.fixture
def written():
    """A book of five entries, and its log."""
    log = MemoryLog()
    book = Book(log, FDA)
    book.write(record("a", LotMade("lot 1", "half chicken", "12 halves")))
    for n, value in enumerate(("150F", "160F", "166F")):
        book.write(record(f"r-{n}", ReadingTaken(reading(value, f"18:0{n}")), when=f"18:0{n}"))
    book.write(record("d", Deviation("lot 1", "CK1", "150 °F, not cooked")))
    return book, log


def test_what_is_written_is_read_back_and_a_repeat_changes_nothing(written):
    book, log = written
    whole = book.read()
    assert whole.broken is None
    assert [one.id for one in whole.records] == ["a", "r-0", "r-1", "r-2", "d"]
    assert book.write(whole.records[2]) == whole.head
    assert len(log.read()) == 5
    with pytest.raises(NotSo, match="there already"):
        book.write(record("a", LotMade("lot 1", "half chicken", "13 halves")))


def test_two_books_on_one_log_read_on_what_the_other_wrote(written):
    book, log = written
    other = Book(log, FDA)
    other.write(record("x", LotMade("lot 2", "wings", "4 kg")))
    book.write(record("y", LotMade("lot 3", "wings", "4 kg")))
    assert [one.id for one in other.read().records][-2:] == ["x", "y"]
    assert other.read().broken is None


def test_every_single_byte_that_is_altered_is_found_and_located(written):
    """All bytes of all entries, one by one; at least as early as its own entry, and never after the next."""
    _, log = written
    entries = log.read()
    for n, entry in enumerate(entries):
        for k in range(len(entry.body)):
            other = "0" if entry.body[k] != "0" else "1"
            altered = entry.body[:k] + other + entry.body[k + 1 :]
            spoilt = (*entries[:n], replace(entry, body=altered), *entries[n + 1 :])
            broken = read(spoilt).broken
            assert broken is not None and broken.seq == n + 1, (n, k, broken)


def test_an_entry_taken_out_put_in_or_changed_over_shows_where(written):
    _, log = written
    entries = list(log.read())
    assert read([*entries[:2], *entries[3:]]).broken.seq == 3
    renumbered = [Entry(n + 1, one.id, one.body) for n, one in enumerate([*entries[:2], *entries[3:]])]
    assert read(renumbered).broken.seq == 3
    swapped = [entries[0], replace(entries[2], seq=2), replace(entries[1], seq=3), *entries[3:]]
    assert read(swapped).broken.seq == 2
    renamed = [replace(entries[0], id="b"), *entries[1:]]
    assert read(renamed).broken.seq == 1


def test_a_cut_end_and_a_chain_written_anew_show_against_a_head_that_was_kept(written):
    book, log = written
    head = book.read().head
    assert against(log.read(), head) is None
    assert read(log.read()[:3]).broken is None, "alone it cannot be seen"
    assert "cut off" in against(log.read()[:3], head).words
    anew = MemoryLog()
    other = Book(anew, FDA)
    for n in range(6):
        other.write(record(f"n-{n}", LotMade(f"lot {n}", "wings", "4 kg")))
    assert against(anew.read(), head).seq == 5
    assert Head(5, head.hash).words == head.words


def test_a_reading_altered_after_a_book_checked_it_is_not_corrected(written):
    book, log = written
    there = log.by_id("r-0")
    log._by_id["r-0"] = replace(there, body=there.body.replace('"value":"150"', '"value":"140"'))
    with pytest.raises(Tampered, match="entry 2"):
        book.write(record("c", Corrected("r-0", reading("145F", "18:00"), "misread"), when="18:40"))


def test_a_book_holds_what_it_is_asked_about_and_all_that_is_no_reading(written):
    book, _ = written
    assert [one.id for one in book.about(says("id", "r-1")).records] == ["a", "r-1", "d"]
    assert [one.id for one in book.about(lambda _: False).records] == ["a", "d"]
    assert len(book.about(says("lot", "lot 1")).records) == 5


def test_a_correction_for_the_worse_is_told_by_the_reading_it_corrects_alone(written):
    book, log = written
    with pytest.raises(NotSo, match="second person"):
        book.write(record("c", Corrected("r-0", reading("165F", "18:00"), "misread"), when="18:40"))
    book.write(record("c", Corrected("r-0", reading("149F", "18:00"), "misread"), when="18:40"))
    assert Book(log, FDA).read().records[-1].id == "c"
    with pytest.raises(NotSo, match="no reading here"):
        book.write(record("e", Corrected("d", reading("149F", "18:00"), "misread"), when="18:40"))


def test_an_entry_that_no_version_reads_is_named_though_its_bytes_are_whole(written):
    book, log = written
    head, foreign = book.read().head, '{"id":"z","offset_min":0,"body":{"kind":"dream"}}'
    foreign = foreign.replace('"id"', '"at":"2026-06-02T18:00:00Z","id"')
    link = sha256(f"{head.hash}\n6\n{foreign}".encode()).hexdigest()
    log.append("z", f"{head.hash}{link}{foreign}", 5)
    end, broken = checked(Walk(log.lines()))
    assert end.count == 6 and broken.seq == 6 and "of another version" in broken.words
    assert Book(log, FDA).read().broken == broken


def test_nothing_is_written_behind_what_was_tampered_with(written):
    _, log = written
    body = log.read()[1].body.replace('"value":"150"', '"value":"165"')
    spoilt = MemoryLog()
    for entry in log.read():
        spoilt.append(entry.id, body if entry.seq == 2 else entry.body, entry.seq - 1)
    with pytest.raises(Tampered, match="entry 2"):
        Book(spoilt, FDA).write(record("z", LotMade("lot 9", "wings", "4 kg")))


def test_16_a_slip_of_the_finger_is_kept_and_its_correction_needs_a_second_person():
    """615 typed for 165 at 18:02, noticed at 18:40."""
    ledger = accepted(Ledger(), record("r", ReadingTaken(reading("615F", "18:02"))), FDA)
    assert judged(ledger, FDA, "lot 1", poultry).answer == "unproven"
    right = Corrected("r", reading("165F", "18:02"), "typed 615")
    with pytest.raises(NotSo, match="second person"):
        accepted(ledger, record("c", right, when="18:40"), FDA)
    with pytest.raises(NotSo, match="second person"):
        accepted(ledger, record("c", replace(right, second="Ben"), when="18:40"), FDA)
    mended = accepted(ledger, record("c", replace(right, second="Ana"), when="18:40"), FDA)
    assert judged(mended, FDA, "lot 1", poultry).passes
    assert mended.one("r").body.reading.value == 615, "the old value stays"
    assert [one.id for one in mended.corrections("r")] == ["c"]


def test_a_correction_for_the_worse_needs_nobody_and_one_of_the_hour_does():
    ledger = accepted(Ledger(), record("r", ReadingTaken(reading("166F", "18:02"))), FDA)
    worse = accepted(ledger, record("c", Corrected("r", reading("156F", "18:02"), "misread")), FDA)
    assert judged(worse, FDA, "lot 1", poultry).answer == "fail"
    with pytest.raises(NotSo, match="second person"):
        accepted(ledger, record("c", Corrected("r", reading("166F", "17:02"), "the clock")), FDA)


def test_a_correction_onto_a_limit_and_just_beyond_it_both_need_a_second_person():
    """Scotland's "above 63 °C" (SSI 2006/3 schedule 4) is not met at 63 °C; roasts begin at 130 °F."""
    for rules, was, now in (
        (rule_set("scotland"), "63.0C", "63.1C"),
        (FDA, "129F", "130F"),
        (FDA, "134F", "135F"),
    ):
        ledger = accepted(Ledger(), record("r", ReadingTaken(reading(was, "18:02"))), rules)
        with pytest.raises(NotSo, match="second person"):
            accepted(ledger, record("c", Corrected("r", reading(now, "18:02"), "misread")), rules)
        accepted(ledger, record("c", Corrected("r", reading("50F", "18:02"), "misread")), rules)


def test_what_is_corrected_or_closed_must_be_there():
    with pytest.raises(NotSo, match="no reading here"):
        accepted(Ledger(), record("c", Corrected("r", reading("165F", "18:02"), "why")), FDA)
    with pytest.raises(NotSo, match="no deviation here"):
        accepted(Ledger(), record("x", Closed("d", "cause", "control", "prevention", "discarded")), FDA)


def test_a_deviation_is_closed_with_all_four_said(written):
    book, _ = written
    ledger = Ledger(book.read().records)
    assert [one.id for one in ledger.open_deviations()] == ["d"]
    for lacks in range(4):
        said = ["cold stone", "flame up", "probe sooner", "cooked on"]
        said[lacks] = ""
        with pytest.raises(ValueError, match="at least 1 character"):
            Closed("d", *said)
    closed = accepted(
        ledger, record("x", Closed("d", "cold stone", "flame up", "probe sooner", "cooked on")), FDA
    )
    assert closed.open_deviations() == ()


def test_a_probe_that_failed_takes_passes_back_to_its_last_good_check():
    """4-203.11, and a reference's rule that a known error removes a pass and creates none."""

    def checked(id, when, shown):
        body = ProbeChecked(Checked(id, "probe 1", at(when), "Ana", Decimal(shown), Decimal(32), "F", "both"))
        return record(id, body, "Ana", when)

    cooked = record("r", ReadingTaken(reading("166F", "18:00")))
    good, bad = checked("k1", "9:00", "32.5"), checked("k2", "20:00", "33.9")
    assert judged(Ledger((good, cooked)), FDA, "lot 1", poultry).passes
    assert judged(Ledger((good, cooked, bad)), FDA, "lot 1", poultry).answer == "unproven"
    later = checked("k3", "19:00", "32.5")
    assert judged(Ledger((good, cooked, later, bad)), FDA, "lot 1", poultry).passes
    raw = record("r", ReadingTaken(reading("160F", "18:00")))
    low = checked("k4", "20:00", "22")
    assert judged(Ledger((raw, low)), FDA, "lot 1", poultry).answer == "fail", "ten degrees low make no pass"


def test_last_tuesday_s_chicken_is_found_by_its_dish(written):
    book, _ = written
    ledger = Ledger(book.read().records)
    assert [one.id for one in found(ledger, "chicken", date(2026, 6, 2))] == ["a", "r-0", "r-1", "r-2", "d"]
    assert found(ledger, "chicken", date(2026, 6, 3)) == ()
    assert [one.id for one in found(ledger, "ben probe", None)] == ["r-0", "r-1", "r-2"]


def test_an_entry_written_long_after_says_so():
    assert not record("r", ReadingTaken(reading("166F", "18:00")), late_min=15).late
    assert record("r", ReadingTaken(reading("166F", "18:00")), late_min=16).late
