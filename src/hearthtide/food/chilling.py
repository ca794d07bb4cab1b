"""Chilling cooked food: how long it takes, and until when a change of method still helps.

An estimate to plan by. A probe in the warmest part decides, and the limits of the local code apply: they
are handed in, none stands here. Ice is not modelled: see `Chilling.lowest_C`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import chill_grid
from hearthtide.food.chill_grid import CORE, LOST, MEAN, SURFACE, ChillGrid, property_tables
from hearthtide.food.chill_methods import ChillMethod, LID_W_m2K
from hearthtide.food.column import LEWIS_PA_K, Floats, saturation_Pa
from hearthtide.food.composition import DENSITY_KG_M3, component, density_kg_m3
from hearthtide.food.library import Foodstuff, foodstuff
from hearthtide.ranges import require

Contents = Literal["thick", "liquid", "stirred"]
STEP_S = 5.0
LONGEST_S = 24 * 3600.0
START_C = (0.0, 100.0)
# A liquid cooled from above turns over: 0.069 Ra^(1/3) Pr^0.074 (Globe and Dropkin, from memory) gives 20 for
# 50 mm of water at 5 K; half of it, for broth and thin sauce. Own choice.
TURNING_OVER = 10.0


@dataclass(frozen=True)
class ToChill:
    """A piece, or the contents of a pan.

    `food` is a food, or the name of one in data/foods.yaml; `thickness_m` 1 to 300 mm the depth in the pan,
    a slab's thickness or a curved body's least diameter. `exponent` 0 slab, 1 long cylinder, 2 sphere,
    between them other shapes (`chill_grid.box_exponent`, `ellipsoid_exponent`). `lid` covers a pan.
    `contents` "thick" conducts as it stands; "liquid" turns over by itself when it is cooled at least as
    hard from above as from below; "stirred" always does. `wet` 0..1 is the share of an open face that water
    covers, None for the food's share of water by volume. `conducts` is how many times better the food
    conducts than its composition says, for a doubt about it.
    """

    food: str | Foodstuff
    thickness_m: float
    exponent: float = 0.0
    lid: bool = False
    contents: Contents = "thick"
    wet: float | None = None
    conducts: float = 1.0

    @property
    def stuff(self) -> Foodstuff:
        """The food itself; KeyError for a name that the library does not hold."""
        return foodstuff(self.food) if isinstance(self.food, str) else self.food


@dataclass(frozen=True)
class ChillLimits:
    """A two-stage limit as a rule set states it; the caller chooses the rule set.

    The clock starts when the core passes `from_C`, or at once when it starts below. The core must be at
    `middle_C` within `middle_within_s` of it and at `end_C` within `end_within_s`; `further_within_s` limits
    the second stage alone. Part-way through, hand in what remains of each time.

    Raises PhysicalRangeError unless from_C > middle_C > end_C and all times are above 0.
    """

    from_C: float
    middle_C: float
    end_C: float
    middle_within_s: float
    end_within_s: float
    further_within_s: float = math.inf

    def __post_init__(self) -> None:
        if not self.from_C > self.middle_C > self.end_C:
            raise PhysicalRangeError(
                f"limits {self.from_C}, {self.middle_C}, {self.end_C} °C: expected each below the one before"
            )
        if not min(self.middle_within_s, self.end_within_s, self.further_within_s) > 0:
            raise PhysicalRangeError("limits: expected times above 0 s")


@dataclass(frozen=True)
class Chilling:
    """The course of a chilling: arrays of shape (n,) from its beginning until the core is at the end limit.

    `core_C` is the warmest point, as the rules ask for; `surface_C` the upper (outer) face. `started_s` is
    when the clock began; `reached_middle_s` and `reached_end_s` count from the clock, None when not
    reached. `lost_kg_m2` is the water gone per m2 of footprint (slab, pan) or of surface (curved body).
    """

    times_s: Floats
    core_C: Floats
    surface_C: Floats
    mean_C: Floats
    started_s: float | None
    reached_middle_s: float | None
    reached_end_s: float | None
    lost_kg_m2: float

    @property
    def lowest_C(self) -> float:
        """The upper face at its coldest [°C]. Below -1 °C it really freezes, which is not modelled."""
        return float(self.surface_C.min())


def _turning(what: ToChill, method: ChillMethod) -> float:
    """How many times better than still the contents conduct."""
    by_itself = what.contents == "liquid" and method.top_W_m2K >= method.bottom_W_m2K
    return TURNING_OVER if by_itself or what.contents == "stirred" else 1.0


def grid_of(what: ToChill, method: ChillMethod) -> ChillGrid:
    """The body's nodes and what they conduct and hold; a method may set its contents turning over."""
    stuff = what.stuff
    tables = property_tables(stuff.composition, stuff.porosity, what.conducts * _turning(what, method))
    return chill_grid.chill_grid(what.thickness_m, what.exponent, tables)


