"""A house's cold units and what is chilled in them: `chill.yaml`; the hot lots of a day: a small table."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from hearthtide.errors import Finding, InputError
from hearthtide.food.chilling import Contents
from hearthtide.food.library import food_names
from hearthtide.house.fields import LengthM, MassKg, Name, PowerW, TemperatureC, Written
from hearthtide.house.models import House
from hearthtide.house.one_file import read_one
from hearthtide.house.sheet import Row, read_sheet
from hearthtide.house.validate import close_to
from hearthtide.quantities.parse import parse_clock_s, parse_temperature_C

NAME = "chill.yaml"
LOT_COLUMNS = ("item", "portions", "ready")
Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,39}$")]
Kind = Literal["walk-in", "reach-in", "blast", "ice"]
PieceWay = Literal["covered", "tray", "rack", "fan-tray", "fan-rack", "ice", "blast"]
PanWay = Literal["covered", "tray", "fan-tray", "ice", "blast"]
Shape = Literal["flat", "log", "ball", "bird", "pan"]


class InsideFile(Written):
    """A cold unit's inside, by a tape."""

    width: Annotated[LengthM, Field(ge=0.2, le=10)]
    depth: Annotated[LengthM, Field(ge=0.2, le=10)]
    height: Annotated[LengthM, Field(ge=0.2, le=4)]

    @property
    def volume_m3(self) -> float:
        return self.width * self.depth * self.height

    @property
    def faces_m2(self) -> float:
        return 2 * (self.width * self.depth + self.width * self.height + self.depth * self.height)


class RackFile(Written):
    trays: Annotated[int, Field(ge=1, le=200)] = Field(description="places for trays or pans")
    apart: Annotated[LengthM, Field(ge=0.02, le=1)] = Field(
        description="from one place to the next; food with less than 5 cm of air over it takes two places"
    )


class UnitFile(Written):
    """A cold unit. What the house does not know may be left out: a starting value is taken and said."""

    name: Name
    kind: Kind
    air: Annotated[TemperatureC, Field(ge=-40, le=30)] = Field(
        description="what it is set to hold; of an ice bath the air above its pans"
    )
    inside: InsideFile | None = Field(default=None, description="needed but for an ice bath")
    pieces: PieceWay | None = Field(
        default=None, description="how pieces chill in it, as `hearthtide chill` names the ways"
    )
    pans: PanWay | None = Field(default=None, description="how pans chill in it")
    takes: Annotated[PowerW, Field(gt=0, le=1e5)] | None = Field(
        default=None, description="the heat it takes away at that air, from its plate; else a starting value"
    )
    gains: Annotated[PowerW, Field(ge=0, le=1e5)] | None = Field(
        default=None, description="heat that comes in by walls and door; else a starting value"
    )
    room: Annotated[TemperatureC, Field(ge=5, le=50)] = Field(default=25.0, description="the air outside it")
    most_hot: Annotated[MassKg, Field(gt=0, le=2000)] = Field(description="hot food in it at once")
    ice: Annotated[MassKg, Field(gt=0, le=5000)] | None = Field(
        default=None, description="ice at hand, for an ice bath"
    )
    racks: dict[Key, RackFile] = Field(min_length=1)

    @model_validator(mode="after")
    def _goes_together(self) -> UnitFile:
        if self.pieces is None and self.pans is None:
            raise ValueError("expected pieces or pans: how it chills them")
        if (self.kind == "ice") != (self.ice is not None):
            raise ValueError("ice: expected the ice at hand for kind: ice, and for no other")
        if self.kind != "ice" and self.inside is None:
            raise ValueError("inside: expected width, depth and height within")
        strong = {"ice": "ice", "blast": "blast"}.get(self.kind)
        for way in (self.pieces, self.pans):
            if way is not None and (
                (way in ("ice", "blast")) != (strong is not None) or (strong is not None and way != strong)
            ):
                raise ValueError(f"kind: expected ways that go with it, not {way}")
        if self.kind != "ice" and self.air > 12:
            raise ValueError("air: expected at most 12 C, what the unit is set to hold")
        if self.kind != "ice" and self.room <= self.air + 1:
            raise ValueError("room: expected warmer than the air within")
        return self


