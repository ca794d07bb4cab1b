"""Chilling against exact series, the handbook's f and j, and shapes."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1

from hearthtide.food import chill_grid
from hearthtide.food.chill_grid import CORE, box_exponent, ellipsoid_exponent, first_root
from hearthtide.food.chill_methods import ChillMethod
from hearthtide.food.chilling import ChillLimits, ToChill, chill, makes_it
from hearthtide.food.composition import density_kg_m3, heat_capacity_J_kgK
from hearthtide.food.library import foodstuff
from published import Published

pytestmark = pytest.mark.subject("chilling")

K, RHO_C, HALF_M = 0.5, 3.6e6, 0.02
ALPHA = K / RHO_C
BODIES = {0: "slab", 1: "long cylinder", 2: "sphere"}


def cooled(
    exponent: float, biot: float, seconds: float, half_m: float = HALF_M, k: float = K, rho_c: float = RHO_C
) -> tuple[np.ndarray, np.ndarray]:
    """Nodes at the end and the course, from 1 to 0 °C with constant properties; 2000 steps."""
    degrees = chill_grid.TABLE_TO_C - chill_grid.TABLE_FROM_C + 1
    tables = np.vstack((np.full(degrees, k), np.full(degrees, rho_c)))
    grid = chill_grid.chill_grid(2 * half_m, exponent, tables)
    around = np.zeros(chill_grid.SURROUNDINGS)
    around[chill_grid.TOP_W_M2K] = biot * k / half_m
    around[chill_grid.BOTTOM_W_M2K] = 0.0 if exponent else biot * k / half_m
    nodes, course = np.ones(chill_grid.NODES), np.zeros((4, 2001))
    course[:3, 0] = 1.0
    chill_grid.run(nodes, grid.shape, grid.tables, around, seconds / 2000, -1.0, course)
    return nodes, course


def roots(biot: float, exponent: int, count: int) -> list[float]:
    """z tan z = Bi, z J1/J0 = Bi, 1 - z cot z = Bi (any heat textbook)."""
    characteristic = {
        0: lambda z: z * math.sin(z) - biot * math.cos(z),
        1: lambda z: z * j1(z) - biot * j0(z),
        2: lambda z: (1 - biot) * math.sin(z) - z * math.cos(z),
    }[exponent]
    grid = np.linspace(1e-6, count * math.pi, 400 * count)
    values = [characteristic(z) for z in grid]
    return [
        brentq(characteristic, a, b)
        for a, b, fa, fb in zip(grid, grid[1:], values, values[1:], strict=False)
        if fa * fb < 0
    ]


def exact_centre(biot: float, exponent: int, fourier: float) -> float:
    total = 0.0
    for z in roots(biot, exponent, 30):
        if exponent == 0:
            weight = 4 * math.sin(z) / (2 * z + math.sin(2 * z))
        elif exponent == 1:
            weight = 2 * j1(z) / (z * (j0(z) ** 2 + j1(z) ** 2))
        else:
            weight = 4 * (math.sin(z) - z * math.cos(z)) / (2 * z - math.sin(2 * z))
        total += weight * math.exp(-(z**2) * fourier)
    return total


@pytest.mark.parametrize("exponent", [0, 1, 2])
@pytest.mark.parametrize("biot", [0.1, 0.5, 2.0, 10.0])
@pytest.mark.parametrize("fourier", [0.1, 0.3, 1.0])
def test_centre_of_slab_cylinder_and_sphere_follows_the_exact_series(
    published: Published, exponent: int, biot: float, fourier: float
) -> None:
    _, course = cooled(exponent, biot, fourier * HALF_M**2 / ALPHA)
    published(
        f"excess left at the centre of a cooled {BODIES[exponent]}",
        "exact series of any heat textbook",
        expected=exact_centre(biot, exponent, fourier),
        computed=course[CORE, -1],
        absolute=1.5e-3,
        at=f"Bi {biot}, Fo {fourier}",
    )


@pytest.mark.parametrize(
    ("biot", "slab", "cylinder", "sphere"),
    [
        # Incropera, table 5.1 (from memory, recomputed).
        (0.1, 0.3111, 0.4417, 0.5423),
        (0.5, 0.6533, 0.9408, 1.1656),
        (1.0, 0.8603, 1.2558, 1.5708),
        (5.0, 1.3138, 1.9898, 2.5704),
        (10.0, 1.4289, 2.1795, 2.8363),
        (100.0, 1.5552, 2.3809, 3.1102),
    ],
)
def test_first_roots_are_those_of_the_textbook(
    published: Published, biot: float, slab: float, cylinder: float, sphere: float
) -> None:
    for exponent, expected in enumerate((slab, cylinder, sphere)):
        published(
            f"first root of a cooled {BODIES[exponent]}",
            "Incropera, table 5.1 (from memory, recomputed)",
            expected=expected,
            computed=first_root(exponent, biot),
            absolute=1e-4,
            at=f"Bi {biot}",
        )


def f_and_j(exponent: float, biot: float, fourier: float) -> tuple[float, float]:
    """f alpha / L2 and j read off the late half of a computed cooling, as off a logged one."""
    _, course = cooled(exponent, biot, fourier * HALF_M**2 / ALPHA)
    numbers = np.linspace(0, fourier, 2001)[1000:]
    slope, intercept = np.polyfit(numbers, np.log10(course[CORE, 1000:]), 1)
    return -1 / slope, 10**intercept


def lacroix_castaigne(biot: float, exponent: int) -> float:
    # Lacroix and Castaigne 1987, 0.1 < Bi < 100 (copies read; the sphere's from memory).
    rows = {
        0: (0.860972, 0.312133, 0.007986, -0.016192, -0.001190, 0.000581),
        1: (1.257493, 0.487941, 0.025322, -0.026568, -0.002888, 0.001078),
        2: (1.573729, 0.642906, 0.047859, -0.03553, -0.004907, 0.001563),
    }
    x = math.log(biot)
    return sum(c * x**n for n, c in enumerate(rows[exponent]))


@pytest.mark.parametrize("exponent", [0, 1, 2])
@pytest.mark.parametrize("biot", [0.3, 1.0, 3.0, 10.0, 95.0])
def test_f_follows_the_handbooks_fit(published: Published, biot: float, exponent: int) -> None:
    # ASHRAE Refrigeration, chapter 20: f = ln 10 L2 / (alpha u2). The fits are good to
    # 0.5 % in u here; between Bi 15 and 80 they lie up to 3.3 % below the exact roots and are left out.
    published(
        f"time for a tenth of the excess (f), {BODIES[exponent]}",
        "ASHRAE Refrigeration 20, fit of Lacroix and Castaigne 1987",
        expected=math.log(10) / lacroix_castaigne(biot, exponent) ** 2,
        computed=f_and_j(exponent, biot, 1.5)[0],
        relative=0.012,
        unit="L²/α",
        at=f"Bi {biot}",
    )


@pytest.mark.parametrize(
    ("exponent", "fourier", "f", "j", "relative"),
    [(0, 1.0, 0.9332, 1.273, 4e-3), (1, 0.6, 0.3982, 1.6015, 6e-3)],
)
def test_f_and_j_of_a_hard_cooled_slab_and_cylinder(
    published: Published, exponent: int, fourier: float, f: float, j: float, relative: float
) -> None:
    # Bi > 100.
    found_f, found_j = f_and_j(exponent, 5000.0, fourier)
    for name, expected, computed in (("f", f, found_f), ("lag j", j, found_j)):
        published(
            f"{name} of a hard cooled {BODIES[exponent]}",
            "ASHRAE Refrigeration 20",
            expected=expected,
            computed=computed,
            relative=relative,
        )


@pytest.mark.parametrize("biot", [0.5, 1.0, 10.0])
def test_j_of_a_slab_follows_the_handbook(published: Published, biot: float) -> None:
    u = lacroix_castaigne(biot, 0)
    published(
        "lag j of a slab's centre",
        "ASHRAE Refrigeration 20, fit of Lacroix and Castaigne 1987",
        expected=2 * math.sin(u) / (u + math.sin(u) * math.cos(u)),
        computed=f_and_j(0, biot, 2.0)[1],
        relative=5e-3,
        at=f"Bi {biot}",
    )


def test_a_thin_good_conductor_cools_as_one_lump(published: Published) -> None:
    biot, fourier = 0.002, 500.0
    _, course = cooled(0, biot, fourier * HALF_M**2 / ALPHA)
    published(
        "excess left in a thin good conductor",
        "exact for Bi to 0 (the first correction is Bi / 3)",
        expected=math.exp(-biot * fourier),
        computed=course[CORE, -1],
        relative=2e-3,
    )


HAM = ((0.102, 0.165, 0.279), 48.0, 0.379, 1080 * 3740.0)


def ham_hours(share: float) -> float:
    """Hours until that share of the excess is left at the ham's centre."""
    sides, film, k, rho_c = HAM
    exponent = box_exponent(sides, film, k)
    _, course = cooled(exponent, film * 0.051 / k, 10 * 3600.0, 0.051, k, rho_c)
    return float(np.interp(-share, -course[CORE], np.linspace(0, 10, 2001)))


