"""A round piece cut like a cake: wedges from its middle to its skin, flame side over the top to lee.

The section is an ellipse x = a s sin(angle), z = -b s cos(angle): s from 0 in the middle to 1 at the skin,
the angle from 0 below to 180 degrees on top, on either side. Conduction along s and along the angle follow
the exact metric; the mixed term, which vanishes for a circle, is left out. The chain is open: the two lowest
wedges meet below but exchange no heat there, where none flows as long as both sides are heated alike. A dome
is heated as a full ellipse of the same thickness, width and section that touches all over below.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from hearthtide.food.column import GRID_ROWS, JUICE_UP, MUSCLE, NODES, WATER_0, Cut, Floats
from hearthtide.food.form import Form
from hearthtide.food.grid import Stuff, add, gap_counts, gaps_m, join, stuff_of, turned_over
from hearthtide.food.spec import Body, FoodLayer

A_SIDE = 5
BELOW = 2  # the lowest two of a side look down: what touches, and what is close to doing so
FINE = 40  # slices of an angle for the integrals


@dataclass(frozen=True, eq=False)
class _Section:
    """An elliptic section: its semi-axes [m], the body, and the angles of a side's wedges.

    `edges` (A_SIDE + 1,) are where wedges meet, `fine` (A_SIDE, FINE) slices for integrals, `step` wide each.
    """

    body: Body
    semi_m: tuple[float, float]
    edges: Floats
    fine: Floats
    step: float

    @property
    def footprint_m(self) -> float:
        return self.semi_m[0] * (2 - self.body.round)

    def skin_m(self) -> Floats:
        """Skin of a side's wedges (A_SIDE,), per length of the section."""
        a, b = self.semi_m
        arc_m = np.hypot(a * np.cos(self.fine), b * np.sin(self.fine)) * self.step
        areas: Floats = (arc_m * _length(self.body, 1.0, self.fine)).sum(axis=1)
        return areas


def _section(body: Body, thickness_m: float) -> _Section:
    step = math.pi / A_SIDE / FINE
    fine = np.array((np.arange(A_SIDE * FINE).reshape(A_SIDE, FINE) + 0.5) * step)
    return _Section(
        body, (body.width_m / 2, thickness_m / 2), np.linspace(0.0, np.pi, A_SIDE + 1), fine, step
    )


def wedge_forms(layers: tuple[FoodLayer, ...], body: Body) -> tuple[Form, Form]:
    """Upright and turned over; `layers` lie around each other, the inmost first, their thickness across."""
    section = _section(body, sum(layer.thickness_m for layer in layers))
    places, gaps = _places(layers)
    flame = np.arange(A_SIDE)
    of = np.concatenate((flame, flame[::-1]))
    up = of >= BELOW
    share = (section.skin_m() / section.footprint_m)[of]
    # Of its area a face that looks at an angle shows its sine or cosine; upwards beyond the horizontal.
    tilt = (section.edges[:-1] + section.edges[1:])[of] / 2
    upwards = share * np.maximum(0.0, -np.cos(tilt)) * up
    downwards = share * np.maximum(0.0, np.cos(tilt)) * ~up
    form = Form(
        cut=Cut(
            grids=_grids(section, gaps, places),
            of=of,
            share=share,
            under=downwards / downwards.sum(),
            shown=upwards / upwards.sum(),
            across=_across(section, gaps, places),
            inward=(~up).astype(np.int64),
        ),
        top_area=up.astype(float),
        below_area=(~up).astype(float),
        side=np.sin(tilt) ** 2,
        bearing_deg=np.repeat([0.0, 180.0], A_SIDE),
        gap_m=np.where(up, 0.0, section.semi_m[1] * (1 - np.cos(tilt))),
        sky=upwards / upwards.sum(),
        edge=np.zeros((2 * A_SIDE, NODES)),
        edge_m2K_W=0.0,
        core_columns=slice(BELOW, 2 * A_SIDE - BELOW),
        core_nodes=slice(0, int(np.searchsorted(places, 0.5, side="right"))),
        turns_from=np.concatenate((flame[::-1], A_SIDE + flame[::-1])),
        turns_about=(of < BELOW) | (of >= A_SIDE - BELOW),
    )
    return form if body.outline == "ellipse" else replace(form, gap_m=np.zeros(2 * A_SIDE)), form


