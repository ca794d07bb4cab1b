"""Views and solid angles of polygons against catalogue forms, quadrature and published values."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import dblquad

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.element_views import element_views, solid_angles
from hearthtide.ranges import Array
from published import Published

pytestmark = pytest.mark.subject("radiation")

UP = (0.0, 0.0, 1.0)


def view(point: tuple[float, ...], normal: tuple[float, ...] | Array, polygons: object) -> float:
    """What one small surface sees of polygons that do not overlap."""
    facing = np.asarray(normal, dtype=float)
    unit = facing / np.linalg.norm(facing)
    return float(element_views(np.array([point]), unit[None], np.asarray(polygons, dtype=float)).sum())


def ceiling(x0: float, x1: float, y0: float, y1: float, z: float) -> list[list[tuple[float, float, float]]]:
    return [[(x0, y0, z), (x1, y0, z), (x1, y1, z), (x0, y1, z)]]


def wall(x: float, y0: float, y1: float, z0: float, z1: float) -> list[list[tuple[float, float, float]]]:
    return [[(x, y0, z0), (x, y1, z0), (x, y1, z1), (x, y0, z1)]]


def disc(radius: float, height: float, corners: int) -> Array:
    """A regular polygon as a fan of quadrilaterals from its middle; `corners` is even."""
    turn = np.arange(corners + 1) * 2 * math.pi / corners
    rim = np.stack([radius * np.cos(turn), radius * np.sin(turn), np.full(len(turn), height)], 1)
    middle = np.broadcast_to([0.0, 0.0, height], (corners // 2, 3))
    return np.stack([middle, rim[:-2:2], rim[1:-1:2], rim[2::2]], 1)


@pytest.mark.parametrize(("radius", "height"), [(1.0, 1.0), (0.3, 0.02), (0.05, 2.0)])
@pytest.mark.parametrize("share_of_tilt", [0.0, 0.5, 0.99])
def test_coaxial_disc(published: Published, radius: float, height: float, share_of_tilt: float) -> None:
    """R²/(R² + h²) cos w while the whole disc is above the horizon (Howell, B series).

    The disc lies between the polygons inside and around it, which differ by (pi / corners)².
    """
    tilt = share_of_tilt * math.atan(height / radius)
    expected = radius**2 / (radius**2 + height**2) * math.cos(tilt)
    facing = (math.sin(tilt), 0.0, math.cos(tilt))
    corners = 4000
    inside = view((0, 0, 0), facing, disc(radius, height, corners))
    around = view((0, 0, 0), facing, disc(radius / math.cos(math.pi / corners), height, corners))
    assert inside < expected < around
    published(
        "view of a coaxial disc, tilted too, as a polygon of 4000 corners",
        "closed form (Howell, B series)",
        expected=expected,
        computed=inside,
        relative=1.01 * (math.pi / corners) ** 2,
        at=f"radius {radius}, {height} away, tilt {share_of_tilt}",
    )
    assert around == pytest.approx(inside, rel=1.01 * (math.pi / corners) ** 2)


def corner_parallel(a: float, b: float, c: float) -> float:
    """Element under the corner of a parallel rectangle a x b at distance c: Howell B-3, from memory."""
    p, q = math.hypot(a, c), math.hypot(b, c)
    return (a / p * math.atan(b / p) + b / q * math.atan(a / q)) / (2 * math.pi)


def corner_perpendicular(a: float, b: float, c: float) -> float:
    """Element at distance c from the lower corner of a wall a high, b wide: Howell B-4, from memory."""
    slant = math.hypot(a, c)
    return (math.atan(b / c) - c / slant * math.atan(b / slant)) / (2 * math.pi)


@pytest.mark.parametrize("size", [(1.0, 1.0, 1.0), (0.3, 2.0, 0.1), (2.0, 0.01, 0.5), (5.0, 4.0, 1e-3)])
def test_rectangles_of_the_catalogue(published: Published, size: tuple[float, float, float]) -> None:
    a, b, c = size
    above = view((0, 0, 0), UP, ceiling(0, a, 0, b, c))
    beside = view((0, 0, 0), UP, wall(c, 0, b, 0, a))
    for name, source, expected, found, within in (
        ("a parallel rectangle", "Howell B-3 (from memory)", corner_parallel(a, b, c), above, 1e-12),
        ("an upright rectangle", "Howell B-4 (from memory)", corner_perpendicular(a, b, c), beside, 1e-11),
    ):
        what = f"view of {name} from under its corner"
        published(what, source, expected=expected, computed=found, relative=within, at=f"{size}")


def test_parallel_rectangle_by_quadrature(published: Published) -> None:
    """cos cos / (pi r²) over the rectangle: adaptive quadrature (scipy)."""
    x0, x1, y0, y1, z = -0.2, 0.9, 0.1, 0.7, 0.35
    expected, _ = dblquad(lambda y, x: z * z / (math.pi * (x * x + y * y + z * z) ** 2), x0, x1, y0, y1)
    found = view((0, 0, 0), UP, ceiling(x0, x1, y0, y1, z))
    what = "view of a parallel rectangle anywhere"
    published(what, "quadrature (SciPy)", expected=expected, computed=found, relative=1e-9)


@pytest.mark.parametrize(
    "facing",
    [
        (0.0, 0.0, 1.0),  # half of the wall hidden, cut level
        (0.3, 0.0, 1.0),  # cut below the middle
        (-0.4, 0.0, 1.0),  # turned away, cut above the middle
        (0.1, 0.2, 1.0),  # cut askew through two opposite sides
        (0.5, 1.0, 0.6),  # one corner hidden: five corners left
        (-0.9, 0.8, 0.7),  # one corner in sight: a triangle left
        (1.0, 0.1, 0.1),  # nothing hidden
        (-1.0, 0.1, 0.1),  # all hidden
    ],
)
def test_half_hidden_wall_by_quadrature(published: Published, facing: tuple[float, float, float]) -> None:
    """The wall x = 0.8 from y -1 to 0.7, z -0.6 to 0.9; quadrature over what is above the horizon (scipy)."""
    x, y0, y1, z0, z1 = 0.8, -1.0, 0.7, -0.6, 0.9
    n = np.array(facing) / np.linalg.norm(facing)

    def horizon(y: float) -> float:
        return float(np.clip(-(n[0] * x + n[1] * y) / n[2], z0, z1))

    def kernel(z: float, y: float) -> float:
        return float(x * (n[0] * x + n[1] * y + n[2] * z) / (math.pi * (x * x + y * y + z * z) ** 2))

    # The lower bound bends where the horizon meets the wall's lower and upper edge.
    bends = [-(n[0] * x + n[2] * z) / n[1] for z in (z0, z1)] if n[1] else []
    cuts = sorted({y0, y1, *(y for y in bends if y0 < y < y1)})
    expected = sum(
        dblquad(kernel, low, high, horizon, z1, epsabs=1e-12, epsrel=1e-12)[0] for low, high in pairwise(cuts)
    )
    published(
        "view of a wall partly below the horizon",
        "quadrature (SciPy)",
        expected=expected,
        computed=view((0, 0, 0), n, wall(x, y0, y1, z0, z1)),
        absolute=max(1e-9 * expected, 1e-13),
        at=f"facing {facing}",
    )


@pytest.mark.parametrize(
    ("y", "printed", "exact"),
    [
        (0.025, 0.1457, 0.14575),
        (0.125, 0.1748, 0.17482),
        (0.275, 0.2135, 0.21347),
        (0.475, 0.2391, 0.23912),
    ],
)
def test_opposite_face_of_a_cube(published: Published, y: float, printed: float, exact: float) -> None:
    """FDS Verification Guide, radiation_in_a_box; the fifth digit recomputed outside this code."""
    found = view((y, y, 0), UP, ceiling(0, 1, 0, 1, 1))
    what, at = "opposite face of a unit cube from four points of the diagonal", f"{y} of it"
    guide = "FDS Verification Guide"
    published(what, guide, expected=printed, computed=found, absolute=6e-5, at=at)
    published(what, f"{guide}, recomputed", expected=exact, computed=found, absolute=5.1e-6, at=at)


@pytest.mark.parametrize(
    ("plate", "polygons", "flux_kW_m2"),
    [
        ("strip of 2 m", ceiling(-90, 90, -1, 1, 1), 105.35),
        ("square of 2 m", ceiling(-1, 1, -1, 1, 1), 82.55),
        ("disc of 2 m", disc(1.0, 1.0, 4000), 74.49),
    ],
)
def test_flux_from_a_hot_plate(published: Published, plate: str, polygons: object, flux_kW_m2: float) -> None:
    """FDS Verification Guide, plate_view_factor, 1000 °C black at 1 m; exact values recomputed.

    A strip 2 m wide, long enough (the last 1/90² of its ends), a 2 m square, a 2 m disc.
    """
    black_kW_m2 = 5.670374e-11 * 1273.15**4  # Stefan-Boltzmann, CODATA 2018
    opposite = view((0, 0, 0), UP, polygons) * black_kW_m2
    what = f"flux 1 m from a black {plate} at 1000 °C"
    source = "FDS Verification Guide's plate, exact"
    published(what, source, expected=flux_kW_m2, computed=opposite, absolute=0.02, unit="kW/m²")


def test_solid_angle_of_a_centred_rectangle(published: Published) -> None:
    """4 asin(sin(a/2) sin(b/2)) for apex angles a, b of a right pyramid (textbook, from memory)."""
    x, y, z = 0.4, 0.15, 0.3
    expected = 4 * math.asin(math.sin(math.atan(x / z)) * math.sin(math.atan(y / z)))
    found = solid_angles(np.zeros((1, 3)), np.array(ceiling(-x, x, -y, y, z)))
    what, source = "solid angle of a centred rectangle", "closed form (textbook, from memory)"
    published(what, source, expected=expected, computed=found[0, 0], relative=1e-13)


@pytest.mark.parametrize(("radius", "height"), [(1.0, 1.0), (3.0, 0.1), (0.05, 2.0)])
def test_solid_angle_of_a_disc(published: Published, radius: float, height: float) -> None:
    """A cone's cap, 2 pi (1 - cos), between the polygons inside and around the disc."""
    expected = 2 * math.pi * (1 - height / math.hypot(radius, height))
    at, corners = np.zeros((1, 3)), 4000
    inside = float(solid_angles(at, disc(radius, height, corners)).sum())
    around = float(solid_angles(at, disc(radius / math.cos(math.pi / corners), height, corners)).sum())
    assert inside < expected < around
    published(
        "solid angle of a disc, as a polygon of 4000 corners",
        "closed form of a cone's cap",
        expected=expected,
        computed=inside,
        relative=1.01 * (math.pi / corners) ** 2,
        at=f"radius {radius}, {height} away",
    )
    assert around == pytest.approx(inside, rel=1.01 * (math.pi / corners) ** 2)


