"""What a night of falling heat is made of, in plain data: heat, things, people, fire and door."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

import numpy as np

from hearthtide.day.history import DAY_NAMES
from hearthtide.house.rota_file import Hours
from hearthtide.quantities.show import clock_text
from hearthtide.ranges import Array

Place = Literal["stone", "dome"]
Door = Literal["on", "ajar", "off", "any"]
Source = Literal["the house's own readings", "the oven model"]


@dataclass(frozen=True, eq=False)
class Fall:
    """A temperature through the night at rising times (n,), seconds of the evening's clock; `low_C` and
    `high_C` are as far as it may be off. `known_until_s`: from there on it is neither read nor modelled, but
    carried on.
    """

    times_s: Array
    value_C: Array
    low_C: Array
    high_C: Array
    source: Source
    known_until_s: float

    def at_C(self, times_s: Array | float) -> Array:
        """The temperature at times between the first and the last."""
        return np.asarray(np.interp(times_s, self.times_s, self.value_C))


@dataclass(frozen=True)
class Thing:
    """Something done in the falling heat.

    `portions` of `area_m2` each go in while `place` is from `low_C` to `high_C` and stay `least_s` to
    `most_s`, with the place at `least_C` or above throughout. `watched`: somebody is there all the time;
    `turns_s`: at these times after going in; `hands_s`: to put one load in, and to take it out. `out_at_s`:
    the one time it comes out; `by_s`: the last it may. `hot`: food that must stay above the rules' hot limit.
    """

    key: str
    name: str
    portions: int
    area_m2: float
    low_C: float
    high_C: float
    least_s: float
    most_s: float
    least_C: float = 0.0
    place: Place = "stone"
    watched: bool = False
    turns_s: tuple[float, ...] = ()
    out_at_s: float | None = None
    by_s: float | None = None
    door: Door = "any"
    hot: bool = False
    hands_s: float = 300.0
    instead: tuple[Thing, ...] = ()


@dataclass(frozen=True)
class Fires:
    """Fire and door. `out_s`: coals out of the oven, or the gas shut; `door_on_s` None: no door is put on;
    `ready_s`: from when things may go in. `lit`: fires in between, from their lighting until the oven
    is clear and brushed.
    """

    out_s: float
    ready_s: float
    door_on_s: float | None
    fuel: str
    lit: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, eq=False)
class Night:
    """All that a plan of the falling heat is made from. Seconds count from `day`'s first midnight; it ends at
    `end_s`, when the oven is lit again.
    """

    day: date
    falls: Mapping[Place, Fall]
    fires: Fires
    people: tuple[Hours, ...]
    usable_m2: float
    end_s: float

    def when(self, at_s: float) -> str:
        """A time to the minute, with its weekday from midnight on."""
        days, rest_s = divmod(round(at_s / 60) * 60, 86_400)
        name = f"{DAY_NAMES[(self.day.weekday() + days) % 7]} " if days else ""
        return f"{name}{clock_text(rest_s)}"


@dataclass(frozen=True)
class Stay:
    """Some portions of a thing in the oven from `in_s` to `out_s`. `sure`: in its band as far as the heat may
    be off.
    """

    key: str
    portions: int
    in_s: float
    out_s: float
    sure: bool


@dataclass(frozen=True)
class Way:
    """A way out for what does not fit: what is done, its sum, its stays.

    `fuel_kg` of wood or `fuel_kWh` of gas it burns, `early_s` of somebody before the rota has them. `night`:
    the heat it is planned on.
    """

    kind: Literal["instead", "prop", "relight"]
    words: str
    sums: tuple[str, ...]
    stays: tuple[Stay, ...]
    thing: Thing
    night: Night = field(repr=False)
    fuel_kg: float = 0.0
    fuel_kWh: float = 0.0
    early_s: float = 0.0
