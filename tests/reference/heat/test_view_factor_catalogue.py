"""Views between surfaces and radiosity against closed forms (Howell's catalogue) and worked examples."""

from __future__ import annotations

import numpy as np
import pytest

from hearthtide.heat.element_views import element_views, solid_angles
from hearthtide.heat.radiation import STEFAN_BOLTZMANN_W_m2K4, blackbody_W_m2
from hearthtide.heat.radiosity import Enclosure, enclosure
from hearthtide.heat.solid_angles import cell_solid_angles
from hearthtide.ranges import Array
from published import Published

pytestmark = pytest.mark.subject("radiation")

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


def test_opposite_unit_squares(published: Published) -> None:
    """Howell C-11 (number from memory); Incropera's table 13.2 gives 0.1998."""
    found, source = from_a_square(CEILING, 12), "Howell C-11 (from memory), Incropera T13.2"
    published("view of opposite unit squares", source, expected=0.19982, computed=found, absolute=1e-5)


def test_unit_squares_that_share_an_edge(published: Published) -> None:
    """Howell C-14 (number from memory). Along the edge what is seen jumps to a half."""
    assert from_a_square(WALL, 12) == pytest.approx(0.20004, abs=1e-4)
    found, source = from_a_square(WALL, 40), "Howell C-14 (from memory)"
    published(
        "view of unit squares at a right angle", source, expected=0.20004, computed=found, absolute=1e-5
    )


@pytest.mark.parametrize(
    ("source", "r1", "r2", "apart", "expected"),
    [("Howell C-41", 1.0, 1.0, 1.0, 0.38197), ("Lienhard 10.2", 0.05, 0.1, 0.2, 0.1922)],
)
def test_coaxial_discs(
    published: Published, source: str, r1: float, r2: float, apart: float, expected: float
) -> None:
    found = from_a_disc(r1, disc_m(r2, apart))
    published("view of coaxial discs", source, expected=expected, computed=found, absolute=5e-5)


def test_octant_of_an_octahedron(published: Published) -> None:
    """From a regular octahedron's centre each face fills 4 pi / 8 (symmetry)."""
    face = np.array([[[1.0, 0, 0], [0, 1.0, 0], [0, 0, 1.0], [0, 0, 1.0]]])
    found = solid_angles(np.zeros((1, 3)), face)[0, 0]
    what = "an octahedron's face from its centre, solid angle"
    published(what, "symmetry", expected=np.pi / 2, computed=found, relative=1e-12)


def test_rectangle_solid_angle_of_a_cube_face(published: Published) -> None:
    """From a cube's centre each face fills 4 pi / 6 (symmetry)."""
    edges = np.array([-0.5, 0.1, 0.5])
    found = cell_solid_angles(edges, edges, np.array([[0.0, 0.0, 0.5]]))
    assert found.shape == (1, 2, 2)
    what = "a cube's face from its centre, solid angle"
    published(what, "symmetry", expected=4 * np.pi / 6, computed=found.sum(), relative=1e-12)


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


def test_hemispherical_cavity_holman_8_8(published: Published) -> None:
    bowl, mouth = np.pi * 0.3**2 / 2, np.pi * 0.3**2 / 4
    exchange = np.array([[bowl / 2, bowl / 2], [mouth, 0.0]])
    room = enclosure(exchange, np.array([bowl, mouth]), np.array([0.4, 1.0]))
    found, what = net_W(room, [773.0, 303.0])[0], "net heat of a hemispherical cavity"
    published(what, "Holman 8.8", expected=798.0, computed=found, relative=0.005, unit="W")


def test_cylindrical_furnace_cengel_13_8(published: Published) -> None:
    area = np.array([np.pi, np.pi, 2 * np.pi])
    f12 = 0.38  # as read from a chart in the book
    end = np.array([0.0, f12, 1 - f12])
    side = (1 - f12) / 2
    view = np.array([end, [f12, 0.0, 1 - f12], [side, side, 1 - 2 * side]])
    room = enclosure(view * area[:, None], area, np.array([0.8, 0.4, 1.0]))
    found = net_W(room, [700.0, 500.0, 400.0]) / 1000
    for part, expected, kW in zip(("top", "base", "side"), (27.6, -2.13, -25.5), found, strict=True):
        what = f"cylindrical furnace, net heat of the {part}"
        published(what, "Cengel 13-8", expected=expected, computed=kW, relative=0.005, unit="kW")


