"""Schedules put together by hand on a few spots, act by act, without any search. Invented."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

from hearthtide.house.models import Act
from hearthtide.house.places import Outline, Spot
from hearthtide.planning.places import Places
from hearthtide.planning.problem import (
    Booked,
    Choice,
    Handle,
    Handling,
    Hands,
    Item,
    Order,
    Placed,
    Problem,
    Reality,
    Schedule,
    Stage,
    Stay,
)
from hearthtide.planning.proof.counted import cost_of
from hearthtide.planning.proof.prove import prove

ACTS: tuple[Act, ...] = (
    "dress",
    "launch",
    "load",
    "turn",
    "spin",
    "flip",
    "move",
    "pull",
    "cut",
    "flame",
)
SECONDS: dict[Act, int] = dict(zip(ACTS, (25, 10, 8, 12, 8, 10, 10, 8, 22, 6), strict=True))
SIX = 18 * 3600
PLATING_S = 45

DISC, PAN = Outline(0.0, 0.0, 0.13), Outline(0.26, 0.20, 0.0)
NEAR_L, NEAR_R, BEHIND, CLOSE_BY, FAR, PAN_AT, OFF = range(7)
_DISCS = ((-0.3, 0.4), (0.3, 0.4), (0.36, 0.8), (-0.3, 0.68), (-0.3, 0.9))
SPOTS = (
    *(Spot(x, y, DISC, "mid", 0.3, 0.0) for x, y in _DISCS),
    Spot(0.0, 0.75, PAN, "near", 0.1, 0.0),
    Spot(0.0, 0.1, DISC, "mouth", 0.5, 0.0),
)
"""Two discs side by side, one straight behind the right one, one 2 cm and one 24 cm from the left one's
edge, a pan, and a disc that hangs 3 cm out of the mouth."""


def stage(seconds: int, *places: int, handles: tuple[Handle, ...] = (), **more: Any) -> Stage:
    """A stage of so many seconds on any of these spots."""
    own = {k: more.pop(k) for k in ("stays", "buffer_s") if k in more}
    mask = sum(1 << p for p in places)
    return Stage("stage", ((Choice(seconds, mask, 0, **more),),), handles, **own)


def item(key: str, *stages: Stage, **changed: Any) -> Item:
    """A plain item, its ticket the part of the key before the dash."""
    plain = Item(
        key=key,
        ticket=key.split("-")[0],
        dish="dish",
        stages=stages,
        pace=(1.0,) * len(stages),
        prefer=(0,) * len(stages),
        rest_s=0,
        hold_s=120,
        dressed=False,
        cut=False,
        on_stone=False,
        from_bank=False,
    )
    return replace(plain, **changed)


def problem(*items: Item, cooks: int = 2, **changed: Any) -> Problem:
    """One order per item, called at six and wanted a quarter of an hour later."""
    orders = tuple(Order(i.key, i.ticket, 1, SIX, SIX + 900, (i,)) for i in items)
    plain = Problem(
        orders=orders,
        places=Places(SPOTS, ()),
        cooks=tuple(Hands(f"Cook {n}", frozenset(ACTS)) for n in range(cooks)),
        act_s=SECONDS,
        bank=None,
        plating_s=PLATING_S,
        together_s=75,
        late_after_s=120,
        recovery_s=45,
        from_s=SIX,
    )
    return replace(plain, **changed)


def done(one: Item, start_s: int, *places: int, cook: int = 0) -> Placed:
    """The item launched then, every stage and turn to the second, moved or loaded in between."""
    acts: list[Handling] = []

    def act(start: int, name: Act, number: int) -> int:
        acts.append(Handling(start, SECONDS[name], cook, name, number))
        return start + SECONDS[name]

    if one.dressed:
        act(start_s - SECONDS["dress"], "dress", -1)
    begins = [start_s]
    for number, written in enumerate(one.stages):
        begins.append(begins[-1] + written.choices[0][0].seconds)
        name: Act = "launch" if number == 0 else "load" if written.stays else "move"
        act(begins[number], name, number)
        for handle in written.handles:
            seconds = begins[number + 1] - begins[number]
            act(begins[number] + round(handle.fraction * seconds), handle.act, number)
    last = act(begins[-1], "pull", len(one.stages) - 1)
    if one.cut:
        act(last, "cut", -1)
    stays = []
    for number, (begin, end) in enumerate(pairwise(begins)):
        on = number + 1 < len(one.stages)
        loads = on and one.stages[number + 1].stays
        held = end + (0 if loads else SECONDS["move" if on else "pull"])
        stays.append(Stay(one.key, number, places[number], begin, end, held, end - begin, one.on_stone))
    leave = begins[-1]
    return Placed(one, tuple(stays), tuple(acts), leave, leave + one.rest_s)


def booked(order: Order, *placed: Placed) -> Booked:
    """The order landing as soon as its plates and hands let it."""
    worked = max(h.start_s + h.hands_s for p in placed for h in p.handlings)
    ready = max(p.ready_s for p in placed) + PLATING_S
    return Booked(order, placed, max(ready, worked, order.not_before_s))


def schedule(on: Problem, *placed: Placed, **changed: Any) -> Schedule:
    """These items, one order each, at their honest cost."""
    own = {p.item.key: p for p in placed}
    of = tuple(booked(order, *(own[i.key] for i in order.items)) for order in on.orders)
    return honest(on, replace(Schedule(of, 0.0, 0, 0), **changed))


def honest(
    on: Problem, plan: Schedule, reality: Reality | None = None, running: Schedule | None = None
) -> Schedule:
    """The schedule with its cost as it adds up: whatever else is wrong with it, that is not."""
    parts = cost_of(on, plan, reality, running)
    return replace(plan, parts=parts, cost=sum(parts.values()))


def faults(
    on: Problem, plan: Schedule, reality: Reality | None = None, running: Schedule | None = None
) -> set[str]:
    """The names of what is wrong."""
    found = prove(on, plan, reality, running)
    assert all(f.about and f.detail and str(f).startswith(f.name) for f in found)
    return {f.name for f in found}


def with_placed(plan: Schedule, changed: Placed) -> Schedule:
    """One item placed otherwise, its order landing as that adds up."""
    of = []
    for b in plan.booked:
        placed = tuple(changed if p.item.key == changed.item.key else p for p in b.placed)
        of.append(booked(b.order, *placed) if placed != b.placed else b)
    return replace(plan, booked=tuple(of))


def shifted(placed: Placed, by_s: int) -> Placed:
    """All of an item so much later."""
    return replace(
        placed,
        stays=tuple(
            replace(s, start_s=s.start_s + by_s, end_s=s.end_s + by_s, held_until_s=s.held_until_s + by_s)
            for s in placed.stays
        ),
        handlings=tuple(replace(h, start_s=h.start_s + by_s) for h in placed.handlings),
        leave_s=placed.leave_s + by_s,
        ready_s=placed.ready_s + by_s,
    )


def with_act(placed: Placed, name: str, /, **changed: Any) -> Placed:
    """The item with its acts of that name changed; its stays as they were."""
    return replace(
        placed,
        handlings=tuple(replace(h, **changed) if h.act == name else h for h in placed.handlings),
    )


def with_stay(placed: Placed, number: int, **changed: Any) -> Placed:
    """The item with one stay changed; its acts as they were."""
    stays = tuple(replace(s, **changed) if n == number else s for n, s in enumerate(placed.stays))
    return replace(placed, stays=stays)
