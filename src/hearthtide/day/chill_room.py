"""Cold units with food in them: what the units' own air does while the food warms it, and the food then."""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.day.chill_kernel import Ints, run_rooms
from hearthtide.day.chill_lots import ColdUnit
from hearthtide.food.chill_grid import NODES, SURROUNDINGS, TABLE_FROM_C, TABLE_TO_C
from hearthtide.food.chill_methods import ChillMethod
from hearthtide.food.chilling import ToChill, air_vapour_Pa, grid_of, surroundings
from hearthtide.food.column import Floats
from hearthtide.food.composition import density_kg_m3
from hearthtide.ranges import require

LEGS = 2  # a lot moves once at most
STEP_S = 60.0  # longest; own choice: within a minute of 5 s to the middle mark
FOLLOWS = 0.5  # of the air's own time a step may take, so that food and air do not swing. Own choice.
# Of a face, for how fast food follows the air: blast air from one side, from memory as in `chill_methods`.
HARDEST_W_M2K = 60.0


@dataclass(frozen=True)
class Leg:
    """A stretch in one room, by its number, chilled by a method; `air_K` is added to the room's air."""

    room: int
    method: ChillMethod
    air_K: float = 0.0


@dataclass(frozen=True)
class Body:
    """What is run: it stands in its legs from `since_s` to each leg's end in `ends_s`.

    `mass_kg` gives off heat; 0: it only meets the air. It is run no further once its core is at `stop_C`.
    """

    what: ToChill
    mass_kg: float
    core_C: float
    since_s: float
    legs: tuple[Leg, ...]
    ends_s: tuple[float, ...]
    stop_C: float = -100.0


@dataclass(frozen=True, eq=False)
class RoomRun:
    """Rooms and bodies over `times_s` (n,): `air_C` (r, n), `core_C` (b, n); of each step what a room took
    away and what food gave off, `taken_J` and `given_J` (r, n - 1); `lowest_C` (b,) of a body's face."""

    times_s: Floats
    air_C: Floats
    core_C: Floats
    taken_J: Floats
    given_J: Floats
    lowest_C: Floats
    step_s: float


def run_units(
    units: Sequence[ColdUnit],
    bodies: Sequence[Body],
    from_s: float,
    until_s: float,
    step_s: float = STEP_S,
    begin_C: Sequence[float] | None = None,
) -> RoomRun:
    """Run units and bodies together; the units begin at their set air, or at `begin_C`.

    A body's core before it is there is its start. `step_s` 1 to 120 s is shortened where the air holds so
    little that it would swing. Raises PhysicalRangeError for such a step, or an end before the beginning.
    """
    require("step_s", step_s, "s", 1.0, 120.0)
    require("until_s", until_s, "s", from_s + step_s, from_s + 3 * 86400.0)
    dt_s = min(step_s, _steady_s(units, bodies))
    steps, count = math.ceil((until_s - from_s) / dt_s), len(bodies)
    nodes = np.zeros((count, NODES)) + np.array([[body.core_C] for body in bodies]).reshape(count, 1)
    rooms = np.array([[u.holds_J_K, u.gain_W_K, u.room_C, u.air_C, u.takes_W, float(u.held)] for u in units])
    air = np.zeros((len(units), steps + 1))
    air[:, 0] = [unit.air_C for unit in units] if begin_C is None else begin_C
    taken, given = np.zeros((len(units), steps)), np.zeros((len(units), steps))
    cores, lowest = np.zeros((count, steps + 1)), nodes[:, 0].copy()
    cores[:, 0] = lowest
    laid = _laid_out(bodies, from_s, dt_s, steps)
    stops = np.array([body.stop_C for body in bodies])
    run_rooms(nodes, *laid[:-1], rooms, _vapour_Pa(), laid[-1], dt_s, air, taken, cores, lowest, given, stops)
    times_s: Floats = from_s + dt_s * np.arange(steps + 1, dtype=float)
    return RoomRun(times_s, air, cores, taken, given, lowest, dt_s)


def _laid_out(
    bodies: Sequence[Body], from_s: float, dt_s: float, steps: int
) -> tuple[Floats, Floats, Floats, Ints, Floats, Ints, Floats, Floats]:
    """Shapes, tables, around, rooms, offsets, spans, weights and humidity as the loop wants them."""
    count = len(bodies)
    shapes, weights = np.zeros((count, 2, NODES)), np.zeros(count)
    tables = np.zeros((count, LEGS, 2, TABLE_TO_C - TABLE_FROM_C + 1))
    around, rooms_of = np.zeros((count, LEGS, SURROUNDINGS)), np.zeros((count, LEGS), dtype=np.int64)
    offsets, humidity = np.zeros((count, LEGS)), np.zeros((count, LEGS))
    spans = np.full((count, LEGS + 1), steps + 1, dtype=np.int64)
    for b, body in enumerate(bodies):
        spans[b, 0] = _at(body.since_s, from_s, dt_s)
        for s, leg in enumerate(body.legs):
            meets = _met(body.what, leg.method)
            shapes[b], tables[b, s], around[b, s] = meets.shape, meets.tables, meets.around
            rooms_of[b, s], offsets[b, s] = leg.room, leg.air_K
            humidity[b, s] = leg.method.humidity
            spans[b, s + 1 :] = _at(body.ends_s[s], from_s, dt_s)
        weights[b] = body.mass_kg / _met(body.what, body.legs[0].method).kg_m2
    return shapes, tables, around, rooms_of, offsets, spans, weights, humidity


@dataclass(frozen=True, eq=False)
class _Met:
    """A body in a method as the loop wants it; `kg_m2` of footprint, or of a curved body's face."""

    shape: Floats
    tables: Floats
    around: Floats
    kg_m2: float


@functools.lru_cache(maxsize=4096)
def _met(what: ToChill, method: ChillMethod) -> _Met:
    grid, stuff = grid_of(what, method), what.stuff
    density = density_kg_m3(stuff.composition, 20.0, stuff.porosity)
    around = surroundings(what, method, grid.curved)
    return _Met(grid.shape, grid.tables, around, density * float(grid.shape[0].sum()))


def face_m2(what: ToChill, method: ChillMethod, mass_kg: float) -> float:
    """Footprint of a slab or a pan's contents, outer face of a curved body, of so many kilograms."""
    return mass_kg / _met(what, method).kg_m2


def _at(clock_s: float, from_s: float, dt_s: float) -> int:
    """The step that begins nearest that time."""
    return max(0, round((clock_s - from_s) / dt_s))


def _steady_s(units: Sequence[ColdUnit], bodies: Sequence[Body]) -> float:
    """The longest step in which no room's air is pulled past the food that stands in it, all at once."""
    follows_W_K = [0.0] * len(units)
    for body in bodies:
        if body.mass_kg > 0:
            area_m2 = face_m2(body.what, body.legs[0].method, body.mass_kg)
            for room in {leg.room for leg in body.legs}:
                follows_W_K[room] += area_m2 * HARDEST_W_M2K
    held = [unit.holds_J_K / k for unit, k in zip(units, follows_W_K, strict=True) if k and not unit.held]
    return max(1.0, FOLLOWS * min(held, default=math.inf))


@functools.cache
def _vapour_Pa() -> Floats:
    """Pressure of saturated vapour at every whole degree of the tables."""
    return np.array([air_vapour_Pa(float(t), 1.0) for t in range(TABLE_FROM_C, TABLE_TO_C + 1)])
