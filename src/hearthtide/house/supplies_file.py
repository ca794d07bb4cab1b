"""Dry goods as a house orders them: what a portion uses, packs, what is there: `supplies.yaml`."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from hearthtide.errors import InputError
from hearthtide.house.fields import FractionText, MassKg, Name, Written
from hearthtide.house.models import House
from hearthtide.house.one_file import read_one
from hearthtide.house.pars_file import ParsFile, Weekday
from hearthtide.house.validate import close_to

NAME = "supplies.yaml"
MOST_LEAD_DAYS = 10  # a delivery that comes later is past what demand is told for; own choice
Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,39}$")]


class SupplyFile(Written):
    """One thing that is ordered."""

    name: Name
    uses: dict[Key, Annotated[MassKg, Field(ge=0.0001, le=20)]] = Field(
        min_length=1, description="for one portion of a thing of pars.yaml, or one plate of a dish"
    )
    pack: Annotated[MassKg, Field(ge=0.01, le=1000)] = Field(description="a sack, tin or box of it")
    on_hand: Annotated[MassKg, Field(ge=0, le=10_000)] = Field(description="counted this morning")
    coming: Annotated[MassKg, Field(ge=0, le=10_000)] = Field(
        default=0.0, description="ordered already: it comes with the next delivery"
    )
    lead: Annotated[int, Field(ge=0, le=MOST_LEAD_DAYS)] = Field(
        description="days from the order to the delivery"
    )
    delivered: tuple[Weekday, ...] = Field(min_length=1, max_length=7)
    level: Annotated[FractionText, Field(ge=0.5, le=0.999)] = Field(
        default=0.95, description="how surely it is to last until the delivery after the next"
    )


class SuppliesFile(Written):
    """supplies.yaml."""

    supplies: dict[Key, SupplyFile] = Field(min_length=1, max_length=200)


def read_supplies(house: House, pars: ParsFile) -> SuppliesFile:
    """supplies.yaml, its uses checked against pars.yaml's things and the house's dishes.

    Raises
    ------
    InputError
        With every finding.
    """
    file, document = read_one(house, NAME, SuppliesFile, "what is ordered to be written", "day-prep.md")
    known = {*pars.made, *house.dishes, *house.set_aside}
    wrong = tuple(
        document.finding(
            ("supplies", key, "uses", one), "a thing of pars.yaml or a dish", close_to(one, known)
        )
        for key, supply in file.supplies.items()
        for one in supply.uses
        if one not in known
    )
    if wrong:
        raise InputError(wrong)
    return file


def kg_by_dish(supply: SupplyFile, pars: ParsFile) -> dict[str, float]:
    """What one plate of each dish uses, things made ahead counted into the dishes they are for."""
    found: dict[str, float] = {}
    for key, kg in supply.uses.items():
        plates = pars.made[key].uses if key in pars.made else {key: 1}
        for dish, portions in plates.items():
            found[dish] = found.get(dish, 0.0) + kg * portions
    return found
