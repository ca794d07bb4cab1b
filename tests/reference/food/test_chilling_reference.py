"""Chilling against exact series, the handbook's f and j, and measured coolings."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1

from hearthtide.food import chill_grid
from hearthtide.food.chill_grid import CORE, box_exponent, ellipsoid_exponent, first_root
from hearthtide.food.chill_methods import (
    BLAST_PAN,
    FAN_PAN,
    FAN_RACK,
    ICE_BATH,
    ICE_BATH_PAN,
    STILL_PAN,
    STILL_RACK,
    ChillMethod,
)
from hearthtide.food.chilling import Chilling, ChillLimits, ToChill, chill, makes_it, passed_s
from hearthtide.food.composition import density_kg_m3, heat_capacity_J_kgK
from hearthtide.food.library import foodstuff
from published import Published

pytestmark = pytest.mark.subject("food properties")

K, RHO_C, HALF_M = 0.5, 3.6e6, 0.02
ALPHA = K / RHO_C
# US model food code as read in five state adoptions: 57 to 21 °C in 2 h, to 5 °C in 6 h in all.
US = ChillLimits(57.0, 21.0, 5.0, 2 * 3600.0, 6 * 3600.0)


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
def test_centre_of_slab_cylinder_and_sphere_follows_the_exact_series(exponent, biot, fourier):
    _, course = cooled(exponent, biot, fourier * HALF_M**2 / ALPHA)
    assert course[CORE, -1] == pytest.approx(exact_centre(biot, exponent, fourier), abs=1.5e-3)


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
def test_first_roots_are_those_of_the_textbook(biot, slab, cylinder, sphere):
    assert [first_root(m, biot) for m in (0, 1, 2)] == pytest.approx([slab, cylinder, sphere], abs=1e-4)


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
def test_f_follows_the_handbooks_fit(exponent, biot):
    # ASHRAE Refrigeration, chapter 20: f = ln 10 L2 / (alpha u2). The fits are good to
    # 0.5 % in u here; between Bi 15 and 80 they lie up to 3.3 % below the exact roots and are left out.
    f, _ = f_and_j(exponent, biot, 1.5)
    assert f == pytest.approx(math.log(10) / lacroix_castaigne(biot, exponent) ** 2, rel=0.012)


def test_f_and_j_of_a_hard_cooled_slab_and_cylinder():
    # ASHRAE, chapter 20, Bi > 100: slab 0.9332 and 1.273, cylinder 0.3982 and 1.6015.
    assert f_and_j(0, 5000.0, 1.0) == pytest.approx((0.9332, 1.273), rel=4e-3)
    assert f_and_j(1, 5000.0, 0.6) == pytest.approx((0.3982, 1.6015), rel=6e-3)


@pytest.mark.parametrize("biot", [0.5, 1.0, 10.0])
def test_j_of_a_slab_follows_the_handbook(biot):
    u = lacroix_castaigne(biot, 0)
    expected = 2 * math.sin(u) / (u + math.sin(u) * math.cos(u))
    assert f_and_j(0, biot, 2.0)[1] == pytest.approx(expected, rel=5e-3)


def test_a_thin_good_conductor_cools_as_one_lump():
    biot, fourier = 0.002, 500.0
    _, course = cooled(0, biot, fourier * HALF_M**2 / ALPHA)
    # exp(-h A t / (rho c V)), exact for Bi to 0; the first correction is Bi / 3.
    assert course[CORE, -1] == pytest.approx(math.exp(-biot * fourier), rel=2e-3)


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


def test_a_box_in_stirred_water_has_the_published_exponent():
    # Baldwin 2012 imitates a 2:3:5 box by 0.28 (value from memory) in a film of 95 W/(m2 K); 60 mm and up.
    assert box_exponent((0.06, 0.09, 0.15), 95.0, 0.48) == pytest.approx(0.28, abs=0.1)


def test_a_box_in_a_soft_film_cools_by_its_surface_over_volume():
    # Exponent + 1 is surface times half thickness over volume: 1 + 2/3 + 2/5 for 2:3:5.
    assert box_exponent((0.02, 0.03, 0.05), 0.01) == pytest.approx(2 / 3 + 2 / 5, abs=5e-3)


@pytest.mark.parametrize(("part", "kept"), [(1.04, True), (0.96, False)])
def test_the_log_linear_rate_that_keeps_both_stages(part, kept):
    # Two-point screen: in 37 °F air a straight log line of 0.236 per hour just keeps 135 to 70 °F in 2 h and
    # to 41 °F in 6 h: log10((135 - 37) / (70 - 37)) / 2 = 0.2363 by hand.
    fahrenheit = ChillLimits(57.22, 21.11, 5.0, 7200.0, 21600.0)
    what = ToChill("tomato_sauce", 0.005, contents="stirred")
    sauce = foodstuff("tomato_sauce").composition
    store_J_m2K = 0.005 * density_kg_m3(sauce, 39.0) * heat_capacity_J_kgK(sauce, 39.0)
    film = part * 0.2363 * math.log(10) / 3600 * store_J_m2K
    method = ChillMethod("one face", 2.78, film, 0.0, "no", "by hand")
    assert makes_it(chill(what, 57.22, method, fahrenheit), fahrenheit) is kept


@pytest.mark.parametrize(
    ("air_C", "minutes"),
    [
        (3.0, (58, 78, 99, 120, 142, 165, 212)),
        (3.0, (32, 44, 56, 69, 82, 97, 127)),
        (-10.0, (11, 15, 20, 25, 31, 37, 51)),
    ],
)
def test_times_by_thickness_lie_on_the_curve_of_a_table_computed_elsewhere(air_C, minutes):
    # Slabs of 15 to 50 mm from 57 to 21 °C, computed apart from this code; films are not stated and are read
    # off the 30 mm entry, the other six are the check. The entries grow with thickness as the mean does, not
    # as the warmest point, which takes longer.
    def course(thickness_mm: float, film: float) -> Chilling:
        method = ChillMethod("both faces", air_C, film, film, "no", "read off 30 mm")
        return chill(ToChill("chicken_cooked", thickness_mm / 1000), 57.0, method, US)

    def mean_min(thickness_mm: float, film: float) -> float:
        cooling = course(thickness_mm, film)
        reached_s = passed_s(cooling.times_s, cooling.mean_C, 21.0)
        assert reached_s is not None
        return reached_s / 60

    film = brentq(lambda h: mean_min(30, h) - minutes[3], 2, 200, xtol=0.01)
    for thickness_mm, expected in zip((15, 20, 25, 30, 35, 40, 50), minutes, strict=True):
        assert mean_min(thickness_mm, film) == pytest.approx(expected, rel=0.03)
        assert course(thickness_mm, film).reached_middle_s / 60 > expected


FREEZER_PAN = replace(FAN_PAN, name="walk-in freezer", air_C=-20.0)


@pytest.mark.parametrize(
    ("method", "depth_m", "kept"),
    [
        # Roberts et al. 2013, Food Prot. Trends 33:27 (abstract): uncovered pans of chili and tomato sauce.
        # Only 51 mm in the freezer kept both stages. Air of walk-in and freezer is not stated.
        (STILL_PAN, 0.051, False),
        (FAN_PAN, 0.051, False),
        (STILL_PAN, 0.076, False),
        (FAN_PAN, 0.076, False),
        (FREEZER_PAN, 0.051, True),
        (FREEZER_PAN, 0.076, False),
        (ICE_BATH_PAN, 0.076, False),
        # Not met: 51 mm in an ice bath missed the limits there and keeps them here (see chill_methods).
        # Olds and Sneed 2005 (abstract): pans of chili 2.5 in deep, only the blast chiller kept both.
        (STILL_PAN, 0.0635, False),
        (FAN_PAN, 0.0635, False),
        (BLAST_PAN, 0.0635, True),
    ],
)
def test_pans_that_kept_or_missed_the_two_stages_when_measured(method, depth_m, kept):
    assert makes_it(chill(ToChill("tomato_sauce", depth_m), 75.0, method, US), US) is kept


def joint(mass_kg: float, ratio: tuple[float, float, float], method: ChillMethod) -> tuple[float, float]:
    """Hours from 74 to 10 °C of a lean joint shaped as an ellipsoid, and its share of weight lost."""
    meat = foodstuff("beef_lean").composition
    density = density_kg_m3(meat, 20.0)
    least_m = (6 * mass_kg / density / math.pi / math.prod(ratio)) ** (1 / 3)
    axes = (least_m * ratio[0], least_m * ratio[1], least_m * ratio[2])
    exponent = ellipsoid_exponent(axes, method.top_W_m2K, 0.45)
    course = chill(
        ToChill("beef_lean", least_m, exponent), 74.0, method, ChillLimits(74.0, 30.0, 10.0, 9e9, 9e9)
    )
    mass_kg_m2 = density * least_m / 2 / (exponent + 1)
    assert course.reached_end_s is not None
    return course.reached_end_s / 3600, course.lost_kg_m2 / mass_kg_m2


@pytest.mark.parametrize("ratio", [(1.0, 1.0, 1.0), (1.0, 1.0, 2.0), (1.0, 1.3, 1.7)])
@pytest.mark.parametrize(
    ("method", "hours"),
    [
        (replace(ICE_BATH, air_C=1.0, bottom_C=1.0), 5.0),
        (replace(FAN_RACK, air_C=0.0), 7.0),
        (replace(STILL_RACK, air_C=0.0), 9.0),
    ],
)
def test_large_joints_take_the_hours_measured_in_water_moving_and_still_air(ratio, method, hours):
    # Sun and Wang 2003 (abstract): joints above 5 kg from 74 to 10 °C took over 5 h in water, over 7 h in
    # blown air and over 9 h in slow air. Shape, air temperature and speed are not in the abstract: assumed
    # here, so that half as much again is let pass ("over", and joints may be flatter than a sphere).
    taken_h, _ = joint(5.2, ratio, method)
    assert hours <= taken_h <= 1.5 * hours


def test_weight_lost_by_a_large_joint_in_air():
    # Sun and Wang 2003 (abstract): 6 to 7 % of the weight, drip included as weighed. Evaporation alone is
    # computed: between half and all of it.
    for method in (replace(FAN_RACK, air_C=0.0), replace(STILL_RACK, air_C=0.0)):
        _, share = joint(5.2, (1.0, 1.3, 1.7), method)
        assert 0.03 <= share <= 0.07


def test_an_eight_kilogram_joint_in_air_at_three_metres_a_second():
    # Chilling chapter of a food refrigeration handbook (abstract): 74 to 10 °C in about 500 min at 3 m/s.
    # Shape and air temperature are not stated: an ellipsoid 1:1:2 and 0 °C are assumed.
    film = 5.7 + 3.9 * 3 + 5
    method = replace(FAN_RACK, air_C=0.0, top_W_m2K=film, bottom_W_m2K=film)
    assert joint(8.0, (1.0, 1.0, 2.0), method)[0] * 60 == pytest.approx(500, rel=0.2)
