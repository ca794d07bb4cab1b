"""What a house writes down, as frozen models: its dishes, its people, a night's tickets.

Files hold quantities as a cook writes them (`13 in`, `620 F`, `1:30`); the models hold SI.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from hearthtide.food.sugar import MOST_SHARE, browning_factor
from hearthtide.house.colours_file import ColoursFile
from hearthtide.house.fields import (
    CoreC,
    FractionText,
    LengthM,
    MassKg,
    Name,
    SecondsText,
    TemperatureC,
    Written,
)
from hearthtide.house.foods_file import OwnFoodFile
from hearthtide.house.night_file import NightFile as NightFile
from hearthtide.house.night_file import TicketFile as TicketFile
from hearthtide.house.oven_file import OvenFile
from hearthtide.house.rules_file import RulesFile
from hearthtide.house.shape_file import ShapeFile
from hearthtide.house.weights_file import WeightsFile
from hearthtide.safety.claims import Evidence
from hearthtide.safety.rules import RawKind, RuleSet

Act = Literal["dress", "launch", "load", "turn", "spin", "flip", "move", "pull", "cut", "flame"]
Place = Literal["near", "mid", "edge", "mouth"]
ColourWord = Literal["pale", "straw", "golden", "brown", "dark"]
COLOUR_STEP: dict[ColourWord, int] = {"pale": 1, "straw": 2, "golden": 3, "brown": 4, "dark": 5}


Seconds = Annotated[SecondsText, Field(ge=1, le=300)]


class OwnSecondsFile(Written):
    """Seconds of one person's hands for the acts done quicker or slower than the house's."""

    dress: Seconds | None = None
    launch: Seconds | None = None
    load: Seconds | None = None
    turn: Seconds | None = None
    spin: Seconds | None = None
    flip: Seconds | None = None
    move: Seconds | None = None
    pull: Seconds | None = None
    cut: Seconds | None = None
    flame: Seconds | None = None


class CookFile(Written):
    name: Name
    acts: tuple[Act, ...] = Field(min_length=1, description="what this person's hands do at the hearth")
    act_seconds: OwnSecondsFile = OwnSecondsFile()


class ActSecondsFile(Written):
    """Seconds of hands per act. Assumed until clocked with a watch (common practice, no source)."""

    dress: Annotated[SecondsText, Field(ge=0, le=300)] = 25.0
    launch: Annotated[SecondsText, Field(ge=1, le=120)] = 10.0
    load: Annotated[SecondsText, Field(ge=1, le=60)] = 8.0
    turn: Annotated[SecondsText, Field(ge=1, le=60)] = 12.0
    spin: Annotated[SecondsText, Field(ge=1, le=60)] = 8.0
    flip: Annotated[SecondsText, Field(ge=1, le=60)] = 10.0
    move: Annotated[SecondsText, Field(ge=1, le=60)] = 10.0
    pull: Annotated[SecondsText, Field(ge=1, le=60)] = 8.0
    cut: Annotated[SecondsText, Field(ge=1, le=120)] = 22.0
    flame: Annotated[SecondsText, Field(ge=1, le=120)] = 6.0


class PlattersFile(Written):
    """The bank of hot platters: how many, how hot, how long until one is back hot."""

    count: Annotated[int, Field(ge=0, le=200)]
    hot: Annotated[TemperatureC, Field(ge=80, le=420)]
    turnaround: Annotated[SecondsText, Field(ge=0, le=7200)]


class ZonesFile(Written):
    """How far from the flame a place begins, measured to the item's nearest edge."""

    near_from: Annotated[LengthM, Field(ge=0.02, le=0.5)] = 0.06
    mid_from: Annotated[LengthM, Field(ge=0.05, le=1.0)] = 0.22
    edge_from: Annotated[LengthM, Field(ge=0.10, le=2.0)] = 0.45
    mouth_depth: Annotated[LengthM, Field(ge=0.0, le=0.6)] = 0.12


