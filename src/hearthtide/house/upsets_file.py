"""An upsets file: what goes wrong in a rehearsed night and when, and what is expected of the answer."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from hearthtide.errors import Finding, InputError
from hearthtide.house.events_file import Item, SpillFile
from hearthtide.house.fields import ClockS, SecondsText, TemperatureC, Written
from hearthtide.house.files import read_document
from hearthtide.house.models import House
from hearthtide.house.night_checks import check_plate, ticket_plates, words_known
from hearthtide.house.night_file import NightFile, Table, TicketFile
from hearthtide.house.validate import close_to, validated
from hearthtide.house.yaml_lines import Document, KeyPath

UPSETS = (
    "ticket",
    "spill",
    "refire",
    "eighty_six",
    "back_on",
    "dead_platters",
    "cook_out",
    "cook_in",
    "flame_out",
    "flame",
    "floor",
    "planner",
    "board",
)


class UpsetFile(Written):
    """One thing that happens at `at`, and is told then."""

    at: ClockS
    ticket: TicketFile | None = Field(default=None, description="a table that walks in")
    spill: SpillFile | None = None
    refire: Item | None = Field(default=None, description="a plate that is spoiled and made again")
    eighty_six: str | None = Field(default=None, description="a dish that has run out")
    back_on: str | None = Field(default=None, description="a dish that is there again")
    dead_platters: Annotated[int, Field(ge=1, le=200)] | None = None
    cook_out: str | None = Field(default=None, description="a cook who is not there from now on")
    cook_in: str | None = None
    flame_out: Literal["out"] | None = None
    flame: str | None = Field(default=None, description="the level it burns at, lit anew or changed")
    floor: Annotated[TemperatureC, Field(ge=-40, le=900)] | None = Field(
        default=None, description="the working stone as a gun reads it"
    )
    planner: Literal["killed"] | None = Field(default=None, description="its process dies")
    board: Literal["killed"] | None = Field(default=None, description="it dies and is started again")

    @model_validator(mode="after")
    def _one_thing(self) -> UpsetFile:
        given = [kind for kind in UPSETS if getattr(self, kind) is not None]
        if len(given) != 1:
            raise ValueError(f"expected exactly one of {', '.join(UPSETS)}")
        return self


Within = Annotated[SecondsText, Field(ge=0, le=3600)]
EXPECTED = ("lands", "soonest", "goes_in", "slips", "binds", "floor", "figure")


class ExpectFile(Written):
    """One right answer, looked at when the night has come to `at` (its end if left out).

    A minute may miss by `within`; left out it is a tenth of what lies between `at` and the minute.
    """

    at: ClockS | None = None
    lands: Table | None = Field(default=None, description="a table, its last plates plated at `minute`")
    soonest: Table | None = Field(default=None, description="a table: its earliest honest landing, at `at`")
    goes_in: Item | None = Field(default=None, description="a plate that is to go on the hearth at `minute`")
    slips: Table | None = Field(default=None, description="a table that lands `by` later than just before")
    binds: str | None = Field(default=None, description="what binds of all that is called by then")
    floor: Annotated[TemperatureC, Field(ge=0, le=900)] | None = Field(
        default=None, description="the working stone foreseen for `minute` (for `at` if left out)"
    )
    figure: str | None = Field(default=None, description="a figure of the result by its name")
    minute: ClockS | None = None
    by: SecondsText | None = None
    within: Within | None = None
    degrees: Annotated[float, Field(gt=0, le=100)] | None = Field(
        default=None, description="by which a floor may miss; 10 if left out"
    )
    at_least: float | None = None
    at_most: float | None = None

    @model_validator(mode="after")
    def _one_answer(self) -> ExpectFile:
        given = [kind for kind in EXPECTED if getattr(self, kind) is not None]
        if len(given) != 1:
            raise ValueError(f"expected exactly one of {', '.join(EXPECTED)}")
        needs = {"lands": "minute", "soonest": "minute", "goes_in": "minute", "slips": "by"}
        needed = needs.get(given[0])
        if needed is not None and getattr(self, needed) is None:
            raise ValueError(f"{needed}: expected it with {given[0]}")
        if given[0] == "figure" and self.at_least is None and self.at_most is None:
            raise ValueError("figure: expected at_least or at_most with it")
        if given[0] not in ("figure", "lands") and self.at is None:
            raise ValueError(f"at: expected the time that {given[0]} is looked at")
        return self


class UpsetsFile(Written):
    """What is rehearsed of a night: its tickets called in [from, until), the upsets, the right answers."""

    name: Annotated[str, Field(min_length=1, max_length=80)]
    from_s: ClockS | None = Field(default=None, alias="from", description="doors if left out")
    until: ClockS | None = Field(default=None, description="when all has landed, if left out")
    exact: bool = Field(
        default=False, description="hands and food as planned, all of it told: for answers worked by hand"
    )
    upsets: tuple[UpsetFile, ...] = Field(default=(), max_length=400)
    expect: tuple[ExpectFile, ...] = Field(default=(), max_length=100)

    @model_validator(mode="after")
    def _forwards(self) -> UpsetsFile:
        if self.from_s is not None and self.until is not None and self.until <= self.from_s:
            raise ValueError("until: expected a time after from")
        return self


def read_upsets(path: Path, house: House, night: NightFile) -> UpsetsFile:
    """The upsets of a file, checked against the house and its night.

    Raises
    ------
    InputError
        With every finding: a rehearsal with an upset missing would prove nothing, so none is set aside.
    """
    document = read_document(path)
    file = validated(UpsetsFile, document)
    if not isinstance(file, UpsetsFile):
        raise InputError(file)
    wrong = [f for n, upset in enumerate(file.upsets) for f in _wrong(upset, n, document, house, night)]
    if wrong:
        raise InputError(tuple(wrong))
    return file


def _wrong(
    upset: UpsetFile, number: int, document: Document, house: House, night: NightFile
) -> list[Finding]:
    """What the upset alone cannot know."""
    at: KeyPath = ("upsets", number)
    cooks = [cook.name for cook in house.file.cooks]
    flames = [flame.name for flame in house.oven.flames]
    known = {
        "eighty_six": (house.dishes, "a dish of this house"),
        "back_on": (house.dishes, "a dish of this house"),
        "cook_out": (cooks, "a cook of this house"),
        "cook_in": (cooks, "a cook of this house"),
        "flame": (flames, "a flame of this oven"),
    }
    wrong = []
    for key, (names, expected) in known.items():
        value = getattr(upset, key)
        if value is not None and value not in names:
            wrong.append(document.finding((*at, key), expected, close_to(value, names)))
    if upset.spill is not None and upset.spill.until <= upset.at:
        wrong.append(document.finding((*at, "spill", "until"), "a time after it was told", "Correct it."))
    if upset.ticket is not None:
        for one in ticket_plates(upset.ticket, (*at, "ticket")):
            wrong += [found.finding for found in check_plate(one, document, house, words_known(house))]
        if upset.ticket.table in {ticket.table for ticket in night.tickets}:
            expected = "a ticket the night does not have yet"
            wrong.append(document.finding((*at, "ticket", "table"), expected, "Give it a name of its own."))
    return wrong
