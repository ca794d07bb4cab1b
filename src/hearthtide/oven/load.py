"""What lies on the stone, as the oven sees it."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from hearthtide.heat.radiation import blackbody_W_m2
from hearthtide.ranges import Array, require, require_shape

# A cell may be covered past full by this much before items count as overlapping (rounding only).
OVERLAP = 1e-6


@dataclass(frozen=True, eq=False)
class Load:
    """What lies on the stone at this moment.

    `cover` (items, cells) is the share 0..1 of each cell under each item, `conductance_W_m2K` (items,)
    from the stone's surface into the item's base at `base_C`; the item shines upward at `top_C` with the
    stone's emissivity. Raises PhysicalRangeError for items that overlap or values out of range.
    """

    cover: Array
    conductance_W_m2K: Array
    base_C: Array
    top_C: Array
    covered: Array = field(init=False, repr=False)

    def __post_init__(self) -> None:
        items = (self.cover.shape[0],)
        for name in ("conductance_W_m2K", "base_C", "top_C"):
            require_shape(name, getattr(self, name), items)
        covered = self.cover.sum(0)
        if items[0]:
            require("cover", np.array([self.cover.min(), covered.max()]), "of a cell", 0.0, 1 + OVERLAP)
            require("conductance_W_m2K", self.conductance_W_m2K, "W/m²K", 0.0, 1e5)
            require("base_C", self.base_C, "°C", -40.0, 900.0)
            require("top_C", self.top_C, "°C", -40.0, 900.0)
        object.__setattr__(self, "covered", np.minimum(covered, 1.0))

    def arrays(self, cell_m2: Array) -> tuple[Array, Array, Array, Array, Array, Array, float]:
        """What the compiled steps take, for cells of areas (n,), m²: see `march` in `heat.kernel`."""
        cells = len(cell_m2)
        if not self.items:
            return np.zeros((0, cells)), np.zeros(cells), *(np.zeros(cells),) * 3, np.zeros((5, 0)), 0.0
        contact = self.conductance_W_m2K
        tops = blackbody_W_m2(self.top_C)
        facts = np.array([contact, self.base_C, tops, self.top_C, self.cover @ cell_m2])
        cover = np.ascontiguousarray(self.cover, dtype=float)
        held = (contact @ cover, (contact * self.base_C) @ cover, tops @ cover)
        return cover, self.covered, *held, facts, float(self.items)

    @property
    def items(self) -> int:
        return len(self.conductance_W_m2K)


NO_LOAD = Load(np.zeros((0, 0)), np.zeros(0), np.zeros(0), np.zeros(0))
