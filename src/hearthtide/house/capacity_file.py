"""An owner's figures for the question of a second oven: `capacity.yaml` of a house, or a file by itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated

from pydantic import Field, model_validator

from hearthtide.errors import Finding, InputError
from hearthtide.house.fields import FractionText, Name, Written
from hearthtide.house.files import read_document
from hearthtide.house.models import DishFile, House
from hearthtide.house.places import Outline
from hearthtide.house.validate import close_to, validated
from hearthtide.house.yaml_lines import Document

NAME = "capacity.yaml"
Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,39}$")]
Money = Annotated[float, Field(ge=0, le=10_000_000)]
UseM2min = Annotated[float, Field(ge=0, le=20)]


class TurnedAwayFile(Written):
    covers: Annotated[float, Field(gt=0, le=2_000)] = Field(description="turned away on such a night")
    nights: Annotated[float, Field(ge=1, le=366)] = Field(description="such nights a year")
    margin: Money = Field(description="money a cover brings after food and what else it costs")


class SecondOvenFile(Written):
    price: Money = Field(description="bought, built in and flued")
    cook: Money = Field(description="money per hour of the cook it needs")
    fuel: Money = Field(description="money per hour it burns")
    hours: Annotated[float, Field(gt=0, le=24)] = Field(description="a night that it runs")
    recovers: Annotated[FractionText, Field(ge=0, le=1)] = Field(
        description="share of those turned away that it would serve"
    )
    recovers_from: Annotated[FractionText, Field(ge=0, le=1)]
    recovers_to: Annotated[FractionText, Field(ge=0, le=1)]
    pays_within: Annotated[float, Field(ge=0.5, le=30)] = Field(description="years the owner gives it")

    @model_validator(mode="after")
    def _ordered(self) -> SecondOvenFile:
        if not self.recovers_from <= self.recovers <= self.recovers_to:
            raise ValueError("recovers: expected from recovers_from to recovers_to")
        return self


class StepFile(Written):
    """Something to do first; at least one of its three ways."""

    name: Annotated[str, Field(min_length=1, max_length=80)]
    off: tuple[Key, ...] = Field(default=(), description="dishes not on this stone in the hour")
    uses: dict[Key, UseM2min] = Field(default={}, description="dishes with another use, m2 min a plate")
    peak_less: Annotated[FractionText, Field(ge=0, le=0.9)] = Field(
        default=0.0, description="share of the hour's covers that come at another time"
    )
    costs: Money = 0.0
    costs_night: Money = 0.0

    @model_validator(mode="after")
    def _does_something(self) -> StepFile:
        if not (self.off or self.uses or self.peak_less):
            raise ValueError("expected one of off, uses and peak_less")
        return self


class CapacityFile(Written):
    """The peak hour, what is turned away, what a second oven costs, and what could be done first."""

    name: Name = "The house"
    currency: Annotated[str, Field(pattern=r"^[\p{L}\p{Sc}]{1,12}$")] = "money"
    usable_area: Annotated[float, Field(gt=0.05, le=6)] = Field(description="stone that plates stand on, m2")
    covers: Annotated[float, Field(gt=0, le=2_000)] = Field(description="wanted in the peak hour")
    per_100_covers: dict[Key, Annotated[float, Field(gt=0, le=1_000)]] = Field(min_length=1, max_length=40)
    uses: dict[Key, UseM2min] = Field(
        default={}, description="m2 min a plate; left out, the trade's figure or the house's own dish"
    )
    turned_away: TurnedAwayFile
    second_oven: SecondOvenFile
    steps: tuple[StepFile, ...] = Field(default=(), max_length=12)


def read_capacity(path: Path, house: House | None, trade_m2min: Mapping[str, float]) -> CapacityFile:
    """The figures, each dish with its use: as written, else the trade's, else from the house's own dish.

    Raises
    ------
    InputError
        With every finding.
    """
    if not path.is_file():
        remedy = "Write it: docs/capacity.md shows one."
        raise InputError((Finding(path.name, 0, "the file", "", "an owner's figures", remedy),))
    document = read_document(path)
    file = validated(CapacityFile, document)
    if not isinstance(file, CapacityFile):
        raise InputError(file)
    own = {} if house is None else _own_m2min(house)
    uses = {**own, **trade_m2min, **file.uses}
    wrong = tuple(_wrong(file, document, uses))
    if wrong:
        raise InputError(wrong)
    return file.model_copy(update={"uses": {dish: uses[dish] for dish in file.per_100_covers}})


def _own_m2min(house: House) -> dict[str, float]:
    """Outline times the house's minutes and a spot's rest, for dishes whose every stage has minutes."""
    return {
        key: found for key, dish in house.dishes.items() if (found := _use_m2min(house, dish)) is not None
    }


def _use_m2min(house: House, dish: DishFile) -> float | None:
    stages = [stage.minutes for stage in dish.stages]
    if any(one is None for one in stages):
        return None
    rest_s = house.file.pizza_recovery or 0.0 if dish.vessel.kind == "stone" else 0.0
    return Outline.of(dish.vessel).area_m2 * (sum(one or 0.0 for one in stages) + rest_s) / 60


def _wrong(file: CapacityFile, document: Document, uses: Mapping[str, float]) -> Iterator[Finding]:
    for dish in file.per_100_covers:
        if dish not in uses:
            remedy = f"Add `{dish}:` under uses. {close_to(dish, uses)}"
            yield document.finding(("per_100_covers", dish), "a dish whose m2 min is known", remedy)
    for dish in file.uses:
        if dish not in file.per_100_covers:
            remedy = close_to(dish, file.per_100_covers)
            yield document.finding(("uses", dish), "a dish of per_100_covers", remedy)
    for i, step in enumerate(file.steps):
        for name, dishes in (("off", step.off), ("uses", tuple(step.uses))):
            for dish in dishes:
                if dish not in file.per_100_covers:
                    remedy = close_to(dish, file.per_100_covers)
                    yield document.finding(
                        ("steps", i, name), f"dishes of per_100_covers, not {dish}", remedy
                    )
