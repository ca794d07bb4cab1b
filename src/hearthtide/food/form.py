"""How a portion is cut into columns: a flat one into its middle and four sectors; see `wedges`, `strips`."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hearthtide.food.column import FLAT_COLUMNS, NODES, Cut, Floats, Index
from hearthtide.food.grid import RIM_POROSITY, inner_half, layer_grid, turned_over
from hearthtide.food.spec import FoodLayer

# A flat sector browns mostly on what looks up, a quarter on its shoulder. Assumed.
SHOULDER = 0.25
# A rim is a quarter round: half of it looks up, half sideways (exact for even heat from all sides).
RIM_SIDE = 0.5

Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Form:
    """What the columns of a portion meet, the way up it lies. Arrays (columns,).

    `top_area` and `below_area` of a column's faces per its area; `side` 0..1 of the upper face that looks
    sideways and `bearing_deg` clockwise from the leading edge to where it looks; `gap_m` between the
    underside and what the portion stands on. `sky` are shares of what the oven sees from above, sum 1.
    `edge` (columns, NODES) is the upright side of each node per footprint, `edge_m2K_W` what resists between
    that side and the column's middle. The core is looked for in
    `core_columns`, `core_nodes`. Turned over, column `turns_from[c]` comes to lie at c, its nodes in reverse
    where `turns_about[c]`.
    """

    cut: Cut
    top_area: Floats
    below_area: Floats
    side: Floats
    bearing_deg: Floats
    gap_m: Floats
    sky: Floats
    edge: Floats
    edge_m2K_W: float
    core_columns: slice
    core_nodes: slice
    turns_from: Index
    turns_about: Flags


def flat_forms(layers: tuple[FoodLayer, ...], rim_m: float) -> tuple[Form, Form]:
    """Upright and turned over: a slab or a pizza; its middle stands for the whole footprint."""
    ones, none = np.ones(FLAT_COLUMNS), np.zeros(FLAT_COLUMNS)
    grids = [layer_grid(layers)]
    if rim_m > 0:
        grids.append(layer_grid((FoodLayer(layers[0].food, rim_m),), RIM_POROSITY))
    of = np.array([0] + [len(grids) - 1] * (FLAT_COLUMNS - 1))
    whole = np.array([1.0, 0.0, 0.0, 0.0, 0.0])
    side = np.full(FLAT_COLUMNS, RIM_SIDE if rim_m > 0 else SHOULDER)
    side[0] = 0.0
    rimmed = rim_m > sum(layer.thickness_m for layer in layers)
    upright = Form(
        cut=Cut(
            grids=np.array(grids),
            of=of,
            share=whole,
            under=whole,
            shown=np.array([0.0, 0.25, 0.25, 0.25, 0.25]),
            across=np.zeros((0, NODES)),
            inward=np.zeros(FLAT_COLUMNS, dtype=np.int64),
        ),
        top_area=ones,
        below_area=ones,
        side=side,
        bearing_deg=np.array([0.0, 0.0, 90.0, 180.0, 270.0]),
        gap_m=none,
        sky=whole,
        edge=np.zeros((FLAT_COLUMNS, NODES)),
        edge_m2K_W=0.0,
        core_columns=slice(1, FLAT_COLUMNS) if rimmed else slice(0, 1),
        core_nodes=inner_half(grids[-1] if rimmed else grids[0]),
        turns_from=np.array([0, 1, 4, 3, 2]),
        turns_about=np.ones(FLAT_COLUMNS, dtype=bool),
    )
    return upright, over(upright)


def over(form: Form) -> Form:
    """The same columns with every grid upside down."""
    grids = np.array([turned_over(grid) for grid in form.cut.grids])
    return replace(
        form,
        cut=form.cut._replace(grids=grids, across=form.cut.across[:, ::-1].copy()),
        edge=form.edge[:, ::-1].copy(),
        core_nodes=inner_half(grids[form.cut.of[form.core_columns.start]]),
    )
