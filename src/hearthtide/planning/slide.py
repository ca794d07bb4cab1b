"""A plan with some of its acts at other times than planned: the rest follows, nothing is re-thought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from hearthtide.planning.problem import Booked, Handling, Item, Placed, Problem, Schedule, Stay
from hearthtide.planning.waits import begin_act, end_act, waits_of


def slid(problem: Problem, schedule: Schedule, now_s: int) -> Schedule:
    """The schedule as it comes about when nobody re-thinks it: what cannot be done when planned slides.

    Acts before `now_s` stand as they are. An act waits for its item (a stage now thought to take longer is
    ended when it is done), its hands and its place; nothing is done sooner. What can be done as planned is
    left exactly as it is.
    """
    waits = waits_of(problem, schedule)
    items = {p.item.key: p.item for b in schedule.booked for p in b.placed}
    longer = [[float(_longer_s(problem, items[s.item], s))] for s in waits.stays]
    start = waits.run(waits.planned_hands_s(), np.array(longer).reshape(-1, 1), now_s)
    at = {id(h): round(float(start[n, 0])) for n, h in enumerate(waits.handlings)}
    acts = {
        p.item.key: tuple(replace(h, start_s=at[id(h)]) for h in p.handlings)
        for b in schedule.booked
        for p in b.placed
    }
    chores = tuple(replace(h, start_s=at[id(h)]) for h in schedule.chores)
    booked = tuple(with_acts(problem, b, acts) for b in schedule.booked)
    return replace(schedule, booked=booked, chores=chores)


def end_band_s(problem: Problem, item: Item, stay: Stay) -> tuple[int, int]:
    """The first and the last second at which a stage may end: when it is thought to be done, less and more
    its band there.
    """
    due = stay.start_s + stay.asked_s
    choices = item.choices(stay.stage, problem.bin_of(stay.end_s))
    early, late = next((c.band_s for c in choices if c.places >> stay.place & 1), (0, 0))
    return due - early, due + late


def _longer_s(problem: Problem, item: Item, stay: Stay) -> int:
    """By how much a stage is now thought to be done after its planned end; 0 while it is in its band."""
    first, _ = end_band_s(problem, item, stay)
    return stay.start_s + stay.asked_s - stay.end_s if stay.end_s < first else 0


def with_acts(problem: Problem, booked: Booked, acts: Mapping[str, tuple[Handling, ...]]) -> Booked:
    """The order with these acts by item key, as many as before in the same order; what follows from them.

    Stays begin and end with their acts; a plate is ready after its rest and meets the others, waiting no
    longer for them than it was planned to; landing as the problem defines it.
    """
    if all(acts.get(p.item.key, p.handlings) == p.handlings for p in booked.placed):
        return booked
    moved = [_moved(p, acts.get(p.item.key, p.handlings)) for p in booked.placed]
    last = max(p.leave_s + p.item.rest_s for p in moved)
    waited = [p.ready_s - p.leave_s - p.item.rest_s for p in booked.placed]
    placed = tuple(
        replace(p, ready_s=min(last, p.leave_s + p.item.rest_s + max(0, wait)))
        for p, wait in zip(moved, waited, strict=True)
    )
    worked = max(h.start_s + h.hands_s for p in placed for h in p.handlings)
    landing = max(last + problem.plating_s, worked, booked.order.not_before_s)
    return Booked(booked.order, placed, landing)


def _moved(placed: Placed, acts: tuple[Handling, ...]) -> Placed:
    new = {id(was): act for was, act in zip(placed.handlings, acts, strict=True)}
    stays = []
    for stay in placed.stays:
        begin, end = begin_act(placed, stay), end_act(placed, stay)
        if begin is None or end is None:
            raise ValueError(f"{stay.item} stage {stay.stage}: no act begins or ends it. A plan has both.")
        is_now = new[id(end)]
        kept_s = stay.held_until_s - end.start_s
        held_s = is_now.hands_s if kept_s == end.hands_s else kept_s
        stays.append(
            replace(
                stay,
                start_s=new[id(begin)].start_s,
                end_s=is_now.start_s,
                held_until_s=is_now.start_s + held_s,
            )
        )
    leave = stays[-1].end_s
    return replace(placed, stays=tuple(stays), handlings=acts, leave_s=leave)
