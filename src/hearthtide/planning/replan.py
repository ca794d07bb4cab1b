"""The night while it runs: what has happened put into the plan, and the plan made anew from there.

`Running` is a plan being run: acts before now are as they were done, the rest as told. What happens goes in
with `events.after_event`; `open_problem` and `reality_at` then say what is still open and what stands, which
is all a search needs; `replanned` asks one.

What has begun is never moved. What was told for the next minute stays where it can (`told`). Everything else
is open.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from hearthtide.planning.cost import SAME_S, order_cost, reached_over, recourse_parts, total
from hearthtide.planning.problem import (
    Begun,
    Booked,
    Choice,
    Chore,
    Handling,
    Item,
    Order,
    Placed,
    Problem,
    Reality,
    Schedule,
    Stay,
)
from hearthtide.planning.slide import end_band_s, slid
from hearthtide.planning.told import TOLD_S, Running, is_shut, told_acts
from hearthtide.planning.waits import begin_act, end_act

AWAY_S = 6 * 3600  # nobody waits longer for hands: the search looks four hours ahead
SAME_COST = 1e-6  # cost-seconds that adding up in another order may differ by
Search = Callable[[Problem, Reality, Schedule], Schedule]


def open_problem(running: Running, told_s: int = TOLD_S) -> Problem:
    """The problem of what is still open at `now_s`.

    An order is over once it has landed, its stone has recovered and its platters are back in the bank.
    Closures and chores that are over go too. A base dressed for a place that is shut by now is launched
    elsewhere: it needs no dressing.
    """
    problem, now = running.problem, running.now_s
    over = {b.order.key for b in running.schedule.booked if over_at_s(problem, b) <= now}
    dressed = _dressed_in_vain(running, told_acts(running, told_s))
    orders = tuple(
        replace(o, items=tuple(replace(i, dressed=False) if i.key in dressed else i for i in o.items))
        for o in problem.orders
        if o.key not in over
    )
    closed = tuple(c for c in problem.closed if c.until_s > now)
    chores = tuple(c for c in problem.chores if not _chore_done(running, c))
    return replace(problem, orders=orders, closed=closed, chores=chores)


def reality_at(running: Running, told_s: int = TOLD_S) -> Reality:
    """What has begun at `now_s` or is told for the next `told_s` and can stand, and whose hands are taken."""
    kept = told_acts(running, told_s)
    begun = []
    for booked in running.schedule.booked:
        if over_at_s(running.problem, booked) > running.now_s:
            begun += [b for p in booked.placed if (b := _begun(p, kept)) is not None]
    doing = [h for h in (*_all_acts(running.schedule), *running.schedule.chores) if h.start_s < running.now_s]
    busy = tuple(
        running.now_s + AWAY_S
        if hands.away
        else max([running.now_s, *(h.start_s + h.hands_s for h in doing if h.cook == cook)])
        for cook, hands in enumerate(running.problem.cooks)
    )
    return Reality(running.now_s, tuple(begun), busy)


def replanned(running: Running, search: Search, told_s: int = TOLD_S) -> Running:
    """The plan made anew from what is open and what stands, the plan being run to start from.

    What has begun is put back as it was done, to the second of hands; a search books hands by the book. A
    plan that can be run on just as it is is left only for a cheaper one.
    """
    problem, reality = open_problem(running, told_s), reality_at(running, told_s)
    still = {o.key for o in problem.orders}
    told = replace(running.schedule, booked=tuple(b for b in running.schedule.booked if b.order.key in still))
    schedule = _as_done(search(problem, reality, told), told, running.now_s)
    if holds(problem, told, running.now_s) and cost_of(problem, told) <= schedule.cost + SAME_COST:
        schedule = told
    return Running(replace(problem, orders=schedule.orders), schedule, running.now_s)


def holds(problem: Problem, schedule: Schedule, now_s: int) -> bool:
    """Whether the plan can be run on just as it is: nothing lacks, is late, or would stand in a spill.

    Food thought to be done outside the time its end is planned for counts as late, or as too long in.
    """
    planned = {p.item.key for b in schedule.booked for p in b.placed}
    if planned != {i.key for o in problem.orders for i in o.items}:
        return False
    if _lacks_hands(problem, schedule, now_s) or _lacks_platters(problem, schedule, now_s):
        return False
    known = {r.item for r in schedule.recourse}
    for placed in (p for b in schedule.booked for p in b.placed):
        for stay in placed.stays:
            first, last = end_band_s(problem, placed.item, stay)
            off = not first <= stay.end_s <= last and placed.item.key not in known
            if stay.end_s >= now_s and (off or (stay.start_s >= now_s and is_shut(problem, stay))):
                return False
    wanted = [c for c in problem.chores if c.wanted_s + c.give_s >= now_s]
    return len(wanted) <= len(schedule.chores) and slid(problem, schedule, now_s) == schedule


def _lacks_hands(problem: Problem, schedule: Schedule, now_s: int) -> bool:
    """Whether an act still to come is somebody's who is away."""
    ahead = (h for h in (*_all_acts(schedule), *schedule.chores) if h.start_s >= now_s)
    return any(problem.cooks[h.cook].away for h in ahead)


