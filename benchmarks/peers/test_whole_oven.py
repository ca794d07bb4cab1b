"""The whole oven, half an hour: lit cold at full flame, turned low at half time: ours beside SciPy's BDF.

Both integrate the same equations on the same boxes: conduction through floor (in depth and sideways) and
dome, radiosity and gas radiation between all surfaces, films, two gas temperatures. What advance holds over
a call, the air flows and the walls' properties, is held from each setting of the flame to the next in both,
worked out by the same functions, so BDF starts twice and never meets a jump. Surfaces and gas have no
capacity: our steps lag them, BDF's rate solves them for the nodes (a compiled loop, warm-started).
BDF gets an analytic Jacobian, sparse but for one dense block of all surfaces: whole, and without what is not
stiff, conduction sideways, which spares it most of the fill and makes it several times quicker.
Ours is taken as it steps, and extrapolated from whole and half steps as `certified` does it, both counted.
Error: largest over all surfaces and TIMES_S after each setting of the flame, against BDF at TIGHT.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.sparse import csc_array
from test_oven_steps import DESIGN, nodes_of, say

from hearthtide.compiled import compiled
from hearthtide.heat.columns import Links, links
from hearthtide.heat.kernel import AIR_J_kgK
from hearthtide.oven.advance import advance
from hearthtide.oven.gas import Flows, flows, settled_gas, with_gas
from hearthtide.oven.grid import NOMINAL, QUICK, Grid
from hearthtide.oven.model import Oven, OvenState, build_oven
from hearthtide.oven.program import certified

HOLD_S, POWERS_W, ROOM_C = 900.0, (30_000.0, 7_000.0), 25.0
TIMES_S = np.array([30.0, 60.0, 120.0, 300.0, 600.0, 900.0])
TIGHT, LIMIT_K = 1e-8, 0.1
SIGMA = 5.670374419e-8  # CODATA 2018, exact since 2019 (from memory, not re-read)


@compiled
def settle(first, leads, exchange, block, share, flame, floors, emissivity, area, low, up, gas, shine, z):
    """Surface and gas temperatures over the first nodes, into z (n + d + 2), °C.

    Surfaces are `floors` cells and the patches; `exchange` (b + d, b + d) from emission to irradiation;
    `flame` includes what the mouth sends; `low`, `up` are films; `gas` is carried heat [inflow, rise, burnt,
    convective, sent by the mouth, its area, room].
    """
    count, blocks = len(first), len(exchange) - (len(first) - floors)
    taking = shine * (emissivity * area).sum() + gas[5] * shine
    for _ in range(200):
        before = z.copy()
        black = SIGMA * (z[:count] + 273.15) ** 4
        sent = np.zeros(len(exchange))
        for i in range(floors):
            sent[block[i]] += share[i] * black[i]
        sent[blocks:] = black[floors:]
        falls = exchange @ sent
        z[count] = (gas[0] * gas[6] + (low * area * z[:count]).sum()) / (gas[0] + (low * area).sum())
        back = shine * (emissivity * area * black).sum() + gas[4]
        hot = SIGMA * (z[count + 1] + 273.15) ** 4
        slope = 4 * hot / (z[count + 1] + 273.15)
        heat = gas[1] * z[count] + gas[2] * gas[6] + gas[3] + (up * area * z[:count]).sum() + back
        heat -= taking * (hot - slope * z[count + 1])
        z[count + 1] = heat / (gas[1] + gas[2] + (up * area).sum() + taking * slope)
        hot = SIGMA * (z[count + 1] + 273.15) ** 4
        for i in range(count):
            fall = flame[i] + (falls[block[i]] if i < floors else falls[blocks + i - floors])
            slope = 4 * (1 + shine) * black[i] / (z[i] + 273.15)
            gain = emissivity[i] * (fall + shine * hot - (1 + shine) * black[i] + slope * z[i])
            gain += low[i] * z[count] + up[i] * z[count + 1] + leads[i] * first[i]
            z[i] = gain / (emissivity[i] * slope + low[i] + up[i] + leads[i])
        if np.abs(z - before).max() < 1e-9:
            return
    raise ArithmeticError("surfaces do not settle")


@compiled
def conduct(nodes, face, capacity, link, surface, back, room, out):
    """Rate of columns (k, n) under faces (n,), K/s, into `out`."""
    last = len(capacity) - 1
    for k in range(last + 1):
        for i in range(nodes.shape[1]):
            above = (
                surface * (face[i] - nodes[0, i]) if k == 0 else link[k - 1] * (nodes[k - 1, i] - nodes[k, i])
            )
            below = back * (nodes[last, i] - room) if k == last else link[k] * (nodes[k, i] - nodes[k + 1, i])
            out[k, i] = (above - below) / capacity[k]


@compiled
def aside(nodes, spread, left, right, out):
    """Adds what cells take from their neighbours `left` and `right` of each joint."""
    for k in range(len(nodes)):
        for j in range(len(left)):
            flow = spread[k] * (nodes[k, left[j]] - nodes[k, right[j]])
            out[k, left[j]] -= flow
            out[k, right[j]] += flow


@dataclass(eq=False)
class Held:
    """The oven's equations while flows and properties are held; y are nodes of floor, then of dome."""

    oven: Oven
    floor: Links
    dome: Links
    now: Flows
    power_W: float
    start: OvenState

    def __post_init__(self) -> None:
        oven, now, own = self.oven, self.now, self.oven.design.coefficients
        stone, n, d, b = oven.stone, len(oven.cells_m), oven.roof_patches, oven.stone.blocks
        self.n, self.d, self.shape = n, d, (len(self.floor.capacity_J_m2K), len(self.dome.capacity_J_m2K))
        at_room = SIGMA * (ROOM_C + 273.15) ** 4
        from_mouth = oven.enclosure.from_emission[: b + d, b + d :].sum(1) * at_room
        self.exchange = np.ascontiguousarray(oven.enclosure.from_emission[: b + d, : b + d])
        flame = oven.burning(oven.fire(self.power_W)).flame_W_m2[: n + d]
        self.flame = flame + np.concatenate([from_mouth[:b][stone.block], from_mouth[b:]])
        self.area = np.concatenate([oven.cell_areas_m2, oven.dome_area_m2])
        self.emissivity = np.repeat([own.emissivity_floor, own.emissivity_dome], [n, d])
        self.low = own.lower_film_W_m2K * np.concatenate([np.ones(n), 1 - now.upper])
        self.up = own.upper_film_W_m2K * np.concatenate([np.zeros(n), now.upper])
        self.leads = np.repeat([self.floor.surface_W_m2K, self.dome.surface_W_m2K], [n, d])
        self.share, mouth = 1 / stone.cells_of_block[stone.block], oven.mouth_area_m2.sum()
        carried = [now.inflow_kg_s * AIR_J_kgK, now.rise_kg_s * AIR_J_kgK, now.burnt_W_K, now.convective_W]
        self.gas = np.array([*carried, now.emissivity * mouth * at_room, mouth, ROOM_C])
        self.spread = self.floor.conductivity_W_mK * oven.floor_wall.step_m / oven.cell_area_m2
        self.joints = self._joints()
        self.z = np.concatenate(
            [self.start.floor_C, self.start.dome_C, [self.start.lower_C, self.start.upper_C]]
        )

    def _joints(self) -> tuple[np.ndarray, np.ndarray]:
        stone = self.oven.stone
        number = np.full(stone.on.size, -1)
        number[stone.where] = np.arange(self.n)
        across, row = np.flatnonzero(stone.joined_x), stone.on.shape[1]
        inward = np.flatnonzero(stone.joined_y)
        return (
            number[np.concatenate([across, inward])],
            number[np.concatenate([across + 1, inward + row])],
        )

    def y_of(self, state: OvenState) -> np.ndarray:
        return np.concatenate(
            [state.floor_nodes_C[:, self.oven.stone.where].ravel(), state.dome_nodes_C.ravel()]
        )

    def state(self, y: np.ndarray) -> OvenState:
        z, (floor, dome) = self.surfaces(y), self.parts(y)
        nodes = self.start.floor_nodes_C.copy()
        nodes[:, self.oven.stone.where] = floor
        faces = z[: self.n].copy(), z[self.n : -2].copy(), self.start.mouth_C
        return OvenState(*faces, float(z[-2]), float(z[-1]), ROOM_C, nodes, dome.copy())

    def parts(self, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        cut = self.shape[0] * self.n
        return y[:cut].reshape(-1, self.n), y[cut:].reshape(-1, self.d)

    def surfaces(self, y: np.ndarray) -> np.ndarray:
        """Surfaces and the two gases over the nodes y, °C."""
        floor, dome = self.parts(y)
        first, block, shine = np.concatenate([floor[0], dome[0]]), self.oven.stone.block, self.now.emissivity
        radiative = (self.exchange, block, self.share, self.flame, self.n, self.emissivity, self.area)
        settle(first, self.leads, *radiative, self.low, self.up, self.gas, shine, self.z)
        return self.z

    def rate(self, _t: float, y: np.ndarray) -> np.ndarray:
        z, out = self.surfaces(y), np.empty_like(y)
        for nodes, into, face, at in zip(
            self.parts(y),
            self.parts(out),
            (z[: self.n], z[self.n : -2]),
            (self.floor, self.dome),
            strict=True,
        ):
            ends = float(at.surface_W_m2K), float(at.back_W_m2K)
            conduct(nodes, face, at.capacity_J_m2K, at.link_W_m2K, *ends, ROOM_C, into)
        aside(self.parts(y)[0], self.spread / self.floor.capacity_J_m2K, *self.joints, self.parts(out)[0])
        return out

    def surface_block(self, y: np.ndarray) -> np.ndarray:
        """d(heat into the first nodes) / d(first nodes), (n + d, n + d), W/m²K."""
        z, n, own = self.surfaces(y), self.n, self.now.emissivity
        slope = 4 * SIGMA * (z[:-2] + 273.15) ** 3
        hot = 4 * SIGMA * (z[-1] + 273.15) ** 3
        blocks = self.oven.stone.blocks
        sends = np.concatenate([self.oven.stone.block, np.arange(blocks, len(self.exchange))])
        weight = np.concatenate([self.share, np.ones(self.d)]) * slope
        balance = np.zeros((len(z), len(z)))
        balance[:-2, :-2] = self.emissivity[:, None] * self.exchange[np.ix_(sends, sends)] * weight
        films = self.low + self.up
        np.fill_diagonal(
            balance[:-2, :-2],
            balance[:-2, :-2].diagonal() - self.emissivity * (1 + own) * slope - films - self.leads,
        )
        balance[:-2, -2], balance[:-2, -1] = self.low, self.up + self.emissivity * own * hot
        balance[-2, :-2], balance[-2, -2] = self.low * self.area, -self.gas[0] - self.low @ self.area
        balance[-1, :-2] = self.area * (self.up + own * self.emissivity * slope)
        taking = own * (self.emissivity @ self.area + self.gas[5])
        balance[-1, -2:] = self.gas[1], -self.gas[1] - self.gas[2] - self.up @ self.area - taking * hot
        moved = np.linalg.solve(balance, -np.eye(len(z), n + self.d) * self.leads)[:-2]
        return self.leads[:, None] * (moved - np.eye(n + self.d))

    def columns(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The constant part of the Jacobian, as rows, columns and values: depth, without the hot faces."""
        entries, base = [], 0
        for at, count in ((self.floor, self.n), (self.dome, self.d)):
            link, stored = at.link_W_m2K, at.capacity_J_m2K
            own = -(np.append(link, at.back_W_m2K) + np.append(0.0, link)) / stored
            here = base + np.arange(len(stored) * count)
            base += len(here)
            entries += [
                (here, here, np.repeat(own, count)),
                (here[:-count], here[count:], np.repeat(link / stored[:-1], count)),
                (here[count:], here[:-count], np.repeat(link / stored[1:], count)),
            ]
        i, j, value = zip(*entries, strict=True)
        return np.concatenate(i), np.concatenate(j), np.concatenate(value)

    def aside_entries(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The constant part that conduction sideways adds."""
        layer = self.n * np.arange(self.shape[0])[:, None]
        left, right = ((layer + joint).ravel() for joint in self.joints)
        flow = np.repeat(self.spread / self.floor.capacity_J_m2K, len(self.joints[0]))
        rows, places = np.concatenate([left, right] * 2), np.concatenate([right, left, left, right])
        return rows, places, np.concatenate([flow, flow, -flow, -flow])

    def jacobian(self, whole: bool) -> Callable[[float, np.ndarray], csc_array]:
        """In y, K/s per K; not `whole`: without conduction sideways."""
        parts = [self.columns(), self.aside_entries()] if whole else [self.columns()]
        i, j, value = (np.concatenate(part) for part in zip(*parts, strict=True))
        first = np.concatenate([np.arange(self.n), self.shape[0] * self.n + np.arange(self.d)])
        size = self.shape[0] * self.n + self.shape[1] * self.d
        stored = np.repeat([self.floor.capacity_J_m2K[0], self.dome.capacity_J_m2K[0]], [self.n, self.d])
        rows = np.concatenate([i, np.repeat(first, len(first))])
        places = np.concatenate([j, np.tile(first, len(first))])

        def at(_t: float, y: np.ndarray) -> csc_array:
            block = self.surface_block(y) / stored[:, None]
            return csc_array((np.concatenate([value, block.ravel()]), (rows, places)), shape=(size, size))

        return at


def held(oven: Oven, state: OvenState, power_W: float) -> Held:
    """What advance takes a state to begin with, worked out as it does."""
    fire, own = oven.fire(power_W), oven.design.coefficients
    if abs(state.upper_C - state.ambient_C) < 5.0:
        _, lower, upper = settled_gas(oven, state, fire)
        state = with_gas(state, lower, upper)
    area = oven.dome_area_m2
    floor = links(oven.floor_wall, state.floor_nodes_C @ oven.cell_shares, own.outer_film_W_m2K)
    dome = links(oven.dome_wall, state.dome_nodes_C @ (area / area.sum()), own.outer_film_W_m2K)
    return Held(oven, floor, dome, flows(oven, state, fire), power_W, state)


def by_bdf(oven: Oven, rtol: float, whole: bool = False) -> tuple[np.ndarray, float]:
    """Surfaces (2 x times, n + d) and seconds; errors of a node are held to rtol of it and 100 rtol K."""
    state, found, took = oven.cold(ROOM_C), [], 0.0
    for power in POWERS_W:
        began = time.perf_counter()
        own = held(oven, state, power)
        y = own.y_of(state)
        solved = solve_ivp(
            own.rate, (0, HOLD_S), y, "BDF", TIMES_S, rtol=rtol, atol=100 * rtol, jac=own.jacobian(whole)
        )
        took += time.perf_counter() - began
        found += [own.surfaces(at)[:-2].copy() for at in solved.y.T]
        state = own.state(solved.y[:, -1])
    return np.array(found), took


def by_ours(oven: Oven, dt_s: float) -> tuple[np.ndarray, float]:
    """The same by advance; what lies between is run apart and not timed."""
    state, found, took = oven.cold(ROOM_C), [], 0.0
    for power in POWERS_W:
        for until in TIMES_S:
            began = time.perf_counter()
            after = advance(oven, state, power, dt_s, steps=round(until / dt_s)).state
            last = time.perf_counter() - began
            found.append(np.concatenate([after.floor_C, after.dome_C]))
        took += last
        state = after
    return np.array(found), took


STEPS_S = [7.5, 3.75, 3.0, 2.0, 1.0, 0.5, 0.25, 0.1]
RTOLS = [3e-4, 1e-4, 5e-5, 2e-5]


def by_halves(oven: Oven, dt_s: float) -> tuple[np.ndarray, float]:
    (whole, first), (half, second) = by_ours(oven, dt_s), by_ours(oven, dt_s / 2)
    return 2 * half - whole, first + second


def loosest(
    solve: Callable[[Oven, float], tuple[np.ndarray, float]],
    oven: Oven,
    settings: list[float],
    exact: np.ndarray,
) -> tuple[float, float, float]:
    """Setting, seconds and error of the first within LIMIT_K, from loose to tight."""
    for setting in settings:
        found, took = solve(oven, setting)
        error = float(np.abs(found - exact).max())
        if error <= LIMIT_K:
            return setting, took, error
    raise AssertionError(f"none of {settings} within {LIMIT_K} K")


def test_the_equations_are_the_same():
    """Exact Jacobian: central differences of the rate. Same solution: ours goes to BDF's as steps shrink."""
    oven = build_oven(DESIGN, QUICK)
    own = held(oven, oven.cold(ROOM_C), POWERS_W[0])
    random = np.random.default_rng(0)
    y = own.y_of(own.start) + random.uniform(0, 200, 9 * own.n + 9 * own.d)
    along = random.normal(size=len(y))
    slope = (own.rate(0, y + 1e-3 * along) - own.rate(0, y - 1e-3 * along)) / 2e-3
    assert np.abs(own.jacobian(True)(0, y) @ along - slope).max() < 1e-6 * np.abs(slope).max()
    assert np.abs(by_halves(oven, 0.5)[0] - by_bdf(oven, TIGHT)[0]).max() < 0.01


@pytest.mark.parametrize(("grid", "name"), [(QUICK, "quick"), (NOMINAL, "nominal")])
def test_whole_oven_against_bdf(capsys: pytest.CaptureFixture[str], grid: Grid, name: str):
    oven = build_oven(DESIGN, grid)
    by_bdf(oven, 1e-1)
    by_ours(oven, 10.0)
    exact, took = by_bdf(oven, TIGHT)
    rtol, bdf_s, bdf_K = loosest(by_bdf, oven, RTOLS, exact)
    found, exact_s = by_bdf(oven, rtol, whole=True)
    dt, own_s, own_K = loosest(by_halves, oven, STEPS_S, exact)
    plain, plain_s, plain_K = loosest(by_ours, oven, STEPS_S, exact)
    own_s = min(own_s, *(by_halves(oven, dt)[1] for _ in range(2)))
    plain_s = min(plain_s, *(by_ours(oven, plain)[1] for _ in range(2)))
    began = time.perf_counter()
    program = tuple((HOLD_S * i, power) for i, power in enumerate(POWERS_W))
    certified(oven, oven.cold(ROOM_C), program, 2 * HOLD_S, dt, 300.0)
    run_s = time.perf_counter() - began
    whole_K = float(np.abs(found - exact).max())
    rows = [
        ("ours, extrapolated", f"{dt:g} and {dt / 2:g} s", own_K, own_s),
        ("ours, as it steps", f"{plain:g} s", plain_K, plain_s),
        ("BDF, Jacobian without sideways", f"rtol {rtol:g}", bdf_K, bdf_s),
        ("BDF, whole Jacobian", f"rtol {rtol:g}", whole_K, exact_s),
    ]
    lines = [
        f"  {what:31s} {how:15s} {error:.3f} K, {took_s:7.3f} s, {took_s / own_s:6.1f} times"
        for what, how, error, took_s in rows
    ]
    head = (
        f"whole oven, {name} grid ({nodes_of(oven)} nodes), half an hour; BDF at rtol {TIGHT:g}: {took:.1f} s"
    )
    tail = f"  certified(), flows and properties anew every 30 s: {run_s:.3f} s"
    say(capsys, "\n".join([head, *lines, tail]))
