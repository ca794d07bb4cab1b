"""A fire set to a programme, food that comes and goes, a door put on: heat-up, service, falling heat."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.oven.advance import advance
from hearthtide.oven.flame import Fire
from hearthtide.oven.footprint import Shape, cover_fractions, side_by_side
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.zones import working_zone
from hearthtide.ranges import Array, require

Program = tuple[tuple[float, Fire | float], ...]
"""Pairs (start_s, fire or its power in W) in rising order; each holds until the next."""

# Steps taken with one look at the air flows and the walls' properties. After each such stretch the next
# step is twice the last if stone and roof (rms) moved by less than CALM_K_s times the first step in each,
# half of it if either moved by more than twice that; it stays between the first step and GROWN of them. All
# own choice: what it costs in accuracy is in docs/validation.md.
STRETCH, CALM_K_s, GROWN = 4, 0.3, 4.0


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


def rest_of(program: Program, from_s: float) -> Program:
    """What is left of a programme from a time on. Raises PhysicalRangeError before it starts."""
    return ((from_s, fire_at(program, from_s)), *(pair for pair in program if pair[0] > from_s))


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
    grown: float = GROWN,
) -> Trace:
    """Run from the programme's first start to `until_s`, in steps of `dt_s` after every change.

    Steps grow while nothing moves fast, to `grown` times that (1: they do not), and end exactly on changes of
    fire, food and door and on recorded times; take 1 s with food on the stone, 2 s to heat up. From
    `shut_from_s` the door is on. `on_progress` is called with the share done, 0..1, at each recorded time.
    Raises PhysicalRangeError for an unordered programme, an empty span or food that overlaps.
    """
    require("dt_s", dt_s, "s", 1e-3, 3600.0)
    require("record_every_s", record_every_s, "s", dt_s, 86400.0)
    require("grown", grown, "", 1.0, 100.0)
    starts = [start for start, _ in program]
    if not starts or any(b <= a for a, b in pairwise(starts)):
        raise PhysicalRangeError("programme: expected one or more (start_s, power_W) with rising starts")
    require("until_s", until_s, "s", starts[0] + 1e-3, starts[0] + 30 * 86400.0)
    zone, course = working_zone(oven), _Course(oven, program, placed, shut_from_s, dt_s, grown)
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
    steps lie from it. Steps are even, for only then does the error halve with them. Costs three such runs.
    The returned state is that of the half steps.
    """
    whole = run_program(oven, state, program, until_s, dt_s, record_every_s, grown=1.0)
    half = run_program(oven, state, program, until_s, dt_s / 2, record_every_s, grown=1.0)
    names = ("floor_mean_C", "zone_C", "dome_C", "gas_C")
    apart = {name: getattr(half, name) - getattr(whole, name) for name in names}
    best = replace(half, **{name: getattr(half, name) + apart[name] for name in names})
    return best, replace(half, **{name: abs(value) for name, value in apart.items()})


class _Course:
    """One programme on one oven, with the loads it has made ready."""

    def __init__(
        self,
        oven: Oven,
        program: Program,
        placed: tuple[Placed, ...],
        shut_from_s: float,
        dt_s: float,
        grown: float,
    ) -> None:
        self.oven, self.program, self.placed = oven, program, placed
        self.shut_from_s, self.dt_s, self.grown_s = shut_from_s, dt_s, dt_s
        self.most_s = grown * dt_s
        self.covers = cover_fractions(oven, [p.shape for p in placed], alone=True) if placed else None
        changes = {start for start, _ in program} | {shut_from_s}
        self.changes = sorted(changes | {t for p in placed for t in (p.from_s, p.until_s)})

    def run(self, state: OvenState, begin_s: float, end_s: float, ledger: Ledger) -> tuple[OvenState, Ledger]:
        """From one recorded time to the next."""
        inner = [t for t in self.changes if begin_s < t < end_s]
        for low, high in zip([begin_s, *inner], [*inner, end_s], strict=True):
            if low in self.changes:
                self.grown_s = self.dt_s
            state, ledger = self._stretches(state, low, high, ledger)
        return state, ledger

    def _stretches(
        self, state: OvenState, low_s: float, high_s: float, ledger: Ledger
    ) -> tuple[OvenState, Ledger]:
        """Between two changes; what is shorter than a millisecond is no time."""
        fire, load, shut = fire_at(self.program, low_s), self._load(low_s), low_s >= self.shut_from_s
        left = high_s - low_s
        while left >= 1e-3:
            steps = min(STRETCH, max(1, int(np.ceil(left / self.grown_s - 1e-9))))
            dt = min(self.grown_s, left / steps)
            step = advance(self.oven, state, fire, dt, load, shut=shut, steps=steps)
            moved_K = max(
                _moved_K(state.floor_C, step.state.floor_C), _moved_K(state.dome_C, step.state.dome_C)
            )
            self.grown_s = self._next_s(moved_K / steps)
            state, ledger, left = step.state, ledger + step.ledger, left - steps * dt
        return state, ledger

    def _next_s(self, moved_K: float) -> float:
        calm_K = CALM_K_s * self.dt_s
        factor = 2.0 if moved_K <= calm_K else 0.5 if moved_K > 2 * calm_K else 1.0
        return min(max(factor * self.grown_s, self.dt_s), self.most_s)

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


def _moved_K(before_C: Array, after_C: Array) -> float:
    return float(np.sqrt(np.square(after_C - before_C).mean()))


def _record_times(begin_s: float, until_s: float, every_s: float) -> list[float]:
    count = int(np.ceil((until_s - begin_s) / every_s - 1e-9))
    return [begin_s + i * every_s for i in range(count)] + [until_s]


def _row(oven: Oven, state: OvenState, zone: NDArray[np.bool_], power_W: float) -> tuple[float, ...]:
    floor = state.floor_C
    working = float(floor[zone].mean()) if zone.any() else float("nan")
    return float(floor.mean()), working, oven.dome_mean_C(state), state.gas_C, power_W