def _lacks_platters(problem: Problem, schedule: Schedule, now_s: int) -> bool:
    """Whether more platters are to be out at once than the bank has."""
    if problem.bank is None:
        return False
    out = [
        (p.stays[0].start_s, booked.landing_s + problem.bank.turnaround_s)
        for booked in schedule.booked
        for p in booked.placed
        if p.item.from_bank
    ]
    taken = (sum(a <= from_s < b for a, b in out) for from_s, _ in out if from_s >= now_s)
    return any(count > problem.bank.count for count in taken)


def cost_of(problem: Problem, schedule: Schedule) -> float:
    """What a plan costs when nothing told is changed."""
    own = sum(order_cost(problem, b) for b in schedule.booked)
    reach = problem.weights.reach * reached_over(problem, schedule.booked)
    return own + reach + total(recourse_parts(problem, schedule))


def _as_done(schedule: Schedule, told: Schedule, now_s: int) -> Schedule:
    """The schedule with acts begun before now, and stays ended by then, exactly as they were."""
    was = {p.item.key: p for b in told.booked for p in b.placed}

    def mended(new: Placed) -> Placed:
        old = was.get(new.item.key)
        if old is None:
            return new
        done = {(h.act, h.stage, h.start_s): h for h in old.handlings if h.start_s < now_s}
        ended = {s.stage: s for s in old.stays if s.held_until_s <= now_s}
        acts = tuple(done.pop((h.act, h.stage, h.start_s), h) for h in new.handlings)
        acts = (*done.values(), *acts)  # a base dressed in vain: the search knows nothing of it
        stays = tuple(ended.get(s.stage, s) for s in new.stays)
        return replace(new, handlings=acts, stays=stays)

    booked = tuple(replace(b, placed=tuple(map(mended, b.placed))) for b in schedule.booked)
    return replace(schedule, booked=booked)


def told_changes(
    before: Running, after: Running, told_s: int = TOLD_S, same_s: int = SAME_S
) -> tuple[int, int]:
    """How many acts were told for the next `told_s`, and how many of them the new plan has otherwise.

    Otherwise: not at all, more than `same_s` sooner or later, or at another place.
    """
    new = {p.item.key: _with_place(p) for b in after.schedule.booked for p in b.placed}
    told = changed = 0
    for placed in (p for b in before.schedule.booked for p in b.placed):
        found = new.get(placed.item.key, [])
        for was, at in _with_place(placed):
            if before.now_s <= was.start_s < before.now_s + told_s:
                told += 1
                near = (
                    abs(h.start_s - was.start_s) <= same_s
                    for h, place in found
                    if (h.act, h.stage, place) == (was.act, was.stage, at)
                )
                changed += not any(near)
    return told, changed


