"""The course of one dish: each stage at its spot, every act at its time, then the rest.

What a picture draws and a cook is told. Stages last what `response` says they take; the food then meets
its true sides, turned by the acts as in `verify`, so that one side of an item nobody turns is browner.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from hearthtide.food.band import Event, Member, band, cook_all, cover_all
from hearthtide.food.column import Floats
from hearthtide.food.cooking import Target
from hearthtide.food.exposure import Exposure, rest_exposure, rim_at
from hearthtide.food.lethality import Lethality, Organism, shown_for
from hearthtide.food.model import Food, FoodState, advance, flip, prepare, start
from hearthtide.food.outcome import colour_steps, core_C, face_C, weight_loss
from hearthtide.food.worst_point import counting, worst_now
from hearthtide.house.files import portion
from hearthtide.house.models import Act, DishFile, House, Place, StageFile
from hearthtide.house.places import Outline
from hearthtide.oven.model import Oven
from hearthtide.oven.under import cooled, stone_under
from hearthtide.planning.banded import EVERY_S, cook_stage, course_of
from hearthtide.planning.build import handles_of
from hearthtide.planning.exposure import Seat
from hearthtide.planning.problem import turned_deg
from hearthtide.planning.response import (
    LONGEST_S,
    STEP_S,
    Answer,
    Moment,
    covered,
    heat_at,
    respond,
    target_of,
)
from hearthtide.planning.settled import AMBIENT_C

NEVER = Target(core_C=1000.0)  # members run their whole stretch


@dataclass(frozen=True)
class DishAct:
    """One act, seconds from launch; what `move`, `pull` and `rest` (its end) lie within, where it is known.

    `stage` is the one that begins with a launch or move, else the one that the act falls in.
    """

    act: Act | Literal["rest"]
    stage: int
    at_s: float
    low_s: float | None = None
    high_s: float | None = None
    turned_deg: float = 0.0


@dataclass(frozen=True)
class StageCourse:
    """One stage as it went: where and how it lay, from when to when [s from launch], what it waits for.

    `done` False: not within forty minutes; the course then ends here. `flame_m` None: no fire.
    """

    name: str
    place: Place
    x_m: float
    y_m: float
    outline: Outline
    flame_m: float | None
    stone_C: float
    begin_s: float
    end_s: float
    done: bool
    target: Target


@dataclass(frozen=True, eq=False)
class Track:
    """What the food shows at times (n,) from launch [s].

    `core_low_C`, `core_high_C`: a tenth of likely portions beyond on either side, at the same moments.
    `top_C` is the food's face, `base_C` its vessel where `on_vessel`, else its underside. `colour` (n, 5):
    underside, then the top's four sectors, steps 1 to 5. `loss` is a share of the raw weight.
    """

    times_s: Floats
    core_C: Floats
    core_low_C: Floats
    core_high_C: Floats
    top_C: Floats
    base_C: Floats
    on_vessel: Floats
    colour: Floats
    loss: Floats


@dataclass(frozen=True)
class Carry:
    """The core at rest: how much it still rose [K], and how long after the pull it stood highest [s]."""

    core_C_at_pull: float
    rise_K: float
    after_s: float
    core_C_at_end: float


@dataclass(frozen=True, eq=False)
class Killed:
    """Of which organism how much is killed by the end, rest included; for information."""

    target: Organism
    found: Lethality


@dataclass(frozen=True, eq=False)
class DishCourse:
    """One dish from launch to the end of its rest."""

    dish: str
    start_C: float
    power_W: float
    stages: tuple[StageCourse, ...]
    acts: tuple[DishAct, ...]
    rest_s: float
    carry: Carry | None
    killed: Killed | None
    track: Track

    @property
    def done(self) -> bool:
        return all(stage.done for stage in self.stages)

    @property
    def pulled_s(self) -> float:
        return self.stages[-1].end_s


@dataclass(frozen=True, eq=False)
class Ran:
    """A course, and the food as each stage found it."""

    course: DishCourse
    begins: tuple[FoodState, ...]


@dataclass(frozen=True)
class Step:
    """The food at one time of a stage [s], the heat it meets, how far it is turned from the flame."""

    time_s: float
    state: FoodState
    heat: Exposure
    facing_deg: float


def run_course(
    oven: Oven,
    house: House,
    key: str,
    moment: Moment,
    chairs: Sequence[Sequence[Seat]],
    members: tuple[Member, ...],
) -> Ran:
    """A dish through its stages and its rest, at the first of each stage's `chairs` where it gets done.

    `members` give the bands: left to their own ends for what the acts lie within, on the clock of the one
    that is drawn for the core's.
    """
    dish, run = house.dishes[key], _Run(oven, moment, prepare(portion(house, key)), members)
    for i, seats in enumerate(chairs):
        if not run.stages or run.stages[-1].done:
            run.stage(dish, i, seats)
    if dish.rest > 0 and run.stages[-1].done:
        run.rest(dish.rest)
    return Ran(run.course(dish), tuple(run.begins))


class _Run:
    """One dish on its way: the food that is drawn, and the members on its clock and on their own."""

    def __init__(self, oven: Oven, moment: Moment, food: Food, members: tuple[Member, ...]) -> None:
        shown = (shown_for(layer.stuff.name) for layer in food.portion.layers)
        self.target = next((organism for organism in shown if organism is not None), None)
        self.oven, self.moment, self.members = oven, moment, members
        self.food = food if self.target is None else counting(food, self.target)
        self.state, self.facing_deg, self.now_s = start(food), 0.0, 0.0
        self.on_clock: tuple[FoodState, ...] = ()
        self.on_own: tuple[FoodState, ...] = ()
        self.spent_s: Floats = np.zeros(len(members))
        self.begins: list[FoodState] = []
        self.stages: list[StageCourse] = []
        self.acts: list[DishAct] = []
        self.rest_s = 0.0
        self.shown: list[tuple[float, Food, FoodState]] = []
        self.spread_C: list[Floats] = []

    def stage(self, dish: DishFile, i: int, seats: Sequence[Seat]) -> None:
        stage = dish.stages[i]
        self.food = covered(self.food, stage)
        self.begins.append(self.state)
        chair, answer = self._chosen(stage, seats)
        seconds = LONGEST_S if answer.seconds is None else answer.seconds
        acts = timed(dish, i, seconds)
        self._begin(stage, chair, answer)
        self._own_ends(stage, chair, answer)
        still = stage.model_copy(update={"turns": (), "spins": ()})
        heat = heat_at(self.oven, self.moment, chair, still)
        steps = list(
            walked(self.oven, self.moment, chair, self.food, self.state, heat, acts, seconds, self.facing_deg)
        )
        self._show(steps, seconds, stage.covered, events_of(steps, acts))
        self.acts += [replace(act, at_s=self.now_s + act.at_s) for act in acts]
        self.now_s += seconds
        self.state, self.facing_deg = steps[-1].state, steps[-1].facing_deg
        if answer.seconds is not None and i == len(dish.stages) - 1:
            self.acts.append(DishAct("pull", i, self.now_s, *self._band()))

    def rest(self, rest_s: float) -> None:
        """Off its vessel, as the verifier has it for dishes with a rest."""
        heat, n = rest_exposure(AMBIENT_C, "board"), math.ceil(rest_s / STEP_S)
        steps = [Step(0.0, self.state, heat, self.facing_deg)]
        for i in range(1, n + 1):
            state = advance(self.food, steps[-1].state, heat, rest_s / n, self.facing_deg)
            steps.append(Step(i * rest_s / n, state, heat, self.facing_deg))
        self._show(steps, rest_s, self.food.portion.cover, (Event(0.0, heat),))
        self.state = steps[-1].state
        self.now_s, self.spent_s, self.rest_s = self.now_s + rest_s, self.spent_s + rest_s, rest_s
        self.acts.append(DishAct("rest", len(self.stages) - 1, self.now_s, *self._band()))

    def _chosen(self, stage: StageFile, seats: Sequence[Seat]) -> tuple[Seat, Answer]:
        """The first seat where the stage gets done, else the first."""
        tried: list[tuple[Seat, Answer]] = []
        for chair in seats:
            tried.append((chair, respond(self.oven, self.moment, chair, self.food, self.state, stage)))
            if tried[-1][1].seconds is not None:
                return tried[-1]
        return tried[0]

    def _begin(self, stage: StageFile, chair: Seat, answer: Answer) -> None:
        spot, number = chair.spot, len(self.stages)
        end_s = self.now_s + (LONGEST_S if answer.seconds is None else answer.seconds)
        if number == 0:
            self.acts.append(DishAct("launch", 0, 0.0))
        else:
            self.acts.append(DishAct("move", number, self.now_s, *self._band()))
        self.stages.append(
            StageCourse(
                name=stage.name,
                place=spot.zone,
                x_m=spot.x_m,
                y_m=spot.y_m,
                outline=spot.outline,
                flame_m=spot.flame_m if math.isfinite(spot.flame_m) else None,
                stone_C=float(chair.under @ self.moment.state.floor_C),
                begin_s=self.now_s,
                end_s=end_s,
                done=answer.seconds is not None,
                target=target_of(stage),
            )
        )

    def _own_ends(self, stage: StageFile, chair: Seat, answer: Answer) -> None:
        """Every member to its own end of the stage, and what it has spent by then."""
        course = course_of(self.oven, self.moment, chair, self.food, self.state, stage, answer.seconds)
        cooked = cook_stage(self.members, self.on_own, course, stage)
        self.on_own, self.spent_s = cooked.states, self.spent_s + cooked.end_s

    def _band(self) -> tuple[float | None, float | None]:
        found = band(self.spent_s)
        low, high = (value if math.isfinite(value) else None for value in (found.low, found.high))
        return low, high

    def _show(self, steps: list[Step], seconds: float, cover: float, course: tuple[Event, ...]) -> None:
        """Keep what is drawn, and where the members' cores lie at the same moments."""
        self.shown += [(self.now_s + step.time_s, self.food, step.state) for step in steps]
        members, begin = (
            cover_all(self.members, cover),
            self.on_clock or tuple(start(m.food) for m in self.members),
        )
        if len(steps) == 1:  # done as it came in
            self.spread_C.append(np.array([[core_C(m.food, s)] for m, s in zip(members, begin, strict=True)]))
            return
        cooked = cook_all(members, course, NEVER, seconds, begin, seconds / (len(steps) - 1))
        self.on_clock = cooked.states
        self.spread_C.append(np.array([cores_C[: len(steps)] for cores_C in cooked.cores_C]))

    def _killed(self) -> Killed | None:
        if self.target is None:
            return None
        return Killed(self.target, worst_now(self.food, self.state, self.target))

    def course(self, dish: DishFile) -> DishCourse:
        track, pulled_s = _track(self.shown, np.concatenate(self.spread_C, axis=1)), self.stages[-1].end_s
        return DishCourse(
            dish=dish.name,
            start_C=dish.start,
            power_W=self.moment.power_W,
            stages=tuple(self.stages),
            acts=tuple(self.acts),
            rest_s=self.rest_s,
            killed=self._killed(),
            carry=None if self.rest_s == 0 else carry_over(track.times_s, track.core_C, pulled_s),
            track=track,
        )


