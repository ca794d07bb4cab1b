"""Fills response tables: every stage of a dish run over all stones, irradiances and kinds of spot.

The band comes from one deviation at a time (`food.band.Doubt`), combined as independent: of the food by runs
at every fifth stone, of stone and irradiance from the slopes of the table itself.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, fields, replace
from multiprocessing import get_context
from statistics import NormalDist

import numpy as np

from hearthtide.errors import HearthtideError
from hearthtide.food.band import HIGH, Doubt, Member, cover_all, one_at_a_time
from hearthtide.food.column import Floats
from hearthtide.food.cooking import cook
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import Food, FoodState, start
from hearthtide.food.outcome import burn_margin_s, colour_steps, core_C
from hearthtide.food.spec import Portion
from hearthtide.house.models import StageFile
from hearthtide.planning.response import LONGEST_S, Answer, respond_in, target_of
from hearthtide.planning.tables import (
    BURN_MARGIN_S,
    COLOUR,
    CORE_C,
    FIGURES,
    HIGH_S,
    LOW_S,
    SECONDS,
    Axes,
    Hearth,
    Kind,
    StageTable,
)

HORIZON_S = 60.0  # how far ahead burning is looked for; own choice
# The food's own deviations are run at every fifth stone: they change slowly. Own choice, see the note on
# error in docs/performance.md.
EVERY_STONE = 5
OF_FOOD = tuple(i for i, f in enumerate(fields(Doubt)) if f.name not in ("irradiance", "stone_K"))
SHORTEST_S = 0.5  # logarithms of shorter times are taken as of this
# From so many entries on two processes are sooner done than one, which need not be started; measured.
TWO_PAY = 2000

Tell = Callable[[float], None]


@dataclass(frozen=True, eq=False)
class Asked:
    """A dish to fill tables for: its portion, stages, and the kinds of spot of each."""

    portion: Portion
    stages: tuple[StageFile, ...]
    kinds: tuple[tuple[Kind, ...], ...]


@dataclass(frozen=True, eq=False)
class _Row:
    """One irradiance of one stage: the portion as written down and its deviations, as the stage begins."""

    dish: int
    stage: int
    column: int
    file: StageFile
    members: tuple[Member, ...]
    states: tuple[FoodState, ...]
    kinds: tuple[Kind, ...]
    hearth: Hearth
    stones_C: tuple[float, ...]
    up_W_m2: float


def fill(
    asked: tuple[Asked, ...], hearth: Hearth, axes: Axes, workers: int, tell: Tell
) -> list[tuple[StageTable, ...]]:
    """The tables of every dish asked, on so many processes; `tell` hears the share done.

    A process that is started imports the program anew: call from a main module that can be imported.
    Raises HearthtideError when a process dies, PhysicalRangeError for a portion the model does not take.
    """
    rows = [row for number, dish in enumerate(asked) for row in _rows(number, dish, hearth, axes)]
    shape = (FIGURES + len(OF_FOOD), len(axes.stone_C), len(axes.up_W_m2))
    found = [[np.full((shape[0], len(kinds), *shape[1:]), np.inf) for kinds in dish.kinds] for dish in asked]
    for number, (row, values) in enumerate(_worked(rows, workers), 1):
        found[row.dish][row.stage][..., row.column] = values
        tell(number / len(rows))
    return [
        tuple(
            StageTable(stage.name, stage.covered, kinds, axes, hearth.gas_C, _banded(values, axes))
            for stage, kinds, values in zip(dish.stages, dish.kinds, tables, strict=True)
        )
        for dish, tables in zip(asked, found, strict=True)
    ]


def _worked(rows: list[_Row], workers: int) -> Iterator[tuple[_Row, Floats]]:
    """Every row with its values, as they are done."""
    entries = sum(len(row.kinds) * len(row.stones_C) for row in rows)
    if workers < 2 or entries < TWO_PAY:
        yield from ((row, _row_values(row)) for row in rows)
        return
    try:
        # Not a fork: a process that draws progress has threads.
        with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
            waiting = {pool.submit(_row_values, row): row for row in rows}
            for done in as_completed(waiting):
                yield waiting[done], done.result()
    except BrokenProcessPool as err:
        raise HearthtideError("response tables: a process that filled them ended too soon") from err


def _rows(number: int, dish: Asked, hearth: Hearth, axes: Axes) -> Iterator[_Row]:
    """All rows of a dish. Each stage begins as the one before ends at its first kind where it is met."""
    members = one_at_a_time(dish.portion)
    members = (members[0], *(members[1 + i] for i in OF_FOOD))
    states = tuple(start(member.food) for member in members)
    for i, (stage, kinds) in enumerate(zip(dish.stages, dish.kinds, strict=True)):
        members = cover_all(members, stage.covered)
        for column, up_W_m2 in enumerate(axes.up_W_m2):
            yield _Row(number, i, column, stage, members, states, kinds, hearth, axes.stone_C, up_W_m2)
        if i + 1 < len(dish.stages):
            states = _ends(members, states, stage, kinds, hearth)


def _ends(
    members: tuple[Member, ...],
    states: tuple[FoodState, ...],
    stage: StageFile,
    kinds: tuple[Kind, ...],
    hearth: Hearth,
) -> tuple[FoodState, ...]:
    """Every member at the end of a stage where it stands typically; as it was where some never get there."""
    for kind in kinds:
        heat = hearth.exposure(kind, kind.stone_C, kind.up_W_m2)
        stone = hearth.stone(kind.stone_C)
        answers = [respond_in(m.food, s, stage, heat, stone) for m, s in zip(members, states, strict=True)]
        if all(answer.seconds is not None for answer in answers):
            return tuple(answer.state for answer in answers)
    return states


def _row_values(row: _Row) -> Floats:
    """(FIGURES and a deviation per member of food, kinds, stones); deviations are of the log of time."""
    values = np.full((FIGURES + len(OF_FOOD), len(row.kinds), len(row.stones_C)), np.inf)
    lean = _middle_decides(row.members[0].food, row.file)
    times: list[Answer] = []
    heats = [kind.rim_of_up for kind in row.kinds]
    for k, kind in enumerate(row.kinds):
        alike = heats.index(kind.rim_of_up)
        if alike < k:
            values[:, k] = values[:, alike]
            continue
        if k == 0 or not lean:
            times = _times(row, kind, lean)
            deviations = _deviations(row, kind, lean, times)
        for j, answer in zip(range(len(row.stones_C) - 1, -1, -1), times, strict=False):
            if answer.seconds is not None:
                values[:FIGURES, k, j] = _figures(row, kind, row.stones_C[j], answer, lean)
        values[FIGURES:, k] = deviations
    return values


def _middle_decides(food: Food, stage: StageFile) -> bool:
    """Whether the middle of the portion alone decides when the stage ends: heat from aside does not count.

    All columns of a flat portion in even heat are the same, and run as one.
    """
    portion = food.portion
    return portion.body is None and portion.rim_thickness_m == 0 and stage.until.colour is None


def _met_heat(row: _Row, kind: Kind, stone_C: float, lean: bool) -> Exposure:
    heat = row.hearth.exposure(kind, stone_C, row.up_W_m2)
    return replace(heat, rim_W_m2=(heat.up_W_m2,) * 4) if lean else heat


def _times(row: _Row, kind: Kind, lean: bool) -> list[Answer]:
    """Answers from the hottest stone down, to the first that is not met: colder ones are not either."""
    answers: list[Answer] = []
    for stone_C in reversed(row.stones_C):
        heat, stone = _met_heat(row, kind, stone_C, lean), row.hearth.stone(stone_C)
        answers.append(respond_in(row.members[0].food, row.states[0], row.file, heat, stone))
        if answers[-1].seconds is None:
            break
    return answers


def _deviations(row: _Row, kind: Kind, lean: bool, times: list[Answer]) -> Floats:
    """How much each deviation of the food moves the log of time (members, stones); between the stones that
    were run straight, infinite where the target is not met.
    """
    count, found = len(row.stones_C), np.full((len(OF_FOOD), len(row.stones_C)), np.inf)
    met = [count - 1 - down for down, answer in enumerate(times) if answer.seconds]
    asked = sorted({*met[::EVERY_STONE], *met[-1:]})
    target = target_of(row.file)
    for i, (member, state) in enumerate(zip(row.members[1:], row.states[1:], strict=True)):
        moved = []
        for j in asked:
            answer, stone_C = times[count - 1 - j], row.stones_C[j]
            heat, stone = _met_heat(row, kind, stone_C, lean), row.hearth.stone(stone_C)
            ran = cook(member.food, state, heat, target, LONGEST_S, answer.flip_at_s, stone)
            changed_s = ran.seconds if ran.met else LONGEST_S
            moved.append(math.log(max(changed_s, SHORTEST_S) / (answer.seconds or SHORTEST_S)))
        if asked:
            found[i, sorted(met)] = np.interp(sorted(met), asked, moved)
    return found


def _figures(row: _Row, kind: Kind, stone_C: float, answer: Answer, lean: bool) -> Floats:
    """The figures of an entry that is met, its band still without width."""
    food, seconds = row.members[0].food, answer.seconds or 0.0
    heat, state = _met_heat(row, kind, stone_C, False), answer.state
    if lean and seconds > 0:
        stone = row.hearth.stone(stone_C)
        target = target_of(row.file)
        state = cook(food, row.states[0], heat, target, LONGEST_S, answer.flip_at_s, stone).state
    values = np.zeros(FIGURES)
    values[[SECONDS, LOW_S, HIGH_S]] = seconds
    values[CORE_C], values[COLOUR] = core_C(food, state), colour_steps(food, state).mean
    after = replace(heat, stone_C=answer.stone_C)
    values[BURN_MARGIN_S] = burn_margin_s(food, state, after, HORIZON_S)
    return values


def _banded(values: Floats, axes: Axes) -> Floats:
    """The figures with their bands, from the deviations of the food and the table's own slopes."""
    seconds, doubt = values[SECONDS], Doubt()
    logs = np.log(np.maximum(seconds, SHORTEST_S))
    of_stone = doubt.stone_K * _slope(logs, np.array(axes.stone_C), 1)
    of_fire = doubt.irradiance * _slope(logs, np.log(axes.up_W_m2), 2)
    wide = NormalDist().inv_cdf(HIGH) * np.sqrt((values[FIGURES:] ** 2).sum(0) + of_stone**2 + of_fire**2)
    figures = values[:FIGURES].copy()
    with np.errstate(invalid="ignore", over="ignore"):
        high_s = np.where(seconds > 0, seconds * np.exp(wide), 0.0)
        figures[LOW_S] = np.where(np.isfinite(seconds), seconds * np.exp(-wide), np.inf)
    figures[HIGH_S] = np.where(high_s <= LONGEST_S, high_s, np.inf)
    return figures


def _slope(logs: Floats, at: Floats, axis: int) -> Floats:
    """Change per unit of `at` along an axis: the mean of what lies before and after, where that is met.

    Infinite where neither is.
    """
    logs = np.moveaxis(logs, axis, -1)
    with np.errstate(invalid="ignore"):
        steps = np.diff(logs) / np.diff(at)
    none = np.full((*logs.shape[:-1], 1), np.nan)
    both = np.stack([np.concatenate([none, steps], -1), np.concatenate([steps, none], -1)])
    seen = np.isfinite(both)
    count = seen.sum(0)
    total = np.where(seen, both, 0.0).sum(0)
    return np.moveaxis(np.where(count > 0, total / np.maximum(count, 1), np.inf), -1, axis)
