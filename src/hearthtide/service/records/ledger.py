"""What the records say now: readings as corrected, passes doubted since a probe failed, what is open."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, datetime

from hearthtide.errors import HearthtideError
from hearthtide.safety.probe_check import Checked, as_if_off, check_verdict, taken_back
from hearthtide.safety.readings import Limit, Reading, can_be, local_date
from hearthtide.safety.rules import RuleSet
from hearthtide.safety.states import Lot, missing
from hearthtide.safety.verdicts import Verdict
from hearthtide.service.records.entries import (
    Closed,
    Corrected,
    Deviation,
    LotBecame,
    LotMade,
    ProbeChecked,
    Pulled,
    ReadingTaken,
    Record,
)

Judge = Callable[[tuple[Reading, ...]], Verdict]


class NotSo(HearthtideError):
    """An entry cannot be written as it is; the words say what it lacks."""


@dataclass(frozen=True)
class Turn:
    """An entry by which a lot became something."""

    record: Record
    body: LotBecame


@dataclass(frozen=True)
class Ledger:
    """The records in the order they were written; every look at them is worked out from these."""

    records: tuple[Record, ...] = ()

    def one(self, id: str) -> Record | None:
        """The entry of an id."""
        return next((record for record in self.records if record.id == id), None)

    def corrections(self, id: str) -> tuple[Record, ...]:
        """What corrected an entry, the last of them as it now stands."""
        return tuple(r for r in self.records if isinstance(r.body, Corrected) and r.body.of == id)

    def as_it_stands(self, id: str) -> Reading | None:
        """A reading by the id of its entry, as last corrected; None where there is no reading of that id."""
        first = self.one(id)
        if first is None or not isinstance(first.body, ReadingTaken):
            return None
        found = first.body.reading
        for record in self.records:
            if isinstance(record.body, Corrected) and record.body.of == id:
                found = record.body.reading
        return found

    def readings(self, lot: str) -> tuple[Reading, ...]:
        """A lot's readings as they now stand: the last correction of each, none of them twice."""
        now: dict[str, Reading] = {}
        for record in self.records:
            if isinstance(record.body, ReadingTaken):
                now[record.id] = record.body.reading
            elif isinstance(record.body, Corrected):
                now[record.body.of] = record.body.reading
        return tuple(one for one in now.values() if one.lot == lot)

    def lots(self) -> tuple[str, ...]:
        """Every lot that is named, in the order of its first entry."""
        return tuple(dict.fromkeys(lot for record in self.records for lot in lots_of(record)))

    def turns(self, lot: str) -> tuple[Turn, ...]:
        """What a lot became, in the order it was written."""
        return tuple(
            Turn(r, r.body) for r in self.records if isinstance(r.body, LotBecame) and r.body.lot == lot
        )

    def lot(self, name: str) -> Lot:
        """A lot as it is now: raw, where nothing else is written of it; chilled where it was pulled."""
        pulled = any(isinstance(r.body, Pulled) and r.body.lot == name for r in self.records)
        found = Lot(name, "chilled" if pulled else "raw")
        for turn in self.turns(name):
            anew = found.begun_anew or (found.state, turn.body.state) == ("cooling", "cooked")
            found = Lot(name, turn.body.state, anew)
        return found

    def checks(self, instrument: str | None = None) -> tuple[Checked, ...]:
        """Thermometer checks by the time they were done, of one instrument or of all."""
        found = (r.body.checked for r in self.records if isinstance(r.body, ProbeChecked))
        return tuple(
            sorted((c for c in found if instrument in (None, c.instrument)), key=lambda c: (c.at, c.id))
        )

    def open_deviations(self) -> tuple[Record, ...]:
        """Deviations that nobody has closed."""
        closed = {r.body.of for r in self.records if isinstance(r.body, Closed)}
        return tuple(r for r in self.records if isinstance(r.body, Deviation) and r.id not in closed)


def judged(ledger: Ledger, rules: RuleSet, lot: str, judge: Judge) -> Verdict:
    """A verdict on a lot's readings as they stand; a pass goes where a thermometer failed its check."""
    readings = ledger.readings(lot)
    found = judge(readings)
    for instrument in sorted({one.instrument for one in readings}):
        since: datetime | None = None
        checks = [(checked, check_verdict(rules, checked).answer) for checked in ledger.checks(instrument)]
        for n, (checked, answer) in enumerate(checks):
            if answer == "fail":
                until = next((later.at for later, then in checks[n + 1 :] if then == "pass"), None)
                found = taken_back(found, judge(as_if_off(readings, checked, since, until)), checked)
            elif answer == "pass":
                since = checked.at
    return found


def accepted(ledger: Ledger, record: Record, rules: RuleSet | None) -> Ledger:
    """The ledger with one more entry.

    Raises
    ------
    NotSo
        What it names is not there, or a correction that helps a verdict lacks a second person.
    """
    if ledger.one(record.id) is not None:
        raise NotSo(f"entry {record.id} is there already. Nothing was written.")
    body = record.body
    if isinstance(body, Corrected):
        _may_correct(ledger, record, body, rules)
    if isinstance(body, LotBecame):
        _may_become(ledger, record, body)
    if isinstance(body, Closed):
        found = ledger.one(body.of)
        if found is None or not isinstance(found.body, Deviation):
            raise NotSo(f"{body.of} is no deviation here. Name the one that is closed.")
        if found.id not in {one.id for one in ledger.open_deviations()}:
            raise NotSo(f"{body.of} is closed already. Nothing was written.")
    return Ledger((*ledger.records, record))


