"""The day after a cold unit failed: what can be cooked anew before doors, and whether it is cold by then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hearthtide.day.chill_lots import ChillPlan, ColdUnit, HotLot
from hearthtide.day.chill_plan import plan_chilling
from hearthtide.food.chilling import ChillLimits
from hearthtide.ranges import require


@dataclass(frozen=True)
class Anew:
    """What lands raw and how it can be cooked: `portions` at `land_s`, `per_load` at once for `load_s`.

    The heat-up window runs from `window_s[0]` to `window_s[1]`; it is wanted from `doors_s` on: seconds of
    the day's clock. Raises PhysicalRangeError for none of anything or a window that ends as it begins.
    """

    portions: int
    land_s: float
    per_load: int
    load_s: float
    window_s: tuple[float, float]
    doors_s: float

    def __post_init__(self) -> None:
        require("portions", self.portions, "", 1, 5000)
        require("per_load", self.per_load, "", 1, 500)
        require("load_s", self.load_s, "s", 60.0, 6 * 3600.0)
        require("window", self.window_s[1] - self.window_s[0], "s", 60.0, 86400.0)


@dataclass(frozen=True)
class Load:
    """One load in the oven."""

    from_s: float
    ready_s: float
    portions: int


@dataclass(frozen=True)
class NewDay:
    """Loads in the heat-up, how many portions there are at most tonight (then 86), how they would chill."""

    loads: tuple[Load, ...]
    most: int
    chilled: ChillPlan

    @property
    def hold_hot(self) -> bool:
        """Whether holding hot is the least trouble for what cannot be cold when it is wanted."""
        first = [one.ways[0].kind for one in self.chilled.lots if not one.feasible and one.ways]
        return bool(first) and all(kind == "hot hold" for kind in first)


def loads_of(anew: Anew) -> tuple[Load, ...]:
    """Loads one after the other, whole ones alone: what is not out when the window ends is not begun.

    >>> found = loads_of(Anew(20, 41400.0, 9, 3000.0, (52200.0, 59400.0), 61200.0))
    >>> [(one.from_s / 60, one.portions) for one in found]
    [(870.0, 9), (920.0, 9)]
    """
    made: list[Load] = []
    start_s, left = max(anew.window_s[0], anew.land_s), anew.portions
    while left and start_s + anew.load_s <= anew.window_s[1] + 1e-6:
        count = min(anew.per_load, left)
        made.append(Load(start_s, start_s + anew.load_s, count))
        left, start_s = left - count, start_s + anew.load_s
    return tuple(made)


def new_day(
    anew: Anew,
    one: HotLot,
    units: Sequence[ColdUnit],
    limits: ChillLimits | None,
    keeps_C: float | None,
    hot_C: float | None,
) -> NewDay:
    """The loads, each chilled as a lot of its own, wanted cold at doors.

    `one` is a lot of one portion: its `mass_kg` is a portion's, `trays` how many portions lie on a tray.
    """
    loads = loads_of(anew)
    lots = [
        replace(
            one,
            key=f"load {n}",
            name=f"{one.name}, load {n}",
            mass_kg=one.mass_kg * load.portions,
            trays=-(-load.portions // one.trays),
            ready_s=load.ready_s,
            portions=load.portions,
            wanted_s=anew.doors_s,
        )
        for n, load in enumerate(loads, 1)
    ]
    chilled = plan_chilling(lots, units, limits, keeps_C, hot_C=hot_C)
    return NewDay(loads, sum(load.portions for load in loads), chilled)
