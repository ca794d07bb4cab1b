"""What happens during a night, put into the plan being run; told acts stay, a search mends them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hearthtide.planning.problem import Booked, Chore, Closed, Handling, Item, Order, Placed, Schedule
from hearthtide.planning.slide import with_acts
from hearthtide.planning.told import Running

CLEAR_S = 30  # within which spoiled food is taken off the hearth; own choice


@dataclass(frozen=True)
class NewTicket:
    """Orders called just now."""

    orders: tuple[Order, ...]


@dataclass(frozen=True)
class ActSeen:
    """An act was done, is under way, or will not be before `start_s`; `told` is the act as it stands."""

    item: str
    told: Handling
    start_s: int
    hands_s: int


@dataclass(frozen=True)
class StageSeen:
    """A probe or an eye: this stage, begun already, will be done at `end_s`."""

    item: str
    stage: int
    end_s: int


@dataclass(frozen=True)
class Gone:
    """A dish has run out (86): what has not begun of it is taken off its orders."""

    dish: str


@dataclass(frozen=True)
class Refire:
    """An item is spoiled: it comes off the hearth at once, and the same dish is begun anew for its order.

    A plate that has left for its table is a new ticket instead.
    """

    item: str


Event = NewTicket | ActSeen | StageSeen | Closed | Gone | Refire


def after_event(running: Running, event: Event) -> Running:
    """The plan with what has happened in it.

    Food on a place that is now `Closed` (a spill) is not taken off by itself: say `Refire` for it.

    Raises
    ------
    ValueError
        An order is open already; an item, an act or a stage is not there, or has not begun.
    """
    problem, schedule = running.problem, running.schedule
    match event:
        case NewTicket(orders):
            taken = {o.key for o in problem.orders} & {o.key for o in orders}
            if taken:
                raise ValueError(f"order {min(taken)} is open already. Give the new one another key.")
            return replace(running, problem=replace(problem, orders=problem.orders + orders))
        case Closed():
            return replace(running, problem=replace(problem, closed=(*problem.closed, event)))
        case Gone(dish):
            return _without(running, dish)
        case Refire(item):
            return _refired(running, item)
        case ActSeen():
            booked, placed = find(schedule, event.item)
            new = with_acts(problem, booked, {event.item: _seen(placed, event)})
        case StageSeen():
            booked, placed = find(schedule, event.item)
            new = _with_placed(booked, _corrected(placed, event, running.now_s))
    return replace(running, schedule=_swapped(schedule, booked, new))


def find(schedule: Schedule, key: str) -> tuple[Booked, Placed]:
    """The order and the item of that key.

    Raises
    ------
    ValueError
        No order of the schedule has it.
    """
    for booked in schedule.booked:
        for placed in booked.placed:
            if placed.item.key == key:
                return booked, placed
    raise ValueError(f"item {key} is in no open order of the plan")


def _seen(placed: Placed, event: ActSeen) -> tuple[Handling, ...]:
    if event.told not in placed.handlings:
        raise ValueError(f"{event.item}: no {event.told.act} is told for it at {event.told.start_s} s")
    seen = replace(event.told, start_s=event.start_s, hands_s=event.hands_s)
    return tuple(seen if h == event.told else h for h in placed.handlings)


def _corrected(placed: Placed, event: StageSeen, now_s: int) -> Placed:
    """The item with that stage thought to be done then; its planned end stays for the search to move."""
    begun = [s for s in placed.stays if s.stage == event.stage and s.start_s <= now_s]
    if not begun:
        raise ValueError(f"{event.item} stage {event.stage}: it has not begun, so nothing is seen of it")
    if event.end_s <= begun[0].start_s:
        raise ValueError(
            f"{event.item} stage {event.stage}: done at {event.end_s} s (expected after it began, "
            f"{begun[0].start_s} s)"
        )
    right = replace(begun[0], asked_s=event.end_s - begun[0].start_s)
    return replace(placed, stays=tuple(right if s is begun[0] else s for s in placed.stays))


def _without(running: Running, dish: str) -> Running:
    """Every item of that dish that is not on the hearth yet is taken off; orders left empty go."""
    now = running.now_s
    begun = {p.item.key for b in running.schedule.booked for p in b.placed if p.stays[0].start_s < now}

    def stays(item: Item) -> bool:
        return item.dish != dish or item.key in begun

    orders = [replace(o, items=tuple(filter(stays, o.items))) for o in running.problem.orders]
    by_key = {o.key: o for o in orders if o.items}
    booked = tuple(
        replace(b, order=by_key[b.order.key], placed=tuple(p for p in b.placed if stays(p.item)))
        for b in running.schedule.booked
        if b.order.key in by_key and any(stays(p.item) for p in b.placed)
    )
    problem = replace(running.problem, orders=tuple(by_key.values()))
    return replace(running, problem=problem, schedule=replace(running.schedule, booked=booked))


def _refired(running: Running, key: str) -> Running:
    """The item anew, under another key; where the spoiled one stands is shut until it has been taken off."""
    problem, now = running.problem, running.now_s
    booked, placed = find(running.schedule, key)
    again = replace(placed.item, key=f"{key}+", asap=False)
    items = tuple(again if i.key == key else i for i in booked.order.items)
    order = replace(booked.order, items=items)
    rest = tuple(p for p in booked.placed if p.item.key != key)
    new = replace(booked, order=order, placed=rest) if rest else None
    on = [s for s in placed.stays if s.start_s < now < s.held_until_s]
    if on:
        off_s = now + CLEAR_S + problem.act_s["pull"]
        shut = Closed(problem.places.conflicts[on[-1].place], now, off_s)
        pull = Chore(
            "pull", now, CLEAR_S, f"take {placed.item.dish} of {placed.item.ticket} off, it is spoiled"
        )
        problem = replace(problem, closed=(*problem.closed, shut), chores=(*problem.chores, pull))
    orders = tuple(order if o.key == order.key else o for o in problem.orders)
    schedule = _swapped(running.schedule, booked, new)
    return replace(running, problem=replace(problem, orders=orders), schedule=schedule)


def _swapped(schedule: Schedule, old: Booked, new: Booked | None) -> Schedule:
    kept = ((new if b is old else b) for b in schedule.booked)
    return replace(schedule, booked=tuple(b for b in kept if b is not None))


def _with_placed(booked: Booked, new: Placed) -> Booked:
    same = tuple(new if p.item.key == new.item.key else p for p in booked.placed)
    return replace(booked, placed=same)
