"""Prep that cannot all be in time: which limit binds; what would mend it, each tried by planning again."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from hearthtide.day.prep import LONGEST_S, Block, Machine, Person, Problem, Schedule, Task
from hearthtide.day.prep_search import Effort, heads_s, planned, tails_s
from hearthtide.quantities.show import clock_text

ROUNDS_AGAIN, ROUNDS_IN_VAIN = 150, 10  # for each try; for one that is proved not to mend it; own choice
EARLIER_MIN = (15, 30, 45, 60, 90, 120, 180, 240)  # tried in this order; own choice
LESS = (0.9, 0.75, 0.5, 0.25, 0.0)  # shares of one thing that are left, tried in this order; own choice
ONE_MORE = "one more pair of hands"


@dataclass(frozen=True)
class Lifted:
    """One limit set aside: what of lateness and of tasks left out remains."""

    limit: str
    unplaced: int
    late_s: int


@dataclass(frozen=True)
class WayOut:
    """Something that would mend it; planned again with it, so much is left to be late."""

    words: str
    unplaced: int
    late_s: int

    @property
    def mends(self) -> bool:
        return not self.unplaced and not self.late_s


@dataclass(frozen=True)
class Binding:
    """Why a day's prep cannot all be in time. `sure`: no plan can do it, for the reason in `words`; else none
    was found. `late`: the tasks that are late or left out, the worst first."""

    limit: str
    words: str
    sure: bool
    late: tuple[str, ...]
    lifted: tuple[Lifted, ...]
    ways_out: tuple[WayOut, ...]


Less = Callable[[str, int], Problem]
"""The problem with another amount of one thing."""


def binding(
    problem: Problem,
    plan: Schedule,
    less: Less | None = None,
    amounts: Mapping[str, int] | None = None,
    *,
    seed: int = 1,
    rounds: int = ROUNDS_AGAIN,
    tell: Callable[[float], None] = lambda _: None,
) -> Binding:
    """The limit whose lifting leaves least undone, and ways out, the cheapest first that mends it.

    Raises ValueError for a plan that meets everything: nothing binds then.
    """
    if plan.kept:
        raise ValueError("the plan meets every due: expected one that does not")
    again = _Again(seed, rounds, tell)
    late = _late(plan)
    proof = _proof(problem)
    tried = [(words, again.plan(lifted)) for words, lifted in _lifts(problem, plan)]
    lifted = sorted(
        (Lifted(words, len(found.unplaced), found.late_s) for words, found in tried),
        key=lambda one: (one.unplaced, one.late_s),
    )
    undone = (len(plan.unplaced), plan.late_s)
    helps = [one for one in lifted if (one.unplaced, one.late_s) < undone]
    limit, words = (helps[0].limit, _words_of(helps[0])) if helps else _chain(problem, plan)
    if proof is not None:
        limit, words = proof
    ways = [way for way in _ways_out(problem, plan, less, amounts or {}, again) if _undone(way) < undone]
    tell(1.0)
    return Binding(limit, words, proof is not None, late, tuple(lifted), tuple(ways))


class _Again:
    """Plans again with the same effort every time, and tells how far it is."""

    def __init__(self, seed: int, rounds: int, tell: Callable[[float], None]) -> None:
        self.seed, self.rounds, self.tell, self.done = seed, rounds, tell, 0

    def plan(self, problem: Problem) -> Schedule:
        self.done += 1
        self.tell(1 - 1 / (1 + self.done / 10))  # how many there are is not known beforehand
        rounds = self.rounds if _proof(problem) is None else min(self.rounds, ROUNDS_IN_VAIN)
        return planned(problem, seed=self.seed, effort=Effort(rounds, until_kept=True))


def _late(plan: Schedule) -> tuple[str, ...]:
    ordered = sorted((one for one in plan.entries if one.late_s), key=lambda one: -one.late_s)
    return (*plan.unplaced, *(one.task.key for one in ordered))


def _words_of(one: Lifted) -> str:
    if not (one.unplaced or one.late_s):
        return f"without this limit all of it is in time: {one.limit}"
    return f"most of it waits for this limit: {one.limit}"


def _lifts(problem: Problem, plan: Schedule) -> list[tuple[str, Problem]]:
    """Every limit that what is late can feel, set aside: hands of each kind, each machine, each's hours."""
    felt = _felt(problem, plan)
    made = []
    for work in sorted({work for task in felt for work in task.who}):
        made.append((f"hands for {work}", replace(problem, people=(*problem.people, *_crowd(work, problem)))))
    for machine in problem.machines:
        if not any(machine.key in step.at for task in felt for step in task.steps):
            continue
        many = _with(problem, replace(machine, count=machine.count + len(problem.tasks) + 200))
        made.append((machine.name, replace(many, blocks=_without(many, machine.key))))
        if machine.apart:
            made.append((f"keeping apart at {machine.name}", _with(problem, replace(machine, apart=False))))
        if machine.from_s or machine.until_s < LONGEST_S:
            made.append(
                (f"hours of {machine.name}", _with(problem, replace(machine, from_s=0, until_s=LONGEST_S)))
            )
    return made


