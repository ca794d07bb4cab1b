"""What the food on the stone takes from the oven through the night, all items together."""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.house.models import DishFile, House, NightFile
from hearthtide.house.places import Outline

Floats = NDArray[np.float64]

SLOT_S = 60  # own choice: the stone does not notice less
# Before anything has been run: what food lies on, what its base and top come to on average while it is
# there, as the coupled models gave for pizza and for platters (assumed; replaced after the first run).
BARE_W_m2K, BARE_BASE_C, BARE_TOP_C = 125.0, 190.0, 110.0
PLATTER_W_m2K, PLATTER_BASE_C, PLATTER_TOP_C = 150.0, 260.0, 200.0
UNTIMED_S = 300.0  # a dish without the house's minutes, until the models have been asked


@dataclass(frozen=True, eq=False)
class DrawNow:
    """Area under food [m²] and, averaged over it, contact conductance and the temperatures it shows.

    `cover` (n,) is the share of each cell of the oven that was run under food, where a run has told it.
    """

    covered_m2: float
    conductance_W_m2K: float
    base_C: float
    top_C: float
    cover: Floats | None = None


NOTHING = DrawNow(0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Draw:
    """The draw from `times_s` on, each until the next; nothing before the first.

    `cells_m` (n, 2) are the middles of the cells that the rows' `cover` speaks of.
    """

    times_s: tuple[float, ...]
    rows: tuple[DrawNow, ...]
    cells_m: Floats | None = None

    @property
    def first_s(self) -> float:
        """When food first lies on the stone; infinite when it never does."""
        return next(
            (t for t, row in zip(self.times_s, self.rows, strict=True) if row.covered_m2 > 0), math.inf
        )

    def at(self, time_s: float) -> DrawNow:
        place = bisect_right(self.times_s, time_s) - 1
        return NOTHING if place < 0 else self.rows[place]


def expected_draw(house: House, night: NightFile) -> Draw:
    """What the tickets will bring if every dish leaves the stone in time for its wanted minute."""
    first = min(ticket.called for ticket in night.tickets)
    last = max(ticket.wanted for ticket in night.tickets) + SLOT_S
    spans = []
    for ticket in night.tickets:
        for part in ticket.parts:
            for dish in (house.dishes[plate.dish] for plate in part.plates):
                leave = part.lands - house.file.plating - dish.rest
                spans.append((leave - stone_s(dish), leave, dish))
    times = [first + SLOT_S * i for i in range(int((last - first) // SLOT_S) + 1)]
    return Draw(tuple(times), tuple(_mixed([d for a, b, d in spans if a <= t < b]) for t in times))


def stone_s(dish: DishFile) -> float:
    """How long a dish lies on the stone, roughly: the house's minutes where it states them."""
    stages = len(dish.stages)
    return sum(stage.minutes or UNTIMED_S / stages for stage in dish.stages)


def _mixed(dishes: list[DishFile]) -> DrawNow:
    if not dishes:
        return NOTHING
    bare = sum(Outline.of(d.vessel).area_m2 for d in dishes if d.vessel.kind == "stone")
    total = sum(Outline.of(d.vessel).area_m2 for d in dishes)
    share = bare / total

    def mean(stone: float, platter: float) -> float:
        return share * stone + (1 - share) * platter

    return DrawNow(
        total,
        mean(BARE_W_m2K, PLATTER_W_m2K),
        mean(BARE_BASE_C, PLATTER_BASE_C),
        mean(BARE_TOP_C, PLATTER_TOP_C),
    )
