"""How far heat has killed what may live in food, at every depth; the worst depth is what counts.

Only moist heat is known: D and z were measured in wet food. Dry heat of a hearth does not kill by them on
a face (fsis-2021 leaves two gaps open there; sindelar-12248: dry heat of 204 °C failed on faces), so faces
are never credited. Nothing here judges: it informs, the rule set decides, and a probe decides before both.
"""

from __future__ import annotations

import functools
import importlib.resources
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ruamel.yaml import YAML

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import BOILING_C, Floats
from hearthtide.ranges import require

CAUTION = (
    "Lethality is computed, for information only: a model is no thermometer. Probe the thickest part; "
    "your rule set and local code decide."
)
DRY_SURFACE = "dry surface, not validated"
# Over a wide gap a line in log(time) can lie below the table, whose slope changes: with every fifth row of
# the beef table it does so by 4 % at most (5 °F are 2.8 K). Own choice.
WIDEST_GAP_K = 3.0
UNKNOWN_FAT = 0.12  # the column to take when nobody knows (fsis-2021)


@dataclass(frozen=True)
class Organism:
    """`D_s` [s] at `T_ref_C` leaves one tenth alive in that medium; `z_K` more makes it ten times faster."""

    name: str
    what: str
    medium: str
    D_s: float
    T_ref_C: float
    z_K: float
    source: str


@dataclass(frozen=True)
class HoldTable:
    """Seconds to hold at each temperature, rising, for a reduction by `log`; tuples of one length."""

    name: str
    what: str
    log: float
    temperatures_C: tuple[float, ...]
    seconds: tuple[float, ...]
    source: str


@dataclass(frozen=True, eq=False)
class Lethality:
    """What heat has killed. Arrays (nodes,), bottom first as the food was laid.

    `log` is what is credited, 0 at nodes that are not; `core_log` the least of the credited ones (0 where
    there is none), found `worst_m` above the underside of a piece `thickness_m` thick.
    """

    log: Floats
    credited: NDArray[np.bool_]
    core_log: float
    worst_m: float
    thickness_m: float

    @property
    def words(self) -> str:
        """One line for a page, to stand beside CAUTION."""
        return (
            f"{self.core_log:.1f} log at the worst point inside, {1000 * self.worst_m:.0f} mm above the "
            f"underside of {1000 * self.thickness_m:.0f} mm; {DRY_SURFACE}"
        )


@functools.cache
def _data() -> dict[str, Any]:
    text = importlib.resources.files("hearthtide").joinpath("data", "lethality.yaml").read_text("utf-8")
    loaded: dict[str, Any] = YAML(typ="safe").load(text)
    return loaded


def _entry(section: str, name: str) -> dict[str, Any]:
    known = _data()[section]
    if name not in known:
        raise KeyError(f"no {name!r} among the {section}; known: {', '.join(sorted(known))}")
    entry: dict[str, Any] = known[name]
    return entry


def organism_names() -> tuple[str, ...]:
    """Every organism in its medium, in alphabetical order."""
    return tuple(sorted(_data()["organisms"]))


def table_names() -> tuple[str, ...]:
    """Every time table, in alphabetical order."""
    return tuple(sorted(_data()["tables"]))


def organism(name: str) -> Organism:
    """The organism of that name; KeyError that lists the names when there is none.

    >>> organism("e_coli_beef").D_s
    1161.0
    """
    entry = _entry("organisms", name)
    seconds = 60.0 * float(entry["D_min"])
    place = (seconds, float(entry["at_C"]), float(entry["z_K"]))
    return Organism(name, entry["what"], entry["medium"], *place, entry["source"])


def shown_for(food: str) -> Organism | None:
    """The organism that is shown for a raw food of the library, None where none is.

    >>> shown_for("shrimp").what, shown_for("butter")
    ('L. monocytogenes', None)
    """
    names = [name for name, foods in _data()["shown_for"].items() if food in foods]
    return organism(names[0]) if names else None


def hold_table(name: str) -> HoldTable:
    """The time table of that name; KeyError that lists the names when there is none.

    >>> table = hold_table("beef_6_5_log")
    >>> table.log, round(table.temperatures_C[0], 2), table.seconds[0]
    (6.5, 54.44, 6720.0)
    """
    entry = _entry("tables", name)
    temperatures_C = tuple((float(row[0]) - 32.0) / 1.8 for row in entry["rows"])
    seconds = tuple(float(row[1]) for row in entry["rows"])
    return HoldTable(name, entry["what"], float(entry["log"]), temperatures_C, seconds, entry["source"])


def chicken_table(fat: float | None) -> HoldTable:
    """The chicken table to claim by: the leanest column up to 1 % fat, else, or when unknown, 12 %.

    `fat` is a mass fraction. Raises PhysicalRangeError above 12 %, which no column covers.

    >>> chicken_table(None).name, chicken_table(0.01).name
    ('chicken_12_fat_7_log', 'chicken_lean_7_log')
    """
    share = UNKNOWN_FAT if fat is None else fat
    require("fat", share, "", 0.0, UNKNOWN_FAT)
    return hold_table("chicken_lean_7_log" if share <= 0.01 else "chicken_12_fat_7_log")


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


def log_reduction(seconds: Floats, target: Organism) -> Floats:
    """Decimal logs that equivalent seconds at the organism's own `T_ref_C` and `z_K` are worth.

    >>> log_reduction(np.array([6966.0]), organism("e_coli_beef"))
    array([6.])
    """
    logs: Floats = np.asarray(seconds) / target.D_s
    return logs


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


def judge(
    seconds: Floats, heights_m: Floats, target: Organism, dried: NDArray[np.bool_] | None = None
) -> Lethality:
    """What per-node equivalent seconds (nodes,) at the organism's T_ref and z are worth, and where least.

    `heights_m` (nodes,) rise from the underside's 0. Both faces have met dry heat and are not credited, nor
    nodes that have `dried` (nodes,). Raises PhysicalRangeError where fewer than three nodes are given.
    """
    if seconds.shape != heights_m.shape or seconds.ndim != 1 or seconds.size < 3:
        raise PhysicalRangeError(f"{seconds.shape} nodes at {heights_m.shape} heights: expected 3 or more")
    credited = np.ones(seconds.size, dtype=bool) if dried is None else ~dried
    credited[[0, -1]] = False
    logs = np.where(credited, log_reduction(seconds, target), 0.0)
    worst = int(np.where(credited, logs, np.inf).argmin())
    return Lethality(logs, credited, float(logs[worst]), float(heights_m[worst]), float(heights_m[-1]))