def test_a_triangle_repeats_its_last_corner() -> None:
    """From the corner of an octahedron's middle one face fills pi / 2 (symmetry); views add up."""
    a, b, c, d = ceiling(-0.3, 0.5, -0.2, 0.6, 0.4)[0]
    halves = [[a, b, c, c], [a, c, d, d]]
    tilted = (0.9, 0.3, 0.1)
    assert view((0, 0, 0), tilted, halves) == pytest.approx(
        view((0, 0, 0), tilted, [[a, b, c, d]]), rel=1e-13
    )
    octant = np.array([[[1.0, 0, 0], [0, 1.0, 0], [0, 0, 1.0], [0, 0, 1.0]]])
    assert solid_angles(np.zeros((1, 3)), octant)[0, 0] == pytest.approx(math.pi / 2, rel=1e-14)
    # An octant seen along one of its axes is a quarter of what lies before the surface.
    assert view((0, 0, 0), UP, octant) == pytest.approx(0.25, rel=1e-14)


def test_corners_in_the_middle_of_an_edge_on_the_horizon_change_nothing() -> None:
    """A triangle that stands on the horizon with a third corner on its foot, turned every way by 1 degree.

    Rounding puts the foot's corners now above, now below the horizon.
    """
    plain = np.array([(0.3, -0.7, 0), (0.3, 0.9, 0), (0.2, 0.9, 0.8), (0.2, 0.9, 0.8)])
    extra = np.array([(0.3, -0.7, 0), (0.3, 0.1, 0), (0.3, 0.9, 0), (0.2, 0.9, 0.8)])
    expected = view((0, 0, 0), UP, [plain])
    for turn in np.radians(np.arange(360)):
        c, s = math.cos(turn), math.sin(turn)
        to = np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]]) @ np.array([[1, 0, 0], [0, c, -s], [0, s, c]])
        assert view((0, 0, 0), to @ np.array(UP), [extra @ to.T]) == pytest.approx(expected, rel=1e-13)


