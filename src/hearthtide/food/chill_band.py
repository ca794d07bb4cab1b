"""How sure a chilling is: the same food chilled many times, each time a little otherwise.

What a cook does not know exactly (how thick, how hot at the start, what the air takes away, how well the
food conducts, how cold the room is) is drawn many times over; each draw, a member, is run by the one
solver. `probe.agreement` weighs the members by readings. What the model itself has wrong is not in it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.band import HIGH, MOST_MEMBERS, draws
from hearthtide.food.chill_methods import ChillMethod
from hearthtide.food.chilling import (
    START_C,
    Chilling,
    ChillLimits,
    ToChill,
    chill,
    last_useful_change_s,
    limits_used,
    makes_it,
)
from hearthtide.food.column import Floats
from hearthtide.food.probe import Agreement, Reading, agreement

STEP_S = 30.0  # of a member's run: within 0.8 % of the time by 5 s; own choice
WITHIN_S = 120.0  # how close a member's last useful change is found; own choice
FILM_FACTOR = (0.5, 2.0)  # beyond it a method is another one; own choice
THICKNESS_M = (0.001, 0.3)  # what the grid takes
EDGE = 1.2816  # deviations beyond which a tenth of a normal law lies
NOWHERE_C = -100.0  # an end that no method reaches, for a course to run on


@dataclass(frozen=True)
class ChillDoubt:
    """Standard deviations of what is not known exactly. Shares are relative, `_K` are kelvin.

    `thickness`, `conductivity` and `start_K` as in `band.Doubt`. `film`: priors good to a third either way
    in nine of ten (`chill_methods`) are 0.22. `air_K`: 1 K from shelf to shelf and with the door, which
    melting ice has not. The last two are own choice.
    Raises PhysicalRangeError for a share outside 0 to 1 or kelvin outside 0 to 20.
    """

    thickness: float = 0.05
    conductivity: float = 0.10
    start_K: float = 2.0
    film: float = 0.22
    air_K: float = 1.0

    def __post_init__(self) -> None:
        for field in fields(self):
            value, most = getattr(self, field.name), 20.0 if field.name.endswith("_K") else 1.0
            if not 0 <= value <= most:
                raise PhysicalRangeError(f"doubt of {field.name} {value}: expected 0 to {most:g}")


@dataclass(frozen=True)
class ChillMember:
    """One draw. Factors multiply, `_K` add; the second film is that of a method changed to."""

    thickness: float
    conducts: float
    start_K: float
    film: float
    air_K: float
    film_then: float

    def food(self, what: ToChill) -> ToChill:
        low, high = THICKNESS_M
        thickness_m = min(high, max(low, self.thickness * what.thickness_m))
        return replace(what, thickness_m=thickness_m, conducts=self.conducts * what.conducts)

    def start(self, start_C: float) -> float:
        return min(START_C[1], max(START_C[0], start_C + self.start_K))

    def meets(self, method: ChillMethod, later: bool = False) -> ChillMethod:
        """The method as this member meets it: films and their radiation, and the room's air."""
        film = min(FILM_FACTOR[1], max(FILM_FACTOR[0], self.film_then if later else self.film))
        return replace(
            method,
            air_C=method.air_C if method.held else min(30.0, max(-40.0, method.air_C + self.air_K)),
            top_W_m2K=film * method.top_W_m2K,
            bottom_W_m2K=film * method.bottom_W_m2K,
            radiation_W_m2K=min(10.0, film * method.radiation_W_m2K),
        )


@dataclass(frozen=True)
class Cooling:
    """What is chilled, from which core, how, and the marks (or limits) it is asked about.

    With `then` the method changes after `change_s`. Ranges and errors as in `chilling.chill`.
    """

    what: ToChill
    start_C: float
    method: ChillMethod
    limits: ChillLimits
    then: ChillMethod | None = None
    change_s: float = 0.0


@dataclass(frozen=True, eq=False)
class Chilled:
    """Members chilled. Times from the beginning [s] (n,), `inf` where not in 24 h; `kept` (n,) is 0 or 1.

    `used` (n,) is the largest share of a limit's time that each takes (`chilling.limits_used`).
    """

    from_s: Floats
    middle_s: Floats
    end_s: Floats
    used: Floats
    kept: Floats
    courses: tuple[Chilling, ...]


def chill_members(
    doubt: ChillDoubt | None = None, members: int = 64, seed: int = 1
) -> tuple[ChillMember, ...]:
    """`members` draws, a Latin hypercube over all doubts: the same seed, the same draws.

    Shares are drawn as the exponential of a normal (the median is 1), kelvin as a normal.
    Raises PhysicalRangeError for members outside 1 to 10000.
    """
    if not 1 <= members <= MOST_MEMBERS:
        raise PhysicalRangeError(f"{members} members: expected 1 to {MOST_MEMBERS}")
    doubt = doubt or ChillDoubt()
    return tuple(_member(doubt, row) for row in draws(members, 6, seed).tolist())


