"""A plan as the night's log keeps it: to be shown again, and to be held against what happened."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Annotated, Literal

from pydantic import ConfigDict, Field
from pydantic.dataclasses import dataclass

from hearthtide.house.models import Act
from hearthtide.planning.places import Places
from hearthtide.planning.problem import Booked, Handling, Item, Order, Placed, Schedule, Stay

STRICT = ConfigDict(extra="forbid", allow_inf_nan=False)
SAME_M = 1e-6  # of one place written down twice


@dataclass(frozen=True, config=STRICT)
class KeptStay:
    """A stage at a place: by its number, and where that is."""

    stage: int
    place: int
    x_m: float
    y_m: float
    start_s: int
    end_s: int
    held_until_s: int
    asked_s: int
    on_stone: bool


@dataclass(frozen=True, config=STRICT)
class KeptAct:
    """One act of one pair of hands; `stage` is -1 beside the hearth."""

    act: Act
    start_s: int
    hands_s: int
    cook: int
    stage: int


@dataclass(frozen=True, config=STRICT)
class KeptPlate:
    """A plate with all its stays and acts."""

    key: str
    dish: str
    leave_s: int
    ready_s: int
    stays: tuple[KeptStay, ...]
    acts: tuple[KeptAct, ...]


@dataclass(frozen=True, config=STRICT)
class KeptOrder:
    """What lands together: a course, or a drop of one (then its key ends in `/` and a number)."""

    key: str
    table: str
    wanted_s: int
    landing_s: int
    plates: tuple[KeptPlate, ...]


@dataclass(frozen=True, config=STRICT)
class PlanMade:
    """A plan that was made, knowing the log up to entry `seq`; `flame` are the flame's acts in it."""

    seq: Annotated[int, Field(ge=0)]
    orders: tuple[KeptOrder, ...]
    flame: tuple[KeptAct, ...] = ()
    kind: Literal["plan"] = "plan"


def kept(schedule: Schedule, places: Places, seq: int) -> PlanMade:
    """A schedule as the log keeps it."""
    orders = tuple(
        KeptOrder(
            b.order.key,
            b.order.ticket,
            b.order.wanted_s,
            b.landing_s,
            tuple(_plate(p, places) for p in b.placed),
        )
        for b in schedule.booked
    )
    return PlanMade(seq, orders, tuple(map(_act, schedule.chores)))


def _plate(placed: Placed, places: Places) -> KeptPlate:
    stays = tuple(
        KeptStay(
            s.stage,
            s.place,
            places.spots[s.place].x_m,
            places.spots[s.place].y_m,
            s.start_s,
            s.end_s,
            s.held_until_s,
            s.asked_s,
            s.on_stone,
        )
        for s in placed.stays
    )
    item = placed.item
    return KeptPlate(
        item.key, item.dish, placed.leave_s, placed.ready_s, stays, tuple(map(_act, placed.handlings))
    )


def _act(handling: Handling) -> KeptAct:
    return KeptAct(handling.act, handling.start_s, handling.hands_s, handling.cook, handling.stage)


class OtherHouse(ValueError):
    """The plan stands on places or stages that this house no longer has."""


def schedule_of(plan: PlanMade, orders: Iterable[Order], places: Places) -> Schedule:
    """The schedule a kept plan was, of these orders' own items; orders and items gone since are left out.

    Its cost is not kept: it is 0 here.

    Raises
    ------
    OtherHouse
        A place has moved, or a dish has other stages: the house was changed since.
    """
    items = {item.key: (order, item) for order in orders for item in order.items}
    placed = {
        plate.key: _placed(plate, items[plate.key][1], places)
        for kept_order in plan.orders
        for plate in kept_order.plates
        if plate.key in items
    }
    landing = {o.key: o.landing_s for o in plan.orders}
    chores = tuple(map(_handling, plan.flame))
    return Schedule(tuple(_booked(orders, placed, landing)), 0.0, 0, 0, chores=chores)


def _booked(
    orders: Iterable[Order], placed: Mapping[str, Placed], landing: Mapping[str, int]
) -> Iterable[Booked]:
    for order in orders:
        own = tuple(placed[i.key] for i in order.items if i.key in placed)
        if own:
            yield Booked(order, own, landing.get(order.key, max(p.ready_s for p in own)))


def _placed(plate: KeptPlate, item: Item, places: Places) -> Placed:
    stays = tuple(
        Stay(
            plate.key,
            s.stage,
            s.place,
            s.start_s,
            s.end_s,
            s.held_until_s,
            s.asked_s,
            s.on_stone,
        )
        for s in plate.stays
        if _is_there(s, item, places)
    )
    return Placed(item, stays, tuple(map(_handling, plate.acts)), plate.leave_s, plate.ready_s)


def _is_there(stay: KeptStay, item: Item, places: Places) -> bool:
    if stay.place < len(places.spots) and stay.stage < len(item.stages):
        spot = places.spots[stay.place]
        if math.isclose(spot.x_m, stay.x_m, abs_tol=SAME_M) and math.isclose(
            spot.y_m, stay.y_m, abs_tol=SAME_M
        ):
            return True
    raise OtherHouse(
        f"{item.key}: the plan kept has it at {stay.x_m:.2f}, {stay.y_m:.2f} m, no place of this house any "
        "more. The plan is made anew; say where food on the hearth really stands."
    )


def _handling(act: KeptAct) -> Handling:
    return Handling(act.start_s, act.hands_s, act.cook, act.act, act.stage)


def with_drops(orders: Iterable[Order], plan: PlanMade) -> tuple[Order, ...]:
    """Courses in the drops the plan had them in."""
    by_key = {item.key: (order, item) for order in orders for item in order.items}
    found = []
    for kept_order in plan.orders:
        own = [by_key[p.key] for p in kept_order.plates if p.key in by_key]
        if own:
            course = own[0][0]
            weight = course.weight * len(own) / len(course.items)
            items = tuple(item for _, item in own)
            found.append(
                replace(course, key=kept_order.key, items=items, wanted_s=kept_order.wanted_s, weight=weight)
            )
    return tuple(found)
