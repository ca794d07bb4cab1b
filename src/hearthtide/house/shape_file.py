"""A piece rounder than a slab, as a cook measures it: what it is, thickest part, width, length or weight."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field, model_validator

from hearthtide.food.spec import Body, Outline
from hearthtide.house.fields import LengthM, MassKg, Written

Kind = Literal["thick cut", "log", "ball", "wing", "half bird", "loaf"]
OUTLINES: dict[Kind, Outline] = {
    "thick cut": "box",
    "log": "ellipse",
    "ball": "ellipse",
    "wing": "ellipse",
    "half bird": "dome",
    "loaf": "dome",
}
# Share of the box around a section that it fills.
SECTION: dict[Outline, float] = {"box": 1.0, "ellipse": math.pi / 4, "dome": math.pi / 4}
# Its two ends together are as long as it is wide, round from above and from the side like half a ball each:
# of its volume with square ends they lack a third of that length, pi/6 against pi/4 (geometry).
ENDS_LACK: dict[Outline, float] = {"box": 0.0, "ellipse": 1 / 3, "dome": 1 / 3}


class ShapeFile(Written):
    """Its layers say how thick it is at its thickest, of all but a thick cut the inmost first.

    Width and length, or one of them and the weight of one piece: the other is worked out.
    """

    kind: Kind
    width: Annotated[LengthM, Field(ge=0.005, le=0.5)] | None = None
    length: Annotated[LengthM, Field(ge=0.005, le=0.8)] | None = None
    weight: Annotated[MassKg, Field(ge=0.003, le=10)] | None = None
    pieces: Annotated[int, Field(ge=1, le=100)] = Field(default=1, description="side by side in one portion")

    @model_validator(mode="after")
    def _measured(self) -> ShapeFile:
        given = [self.width is not None, self.length is not None, self.weight is not None]
        wanted = 1 if self.kind == "ball" else 2
        if sum(given) != wanted:
            words = "width or weight" if self.kind == "ball" else "two of width, length and weight"
            raise ValueError(f"expected {words}")
        return self

    def sides_m(self, thickness_m: float, density_kg_m3: float) -> tuple[float, float]:
        """Width and length of a piece that thick."""
        if self.weight is None:
            width = float(self.width or 0)
            return width, width if self.kind == "ball" else float(self.length or 0)
        outline = OUTLINES[self.kind]
        whole_m2, lack = self.weight / (density_kg_m3 * thickness_m * SECTION[outline]), ENDS_LACK[outline]
        if self.kind == "ball":
            width = math.sqrt(whole_m2 / (1 - lack))
            return width, width
        if self.width is None:
            length = float(self.length or 0)
            return _other_m(whole_m2, length, lack), length
        return self.width, _other_m(whole_m2, self.width, lack)

    def body(self, thickness_m: float, density_kg_m3: float) -> Body:
        """As the food model takes it; PhysicalRangeError for sizes that it does not."""
        width, length = sorted(self.sides_m(thickness_m, density_kg_m3))
        return Body(OUTLINES[self.kind], width, width / length)

    def area_m2(self, thickness_m: float, density_kg_m3: float) -> float:
        """What all pieces cover, seen from above."""
        width, length = self.sides_m(thickness_m, density_kg_m3)
        body = self.body(thickness_m, density_kg_m3)
        rounding = 0.0 if body.outline == "box" else body.round * (1 - math.pi / 4)
        return self.pieces * width * length * (1 - rounding)


def _other_m(whole_m2: float, one_m: float, lack: float) -> float:
    """The side x beside `one_m`: their product less `lack` of the shorter one squared is `whole_m2` [m²].

    >>> round(_other_m(0.01, 0.1, 0.0), 6), round(_other_m(0.02 / 3, 0.1, 1 / 3), 6)
    (0.1, 0.1)
    """
    if whole_m2 > (1 - lack) * one_m**2:  # x is the longer one
        return whole_m2 / one_m + lack * one_m
    # The smaller root of lack x² - one x + whole = 0, written so that no lack is no trouble.
    return 2 * whole_m2 / (one_m + math.sqrt(one_m**2 - 4 * lack * whole_m2))
