"""What a cook asks of the oven: when it is ready, what comes next, which flame holds it, what is left.

All answers are about the working stone: the cells 30 cm and more from the flame and behind the sill's cool
strip. Its figure is their median.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import NoConvergence
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.program import Placed, Program, rest_of, run_program
from hearthtide.oven.zones import SILL_DEPTH_M, working_zone
from hearthtide.ranges import Array, require

STEP_S, EVERY_S = 2.0, 300.0
MOST_READY_S, MOST_FALLING_S = 12 * 3600.0, 6 * 3600.0  # how long an answer is looked for (own choice)
LOOK_S = 60.0  # between looks at what is waited for; moments lie between two looks by straight interpolation
HOLD_S = 2400.0  # the stretch a flame has to hold it
# The search for a power: close enough, what each try cuts off its bracket at least, how many (own choice).
NEAR_ENOUGH_K, LEAST_CUT, MOST_TRIES = 0.2, 0.05, 60


@dataclass(frozen=True, eq=False)
class Course:
    """A run in time (t,): median of the working stone, its hottest cell, the hottest cell nearer to the flame
    (nan where there is none), the stone half way down its hot layer, the dome, and where the heat went until
    each time; the state at the end. `times_s` count from the run's start.
    """

    times_s: Array
    stone_C: Array
    hottest_C: Array
    near_C: Array
    inner_C: Array
    dome_C: Array
    ledgers: tuple[Ledger, ...]
    state: OvenState

    @property
    def ledger(self) -> Ledger:
        """Where the heat of the whole run went."""
        return self.ledgers[-1]

    def at_s(self, time_s: float, values: Array) -> float:
        """A value between two recorded times."""
        return float(np.interp(time_s, self.times_s, values))


@dataclass(frozen=True, eq=False)
class Ready:
    """When the working stone first stands at `aim_C`, s; None: not within the span looked at."""

    aim_C: float
    ready_s: float | None
    course: Course


@dataclass(frozen=True, eq=False)
class Holding:
    """The power that leaves the working stone at `aim_C` after 40 minutes, and its flame's length.

    `power_W` None: `too_hot` says whether the stone stays above the aim without any flame, or the top flame
    leaves it below. `level` is the house's nearest flame; `end_C` where that one leaves the stone.
    """

    aim_C: float
    power_W: float | None
    flame_m: float | None
    too_hot: bool
    level: FlameLevel
    level_flame_m: float
    end_C: float
    course: Course


@dataclass(frozen=True, eq=False)
class TurnDown:
    """How long after turning down half of the working stone, and all of it, lies below `limit_C`; None: not
    within six hours. `kept` is the same stretch with the flame left up.
    """

    limit_C: float
    half_s: float | None
    all_s: float | None
    turned: Course
    kept: Course


@dataclass(frozen=True, eq=False)
class Left:
    """What is left some hours after the flame went out, each (h,). `given_up_J` is heat that stone and dome
    have lost since.
    """

    shut: bool
    hours: Array
    stone_C: Array
    inner_C: Array
    dome_C: Array
    given_up_J: Array
    course: Course


def working_stone(oven: Oven) -> NDArray[np.bool_]:
    """Cells (n,) of the working stone. Raises PhysicalRangeError for an oven without any."""
    zone = working_zone(oven)
    require("share of the stone that lies 30 cm from the flame", float(zone.mean()), "-", 1e-9, 1.0)
    return zone


def stone_C(oven: Oven, state: OvenState) -> float:
    """Median of the working stone's surface."""
    return float(np.median(state.floor_C[working_stone(oven)]))


def inner_stone_C(oven: Oven, state: OvenState) -> float:
    """Median of the working stone half way down its hot layer: what a surface reading does not show."""
    nodes = state.floor_nodes_C[:, oven.stone.where][:, working_stone(oven)]
    middle_m = oven.design.floor[0].thickness_m / 2
    return float(np.interp(middle_m, oven.floor_wall.depth_m, np.median(nodes, axis=1)))


def course(
    oven: Oven,
    state: OvenState,
    fire: float | Program,
    span_s: float,
    every_s: float = EVERY_S,
    *,
    placed: tuple[Placed, ...] = (),
    shut: bool = False,
    on_progress: Callable[[float], None] | None = None,
) -> Course:
    """The oven for `span_s` (1 s to 30 days) under a flame of a power in W or a programme that starts
    at 0 or before, recorded every `every_s` and at the end.

    `placed` counts time from the run's start. Raises PhysicalRangeError for values out of range, food that
    overlaps, or a shut door where there is none.
    """
    require("span_s", span_s, "s", 1.0, 30 * 86400.0)
    require("every_s", every_s, "s", 1.0, 86400.0)
    rows = []
    for row in _rows(oven, state, fire, span_s, every_s, placed, shut):
        rows.append(row)
        if on_progress is not None:
            on_progress(row.time_s / span_s)
    return _course(oven, rows)


