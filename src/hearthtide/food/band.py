"""How sure a prediction is: the same portion cooked many times, each time a little otherwise.

What a cook does not know exactly (how thick, how cold, how good the contact, how hot the stone and the
fire) is drawn many times over; each draw, a member, is run by the one food model. The spread of the
members is the band; `probe` narrows it by a reading. What the model itself has wrong is not in the band.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from statistics import NormalDist

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import GAP_CRUST_K, GAP_K, Floats
from hearthtide.food.cooking import Target, reached, until
from hearthtide.food.exposure import Exposure
from hearthtide.food.form import Form
from hearthtide.food.model import START_C, Food, FoodState, advance, flip, follow, heat_on, prepare, start
from hearthtide.food.outcome import burn_margin_s, colour_steps, core_C
from hearthtide.food.spec import FoodLayer, Portion

LOW, HIGH = 0.10, 0.90  # the band leaves out a tenth on either side; own choice
MOST_MEMBERS = 10_000
STONE_RANGE_C = (-20.0, 1400.0)  # what an exposure may hold
LAYER_RANGE_M = (0.0005, 0.2)  # what a grid may hold


@dataclass(frozen=True)
class Doubt:
    """Standard deviations of what is not known exactly. Shares are relative, `_K` are kelvin.

    `thickness` of every layer at once: 0.05 is 1.2 mm on 24 mm; own choice. `conductivity` of the food:
    diffusivity of muscle lies at 1.1 to 1.9e-7 m²/s (a grilled salmon at 1.83e-7, lean patties from 1.94
    down to 1.03e-7: abstracts); 0.10 about the middle is own choice. `start_K`: 2 K between the door and
    the back of a refrigerator; own choice. `contact` under food and platter: between plate and patty 250 to
    650 W/(m² K) was measured (abstract), read as plus and minus 1.6 of 0.30; own choice. `irradiance`: 0.10
    and `stone_K`: 15 K for an oven that is not fitted to readings; own choice.
    Raises PhysicalRangeError for a share outside 0 to 1 or kelvin outside 0 to 200.
    """

    thickness: float = 0.05
    conductivity: float = 0.10
    start_K: float = 2.0
    contact: float = 0.30
    irradiance: float = 0.10
    stone_K: float = 15.0

    def __post_init__(self) -> None:
        for field in fields(self):
            value, most = getattr(self, field.name), 200.0 if field.name.endswith("_K") else 1.0
            if not 0 <= value <= most:
                raise PhysicalRangeError(f"doubt of {field.name} {value}: expected 0 to {most:g}")


@dataclass(frozen=True)
class Member:
    """One draw: the food as it may be, the stone so many kelvin hotter, the fire so many times stronger."""

    food: Food
    stone_K: float
    irradiance: float

    def meets(self, exposure: Exposure) -> Exposure:
        """The exposure as this member meets it; off the hearth nothing of it is in doubt."""
        if exposure.base != "stone":
            return exposure
        low, high = STONE_RANGE_C
        ahead, right, behind, left = (self.irradiance * heat for heat in exposure.rim_W_m2)
        return Exposure(
            "stone",
            min(high, max(low, exposure.stone_C + self.stone_K)),
            self.irradiance * exposure.up_W_m2,
            (ahead, right, behind, left),
            exposure.gas_C,
        )


@dataclass(frozen=True)
class Event:
    """At that time [s] the portion is turned over, or meets another heat, or both (first the heat)."""

    at_s: float
    exposure: Exposure | None = None
    flip: bool = False


@dataclass(frozen=True)
class Band:
    """Where a figure lies: a tenth lies below `low`, half below `median`, a tenth above `high`.

    A time may be `inf`: not within the time that was looked at.
    """

    low: float
    median: float
    high: float


@dataclass(frozen=True, eq=False)
class Cooked:
    """Members run to a target. Arrays and tuples run over the members.

    `end_s` (n,) is `inf` for a member that does not get there within the time given; `states` are those at
    its end, or when that time was over, `stopped_s` (n,); `cores_C` are the courses of the core, a value
    every `dt_s` from 0 on.
    """

    members: tuple[Member, ...]
    course: tuple[Event, ...]
    dt_s: float
    end_s: Floats
    stopped_s: Floats
    states: tuple[FoodState, ...]
    cores_C: tuple[Floats, ...]

    @property
    def end(self) -> Band:
        """The band of the end time [s]."""
        return band(self.end_s)


def ensemble(
    portion: Portion, doubt: Doubt | None = None, members: int = 100, seed: int = 1
) -> tuple[Member, ...]:
    """`members` draws of a portion, a Latin hypercube over all doubts: the same seed, the same draws.

    Shares are drawn as the exponential of a normal (the median is 1), kelvin as a normal; thickness, start
    and stone stay inside what the model takes. A platter as cold as its food shares the food's doubt; one
    from the bank has none. No doubt given: the defaults.
    Raises PhysicalRangeError for members outside 1 to 10000 or a portion that the model does not take.
    """
    doubt = doubt or Doubt()
    if not 1 <= members <= MOST_MEMBERS:
        raise PhysicalRangeError(f"{members} members: expected 1 to {MOST_MEMBERS}")
    prepare(portion)
    return tuple(_member(portion, doubt, row) for row in draws(members, len(fields(doubt)), seed))


def edges(portion: Portion, name: str, doubt: Doubt | None = None) -> tuple[Member, Member]:
    """The two members at the band's edges of one doubt alone, all else as the portion says.

    `name` is a field of `Doubt`; ValueError for another word.
    """
    doubt = doubt or Doubt()
    names = [field.name for field in fields(doubt)]
    if name not in names:
        raise ValueError(f"doubt {name!r}: expected one of {', '.join(names)}")
    draw = np.zeros(len(names))
    draw[names.index(name)] = NormalDist().inv_cdf(HIGH)
    return _member(portion, doubt, -draw), _member(portion, doubt, draw)


def one_at_a_time(portion: Portion, doubt: Doubt | None = None) -> tuple[Member, ...]:
    """The portion as written down, then for each doubt the member one deviation from it towards quicker.

    In the order of `Doubt`'s fields. Raises PhysicalRangeError for a portion that the model does not take.
    """
    doubt = doubt or Doubt()
    toward = np.diag([-1.0 if field.name == "thickness" else 1.0 for field in fields(doubt)])
    return tuple(_member(portion, doubt, draw) for draw in (np.zeros(len(toward)), *toward))


def draws(members: int, dimensions: int, seed: int) -> Floats:
    """Standard normal draws (members, dimensions), one in each of `members` equal slices per dimension."""
    random = np.random.default_rng(seed)
    ranks = np.array([random.permutation(members) for _ in range(dimensions)]).T
    shares = (ranks + random.uniform(1e-9, 1 - 1e-9, ranks.shape)) / members
    normal = NormalDist()
    return np.array([[normal.inv_cdf(share) for share in row] for row in shares.tolist()])


def _member(portion: Portion, doubt: Doubt, draw: Floats) -> Member:
    thickness, conductivity, start_K, contact, irradiance, stone_K = (
        float(z) * float(getattr(doubt, field.name)) for z, field in zip(draw, fields(doubt), strict=True)
    )
    thin, thick = LAYER_RANGE_M
    scale = math.exp(thickness)
    layers = tuple(
        FoodLayer(layer.food, min(thick, max(thin, scale * layer.thickness_m))) for layer in portion.layers
    )
    low, high = START_C
    start_C = min(high, max(low, portion.start_C + start_K))
    platter = portion.platter
    if platter is not None and platter.start_C == portion.start_C:
        platter = replace(platter, start_C=start_C)
    rim_m, body = min(thick, scale * portion.rim_thickness_m), portion.body
    changed = replace(portion, layers=layers, start_C=start_C, platter=platter, rim_thickness_m=rim_m)
    food = prepare(
        changed if body is None else replace(changed, body=replace(body, width_m=scale * body.width_m))
    )
    return Member(_conducting(food, math.exp(conductivity), math.exp(contact)), stone_K, math.exp(irradiance))


def _conducting(food: Food, inside: float, contact: float) -> Food:
    """The food so many times better a conductor, and in so many times better contact."""

    def better(form: Form) -> Form:
        grids = form.cut.grids.copy()
        grids[:, [GAP_K, GAP_CRUST_K]] *= inside
        cut = form.cut._replace(grids=grids, across=inside * form.cut.across)
        return replace(form, cut=cut, edge_m2K_W=form.edge_m2K_W / inside)

    return replace(
        food,
        forms=(better(food.forms[0]), better(food.forms[1])),
        touch_W_m2K=contact * food.touch_W_m2K,
        contact_W_m2K=contact * food.contact_W_m2K,
        crust_contact_W_m2K=contact * food.crust_contact_W_m2K,
    )


def cover_all(members: tuple[Member, ...], share: float) -> tuple[Member, ...]:
    """The members with that share of the radiation kept off their tops, 0 to 1."""
    return tuple(
        replace(m, food=replace(m.food, portion=replace(m.food.portion, cover=share))) for m in members
    )


def steady(exposure: Exposure, flip_at_s: tuple[float, ...] = ()) -> tuple[Event, ...]:
    """One heat from the start, and flips at those times."""
    return (Event(0.0, exposure), *(Event(at_s, flip=True) for at_s in sorted(flip_at_s)))


def cook_all(
    members: tuple[Member, ...],
    course: tuple[Event, ...],
    target: Target,
    max_s: float,
    states: tuple[FoodState, ...] = (),
    dt_s: float = 1.0,
) -> Cooked:
    """Every member through the course until its target is met, or `max_s` is over.

    `course` rises in time and opens with an exposure at 0 s; an event falls on the first step at or after
    its time. As in `cooking.cook`, a target met before the last flip waits for it. `states` are where the
    members begin, raw where none are given.
    Raises PhysicalRangeError for such a course, times that are not positive, or states of another number.
    """
    if not (0 < dt_s < math.inf and 0 < max_s < math.inf):
        raise PhysicalRangeError(f"dt_s {dt_s}, max_s {max_s}: expected both above 0")
    times = [event.at_s for event in course]
    if not course or course[0].exposure is None or times[0] != 0 or times != sorted(times):
        raise PhysicalRangeError(f"course at {times} s: expected an exposure at 0 s and rising times")
    if states and len(states) != len(members):
        raise PhysicalRangeError(f"{len(states)} states: expected one for each of {len(members)} members")
    begin = states or tuple(start(member.food) for member in members)
    runs = [_run(m, s, course, target, max_s, dt_s) for m, s in zip(members, begin, strict=True)]
    ends, stops, last, cores = zip(*runs, strict=True)
    return Cooked(members, course, dt_s, np.array(ends), np.array(stops), last, cores)


def _run(
    member: Member, begin: FoodState, course: tuple[Event, ...], target: Target, max_s: float, dt_s: float
) -> tuple[float, float, FoodState, Floats]:
    """One member: its end [s], when it was stopped [s], its state then, the course of its core."""
    food = member.food
    last_flip_s = max((event.at_s for event in course if event.flip), default=0.0)
    heat, waiting = member.meets(_heat(course, 0.0)), list(course)
    cores_C: list[Floats] = []
    state, steps, most = begin, 0, math.ceil(max_s / dt_s - 1e-9)
    while True:
        state, heat = _met(member, state, heat, waiting, steps * dt_s)
        ends, asked = until(food, state, target), steps * dt_s >= last_flip_s
        upto = min(max_s, waiting[0].at_s) if waiting else max_s
        count = max(1, math.ceil(upto / dt_s - 1e-9) - steps)
        if steps >= most:
            # The last look: nothing goes on after it.
            cores_C.append(np.array([core_C(food, state)]))
            end_s = steps * dt_s if asked and reached(food, state, target) else math.inf
            return end_s, steps * dt_s, state, np.concatenate(cores_C)
        state, found_C, done = follow(food, state, heat_on(food, state, heat), ends, asked, dt_s, count)
        cores_C.append(found_C)
        steps += done
        if done < count:
            return steps * dt_s, steps * dt_s, state, np.concatenate(cores_C)


def _met(
    member: Member, state: FoodState, heat: Exposure, waiting: list[Event], now_s: float
) -> tuple[FoodState, Exposure]:
    """The state and the heat after the events that are due, which wait no longer."""
    while waiting and waiting[0].at_s <= now_s:
        event = waiting.pop(0)
        heat = heat if event.exposure is None else member.meets(event.exposure)
        state = flip(member.food, state) if event.flip else state
    return state, heat


def _walk(
    member: Member, state: FoodState, course: tuple[Event, ...], done_s: float, begin_s: float, dt_s: float
) -> Iterator[tuple[float, FoodState]]:
    """Time [s] and state, without end, from `begin_s` on. Events up to `done_s` have been."""
    heat = member.meets(_heat(course, begin_s))
    waiting = [event for event in course if event.at_s > done_s]
    number = 0
    while True:
        now_s = begin_s + number * dt_s
        state, heat = _met(member, state, heat, waiting, now_s)
        yield now_s, state
        state = advance(member.food, state, heat, dt_s)
        number += 1


def _heat(course: tuple[Event, ...], at_s: float) -> Exposure:
    """The exposure in force at that time, 0 s or later."""
    return [e.exposure for e in course if e.exposure is not None and e.at_s <= at_s][-1]


def core_at(cooked: Cooked, time_s: float) -> Floats:
    """Every member's core at that time [°C], (n,); one that had its end before is cooked on in the same heat.

    Raises PhysicalRangeError for a time below 0 or not finite.
    """
    if not 0 <= time_s < math.inf:
        raise PhysicalRangeError(f"time_s {time_s} s: expected 0 or more")
    rows = zip(cooked.members, cooked.stopped_s.tolist(), cooked.states, cooked.cores_C, strict=True)
    found = []
    for member, stopped_s, state, cores_C in rows:
        if time_s <= stopped_s:
            before_s, pair = cooked.dt_s * (time_s // cooked.dt_s), cores_C[int(time_s // cooked.dt_s) :][:2]
        else:
            before_s, pair = _core_after(member, stopped_s, state, cooked, time_s)
        found.append(float(pair[0] + (time_s - before_s) / cooked.dt_s * (pair[-1] - pair[0])))
    return np.array(found)


def _core_after(
    member: Member, stopped_s: float, state: FoodState, cooked: Cooked, time_s: float
) -> tuple[float, Floats]:
    """The last step at or before that time [s], and the core then and one step on [°C]."""
    at_s, pair = stopped_s, [core_C(member.food, state)]
    for now_s, after in _walk(member, state, cooked.course, stopped_s, stopped_s, cooked.dt_s):
        pair = [*pair[-1:], core_C(member.food, after)]
        if now_s >= time_s:
            break
        at_s = now_s
    return at_s, np.array(pair)


def colour_at_end(cooked: Cooked) -> Floats:
    """Every member's colour on top when it ends, steps 1 to 5 (n,)."""
    pairs = zip(cooked.members, cooked.states, strict=True)
    return np.array([colour_steps(member.food, state).mean for member, state in pairs])


def burn_margins_s(cooked: Cooked, horizon_s: float = 240.0) -> Floats:
    """Every member's seconds from its end until its worst face is past dark, `horizon_s` at most, (n,)."""
    rows = zip(cooked.members, cooked.states, cooked.stopped_s.tolist(), strict=True)
    return np.array(
        [
            burn_margin_s(m.food, state, m.meets(_heat(cooked.course, at_s)), horizon_s)
            for m, state, at_s in rows
        ]
    )


def band(values: Floats, weights: Floats | None = None) -> Band:
    """The band of values (n,) that weigh alike, or as `weights` (n,) say (0 or more, sum above 0).

    >>> band(np.arange(1.0, 11.0))
    Band(low=1.0, median=5.0, high=9.0)
    """
    order = np.argsort(values, kind="stable")
    weighs = np.ones(len(values)) if weights is None else weights[order]
    up_to = np.cumsum(weighs) / weighs.sum()
    low, median, high = (
        float(values[order[min(len(values) - 1, int(np.searchsorted(up_to, share - 1e-12)))]])
        for share in (LOW, 0.5, HIGH)
    )
    return Band(low, median, high)
