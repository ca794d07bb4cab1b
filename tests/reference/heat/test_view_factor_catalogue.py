"""Views between surfaces and radiosity against closed forms (Howell's catalogue) and worked examples."""

from __future__ import annotations

import numpy as np
import pytest

from hearthtide.heat.element_views import element_views, solid_angles
from hearthtide.heat.radiation import STEFAN_BOLTZMANN_W_m2K4, blackbody_W_m2
from hearthtide.heat.radiosity import Enclosure, enclosure
from hearthtide.heat.ranges import Array
from hearthtide.heat.solid_angles import cell_solid_angles

FLOOR = np.array([[0.0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]])
CEILING = FLOOR + np.array([0.0, 0.0, 1.0])
WALL = np.array([[0.0, 0, 0], [0, 1, 0], [0, 1, 1], [0, 0, 1]])


def from_a_square(polygon_m: Array, points: int) -> float:
    """View factor from the unit square on the floor: what points x points (Gauss's rule) see of a polygon."""
    at, weights = np.polynomial.legendre.leggauss(points)
    x, y = (grid.ravel() for grid in np.meshgrid((at + 1) / 2, (at + 1) / 2))
    floor = np.stack([x, y, np.zeros(len(x))], 1)
    seen = element_views(floor, np.tile([0.0, 0.0, 1.0], (len(x), 1)), polygon_m[None])[:, 0]
    return float(np.outer(weights, weights).ravel() / 4 @ seen)


def from_a_disc(radius_m: float, fan_m: Array, points: int = 12) -> float:
    """View factor from a disc on the floor round the origin to a figure that looks the same all round."""
    at, weights = np.polynomial.legendre.leggauss(points)
    r = radius_m * (at + 1) / 2
    on_a_ray = np.stack([r, np.zeros(points), np.zeros(points)], 1)
    seen = element_views(on_a_ray, np.tile([0.0, 0.0, 1.0], (points, 1)), fan_m).sum(1)
    return float(weights * r / radius_m @ seen)


