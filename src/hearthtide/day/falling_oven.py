"""What the oven model says of a night: the fall without readings, a propped door, a fire lit again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from hearthtide.day.falling_things import Fall, Place
from hearthtide.heat.wood import Split
from hearthtide.oven.answers import Course, course
from hearthtide.oven.feeding import fed_program
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.program import Program
from hearthtide.oven.readings import measured_state, settled_state, spread
from hearthtide.ranges import Array, require

EVERY_S = 300.0
AJAR_GAP = 0.25  # share of the mouth that a propped door leaves free; own choice
PROPPED_H = 8.0  # over which a propped door is held against a shut one; own choice
BURN_S = 2400.0  # from lighting a few kg to coals out: the time constant of embers (heat.wood.EMBER_S)
LAY_S, STICK_KG = 120.0, 1.0  # sticks laid one after another; own choice
SOAKED = 1.0  # hours after the flame the stone is hot through, see measured_state


@dataclass(frozen=True, eq=False)
class Relit:
    """A fire lit at a stone of `from_C`: the working stone at `times_s` after lighting; cleared after
    `burn_s`, the door on from then. `kWh` is what it burnt.
    """

    from_C: float
    burn_s: float
    kg: float
    kWh: float
    times_s: Array
    stone_C: Array


def model_falls(
    oven: Oven,
    aim_C: float,
    out_s: float,
    door_on_s: float | None,
    until_s: float,
    room_C: float,
    on_progress: Callable[[float], None] | None = None,
) -> dict[Place, Fall]:
    """Stone and dome after three hours settled at `aim_C`: no fire from `out_s`, door on from `door_on_s`.

    The bounds are as far as the model's own priors go: films and the door's gap, not what the walls are made
    of. Raises PhysicalRangeError for values out of range, or a door that is not there.
    """
    hot = settled_state(oven, aim_C, ambient_C=room_C, on_progress=on_progress)

    def run(one: Oven) -> tuple[Array, Array]:
        return _fallen(one, hot, out_s, door_on_s, until_s)

    times_s, values_C = run(oven)
    low_C, high_C = spread(oven, lambda one: run(one)[1], burning=False)
    return {
        "stone": Fall(times_s, values_C[0], low_C[0], high_C[0], "the oven model", until_s),
        "dome": Fall(times_s, values_C[1], low_C[1], high_C[1], "the oven model", until_s),
    }


def _fallen(
    oven: Oven, hot: OvenState, out_s: float, door_on_s: float | None, until_s: float
) -> tuple[Array, Array]:
    """Clock times (n,), stone and dome (2, n); open up to the door, shut after it."""
    shut_from_s = until_s if door_on_s is None else door_on_s
    parts: list[tuple[float, Course]] = []
    state = hot
    if shut_from_s > out_s + 1:
        parts.append((out_s, course(oven, state, 0.0, shut_from_s - out_s, EVERY_S)))
        state = parts[-1][1].state
    if until_s > shut_from_s + 1:
        parts.append((shut_from_s, course(oven, state, 0.0, until_s - shut_from_s, EVERY_S, shut=True)))
    times = np.concatenate([begin + run.times_s for begin, run in parts])
    kept = np.concatenate([[True], np.diff(times) > 0])
    stone = np.concatenate([run.stone_C for _, run in parts])
    dome = np.concatenate([run.dome_C for _, run in parts])
    return times[kept], np.stack([stone[kept], dome[kept]])


def propped_share_h(oven: Oven, stone_C: float, room_C: float, gap: float = AJAR_GAP) -> float:
    """How much more of the excess is lost per hour with the door propped than shut, from `stone_C` on.

    The mean over eight hours from a stone, soaked through, that was read at `stone_C` (room + 1 K to 700 °C);
    `gap` is the share of the mouth left free, above the shut door's to 1. Raises PhysicalRangeError.
    """
    require("gap", gap, "-", np.nextafter(oven.design.mouth.gap, 1.0), 1.0)
    state = measured_state(oven, stone_C, room_C, SOAKED)
    left = []
    for one in (oven, _with_gap(oven, gap)):
        run = course(one, state, 0.0, 3600 * PROPPED_H, EVERY_S, shut=True)
        left.append(float(run.stone_C[-1]) - room_C)
    return float(np.log(left[0] / left[1])) / PROPPED_H


def _with_gap(oven: Oven, gap: float) -> Oven:
    design = replace(oven.design, mouth=replace(oven.design.mouth, gap=gap))
    return replace(oven, design=design, sheet=replace(oven.sheet, design=design), _burning={})


def relit_wood(oven: Oven, stone_C: float, room_C: float, kg: float, after_s: float, shut: bool) -> Relit:
    """`kg` of wood (0.1 to 20) laid stick by stick on a stone read at `stone_C`, burnt for 40 min, its coals
    out, then `after_s` more, the door on if `shut`. Raises PhysicalRangeError for values out of range.
    """
    require("kg", kg, "kg", 0.1, 20.0)
    count = int(np.ceil(kg / STICK_KG - 1e-9))
    sticks = tuple(Split(i * LAY_S, kg / count) for i in range(count))
    program = fed_program(sticks, oven.design.moisture, 0.0, BURN_S)
    return _relit(oven, stone_C, room_C, program, BURN_S, kg, after_s, shut)


def relit_gas(oven: Oven, stone_C: float, room_C: float, burn_s: float, after_s: float, shut: bool) -> Relit:
    """The same with the top gas flame for `burn_s` (60 s to 4 h), then the gas shut."""
    require("burn_s", burn_s, "s", 60.0, 14_400.0)
    program: Program = ((0.0, oven.design.levels[-1].power_W), (burn_s, 0.0))
    return _relit(oven, stone_C, room_C, program, burn_s, 0.0, after_s, shut)


def _relit(
    oven: Oven,
    stone_C: float,
    room_C: float,
    program: Program,
    burn_s: float,
    kg: float,
    after_s: float,
    shut: bool,
) -> Relit:
    state = measured_state(oven, stone_C, room_C, SOAKED)
    lit = course(oven, state, program, burn_s, EVERY_S)
    done = course(oven, lit.state, 0.0, after_s, EVERY_S, shut=shut)
    # The state's surface need not be the reading to the degree: what the fire adds is added to the reading.
    shift_C = stone_C - float(lit.stone_C[0])
    times_s = np.concatenate([lit.times_s, burn_s + done.times_s[1:]])
    values_C = np.concatenate([lit.stone_C, done.stone_C[1:]]) + shift_C
    return Relit(stone_C, burn_s, kg, lit.ledger.fuel_J / 3.6e6, times_s, values_C)
