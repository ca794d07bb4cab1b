"""What holds for the views of any polygons: closed rooms, turned rooms, cut polygons."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from hearthtide.heat.element_views import element_views, solid_angles
from hearthtide.ranges import Array

SEEDS = st.integers(0, 2**32 - 1)
SIDES_m = st.floats(0.05, 3.0)
SHARES = st.floats(1e-3, 1 - 1e-3)


def box(sides_m: Array) -> Array:
    """The six faces of a box with a corner at the origin, (6, 4, 3)."""
    faces = []
    for axis in range(3):
        u, v = (other for other in range(3) if other != axis)
        for at in (0.0, 1.0):
            face = np.full((4, 3), at)
            face[:, u], face[:, v] = [0, 1, 1, 0], [0, 0, 1, 1]
            faces.append(face * sides_m)
    return np.array(faces)


def directions(rng: np.random.Generator, count: int) -> Array:
    """Unit vectors: the six along the axes first, then any."""
    free = rng.normal(size=(count, 3))
    free /= np.sqrt((free**2).sum(1))[:, None]
    return np.concatenate([np.eye(3), -np.eye(3), free])


def quads(rng: np.random.Generator, count: int) -> Array:
    """Flat convex quadrilaterals: corners in order on ellipses anywhere around the origin."""
    turn = np.sort(rng.uniform(0, 2 * math.pi, (count, 4, 1)), axis=1)
    middle, u, v = rng.uniform(-1, 1, (3, count, 1, 3))
    return np.asarray(middle + np.cos(turn) * u + np.sin(turn) * v)


@given(seed=SEEDS, sides=st.tuples(SIDES_m, SIDES_m, SIDES_m), shares=st.tuples(SHARES, SHARES, SHARES))
def test_a_closed_box_fills_every_view(
    seed: int, sides: tuple[float, float, float], shares: tuple[float, float, float]
) -> None:
    rng = np.random.default_rng(seed)
    turn = Rotation.random(random_state=rng).as_matrix()
    normals = directions(rng, 20)
    at = np.tile(np.array(shares) * sides, (len(normals), 1))
    for frame in (np.eye(3), turn):
        faces = box(np.array(sides)) @ frame.T
        np.testing.assert_allclose(element_views(at @ frame.T, normals, faces).sum(1), 1, rtol=0, atol=1e-12)


@given(sides=st.tuples(SIDES_m, SIDES_m, SIDES_m), shares=st.tuples(SHARES, SHARES, SHARES))
def test_a_closed_box_fills_the_sphere(
    sides: tuple[float, float, float], shares: tuple[float, float, float]
) -> None:
    at = (np.array(shares) * sides)[None]
    assert abs(solid_angles(at, box(np.array(sides))).sum() / (4 * math.pi) - 1) < 1e-11


@given(seed=SEEDS, corners=st.integers(4, 30))
def test_a_closed_hull_of_triangles_fills_every_view(seed: int, corners: int) -> None:
    """The hull of any points (scipy), seen from a mean of its corners: inside it."""
    rng = np.random.default_rng(seed)
    cloud = rng.normal(size=(corners, 3))
    hull = ConvexHull(cloud)
    triangles = cloud[hull.simplices][:, [0, 1, 2, 2]]
    normals = directions(rng, 20)
    inside = rng.dirichlet(np.full(corners, 3.0)) @ cloud
    at = np.tile(inside, (len(normals), 1))
    room = -(hull.equations[:, :3] @ inside + hull.equations[:, 3]).max()  # distance to the nearest face
    slack = 1e-12 + 1e-15 / room  # rounding of a direction grows as the point closes in on an edge
    np.testing.assert_allclose(element_views(at, normals, triangles).sum(1), 1, rtol=0, atol=slack)
    np.testing.assert_allclose(solid_angles(at[:1], triangles).sum() / (4 * math.pi), 1, rtol=0, atol=slack)


@given(seed=SEEDS)
def test_turning_and_moving_everything_changes_nothing(seed: int) -> None:
    rng = np.random.default_rng(seed)
    polygons, normals = quads(rng, 10), directions(rng, 10)
    points = rng.uniform(-0.5, 0.5, (len(normals), 3))
    turn, shift = Rotation.random(random_state=rng).as_matrix(), rng.uniform(-2, 2, 3)
    moved, rooms = points @ turn.T + shift, polygons @ turn.T + shift
    before, after = element_views(points, normals, polygons), element_views(moved, normals @ turn.T, rooms)
    np.testing.assert_allclose(after, before, rtol=0, atol=1e-9)
    np.testing.assert_allclose(solid_angles(moved, rooms), solid_angles(points, polygons), rtol=0, atol=1e-9)


@given(seed=SEEDS, first=st.integers(0, 3))
def test_the_order_of_corners_does_not_matter(seed: int, first: int) -> None:
    rng = np.random.default_rng(seed)
    polygons, normals = quads(rng, 10), directions(rng, 10)
    points = rng.uniform(-0.5, 0.5, (len(normals), 3))
    plain = element_views(points, normals, polygons)
    for other in (np.roll(polygons, first, axis=1), np.roll(polygons, first, axis=1)[:, ::-1]):
        np.testing.assert_allclose(element_views(points, normals, other), plain, rtol=0, atol=1e-11)


@settings(max_examples=50)
@given(seed=SEEDS, share=SHARES, other=SHARES)
def test_a_cut_polygon_is_seen_in_two_parts(seed: int, share: float, other: float) -> None:
    rng = np.random.default_rng(seed)
    whole, normals = quads(rng, 10), directions(rng, 10)
    points = rng.uniform(-0.5, 0.5, (len(normals), 3))
    a, b, c, d = whole.transpose(1, 0, 2)
    low, high = a + share * (b - a), d + other * (c - d)
    left, right = np.stack([a, low, high, d], 1), np.stack([low, b, c, high], 1)
    views = [element_views(points, normals, part) for part in (left, right, whole)]
    np.testing.assert_allclose(views[0] + views[1], views[2], rtol=0, atol=1e-9)
    angles = [solid_angles(points, part) for part in (left, right, whole)]
    np.testing.assert_allclose(angles[0] + angles[1], angles[2], rtol=0, atol=1e-9)


@given(seed=SEEDS)
def test_both_faces_of_a_surface_share_the_sight_of_the_polygon(seed: int) -> None:
    """A polygon wholly before the surface is hidden from its back; views stay between 0 and 1."""
    rng = np.random.default_rng(seed)
    polygons, normals = quads(rng, 10), directions(rng, 10)
    points = rng.uniform(-0.5, 0.5, (len(normals), 3))
    front, back = (element_views(points, side * normals, polygons) for side in (1, -1))
    heights = np.einsum("mpck,mk->mpc", polygons[None] - points[:, None, None], normals)
    assert np.all(back[(heights > 1e-9).all(2)] == 0)
    assert np.all(front[(heights < -1e-9).all(2)] == 0)
    assert min(front.min(), back.min()) >= 0
    assert (front + back).max() <= 1 + 1e-12
