"""What is cooked, in SI units: one portion as the food models see it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.colour import STANDARD, ColourScale
from hearthtide.food.library import Foodstuff, foodstuff
from hearthtide.ranges import require

Outline = Literal["ellipse", "dome", "box"]
# How thick over how wide: flatter wedges leave out more than the 11 % of time stated at 1 to 3. Own choice.
FLATNESS: dict[Outline, tuple[float, float]] = {
    "ellipse": (0.3, 4.0),
    "dome": (0.3, 4.0),
    "box": (0.02, 4.0),
}


@dataclass(frozen=True)
class Body:
    """A piece that is rounder than a slab, `width_m` (5 mm to 0.5 m) across at its widest.

    `outline` of its section: "ellipse" (cylinder, wing, shrimp, ball), "dome" flat below (half bird, loaf),
    "box" (a thick cut with upright sides). `round` is width over length seen from above: 0 for one that is
    long, so that its ends do not count, 1 for one as long as wide (ball, round loaf), exact in rings; between
    them the two are mixed in proportion (own choice). Of an ellipse or a dome the layers lie around each
    other, the inmost first: a bone in its middle.
    Raises PhysicalRangeError for an outline that is none, or sizes outside these.
    """

    outline: Outline
    width_m: float
    round: float = 0.0

    def __post_init__(self) -> None:
        require("width_m", self.width_m, "m", 0.005, 0.5)
        require("round", self.round, "-", 0.0, 1.0)
        if self.outline not in ("ellipse", "dome", "box"):
            raise PhysicalRangeError(f"outline {self.outline}: expected ellipse, dome or box")


@dataclass(frozen=True)
class FoodLayer:
    """A layer of the portion, bottom first; `food` is a food, or the name of one in data/foods.yaml."""

    food: str | Foodstuff
    thickness_m: float

    @property
    def stuff(self) -> Foodstuff:
        """The food itself; KeyError for a name that the library does not hold."""
        return foodstuff(self.food) if isinstance(self.food, str) else self.food


@dataclass(frozen=True)
class Platter:
    """Metal under the food: a lump that the stone heats and the food cools.

    `start_C` is its temperature when the food meets it (a platter from the hot bank, or a cold pan).
    """

    metal: str
    mass_kg: float
    area_m2: float
    start_C: float


@dataclass(frozen=True)
class Portion:
    """One portion: layers through its thickness, footprint area, how it starts, what it stands on.

    `area_m2` is the area of food seen from above. `platter` None means straight on the stone.
    `sugar` scales the rate of browning (1 plain dough or meat; a glaze is above 1).
    `rim_thickness_m` is the airy rim's thickness where the dish has one (pizza, flatbread), else 0.
    `cover` 0..1 is the share of radiation a lid or foil keeps off the top (0 none).
    `lethal_C` and `lethal_z_K` are the reference temperature and z of the organism whose killing is summed at
    every node; z 0 for none.
    `body` is the outline of a piece that is rounder than a slab; its layers then give the thickest part.
    `colours` is the scale on which its browning is told.
    """

    name: str
    layers: tuple[FoodLayer, ...]
    area_m2: float
    start_C: float
    platter: Platter | None = None
    sugar: float = 1.0
    rim_thickness_m: float = 0.0
    cover: float = 0.0
    body: Body | None = None
    lethal_C: float = 70.0
    lethal_z_K: float = 0.0
    colours: ColourScale = STANDARD

    @property
    def thickness_m(self) -> float:
        return sum(layer.thickness_m for layer in self.layers)
