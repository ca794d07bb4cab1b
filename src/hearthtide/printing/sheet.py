"""The sheet the stone is drawn on: metres on the hearth to units on paper, seen from the mouth."""

from __future__ import annotations

from dataclasses import dataclass

from hearthtide.oven.design import OvenDesign
from hearthtide.printing.picture import HALF, Point

SIDE, TOP, BOTTOM = 10.0, 28.0, 46.0  # room around the hearth


@dataclass(frozen=True)
class Sheet:
    """How metres on the stone come to lie on the sheet: the same scale both ways, y up becomes y down."""

    design: OvenDesign

    @property
    def scale(self) -> float:
        """Units per metre."""
        return (HALF - 2 * SIDE) / self.design.diameter_m

    @property
    def sill_y(self) -> float:
        return TOP + (self.design.centre_m[1] + self.design.radius_m) * self.scale

    @property
    def height(self) -> float:
        return self.sill_y + BOTTOM

    def at(self, x_m: float, y_m: float) -> Point:
        """The place on the sheet of a place on the stone."""
        return HALF / 2 + x_m * self.scale, self.sill_y - y_m * self.scale
