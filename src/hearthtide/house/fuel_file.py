"""What a house burns on a day: `fuel.yaml`, weighed, fed by the hour or by its named flames."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field, model_validator

from hearthtide.errors import Finding, InputError
from hearthtide.house.fields import MassKg, Name, SecondsText, WoodKgH, Written
from hearthtide.house.models import House
from hearthtide.house.one_file import read_one
from hearthtide.house.oven_design import METERED_J_m3
from hearthtide.house.pars_file import WEEKDAYS, Weekday
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document

NAME = "fuel.yaml"
Heap = Annotated[MassKg, Field(ge=0, le=20_000)]
Count = Annotated[int, Field(ge=1, le=5_000)]


class BurnFile(Written):
    """One stretch of the day's fire: so much wood, wood fed by the hour, or a flame of oven.yaml."""

    weighed: Annotated[MassKg, Field(gt=0, le=500)] | None = None
    wood: WoodKgH | None = None
    flame: Name | None = None
    lasts: Annotated[SecondsText, Field(ge=60, le=24 * 3600)] | None = None

    @model_validator(mode="after")
    def _one_way(self) -> BurnFile:
        if sum(one is not None for one in (self.weighed, self.wood, self.flame)) != 1:
            raise ValueError("expected one of weighed, wood and flame")
        if (self.lasts is None) == (self.weighed is None):
            raise ValueError("lasts: expected with wood or flame, and not with weighed")
        return self


class PriceFile(Written):
    amount: Annotated[float, Field(ge=0, le=10_000)]
    per: Literal["kg", "kWh", "m3"]


class FuelFile(Written):
    """fuel.yaml: one open day's fire, what it cooks, what fuel costs and what is there."""

    heat_up: tuple[BurnFile, ...] = Field(min_length=1, max_length=12, description="until the doors open")
    service: tuple[BurnFile, ...] = Field(min_length=1, max_length=12)
    days: tuple[Weekday, ...] = Field(
        default=WEEKDAYS, min_length=1, max_length=7, description="weekdays the oven is lit"
    )
    portions: dict[str, Count] = Field(default={}, description="of each dish on such a day")
    covers: Count | None = Field(default=None, description="on such a day")
    price: PriceFile | None = None
    currency: Annotated[str, Field(pattern=r"^[\p{L}\p{Sc}]{1,12}$")] = "money"
    in_store: Heap | None = Field(default=None, description="wood that is there, dry")


def read_fuel(house: House) -> FuelFile:
    """fuel.yaml, held against the oven and the dishes.

    Raises
    ------
    InputError
        With every finding.
    """
    file, document = read_one(house, NAME, FuelFile, "what a day burns to be written", "day-falling.md")
    wrong = tuple(_wrong(file, house, document))
    if wrong:
        raise InputError(wrong)
    return file


def _wrong(file: FuelFile, house: House, document: Document) -> Iterator[Finding]:
    flames = [flame.name for flame in house.oven.flames]
    wood = house.oven.fuel == "wood"
    for key in ("heat_up", "service"):
        burns: tuple[BurnFile, ...] = getattr(file, key)
        for i, burn in enumerate(burns):
            if burn.flame is not None and burn.flame not in flames:
                yield document.finding(
                    (key, i, "flame"), "a flame of oven.yaml", close_to(burn.flame, flames)
                )
            for name in ("weighed", "wood"):
                if getattr(burn, name) is not None and not wood:
                    burnt = house.oven.fuel.replace("_", " ")
                    yield document.finding(
                        (key, i, name), f"a flame: the oven burns {burnt}", "Name a flame."
                    )
    known = {*house.dishes, *house.set_aside}
    for dish in file.portions:
        if dish not in known:
            yield document.finding(("portions", dish), "a dish of this house", close_to(dish, known))
    if file.in_store is not None and not wood:
        yield document.finding(("in_store",), "wood alone to be stored", "Leave it out.")
    if file.price is not None and file.price.per == "m3" and house.oven.fuel not in METERED_J_m3:
        yield document.finding(("price", "per"), "kg or kWh for wood", "Change it.")
