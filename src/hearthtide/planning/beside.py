"""A ticket on the house's own minutes and, beside it, on the models': what changes, and why."""

from __future__ import annotations

from dataclasses import replace

from hearthtide.house.models import House
from hearthtide.planning.build import Retimed, corrected
from hearthtide.planning.engine.search import Effort, Unplaceable, repair
from hearthtide.planning.judge import comment, house_timed
from hearthtide.planning.plan import Beside, Comparison
from hearthtide.planning.problem import LEAST_STAGE_S, Booked, Placed, Problem, Schedule
from hearthtide.planning.verify import ItemSeen, Seen


def compare(house: House, problem: Problem, schedule: Schedule, seen: Seen) -> tuple[Comparison, ...]:
    """Every ticket that has dishes on the house's minutes, planned once more on the models' minutes.

    The rest of the night stands as it is. The models' minutes are those after which the verifier saw
    each stage's target come true at the item's own spots.
    """
    tickets = dict.fromkeys(b.order.ticket for b in schedule.booked)
    found = (_one(house, problem, schedule, seen, ticket) for ticket in tickets)
    return tuple(comparison for comparison in found if comparison is not None)


def _one(house: House, problem: Problem, schedule: Schedule, seen: Seen, ticket: str) -> Comparison | None:
    own = [b for b in schedule.booked if b.order.ticket == ticket]
    placed = {p.item.key: p for b in own for p in b.placed}
    timed = [key for key, p in placed.items() if house_timed(house.dishes[p.item.dish])]
    if not timed:
        return None
    found = {key: _on_models(placed[key], seen.items[key]) for key in timed}
    changed = {key: retimed for key, retimed in found.items() if retimed is not None}
    theirs = _replan(problem, schedule, ticket, changed) if len(changed) == len(timed) else None
    rows = tuple(
        Beside(
            item=key,
            dish=p.item.dish,
            house_s=p.leave_s - p.stays[0].start_s,
            models_s=None if theirs is None else theirs[key].leave_s - theirs[key].stays[0].start_s,
            house_in_s=p.stays[0].start_s,
            models_in_s=None if theirs is None else theirs[key].stays[0].start_s,
            why=comment(house, house.dishes[p.item.dish], seen.items[key]),
        )
        for key, p in placed.items()
    )
    landing = None
    if theirs is not None:
        landing = max(p.ready_s for p in theirs.values()) + problem.plating_s
    return Comparison(ticket, max(b.landing_s for b in own), landing, rows)


def _on_models(placed: Placed, seen: ItemSeen) -> Retimed | None:
    """The item with each stage as long as the models say, at its places; None when they see no end."""
    paces = []
    for went, stay, before in zip(seen.stages, placed.stays, placed.item.pace, strict=True):
        if went.met_s is None:
            return None
        paces.append(before * max(LEAST_STAGE_S, went.met_s) / stay.asked_s)
    return Retimed(tuple(paces), tuple(stay.place for stay in placed.stays))


def _replan(
    problem: Problem, schedule: Schedule, ticket: str, changed: dict[str, Retimed]
) -> dict[str, Placed] | None:
    keep = tuple(b for b in schedule.booked if b.order.ticket != ticket)
    theirs = corrected(problem, changed)
    kept = {b.order.key for b in keep}
    orders = tuple(o for o in theirs.orders if o.ticket == ticket or o.key in kept)
    try:
        again = repair(replace(theirs, orders=orders), keep, seed=1, effort=Effort(0))
    except Unplaceable:
        return None
    return {p.item.key: p for b in _of(again.booked, ticket) for p in b.placed}


def _of(booked: tuple[Booked, ...], ticket: str) -> list[Booked]:
    return [b for b in booked if b.order.ticket == ticket]