def _felt(problem: Problem, plan: Schedule) -> list[Task]:
    """The late tasks and all they wait for."""
    found: set[str] = set()
    todo = list(_late(plan))
    while todo:
        key = todo.pop()
        if key not in found:
            found.add(key)
            todo += problem.task[key].after
    return [task for task in problem.tasks if task.key in found]


def _crowd(work: str, problem: Problem) -> tuple[Person, ...]:
    """So many people for one kind of work that nobody waits for hands, from when the first comes."""
    from_s, until_s = _house_hours(problem)
    count = min(12, len(problem.tasks))
    return tuple(Person(f"{ONE_MORE} {n}", from_s, until_s, frozenset({work})) for n in range(count))


def _house_hours(problem: Problem) -> tuple[int, int]:
    """From when the first person comes to when the last one goes."""
    from_s = min((person.from_s for person in problem.people), default=0)
    return from_s, max((person.until_s for person in problem.people), default=LONGEST_S)


def _with(problem: Problem, machine: Machine) -> Problem:
    return replace(
        problem, machines=tuple(machine if one.key == machine.key else one for one in problem.machines)
    )


def _without(problem: Problem, machine: str) -> tuple[Block, ...]:
    return tuple(block for block in problem.blocks if block.machine != machine)


def _chain(problem: Problem, plan: Schedule) -> tuple[str, str]:
    """What is left when no limit alone helps: the order and length of the steps, or several at once."""
    names = ", ".join(problem.task[key].name for key in _late(plan)[:3])
    return "the steps themselves", f"no limit lifted alone helps: {names} has too long a way, or several bind"


def _proof(problem: Problem) -> tuple[str, str] | None:
    """A limit that no plan at all can meet, and why; None where none is that plain.

    Tasks one after the other that are longer than the time for them; a count that is never there; more work
    between two times than hands or a machine have in them.
    """
    heads, tails = heads_s(problem), tails_s(problem)
    for task in problem.tasks:
        for key in {key for step in task.steps for key in step.at}:
            most = max(step.at.get(key, 0) for step in task.steps)
            if most > problem.machine[key].count:
                name = problem.machine[key].name
                return name, f"{task.name} wants {most} of {name}, {problem.machine[key].count} are there"
        if task.hands_s and not any(person.does & task.who for person in problem.people):
            return f"hands for {' or '.join(sorted(task.who))}", f"nobody there does such work: {task.name}"
    too_long = [task for task in problem.tasks if heads[task.key] > tails[task.key]]
    if too_long:
        task = max(too_long, key=lambda one: heads[one.key])  # the end of the chain, where its due stands
        must = f"must have begun by {clock_text(max(0, tails[task.key]))}"
        return "the steps themselves", f"{task.name} {must} and cannot before {clock_text(heads[task.key])}"
    return _overfull(problem, heads, tails)


def _overfull(problem: Problem, heads: Mapping[str, int], tails: Mapping[str, int]) -> tuple[str, str] | None:
    """More work that must lie between two times than there is of a machine or of hands."""
    begins = sorted(set(heads.values()))
    ends = sorted(
        {tails[task.key] + task.seconds for task in problem.tasks if tails[task.key] < LONGEST_S / 2}
    )
    for begin in begins:
        for end in ends:
            inside = [
                task for task in problem.tasks
                if heads[task.key] >= begin and tails[task.key] + task.seconds <= end
            ]  # fmt: skip
            if begin >= end or not inside:
                continue
            for machine in problem.machines:
                span = _span(max(begin, machine.from_s), min(end, machine.until_s))
                wanted = sum(s.seconds * s.at.get(machine.key, 0) for task in inside for s in task.steps)
                there = machine.count * _inside(machine.from_s, machine.until_s, begin, end)
                if wanted > there:
                    return (
                        machine.name,
                        f"{_min(wanted)} min of {machine.name} wanted {span}, {_min(there)} there",
                    )
            if (found := _too_few_hands(problem, inside, begin, end)) is not None:
                return found[0], f"{found[1]} {_span(begin, end)}, {found[2]} there"
    return None


