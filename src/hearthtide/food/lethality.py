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
from hearthtide.food.column import Floats

CAUTION = (
    "Lethality is computed, for information only: a model is no thermometer. Probe the thickest part; "
    "your rule set and local code decide."
)
DRY_SURFACE = "dry surface, not validated"
# Told as "more than" beyond: twelve logs of spores of C. botulinum are the most that anybody asks of heat
# (the canners' botulinum cook: common practice, from memory). D and z were never counted that far.
MOST_LOG = 12.0


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


@dataclass(frozen=True, eq=False)
class Lethality:
    """What heat has killed. Arrays (nodes,), bottom first as the food was laid; of a round piece through its
    middle from skin to skin.

    `log` is what is credited, 0 at nodes that are not; `core_log` the least of the credited ones (0 where
    there is none), found `worst_m` above the underside of a piece `thickness_m` thick, or where
    `under_skin` so deep under the skin of a round one.
    """

    log: Floats
    credited: NDArray[np.bool_]
    core_log: float
    worst_m: float
    thickness_m: float
    under_skin: bool = False

    @property
    def told_log(self) -> float:
        """`core_log` as it may be told: full tenths, MOST_LOG at most.

        >>> Lethality(np.zeros(3), np.ones(3, dtype=bool), 6.48, 0.01, 0.02).told_log
        6.4
        """
        # The sum may miss a full tenth by rounding alone.
        return min(MOST_LOG, math.floor(10 * self.core_log + 1e-9) / 10)

    @property
    def beyond(self) -> bool:
        """Whether more than MOST_LOG is computed, which is not told."""
        return self.core_log > MOST_LOG

    @property
    def words(self) -> str:
        """One line for a page, to stand beside CAUTION."""
        logs = f"more than {MOST_LOG:.0f} log" if self.beyond else f"{self.told_log:.1f} log"
        worst, thick = f"{1000 * self.worst_m:.0f} mm", f"{1000 * self.thickness_m:.0f} mm"
        where = f"above the side first laid down, of {thick}"
        if self.under_skin:
            where = f"under the skin, {thick} thick"
        return f"{logs} at the worst point inside, {worst} {where}; {DRY_SURFACE}"


@functools.cache
def _data() -> dict[str, Any]:
    text = importlib.resources.files("hearthtide").joinpath("data", "lethality.yaml").read_text("utf-8")
    loaded: dict[str, Any] = YAML(typ="safe").load(text)
    return loaded


def organism(name: str) -> Organism:
    """The organism of that name; KeyError that lists the names when there is none.

    >>> organism("e_coli_beef").D_s
    1161.0
    """
    known = _data()["organisms"]
    if name not in known:
        raise KeyError(f"no {name!r} among the organisms; known: {', '.join(sorted(known))}")
    entry: dict[str, Any] = known[name]
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


def log_reduction(seconds: Floats, target: Organism) -> Floats:
    """Decimal logs that equivalent seconds at the organism's own `T_ref_C` and `z_K` are worth.

    >>> log_reduction(np.array([6966.0]), organism("e_coli_beef"))
    array([6.])
    """
    logs: Floats = np.asarray(seconds) / target.D_s
    return logs


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
