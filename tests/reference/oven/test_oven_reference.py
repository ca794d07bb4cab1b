"""The oven's geometry, field and energy against closed forms and independent sampling."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from hearthtide.heat.radiation import STEFAN_BOLTZMANN_W_m2K4
from hearthtide.heat.views import exchange_areas_m2
from hearthtide.oven.advance import advance
from hearthtide.oven.design import Burner, Layer
from hearthtide.oven.exchange import irradiation
from hearthtide.oven.field import receivers
from hearthtide.oven.footprint import Disc, Rect, cover_fractions
from hearthtide.oven.geometry import lattice, shell, shell_areas_m2, shell_points, sill_points
from hearthtide.oven.grid import NOMINAL, QUICK, Grid
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.load import Load
from hearthtide.oven.model import Oven, build_oven, flame_shares
from small_oven import DESIGN as SMALL

# A 1.3 m oven, its ribbon straight left.
DESIGN = replace(
    SMALL,
    diameter_m=1.3,
    dome_height_m=0.45,
    mouth_height_m=0.25,
    floor=(Layer("fireclay", 0.05), Layer("calcium_silicate", 0.10)),
    dome=(Layer("dense_castable", 0.06), Layer("fibre_blanket", 0.12)),
    burner=Burner(bearing_deg=-90.0, length_m=0.5, standoff_m=0.06, fuel="natural_gas"),
)


@cache
def oven(grid: Grid = NOMINAL) -> Oven:
    return build_oven(DESIGN, grid)


@pytest.mark.parametrize("grid", [NOMINAL, QUICK], ids=["nominal", "quick"])
def test_view_factors_close_and_are_reciprocal(grid: Grid) -> None:
    room = oven(grid).enclosure
    np.testing.assert_allclose(room.view.sum(1), 1.0, atol=1e-10)
    exchange = room.view * room.area_m2[:, None]
    np.testing.assert_allclose(exchange, exchange.T, atol=1e-10 * room.area_m2.max())


def test_hemisphere_view_factors() -> None:
    """Inside a sphere every patch sees patch j with A_j / (4 pi R²), wherever it is itself (closed form)."""
    bowl = replace(DESIGN, dome_height_m=0.65)
    points = shell_points(shell(bowl, NOMINAL))
    found = exchange_areas_m2(points, points) / points.patch_area_m2[:, None]
    expected = points.patch_area_m2 / (4 * math.pi * 0.65**2)
    apart = ~np.eye(len(expected), dtype=bool)
    ratio = (found / expected)[apart]
    assert ratio.mean() == pytest.approx(1.0, abs=0.01)
    assert ratio.std() < 0.02


def test_hemisphere_area_and_half_spheroid_area() -> None:
    """2 pi R² for a hemisphere; the oblate half-spheroid by its closed form (any handbook of geometry)."""
    round_dome = shell_areas_m2(shell(replace(DESIGN, dome_height_m=0.65), NOMINAL)).sum()
    assert round_dome == pytest.approx(2 * math.pi * 0.65**2, rel=1e-9)
    a, c = 0.65, 0.45
    e = math.sqrt(1 - c**2 / a**2)
    exact = math.pi * a**2 * (1 + (1 - e**2) / e * math.atanh(e))
    assert shell_areas_m2(shell(DESIGN, NOMINAL)).sum() == pytest.approx(exact, rel=1e-6)


def test_each_share_of_the_flame_against_random_rays() -> None:
    """Stone, dome and mouth each take what random rays from the flame say: no share hides in the sum."""
    kiln = oven()
    sill = sill_points(DESIGN)
    order = np.argsort(kiln.surface_of_patch)
    shares = flame_shares(kiln.stone, kiln.dome, sill, kiln.flame, order)
    assert np.abs(shares.sum(0) - 1).max() < 0.01
    rng = np.random.default_rng(7)
    n, d = len(kiln.cells_m), len(kiln.dome_area_m2)
    for strip in (0, 5, 15):
        rays = rng.normal(size=(60_000, 3))
        rays /= np.linalg.norm(rays, axis=1, keepdims=True)
        start = kiln.flame.points_m[strip][rng.integers(0, kiln.flame.points_m.shape[1], len(rays))]
        scale, centre = np.array([0.65, 0.65, 0.45]), np.array([*DESIGN.centre_m, 0.0])
        p, v = (start - centre) / scale, rays / scale
        a, b, c = (v * v).sum(1), (p * v).sum(1), (p * p).sum(1) - 1
        wall = (-b + np.sqrt(b * b - a * c)) / a
        fall = np.where(rays[:, 2] < 0, -start[:, 2] / rays[:, 2], np.inf)
        end = start + np.minimum(wall, fall)[:, None] * rays
        floor = (fall < wall) & (end[:, 1] > 0)
        front = np.abs(np.arctan2(end[:, 0], -(end[:, 1] - DESIGN.centre_m[1])))
        half = kiln.dome.bearing_edges[-1] - math.pi
        mouth = (fall >= wall) & (front < half) & (end[:, 2] < 0.25)
        assert shares[:n, strip].sum() == pytest.approx(floor.mean(), abs=0.008)
        assert shares[n + d : -1, strip].sum() == pytest.approx(mouth.mean(), abs=0.003)


def test_isothermal_oven_is_a_black_body() -> None:
    """With room, stone and dome at one temperature, sigma T^4 falls on everything, whichever way it faces."""
    kiln = oven()
    state = kiln.cold(50.0)
    black = STEFAN_BOLTZMANN_W_m2K4 * 323.15**4
    falls = irradiation(kiln, state, 0.0)
    for part in (falls.cells, falls.dome, falls.mouth):
        np.testing.assert_allclose(part, black, rtol=1e-10)
    at = np.array([[0.0, 0.6, 0.04], [-0.3, 0.4, 0.1], [0.2, 1.0, 0.0]])
    facing = np.array([[0.0, 0.0, 1.0], [1.0, 0.5, -0.2], [0.0, -1.0, 0.0]])
    seen = receivers(kiln, at, facing).irradiance_W_m2(kiln, state, 0.0)
    np.testing.assert_allclose(seen, black, rtol=1e-10)


def test_small_flame_far_away_is_a_point_source() -> None:
    """chi Q cos / (4 pi S²), NUREG-1805 chapter 5, across a 2.5 m hearth from a short low flame.

    100 W on 5 x 4 cm: 50 kW/m², where 0.271 (1 - exp(-50/200)) = 0.0600 shines.
    """
    wide = replace(DESIGN, diameter_m=2.5, dome_height_m=1.2, burner=Burner(0.0, 0.05, 0.1, "propane"))
    kiln = build_oven(wide, QUICK)
    source = np.array([0.0, wide.centre_m[1] + 1.15, 0.015])
    at = np.array([[0.0, 1.0, 0.3], [0.5, 0.8, 0.2]])
    facing = np.array([[0.0, 1.0, 0.0], [-0.6, 0.8, 0.0]])
    away = source - at
    distance = np.linalg.norm(away, axis=1)
    expected = 0.0600 * 100.0 * (away * facing).sum(1) / (4 * math.pi * distance**3)
    found = receivers(kiln, at, facing).shares(kiln, kiln.cold(20.0), 100.0).flame_W_m2
    np.testing.assert_allclose(found, expected, rtol=0.02)


def test_upright_receiver_sees_half_floor() -> None:
    """On the floor at the hearth's centre an upright surface sees stone and dome by half each (symmetry)."""
    kiln = oven()
    at = np.array([[0.0, DESIGN.centre_m[1], 0.0005]])
    view = receivers(kiln, at, np.array([[1.0, 0.0, 0.0]])).view[0]
    stone = view[: kiln.stone.blocks].sum() + view[-1]
    assert stone == pytest.approx(0.5, abs=0.005)