class ThingFile(Written):
    """Something that is chilled, in portions."""

    name: Name
    food: str = Field(description="one of `hearthtide chill`'s foods, or of foods.yaml")
    thickness: Annotated[LengthM, Field(ge=0.005, le=0.2)] = Field(
        description="the thickest part, or the depth in the pan"
    )
    shape: Shape = "flat"
    contents: Contents = Field(default="thick", description="of a pan: thick, liquid or stirred")
    lid: bool = False
    portion: Annotated[MassKg, Field(gt=0, le=20)]
    per_tray: Annotated[int, Field(ge=1, le=500)] = Field(description="portions on a tray, not touching")
    core: Annotated[TemperatureC, Field(ge=20, le=100)] = Field(
        default=75.0, description="its core when it is ready"
    )

    @model_validator(mode="after")
    def _pans_alone(self) -> ThingFile:
        if self.shape != "pan" and (self.lid or self.contents != "thick"):
            raise ValueError("shape: expected pan with lid or contents")
        return self


class ChillFile(Written):
    """chill.yaml."""

    units: dict[Key, UnitFile] = Field(min_length=1, max_length=12)
    things: dict[Key, ThingFile] = Field(min_length=1, max_length=60)


@dataclass(frozen=True)
class ToCool:
    """A row of the day's hot lots: a thing's key, how many, when ready, its core, when it is wanted cold."""

    item: str
    portions: int
    ready_s: float
    core_C: float | None = None
    wanted_s: float | None = None


def read_chill(house: House) -> ChillFile:
    """chill.yaml, its foods checked.

    Raises
    ------
    InputError
        With every finding.
    """
    file, document = read_one(house, NAME, ChillFile, "the house's cold units to be written", "day-chill.md")
    known = {*food_names(), *house.foods}
    wrong = tuple(
        document.finding(("things", key, "food"), "a food that is known", close_to(one.food, known))
        for key, one in file.things.items()
        if one.food not in known
    )
    if wrong:
        raise InputError(wrong)
    return file


def take_hot_lots(path: Path, things: dict[str, ThingFile]) -> tuple[tuple[ToCool, ...], tuple[Finding, ...]]:
    """Hot lots from a table: item, portions, ready (HH:MM); core (75C) and wanted (HH:MM) may be there.

    Rows that are wrong come back as findings. Raises InputError when the table cannot be read as a whole.
    """
    good: list[ToCool] = []
    wrong: list[Finding] = []
    for row in read_sheet(path, path.name, LOT_COLUMNS):
        found = _lot(row, things)
        if isinstance(found, ToCool):
            good.append(found)
        else:
            wrong += found
    return tuple(good), tuple(wrong)


def _lot(row: Row, things: dict[str, ThingFile]) -> ToCool | tuple[Finding, ...]:
    wrong: list[Finding] = []
    item, portions = row.cells["item"], row.whole("portions")
    if item not in things:
        wrong.append(row.wrong("item", f"something that {NAME} holds", close_to(item, things)))
    if isinstance(portions, Finding):
        wrong.append(portions)
    elif not portions:
        wrong.append(row.wrong("portions", "a whole number above 0", "Write it, or remove the row."))
    ready_s, core_C, wanted_s = _clock(row, "ready"), _core(row), _clock(row, "wanted")
    wrong += [one for one in (ready_s, core_C, wanted_s) if isinstance(one, Finding)]
    if ready_s is None:
        wrong.append(row.wrong("ready", "a time such as 15:20", "Write when it leaves the heat."))
    if wrong or isinstance(portions, Finding) or portions is None or isinstance(core_C, Finding):
        return tuple(wrong)
    if isinstance(ready_s, Finding) or ready_s is None or isinstance(wanted_s, Finding):
        return tuple(wrong)
    return ToCool(item, portions, ready_s, core_C, wanted_s)


def _clock(row: Row, column: str) -> float | Finding | None:
    text = row.cells.get(column, "")
    if not text:
        return None
    try:
        return parse_clock_s(text)
    except ValueError as odd:
        return row.wrong(column, str(odd).removeprefix("expected "), "Write it so, such as 15:20.")


def _core(row: Row) -> float | Finding | None:
    text = row.cells.get("core", "")
    if not text:
        return None
    try:
        core_C = parse_temperature_C(text)
    except ValueError as odd:
        return row.wrong("core", str(odd).removeprefix("expected "), "Write it with its unit, such as 75C.")
    if not 20 <= core_C <= 100:
        return row.wrong("core", "20 to 100 °C", "Read it again, or look at the unit.")
    return core_C
