"""The records as screens draw them: lots that are watched, entries as they were written, verdicts beside.

Times are seconds from the night's first midnight, below zero for what was before it; days and clocks of the
place stand beside them, for a record is read out by those.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from hearthtide.safety.cautions import NO_RULES
from hearthtide.safety.readings import Reading, Unit
from hearthtide.safety.rules import Cool, RuleSet
from hearthtide.safety.states import State
from hearthtide.safety.verdicts import Answer, Verdict
from hearthtide.service.records.course import Course, arrows
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
    Pulled,
    ReadingTaken,
    Record,
    RulesChosen,
    TimeMarked,
)
from hearthtide.service.records.ledger import Ledger
from hearthtide.service.records.standing import Standing


@dataclass(frozen=True)
class ToldReading:
    """A reading as it was read; `instead_of` is what it was written as before it was corrected."""

    id: str
    at_s: float
    clock: str
    value: str
    unit: Unit
    point: str
    place: str
    held_s: int
    instrument: str
    person: str
    instead_of: tuple[str, ...]


@dataclass(frozen=True)
class ToldVerdict:
    """What one rule says, with its section and the readings it stands on."""

    answer: Answer
    rule: str
    section: str
    words: str
    readings: tuple[str, ...]


@dataclass(frozen=True)
class ToldWay:
    """What a lot may become, and what is lacking for it; nothing lacking: it may."""

    to: State
    lacks: tuple[str, ...]


@dataclass(frozen=True)
class ToldLimit:
    """A corner of the stair that cooling has to stay under: by then, so cold."""

    at_s: float
    F: float
    C: float
    words: str


@dataclass(frozen=True)
class ToldForesight:
    """How a lot is foreseen to cool from its last reading, points of (s, °C): a model's word, no reading."""

    way: str
    points: tuple[tuple[float, float], ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class ToldLot:
    """A lot that is not served or discarded yet."""

    lot: str
    dish: str
    quantity: str
    food: str
    piece: str
    of: str
    state: State
    since_s: float
    made_s: float
    made: str
    last_day: str
    frozen: bool
    readings: tuple[ToldReading, ...]
    verdicts: tuple[ToldVerdict, ...]
    ways: tuple[ToldWay, ...]
    cooling_since_s: float | None
    cooling_words: str
    next_look_s: float | None
    stair: tuple[ToldLimit, ...]
    foreseen: ToldForesight | None
    not_foreseen: str


@dataclass(frozen=True)
class ToldLots:
    """What is watched now. `rules` is empty where none is chosen: then nothing is judged.

    `named` are the names that lots of today's local date bear already, watched or not.
    """

    rules: str
    words: str
    head: str
    today: str
    named: tuple[str, ...]
    instruments: tuple[str, ...]
    foods: tuple[str, ...]
    chill_ways: tuple[str, ...]
    lots: tuple[ToldLot, ...]


@dataclass(frozen=True)
class ToldEntry:
    """One entry of the records, as it is read out; `late`: written down long after it was so."""

    id: str
    day: str
    clock: str
    offset: str
    entered: str
    late: bool
    kind: str
    lot: str
    dish: str
    words: str
    person: str
    device: str
    instrument: str
    instead_of: tuple[str, ...]


@dataclass(frozen=True)
class Place:
    """Where and when the records are told: the night's first midnight in UTC, minutes ahead of UTC there."""

    midnight: datetime
    offset_min: Callable[[datetime], int]

    def seconds(self, at: datetime) -> float:
        """An instant as the night counts it."""
        return (at - self.midnight).total_seconds()

    def midnight_of(self, day: date) -> datetime:
        """When a local date began here, in UTC, by the offset that held then."""
        began = datetime.combine(day, time(), UTC)
        for _ in range(2):  # the second look is by the offset of about that very hour
            began = datetime.combine(day, time(), UTC) - timedelta(minutes=self.offset_min(began))
        return began


def verdict_told(one: Verdict) -> ToldVerdict:
    return ToldVerdict(one.answer, one.rule, one.section, one.words, one.readings)


def reading_told(place: Place, one: Reading, ledger: Ledger) -> ToldReading:
    return ToldReading(
        id=one.id,
        at_s=place.seconds(one.at),
        clock=f"{one.local:%H:%M}",
        value=str(one.value),
        unit=one.unit,
        point=one.point,
        place=one.place,
        held_s=one.held_s,
        instrument=one.instrument,
        person=one.person,
        instead_of=instead_of(ledger, one.id),
    )


def instead_of(ledger: Ledger, id: str) -> tuple[str, ...]:
    """How a reading was written before each correction, with why; `id` is its own or a correction's."""
    first = ledger.one(id)
    if first is not None and isinstance(first.body, Corrected):
        id, first = first.body.of, ledger.one(first.body.of)
    if first is None or not isinstance(first.body, ReadingTaken):
        return ()
    before, found = first.body.reading, []
    for record in ledger.corrections(id):
        assert isinstance(record.body, Corrected)
        beside = f", with {record.body.second}" if record.body.second else ""
        found.append(f"{before.words}, {before.point}: {record.body.why} ({record.person}{beside})")
        before = record.body.reading
    return tuple(found)


def stair(rules: RuleSet, found: Standing, place: Place) -> tuple[ToldLimit, ...]:
    """The corners of the limits a lot cools under; nothing before its clock starts."""
    if found.cooled is None or found.cooled.start is None:
        return ()
    start, corners = found.cooled.start, []
    since = start
    for rule in (one for one in rules.of(Cool) if one.starts == "hot"):
        until = (start if rule.since == "start" else since) + timedelta(seconds=rule.within_s)
        F, C = float(rule.to.in_unit("F")), float(rule.to.in_unit("C"))
        corners.append(ToldLimit(place.seconds(until), F, C, rule.to.words))
        since = until
    return tuple(corners)


def lot_told(
    course: Course,
    judged: Standing | None,
    rules: RuleSet | None,
    ledger: Ledger,
    place: Place,
    foreseen: ToldForesight | str,
) -> ToldLot:
    """A lot as screens draw it; `foreseen` is its curve, or why there is none."""
    readings = sorted(ledger.readings(course.lot), key=lambda one: (one.at, one.id))
    local = course.made + timedelta(minutes=course.offset_min)
    start = None if judged is None or judged.cooled is None else judged.cooled.start
    look = None if judged is None else judged.next_look
    return ToldLot(
        lot=course.lot,
        dish=course.dish,
        quantity=course.quantity,
        food=course.food or "",
        piece=course.piece or "",
        of=course.of,
        state=course.state,
        since_s=place.seconds(course.steps[-1].since),
        made_s=place.seconds(course.made),
        made=f"{local:%Y-%m-%d %H:%M}",
        last_day="" if course.marked is None else course.marked.isoformat(),
        frozen=course.is_frozen,
        readings=tuple(reading_told(place, one, ledger) for one in readings),
        verdicts=() if judged is None else tuple(map(verdict_told, judged.verdicts)),
        ways=tuple(ToldWay(to, _lacks(judged, to)) for to in arrows(course.state)),
        cooling_since_s=None if start is None else place.seconds(start),
        cooling_words="" if judged is None or judged.cooled is None else judged.cooled.start_words,
        next_look_s=None if look is None else place.seconds(look),
        stair=() if rules is None or judged is None else stair(rules, judged, place),
        foreseen=None if isinstance(foreseen, str) else foreseen,
        not_foreseen=foreseen if isinstance(foreseen, str) else "",
    )


def _lacks(judged: Standing | None, to: State) -> tuple[str, ...]:
    """Without rules nothing can be proved, and nothing but discarding needs no proof."""
    if judged is not None:
        return judged.lacks(to)
    return () if to == "discarded" else (NO_RULES,)


def entry_told(record: Record, ledger: Ledger, dishes: dict[str, str]) -> ToldEntry:
    """An entry as it is read out; `dishes` is each lot's dish."""
    local = record.at + timedelta(minutes=record.offset_min)
    entered = record.entered + timedelta(minutes=record.offset_min)
    body = record.body
    reading = body.reading if isinstance(body, ReadingTaken | Corrected) else None
    lot = reading.lot if reading is not None else str(getattr(body, "lot", ""))
    return ToldEntry(
        id=record.id,
        day=f"{local:%Y-%m-%d}",
        clock=f"{local:%H:%M}",
        offset=offset_text(record.offset_min),
        entered=f"{entered:%Y-%m-%d %H:%M}",
        late=record.late,
        kind=body.kind,
        lot=lot,
        dish=dishes.get(lot, ""),
        words=body_words(record),
        person=record.person,
        device=record.device,
        instrument="" if reading is None else reading.instrument,
        instead_of=instead_of(ledger, record.id),
    )


def offset_text(offset_min: int) -> str:
    """Minutes ahead of UTC as they are written.

    >>> offset_text(-240), offset_text(330)
    ('-04:00', '+05:30')
    """
    hours, minutes = divmod(abs(offset_min), 60)
    return f"{'-' if offset_min < 0 else '+'}{hours:02}:{minutes:02}"


def body_words(record: Record) -> str:
    """What an entry says, but for who and when."""
    match record.body:
        case ReadingTaken(reading):
            return _read(reading)
        case Corrected(of, reading, why, second):
            return f"{_read(reading)}, in place of {of}: {why}{f', with {second}' if second else ''}"
        case LotMade(_, dish, quantity, made_of, food, piece):
            kinds = (one for one in (food, piece) if one)
            return ", ".join((dish, quantity, *kinds, *(f"of {one}" for one in made_of)))
        case Pulled(_, of, quantity):
            return f"{quantity} of {of} left the cold"
        case LotMarked(_, last_day):
            return f"last day {last_day.isoformat()}"
        case ChilledBy(_, way, thickness_mm):
            return f"{way}, {thickness_mm} mm thick"
        case FreezerMoved(_, way):
            return "into the freezer" if way == "in" else "out of the freezer"
        case TimeMarked(_, until):
            local = until + timedelta(minutes=record.offset_min)
            return f"on time alone until {local:%Y-%m-%d %H:%M}"
        case ProcedureKept(_, reference):
            return f"written procedure for time alone: {reference}"
        case RulesChosen(_, named):
            return f"rules from now on: {named}"
        case LotBecame(_, state, proofs, rules):
            proved = "; ".join(f"{one.proof}: {one.answer} ({one.section})" for one in proofs)
            return f"{state}, by {rules}: {proved}" if proved else state
        case ProbeChecked(one):
            return f"{one.instrument} showed {one.shown} °{one.unit} at {one.reference} °{one.unit}"
        case Deviation(_, rule, found):
            return f"{rule}: {found}"
        case Closed(of, cause, control, prevention, disposition):
            return (
                f"{of}; cause: {cause}; control: {control}; prevention: {prevention}; "
                f"disposition: {disposition}"
            )


def _read(one: Reading) -> str:
    held = f", watched {one.held_s} s" if one.held_s else ""
    return f"{one.value} °{one.unit}, {one.point}{' ' + one.place if one.place else ''}{held}"
