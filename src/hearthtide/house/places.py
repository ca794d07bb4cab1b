"""Where on a hearth an item of one size can stand, as the house's own zones name it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from hearthtide.house.models import Place, VesselFile, ZonesFile
from hearthtide.oven.design import OvenDesign

STEP_M = 0.03  # our own choice: finer than any zone is deep, coarse enough to scan in milliseconds
WALL_M = 0.01  # an item's edge keeps this clear of the wall (common practice, no source)


@dataclass(frozen=True)
class Outline:
    """An item's footprint: its half width and half depth; a disc when `round`."""

    half_width_m: float
    half_depth_m: float
    round: bool


def outline_of(vessel: VesselFile) -> Outline:
    """The footprint of what stands on the stone."""
    if vessel.diameter is not None:
        return Outline(vessel.diameter / 2, vessel.diameter / 2, True)
    if vessel.width is None or vessel.depth is None:
        raise ValueError("expected either diameter, or width and depth")
    return Outline(vessel.width / 2, vessel.depth / 2, False)


def outline_area_m2(outline: Outline) -> float:
    """The footprint's area [m²]."""
    return (math.pi if outline.round else 4.0) * outline.half_width_m * outline.half_depth_m


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
def farthest_gap_m(design: OvenDesign, outline: Outline, zones: ZonesFile) -> Mapping[Place, float]:
    """For each place where the item fits, either way round, the greatest gap to the flame there [m]."""
    farthest: dict[Place, float] = {}
    for shape in {outline, Outline(outline.half_depth_m, outline.half_width_m, outline.round)}:
        for x, y in _standings(design, shape):
            gap = _gap_m(design, shape, x, y)
            place = place_of(gap, y - shape.half_depth_m, zones)
            if place is not None:
                farthest[place] = max(gap, farthest.get(place, 0.0))
    return farthest


def _standings(design: OvenDesign, outline: Outline) -> Iterator[tuple[float, float]]:
    """Centres, on a grid, where the whole item lies on the hearth behind the sill."""
    x0, y0 = design.centre_m
    corner = (0.0, 0.0) if outline.round else (outline.half_width_m, outline.half_depth_m)
    room = design.radius_m - WALL_M - (outline.half_width_m if outline.round else 0.0)
    steps = int(design.radius_m / STEP_M) + 1
    for i in range(-steps, steps + 1):
        for j in range(-steps, steps + 1):
            dx, dy = i * STEP_M, j * STEP_M
            inside = math.hypot(abs(dx) + corner[0], abs(dy) + corner[1]) <= room
            if inside and y0 + dy >= outline.half_depth_m:
                yield x0 + dx, y0 + dy


def _gap_m(design: OvenDesign, outline: Outline, x: float, y: float) -> float:
    path = design.flame_path_m()
    if outline.round:
        return min(math.hypot(px - x, py - y) for px, py in path) - outline.half_width_m
    return min(
        math.hypot(max(abs(px - x) - outline.half_width_m, 0), max(abs(py - y) - outline.half_depth_m, 0))
        for px, py in path
    )
