"""A house's prep as it writes it down: machines, tasks in steps, checks, the evening's curve: `prep.yaml`."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from hearthtide.errors import Finding, InputError
from hearthtide.house.fields import ClockS, Name, SecondsText, Written
from hearthtide.house.models import House
from hearthtide.house.one_file import read_one
from hearthtide.house.pars_file import ParsFile
from hearthtide.house.rota_file import Work
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document
from hearthtide.quantities.parse import parse_clock_s

NAME = "prep.yaml"
LONGEST_STEP_S = 16 * 3600.0  # dough over night; own choice
Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,39}$")]
Stretch = Annotated[SecondsText, Field(ge=0, le=LONGEST_STEP_S)]
Hands = Annotated[SecondsText, Field(ge=0, le=4 * 3600)]
Word = Annotated[str, Field(pattern=r"^[a-z][a-z ]{0,29}$")]
Words = Annotated[str, Field(max_length=240)]
Check = Literal[
    "cold_units", "thermometers", "ir_gun", "flue", "extraction", "gas_valve", "co_alarm", "ash_bin", "wood",
    "tools", "platters", "burn_kit", "coals_out", "gas_shut", "count", "chilled", "clean_down",
]  # fmt: skip


LINE_UP = -1.0  # a due that is written `line-up`


def _due(value: object) -> float:
    if isinstance(value, str) and value.strip() == "line-up":
        return LINE_UP
    try:
        return parse_clock_s(value if isinstance(value, str) else "")
    except ValueError:
        raise ValueError("expected `line-up`, or a time of day such as `15:30`") from None


Due = Annotated[
    float,
    BeforeValidator(_due),
    WithJsonSchema(
        {"type": "string", "pattern": "^(line-up|[0-9]{1,2}:[0-5][0-9])$", "examples": ["line-up"]}
    ),
]


class MachineFile(Written):
    """A machine or place that tasks hold."""

    name: Name
    count: Annotated[int, Field(ge=1, le=200)] = 1
    since: ClockS = Field(default=0.0, alias="from", description="from when it is to be had")
    until: ClockS | None = None
    apart: bool = Field(default=False, description="foods that must not meet are kept apart here in time")
    wash: Annotated[SecondsText, Field(ge=60, le=3600)] = Field(
        default=600.0, description="hands to wash it down, where it is kept apart"
    )
    washed_by: tuple[Work, ...] = ("prep",)


class StepFile(Written):
    """One stretch: either `hands`, with `each` more for a portion, or `rest` that needs nobody."""

    hands: Hands | None = None
    each: Annotated[SecondsText, Field(ge=0, le=1800)] = 0.0
    rest: Stretch | None = None
    at: dict[Key, Annotated[int, Field(ge=1, le=200)]] = Field(
        default={}, description="machines and places held meanwhile, how many of each"
    )
    at_each: dict[Key, Annotated[int, Field(ge=1, le=200)]] = Field(
        default={}, description="instead: one of it for so many portions, such as a shelf for 12"
    )

    @model_validator(mode="after")
    def _one_of_both(self) -> StepFile:
        if (self.hands is None) == (self.rest is None):
            raise ValueError("expected either hands or rest")
        if self.rest is not None and self.each:
            raise ValueError("each: expected it with hands alone")
        return self


class TaskFile(Written):
    """One task, free or for a thing of pars.yaml."""

    name: Name
    makes: Key | None = Field(default=None, description="a thing of pars.yaml; its make count is done")
    does: tuple[Work, ...] = Field(
        default=("prep",), min_length=1, description="who may do it, as in rota.yaml"
    )
    steps: tuple[StepFile, ...] = Field(min_length=1, max_length=8)
    after: tuple[Key, ...] = Field(default=(), max_length=20)
    since: ClockS | None = Field(default=None, alias="from", description="not before")
    due: Due | None = Field(default=None, description="a time of day, or `line-up`")
    batch: Annotated[int, Field(ge=1, le=500)] | None = Field(
        default=None, description="portions at a time; each batch is done by itself"
    )
    leaves: tuple[Word, ...] = Field(default=(), description="what it leaves at a place: raw, wheat")
    keeps_from: tuple[Word, ...] = Field(default=(), description="what must not be there with it")
    words: Words = ""
    cautions: tuple[Words, ...] = Field(default=(), max_length=4)

    @model_validator(mode="after")
    def _batches_of_something(self) -> TaskFile:
        if self.makes is None and (self.batch is not None or any(s.each or s.at_each for s in self.steps)):
            raise ValueError("makes: expected it with batch, each and at_each")
        return self


class ChecksFile(Written):
    """Opening or closing checks by their names, done between two times."""

    since: ClockS = Field(alias="from")
    by: ClockS
    does: tuple[Work, ...] = Field(default=("prep", "hearth"), min_length=1)
    of: tuple[Check, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _in_order(self) -> ChecksFile:
        if self.by <= self.since:
            raise ValueError("by: expected later than from")
        if len(set(self.of)) < len(self.of):
            raise ValueError("of: expected each check once")
        return self


class EveningFile(Written):
    """How the guests of an evening come: by half hour, as counted on a usual one."""

    since: ClockS = Field(alias="from")
    covers: tuple[Annotated[int, Field(ge=0, le=5000)], ...] = Field(min_length=1, max_length=24)

    @model_validator(mode="after")
    def _somebody_comes(self) -> EveningFile:
        if not sum(self.covers):
            raise ValueError("covers: expected somebody to come")
        return self


class DoughFile(Written):
    """Dough balls that are tempered by the tray."""

    made: Key = Field(description="the balls, as pars.yaml names them")
    tray: Annotated[int, Field(ge=1, le=60)] = Field(description="balls on a tray")
    temper: Annotated[SecondsText, Field(ge=600, le=4 * 3600)] = 4500.0
    use_within: Annotated[SecondsText, Field(ge=1800, le=8 * 3600)] = 9000.0
    hands: Hands = 60.0
    does: tuple[Work, ...] = Field(default=("prep", "hearth"), min_length=1)


class TakenFile(Written):
    """A machine or a person taken by something else: a tray of the heat-up, a delivery, a break."""

    what: Name
    machine: Key | None = None
    count: Annotated[int, Field(ge=1, le=200)] = 1
    person: Name | None = None
    since: ClockS = Field(alias="from")
    until: ClockS

    @model_validator(mode="after")
    def _one_of_both(self) -> TakenFile:
        if (self.machine is None) == (self.person is None):
            raise ValueError("expected either machine or person")
        if self.until <= self.since:
            raise ValueError("until: expected later than from")
        return self


class PrepFile(Written):
    """prep.yaml."""

    line_up: ClockS = Field(description="when the line is set and prep is over")
    machines: dict[Key, MachineFile] = Field(default={}, max_length=40)
    tasks: dict[Key, TaskFile] = Field(min_length=1, max_length=120)
    opening: ChecksFile | None = None
    closing: ChecksFile | None = None
    evening: EveningFile | None = None
    dough: DoughFile | None = None
    taken: tuple[TakenFile, ...] = Field(default=(), max_length=60)


def read_prep(house: House, pars: ParsFile, people: frozenset[str] = frozenset()) -> PrepFile:
    """prep.yaml, its names checked against itself, pars.yaml's things and the rota's `people`.

    Raises
    ------
    InputError
        With every finding.
    """
    file, document = read_one(house, NAME, PrepFile, "prep tasks to be written", "day-prep.md")
    wrong = tuple(_wrong(file, document, set(pars.made), people))
    if wrong:
        raise InputError(wrong)
    return file


def _wrong(file: PrepFile, document: Document, made: set[str], people: frozenset[str]) -> Iterator[Finding]:
    for key, task in file.tasks.items():
        at = ("tasks", key)
        if task.makes is not None and task.makes not in made:
            expected = "a thing that pars.yaml makes"
            yield document.finding((*at, "makes"), expected, close_to(task.makes, made))
        for n, before in enumerate(task.after):
            if before not in file.tasks:
                yield document.finding((*at, "after", n), "a task here", close_to(before, set(file.tasks)))
        for n, step in enumerate(task.steps):
            yield from _places(file, document, (*at, "steps", n), step)
    if (circle := in_a_circle({key: task.after for key, task in file.tasks.items()})) is not None:
        expected = "tasks that do not wait for themselves"
        yield document.finding(("tasks", circle, "after"), expected, "Take one out of the circle.")
    if file.dough is not None:
        if file.dough.made not in made:
            expected = "a thing that pars.yaml makes"
            yield document.finding(("dough", "made"), expected, close_to(file.dough.made, made))
        if file.evening is None:
            yield document.finding(("dough",), "`evening:` beside it", "Write by half hour how guests come.")
    for n, taken in enumerate(file.taken):
        if taken.machine is not None and taken.machine not in file.machines:
            remedy = close_to(taken.machine, set(file.machines))
            yield document.finding(("taken", n, "machine"), "a machine here", remedy)
        if taken.person is not None and people and taken.person not in people:
            yield document.finding(
                ("taken", n, "person"), "somebody of rota.yaml", close_to(taken.person, people)
            )


def _places(
    file: PrepFile, document: Document, path: tuple[str | int, ...], step: StepFile
) -> Iterator[Finding]:
    for field, named in (("at", step.at), ("at_each", step.at_each)):
        for key in named:
            if key not in file.machines:
                yield document.finding(
                    (*path, field, key), "a machine here", close_to(key, set(file.machines))
                )
    for key, count in step.at.items():
        machine = file.machines.get(key)
        if machine is not None and count > machine.count:
            yield document.finding(
                (*path, "at", key), f"at most {machine.count}", "Lower it, or add machines."
            )


def in_a_circle(after: Mapping[str, Collection[str]]) -> str | None:
    """A key that comes, by way of others, after itself; None where there is none.

    >>> in_a_circle({"ball": ("mix",), "mix": ()}), in_a_circle({"ball": ("mix",), "mix": ("ball",)})
    (None, 'ball')
    """
    left = {key: {one for one in before if one in after} for key, before in after.items()}
    while left:
        free = [key for key, before in left.items() if not before & left.keys()]
        if not free:
            return next(iter(left))
        for key in free:
            del left[key]
    return None