def exact_ham(hours: float) -> float:
    """The product of three exact slabs at the centre."""
    sides, film, k, rho_c = HAM
    return math.prod(
        exact_centre(film * side / 2 / k, 0, k / rho_c * hours * 3600 / (side / 2) ** 2) for side in sides
    )


def test_ham_as_one_coordinate_takes_the_time_of_the_product_of_three_slabs(published: Published) -> None:
    # ASHRAE, chapter 20, ham 0.102 x 0.165 x 0.279 m, 72.3 to 10 °C in -1 °C air, h 48, c 3740, k 0.379,
    # rho 1080 (inputs from memory). The exact product of three series: 6.68 h; Lin's shortcut 6.49 h.
    assert brentq(lambda hours: exact_ham(hours) - 11 / 73.3, 1, 10) == pytest.approx(6.68, abs=0.01)
    # Matched at a third of the excess; at 15 % of it somewhat slow.
    third_h = brentq(lambda hours: exact_ham(hours) - 1 / 3, 1, 10)
    assert ham_hours(1 / 3) == pytest.approx(third_h, rel=0.02)
    assert ham_hours(11 / 73.3) >= 6.68
    for source, hours in (("exact product of three slabs", 6.68), ("Lin et al. 1996, shortcut", 6.49)):
        published(
            "ham brick of the refrigeration handbook as one coordinate, 72.3 to 10 °C",
            source,
            expected=hours,
            computed=ham_hours(11 / 73.3),
            relative=0.1,
            unit="h",
        )


