"""What a small surface sees of flat polygons, exactly: view factors and solid angles in closed form."""

from __future__ import annotations

import math

import numpy as np

from hearthtide.compiled import compiled
from hearthtide.ranges import Array, require, require_shape

Vector = tuple[float, float, float]

REACH_m = 100.0  # own choice: coordinates up to here round by 1e-14 m, far below TOUCH_m
TOUCH_m = 1e-12  # own choice: a point or corner this close to a plane lies in it
UNIT_TOLERANCE = 1e-9  # own choice: how far a normal's length may be from 1


def element_views(points_m: Array, normals: Array, polygons_m: Array) -> Array:
    """View factors (m, p) from small surfaces to flat convex polygons; nothing stands between them.

    `points_m` (m, 3) and unit `normals` (m, 3) are the small surfaces, `polygons_m` (p, 4, 3) the corners
    in order, either way round; a triangle repeats its last corner. A polygon is seen from both its sides.
    Only the part above the small surface's horizon counts. Exact to rounding: Lambert's contour integral,
    F = 1/(2 pi) sum of angle_k n . unit(r_k x r_k+1) over the edges (from memory, not re-read).
    A polygon whose plane holds the point, within 1e-12 m, is seen edge on or not at all: 0. So a point on
    the line where a wall meets its own surface misses that wall: keep points off the edges.
    PhysicalRangeError for a wrong shape, coordinates beyond 100 m or normals that are not unit vectors.
    """
    points, polygons = _checked(points_m, polygons_m)
    require_shape("normals", normals, points.shape)
    facing = np.ascontiguousarray(normals, dtype=np.float64)
    length = np.sqrt(np.einsum("mk,mk->m", facing, facing))
    require("length of a unit normal", length, "", 1 - UNIT_TOLERANCE, 1 + UNIT_TOLERANCE)
    return _element_views(points, facing, polygons)


def solid_angles(points_m: Array, polygons_m: Array) -> Array:
    """Solid angles (m, p), steradian, of flat convex polygons (p, 4, 3) seen from points (m, 3).

    Corners as in `element_views`; never negative. Two triangles each, tan(angle / 2) by Van Oosterom and
    Strackee 1983, IEEE Trans. Biomed. Eng. 30, 125 (as others quote it; the paper itself not read).
    A polygon whose plane holds the point, within 1e-12 m, fills 0.
    PhysicalRangeError for a wrong shape or coordinates beyond 100 m.
    """
    return _solid_angles(*_checked(points_m, polygons_m))


def _checked(points_m: Array, polygons_m: Array) -> tuple[Array, Array]:
    points = np.ascontiguousarray(points_m, dtype=np.float64)
    polygons = np.ascontiguousarray(polygons_m, dtype=np.float64)
    require_shape("points_m", points, (len(points), 3))
    require_shape("polygons_m", polygons, (len(polygons), 4, 3))
    require("points_m", points, "m", -REACH_m, REACH_m)
    require("polygons_m", polygons, "m", -REACH_m, REACH_m)
    return points, polygons


@compiled
def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@compiled
def _cross(a: Vector, b: Vector) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


@compiled
def _minus(a: Vector, b: Vector) -> Vector:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


@compiled
def _row(table: Array, i: int) -> Vector:
    return table[i, 0], table[i, 1], table[i, 2]


@compiled
def _plane(polygon: Array) -> Vector:
    """Unit normal of the polygon from its diagonals; all zero when it has no area."""
    across = _minus(_row(polygon, 2), _row(polygon, 0))
    normal = _cross(across, _minus(_row(polygon, 3), _row(polygon, 1)))
    size = math.sqrt(_dot(normal, normal))
    if size == 0.0:
        return 0.0, 0.0, 0.0
    return normal[0] / size, normal[1] / size, normal[2] / size


@compiled
def _height(normal: Vector, r: Vector) -> float:
    """Height over the horizon; a corner that touches it lies on it, or rounding would cut it twice."""
    height = _dot(normal, r)
    return 0.0 if abs(height) <= TOUCH_m else height


@compiled
def _crossing(a: Vector, height_a: float, b: Vector, height_b: float) -> Vector:
    """Where the edge from a to b meets the horizon; the same to the last bit from b to a."""
    over = height_b - height_a
    return (
        (a[0] * height_b - b[0] * height_a) / over,
        (a[1] * height_b - b[1] * height_a) / over,
        (a[2] * height_b - b[2] * height_a) / over,
    )


@compiled
def _edge(normal: Vector, a: Vector, b: Vector) -> float:
    """Angle between a and b times the cosine between the normal and the plane they span."""
    cross = _cross(a, b)
    size = math.sqrt(_dot(cross, cross))
    if size == 0.0:
        return 0.0
    return _dot(normal, cross) * math.atan2(size, _dot(a, b)) / size


@compiled
def _view(point: Vector, normal: Vector, polygon: Array) -> float:
    """2 pi times the view factor, signed by the way the corners run."""
    total, clipped = 0.0, False
    entry, leave = point, point
    a = _minus(_row(polygon, 3), point)
    height_a = _height(normal, a)
    for k in range(4):
        b = _minus(_row(polygon, k), point)
        height_b = _height(normal, b)
        if height_a > 0.0 and height_b > 0.0:
            total += _edge(normal, a, b)
        elif height_a > 0.0:
            leave = _crossing(a, height_a, b, height_b)
            total += _edge(normal, a, leave)
            clipped = True
        elif height_b > 0.0:
            entry = _crossing(a, height_a, b, height_b)
            total += _edge(normal, entry, b)
        a, height_a = b, height_b
    if clipped:  # the cut runs along the horizon, where the cosine is 1: its signed angle is enough
        total += math.atan2(_dot(normal, _cross(leave, entry)), _dot(leave, entry))
    return total


@compiled
def _element_views(points_m: Array, normals: Array, polygons_m: Array) -> Array:
    views = np.zeros((len(points_m), len(polygons_m)))
    for j in range(len(polygons_m)):
        polygon = polygons_m[j]
        plane, corner = _plane(polygon), _row(polygon, 0)
        for i in range(len(points_m)):
            point = _row(points_m, i)
            if abs(_dot(plane, _minus(corner, point))) > TOUCH_m:
                views[i, j] = abs(_view(point, _row(normals, i), polygon)) / (2 * math.pi)
    return views


@compiled
def _triangle(a: Vector, b: Vector, c: Vector) -> float:
    """Solid angle of the triangle a, b, c seen from the origin (Van Oosterom and Strackee 1983)."""
    la, lb, lc = math.sqrt(_dot(a, a)), math.sqrt(_dot(b, b)), math.sqrt(_dot(c, c))
    below = la * lb * lc + _dot(a, b) * lc + _dot(b, c) * la + _dot(c, a) * lb
    return 2 * math.atan2(abs(_dot(a, _cross(b, c))), below)


@compiled
def _solid_angles(points_m: Array, polygons_m: Array) -> Array:
    angles = np.zeros((len(points_m), len(polygons_m)))
    for j in range(len(polygons_m)):
        polygon = polygons_m[j]
        plane, corner = _plane(polygon), _row(polygon, 0)
        for i in range(len(points_m)):
            point = _row(points_m, i)
            a = _minus(corner, point)
            if abs(_dot(plane, a)) > TOUCH_m:
                b, c, d = (
                    _minus(_row(polygon, 1), point),
                    _minus(_row(polygon, 2), point),
                    _minus(_row(polygon, 3), point),
                )
                angles[i, j] = _triangle(a, b, c) + _triangle(a, c, d)
    return angles
