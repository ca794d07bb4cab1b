"""A dish tried at the places where it may stand: times, colours and what burns, each with its band."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from math import isfinite

from hearthtide.cli.dish_asked import bad
from hearthtide.food.band import (
    Band,
    Cooked,
    Event,
    Member,
    band,
    burn_margins_s,
    colour_at_end,
    edges,
    ensemble,
)
from hearthtide.food.column import Floats
from hearthtide.food.model import FoodState, prepare, start
from hearthtide.food.outcome import colour_steps, core_C, weight_loss
from hearthtide.food.probe import Narrowed, Reading, narrowed
from hearthtide.house.files import portion
from hearthtide.house.models import House, StageFile
from hearthtide.house.places import Spot
from hearthtide.oven.model import Oven
from hearthtide.planning.banded import cook_stage, course_of
from hearthtide.planning.build import stage_masks
from hearthtide.planning.dish_course import Ran, run_course
from hearthtide.planning.exposure import Seat, seat
from hearthtide.planning.hearth_map import StageSpots, try_everywhere
from hearthtide.planning.places import Places
from hearthtide.planning.response import Moment, covered, respond, thirds
from hearthtide.quantities.show import duration_text

HORIZON_S = 240.0  # how far ahead burning is looked for
MEMBERS, MEMBERS_READ = 64, 128  # a reading needs more, most of which it sets aside; own choice
SEED = 1


@dataclass(frozen=True)
class Left:
    """What is left of a stage after its last reading; the seconds None where the reading fits no member.

    A time beyond forty minutes is None too, and then `within_40_min` is False.
    """

    after_s: float
    reading_C: float
    seconds: int | None
    seconds_low: int | None
    seconds_high: int | None
    within_40_min: bool
    effective_members: float
    rough: bool
    contradicted: bool
    off_K: float


@dataclass(frozen=True)
class Parts:
    """What the doubt of thickness alone, and of the start alone, make of a first stage: its edges [s].

    None: not within forty minutes.
    """

    thickness_low_s: int | None
    thickness_high_s: int | None
    start_low_s: int | None
    start_high_s: int | None


@dataclass(frozen=True)
class Tried:
    """One stage at one spot. `seconds` None: its target is not met within forty minutes; `from_flame_m`
    None: no fire burns on this hearth. `_low` and `_high` leave a tenth of the members out on either side;
    in stages after the one that was read they, and the median, are `narrowed` by the reading. `parts` is
    told of the first stage alone, before any reading. Margins are the members' own, left on the stone as
    they have cooled it.
    """

    stage: str
    place: str
    from_flame_m: float | None
    stone_C: float
    seconds: int | None
    seconds_low: int | None
    seconds_median: int | None
    seconds_high: int | None
    parts: Parts | None
    house_s: int | None
    core_C: float
    colour_step: float
    colour_low: float
    colour_high: float
    bottom_colour: float
    burn_margin_s: float
    burn_margin_low_s: float
    burn_margin_high_s: float
    weight_loss: float
    narrowed: bool
    left: Left | None


@dataclass(frozen=True, eq=False)
class Begin:
    """Where a stage begins: the food as written down, and the members with what they weigh (None: alike)."""

    state: FoodState
    members: tuple[Member, ...]
    states: tuple[FoodState, ...] = ()
    weights: Floats | None = None


@dataclass(frozen=True, eq=False)
class Case:
    """One dish of a house in the oven as it is then; `read` is the stage that the readings are of.

    `spot` is where it stands in every stage that may be at that kind of place; None: at typical spots.
    """

    house: House
    oven: Oven
    moment: Moment
    key: str
    places: Places
    readings: tuple[Reading, ...] = ()
    read: int | None = None
    spot: Spot | None = None


def try_dish(case: Case, tell: Callable[[float], None]) -> list[Tried]:
    """Every stage at up to three typical spots of every place it may stand; each begins as the last ended.

    With readings there is one spot of every place. They weigh the members at their stage's spots, and from
    there on as at the first of them.
    Raises InputError for a reading when even the slowest member is done.
    """
    dish = case.house.dishes[case.key]
    raw = portion(case.house, case.key)
    members = ensemble(raw, None, MEMBERS if case.read is None else MEMBERS_READ, SEED)
    begin, tried = Begin(start(prepare(raw)), members), list[Tried]()
    for i in range(len(dish.stages)):
        chairs = _chairs(case, i)
        rows: list[tuple[Tried, Begin]] = []
        for number, chair in enumerate(chairs):
            tell((i + number / len(chairs)) / len(dish.stages))
            rows.append(_at_spot(case, i, chair, begin))
        tried += [row for row, _ in rows]
        begin = next((end for row, end in rows if row.seconds is not None), begin)
    return tried


def follow(case: Case) -> Ran | None:
    """The course of the dish at its typical spots, or where it was asked for; without any reading.

    None where a stage has no place at all on this hearth.
    """
    members = ensemble(portion(case.house, case.key), None, MEMBERS, SEED)
    chairs = [typical(case, i) for i in range(len(case.house.dishes[case.key].stages))]
    if not all(chairs):
        return None
    return run_course(case.oven, case.house, case.key, case.moment, chairs, members)


def everywhere(case: Case, ran: Ran, tell: Callable[[float], None]) -> list[StageSpots]:
    """Every stage of the course all over the hearth, each begun as the course begins it."""
    dish, food, many = case.house.dishes[case.key], prepare(portion(case.house, case.key)), len(ran.begins)
    found = []
    for i, begin in enumerate(ran.begins):
        under = covered(food, dish.stages[i])
        part = partial(_part, tell, i / many, 1 / many)
        found.append(try_everywhere(case.oven, case.moment, case.places, dish, i, under, begin, part))
    return found


def _part(tell: Callable[[float], None], done: float, size: float, share: float) -> None:
    tell(done + size * share)


def typical(case: Case, i: int) -> list[Seat]:
    """The middle spot of every place where a stage may stand, in order of liking; or the one asked for."""
    if _asked(case, i):
        return _chairs(case, i)
    found = []
    for mask in stage_masks(case.house.dishes[case.key], i, case.places):
        groups = thirds(case.places, mask)
        found += [groups[len(groups) // 2]] if groups else []
    return [seat(case.oven, case.places.spots[group[len(group) // 2]]) for group in found]


def _asked(case: Case, i: int) -> bool:
    return case.spot is not None and case.spot.zone in case.house.dishes[case.key].stages[i].places


def _chairs(case: Case, i: int) -> list[Seat]:
    """Typical spots of each place, nearest the flame first; the middle one alone where food stands there."""
    if case.spot is not None and _asked(case, i):
        return [seat(case.oven, case.spot)]
    if case.read is not None:
        return typical(case, i)
    masks = stage_masks(case.house.dishes[case.key], i, case.places)
    groups = [group for mask in masks for group in thirds(case.places, mask)]
    return [seat(case.oven, case.places.spots[group[len(group) // 2]]) for group in groups]


def _at_spot(case: Case, i: int, chair: Seat, begin: Begin) -> tuple[Tried, Begin]:
    oven, moment, stage = case.oven, case.moment, case.house.dishes[case.key].stages[i]
    food = covered(prepare(portion(case.house, case.key)), stage)
    answer = respond(oven, moment, chair, food, begin.state, stage)
    course = course_of(oven, moment, chair, food, begin.state, stage, answer.seconds)
    cooked = cook_stage(begin.members, begin.states, course, stage)
    told = _told(case, stage, cooked) if i == case.read else None
    stone_C = float(chair.under @ moment.state.floor_C)
    colour = colour_steps(food, answer.state)
    ends = band(cooked.end_s, begin.weights)
    browned = band(colour_at_end(cooked), begin.weights)
    margins = band(burn_margins_s(cooked, HORIZON_S), begin.weights)
    row = Tried(
        stage=stage.name,
        place=chair.spot.zone,
        from_flame_m=round(chair.spot.flame_m, 2) if isfinite(chair.spot.flame_m) else None,
        stone_C=round(stone_C, 1),
        seconds=None if answer.seconds is None else round(answer.seconds),
        seconds_low=_whole(ends.low),
        seconds_median=_whole(ends.median),
        seconds_high=_whole(ends.high),
        parts=_parts(case, course, stage) if i == 0 and case.read is None else None,
        house_s=None if stage.minutes is None else round(stage.minutes),
        core_C=round(core_C(food, answer.state), 1),
        colour_step=round(colour.mean, 2),
        colour_low=round(browned.low, 2),
        colour_high=round(browned.high, 2),
        bottom_colour=round(colour.bottom, 2),
        burn_margin_s=round(margins.median, 1),
        burn_margin_low_s=round(margins.low, 1),
        burn_margin_high_s=round(margins.high, 1),
        weight_loss=round(weight_loss(food, answer.state), 3),
        narrowed=begin.weights is not None,
        left=None if told is None else _left(case.readings[-1], told),
    )
    weights = begin.weights if told is None or told.contradicted else told.weights
    return row, Begin(answer.state, begin.members, cooked.states, weights)


def _parts(case: Case, course: tuple[Event, ...], stage: StageFile) -> Parts:
    raw = portion(case.house, case.key)
    ends = [
        _whole(float(end_s))
        for name in ("thickness", "start_K")
        for end_s in sorted(cook_stage(edges(raw, name), (), course, stage).end_s)
    ]
    # A warmer start is the quicker one: sorted, both doubts have their quick edge first.
    return Parts(*ends)


def _told(case: Case, stage: StageFile, cooked: Cooked) -> Narrowed:
    last, slowest_s = case.readings[-1], float(cooked.end_s.max())
    if last.time_s > slowest_s:
        value = f"{duration_text(last.time_s)}={last.value_C:.0f}C"
        expected = f"a time up to {duration_text(slowest_s)}, when even the slowest {stage.name} is done"
        remedy = "Count from when the stage began, or name a later stage with --stage."
        raise bad("--probe", value, expected, remedy)
    return narrowed(cooked, case.readings)


def _left(reading: Reading, told: Narrowed) -> Left:
    left = told.left or Band(float("inf"), float("inf"), float("inf"))
    return Left(
        after_s=reading.time_s,
        reading_C=round(reading.value_C, 1),
        seconds=_whole(left.median),
        seconds_low=_whole(left.low),
        seconds_high=_whole(left.high),
        within_40_min=isfinite(left.high),
        effective_members=round(told.effective, 1),
        rough=told.rough,
        contradicted=told.contradicted,
        off_K=round(told.off_K, 1),
    )


def _whole(seconds: float) -> int | None:
    return round(seconds) if isfinite(seconds) else None
