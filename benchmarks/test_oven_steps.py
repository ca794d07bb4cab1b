"""Steps per second of the oven, and its columns against general-purpose solvers in the same run."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import solve_banded

from hearthtide.heat.columns import Slab, advance_columns, factor, wall
from hearthtide.house.files import oven_design, read_house
from hearthtide.oven.advance import advance
from hearthtide.oven.field import receivers
from hearthtide.oven.footprint import Disc, cover_fractions
from hearthtide.oven.grid import NOMINAL, QUICK, Grid
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import build_oven

DESIGN = oven_design(read_house(Path(__file__).parents[1] / "examples" / "brindlecote"))
FINE = Grid(cells=48, rings=12, sectors=36, hot_nodes=12, further_nodes=6, growth=1.2)


@pytest.mark.parametrize(("grid", "name"), [(QUICK, "quick"), (NOMINAL, "nominal"), (FINE, "fine")])
@pytest.mark.parametrize("items", [0, 8])
def test_step(benchmark, grid: Grid, name: str, items: int):
    oven = build_oven(DESIGN, grid)
    state = oven.cold(25.0)
    load = NO_LOAD
    if items:
        spots = [Disc(-0.3 + 0.2 * (i % 4), 0.35 + 0.3 * (i // 4), 0.18) for i in range(items)]
        some = np.full(items, 100.0)
        load = Load(cover_fractions(oven, spots), np.full(items, 150.0), some, some)
    benchmark.extra_info["nodes"] = state.floor_nodes_C.size + state.dome_nodes_C.size
    benchmark(advance, oven, state, 14_000.0, 2.0, load)


@pytest.mark.parametrize(("grid", "name"), [(QUICK, "quick"), (NOMINAL, "nominal")])
def test_build(benchmark, grid: Grid, name: str):
    benchmark.pedantic(build_oven, (DESIGN, grid), rounds=3)


def test_heat_field_of_eight_spots(benchmark):
    oven = build_oven(DESIGN, NOMINAL)
    state = oven.cold(300.0 - 240.0)
    points = np.random.default_rng(0).uniform([-0.3, 0.3, 0.02], [0.3, 0.8, 0.02], (72, 3))
    seen = receivers(oven, points, np.tile([0.0, 0.0, 1.0], (72, 1)))
    benchmark(seen.irradiance_W_m2, oven, state, 14_000.0)


def _seconds(work: Callable[[], object], times: int) -> float:
    best = np.inf
    for _ in range(3):
        began = time.perf_counter()
        for _ in range(times):
            work()
        best = min(best, (time.perf_counter() - began) / times)
    return float(best)


def test_columns_against_scipy(capsys):
    """800 columns of 18 nodes, one backward Euler step of 2 s: same equations, same answer, two ways."""
    slabs = (Slab(0.05, 1.0, 2.2e6), Slab(0.10, 0.12, 0.3e6))
    layered = wall(slabs, 12, 6, 1.2)
    ready = factor(layered, 2.0, 10.0)
    nodes = np.random.default_rng(1).uniform(100, 400, (18, 800))
    gain, loss = np.full(800, 20_000.0), np.full(800, 40.0)
    half = layered.step_m / (2 * layered.conductivity_W_mK)
    link, storage = 1 / (half[:-1] + half[1:]), layered.capacity_J_m2K / 2.0
    face, back = 1 / (half[0] + 1 / 40.0), 1 / (half[-1] + 1 / 10.0)
    diagonal = storage.copy()
    diagonal[:-1] += link
    diagonal[1:] += link
    diagonal[0] += face
    diagonal[-1] += back
    bands = np.array([np.r_[0, -link], diagonal, np.r_[-link, 0]])

    def scipy_step() -> np.ndarray:
        right = storage[:, None] * nodes
        right[0] += face * gain / loss
        right[-1] += back * 25.0
        return solve_banded((1, 1), bands, right)

    def our_step() -> np.ndarray:
        return advance_columns(ready, nodes, gain, loss, 25.0).nodes_C

    assert np.allclose(our_step(), scipy_step(), atol=1e-6)
    ratio = _seconds(scipy_step, 200) / _seconds(our_step, 200)
    with capsys.disabled():
        print(f"\ncolumns, 800 x 18 nodes: scipy.linalg.solve_banded / ours = {ratio:.1f}")


def test_heating_slab_against_scipy_bdf(capsys):
    """Half an hour of one two-layer wall under a film: ours at 2 s against BDF of like or worse error."""
    slabs = (Slab(0.05, 1.0, 2.2e6), Slab(0.10, 0.12, 0.3e6))
    layered = wall(slabs, 12, 6, 1.2)
    half = layered.step_m / (2 * layered.conductivity_W_mK)
    link, capacity = 1 / (half[:-1] + half[1:]), layered.capacity_J_m2K
    face, back = 1 / (half[0] + 1 / 40.0), 1 / (half[-1] + 1 / 10.0)

    def rate(_t: float, temps: np.ndarray) -> np.ndarray:
        flow = link * (temps[:-1] - temps[1:])
        out = np.zeros_like(temps)
        out[:-1] -= flow
        out[1:] += flow
        out[0] += face * (500.0 - temps[0])
        out[-1] += back * (25.0 - temps[-1])
        return out / capacity

    start = np.full(18, 25.0)
    exact = solve_ivp(rate, (0, 1800), start, "BDF", rtol=1e-10, atol=1e-8).y[:, -1]

    def ours(dt: float = 2.0) -> np.ndarray:
        ready, nodes = factor(layered, dt, 10.0), start[:, None]
        gain, loss = np.array([40.0 * 500.0]), np.array([40.0])
        for _ in range(round(1800 / dt)):
            nodes = advance_columns(ready, nodes, gain, loss, 25.0).nodes_C
        return nodes[:, 0]

    def bdf() -> np.ndarray:
        return solve_ivp(rate, (0, 1800), start, "BDF", rtol=1e-3, atol=1e-2).y[:, -1]

    errors = [float(np.abs(found - exact).max()) for found in (ours(), bdf())]
    ratio = _seconds(bdf, 3) / _seconds(ours, 3)
    with capsys.disabled():
        print(
            f"\none wall, 30 min: SciPy BDF / ours = {ratio:.1f} in time; "
            f"error {errors[1]:.2f} K against {errors[0]:.2f} K"
        )
