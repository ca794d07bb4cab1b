"""Heat conducted through layered walls: many identical columns at once, backward Euler in time.

Conductivity and heat capacity may follow temperature: each node takes them at its mean over the columns,
as it stands when the step begins.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.kernel import sweep
from hearthtide.heat.materials import TABLE_C
from hearthtide.ranges import Array, require


@dataclass(frozen=True, eq=False)
class Slab:
    """One layer: thickness, conductivity, volumetric heat capacity; either may be a table on TABLE_C."""

    thickness_m: float
    conductivity_W_mK: float | Array
    capacity_J_m3K: float | Array


@dataclass(frozen=True, eq=False)
class Wall:
    """Nodes of a layered wall from the hot face outward: middles and thicknesses (nodes,), and on
    TABLE_C conductivity and volumetric capacity (nodes, t).
    """

    depth_m: Array
    step_m: Array
    conductivity_W_mK: Array
    capacity_J_m3K: Array

    def at(self, nodes_C: Array) -> tuple[Array, Array]:
        """Conductivity (nodes,) and capacity per area (nodes,), J/m²K, at temperatures (nodes,)."""
        place = np.clip((nodes_C - TABLE_C[0]) / (TABLE_C[1] - TABLE_C[0]), 0.0, len(TABLE_C) - 1.000001)
        low = place.astype(int)
        share, row = place - low, np.arange(len(low))

        def between(table: Array) -> Array:
            return np.asarray((1 - share) * table[row, low] + share * table[row, low + 1])

        return between(self.conductivity_W_mK), between(self.capacity_J_m3K) * self.step_m


def wall(slabs: tuple[Slab, ...], first_nodes: int, other_nodes: int, ratio: float) -> Wall:
    """Divide slabs into cell-centred nodes: the first finer toward the hot face, the others even.

    `ratio` >= 1 is the growth from one node of the first slab to the next.
    Raises PhysicalRangeError for no slab, no node, or values a wall cannot have.
    """
    if not slabs or first_nodes < 1 or other_nodes < 1:
        raise PhysicalRangeError(
            f"wall of {len(slabs)} slabs, {first_nodes}+{other_nodes} nodes (expected >= 1)"
        )
    require("ratio", ratio, "-", 1.0, 3.0)
    steps, conductivity, capacity = [], [], []
    for i, slab in enumerate(slabs):
        require("thickness_m", slab.thickness_m, "m", 1e-4, 10.0)
        require("conductivity_W_mK", slab.conductivity_W_mK, "W/mK", 1e-3, 1e3)
        require("capacity_J_m3K", slab.capacity_J_m3K, "J/m³K", 1e2, 1e8)
        nodes = other_nodes if i else first_nodes
        growth = np.power(1.0 if i else ratio, np.arange(nodes, dtype=float))
        steps.append(slab.thickness_m * growth / growth.sum())
        conductivity.append(np.broadcast_to(slab.conductivity_W_mK, (nodes, len(TABLE_C))))
        capacity.append(np.broadcast_to(slab.capacity_J_m3K, (nodes, len(TABLE_C))))
    step = np.concatenate(steps)
    return Wall(
        depth_m=np.cumsum(step) - step / 2,
        step_m=step,
        conductivity_W_mK=np.concatenate(conductivity),
        capacity_J_m3K=np.concatenate(capacity),
    )


@dataclass(frozen=True, eq=False)
class Links:
    """A wall's properties at one moment: conductivity and capacity per area (nodes,), conductances between
    nodes (nodes - 1,), from the hot face to the first and from the last to the air behind, W/m²K.
    """

    conductivity_W_mK: Array
    capacity_J_m2K: Array
    link_W_m2K: Array
    surface_W_m2K: float
    back_W_m2K: float


def links(wall: Wall, nodes_C: Array, outer_film_W_m2K: float) -> Links:
    """Properties at mean temperatures (nodes,). A film of 0 means a perfectly insulated outer face.

    Raises PhysicalRangeError unless 0 <= film <= 1e9.
    """
    require("outer_film_W_m2K", outer_film_W_m2K, "W/m²K", 0.0, 1e9)
    conductivity, capacity = wall.at(nodes_C)
    half = wall.step_m / (2 * conductivity)
    back = 1 / (half[-1] + 1 / outer_film_W_m2K) if outer_film_W_m2K else 0.0
    return Links(conductivity, capacity, 1 / (half[:-1] + half[1:]), float(1 / half[0]), float(back))


@dataclass(frozen=True, eq=False)
class ColumnStep:
    """After one step: nodes (nodes, n); face temperature, flux in at the face, flux out at the back (n,)."""

    nodes_C: Array
    face_C: Array
    in_W_m2: Array
    out_W_m2: Array


def advance_columns(
    at: Links,
    dt_s: float,
    nodes_C: Array,
    gain_W_m2: Array,
    loss_W_m2K: Array,
    behind_C: float,
    sideways_W_m2: Array | None = None,
) -> ColumnStep:
    """One backward Euler step of every column.

    The face absorbs gain - loss * face_C (loss 0: a given flux; gain = loss * T: a film at T).
    `nodes_C` and heat from the sides `sideways_W_m2` are (nodes, n), `gain_W_m2` and `loss_W_m2K` (n,).
    Raises PhysicalRangeError unless 0 < dt_s <= 86400.
    """
    require("dt_s", dt_s, "s", 1e-6, 86400.0)
    nodes = np.array(nodes_C, dtype=float)
    held = np.zeros_like(nodes) if sideways_W_m2 is None else np.array(sideways_W_m2, dtype=float)
    storage = at.capacity_J_m2K / dt_s
    ends = (float(at.surface_W_m2K), float(at.back_W_m2K))
    face = sweep(nodes, storage, at.link_W_m2K, *ends, gain_W_m2, loss_W_m2K, float(behind_C), held)
    return ColumnStep(
        nodes_C=nodes,
        face_C=face,
        in_W_m2=at.surface_W_m2K * (face - nodes[0]),
        out_W_m2=at.back_W_m2K * (nodes[-1] - behind_C),
    )
