"""Which flame to hold when: a look ahead on the quick oven, every ten minutes, from lighting to last pull."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.house.oven_file import FloorBandFile
from hearthtide.oven.advance import advance
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.zones import working_zone
from hearthtide.planning.draw import Draw

Floats = NDArray[np.float64]

DECIDE_S = 600  # a cook looks to the flame about this often (common practice, no source)
LOOK_AHEAD_S = 1200  # stone answers a flame with a lag of 5 to 10 minutes; twice that is looked ahead
STEP_S = 30  # of the quick oven; its own error at 30 s is about 1 K
MOVES_ON_S = 240  # food moves on to other stone after about this long (a pizza's stay and a pause)
# A change must bring the stone nearer by this much (mean square, K²): a cook does not fiddle for less
# than 6 °C. Own choice.
CHANGE_COST_K2 = 36.0


@dataclass(frozen=True)
class Held:
    """The flame held from `start_s`."""

    start_s: int
    level: FlameLevel


@dataclass(frozen=True)
class FlamePlan:
    """The flames of a night, and when its working stone is first inside the band (None: never)."""

    held: tuple[Held, ...]
    ready_s: int | None

    def power_W(self, time_s: float) -> float:
        """The flame in force; the first before lighting."""
        return self.held[max(0, bisect_right([h.start_s for h in self.held], time_s) - 1)].level.power_W

    def mean_W(self, from_s: int, until_s: int) -> float:
        """Mean power over a stretch, looked at every minute."""
        powers = [self.power_W(t) for t in range(from_s, until_s, 60)]
        return sum(powers) / len(powers)


class QuickNight:
    """The quick oven under a night's draw, for asking what a flame would do."""

    def __init__(self, oven: Oven, draw: Draw) -> None:
        self.oven, self.draw = oven, draw
        self.zone = working_zone(oven)
        self._spread = _spread_out(oven, self.zone)
        self.pattern_C: Floats = np.zeros(len(oven.cells_m))
        self._loads: dict[int, Load] = {}
        self._nearest: NDArray[np.intp] | None = None

    def load(self, time_s: int) -> Load:
        """All food as one item: over the very cells a run has told, else over so much working stone.

        Then the cells lie spread over it, and others take their turn every few minutes, as spots do.
        """
        at = time_s // STEP_S
        if at not in self._loads:
            self._loads[at] = self._load(float(time_s))
        return self._loads[at]

    def _load(self, time_s: float) -> Load:
        now = self.draw.at(time_s)
        if now.covered_m2 <= 0:
            return NO_LOAD
        facts = (np.array([now.conductance_W_m2K]), np.array([now.base_C]), np.array([now.top_C]))
        if now.cover is not None:
            return Load(self._on_own_cells(now.cover)[None, :], *facts)
        cover = np.zeros((1, len(self.oven.cells_m)))
        cells = min(now.covered_m2 / self.oven.cell_area_m2, 0.8 * len(self._spread))
        whole = int(cells)
        order = np.roll(self._spread, -whole * int(time_s // MOVES_ON_S))
        cover[0, order[:whole]] = 1.0
        cover[0, order[whole]] = cells - whole
        return Load(cover, *facts)

    def _on_own_cells(self, cover: Floats) -> Floats:
        """Shares of another oven's equal cells put onto this one's, each into the nearest."""
        own, theirs = self.oven.cells_m, self.draw.cells_m
        if theirs is None or len(theirs) == len(own):
            return cover
        if self._nearest is None:
            away = np.linalg.norm(theirs[:, None, :] - own[None, :, :], axis=2)
            self._nearest = away.argmin(1)
        summed = np.bincount(self._nearest, weights=cover, minlength=len(own))
        return np.asarray(summed / np.bincount(self._nearest, minlength=len(own)).clip(1))

    def free_C(self, state: OvenState, time_s: int) -> float:
        """Median of the working stone that nothing lies on: stone just left cold does not hide the rest."""
        load = self.load(time_s)
        return free_stone_C(state.floor_C - self.pattern_C, self.zone, load)

    def run(
        self, state: OvenState, from_s: int, span_s: int, level: FlameLevel, loaded: bool = True
    ) -> tuple[OvenState, list[float]]:
        """The oven after the span, and its free stone after each step; with no food on it unless `loaded`."""
        free = []
        for at in range(from_s, from_s + span_s, STEP_S):
            load = self.load(at) if loaded else NO_LOAD
            state = advance(self.oven, state, level.power_W, float(STEP_S), load).state
            free.append(self.free_C(state, at))
        return state, free


def free_stone_C(anomaly_C: Floats, zone: NDArray[np.bool_], load: Load) -> float:
    """Median of the working stone that nothing lies on.

    `anomaly_C` (n,) is each cell less its own standing before service (hotter by the flame): so the
    figure neither jumps with which places are free nor hides a floor running away behind stone that a
    dish has just left cold.
    """
    free = zone & (load.covered < 0.5) if load.items else zone
    return float(np.median(anomaly_C[free]))


def pattern_C(floor_C: Floats, zone: NDArray[np.bool_]) -> Floats:
    """How each cell stands to the median of the working stone."""
    return np.asarray(floor_C - np.median(floor_C[zone]))


def _spread_out(oven: Oven, zone: NDArray[np.bool_]) -> NDArray[np.intp]:
    """The zone's cells in an order that spreads any first few evenly (golden-section steps)."""
    cells = np.flatnonzero(zone)
    return cells[np.argsort((np.arange(len(cells)) * 0.6180339887498949) % 1.0, kind="stable")]


def govern(
    night: QuickNight,
    band: FloorBandFile,
    ambient_C: float,
    lit_s: int,
    until_s: int,
    on_progress: Callable[[float], None] = lambda _: None,
    before: tuple[tuple[int, float], ...] = (),
) -> FlamePlan:
    """Choose the flame that keeps the free working stone nearest the middle of the house's band.

    At each decision the flame in force and its neighbours, up and down, are tried for twenty minutes with
    the draw to come. `before` holds other aims, each (until_s, aim_C), sooner ones first: the band's own is
    the aim after them.
    """
    levels = night.oven.design.levels
    state = night.oven.cold(ambient_C)
    first_load_s = min(night.draw.first_s, float(until_s))
    held: list[Held] = []
    ready: int | None = None
    for now in range(lit_s, until_s, DECIDE_S):
        on_progress((now - lit_s) / (until_s - lit_s))
        current = held[-1].level if held else None
        tried = levels if current is None else _beside(levels, current)
        costs, then = [], []
        for level in tried:
            decided, soon = night.run(state, now, DECIDE_S, level)
            _, later = night.run(decided, now + DECIDE_S, LOOK_AHEAD_S - DECIDE_S, level)
            free = np.array([*soon, *later])
            aims = [_aim_C(band, before, now + STEP_S * i) for i in range(len(free))]
            off_C = (free - np.array(aims))[len(free) // 3 :]
            costs.append(float((off_C**2).mean()) + CHANGE_COST_K2 * (level is not current))
            then.append(decided)
        best = int(np.argmin(costs))
        level, state = tried[best], then[best]
        if level is not current:
            held.append(Held(now, level))
        if now + DECIDE_S < first_load_s:
            night.pattern_C = pattern_C(state.floor_C, night.zone)
        if ready is None and night.free_C(state, now + DECIDE_S) >= band.low:
            ready = now + DECIDE_S
    return FlamePlan(tuple(held), ready)


def _aim_C(band: FloorBandFile, before: tuple[tuple[int, float], ...], time_s: int) -> float:
    return next((aim_C for until_s, aim_C in before if time_s < until_s), (band.low + band.high) / 2)


def _beside(levels: tuple[FlameLevel, ...], current: FlameLevel) -> tuple[FlameLevel, ...]:
    here = levels.index(current)
    return levels[max(0, here - 1) : here + 2]


def states_at(
    night: QuickNight, ambient_C: float, lit_s: int, flame: FlamePlan, at_s: tuple[int, ...]
) -> tuple[OvenState, ...]:
    """The oven at rising times under the flame plan and the draw."""
    state, now = night.oven.cold(ambient_C), lit_s
    states = []
    for until in at_s:
        while now < until:
            dt = min(STEP_S, until - now)
            state = advance(night.oven, state, flame.power_W(now), float(dt), night.load(now)).state
            now += dt
        states.append(state)
    return tuple(states)
