"""What a house does in its falling heat: `falling.yaml`, with a night's own readings where it has them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field, model_validator

from hearthtide.errors import Finding, InputError
from hearthtide.house.fields import ClockS, Name, SecondsText, TemperatureC, Written
from hearthtide.house.models import House
from hearthtide.house.one_file import read_one
from hearthtide.house.yaml_lines import Document

NAME = "falling.yaml"
DAY_S = 86_400
LEAST_ABOVE_K = 1.0  # a reading no hotter than the room says nothing of a fall
# Bounds are our own choice: what has been done in falling heat, with some room.
HeatC = Annotated[TemperatureC, Field(ge=40, le=550)]
StayS = Annotated[SecondsText, Field(ge=300, le=36 * 3600)]
AreaM2 = Annotated[float, Field(gt=0.001, le=4)]
Portions = Annotated[int, Field(ge=1, le=500)]


class BandFile(Written):
    """Temperatures at which it may go in."""

    low: HeatC
    high: HeatC

    @model_validator(mode="after")
    def _ordered(self) -> BandFile:
        if self.high - self.low < 5:
            raise ValueError("expected high at least 5 °C above low")
        return self


class StaysFile(Written):
    """How long it is in, from the least to the most that is good."""

    least: StayS
    most: StayS

    @model_validator(mode="after")
    def _ordered(self) -> StaysFile:
        if self.most < self.least:
            raise ValueError("most: expected least or longer")
        return self


class OtherFile(Written):
    """Another manner of the same thing: smaller and hotter, say. What is left out stays as it was."""

    name: Name
    goes_in: BandFile
    stays: StaysFile
    area: AreaM2 | None = None
    portions: Portions | None = None


class ThingFile(Written):
    """One thing done in the falling heat."""

    name: Name
    portions: Portions = Field(description="loaves, pans or trays")
    area: AreaM2 = Field(description="stone that each takes with room about it, m2")
    goes_in: BandFile
    of: Literal["stone", "dome"] = Field(default="stone", description="which of the two the band is of")
    stays: StaysFile
    least: HeatC | None = Field(default=None, description="never colder than that while it is in")
    watched: bool = Field(default=False, description="somebody has to be there all the time")
    turns: tuple[StayS, ...] = Field(default=(), max_length=6, description="times after going in")
    out_at: ClockS | None = Field(default=None, description="the one time of day it comes out")
    by: ClockS | None = Field(default=None, description="the last time of day it may come out")
    door: Literal["on", "ajar", "off", "any"] = "any"
    kept_hot: bool = Field(
        default=False, description="must stay at the hot limit of the house's food-safety rules"
    )
    hands: Annotated[SecondsText, Field(ge=30, le=3600)] = Field(
        default=300.0, description="to put a load in, and to take it out"
    )
    instead: tuple[OtherFile, ...] = Field(default=(), max_length=6)


class SeenFile(Written):
    """A reading of one night."""

    at: ClockS
    stone: HeatC | None = None
    dome: HeatC | None = None

    @model_validator(mode="after")
    def _something(self) -> SeenFile:
        if self.stone is None and self.dome is None:
            raise ValueError("expected stone, dome or both")
        return self


class FallingFile(Written):
    """falling.yaml. Times of day run on past midnight: a time before the one it follows is the next day's."""

    usable_area: AreaM2 = Field(description="stone that things stand on, m2")
    coals_out: ClockS | None = Field(default=None, description="wood: when the last coals are in the bin")
    gas_shut: ClockS | None = Field(default=None, description="gas: when it is shut")
    soak: Annotated[SecondsText, Field(ge=0, le=4 * 3600)] = Field(
        default=2700.0, description="from then until things go in; 45 min if left out"
    )
    door_on: ClockS | None = Field(default=None, description="left out, no door is put on")
    free_for: Annotated[SecondsText, Field(ge=3600, le=48 * 3600)] = Field(
        default=12 * 3600.0, description="from the fire's end until the oven is lit again"
    )
    room: Annotated[TemperatureC, Field(ge=-20, le=50)] = 20.0
    readings: tuple[SeenFile, ...] = Field(
        default=(), max_length=200, description="of one night with the same times; without, the oven model"
    )
    things: dict[Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,39}$")], ThingFile] = Field(
        min_length=1, max_length=20
    )

    @property
    def out_s(self) -> float:
        """When the fire ends, s of the evening's clock."""
        return float(self.coals_out if self.coals_out is not None else self.gas_shut or 0.0)

    @property
    def fall_s(self) -> float:
        """From when readings are of the fall: the door on, or the fire's end where there is none."""
        return self.out_s if self.door_on is None else self.door_on

    @property
    def seen_s(self) -> tuple[float, ...]:
        """The readings' times, rising: each after the one before."""
        found: list[float] = []
        for one in self.readings:
            found.append(rolled_s(one.at, found[-1]) if found else one.at)
        return tuple(found)


