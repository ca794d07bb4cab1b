"""A night rolled forward event by event up to now, and what the last of it changed: for `replan` and `quote`.

Every ticket called and everything told to have happened is put into the plan in order of time, and the plan
is made anew each time; what nobody reported was done as told. The same events and search give the same plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from hearthtide.house.models import Act
from hearthtide.planning.cost import SAME_S
from hearthtide.planning.events import Event, NewTicket, after_event
from hearthtide.planning.orders import course_key
from hearthtide.planning.problem import Handling, Placed, Problem, Schedule
from hearthtide.planning.replan import Search, replanned
from hearthtide.planning.told import TOLD_S, Running
from hearthtide.quantities.show import clock_text

NOTHING = Schedule((), 0.0, 0, 0)
SLIP_S = 30  # a table that lands this much later has slipped: less, nobody at it can tell; own choice


@dataclass(frozen=True)
class Happening:
    """Something that happened at `at_s`, in words.

    `events` says what it means for the plan as it then runs; ValueError, in words, where it cannot be so.
    """

    at_s: int
    words: str
    events: Callable[[Running], tuple[Event, ...]]


@dataclass(frozen=True)
class Slip:
    """A course that lands later than was told."""

    ticket: str
    course: str
    was_s: int
    is_s: int

    @property
    def by_s(self) -> int:
        return self.is_s - self.was_s


@dataclass(frozen=True)
class Changed:
    """An act told for the next minute that is now otherwise: another second or place, or gone (None)."""

    item: str
    act: Act
    was_s: int
    is_s: int | None
    elsewhere: bool


def called(problem: Problem) -> tuple[Happening, ...]:
    """Every ticket of a problem as it is called, in order of time."""
    by_ticket: dict[tuple[int, str], list[int]] = {}
    for n, order in enumerate(problem.orders):
        by_ticket.setdefault((order.called_s, order.ticket), []).append(n)
    found = []
    for (at_s, ticket), numbers in sorted(by_ticket.items()):
        event = NewTicket(tuple(problem.orders[n] for n in numbers))
        found.append(Happening(at_s, f"{ticket} is called", _always(event)))
    return tuple(found)


def _always(event: Event) -> Callable[[Running], tuple[Event, ...]]:
    return lambda _: (event,)


@dataclass(frozen=True)
class Rolled:
    """The plan just before what happened last, the plan made anew after it, and what could not be so."""

    before: Running
    after: Running
    unheard: tuple[str, ...]


def rolled(problem: Problem, happenings: Sequence[Happening], now_s: int, search: Search) -> Rolled:
    """The night up to `now_s`; what happens later is not known yet.

    None of the problem's own orders is open before a happening calls it. What cannot be so (an act that was
    not told, a plate long landed) changes nothing and is given back in words.
    """
    running = Running(replace(problem, orders=()), NOTHING, min(problem.from_s, now_s))
    known = sorted((h for h in happenings if h.at_s <= now_s), key=lambda h: h.at_s)
    unheard: list[str] = []
    for at_s, together in groupby((h for h in known if h.at_s < now_s), key=lambda h: h.at_s):
        running = _after(replace(running, now_s=at_s), together, search, unheard)
    before = replace(running, now_s=now_s)
    after = _after(before, (h for h in known if h.at_s == now_s), search, unheard)
    return Rolled(before, after, tuple(unheard))


def _after(running: Running, happenings: Iterable[Happening], search: Search, unheard: list[str]) -> Running:
    for happening in happenings:
        try:
            new = running
            for event in happening.events(running):
                new = after_event(new, event)
            running = new
        except ValueError as err:
            unheard.append(f"{clock_text(happening.at_s)} {happening.words}: {err}")
    return replanned(running, search) if running.problem.orders else running


def slips(before: Running, after: Running, least_s: int = SLIP_S) -> tuple[Slip, ...]:
    """The courses that now land at least so much later than told, the worst first."""
    was, now = _landings_s(before.schedule), _landings_s(after.schedule)
    found = [
        Slip(ticket, course, was[ticket, course], s)
        for (ticket, course), s in now.items()
        if (ticket, course) in was
    ]
    return tuple(sorted((s for s in found if s.by_s >= least_s), key=lambda s: (-s.by_s, s.course)))


def _landings_s(schedule: Schedule) -> dict[tuple[str, str], int]:
    """When each course's last drop lands, by ticket and course."""
    found: dict[tuple[str, str], int] = {}
    for booked in schedule.booked:
        key = (booked.order.ticket, course_key(booked.order))
        found[key] = max(booked.landing_s, found.get(key, 0))
    return found


def changed_moves(before: Running, after: Running, told_s: int = TOLD_S) -> tuple[Changed, ...]:
    """The acts told for the next `told_s` that are now otherwise by more than 2 s, or elsewhere, or gone."""
    new = {p.item.key: p for b in after.schedule.booked for p in b.placed}
    found = []
    for placed in (p for b in before.schedule.booked for p in b.placed):
        for n, (was, place) in _acts(placed):
            if not before.now_s <= was.start_s < before.now_s + told_s:
                continue
            now = dict(_acts(new[placed.item.key])).get(n) if placed.item.key in new else None
            is_s = None if now is None else now[0].start_s
            elsewhere = now is not None and now[1] != place
            if is_s is None or elsewhere or abs(is_s - was.start_s) > SAME_S:
                found.append(Changed(placed.item.key, was.act, was.start_s, is_s, elsewhere))
    return tuple(sorted(found, key=lambda c: (c.was_s, c.item)))


def _acts(placed: Placed) -> Iterator[tuple[tuple[Act, int, int], tuple[Handling, int]]]:
    """An item's acts with their places, each by its act, stage and how many alike came before it."""
    at = {stay.stage: stay.place for stay in placed.stays}
    seen: dict[tuple[Act, int], int] = {}
    for handling in placed.handlings:
        alike = (handling.act, handling.stage)
        seen[alike] = seen.get(alike, 0) + 1
        yield (*alike, seen[alike]), (handling, at.get(handling.stage, -1))
