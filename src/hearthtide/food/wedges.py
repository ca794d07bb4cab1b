"""A round piece cut like a cake: wedges from its middle to its skin, flame side over the top to lee.

The section is an ellipse x = a s sin(angle), z = -b s cos(angle): s from 0 in the middle to 1 at the skin,
the angle from 0 below to 180 degrees on top, on either side. Conduction along s and along the angle follow
the exact metric; the mixed term, which vanishes for a circle, is left out. A dome is heated as a full ellipse
of the same thickness, width and section that touches all over below.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from hearthtide.food.column import (
    DRY,
    GAP,
    GAP_CRUST_K,
    GAP_FLUID,
    GAP_K,
    GAP_WATER,
    GRID_ROWS,
    JUICE_UP,
    MASS,
    MUSCLE,
    NODES,
    VOLUME,
    WATER_0,
    Cut,
    Floats,
)
from hearthtide.food.form import Form
from hearthtide.food.grid import Stuff, gap_counts, gaps_m, stuff_of, turned_over
from hearthtide.food.spec import Body, FoodLayer

A_SIDE = 5
BELOW = 2  # the lowest two of a side look down: what touches, and what is close to doing so
FINE = 40  # slices of an angle for the integrals


def wedge_forms(layers: tuple[FoodLayer, ...], body: Body) -> tuple[Form, Form]:
    """Upright and turned over; `layers` lie around each other, the inmost first, their thickness across."""
    thickness_m = sum(layer.thickness_m for layer in layers)
    semi_m = (body.width_m / 2, thickness_m / 2)
    angles = np.linspace(0.0, np.pi, A_SIDE + 1)
    step = math.pi / A_SIDE / FINE
    fine = np.array((np.arange(A_SIDE * FINE).reshape(A_SIDE, FINE) + 0.5) * step)
    arc_m = np.hypot(semi_m[0] * np.cos(fine), semi_m[1] * np.sin(fine)) * step
    footprint_m = semi_m[0] * (2 - body.round)
    areas = (arc_m * _length(body, 1.0, fine)).sum(axis=1) / footprint_m
    places, gaps = _places(layers, thickness_m)
    made = [_wedge(gaps, places, fine, step, semi_m, body, k, areas[k] * footprint_m) for k in range(A_SIDE)]
    grids = np.array([turned_over(grid) if k < BELOW else grid for k, grid in enumerate(made)])
    beside = np.array([_beside(gaps, places, angle, semi_m, body) for angle in angles[1:]]) / footprint_m
    flame = np.arange(A_SIDE)
    of = np.concatenate((flame, flame[::-1]))
    across = np.concatenate((beside, beside[:-1][::-1]))
    share = areas[of]
    up = of >= BELOW
    # Of its area a face that looks at an angle shows its sine or cosine; upwards beyond the horizontal.
    tilt = (angles[:-1] + angles[1:])[of] / 2
    upwards = share * np.maximum(0.0, -np.cos(tilt)) * up
    downwards = share * np.maximum(0.0, np.cos(tilt)) * ~up
    lift_m = np.where(up, 0.0, semi_m[1] * (1 - np.cos(tilt)))
    form = Form(
        cut=Cut(
            grids=grids,
            of=of,
            share=share,
            under=downwards / downwards.sum(),
            shown=upwards / upwards.sum(),
            across=across,
            inward=(~up).astype(np.int64),
        ),
        top_area=up.astype(float),
        below_area=(~up).astype(float),
        side=np.sin(tilt) ** 2,
        bearing_deg=np.repeat([0.0, 180.0], A_SIDE),
        gap_m=lift_m,
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


def _places(layers: tuple[FoodLayer, ...], thickness_m: float) -> tuple[Floats, list[tuple[float, Stuff]]]:
    """The nodes' s, and per gap its width in s and what fills it; thin gaps under the skin alone."""
    counts = gap_counts(tuple(layer.thickness_m for layer in layers))
    gaps: list[tuple[float, Stuff]] = []
    for number, (layer, count) in enumerate(zip(layers, counts, strict=True)):
        share = layer.thickness_m / thickness_m
        widths = gaps_m(share, count, False, number == len(layers) - 1)
        gaps += [(float(width), stuff_of(layer.stuff)) for width in widths]
    return np.concatenate(([0.0], np.cumsum([width for width, _ in gaps]))), gaps


def _wedge(
    gaps: list[tuple[float, Stuff]],
    places: Floats,
    fine: Floats,
    step: float,
    semi_m: tuple[float, float],
    body: Body,
    k: int,
    area_m: float,
) -> Floats:
    """The grid of wedge `k` per area of its skin, from the middle outward."""
    grid = np.zeros((GRID_ROWS, NODES))
    angle = fine[k]
    both_m2 = semi_m[0] * semi_m[1]
    slope2 = (np.sin(angle) / semi_m[0]) ** 2 + (np.cos(angle) / semi_m[1]) ** 2
    for i, (width, stuff) in enumerate(gaps):
        low, middle, high = places[i], places[i] + width / 2, places[i + 1]
        for node, inner, outer in ((i, low, middle), (i + 1, middle, high)):
            s = (inner + outer) / 2
            held_m = float((_length(body, s, angle) * s).sum()) * step * both_m2 * (outer - inner) / area_m
            grid[VOLUME, node] += held_m
            grid[DRY, node] += stuff.dry_J_m3K * held_m
            grid[WATER_0, node] += stuff.water_kg_m3 * held_m
            grid[MASS, node] += stuff.density_kg_m3 * held_m
            grid[MUSCLE, node] += stuff.water_kg_m3 * held_m if stuff.raw_muscle else 0.0
        through_m = float((slope2 * _length(body, middle, angle)).sum()) * step * both_m2 * middle
        deep_m = width / float(np.sqrt(slope2.mean()))
        wider = through_m / width / area_m * deep_m
        grid[GAP, i] = deep_m
        grid[GAP_K, i], grid[GAP_CRUST_K, i] = wider * stuff.moist_W_mK, wider * stuff.crust_W_mK
        grid[GAP_FLUID, i] = float(stuff.fluid)
        grid[GAP_WATER, i] = wider * stuff.water_diffusivity_m2_s * stuff.water_kg_m3 / deep_m
    grid[MUSCLE] /= grid[WATER_0]
    grid[JUICE_UP] = 1.0
    return grid


def _beside(
    gaps: list[tuple[float, Stuff]], places: Floats, angle: float, semi_m: tuple[float, float], body: Body
) -> Floats:
    """What flows between two wedges that meet at an angle, node by node from the middle outward [W/(m K)]."""
    turn2 = (np.cos(angle) / semi_m[0]) ** 2 + (np.sin(angle) / semi_m[1]) ** 2
    flows = np.zeros(NODES)
    for i, (width, stuff) in enumerate(gaps):
        for node, s in ((i, places[i] + width / 4), (i + 1, places[i] + 3 * width / 4)):
            long = float(_length(body, s, angle))
            flows[node] += stuff.moist_W_mK * turn2 * semi_m[0] * semi_m[1] * long * width / 2 / s
    return flows * A_SIDE / np.pi