def rolled_s(clock_s: float, after_s: float) -> float:
    """The first time the clock shows `clock_s` after `after_s`.

    >>> rolled_s(5400.0, 84600.0), rolled_s(82800.0, 81000.0)
    (91800.0, 82800.0)
    """
    while clock_s <= after_s:
        clock_s += DAY_S
    return clock_s


def read_falling(house: House) -> FallingFile:
    """falling.yaml, held against the oven: its fuel, its door, no door before the fire is out.

    Raises
    ------
    InputError
        With every finding.
    """
    file, document = read_one(house, NAME, FallingFile, "what is done in the falling heat", "day-falling.md")
    wrong = (
        *_fire_and_door(file, house, document),
        *_readings(file, document),
        *_things(file, document),
    )
    if wrong:
        raise InputError(wrong)
    return file


def _fire_and_door(file: FallingFile, house: House, document: Document) -> Iterator[Finding]:
    wood = house.oven.fuel == "wood"
    key, other = ("coals_out", "gas_shut") if wood else ("gas_shut", "coals_out")
    if getattr(file, key) is None:
        remedy = f"Add `{key}:` with the time of day."
        yield document.finding((key,), "when the fire ends: nothing is planned over a fire", remedy)
        return
    if getattr(file, other) is not None:
        burns = house.oven.fuel.replace("_", " ")
        yield document.finding((other,), f"{key} alone: the oven burns {burns}", "Leave it out.")
    if file.soak >= file.free_for:
        yield document.finding(("soak",), "less than free_for", "Correct one of the two.")
    if file.door_on is None:
        return
    if file.door_on >= file.out_s + file.free_for:
        yield document.finding(
            ("door_on",), "a time before the oven is lit again", "Correct it, or free_for."
        )
    if house.oven.door is None:
        yield document.finding(("door_on",), "a door in oven.yaml", "Describe it there, or leave this out.")
    if file.door_on < file.out_s:
        what = "the live coals are out of the oven" if wood else "the gas is shut"
        why = "they give off carbon monoxide behind a door" if wood else "a flame behind a door"
        yield document.finding(
            ("door_on",),
            f"a time after {key}, when {what} ({why}); past midnight as 24:30",
            "Put the door on later: this is never planned otherwise.",
        )


def _readings(file: FallingFile, document: Document) -> Iterator[Finding]:
    """Readings above the room, a minute apart, and lower at their end than when the door went on."""
    seen_s = file.seen_s
    for i, one in enumerate(file.readings):
        for place in ("stone", "dome"):
            value_C = getattr(one, place)
            if value_C is not None and value_C < file.room + LEAST_ABOVE_K:
                yield document.finding(("readings", i, place), "more than the room's", "Correct one of them.")
        if i and seen_s[i] - seen_s[i - 1] < 60:
            yield document.finding(
                ("readings", i, "at"), "a minute or more after the one before", "Correct it."
            )
    for place in ("stone", "dome"):
        after = [
            (i, getattr(one, place))
            for i, one in enumerate(file.readings)
            if getattr(one, place) is not None and seen_s[i] >= file.fall_s
        ]
        if len(after) > 1 and after[-1][1] >= after[0][1]:
            expected = f"less than the first after the door, {after[0][1]:.0f} °C"
            remedy = "Correct the readings, or leave them out."
            yield document.finding(("readings", after[-1][0], place), expected, remedy)


def _things(file: FallingFile, document: Document) -> Iterator[Finding]:
    for key, thing in file.things.items():
        manners = (
            ("area", thing.area),
            *((("instead", i, "area"), o.area) for i, o in enumerate(thing.instead)),
        )
        for where, area in manners:
            if area is not None and area > file.usable_area:
                path = ("things", key, *((where,) if isinstance(where, str) else where))
                yield document.finding(path, "no more than usable_area", "Correct one of the two.")
        if thing.out_at is not None and thing.by is not None:
            yield document.finding(("things", key, "by"), "one of out_at and by", "Leave one of them out.")
        if any(turn >= thing.stays.most for turn in thing.turns):
            path = ("things", key, "turns")
            yield document.finding(path, "times within its stay", "Correct them.")
