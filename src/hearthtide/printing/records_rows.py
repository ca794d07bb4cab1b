"""The rows of the records' print: every entry as plain strings, what is old to be struck through."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from hearthtide.safety.probe_check import check_verdict
from hearthtide.safety.readings import Reading
from hearthtide.safety.rules import RuleSet
from hearthtide.service.records.entries import (
    ChilledBy,
    Closed,
    Corrected,
    Deviation,
    FreezerMoved,
    LotBecame,
    LotMade,
    LotMarked,
    ProbeChecked,
    ProcedureKept,
    Proved,
    Pulled,
    ReadingTaken,
    Record,
    RulesChosen,
    TimeMarked,
)
from hearthtide.service.records.ledger import lots_of
from hearthtide.service.records.listing import Listed, Listing, Stands
from hearthtide.service.records.told import body_words

Part = dict[str, str]  # text and style: plain, bold, old (struck through) or open (framed)
Row = dict[str, object]


def local(at: datetime, offset_min: int) -> str:
    """The clock on the wall with its offset from UTC.

    >>> from datetime import UTC
    >>> local(datetime(2026, 6, 2, 18, 0, tzinfo=UTC), -240)
    '2026-06-02 14:00 -04:00'
    """
    wall = at + timedelta(minutes=offset_min)
    hours, minutes = divmod(abs(offset_min), 60)
    seconds = f"{wall:%Y-%m-%d %H:%M:%S}" if wall.second else f"{wall:%Y-%m-%d %H:%M}"
    return f"{seconds} {'-' if offset_min < 0 else '+'}{hours:02}:{minutes:02}"


def lot_blocks(listing: Listing) -> list[Row]:
    """Each lot with its verdicts and its entries; entries of no lot are not among them."""
    numbers = _numbers(listing)
    closers = {one.record.body.of: one for one in listing.entries if isinstance(one.record.body, Closed)}
    blocks: list[Row] = []
    for lot in listing.lots:
        rows = [one for one in listing.entries if lot in lots_of(one.record)]
        ids = {one.record.id for one in rows}
        rows += [one for of, one in closers.items() if of in ids]
        if any(getattr(one.record.body, "state", "") == "time-controlled" for one in rows):
            rows += [one for one in listing.entries if isinstance(one.record.body, ProcedureKept)]
        rows.sort(key=lambda one: (one.record.at, one.seq))
        verdicts = [one for one in listing.verdicts if one.lot == lot]
        blocks.append(
            {
                "name": lot,
                "about": _about(rows),
                "verdicts": [_verdict(one, numbers) for one in verdicts],
                "rows": [_row(one, listing, numbers, closers) for one in rows],
            }
        )
    return blocks


def check_rows(listing: Listing, rules: RuleSet | None) -> list[Row]:
    """Thermometer checks with what the rules say of each."""
    rows: list[Row] = []
    for one in listing.entries:
        if not isinstance(one.record.body, ProbeChecked):
            continue
        checked = one.record.body.checked
        found = None if rules is None else check_verdict(rules, checked)
        rows.append(
            {
                "seq": str(one.seq),
                "at": local(one.record.at, one.record.offset_min),
                "by": checked.instrument,
                "shown": f"{checked.shown} °{checked.unit}",
                "reference": f"{checked.reference} °{checked.unit}",
                "off": f"{checked.off:+} °{checked.unit}",
                "who": checked.person,
                "answer": "" if found is None else found.answer,
                "words": "not judged" if found is None else f"{found.words}; {found.section}",
            }
        )
    return rows


def _numbers(listing: Listing) -> dict[str, str]:
    return {one.record.id: f"No. {one.seq}" for one in listing.entries}


def _about(rows: Iterable[Listed]) -> str:
    made = [one.record.body for one in rows if isinstance(one.record.body, LotMade)]
    became = [one.record.body for one in rows if isinstance(one.record.body, LotBecame)]
    said = [f"{one.quantity} of {one.dish}" for one in made]
    said += [f"now {became[-1].state}"] if became else []
    return ", ".join(said)


def _verdict(one: Stands, numbers: Mapping[str, str]) -> Row:
    found = one.verdict
    on = ", ".join(numbers.get(id, id) for id in found.readings)
    stands = f"stands on {on}" if on else "stands on no reading"
    rule = f" ({found.rule})" if found.rule else ""
    what = f"{one.proof}, for {numbers.get(one.of, one.of)}, as it stands now" if one.of else one.proof
    return {
        "answer": found.answer,
        "words": f"{what}: {found.words}",
        "stands": f"{found.section}{rule}; {stands}",
    }


def _row(
    one: Listed, listing: Listing, numbers: Mapping[str, str], closers: Mapping[str, Listed]
) -> dict[str, object]:
    record = one.record
    told, notes = _told(record, listing, numbers, closers)
    if record.late:
        notes = [
            *notes,
            [_framed("late"), _plain(f" written down {local(record.entered, record.offset_min)}")],
        ]
    return {
        "seq": str(one.seq),
        "at": local(record.at, record.offset_min),
        "what": record.body.kind,
        "read": [],
        "part": "",
        "by": "",
        "who": record.person,
        **told,
        "notes": notes,
    }


def _told(
    record: Record, listing: Listing, numbers: Mapping[str, str], closers: Mapping[str, Listed]
) -> tuple[dict[str, object], list[list[Part]]]:
    """What a row says besides who and when, and its notes."""
    body = record.body
    match body:
        case ReadingTaken():
            read, notes = _as_corrected(record, body.reading, listing, numbers)
            return _read(body.reading) | {"read": read}, notes
        case Corrected():
            what = f"correction of {numbers.get(body.of, body.of)}"
            told = _read(body.reading) | {"what": what, "who": record.person}
            return told, _correction(body, record, listing)
        case LotMade():
            of = f"; made of {', '.join(body.made_of)}" if body.made_of else ""
            kinds = "".join(f", {one}" for one in (body.food, body.piece) if one)
            return {"what": "lot made"}, [[_plain(f"{body.quantity} of {body.dish}{kinds}{of}")]]
        case (
            Pulled()
            | LotMarked()
            | ChilledBy()
            | FreezerMoved()
            | TimeMarked()
            | ProcedureKept()
            | RulesChosen()
        ):
            return {}, [[_plain(body_words(record))]]
        case LotBecame():
            food = f", as {body.food}" if body.food else ""
            by = [[_plain(f"by {body.rules}{food}")]] if body.rules else []
            return {"what": f"became {body.state}"}, by + [_proved(one, numbers) for one in body.proofs]
        case Deviation():
            stands = ", ".join(numbers.get(id, id) for id in body.readings)
            closer = closers.get(record.id)
            shut = _framed("open") if closer is None else _plain(f"closed by No. {closer.seq}")
            return {}, [[_plain(f"{body.rule}: {body.found}{'; on ' + stands if stands else ''}")], [shut]]
        case Closed():
            said = (("cause", body.cause), ("control again", body.control), ("prevention", body.prevention))
            four = (*said, ("what became of the food", body.disposition))
            notes = [[_bold(f"{name}: "), _plain(words)] for name, words in four]
            return {"what": f"closes {numbers.get(body.of, body.of)}"}, notes
        case ProbeChecked():
            return {}, []


def _proved(found: Proved, numbers: Mapping[str, str]) -> list[Part]:
    on = ", ".join(numbers.get(id, id) for id in found.readings)
    said = f"; {found.words}; {found.section}{'; on ' + on if on else ''}"
    return [_plain(f"then {found.proof}: "), _bold(found.answer), _plain(said)]


def _read(reading: Reading) -> dict[str, object]:
    return {
        "read": [_bold(_value(reading))],
        "part": ", ".join(filter(None, (reading.point, reading.place))),
        "by": reading.instrument,
        "who": reading.person,
    }


def _value(reading: Reading) -> str:
    return f"{reading.value} °{reading.unit}"


def _as_corrected(
    record: Record, reading: Reading, listing: Listing, numbers: Mapping[str, str]
) -> tuple[list[Part], list[list[Part]]]:
    """What was read, struck through where it was corrected, with what it now stands as behind it."""
    watched = [[_plain(f"watched {reading.held_s} s")]] if reading.held_s else []
    corrections = listing.ledger.corrections(record.id)
    last = listing.ledger.as_it_stands(record.id)
    if not corrections or last is None:
        return [_bold(_value(reading))], watched
    by = ", ".join(numbers.get(one.id, one.id) for one in corrections)
    read = [_old(_value(reading)), _plain(" "), _bold(_value(last))]
    return read, [*watched, [_plain(f"corrected by {by}")]]


def _correction(body: Corrected, record: Record, listing: Listing) -> list[list[Part]]:
    before = _before(body, record, listing)
    changed = [] if before is None else [
        [_plain(f"{name}: "), _old(old), _plain(" "), _bold(new)]
        for name, old, new in zip(NAMES, _said(before), _said(body.reading), strict=True)
        if old != new
    ]  # fmt: skip
    second = f"; {body.second} stands by it" if body.second else ""
    return [*changed, [_plain(f"why: {body.why}; corrected by {record.person}{second}")]]


NAMES = ("read", "time", "point", "part", "watched", "thermometer", "person")


def _said(one: Reading) -> tuple[str, ...]:
    when = local(one.at, one.offset_min)
    return (_value(one), when, one.point, one.place, f"{one.held_s} s", one.instrument, one.person)


def _before(body: Corrected, record: Record, listing: Listing) -> Reading | None:
    """The reading as it stood before this correction."""
    first = listing.ledger.one(body.of)
    stood = first.body.reading if first is not None and isinstance(first.body, ReadingTaken) else None
    for one in listing.ledger.corrections(body.of):
        if one.id == record.id:
            return stood
        if isinstance(one.body, Corrected):
            stood = one.body.reading
    return stood


def _part(text: str, style: str) -> Part:
    return {"text": text, "style": style}


def _plain(text: str) -> Part:
    return _part(text, "plain")


def _bold(text: str) -> Part:
    return _part(text, "bold")


def _old(text: str) -> Part:
    return _part(text, "old")


def _framed(text: str) -> Part:
    return _part(text, "open")
