"""Invented days of prep for tests and benchmarks: as random as one seed, in whole minutes."""

from __future__ import annotations

import random
from dataclasses import replace

from hearthtide.day.prep import Block, Machine, Person, Problem, Step, Task

HOUR_S, MINUTE_S = 3600, 60
WORKS = ("hearth", "pass", "porter", "prep")


def invented_day(seed: int, tasks: int = 9, people: int = 3, apart: bool = False, wide: int = 1) -> Problem:
    """A day with machines, rests, orders, dues, people with their own hours and kinds of work.

    `wide` times as much of every machine but one bench, and of the time until everything is due.
    """
    rng = random.Random(seed)
    there = [
        Person(
            f"Person {n}",
            rng.choice((0, 0, 30 * MINUTE_S, HOUR_S)),
            rng.choice((8, 10, 12)) * wide * HOUR_S,
            frozenset(rng.sample(("hearth", "prep"), rng.randint(1, 2))),
        )
        for n in range(people)
    ]
    there.append(Person("Porter", 0, 40 * HOUR_S, frozenset({"porter"})))
    kinds = sorted(set().union(*(person.does for person in there[:-1])))
    machines = (
        Machine("mixer", "Mixer", wide),
        Machine(
            "table",
            "Table",
            1 if apart else 2 * wide,
            apart=apart,
            wash_s=10 * MINUTE_S,
            washed_by=frozenset({"porter"}),
        ),
        Machine("shelf", "Shelf", 3 * wide, until_s=36 * HOUR_S),
        Machine("hearth", "Hearth", 2 * wide, from_s=HOUR_S),
    )
    made = []
    for n in range(tasks):
        word = rng.random()
        made.append(
            Task(
                key=f"t{n}",
                name=f"Task {n}",
                steps=_steps(rng),
                who=frozenset({rng.choice(kinds)}),
                after=tuple(f"t{m}" for m in rng.sample(range(n), min(n, rng.choice((0, 0, 1, 1, 2))))),
                release_s=rng.choice((0, 0, 0, 40 * MINUTE_S)),
                due_s=rng.choice((None, None, 3 * wide * HOUR_S, 5 * wide * HOUR_S)),
                leaves=frozenset({"raw"}) if apart and word < 0.4 else frozenset(),
                keeps_from=frozenset({"raw"}) if apart and word > 0.6 else frozenset(),
            )
        )
    blocks = (Block("a tray of the heat-up", 2 * HOUR_S, 3 * HOUR_S, machine="hearth"),)
    return Problem(tuple(made), tuple(there), machines, blocks)


def mixed(problem: Problem, seed: int) -> Problem:
    """The same day, its places nearly all kept apart for several words, its people called away at times."""
    rng = random.Random(seed)
    words = ("raw", "wheat", "egg")
    by = frozenset({"porter", "prep"})
    tasks = tuple(
        replace(
            task,
            leaves=frozenset(rng.sample(words, rng.randint(0, 2))),
            keeps_from=frozenset(rng.sample(words, rng.randint(0, 2))),
        )
        for task in problem.tasks
    )
    machines = tuple(
        replace(machine, apart=True, wash_s=rng.choice((1, 5, 10)) * MINUTE_S, washed_by=by)
        if rng.random() < 0.7
        else machine
        for machine in problem.machines
    )
    away = []
    for n in range(3):
        begin = rng.randint(0, 300) * MINUTE_S
        name = rng.choice(problem.people).name
        away.append(Block(f"away {n}", begin, begin + rng.choice((10, 60)) * MINUTE_S, person=name))
    return replace(problem, tasks=tasks, machines=machines, blocks=(*problem.blocks, *away))


def _steps(rng: random.Random) -> tuple[Step, ...]:
    place = rng.choice(({}, {"table": 1}, {"table": 1}, {"mixer": 1}))
    steps = [Step(rng.randint(5, 40) * MINUTE_S, True, place)]
    if rng.random() < 0.5:
        steps.append(Step(rng.randint(10, 60) * MINUTE_S, False, {rng.choice(("shelf", "hearth")): 1}))
        if rng.random() < 0.4:
            steps.append(Step(rng.randint(2, 10) * MINUTE_S, True))
    return tuple(steps)