def test_element_above_a_disc() -> None:
    """A downward face h above the middle of a disc of radius R sees it with R² / (R² + h²) (Howell B-12)."""
    kiln = oven()
    at = np.array([[0.0, DESIGN.centre_m[1], 0.40]])
    view = receivers(kiln, at, np.array([[0.0, 0.0, -1.0]])).view[0]
    stone = view[: kiln.stone.blocks].sum() + view[-1]
    assert stone == pytest.approx(0.65**2 / (0.65**2 + 0.40**2), abs=0.005)


def test_ledger_closes_over_a_loaded_service() -> None:
    kiln, ledger = oven(), Ledger()
    state = kiln.cold(25.0)
    for _ in range(120):
        state = advance(kiln, state, 26_000.0, 30.0).state
    cover = cover_fractions(kiln, (Disc(0.1, 0.7, 0.3), Disc(-0.2, 0.9, 0.25), Rect(0.3, 0.3, 0.3, 0.2)))
    load = Load(
        cover, np.array([150.0, 400.0, 0.0]), np.array([60.0, 90.0, 20.0]), np.array([95.0, 99.0, 40.0])
    )
    for step_number in range(400):
        power = (26_000.0, 2_400.0, 12_000.0)[step_number // 50 % 3]
        step = advance(kiln, state, power, 2.0, load)
        state, ledger = step.state, ledger + step.ledger
    assert abs(ledger.residual_J) < 1e-9 * ledger.fuel_J
    assert ledger.food_J > 0.01 * ledger.fuel_J


def test_lag_is_proportional_to_the_step() -> None:
    """The lag telescopes to one step's change of emission: it halves with the step (scheme's theory)."""
    lags = []
    for dt in (8.0, 4.0, 2.0):
        state, ledger = oven(QUICK).cold(25.0), Ledger()
        for _ in range(round(1200 / dt)):
            step = advance(oven(QUICK), state, 26_000.0, dt)
            state, ledger = step.state, ledger + step.ledger
        lags.append(ledger.lag_J / ledger.fuel_J)
    assert lags[0] / lags[1] == pytest.approx(2.0, rel=0.1)
    assert lags[1] / lags[2] == pytest.approx(2.0, rel=0.1)
    assert lags[2] < 0.01


def test_oven_is_first_order_in_time() -> None:
    """Backward Euler with lagged irradiation: halving the step halves the change (theory of the scheme)."""
    found = []
    for dt in (16.0, 8.0, 4.0, 2.0):
        state = oven(QUICK).cold(25.0)
        for step_number in range(round(1280 / dt)):
            power = 26_000.0 if step_number * dt < 960 else 2_400.0
            state = advance(oven(QUICK), state, power, dt).state
        found.append(state.floor_C)
    changes = [np.sqrt(((a - b) ** 2).mean()) for a, b in pairwise(found)]
    assert 0.8 < math.log2(changes[0] / changes[1]) < 1.2
    assert 0.8 < math.log2(changes[1] / changes[2]) < 1.2
    assert changes[2] < 0.6


def test_dome_gets_hotter_than_the_floor() -> None:
    """Falciano, Masi, Moresi 2022 measured 546 ± 53 °C at the vault and 453 ± 32 °C on the floor."""
    state = oven(QUICK).cold(25.0)
    for _ in range(720):
        state = advance(oven(QUICK), state, 26_000.0, 10.0).state
    assert oven(QUICK).dome_mean_C(state) > state.floor_C.mean() + 20


def test_lattice_edges_meet_the_sill_and_the_middle() -> None:
    stone = lattice(DESIGN, NOMINAL)
    assert stone.y_edges_m[0] == 0.0
    assert stone.x_edges_m[16] == pytest.approx(0.0, abs=1e-12)
