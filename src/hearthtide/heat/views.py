"""Who sees whom: exchange areas A_i F_ij between patches that stand for each other by points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.errors import NoConvergence, PhysicalRangeError
from hearthtide.heat.ranges import Array


@dataclass(frozen=True, eq=False)
class Points:
    """Points that stand for patches: positions and unit normals (p, 3), areas (p,).

    The points of one patch lie next to each other; `starts` (n,) is each patch's first.
    """

    at_m: Array
    normal: Array
    area_m2: Array
    starts: np.ndarray[tuple[int], np.dtype[np.intp]]

    @property
    def patch_area_m2(self) -> Array:
        return np.add.reduceat(self.area_m2, self.starts)


def exchange_areas_m2(a: Points, b: Points) -> Array:
    """A_i F_ij (n_a, n_b) by summing cos cos / (pi r²) over pairs of points; no shadows between them.

    A point does not see itself. Error falls as the square of point spacing over distance.
    """
    distance2 = _inner(a.at_m, a.at_m)[:, None] + _inner(b.at_m, b.at_m)[None, :] - 2 * (a.at_m @ b.at_m.T)
    toward_b = a.normal @ b.at_m.T - _inner(a.normal, a.at_m)[:, None]
    toward_a = (b.normal @ a.at_m.T - _inner(b.normal, b.at_m)[:, None]).T
    np.maximum(toward_b, 0.0, out=toward_b)
    np.maximum(toward_a, 0.0, out=toward_a)
    apart = distance2 > 1e-12
    safe = np.where(apart, distance2, 1.0)
    pairs = np.where(apart, toward_b * toward_a / (np.pi * safe * safe), 0.0)
    pairs *= a.area_m2[:, None] * b.area_m2[None, :]
    return np.add.reduceat(np.add.reduceat(pairs, a.starts, axis=0), b.starts, axis=1)


def _inner(x: Array, y: Array) -> Array:
    return np.asarray(np.einsum("ij,ij->i", x, y))


def balanced(exchange_m2: Array, area_m2: Array, tolerance: float = 1e-12, rounds: int = 5000) -> Array:
    """Scale a symmetric exchange matrix to D S D whose rows sum to the areas (Sinkhorn and Knopp 1967).

    The result is reciprocal and closed at once. Raises PhysicalRangeError for a patch that sees nothing,
    NoConvergence when the rows do not settle to `tolerance` of their area.
    """
    symmetric = (exchange_m2 + exchange_m2.T) / 2
    if np.any(symmetric.sum(axis=1) <= 0):
        raise PhysicalRangeError("a patch sees no other patch (expected a closed enclosure)")
    scale = np.ones(len(area_m2))
    worst = np.inf
    for _ in range(rounds):
        seen = symmetric @ scale
        worst = float(np.max(np.abs(scale * seen / area_m2 - 1)))
        if worst < tolerance:
            return np.asarray(scale[:, None] * symmetric * scale[None, :])
        scale = np.sqrt(scale * area_m2 / seen)
    raise NoConvergence(f"view factors: rows off by {worst:.1e} after {rounds} rounds")
