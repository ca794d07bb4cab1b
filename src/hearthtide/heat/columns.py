"""Heat conducted through layered walls: many identical columns at once, backward Euler in time.

Every column is the same wall, so the linear system is the same for all of them but for the surface.
Its inverse is taken once per time step length; the surface enters as one flux per column:

    C_k/dt T'_k = C_k/dt T_k + g_{k-1} (T'_{k-1} - T'_k) + g_k (T'_{k+1} - T'_k) + sideways_k
    T' = A⁻¹ rhs + u q,   q = a - b Ts = gs (Ts - T'_0)

where q enters through the hot face and a, b are the surface's linear balance (W/m², W/m²K).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.ranges import Array, require


@dataclass(frozen=True)
class Slab:
    """One layer: thickness, conductivity, volumetric heat capacity."""

    thickness_m: float
    conductivity_W_mK: float
    capacity_J_m3K: float


@dataclass(frozen=True, eq=False)
class Wall:
    """Nodes of a layered wall from the hot face outward; each array (nodes,)."""

    depth_m: Array
    step_m: Array
    conductivity_W_mK: Array
    capacity_J_m2K: Array

    @property
    def surface_W_m2K(self) -> float:
        """Conductance from the hot face to the first node."""
        return float(2 * self.conductivity_W_mK[0] / self.step_m[0])


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
        require("capacity_J_m3K", slab.capacity_J_m3K, "J/m³K", 1e3, 1e7)
        nodes = other_nodes if i else first_nodes
        growth = np.power(1.0 if i else ratio, np.arange(nodes, dtype=float))
        steps.append(slab.thickness_m * growth / growth.sum())
        conductivity.append(np.full(nodes, slab.conductivity_W_mK))
        capacity.append(np.full(nodes, slab.capacity_J_m3K))
    step = np.concatenate(steps)
    return Wall(
        depth_m=np.cumsum(step) - step / 2,
        step_m=step,
        conductivity_W_mK=np.concatenate(conductivity),
        capacity_J_m2K=np.concatenate(capacity) * step,
    )


@dataclass(frozen=True, eq=False)
class Factors:
    """The wall's inverse for one time step length and one film on the outer face."""

    dt_s: float
    from_old: Array
    from_sideways: Array
    from_ambient: Array
    from_flux: Array
    surface_W_m2K: float
    back_W_m2K: float


def factor(wall: Wall, dt_s: float, outer_film_W_m2K: float) -> Factors:
    """Invert the wall's equations once. `outer_film_W_m2K` 0 means a perfectly insulated outer face.

    Raises PhysicalRangeError unless 0 < dt_s <= 86400 and 0 <= film <= 1e9.
    """
    require("dt_s", dt_s, "s", 1e-6, 86400.0)
    require("outer_film_W_m2K", outer_film_W_m2K, "W/m²K", 0.0, 1e9)
    half = wall.step_m / (2 * wall.conductivity_W_mK)
    link = 1 / (half[:-1] + half[1:])
    back = 1 / (half[-1] + 1 / outer_film_W_m2K) if outer_film_W_m2K else 0.0
    storage = wall.capacity_J_m2K / dt_s
    diagonal = storage.copy()
    diagonal[:-1] += link
    diagonal[1:] += link
    diagonal[-1] += back
    matrix = np.diag(diagonal) - np.diag(link, 1) - np.diag(link, -1)
    inverse: Array = np.asarray(np.linalg.inv(matrix), dtype=float)
    return Factors(
        dt_s=dt_s,
        from_old=np.ascontiguousarray(inverse * storage),
        from_sideways=np.ascontiguousarray(inverse),
        from_ambient=inverse[:, -1] * back,
        from_flux=inverse[:, 0].copy(),
        surface_W_m2K=wall.surface_W_m2K,
        back_W_m2K=float(back),
    )


@dataclass(frozen=True, eq=False)
class ColumnStep:
    """After one step: nodes (nodes, n); face temperature, flux in at the face, flux out at the back (n,)."""

    nodes_C: Array
    face_C: Array
    in_W_m2: Array
    out_W_m2: Array


def advance_columns(
    factors: Factors,
    nodes_C: Array,
    gain_W_m2: Array,
    loss_W_m2K: Array,
    ambient_C: float,
    sideways_K: Array | None = None,
    spread_W_m2K: Array | None = None,
) -> ColumnStep:
    """One backward Euler step of every column.

    The face absorbs gain - loss * face_C; (loss 0: a given flux; gain = loss * T: a film at T).
    `nodes_C` is (nodes, n), `gain_W_m2` and `loss_W_m2K` (n,). Heat from neighbouring columns, taken at the
    old time, is `spread_W_m2K` (nodes,) times `sideways_K` (nodes, n), the sum of differences to them.
    """
    held = factors.from_old @ nodes_C
    if sideways_K is not None and spread_W_m2K is not None:
        held += (factors.from_sideways * spread_W_m2K) @ sideways_K
    held += factors.from_ambient[:, None] * ambient_C
    share = factors.surface_W_m2K / (factors.surface_W_m2K + loss_W_m2K)
    flux = share * (gain_W_m2 - loss_W_m2K * held[0]) / (1 + share * loss_W_m2K * factors.from_flux[0])
    held += factors.from_flux[:, None] * flux
    return ColumnStep(
        nodes_C=held,
        face_C=held[0] + flux / factors.surface_W_m2K,
        in_W_m2=flux,
        out_W_m2=factors.back_W_m2K * (held[-1] - ambient_C),
    )
