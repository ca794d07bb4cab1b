"""A night's closing page in figures: plates made and not, what ran out, the floor, the flame, who was in.

Counted from the facts and the log alone; nothing is foreseen and nothing judged.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hearthtide.service import commands as told
from hearthtide.service.at_close import Note
from hearthtide.service.facts import Facts, LivePlate, Since, Taken
from hearthtide.service.history import Told

NEAR_S = 1800.0  # a reading so near a moment is of it; own choice
BUSY_S = 1800  # the busiest stretch of so long, as houses count covers: common practice, no source
_FATE = {"re-fired": "refired", "taken off": "taken_off", "86": "ran_out"}


@dataclass(frozen=True)
class DishCount:
    """The plates of one dish: `called` is the sum of the five after it; `wasted` counts apart, by reason."""

    dish: str
    called: int = 0
    made: int = 0
    refired: int = 0
    taken_off: int = 0
    ran_out: int = 0
    unfinished: int = 0
    wasted: tuple[tuple[str, int], ...] = ()

    @property
    def wasted_in_all(self) -> int:
        return sum(count for _, count in self.wasted)


@dataclass(frozen=True)
class Span:
    """Something that was so from then until then (None: to the end), and who said so."""

    name: str
    from_s: float
    until_s: float | None
    by: str


@dataclass(frozen=True)
class Floor:
    """A floor reading with who took it and where; `place` is empty where a spot was given."""

    at_s: float
    temperature_C: float
    by: str
    instrument: str
    place: str
    x_m: float | None
    y_m: float | None


@dataclass(frozen=True)
class Busiest:
    """The half hour in which most plates came off the hearth."""

    from_s: float
    until_s: float
    plates: int


@dataclass(frozen=True)
class WasIn:
    """Somebody who told something that night, and when first and last."""

    name: str
    first_s: float
    last_s: float
    told: int


@dataclass(frozen=True)
class Closing:
    """The figures of a night's closing page."""

    tickets: int
    covers: int
    courses_landed: int
    courses_open: int
    dishes: tuple[DishCount, ...]
    gone: tuple[Span, ...]
    cooks_out: tuple[Span, ...]
    flame: tuple[Since, ...]  # each change in order; the name is the level, empty when it went out
    spills: tuple[Since, ...]
    dead_platters: int
    floor_at_doors: Floor | None
    floor_highest: Floor | None
    floor_lowest: Floor | None
    floor_at_busiest: Floor | None
    busiest: Busiest | None
    was_in: tuple[WasIn, ...]
    handover: Note | None


def closing(facts: Facts, log: Sequence[Told], dishes: Iterable[str], doors_s: float) -> Closing:
    """The figures, `dishes` in the house's order; readings of the floor count from the doors on."""
    served = [t for t in facts.tickets if any(not p.off for p in t.plates)]
    courses = [c for t in facts.tickets for c in t.courses]
    landed = sum(c.landed_s is not None for c in courses)
    floor = [_floor(taken) for taken in facts.readings if taken.reading.of == "floor"]
    in_service = [one for one in floor if one.at_s >= doors_s]
    busiest = _busiest(facts)
    middle_s = None if busiest is None else (busiest.from_s + busiest.until_s) / 2
    return Closing(
        tickets=len(facts.tickets),
        covers=sum(t.covers for t in served),
        courses_landed=landed,
        courses_open=len(courses) - landed,
        dishes=_counts(facts, dishes),
        gone=_spans(log, told.EightySix, told.BackOn),
        cooks_out=_spans(log, told.CookOut, told.CookIn),
        flame=_flame(log),
        spills=tuple(_since(t, t.command.what.why) for t in log if isinstance(t.command.what, told.Spill)),
        dead_platters=facts.dead_platters,
        floor_at_doors=_nearest(floor, doors_s),
        floor_highest=max(in_service, key=lambda one: one.temperature_C, default=None),
        floor_lowest=min(in_service, key=lambda one: one.temperature_C, default=None),
        floor_at_busiest=_nearest(floor, middle_s),
        busiest=busiest,
        was_in=_was_in(log),
        handover=facts.handover,
    )