def test_ham_as_three_slabs_of_our_own(published: Published) -> None:
    sides, film, k, rho_c = HAM

    def left(hours: float) -> float:
        product = 1.0
        for half_m in (side / 2 for side in sides):
            _, course = cooled(0, film * half_m / k, hours * 3600.0, half_m, k, rho_c)
            product *= float(course[CORE, -1])
        return product

    published(
        "ham brick as the product of three computed slabs, 72.3 to 10 °C",
        "exact product of three slabs",
        expected=6.68,
        computed=brentq(lambda hours: left(hours) - 11 / 73.3, 5, 8, xtol=1e-3),
        relative=0.01,
        unit="h",
    )


def test_ellipsoids_end_as_sphere_cylinder_and_slab():
    for film in (1.0, 20.0, 500.0):
        # The handbook's lag of a sphere lies a few per cent above the exact one between its limits.
        assert ellipsoid_exponent((0.05, 0.05, 0.05), film) == pytest.approx(2.0, abs=0.12)
    # E of a long cylinder 1.76 and of a slab 0.75 in a hard film (exact first roots).
    assert ellipsoid_exponent((0.05, 0.05, 3.0), 1e4) == pytest.approx(1.0, abs=0.1)
    assert ellipsoid_exponent((0.02, 3.0, 3.0), 1e4) == pytest.approx(0.0, abs=0.05)


def test_a_box_in_stirred_water_has_the_published_exponent(published: Published) -> None:
    published(
        "exponent of a 2:3:5 box, 60 mm, film 95 W/(m² K)",
        "Baldwin 2012 (value from memory)",
        expected=0.28,
        computed=box_exponent((0.06, 0.09, 0.15), 95.0, 0.48),
        absolute=0.1,
    )


def test_a_box_in_a_soft_film_cools_by_its_surface_over_volume(published: Published) -> None:
    # Exponent + 1 is surface times half thickness over volume: 1 + 2/3 + 2/5 for 2:3:5.
    published(
        "exponent of a 2:3:5 box in a soft film",
        "exact: surface over volume",
        expected=2 / 3 + 2 / 5,
        computed=box_exponent((0.02, 0.03, 0.05), 0.01),
        absolute=5e-3,
    )


def test_the_log_linear_rate_that_just_keeps_both_stages(published: Published) -> None:
    # Two-point screen: in 37 °F air a straight log line of log10((135 - 37) / (70 - 37)) / 2 per hour just
    # keeps 135 to 70 °F in 2 h, and then 41 °F in 6 h. One lump makes a straight line.
    expected = math.log10((135 - 37) / (70 - 37)) / 2
    fahrenheit = ChillLimits(57.22, 21.11, 5.0, 7200.0, 21600.0)
    what = ToChill("tomato_sauce", 0.005, contents="stirred")
    sauce = foodstuff("tomato_sauce").composition
    store_J_m2K = 0.005 * density_kg_m3(sauce, 39.0) * heat_capacity_J_kgK(sauce, 39.0)

    def keeps(rate: float) -> bool:
        film = rate * math.log(10) / 3600 * store_J_m2K
        method = ChillMethod("one face", 2.78, film, 0.0, "no", "by hand")
        return makes_it(chill(what, 57.22, method, fahrenheit), fahrenheit)

    low, high = 0.1, 0.5
    for _ in range(12):
        middle = (low + high) / 2
        low, high = (low, middle) if keeps(middle) else (middle, high)
    published(
        "log-linear rate in 37 °F air that just keeps both stages",
        "two-point screen, worked by hand",
        expected=expected,
        computed=high,
        relative=0.02,
        unit="1/h",
    )
