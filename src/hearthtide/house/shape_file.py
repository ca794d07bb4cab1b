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
# Share of the box around a section that it fills, and (round ends) of the box around an outline.
SECTION = {"box": 1.0, "ellipse": math.pi / 4, "dome": math.pi / 4}


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
        filled = SECTION[OUTLINES[self.kind]]
        if self.kind == "ball":
            # Of the box around a ball pi/6 is full; a flat one keeps that share.
            width = self.width
            if width is None:
                width = math.sqrt(float(self.weight or 0) / (density_kg_m3 * thickness_m * math.pi / 6))
            return width, width
        if self.weight is None:
            return float(self.width or 0), float(self.length or 0)
        across = self.weight / (density_kg_m3 * thickness_m * filled)
        if self.width is None:
            return across / float(self.length or 1), float(self.length or 0)
        return self.width, across / self.width

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
