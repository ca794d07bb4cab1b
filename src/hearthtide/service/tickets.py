"""A ticket as it is told to the service: the words of a night's file, in SI."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from pydantic import ConfigDict, Field, ValidationError
from pydantic.dataclasses import dataclass
from pydantic_core import ErrorDetails

from hearthtide.errors import Finding, InputError
from hearthtide.house.night_file import CourseFile, PlateFile, SpotFile, Table, TicketFile
from hearthtide.house.validate import validated
from hearthtide.house.yaml_lines import Document, shown
from hearthtide.quantities.parse import LAST_CLOCK_S

# Unknown keys are refused, so that nothing sent is silently ignored.
STRICT = ConfigDict(extra="forbid", allow_inf_nan=False)

NightS = Annotated[float, Field(ge=0, le=LAST_CLOCK_S, description="seconds from the night's first midnight")]
Covers = Annotated[int, Field(ge=1, le=100)]
Priority = Annotated[float, Field(ge=1, le=10, description="how many times a minute's waiting counts")]
DishKey = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_-]{0,39}$")]
Word = Annotated[str, Field(pattern=r"^[\p{L}\p{N}][\p{L}\p{N} _.,'&-]{0,79}$")]
Allergy = Annotated[tuple[Word, ...], Field(max_length=8, description="what its guests may not have")]
Drops = Annotated[int, Field(ge=1, le=12)]
ApartS = Annotated[float, Field(ge=0, le=1800)]
DragS = Annotated[float, Field(ge=0, le=3600)]
CourseNumber = Annotated[int, Field(ge=1, le=6)]


@dataclass(frozen=True, config=STRICT)
class Spot:
    """A place on the stone by its middle, from the middle of the mouth's sill."""

    x_m: Annotated[float, Field(ge=-2, le=2)]
    y_m: Annotated[float, Field(ge=0, le=4)]


@dataclass(frozen=True, config=STRICT)
class Plate:
    """One plate of a dish; where the cook wants it, and what its guest may not have."""

    dish: DishKey
    spot: Spot | None = None
    allergy: Allergy = ()


Plates = Annotated[tuple[Plate, ...], Field(min_length=1, max_length=60)]


@dataclass(frozen=True, config=STRICT)
class Course:
    """Plates that land together at `wanted_s`, in one drop or several; `drag_s` later when asked for."""

    wanted_s: NightS
    plates: Plates
    drops: Drops = 1
    drops_apart_s: ApartS = 0.0
    drag_s: DragS = 0.0


@dataclass(frozen=True, config=STRICT)
class Ticket:
    """A ticket: who it is for, when it was called, its courses in order."""

    table: Table
    covers: Covers
    called_s: NightS
    courses: Annotated[tuple[Course, ...], Field(min_length=1, max_length=6)]
    priority: Priority = 1.0
    allergy: Allergy = ()
    refire_of: Table | None = None


def read_ticket(document: Document) -> Ticket | tuple[Finding, ...]:
    """The ticket that a document describes in a house's words, or all that keeps it from being one."""
    file = validated(TicketFile, document)
    if isinstance(file, tuple):
        return file
    try:
        return ticket_of(file)
    except InputError as err:
        return tuple(replace(one, file=document.file, line=document.line(())) for one in err.findings)


def ticket_of(file: TicketFile) -> Ticket:
    """A ticket written in a house's words. Raises InputError where these hold signs that no name has."""
    try:
        return _ticket(file)
    except ValidationError as err:
        raise InputError(tuple(map(_sign_finding, err.errors()))) from None


def _sign_finding(error: ErrorDetails) -> Finding:
    field = ".".join(str(step + 1) if isinstance(step, int) else step for step in error["loc"])
    value = shown(str(error["input"]))
    remedy = "Use letters, digits, spaces and - _ . , ' & alone."
    return Finding("ticket", 0, field, value, error["msg"], remedy)


def _ticket(file: TicketFile) -> Ticket:
    courses = tuple(
        Course(
            wanted_s=part.wanted,
            plates=tuple(map(_plate, part.plates)),
            drops=part.drops,
            drops_apart_s=part.drops_apart,
            drag_s=part.drag,
        )
        for part in file.parts
    )
    return Ticket(
        table=file.table,
        covers=file.covers,
        called_s=file.called,
        courses=courses,
        priority=file.priority,
        allergy=file.allergy,
        refire_of=file.refire_of,
    )


def file_of(ticket: Ticket) -> TicketFile:
    """The same ticket as the house's checks and the planner read it."""
    courses = tuple(
        CourseFile.model_construct(
            wanted=course.wanted_s,
            plates=tuple(map(_plate_file, course.plates)),
            drops=course.drops,
            drops_apart=course.drops_apart_s,
            drag=course.drag_s,
        )
        for course in ticket.courses
    )
    return TicketFile.model_construct(
        table=ticket.table,
        covers=ticket.covers,
        called=ticket.called_s,
        courses=courses,
        priority=ticket.priority,
        allergy=ticket.allergy,
        refire_of=ticket.refire_of,
    )


def _plate(file: PlateFile) -> Plate:
    spot = None if file.spot is None else Spot(file.spot.x, file.spot.y)
    return Plate(dish=file.dish, spot=spot, allergy=file.allergy)


def _plate_file(plate: Plate) -> PlateFile:
    spot = None if plate.spot is None else SpotFile.model_construct(x=plate.spot.x_m, y=plate.spot.y_m)
    return PlateFile.model_construct(dish=plate.dish, spot=spot, allergy=plate.allergy)
