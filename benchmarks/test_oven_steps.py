"""What the oven costs: steps, whole runs, nodes, with and without the compiler, beside general solvers."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import solve_banded

from hearthtide.heat.columns import Slab, advance_columns, links, wall
from hearthtide.house.files import oven_design, read_house
from hearthtide.oven.advance import advance
from hearthtide.oven.design import Burner, Crown, FlameLevel, Layer, Mouth, OvenDesign
from hearthtide.oven.field import receivers
from hearthtide.oven.footprint import Disc, cover_fractions
from hearthtide.oven.grid import NOMINAL, QUICK, Grid
from hearthtide.oven.hearth import RoundHearth
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, build_oven
from hearthtide.oven.program import Placed, run_program

DESIGN = oven_design(read_house(Path(__file__).parents[1] / "examples" / "brindlecote"))
WITH_A_DOOR = OvenDesign(
    name="oven with a door",
    hearth=RoundHearth(1.2, sill_m=0.5),
    crown=Crown("dome", 0.0, 0.42),
    mouth=Mouth(0.5, 0.24, door=(Layer("steel", 0.002), Layer("fibre_blanket", 0.04))),
    floor=(Layer("fireclay", 0.05), Layer("calcium_silicate", 0.08)),
    walls=(Layer("dense_castable", 0.06), Layer("fibre_blanket", 0.10)),
    burners=(Burner("ribbon", bearing_deg=-45.0, length_m=0.5, standoff_m=0.06),),
    fuel="natural_gas",
    levels=(FlameLevel("low", 2_400), FlameLevel("high", 26_000)),
)
FINE = Grid(cells=48, rings=12, sectors=36, hot_nodes=12, further_nodes=6, growth=1.2)
SIZES = {
    "10 k": Grid(cells=22, rings=6, sectors=18, hot_nodes=12, further_nodes=6, growth=1.2),
    "20 k": NOMINAL,
    "50 k": FINE,
    "150 k": Grid(cells=72, rings=14, sectors=40, hot_nodes=18, further_nodes=9, growth=1.15),
}
SPOTS = 8


def spots(oven: Oven, count: int = SPOTS) -> list[Disc]:
    """Discs of 0.18 m in two rows about the middle of the hearth."""
    x_m, y_m = oven.design.hearth.centre_m
    return [Disc(x_m - 0.3 + 0.2 * (i % 4), y_m - 0.1 + 0.25 * (i // 4), 0.18) for i in range(count)]


def nodes_of(oven: Oven) -> int:
    return len(oven.floor_wall.step_m) * oven.stone.on.size + len(oven.dome_wall.step_m) * oven.roof_patches


def say(capsys: pytest.CaptureFixture[str], text: str) -> None:
    with capsys.disabled():
        print(f"\n{text}")


@pytest.mark.parametrize(("grid", "name"), [(QUICK, "quick"), (NOMINAL, "nominal"), (FINE, "fine")])
@pytest.mark.parametrize("items", [0, SPOTS])
def test_one_step(benchmark, grid: Grid, name: str, items: int):
    """One step by itself, flows and wall properties included, a minute after lighting."""
    oven = build_oven(DESIGN, grid)
    state, load = advance(oven, oven.cold(25.0), 14_000.0, 2.0, steps=30).state, NO_LOAD
    if items:
        some = np.full(items, 100.0)
        load = Load(cover_fractions(oven, spots(oven, items)), np.full(items, 150.0), some, some)
    benchmark.extra_info["nodes"] = nodes_of(oven)
    benchmark(advance, oven, state, 14_000.0, 2.0, load)


@pytest.mark.parametrize(("grid", "name"), [(QUICK, "quick"), (NOMINAL, "nominal")])
def test_build(benchmark, grid: Grid, name: str):
    benchmark.pedantic(build_oven, (DESIGN, grid), rounds=3)


def test_heat_field_of_eight_spots(benchmark):
    oven = build_oven(DESIGN, NOMINAL)
    state = oven.cold(25.0)
    points = np.random.default_rng(0).uniform([-0.3, 0.3, 0.02], [0.3, 0.8, 0.02], (72, 3))
    seen = receivers(oven, points, np.tile([0.0, 0.0, 1.0], (72, 1)))
    benchmark(seen.irradiance_W_m2, oven, state, 14_000.0)


def service(oven: Oven, begin_s: float, hours: float, loads: int) -> tuple[Placed, ...]:
    """`loads` pieces one after another on eight spots in turn, each there for 95 % of its turn."""
    turn_s = hours * 3600 * SPOTS / loads
    return tuple(
        Placed(
            spots(oven)[i % SPOTS],
            begin_s + i * turn_s / SPOTS,
            begin_s + (i / SPOTS + 0.95) * turn_s,
            150.0,
            90.0,
            95.0,
        )
        for i in range(loads)
    )


@pytest.mark.parametrize(("grid", "name"), [(QUICK, "quick"), (NOMINAL, "nominal")])
def test_a_day(capsys, grid: Grid, name: str):
    """Heat-up, service and a night behind the door, and how far each ledger is from closed."""
    oven, hour = build_oven(WITH_A_DOOR, grid), 3600.0
    advance(oven, oven.cold(20.0), 26_000.0, 1.0)
    began, lines = time.perf_counter(), []

    def done(what: str, open_J: float, fuel_J: float) -> None:
        nonlocal began
        took, began = time.perf_counter() - began, time.perf_counter()
        lines.append(f"  {what}: {took:.2f} s; ledger open by {abs(open_J) / fuel_J:.0e} of the fuel")

    warm = run_program(oven, oven.cold(20.0), ((0.0, 26_000.0),), 3 * hour, 2.0, 300.0)
    done("3 h heat-up at 2 s", warm.ledger.residual_J, warm.ledger.fuel_J)
    placed = service(oven, 3 * hour, 4.0, 200)
    served = run_program(oven, warm.state, ((3 * hour, 12_000.0),), 7 * hour, 1.0, 300.0, placed=placed)
    done("4 h service of 200 pieces at 1 s", served.ledger.residual_J, served.ledger.fuel_J)
    cold = run_program(oven, served.state, ((7 * hour, 0.0),), 19 * hour, 5.0, 600.0, shut_from_s=7 * hour)
    done("12 h behind the door at 5 s", cold.ledger.residual_J, warm.ledger.fuel_J)
    ends = ", ".join(f"{run.floor_mean_C[-1]:.0f}" for run in (warm, served, cold))
    say(capsys, "\n".join([f"a day, {name} grid ({nodes_of(oven)} nodes); stone {ends} °C", *lines]))


def seconds(work: Callable[[], object], times: int) -> float:
    """Best of three means over `times` runs."""
    best = np.inf
    for _ in range(3):
        began = time.perf_counter()
        for _ in range(times):
            work()
        best = min(best, (time.perf_counter() - began) / times)
    return float(best)


def test_step_against_nodes(capsys):
    """Steps of half a minute at once, as runs take them."""
    lines = []
    for grid in SIZES.values():
        began = time.perf_counter()
        oven = build_oven(WITH_A_DOOR, grid)
        built = time.perf_counter() - began
        state = oven.cold(25.0)
        step = seconds(lambda o=oven, s=state: advance(o, s, 14_000.0, 2.0, steps=15), 4) / 15
        nodes, surfaces = nodes_of(oven), len(oven.enclosure.area_m2)
        lines.append(
            f"  {nodes:6d} nodes, {surfaces:4d} surfaces: {1e3 * step:.2f} ms, "
            f"{1e9 * step / nodes:.0f} ns a node; built in {built:.2f} s"
        )
    say(capsys, "\n".join(["step against nodes:", *lines]))


PLAIN = """
import json, sys, time
from hearthtide.compiled import COMPILES
from hearthtide.oven.advance import advance
from hearthtide.oven.grid import NOMINAL, QUICK
from hearthtide.oven.model import build_oven
from test_oven_steps import WITH_A_DOOR, seconds

