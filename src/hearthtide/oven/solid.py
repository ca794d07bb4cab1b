"""What closes the oven above the stone: flat patches of a convex body, some of them the mouth.

A dome or a flat crown draws the hearth's outline in toward its middle while it rises; a barrel carries one
arch from front to back between flat ends. Every patch is a flat polygon and the body is convex, so nothing
shadows anything and what a small surface sees of a patch has a closed form.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.oven.design import OvenDesign
from hearthtide.oven.grid import Grid
from hearthtide.oven.hearth import RectangularHearth, RoundHearth
from hearthtide.ranges import Array, require

Corners = list[list[tuple[float, float, float]]]


@dataclass(frozen=True, eq=False)
class Solid:
    """Patches: corners (p, 4, 3), a triangle repeating its last; unit normals into the oven (p, 3); areas
    and middles; the heights between which each lies (p,); which are the mouth. `floor_m` (v, 2) is the
    floor's outline.
    """

    corners_m: Array
    normal: Array
    area_m2: Array
    middle_m: Array
    low_m: Array
    high_m: Array
    is_mouth: NDArray[np.bool_]
    floor_m: Array

    @property
    def patches(self) -> int:
        return len(self.area_m2)

    @cached_property
    def volume_m3(self) -> float:
        """Of the space over the floor: pyramids from a place on the floor to every patch."""
        foot = np.array([*self.floor_m.mean(0), 0.0])
        return float((((foot - self.corners_m[:, 0]) * self.normal).sum(1) @ self.area_m2) / 3)

    @cached_property
    def beam_m(self) -> float:
        """Mean beam of the gas: 3.6 volumes over the surface (Hottel's rule, any textbook)."""
        x, y = self.floor_m.T
        floor_m2 = abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2
        return float(3.6 * self.volume_m3 / (self.area_m2.sum() + floor_m2))

    def depth_m(self, points_m: Array) -> Array:
        """Distance from points (m, 3) to the nearest of roof, walls and floor; negative outside, (m,)."""
        away = (points_m[:, None, :] - self.corners_m[None, :, 0, :]) * self.normal
        return np.asarray(np.minimum(away.sum(2).min(1), points_m[:, 2]))

    def height_m(self, xy_m: Array) -> Array:
        """Height of the roof over places on the floor (m, 2)."""
        over = self.normal[:, 2] < -1e-9
        foot = np.column_stack([xy_m, np.zeros(len(xy_m))])
        clear = ((foot[:, None, :] - self.corners_m[None, over, 0, :]) * self.normal[over]).sum(2)
        return np.asarray((clear / -self.normal[over, 2]).min(1))


def solid(design: OvenDesign, grid: Grid) -> Solid:
    """Mesh walls and crown so that the mouth's edges are mesh lines and the opening is width x height."""
    crown, mouth = design.crown, design.mouth
    require("crown.wall_m", crown.wall_m, "m", 0.0, 4.0)
    require("crown.rise_m", crown.rise_m, "m", 0.0, 0.0 if crown.kind == "flat" else 4.0)
    require("crown height", crown.height_m, "m", 0.10, 4.0)
    require("mouth_height_m", mouth.height_m, "m", 0.01, crown.height_m)
    if crown.kind == "barrel":
        if not isinstance(design.hearth, RectangularHearth):
            raise PhysicalRangeError("a barrel on a round hearth (expected a rectangular hearth)")
        return _solid(*_barrel(design, grid), _rectangle_m(design))
    least, most = 0.5 * mouth.width_m, 1.6 * mouth.width_m
    for _ in range(40):
        across = (least + most) / 2
        found = _loft(design, grid, across)
        area = _projected_area_m2(np.array(found[0])[np.array(found[1])])
        least, most = (across, most) if area < mouth.area_m2 else (least, across)
    # Near the top of a low dome the roof lies far inward, and no opening there has the mouth's area.
    require("opening cut into the crown over the mouth's area", area / mouth.area_m2, "-", 0.999, 1.001)
    return _solid(*found)


def _solid(corners: Corners, mouth: list[bool], floor_m: Array) -> Solid:
    at = np.array(corners)
    middle, inside = at.mean(1), np.array([*floor_m.mean(0), 0.25 * at[:, :, 2].max()])
    normal = np.cross(at[:, 2] - at[:, 0], at[:, 3] - at[:, 1])
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    normal *= np.sign(((inside - middle) * normal).sum(1))[:, None]
    low, high = at[:, :, 2].min(1), at[:, :, 2].max(1)
    return Solid(at, normal, _polygon_area_m2(at), middle, low, high, np.array(mouth), floor_m)


def _polygon_area_m2(corners_m: Array) -> Array:
    across = np.cross(corners_m[:, 2] - corners_m[:, 0], corners_m[:, 3] - corners_m[:, 1])
    return np.asarray(np.linalg.norm(across, axis=1) / 2)


def _projected_area_m2(corners_m: Array) -> float:
    """Area of the opening that patches together close, however they bulge: what shines and flows through."""
    across = np.cross(corners_m[:, 2] - corners_m[:, 0], corners_m[:, 3] - corners_m[:, 1])
    return float(np.linalg.norm(across.sum(0)) / 2)


def _loft(design: OvenDesign, grid: Grid, mouth_m: float) -> tuple[Corners, list[bool], Array]:
    """Outline times profile, the mouth `mouth_m` across on the outline."""
    outline, over = _outline_m(design, grid, mouth_m)
    shrink, height, below = _profile(design, grid)
    middle = np.array(design.hearth.centre_m)
    corners: Corners = []
    mouth: list[bool] = []
    for k in range(len(height) - 1):
        for v in range(len(outline)):
            ends = outline[v] - middle, outline[(v + 1) % len(outline)] - middle
            low = [(*(middle + shrink[k] * end), height[k]) for end in ends]
            high = [(*(middle + shrink[k + 1] * end), height[k + 1]) for end in ends]
            corners.append([low[0], low[1], high[1], high[0]])
            mouth.append(bool(over[v]) and k < below)
    return corners, mouth, outline


def _profile(design: OvenDesign, grid: Grid) -> tuple[Array, Array, int]:
    """Shrink and height of each ring's edge from the floor up, and how many rings the mouth cuts."""
    crown, top = design.crown, design.mouth.height_m
    wall, rise = crown.wall_m, crown.rise_m
    if crown.kind == "flat":
        require("mouth_height_m", top, "m", 0.01, wall)
        rings = max(2, round(grid.rings / 2))
        edges = _with_edge(0.0, wall, top, rings)
        inward = np.linspace(1.0, 0.0, grid.rings - rings + 2)[1:]
        shrink = np.concatenate([np.ones(len(edges)), inward])
        height = np.concatenate([edges, np.full(len(inward), wall)])
        return shrink, height, int(np.argmin(abs(edges - top)))
    along = wall + 0.75 * math.pi / 2 * (rise + 0.5 * design.hearth.width_m) / 1.5
    straight = 0 if wall <= 0 else max(1, round(grid.rings * wall / along))
    parts = []
    if wall > 0:
        parts.append(
            np.linspace(0.0, wall, straight + 1) if top >= wall else _with_edge(0.0, wall, top, straight)
        )
    turn_top = math.asin(min(1.0, (top - wall) / rise)) if top > wall else 0.0
    turns = _with_edge(0.0, math.pi / 2, turn_top, max(3, grid.rings - straight))
    height = np.concatenate([*parts[:1], (wall + rise * np.sin(turns))[1 if wall > 0 else 0 :]])
    shrink = np.concatenate([*(np.ones(len(p)) for p in parts), np.cos(turns)[1 if wall > 0 else 0 :]])
    shrink[-1] = 0.0
    return shrink, height, int(np.argmin(abs(height - top)))


def _with_edge(low: float, high: float, edge: float, count: int) -> Array:
    """About `count` even steps from low to high, one of whose ends is `edge`."""
    if edge <= low + 1e-9 or edge >= high - 1e-9:
        return np.linspace(low, high, max(count, 1) + 1)
    first = min(max(1, round(count * (edge - low) / (high - low))), max(count - 1, 1))
    upper = np.linspace(edge, high, max(count - first, 1) + 1)
    return np.concatenate([np.linspace(low, edge, first + 1), upper[1:]])


def _outline_m(design: OvenDesign, grid: Grid, mouth_m: float) -> tuple[Array, NDArray[np.bool_]]:
    """The floor's outline (v, 2), clockwise from the mouth's left end, and which sides lie over the mouth."""
    hearth = design.hearth
    if isinstance(hearth, RoundHearth):
        half = mouth_m / hearth.diameter_m
        require("mouth's half angle", half, "rad", 0.0, 1.5)
        front = min(max(2, round(grid.sectors * half / math.pi)), grid.sectors - 4)
        back = np.linspace(half - math.pi, math.pi - half, grid.sectors - front + 1)
        bearing = np.concatenate([back, np.linspace(math.pi - half, math.pi + half, front + 1)[1:-1]])
        steps = np.diff(np.append(bearing, bearing[0] + 2 * math.pi))
        # The polygon has the circle's area.
        radius = hearth.radius_m * math.sqrt(2 * math.pi / np.sin(steps).sum())
        x0, y0 = hearth.centre_m
        outline = np.stack([x0 + radius * np.sin(bearing), y0 + radius * np.cos(bearing)], 1)
        return outline, np.arange(len(bearing)) >= grid.sectors - front
    half, width, depth = mouth_m / 2, hearth.width_m / 2, hearth.depth_m
    require("half the mouth's width", half, "m", 0.0, 0.999 * width)
    corners = [(-half, 0.0), (-width, 0.0), (-width, depth), (width, depth), (width, 0.0), (half, 0.0)]
    step = 2 * (2 * width + depth) / grid.sectors
    points: list[tuple[float, float]] = []
    over: list[bool] = []
    for i, (start, end) in enumerate(zip(corners, [*corners[1:], corners[0]], strict=True)):
        parts = max(2 if i == 5 else 1, round(math.dist(start, end) / step))
        for part in range(parts):
            share = part / parts
            points.append((start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])))
            over.append(i == 5)
    return np.array(points), np.array(over)


