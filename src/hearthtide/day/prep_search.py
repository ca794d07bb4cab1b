"""A day's prep planned: a first plan at once, then better orders of its tasks, the same for the same seed.

Ruin and recreate over the order in which tasks are laid: a few are taken out, by chance or because they are
near in time, late or at one machine, and put back elsewhere. A change is kept when it is no worse than now or
than some while ago (late acceptance: Burke and Bykov, Eur. J. Oper. Res. 258 (2017) 70).
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from hearthtide.day.prep import LONGEST_S, Problem, Schedule, Task
from hearthtide.day.prep_board import Ground, laid

ROUNDS = 2000
MEMORY = 25  # how many rounds ago a change may be measured against; own choice
MOST_OUT = 6  # tasks taken out at once; own choice
FORCED = 0.15  # share of changes that also put one task in somebody's hands; own choice
CHAIN = 0.2  # share of changes that bring forward what holds up the end or a late task; own choice
BACK_TO_BEST = 400  # rounds without a better plan before it is taken up again; own choice


@dataclass(frozen=True)
class Effort:
    """How long to look: rounds, ended earlier by the clock, by `stop`, or where nothing can be better."""

    rounds: int = ROUNDS
    budget_s: float | None = None
    stop: Callable[[], bool] = lambda: False
    on_progress: Callable[[float], None] = lambda _: None
    until_kept: bool = False  # end at the first plan that meets every due


@dataclass
class _At:
    """An order of tasks, whose hands are forced, and the plan it gives."""

    order: list[str]
    forced: dict[tuple[str, int], str]
    plan: Schedule


def planned(problem: Problem, *, seed: int = 1, effort: Effort = Effort()) -> Schedule:
    """The best plan found. The same seed and rounds give the same plan; zero rounds the best of first ones.

    First everything that is due is met, then the day ends soonest, then every task ends soonest.
    """
    if not problem.tasks:
        return Schedule(())
    ground = Ground(problem)
    now = min((_at(ground, order, {}) for order in _first_orders(problem)), key=lambda at: at.plan.cost)
    best, since, rng = now, 0, random.Random(seed)
    memory = [now.plan.cost] * MEMORY
    began, round_ = time.perf_counter(), 0
    floor = _least(problem)
    while round_ < effort.rounds and not _over(effort, began, best.plan, floor):
        effort.on_progress(round_ / effort.rounds)
        tried = _changed(ground, now, rng)
        cost, slot = tried.plan.cost, round_ % MEMORY
        if cost <= now.plan.cost or cost <= memory[slot]:
            now = tried
        memory[slot] = min(memory[slot], now.plan.cost)
        round_, since = round_ + 1, since + 1
        if now.plan.cost < best.plan.cost:
            best, since = now, 0
        elif since >= BACK_TO_BEST:
            now, since = best, 0
            memory = [best.plan.cost] * MEMORY
    return replace(best.plan, rounds=round_)


def _over(effort: Effort, began: float, best: Schedule, floor: tuple[int, int, int, int]) -> bool:
    timed_out = effort.budget_s is not None and time.perf_counter() - began >= effort.budget_s
    return timed_out or effort.stop() or best.cost <= floor or (effort.until_kept and best.kept)


def _at(ground: Ground, order: Iterable[str], forced: dict[tuple[str, int], str]) -> _At:
    plan = laid(ground, tuple(order), forced)
    return _At([*(entry.task.key for entry in plan.entries), *plan.unplaced], forced, plan)


def heads_s(problem: Problem) -> dict[str, int]:
    """The soonest each task can begin: its own time, what it waits for, hands and machines not there yet."""
    found: dict[str, int] = {}
    for key in _by_need(problem):
        task = problem.task[key]
        own_s = [task.release_s, *_there_s(problem, task)]
        found[key] = max(*own_s, *(found[b] + problem.task[b].seconds for b in task.after), 0)
    return found


def _there_s(problem: Problem, task: Task) -> Iterator[int]:
    """For each step, when the task would begin if it had its hands and machines as soon as they are there."""
    first_s = min((person.from_s for person in problem.people if person.does & task.who), default=0)
    for step, offset in zip(task.steps, task.offsets, strict=True):
        yield (first_s if step.hands else 0) - offset
        for key in step.at:
            yield problem.machine[key].from_s - offset


def tails_s(problem: Problem) -> dict[str, int]:
    """The latest each task may begin for itself and all that waits for it to be in time; far for none due."""
    found: dict[str, int] = {}
    for key in reversed(_by_need(problem)):
        task = problem.task[key]
        ends = [found[one.key] for one in problem.tasks if key in one.after]
        due_s = LONGEST_S if task.due_s is None else task.due_s
        found[key] = min([due_s, *ends]) - task.seconds
    return found


def _by_need(problem: Problem) -> list[str]:
    """All tasks, each after what it waits for, else as they were written."""
    made: list[str] = []
    left = list(problem.tasks)
    while left:
        ready = next(task for task in left if set(task.after) <= set(made))
        made.append(ready.key)
        left.remove(ready)
    return made


def _least(problem: Problem) -> tuple[int, int, int, int]:
    """No plan costs less: every task as soon as its own day lets it."""
    heads = heads_s(problem)
    ends = [heads[task.key] + task.seconds for task in problem.tasks]
    late = sum(
        max(0, end - task.due_s)
        for end, task in zip(ends, problem.tasks, strict=True)
        if task.due_s is not None
    )
    return 0, late, max(ends), sum(ends)


def _first_orders(problem: Problem) -> list[list[str]]:
    """Three plain rules: by the latest begin, by the due, by the soonest begin."""
    tails, heads = tails_s(problem), heads_s(problem)
    place = {task.key: n for n, task in enumerate(problem.tasks)}
    due = {task.key: LONGEST_S if task.due_s is None else task.due_s for task in problem.tasks}
    keys = list(place)
    return [
        sorted(keys, key=lambda key: (tails[key], place[key])),
        sorted(keys, key=lambda key: (due[key], heads[key], place[key])),
        sorted(keys, key=lambda key: (heads[key], tails[key], place[key])),
    ]


def _changed(ground: Ground, at: _At, rng: random.Random) -> _At:
    """The plan with some tasks taken out and put back elsewhere, perhaps in other hands."""
    chain = rng.random() < CHAIN and bool(at.plan.entries)
    out = _chain(at, rng) if chain else _ruined(at, rng)
    order = [key for key in at.order if key not in out]
    rng.shuffle(out)
    for key in out:
        home = at.order.index(key)
        reach = max(2, len(order) // 3)
        near = home + rng.randint(-reach, 1 if chain else reach)
        spot = rng.randint(0, len(order)) if rng.random() < 0.3 and not chain else near
        order.insert(min(max(spot, 0), len(order)), key)
    forced = dict(at.forced)
    if rng.random() < FORCED:
        key = rng.choice(out)
        able, steps = ground.able[key], [n for n, s in enumerate(ground.problem.task[key].steps) if s.hands]
        if steps:
            step = rng.choice(steps)
            forced.pop((key, step), None)
            if len(able) > 1 and rng.random() < 0.7:
                forced[key, step] = rng.choice(able)
    return _at(ground, order, forced)


def _chain(at: _At, rng: random.Random) -> list[str]:
    """Tasks that hold up a late one, or the last of all: each ended as the one after it began."""
    late = [one for one in at.plan.entries if one.late_s]
    entry = rng.choice(late) if late else max(at.plan.entries, key=lambda one: one.end_s)
    found = [entry.task.key]
    while entry.start_s > 0:
        begins = {entry.start_s + offset for offset in entry.task.offsets}
        before = [
            one
            for one in at.plan.entries
            if one.start_s < entry.start_s and (one.end_s in begins or one.hands_end_s in begins)
        ]
        if not before:
            break
        entry = rng.choice(before)
        found.append(entry.task.key)
    return rng.sample(found, min(len(found), rng.randint(1, 3)))


def _ruined(at: _At, rng: random.Random) -> list[str]:
    """Tasks to take out: near each other in the plan, at one machine, the late ones, or any."""
    count = min(len(at.order), rng.randint(1, MOST_OUT))
    way = rng.random()
    if way < 0.4:
        begin = rng.randint(0, len(at.order) - count)
        return at.order[begin : begin + count]
    pool = at.order
    if way < 0.55:
        late = [*at.plan.unplaced, *(one.task.key for one in at.plan.entries if one.late_s)]
        pool = late or pool
    elif way < 0.75 and at.plan.entries:
        with_one = rng.choice(at.plan.entries).task
        keys = {key for step in with_one.steps for key in step.at}
        pool = [
            one.task.key
            for one in at.plan.entries
            if keys & {key for step in one.task.steps for key in step.at}
        ] or pool
    return rng.sample(pool, min(count, len(pool)))
