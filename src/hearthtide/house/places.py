"""Where on a hearth an item of one outline can stand, as the house's own zones name it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from hearthtide.house.models import Place, VesselFile, ZonesFile
from hearthtide.oven.design import OvenDesign

Floats = NDArray[np.float64]

CLEARANCE_M = 0.01  # between two items, and to the wall (common practice, no source)
STEP_M = 0.05  # spacing of the spots; a cook sets a platter down no closer than this
SAME_M = 1e-9  # lengths closer than this are equal: what adding them up in floats can lose


@dataclass(frozen=True)
class Outline:
    """A footprint without a position: a disc (`width_m` = `depth_m` = 0) or a rectangle (`radius_m` = 0)."""

    width_m: float
    depth_m: float
    radius_m: float

    @classmethod
    def of(cls, vessel: VesselFile) -> Outline:
        """The footprint of what stands on the stone."""
        if vessel.diameter is not None:
            return cls(0.0, 0.0, vessel.diameter / 2)
        if vessel.width is None or vessel.depth is None:
            raise ValueError("a vessel has a diameter, or a width and a depth")
        return cls(vessel.width, vessel.depth, 0.0)

    def turned(self) -> Outline:
        return Outline(self.depth_m, self.width_m, self.radius_m)

    @property
    def area_m2(self) -> float:
        return math.pi * self.radius_m**2 if self.is_disc else self.width_m * self.depth_m

    @property
    def is_disc(self) -> bool:
        return self.radius_m > 0

    @property
    def least_width_m(self) -> float:
        """How wide a mouth it just goes through."""
        return 2 * self.radius_m if self.is_disc else min(self.width_m, self.depth_m)

    @property
    def reach_m(self) -> float:
        """Half the outline's mean width: how far its edge lies from its middle."""
        return self.radius_m if self.is_disc else (self.width_m + self.depth_m) / 4


@dataclass(frozen=True)
class Spot:
    """One place for one outline; `flame_m` from its nearest edge to the flame."""

    x_m: float
    y_m: float
    outline: Outline
    zone: Place
    flame_m: float
    flame_bearing_deg: float


def place_of(gap_m: float, front_m: float, zones: ZonesFile) -> Place | None:
    """The house's word for a standing; None where it is too close to the flame for anything.

    `gap_m` is from the flame to the item's nearest edge, `front_m` from the sill to its front edge.
    By the mouth it is `mouth`, whatever its distance from the flame.
    """
    if gap_m < zones.near_from:
        return None
    if front_m <= zones.mouth_depth:
        return "mouth"
    if gap_m < zones.mid_from:
        return "near"
    return "mid" if gap_m < zones.edge_from else "edge"


@cache
def spots_of(design: OvenDesign, zones: ZonesFile, shape: Outline) -> tuple[Spot, ...]:
    """All spots of an outline laid this way round, flame and wall kept clear, front row first."""
    half, depth = design.hearth.width_m / 2, design.hearth.depth_m
    flame, rims = _flames(design)
    across = np.arange(-math.ceil(half / STEP_M), math.ceil(half / STEP_M) + 1) * STEP_M
    inward = np.arange(0.0, depth, STEP_M) + shape.depth_m / 2 + shape.radius_m + CLEARANCE_M
    found = []
    for y in map(float, inward):
        for x in map(float, across):
            if not fits_at(design, shape, x, y):
                continue
            gap, bearing = _nearest_flame(flame, rims, shape, x, y)
            zone = place_of(gap, y - shape.depth_m / 2 - shape.radius_m, zones)
            if zone is not None:
                found.append(Spot(x, y, shape, zone, gap, bearing))
    return tuple(found)


def spot_at(design: OvenDesign, zones: ZonesFile, shape: Outline, x_m: float, y_m: float) -> Spot | None:
    """The spot exactly there, laid this way round; None where it is too close to the flame for anything.

    Whether it fits there is `fits_at`'s to say.
    """
    gap, bearing = _nearest_flame(*_flames(design), shape, x_m, y_m)
    zone = place_of(gap, y_m - shape.depth_m / 2 - shape.radius_m, zones)
    return None if zone is None else Spot(x_m, y_m, shape, zone, gap, bearing)


def farthest_gap_m(design: OvenDesign, outline: Outline, zones: ZonesFile) -> Mapping[Place, float]:
    """For each place where the item fits, either way round, the greatest gap to the flame there [m]."""
    farthest: dict[Place, float] = {}
    for shape in {outline, outline.turned()}:
        for spot in spots_of(design, zones, shape):
            farthest[spot.zone] = max(spot.flame_m, farthest.get(spot.zone, 0.0))
    return farthest


def _flames(design: OvenDesign) -> tuple[Floats, Floats]:
    """Points (n, 2) along the middle of every fire on the hearth, and how far its rim lies off each."""
    paths = [design.flame_path_m(burner, 65) for burner in design.fires]
    rims = [
        np.full(len(path), 0.0 if burner.kind == "ribbon" else burner.breadth_m / 2)
        for burner, path in zip(design.fires, paths, strict=True)
    ]
    return np.concatenate([np.zeros((0, 2)), *paths]), np.concatenate([np.zeros(0), *rims])


def _nearest_flame(flame: Floats, rims: Floats, shape: Outline, x: float, y: float) -> tuple[float, float]:
    """Gap to the nearest flame and its bearing from the outline's middle; infinite and 0 without a flame."""
    if len(flame) == 0:
        return math.inf, 0.0
    gaps = _gaps_m(np.abs(flame[:, 0] - x), np.abs(flame[:, 1] - y), shape) - rims
    nearest = int(np.argmin(gaps))
    bearing = math.degrees(math.atan2(flame[nearest, 0] - x, flame[nearest, 1] - y))
    return float(gaps[nearest]), bearing


def _gaps_m(dx: Floats, dy: Floats, shape: Outline) -> Floats:
    """From points at (dx, dy) >= 0 off the middle to the outline's edge; negative inside a disc."""
    beyond = np.hypot(np.maximum(dx - shape.width_m / 2, 0), np.maximum(dy - shape.depth_m / 2, 0))
    return np.asarray(beyond - shape.radius_m)


def fits_at(design: OvenDesign, shape: Outline, x: float, y: float) -> bool:
    """Whether it lies on the hearth, the wall kept clear.

    A disc's middle, or a rectangle's four corners: the outline of any hearth here is convex.
    """
    dx, dy = shape.width_m / 2, shape.depth_m / 2
    corners = np.array([(x - dx, y - dy), (x + dx, y - dy), (x + dx, y + dy), (x - dx, y + dy)])
    room = float(design.hearth.room_m(corners).min())
    return room + SAME_M >= shape.radius_m + CLEARANCE_M
