"""How a portion is cut into columns: a flat one into middle and sectors, a body across its width.

A body is cut from its flame side to its lee into COLUMNS strips of one width, each as thick as the body is
there on average, the layers in proportion. What the strips leave out is stated in docs/validation.md, against
exact solutions of cylinder, ball and brick.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import FLAT_COLUMNS, Floats
from hearthtide.ranges import require

COLUMNS = 9
# A flat sector browns mostly on what looks up, a quarter on its shoulder. Assumed.
SHOULDER = 0.25
# A rim is a quarter round: half of it looks up, half sideways (exact for even heat from all sides).
RIM_SIDE = 0.5

Outline = Literal["ellipse", "dome", "box"]


@dataclass(frozen=True)
class Body:
    """A piece that is rounder than a slab, `width_m` (5 mm to 0.5 m) across at its widest.

    `outline` of its section: "ellipse" (cylinder, wing, shrimp, ball), "dome" flat below (half bird, loaf),
    "box" (a thick cut with upright sides). `round` is width over length seen from above: 0 for one that is
    long, so that its ends do not count, 1 for one as long as wide (ball, round loaf), exact in rings; between
    them the two are mixed in proportion (own choice).
    """

    outline: Outline
    width_m: float
    round: float = 0.0

    def __post_init__(self) -> None:
        require("width_m", self.width_m, "m", 0.005, 0.5)
        require("round", self.round, "-", 0.0, 1.0)
        if self.outline not in ("ellipse", "dome", "box"):
            raise PhysicalRangeError(f"outline {self.outline}: expected ellipse, dome or box")


def ellipse_height(low: float, high: float) -> float:
    """Mean height of the quarter circle sqrt(1 - u²) from `low` to `high` (-1 to 1).

    >>> round(ellipse_height(0.0, 1.0), 4)  # pi / 4
    0.7854
    """
    return (_under_arc(high) - _under_arc(low)) / (high - low)


def _under_arc(u: float) -> float:
    return (u * math.sqrt(max(0.0, 1 - u * u)) + math.asin(min(1.0, max(-1.0, u)))) / 2


@dataclass(frozen=True, eq=False)
class Form:
    """Columns of a portion, the way up it lies. Arrays (columns,) but the last two.

    `scale` of the full thickness; `share` of the footprint; `shown` of what is seen from above;
    `top_area` and `below_area` of the faces per footprint; `side` 0..1 of the upper face that looks sideways
    and `bearing_deg` clockwise from the leading edge to where it looks; `gap_m` between the underside and
    what the portion stands on; `link` (columns - 1,) the width of touch between neighbours over their
    distance, per footprint and height [1/m²], empty where none touch; `edge_1_m` the upright end per
    footprint and height.
    """

    scale: Floats
    share: Floats
    shown: Floats
    top_area: Floats
    below_area: Floats
    side: Floats
    bearing_deg: Floats
    gap_m: Floats
    link: Floats
    edge_1_m: float

    @property
    def middle(self) -> int:
        """The column whose core is the portion's: the first of a flat one, the middle of a chain."""
        return len(self.link) // 2


def flat_form(rimmed: bool) -> Form:
    """The middle and four sectors of a slab or a pizza; the middle stands for the whole footprint."""
    ones, none = np.ones(FLAT_COLUMNS), np.zeros(FLAT_COLUMNS)
    side = np.full(FLAT_COLUMNS, RIM_SIDE if rimmed else SHOULDER)
    side[0] = 0.0
    return Form(
        scale=ones,
        share=np.array([1.0, 0.0, 0.0, 0.0, 0.0]),
        shown=np.array([0.0, 0.25, 0.25, 0.25, 0.25]),
        top_area=ones,
        below_area=ones,
        side=side,
        bearing_deg=np.array([0.0, 0.0, 90.0, 180.0, 270.0]),
        gap_m=none,
        link=np.zeros(0),
        edge_1_m=0.0,
    )


def body_form(body: Body, thickness_m: float, over: bool) -> Form:
    """The chain of a body of that full thickness; `over` when it lies on its head.

    Raises PhysicalRangeError for a body more than four times as thick as wide.
    """
    require("thickness over width", thickness_m / body.width_m, "-", 0.01, 4.0)
    edges = np.linspace(-1.0, 1.0, COLUMNS + 1)
    pairs = list(pairwise(edges.tolist()))
    step_m = body.width_m / COLUMNS
    middle = np.array([(low + high) / 2 for low, high in pairs])
    if body.outline == "box":
        scale = np.ones(COLUMNS)
        upper_m = lower_m = np.zeros(COLUMNS)
    else:
        scale = np.array([ellipse_height(low, high) for low, high in pairs])
        # Heights of the outline's arc above and below its widest place.
        both = body.outline == "ellipse"
        arc_m = thickness_m / 2 if both else thickness_m
        rise_m = np.array(
            [abs(math.sqrt(1 - low**2) - math.sqrt(1 - high**2)) * arc_m for low, high in pairs]
        )
        rise_m[COLUMNS // 2] = 2 * (1 - math.sqrt(1 - edges[COLUMNS // 2] ** 2)) * arc_m
        upper_m = rise_m if both or not over else np.zeros(COLUMNS)
        lower_m = rise_m if both or over else np.zeros(COLUMNS)
    upper, lower = np.hypot(1.0, upper_m / step_m), np.hypot(1.0, lower_m / step_m)
    # A lower arc sees what lies below by (1 + cos) / 2 of its area; the rest looks aside, as does of an upper
    # arc the square of the sine (exact for even heat).
    aside = (lower - 1) / 2
    top_area, below_area = upper + aside, lower - aside
    side = (upper - 1 / upper + aside) / top_area
    lies_m = thickness_m / 2 if body.outline == "ellipse" else thickness_m
    gap_m = (1 - scale) * lies_m if lower_m.any() else np.zeros(COLUMNS)
    wide = (1 - body.round) + body.round * np.maximum(np.abs(middle), 0.5 / COLUMNS)
    share = wide / wide.sum()
    inner = np.abs(edges[1:-1])
    touch = ((1 - body.round) + body.round * inner) / wide.sum()
    end = 1.0 / wide.sum()
    shown = share * top_area
    return Form(
        scale=scale,
        share=share,
        shown=shown / shown.sum(),
        top_area=top_area,
        below_area=below_area,
        side=side,
        bearing_deg=np.where(middle < 0, 0.0, 180.0),
        gap_m=gap_m,
        link=touch / step_m**2,
        edge_1_m=end / step_m if body.outline == "box" else 0.0,
    )
