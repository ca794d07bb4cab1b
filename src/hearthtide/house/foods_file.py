"""foods.yaml: the foods a house adds to the library, as their packet or a table tells them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from hearthtide.errors import Finding
from hearthtide.food.library import Foodstuff, made
from hearthtide.house.fields import FractionText, Written
from hearthtide.house.library import known_names
from hearthtide.house.yaml_lines import Document

Grams = Annotated[float, Field(ge=0, le=100)]
_KEY = r"[a-z][a-z0-9_]{1,39}"


def _key(value: object) -> str:
    if not (isinstance(value, str) and re.fullmatch(_KEY, value)):
        raise ValueError("expected a name such as `smoked_leek_cream`")
    return value


Key = Annotated[
    str,
    BeforeValidator(_key),
    WithJsonSchema({"type": "string", "pattern": f"^{_KEY}$", "examples": ["smoked_leek_cream"]}),
]
# Rounding on a label: what is written may add up to this much more or less than 100 g. Own choice.
ROUNDING_G = 3.0
# The models boil water out of food and count what is left: below a tenth they were never tried.
LEAST_WATER_G = 10.0


class CompositionFile(Written):
    """Grams in 100 g without its gas. Water is what is left of 100 where it is not given."""

    water: Grams | None = None
    protein: Grams
    fat: Grams
    carbohydrate: Grams = Field(description="without the fibre")
    fibre: Grams = 0.0
    ash: Grams = Field(default=0.0, description="salt and minerals")

    @model_validator(mode="after")
    def _adds_up(self) -> CompositionFile:
        dry = self.protein + self.fat + self.carbohydrate + self.fibre + self.ash
        total = dry + (self.water or 0.0)
        if total > 100 + ROUNDING_G:
            raise ValueError(f"expected parts that add up to 100 g at most, these make {total:.4g}")
        if self.water is not None and total < 100 - ROUNDING_G:
            raise ValueError(f"expected parts that add up to 100 g, these make {total:.4g}")
        water = self.grams()["water"]
        if water < LEAST_WATER_G:
            found = "this leaves" if self.water is None else "this has"
            raise ValueError(f"expected at least {LEAST_WATER_G:.0f} g of water, {found} {water:.4g}")
        return self

    def grams(self) -> dict[str, float]:
        """Every part with its grams."""
        parts = {
            name: float(getattr(self, name)) for name in ("protein", "fat", "carbohydrate", "fibre", "ash")
        }
        left = max(0.0, 100 - sum(parts.values()))
        return {"water": left if self.water is None else self.water, **parts}


class OwnFoodFile(Written):
    """One food of the house's own."""

    name: Key = Field(description="as a dish's layers call it; small letters, digits and _")
    composition: CompositionFile
    behaviour: Literal["muscle", "dough", "cheese", "plant", "fluid", "thin_fluid"] = Field(
        description="how water moves inside, as in the library"
    )
    porosity: Annotated[FractionText, Field(ge=0, lt=0.9)] = 0.0
    raw_muscle: bool = Field(default=False, description="raw meat or fish, which gives up juice as it sets")
    source: str = Field(max_length=120, description="where the figures are from, in your own words")
    note: str = Field(default="", max_length=200)

    @model_validator(mode="after")
    def _flesh(self) -> OwnFoodFile:
        if self.raw_muscle and self.behaviour != "muscle":
            raise ValueError("raw_muscle: expected behaviour muscle with it")
        return self

    def foodstuff(self) -> Foodstuff:
        """The food as the models take it."""
        return made(
            self.name,
            self.composition.grams(),
            self.behaviour,
            porosity=self.porosity,
            raw_muscle=self.raw_muscle,
            source=self.source,
        )


class FoodsFile(Written):
    """foods.yaml, where a house has one."""

    foods: tuple[OwnFoodFile, ...] = Field(min_length=1, max_length=200)


def check_foods(file: FoodsFile, document: Document) -> Iterator[Finding]:
    """Each name once, and none that the library has already."""
    names = [food.name for food in file.foods]
    for i, name in enumerate(names):
        if name in names[:i]:
            yield document.finding(("foods", i, "name"), "each food once", "Give this one another name.")
        if name in known_names("foods"):
            yield document.finding(
                ("foods", i, "name"),
                "a name the library does not have",
                f"Give it a name of its own, such as `house_{name}`.",
            )
