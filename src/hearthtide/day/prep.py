"""A day's prep as a problem: tasks in steps, people with hours, machines and places with counts.

Times are whole seconds of the day's clock. The plan of it (`prep_search`) and the proof of the plan
(`prep_checker`) share these words and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from hearthtide.house.prep_file import in_a_circle

DAY_S = 86_400
PART = "."  # between a task's key and the number of its batch
LONGEST_S = 2 * DAY_S  # hours past midnight go on counting; nothing of a day ends later; own choice


@dataclass(frozen=True)
class Machine:
    """A machine or place that tasks hold: `count` at once, between `from_s` and `until_s`.

    `apart`: food of different kinds meets here, so that what one task leaves must not be there for one
    that keeps from it; `wash_s` of hands then make it clean, of anybody who does one of `washed_by`.
    """

    key: str
    name: str
    count: int = 1
    from_s: int = 0
    until_s: int = LONGEST_S
    apart: bool = False
    wash_s: int = 0
    washed_by: frozenset[str] = frozenset({"prep"})


@dataclass(frozen=True)
class Person:
    """One pair of hands: there from when to when, for which kinds of work."""

    name: str
    from_s: int
    until_s: int
    does: frozenset[str]


@dataclass(frozen=True)
class Block:
    """Something fixed: so many of a machine, or a person, taken for something else (a heat-up tray)."""

    what: str
    from_s: int
    until_s: int
    machine: str = ""
    count: int = 1
    person: str = ""


@dataclass(frozen=True)
class Step:
    """One stretch of a task, with hands or without (it rests, chills, roasts); what it holds then."""

    seconds: int
    hands: bool
    at: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Task:
    """Steps that follow each other without a wait; each of hands by one person who
    does one of `who`.

    It begins when all of `after` have ended and not before `release_s`; it should end by `due_s`. It `leaves`
    words at places kept apart (raw, an allergen) and `keeps_from` words. `amount` of `makes` it gives: 0 and
    empty for a task that makes nothing.
    """

    key: str
    name: str
    steps: tuple[Step, ...]
    who: frozenset[str]
    after: tuple[str, ...] = ()
    release_s: int = 0
    due_s: int | None = None
    leaves: frozenset[str] = frozenset()
    keeps_from: frozenset[str] = frozenset()
    makes: str = ""
    amount: int = 0
    words: str = ""
    cautions: tuple[str, ...] = ()

    @cached_property
    def seconds(self) -> int:
        return sum(step.seconds for step in self.steps)

    @cached_property
    def hands_s(self) -> int:
        return sum(step.seconds for step in self.steps if step.hands)

    @cached_property
    def offsets(self) -> tuple[int, ...]:
        """When each step begins, from the task's own begin."""
        made, now = [], 0
        for step in self.steps:
            made.append(now)
            now += step.seconds
        return tuple(made)


@dataclass(frozen=True)
class Problem:
    """Everything a plan may know. Raises ValueError for names that are none, twice the same key,
    a circle, steps and wash-downs that take no time."""

    tasks: tuple[Task, ...]
    people: tuple[Person, ...]
    machines: tuple[Machine, ...]
    blocks: tuple[Block, ...] = ()

    def __post_init__(self) -> None:
        for what, names in (
            ("task", [task.key for task in self.tasks]),
            ("machine", [machine.key for machine in self.machines]),
            ("person", [person.name for person in self.people]),
        ):
            if len(set(names)) < len(names):
                raise ValueError(f"{what} {next(n for n in names if names.count(n) > 1)} twice")
        for task in self.tasks:
            for step in task.steps:
                if step.seconds < 1 or any(n < 1 for n in step.at.values()):
                    raise ValueError(f"{task.key}: expected seconds and counts from 1")
            unknown = {key for step in task.steps for key in step.at} - set(self.machine) or set(
                task.after
            ) - set(self.task)
            if unknown:
                raise ValueError(f"{task.key}: {sorted(unknown)[0]} is not there")
        for machine in self.machines:
            if machine.apart and machine.wash_s < 1:
                raise ValueError(f"{machine.key}: expected seconds to wash it down")
        if (circle := in_a_circle({task.key: task.after for task in self.tasks})) is not None:
            raise ValueError(f"{circle} waits for itself")

    @cached_property
    def task(self) -> dict[str, Task]:
        return {task.key: task for task in self.tasks}

    @cached_property
    def machine(self) -> dict[str, Machine]:
        return {machine.key: machine for machine in self.machines}

    @cached_property
    def person(self) -> dict[str, Person]:
        return {person.name: person for person in self.people}


@dataclass(frozen=True)
class Entry:
    """A task in the plan: when it begins, and whose hands each step has (empty for one without)."""

    task: Task
    start_s: int
    hands: tuple[str, ...]

    @property
    def end_s(self) -> int:
        return self.start_s + self.task.seconds

    @property
    def hands_end_s(self) -> int:
        """When the last hands have left it; its begin where it needs none."""
        ends = [
            self.start_s + offset + step.seconds
            for step, offset in zip(self.task.steps, self.task.offsets, strict=True)
            if step.hands
        ]
        return max(ends, default=self.start_s)

    @property
    def late_s(self) -> int:
        return 0 if self.task.due_s is None else max(0, self.end_s - self.task.due_s)


@dataclass(frozen=True)
class Wash:
    """A place washed down between what may not meet there."""

    machine: str
    start_s: int
    end_s: int
    person: str


@dataclass(frozen=True)
class Schedule:
    """A plan of a day's prep. `unplaced`: tasks for which no hands or machines are there long enough."""

    entries: tuple[Entry, ...]
    washes: tuple[Wash, ...] = ()
    unplaced: tuple[str, ...] = ()
    rounds: int = 0

    @cached_property
    def by_task(self) -> dict[str, Entry]:
        return {entry.task.key: entry for entry in self.entries}

    @cached_property
    def late_s(self) -> int:
        """Seconds past their dues, of all tasks together."""
        return sum(entry.late_s for entry in self.entries)

    @cached_property
    def finish_s(self) -> int:
        return max((entry.end_s for entry in self.entries), default=0)

    @property
    def kept(self) -> bool:
        """Everything is done by when it is due."""
        return not self.unplaced and self.late_s == 0

    @cached_property
    def cost(self) -> tuple[int, int, int, int]:
        """What is compared, in this order: tasks left out, lateness, the finish, the sum of all ends."""
        return len(self.unplaced), self.late_s, self.finish_s, sum(entry.end_s for entry in self.entries)
