"""Wood laid on in splits as a fire that an oven can run on, and the oven's course under such a fire."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from hearthtide.heat.ranges import Array, require
from hearthtide.heat.wood import EMBER_S, FLAMING_S, Split, splits_of, wood_heat_J
from hearthtide.oven.answers import (
    EVERY_S,
    LOOK_S,
    STEP_S,
    Course,
    Left,
    inner_stone_C,
    stone_C,
    working_stone,
)
from hearthtide.oven.flame import Fire
from hearthtide.oven.gas import excess_air, settled_gas
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.program import Placed, Program, fire_at, run_program
from hearthtide.oven.zones import SILL_DEPTH_M, flame_distance_m

# Intervals of a programme: the first after a split, how much longer each next one is, the longest (own
# choice: flames fall by 6 % in the first and 23 % in one at eight minutes). Splits laid closer together than
# the first interval share one.
FIRST_S, GROWTH, LONGEST_S = 30.0, 1.25, 600.0
EDGE_DIGITS = 3  # edges on whole milliseconds, so that none lies a rounding error beside a recorded time


def fed_program(
    splits: Sequence[Split],
    moisture: float,
    from_s: float,
    until_s: float,
    flaming_s: float = FLAMING_S,
    ember_s: float = EMBER_S,
) -> Program:
    """The fire of `splits` from `from_s` to `until_s` (at least 1 s later), and nothing from then on.

    Each interval has the mean heat of its flames and embers in closed form, so that the whole energy is
    what the splits burn between the two times, whatever the intervals. Splits laid before `from_s` burn on
    with what is left of them; those from `until_s` on count for nothing. `moisture` per wet mass, 0 to 0.5.
    PhysicalRangeError for values outside their ranges.

    >>> first, *_, end = fed_program((Split(0.0, 1.0),), 0.18, 0.0, 3600.0)
    >>> first[0], round(first[1].flame_W / 1000, 1), end
    (0.0, 17.9, (3600.0, Fire(flame_W=0.0, embers_W=0.0, under_W=0.0)))
    """
    require("from_s", from_s, "s", -1e9, 1e9)
    require("until_s", until_s, "s", from_s + 1.0, from_s + 30 * 86400.0)
    laid = sorted(splits, key=lambda split: split.time_s)
    edges_s = _edges_s([split.time_s for split in laid], from_s, until_s)
    parts_J = wood_heat_J(laid, moisture, edges_s, flaming_s, ember_s)
    flames_W, embers_W = (part / np.diff(edges_s) for part in parts_J)
    burning = [
        (float(at), Fire(float(flame), float(embers)))
        for at, flame, embers in zip(edges_s[:-1], flames_W, embers_W, strict=True)
    ]
    return (*burning, (until_s, Fire(0.0)))


def wood_rate_program(
    kg_h: float, split_kg: float, from_s: float, until_s: float, moisture: float = 0.18
) -> Program:
    """Wood fed evenly on an empty hearth from `from_s` to `until_s`: see `splits_of` and `fed_program`.

    `moisture` per wet mass, 0 to 0.5; 0.18 is wood stored dry (common practice, no source).
    """
    return fed_program(splits_of(kg_h, split_kg, from_s, until_s), moisture, from_s, until_s)


def rest_of(program: Program, from_s: float) -> Program:
    """What is left of a programme from a time on. Raises PhysicalRangeError before it starts."""
    return ((from_s, fire_at(program, from_s)), *(pair for pair in program if pair[0] > from_s))


def fed_course(
    oven: Oven,
    state: OvenState,
    program: Program,
    span_s: float,
    every_s: float = EVERY_S,
    *,
    placed: tuple[Placed, ...] = (),
    shut: bool = False,
    stop_at_C: float | None = None,
    on_progress: Callable[[float], None] | None = None,
) -> Course:
    """The oven for `span_s` (1 s to 30 days) under a programme that starts at 0 or before, recorded every
    `every_s` and at the end; as `answers.course`, which holds one flame.

    With `stop_at_C` it ends at the first record where the working stone stands there. Raises
    PhysicalRangeError for values out of range, food that overlaps, or a shut door where there is none.
    """
    require("span_s", span_s, "s", 1.0, 30 * 86400.0)
    require("every_s", every_s, "s", 1.0, 86400.0)
    # No record a rounding error before the end.
    times_s = [*np.arange(0.0, span_s - 1e-3, every_s).tolist(), span_s]
    ledger, ledgers, rows = Ledger(), [Ledger()], [_row(oven, state)]
    for begin, end in pairwise(times_s):
        if stop_at_C is not None and rows[-1][0] >= stop_at_C:
            break
        part = run_program(
            oven,
            state,
            rest_of(program, begin),
            end,
            min(STEP_S, end - begin),
            end - begin,
            placed=placed,
            shut_from_s=0.0 if shut else math.inf,
        )
        state, ledger = part.state, ledger + part.ledger
        ledgers.append(ledger)
        rows.append(_row(oven, state))
        if on_progress is not None:
            on_progress(end / span_s)
    stone, hottest, near, inner, dome = np.array(rows).T
    kept_s = np.array(times_s[: len(rows)])
    return Course(kept_s, stone, hottest, near, inner, dome, tuple(ledgers), state)


def first_at_s(run: Course, aim_C: float) -> float | None:
    """When a course's stone first stands at `aim_C`, between two records by straight interpolation."""
    above = np.flatnonzero(run.stone_C >= aim_C)
    if not len(above):
        return None
    i = int(above[0])
    if i == 0:
        return float(run.times_s[0])
    return float(np.interp(aim_C, run.stone_C[i - 1 : i + 1], run.times_s[i - 1 : i + 1]))