def ready(
    oven: Oven,
    state: OvenState,
    fire: float | Program,
    aim_C: float,
    on_progress: Callable[[float], None] | None = None,
    span_s: float = MOST_READY_S,
) -> Ready:
    """When the working stone stands at `aim_C` (30 to 600 °C) under a flame of a power in W or a
    programme, looked for within `span_s`.

    `on_progress` hears how much of the rise is done. Raises PhysicalRangeError for values out of range.
    """
    require("aim_C", aim_C, "°C", 30.0, 600.0)
    first = stone_C(oven, state)
    rows: list[_Row] = []
    for row in _rows(oven, state, fire, span_s, LOOK_S, (), False):
        rows.append(row)
        if row.stone_C >= aim_C:
            break
        if on_progress is not None:
            on_progress(max(0.0, (row.stone_C - first) / (aim_C - first)))
    run = _course(oven, rows)
    return Ready(aim_C, _crossing_s(run.times_s, aim_C - run.stone_C), run)


def ahead(
    oven: Oven, state: OvenState, power_W: float, placed: tuple[Placed, ...] = (), minutes: float = 30.0
) -> Course:
    """What the stone does in the next minutes (1 to 720) at this flame and these loads, every 5 minutes."""
    require("minutes", minutes, "min", 1.0, 720.0)
    return course(oven, state, power_W, 60 * minutes, placed=placed)


def holding_power_W(
    oven: Oven, state: OvenState, aim_C: float, on_progress: Callable[[float], None] | None = None
) -> Holding:
    """Which flame holds the working stone at `aim_C` (30 to 600 °C) over the next 40 minutes.

    From a stone that stands at the aim it neither rises nor falls; from any other it ends there.
    """
    require("aim_C", aim_C, "°C", 30.0, 600.0)
    levels = oven.design.levels
    top_W = max(level.power_W for level in levels)
    sought_W, found = power_for(oven, state, aim_C, HOLD_S, 0.0, top_W, on_progress)
    level = min(levels, key=lambda level: abs(level.power_W - sought_W))
    held = bool(0.0 < sought_W < top_W)
    return Holding(
        aim_C=aim_C,
        power_W=sought_W if held else None,
        flame_m=flame_m(oven, sought_W) if held else None,
        too_hot=bool(sought_W <= 0.0),
        level=level,
        level_flame_m=flame_m(oven, level.power_W),
        end_C=float(course(oven, state, level.power_W, HOLD_S).stone_C[-1]),
        course=found,
    )


def power_for(
    oven: Oven,
    state: OvenState,
    aim_C: float,
    span_s: float,
    low_W: float,
    high_W: float,
    on_progress: Callable[[float], None] | None = None,
) -> tuple[float, Course]:
    """The power that leaves the working stone within 0.2 K of `aim_C` after `span_s`, and its course.

    `low_W` where even that leaves it above, `high_W` where even that leaves it below. By false position, kept
    from creeping; NoConvergence where the stone does not rise with the power.
    """
    top, bottom = course(oven, state, high_W, span_s), course(oven, state, low_W, span_s)
    high_C, low_C = top.stone_C[-1], bottom.stone_C[-1]
    if high_C <= aim_C or low_C >= aim_C:
        return (high_W, top) if high_C <= aim_C else (low_W, bottom)
    for done in range(MOST_TRIES):
        share = min(1 - LEAST_CUT, max(LEAST_CUT, (aim_C - low_C) / (high_C - low_C)))
        power_W = low_W + share * (high_W - low_W)
        run = course(oven, state, power_W, span_s)
        end_C = run.stone_C[-1]
        if abs(end_C - aim_C) <= NEAR_ENOUGH_K:
            return power_W, run
        if end_C > aim_C:
            high_W, high_C = power_W, end_C
        else:
            low_W, low_C = power_W, end_C
        if on_progress is not None:
            on_progress(1 - 1 / (done + 2))
    raise NoConvergence(f"no power found that leaves the stone at {aim_C:g} °C after {MOST_TRIES} tries")


def flame_m(oven: Oven, power_W: float) -> float:
    """Length of the longest flame, m, as if nothing were in its way; 0 without one on the hearth."""
    return oven.burning(oven.fire(power_W)).length_m