def test_black_cube_cengel_13_6(published: Published) -> None:
    area = np.array([25.0, 25.0, 100.0])
    view = np.array([[0.0, 0.2, 0.8], [0.2, 0.0, 0.8], [0.2, 0.2, 0.6]])
    room = enclosure(view * area[:, None], area, np.ones(3))
    found, what = net_W(room, [800.0, 1500.0, 500.0])[0] / 1000, "black cubical furnace, net heat of the base"
    published(what, "Cengel 13-6", expected=-925.0, computed=found, relative=0.005, unit="kW")


def test_duct_with_a_reradiating_wall_incropera_13_6(published: Published) -> None:
    view = (np.ones((3, 3)) - np.eye(3)) / 2
    room = enclosure(view, np.ones(3), np.array([0.8, 0.4, 0.0]))
    emission = STEFAN_BOLTZMANN_W_m2K4 * np.array([1200.0, 500.0, 0.0]) ** 4
    wall_K = ((room.from_emission @ emission)[2] / STEFAN_BOLTZMANN_W_m2K4) ** 0.25
    found, what = net_W(room, [1200.0, 500.0, 0.0])[0], "duct with a re-radiating wall"
    source = "Incropera 13.6"
    published(f"{what}, heat per m", source, expected=36.98, computed=found / 1000, relative=0.005, unit="kW")
    published(f"{what}, that wall", source, expected=1102.0, computed=wall_K, absolute=2.0, unit="K")


def test_heater_and_absorber_in_a_room_incropera_13_3(published: Published) -> None:
    """A heater of 1 x 10 m opposite the equal open side of a hollow absorber of 15 m², in a room of 300 K.

    With the exact view of the two strips, 0.3864, -77.1 kW go to the absorber (by the book's chart -77.8).
    """
    room_m2, f12 = 1e4, 0.3864
    to_absorber, past = 10 * f12, 10 * (1 - f12)
    exchange = np.array(
        [
            [0.0, to_absorber, past],
            [to_absorber, 15.0 - 10.0, past],
            [past, past, room_m2 - 2 * past],
        ]
    )
    room = enclosure(exchange, np.array([10.0, 15.0, room_m2]), np.array([0.9, 0.5, 1.0]))
    found, source = net_W(room, [1000.0, 600.0, 300.0])[1] / 1000, "Incropera 13.3, exact view"
    what = "absorber beside a heater"
    published(what, source, expected=-77.1, computed=found, relative=0.005, unit="kW")


def test_open_furnace_incropera_13_4(published: Published) -> None:
    """75 mm across, 150 mm deep, black; side 1350 °C, closed end 1650 °C, open to 300 K: 1830 W go in.

    The view of disc to disc 2 diameters off is 0.06 as the book reads it; by Howell C-41 0.0557.
    """
    radius, depth = 0.0375, 0.15
    ratio = depth / radius
    ends = 1 + ratio**2 / 2 - ratio * np.sqrt(1 + ratio**2 / 4)
    disc, side = np.pi * radius**2, np.pi * 2 * radius * depth
    across = disc * (1 - ends)
    exchange = np.array(
        [[side - 2 * across, across, across], [across, 0.0, disc * ends], [across, disc * ends, 0.0]]
    )
    room = enclosure(exchange, np.array([side, disc, disc]), np.ones(3))
    found = -net_W(room, [1623.0, 1923.0, 300.0])[2]
    published("open furnace", "Incropera 13.4", expected=1830.0, computed=found, relative=0.02, unit="W")


@pytest.mark.parametrize(("celsius", "expected"), [(330.0, 7500.0), (230.0, 3630.0)])
def test_black_oven_walls(published: Published, celsius: float, expected: float) -> None:
    """sigma T^4 of the ovens in Varlamov, Glatz, Grasso 2018."""
    published(
        "black oven walls of 230 and 330 °C",
        "Varlamov, Glatz, Grasso 2018",
        expected=expected,
        computed=float(blackbody_W_m2(celsius)),
        relative=0.002,
        unit="W/m²",
        at=f"{celsius:g} °C",
    )


def test_furnace_opening_holman_8_14(published: Published) -> None:
    found, what = (
        float(blackbody_W_m2(1000.0) - blackbody_W_m2(30.0)) / 1000,
        "black furnace opening, 1000 °C",
    )
    published(what, "Holman 8.14", expected=148.4, computed=found, relative=0.003, unit="kW/m²")
