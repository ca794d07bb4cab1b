"""A flame set to a programme: heat-up, service, falling heat."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.ranges import Array, require
from hearthtide.oven.advance import advance
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.zones import working_zone

Program = tuple[tuple[float, float], ...]
"""Pairs (start_s, power_W) in rising order; each holds until the next."""


@dataclass(frozen=True, eq=False)
class Trace:
    """What a run went through at each recorded time (t,): mean stone, mean stone of the working zone, mean
    dome, gas, and the flame from then on; the ledger and the state at the end.
    """

    times_s: Array
    floor_mean_C: Array
    zone_C: Array
    dome_C: Array
    gas_C: Array
    power_W: Array
    ledger: Ledger
    state: OvenState


def power_at_W(program: Program, time_s: float) -> float:
    """Flame in force from `time_s` on. Raises PhysicalRangeError before the programme starts."""
    held = [power for start, power in program if start <= time_s]
    if not held:
        raise PhysicalRangeError(f"time {time_s:g} s lies before the programme's start")
    return held[-1]


def run_program(
    oven: Oven,
    state: OvenState,
    program: Program,
    until_s: float,
    dt_s: float,
    record_every_s: float,
    on_progress: Callable[[float], None] | None = None,
) -> Trace:
    """Run from the programme's first start to `until_s` in steps of at most `dt_s`.

    Steps end exactly on flame changes and on recorded times. `on_progress` is called with the share done,
    0..1, at each recorded time. Raises PhysicalRangeError for an unordered programme or an empty span.
    """
    require("dt_s", dt_s, "s", 1e-3, 3600.0)
    require("record_every_s", record_every_s, "s", dt_s, 86400.0)
    starts = [start for start, _ in program]
    if not starts or any(b <= a for a, b in pairwise(starts)):
        raise PhysicalRangeError("programme: expected one or more (start_s, power_W) with rising starts")
    require("until_s", until_s, "s", starts[0] + 1e-3, starts[0] + 30 * 86400.0)
    zone = working_zone(oven)
    times = _record_times(starts[0], until_s, record_every_s)
    rows = [_row(oven, state, zone, power_at_W(program, times[0]))]
    ledger = Ledger()
    for begin, end in pairwise(times):
        state, ledger = _run_span(oven, state, program, (begin, end), dt_s, ledger)
        rows.append(_row(oven, state, zone, power_at_W(program, end)))
        if on_progress is not None:
            on_progress((end - times[0]) / (times[-1] - times[0]))
    floor, working, dome, gas, power = np.array(rows).T
    return Trace(np.array(times), floor, working, dome, gas, power, ledger, state)


def _record_times(begin_s: float, until_s: float, every_s: float) -> list[float]:
    count = int(np.ceil((until_s - begin_s) / every_s - 1e-9))
    return [begin_s + i * every_s for i in range(count)] + [until_s]


def _run_span(
    oven: Oven, state: OvenState, program: Program, span_s: tuple[float, float], dt_s: float, ledger: Ledger
) -> tuple[OvenState, Ledger]:
    begin, end = span_s
    changes = [start for start, _ in program if begin < start < end]
    for low, high in zip([begin, *changes], [*changes, end], strict=True):
        steps = int(np.ceil((high - low) / dt_s - 1e-9))
        for _ in range(steps):
            step = advance(oven, state, power_at_W(program, low), (high - low) / steps)
            state, ledger = step.state, ledger + step.ledger
    return state, ledger


def _row(oven: Oven, state: OvenState, zone: NDArray[np.bool_], power_W: float) -> tuple[float, ...]:
    floor = state.floor_C
    working = float(floor[zone].mean()) if zone.any() else float("nan")
    return float(floor.mean()), working, oven.dome_mean_C(state), state.gas_C, power_W
