"""Response tables: how long each stage of a dish takes over stone, irradiance and kind of spot.

A table answers in microseconds what `response.respond` runs the food for; what it costs in error is stated in
docs/performance.md. `table_filling` fills them, `table_store` keeps them on disk.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import STONE_BEHIND_C, STONE_C, Floats
from hearthtide.food.exposure import Exposure, Sectors
from hearthtide.food.model import FOOD_EMISSIVITY, GAS_W_m2K
from hearthtide.house.models import Place
from hearthtide.ranges import require

# Figures of an entry, the first index of `StageTable.values`.
SECONDS, LOW_S, HIGH_S, CORE_C, COLOUR, BURN_MARGIN_S = range(6)
FIGURES = 6


@dataclass(frozen=True)
class Axes:
    """Stone faces [°C] and irradiances on a face that looks up [W/m²], each two or more and rising.

    Raises PhysicalRangeError for others, or outside 20 to 700 °C and 500 to 100,000 W/m².
    """

    stone_C: tuple[float, ...] = tuple(float(stone) for stone in range(200, 451, 25))
    up_W_m2: tuple[float, ...] = (4e3, 5.5e3, 7e3, 9e3, 11.5e3, 14.5e3, 18e3, 23e3, 30e3, 40e3)

    def __post_init__(self) -> None:
        for name, unit, values, low, high in (
            ("stone_C", "°C", self.stone_C, 20.0, 700.0),
            ("up_W_m2", "W/m²", self.up_W_m2, 500.0, 1e5),
        ):
            if len(values) < 2 or any(after <= before for before, after in pairwise(values)):
                raise PhysicalRangeError(f"{name} {values}: expected two or more, rising")
            for value in values:
                require(name, value, unit, low, high)


@dataclass(frozen=True)
class Kind:
    """A kind of spot: a third of a place, 1 the nearest to the flame, and what the heat is like there.

    `rim_of_up` is the irradiance on the four upright faces over that on one that looks up, evened where the
    stage turns the item; `stone_C` and
    `up_W_m2` the heat there in the oven as it stands in its band, `from_flame_m` infinite without a fire.
    """

    place: Place
    third: int
    from_flame_m: float
    rim_of_up: Sectors
    stone_C: float
    up_W_m2: float


@dataclass(frozen=True, eq=False)
class Hearth:
    """What all entries share: the floor as a column (`column.STONE_ROWS`, nodes), its face, the gas [°C]."""

    floor: Floats
    face_C: float
    gas_C: float

    def stone(self, face_C: float) -> Floats:
        """The column under a face that hot, as hot below it in proportion."""
        stone = self.floor.copy()
        behind_C = float(stone[STONE_BEHIND_C, -1])
        share = (face_C - behind_C) / (self.face_C - behind_C)
        stone[STONE_C] = behind_C + share * (stone[STONE_C] - behind_C)
        return stone

    def exposure(self, kind: Kind, stone_C: float, up_W_m2: float) -> Exposure:
        """The heat at such a spot."""
        ahead, right, behind, left = (share * up_W_m2 for share in kind.rim_of_up)
        return Exposure("stone", stone_C, up_W_m2, (ahead, right, behind, left), self.gas_C)


@dataclass(frozen=True)
class Entry:
    """One answer: seconds by the model as it stands, its band as in `food.band`, and the portion then.

    `high_s` is infinite where more than a tenth of what is likely is not done within forty minutes. `core_C`
    [°C] and `colour` of the top (steps 1 to 5) are at the end; `burn_margin_s` is how long it may then stay,
    as far as was looked.
    """

    seconds: float
    low_s: float
    high_s: float
    core_C: float
    colour: float
    burn_margin_s: float


@dataclass(frozen=True, eq=False)
class StageTable:
    """One stage: `values` (FIGURES, kinds, stones, irradiances), infinite where the target is not met.

    `cover` 0..1 of the stage's lid or foil; `gas_C` is the gas the entries were run in.
    """

    stage: str
    cover: float
    kinds: tuple[Kind, ...]
    axes: Axes
    gas_C: float
    values: Floats

    @property
    def met(self) -> NDArray[np.bool_]:
        """Whether the target is met within forty minutes (kinds, stones, irradiances)."""
        return np.asarray(np.isfinite(self.values[SECONDS]))

    def at(self, kind: int, stone_C: float, up_W_m2: float, gas_C: float | None = None) -> Entry | None:
        """The entry between entries: logarithms of times go straight in stone and in log irradiance.

        The burn margin is the least of the four around. Another gas counts as the irradiance that gives a
        face as much heat. None beyond the table, and where one of the four entries around is not met: ask
        the food itself there.
        """
        if gas_C is not None:
            up_W_m2 += GAS_W_m2K * (gas_C - self.gas_C) / (FOOD_EMISSIVITY * max(0.1, 1 - self.cover))
        across = _between(self.axes.stone_C, stone_C)
        along = _between(tuple(map(math.log, self.axes.up_W_m2)), math.log(max(up_W_m2, 1.0)))
        if across is None or along is None:
            return None
        (j, down), (k, on) = across, along
        corners = self.values[:, kind, j : j + 2, k : k + 2]
        if not np.isfinite(corners[SECONDS]).all():
            return None
        weights = np.outer([1 - down, down], [1 - on, on])
        return Entry(
            seconds=_mixed(corners[SECONDS], weights, in_logs=True),
            low_s=_mixed(corners[LOW_S], weights, in_logs=True),
            high_s=_mixed(corners[HIGH_S], weights, in_logs=True),
            core_C=_mixed(corners[CORE_C], weights, in_logs=False),
            colour=_mixed(corners[COLOUR], weights, in_logs=False),
            burn_margin_s=float(corners[BURN_MARGIN_S].min()),
        )


def _between(marks: tuple[float, ...], value: float) -> tuple[int, float] | None:
    """The mark at or below a value and how far it lies towards the next, 0..1; None outside."""
    if not marks[0] <= value <= marks[-1]:
        return None
    i = min(bisect_right(marks, value) - 1, len(marks) - 2)
    return i, (value - marks[i]) / (marks[i + 1] - marks[i])


def _mixed(corners: Floats, weights: Floats, in_logs: bool) -> float:
    """The weighted mean of four corners; of logarithms for times, where none of them is 0."""
    seen = weights > 0
    if in_logs and (corners[seen] > 0).all():
        return float(np.exp((weights[seen] * np.log(corners[seen])).sum()))
    return float((weights[seen] * corners[seen]).sum())
