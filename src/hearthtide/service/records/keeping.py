"""A house's records as its board keeps them: written by several at once, watched, looked up."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from threading import RLock
from typing import get_args

from hearthtide.house.models import House
from hearthtide.house.thickest import thickest_part
from hearthtide.safety.probe_check import check_verdict
from hearthtide.safety.readings import Reading, local_date
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.safety.rules import FoodClass
from hearthtide.service.log import Log, LogMoved
from hearthtide.service.records.book import Book, Tampered
from hearthtide.service.records.chain import Head, Walk
from hearthtide.service.records.course import DONE, course
from hearthtide.service.records.entries import (
    Body,
    Corrected,
    LotBecame,
    LotMade,
    ProbeChecked,
    ProcedureKept,
    Proved,
    Pulled,
    ReadingTaken,
    Record,
)
from hearthtide.service.records.foresight import Foresight, ways_of
from hearthtide.service.records.ledger import Ledger, NotSo, found
from hearthtide.service.records.proofs import fallen, proofs
from hearthtide.service.records.rules_noted import last_noted, rules_entry, rules_sha256
from hearthtide.service.records.standing import said_by_house, standing
from hearthtide.service.records.told import (
    Place,
    ToldEntry,
    ToldForesight,
    ToldLot,
    ToldLots,
    ToldVerdict,
    entry_told,
    lot_told,
    verdict_told,
)

# Foods that are cooked ahead in lots; a steak to order has a rule and an exception of its own.
FOODS: tuple[FoodClass, ...] = tuple(
    food for food in get_args(FoodClass) if food not in ("intact beef steak", "egg to order")
)
FIRST_PROBE = "probe 1"


@dataclass
class _Index:
    """Entries by what is asked for: a lot's own, thermometer checks, each lot's dish, all by their ids.

    `open` are the lots that are not served or discarded: of years of them a few, looked at again and again.
    """

    of_lot: dict[str, list[Record]] = field(default_factory=dict)
    open: dict[str, None] = field(default_factory=dict)
    checks: list[Record] = field(default_factory=list)
    procedures: list[Record] = field(default_factory=list)
    by_id: dict[str, Record] = field(default_factory=dict)
    dishes: dict[str, str] = field(default_factory=dict)
    parents: dict[str, str] = field(default_factory=dict)
    made_on: dict[date, list[str]] = field(default_factory=dict)
    instruments: dict[str, None] = field(default_factory=dict)

    def take(self, record: Record) -> None:
        self.by_id[record.id] = record
        body = record.body
        if isinstance(body, ProbeChecked):
            self.checks.append(record)
            self.instruments[body.checked.instrument] = None
            return
        if isinstance(body, ProcedureKept):
            self.procedures.append(record)
        if isinstance(body, ReadingTaken | Corrected):
            self.instruments[body.reading.instrument] = None
            lot = body.reading.lot
        else:
            lot = str(getattr(body, "lot", ""))
        if lot:
            self.of_lot.setdefault(lot, []).append(record)
        if isinstance(body, LotMade | Pulled):
            day = local_date(record.at, record.offset_min)
            self.made_on.setdefault(day, []).append(body.lot)
            self.open[body.lot] = None
        if isinstance(body, LotBecame) and body.state in DONE:
            self.open.pop(body.lot, None)
        if isinstance(body, LotMade):
            self.dishes.setdefault(lot, body.dish)
        elif isinstance(body, Pulled):
            self.dishes.setdefault(lot, self.dishes.get(body.of, ""))
            self.parents.setdefault(lot, body.of)

    def ledger(self, lot: str) -> Ledger:
        """What decides about a lot: its own entries, those of lots it came from, checks, procedures."""
        names, records = [lot], []
        for name in names:
            own = self.of_lot.get(name, [])
            records += own
            made_of = [other for one in own if isinstance(one.body, LotMade) for other in one.body.made_of]
            parents = [*made_of, *([self.parents[name]] if name in self.parents else [])]
            names += [one for one in parents if one not in names]
        return Ledger((*records, *self.checks, *self.procedures))


class Keeping:
    """The records on a log. `now` is the service's own clock; safe to use from several threads."""

    def __init__(self, log: Log, house: House, place: Place, now: Callable[[], datetime]) -> None:
        self._house, self._place, self._now = house, place, now
        self.rules = house.file.chosen_rules
        self._book, self._index, self._read = Book(log, self.rules), _Index(), 0
        chosen = house.file.rules
        self._procedure = None if chosen is None else chosen.par_cook
        self._foresight = Foresight(house)
        self._lock = RLock()

    @property
    def place(self) -> Place:
        return self._place

    def now(self) -> datetime:
        return self._now()

    def write(self, record: Record) -> Head:
        """Writes an entry; a repeat of its id changes nothing. Raises NotSo, Tampered, StoreError."""
        with self._lock:
            self._read_on()
            there = self._index.by_id.get(record.id)
            if there is not None:
                if not _says_the_same(there, record):
                    raise NotSo(f"entry {record.id} is there already and says something else.")
                return self._book.read().head
            while True:
                known = self._read_on()
                try:
                    head = self._book.write(self._with_proofs(record), known)
                except LogMoved:
                    continue  # another wrote meanwhile: what it proves is worked out anew
                self._read_on()
                return head

    def _with_proofs(self, record: Record) -> Record:
        """What a lot became, with what proves it by the house's rules."""
        body = record.body
        if not isinstance(body, LotBecame) or self.rules is None:
            return record
        ledger, rules = self._index.ledger(body.lot), self.rules
        short = fallen(ledger, rules, body.lot, body.state, record.at)
        if short:
            raise NotSo(f"{' '.join(short)} Hold it for a named person's decision.")
        plain = course(ledger, body.lot)
        said = said_by_house(plain, body.state, self._procedure)
        found = proofs(ledger, rules, body.lot, body.state, record.at, record.offset_min, said)
        proved = tuple(
            Proved(name, v.answer, v.rule, v.section, v.words, v.readings) for name, v in found.items()
        )
        food = None if plain is None else plain.food
        return replace(record, body=LotBecame(body.lot, body.state, proved, rules.id, food))

    def note_rules(self, person: str, device: str) -> None:
        """Writes down the rules the house goes by, where the records end with others or with none."""
        if self.rules is None:
            return
        with self._lock:
            self._read_on()
            if last_noted(self._book.read().records) == rules_sha256(self.rules):
                return
            now = self._now()
            entry = rules_entry(self.rules)
            id = f"rules-{entry.sha256[:12]}-{now:%Y%m%dT%H%M%S%f}"
            self.write(Record(id, person, device, now, now, self._place.offset_min(now), entry))

    def entry(self, id: str) -> Record | None:
        """An entry by its id."""
        with self._lock:
            self._read_on()
            return self._index.by_id.get(id)

    def reading(self, id: str) -> Record | None:
        """The entry of a reading by its id, or by that of a correction of it."""
        one = self.entry(id)
        if one is not None and isinstance(one.body, Corrected):
            one = self.entry(one.body.of)
        return one if one is not None and isinstance(one.body, ReadingTaken) else None

    def as_it_stands(self, id: str) -> Reading:
        """A reading as last corrected. Raises KeyError where there is no reading of that id."""
        with self._lock:
            self._read_on()
            one = self._index.by_id[id]
            lot = one.body.reading.lot if isinstance(one.body, ReadingTaken) else ""
            found = Ledger(tuple(self._index.of_lot.get(lot, ()))).as_it_stands(id)
            if found is None:
                raise KeyError(id)
            return found

    def watched(self) -> ToldLots:
        """The lots that are not served or discarded, the one to be probed soonest first."""
        with self._lock:
            head = self._read_on()
            now = self._now()
            today = local_date(now, self._place.offset_min(now))
            told = (self._told(self._index.ledger(lot), lot, now) for lot in self._index.open)
            lots = [one for one in told if one is not None]
            lots.sort(
                key=lambda one: (one.next_look_s is None, one.next_look_s or 0.0, -one.since_s, one.lot)
            )
            return ToldLots(
                rules="" if self.rules is None else self.rules.named,
                words=chosen_words(self.rules),
                head=head.words,
                today=today.isoformat(),
                named=tuple(self._index.made_on.get(today, ())),
                instruments=tuple(self._index.instruments) or (FIRST_PROBE,),
                foods=FOODS,
                chill_ways=tuple(dict.fromkeys(w for dish in self._dish_ways().values() for w in dish)),
                lots=tuple(lots),
            )

    def _dish_ways(self) -> dict[str, tuple[str, ...]]:
        return {
            name: tuple(ways_of(thickest_part(self._house, dish)[1]))
            for name, dish in self._house.dishes.items()
        }

    def _told(self, ledger: Ledger, lot: str, now: datetime) -> ToldLot | None:
        plain = course(ledger, lot)
        if plain is None:
            return None
        judged = None if self.rules is None else standing(ledger, self.rules, lot, now, self._procedure)
        foreseen: ToldForesight | str = ""
        if judged is not None and self.rules is not None:
            foreseen = self._foresight.of(judged, self.rules, ledger, self._place, now)
        return lot_told(plain, judged, self.rules, ledger, self._place, foreseen)

    def lot(self, lot: str) -> ToldLot | None:
        """One lot, whatever became of it; None where nobody wrote down that it was made."""
        with self._lock:
            self._read_on()
            return self._told(self._index.ledger(lot), lot, self._now())

    def found(self, words: str, day: date | None, most: int) -> tuple[int, tuple[ToldEntry, ...]]:
        """How many entries have all the words on that local date, and the last `most` of them in order."""
        with self._lock:
            self._read_on()
            entries: Sequence[Record] = found(Ledger(self._book.read().records), words, day)
            told = [self._entry(one) for one in entries[-most:]]
            return len(entries), tuple(told)

    def _entry(self, record: Record) -> ToldEntry:
        lot = getattr(record.body, "lot", None)
        if isinstance(record.body, ReadingTaken | Corrected):
            lot = record.body.reading.lot
        own = Ledger(tuple(self._index.of_lot.get(str(lot), ())))
        return entry_told(record, own, self._index.dishes)

    def checks(self) -> tuple[tuple[ToldEntry, ToldVerdict | None], ...]:
        """The thermometer checks, each with what the rules say of it."""
        with self._lock:
            self._read_on()
            return tuple((self._entry(one), self._check(one)) for one in self._index.checks)

    def _check(self, record: Record) -> ToldVerdict | None:
        if self.rules is None or not isinstance(record.body, ProbeChecked):
            return None
        return verdict_told(check_verdict(self.rules, record.body.checked))

    def open_deviations(self) -> tuple[ToldEntry, ...]:
        """Deviations that nobody has closed."""
        with self._lock:
            self._read_on()
            ids = {one.id for one in Ledger(self._book.read().records).open_deviations()}
            return tuple(self._entry(one) for id, one in self._index.by_id.items() if id in ids)

    def walk(self) -> Walk:
        """Along all that is written, each entry's bytes checked."""
        return self._book.walk()

    def export(self) -> tuple[Record, ...]:
        """Every entry."""
        with self._lock:
            self._read_on()
            return self._book.read().records

    def _read_on(self) -> Head:
        read = self._book.read()
        for record in read.records[self._read :]:
            self._index.take(record)
        self._read = len(read.records)
        if read.broken is not None:
            raise Tampered(f"the records are not what was written: {read.broken.words}.")
        return read.head


def _says_the_same(there: Record, again: Record) -> bool:
    """Whether a repeat of an id is the same entry, told once more."""
    return there.person == again.person and _plain(there.body) == _plain(again.body)


def _plain(body: Body) -> tuple[object, ...]:
    """What a device said, without what the board added: when, and what proved it."""
    if isinstance(body, ReadingTaken | Corrected):
        one = body.reading
        of = (body.of, body.why) if isinstance(body, Corrected) else ()
        return (body.kind, one.lot, one.value, one.unit, one.point, one.place, one.instrument, *of)
    if isinstance(body, LotBecame):
        return (body.kind, body.lot, body.state)
    if isinstance(body, ProbeChecked):
        return (body.kind, body.checked.instrument, body.checked.shown, body.checked.unit)
    return (body,)
