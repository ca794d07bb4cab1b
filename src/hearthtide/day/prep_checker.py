"""What is wrong with a plan of prep, from the plan and the problem alone: it shares nothing with the search.

Every promise is looked at pair by pair or moment by moment, slowly and plainly.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from hearthtide.day.prep import Entry, Machine, Problem, Schedule
from hearthtide.quantities.show import clock_text


def faults(problem: Problem, plan: Schedule) -> tuple[str, ...]:
    """Every promise the plan breaks, in words; none for a plan that can be done as it stands.

    Lateness and tasks left out are no faults of this kind: the plan says them itself (`Schedule.kept`), and
    that it says them rightly is looked at.
    """
    return (
        *_tasks(problem, plan),
        *_hands(problem, plan),
        *_machines(problem, plan),
        *_apart(problem, plan),
    )


def _tasks(problem: Problem, plan: Schedule) -> Iterator[str]:
    named = [entry.task.key for entry in plan.entries] + list(plan.unplaced)
    for key in sorted({*named, *problem.task}):
        if named.count(key) != 1 or key not in problem.task:
            yield f"{key}: stands {named.count(key)} times in the plan"
    ends = {
        entry.task.key: entry.start_s + sum(s.seconds for s in entry.task.steps) for entry in plan.entries
    }
    late_s = 0
    for entry in plan.entries:
        task = entry.task
        if problem.task.get(task.key) != task:
            yield f"{task.key}: is not the task that was asked"
        if entry.start_s < task.release_s:
            yield f"{task.key}: begins {clock_text(entry.start_s)}, before {clock_text(task.release_s)}"
        for before in task.after:
            if before not in ends or entry.start_s < ends[before]:
                yield f"{task.key}: begins before {before} has ended"
        if task.due_s is not None:
            late_s += max(0, ends[task.key] - task.due_s)
    if late_s != plan.late_s:
        yield f"the plan says {plan.late_s} s late, it is {late_s} s"


def _stretches(entry: Entry) -> Iterator[tuple[int, int, str, dict[str, int]]]:
    now = entry.start_s
    for step, person in zip(entry.task.steps, entry.hands, strict=True):
        yield now, now + step.seconds, person, dict(step.at)
        now += step.seconds


def _hands(problem: Problem, plan: Schedule) -> Iterator[str]:
    people = {person.name: person for person in problem.people}
    taken: dict[str, list[tuple[int, int, str]]] = {name: [] for name in people}
    for entry in plan.entries:
        for step, person in zip(entry.task.steps, entry.hands, strict=True):
            if step.hands != bool(person) or (person and person not in people):
                yield f"{entry.task.key}: hands of {person or 'nobody'}"
            elif person and not people[person].does & entry.task.who:
                yield f"{entry.task.key}: {person} does not do such work"
        for from_s, until_s, person, _ in _stretches(entry):
            if person in taken:
                taken[person].append((from_s, until_s, entry.task.key))
    for wash in plan.washes:
        able = wash.person in people and people[wash.person].does & problem.machine[wash.machine].washed_by
        if not able:
            yield f"wash-down of {wash.machine}: {wash.person or 'nobody'} does not do such work"
        else:
            taken[wash.person].append((wash.start_s, wash.end_s, f"wash-down of {wash.machine}"))
    for block in problem.blocks:
        if block.person in taken:
            taken[block.person].append((block.from_s, block.until_s, block.what))
    blocked = {block.what for block in problem.blocks}
    for name, spans in taken.items():
        for one, other in combinations(spans, 2):
            both_fixed = one[2] in blocked and other[2] in blocked
            if _overlap(one, other) and not both_fixed:
                yield f"{name}: at {one[2]} and at {other[2]} at once"
        for from_s, until_s, what in spans:
            there = people[name].from_s <= from_s and until_s <= people[name].until_s
            if not there and what not in blocked:
                yield f"{name}: not there for {what}, {clock_text(from_s)} to {clock_text(until_s)}"


def _overlap(one: tuple[int, int, str], other: tuple[int, int, str]) -> bool:
    """Whether two stretches share time."""
    return one[0] < other[1] and other[0] < one[1]


def _machines(problem: Problem, plan: Schedule) -> Iterator[str]:
    for machine in problem.machines:
        uses: list[tuple[int, int, int, str]] = [
            (from_s, until_s, at[machine.key], entry.task.key)
            for entry in plan.entries
            for from_s, until_s, _, at in _stretches(entry)
            if machine.key in at
        ]
        uses += [
            (wash.start_s, wash.end_s, machine.count, "wash-down")
            for wash in plan.washes
            if wash.machine == machine.key
        ]
        for from_s, until_s, _, what in uses:
            if not (machine.from_s <= from_s and until_s <= machine.until_s):
                yield f"{machine.key}: not to be had for {what} at {clock_text(from_s)}"
        fixed = [(b.from_s, b.until_s, b.count) for b in problem.blocks if b.machine == machine.key]
        yield from _beyond(machine, uses, fixed)


def _beyond(
    machine: Machine, uses: list[tuple[int, int, int, str]], fixed: list[tuple[int, int, int]]
) -> Iterator[str]:
    """Moments at which more is in use than there is; a fixed block takes at most all there is."""
    for moment in sorted({one[0] for one in uses} | {one[0] for one in fixed}):
        there = [one for one in uses if one[0] <= moment < one[1]]
        taken = min(machine.count, sum(n for from_s, until_s, n in fixed if from_s <= moment < until_s))
        wanted = sum(one[2] for one in there)
        if there and wanted + taken > machine.count:
            names = ", ".join(one[3] for one in there)
            used = f"{wanted + taken} of {machine.count} in use"
            yield f"{machine.key}: {used} at {clock_text(moment)} ({names})"


def _apart(problem: Problem, plan: Schedule) -> Iterator[str]:
    """What one task leaves at a place must not be there when another that keeps from it is."""
    for machine in problem.machines:
        if not machine.apart:
            continue
        there = []
        for entry in plan.entries:
            spans = [(a, b) for a, b, _, at in _stretches(entry) if machine.key in at]
            if spans:
                there.append((min(a for a, _ in spans), max(b for _, b in spans), entry.task))
        washes = [(w.start_s, w.end_s) for w in plan.washes if w.machine == machine.key]
        if any(end - begin < machine.wash_s for begin, end in washes):
            yield f"{machine.key}: a wash-down shorter than {machine.wash_s} s"
        for begin, end, task in there:
            for other_begin, other_end, other in there:
                met = other.leaves & task.keeps_from
                if other is task or not met or other_begin >= end:
                    continue
                clean = any(other_end <= wash[0] and wash[1] <= begin for wash in washes)
                if not clean:
                    words = ", ".join(sorted(met))
                    yield f"{machine.key}: {task.key} meets the {words} of {other.key}"