def usable_again(
    oven: Oven, state: OvenState, from_power_W: float, to_power_W: float, limit_C: float
) -> TurnDown:
    """How long after turning down until the working stone lies below `limit_C` (30 to 600 °C) again.

    Raises PhysicalRangeError where `to_power_W` is not below `from_power_W`.
    """
    require("limit_C", limit_C, "°C", 30.0, 600.0)
    require("power turned down to", to_power_W, "W", 0.0, np.nextafter(from_power_W, 0.0))
    rows: list[_Row] = []
    for row in _rows(oven, state, to_power_W, MOST_FALLING_S, LOOK_S, (), False):
        rows.append(row)
        if row.hottest_C < limit_C and len(rows) > 1:
            break
    turned = _course(oven, rows)
    kept = course(oven, state, from_power_W, float(turned.times_s[-1]), LOOK_S)
    half_s = _crossing_s(turned.times_s, turned.stone_C - limit_C)
    return TurnDown(limit_C, half_s, _crossing_s(turned.times_s, turned.hottest_C - limit_C), turned, kept)


def left_at(
    oven: Oven,
    state: OvenState,
    shut: bool,
    hours: tuple[float, ...],
    on_progress: Callable[[float], None] | None = None,
    fire: float | Program = 0.0,
) -> Left:
    """What is left at `hours` (0 to 72, rising) after the flame went out in `state`, the door on if `shut`.

    `fire` is what burns on, embers of wood say, as it would in the open: a shut door does not choke it, so
    that behind one the figures are then too high. Raises PhysicalRangeError for values out of range
    or a door that is not there.
    """
    require("number of hours", float(len(hours)), "", 1.0, 100.0)
    require("hours", np.array(hours), "h", 0.0, 72.0)
    require("hours' steps", np.diff(np.array([-1e-9, *hours])), "h", 1e-12, 73.0)
    span_s = max(3600 * hours[-1], EVERY_S)
    run = course(oven, state, fire, span_s, shut=shut, on_progress=on_progress)
    given_up = np.array([-(ledger.floor_J + ledger.dome_J) for ledger in run.ledgers])

    def at(values: Array) -> Array:
        return np.asarray(np.interp(3600 * np.array(hours), run.times_s, values))

    return Left(shut, np.array(hours), at(run.stone_C), at(run.inner_C), at(run.dome_C), at(given_up), run)


@dataclass(frozen=True, eq=False)
class _Row:
    time_s: float
    stone_C: float
    hottest_C: float
    near_C: float
    inner_C: float
    dome_C: float
    ledger: Ledger
    state: OvenState


def _rows(
    oven: Oven,
    state: OvenState,
    fire: float | Program,
    span_s: float,
    every_s: float,
    placed: tuple[Placed, ...],
    shut: bool,
) -> Iterator[_Row]:
    """The start, then every `every_s` and the end."""
    ledger, now = Ledger(), 0.0
    program = fire if isinstance(fire, tuple) else ((0.0, fire),)
    yield _row(oven, state, now, ledger)
    shut_from_s = 0.0 if shut else float("inf")
    at = 0.0
    while at < span_s - 1e-3:
        at = span_s if at + every_s > span_s - 1e-3 else at + every_s
        if at > now:
            part = run_program(
                oven,
                state,
                rest_of(program, now),
                at,
                min(STEP_S, at - now),
                at - now,
                placed=placed,
                shut_from_s=shut_from_s,
            )
            state, ledger, now = part.state, ledger + part.ledger, at
        yield _row(oven, state, at, ledger)


def _row(oven: Oven, state: OvenState, time_s: float, ledger: Ledger) -> _Row:
    zone = working_stone(oven)
    working = state.floor_C[zone]
    near = state.floor_C[_near_stone(oven)]
    return _Row(
        time_s,
        float(np.median(working)),
        float(working.max()),
        float(near.max()) if len(near) else float("nan"),
        inner_stone_C(oven, state),
        oven.dome_mean_C(state),
        ledger,
        state,
    )


def _near_stone(oven: Oven) -> NDArray[np.bool_]:
    """Cells (n,) up to 30 cm from the flame, not under a bed of embers and not in the sill's strip."""
    behind_sill = oven.cells_m[:, 1] >= SILL_DEPTH_M
    away_m = oven.from_flame_m
    return np.asarray(behind_sill & (away_m >= 0.0) & (away_m < 0.30))


def _course(oven: Oven, rows: list[_Row]) -> Course:
    return Course(
        times_s=np.array([row.time_s for row in rows]),
        stone_C=np.array([row.stone_C for row in rows]),
        hottest_C=np.array([row.hottest_C for row in rows]),
        near_C=np.array([row.near_C for row in rows]),
        inner_C=np.array([row.inner_C for row in rows]),
        dome_C=np.array([row.dome_C for row in rows]),
        ledgers=tuple(row.ledger for row in rows),
        state=rows[-1].state,
    )


def _crossing_s(times_s: Array, above: Array) -> float | None:
    """When `above` (t,) first is zero or less, between two times by straight interpolation."""
    below = np.flatnonzero(above <= 0)
    if not len(below):
        return None
    i = int(below[0])
    if i == 0:
        return float(times_s[0])
    share = above[i - 1] / (above[i - 1] - above[i])
    return float(times_s[i - 1] + share * (times_s[i] - times_s[i - 1]))
