"""What is still to be cooked, as the planner's orders, from the facts of a running night.

A course keeps its drops as long as its plates and the drops asked for stay the same: a table that has been
told of two landings is not cut anew because something else happened. What has begun stays where it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import count

from hearthtide.house.models import House
from hearthtide.planning.build import fitting_drops
from hearthtide.planning.engine.search import fits_alone
from hearthtide.planning.orders import course_key, courses_of, numbered
from hearthtide.planning.problem import Item, Order, Problem, Stage, split
from hearthtide.service.facts import Facts, LivePlate, LiveTicket
from hearthtide.service.tickets import Course, Plate, Ticket, file_of

Stages = Mapping[str, tuple[Stage, ...]]


def open_courses(
    house: House, problem: Problem, stages: Stages, facts: Facts, planned: frozenset[str]
) -> tuple[Order, ...]:
    """Every course with something left to do at the hearth as one order, in its tickets' order.

    Of a course that is held only what has begun is in it; plates taken off are not, nor those off the hearth
    that are not `planned` any more.
    """
    found: list[Order] = []
    for ticket in facts.tickets:
        found += _courses(house, problem, stages, ticket, planned)
    return tuple(found)


def is_out(plate: LivePlate) -> bool:
    """Whether a plate is off the hearth for good: pulled as often as it went in."""
    pulls, launches = (sum(d.act == act for d in plate.done) for act in ("pull", "launch"))
    return pulls >= max(1, launches)


def _courses(
    house: House, problem: Problem, stages: Stages, ticket: LiveTicket, planned: frozenset[str]
) -> list[Order]:
    open_ = [n for n, course in enumerate(ticket.courses, 1) if course.landed_s is None]
    plates = {n: _cooked(ticket, n, planned) for n in open_}
    wanted = [n for n in open_ if any(not is_out(p) for p in plates[n])]
    if not wanted:
        return []
    orders = courses_of(house, file_of(as_called(ticket, wanted, plates)), problem.places, stages)
    return [_named(order, f"{ticket.table}.{n}", plates[n]) for n, order in zip(wanted, orders, strict=True)]


def _cooked(ticket: LiveTicket, number: int, planned: frozenset[str]) -> tuple[LivePlate, ...]:
    held = ticket.courses[number - 1].held
    own = (p for p in ticket.plates if p.course == number and not p.off)
    still = (p for p in own if p.key in planned or not is_out(p))
    return tuple(p for p in still if p.begun or not held)


def as_called(
    ticket: LiveTicket, wanted: Iterable[int], plates: Mapping[int, tuple[LivePlate, ...]]
) -> Ticket:
    """These courses of a live ticket with these plates, as they would be called now."""
    courses = []
    for n in wanted:
        live = ticket.courses[n - 1]
        own = tuple(Plate(p.dish, p.spot, p.allergy) for p in plates[n])
        courses.append(Course(live.wanted_s, own, live.drops, live.drops_apart_s, live.drag_s))
    return Ticket(
        ticket.table,
        ticket.covers,
        ticket.called_s,
        tuple(courses),
        ticket.priority,
        ticket.allergy,
        ticket.refire_of,
    )


def _named(order: Order, key: str, plates: tuple[LivePlate, ...]) -> Order:
    """The order and its items under the keys they have for good."""
    items = tuple(replace(item, key=plate.key) for item, plate in zip(order.items, plates, strict=True))
    return replace(order, key=key, items=items)


def in_drops(
    problem: Problem, courses: Iterable[Order], before: Iterable[Order], begun: frozenset[str]
) -> tuple[Order, ...]:
    """The courses in the drops they land in, as `before` where nothing about them has changed.

    `begun` are the keys of plates on the hearth: their drop is not changed under them.
    """
    was: dict[str, list[Order]] = {}
    for order in before:
        was.setdefault(course_key(order), []).append(order)
    found: list[Order] = []
    for course in courses:
        found += _drops(problem, course, was.get(course.key, []), begun)
    return numbered(found)


def _drops(problem: Problem, course: Order, was: list[Order], begun: frozenset[str]) -> list[Order]:
    keys = {item.key for item in course.items}
    had = [[item.key for item in order.items if item.key in keys] for order in was]
    known = {key for drop in had for key in drop}
    asked_anew = bool(was) and was[0].wished_drops != course.wished_drops
    if not known & begun and (known != keys or asked_anew or any(not drop for drop in had)):
        return fitting_drops(problem, course)
    by_key = {item.key: item for item in course.items}
    if asked_anew:
        groups = _split_anew(course, begun)
    else:
        groups = [[by_key[key] for key in drop] for drop in had if drop]
        groups = _with_new(problem, course, groups, [by_key[key] for key in by_key if key not in known])
    return _numbered_drops(course, groups, [order.key for order, own in zip(was, had, strict=True) if own])


def _split_anew(course: Order, begun: frozenset[str]) -> list[list[Item]]:
    """What has begun lands first; the rest in as many drops as are then left."""
    first = [item for item in course.items if item.key in begun]
    rest = tuple(item for item in course.items if item.key not in begun)
    if not rest or course.wished_drops == 1:
        return [[*first, *rest]]
    return [
        first,
        *(list(drop.items) for drop in split(replace(course, items=rest), course.wished_drops - 1)),
    ]


def _with_new(problem: Problem, course: Order, groups: list[list[Item]], new: list[Item]) -> list[list[Item]]:
    """Plates added go with the last drop where the hands and the stone can land it so, else after it."""
    if not new:
        return groups
    together = [*groups[-1], *new]
    if fits_alone(problem, replace(course, items=tuple(together))):
        return [*groups[:-1], together]
    more = fitting_drops(problem, replace(course, items=tuple(new), wished_drops=1))
    return [*groups, *(list(order.items) for order in more)]


def _numbered_drops(course: Order, groups: list[list[Item]], keys: list[str]) -> list[Order]:
    """The groups as drops, under the keys they had: what they were told of goes by these."""
    if len(groups) == 1:
        return [replace(course, items=tuple(groups[0]))]
    taken = set(keys)
    free = (key for n in count(1) if (key := f"{course.key}/{n}") not in taken)
    named = [*keys[: len(groups)], *(next(free) for _ in groups[len(keys) :])]
    return [
        replace(
            course,
            key=key,
            items=tuple(own),
            wanted_s=course.wanted_s + n * course.drops_apart_s,
            weight=course.weight * len(own) / len(course.items),
        )
        for n, (key, own) in enumerate(zip(named, groups, strict=True))
    ]