def timed(dish: DishFile, stage: int, seconds: float) -> list[DishAct]:
    """The flips, turns and spins of a stage that takes so long [s], from its begin."""
    turns = len(dish.stages[stage].turns)
    return [
        DishAct(handle.act, stage, handle.fraction * seconds, turned_deg=turned_deg(handle.act, turns))
        for handle in handles_of(dish, stage)
    ]


def walked(
    oven: Oven,
    moment: Moment,
    chair: Seat,
    food: Food,
    state: FoodState,
    heat: Exposure,
    acts: Sequence[DishAct],
    seconds: float,
    facing_deg: float = 0.0,
) -> Iterator[Step]:
    """A stage in even steps of about two seconds: acts on the first step at or after their time [s]."""
    stone, left = stone_under(oven, moment.state, chair.under), list(acts)
    count = math.ceil(seconds / STEP_S - 1e-9)
    step_s = seconds / count if count else 0.0
    for number in range(count + 1):
        now_s = number * step_s
        while left and left[0].at_s <= now_s:
            act = left.pop(0)
            state = flip(food, state) if act.act == "flip" else state
            facing_deg += act.turned_deg
        met = replace(heat, stone_C=stone.face_C)
        yield Step(now_s, state, met, facing_deg)
        if number < count:
            state = advance(food, state, met, step_s, facing_deg)
            stone = cooled(oven, stone, food.stone_conductance_W_m2K(state), state.base_C, step_s)


