"""From what a house wrote of its prep, and how much is to be made, to a problem in whole minutes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from hearthtide.day.dough import TrayOut, age_word
from hearthtide.day.prep import LONGEST_S, PART, Block, Machine, Person, Problem, Step, Task
from hearthtide.day.prep_checks import CHECKS, FIRST
from hearthtide.house.prep_file import (
    LINE_UP,
    ChecksFile,
    DoughFile,
    MachineFile,
    PrepFile,
    StepFile,
    TaskFile,
)
from hearthtide.house.rota_file import Hours
from hearthtide.quantities.show import clock_text
from hearthtide.safety.separation import all_meant

MINUTE_S = 60
TRAY_EARLY_S, TRAY_LATE_S = 300, 300  # how far a tray may come out beside its minute; own choice


def problem_of(
    file: PrepFile,
    amounts: Mapping[str, int],
    people: Sequence[Hours],
    trays: Sequence[TrayOut] = (),
    day: date | None = None,
    blocks: Sequence[Block] = (),
) -> Problem:
    """The prep of a day: `amounts` of things to make, the hands there are, trays of dough to bring out.

    Nothing is planned for a thing of which nothing is to be made. Every stretch is rounded up to whole
    minutes. `blocks` (a heat-up plan's) are added to those the house wrote.
    """
    parts = {key: _parts(key, task, amounts) for key, task in file.tasks.items()}
    tasks = [*_checks("opening", file.opening)]
    for key, task in file.tasks.items():
        for part, amount in parts[key]:
            tasks.append(_task(file, key, part, task, amount, parts))
    if file.dough is not None and day is not None:
        for n, out in enumerate(trays, 1):
            tasks.append(_tray(file.dough, n, out, day))
    tasks += _checks("closing", file.closing)
    return Problem(
        tuple(tasks),
        tuple(Person(one.name, one.from_s, one.until_s, frozenset(one.does)) for one in people),
        tuple(_machine(key, one) for key, one in file.machines.items()),
        (*_written(file), *blocks),
    )


def _written(file: PrepFile) -> tuple[Block, ...]:
    return tuple(
        Block(one.what, round(one.since), round(one.until), one.machine or "", one.count, one.person or "")
        for one in file.taken
    )


def _machine(key: str, file: MachineFile) -> Machine:
    until_s = LONGEST_S if file.until is None else round(file.until)
    washed_by = frozenset(file.washed_by)
    return Machine(
        key, file.name, file.count, round(file.since), until_s, file.apart, _up(file.wash), washed_by
    )


def _parts(key: str, task: TaskFile, amounts: Mapping[str, int]) -> list[tuple[str, int]]:
    """The tasks that a written one becomes: one, or one for each batch, each with its portions."""
    if task.makes is None:
        return [(key, 0)]
    amount = amounts.get(task.makes, 0)
    if amount <= 0:
        return []
    if task.batch is None or amount <= task.batch:
        return [(key, amount)]
    sizes = [task.batch] * (amount // task.batch) + ([amount % task.batch] if amount % task.batch else [])
    return [(f"{key}{PART}{n}", size) for n, size in enumerate(sizes, 1)]


def _task(
    file: PrepFile,
    key: str,
    part: str,
    task: TaskFile,
    amount: int,
    parts: Mapping[str, Sequence[tuple[str, int]]],
) -> Task:
    due_s = None if task.due is None else round(file.line_up if task.due == LINE_UP else task.due)
    return Task(
        key=part,
        name=task.name,
        steps=tuple(made for step in task.steps if (made := _step(step, amount)).seconds),
        who=frozenset(task.does),
        after=tuple(one for before in task.after for one in _before(file, key, part, before, parts)),
        release_s=0 if task.since is None else round(task.since),
        due_s=due_s,
        leaves=all_meant(task.leaves),
        keeps_from=all_meant(task.keeps_from),
        makes=task.makes or "",
        amount=amount,
        words=task.words,
        cautions=task.cautions,
    )


def _before(
    file: PrepFile, key: str, part: str, before: str, parts: Mapping[str, Sequence[tuple[str, int]]]
) -> tuple[str, ...]:
    """What a part waits for: the like batch of what is batched alike, else all of it."""
    mine, theirs = file.tasks[key], file.tasks[before]
    names = tuple(name for name, _ in parts[before])
    alike = mine.makes is not None and (mine.makes, mine.batch) == (theirs.makes, theirs.batch)
    if alike and len(names) > 1:
        return (f"{before}{PART}{part.rsplit(PART, 1)[1]}",)
    return names


def _step(step: StepFile, amount: int) -> Step:
    at = dict(step.at)
    for key, holds in step.at_each.items():
        at[key] = at.get(key, 0) + -(-amount // holds)
    if step.hands is None:
        return Step(_up(step.rest or 0.0), False, at)
    return Step(_up(step.hands + step.each * amount), True, at)


def _up(seconds: float) -> int:
    """Whole minutes, rounded up.

    >>> _up(61), _up(120)
    (120, 120)
    """
    return -(-round(seconds) // MINUTE_S) * MINUTE_S


def _checks(name: str, file: ChecksFile | None) -> list[Task]:
    if file is None:
        return []
    return [
        Task(
            key=f"{name} {key}",
            name=CHECKS[key].name,
            steps=(Step(CHECKS[key].seconds, True),),
            who=frozenset(file.does),
            after=tuple(f"{name} {one}" for one in FIRST.get(key, ()) if one in file.of),
            release_s=round(file.since),
            due_s=round(file.by),
            words=CHECKS[key].words,
            cautions=CHECKS[key].cautions,
        )
        for key in file.of
    ]


def _tray(dough: DoughFile, number: int, out: TrayOut, day: date) -> Task:
    age = (day - out.made).days + 1
    whole = "tray" if out.balls == dough.tray else "part tray"
    return Task(
        key=f"tray {number}",
        name=f"Dough out of the cold, {whole} {number}, day {age} ({age_word(age)})",
        steps=(Step(_up(dough.hands), True),),
        who=frozenset(dough.does),
        release_s=max(0, out.out_s - TRAY_EARLY_S),
        due_s=out.out_s + TRAY_LATE_S,
        makes=dough.made,
        amount=out.balls,
        words=f"Ready {clock_text(out.ready_s)}, used by {clock_text(out.use_by_s)}: mark it with both.",
    )
