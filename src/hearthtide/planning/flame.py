"""Which flame to hold when: a look ahead on the quick oven, every ten minutes, from lighting to last pull."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.house.models import DishFile, House, NightFile
from hearthtide.oven.advance import advance
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.load import Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.zones import working_zone
from hearthtide.planning.build import outline_of

Floats = NDArray[np.float64]

DECIDE_S = 600
LOOK_AHEAD_S = 1200  # stone answers a flame with a lag of 5 to 10 minutes; twice that is looked ahead
STEP_S = 20.0
# A change must make the stone better by this much (mean square, K²): a cook does not fiddle for less.
CHANGE_COST_K2 = 9.0
# What lies on the stone draws heat as if it were this warm underneath, through this conductance
# (a wet base is held near boiling; 125 W/m²K as in the food model).
BASE_C, CONDUCTANCE_W_m2K = 98.0, 125.0


@dataclass(frozen=True)
class Held:
    """The flame held from `start_s`."""

    start_s: int
    level: FlameLevel


@dataclass(frozen=True)
class FlamePlan:
    """The flames of a night, the stone they are expected to give, and when it is first ready."""

    held: tuple[Held, ...]
    ready_s: int | None
    times_s: tuple[float, ...]
    zone_C: tuple[float, ...]

    @property
    def program(self) -> tuple[tuple[float, float], ...]:
        return tuple((float(h.start_s), h.level.power_W) for h in self.held)

    def power_W(self, time_s: float) -> float:
        return [h.level.power_W for h in self.held if h.start_s <= time_s][-1]


def govern(
    oven: Oven,
    house: House,
    night: NightFile,
    until_s: int,
    bias_C: float = 0.0,
    on_progress: Callable[[float], None] = lambda _: None,
) -> FlamePlan:
    """Choose the flame that keeps the working stone nearest the middle of the house's band.

    At each decision every flame of the house is tried for twenty minutes on `oven` (use the quick grid)
    with the load the tickets will bring. `bias_C` is what the nominal oven was found warmer than this one.
    """
    band = house.oven.floor_band
    aim = (band.low + band.high) / 2 - bias_C
    zone = working_zone(oven)
    levels = oven.design.levels
    state, start = oven.cold(night.ambient), round(night.lit)
    held: list[Held] = []
    times, temps = [], []
    ready: int | None = None
    for now in range(start, until_s, DECIDE_S):
        on_progress((now - start) / (until_s - start))
        current = held[-1].level if held else None
        costs = [_look(oven, house, night, state, now, level, zone, aim) for level in levels]
        scored = [
            cost + (0.0 if level is current else CHANGE_COST_K2)
            for cost, level in zip(costs, levels, strict=True)
        ]
        level = levels[int(np.argmin(scored))]
        if level is not current:
            held.append(Held(now, level))
        state = _run(oven, house, night, state, now, DECIDE_S, level)[-1]
        mean = float(state.floor_C[zone].mean())
        times.append(float(now + DECIDE_S))
        temps.append(mean + bias_C)
        if ready is None and mean >= band.low - bias_C:
            ready = now + DECIDE_S
    return FlamePlan(tuple(held), ready, tuple(times), tuple(temps))


def _look(
    oven: Oven,
    house: House,
    night: NightFile,
    state: OvenState,
    now_s: int,
    level: FlameLevel,
    zone: NDArray[np.bool_],
    aim_C: float,
) -> float:
    """Mean square distance from the aim over the second half of the look-ahead, K²."""
    states = _run(oven, house, night, state, now_s, LOOK_AHEAD_S, level)
    late = states[len(states) // 2 :]
    return float(np.mean([(float(s.floor_C[zone].mean()) - aim_C) ** 2 for s in late]))


def _run(
    oven: Oven,
    house: House,
    night: NightFile,
    state: OvenState,
    now_s: int,
    span_s: int,
    level: FlameLevel,
) -> list[OvenState]:
    states = []
    for step in range(round(span_s / STEP_S)):
        load = expected_load(oven, house, night, now_s + step * STEP_S)
        state = advance(oven, state, level.power_W, STEP_S, load).state
        states.append(state)
    return states


def expected_load(oven: Oven, house: House, night: NightFile, time_s: float) -> Load:
    """One thin item over the whole working stone that draws what the tickets' dishes will draw then."""
    zone = working_zone(oven)
    area = 0.0
    for ticket in night.tickets:
        for key in ticket.dishes:
            dish = house.dishes[key]
            leave = ticket.wanted - house.file.plating - dish.rest
            if leave - _stone_s(dish) <= time_s < leave:
                area += _area_m2(dish)
    share = min(0.7, area / max(1e-9, float(zone.sum()) * oven.cell_area_m2))
    cover: Floats = share * zone.astype(np.float64)[None, :]
    hundred = np.array([BASE_C])
    return Load(cover, np.array([CONDUCTANCE_W_m2K]), hundred, hundred)


def _stone_s(dish: DishFile) -> float:
    """How long a dish lies on the stone, roughly: the house's minutes, or five where it states none."""
    return sum(stage.minutes or 300.0 / len(dish.stages) for stage in dish.stages)


def _area_m2(dish: DishFile) -> float:
    outline = outline_of(dish.vessel)
    return math.pi * outline.radius_m**2 if outline.is_disc else outline.width_m * outline.depth_m
