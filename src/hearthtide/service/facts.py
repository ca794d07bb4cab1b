"""What is so in a night once everything told has happened; each event makes new facts of the old ones.

Nothing here judges: an event that reached the log has been judged, and is taken at its word.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import singledispatch
from typing import Any, Protocol, TypeVar

from hearthtide.house.models import Act
from hearthtide.service import commands as told
from hearthtide.service.at_close import Note, Wasted
from hearthtide.service.plan_told import PlanMade
from hearthtide.service.tickets import Plate, Spot, Ticket


@dataclass(frozen=True)
class ActDone:
    """An act on a plate, done at `at_s`; `assumed` when nobody said so and it was only due."""

    act: Act
    nth: int
    at_s: float
    by: str
    assumed: bool = False


@dataclass(frozen=True)
class Later:
    """An act on a plate that will not be before `until_s`."""

    act: Act
    nth: int
    until_s: float


@dataclass(frozen=True)
class LivePlate:
    """One plate under its key for good; `off` says why it is no longer made (empty: it is)."""

    key: str
    dish: str
    course: int
    spot: Spot | None
    allergy: tuple[str, ...]
    off: str = ""
    done: tuple[ActDone, ...] = ()
    later: tuple[Later, ...] = ()
    seen_done_s: float | None = None

    @property
    def begun(self) -> bool:
        """Whether food or its vessel is on the hearth, or has been: a base dressed at the bench is not."""
        return any(done.act != "dress" for done in self.done)


@dataclass(frozen=True)
class LiveCourse:
    """What lands together; `held` until fired, `landed_s` once it has left for its table."""

    wanted_s: float
    drops: int
    drops_apart_s: float
    drag_s: float
    held: bool = False
    landed_s: float | None = None

    @property
    def lands_s(self) -> float:
        """The second it is to land at, `drag_s` included."""
        return self.wanted_s + self.drag_s


@dataclass(frozen=True)
class LiveTicket:
    """A ticket as it stands; `courses` in order, `plates` in the order they were told."""

    table: str
    covers: int
    called_s: float
    priority: float
    allergy: tuple[str, ...]
    refire_of: str | None
    way: told.Way
    courses: tuple[LiveCourse, ...]
    plates: tuple[LivePlate, ...]


@dataclass(frozen=True)
class Shut:
    """A circle of stone nothing may stand on."""

    x_m: float
    y_m: float
    radius_m: float
    from_s: float
    until_s: float
    why: str


@dataclass(frozen=True)
class Taken:
    """A reading with who took it and when."""

    reading: told.Reading
    by: str
    at_s: float


@dataclass(frozen=True)
class Since:
    """A dish, a cook or a flame's level, and since when and by whom it is told so."""

    name: str
    at_s: float
    by: str


@dataclass(frozen=True)
class Facts:
    """A night as it stands; every list in the order things were told."""

    tickets: tuple[LiveTicket, ...] = ()
    gone: tuple[Since, ...] = ()
    cooks_out: tuple[Since, ...] = ()
    shut: tuple[Shut, ...] = ()
    dead_platters: int = 0
    flame: Since | None = None
    flame_out: Since | None = None
    gas_shut: Since | None = None
    dangers: tuple[Since, ...] = ()
    danger_over_s: float = -1.0  # when the last one ended; before that nothing is supposed to have been done
    readings: tuple[Taken, ...] = ()
    plan: PlanMade | None = None
    wasted: tuple[Wasted, ...] = ()
    handover: Note | None = None

    def ticket(self, table: str) -> LiveTicket | None:
        return next((t for t in self.tickets if t.table == table), None)

    def wasted_of(self, dish: str, why: str) -> int:
        """How many portions of a dish were thrown away for that reason."""
        return next((w.count for w in self.wasted if (w.dish, w.why) == (dish, why)), 0)

    def plate(self, key: str) -> LivePlate | None:
        ticket = self.ticket(table_of(key))
        return None if ticket is None else next((p for p in ticket.plates if p.key == key), None)


def table_of(key: str) -> str:
    """The table of a plate's key.

    >>> table_of("B4-2+")
    'B4'
    """
    return key.rpartition("-")[0]


def after(facts: Facts, command: told.Command) -> Facts:
    """The facts once a command that was taken has happened."""
    return _after(command.what, facts, command)


@singledispatch
def _after(what: object, facts: Facts, command: told.Command) -> Facts:
    raise TypeError(f"{type(what).__name__} changes no facts by itself")


@_after.register
def _called(what: told.TicketCalled, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, tickets=(*facts.tickets, _live(what.ticket, what.way)))


