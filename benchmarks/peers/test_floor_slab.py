"""A fireclay floor with constant properties, half an hour under a hot spot: ours beside FiPy and py-pde.

All solve rho c dT/dt = k div grad T on the same kind of cell-centred boxes; on top the face takes up
flux - film T, below a film leads away. Each solver runs at several grids and steps; of those within LIMIT_K
of the closed form the cheapest counts, so that nobody is held to a setting that suits another. One thread.
Setting up and assembling are counted, imports are not. Ours is compiled once for all floors; compiled py-pde
is compiled for every new set of conditions, so it is shown as a whole and with its steps alone.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import fipy
import numpy as np
import pde
import pytest
from fipy.solvers.scipy import LinearCGSolver
from pde.solvers.base import SolverBase
from scipy.fft import dct
from scipy.optimize import brentq
from scipy.sparse import diags, eye_array, kron
from test_oven_steps import say

from hearthtide.heat.columns import Slab, links, wall
from hearthtide.heat.kernel import from_the_sides, sweep

SIDE_M, DEEP_M, UNTIL_S = 1.2, 0.05, 1800.0
CONDUCTIVITY_W_mK, CAPACITY_J_m3K = 1.05, 2.1e6
TOP_W_m2K, BELOW_W_m2K = 40.0, 1.2  # radiation and gas at 300 °C; 0.1 m of insulation
PLAIN_W_m2, SPOT_W_m2 = 8_000.0, 30_000.0
SPOT_M, SPOT_BREADTH_M = (0.35, 0.8), 0.12
LIMIT_K = 0.1
MODES, ROOTS, SAMPLES = 96, 40, 1024


def profile(at_m: np.ndarray, middle_m: float) -> np.ndarray:
    return np.exp(-((at_m - middle_m) ** 2) / (2 * SPOT_BREADTH_M**2))


def centres(count: int) -> np.ndarray:
    return (np.arange(count) + 0.5) * SIDE_M / count


def flux_W_m2(count: int) -> np.ndarray:
    """Heat taken up at the centres of count x count cells."""
    x, y = (profile(centres(count), middle) for middle in SPOT_M)
    return PLAIN_W_m2 + SPOT_W_m2 * np.outer(x, y)


def depth_modes() -> tuple[np.ndarray, np.ndarray]:
    """Eigenvalues, 1/m, and norms, m, of a plate between two films (derived here by separation)."""
    top, below = TOP_W_m2K / CONDUCTIVITY_W_mK, BELOW_W_m2K / CONDUCTIVITY_W_mK

    def miss(beta: float) -> float:
        turn = beta * DEEP_M
        return (beta**2 - top * below) * np.sin(turn) - beta * (top + below) * np.cos(turn)

    beta = np.array(
        [brentq(miss, max(p, 1e-3) * np.pi / DEEP_M, (p + 1) * np.pi / DEEP_M) for p in range(ROOTS)]
    )
    turn, share = beta * DEEP_M, (top / beta) ** 2
    norm = DEEP_M / 2 * (1 + share) + np.sin(2 * turn) / (4 * beta) * (1 - share)
    return beta, norm + top / beta**2 * np.sin(turn) ** 2


def closed_form_K(count: int) -> np.ndarray:
    """Rise of the top face at the centres of count x count cells: cosines across, films above and below."""
    number = np.arange(MODES)
    halved = np.where(number == 0, 0.5, 1.0) / SAMPLES
    x, y = (dct(profile(centres(SAMPLES), middle))[:MODES] * halved for middle in SPOT_M)
    heat = SPOT_W_m2 * np.outer(x, y)
    heat[0, 0] += PLAIN_W_m2
    wave = (number * np.pi / SIDE_M) ** 2
    square = np.maximum(wave[:, None] + wave[None, :], 1e-12)
    leads = CONDUCTIVITY_W_mK * np.sqrt(square)
    bend = np.tanh(np.sqrt(square) * DEEP_M)
    response = 1 / (TOP_W_m2K + leads * (leads * bend + BELOW_W_m2K) / (leads + BELOW_W_m2K * bend))
    for beta, norm in zip(*depth_modes(), strict=True):
        rate = CONDUCTIVITY_W_mK * (beta**2 + square)
        response -= np.exp(-rate / CAPACITY_J_m3K * UNTIL_S) / (rate * norm)
    waves = np.cos(number[:, None] * np.pi * centres(count)[None, :] / SIDE_M)
    return waves.T @ (heat * response) @ waves


def face_K(first_K: np.ndarray, flux: np.ndarray, layers: int) -> np.ndarray:
    """Top face over the middles of the first cells."""
    leads = 2 * CONDUCTIVITY_W_mK * layers / DEEP_M
    return (flux + leads * first_K) / (leads + TOP_W_m2K)


@dataclass(frozen=True)
class Setting:
    """`across` cells each way, `layers` in depth, step s."""

    across: int
    layers: int
    step_s: float

    @property
    def steps(self) -> int:
        return round(UNTIL_S / self.step_s)


Solver = Callable[[Setting], tuple[np.ndarray, float]]
"""Top face (across, across), K, and seconds it took."""


def ours(how: Setting) -> tuple[np.ndarray, float]:
    began = time.perf_counter()
    n = how.across
    slab = wall((Slab(DEEP_M, CONDUCTIVITY_W_mK, CAPACITY_J_m3K),), how.layers, 1, 1.0)
    at = links(slab, np.zeros(how.layers), BELOW_W_m2K)
    spread = at.conductivity_W_mK * slab.step_m / (SIDE_M / n) ** 2
    across = np.ones(n * n - 1)
    across[n - 1 :: n] = 0.0
    inward = np.ones(n * n - n)
    nodes, held = np.zeros((how.layers, n * n)), np.zeros((how.layers, n * n))
    gain, loss = flux_W_m2(n).ravel(), np.full(n * n, TOP_W_m2K)
    storage = at.capacity_J_m2K / how.step_s
    for _ in range(how.steps):
        from_the_sides(nodes, spread, spread, across, inward, n, held)
        face = sweep(
            nodes, storage, at.link_W_m2K, at.surface_W_m2K, float(at.back_W_m2K), gain, loss, 0.0, held
        )
    return face.reshape(n, n), time.perf_counter() - began


def by_fipy(how: Setting) -> tuple[np.ndarray, float]:
    began = time.perf_counter()
    n, m = how.across, how.layers
    dx, dz = SIDE_M / n, DEEP_M / m
    mesh = fipy.Grid3D(nx=n, ny=n, nz=m, dx=dx, dy=dx, dz=dz)
    flux = flux_W_m2(n)
    leads = 2 * CONDUCTIVITY_W_mK / dz
    source, loss = np.zeros((m, n, n)), np.zeros((m, n, n))
    source[0] = leads / (leads + TOP_W_m2K) * flux.T / dz
    loss[0] = leads * TOP_W_m2K / (leads + TOP_W_m2K) / dz
    loss[-1] += leads * BELOW_W_m2K / (leads + BELOW_W_m2K) / dz
    heat = fipy.CellVariable(mesh=mesh, value=0.0)
    taken = fipy.CellVariable(mesh=mesh, value=source.ravel())
    lost = fipy.CellVariable(mesh=mesh, value=loss.ravel())
    equation = fipy.TransientTerm(CAPACITY_J_m3K) == (
        fipy.DiffusionTerm(CONDUCTIVITY_W_mK) + taken - fipy.ImplicitSourceTerm(lost)
    )
    solver = LinearCGSolver(tolerance=1e-6, precon=None)
    for _ in range(how.steps):
        equation.solve(var=heat, dt=how.step_s, solver=solver)
    first = heat.value.reshape(m, n, n)[0].T
    return face_K(first, flux, m), time.perf_counter() - began


def diffusion(how: Setting) -> tuple[pde.DiffusionPDE, pde.ScalarField]:
    """py-pde's own equation with its mixed conditions; the last axis is the depth."""
    n = how.across
    grid = pde.CartesianGrid([[0, SIDE_M], [0, SIDE_M], [0, DEEP_M]], [n, n, how.layers])
    film = np.full((n, n), TOP_W_m2K / CONDUCTIVITY_W_mK)
    conditions = {
        "x": {"derivative": 0},
        "y": {"derivative": 0},
        "z-": {"type": "mixed", "value": film, "const": flux_W_m2(n) / CONDUCTIVITY_W_mK},
        "z+": {"type": "mixed", "value": BELOW_W_m2K / CONDUCTIVITY_W_mK, "const": 0.0},
    }
    equation = pde.DiffusionPDE(CONDUCTIVITY_W_mK / CAPACITY_J_m3K, bc=conditions)
    return equation, pde.ScalarField(grid, 0.0)


