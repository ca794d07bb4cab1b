"""What is quick says the same as what is plain: lines of the table, searching, walking along the chain."""

import csv
import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from io import StringIO

from hypothesis import given
from hypothesis import strategies as st

from hearthtide.safety.probe_check import Checked
from hearthtide.safety.readings import Reading, local_date
from hearthtide.safety.rule_sets import rule_set
from hearthtide.service.commands import plain_text
from hearthtide.service.log import Entry
from hearthtide.service.records.chain import EMPTY, TEXT, Head, Walk, checked, read, sealed
from hearthtide.service.records.entries import (
    RECORD,
    Closed,
    Corrected,
    Deviation,
    FreezerMoved,
    LotMade,
    ProbeChecked,
    ProcedureKept,
    ReadingTaken,
    Record,
    TimeMarked,
)
from hearthtide.service.records.ledger import Ledger, found
from hearthtide.service.records.rules_noted import rules_entry
from hearthtide.service.records.search import sought
from hearthtide.service.records.table import COLUMNS, line, parsed_line

START = datetime(2026, 6, 1, tzinfo=UTC)
# Few letters, so that words meet; among them what is escaped, quoted or taken for a formula, the Kelvin sign
# and the dotted I, which have plain letters in small, and a mark that is cut from what follows it.
WORDS = st.text(st.sampled_from('abkiKİKéß=+-@,"\\ \t\n:{}7\U0001f355'), min_size=1, max_size=6)
LOTS = st.sampled_from(["lot 1", "lot K", 'lot "é', "=lot,2"]) | WORDS
OFFSETS = st.integers(-1439, 1439)
INSTANTS = st.integers(0, 5 * 86400).map(lambda s: START + timedelta(seconds=s)) | st.datetimes(
    datetime(2026, 6, 1), datetime(2026, 6, 6), timezones=st.just(UTC)
)
VALUES = st.decimals(-400, 999, allow_nan=False, allow_infinity=False)
READINGS = st.builds(
    Reading,
    id=WORDS,
    lot=LOTS,
    at=INSTANTS,
    offset_min=OFFSETS,
    value=VALUES,
    unit=st.sampled_from("CF"),
    point=st.sampled_from(["coldest", "warmest", "air"]),
    instrument=WORDS,
    person=WORDS,
    place=st.just("") | WORDS,
    held_s=st.integers(0, 900),
)
CHECKS = st.builds(
    Checked, WORDS, WORDS, INSTANTS, WORDS, VALUES, VALUES, st.sampled_from("CF"), st.just("both")
)
BODIES = st.one_of(
    st.builds(ReadingTaken, READINGS),
    st.builds(ReadingTaken, READINGS),
    st.builds(LotMade, LOTS, WORDS, WORDS),
    st.builds(Corrected, WORDS, READINGS, WORDS, WORDS),
    st.builds(ProbeChecked, CHECKS),
    st.builds(Deviation, LOTS, WORDS, WORDS, st.tuples(WORDS)),
    st.builds(FreezerMoved, LOTS, st.sampled_from(["in", "out"])),
    st.builds(TimeMarked, LOTS, INSTANTS),
    st.builds(ProcedureKept, st.just("time alone"), WORDS),
    st.just(rules_entry(rule_set("us-fda-2022"))),
    st.builds(Closed, WORDS, WORDS, WORDS, WORDS, WORDS),
)
RECORDS = st.builds(Record, WORDS, WORDS, WORDS, INSTANTS, INSTANTS, OFFSETS, BODIES)


def text_of(record):
    return plain_text(RECORD.dump_python(record, mode="json"))


@given(RECORDS)
def test_a_line_cut_by_its_pattern_is_the_line_of_the_parsed_entry(record):
    assert line(text_of(record)) == parsed_line(text_of(record))


@given(RECORDS)
def test_a_line_read_as_a_table_gives_the_entry_back(record):
    """Python's own reader of such tables; a cell that would be a formula has one mark before it."""
    (cells,) = csv.reader(StringIO(line(text_of(record)), newline=""))
    row = dict(zip(COLUMNS, cells, strict=True))
    assert row["person"].removeprefix("'") == record.person.removeprefix("'")
    assert datetime.fromisoformat(row["at_utc"]) == record.at
    assert (row["late"] == "True") == record.late
    assert row["kind"] == record.body.kind
    if isinstance(record.body, ReadingTaken | Corrected):
        assert Decimal(row["read"]) == record.body.reading.value
        assert row["lot"].removeprefix("'") == record.body.reading.lot
    else:
        assert json.loads(row["body"]) == json.loads(text_of(record))["body"]


@given(st.lists(RECORDS, max_size=8), st.lists(WORDS, max_size=2), st.none() | st.integers(-1, 6))
def test_searching_texts_finds_what_searching_records_finds(records, words, day):
    asked = " ".join(words)
    on = None if day is None else (START + timedelta(days=day)).date()
    quick = found(sought(map(text_of, records), asked, on), asked, on)
    assert quick == found(Ledger(tuple(records)), asked, on)


@given(RECORDS)
def test_every_entry_is_found_on_its_day_by_its_person(record):
    text = (text_of(record),)
    on = local_date(record.at, record.offset_min)
    assert found(sought(text, record.person, on), record.person, on) == (record,)
    other = on + timedelta(days=1)
    assert found(sought(text, record.person, other), record.person, other) == ()


@given(st.lists(RECORDS, min_size=1, max_size=4), st.data())
def test_one_byte_altered_anywhere_is_found_and_located(records, data):
    head, entries = EMPTY, []
    for n, record in enumerate(records, 1):
        body, head = sealed(head, replace(record, id=f"{n} {record.id}"))
        entries.append((n, f"{n} {record.id}", body))
    whole = Walk(entries)
    assert checked(whole) == (head, None)
    assert checked(Walk(entries, EMPTY, head)) == (head, None)
    n = data.draw(st.integers(0, len(entries) - 1))
    k = data.draw(st.integers(0, len(entries[n][2]) - 1))
    seq, id, body = entries[n]
    byte = chr((ord(body[k]) + data.draw(st.integers(1, 94)) - 32) % 95 + 32)
    spoilt = [*entries[:n], (seq, id, body[:k] + byte + body[k + 1 :]), *entries[n + 1 :]]
    if byte == body[k]:
        return
    end, broken = checked(Walk(spoilt))
    assert broken is not None and broken.seq == seq and end.count == n
    assert read(Entry(*one) for one in spoilt).broken == broken


@given(st.lists(RECORDS, min_size=2, max_size=4))
def test_a_walk_goes_on_from_where_another_ended(records):
    head, entries = EMPTY, []
    for n, record in enumerate(records, 1):
        body, head = sealed(head, replace(record, id=f"{n} {record.id}"))
        entries.append((n, f"{n} {record.id}", body))
    first = Walk(entries[:1])
    assert [body[TEXT:] for body in first] == [entries[0][2][TEXT:]]
    assert checked(Walk(entries[1:], first.head)) == (head, None)
    end, broken = checked(Walk(entries, EMPTY, Head(len(entries) + 1, head.hash)))
    assert end == head and broken is not None and "cut off" in broken.words
