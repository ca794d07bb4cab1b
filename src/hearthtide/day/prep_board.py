"""Prep laid down task by task, each as early as people, machines and places allow.

Serial schedule generation (Kelley 1963, as surveyed by Kolisch and Hartmann 1999): every plan that no task
can leave earlier without pushing another comes out of some order of the tasks, and one of these is best
wherever no end that comes sooner costs more.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hearthtide.day.prep import LONGEST_S, Entry, Machine, Problem, Schedule, Task, Wash

NEVER = LONGEST_S + 1


class _Line:
    """What a person or a machine is taken for: (from, until, count), by when it begins.

    Of one alone (`count` 1) no two stretches overlap.
    """

    def __init__(self, count: int, taken: Sequence[tuple[int, int, int]]) -> None:
        self.count, self.taken = count, list(taken)

    def free_from(self, at_s: int, seconds: int, count: int = 1) -> int:
        """The first moment from `at_s` on at which so many are free for so long; NEVER where none is."""
        if count > self.count:
            return NEVER
        if self.count == 1:
            return self.alone_from(at_s, seconds)
        while at_s < NEVER:
            until_s = at_s + seconds
            over = [one for one in self.taken if one[1] > at_s and one[0] < until_s]
            if not over:
                return at_s
            clash = _clash(over, at_s, self.count - count)
            if clash is None:
                return at_s
            at_s = clash
        return NEVER

    def alone_from(self, at_s: int, seconds: int) -> int:
        """The same of something there is one of."""
        taken, until_s = self.taken, at_s + seconds
        at = bisect_left(taken, (at_s,))
        for begin, end, _ in taken[at - 1 if at else 0 :]:
            if begin >= until_s and end > at_s:
                return at_s
            if end > at_s:
                at_s, until_s = end, end + seconds
        return at_s

    def take(self, from_s: int, until_s: int, count: int = 1) -> None:
        insort(self.taken, (from_s, until_s, count))

    def give_back(self, from_s: int, until_s: int, count: int = 1) -> None:
        self.taken.remove((from_s, until_s, count))


def _clash(over: Sequence[tuple[int, int, int]], at_s: int, spare: int) -> int | None:
    """When the first moment with more than `spare` of them taken may be over; None where there is none."""
    if spare == 0:
        return max(over[0][1], at_s)
    for moment in [at_s, *(one[0] for one in over if one[0] > at_s)]:
        there = [one for one in over if one[0] <= moment < one[1]]
        if sum(one[2] for one in there) > spare:
            return min(one[1] for one in there)
    return None


@dataclass
class _Run:
    """Tasks at a place kept apart that may lie in any order; `from_s` is where the run before it is over."""

    from_s: int
    until_s: int
    leaves: frozenset[str]
    keeps_from: frozenset[str]
    dirt: frozenset[str]  # what lies there since the last wash, of the runs before


class Ground:
    """What is the same for every plan of a problem: who can do what, and what is fixed."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.able = {
            task.key: tuple(person.name for person in problem.people if person.does & task.who)
            for task in problem.tasks
        }
        kept_apart = {machine.key for machine in problem.machines if machine.apart}
        self.apart = {
            task.key: tuple(dict.fromkeys(k for step in task.steps for k in step.at if k in kept_apart))
            for task in problem.tasks
        }
        self.fixed = {machine.key: _fixed(problem, machine) for machine in problem.machines}
        self.away = {
            person.name: _merged(
                [
                    (-1, person.from_s),
                    (person.until_s, NEVER),
                    *((b.from_s, b.until_s) for b in problem.blocks if b.person == person.name),
                ],
                1,
            )
            for person in problem.people
        }


def _fixed(problem: Problem, machine: Machine) -> list[tuple[int, int, int]]:
    """When a machine is not to be had, and what of it is taken beforehand."""
    shut = [(-1, machine.from_s)] if machine.from_s > 0 else []
    shut.append((machine.until_s, NEVER))
    blocks = [block for block in problem.blocks if block.machine == machine.key]
    if machine.count == 1:
        return _merged([*shut, *((block.from_s, block.until_s) for block in blocks)], 1)
    part = [(block.from_s, block.until_s, min(block.count, machine.count)) for block in blocks]
    return sorted([*_merged(shut, machine.count), *part])