@_after.register
def _amended(what: told.Amended, facts: Facts, command: told.Command) -> Facts:
    def amend(ticket: LiveTicket) -> LiveTicket:
        plates = tuple(replace(p, off="taken off") if p.key in what.take_off else p for p in ticket.plates)
        return replace(
            ticket,
            covers=ticket.covers if what.covers is None else what.covers,
            priority=ticket.priority if what.priority is None else what.priority,
            allergy=ticket.allergy if what.allergy is None else what.allergy,
            plates=plates,
        )

    facts = _with_ticket(facts, what.table, amend)
    if what.wanted_s is None:
        return facts
    return _with_course(facts, what.table, what.course, wanted_s=what.wanted_s)


@_after.register
def _added(what: told.DishesAdded, facts: Facts, command: told.Command) -> Facts:
    def add(ticket: LiveTicket) -> LiveTicket:
        return replace(ticket, plates=ticket.plates + _numbered(ticket, what.plates, what.course))

    return _with_ticket(facts, what.table, add)


@_after.register
def _gone(what: told.EightySix, facts: Facts, command: told.Command) -> Facts:
    def without(ticket: LiveTicket) -> LiveTicket:
        return replace(ticket, plates=tuple(_off_if(p, what.dish) for p in ticket.plates))

    since = Since(what.dish, command.at_s, command.by)
    tickets = tuple(map(without, facts.tickets))
    return replace(facts, tickets=tickets, gone=(*facts.gone, since))


@_after.register
def _back_on(what: told.BackOn, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, gone=tuple(g for g in facts.gone if g.name != what.dish))


@_after.register
def _held(what: told.Hold, facts: Facts, command: told.Command) -> Facts:
    return _with_course(facts, what.table, what.course, held=True)


@_after.register
def _fired(what: told.Fire, facts: Facts, command: told.Command) -> Facts:
    return _with_course(facts, what.table, what.course, held=False, wanted_s=what.wanted_s, drag_s=0.0)


@_after.register
def _dragged(what: told.Drag, facts: Facts, command: told.Command) -> Facts:
    return _with_course(facts, what.table, what.course, drag_s=what.drag_s)


@_after.register
def _split(what: told.Split, facts: Facts, command: told.Command) -> Facts:
    return _with_course(facts, what.table, what.course, drops=what.drops, drops_apart_s=what.drops_apart_s)


@_after.register
def _refired(what: told.Refire, facts: Facts, command: told.Command) -> Facts:
    def again(ticket: LiveTicket) -> LiveTicket:
        old = next(p for p in ticket.plates if p.key == what.item)
        new = LivePlate(f"{old.key}+", old.dish, old.course, old.spot, old.allergy)
        plates = tuple(replace(p, off="re-fired") if p is old else p for p in ticket.plates)
        return replace(ticket, plates=(*plates, new))

    return _with_ticket(facts, table_of(what.item), again)


@_after.register
def _landed(what: told.Landed, facts: Facts, command: told.Command) -> Facts:
    return _with_course(facts, what.table, what.course, held=False, landed_s=command.at_s)


@_after.register
def _done(what: told.MoveDone, facts: Facts, command: told.Command) -> Facts:
    done = ActDone(what.act, what.nth, command.at_s, command.by, what.assumed)

    def with_act(plate: LivePlate) -> LivePlate:
        return replace(
            plate,
            done=(*_others(plate.done, what), done),
            later=_others(plate.later, what),
            seen_done_s=None,
        )

    return _with_plate(facts, what.item, with_act)


@_after.register
def _not_yet(what: told.NotYet, facts: Facts, command: told.Command) -> Facts:
    later = Later(what.act, what.nth, command.at_s + what.late_s)

    def put_off(plate: LivePlate) -> LivePlate:
        return replace(plate, done=_others(plate.done, what), later=(*_others(plate.later, what), later))

    return _with_plate(facts, what.item, put_off)


@_after.register
def _seen(what: told.StageSeen, facts: Facts, command: told.Command) -> Facts:
    return _with_plate(facts, what.item, lambda plate: replace(plate, seen_done_s=what.done_s))


@_after.register
def _read(what: told.Reading, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, readings=(*facts.readings, Taken(what, command.by, command.at_s)))


@_after.register
def _spilt(what: told.Spill, facts: Facts, command: told.Command) -> Facts:
    shut = Shut(what.x_m, what.y_m, what.radius_m, command.at_s, what.until_s, what.why)
    return replace(facts, shut=(*facts.shut, shut))


@_after.register
def _dead(what: told.DeadPlatter, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, dead_platters=facts.dead_platters + what.count)


