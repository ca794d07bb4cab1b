"""Every place an item of a given outline may stand on this hearth, and which places shut each other out.

Places are enumerated once on the true outline of the hearth. Which pairs conflict is exact
(discs and axis-parallel rectangles) and kept as one whole number per place, bit `q` set when
place `q` cannot be used at the same time: a free place is then found by a few OR and AND.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.house.models import Place as Zone
from hearthtide.house.models import VesselFile, ZonesFile
from hearthtide.house.places import place_of
from hearthtide.oven.design import OvenDesign

Floats = NDArray[np.float64]

CLEARANCE_M = 0.01  # between two items, and to the wall (common practice, no source)
STEP_M = 0.05  # spacing of the places; a cook sets a platter down no closer than this


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
    def reach_m(self) -> float:
        """Half the outline's mean width: how far its edge lies from its middle."""
        return self.radius_m if self.is_disc else (self.width_m + self.depth_m) / 4


@dataclass(frozen=True)
class Spot:
    """One place for one outline; `flame_m` from its nearest edge to the flame."""

    x_m: float
    y_m: float
    outline: Outline
    zone: Zone
    flame_m: float
    flame_bearing_deg: float


@dataclass(frozen=True)
class Places:
    """All spots of a hearth with the pairs that shut each other out.

    `conflicts[p]` has bit q set when p and q cannot be used together (p itself included). Spots stand in
    the order of how many others they shut out: of several free ones, the lowest bit packs best.
    """

    spots: tuple[Spot, ...]
    conflicts: tuple[int, ...]

    def mask(self, outline: Outline, zones: tuple[Zone, ...], clear_of_flame_m: float) -> int:
        """Bits of the spots of this outline (either way round) in these zones, clear of the flame."""
        shapes = {outline, outline.turned()}
        bits = 0
        for p, spot in enumerate(self.spots):
            if spot.outline in shapes and spot.zone in zones and spot.flame_m >= clear_of_flame_m:
                bits |= 1 << p
        return bits


def lowest_bit(mask: int) -> int:
    """The position of the lowest set bit.

    >>> lowest_bit(0b1010)
    1
    """
    return (mask & -mask).bit_length() - 1


def bits(mask: int) -> list[int]:
    """The positions of the set bits, lowest first.

    >>> bits(0b1010)
    [1, 3]
    """
    found = []
    while mask:
        found.append(lowest_bit(mask))
        mask &= mask - 1
    return found


def enumerate_places(design: OvenDesign, zones: ZonesFile, outlines: tuple[Outline, ...]) -> Places:
    """All places for these outlines (rectangles both ways round) on the hearth, flame and wall kept clear."""
    shapes = list(dict.fromkeys(shape for o in outlines for shape in (o, o.turned())))
    spots = tuple(spot for shape in shapes for spot in _spots(design, zones, shape))
    crowding = [mask.bit_count() for mask in _conflicts(spots)]
    ordered = tuple(spots[p] for p in sorted(range(len(spots)), key=lambda p: (crowding[p], p)))
    return Places(ordered, _conflicts(ordered))


def _spots(design: OvenDesign, zones: ZonesFile, shape: Outline) -> list[Spot]:
    radius = design.radius_m
    flame = np.array(design.flame_path_m(65))
    across = np.arange(-math.ceil(radius / STEP_M), math.ceil(radius / STEP_M) + 1) * STEP_M
    inward = np.arange(0.0, 2 * radius, STEP_M) + shape.depth_m / 2 + shape.radius_m + CLEARANCE_M
    found = []
    for y in inward:
        for x in across:
            if not _on_hearth(design, shape, float(x), float(y)):
                continue
            gaps = _gap(np.abs(flame[:, 0] - x), np.abs(flame[:, 1] - y), shape)
            nearest = int(np.argmin(gaps))
            front = float(y) - shape.depth_m / 2 - shape.radius_m
            zone = place_of(float(gaps[nearest]), front, zones)
            if zone is None:
                continue
            bearing = math.degrees(math.atan2(flame[nearest, 0] - x, flame[nearest, 1] - y))
            found.append(Spot(float(x), float(y), shape, zone, float(gaps[nearest]), bearing))
    return found


def _gap(dx: Floats, dy: Floats, shape: Outline) -> Floats:
    """From points at (dx, dy) >= 0 off the middle to the outline's edge; negative inside a disc."""
    return (
        np.hypot(np.maximum(dx - shape.width_m / 2, 0), np.maximum(dy - shape.depth_m / 2, 0))
        - shape.radius_m
    )


def _on_hearth(design: OvenDesign, shape: Outline, x: float, y: float) -> bool:
    x0, y0 = design.centre_m
    corner = math.hypot(abs(x - x0) + shape.width_m / 2, abs(y - y0) + shape.depth_m / 2)
    return corner + shape.radius_m + CLEARANCE_M <= design.radius_m


def _conflicts(spots: tuple[Spot, ...]) -> tuple[int, ...]:
    """One formula for all pairs: two outlines are a rectangle grown by a disc each (Minkowski sum)."""
    if not spots:
        return ()
    x = np.array([s.x_m for s in spots])
    y = np.array([s.y_m for s in spots])
    w = np.array([s.outline.width_m for s in spots]) / 2
    d = np.array([s.outline.depth_m for s in spots]) / 2
    r = np.array([s.outline.radius_m for s in spots])
    masks = []
    for i in range(len(spots)):
        dx = np.maximum(np.abs(x - x[i]) - w - w[i], 0)
        dy = np.maximum(np.abs(y - y[i]) - d - d[i], 0)
        apart = np.hypot(dx, dy) - r - r[i]
        near = np.packbits(apart < CLEARANCE_M - 1e-9, bitorder="little")
        masks.append(int.from_bytes(near.tobytes(), "little"))
    return tuple(masks)
