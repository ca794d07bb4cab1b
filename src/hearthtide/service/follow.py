"""The plan being run, made to follow the facts: what is open, what was done when, what is shut or missing.

Nothing is re-thought here: acts slide as far as they must, and what has no place or minute is for the search.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from hearthtide.house.models import Act, House
from hearthtide.planning.events import CLEAR_S
from hearthtide.planning.orders import course_of
from hearthtide.planning.problem import (
    Bank,
    Booked,
    Chore,
    Closed,
    Handling,
    Order,
    Placed,
    Problem,
    Schedule,
)
from hearthtide.planning.replan import over_at_s
from hearthtide.planning.slide import slid, with_acts
from hearthtide.planning.told import Running
from hearthtide.service.facts import Facts, LivePlate
from hearthtide.service.open_orders import Stages, in_drops, is_out, open_courses

# A tap says that an act is done. Hands are wiped first: told so soon after it was due, it was done as due.
ON_TIME_S = 20  # own choice
ActKey = tuple[str, Act, int]  # a plate's key, an act, which of its kind


@dataclass(frozen=True)
class Ground:
    """What a live night is planned on: the house, the problem before any call, the dishes' stages."""

    house: House
    problem: Problem
    stages: Stages


@dataclass(frozen=True)
class Live:
    """The plan being run, and food taken off unserved: the stone it still shuts, the hands it takes."""

    running: Running
    clearing: tuple[Closed, ...] = ()
    clearings: tuple[Chore, ...] = ()


@dataclass(frozen=True)
class Besides:
    """What the facts alone do not say.

    `put_off`: acts undone, until when they wait; `seen`: when a plate's stage will be done by its probe;
    `shut`: all stone, while there is no flame for it.
    """

    put_off: Mapping[ActKey, float] = field(default_factory=dict)
    seen: Mapping[str, float] = field(default_factory=dict)
    shut: tuple[Closed, ...] = ()


def nothing_yet(ground: Ground) -> Live:
    """The night before its first ticket."""
    problem = replace(ground.problem, orders=())
    return Live(Running(problem, Schedule((), 0.0, 0, 0), problem.from_s))


def followed(ground: Ground, live: Live, facts: Facts, now_s: int, besides: Besides) -> Live:
    """The plan with everything told in it; new orders are in its problem and wait for the search."""
    running = replace(live.running, now_s=now_s)
    orders = _open_orders(ground, running, facts)
    kept = _kept(running, orders, facts)
    live = _clearing(live, running, kept)
    problem = replace(running.problem, orders=(*orders, *(b.order for b in kept if _is_over(b, orders))))
    problem = _limited(ground, live, problem, facts, besides)
    booked = tuple(_as_told(problem, b, facts, besides) for b in kept)
    schedule = replace(running.schedule, booked=booked)
    if booked != kept or problem.closed != running.problem.closed:
        schedule = slid(problem, schedule, now_s)
    return replace(live, running=Running(problem, schedule, now_s))


def nth_acts(placed: Placed) -> list[tuple[int, Handling]]:
    """An item's acts in order of time, each with its number among those of its kind, as `done` names it."""
    seen: dict[str, int] = {}
    found = []
    for act in sorted(placed.handlings, key=lambda h: h.start_s):
        seen[act.act] = seen.get(act.act, 0) + 1
        found.append((seen[act.act], act))
    return found


def due(live: Live, facts: Facts, besides: Besides) -> list[tuple[int, ActKey]]:
    """Acts whose time has come and gone with nobody saying anything, soonest first: (start_s, act)."""
    found = []
    for placed in (p for b in live.running.schedule.booked for p in b.placed):
        plate = facts.plate(placed.item.key)
        if plate is None or plate.off:
            continue
        told = {(d.act, d.nth) for d in plate.done}
        waits = {(w.act, w.nth): w.until_s for w in plate.later}
        for nth, act in nth_acts(placed):
            key = (plate.key, act.act, nth)
            until_s = max(waits.get((act.act, nth), 0.0), besides.put_off.get(key, 0.0))
            ends_s = max(act.start_s, until_s) + act.hands_s
            if (act.act, nth) not in told and ends_s <= live.running.now_s:
                found.append((act.start_s, key))
    return sorted(found)


