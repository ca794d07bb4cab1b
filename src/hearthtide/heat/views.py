"""Who sees whom: exchange areas A_i F_ij made to agree with each other."""

from __future__ import annotations

import numpy as np

from hearthtide.errors import NoConvergence, PhysicalRangeError
from hearthtide.ranges import Array


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