class HouseFile(Written):
    """house.yaml: the people, the hands, the bank of platters, what counts as on time."""

    name: Name
    cooks: tuple[CookFile, ...] = Field(min_length=1, max_length=6)
    act_seconds: ActSecondsFile = ActSecondsFile()
    platters: PlattersFile | None = None
    zones: ZonesFile = ZonesFile()
    plating: Annotated[SecondsText, Field(ge=0, le=600)] = 45.0
    together: Annotated[SecondsText, Field(ge=15, le=600)] = 75.0
    late_after: Annotated[SecondsText, Field(ge=0, le=1800)] = 120.0
    pizza_recovery: Annotated[SecondsText, Field(ge=0, le=900)] | None = Field(
        default=None,
        description="rest of a spot after bare dough; left out, the oven model says, place by place",
    )
    one_handed: tuple[Act, ...] = Field(
        default=(), description="acts that leave a hand free: two of them at once are one cook's work"
    )
    splash: Annotated[LengthM, Field(ge=0, le=0.6)] = Field(
        default=0.15, description="how far juices and butter spit from a vessel's edge"
    )
    weights: WeightsFile = WeightsFile()
    colours: ColoursFile | None = Field(
        default=None, description="where the house's own words for brown begin"
    )
    doneness: str | None = Field(
        default=None, description="the scale its words for doneness are read on, such as `kitchen`"
    )
    rules: RulesFile | None = Field(
        default=None, description="the food-safety rules it goes by; left out, nothing is judged"
    )
    stone_has_met: tuple[str, ...] = Field(
        default=(),
        description="allergens that ever lay on its bare stone, besides those of its dishes: they stay",
    )
    gluten: Evidence | None = Field(
        default=None,
        description="the written procedure and test for words about gluten; else none is printed",
    )

    @property
    def chosen_rules(self) -> RuleSet | None:
        """The rule set it goes by; None: nothing is judged."""
        return None if self.rules is None else self.rules.chosen


class PortionLayerFile(Written):
    food: str = Field(description="a key of the food library, or of the house's foods.yaml")
    thickness: Annotated[LengthM, Field(ge=0.001, le=0.15)]


class VesselFile(Written):
    """What stands on the stone. `stone` means the food itself lies there."""

    kind: Literal["stone", "platter", "pan", "crock"]
    diameter: Annotated[LengthM, Field(ge=0.05, le=0.8)] | None = None
    width: Annotated[LengthM, Field(ge=0.05, le=0.8)] | None = None
    depth: Annotated[LengthM, Field(ge=0.05, le=0.8)] | None = None
    metal: str | None = Field(default=None, description="a key of the metal library")
    mass: Annotated[MassKg, Field(ge=0.05, le=10)] | None = None
    from_bank: bool = Field(default=False, description="comes hot from the house's bank of platters")

    @model_validator(mode="after")
    def _outline(self) -> VesselFile:
        rectangle = self.width is not None and self.depth is not None
        if (self.diameter is None) == (not rectangle):
            raise ValueError("expected either diameter, or width and depth")
        if self.kind != "stone" and (self.metal is None or self.mass is None):
            raise ValueError("expected metal and mass for a vessel")
        if self.kind == "stone" and (self.metal is not None or self.from_bank):
            raise ValueError("expected no metal and no bank for food that lies on the stone")
        return self


class UntilFile(Written):
    """What must be true before a stage ends. All that are given must hold."""

    core: Annotated[CoreC, Field(ge=20, le=100)] | None = Field(
        default=None,
        description="degrees, or a word of the house's scale: what it is served at after its rest; the stage "
        "then ends at the scale's pull temperature",
    )
    colour: ColourWord | None = None
    bubbling: bool = False

    @model_validator(mode="after")
    def _something(self) -> UntilFile:
        if self.core is None and self.colour is None and not self.bubbling:
            raise ValueError("expected at least one of core, colour, bubbling")
        return self


class BandFile(Written):
    """How much sooner or later than its minutes a stage may end."""

    early: Annotated[SecondsText, Field(ge=0, le=600)] | None = None
    late: Annotated[SecondsText, Field(ge=0, le=3600)] | None = None


NOTHING_YET = UntilFile.model_construct()  # of a vessel that preheats: no food is on it


class StageFile(Written):
    """One stretch of a dish at one kind of place."""

    name: Name
    places: tuple[Place, ...] = Field(min_length=1, max_length=4, description="in order of liking")
    until: UntilFile = Field(default=NOTHING_YET, description="needed by every stage but a preheat")
    preheat: bool = Field(
        default=False, description="the vessel alone, first; the next stage stays there and loads its food"
    )
    hot: Annotated[TemperatureC, Field(ge=80, le=420)] | None = Field(
        default=None, description="of a preheat: how hot the vessel is when its food is loaded"
    )
    band: BandFile = BandFile()
    minutes: Annotated[SecondsText, Field(ge=10, le=7200)] | None = Field(
        default=None, description="the house's own time; used by the plan where given"
    )
    flips: tuple[Annotated[FractionText, Field(gt=0, lt=1)], ...] = Field(default=(), max_length=6)
    turns: tuple[Annotated[FractionText, Field(gt=0, lt=1)], ...] = Field(default=(), max_length=6)
    spins: tuple[Annotated[FractionText, Field(gt=0, lt=1)], ...] = Field(default=(), max_length=6)
    covered: Annotated[FractionText, Field(ge=0, le=1)] = 0.0

    @model_validator(mode="after")
    def _preheats_or_cooks(self) -> StageFile:
        if not self.preheat:
            if "until" not in self.model_fields_set:
                raise ValueError("until: expected at least one of core, colour, bubbling")
            if self.hot is not None:
                raise ValueError("hot: expected it of a stage with `preheat: true` alone")
            return self
        if "until" in self.model_fields_set or self.flips or self.turns or self.spins:
            raise ValueError("preheat: expected no until, flips, turns or spins: no food is there yet")
        if self.minutes is None or self.hot is None:
            raise ValueError("preheat: expected minutes and how hot the vessel is then")
        return self