def _open_orders(ground: Ground, running: Running, facts: Facts) -> tuple[Order, ...]:
    begun = frozenset(p.key for t in facts.tickets for p in t.plates if p.begun)
    planned = frozenset(p.item.key for b in running.schedule.booked for p in b.placed)
    courses = open_courses(ground.house, ground.problem, ground.stages, facts, planned)
    return in_drops(ground.problem, courses, running.problem.orders, begun)


def _kept(running: Running, orders: tuple[Order, ...], facts: Facts) -> tuple[Booked, ...]:
    """What of the schedule still counts: open plates under their orders, others until all is clear."""
    placed = {p.item.key: p for b in running.schedule.booked for p in b.placed}
    landing = {b.order.key: b.landing_s for b in running.schedule.booked}
    found = []
    for order in orders:
        own = tuple(replace(placed[i.key], item=i) for i in order.items if i.key in placed)
        if own:
            ready_s = max(p.ready_s for p in own) + running.problem.plating_s
            found.append(Booked(order, own, landing.get(order.key, ready_s)))
    open_ = {item.key for order in orders for item in order.items}
    for booked in running.schedule.booked:
        left = _left(running.problem, booked, facts, open_)
        if left is not None and over_at_s(running.problem, left) > running.now_s:
            found.append(left)
    return tuple(found)


def _left(problem: Problem, booked: Booked, facts: Facts, open_: set[str]) -> Booked | None:
    """What of an order has nothing left to do at the hearth: off it, or landed and then all of it done."""
    landed_s = _landed_s(facts, booked.order)
    placed = tuple(
        p
        for p in booked.placed
        if p.item.key not in open_ and (plate := facts.plate(p.item.key)) is not None and not plate.off
        if is_out(plate) or (landed_s is not None and p.stays[0].start_s < landed_s)
    )
    if not placed:
        return None
    if len(placed) < len(booked.order.items):  # what was never begun is not planned anew
        order = replace(booked.order, items=tuple(p.item for p in placed))
        booked = replace(booked, order=order, placed=placed)
    if landed_s is None:
        return booked
    acts = {p.item.key: _done_by(p, round(landed_s)) for p in placed}
    return replace(with_acts(problem, booked, acts), landing_s=round(landed_s))


def _done_by(placed: Placed, landed_s: int) -> tuple[Handling, ...]:
    """The acts of a plate that has left for its table, each done by then."""
    at, next_s = {}, landed_s
    for act in sorted(placed.handlings, key=lambda h: -h.start_s):
        at[id(act)] = next_s = min(act.start_s, next_s - act.hands_s)
    return tuple(replace(h, start_s=at[id(h)]) for h in placed.handlings)


def _is_over(booked: Booked, orders: tuple[Order, ...]) -> bool:
    return booked.order.key not in {order.key for order in orders}


def is_open(booked: Booked, facts: Facts) -> bool:
    """Whether what is booked has still to land."""
    return facts.ticket(booked.order.ticket) is not None and _landed_s(facts, booked.order) is None


def _landed_s(facts: Facts, order: Order) -> float | None:
    """When the course of an order landed; None while it has not."""
    ticket = facts.ticket(order.ticket)
    return None if ticket is None else ticket.courses[course_of(order) - 1].landed_s


def _clearing(live: Live, running: Running, kept: tuple[Booked, ...]) -> Live:
    """Plates taken off that stand on the stone have it shut until somebody's hands have cleared them."""
    now, problem = running.now_s, running.problem
    still = {p.item.key for b in kept for p in b.placed}
    shut = [c for c in live.clearing if c.until_s > now]
    chores = [c for c in live.clearings if c.wanted_s + c.give_s + problem.act_s["pull"] > now]
    for placed in (p for b in running.schedule.booked for p in b.placed if p.item.key not in still):
        on = [s for s in placed.stays if s.start_s < now < s.held_until_s]
        if on:
            off_s = now + CLEAR_S + problem.act_s["pull"]
            shut.append(Closed(problem.places.conflicts[on[-1].place], now, off_s))
            words = f"take {placed.item.dish} of {placed.item.ticket} off"
            chores.append(Chore("pull", now, CLEAR_S, words))
    return replace(live, clearing=tuple(shut), clearings=tuple(chores))


