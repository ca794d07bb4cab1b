"""How many equal discs lie on a round or a square hearth at once, against the published optima of packing.

For a circle the number is R/r, for a square side/r, at which N discs of radius r just fit. Those used here
are proven: in the circle by Graham 1968 (5 to 7), Pirl 1969 (8 to 10), Melissen 1994 (11), Fodor 2000, 2003
and 1999 (12, 13, 19), in the square by Graham 1963 (6), Schaer and Meir 1964 (7 to 9), de Groot 1990 (10) and
Peikert 1991 (11 to 13). Closed forms where they are known; the others to the digits that the tables give, cut
off, so that a hearth of that ratio is a hair too small.

How many the places hold is exact: the greatest set of places without a conflict.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import get_args

import pytest

from hearthtide.house.models import Act, ZonesFile
from hearthtide.house.places import CLEARANCE_M, STEP_M, Outline
from hearthtide.oven.design import Burner, Crown, FlameLevel, Layer, Mouth, OvenDesign
from hearthtide.oven.hearth import RectangularHearth, RoundHearth
from hearthtide.planning.engine.search import search
from hearthtide.planning.places import Places, enumerate_places
from hearthtide.planning.problem import Choice, Hands, Item, Order, Problem, Stage, Weights
from published import Published
from referee_places import most_at_once

pytestmark = pytest.mark.subject("planning")

SIDE_M, HALF_M = 1.2, CLEARANCE_M / 2
SMALL = 0.999  # a hair too small
STEP = "Places stand 5 cm apart: a packing that just fits has its discs elsewhere."


def ring(count: int) -> float:
    return 1 + 1 / math.sin(math.pi / count)


@dataclass(frozen=True)
class Table:
    """The published table for one shape: R/r or side/r by the number of discs, and the hearth of that shape.

    Discs a centimetre apart and from the wall are discs half a centimetre larger that touch, on a hearth that
    is half a centimetre smaller all round: `room_m` is its radius or side.
    """

    name: str
    source: str
    ratio: dict[int, float]
    hearth: RoundHearth | RectangularHearth
    room_m: float

    def disc(self, ratio: float) -> Outline:
        return Outline(0.0, 0.0, self.room_m / ratio - HALF_M)


# A hearth all to itself: the round one's mouth is a slit and the fire burns below the floor.
CIRCLE = Table(
    "circle",
    "E. Friedman, Circles in Circles; E. Specht, Packomania; Graham, Lubachevsky, Nurmela, Östergård 1998",
    {n: ring(n) for n in (2, 3, 4, 5, 6)}
    | {7: 3.0, 8: ring(7), 9: ring(8), 10: 3.813, 11: ring(9), 12: 4.029, 13: 2 + math.sqrt(5)}
    | {19: 1 + math.sqrt(2) + math.sqrt(6)},
    RoundHearth(SIDE_M, sill_m=0.01),
    SIDE_M / 2 - HALF_M,
)
SQUARE = Table(
    "square",
    "E. Friedman, Circles in Squares; E. Specht, Packomania; Graham and Lubachevsky 1996",
    {
        2: 2 + math.sqrt(2),
        3: 2 + math.sqrt(0.5) + math.sqrt(6) / 2,
        4: 4.0,
        5: 2 + 2 * math.sqrt(2),
        6: 2 + 12 / math.sqrt(13),
        7: 4 + math.sqrt(3),
        8: 2 + math.sqrt(2) + math.sqrt(6),
        9: 6.0,
        10: 6.747,
        11: 7.022,
        12: 2 + 15 * math.sqrt(2 / 17),
        13: 7.463,
    },
    RectangularHearth(SIDE_M, SIDE_M),
    SIDE_M - 2 * HALF_M,
)
TABLES = {"circle": CIRCLE, "square": SQUARE}
# Proven neighbours in the tables that differ: a hearth for one more, a hair too small, holds so many at most.
PAIRS = [("circle", n) for n in (1, 2, 3, 4, 5, 7, 8, 9, 10, 11, 12)] + [("square", n) for n in range(1, 13)]
# More room than a packing needs, with which it fits on places 5 cm apart (found here).
ROOMIER = [("circle", n, 1.05) for n in (2, 3, 4, 7)] + [("circle", n, 1.10) for n in (5, 8)]
ROOMIER += [("circle", 19, 1.15)] + [("square", n, 1.10) for n in (2, 4, 5, 8, 9)]
LAID = [
    ("circle", 7, 1.05),
    ("circle", 8, 1.10),
    ("circle", 19, 1.15),
    ("square", 8, 1.05),
    ("square", 9, 1.10),
]


@cache
def places_for(shape: str, disc: Outline) -> Places:
    mouth = Mouth(0.01, 0.2)
    design = OvenDesign(
        name="packing",
        hearth=TABLES[shape].hearth,
        crown=Crown("dome", 0.0, 0.42) if shape == "circle" else Crown("flat", 0.42, 0.0),
        mouth=mouth,
        floor=(Layer("fireclay", 0.05),),
        walls=(Layer("castable", 0.05),),
        burners=(Burner("under"),),
        fuel="natural_gas",
        levels=(FlameLevel("on", 10_000.0),),
    )
    return enumerate_places(design, ZonesFile(), (disc,))


@cache
def held(shape: str, disc: Outline) -> int:
    """The most discs the places hold at once."""
    places = places_for(shape, disc)
    return most_at_once(places, dict.fromkeys(range(len(places.spots)), 1))


@pytest.mark.parametrize(("shape", "count"), PAIRS)
def test_never_more_discs_than_the_hearth_holds(published: Published, shape: str, count: int) -> None:
    """A hair below the ratio of N + 1 at most N discs fit: more would be a collision not seen."""
    table = TABLES[shape]
    found = held(shape, table.disc(table.ratio[count + 1] * SMALL))
    what = f"discs held by a hearth ({shape}) a hair too small for one more"
    published(what, table.source, expected=(-math.inf, count), computed=found, at=f"room for {count}")


@pytest.mark.parametrize(
    ("shape", "count"),
    [(shape, n) for shape, table in TABLES.items() for n in table.ratio if n < 10 or n == 19],
)
def test_a_grid_must_hold_what_can_be_moved_onto_it(published: Published, shape: str, count: int) -> None:
    """Discs so small that the best packing can be shifted onto the grid, each by half a cell's diagonal."""
    table, shift_m = TABLES[shape], STEP_M * math.sqrt(2) / 2
    disc = Outline(0.0, 0.0, table.disc(table.ratio[count]).radius_m - shift_m)
    what = f"discs held ({shape}) so small that the best packing can be moved onto the places"
    published(
        what, table.source, expected=(count, math.inf), computed=held(shape, disc), at=f"{count} of them"
    )


