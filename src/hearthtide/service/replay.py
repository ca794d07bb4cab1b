"""A night to be looked at again: what each plan meant beside what happened, and why late tables were late."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from hearthtide.service import commands as told
from hearthtide.service.facts import ActDone, Facts, LivePlate, LiveTicket, table_of
from hearthtide.service.history import History, PlanTold, PlateThen, Told
from hearthtide.service.lateness import CAUSES, Late, PlanThen, about, late_courses
from hearthtide.service.words import words_of

SAME_S = 15.0  # a stay that moved by less is the same to the eye; own choice
BEGINS = frozenset({"launch", "load", "move"})  # acts after which food stands somewhere else


@dataclass(frozen=True)
class Stood:
    """A place held during [from_s, until_s), meant or real; `until_s` is None where nobody said its end."""

    from_s: float
    until_s: float | None
    x_m: float
    y_m: float


@dataclass(frozen=True)
class Meant:
    """Where a plan told at `at_s` meant a plate to stand; it holds until the next one."""

    at_s: float
    stays: tuple[Stood, ...]


@dataclass(frozen=True)
class PlateAgain:
    """One plate: what was meant, plan after plan, and where it stood by the acts done."""

    item: str
    table: str
    dish: str
    course: int
    off: str
    meant: tuple[Meant, ...]
    stood: tuple[Stood, ...]


@dataclass(frozen=True)
class CourseAgain:
    """A course: wanted, the landing of each plan that changed it (told when, lands when), how it landed."""

    table: str
    course: int
    covers: int
    called_s: float
    wanted_s: float
    told: tuple[tuple[float, float], ...]
    landed_s: float | None


@dataclass(frozen=True)
class Mark:
    """Something told in between; a spill has its circle and its end."""

    at_s: float
    kind: str
    of: str
    by: str
    words: str
    x_m: float | None = None
    y_m: float | None = None
    radius_m: float | None = None
    until_s: float | None = None


@dataclass(frozen=True)
class Replay:
    """A night from its first entry to its last."""

    from_s: float
    until_s: float
    late_after_s: float
    plates: tuple[PlateAgain, ...]
    courses: tuple[CourseAgain, ...]
    marks: tuple[Mark, ...]
    late: tuple[Late, ...]


_ByPlate = dict[str, list[tuple[float, PlateThen]]]  # when told, and how


def plans_then(plans: Iterable[PlanTold]) -> tuple[PlanThen, ...]:
    """Every plan as landings and acts."""
    return tuple(map(_then, plans))


def replay(facts: Facts, back: History, late_after_s: float) -> Replay:
    """The night again, of everything in its log that counts."""
    log, then = back.told, plans_then(back.plans)
    by_plate, off_s = _by_plate(back.plans), _taken_off(log)
    at_s = [one.command.at_s for one in log] or [0.0]
    return Replay(
        from_s=min(at_s),
        until_s=max(at_s),
        late_after_s=late_after_s,
        plates=tuple(
            _plate_again(plate, ticket, by_plate, off_s)
            for ticket in facts.tickets
            for plate in ticket.plates
        ),
        courses=tuple(
            _course_again(ticket, n, then)
            for ticket in facts.tickets
            for n in range(1, len(ticket.courses) + 1)
        ),
        marks=tuple(_mark(one) for one in log if isinstance(one.command.what, CAUSES)),
        late=late_courses(facts, log, then, late_after_s),
    )


def _then(plan: PlanTold) -> PlanThen:
    lands_s: dict[tuple[str, int], float] = {}
    acts_s: dict[tuple[str, str, int], float] = {}
    for order in plan.orders:
        key = (order.table, order.course)
        lands_s[key] = max(lands_s.get(key, 0.0), order.landing_s)
        for plate in order.plates:
            for nth, act, start_s in plate.acts:
                acts_s[plate.key, act, nth] = start_s
    return PlanThen(plan.at_s, plan.knows, lands_s, acts_s)


def _by_plate(plans: Iterable[PlanTold]) -> _ByPlate:
    found: _ByPlate = {}
    for plan in plans:
        for order in plan.orders:
            for plate in order.plates:
                found.setdefault(plate.key, []).append((plan.at_s, plate))
    return found


def _plate_again(
    plate: LivePlate, ticket: LiveTicket, plans: _ByPlate, off_s: dict[str, float]
) -> PlateAgain:
    own = plans.get(plate.key, [])
    landed_s = ticket.courses[plate.course - 1].landed_s
    end_s = off_s.get(plate.key) if plate.off else landed_s
    return PlateAgain(
        item=plate.key,
        table=table_of(plate.key),
        dish=plate.dish,
        course=plate.course,
        off=plate.off,
        meant=_meant(own),
        stood=_stood(plate, own, end_s),
    )


def _meant(own: Iterable[tuple[float, PlateThen]]) -> tuple[Meant, ...]:
    found: list[Meant] = []
    for at_s, kept in own:
        stays = tuple(Stood(s.start_s, s.end_s, s.x_m, s.y_m) for s in kept.stays)
        if not found or not _same(found[-1].stays, stays):
            found.append(Meant(at_s, stays))
    return tuple(found)


def _same(before: tuple[Stood, ...], now: tuple[Stood, ...]) -> bool:
    return len(before) == len(now) and all(
        (a.x_m, a.y_m) == (b.x_m, b.y_m)
        and abs(a.from_s - b.from_s) < SAME_S
        and abs((a.until_s or 0) - (b.until_s or 0)) < SAME_S
        for a, b in zip(before, now, strict=True)
    )


def _stood(
    plate: LivePlate, own: Sequence[tuple[float, PlateThen]], end_s: float | None
) -> tuple[Stood, ...]:
    """Where a plate stood: each act that puts it somewhere, at the place the plan of then had for it."""
    done = sorted(plate.done, key=lambda one: one.at_s)
    off = next((one.at_s for one in done if one.act == "pull"), end_s)
    puts = [(one, place) for one in done if one.act in BEGINS and (place := _place(one, own)) is not None]
    found = []
    for n, (one, (x_m, y_m)) in enumerate(puts):
        until_s = puts[n + 1][0].at_s if n + 1 < len(puts) else off
        if until_s is None or until_s > one.at_s:
            found.append(Stood(one.at_s, until_s, x_m, y_m))
    return tuple(found)


def _place(done: ActDone, own: Sequence[tuple[float, PlateThen]]) -> tuple[float, float] | None:
    """The place an act put food at, by the last plan told before it (or the first, if it was done sooner)."""
    if not own:
        return None
    kept = own[max(0, bisect_right([at_s for at_s, _ in own], done.at_s) - 1)][1]
    starts = [s for nth, act, s in kept.acts if (act, nth) == (done.act, done.nth)]
    if not starts or not kept.stays:
        return None
    stay = min(kept.stays, key=lambda one: abs(one.start_s - starts[0]))
    return stay.x_m, stay.y_m


def _taken_off(log: Iterable[Told]) -> dict[str, float]:
    """When plates were told off the hearth, by plate."""
    found: dict[str, float] = {}
    for one in log:
        what = one.command.what
        if isinstance(what, told.Refire):
            found[what.item] = one.command.at_s
        elif isinstance(what, told.Amended):
            found |= dict.fromkeys(what.take_off, one.command.at_s)
    return found


def _course_again(ticket: LiveTicket, number: int, plans: Iterable[PlanThen]) -> CourseAgain:
    key = (ticket.table, number)
    lands: list[tuple[float, float]] = []
    for plan in plans:
        lands_s = plan.lands_s.get(key)
        if lands_s is not None and (not lands or lands[-1][1] != lands_s):
            lands.append((plan.at_s, lands_s))
    course = ticket.courses[number - 1]
    return CourseAgain(
        table=ticket.table,
        course=number,
        covers=ticket.covers,
        called_s=ticket.called_s,
        wanted_s=course.wanted_s,
        told=tuple(lands),
        landed_s=course.landed_s,
    )


def _mark(one: Told) -> Mark:
    what, command = one.command.what, one.command
    mark = Mark(command.at_s, what.kind, about(what), command.by, words_of(what))
    if isinstance(what, told.Spill):
        return replace(mark, x_m=what.x_m, y_m=what.y_m, radius_m=what.radius_m, until_s=what.until_s)
    return mark
