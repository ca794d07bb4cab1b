"""A fire set to a programme, food that comes and goes, a door put on: heat-up, service, falling heat."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.ranges import Array, require
from hearthtide.oven.advance import advance
from hearthtide.oven.flame import Fire
from hearthtide.oven.footprint import Shape, cover_fractions, side_by_side
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.zones import working_zone

Program = tuple[tuple[float, Fire | float], ...]
"""Pairs (start_s, fire or its power in W) in rising order; each holds until the next."""

# Air flows and the walls' properties are worked out anew at least this often (own choice; halving it
# moves the stone by less than 0.1 K over a heat-up).
REFRESH_S = 30.0


@dataclass(frozen=True)
class Placed:
    """Food on the stone from one time to another, as a sink of heat: see `Load`."""

    shape: Shape
    from_s: float
    until_s: float
    conductance_W_m2K: float
    base_C: float
    top_C: float


@dataclass(frozen=True, eq=False)
class Trace:
    """What a run went through at each recorded time (t,): mean stone, mean stone of the working zone, mean
    dome, gas over the stone, and the power from then on; the ledger and the state at the end.
    """

    times_s: Array
    floor_mean_C: Array
    zone_C: Array
    dome_C: Array
    gas_C: Array
    power_W: Array
    ledger: Ledger
    state: OvenState


def fire_at(program: Program, time_s: float) -> Fire | float:
    """Fire in force from `time_s` on. Raises PhysicalRangeError before the programme starts."""
    held = [fire for start, fire in program if start <= time_s]
    if not held:
        raise PhysicalRangeError(f"time {time_s:g} s lies before the programme's start")
    return held[-1]


def power_at_W(program: Program, time_s: float) -> float:
    """Power in force from `time_s` on, W. Raises PhysicalRangeError before the programme starts."""
    fire = fire_at(program, time_s)
    return fire.power_W if isinstance(fire, Fire) else fire


def run_program(
    oven: Oven,
    state: OvenState,
    program: Program,
    until_s: float,
    dt_s: float,
    record_every_s: float,
    on_progress: Callable[[float], None] | None = None,
    *,
    placed: tuple[Placed, ...] = (),
    shut_from_s: float = float("inf"),
) -> Trace:
    """Run from the programme's first start to `until_s` in steps of at most `dt_s`.

    Steps end exactly on changes of fire, food and door and on recorded times. From `shut_from_s` the door is
    on. `on_progress` is called with the share done, 0..1, at each recorded time.
    Raises PhysicalRangeError for an unordered programme, an empty span or food that overlaps.
    """
    require("dt_s", dt_s, "s", 1e-3, 3600.0)
    require("record_every_s", record_every_s, "s", dt_s, 86400.0)
    starts = [start for start, _ in program]
    if not starts or any(b <= a for a, b in pairwise(starts)):
        raise PhysicalRangeError("programme: expected one or more (start_s, power_W) with rising starts")
    require("until_s", until_s, "s", starts[0] + 1e-3, starts[0] + 30 * 86400.0)
    zone, course = working_zone(oven), _Course(oven, program, placed, shut_from_s, dt_s)
    times = _record_times(starts[0], until_s, record_every_s)
    rows = [_row(oven, state, zone, power_at_W(program, times[0]))]
    ledger = Ledger()
    for begin, end in pairwise(times):
        state, ledger = course.run(state, begin, end, ledger)
        rows.append(_row(oven, state, zone, power_at_W(program, end)))
        if on_progress is not None:
            on_progress((end - times[0]) / (times[-1] - times[0]))
    floor, working, dome, gas, power = np.array(rows).T
    return Trace(np.array(times), floor, working, dome, gas, power, ledger, state)


def certified(
    oven: Oven, state: OvenState, program: Program, until_s: float, dt_s: float, record_every_s: float
) -> tuple[Trace, Trace]:
    """The same run of second order in time, and its own estimate of the error, K, as a trace.

    Twice the run in half steps less the run in whole ones (Richardson); the estimate is how far the half
    steps lie from it. Costs three times a run. The returned state is that of the half steps.
    """
    whole = run_program(oven, state, program, until_s, dt_s, record_every_s)
    half = run_program(oven, state, program, until_s, dt_s / 2, record_every_s)
    names = ("floor_mean_C", "zone_C", "dome_C", "gas_C")
    apart = {name: getattr(half, name) - getattr(whole, name) for name in names}
    best = replace(half, **{name: getattr(half, name) + apart[name] for name in names})
    return best, replace(half, **{name: abs(value) for name, value in apart.items()})


class _Course:
    """One programme on one oven, with the loads it has made ready."""

    def __init__(
        self, oven: Oven, program: Program, placed: tuple[Placed, ...], shut_from_s: float, dt_s: float
    ) -> None:
        self.oven, self.program, self.placed = oven, program, placed
        self.shut_from_s, self.dt_s = shut_from_s, dt_s
        self.covers = cover_fractions(oven, [p.shape for p in placed], alone=True) if placed else None
        changes = {start for start, _ in program} | {shut_from_s}
        self.changes = sorted(changes | {t for p in placed for t in (p.from_s, p.until_s)})

    def run(self, state: OvenState, begin_s: float, end_s: float, ledger: Ledger) -> tuple[OvenState, Ledger]:
        """From one time to another; flows are looked at more closely right after a change."""
        inner = [t for t in self.changes if begin_s < t < end_s]
        for low, high in zip([begin_s, *inner], [*inner, end_s], strict=True):
            fire, load, shut = fire_at(self.program, low), self._load(low), low >= self.shut_from_s
            steps = int(np.ceil((high - low) / self.dt_s - 1e-9))
            dt = (high - low) / steps
            done, together = 0, 1 if low in self.changes else max(1, int(REFRESH_S / dt))
            while done < steps:
                count = min(together, steps - done)
                step = advance(self.oven, state, fire, dt, load, shut=shut, steps=count)
                state, ledger = step.state, ledger + step.ledger
                done, together = done + count, min(2 * together, max(1, int(REFRESH_S / dt)))
        return state, ledger

    def _load(self, time_s: float) -> Load:
        on = [i for i, p in enumerate(self.placed) if p.from_s <= time_s < p.until_s]
        if not on or self.covers is None:
            return NO_LOAD
        food = [self.placed[i] for i in on]
        return Load(
            side_by_side(self.covers[on]),
            np.array([p.conductance_W_m2K for p in food]),
            np.array([p.base_C for p in food]),
            np.array([p.top_C for p in food]),
        )


def _record_times(begin_s: float, until_s: float, every_s: float) -> list[float]:
    count = int(np.ceil((until_s - begin_s) / every_s - 1e-9))
    return [begin_s + i * every_s for i in range(count)] + [until_s]


def _row(oven: Oven, state: OvenState, zone: NDArray[np.bool_], power_W: float) -> tuple[float, ...]:
    floor = state.floor_C
    working = float(floor[zone].mean()) if zone.any() else float("nan")
    return float(floor.mean()), working, oven.dome_mean_C(state), state.gas_C, power_W
