"""Straight lines inside the oven: a fan of them from a small surface, and where each ends."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hearthtide.heat.ranges import Array
from hearthtide.oven.geometry import Shell

GOLDEN_SECTION = (np.sqrt(5) - 1) / 2


def fan(facing: Array, pairs: int) -> Array:
    """Unit rays (m, 2 * pairs, 3) about unit normals (m, 3), dense as the cosine to the normal.

    Each stands for an equal share of what a small surface receives. Rays come in mirror pairs about the
    vertical plane through the normal; one of each lies on a golden-section lattice, so that they fill the
    half circle evenly.
    """
    number = np.arange(pairs)
    sine = np.sqrt((number + 0.5) / pairs)
    turn = np.pi * ((number * GOLDEN_SECTION + 0.5) % 1.0)
    side, along, out = sine * np.sin(turn), sine * np.cos(turn), np.sqrt(1 - sine**2)
    flat = np.concatenate([np.stack([side, along, out], 1), np.stack([-side, along, out], 1)])
    level = np.stack([-facing[:, 1], facing[:, 0], np.zeros(len(facing))], 1)
    upright = np.linalg.norm(level, axis=1) < 1e-6
    level[upright] = (1.0, 0.0, 0.0)
    level /= np.linalg.norm(level, axis=1, keepdims=True)
    frame = np.stack([level, np.cross(facing, level), facing], 1)
    return np.asarray(np.matmul(flat[None, :, :], frame))


def end_of(dome: Shell, at_m: Array, rays: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Where rays (m, r, 3) from points (m, 3) inside the oven end (m, r, 3), and which end on the floor."""
    start, along = dome.unit(at_m)[:, None, :], rays / dome.half_axes_m
    a, b = (along * along).sum(2), (start * along).sum(2)
    c = (start * start).sum(2) - 1
    reach = (np.sqrt(np.maximum(b * b - a * c, 0.0)) - b) / a
    down = rays[:, :, 2] < -1e-12
    fall = np.where(down, at_m[:, None, 2] / np.where(down, -rays[:, :, 2], 1.0), np.inf)
    end = at_m[:, None, :] + np.minimum(fall, reach)[:, :, None] * rays
    return end, fall < reach


def views_up(dome: Shell, at_m: Array, pairs: int) -> Array:
    """View factors (m, patches) from points (m, 3) on the floor up to the shell, by one fan from each."""
    fans = fan(np.array([[0.0, 0.0, 1.0]]), pairs)
    patch = dome.patch_of(end_of(dome, at_m, np.broadcast_to(fans, (len(at_m), *fans.shape[1:])))[0])
    flat = (np.arange(len(at_m))[:, None] * dome.patches + patch).ravel()
    seen = np.bincount(flat, minlength=len(at_m) * dome.patches).reshape(len(at_m), dome.patches)
    return np.asarray(seen / (2 * pairs))
