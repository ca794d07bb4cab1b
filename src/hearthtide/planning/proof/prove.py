"""The proof of a schedule before anybody acts on it, by rules, a geometry and a sum of its own.

It reads the problem and the schedule as plain data and shares nothing with the search, so that a mistake
there cannot hide here. A schedule with a fault is never shown.
"""

from __future__ import annotations

from collections.abc import Iterator

from hearthtide.planning.problem import Problem, Reality, Schedule
from hearthtide.planning.proof.counted import counted, reach_bounds
from hearthtide.planning.proof.floor import Floor
from hearthtide.planning.proof.hands import hand_faults
from hearthtide.planning.proof.reading import Fault, Night
from hearthtide.planning.proof.stages import stage_faults
from hearthtide.planning.proof.stone import stone_faults
from hearthtide.planning.proof.tables import table_faults

SAME_COST = 1e-6  # guest-seconds; adding the same numbers in another order loses less

# What a fault may be named, and what it says is wrong.
NAMES = {
    "orders": "a plate is missing, doubled, strange, or lands with the wrong table",
    "called": "touched before its ticket is called",
    "before now": "planned for a time that has passed",
    "begun": "started work is moved or forgotten",
    "told": "what was told for the next minute is changed",
    "hands": "no skill, wrong seconds, or more than two hands",
    "chores": "a chore missed, or done unasked",
    "acts": "acts missing, doubled or out of order",
    "stay": "a stay that does not begin, end or hold its place as its acts say",
    "stage": "a stage shorter or longer than its band",
    "turns": "a turn, spin or flip missing or away from its moment",
    "wait": "off the hearth longer than the dish bears",
    "recourse": "what was done to started food is not told or counted right",
    "place": "a spot that is none, or not one the stage asks for",
    "closed": "on a spot that is shut",
    "overlap": "two things on one patch of stone",
    "stone rest": "bare dough on stone that has not recovered",
    "tall": "handled behind a tall item",
    "splash": "within reach of what it is guarded from",
    "platters": "more platters out than the bank has",
    "rest": "rested too short or too long",
    "not before": "lands before it may",
    "landing": "the landing does not add up",
    "cost": "the cost does not add up",
}


def prove(
    problem: Problem, schedule: Schedule, reality: Reality | None = None, running: Schedule | None = None
) -> tuple[Fault, ...]:
    """All that is wrong with a schedule; empty when it may be acted on.

    `reality` is the night as it stood when the schedule was made (what had begun is not held against it,
    but must stand unmoved), `running` the schedule being run then (for the price of changed words).
    Plates held too long, apart or late are legal: they must be in the cost to the last second. Where the
    problem's stone does not bind, what stands on it is not judged.
    """
    return tuple(_faults(Night(problem, schedule, reality, running)))


def _faults(night: Night) -> Iterator[Fault]:
    floor = Floor(night.problem)
    yield from table_faults(night)
    yield from hand_faults(night)
    yield from stage_faults(night)
    yield from stone_faults(night, floor)
    yield from _cost(night, floor)


def _cost(night: Night, floor: Floor) -> Iterator[Fault]:
    """Each part and the sum as counted here; a reach too close to tell may count either way."""
    told, own = dict(night.schedule.parts), counted(night, floor)
    least, most = (night.problem.weights.reach * count for count in reach_bounds(night, floor))
    if least - SAME_COST <= told.get("reach", 0.0) <= most + SAME_COST:
        own["reach"] = told.get("reach", 0.0)
    for kind in sorted(own.keys() | told.keys()):
        if abs(own.get(kind, 0.0) - told.get(kind, 0.0)) > SAME_COST:
            yield Fault("cost", kind, f"said {told.get(kind, 0.0):.6f}, counted {own.get(kind, 0.0):.6f}")
    whole = sum(own.values())
    if abs(whole - night.schedule.cost) > SAME_COST:
        yield Fault("cost", "sum", f"said {night.schedule.cost:.6f}, counted {whole:.6f}")