def _length(body: Body, s: float | Floats, angle: float | Floats) -> Floats:
    """How long the section goes on: as far everywhere, or (round) around the upright axis."""
    return np.asarray(1 - body.round + body.round * s * np.sin(angle))


def _places(layers: tuple[FoodLayer, ...]) -> tuple[Floats, list[tuple[float, Stuff]]]:
    """The nodes' s, and per gap its width in s and what fills it; thin gaps under the skin alone."""
    thickness_m = sum(layer.thickness_m for layer in layers)
    counts = gap_counts(tuple(layer.thickness_m for layer in layers))
    gaps: list[tuple[float, Stuff]] = []
    for number, (layer, count) in enumerate(zip(layers, counts, strict=True)):
        share = layer.thickness_m / thickness_m
        widths = gaps_m(share, count, False, number == len(layers) - 1)
        gaps += [(float(width), stuff_of(layer.stuff)) for width in widths]
    return np.concatenate(([0.0], np.cumsum([width for width, _ in gaps]))), gaps


def _grids(section: _Section, gaps: list[tuple[float, Stuff]], places: Floats) -> Floats:
    """The grids of a side's wedges per area of their skin; those that look down with the skin first."""
    skin_m = section.skin_m()
    made = [_wedge(section, gaps, places, k, float(skin_m[k])) for k in range(A_SIDE)]
    return np.array([turned_over(grid) if k < BELOW else grid for k, grid in enumerate(made)])


def _wedge(
    section: _Section, gaps: list[tuple[float, Stuff]], places: Floats, k: int, skin_m: float
) -> Floats:
    """The grid of wedge `k` per area of its skin, from the middle outward."""
    grid = np.zeros((GRID_ROWS, NODES))
    a, b = section.semi_m
    angle, per_skin = section.fine[k], section.step * a * b / skin_m
    slope2 = (np.sin(angle) / a) ** 2 + (np.cos(angle) / b) ** 2
    for i, (width, stuff) in enumerate(gaps):
        low, middle, high = places[i], places[i] + width / 2, places[i + 1]
        for node, inner, outer in ((i, low, middle), (i + 1, middle, high)):
            s = (inner + outer) / 2
            volume_m = float((_length(section.body, s, angle) * s).sum()) * (outer - inner) * per_skin
            add(grid, node, stuff, volume_m)
        through_1_m = float((slope2 * _length(section.body, middle, angle)).sum()) * middle * per_skin / width
        deep_m = width / float(np.sqrt(slope2.mean()))
        join(grid, i, stuff, deep_m, through_1_m * deep_m)
    grid[MUSCLE] /= grid[WATER_0]
    grid[JUICE_UP] = 1.0
    return grid


def _across(section: _Section, gaps: list[tuple[float, Stuff]], places: Floats) -> Floats:
    """Conductance between neighbours per footprint (columns - 1, NODES), up one side and down the other."""
    flows = np.zeros((A_SIDE, NODES))
    a, b = section.semi_m
    for k, angle in enumerate(section.edges[1:].tolist()):
        turn2 = (math.cos(angle) / a) ** 2 + (math.sin(angle) / b) ** 2
        for i, (width, stuff) in enumerate(gaps):
            for node, s in ((i, places[i] + width / 4), (i + 1, places[i] + 3 * width / 4)):
                long = float(_length(section.body, s, angle))
                flows[k, node] += stuff.moist_W_mK * turn2 * a * b * long * width / 2 / s
    flows *= A_SIDE / math.pi / section.footprint_m
    return np.concatenate((flows, flows[:-1][::-1]))