def _span(begin: int, end: int) -> str:
    return f"between {clock_text(begin)} and {clock_text(max(begin, end))}"


def _too_few_hands(problem: Problem, inside: list[Task], begin: int, end: int) -> tuple[str, str, str] | None:
    """For each set of kinds of work that a task of these names: their hands, and those who can give them."""
    for who in sorted({task.who for task in inside}, key=sorted):
        wanted = sum(task.hands_s for task in inside if task.who <= who)
        there = sum(
            _inside(person.from_s, person.until_s, begin, end)
            for person in problem.people
            if person.does & who
        )
        if wanted > there:
            name = f"hands for {' or '.join(sorted(who))}"
            return name, f"{_min(wanted)} min of {name} wanted", f"{_min(there)} min are"
    return None


def _inside(from_s: int, until_s: int, begin: int, end: int) -> int:
    return max(0, min(until_s, end) - max(from_s, begin))


def _min(seconds: int) -> int:
    return round(seconds / 60)


def _ways_out(
    problem: Problem, plan: Schedule, less: Less | None, amounts: Mapping[str, int], again: _Again
) -> list[WayOut]:
    """Starting earlier, one more pair of hands, less of one thing: the least of each that mends it."""
    ways = [*_earlier(problem, again), *_more_hands(problem, plan, again)]
    if less is not None:
        for key in dict.fromkeys(task.makes for task in _felt(problem, plan) if task.makes in amounts):
            ways.append(_less_of(key, amounts[key], less, again))
    return sorted(ways, key=_undone)


def _undone(way: WayOut) -> tuple[int, int]:
    return way.unplaced, way.late_s


def _found(words: str, plan: Schedule) -> WayOut:
    return WayOut(words, len(plan.unplaced), plan.late_s)


def _earlier(problem: Problem, again: _Again) -> list[WayOut]:
    """Everybody who is there first comes so much sooner, and what may begin then does."""
    ways: list[WayOut] = []
    first_s = min((person.from_s for person in problem.people), default=0)
    for minutes in EARLIER_MIN:
        if first_s < 60 * minutes:
            break
        people = tuple(
            replace(person, from_s=first_s - 60 * minutes) if person.from_s == first_s else person
            for person in problem.people
        )
        tasks = tuple(
            replace(task, release_s=max(0, task.release_s - 60 * minutes))
            if task.release_s <= first_s
            else task
            for task in problem.tasks
        )
        names = " and ".join(person.name for person in problem.people if person.from_s == first_s)
        words = f"{names} {minutes} min earlier, from {clock_text(first_s - 60 * minutes)}"
        ways.append(_found(words, again.plan(replace(problem, people=people, tasks=tasks))))
        if ways[-1].mends:
            break
    return sorted(ways, key=_undone)[:1]


def _more_hands(problem: Problem, plan: Schedule, again: _Again) -> list[WayOut]:
    """One more person for each kind of work the late tasks need, for the hours of the day's prep."""
    from_s, until_s = _house_hours(problem)
    ways = []
    for work in sorted({work for task in _felt(problem, plan) for work in task.who}):
        more = Person(ONE_MORE, from_s, until_s, frozenset({work}))
        found = again.plan(replace(problem, people=(*problem.people, more)))
        busy = [e for e in found.entries if ONE_MORE in e.hands]
        span = (
            f", {clock_text(min(e.start_s for e in busy))} to {clock_text(max(e.hands_end_s for e in busy))}"
            if busy
            else ""
        )
        ways.append(_found(f"{ONE_MORE} for {work}{span}", found))
    return ways


def _less_of(key: str, amount: int, less: Less, again: _Again) -> WayOut:
    """As much of one thing as can be made in time, by the shares of `LESS`."""
    ways = []
    for share in LESS:
        count = int(amount * share)
        ways.append(_found(f"{count} of {key} in place of {amount}", again.plan(less(key, count))))
        if ways[-1].mends:
            break
    return min(ways, key=_undone)
