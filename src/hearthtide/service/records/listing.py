"""What is listed for an inspector: whole lots with all their entries, and what the rules say of them now.

A list is bound to the records by the hash of their last entry, and to its print by the SHA-256 of its own
text: a line of JSON for each entry, with its link of the chain and its bytes, and one for each verdict.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta

from hearthtide.safety.readings import local_date
from hearthtide.safety.rules import FoodClass, RuleSet
from hearthtide.safety.verdicts import Verdict
from hearthtide.service.commands import plain_text
from hearthtide.service.records.chain import TEXT, WIDE, Head, Walk
from hearthtide.service.records.entries import (
    Closed,
    Corrected,
    LotMade,
    ProbeChecked,
    ProcedureKept,
    Pulled,
    ReadingTaken,
    Record,
)
from hearthtide.service.records.judging import Step, step_verdicts
from hearthtide.service.records.ledger import Ledger, found, lots_of
from hearthtide.service.records.proofs import again
from hearthtide.service.records.search import READING, lot_of, parsed


@dataclass(frozen=True)
class Asked:
    """Which lots are listed: those of which an entry has the words, on a local date from `first` to `last`.

    `step` and `food`: how all readings of a lot are judged; None: they are not.
    """

    words: str = ""
    first: date | None = None
    last: date | None = None
    step: Step | None = None
    food: FoodClass | None = None

    @property
    def plain(self) -> dict[str, str | None]:
        """As JSON has it."""
        return {key: None if value is None else str(value) for key, value in asdict(self).items()}


@dataclass(frozen=True)
class Listed:
    """An entry, with its link: the hash of the one before it, its number, its own hash and its text."""

    seq: int
    body: str
    record: Record


@dataclass(frozen=True)
class Stands:
    """What a rule says of a lot now; `of`: the entry by which it became something, `proof`: what of it."""

    lot: str
    verdict: Verdict
    of: str = ""
    proof: str = ""


@dataclass(frozen=True)
class Listing:
    """Entries by the time they are of, verdicts as they stand at `now`, and where the records end."""

    asked: Asked
    head: Head
    now: datetime
    rules: str
    ledger: Ledger
    entries: tuple[Listed, ...]
    verdicts: tuple[Stands, ...]

    @property
    def lots(self) -> tuple[str, ...]:
        """The lots that are listed, by their first entry."""
        return tuple(dict.fromkeys(lot for one in self.entries for lot in lots_of(one.record)))

    def lines(self) -> tuple[str, ...]:
        """The list as text: what it is of, then a line for each entry and verdict."""
        top = {
            "document": "hearthtide records listed",
            "schema_version": 1,
            "head": self.head.words,
            "now": self.now.isoformat(),
            "rules": self.rules,
            "asked": {
                key: None if value is None else str(value) for key, value in asdict(self.asked).items()
            },
        }
        entries = (
            {
                "entry": one.seq,
                "before": one.body[:WIDE],
                "hash": one.body[WIDE:TEXT],
                "record": one.body[TEXT:],
            }
            for one in self.entries
        )
        verdicts = (
            {"lot": one.lot, "of": one.of, "proof": one.proof, **asdict(one.verdict)} for one in self.verdicts
        )
        return tuple(map(plain_text, (top, *entries, *verdicts)))

    @property
    def text(self) -> str:
        """All lines, each with its end."""
        return "".join(f"{line}\n" for line in self.lines())

    @property
    def sha256(self) -> str:
        """The hash that is printed: of the text in UTF-8."""
        return hashlib.sha256(self.text.encode()).hexdigest()


def listing(
    walk: Walk, asked: Asked, rules: RuleSet | None, now: datetime, until: int | None = None
) -> Listing:
    """What is asked for, of the records along a walk; of their first `until` entries, if given.

    The walk goes to its end: whether it is whole is for the caller to see.

    Raises
    ------
    StoreError
        An entry is of a version that this one cannot read.
    """
    bodies, head = [], walk.head
    for body in walk:
        if until is None or walk.head.count <= until:
            bodies.append(body)
            head = walk.head
    ledger = _around(bodies, asked)
    numbers = {record.id: seq for seq, record in ledger.items()}
    whole = Ledger(tuple(ledger.values()))
    chosen = _chosen(whole, asked)
    lots = tuple(dict.fromkeys(lot for record in chosen for lot in lots_of(record)))
    listed = _with_what_belongs(whole, chosen, frozenset(lots))
    entries = (Listed(numbers[one.id], bodies[numbers[one.id] - 1], one) for one in listed)
    return Listing(
        asked,
        head,
        now,
        "" if rules is None else rules.named,
        whole,
        tuple(sorted(entries, key=lambda one: (one.record.at, one.seq))),
        () if rules is None else tuple(_verdicts(whole, rules, lots, asked, now)),
    )


def _verdicts(
    ledger: Ledger, rules: RuleSet, lots: tuple[str, ...], asked: Asked, now: datetime
) -> Iterator[Stands]:
    """On what each lot became, as it stands now; then on all its readings as of the step asked for."""
    for lot in lots:
        for turn in ledger.turns(lot):
            for name, now_so in again(ledger, rules, turn.record).items():
                yield Stands(lot, now_so, turn.record.id, name)
        if asked.step is not None:
            for one in step_verdicts(ledger, rules, lot, asked.step, asked.food, now):
                yield Stands(lot, one, "", asked.step)


def _around(bodies: list[str], asked: Asked) -> dict[int, Record]:
    """Entries by their number: all that are no readings, and all readings of lots that may be asked for."""
    frame: dict[int, str] = {}
    readings: dict[int, str] = {}
    for seq, body in enumerate(bodies, 1):
        (readings if READING in body else frame)[seq] = body[TEXT:]
    days = _days(asked)

    def near(text: str) -> bool:
        return days is None or days[0] <= text[7:17] <= days[1]

    known = dict(zip(sorted(frame), parsed(frame), strict=True))
    may = {seq: text for seq, text in readings.items() if near(text)}
    if asked.words:
        some = Ledger((*known.values(), *parsed(may)))
        lots = {lot for record in found(some, asked.words, None) for lot in lots_of(record)}
    else:
        lots = {lot for seq, record in known.items() if near(frame[seq]) for lot in lots_of(record)}
        lots |= {lot for lot in map(lot_of, may.values()) if lot is not None}
    lots |= _come_from(known.values(), lots)
    wanted = {seq: text for seq, text in readings.items() if lot_of(text) in lots}
    return dict(sorted((known | dict(zip(sorted(wanted), parsed(wanted), strict=True))).items()))


def _come_from(records: Iterable[Record], lots: Iterable[str]) -> set[str]:
    """The lots that these were pulled from or made of: their readings decide about these."""
    of: dict[str, tuple[str, ...]] = {}
    for record in records:
        body = record.body
        if isinstance(body, LotMade):
            of[body.lot] = body.made_of
        elif isinstance(body, Pulled):
            of[body.lot] = (body.of,)
    found: set[str] = set()
    left = list(lots)
    while left:
        new = set(of.get(left.pop(), ())) - found
        found |= new
        left += new
    return found


def _days(asked: Asked) -> tuple[str, str] | None:
    """The dates in UTC that hold all local dates asked for; None: all."""
    if asked.first is None and asked.last is None:
        return None
    first, last = asked.first or date.min + timedelta(1), asked.last or date.max - timedelta(1)
    return (first - timedelta(1)).isoformat(), (last + timedelta(1)).isoformat()


def _chosen(ledger: Ledger, asked: Asked) -> tuple[Record, ...]:
    def on_a_day(record: Record) -> bool:
        day = local_date(record.at, record.offset_min)
        return (asked.first is None or asked.first <= day) and (asked.last is None or day <= asked.last)

    return tuple(filter(on_a_day, found(ledger, asked.words, None)))


def _with_what_belongs(ledger: Ledger, chosen: Iterable[Record], lots: frozenset[str]) -> tuple[Record, ...]:
    """Whole lots, closings of their deviations, checks of their thermometers on either side, procedures."""
    kept = {record.id for record in chosen}
    kept |= {record.id for record in ledger.records if lots & set(lots_of(record))}
    for record in ledger.records:
        body = record.body
        if isinstance(body, Closed) and body.of in kept:
            kept.add(record.id)
    if any(turn.body.state == "time-controlled" for lot in lots for turn in ledger.turns(lot)):
        kept |= {record.id for record in ledger.records if isinstance(record.body, ProcedureKept)}
    for instrument, first, last in _used(ledger, kept):
        kept |= _checks(ledger, instrument, first, last)
    return tuple(record for record in ledger.records if record.id in kept)


def _used(ledger: Ledger, kept: set[str]) -> list[tuple[str, datetime, datetime]]:
    """Thermometers of the readings that are listed, with the first and the last time of each."""
    times: dict[str, list[datetime]] = {}
    for record in ledger.records:
        if record.id in kept and isinstance(record.body, ReadingTaken | Corrected):
            reading = record.body.reading
            times.setdefault(reading.instrument, []).append(reading.at)
    return [(instrument, min(some), max(some)) for instrument, some in times.items()]


def _checks(ledger: Ledger, instrument: str, first: datetime, last: datetime) -> set[str]:
    """The last check before the first reading, the first after the last, and those between."""
    checks = [
        record
        for record in ledger.records
        if isinstance(record.body, ProbeChecked) and record.body.checked.instrument == instrument
    ]
    before = [one for one in checks if one.at <= first]
    after = [one for one in checks if one.at >= last]
    between = {one.id for one in checks if first <= one.at <= last}
    between |= {max(before, key=lambda one: one.at).id} if before else set()
    return between | ({min(after, key=lambda one: one.at).id} if after else set())


def differences(told: Iterable[str], now: Iterable[str]) -> tuple[str, ...]:
    """Lines of a printed list that the records do not give any more, and lines that they give besides."""
    before, after = tuple(told), tuple(now)
    gone, come = set(before) - set(after), set(after) - set(before)
    return tuple(
        [f"printed, and not so in the records: {line}" for line in before if line in gone]
        + [f"in the records, and not printed: {line}" for line in after if line in come]
    )