@pytest.mark.parametrize("facing", [(0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (0.6, 0.0, 0.8)])
@pytest.mark.parametrize("at", [(0.1, 0.2, 0.7), (0.5, 0.0, 0.7), (0.0, 0.0, 0.7), (3.0, 0.1, 0.7)])
def test_a_point_in_the_polygons_plane_sees_nothing_of_it(
    at: tuple[float, float, float], facing: tuple[float, float, float]
) -> None:
    """Inside, on an edge, where the diagonals cross, and outside."""
    polygon = ceiling(-0.5, 0.5, -0.5, 0.5, 0.7)
    assert view(at, facing, polygon) == 0.0
    assert solid_angles(np.array([at]), np.array(polygon))[0, 0] == 0.0


def test_a_plane_close_by_fills_the_view() -> None:
    """A square 1 µm above hides all but h²/r² of the sky; 2 pi less four times h / r in solid angle."""
    near = ceiling(-0.5, 0.5, -0.4, 0.6, 1e-6)
    assert view((0, 0, 0), UP, near) == pytest.approx(1.0, abs=1e-10)
    assert solid_angles(np.zeros((1, 3)), np.array(near))[0, 0] == pytest.approx(2 * math.pi, abs=2e-5)


def test_polygons_without_area_are_not_seen() -> None:
    speck = np.array(
        [[[0.1, 0.2, 0.3]] * 4, [[0.1, 0.2, 0.3], [0.4, 0.2, 0.3], [0.4, 0.2, 0.3], [0.1, 0.2, 0.3]]]
    )
    assert view((0, 0, 0), UP, speck) == 0.0
    assert solid_angles(np.zeros((1, 3)), speck).tolist() == [[0.0, 0.0]]


def test_what_is_refused() -> None:
    at, up, square = np.zeros((1, 3)), np.array([UP]), np.array(ceiling(-1, 1, -1, 1, 1))
    with pytest.raises(PhysicalRangeError, match="unit normal"):
        element_views(at, 2 * up, square)
    with pytest.raises(PhysicalRangeError, match="normals has shape"):
        element_views(at, np.tile(up, (2, 1)), square)
    with pytest.raises(PhysicalRangeError, match="polygons_m has shape"):
        solid_angles(at, square[:, :3])
    with pytest.raises(PhysicalRangeError, match="points_m = nan"):
        solid_angles(at * np.nan, square)
    with pytest.raises(PhysicalRangeError, match="polygons_m = 200"):
        element_views(at, up, 200 * np.abs(square))
