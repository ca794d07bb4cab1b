"""A night's tickets as orders: courses, drops, weights, what is kept apart, spots by hand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import reduce
from operator import or_

from hearthtide.house.models import House
from hearthtide.house.night_file import NightFile, PlateFile, SpotFile, TicketFile
from hearthtide.planning.places import Places, bits
from hearthtide.planning.problem import Choice, Item, Order, Stage
from hearthtide.safety.separation import (
    DEFER,
    all_meant,
    allergy_verdicts,
    guards,
    kept_apart,
    left_on_stone,
    spits,
)

REFIRED = (
    2.0  # how many times over a re-fired plate's guests count: they wait anew (common practice, no source)
)

Stages = Mapping[str, tuple[Stage, ...]]


def courses_of(house: House, ticket: TicketFile, places: Places, stages: Stages) -> tuple[Order, ...]:
    """A ticket's orders, one for each course, not yet in the drops the house wishes.

    `stages` are the dishes' by key. Plates are numbered over all courses. A later course lands no earlier
    than the one before it was to, a dragged one no earlier than asked for.
    """
    found: list[Order] = []
    before, number = 0.0, 0
    for c, part in enumerate(ticket.parts, 1):
        items = tuple(
            _item(house, ticket, number + n, plate, places, stages) for n, plate in enumerate(part.plates, 1)
        )
        number += len(items)
        order = Order(
            key=f"{ticket.table}.{c}" if ticket.courses else ticket.table,
            ticket=ticket.table,
            drop=1,
            called_s=round(ticket.called),
            wanted_s=round(part.lands),
            items=items,
            weight=weight_of(ticket, len(items)),
            not_before_s=round(max(before, part.lands if part.drag else 0.0)),
            wished_drops=min(part.drops, len(items)),
            drops_apart_s=round(part.drops_apart),
        )
        found.append(order)
        before = part.lands
    return tuple(found)


def weight_of(ticket: TicketFile, plates: int) -> float:
    """Guests waiting, times the ticket's priority: of a course its share of the ticket's plates."""
    refired = REFIRED if ticket.refire_of is not None else 1.0
    share = plates / len(ticket.dishes)
    return ticket.priority * refired * ticket.covers * share


def _item(
    house: House, ticket: TicketFile, number: int, plate: PlateFile, places: Places, stages: Stages
) -> Item:
    dish = house.dishes[plate.dish]
    own = stages[plate.dish]
    apart = kept_apart(house.file.chosen_rules)
    return Item(
        key=f"{ticket.table}-{number}",
        ticket=ticket.table,
        dish=plate.dish,
        stages=own if plate.spot is None else _at_spot(own, plate.spot, places),
        pace=(1.0,) * len(own),
        prefer=(0,) * len(own),
        rest_s=round(dish.rest),
        hold_s=round(dish.hold),
        dressed=dish.dressed,
        cut=dish.cut,
        on_stone=dish.vessel.kind == "stone",
        from_bank=dish.vessel.from_bank,
        tall=dish.tall,
        spits=spits(dish, apart),
        guards=guards(dish, ticket.allergy_of(plate), apart),
    )


def _at_spot(stages: tuple[Stage, ...], spot: SpotFile, places: Places) -> tuple[Stage, ...]:
    """The stages with a spot by hand: of the dish's places the nearest, and all that may stand there do."""
    own = bits(reduce(or_, (choice.places for stage in stages for row in stage.choices for choice in row)))
    nearest = min(own, key=lambda p: math.dist((places.spots[p].x_m, places.spots[p].y_m), (spot.x, spot.y)))
    return tuple(replace(stage, choices=_only(stage.choices, 1 << nearest)) for stage in stages)


def _only(choices: tuple[tuple[Choice, ...], ...], place: int) -> tuple[tuple[Choice, ...], ...]:
    """The choices that may stand there, there alone; as they are where none may."""
    narrowed = (tuple(replace(c, places=place) for c in row if c.places & place) or row for row in choices)
    return tuple(narrowed)


def numbered(orders: Iterable[Order]) -> tuple[Order, ...]:
    """The orders, each ticket's numbered through its courses and drops."""
    count: Counter[str] = Counter()
    found = []
    for order in orders:
        count[order.ticket] += 1
        found.append(replace(order, drop=count[order.ticket]))
    return tuple(found)


def course_key(order: Order) -> str:
    """The key of the course an order is a drop of.

    >>> course_key(Order("B4.2/1", "B4", 2, 0, 60, ()))
    'B4.2'
    """
    return order.key.partition("/")[0]


def course_of(order: Order) -> int:
    """Which course of its ticket an order is, or is a drop of.

    >>> course_of(Order("B4.2/1", "B4", 2, 0, 60, ())), course_of(Order("B4/2", "B4", 2, 0, 60, ()))
    (2, 1)
    """
    return int(course_key(order).partition(".")[2] or 1)


def allergy_words(house: House, night: NightFile) -> tuple[str, ...]:
    """What the person in charge is asked about the night's allergy orders, a line for each plate."""
    on_stone = left_on_stone(tuple(house.dishes.values()))
    found = []
    for ticket in night.tickets:
        for plate in (plate for part in ticket.parts for plate in part.plates):
            allergy = ticket.allergy_of(plate)
            verdicts = allergy_verdicts(house.dishes[plate.dish], allergy, on_stone)
            asked = " ".join(verdict.words for verdict in verdicts if verdict.answer == "ask")
            if asked:
                named = ", ".join(sorted(all_meant(allergy)))
                found.append(f"{ticket.table}, allergy {named}: {asked} Ask the person in charge.")
    return (*dict.fromkeys(found), *((DEFER,) if found else ()))
