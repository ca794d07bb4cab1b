"""What D and z are checked against: a whole course in equal seconds, and published hold tables."""

from __future__ import annotations

import functools
import importlib.resources
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from ruamel.yaml import YAML

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import BOILING_C, Floats
from hearthtide.ranges import require

# Over a wide gap a line in log(time) can lie below the table, whose slope changes: with every fifth row of
# the beef table it does so by 4 % at most (5 °F are 2.8 K). Own choice.
WIDEST_GAP_K = 3.0


@dataclass(frozen=True)
class HoldTable:
    """Seconds to hold at each temperature, rising, for a reduction by `log`; tuples of one length."""

    name: str
    what: str
    log: float
    temperatures_C: tuple[float, ...]
    seconds: tuple[float, ...]
    source: str


@functools.cache
def _tables() -> dict[str, Any]:
    loaded: dict[str, Any] = YAML(typ="safe").load(Path(__file__).with_name("hold_tables.yaml"))
    return loaded


def organism_names() -> tuple[str, ...]:
    """Every organism in its medium, in alphabetical order."""
    data = importlib.resources.files("hearthtide").joinpath("data", "lethality.yaml").read_text("utf-8")
    return tuple(sorted(YAML(typ="safe").load(data)["organisms"]))


def table_names() -> tuple[str, ...]:
    """Every time table, in alphabetical order."""
    return tuple(sorted(_tables()))


def hold_table(name: str) -> HoldTable:
    """The time table of that name.

    >>> table = hold_table("beef_6_5_log")
    >>> table.log, round(table.temperatures_C[0], 2), table.seconds[0]
    (6.5, 54.44, 6720.0)
    """
    entry = _tables()[name]
    temperatures_C = tuple((float(row[0]) - 32.0) / 1.8 for row in entry["rows"])
    seconds = tuple(float(row[1]) for row in entry["rows"])
    return HoldTable(name, entry["what"], float(entry["log"]), temperatures_C, seconds, entry["source"])


def _checked(times_s: Floats, temps_C: Floats) -> tuple[Floats, Floats]:
    """Time steps (n - 1, 1) and temperatures held down to boiling (n, nodes)."""
    if temps_C.ndim != 2 or times_s.shape != temps_C.shape[:1]:
        raise PhysicalRangeError(
            f"{temps_C.shape} temperatures at {times_s.shape} times: expected (n, nodes), n"
        )
    require("temps_C", temps_C, "°C", -60.0, 1400.0)
    steps_s = np.diff(times_s)
    if not np.all(steps_s > 0):
        raise PhysicalRangeError("times_s: expected rising times")
    return steps_s[:, None], np.minimum(temps_C, BOILING_C)


def equivalent_course_s(times_s: Floats, temps_C: Floats, T_ref_C: float, z_K: float) -> Floats:
    """`equivalent_s` as it grows: (n, nodes), 0 at the first time. Shapes and errors as there."""
    require("z_K", z_K, "K", 2.0, 50.0)
    require("T_ref_C", T_ref_C, "°C", 0.0, BOILING_C)
    steps_s, held_C = _checked(times_s, temps_C)
    first = math.log(10) * (held_C[:-1] - T_ref_C) / z_K
    rise = math.log(10) * np.diff(held_C, axis=0) / z_K
    flat = np.abs(rise) < 1e-9
    mean = np.where(flat, 1.0, np.expm1(rise) / np.where(flat, 1.0, rise))
    course = np.zeros(held_C.shape)
    np.cumsum(steps_s * np.exp(first) * mean, axis=0, out=course[1:])
    return course


def equivalent_s(times_s: Floats, temps_C: Floats, T_ref_C: float, z_K: float) -> Floats:
    """Seconds at `T_ref_C` that kill as much: integral of 10^((T - T_ref) / z) dt, per node.

    `times_s` (n,), rising; `temps_C` (n, nodes). Exact for temperatures that run straight between the
    times. Above 100 °C counts as 100 °C: moist heat ends there. All temperatures below count, also those
    where nothing was measured; on a hearth they pass within minutes and come to a few hundredths of a log.
    Raises PhysicalRangeError for times that do not rise, shapes that do not fit, z outside 2 to 50 K.

    Ten minutes at 60 °C, where z is 5 K, are a hundred at 55 °C:

    >>> equivalent_s(np.array([0.0, 600.0]), np.array([[60.0], [60.0]]), 55.0, 5.0)
    array([6000.])
    """
    total: Floats = equivalent_course_s(times_s, temps_C, T_ref_C, z_K)[-1]
    return total


def hold_s(table: HoldTable, temperature_C: Floats) -> Floats:
    """Seconds the table asks for at a temperature: infinite below it, its last row's above.

    Half-way between two rows the time is their geometric mean: 42 and 34 s at 152 and 153 °F give

    >>> hold_s(hold_table("beef_6_5_log"), np.array([(152.5 - 32) / 1.8])).round(1)
    array([38.2])
    """
    rows_C, rows_s = np.array(table.temperatures_C), np.array(table.seconds)
    at = np.clip(np.searchsorted(rows_C, temperature_C + 1e-9, side="right") - 1, 0, rows_C.size - 2)
    between = np.exp(np.interp(temperature_C, rows_C, np.log(rows_s)))
    wide = (np.diff(rows_C)[at] > WIDEST_GAP_K) & (temperature_C < rows_C[-1] - 1e-9)
    held: Floats = np.where(wide, rows_s[at], between)
    return np.where(temperature_C < rows_C[0] - 1e-9, np.inf, held)


def table_share(times_s: Floats, temps_C: Floats, table: HoldTable) -> Floats:
    """How many times over the table's hold has been met, per node: integral of dt / hold(T), trapezoids.

    A claim by the table needs 1 or more at the worst credited node. Less than 1 is no claim: with the
    shoulder that such tables carry it is not in proportion. Shapes and errors as `equivalent_s`;
    steps of 1 s or less.
    """
    steps_s, held_C = _checked(times_s, temps_C)
    rate = 1.0 / hold_s(table, held_C)
    share: Floats = (steps_s * 0.5 * (rate[1:] + rate[:-1])).sum(axis=0)
    return share