def _with_place(placed: Placed) -> list[tuple[Handling, int]]:
    """The item's acts, each with the place it is done at (-1: beside the hearth)."""
    at = {stay.stage: stay.place for stay in placed.stays}
    return [(h, at.get(h.stage, -1)) for h in placed.handlings]


def soonest_s(problem: Problem, reality: Reality, order: Order) -> int:
    """The earliest an order can land, hands and stone free: what has begun counts from where it stands."""
    begun = {b.item: b for b in reality.begun}
    ready = [
        _soonest_ready_s(problem, reality.now_s, order, item, begun.get(item.key)) for item in order.items
    ]
    return max([order.not_before_s, *(r + problem.plating_s for r in ready)])


def _soonest_ready_s(problem: Problem, now_s: int, order: Order, item: Item, begun: Begun | None) -> int:
    if begun is None:
        return max(now_s, order.called_s) + item.shortest_s
    last = begun.stays[-1]
    pulled = [h.start_s for h in begun.handlings if h.act == "pull" and h.stage == last.stage]
    if pulled:
        return pulled[0] + item.rest_s
    rest = sum(
        min(c.seconds for c in item.choices(s, problem.bin_of(last.end_s)))
        for s in range(last.stage + 1, len(item.stages))
    )
    early = next((c.band_s[0] for c in _choices_at(problem, item, last)), 0)
    return max(now_s, last.end_s - early) + rest + item.rest_s


def over_at_s(problem: Problem, booked: Booked) -> int:
    """When nothing is left of an order: landed, its bare stone recovered, its platters back and hot."""
    ends = [booked.landing_s]
    for p in booked.placed:
        ends += [h.start_s + h.hands_s for h in p.handlings]
        if p.item.from_bank and problem.bank is not None:
            ends.append(booked.landing_s + problem.bank.turnaround_s)
        for stay in p.stays:
            rests = [c.recovery_s for c in _choices_at(problem, p.item, stay)] if stay.on_stone else []
            ends.append(stay.held_until_s + max([0, *(problem.recovery_s if r < 0 else r for r in rests)]))
    return max(ends)


def _begun(placed: Placed, kept: frozenset[int]) -> Begun | None:
    """As much of an item as stands; None when nothing of it is on the hearth or told to go there."""
    acts = tuple(h for h in placed.handlings if id(h) in kept)
    stays = [s for s in placed.stays if (h := begin_act(placed, s)) is not None and id(h) in kept]
    if not stays:
        return None
    last, end = stays[-1], end_act(placed, stays[-1])
    if end is None or id(end) not in kept:
        stays[-1] = replace(last, end_s=last.start_s + last.asked_s)
    return Begun(placed.item.key, tuple(stays), acts)


def _dressed_in_vain(running: Running, kept: frozenset[int]) -> frozenset[str]:
    """Items whose base has been dressed, or is being, while the launch that was told cannot stand."""
    found = set()
    for p in (p for b in running.schedule.booked for p in b.placed):
        dressed = any(h.act == "dress" and h.start_s < running.now_s for h in p.handlings)
        if dressed and not any(h.act == "launch" and id(h) in kept for h in p.handlings):
            found.add(p.item.key)
    return frozenset(found)


def _chore_done(running: Running, chore: Chore) -> bool:
    done = (h for h in running.schedule.chores if h.act == chore.act and h.start_s < running.now_s)
    return any(abs(h.start_s - chore.wanted_s) <= chore.give_s for h in done)


def _choices_at(problem: Problem, item: Item, stay: Stay) -> list[Choice]:
    choices = item.choices(stay.stage, problem.bin_of(stay.end_s))
    return [c for c in choices if c.places >> stay.place & 1]


def _all_acts(schedule: Schedule) -> list[Handling]:
    return [h for b in schedule.booked for p in b.placed for h in p.handlings]