def _merged(spans: Sequence[tuple[int, int]], count: int) -> list[tuple[int, int, int]]:
    """Stretches that overlap or meet made one."""
    made: list[tuple[int, int, int]] = []
    for begin, end in sorted(spans):
        if made and begin <= made[-1][1]:
            made[-1] = (made[-1][0], max(made[-1][1], end), count)
        else:
            made.append((begin, end, count))
    return made


class Board:
    """A plan in the making."""

    def __init__(self, ground: Ground) -> None:
        self.ground, self.problem = ground, ground.problem
        self.people = {name: _Line(1, away) for name, away in ground.away.items()}
        self.machines = {m.key: _Line(m.count, ground.fixed[m.key]) for m in self.problem.machines}
        nothing: frozenset[str] = frozenset()
        self.runs = {m.key: _Run(0, 0, nothing, nothing, nothing) for m in self.problem.machines if m.apart}
        self.entries: dict[str, Entry] = {}
        self.washes: list[Wash] = []
        self.unplaced: list[str] = []

    def lay(self, task: Task, forced: Mapping[tuple[str, int], str]) -> None:
        """Put a task in as early as it can be; `forced` says whose hands a step (task, number) has."""
        if any(key not in self.entries for key in task.after):
            self.unplaced.append(task.key)
            return
        first_s = max([task.release_s, *(self.entries[key].end_s for key in task.after)])
        able = [self._able(task, n, forced) for n in range(len(task.steps))]
        apart = self.ground.apart[task.key]
        opening = [key for key in apart if not self._joins(self.runs[key], task)]
        washed = self._washed(opening, task)
        bounds = {key: self.runs[key].from_s for key in apart}
        bounds |= {key: self.runs[key].until_s for key in opening}
        bounds |= {wash.machine: wash.end_s for wash in washed}
        start_s = self._earliest(task, first_s, able, bounds)
        if start_s < NEVER:
            self._book(task, start_s, able)
            for key in apart:
                clean = any(wash.machine == key for wash in washed)
                self._into_run(key, task, start_s, key in opening, clean, bounds[key])
            return
        for wash in washed:
            self._unbook(wash)
        self.unplaced.append(task.key)

    def _able(self, task: Task, step: int, forced: Mapping[tuple[str, int], str]) -> tuple[str, ...]:
        able, name = self.ground.able[task.key], forced.get((task.key, step))
        return (name,) if name in able and name is not None else able

    @staticmethod
    def _joins(run: _Run, task: Task) -> bool:
        """Whether a task may lie among those of the run, before or after any of them."""
        clean = not task.keeps_from & (run.leaves | run.dirt)
        return clean and not task.leaves & run.keeps_from

    def _washed(self, opening: Sequence[str], task: Task) -> list[Wash]:
        """The wash-downs a task needs, each at its earliest and booked; one nobody can do is at NEVER."""
        made = []
        for key in opening:
            run, machine = self.runs[key], self.problem.machine[key]
            if not task.keeps_from & (run.leaves | run.dirt):
                continue
            able = [person.name for person in self.problem.people if person.does & machine.washed_by]
            found = [(self._washable(key, name, run.until_s, machine), name) for name in able]
            at_s, name = min(found, default=(NEVER, ""))
            made.append(Wash(key, at_s, at_s + machine.wash_s, name))
            if at_s < NEVER:
                self._book_wash(made[-1])
        return made

    def _washable(self, key: str, name: str, at_s: int, machine: Machine) -> int:
        while at_s < NEVER:
            then = self.people[name].free_from(at_s, machine.wash_s)
            then = self.machines[key].free_from(then, machine.wash_s, machine.count)
            if then == at_s:
                return at_s
            at_s = then
        return NEVER

    def _earliest(
        self, task: Task, at_s: int, able: Sequence[tuple[str, ...]], bounds: Mapping[str, int]
    ) -> int:
        """When all of its steps find hands and machines, one after the other without a wait."""
        steps = list(zip(task.steps, task.offsets, able, strict=True))
        while at_s < NEVER:
            before = at_s
            for step, offset, names in steps:
                for key, count in step.at.items():
                    begin = max(at_s + offset, bounds.get(key, 0))
                    at_s = self.machines[key].free_from(begin, step.seconds, count) - offset
                    if at_s + offset >= NEVER:
                        return NEVER
                if step.hands:
                    at_s = self._first_hands(names, at_s + offset, step.seconds) - offset
                    if at_s + offset >= NEVER:
                        return NEVER
            if at_s == before:
                return at_s
        return NEVER

    def _first_hands(self, names: Sequence[str], at_s: int, seconds: int) -> int:
        first = NEVER
        for name in names:
            free_s = self.people[name].alone_from(at_s, seconds)
            if free_s == at_s:
                return at_s
            first = min(first, free_s)
        return first

    def _book(self, task: Task, start_s: int, able: Sequence[tuple[str, ...]]) -> None:
        hands: list[str] = []
        for step, offset, names in zip(task.steps, task.offsets, able, strict=True):
            from_s, until_s = start_s + offset, start_s + offset + step.seconds
            hands.append(self._hands(from_s, step.seconds, names, hands) if step.hands else "")
            if hands[-1]:
                self.people[hands[-1]].take(from_s, until_s)
            for key, count in step.at.items():
                self.machines[key].take(from_s, until_s, count)
        self.entries[task.key] = Entry(task, start_s, tuple(hands))

    def _hands(self, at_s: int, seconds: int, able: Sequence[str], before: Sequence[str]) -> str:
        """Who takes a step: who began the task, else who can do least else and has least to do."""
        free = [name for name in able if self.people[name].alone_from(at_s, seconds) == at_s]
        own = [name for name in before if name in free]
        if own:
            return own[-1]
        return min(free, key=lambda name: (len(self.problem.person[name].does), len(self.people[name].taken)))

    def _into_run(self, key: str, task: Task, start_s: int, opens: bool, washed: bool, from_s: int) -> None:
        run = self.runs[key]
        until_s = max(
            start_s + offset + step.seconds
            for step, offset in zip(task.steps, task.offsets, strict=True)
            if key in step.at
        )
        if opens:
            dirt = frozenset() if washed else run.dirt | run.leaves
            run = _Run(from_s, until_s, frozenset(), frozenset(), dirt)
        self.runs[key] = _Run(
            run.from_s,
            max(run.until_s, until_s),
            run.leaves | task.leaves,
            run.keeps_from | task.keeps_from,
            run.dirt,
        )

    def _book_wash(self, wash: Wash) -> None:
        self.washes.append(wash)
        self.people[wash.person].take(wash.start_s, wash.end_s)
        self.machines[wash.machine].take(wash.start_s, wash.end_s, self.problem.machine[wash.machine].count)

    def _unbook(self, wash: Wash) -> None:
        if wash in self.washes:
            self.washes.remove(wash)
            count = self.problem.machine[wash.machine].count
            self.people[wash.person].give_back(wash.start_s, wash.end_s)
            self.machines[wash.machine].give_back(wash.start_s, wash.end_s, count)

    def schedule(self, rounds: int = 0) -> Schedule:
        """The plan as it lies, by when things begin."""
        place = {task.key: n for n, task in enumerate(self.problem.tasks)}
        ordered = sorted(self.entries.values(), key=lambda one: (one.start_s, place[one.task.key]))
        washes = sorted(self.washes, key=lambda wash: (wash.start_s, wash.machine))
        return Schedule(tuple(ordered), tuple(washes), tuple(self.unplaced), rounds)


def laid(ground: Ground, order: Sequence[str], forced: Mapping[tuple[str, int], str]) -> Schedule:
    """The plan of one order of tasks; one that comes before what it waits for is put off until it can."""
    board, tasks = Board(ground), ground.problem.task
    waiting, seen = list(order), set[str]()
    while waiting:
        at = next(n for n, key in enumerate(waiting) if seen.issuperset(tasks[key].after))
        key = waiting.pop(at)
        board.lay(tasks[key], forced)
        seen.add(key)
    return board.schedule()
