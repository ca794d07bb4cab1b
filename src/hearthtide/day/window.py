"""A planned heat-up window in plain data: loads, what the models saw, the floor, what does not come about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from hearthtide.day.laying import Left
from hearthtide.day.load import Load
from hearthtide.house.oven_file import FloorBandFile
from hearthtide.planning.flame import FlamePlan
from hearthtide.planning.judge import FLOOR_GIVE_C
from hearthtide.planning.places import Places
from hearthtide.quantities.show import clock_text


@dataclass(frozen=True)
class Went:
    """One load as the coupled models saw it. `done_s`: seconds until its target was met, if it was."""

    done_s: float | None
    core_C: float
    colour_most: float
    stone_C_in: float
    stone_C_out: float


@dataclass(frozen=True)
class Way:
    """Something that would take in more: portions gained by it, portions still left over."""

    words: str
    gains: int
    left: int


@dataclass(frozen=True, eq=False)
class HeatUp:
    """A planned window; all times are seconds of the clock.

    `stone_C` (n,) is the free working stone at `times_s` (n,), from lighting to doors, as the coupled models
    see it. `ready_s`: from when it stands in the band until doors, None when it does not. `fuel_J` until
    doors; `bare_fuel_J` is that of the same oven without a tray, lit as late as it may be.
    """

    lit_s: int
    doors_s: int
    clean_by_s: int
    flame: FlamePlan
    loads: tuple[Load, ...]
    left: tuple[Left, ...]
    went: Mapping[str, Went]
    places: Places
    times_s: tuple[float, ...]
    stone_C: tuple[float, ...]
    band: FloorBandFile
    ready_s: int | None
    fuel_J: float
    bare_fuel_J: float
    roast_until_s: int | None
    capacity: Mapping[str, int]
    ways: tuple[Way, ...]
    runs: int

    @property
    def not_done(self) -> tuple[Load, ...]:
        """Loads that the coupled models do not see done in the time they are given."""
        return tuple(load for load in self.loads if not in_time(load, self.went[load.tray.key]))

    @property
    def kept(self) -> bool:
        """Whether every tray has its place and is done, and the floor is ready when it has to be."""
        return not self.left and not self.not_done and self.floor_kept

    @property
    def floor_kept(self) -> bool:
        """Whether the floor is ready in time and, at doors, not beyond its band."""
        return self.ready_s is not None and self.ready_s <= self.clean_by_s and self.too_hot_K <= 0

    @property
    def too_hot_K(self) -> float:
        """By how much the floor at doors is hotter than its band and the models' own error allow."""
        return max(0.0, self.stone_at_C(self.doors_s) - self.band.high - FLOOR_GIVE_C)

    @property
    def problems(self) -> tuple[str, ...]:
        """What of it does not come about, and what would help, a line each."""
        return tuple(_problems(self))

    def stone_at_C(self, time_s: float) -> float:
        return float(np.interp(time_s, self.times_s, self.stone_C))


def _problems(plan: HeatUp) -> Iterator[str]:
    for one in plan.left:
        yield f"No place on the stone for {one.tray.key}, {one.tray.portions} to a tray: {one.why}"
    for way in plan.ways:
        yield f"With {way.words}: {way.gains} portions more, {way.left} still left over"
    for load in plan.not_done:
        by = clock_text(load.out_s)
        yield f"{load.tray.key}: the models do not see it done by {by}; it stays until the probe says so"
    if plan.too_hot_K > 0:
        at_C, high_C = plan.stone_at_C(plan.doors_s), plan.band.high
        yield f"The floor is too hot at doors: {at_C:.0f} °C, wanted {high_C:.0f} at most"
    if plan.ready_s is None or plan.ready_s > plan.clean_by_s:
        ready = (
            "not in its band by doors" if plan.ready_s is None else f"in it from {clock_text(plan.ready_s)}"
        )
        yield f"The floor is {ready}, wanted by {clock_text(plan.clean_by_s)}"


def in_time(load: Load, went: Went) -> bool:
    """Whether the models see it done in the time it is given."""
    return went.done_s is not None and went.done_s <= load.out_s - load.in_s
