"""oven.yaml, as frozen models: any oven with a hearth, a crown above it, one mouth and its flames.

Each model bounds its own quantities; what does not go together is told by `oven_checks`, all at once.
Where a bound is not a definition it is our own choice: what has been built as an oven, with some room.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from hearthtide.house.fields import (
    AngleDeg,
    FractionText,
    GasM3,
    LengthM,
    MassKg,
    Name,
    PowerW,
    SecondsText,
    TemperatureC,
    WoodKgH,
    Written,
)

MOST_POWER_W = 120_000.0  # own choice: three to four times the input of a large commercial hearth
LEAST_SPLIT_KG, MOST_SPLIT_KG = 0.1, 5.0  # own choice: a stick of kindling, a log that one hand still lays
BurnerKind = Literal["ribbon", "cluster", "bed", "under"]
Share = Annotated[FractionText, Field(gt=0, le=1)]


class LayerFile(Written):
    material: str = Field(description="a key of the material library")
    thickness: Annotated[LengthM, Field(ge=0.001, le=0.40)]


class DoorFile(Written):
    """The door that closes the mouth."""

    layers: tuple[LayerFile, ...] = Field(min_length=1, max_length=4, description="from the hot face out")
    gap: Annotated[FractionText, Field(ge=0, le=0.5)] = Field(
        default=0.02, description="share of the mouth that the closed door leaves free"
    )


class FlueFile(Written):
    """The chimney: before the mouth, or inside the oven and drawing on it."""

    place: Literal["mouth", "inside"] = "mouth"
    diameter: Annotated[LengthM, Field(ge=0.05, le=0.60)]
    height: Annotated[LengthM, Field(ge=0.20, le=20.0)]


class BurnerFile(Written):
    """One place where heat is released; which keys it takes depends on its kind."""

    kind: BurnerKind = Field(
        description="ribbon along the wall, round cluster, bed of wood and embers, or under the floor"
    )
    bearing: Annotated[AngleDeg, Field(ge=-180, le=180)] | None = Field(
        default=None,
        description="where its middle lies: 0 back, -90 left, 90 right, -45 back-left; not for under",
    )
    standoff: Annotated[LengthM, Field(ge=0.0, le=1.5)] | None = Field(
        default=None, description="from the wall to its middle line or middle; not for under"
    )
    length: Annotated[LengthM, Field(ge=0.05, le=3.0)] | None = Field(
        default=None, description="along the wall; for ribbon only"
    )
    breadth: Annotated[LengthM, Field(ge=0.01, le=0.30)] | None = Field(
        default=None, description="across the ribbon, 4 cm when not given; for ribbon only"
    )
    diameter: Annotated[LengthM, Field(ge=0.05, le=1.0)] | None = Field(
        default=None, description="for cluster and bed only"
    )
    share: Share | None = Field(
        default=None,
        description="share of the oven's power; needed for under, else an equal part of the rest",
    )


class MeterFile(Written):
    """Gas read off a meter over a time with this flame alone."""

    gas: GasM3 = Field(description="from 0.001 m3 to 100 m3")
    over: Annotated[SecondsText, Field(ge=10, le=86_400)]


class FlameFile(Written):
    """A flame the house can set, known by exactly one of power, height, wood and meter."""

    name: Name
    power: Annotated[PowerW, Field(gt=0, le=MOST_POWER_W)] | None = Field(
        default=None, description="heat release on the net calorific value"
    )
    height: Annotated[LengthM, Field(ge=0.02, le=2.0)] | None = Field(
        default=None, description="of the tallest flame above its burner"
    )
    wood: WoodKgH | None = Field(default=None, description="wood fed steadily, from 0.1 kg/h to 30 kg/h")
    meter: MeterFile | None = Field(default=None, description="for gas only")


class FloorBandFile(Written):
    """Stone temperatures the house wants where pizzas go, in service."""

    low: Annotated[TemperatureC, Field(ge=150, le=520)]
    high: Annotated[TemperatureC, Field(ge=150, le=520)]

    @model_validator(mode="after")
    def _ordered(self) -> FloorBandFile:
        if self.high - self.low < 5:
            raise ValueError("expected high at least 5 °C above low")
        return self


class OvenFile(Written):
    """oven.yaml: a hearth under a crown with one mouth, and what burns on it."""

    name: Name
    shape: Literal["round", "rectangular"]
    diameter: Annotated[LengthM, Field(ge=0.60, le=2.5)] | None = Field(
        default=None, description="of a round hearth"
    )
    width: Annotated[LengthM, Field(ge=0.40, le=3.0)] | None = Field(
        default=None, description="of a rectangular hearth, side to side"
    )
    depth: Annotated[LengthM, Field(ge=0.40, le=3.0)] | None = Field(
        default=None, description="of a rectangular hearth, mouth to back"
    )
    crown: Literal["dome", "barrel", "flat"] = "dome"
    wall_height: Annotated[LengthM, Field(ge=0.0, le=1.5)] = Field(
        default=0.0, description="straight wall under the crown"
    )
    crown_rise: Annotated[LengthM, Field(ge=0.0, le=2.5)] | None = Field(
        default=None, description="of a dome or a barrel, above its wall"
    )
    mouth_width: Annotated[LengthM, Field(ge=0.20, le=1.2)]
    mouth_height: Annotated[LengthM, Field(ge=0.10, le=0.60)]
    door: DoorFile | None = None
    flue: FlueFile | None = None
    floor: tuple[LayerFile, ...] = Field(min_length=1, max_length=4, description="from the hot face down")
    dome: tuple[LayerFile, ...] = Field(
        min_length=1, max_length=4, description="crown and walls, from the hot face out"
    )
    fuel: Literal["natural_gas", "propane", "wood"]
    moisture: Annotated[FractionText, Field(ge=0, le=0.5)] | None = Field(
        default=None, description="water in the wood as fired, 18 % when not given; for wood only"
    )
    split: Annotated[MassKg, Field(ge=LEAST_SPLIT_KG, le=MOST_SPLIT_KG)] | None = Field(
        default=None, description="usual weight of one piece of wood, 1 kg when not given; for wood only"
    )
    burners: tuple[BurnerFile, ...] = Field(min_length=1, max_length=4)
    flames: tuple[FlameFile, ...] = Field(min_length=2, max_length=6, description="from low to high")
    floor_band: FloorBandFile
