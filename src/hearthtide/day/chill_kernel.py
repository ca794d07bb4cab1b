"""The compiled loop of cold rooms with food in them: bodies conduct, a room's air is one lump with its metal.

A step: every body that stands in a room meets the air of the step's beginning and gives off heat; then the
room's balance is solved at the step's end (backward Euler). What a room takes away is at most its power, and
no more than holds its set temperature. Heat that leaves the food as vapour counts like the rest: it is given
back where the vapour condenses, on the unit's coil.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hearthtide.compiled import compiled
from hearthtide.food.chill_grid import (
    BOTTOM_C,
    SURROUNDINGS,
    TABLE_FROM_C,
    TOP_C,
    VAPOUR_PA,
    step,
)
from hearthtide.food.column import Floats

Ints = NDArray[np.int64]
# Columns of a room: what it holds [J/K], what comes in [W/K], outside [°C], set [°C], takes [W], held 0 or 1.
HOLDS, GAINS, OUTSIDE, SET, TAKES, HELD = range(6)


@compiled
def _held_J_m2K(tables: Floats, volume: float, temperature_C: float) -> float:
    """A node's heat capacity at a temperature, as the step takes it."""
    place = temperature_C - TABLE_FROM_C
    whole = min(max(int(place), 0), tables.shape[1] - 2)
    low, high = tables[1, whole], tables[1, whole + 1]
    return float(volume * (low + (place - whole) * (high - low)))


@compiled
def _meet(meets: Floats, around: Floats, air_C: float, humidity: float, vapour: Floats) -> None:
    """What a body meets in a room whose air it follows; `vapour` saturated, at every whole degree."""
    meets[:] = around
    meets[TOP_C], meets[BOTTOM_C] = air_C, air_C
    place = min(max(air_C - TABLE_FROM_C, 0.0), vapour.size - 1.001)
    whole = int(place)
    full_Pa = vapour[whole] + (place - whole) * (vapour[whole + 1] - vapour[whole])
    meets[VAPOUR_PA] = humidity * full_Pa


@compiled
def _given_J_m2(node_C: Floats, before_C: Floats, volumes: Floats, tables: Floats) -> float:
    """Heat that a body gave off in a step, per m2."""
    heat = 0.0
    for i in range(node_C.size):
        heat += _held_J_m2K(tables, volumes[i], before_C[i]) * (before_C[i] - node_C[i])
    return heat


@compiled
def _next_air_C(room: Floats, air_C: float, coming_W: float, dt_s: float) -> float:
    """A room's air at the end of a step, `coming_W` with what would come in at 0 °C inside."""
    holds, gains = room[HOLDS] / dt_s, room[GAINS]
    at_full = (holds * air_C + coming_W - room[TAKES]) / (holds + gains)
    if at_full >= room[SET]:
        return float(at_full)
    return float(min(room[SET], (holds * air_C + coming_W) / (holds + gains)))


@compiled
def run_rooms(
    nodes: Floats,
    shapes: Floats,
    tables: Floats,
    around: Floats,
    rooms_of: Ints,
    offsets: Floats,
    spans: Ints,
    weights: Floats,
    rooms: Floats,
    vapour: Floats,
    humidity: Floats,
    dt_s: float,
    air: Floats,
    taken: Floats,
    cores: Floats,
    lowest: Floats,
    given: Floats,
    stops: Floats,
) -> None:
    """All bodies through all steps.

    `nodes` (b, n) are carried on; `shapes` (b, 2, n), `tables` (b, legs, 2, degrees), `around` (b, legs, 7),
    `rooms_of` and `offsets` (K, on the air) (b, legs); `spans` (b, legs + 1) the steps a leg begins and ends;
    `weights` (b,) m2 that give off heat. `rooms` (r, 6); `vapour` (degrees,) pressure over wet at whole
    degrees, `humidity` (b, legs). Filled: `air` (r, steps + 1), `taken` and `given` (r, steps) [J],
    `cores` (b, steps + 1), `lowest` (b,) of a face. A body is run no further once its core is at `stops`
    (b,).
    """
    count, legs = nodes.shape[0], rooms_of.shape[1]
    work = np.zeros((4, nodes.shape[1]))
    before = np.zeros(nodes.shape[1])
    meets = np.zeros(SURROUNDINGS)
    for k in range(air.shape[1] - 1):
        for b in range(count):
            leg = -1
            for s in range(legs):
                if spans[b, s] <= k < spans[b, s + 1]:
                    leg = s
            cores[b, k + 1] = cores[b, k]
            if leg < 0 or cores[b, k] <= stops[b]:
                continue
            room = rooms_of[b, leg]
            meets[:] = around[b, leg]
            if rooms[room, HELD] == 0.0:
                air_C = air[room, k] + offsets[b, leg]
                _meet(meets, around[b, leg], air_C, humidity[b, leg], vapour)
            before[:] = nodes[b]
            step(nodes[b], shapes[b], tables[b, leg], meets, dt_s, work)
            if weights[b] > 0.0:
                heat = _given_J_m2(nodes[b], before, shapes[b, 0], tables[b, leg])
                given[room, k] += weights[b] * heat
            cores[b, k + 1] = nodes[b].max()
            lowest[b] = min(lowest[b], nodes[b, -1], nodes[b, 0])
        for r in range(rooms.shape[0]):
            if rooms[r, HELD] != 0.0:
                air[r, k + 1], taken[r, k] = air[r, k], given[r, k]
                continue
            coming_W = rooms[r, GAINS] * rooms[r, OUTSIDE] + given[r, k] / dt_s
            then_C = _next_air_C(rooms[r], air[r, k], coming_W, dt_s)
            air[r, k + 1] = then_C
            kept_W = rooms[r, HOLDS] / dt_s * (then_C - air[r, k])
            taken[r, k] = (coming_W - rooms[r, GAINS] * then_C - kept_W) * dt_s
