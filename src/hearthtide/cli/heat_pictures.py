"""The pictures of `hearthtide heat`: heating and cooling curves, the stone from above, where heat went."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from hearthtide.house.models import House
from hearthtide.oven.answers import Course, Left
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import Oven, OvenState
from hearthtide.printing.curves import Band, Curve, Moment, curves_picture
from hearthtide.printing.fieldmap import field_picture
from hearthtide.printing.flow import flow_picture
from hearthtide.printing.picture import Picture
from hearthtide.ranges import Array

Bounds = tuple[Array, Array]
KEPT = ("stone", "dome")
LAG_SHOWN = 0.004  # a lag of the steps from this share of the heat on is a part of its own


def heat_up(house: House, run: Course, bounds: Bounds, ready_s: float | None) -> Picture:
    """Stone with what the priors leave open, and the dome; the house's band."""
    series = [
        Curve("stone", run.stone_C, *bounds, ink="orange"),
        Curve("dome", run.dome_C, dash=(6, 4)),
        Curve("deep stone", run.inner_C, dash=(2, 3)),
    ]
    moments = () if ready_s is None else (Moment(ready_s, "ready"),)
    return curves_picture("The oven heating up", run.times_s, series, _band(house), moments)


def stone_and_near(house: House, run: Course, bounds: Bounds, title: str) -> Picture:
    """The working stone, and its hottest place near the flame where there is one."""
    series = [Curve("stone", run.stone_C, *bounds, ink="orange")]
    if np.isfinite(run.near_C).all():
        series.append(Curve("by the flame", run.near_C, dash=(6, 4)))
    return curves_picture(title, run.times_s, series, _band(house))


def turned_down(
    house: House,
    times_s: Array,
    both: tuple[Array, Array],
    bounds: Bounds,
    moments: Mapping[str, float | None],
    names: tuple[str, str],
) -> Picture:
    """The stone turned down and, dashed, left up."""
    left_up, down = names
    series = [
        Curve(f"at {down}", both[0], *bounds, ink="orange"),
        Curve(f"left at {left_up}", both[1], dash=(6, 4)),
    ]
    shown = [Moment(time_s, words) for words, time_s in moments.items() if time_s is not None]
    return curves_picture("The stone after turning down", times_s, series, _band(house), shown)


def falling(found: Sequence[tuple[Left, Bounds]]) -> Picture:
    """The stone after the flame went out, with the door on and off."""
    series = [
        Curve(
            f"door {'on' if left.shut else 'off'}",
            left.course.stone_C,
            *bounds,
            ink="orange" if left.shut else "ink",
            dash=() if left.shut else (6, 4),
        )
        for left, bounds in found
    ]
    return curves_picture("The stone after the flame went out", found[0][0].course.times_s, series)


def ledger(spent: Ledger, title: str) -> Picture:
    """Where the heat went."""
    parts = {
        "fuel": spent.fuel_J,
        "stone": spent.floor_J,
        "dome": spent.dome_J,
        "gas that leaves": spent.flue_J,
        "through the mouth": spent.mouth_J,
        "through the shell": spent.shell_J,
    }
    if abs(spent.lag_J) > LAG_SHOWN * spent.fuel_J:
        parts["error of the steps"] = spent.lag_J
    return flow_picture(title, parts, KEPT)


def floor_map(oven: Oven, state: OvenState, band: tuple[float, float]) -> Picture:
    """The stone's temperatures from above, a band pointed out."""
    low = 50.0 * np.floor(state.floor_C.min() / 50)
    high = max(50.0 * np.ceil(state.floor_C.max() / 50), low + 50.0)
    title = f"The stone, {band[0]:.0f} to {band[1]:.0f} °C outlined"
    return field_picture(
        oven.design,
        oven.cells_m,
        oven.stone.sides_m,
        state.floor_C,
        title,
        "°C",
        float(low),
        float(high),
        band,
    )


def cell_map(oven: Oven, inside: NDArray[np.bool_]) -> list[str]:
    """Every second row and each column of cells as signs, back row first: # inside, . outside."""
    signs = np.full(oven.stone.on.size, " ")
    signs[oven.stone.where] = np.where(inside, "#", ".")
    rows = signs.reshape(oven.stone.on.shape)[::2]
    return ["    " + "".join(row).rstrip() for row in rows[::-1]]


def _band(house: House) -> Band:
    band = house.oven.floor_band
    return Band(band.low, band.high, "the house's band")
