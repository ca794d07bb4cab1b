"""What a house cooks in the heat-up window: `ahead.yaml`, and a dish for each tray in its folder `ahead`."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field, model_validator

from hearthtide.errors import Finding, InputError
from hearthtide.food.grid import layers_density_kg_m3
from hearthtide.house.fields import ClockS, FractionText, MassKg, SecondsText, TemperatureC, Written
from hearthtide.house.files import dishes_in, portion
from hearthtide.house.models import DishFile, House
from hearthtide.house.one_file import read_one
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document, KeyPath

NAME, FOLDER = "ahead.yaml", "ahead"
COOKED_C = (
    74.0  # of raw food that is called cooked: poultry's in the 2022 Food Code, 3-401.11; a house rule for all
)
MASS_OFF = 0.3  # by which share a tray's mass may differ from its dish's; own choice
Then = Literal["chill", "hot hold", "line"]


class BatchFile(Written):
    """One kind of tray: which dish it is, how many portions it carries, what becomes of it afterwards."""

    dish: str = Field(description="a file of the folder ahead, without .yaml")
    makes: str | None = Field(default=None, description="what of pars.yaml it makes; its own key if left out")
    share: Annotated[FractionText, Field(gt=0, le=1)] = Field(
        default=1.0, description="of the portions that are to be made, where several batches make one thing"
    )
    portions: Annotated[int, Field(ge=1, le=1000)] = Field(description="portions on one full tray")
    mass: Annotated[MassKg, Field(ge=0.005, le=20)] = Field(description="food of one portion")
    par_cook: bool = Field(
        default=False, description="stopped before it is cooked: raw in law until it is cooked fully later"
    )
    trays: Annotated[int, Field(ge=1, le=100)] = Field(default=20, description="such trays the house has")
    then: Then = Field(
        default="chill", description="line: used the same night within the rules for time or hot holding"
    )
    stone_from: Annotated[TemperatureC, Field(ge=20, le=500)] = Field(
        default=100.0, description="the house puts it in from this stone on"
    )
    stone_to: Annotated[TemperatureC, Field(ge=40, le=500)] = Field(
        default=330.0, description="and no hotter than this"
    )

    @model_validator(mode="after")
    def _in_order(self) -> BatchFile:
        if self.stone_to <= self.stone_from:
            raise ValueError("stone_to: expected above stone_from")
        if self.par_cook and self.then != "chill":
            raise ValueError("then: expected chill for what is stopped half cooked")
        return self


class HandsFile(Written):
    """Seconds of one person's hands for one tray."""

    put_in: Annotated[SecondsText, Field(ge=1, le=600)] = 45.0
    turn: Annotated[SecondsText, Field(ge=1, le=600)] = 45.0
    take_out: Annotated[SecondsText, Field(ge=1, le=600)] = 45.0
    brush: Annotated[SecondsText, Field(ge=0, le=3600)] = 300.0


class AheadFile(Written):
    """ahead.yaml: the window from lighting to doors, and the trays that may go in."""

    doors: ClockS
    ready_before: Annotated[SecondsText, Field(ge=0, le=7200)] = Field(
        default=1800.0, description="the floor is clean and in its band so long before doors"
    )
    lit_from: ClockS = Field(description="nobody lights sooner than this")
    roast: Annotated[TemperatureC, Field(ge=120, le=450)] = Field(
        default=280.0, description="where the stone is held while trays still want it"
    )
    ambient: Annotated[TemperatureC, Field(ge=-10, le=50)] = 25.0
    hands: HandsFile = HandsFile()
    batches: dict[Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,39}$")], BatchFile] = Field(
        min_length=1, max_length=40
    )

    @model_validator(mode="after")
    def _in_order(self) -> AheadFile:
        if self.lit_from >= self.doors - self.ready_before:
            raise ValueError("lit_from: expected before doors less ready_before")
        return self


@dataclass(frozen=True)
class Ahead:
    """The file, and the house as it is in the window: its dishes are the trays of the folder `ahead`."""

    file: AheadFile
    house: House


def read_ahead(house: House, made: Collection[str] | None = None) -> Ahead:
    """ahead.yaml and its trays. `made`: the keys of pars.yaml where there is one.

    Raises
    ------
    InputError
        With every finding.
    """
    file, document = read_one(house, NAME, AheadFile, "what is cooked ahead to be written", "day.md")
    dishes = dishes_in(house, FOLDER)
    inside = house.model_copy(update={"dishes": dishes})
    wrong = tuple(_wrong(file, document, inside, made))
    if wrong:
        raise InputError(wrong)
    return Ahead(file, inside)


def _wrong(
    file: AheadFile, document: Document, house: House, made: Collection[str] | None
) -> Iterator[Finding]:
    dishes = house.dishes
    for key, batch in file.batches.items():
        at = ("batches", key)
        if batch.dish not in dishes:
            yield document.finding((*at, "dish"), f"a dish in {FOLDER}", close_to(batch.dish, dishes))
            continue
        dish = dishes[batch.dish]
        if len(dish.stages) != 1 or dish.stages[0].preheat:
            remedy = f"Write {FOLDER}/{batch.dish}.yaml with one stage that cooks."
            yield document.finding((*at, "dish"), "one stage: a tray stays where it stands", remedy)
        yield from _cooked(batch, dish, document, at)
        yield from _weighed(house, batch, document, at)
        if made is not None and batch.makes is not None and batch.makes not in made:
            yield document.finding(
                (*at, "makes"), "something that pars.yaml makes", close_to(batch.makes, made)
            )


def _cooked(batch: BatchFile, dish: DishFile, document: Document, at: KeyPath) -> Iterator[Finding]:
    """What goes in raw and comes out under the temperature at which it counts as cooked has to say so."""
    core_C = dish.stages[-1].until.core
    if dish.raw and not batch.par_cook and (core_C is None or core_C < COOKED_C):
        expected = f"a core of {COOKED_C:.0f} °C or more in {FOLDER}/{batch.dish}.yaml, or par_cook: true"
        remedy = "Cook it through, or say that it stays raw in law: that needs an approved written procedure."
        yield document.finding((*at, "dish"), expected, remedy)


def _weighed(house: House, batch: BatchFile, document: Document, at: KeyPath) -> Iterator[Finding]:
    """The models cook what the dish says: its mass has to be that of the portions on a tray."""
    food = portion(house, batch.dish)
    thickness_m = sum(layer.thickness_m for layer in food.layers)
    modelled_kg = food.area_m2 * thickness_m * layers_density_kg_m3(food.layers)
    kg = batch.portions * batch.mass
    if abs(kg - modelled_kg) > MASS_OFF * modelled_kg:
        expected = (
            f"about {modelled_kg:.1f} kg on a tray, as {FOLDER}/{batch.dish}.yaml has it, not {kg:.1f} kg"
        )
        remedy = "Mend portions or mass here, or thickness or food_area there."
        yield document.finding((*at, "mass"), expected, remedy)