def _counts(facts: Facts, dishes: Iterable[str]) -> tuple[DishCount, ...]:
    fates: dict[str, Counter[str]] = {dish: Counter() for dish in dishes}
    for ticket in facts.tickets:
        for plate in ticket.plates:
            has_landed = ticket.courses[plate.course - 1].landed_s is not None
            fates.setdefault(plate.dish, Counter())[_fate(plate, has_landed)] += 1
    for waste in facts.wasted:
        fates.setdefault(waste.dish, Counter())
    return tuple(
        DishCount(
            dish,
            called=count.total(),
            **count,
            wasted=_wasted(facts, dish),
        )
        for dish, count in fates.items()
    )


def _wasted(facts: Facts, dish: str) -> tuple[tuple[str, int], ...]:
    """How many portions for each reason, most first."""
    own = [(w.why, w.count) for w in facts.wasted if w.dish == dish]
    return tuple(sorted(own, key=lambda one: (-one[1], one[0])))


def _fate(plate: LivePlate, has_landed: bool) -> str:
    """What became of a plate, as DishCount names it."""
    if plate.off:
        return _FATE[plate.off]
    return "made" if has_landed or any(done.act == "pull" for done in plate.done) else "unfinished"


def _spans(
    log: Iterable[Told],
    begins: type[told.EightySix] | type[told.CookOut],
    ends: type[told.BackOn] | type[told.CookIn],
) -> tuple[Span, ...]:
    spans: list[Span] = []
    for one in log:
        what, at_s = one.command.what, one.command.at_s
        if isinstance(what, begins):
            spans.append(Span(_named(what), at_s, None, one.command.by))
        elif isinstance(what, ends):
            spans = [
                Span(s.name, s.from_s, at_s, s.by) if s.name == _named(what) and s.until_s is None else s
                for s in spans
            ]
    return tuple(spans)


def _named(what: told.EightySix | told.BackOn | told.CookOut | told.CookIn) -> str:
    return what.dish if isinstance(what, told.EightySix | told.BackOn) else what.cook


def _flame(log: Iterable[Told]) -> tuple[Since, ...]:
    changes = []
    for one in log:
        if isinstance(one.command.what, told.FlameSet):
            changes.append(_since(one, one.command.what.level))
        elif isinstance(one.command.what, told.FlameOut):
            changes.append(_since(one, ""))
    return tuple(changes)


def _since(one: Told, name: str) -> Since:
    return Since(name, one.command.at_s, one.command.by)


def _floor(taken: Taken) -> Floor:
    reading, spot = taken.reading, taken.reading.spot
    return Floor(
        at_s=taken.at_s,
        temperature_C=reading.temperature_C,
        by=taken.by,
        instrument=reading.instrument,
        place=reading.place or reading.item or "",
        x_m=None if spot is None else spot.x_m,
        y_m=None if spot is None else spot.y_m,
    )


def _nearest(floor: Iterable[Floor], at_s: float | None) -> Floor | None:
    """The reading nearest a moment, if one is near enough to be of it."""
    if at_s is None:
        return None
    near = [one for one in floor if abs(one.at_s - at_s) <= NEAR_S]
    return min(near, key=lambda one: abs(one.at_s - at_s), default=None)


def _busiest(facts: Facts) -> Busiest | None:
    """Half hours from the clock's whole and half hours, the first of those with most plates."""
    off_s = sorted(
        done.at_s for t in facts.tickets for p in t.plates for done in p.done if done.act == "pull"
    )
    if not off_s:
        return None
    starts = sorted({at_s // BUSY_S * BUSY_S for at_s in off_s})
    counts = [bisect_left(off_s, start + BUSY_S) - bisect_left(off_s, start) for start in starts]
    most = max(counts)
    start = starts[counts.index(most)]
    return Busiest(start, start + BUSY_S, most)


def _was_in(log: Iterable[Told]) -> tuple[WasIn, ...]:
    """Who told something; what was only taken as done when due, and what a till called, is nobody's."""
    found: dict[str, WasIn] = {}
    for one in log:
        command, what = one.command, one.command.what
        if isinstance(what, told.MoveDone) and what.assumed:
            continue
        if isinstance(what, told.TicketCalled) and what.way == "feed":
            continue
        before = found.get(command.by, WasIn(command.by, command.at_s, command.at_s, 0))
        found[command.by] = WasIn(
            command.by,
            min(before.first_s, command.at_s),
            max(before.last_s, command.at_s),
            before.told + 1,
        )
    return tuple(found.values())
