"""`records`: readings written into a house's records, found again, checked for tampering, exported."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal, InvalidOperation
from itertools import islice
from json.encoder import encode_basestring_ascii
from pathlib import Path
from typing import cast

from rich.markup import escape

from hearthtide.cli.shared import err, out, print_json
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_house
from hearthtide.house.readings_file import take_readings
from hearthtide.safety.readings import Reading, Unit
from hearthtide.safety.rules import RuleSet
from hearthtide.service.log import Log
from hearthtide.service.records.book import LOG, Book
from hearthtide.service.records.chain import TEXT, WIDE, Head, checked
from hearthtide.service.records.entries import RECORD, Corrected, ReadingTaken, Record
from hearthtide.service.records.ledger import found
from hearthtide.service.records.search import sought
from hearthtide.service.records.table import HEADING, line
from hearthtide.service.records.told import body_words
from hearthtide.store.database import open_database

AT_ONCE = 200  # entries written out in one go; own choice
DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


@contextmanager
def opened(file: str) -> Iterator[Log]:
    """The records' log in a file, or behind the address of a PostgreSQL server."""
    with open_database(file) as database:
        yield database.log(LOG)


def run_add(file: str, table: Path, house: Path | None, device: str) -> bool:
    """Writes a table of readings down; True when every row was taken or stood there already."""
    readings, wrong = take_readings(table)
    for finding in wrong:
        err.print(f"Set aside: {escape(str(finding))}", soft_wrap=True)
    with opened(file) as log:
        book = Book(log, _rules(house))
        now, written, head = datetime.now(UTC), 0, book.head()
        for one in readings:
            id = id_of(one)
            if log.by_id(id) is not None:
                continue
            taken = ReadingTaken(replace(one, id=id))
            head = book.write(Record(id, one.person, device, one.at, now, one.offset_min, taken))
            written += 1
    out.print(f"{written} written, {len(readings) - written} stood there already, {len(wrong)} set aside.")
    out.print(
        f"The records end at [bold]{head.words}[/]. Keep that elsewhere: it shows if their end is cut off."
    )
    return not wrong


def id_of(one: Reading) -> str:
    said = (
        one.lot,
        one.at.isoformat(),
        str(one.value),
        one.unit,
        one.point,
        one.place,
        one.instrument,
        one.person,
    )
    return f"read-{hashlib.sha256('|'.join(said).encode()).hexdigest()[:20]}"


def value_of(text: str, field: str) -> tuple[Decimal, Unit]:
    """A temperature as it is typed, with its unit."""
    unit = text[-1:].upper()
    try:
        number = Decimal(text[:-1])
    except InvalidOperation:
        number = Decimal("NaN")
    if unit not in ("C", "F") or not number.is_finite():
        raise wrong(field, text, "a temperature such as 165F or 74.5C", "Write it so.")
    return number, cast(Unit, unit)


def run_find(file: str, words: str, day: str | None, json: bool) -> bool:
    """Prints the entries that have all the words; True when there are some and the chain is whole."""
    on = None if day is None else day_of(day, date.today())
    with opened(file) as log:
        walk = Book(log, None).walk()
        ledger = sought((body[TEXT:] for body in walk), words, on)
    if walk.broken is not None:
        err.print(f"[bold]Broken[/] at entry {walk.broken.seq}: {escape(walk.broken.words)}.", soft_wrap=True)
    entries = found(ledger, words, on)
    if json:
        print_json("records", {"entries": [RECORD.dump_python(one, mode="json") for one in entries]})
        return bool(entries) and walk.broken is None
    for one in entries:
        flags = "  [bold]written late[/]" if one.late else ""
        if ledger.corrections(one.id):
            flags += "  [bold]corrected[/]"
        out.print(f"{one.at + timedelta(minutes=one.offset_min):%Y-%m-%d %H:%M}  {escape(_line(one))}{flags}")
        out.print(f"                  [dim]{escape(one.person)}; {one.id}[/]")
    out.print(f"{len(entries)} entries, of {walk.head.count} that are as they were written.")
    return bool(entries) and walk.broken is None