def _wet_share(what: ToChill) -> float:
    if what.wet is not None:
        require("wet", what.wet, "", 0.0, 1.0)
        return what.wet
    stuff = what.stuff
    density = density_kg_m3(stuff.composition, 20.0, stuff.porosity)
    return stuff.composition.water * density / component(DENSITY_KG_M3, "water", 20.0)


def air_vapour_Pa(air_C: float, humidity: float) -> float:
    """Vapour pressure of air [Pa]; below 0 °C over ice (Sonntag 1990, from memory, not re-read)."""
    if air_C < 0:
        return humidity * 611.2 * math.exp(22.46 * air_C / (272.62 + air_C))
    return humidity * float(saturation_Pa(air_C))


def surroundings(what: ToChill, method: ChillMethod, curved: bool) -> Floats:
    """The method's faces as the loop wants them, entries named in `chill_grid`.

    Moist air carries vapour as it carries heat (Lewis relation, LEWIS_PA_K): the film without its radiation
    over 66 Pa/K. A curved body has one face that meets the mean of above and below.
    """
    films = np.array([method.top_W_m2K, method.bottom_W_m2K])
    open_faces = np.array([method.evaporates != "no", method.evaporates == "both"])
    vapour = np.maximum(films - method.radiation_W_m2K, 0.0) * open_faces / LEWIS_PA_K * _wet_share(what)
    if what.lid:
        films[0] = 1 / (1 / LID_W_m2K + 1 / films[0]) if films[0] > 0 else 0.0
        vapour[0] = 0.0
    around_C = np.array([method.air_C, method.below_C])
    if curved:
        whole = films.sum()
        around_C = np.full(2, float(films @ around_C) / whole if whole > 0 else method.air_C)
        films, vapour = np.array([whole / 2, 0.0]), np.array([vapour.sum() / 2, 0.0])
    around = np.zeros(chill_grid.SURROUNDINGS)
    around[[chill_grid.TOP_W_M2K, chill_grid.BOTTOM_W_M2K]] = films
    around[[chill_grid.TOP_C, chill_grid.BOTTOM_C]] = around_C
    around[[chill_grid.TOP_W_M2PA, chill_grid.BOTTOM_W_M2PA]] = vapour
    around[chill_grid.VAPOUR_PA] = air_vapour_Pa(method.air_C, method.humidity)
    return around


def _course(
    node_C: Floats, what: ToChill, method: ChillMethod, stop_C: float, seconds: float, step_s: float
) -> tuple[Floats, Floats]:
    """Times and columns of core, surface, mean and lost, the start first; `node_C` is carried on in place."""
    grid = grid_of(what, method)
    steps = math.ceil(seconds / step_s - 1e-9)
    course = np.zeros((4, steps + 1))
    course[[CORE, SURFACE], 0] = node_C.max(), node_C[-1]
    course[MEAN, 0] = (node_C * grid.shape[0]).sum() / grid.shape[0].sum()
    around = surroundings(what, method, grid.curved)
    dt_s = seconds / max(steps, 1)
    taken = chill_grid.run(node_C, grid.shape, grid.tables, around, dt_s, stop_C, course)
    times_s: Floats = dt_s * np.arange(taken + 1, dtype=np.float64)
    return times_s, course[:, : taken + 1]


def passed_s(times_s: Floats, core_C: Floats, limit_C: float) -> float | None:
    """When the core first is at or below a limit [s], between records by a straight line; None if never."""
    below = np.flatnonzero(core_C <= limit_C)
    if below.size == 0:
        return None
    first = int(below[0])
    if first == 0:
        return float(times_s[0])
    part = (core_C[first - 1] - limit_C) / (core_C[first - 1] - core_C[first])
    return float(times_s[first - 1] + part * (times_s[first] - times_s[first - 1]))


