"""A ticket as it is told to the service: the words of a night's file, in SI."""

from __future__ import annotations

from typing import Annotated

from pydantic import ConfigDict, Field
from pydantic.dataclasses import dataclass

from hearthtide.house.night_file import CourseFile, PlateFile, SpotFile, Table, TicketFile
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


def ticket_of(file: TicketFile) -> Ticket:
    """A ticket written in a house's words."""
    courses = tuple(
        Course(part.wanted, tuple(map(_plate, part.plates)), part.drops, part.drops_apart, part.drag)
        for part in file.parts
    )
    return Ticket(file.table, file.covers, file.called, courses, file.priority, file.allergy, file.refire_of)


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
    return Plate(file.dish, spot, file.allergy)


def _plate_file(plate: Plate) -> PlateFile:
    spot = None if plate.spot is None else SpotFile.model_construct(x=plate.spot.x_m, y=plate.spot.y_m)
    return PlateFile.model_construct(dish=plate.dish, spot=spot, allergy=plate.allergy)