found = {}
for name, grid in (("quick", QUICK), ("nominal", NOMINAL)):
    began = time.perf_counter()
    oven = build_oven(WITH_A_DOOR, grid)
    built = time.perf_counter() - began
    state = oven.cold(25.0)
    advance(oven, state, 14_000.0, 2.0)
    found[name] = [built, seconds(lambda: advance(oven, state, 14_000.0, 2.0, steps=15), 4) / 15]
print(json.dumps([COMPILES, found]))
"""


def test_without_the_compiler(capsys):
    found = {}
    for off in ("0", "1"):
        paths = os.pathsep.join([str(Path(__file__).parent), *filter(None, sys.path)])
        run = {**os.environ, "NUMBA_DISABLE_JIT": off, "PYTHONPATH": paths}
        said = subprocess.run(
            [sys.executable, "-c", PLAIN], env=run, check=True, capture_output=True, text=True
        )
        compiles, found[off] = json.loads(said.stdout)
        assert compiles == (off == "0")
    lines = []
    for name in ("quick", "nominal"):
        (built, step), (built_plain, step_plain) = found["0"][name], found["1"][name]
        lines.append(
            f"  {name}: step {1e3 * step_plain:.2f} ms against {1e3 * step:.2f} ms, "
            f"{step_plain / step:.1f} times; build {built_plain:.1f} s against {built:.2f} s"
        )
    say(capsys, "\n".join(["without the compiler (NumPy rows) and with it:", *lines]))


SLABS = (Slab(0.05, 1.0, 2.2e6), Slab(0.10, 0.12, 0.3e6))
LAYERED = wall(SLABS, 12, 6, 1.2)
FILM_W_m2K = 40.0
AT = links(LAYERED, np.full(18, 25.0), 10.0)
FACE_W_m2K = 1 / (1 / AT.surface_W_m2K + 1 / FILM_W_m2K)


def test_columns_against_scipy(capsys):
    """800 columns of 18 nodes, one backward Euler step of 2 s: same equations, same answer, two ways."""
    nodes = np.random.default_rng(1).uniform(100, 400, (18, 800))
    gain, loss = np.full(800, 500.0 * FILM_W_m2K), np.full(800, FILM_W_m2K)
    link, storage = AT.link_W_m2K, AT.capacity_J_m2K / 2.0
    diagonal = storage.copy()
    diagonal[:-1] += link
    diagonal[1:] += link
    diagonal[0] += FACE_W_m2K
    diagonal[-1] += AT.back_W_m2K
    bands = np.array([np.r_[0, -link], diagonal, np.r_[-link, 0]])

    def scipy_step() -> np.ndarray:
        right = storage[:, None] * nodes
        right[0] += FACE_W_m2K * 500.0
        right[-1] += AT.back_W_m2K * 25.0
        return solve_banded((1, 1), bands, right)

    def our_step() -> np.ndarray:
        return advance_columns(AT, 2.0, nodes, gain, loss, 25.0).nodes_C

    assert np.allclose(our_step(), scipy_step(), atol=1e-6)
    theirs, ours = seconds(scipy_step, 200), seconds(our_step, 200)
    say(
        capsys,
        f"columns, 800 x 18 nodes, a step: ours {1e6 * ours:.0f} us, "
        f"scipy.linalg.solve_banded {1e6 * theirs:.0f} us, {theirs / ours:.1f} times",
    )


def test_heating_slab_against_scipy_bdf(capsys):
    """Half an hour of one two-layer wall under a film: ours at 2 s against BDF of like or worse error."""

    def rate(_t: float, temps: np.ndarray) -> np.ndarray:
        flow = AT.link_W_m2K * (temps[:-1] - temps[1:])
        out = np.zeros_like(temps)
        out[:-1] -= flow
        out[1:] += flow
        out[0] += FACE_W_m2K * (500.0 - temps[0])
        out[-1] += AT.back_W_m2K * (25.0 - temps[-1])
        return out / AT.capacity_J_m2K

    start = np.full(18, 25.0)
    exact = solve_ivp(rate, (0, 1800), start, "BDF", rtol=1e-10, atol=1e-8).y[:, -1]

    def ours(dt: float = 2.0) -> np.ndarray:
        nodes = start[:, None]
        gain, loss = np.array([FILM_W_m2K * 500.0]), np.array([FILM_W_m2K])
        for _ in range(round(1800 / dt)):
            nodes = advance_columns(AT, dt, nodes, gain, loss, 25.0).nodes_C
        return nodes[:, 0]

    def bdf() -> np.ndarray:
        return solve_ivp(rate, (0, 1800), start, "BDF", rtol=1e-3, atol=1e-2).y[:, -1]

    errors = [float(np.abs(found - exact).max()) for found in (ours(), bdf())]
    ratio = seconds(bdf, 3) / seconds(ours, 3)
    say(
        capsys,
        f"one wall, 30 min: SciPy BDF / ours = {ratio:.1f} in time; "
        f"error {errors[1]:.2f} K against {errors[0]:.2f} K",
    )
