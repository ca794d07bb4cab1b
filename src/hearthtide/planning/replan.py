"""The night while it runs: what has happened put into the plan, and the plan made anew from there.

`Running` is a plan being run: acts before now are as they were done, the rest as told. What happens goes in
with `events.after_event`; `open_problem` and `reality_at` then say what is still open and what stands, which
is all a search needs; `replanned` asks one.

What has begun is never moved. What was told for the next minute stays, unless it cannot: its food is not
done, its hands or its place are not free. Everything else is open.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from hearthtide.planning.cost import SAME_S
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
from hearthtide.planning.slide import end_band_s
from hearthtide.planning.waits import Waits, begin_act, end_act, waits_of

TOLD_S = 60  # what is told for so long ahead stays; own choice, the minute a cook has in mind
Search = Callable[[Problem, Reality, Schedule], Schedule]


@dataclass(frozen=True)
class Running:
    """A plan being run at `now_s`. Orders of the problem that the schedule lacks have yet to be placed."""

    problem: Problem
    schedule: Schedule
    now_s: int


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
        max([running.now_s, *(h.start_s + h.hands_s for h in doing if h.cook == cook)])
        for cook in range(len(running.problem.cooks))
    )
    return Reality(running.now_s, tuple(begun), busy)


def replanned(running: Running, search: Search, told_s: int = TOLD_S) -> Running:
    """The plan made anew from what is open and what stands, the plan being run to start from.

    What has begun is put back as it was done, to the second of hands; a search books hands by the book.
    """
    problem, reality = open_problem(running, told_s), reality_at(running, told_s)
    still = {o.key for o in problem.orders}
    told = replace(running.schedule, booked=tuple(b for b in running.schedule.booked if b.order.key in still))
    schedule = _as_done(search(problem, reality, told), told, running.now_s)
    return Running(replace(problem, orders=schedule.orders), schedule, running.now_s)


def _as_done(schedule: Schedule, told: Schedule, now_s: int) -> Schedule:
    """The schedule with acts begun before now, and stays ended by then, exactly as they were."""
    was = {p.item.key: p for b in told.booked for p in b.placed}

    def mended(new: Placed) -> Placed:
        old = was.get(new.item.key)
        if old is None:
            return new
        done = {(h.act, h.stage, h.start_s): h for h in old.handlings if h.start_s < now_s}
        ended = {s.stage: s for s in old.stays if s.held_until_s <= now_s}
        acts = tuple(done.get((h.act, h.stage, h.start_s), h) for h in new.handlings)
        stays = tuple(ended.get(s.stage, s) for s in new.stays)
        return replace(new, handlings=acts, stays=stays)

    booked = tuple(replace(b, placed=tuple(map(mended, b.placed))) for b in schedule.booked)
    return replace(schedule, booked=booked)


def told_changes(before: Running, after: Running, told_s: int = TOLD_S) -> tuple[int, int, int]:
    """How many acts were told for the next `told_s`; of them, how many the new plan has otherwise, and how
    many of these it could have left as they were.

    Otherwise: not at all, more than 2 s sooner or later, or at another place.
    """
    kept = told_acts(before, told_s)
    new = {p.item.key: _with_place(p) for b in after.schedule.booked for p in b.placed}
    told = changed = needless = 0
    for placed in (p for b in before.schedule.booked for p in b.placed):
        found = new.get(placed.item.key, [])
        for was, at in _with_place(placed):
            if before.now_s <= was.start_s < before.now_s + told_s:
                told += 1
                if not any(_same(was, h) and place == at for h, place in found):
                    changed += 1
                    needless += id(was) in kept
    return told, changed, needless


def _same(was: Handling, now: Handling) -> bool:
    return (was.act, was.stage) == (now.act, now.stage) and abs(was.start_s - now.start_s) <= SAME_S


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


def told_acts(running: Running, told_s: int = TOLD_S) -> frozenset[int]:
    """Acts that stand, by `id`: begun before now, or told within `told_s` and possible as told.

    A base dressed or told to be dressed has its launch told with it: it must not wait on the peel.
    """
    problem, now = running.problem, running.now_s
    waits = waits_of(problem, running.schedule)
    items = {p.item.key: p.item for b in running.schedule.booked for p in b.placed}
    stay_of = {waits.begins[n]: stay for n, stay in enumerate(waits.stays)}
    free_s: dict[int, int] = {}
    kept: set[int] = set()
    for n, act in enumerate(waits.handlings):
        key = waits.items[n]
        if act.start_s >= now:
            dressed = key != "" and items[key].dressed and act.act == "launch" and act.stage == 0
            if key == "" or (act.start_s >= now + told_s and not dressed):
                continue
            shut = n in stay_of and _shut(problem, stay_of[n])
            both = act.act in problem.one_handed
            if shut or not _can_stand(problem, items[key], waits, n, kept):
                continue
            if act.start_s < free_s.get(act.cook, now) and not both:
                continue
            if dressed and act.start_s >= now + told_s and not _dress_kept(waits, n, kept):
                continue
        kept.add(n)
        free_s[act.cook] = max(free_s.get(act.cook, now), act.start_s + act.hands_s)
    return frozenset(id(waits.handlings[n]) for n in kept - _peel_left(waits, items, kept, now))


def _can_stand(problem: Problem, item: Item, waits: Waits, n: int, kept: set[int]) -> bool:
    """Whether what act n waits for stands too and lets it begin as told; hands are looked at elsewhere."""
    start = waits.handlings[n].start_s
    for wait in waits.behind[n]:
        if wait.kind == "hands":
            continue
        if wait.on not in kept:
            return False
        if wait.kind == "stage":
            stay = waits.stays[wait.stay]
            first, last = end_band_s(problem, item, stay)
            if not first <= start <= last:
                return False
        elif not wait.from_start:
            before = waits.handlings[wait.on]
            if start < before.start_s + before.hands_s + wait.lag_s:
                return False
    return True


def _dress_kept(waits: Waits, n: int, kept: set[int]) -> bool:
    return any(
        wait.on in kept and waits.handlings[wait.on].act == "dress"
        for wait in waits.behind[n]
        if wait.kind == "item"
    )


def _peel_left(waits: Waits, items: dict[str, Item], kept: set[int], now_s: int) -> set[int]:
    """Told dressings, not begun, whose launch does not stand: they are told no more."""
    launched = {waits.items[n] for n in kept if waits.handlings[n].act == "launch"}
    return {
        n
        for n in kept
        if waits.handlings[n].act == "dress"
        and waits.handlings[n].start_s >= now_s
        and waits.items[n] not in launched
    }


def _shut(problem: Problem, stay: Stay) -> bool:
    return any(
        c.places >> stay.place & 1 and c.from_s < stay.held_until_s and stay.start_s < c.until_s
        for c in problem.closed
    )


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