def _limited(ground: Ground, live: Live, problem: Problem, facts: Facts, besides: Besides) -> Problem:
    """The problem with the stone, hands, platters and flame that there are."""
    own, now_s = ground.problem, live.running.now_s
    out = {since.name for since in facts.cooks_out}
    cooks = tuple(replace(c, away=True) if c.name in out else c for c in own.cooks)
    bank = None if own.bank is None else Bank(own.bank.count - facts.dead_platters, own.bank.turnaround_s)
    spilt = (
        Closed(own.places.near(s.x_m, s.y_m, s.radius_m), round(s.from_s), round(s.until_s))
        for s in facts.shut
        if s.until_s > now_s
    )
    told_s = -1.0 if facts.flame is None else facts.flame.at_s
    fires = () if facts.flame_out else tuple(c for c in own.chores if c.wanted_s > told_s + c.give_s)
    closed = (*own.closed, *spilt, *live.clearing, *besides.shut)
    return replace(problem, cooks=cooks, bank=bank, closed=closed, chores=(*fires, *live.clearings))


def _as_told(problem: Problem, booked: Booked, facts: Facts, besides: Besides) -> Booked:
    """The order with its acts when they were done, or not before they will be."""
    acts = {}
    for placed in booked.placed:
        plate = facts.plate(placed.item.key)
        if plate is not None:
            acts[placed.item.key] = _acts_as_told(placed, plate, besides)
    booked = with_acts(problem, booked, acts)
    placed_ = tuple(_as_seen(p, facts.plate(p.item.key), besides) for p in booked.placed)
    return booked if placed_ == booked.placed else replace(booked, placed=placed_)


def _acts_as_told(placed: Placed, plate: LivePlate, besides: Besides) -> tuple[Handling, ...]:
    """The acts at the seconds told of, those nobody told of as close to theirs as the order of acts lets."""
    done = {(d.act, d.nth): d.at_s for d in plate.done}
    later = {(w.act, w.nth): w.until_s for w in plate.later}
    numbered = nth_acts(placed)
    starts, last_done = [], -1
    for n, (nth, act) in enumerate(numbered):
        at_s = done.get((act.act, nth))
        if at_s is not None:
            starts.append(_done_s(act, at_s))
            last_done = n
        else:
            until_s = max(later.get((act.act, nth), 0.0), besides.put_off.get((plate.key, act.act, nth), 0.0))
            starts.append(max(act.start_s, round(until_s)))
    for n in range(last_done - 1, -1, -1):  # who pulls has launched
        starts[n] = min(starts[n], starts[n + 1] - numbered[n][1].hands_s)
    for n in range(max(1, last_done + 1), len(starts)):
        starts[n] = max(starts[n], starts[n - 1] + numbered[n - 1][1].hands_s)
    at = {id(act): start for (_, act), start in zip(numbered, starts, strict=True)}
    return tuple(h if at[id(h)] == h.start_s else replace(h, start_s=at[id(h)]) for h in placed.handlings)


def _done_s(act: Handling, at_s: float) -> int:
    """When an act began that is told done at `at_s`."""
    if act.start_s <= at_s <= act.start_s + act.hands_s + ON_TIME_S:
        return act.start_s
    return round(at_s) - act.hands_s


def _as_seen(placed: Placed, plate: LivePlate | None, besides: Besides) -> Placed:
    """The item with the stage now going thought to be done when an eye or a probe says."""
    key = placed.item.key
    done_s = besides.seen.get(key) if plate is None or plate.seen_done_s is None else plate.seen_done_s
    begun = _begun_stays(placed, plate)
    if done_s is None or not begun:
        return placed
    last = placed.stays[begun - 1]
    asked_s = max(1, round(done_s) - last.start_s)
    if asked_s == last.asked_s:
        return placed
    return replace(placed, stays=tuple(replace(s, asked_s=asked_s) if s is last else s for s in placed.stays))


def _begun_stays(placed: Placed, plate: LivePlate | None) -> int:
    """How many of its stays have begun, by the acts told done."""
    begins = sum(d.act in ("launch", "move", "load") for d in plate.done) if plate is not None else 0
    return min(begins, len(placed.stays))
