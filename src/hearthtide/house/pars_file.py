"""What a house makes ahead: for which dishes, how long it is used, what a portion short or binned costs."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from hearthtide.errors import InputError
from hearthtide.house.fields import Name, Written
from hearthtide.house.models import House
from hearthtide.house.one_file import read_one
from hearthtide.house.validate import close_to

NAME = "pars.yaml"
MOST_DAYS = 7  # beyond a week nothing of a dish's demand is told; own choice
Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
WEEKDAYS: tuple[Weekday, ...] = (
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
)
Money = Annotated[float, Field(ge=0, le=100_000)]


class MadeFile(Written):
    """One thing made ahead, in portions."""

    name: Name
    uses: dict[str, Annotated[int, Field(ge=1, le=20)]] = Field(
        min_length=1, description="portions for one plate of each dish that needs it"
    )
    days: Annotated[int, Field(ge=1, le=MOST_DAYS)] = Field(
        description="days it is used on for its quality, the first the day it is made; the food code's days "
        "are another matter"
    )
    cost: Money = Field(description="money a portion costs: lost when it is binned")
    price: Money | None = Field(
        default=None, description="what the guest pays for it; price less cost is lost"
    )
    short: Money | None = Field(
        default=None, description="in place of price: what a portion wanted and not there costs"
    )
    older: Money = Field(default=0, description="what a portion is worth less for each day it is carried on")
    batch: Annotated[int, Field(ge=1, le=500)] = Field(default=1, description="portions made at once")
    made_on: tuple[Weekday, ...] = Field(
        default=(), max_length=7, description="weekdays it is made on; every open day if left out"
    )

    @model_validator(mode="after")
    def _costs(self) -> MadeFile:
        if (self.price is None) == (self.short is None):
            raise ValueError("expected either price or short")
        if self.price is not None and self.price <= self.cost:
            raise ValueError("price: expected more than cost")
        if self.short == 0 or self.cost + self.older == 0:
            raise ValueError("expected something to lose on either side: short, and cost or older")
        return self

    @property
    def short_costs(self) -> float:
        """Money lost with a portion that is wanted and not there."""
        return self.short if self.short is not None else (self.price or 0.0) - self.cost


class ParsFile(Written):
    """pars.yaml: everything that is made ahead, by a key of its own."""

    currency: Annotated[str, Field(pattern=r"^[\p{L}\p{Sc}]{1,12}$")] = "money"
    made: dict[Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,39}$")], MadeFile] = Field(min_length=1)


def read_pars(house: House) -> ParsFile:
    """pars.yaml, its dishes checked against the house's.

    Raises
    ------
    InputError
        With every finding.
    """
    file, document = read_one(house, NAME, ParsFile, "what is made ahead to be written", "day.md")
    known = {*house.dishes, *house.set_aside}
    wrong = tuple(
        document.finding(("made", key, "uses", dish), "a dish of this house", close_to(dish, known))
        for key, made in file.made.items()
        for dish in made.uses
        if dish not in known
    )
    if wrong:
        raise InputError(wrong)
    return file