def _judged(times_s: Floats, course: Floats, limits: ChillLimits) -> Chilling:
    core_C = course[CORE]
    started_s = passed_s(times_s, core_C, limits.from_C)
    middle_s = passed_s(times_s, core_C, limits.middle_C)
    end_s = passed_s(times_s, core_C, limits.end_C)
    begin_s = started_s or 0.0
    return Chilling(
        times_s=times_s,
        core_C=core_C,
        surface_C=course[SURFACE],
        mean_C=course[MEAN],
        started_s=started_s,
        reached_middle_s=None if middle_s is None else middle_s - begin_s,
        reached_end_s=None if end_s is None else end_s - begin_s,
        lost_kg_m2=float(course[LOST, -1]),
    )


def chill(
    what: ToChill,
    start_C: float,
    method: ChillMethod,
    limits: ChillLimits,
    then: ChillMethod | None = None,
    change_s: float = 0.0,
    step_s: float = STEP_S,
) -> Chilling:
    """Chill from an even `start_C` until the core is at the limits' end, 24 h at most.

    With `then`, the method changes after `change_s`. An even start at the core's reading is on the slow
    side. `step_s` is the longest step of the solver, 0.1 to 300 s.
    Raises PhysicalRangeError for a start outside 0 to 100 °C, a thickness outside 1 to 300 mm, a change
    outside 0 to 24 h or such a step; KeyError for an unknown food.
    """
    require("start_C", start_C, "°C", *START_C)
    require("change_s", change_s, "s", 0.0, LONGEST_S)
    require("step_s", step_s, "s", 0.1, 300.0)
    node_C = np.full(chill_grid.NODES, float(start_C))
    if start_C <= limits.end_C:
        course = np.array([[start_C], [start_C], [start_C], [0.0]])
        return _judged(np.zeros(1), course, limits)
    whole_s = LONGEST_S if then is None else change_s
    times_s, course = _course(node_C, what, method, limits.end_C, whole_s, step_s)
    if then is not None and course[CORE, -1] > limits.end_C:
        later_s, after = _course(node_C, what, then, limits.end_C, LONGEST_S - change_s, step_s)
        after[LOST] += course[LOST, -1]
        times_s = np.concatenate((times_s, times_s[-1] + later_s[1:]))
        course = np.hstack((course, after[:, 1:]))
    return _judged(times_s, course, limits)


def limits_used(chilling: Chilling, limits: ChillLimits) -> float:
    """The largest share of a limit's time that the course takes: up to 1 kept, `inf` not reached."""
    middle_s, end_s = chilling.reached_middle_s, chilling.reached_end_s
    if middle_s is None or end_s is None:
        return math.inf
    return max(
        middle_s / limits.middle_within_s,
        end_s / limits.end_within_s,
        (end_s - middle_s) / limits.further_within_s,
    )


def makes_it(chilling: Chilling, limits: ChillLimits) -> bool:
    """Whether the course keeps every limit; a limit not reached is not kept."""
    return limits_used(chilling, limits) <= 1


def last_useful_change_s(
    what: ToChill,
    start_C: float,
    method: ChillMethod,
    then: ChillMethod,
    limits: ChillLimits,
    within_s: float = 30.0,
    step_s: float = STEP_S,
) -> float | None:
    """Until when [s from now] a change from `method` to `then` still keeps the limits, to `within_s` early.

    None when even a change now is too late; math.inf when `method` keeps them by itself. Found by halving,
    which takes it that an earlier change to a stronger method is never worse.
    Raises PhysicalRangeError when `within_s` is not 1 to 3600 s, else as `chill`.
    """
    require("within_s", within_s, "s", 1.0, 3600.0)
    left = chill(what, start_C, method, limits, step_s=step_s)
    if makes_it(left, limits):
        return math.inf
    if not makes_it(chill(what, start_C, then, limits, step_s=step_s), limits):
        return None
    low = 0.0
    high = min(LONGEST_S, (left.started_s or 0.0) + limits.end_within_s)
    while high - low > within_s:
        middle = 0.5 * (low + high)
        if makes_it(chill(what, start_C, method, limits, then, middle, step_s), limits):
            low = middle
        else:
            high = middle
    return low
