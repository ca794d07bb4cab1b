"""The stone under one item alone: a single column that the item cools, nothing else of the oven moving.

Good for asking how long something takes at a spot; the whole oven is run where the answer matters.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.heat.columns import advance_columns, links
from hearthtide.oven.model import Oven, OvenState
from hearthtide.ranges import Array, require, require_shape


@dataclass(frozen=True, eq=False)
class StoneUnder:
    """The column's nodes (nodes, 1) and its face's temperature."""

    nodes_C: Array
    face_C: float
    ambient_C: float


def stone_under(oven: Oven, state: OvenState, weights: Array) -> StoneUnder:
    """The mean column under an item. `weights` (n,) are shares of the cells under it that sum to 1."""
    require_shape("weights", weights, (len(oven.cells_m),))
    require("sum of weights", float(weights.sum()), "-", 0.999, 1.001)
    nodes = state.floor_nodes_C[:, oven.stone.where] @ weights
    return StoneUnder(nodes[:, None], float(weights @ state.floor_C), state.ambient_C)


def cooled(oven: Oven, stone: StoneUnder, conductance_W_m2K: float, base_C: float, dt_s: float) -> StoneUnder:
    """The column `dt_s` later under an item whose base is at `base_C`.

    Raises PhysicalRangeError for a conductance or a step out of range.
    """
    require("conductance_W_m2K", conductance_W_m2K, "W/m²K", 0.0, 1e5)
    loss = np.array([conductance_W_m2K])
    film = oven.design.coefficients.outer_film_W_m2K
    at = links(oven.floor_wall, stone.nodes_C[:, 0], film)
    step = advance_columns(at, dt_s, stone.nodes_C, loss * base_C, loss, stone.ambient_C)
    return StoneUnder(step.nodes_C, float(step.face_C[0]), stone.ambient_C)
