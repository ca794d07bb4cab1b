"""A fine solution of an elliptic section in one film all round: linear triangles, for comparison only."""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_matrix, csr_matrix
from scipy.sparse.linalg import splu

Floats = np.ndarray


def _mesh(semi_m: tuple[float, float], rings: int, spokes: int) -> tuple[Floats, Floats, Floats]:
    """Points (n, 2), the middle first, triangles (t, 3), and the segments of the rim (spokes, 2)."""
    s = np.arange(1, rings + 1) / rings
    angle = 2 * np.pi * np.arange(spokes) / spokes
    x = semi_m[0] * s[:, None] * np.sin(angle)
    y = semi_m[1] * s[:, None] * np.cos(angle)
    points = np.vstack(([[0.0, 0.0]], np.column_stack((x.ravel(), y.ravel()))))
    here, on = np.arange(spokes), (np.arange(spokes) + 1) % spokes
    triangles = [np.column_stack((np.zeros(spokes, dtype=int), 1 + here, 1 + on))]
    for ring in range(1, rings):
        inner, outer = 1 + (ring - 1) * spokes, 1 + ring * spokes
        triangles.append(np.column_stack((inner + here, outer + here, outer + on)))
        triangles.append(np.column_stack((inner + here, outer + on, inner + on)))
    last = 1 + (rings - 1) * spokes
    return points, np.vstack(triangles), np.column_stack((last + here, last + on))


def middle_course(
    semi_m: tuple[float, float],
    conductivity_W_mK: float,
    capacity_J_m3K: float,
    film_W_m2K: float,
    dt_s: float,
    steps: int,
    rings: int = 40,
    spokes: int = 96,
) -> Floats:
    """Share of the first excess left in the middle after every step (steps,), Crank-Nicolson in time."""
    points, triangles, rim = _mesh(semi_m, rings, spokes)
    corners = points[triangles]
    edge = corners[:, [2, 0, 1]] - corners[:, [1, 2, 0]]
    area = 0.5 * np.abs(edge[:, 0, 0] * edge[:, 1, 1] - edge[:, 0, 1] * edge[:, 1, 0])
    stiff = conductivity_W_mK * np.einsum("tik,tjk->tij", edge, edge) / (4 * area[:, None, None])
    mass = capacity_J_m3K * area[:, None, None] / 12 * (np.ones((3, 3)) + np.eye(3))
    rows, columns = np.repeat(triangles, 3, axis=1), np.tile(triangles, 3)
    count = len(points)

    def assembled(local: Floats) -> csr_matrix:
        return coo_matrix((local.ravel(), (rows.ravel(), columns.ravel())), (count, count)).tocsr()

    length = np.linalg.norm(points[rim[:, 1]] - points[rim[:, 0]], axis=1)
    film = film_W_m2K * length[:, None, None] / 6 * (np.ones((2, 2)) + np.eye(2))
    rim_rows, rim_columns = np.repeat(rim, 2, axis=1), np.tile(rim, 2)
    loss = coo_matrix((film.ravel(), (rim_rows.ravel(), rim_columns.ravel())), (count, count)).tocsr()
    through, stored = assembled(stiff) + loss, assembled(mass) / dt_s
    ahead = splu((stored + through / 2).tocsc())
    left, middle = np.ones(count), []
    for _ in range(steps):
        left = ahead.solve((stored - through / 2) @ left)
        middle.append(left[0])
    return np.array(middle)
