"""The stone of one hour in m²·min: how much there is, what the hour wants of it, what each step frees."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf

from hearthtide.ranges import require

# Shares of the usable floor that an hour can be sold of: half comfortably, some seven tenths at the most
# (trade figures, no source).
COMFORTABLE, LIMIT = 0.50, 0.70
HOUR_MIN = 60.0
# m²·min a plate: its outline for its minutes and the spot's recovery (worked out from trade minutes, no
# source). The steak stands on a platter heated beside the stone; heated on it, 0.90.
TRADE_USES_m2min: dict[str, float] = {
    "pizza": 0.34,
    "flatbread": 0.23,
    "cheese_dip": 0.14,
    "shrimp": 0.29,
    "vegetables": 0.41,
    "steak": 0.44,
    "wings": 0.58,
    "half_chicken": 0.70,
}
# One pair of hands at the hearth, and with the cutting done elsewhere (assumed seconds, to be clocked).
PIES_H_ONE, PIES_H_CUT_ELSEWHERE = 40, 60


@dataclass(frozen=True)
class Hour:
    """A peak hour: covers wanted, plates of each dish per 100 covers, m²·min a plate, m² of usable stone."""

    usable_m2: float
    covers: float
    per_100: Mapping[str, float]
    uses_m2min: Mapping[str, float]

    @property
    def comfortable_m2min(self) -> float:
        return COMFORTABLE * self.usable_m2 * HOUR_MIN

    @property
    def limit_m2min(self) -> float:
        return LIMIT * self.usable_m2 * HOUR_MIN

    @property
    def parts_m2min(self) -> dict[str, float]:
        """What each dish wants in the hour, the most first."""
        parts = {
            dish: self.covers / 100 * count * self.uses_m2min[dish] for dish, count in self.per_100.items()
        }
        return dict(sorted(parts.items(), key=lambda pair: -pair[1]))

    @property
    def wanted_m2min(self) -> float:
        return sum(self.parts_m2min.values())

    @property
    def of_limit(self) -> float:
        return self.wanted_m2min / self.limit_m2min

    @property
    def per_cover_m2min(self) -> float:
        return self.wanted_m2min / self.covers

    @property
    def most_covers(self) -> float:
        """Covers at which the hour is full; infinite where nothing stands on the stone."""
        per_cover = self.per_cover_m2min
        return self.limit_m2min / per_cover if per_cover > 0 else inf


@dataclass(frozen=True)
class Step:
    """Something done before an oven is bought: dishes off the stone at the peak, others with a new use, a
    share of the peak's covers at another time. `costs` once, `costs_night` each night, in the house's money.
    """

    name: str
    off: tuple[str, ...] = ()
    uses_m2min: Mapping[str, float] = field(default_factory=dict)
    peak_less: float = 0.0
    costs: float = 0.0
    costs_night: float = 0.0

    def applied(self, hour: Hour) -> Hour:
        """The hour with the step taken; a dish that is off the stone stays off, whatever its new use.

        PhysicalRangeError for a share outside 0 to 0.9.
        """
        require("peak_less", self.peak_less, "-", 0.0, 0.9)
        other = {dish: use for dish, use in self.uses_m2min.items() if hour.uses_m2min[dish] > 0}
        uses = {**hour.uses_m2min, **other, **dict.fromkeys(self.off, 0.0)}
        return Hour(hour.usable_m2, hour.covers * (1 - self.peak_less), hour.per_100, uses)


@dataclass(frozen=True)
class Freed:
    """A step: what it frees alone, and where the hour stands with it and all before it."""

    step: Step
    alone_m2min: float
    so_far: Hour


def stepped(hour: Hour, steps: tuple[Step, ...], nights: float) -> tuple[Freed, ...]:
    """The steps, cheapest for what they free first (a year's cost per m²·min), each on top of those before.

    A step that frees nothing comes last.
    """

    def alone(step: Step) -> float:
        return hour.wanted_m2min - step.applied(hour).wanted_m2min

    def price(step: Step) -> tuple[float, float]:
        freed = alone(step)
        year = step.costs + nights * step.costs_night
        return (year / freed if freed > 1e-9 else float("inf"), -freed)

    found, now = [], hour
    for step in sorted(steps, key=price):
        now = step.applied(now)
        found.append(Freed(step, alone(step), now))
    return tuple(found)
