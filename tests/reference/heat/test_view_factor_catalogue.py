"""Point-pair view factors and radiosity against closed forms (Howell's catalogue) and worked examples."""

from __future__ import annotations

import numpy as np
import pytest

from hearthtide.heat.radiation import STEFAN_BOLTZMANN_W_m2K4, blackbody_W_m2
from hearthtide.heat.radiosity import Enclosure, enclosure
from hearthtide.heat.solid_angles import cell_solid_angles, triangle_solid_angles
from hearthtide.heat.views import Points, exchange_areas_m2


def square(count: int, normal: tuple[float, float, float], origin: tuple[float, float, float]) -> Points:
    """A unit square in the plane z = const or x = const as count x count points."""
    u, v = (grid.ravel() for grid in np.meshgrid(*[(np.arange(count) + 0.5) / count] * 2))
    flat = np.stack([u, v, 0 * u] if normal[2] else [0 * u, u, v], 1)
    area = np.full(len(u), 1 / count**2)
    return Points(flat + origin, np.tile(normal, (len(u), 1)), area, np.array([0]))


def disc(radius: float, z: float, up: float, rings: int = 30, rays: int = 90) -> Points:
    r = (np.arange(rings) + 0.5) / rings * radius
    turn = (np.arange(rays) + 0.5) / rays * 2 * np.pi
    radii, turns = (grid.ravel() for grid in np.meshgrid(r, turn))
    at = np.stack([radii * np.cos(turns), radii * np.sin(turns), np.full(len(radii), z)], 1)
    area = radii * (radius / rings) * (2 * np.pi / rays)
    return Points(at, np.tile([0.0, 0.0, up], (len(at), 1)), area, np.array([0]))


def test_opposite_unit_squares() -> None:
    found = exchange_areas_m2(square(24, (0, 0, 1), (0, 0, 0)), square(24, (0, 0, -1), (0, 0, 1)))[0, 0]
    assert found == pytest.approx(0.19982, rel=0.001)


def test_unit_squares_that_share_an_edge() -> None:
    """The kernel is singular along the edge: points close in with the first power, so go to the limit."""
    coarse, fine = (
        exchange_areas_m2(square(count, (0, 0, 1), (0, 0, 0)), square(count, (1, 0, 0), (0, 0, 0)))[0, 0]
        for count in (24, 48)
    )
    assert abs(fine - 0.20004) < abs(coarse - 0.20004) < 0.03 * 0.20004
    assert 2 * fine - coarse == pytest.approx(0.20004, rel=0.001)


@pytest.mark.parametrize(
    ("r1", "r2", "apart", "expected"), [(1.0, 1.0, 1.0, 0.38197), (0.05, 0.1, 0.2, 0.1922)]
)
def test_coaxial_discs(r1: float, r2: float, apart: float, expected: float) -> None:
    """Howell C-41; the second is Lienhard 10.2."""
    low, high = disc(r1, 0.0, 1.0), disc(r2, apart, -1.0)
    found = exchange_areas_m2(low, high)[0, 0] / (np.pi * r1**2)
    assert found == pytest.approx(expected, rel=0.002)


def test_rectangle_solid_angle_of_a_cube_face() -> None:
    """From a cube's centre each face fills 4 pi / 6 (symmetry)."""
    edges = np.array([-0.5, 0.1, 0.5])
    found = cell_solid_angles(edges, edges, np.array([[0.0, 0.0, 0.5]]))
    assert found.shape == (1, 2, 2)
    assert found.sum() == pytest.approx(4 * np.pi / 6, rel=1e-12)


def test_triangle_solid_angle_of_an_octant() -> None:
    """From a regular octahedron's centre each face fills 4 pi / 8 (symmetry)."""
    octant = np.array([[[1.0, 0, 0], [0, 1.0, 0], [0, 0, 1.0]]])
    found = triangle_solid_angles(octant, np.zeros((1, 3)))
    assert abs(found[0, 0]) == pytest.approx(np.pi / 2, rel=1e-12)


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
