"""nights/NAME.yaml: a night's hours, its tickets in courses and drops, what has run out, what is shut."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated

from pydantic import BeforeValidator, Field, model_validator

from hearthtide.house.fields import ClockS, LengthM, Name, SecondsText, TemperatureC, Written

Table = Annotated[str, Field(pattern=r"^[A-Za-z0-9-]{1,12}$")]
Allergy = Annotated[tuple[str, ...], Field(max_length=8, description="what its guests may not have")]
Drops = Annotated[int, Field(ge=1, le=12, description="in how many drops the house wants it to land")]
Apart = Annotated[
    SecondsText, Field(ge=0, le=1800, description="each drop is wanted so much after the one before it")
]
Drag = Annotated[
    SecondsText, Field(ge=0, le=3600, description="asked for later: it lands this much after `wanted`")
]


class SpotFile(Written):
    """A spot by hand: its middle, right of the mouth's middle (left: below 0) and into the oven."""

    x: Annotated[LengthM, Field(ge=-2, le=2)]
    y: Annotated[LengthM, Field(ge=0, le=4)]


class PlateFile(Written):
    """One plate; a bare word stands for the dish alone."""

    dish: str
    spot: SpotFile | None = Field(default=None, description="where the cook wants it; else the plan says")
    allergy: Allergy = ()


def _plate(value: object) -> object:
    return value if isinstance(value, dict | PlateFile) else {"dish": value}


Plate = Annotated[PlateFile, BeforeValidator(_plate, json_schema_input_type=str | PlateFile)]


class CourseFile(Written):
    """Plates that land together, in one drop or several."""

    wanted: ClockS
    plates: tuple[Plate, ...] = Field(alias="dishes", min_length=1, max_length=60)
    drops: Drops = 1
    drops_apart: Apart = 0.0
    drag: Drag = 0.0

    @property
    def lands(self) -> float:
        """The second it is to land at, `drag` included."""
        return self.wanted + self.drag


OF_A_COURSE = frozenset({"own_wanted", "own_dishes", "drops", "drops_apart", "drag"})


class TicketFile(Written):
    """One ticket: its dishes wanted at one minute, or courses each with its own."""

    table: Table
    covers: Annotated[int, Field(ge=1, le=100)]
    called: ClockS
    own_wanted: ClockS | None = Field(default=None, alias="wanted")
    own_dishes: tuple[Plate, ...] = Field(default=(), alias="dishes", min_length=1, max_length=60)
    courses: tuple[CourseFile, ...] = Field(
        default=(), min_length=1, max_length=6, description="in place of wanted and dishes"
    )
    drops: Drops = 1
    drops_apart: Apart = 0.0
    drag: Drag = 0.0
    priority: Annotated[float, Field(ge=1, le=10)] = Field(
        default=1.0, description="how many times a minute's waiting counts: first tables, regulars"
    )
    allergy: Allergy = ()
    refire_of: Table | None = Field(
        default=None, description="the table whose plates are made again; they come before others"
    )

    @model_validator(mode="after")
    def _one_way(self) -> TicketFile:
        if self.courses:
            doubled = OF_A_COURSE & self.model_fields_set
            if doubled:
                raise ValueError(f"{min(doubled).removeprefix('own_')}: expected it in the courses alone")
        elif not self.own_dishes:
            raise ValueError("dishes: expected dishes, or courses that hold them")
        elif self.own_wanted is None:
            raise ValueError("wanted: expected a minute such as `19:22`, or courses that hold theirs")
        return self

    @model_validator(mode="after")
    def _forwards(self) -> TicketFile:
        if self.parts[0].wanted <= self.called:
            raise ValueError(f"{'courses' if self.courses else 'wanted'}: expected a minute after called")
        if any(b.wanted <= a.lands for a, b in pairwise(self.parts)):
            raise ValueError("courses: expected each wanted after the course before it has landed")
        return self

    @property
    def parts(self) -> tuple[CourseFile, ...]:
        """What lands together, in order: its courses, or the whole ticket as one."""
        if self.courses or self.own_wanted is None:
            return self.courses
        whole = CourseFile.model_construct(
            wanted=self.own_wanted,
            plates=self.own_dishes,
            drops=self.drops,
            drops_apart=self.drops_apart,
            drag=self.drag,
        )
        return (whole,)

    @property
    def dishes(self) -> tuple[str, ...]:
        """Every plate's dish, course by course."""
        return tuple(plate.dish for part in self.parts for plate in part.plates)

    @property
    def wanted(self) -> float:
        """The second its last course is to land at."""
        return max(part.lands for part in self.parts)

    def allergy_of(self, plate: PlateFile) -> tuple[str, ...]:
        """What must not be in or at a plate: the whole ticket's words and its own."""
        return tuple(dict.fromkeys((*self.allergy, *plate.allergy)))


class EightySixFile(Written):
    """A dish that is off: on tickets called from then on it is left out."""

    dish: str
    from_s: ClockS | None = Field(default=None, alias="from", description="all night if left out")


class ClosedFile(Written):
    """A part of the stone nothing may stand on for a while: a spill, a broken tile."""

    x: Annotated[LengthM, Field(ge=-2, le=2)]
    y: Annotated[LengthM, Field(ge=0, le=4)]
    radius: Annotated[LengthM, Field(ge=0.01, le=1)]
    from_s: ClockS = Field(alias="from")
    until: ClockS
    why: Annotated[str, Field(max_length=80)] = "closed"

    @model_validator(mode="after")
    def _forwards(self) -> ClosedFile:
        if self.until <= self.from_s:
            raise ValueError("until: expected a time after from")
        return self


class NightFile(Written):
    """nights/NAME.yaml: when the oven is lit, when doors open, every ticket."""

    name: Name
    ambient: Annotated[TemperatureC, Field(ge=-10, le=50)] = 25.0
    lit: ClockS
    doors: ClockS
    last_call: ClockS
    tickets: tuple[TicketFile, ...] = Field(min_length=1, max_length=400)
    eighty_six: tuple[EightySixFile, ...] = Field(default=(), max_length=60)
    closed: tuple[ClosedFile, ...] = Field(default=(), max_length=20)

    @model_validator(mode="after")
    def _in_order(self) -> NightFile:
        if not self.lit < self.doors < self.last_call:
            raise ValueError("expected lit before doors before last_call")
        names = [ticket.table for ticket in self.tickets]
        doubled = sorted({name for name in names if names.count(name) > 1})
        if doubled:
            raise ValueError(f"tickets: expected each table once, found again: {', '.join(doubled)}")
        return self