@_after.register
def _out(what: told.CookOut, facts: Facts, command: told.Command) -> Facts:
    since = Since(what.cook, command.at_s, command.by)
    return replace(facts, cooks_out=(*facts.cooks_out, since))


@_after.register
def _in(what: told.CookIn, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, cooks_out=tuple(c for c in facts.cooks_out if c.name != what.cook))


@_after.register
def _flame_out(what: told.FlameOut, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, flame_out=Since("the flame", command.at_s, command.by))


@_after.register
def _gas_shut(what: told.GasShut, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, gas_shut=Since("the gas", command.at_s, command.by))


@_after.register
def _danger(what: told.DangerSeen, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, dangers=(*facts.dangers, Since(what.danger, command.at_s, command.by)))


@_after.register
def _danger_over(what: told.DangerOver, facts: Facts, command: told.Command) -> Facts:
    left = tuple(one for one in facts.dangers if one.name != what.danger)
    return replace(facts, dangers=left, danger_over_s=max(facts.danger_over_s, command.at_s))


@_after.register
def _flame_set(what: told.FlameSet, facts: Facts, command: told.Command) -> Facts:
    burns = Since(what.level, command.at_s, command.by)
    return replace(facts, flame=burns, flame_out=None, gas_shut=None)


@_after.register
def _planned(what: PlanMade, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, plan=what)


@_after.register
def _wasted(what: told.Waste, facts: Facts, command: told.Command) -> Facts:
    count = facts.wasted_of(what.dish, what.why) + what.count
    others = tuple(w for w in facts.wasted if (w.dish, w.why) != (what.dish, what.why))
    return replace(facts, wasted=(*others, Wasted(what.dish, what.why, count)) if count else others)


@_after.register
def _handed_over(what: told.Handover, facts: Facts, command: told.Command) -> Facts:
    return replace(facts, handover=Note(what.words, command.by, command.at_s))


def _live(ticket: Ticket, way: told.Way) -> LiveTicket:
    courses = tuple(LiveCourse(c.wanted_s, c.drops, c.drops_apart_s, c.drag_s) for c in ticket.courses)
    live = LiveTicket(
        ticket.table,
        ticket.covers,
        ticket.called_s,
        ticket.priority,
        ticket.allergy,
        ticket.refire_of,
        way,
        courses,
        (),
    )
    for number, course in enumerate(ticket.courses, 1):
        live = replace(live, plates=live.plates + _numbered(live, course.plates, number))
    return live


def _numbered(ticket: LiveTicket, plates: Iterable[Plate], course: int) -> tuple[LivePlate, ...]:
    """New plates of a ticket, numbered on from those it ever had."""
    first = 1 + max((number_of(p.key) for p in ticket.plates), default=0)
    return tuple(
        LivePlate(f"{ticket.table}-{n}", plate.dish, course, plate.spot, plate.allergy)
        for n, plate in enumerate(plates, first)
    )


def number_of(key: str) -> int:
    """The number in a plate's key.

    >>> number_of("B4-12+")
    12
    """
    return int(key.rpartition("-")[2].rstrip("+"))


def _off_if(plate: LivePlate, dish: str) -> LivePlate:
    return replace(plate, off="86") if plate.dish == dish and not plate.off and not plate.begun else plate


class _OfAct(Protocol):
    @property
    def act(self) -> Act: ...
    @property
    def nth(self) -> int: ...


_Same = TypeVar("_Same", bound=_OfAct)


def _others(acts: tuple[_Same, ...], than: _OfAct) -> tuple[_Same, ...]:
    return tuple(a for a in acts if (a.act, a.nth) != (than.act, than.nth))


def _with_ticket(facts: Facts, table: str, change: Callable[[LiveTicket], LiveTicket]) -> Facts:
    tickets = tuple(change(t) if t.table == table else t for t in facts.tickets)
    return replace(facts, tickets=tickets)


def _with_course(facts: Facts, table: str, number: int, **changed: Any) -> Facts:
    def change(ticket: LiveTicket) -> LiveTicket:
        courses = tuple(replace(c, **changed) if n == number else c for n, c in enumerate(ticket.courses, 1))
        return replace(ticket, courses=courses)

    return _with_ticket(facts, table, change)


def _with_plate(facts: Facts, key: str, change: Callable[[LivePlate], LivePlate]) -> Facts:
    def with_plate(ticket: LiveTicket) -> LiveTicket:
        return replace(ticket, plates=tuple(change(p) if p.key == key else p for p in ticket.plates))

    return _with_ticket(facts, table_of(key), with_plate)
