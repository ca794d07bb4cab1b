"""From what the house wrote down to what the search sees: places, items, orders, limits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from typing import get_args

from hearthtide.house.models import Act, DishFile, House, NightFile, TicketFile
from hearthtide.house.places import Outline
from hearthtide.planning.engine.search import fits_alone
from hearthtide.planning.places import Places
from hearthtide.planning.problem import Bank, Choice, Handle, Hands, Item, Order, Problem, Stage, split

StageChoices = Mapping[tuple[str, int], tuple[tuple[Choice, ...], ...]]


def house_outlines(house: House) -> tuple[Outline, ...]:
    return tuple(dict.fromkeys(Outline.of(dish.vessel) for dish in house.dishes.values()))


def stage_masks(dish: DishFile, stage: int, places: Places) -> tuple[int, ...]:
    """The places of a stage as bit masks, one per wish of the dish, the first wish first."""
    outline = Outline.of(dish.vessel)
    wishes = dish.stages[stage].places
    return tuple(places.mask(outline, (zone,), dish.clear_of_flame) for zone in wishes)


def house_choices(dish: DishFile, stage: int, places: Places) -> tuple[tuple[Choice, ...], ...] | None:
    """The stage on the house's own minutes, the same all night; None when the house states none."""
    minutes = dish.stages[stage].minutes
    if minutes is None:
        return None
    masks = stage_masks(dish, stage, places)
    return (tuple(Choice(round(minutes), mask, rank) for rank, mask in enumerate(masks) if mask),)


def handles_of(dish: DishFile, stage: int) -> tuple[Handle, ...]:
    """The stage's flips, turns and spins in order of time."""
    written = dish.stages[stage]
    acts: tuple[tuple[Act, tuple[float, ...]], ...] = (
        ("flip", written.flips),
        ("turn", written.turns),
        ("spin", written.spins),
    )
    found = [Handle(act, fraction) for act, fractions in acts for fraction in fractions]
    return tuple(sorted(found, key=lambda handle: handle.fraction))


def build_problem(house: House, night: NightFile, places: Places, choices: StageChoices) -> Problem:
    """The night's problem. `choices[dish, stage]` gives places and seconds by half hour."""
    file = house.file
    problem = Problem(
        orders=(),
        places=places,
        cooks=tuple(Hands(cook.name, frozenset(cook.acts)) for cook in file.cooks),
        act_s={act: round(getattr(file.act_seconds, act)) for act in get_args(Act)},
        bank=None if file.platters is None else Bank(file.platters.count, round(file.platters.turnaround)),
        plating_s=round(file.plating),
        together_s=round(file.together),
        late_after_s=round(file.late_after),
        recovery_s=round(file.pizza_recovery),
        from_s=first_call_s(night),
    )
    stages = {key: _stages(key, dish, choices) for key, dish in house.dishes.items()}
    whole = [_order(house, ticket, stages) for ticket in night.tickets]
    return replace(problem, orders=tuple(drop for order in whole for drop in fitting_drops(problem, order)))


def first_call_s(night: NightFile) -> int:
    """The night's first second for the hands: the first call."""
    return round(min(ticket.called for ticket in night.tickets))


def _stages(key: str, dish: DishFile, choices: StageChoices) -> tuple[Stage, ...]:
    return tuple(
        Stage(written.name, choices[key, i], handles_of(dish, i)) for i, written in enumerate(dish.stages)
    )


def _order(house: House, ticket: TicketFile, stages: dict[str, tuple[Stage, ...]]) -> Order:
    items = []
    for number, key in enumerate(ticket.dishes, 1):
        dish = house.dishes[key]
        items.append(
            Item(
                key=f"{ticket.table}-{number}",
                ticket=ticket.table,
                dish=key,
                stages=stages[key],
                pace=(1.0,) * len(dish.stages),
                prefer=(0,) * len(dish.stages),
                rest_s=round(dish.rest),
                hold_s=round(dish.hold),
                dressed=dish.dressed,
                cut=dish.cut,
                on_stone=dish.vessel.kind == "stone",
                from_bank=dish.vessel.from_bank,
            )
        )
    return Order(ticket.table, ticket.table, 1, round(ticket.called), round(ticket.wanted), tuple(items))


def fitting_drops(problem: Problem, order: Order) -> list[Order]:
    """The order as few drops as the hands and the stone can each land together with all else cleared away."""
    for drops in range(drops_needed(problem, order), len(order.items)):
        parts = split(order, drops)
        if all(fits_alone(problem, part) for part in parts):
            return parts
    return split(order, len(order.items))


@dataclass(frozen=True)
class Retimed:
    """An item's new `pace`, and the place of each stage it was found at."""

    pace: tuple[float, ...]
    places: tuple[int, ...]


def corrected(problem: Problem, changed: Mapping[str, Retimed]) -> Problem:
    """The problem with these items re-timed, by item key; their tickets are cut into drops anew."""
    orders: list[Order] = []
    for ticket, drops in groupby(problem.orders, key=lambda order: order.ticket):
        own = list(drops)
        items = tuple(item for order in own for item in order.items)
        if not any(item.key in changed for item in items):
            orders += own
            continue
        mended = (_retimed(item, changed.get(item.key)) for item in items)
        in_order = sorted(mended, key=lambda item: int(item.key.rpartition("-")[2]))
        orders += fitting_drops(problem, replace(own[0], key=ticket, drop=1, items=tuple(in_order)))
    return replace(problem, orders=tuple(orders))


def _retimed(item: Item, found: Retimed | None) -> Item:
    if found is None:
        return item
    return replace(item, pace=found.pace, prefer=tuple(1 << place for place in found.places))


def drops_needed(problem: Problem, order: Order) -> int:
    """In how many drops the hands can land these plates together, at the least.

    Two sums bound one drop: pulling and cutting must fit between the first pull and the plates'
    leaving (`together` + plating), and all handling that only those who launch can do into the time the
    drop is on the go.
    """
    act_s, items = problem.act_s, order.items
    enders = max(1, len({*problem.cooks_for("pull"), *problem.cooks_for("cut")}))
    end_s = sum(act_s["pull"] + act_s["cut"] * item.cut for item in items) / enders
    span_s = problem.together_s + problem.plating_s
    quick = [item for item in items if item.dressed]
    launchers = problem.cooks_for("launch")
    only_s = {act: act_s[act] * (set(problem.cooks_for(act)) <= set(launchers)) for act in act_s}
    hands_s = sum(_hands_s(only_s, item) for item in quick) / max(1, len(launchers))
    going_s = span_s + max((item.shortest_s for item in quick), default=0) + act_s["dress"]
    return max(1, math.ceil(end_s / span_s), math.ceil(hands_s / going_s))


def _hands_s(act_s: dict[Act, int], item: Item) -> int:
    turns = sum(act_s[handle.act] for stage in item.stages for handle in stage.handles)
    moves = act_s["move"] * (len(item.stages) - 1)
    bench = act_s["dress"] * item.dressed + act_s["cut"] * item.cut
    return act_s["launch"] + act_s["pull"] + turns + moves + bench
