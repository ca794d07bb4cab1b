"""Hot lots in their units, all run together: when each makes its marks, likely and on the slow side."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from hearthtide.day import chill_room
from hearthtide.day.chill_lots import ICE_J_KG, ColdUnit, HotLot, Marks
from hearthtide.day.chill_room import Body, Leg, RoomRun
from hearthtide.day.chill_sides import sides
from hearthtide.food.chill_band import ChillDoubt, ChillMember
from hearthtide.food.chill_methods import ChillMethod
from hearthtide.food.chilling import ChillLimits, ToChill, passed_s
from hearthtide.food.column import Floats

MARKS = ChillLimits(57.0, 21.0, 5.0, math.inf, math.inf)  # told where the rule set states no times
ROOM_S = 2 * 3600.0  # run on after the last limit, to see what becomes of the rest. Own choice.
NO_LIMIT_S = 10 * 3600.0  # how long is run where nothing is limited. Own choice.
# A thin pack in a unit warms the soonest of all that is stored there: 20 mm of lean food, wrapped. Own
# choice.
STORED = ToChill("shrimp", 0.02, wet=0.0)
Span = tuple[float, float, float]


@dataclass(frozen=True)
class Case:
    """What stays the same while a plan is made; `limits` are MARKS where nothing is `judged`."""

    units: tuple[ColdUnit, ...]
    limits: ChillLimits
    judged: bool
    keeps_C: float | None
    doubt: ChillDoubt


@dataclass(frozen=True)
class Placed:
    """A lot with the rooms it goes through: `moves_s` is when it changes to the second, None if never.

    `sides` are its slow and its quick member, `trays` by rack for each room; `fixed`: it was there before.
    """

    lot: HotLot
    rooms: tuple[int, ...]
    methods: tuple[ChillMethod, ...]
    sides: tuple[ChillMember, ChillMember]
    moves_s: float | None = None
    trays: tuple[tuple[tuple[str, int], ...], ...] = ()
    fixed: bool = False


@dataclass(frozen=True)
class Figures:
    """One lot in a run: its marks as likely and on the slow side, the share of its limits that side takes."""

    likely: Marks
    late: Marks
    used: float


@dataclass(frozen=True, eq=False)
class Seen:
    """All placed lots run together, `each` bodies for one lot; `stored_C` the warmest thin pack by room."""

    run: RoomRun
    each: int
    figures: tuple[Figures, ...]
    stored_C: tuple[float | None, ...]

    @property
    def end_s(self) -> float:
        return float(self.run.times_s[-1])


def in_rooms(case: Case, lot: HotLot, rooms: tuple[int, ...]) -> Placed:
    """A lot that goes through these rooms, its slow and quick side by the first of them."""
    methods = tuple(met(case.units[n], lot) for n in rooms)
    two = sides(lot.what, lot.core_C, methods[0], case.limits, case.doubt)
    return Placed(lot, rooms, methods, two)


def met(unit: ColdUnit, lot: HotLot) -> ChillMethod:
    """The unit's way for a lot, in its own air; melting ice keeps its own. KeyError where it has none."""
    method = unit.method(lot)
    if method is None:
        raise KeyError(f"{unit.key}: takes no {'pans' if lot.is_pan else 'pieces'}")
    return method if method.held or method.bottom_C is not None else replace(method, air_C=unit.air_C)


def run_all(
    case: Case, placed: Sequence[Placed], quick: bool = False, step_s: float = chill_room.STEP_S
) -> Seen:
    """Every lot as likely and on its slow side (and its quick one), a thin stored pack in each unit for food.

    The likely one alone warms the air: the others only meet it, each with its own doubt of it.
    """
    from_s = 60.0 * math.floor(min(one.lot.ready_s for one in placed) / 60)
    length_s = run_s(case.limits)
    until_s = max(one.lot.ready_s for one in placed) + length_s
    bodies = [body for one in placed for body in _bodies(case, one, length_s, quick)]
    keeping = [n for n, unit in enumerate(case.units) if unit.keeps and (unit.pieces or unit.pans)]
    for n in keeping:
        bodies.append(_stored(case.units[n], n, from_s, until_s))
    run = chill_room.run_units(case.units, bodies, from_s, until_s, step_s)
    each = 3 if quick else 2
    figures = tuple(_figures(case, one, run, each * n) for n, one in enumerate(placed))
    warmest = {n: float(run.core_C[each * len(placed) + i].max()) for i, n in enumerate(keeping)}
    return Seen(run, each, figures, tuple(warmest.get(n) for n in range(len(case.units))))


