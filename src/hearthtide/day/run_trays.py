"""Loads of trays as the coupled models run them: a schedule without tables, on a flame plan of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hearthtide.day.load import Load
from hearthtide.house.models import House
from hearthtide.planning.build import handles_of
from hearthtide.planning.draw import Draw
from hearthtide.planning.flame import FlamePlan
from hearthtide.planning.problem import Booked, Handling, Item, Order, Placed, Schedule, Stage, Stay


@dataclass(frozen=True)
class Lit:
    """When the fire is lit [s of the clock], and the room [°C]."""

    lit: float
    ambient: float


def as_schedule(loads: Sequence[Load], house: House) -> Schedule:
    """Every load as an order of one item that lands when it has rested."""
    return Schedule(tuple(_booked(load, house) for load in loads), 0.0, 0, 0)


def _booked(load: Load, house: House) -> Booked:
    tray, dish = load.tray, house.dishes[load.tray.dish]
    item = Item(
        key=tray.key,
        ticket=tray.key,
        dish=tray.dish,
        stages=(Stage(dish.stages[0].name, (), handles_of(dish, 0)),),
        pace=(1.0,),
        prefer=(),
        rest_s=tray.rest_s,
        hold_s=round(dish.hold),
        dressed=False,
        cut=False,
        on_stone=dish.vessel.kind == "stone",
        from_bank=False,
    )
    acts = ("launch", *(handle.act for handle in handles_of(dish, 0)), "pull")
    handlings = tuple(
        Handling(hand.from_s, hand.until_s - hand.from_s, 0, act, 0)
        for hand, act in zip(load.hands, acts, strict=True)
    )
    stay = Stay(
        tray.key, 0, load.place, load.in_s, load.out_s, load.out_s, load.out_s - load.in_s, item.on_stone
    )
    ready_s = load.out_s + tray.rest_s
    placed = Placed(item, (stay,), handlings, load.out_s, ready_s)
    order = Order(tray.key, tray.key, 1, load.in_s, ready_s, (item,))
    return Booked(order, (placed,), ready_s)


def flame_at(flame: FlamePlan, lit_s: int) -> FlamePlan:
    """A flame plan counted from lighting, on the clock."""
    ready_s = None if flame.ready_s is None else flame.ready_s + lit_s
    return FlamePlan(tuple(replace(held, start_s=held.start_s + lit_s) for held in flame.held), ready_s)


def draw_since(draw: Draw, lit_s: int) -> Draw:
    """A draw on the clock, counted from lighting."""
    return replace(draw, times_s=tuple(time_s - lit_s for time_s in draw.times_s))
