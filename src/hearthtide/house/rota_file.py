"""Who is in the house when, and what each is there for: `rota.yaml`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from pydantic import Field, model_validator

from hearthtide.errors import InputError
from hearthtide.house.fields import ClockS, Name, Written
from hearthtide.house.models import House
from hearthtide.house.one_file import read_one
from hearthtide.house.pars_file import WEEKDAYS, Weekday

NAME = "rota.yaml"
Work = Literal["hearth", "prep", "pass", "porter"]


class PersonFile(Written):
    """One person's hours on some weekdays. Hours past midnight go on counting: 25:30 is half past one."""

    name: Name
    since: ClockS = Field(alias="from", description="when the hands are there, hours past midnight as 25:30")
    until: ClockS
    does: tuple[Work, ...] = Field(
        min_length=1, max_length=4, description="hearth: tends the fire and what stands in the oven"
    )
    days: tuple[Weekday, ...] = Field(
        default=(), max_length=7, description="weekdays these hours are for; every day if left out"
    )

    @model_validator(mode="after")
    def _in_order(self) -> PersonFile:
        if self.until <= self.since:
            raise ValueError("until: expected later than from")
        return self


class RotaFile(Written):
    """rota.yaml: a person with other hours on other days is written once for each."""

    people: tuple[PersonFile, ...] = Field(min_length=1, max_length=40)


@dataclass(frozen=True)
class Hours:
    """One person in the house on one day, seconds of its clock."""

    name: str
    from_s: int
    until_s: int
    does: frozenset[Work]


def read_rota(house: House) -> RotaFile:
    """rota.yaml.

    Raises
    ------
    InputError
        With every finding.
    """
    file, document = read_one(house, NAME, RotaFile, "who is there when to be written", "day.md")
    wrong = tuple(
        document.finding(("people", i), f"{one.name} once on a {day}", "Give each weekday's hours once.")
        for i, one in enumerate(file.people)
        for day in one.days or WEEKDAYS
        if any(one.name == other.name and day in (other.days or WEEKDAYS) for other in file.people[:i])
    )
    if wrong:
        raise InputError(wrong)
    return file


def there_on(file: RotaFile, day: date) -> tuple[Hours, ...]:
    """Who is there on a day, by when they come."""
    weekday = WEEKDAYS[day.weekday()]
    found = [
        Hours(one.name, round(one.since), round(one.until), frozenset(one.does))
        for one in file.people
        if not one.days or weekday in one.days
    ]
    return tuple(sorted(found, key=lambda one: (one.from_s, one.name)))