class AllergensFile(Written):
    contains: tuple[str, ...] = ()
    may_contact: tuple[str, ...] = ()


class PartFile(Written):
    """Another part of the same piece, such as the thigh beside the breast."""

    name: Name
    layers: tuple[PortionLayerFile, ...] = Field(min_length=1, max_length=4)
    shape: ShapeFile | None = None


class DishFile(Written):
    """dishes/NAME.yaml: what must be true at each stage; the models say how long it takes."""

    name: Name
    words: str = Field(default="", max_length=200, description="what to look, listen and smell for")
    vessel: VesselFile
    layers: tuple[PortionLayerFile, ...] = Field(min_length=1, max_length=4)
    shape: ShapeFile | None = Field(default=None, description="of a piece rounder than a slab")
    also: tuple[PartFile, ...] = Field(
        default=(), max_length=3, description="other parts of the same piece: the slowest of all counts"
    )
    food_area: Annotated[float, Field(ge=0.001, le=0.5)] | None = Field(
        default=None, description="food seen from above, m2; by the shape, else all of the vessel"
    )
    rim: Annotated[LengthM, Field(ge=0.002, le=0.05)] | None = None
    start: Annotated[TemperatureC, Field(ge=-2, le=90)]
    sugar: Annotated[FractionText, Field(ge=0.2, le=5)] = Field(
        default=1.0, description="how many times faster than plain dough or meat it browns"
    )
    sugar_content: Annotated[FractionText, Field(ge=0, le=MOST_SHARE)] | None = Field(
        default=None,
        description="in place of sugar: reducing sugar in the glaze or seasoned surface, share of its mass",
    )
    clear_of_flame: Annotated[LengthM, Field(ge=0, le=1.5)] = 0.0
    dressed: bool = Field(default=False, description="opened and topped at the bench before launch")
    cut: bool = False
    stages: tuple[StageFile, ...] = Field(min_length=1, max_length=4)
    rest: Annotated[SecondsText, Field(ge=0, le=3600)] = 0.0
    hold: Annotated[SecondsText, Field(ge=15, le=3600)] = 180.0
    core_at_landing: Annotated[CoreC, Field(ge=20, le=100)] | None = Field(
        default=None, description="degrees, or a word of the house's scale"
    )
    colour_at_most: ColourWord = "dark"
    tall: bool = Field(default=False, description="nothing behind it can be reached while it stands")
    raw: bool = Field(
        default=False, description="goes in raw: its juices must not reach what is ready to eat"
    )
    raw_of: RawKind | None = Field(
        default=None, description="the animal of what goes in raw; rules may keep it from raw food of others"
    )
    ready_to_eat: bool = Field(default=False, description="could be eaten as it goes in")
    allergens: AllergensFile = AllergensFile()

    @model_validator(mode="after")
    def _one_sugar(self) -> DishFile:
        if self.sugar_content is not None and "sugar" in self.model_fields_set:
            raise ValueError("sugar_content: expected only one of sugar and sugar_content")
        return self

    @property
    def preheated_C(self) -> float | None:
        """How hot its vessel is when food is loaded on it; None for a dish that does not preheat."""
        return self.stages[0].hot

    @property
    def parts(self) -> tuple[DishFile | PartFile, ...]:
        """All parts of the piece, the dish's own layers first."""
        return (self, *self.also)

    @property
    def slow_core_C(self) -> float:
        """The core by which parts of a piece are compared: the hottest a stage asks for, else 74 °C."""
        return max((stage.until.core for stage in self.stages if stage.until.core is not None), default=74.0)

    @property
    def browning(self) -> float:
        """The factor on the browning rate, from `sugar` or from `sugar_content`."""
        return self.sugar if self.sugar_content is None else browning_factor(self.sugar_content)


class House(BaseModel):
    """A whole house folder, read and checked."""

    model_config = ConfigDict(frozen=True)

    folder: str
    file: HouseFile
    oven: OvenFile
    dishes: dict[str, DishFile] = Field(description="by file name without .yaml")
    foods: dict[str, OwnFoodFile] = Field(default={}, description="the house's own, by name")
    set_aside: frozenset[str] = Field(default=frozenset(), description="dishes whose files cannot be used")

    @property
    def own_fatty(self) -> frozenset[str]:
        """Own foods fat enough to drip or spit, for the cautions. A tenth of fat: own choice."""
        return frozenset(name for name, food in self.foods.items() if food.composition.fat >= 10)