def by_pde(
    how: Setting, kind: str, backend: str, warm: bool = False, **options: object
) -> tuple[np.ndarray, float]:
    """py-pde's solver of that kind; `warm`: best of ten runs, compiled before the clock starts."""
    began = time.perf_counter()
    equation, state = diffusion(how)
    if kind == "scipy" and "method" in options:
        options["jac_sparsity"] = neighbours(how)
    solver = SolverBase.from_name(kind, equation, backend=backend, **options)
    stepper = solver.make_stepper(state, how.step_s)
    stepper(state, 0.0, UNTIL_S)
    took = time.perf_counter() - began
    for _ in range(10 if warm else 0):
        state.data = 0.0
        began = time.perf_counter()
        stepper(state, 0.0, UNTIL_S)
        took = min(took, time.perf_counter() - began)
    return face_K(state.data[:, :, 0], flux_W_m2(how.across), how.layers), took


def neighbours(how: Setting) -> object:
    """Which nodes each node's rate depends on."""

    def line(count: int) -> object:
        return diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(count, count))

    n, m = how.across, how.layers
    flat = kron(line(n), eye_array(n)) + kron(eye_array(n), line(n))
    return (kron(flat, eye_array(m)) + kron(eye_array(n * n), line(m))).tocsc()


COARSE = [Setting(24, 5, 15.0), Setting(24, 6, 12.0), Setting(28, 5, 15.0)]
FREE = [Setting(28, 6, 60.0), Setting(28, 8, 40.0)]  # solvers that choose their step, or of fourth order
LOOSE = {"rtol": 1e-3, "atol": 1e-2}
STIFF = {"method": "BDF", **LOOSE}
SOLVERS: dict[str, tuple[Solver, list[Setting]]] = {
    "ours": (ours, [*COARSE, Setting(32, 8, 10.0)]),
    "FiPy, implicit": (by_fipy, COARSE),
    "py-pde implicit, NumPy": (lambda s: by_pde(s, "implicit", "numpy"), COARSE),
    "py-pde implicit, compiled": (lambda s: by_pde(s, "implicit", "numba"), COARSE[:1]),
    "  its steps alone": (lambda s: by_pde(s, "implicit", "numba", warm=True), COARSE),
    "py-pde by SciPy's BDF": (lambda s: by_pde(s, "scipy", "numpy", **STIFF), FREE),
    "py-pde explicit Euler, NumPy": (
        lambda s: by_pde(s, "euler", "numpy"),
        [Setting(28, 8, 4.0), Setting(32, 8, 5.0)],
    ),
    "py-pde Runge-Kutta, NumPy": (lambda s: by_pde(s, "runge-kutta", "numpy"), FREE),
    "py-pde by SciPy's RK45, NumPy": (lambda s: by_pde(s, "scipy", "numpy", **LOOSE), FREE),
    "py-pde Runge-Kutta, compiled": (lambda s: by_pde(s, "runge-kutta", "numba"), FREE[:1]),
    "  its steps alone ": (lambda s: by_pde(s, "runge-kutta", "numba", warm=True), FREE),
}