def disc_m(radius_m: float, height_m: float, corners: int = 400) -> Array:
    """A regular polygon of the disc's area as a fan of quadrilaterals from its middle."""
    turn = np.arange(corners + 1) * 2 * np.pi / corners
    reach = radius_m * np.sqrt(2 * np.pi / corners / np.sin(2 * np.pi / corners))
    rim = np.stack([reach * np.cos(turn), reach * np.sin(turn), np.full(len(turn), height_m)], 1)
    middle = np.broadcast_to([0.0, 0.0, height_m], (corners // 2, 3))
    return np.stack([middle, rim[:-2:2], rim[1:-1:2], rim[2::2]], 1)


def test_opposite_unit_squares() -> None:
    """Howell C-11 (number from memory); Incropera's table 13.2 gives 0.1998."""
    assert from_a_square(CEILING, 12) == pytest.approx(0.19982, abs=1e-5)


def test_unit_squares_that_share_an_edge() -> None:
    """Howell C-14 (number from memory). Along the edge what is seen jumps to a half."""
    assert from_a_square(WALL, 12) == pytest.approx(0.20004, abs=1e-4)
    assert from_a_square(WALL, 40) == pytest.approx(0.20004, abs=1e-5)


@pytest.mark.parametrize(
    ("r1", "r2", "apart", "expected"), [(1.0, 1.0, 1.0, 0.38197), (0.05, 0.1, 0.2, 0.1922)]
)
def test_coaxial_discs(r1: float, r2: float, apart: float, expected: float) -> None:
    """Howell C-41; the second is Lienhard 10.2."""
    assert from_a_disc(r1, disc_m(r2, apart)) == pytest.approx(expected, abs=5e-5)


def test_octant_of_an_octahedron() -> None:
    """From a regular octahedron's centre each face fills 4 pi / 8 (symmetry)."""
    face = np.array([[[1.0, 0, 0], [0, 1.0, 0], [0, 0, 1.0], [0, 0, 1.0]]])
    assert solid_angles(np.zeros((1, 3)), face)[0, 0] == pytest.approx(np.pi / 2, rel=1e-12)


def test_rectangle_solid_angle_of_a_cube_face() -> None:
    """From a cube's centre each face fills 4 pi / 6 (symmetry)."""
    edges = np.array([-0.5, 0.1, 0.5])
    found = cell_solid_angles(edges, edges, np.array([[0.0, 0.0, 0.5]]))
    assert found.shape == (1, 2, 2)
    assert found.sum() == pytest.approx(4 * np.pi / 6, rel=1e-12)


def test_cells_by_the_polygons_they_are() -> None:
    """A lattice's closed form against the same rectangles as polygons."""
    x, y = np.array([-0.5, 0.1, 0.5]), np.array([-0.2, 0.3, 0.4, 1.0])
    at = np.array([[0.0, 0.1, 0.05], [0.7, -0.4, 0.3]])
    cells = [
        [[x[i], y[j], 0.0], [x[i + 1], y[j], 0.0], [x[i + 1], y[j + 1], 0.0], [x[i], y[j + 1], 0.0]]
        for j in range(3)
        for i in range(2)
    ]
    found = cell_solid_angles(x, y, at).reshape(2, 6)
    np.testing.assert_allclose(found, solid_angles(at, np.array(cells)), rtol=1e-10)


def net_W(room: Enclosure, kelvin: list[float]) -> np.ndarray:
    """Net heat that each surface gives, W."""
    emission = STEFAN_BOLTZMANN_W_m2K4 * np.array(kelvin) ** 4
    return np.asarray(room.area_m2 * room.emissivity * (emission - room.from_emission @ emission))


def test_hemispherical_cavity_holman_8_8() -> None:
    bowl, mouth = np.pi * 0.3**2 / 2, np.pi * 0.3**2 / 4
    exchange = np.array([[bowl / 2, bowl / 2], [mouth, 0.0]])
    room = enclosure(exchange, np.array([bowl, mouth]), np.array([0.4, 1.0]))
    assert net_W(room, [773.0, 303.0])[0] == pytest.approx(798.0, rel=0.005)


def test_cylindrical_furnace_cengel_13_8() -> None:
    area = np.array([np.pi, np.pi, 2 * np.pi])
    f12 = 0.38  # as read from a chart in the book
    end = np.array([0.0, f12, 1 - f12])
    side = (1 - f12) / 2
    view = np.array([end, [f12, 0.0, 1 - f12], [side, side, 1 - 2 * side]])
    room = enclosure(view * area[:, None], area, np.array([0.8, 0.4, 1.0]))
    found = net_W(room, [700.0, 500.0, 400.0]) / 1000
    assert found == pytest.approx([27.6, -2.13, -25.5], rel=0.005)


def test_black_cube_cengel_13_6() -> None:
    area = np.array([25.0, 25.0, 100.0])
    view = np.array([[0.0, 0.2, 0.8], [0.2, 0.0, 0.8], [0.2, 0.2, 0.6]])
    room = enclosure(view * area[:, None], area, np.ones(3))
    assert net_W(room, [800.0, 1500.0, 500.0])[0] / 1000 == pytest.approx(-925.0, rel=0.005)


def test_duct_with_a_reradiating_wall_incropera_13_6() -> None:
    view = (np.ones((3, 3)) - np.eye(3)) / 2
    room = enclosure(view, np.ones(3), np.array([0.8, 0.4, 0.0]))
    emission = STEFAN_BOLTZMANN_W_m2K4 * np.array([1200.0, 500.0, 0.0]) ** 4
    wall_K = ((room.from_emission @ emission)[2] / STEFAN_BOLTZMANN_W_m2K4) ** 0.25
    assert net_W(room, [1200.0, 500.0, 0.0])[0] == pytest.approx(36_980.0, rel=0.005)
    assert wall_K == pytest.approx(1102.0, abs=2.0)


@pytest.mark.parametrize(("celsius", "expected"), [(330.0, 7500.0), (230.0, 3630.0)])
def test_black_oven_walls(celsius: float, expected: float) -> None:
    """sigma T^4 of the ovens in Varlamov, Glatz, Grasso 2018."""
    assert float(blackbody_W_m2(celsius)) == pytest.approx(expected, rel=0.002)


def test_furnace_opening_holman_8_14() -> None:
    assert float(blackbody_W_m2(1000.0) - blackbody_W_m2(30.0)) == pytest.approx(148_400.0, rel=0.003)
