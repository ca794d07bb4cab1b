"""Layered columns against closed forms and worked examples of textbooks (text values as printed there)."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest

from hearthtide.heat.columns import Slab, Wall, advance_columns, links, wall


def run(
    body: Wall, start_C: float, seconds: float, dt_s: float, gain_W_m2: float, loss_W_m2K: float
) -> tuple[np.ndarray, float, float]:
    """Nodes, face and inward flux of one column after a time with a constant surface condition."""
    nodes = np.full((len(body.step_m), 1), start_C)
    at = links(body, nodes[:, 0], 0.0)
    gain, loss = np.array([gain_W_m2]), np.array([loss_W_m2K])
    for _ in range(round(seconds / dt_s)):
        step = advance_columns(at, dt_s, nodes, gain, loss, start_C)
        nodes = step.nodes_C
    return nodes[:, 0], float(step.face_C[0]), float(step.in_W_m2[0])


def deep(conductivity: float, diffusivity: float, depth_m: float, nodes: int = 120) -> Wall:
    return wall((Slab(depth_m, conductivity, conductivity / diffusivity),), nodes, 1, 1.02)


def test_steel_under_constant_flux_holman_4_2_b() -> None:
    body = deep(45.0, 1.4e-5, 0.25)
    nodes, face, _ = run(body, 35.0, 30.0, 0.02, 3.2e5, 0.0)
    assert np.interp(0.025, body.depth_m, nodes) == pytest.approx(79.3, rel=0.005)
    assert face == pytest.approx(199.4, rel=0.005)


def test_steel_with_held_surface_holman_4_2_a() -> None:
    body = deep(45.0, 1.4e-5, 0.25)
    nodes, _, _ = run(body, 35.0, 30.0, 0.02, 250.0 * 1e9, 1e9)
    assert np.interp(0.025, body.depth_m, nodes) == pytest.approx(118.5, rel=0.005)


def bisect(rising: Callable[[float], float], low: float, high: float) -> float:
    """Zero of a rising function between two bounds."""
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if rising(middle) > 0 else (middle, high)
    return low


def plane_wall_exact_C(biot: float, fourier: float, x: float, start: float, fluid: float) -> float:
    """The series of a wall insulated at x = 0 and washed at x = 1, summed to 60 terms."""
    total = 0.0
    for n in range(60):
        low, high = n * math.pi + 1e-9, n * math.pi + math.pi / 2 - 1e-9
        root = bisect(lambda z: z * math.tan(z) - biot, low, high)
        weight = 4 * math.sin(root) / (2 * root + math.sin(2 * root))
        total += weight * math.exp(-root * root * fourier) * math.cos(root * x)
    return fluid + (start - fluid) * total


def test_pipe_wall_incropera_5_4() -> None:
    k, rho, c, h, thickness = 63.9, 7832.0, 434.0, 500.0, 0.04
    body = wall((Slab(thickness, k, rho * c),), 60, 1, 1.0)
    nodes, face, flux = run(body, -20.0, 480.0, 0.25, h * 60.0, h)
    fourier = k / (rho * c) * 480.0 / thickness**2
    outer = plane_wall_exact_C(h * thickness / k, fourier, 0.0, -20.0, 60.0)
    assert nodes[-1] == pytest.approx(outer, abs=0.05)
    assert face == pytest.approx(plane_wall_exact_C(h * thickness / k, fourier, 1.0, -20.0, 60.0), abs=0.05)
    assert nodes[-1] == pytest.approx(42.9, abs=0.3)
    assert face == pytest.approx(45.2, abs=0.3)
    assert flux == pytest.approx(7400.0, rel=0.02)


def test_freezing_ground_geankoplis_5_3_1() -> None:
    body = deep(0.865, 4.65e-7, 1.5)
    _, face, _ = run(body, 15.6, 5 * 3600.0, 10.0, 11.36 * -17.8, 11.36)
    assert face == pytest.approx(-5.2, abs=0.1)


def test_finger_in_a_flame_lienhard_5_5() -> None:
    body = deep(0.63, 0.135e-6, 0.003)
    _, face, _ = run(body, 37.0, 0.33, 0.0005, 100.0 * 800.0, 100.0)
    assert face == pytest.approx(65.0, abs=0.4)


def test_furnace_wall_of_three_layers_jakob_and_hawkins_3_2() -> None:
    inch, per_foot = 0.0254, 1.730735
    layers = ((9, 0.72), (5, 0.08), (7.5, 0.5))
    slabs = tuple(Slab(t * inch, k * per_foot, 1e4) for t, k in layers)
    hot, cold = (1500 - 32) / 1.8, (150 - 32) / 1.8
    nodes = np.full((24, 1), cold)
    at = links(wall(slabs, 8, 8, 1.2), nodes[:, 0], 1e9)
    for _ in range(60):
        step = advance_columns(at, 86_400.0, nodes, np.array([hot * 1e9]), np.array([1e9]), cold)
        nodes = step.nodes_C
    flux = float(step.out_W_m2[0])
    first = hot - flux * slabs[0].thickness_m / slabs[0].conductivity_W_mK
    second = first - flux * slabs[1].thickness_m / slabs[1].conductivity_W_mK
    assert first * 1.8 + 32 == pytest.approx(1312, abs=1.0)
    assert second * 1.8 + 32 == pytest.approx(375, abs=1.0)
    half = slabs[1].thickness_m / 16 / slabs[1].conductivity_W_mK
    assert nodes[8, 0] == pytest.approx(first - flux * half, abs=0.01)


@pytest.mark.parametrize(
    ("stone", "contact_C"),
    [(Slab(0.04, 0.86, 2500 * 900.0), 209.0), (Slab(0.10, 18.0, 7900 * 500.0), 300.0)],
    ids=["brick", "steel"],
)
def test_contact_of_dough_and_hot_stone(stone: Slab, contact_C: float) -> None:
    """Varlamov, Glatz, Grasso 2018: dough at 20 °C meets brick or steel at 330 °C (210 and 300 °C printed).

    With the paper's mid values of dough (k 0.5, rho 700, c 2250); one wall holds both, dough outermost.
    """
    dough = Slab(0.01, 0.5, 700 * 2250.0)
    body = wall((dough, stone), 100, 400, 1.0)
    nodes = np.where(np.arange(500) < 100, 20.0, 330.0)[:, None]
    at = links(body, nodes[:, 0], 0.0)
    for _ in range(100):
        nodes = advance_columns(at, 0.05, nodes, np.zeros(1), np.zeros(1), 20.0).nodes_C
    above = dough.conductivity_W_mK / body.step_m[99]
    below = stone.conductivity_W_mK / body.step_m[100]
    joint = (above * nodes[99, 0] + below * nodes[100, 0]) / (above + below)
    assert joint == pytest.approx(contact_C, abs=2.0)


def flux_rise_exact_C(x_m: float, seconds: float, flux: float, k: float, diffusivity: float) -> float:
    """Carslaw and Jaeger: semi-infinite solid under a constant flux (also Incropera's case 2)."""
    root = math.sqrt(diffusivity * seconds)
    return float(
        2 * flux / k * root / math.sqrt(math.pi) * math.exp(-(x_m**2) / (4 * diffusivity * seconds))
        - flux * x_m / k * math.erfc(x_m / (2 * root))
    )


def test_heat_up_follows_flux_over_effusivity() -> None:
    """Rise 2 q sqrt(t / pi) / e for fireclay (e 1470) under 10 kW/m2: 138 K after 300 s."""
    capacity = 2150 * 956.0
    body = wall((Slab(0.4, 1.05, capacity),), 80, 1, 1.05)
    _, face, _ = run(body, 25.0, 300.0, 0.25, 1e4, 0.0)
    effusivity = math.sqrt(1.05 * capacity)
    assert face - 25.0 == pytest.approx(2 * 1e4 * math.sqrt(300 / math.pi) / effusivity, rel=0.003)


def test_first_order_in_time() -> None:
    body = wall((Slab(0.5, 1.0, 2.2e6),), 300, 1, 1.005)
    exact = flux_rise_exact_C(0.0, 600.0, 1e4, 1.0, 1 / 2.2e6)
    errors = [run(body, 0.0, 600.0, dt, 1e4, 0.0)[1] - exact for dt in (20.0, 10.0, 5.0)]
    for coarse, fine in pairwise(errors):
        assert 0.85 < math.log2(abs(coarse / fine)) < 1.15


def test_second_order_in_depth() -> None:
    errors = []
    for nodes in (6, 12, 24):
        body = wall((Slab(0.05, 1.0, 2.0e6),), nodes, 1, 1.0)
        seconds = 0.3 * 0.05**2 * 2.0e6
        found, _, _ = run(body, 100.0, seconds, seconds / 40_000, 40.0 * 20.0, 40.0)
        # The middle of the last node lies half a step from the insulated face.
        exact = plane_wall_exact_C(2.0, 0.3, 0.5 / nodes, 100.0, 20.0)
        errors.append(found[-1] - exact)
    for coarse, fine in pairwise(errors):
        assert 1.8 < math.log2(abs(coarse / fine)) < 2.3