def rms_K(face: np.ndarray) -> float:
    return float(np.sqrt(((face - closed_form_K(len(face))) ** 2).mean()))


def cheapest(solve: Solver, settings: list[Setting]) -> tuple[float, float, Setting]:
    """Seconds, error and setting of the cheapest within LIMIT_K, each at its best of half a second or so."""
    found = []
    for how in settings:
        until = time.perf_counter() + 0.5
        face, took = solve(how)
        while time.perf_counter() < until:
            took = min(took, solve(how)[1])
        found.append((took, rms_K(face), how))
    return min((f for f in found if f[1] <= LIMIT_K), key=lambda f: f[0])


def test_closed_form_against_a_fine_grid():
    """128 x 128 x 64 boxes and half seconds: what is left of the scheme's own error."""
    assert rms_K(ours(Setting(128, 64, 0.5))[0]) < 0.01


def test_slab_against_peers(capsys: pytest.CaptureFixture[str]):
    ours(COARSE[0])
    lines, own_s = [], 0.0
    for name, (solve, settings) in SOLVERS.items():
        took, error, how = cheapest(solve, settings)
        own_s = own_s or took
        lines.append(
            f"  {name:31s} {how.across} x {how.across} x {how.layers}, {how.step_s:2.0f} s: "
            f"rms {error:.3f} K, {1e3 * took:8.2f} ms, {took / own_s:7.1f} times"
        )
    say(capsys, "\n".join([f"floor slab, half an hour, within {LIMIT_K} K:", *lines]))
