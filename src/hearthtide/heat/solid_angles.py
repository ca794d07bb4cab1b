"""Solid angles seen from points: how an isotropic source shares its light among patches, exactly."""

from __future__ import annotations

import numpy as np

from hearthtide.ranges import Array


def cell_solid_angles(x_edges_m: Array, y_edges_m: Array, points_m: Array) -> Array:
    """Solid angle of every rectangle of a lattice at z = 0 from points above it: (points, ny, nx), steradian.

    Closed form per corner, atan(xy / (z r)), differenced (textbook result, from memory).
    A point must have z > 0.
    """
    x = x_edges_m[None, None, :] - points_m[:, 0, None, None]
    y = y_edges_m[None, :, None] - points_m[:, 1, None, None]
    z = points_m[:, 2, None, None]
    corner = np.arctan(x * y / (z * np.sqrt(x * x + y * y + z * z)))
    return np.asarray(np.diff(np.diff(corner, axis=1), axis=2))