def _may_become(ledger: Ledger, record: Record, body: LotBecame) -> None:
    turns = ledger.turns(body.lot)
    if turns and record.at < turns[-1].record.at:
        raise NotSo(f"{body.lot} became {turns[-1].body.state} after that. Say when it was.")
    said = {one.proof: Verdict(one.answer, one.rule, one.section, one.words) for one in body.proofs}
    short = missing(ledger.lot(body.lot), body.state, said)
    if short:
        raise NotSo(f"{' '.join(short)} Hold it for a named person's decision.")


def _may_correct(ledger: Ledger, record: Record, body: Corrected, rules: RuleSet | None) -> None:
    old = ledger.as_it_stands(body.of)
    if old is None:
        raise NotSo(f"{body.of} is no reading here. Name the entry that is corrected.")
    if old.lot != body.reading.lot:
        raise NotSo(f"{body.of} is of {old.lot}. Enter the reading of {body.reading.lot} as one of its own.")
    if rules is None:
        return
    if not (helps(rules, old, body.reading) or _is_doubted(ledger, rules, old, body.reading)):
        return
    if body.second.strip() in ("", record.person):
        raise NotSo(f"corrected so, {body.of} could better a verdict. Name a second person who stands by it.")


def helps(rules: RuleSet, old: Reading, new: Reading) -> bool:
    """Whether a correction could better a verdict: a limit met that was not, a time or a part changed."""
    if (old.at, old.point, old.place, old.held_s) != (new.at, new.point, new.place, new.held_s):
        return True
    if not can_be(new):
        return can_be(old)  # what decided would decide no more
    return any(_crosses(old, new, limit) for limit in limits_in(rules))


def _is_doubted(ledger: Ledger, rules: RuleSet, old: Reading, new: Reading) -> bool:
    """Whether a value moves to its better side that was read by a thermometer which failed a check."""
    better = new.value != old.value
    if new.unit == old.unit and new.point in ("coldest", "surface"):
        better = new.value > old.value
    elif new.unit == old.unit and new.point == "warmest":
        better = new.value < old.value
    checks = ledger.checks(old.instrument)
    return better and any(check_verdict(rules, one).answer == "fail" for one in checks)


def _crosses(old: Reading, new: Reading, limit: Limit) -> bool:
    """Whether a value moved over a limit to its better side: up for the coldest part, down for the warmest.

    Whether the limit itself is met at its number is not asked: from it, and onto it, both count. Which
    side is better for air and other places depends on the rule: either may be. A slip of the finger met none.
    """
    if not can_be(old):
        reaches = new.value >= limit.in_unit(new.unit)
        return reaches if new.point in ("coldest", "surface") else new.point != "warmest" or not reaches
    if new.point not in ("coldest", "surface", "warmest"):
        return _over(old, new, limit) or _over(new, old, limit)
    return _over(old, new, limit) if new.point != "warmest" else _over(new, old, limit)


def _over(low: Reading, high: Reading, limit: Limit) -> bool:
    below, above = limit.in_unit(low.unit), limit.in_unit(high.unit)
    return (low.value < below and high.value >= above) or (low.value <= below and high.value > above)


def limits_in(part: object) -> Iterator[Limit]:
    """Every limit that stands anywhere in a rule set."""
    if isinstance(part, Limit):
        yield part
    elif isinstance(part, tuple):
        for one in part:
            yield from limits_in(one)
    elif is_dataclass(part):
        for field in fields(part):
            yield from limits_in(getattr(part, field.name))


def dishes_of(records: Iterable[Record]) -> dict[str, str]:
    """Each lot's dish; of one that was pulled that of the lot it is from."""
    dishes: dict[str, str] = {}
    for record in records:
        body = record.body
        if isinstance(body, LotMade):
            dishes[body.lot] = body.dish
        elif isinstance(body, Pulled):
            dishes[body.lot] = dishes.get(body.of, "")
    return dishes


def found(ledger: Ledger, words: str, day: date | None) -> tuple[Record, ...]:
    """Entries with all the words in their lot, dish, person or thermometer; of a local date, if given."""
    wanted = words.lower().split()
    dishes = dishes_of(ledger.records)
    return tuple(
        record
        for record in ledger.records
        if (day is None or local_date(record.at, record.offset_min) == day)
        and all(word in _said(record, dishes) for word in wanted)
    )


def _said(record: Record, dishes: dict[str, str]) -> str:
    lots = lots_of(record)
    reading = record.body.reading if isinstance(record.body, ReadingTaken | Corrected) else None
    instrument = reading.instrument if reading is not None else ""
    parts = (
        *lots,
        *(dishes.get(lot, "") for lot in lots),
        record.person,
        instrument,
        record.body.kind,
        record.id,
    )
    return " ".join(parts).lower()


def lots_of(record: Record) -> tuple[str, ...]:
    """The lot an entry is of, if it is of one."""
    body = record.body
    if isinstance(body, ReadingTaken | Corrected):
        return (body.reading.lot,)
    lot = getattr(body, "lot", None)
    return () if lot is None else (str(lot),)