@pytest.mark.parametrize(("shape", "count", "wider"), ROOMIER)
def test_a_little_more_room_is_enough(published: Published, shape: str, count: int, wider: float) -> None:
    """What lies on a hearth in practice is up to nine items: they fit with 5 to 10 % more room."""
    table = TABLES[shape]
    found = held(shape, table.disc(table.ratio[count] * wider))
    what = f"discs held ({shape}) with {100 * (wider - 1):.0f} % more room than they need"
    published(what, table.source, expected=(count, math.inf), computed=found, at=f"{count} of them")


@pytest.mark.parametrize(("shape", "count"), [("circle", 7), ("circle", 19), ("square", 8)])
def test_at_the_exact_ratio_the_grid_costs_discs(published: Published, shape: str, count: int) -> None:
    """The price of places 5 cm apart, in discs, where not a millimetre is to spare."""
    table = TABLES[shape]
    found = held(shape, table.disc(table.ratio[count]))
    what = f"discs held ({shape}) at the ratio at which {count} just fit"
    published(what, table.source, expected=count, computed=found, absolute=0.0, missed=STEP)


@pytest.mark.parametrize(("shape", "count", "wider"), LAID)
def test_the_search_lays_as_many_as_the_places_hold(
    published: Published, shape: str, count: int, wider: float
) -> None:
    """So many pizzas, all wanted in one second, by hands that take no time: all down at once, none late."""
    table = TABLES[shape]
    disc = table.disc(table.ratio[count] * wider)
    schedule = search(all_at_once(places_for(shape, disc), count), rounds=20_000)
    laid = sum(booked.late_s == 0 for booked in schedule.booked)
    what = (
        f"discs laid at once by the search ({shape}) with {100 * (wider - 1):.0f} % more room than they need"
    )
    published(what, table.source, expected=count, computed=laid, absolute=0.0, at=f"{count} of them")


def all_at_once(places: Places, count: int) -> Problem:
    """`count` discs, each an order of its own, on the stone for just 100 s, all wanted at second 1000."""
    acts, everywhere = get_args(Act), (1 << len(places.spots)) - 1
    stage = Stage("lie", ((Choice(100, everywhere, 0, 0, 0),),), ())
    items = [
        Item(
            key=f"disc-{n}",
            ticket=f"disc-{n}",
            dish="disc",
            stages=(stage,),
            pace=(1.0,),
            prefer=(0,),
            rest_s=0,
            hold_s=600,
            dressed=False,
            cut=False,
            on_stone=False,
            from_bank=False,
        )
        for n in range(count)
    ]
    return Problem(
        orders=tuple(Order(i.key, i.ticket, 1, 0, 1000, (i,)) for i in items),
        places=places,
        cooks=(Hands("nobody", frozenset(acts)),),
        act_s=dict.fromkeys(acts, 0),
        bank=None,
        plating_s=0,
        together_s=0,
        late_after_s=0,
        recovery_s=0,
        from_s=0,
        weights=Weights(reach=0.0),
    )


def test_closed_forms_agree_with_the_tables() -> None:
    """As tabulated, cut off after the third digit."""
    told = {7: 3.0, 8: 3.304, 9: 3.613, 11: 3.923, 13: 4.236, 19: 4.863}
    assert {n: math.floor(1000 * CIRCLE.ratio[n] + 1e-9) / 1000 for n in told} == told
    told = {2: 3.414, 3: 3.931, 5: 4.828, 6: 5.328, 7: 5.732, 8: 5.863, 12: 7.144}
    assert {n: math.floor(1000 * SQUARE.ratio[n] + 1e-9) / 1000 for n in told} == told