def events_of(steps: Sequence[Step], acts: Sequence[DishAct]) -> tuple[Event, ...]:
    """The same stage as events for members: heat turned with the item, steady for ten seconds."""
    events = [Event(act.at_s, flip=True) for act in acts if act.act == "flip"]
    facing_deg, last_s = math.nan, -math.inf
    for step in steps:
        if step.time_s >= last_s + EVERY_S or step.facing_deg != facing_deg:
            facing_deg, last_s = step.facing_deg, step.time_s
            events.append(Event(step.time_s, turned(step.heat, facing_deg)))
    return tuple(sorted(events, key=lambda event: event.at_s))


def turned(exposure: Exposure, facing_deg: float) -> Exposure:
    """The same heat as an item meets it whose leading edge is turned so far clockwise from the flame.

    >>> turned(Exposure("stone", 350.0, 9.0, (8.0, 4.0, 2.0, 4.0), 300.0), 180.0).rim_W_m2
    (2.0, 4.0, 8.0, 4.0)
    """
    ahead, right, behind, left = (rim_at(exposure.rim_W_m2, 90.0 * i + facing_deg) for i in range(4))
    return replace(exposure, rim_W_m2=(ahead, right, behind, left))


def carry_over(times_s: Floats, core_C: Floats, pulled_s: float) -> Carry:
    """What the core does from the pull on: arrays (n,) over the whole course.

    >>> carry_over(np.array([0.0, 60.0, 120.0, 180.0]), np.array([5.0, 50.0, 53.0, 52.0]), 60.0)
    Carry(core_C_at_pull=50.0, rise_K=3.0, after_s=60.0, core_C_at_end=52.0)
    """
    at = int(np.searchsorted(times_s, pulled_s))
    top = at + int(np.argmax(core_C[at:]))
    rise_K, after_s = float(core_C[top] - core_C[at]), float(times_s[top] - pulled_s)
    return Carry(float(core_C[at]), rise_K, after_s, float(core_C[-1]))


def _track(shown: list[tuple[float, Food, FoodState]], spread_C: Floats) -> Track:
    colours = [colour_steps(food, state) for _, food, state in shown]
    bands = [band(column) for column in spread_C.T]
    return Track(
        times_s=np.array([time_s for time_s, _, _ in shown]),
        core_C=np.array([core_C(food, state) for _, food, state in shown]),
        core_low_C=np.array([found.low for found in bands]),
        core_high_C=np.array([found.high for found in bands]),
        top_C=np.array([face_C(food, state) for _, food, state in shown]),
        base_C=np.array([state.base_C for _, _, state in shown]),
        on_vessel=np.array([float(state.on_platter) for _, _, state in shown]),
        colour=np.array([(found.bottom, *found.sectors) for found in colours]),
        loss=np.array([weight_loss(food, state) for _, food, state in shown]),
    )
