"""Why a task stands where it stands in a day's prep, and how much time it still has, in words."""

from __future__ import annotations

from collections.abc import Iterator

from hearthtide.day.prep import PART, Entry, Problem, Schedule
from hearthtide.quantities.show import clock_text


def why(problem: Problem, plan: Schedule, entry: Entry) -> str:
    """What keeps a task from an earlier moment: what it waits for, a place, hands, its own time."""
    task = entry.task
    for before in task.after:
        if plan.by_task[before].end_s == entry.start_s:
            return f"after {named(plan, plan.by_task[before])}"
    return (
        next(_washed(problem, plan, entry), "")
        or next(_machines(problem, plan, entry), "")
        or next(_hands(problem, plan, entry), "")
        or (f"not before {clock_text(task.release_s)}" if task.release_s == entry.start_s else "")
        or "first of what is left"
    )


def named(plan: Schedule, entry: Entry) -> str:
    """A task's name; of one done in batches with its number, by when they begin."""
    base, dot, _ = entry.task.key.partition(PART)
    if not dot:
        return entry.task.name
    batches = [one for one in plan.entries if one.task.key.startswith(base + PART)]
    return f"{entry.task.name}, {batches.index(entry) + 1} of {len(batches)}"


def _stretches(entry: Entry) -> Iterator[tuple[int, int, str, tuple[str, ...]]]:
    for step, offset, person in zip(entry.task.steps, entry.task.offsets, entry.hands, strict=True):
        begin = entry.start_s + offset
        yield begin, begin + step.seconds, person, tuple(step.at)


def _washed(problem: Problem, plan: Schedule, entry: Entry) -> Iterator[str]:
    for begin, _, _, at in _stretches(entry):
        for wash in plan.washes:
            if wash.machine in at and wash.end_s == begin:
                yield f"{problem.machine[wash.machine].name} washed down by then"


def _machines(problem: Problem, plan: Schedule, entry: Entry) -> Iterator[str]:
    for begin, _, _, at in _stretches(entry):
        for key in at:
            machine = problem.machine[key]
            if begin == machine.from_s > 0:
                yield f"{machine.name} is to be had from then"
            if any(block.machine == key and block.until_s == begin for block in problem.blocks):
                yield f"{machine.name} is free then"
            for other in plan.entries:
                ends = any(key in places and end == begin for _, end, _, places in _stretches(other))
                if other is not entry and ends and _full_before(problem, plan, key, begin, entry):
                    yield f"{machine.name} is free then, after {named(plan, other)}"


def _full_before(problem: Problem, plan: Schedule, key: str, at_s: int, entry: Entry) -> bool:
    """Whether a machine had no room for the task just before a moment."""
    wanted = max(step.at.get(key, 0) for step in entry.task.steps)
    taken = sum(
        step.at[key]
        for other in plan.entries
        for step, (begin, end, _, _) in zip(other.task.steps, _stretches(other), strict=True)
        if key in step.at and begin < at_s <= end
    )
    taken += sum(b.count for b in problem.blocks if b.machine == key and b.from_s < at_s <= b.until_s)
    return taken + wanted > problem.machine[key].count


def _hands(problem: Problem, plan: Schedule, entry: Entry) -> Iterator[str]:
    for begin, _, person, _ in _stretches(entry):
        if not person:
            continue
        if begin == problem.person[person].from_s:
            yield f"{person} comes then"
        for other in plan.entries:
            if other is not entry and any(
                who == person and end == begin for _, end, who, _ in _stretches(other)
            ):
                yield f"{person}'s hands are free then"
        if any(wash.person == person and wash.end_s == begin for wash in plan.washes):
            yield f"{person} has washed down"
        if any(block.person == person and block.until_s == begin for block in problem.blocks):
            yield f"{person} is free then"


def where(problem: Problem, entry: Entry) -> str:
    """The machines and places a task holds, in the order it holds them."""
    keys = dict.fromkeys(key for step in entry.task.steps for key in step.at)
    names = []
    for key in keys:
        most = max(step.at.get(key, 0) for step in entry.task.steps)
        names.append(problem.machine[key].name + (f" x{most}" if most > 1 else ""))
    return ", then ".join(names)


def idle_s(problem: Problem, plan: Schedule) -> dict[str, int]:
    """How long each person's hands wait between their first and their last task of the prep."""
    found = {}
    for person in problem.people:
        spans = [
            (begin, end)
            for entry in plan.entries
            for begin, end, name, _ in _stretches(entry)
            if name == person.name
        ]
        spans += [(wash.start_s, wash.end_s) for wash in plan.washes if wash.person == person.name]
        if spans:
            whole = max(end for _, end in spans) - min(begin for begin, _ in spans)
            found[person.name] = whole - sum(end - begin for begin, end in spans)
    return found