def _line(record: Record) -> str:
    body = record.body
    if isinstance(body, ReadingTaken | Corrected):
        one = body.reading
        said = f"{one.lot}: {one.value} °{one.unit}, {one.point} {one.place}, {one.instrument}".replace(
            " ,", ","
        )
        return said if isinstance(body, ReadingTaken) else f"{said}, in place of {body.of}: {body.why}"
    lot = getattr(body, "lot", "")
    return f"{body.kind}: {lot + ': ' if lot else ''}{body_words(record)}"


def day_of(words: str, today: date) -> date:
    """The local date somebody means: `2026-06-02`, `today`, `yesterday`, `tuesday`, `last tuesday`.

    A day of the week is the last one before today.

    >>> day_of("last Tuesday", date(2026, 6, 4)).isoformat()
    '2026-06-02'
    """
    said = words.lower().removeprefix("last ").strip()
    if said in ("today", "yesterday"):
        return today - timedelta(days=said == "yesterday")
    if said in DAYS:
        return today - timedelta(days=(today.weekday() - DAYS.index(said) - 1) % 7 + 1)
    try:
        return date.fromisoformat(said)
    except ValueError:
        raise wrong(
            "--day", words, "a date or a day, such as 2026-06-02 or tuesday", "Write it so."
        ) from None


def run_check(file: str, kept: str | None, json: bool) -> bool:
    """Checks the chain of all entries, and a head that was noted elsewhere; True when both are whole."""
    noted = None if kept is None else _head(kept)
    with opened(file) as log:
        head, broken = checked(Book(log, None).walk(noted))
    if json:
        wrong = None if broken is None else {"entry": broken.seq, "words": broken.words}
        print_json("records check", {"entries": head.count, "head": head.words, "broken": wrong})
        return broken is None
    if broken is not None:
        out.print(f"[bold]Broken[/] at entry {broken.seq}: {escape(broken.words)}.")
        out.print(f"{broken.seq - 1} entries before it are as they were written. Keep the file as it is.")
        return False
    out.print(f"{head.count} entries, each as it was written. They end at [bold]{head.words}[/].")
    if kept is None:
        out.print(
            "[dim]Whether the end was cut off shows only against an end that was noted before: --head.[/]"
        )
    return True


def _head(words: str) -> Head:
    count, _, link = words.partition(":")
    if not (count.isascii() and count.isdecimal()) or len(link) != 64:
        raise wrong("--head", words, "COUNT:HASH as it was printed", "Copy it whole.")
    return Head(int(count), link)


def run_export(file: str, table: Path | None, whole: Path | None) -> bool:
    """Writes the records out for an inspector, both ways in one pass; True when the chain is whole."""
    with opened(file) as log, ExitStack() as files:
        walk = Book(log, None).walk()
        rows = None if table is None else files.enter_context(table.open("w", encoding="utf-8", newline=""))
        links = None if whole is None else files.enter_context(whole.open("w", encoding="utf-8"))
        if rows is not None:
            rows.write(HEADING)
        if links is not None:
            links.write('{"document": "hearthtide records", "schema_version": 1, "chain": [')
        parted, bodies = "\n", iter(walk)
        while some := list(islice(bodies, AT_ONCE)):
            if rows is not None:
                rows.write("".join([line(body[TEXT:]) for body in some]))
            if links is not None:
                links.write(parted + ",\n".join(map(_link, some)))
                parted = ",\n"
        if links is not None:
            links.write(f'\n], "head": "{walk.head.words}"}}\n')
    out.print(f"{walk.head.count} entries written. They end at [bold]{walk.head.words}[/].")
    if walk.broken is not None:
        err.print(f"[bold]Broken[/] at entry {walk.broken.seq}: {escape(walk.broken.words)}.", soft_wrap=True)
    return walk.broken is None


def _link(body: str) -> str:
    """An entry of the chain as JSON: its text as it stands, a string within."""
    record = encode_basestring_ascii(body[TEXT:])
    return f'{{"before": "{body[:WIDE]}", "hash": "{body[WIDE:TEXT]}", "record": {record}}}'


def _rules(house: Path | None) -> RuleSet | None:
    return None if house is None else read_house(house).file.chosen_rules


def wrong(field: str, value: str, expected: str, remedy: str) -> InputError:
    """What was asked wrongly: the word, what is expected, what to do."""
    return InputError((Finding("records", 0, field, value, expected, remedy),))