def _rectangle_m(design: OvenDesign) -> Array:
    half, depth = design.hearth.width_m / 2, design.hearth.depth_m
    return np.array([(-half, 0.0), (-half, depth), (half, depth), (half, 0.0)])


def _barrel(design: OvenDesign, grid: Grid) -> tuple[Corners, list[bool]]:
    """An arch from side to side carried from front to back, and its two flat ends."""
    half, depth, crown = design.hearth.width_m / 2, design.hearth.depth_m, design.crown
    arch = np.linspace(math.pi, 0.0, max(6, grid.rings + 2) + 1)
    x, z = half * np.cos(arch), crown.wall_m + crown.rise_m * np.sin(arch)
    x[0], x[-1] = -half, half
    if crown.wall_m > 0:
        walls = np.linspace(0.0, crown.wall_m, max(1, round(crown.wall_m / (crown.height_m / 3))) + 1)[:-1]
        x = np.concatenate([np.full(len(walls), -half), x, np.full(len(walls), half)])
        z = np.concatenate([walls, z, walls[::-1]])
    y = np.linspace(0.0, depth, max(4, grid.sectors // 3) + 1)
    corners: Corners = [
        [(x[i], a, z[i]), (x[i], b, z[i]), (x[i + 1], b, z[i + 1]), (x[i + 1], a, z[i + 1])]
        for i in range(len(x) - 1)
        for a, b in itertools.pairwise(y)
    ]
    mouth = [False] * len(corners)
    for at_y, front in ((0.0, True), (depth, False)):
        for quad, opening in _gable(design, x, z, front):
            corners.append([(a, at_y, b) for a, b in quad])
            mouth.append(opening)
    return corners, mouth


def _gable(
    design: OvenDesign, x: Array, z: Array, front: bool
) -> list[tuple[list[tuple[float, float]], bool]]:
    """A flat end under the arch in upright strips, each cut at the mouth's height; the mouth in front."""
    half, top = design.mouth.width_m / 2, design.mouth.height_m
    arch = np.unique(np.round(np.append(x, [-half, half] if front else [0.0]), 12))
    rising = np.flatnonzero(np.diff(x) > 1e-12)
    profile = np.append(rising, rising[-1] + 1)
    roof = np.interp(arch, x[profile], z[profile])
    if front:
        least = float(np.interp(half, x[profile], z[profile]))
        require("mouth_height_m", top, "m", 0.01, 0.98 * least)
    cut = (
        np.minimum(top, 0.7 * roof)
        if not front
        else np.where(abs(arch) <= half + 1e-9, top, np.minimum(top, 0.7 * roof))
    )
    parts: list[tuple[list[tuple[float, float]], bool]] = []
    for i in range(len(arch) - 1):
        a, b = float(arch[i]), float(arch[i + 1])
        opening = front and abs(a + b) / 2 < half
        lows, highs = (cut[i], cut[i + 1]), (roof[i], roof[i + 1])
        if opening:
            lows = (top, top)
        parts.append(([(a, 0.0), (b, 0.0), (b, lows[1]), (a, lows[0])], opening))
        parts.append(([(a, lows[0]), (b, lows[1]), (b, highs[1]), (a, highs[0])], False))
    return [(quad, opening) for quad, opening in parts if _flat_area(quad) > 1e-9]


def _flat_area(quad: list[tuple[float, float]]) -> float:
    (ax, az), (bx, bz), (cx, cz), (dx, dz) = quad
    return abs((cx - ax) * (dz - bz) - (cz - az) * (dx - bx)) / 2
