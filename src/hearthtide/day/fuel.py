"""The wood or gas of a day and of the days to come: what it burns, for what, and what to order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from hearthtide.heat.combustion import Fuel
from hearthtide.oven.readings import J_PER_kWh
from hearthtide.ranges import require

MOST_DAYS = 31


@dataclass(frozen=True)
class Burn:
    """One stretch of fire, J of heat on the net calorific value. `words`: the sum it comes from."""

    heat_J: float
    words: str


@dataclass(frozen=True)
class DayFuel:
    """What one open day burns until the doors and in service."""

    fuel: Fuel
    metered_J_m3: float | None
    heat_up: tuple[Burn, ...]
    service: tuple[Burn, ...]

    @property
    def heat_up_J(self) -> float:
        return sum(burn.heat_J for burn in self.heat_up)

    @property
    def heat_J(self) -> float:
        return self.heat_up_J + sum(burn.heat_J for burn in self.service)

    @property
    def heat_up_share(self) -> float:
        """Of the day's fuel, what is burnt before anything is sold."""
        return self.heat_up_J / self.heat_J

    def amount(self, per: str) -> float:
        """The day in kg, kWh or m3. KeyError for m3 of a fuel that is not metered."""
        if per == "kg":
            return self.heat_J / self.fuel.calorific_J_kg
        if per == "kWh":
            return self.heat_J / J_PER_kWh
        if per == "m3" and self.metered_J_m3 is not None:
            return self.heat_J / self.metered_J_m3
        raise KeyError(f"{per}: expected kg, kWh or, for metered gas, m3")


@dataclass(frozen=True)
class Order:
    """Fuel for some days: open days among them, kg wanted, there and to order."""

    open_days: tuple[date, ...]
    wanted_kg: float
    there_kg: float
    order_kg: int


def weighed(fuel: Fuel, kg: float) -> Burn:
    """So many kg, 0 to 500.

    >>> from hearthtide.heat.combustion import NATURAL_GAS
    >>> weighed(NATURAL_GAS, 2.0).words
    '2 kg'
    """
    require("kg", kg, "kg", 0.0, 500.0)
    return Burn(kg * fuel.calorific_J_kg, f"{kg:g} kg")


def fed(fuel: Fuel, kg_h: float, lasts_s: float) -> Burn:
    """Wood fed at `kg_h` (0 to 100 kg/h) for `lasts_s` (0 to a day)."""
    require("kg_h", kg_h, "kg/h", 0.0, 100.0)
    require("lasts_s", lasts_s, "s", 0.0, 86400.0)
    hours = lasts_s / 3600
    return Burn(kg_h * hours * fuel.calorific_J_kg, f"{kg_h:g} kg/h x {hours:g} h = {kg_h * hours:.1f} kg")


def flamed(name: str, power_W: float, lasts_s: float) -> Burn:
    """A flame of `power_W` (0 to 200 kW) for `lasts_s` (0 to a day)."""
    require("power_W", power_W, "W", 0.0, 200_000.0)
    require("lasts_s", lasts_s, "s", 0.0, 86400.0)
    hours, kW = lasts_s / 3600, power_W / 1000
    return Burn(power_W * lasts_s, f"{name} {kW:.1f} kW x {hours:g} h = {kW * hours:.1f} kWh")


def open_days(from_day: date, days: int, weekdays: Iterable[int]) -> tuple[date, ...]:
    """The days the oven is lit among `days` (1 to 31) from `from_day` on; `weekdays` with Monday 0."""
    require("days", float(days), "", 1, MOST_DAYS)
    lit = frozenset(weekdays)
    every = (from_day + timedelta(days=n) for n in range(days))
    return tuple(day for day in every if day.weekday() in lit)


def order_of(day: DayFuel, lit: tuple[date, ...], there_kg: float) -> Order:
    """What to order for those days beside what is there, in whole kg, rounded up.

    Raises PhysicalRangeError for less than nothing in store.
    """
    require("there_kg", there_kg, "kg", 0.0, 1e6)
    wanted_kg = len(lit) * day.amount("kg")
    return Order(lit, wanted_kg, there_kg, max(0, ceil(wanted_kg - there_kg - 1e-9)))