def _stored(unit: ColdUnit, room: int, from_s: float, until_s: float) -> Body:
    method = unit.pieces or unit.pans
    assert method is not None
    return Body(
        STORED, 0.0, max(0.0, unit.air_C), from_s, (Leg(room, replace(method, evaporates="no")),), (until_s,)
    )


def run_s(limits: ChillLimits) -> float:
    """How long a lot is followed after it is ready."""
    ends_s = min(limits.end_within_s, limits.middle_within_s + limits.further_within_s)
    return NO_LIMIT_S if math.isinf(ends_s) else ends_s + ROOM_S


def _bodies(case: Case, one: Placed, length_s: float, quick: bool) -> Iterator[Body]:
    since_s = one.lot.ready_s
    ends_s = (since_s + length_s,) if one.moves_s is None else (one.moves_s, since_s + length_s)
    rooms = one.rooms[:1] if one.moves_s is None else one.rooms
    through = tuple(zip(rooms, one.methods, strict=False))
    likely = tuple(Leg(n, method) for n, method in through)
    yield Body(one.lot.what, one.lot.mass_kg, one.lot.core_C, since_s, likely, ends_s)
    for side in one.sides if quick else one.sides[:1]:
        legs = tuple(
            Leg(n, side.meets(method, later=i > 0), 0.0 if method.held else side.air_K)
            for i, (n, method) in enumerate(through)
        )
        food, start_C = side.food(one.lot.what), side.start(one.lot.core_C)
        stop_C = -100.0 if quick else case.limits.end_C - 0.5  # a curve to be drawn goes on
        yield Body(food, 0.0, start_C, since_s, legs, ends_s, stop_C)


def first_step(run: RoomRun, ready_s: float) -> int:
    """The record of a run at which a lot is ready."""
    return round((ready_s - float(run.times_s[0])) / run.step_s)


def _figures(case: Case, one: Placed, run: RoomRun, first: int) -> Figures:
    since = first_step(run, one.lot.ready_s)
    times_s = run.times_s[since:]
    likely, late = (marks_of(times_s, run.core_C[first + n, since:], case.limits) for n in (0, 1))
    return Figures(likely, late, used_of(late, one.lot.ready_s, case.limits))


def marks_of(times_s: Floats, core_C: Floats, limits: ChillLimits) -> Marks:
    """When a course passes the limits' temperatures, on the clock of `times_s`."""
    return Marks(*(passed_s(times_s, core_C, c) for c in (limits.from_C, limits.middle_C, limits.end_C)))


def used_of(marks: Marks, ready_s: float, limits: ChillLimits) -> float:
    """The largest share of a limit's time: up to 1 kept, `inf` where a mark is not reached."""
    if marks.middle_s is None or marks.end_s is None:
        return math.inf
    begun_s = ready_s if marks.from_s is None else marks.from_s
    return max(
        (marks.middle_s - begun_s) / limits.middle_within_s,
        (marks.end_s - begun_s) / limits.end_within_s,
        (marks.end_s - marks.middle_s) / limits.further_within_s,
    )


def stays(one: Placed, figures: Figures, end_s: float) -> tuple[tuple[int, float, float], ...]:
    """Room, from when and until when a lot takes its trays there: until its slow side is cold."""
    cold_s = end_s if figures.late.end_s is None else figures.late.end_s
    if one.moves_s is None:
        return ((one.rooms[0], one.lot.ready_s, cold_s),)
    return (
        (one.rooms[0], one.lot.ready_s, one.moves_s),
        (one.rooms[1], one.moves_s, max(cold_s, one.moves_s)),
    )


def hot_spans(placed: Sequence[Placed], figures: Sequence[Figures], end_s: float, room: int) -> list[Span]:
    """From when to when how many kilograms are hot in a room: until the slow side is cold, or it moves on."""
    return [
        (stay[1], stay[2], one.lot.mass_kg)
        for one, own in zip(placed, figures, strict=True)
        for stay in stays(one, own, end_s)
        if stay[0] == room
    ]


def most_at_once(spans: Sequence[Span], from_s: float = -math.inf, until_s: float = math.inf) -> float:
    """The most that is there at one time between the two; each span is its beginning, its end, how much.

    >>> most_at_once([(0, 10, 2), (5, 20, 3), (30, 40, 9)], 0, 25)
    5
    """
    within = [(max(a, from_s), b, n) for a, b, n in spans if a < until_s and b > from_s]
    return max((sum(n for a, b, n in within if a <= at < b) for at, _, _ in within), default=0)


def ice_kg(seen: Seen, room: int) -> float:
    """How much ice the heat melts that a room took."""
    return float(seen.run.given_J[room].sum()) / ICE_J_KG