def _member(doubt: ChillDoubt, draw: list[float]) -> ChillMember:
    thickness, conducts, start, film, air, then = draw
    return ChillMember(
        thickness=math.exp(doubt.thickness * thickness),
        conducts=math.exp(doubt.conductivity * conducts),
        start_K=doubt.start_K * start,
        film=math.exp(doubt.film * film),
        air_K=doubt.air_K * air,
        film_then=math.exp(doubt.film * then),
    )


def chill_one(member: ChillMember, cooling: Cooling) -> Chilling:
    """One member's course."""
    then = None if cooling.then is None else member.meets(cooling.then, later=True)
    return chill(
        member.food(cooling.what),
        member.start(cooling.start_C),
        member.meets(cooling.method),
        cooling.limits,
        then,
        cooling.change_s,
        STEP_S,
    )


def chill_all(members: tuple[ChillMember, ...], cooling: Cooling) -> Chilled:
    """Every member to the last mark."""
    courses = tuple(chill_one(member, cooling) for member in members)
    starts = np.array([math.inf if course.started_s is None else course.started_s for course in courses])

    def after(reached_s: list[float | None]) -> Floats:
        later: Floats = np.array([math.inf if value is None else value for value in reached_s])
        total: Floats = starts + later
        return total

    used = np.array([limits_used(course, cooling.limits) for course in courses])
    return Chilled(
        from_s=starts,
        middle_s=after([course.reached_middle_s for course in courses]),
        end_s=after([course.reached_end_s for course in courses]),
        used=used,
        kept=(used <= 1).astype(float),
        courses=courses,
    )


def weighed(members: tuple[ChillMember, ...], cooling: Cooling, readings: tuple[Reading, ...]) -> Agreement:
    """How far each member foretold the readings of the warmest part, each so long after the beginning.

    Raises PhysicalRangeError where no reading is given.
    """
    if not readings:
        raise PhysicalRangeError("no readings: expected one or more")
    on = replace(cooling, limits=replace(cooling.limits, end_C=NOWHERE_C))
    courses = [chill_one(member, on) for member in members]
    times_s = np.array([reading.time_s for reading in readings])
    foretold = np.array([np.interp(times_s, course.times_s, course.core_C) for course in courses]).T
    values = np.array([[reading.value_C] for reading in readings])
    return agreement(values - foretold, np.array([reading.sd_K for reading in readings]))


def last_changes_s(members: tuple[ChillMember, ...], cooling: Cooling, then: ChillMethod) -> Floats:
    """Until when each member may change to `then` and keep the limits [s], (n,), to two minutes early.

    `inf` keeps them without, `-inf` is late from the first.
    """
    return np.array([_last_s(member, cooling, then) for member in members])


def _last_s(member: ChillMember, cooling: Cooling, then: ChillMethod) -> float:
    last_s = last_useful_change_s(
        member.food(cooling.what),
        member.start(cooling.start_C),
        member.meets(cooling.method),
        member.meets(then, later=True),
        cooling.limits,
        WITHIN_S,
        STEP_S,
    )
    return -math.inf if last_s is None else last_s


def parts_s(cooling: Cooling, doubt: ChillDoubt | None = None) -> dict[str, tuple[float, float]]:
    """What each doubt alone makes of the time to the middle mark: with a tenth beyond it on either side [s].

    The quicker time first; `inf` where the mark is not reached within 24 h.
    """
    doubt = doubt or ChillDoubt()
    found = {}
    for number, field in enumerate(fields(doubt)):
        edges = [[sign * EDGE if i == number else 0.0 for i in range(6)] for sign in (-1, 1)]
        both = chill_all(tuple(_member(doubt, draw) for draw in edges), cooling).middle_s
        found[field.name] = (float(both.min()), float(both.max()))
    return found


def slow_member(members: tuple[ChillMember, ...], chilled: Chilled) -> ChillMember:
    """The member that only a tenth come closer to the limits than, or overrun them by more."""
    order = np.argsort(chilled.used, kind="stable")
    return members[int(order[math.ceil(HIGH * len(members)) - 1])]


def thickest_m(cooling: Cooling, member: ChillMember, within_m: float = 0.0005) -> float | None:
    """How thick the same food may be for this member to keep the limits, to `within_m` thin, 120 mm at most.

    None when even 5 mm do not. The body's `exponent` is taken as it is.
    """

    def keeps(thickness_m: float) -> bool:
        what = replace(cooling.what, thickness_m=thickness_m)
        return makes_it(chill_one(member, replace(cooling, what=what)), cooling.limits)

    low, high = 0.005, 0.12
    if not keeps(low):
        return None
    if keeps(high):
        return high
    while high - low > within_m:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if keeps(middle) else (low, middle)
    return low