def fed_ready(
    oven: Oven,
    state: OvenState,
    program: Program,
    aim_C: float,
    span_s: float,
    on_progress: Callable[[float], None] | None = None,
) -> tuple[float | None, Course]:
    """When the working stone first stands at `aim_C` (30 to 600 °C) within `span_s`, s, and the course until
    then; None where it never does.
    """
    require("aim_C", aim_C, "°C", 30.0, 600.0)
    run = fed_course(oven, state, program, span_s, LOOK_S, stop_at_C=aim_C, on_progress=on_progress)
    return first_at_s(run, aim_C), run


def fed_left(
    oven: Oven,
    state: OvenState,
    program_until: Callable[[float], Program],
    shut: bool,
    hours: tuple[float, ...],
    on_progress: Callable[[float], None] | None = None,
) -> Left:
    """What is left at `hours` (0 to 72, rising) where the wood on the hearth burns on, as `answers.left_at`.

    `program_until` gives the fire from 0 to a time. The wood burns as it would in the open: a shut door does
    not choke it, so that behind one the figures are too high. Errors as there.
    """
    require("number of hours", float(len(hours)), "", 1.0, 100.0)
    require("hours", np.array(hours), "h", 0.0, 72.0)
    require("hours' steps", np.diff(np.array([-1e-9, *hours])), "h", 1e-12, 73.0)
    span_s = max(3600 * hours[-1], EVERY_S)
    run = fed_course(oven, state, program_until(span_s), span_s, shut=shut, on_progress=on_progress)
    given_up_J = np.array([-(ledger.floor_J + ledger.dome_J) for ledger in run.ledgers])
    at_s = 3600 * np.array(hours)
    stone, inner, dome, given_up = (
        np.interp(at_s, run.times_s, values) for values in (run.stone_C, run.inner_C, run.dome_C, given_up_J)
    )
    return Left(shut, np.array(hours), stone, inner, dome, given_up, run)


def shut_air_share(oven: Oven, state: OvenState, fire: Fire) -> float:
    """Share of a fire that the air coming in at the shut door's gap could burn, 0 to 1.

    Raises PhysicalRangeError for an oven without a door.
    """
    require("layers of the door", float(len(oven.design.mouth.door)), "", 1.0, 100.0)
    if fire.power_W <= 0:
        return 1.0
    now, _, _ = settled_gas(oven, state, fire, shut=True)
    return float(np.clip(1 + excess_air(oven, now, fire), 0.0, 1.0))


def _edges_s(laid_s: Sequence[float], from_s: float, until_s: float) -> Array:
    """Where intervals begin and end: at splits, and between them ever further apart."""
    starts = [from_s]
    for at in np.round(laid_s, EDGE_DIGITS):
        if at >= starts[-1] + FIRST_S and at <= until_s - FIRST_S:
            starts.append(float(at))
    parts = [_spaced_s(begin, end) for begin, end in pairwise([*starts, until_s])]
    return np.concatenate([*parts, [until_s]])


def _spaced_s(begin_s: float, end_s: float) -> Array:
    """Beginnings of growing intervals that fill the stretch."""
    lengths = [FIRST_S]
    while sum(lengths) < end_s - begin_s:
        lengths.append(min(LONGEST_S, lengths[-1] * GROWTH))
    share = np.append(0.0, np.cumsum(lengths[:-1])) / sum(lengths)
    return np.append(begin_s, np.round(begin_s + share[1:] * (end_s - begin_s), EDGE_DIGITS))


def _row(oven: Oven, state: OvenState) -> tuple[float, float, float, float, float]:
    """The columns of a `Course` in its order: stone, hottest, near the flame, inner, dome."""
    working = state.floor_C[working_stone(oven)]
    behind_sill = oven.cells_m[:, 1] >= SILL_DEPTH_M
    near = state.floor_C[behind_sill & (flame_distance_m(oven, oven.cells_m) < 0.30)]
    return (
        stone_C(oven, state),
        float(working.max()),
        float(near.max()) if len(near) else math.nan,
        inner_stone_C(oven, state),
        oven.dome_mean_C(state),
    )
