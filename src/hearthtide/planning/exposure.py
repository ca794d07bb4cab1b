"""What an item meets at its spot: the stone under it and the radiation on its upper and four side faces."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from hearthtide.food.exposure import Exposure, Sectors
from hearthtide.house.places import Spot
from hearthtide.oven.design import OvenDesign
from hearthtide.oven.field import Receivers, leaving, receivers
from hearthtide.oven.flame import Fire
from hearthtide.oven.footprint import Disc, Rect, Shape, cover_fractions
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState

Floats = NDArray[np.float64]

# An item's upper face is sampled at its middle and, this share of the way out, on four sides (0.71 of the
# radius halves a disc's area).
WAY_OUT = 0.7
FACES = 9  # five up, four sideways
WALL_CLEAR_M = 0.02  # of a face, so that it lies under the roof at its height
SEATS_KEPT = 512  # of some 50 kB each
FACE_HEIGHT_M = 0.02  # half way up a platter or a rim (common practice, no source)


@dataclass(frozen=True, eq=False)
class Seat:
    """One spot made ready: the cells under it (n,) as shares that sum to 1, and its receivers."""

    spot: Spot
    cover: Floats
    under: Floats
    faces: Receivers


def footprint_of(spot: Spot) -> Shape:
    outline = spot.outline
    if outline.is_disc:
        return Disc(spot.x_m, spot.y_m, 2 * outline.radius_m)
    return Rect(spot.x_m, spot.y_m, outline.width_m, outline.depth_m)


@lru_cache(maxsize=SEATS_KEPT)
def seat(oven: Oven, spot: Spot) -> Seat:
    """A spot made ready: some milliseconds; the last of an oven's are kept."""
    cover = cover_fractions(oven, [footprint_of(spot)])[0]
    sides = [math.radians(spot.flame_bearing_deg + turn) for turn in (0, 90, 180, 270)]
    inside = WAY_OUT * spot.outline.reach_m
    points = [_off(oven.design, spot, 0.0, 0.0)]
    points += [_off(oven.design, spot, inside, a) for a in sides]
    points += [_off(oven.design, spot, spot.outline.reach_m, a) for a in sides]
    normals = [(0.0, 0.0, 1.0)] * 5 + [(math.sin(a), math.cos(a), 0.0) for a in sides]
    faces = receivers(oven, np.array(points), np.array(normals))
    return Seat(spot, cover, cover / cover.sum(), faces)


def _off(design: OvenDesign, spot: Spot, out_m: float, bearing: float) -> tuple[float, float, float]:
    """A point `out_m` from the spot's middle, kept on the hearth's side of wall and sill."""
    x0, y0 = design.hearth.centre_m
    x, y = spot.x_m + out_m * math.sin(bearing), spot.y_m + out_m * math.cos(bearing)
    for inward in np.linspace(0.0, 1.0, 51):
        at = np.array([x + inward * (x0 - x), y + inward * (y0 - y)])
        if design.hearth.room_m(at) >= WALL_CLEAR_M:
            break
    return float(at[0]), float(at[1]), FACE_HEIGHT_M


def faces_W_m2(
    oven: Oven, state: OvenState, fire: Fire | float, seats: list[Seat], load: Load = NO_LOAD
) -> Floats:
    """Irradiance on the nine faces of every seat, (seats, 9)."""
    if not seats:
        return np.zeros((0, FACES))
    by = leaving(oven, state, fire, load)
    return np.array([s.faces.lit_W_m2(by) for s in seats])


def mean_faces(faces: Floats) -> tuple[tuple[float, Sectors], ...]:
    """From the nine faces of every seat (seats, 9): irradiance on its upper face, and on its four sides."""
    ups, rims = faces[:, :5].mean(1).tolist(), faces[:, 5:].tolist()
    return tuple((up, (rim[0], rim[1], rim[2], rim[3])) for up, rim in zip(ups, rims, strict=True))


def stone_exposure(stone_C: float, faces: Floats, gas_C: float) -> Exposure:
    """The exposure on the stone from the nine faces' irradiance."""
    ((up_W_m2, rim_W_m2),) = mean_faces(faces[None, :])
    return Exposure("stone", stone_C, up_W_m2, rim_W_m2, gas_C)


def evened(exposure: Exposure) -> Exposure:
    """The same heat for an item that is turned often enough to meet all sides alike."""
    mean = sum(exposure.rim_W_m2) / 4
    return Exposure(exposure.base, exposure.stone_C, exposure.up_W_m2, (mean,) * 4, exposure.gas_C)
