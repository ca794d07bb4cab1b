"""Why a course landed later than its table was first told: what each plan in between added, and after what.

The seconds of the steps add up to the lateness, to the second. Which of several things told between two plans
cost how much cannot be known afterwards: they are named together.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from hearthtide.quantities.show import duration_text
from hearthtide.service import commands as told
from hearthtide.service.facts import Facts, LiveCourse, LiveTicket, table_of
from hearthtide.service.history import Told
from hearthtide.service.plan_told import PlanMade
from hearthtide.service.words import words_of

CourseOf = tuple[str, int]  # table and course
ActOf = tuple[str, str, int]  # plate, act, which of that kind
LATE_ACT_S = 20.0  # an act so much behind its plan is worth a word: some two acts' time; own choice
MOST_LATE_ACTS = 3  # of one step, the latest ones; own choice
# What changes a plan; all else that is told leaves it as it is.
CAUSES = (
    told.TicketCalled
    | told.Amended
    | told.DishesAdded
    | told.EightySix
    | told.Hold
    | told.Fire
    | told.Drag
    | told.Split
    | told.Refire
    | told.NotYet
    | told.StageSeen
    | told.Reading
    | told.Spill
    | told.DeadPlatter
    | told.CookOut
    | told.CookIn
    | told.FlameOut
    | told.FlameSet
)


@dataclass(frozen=True)
class PlanThen:
    """A plan as it was told at `at_s`, made knowing the log up to entry `knows`.

    `lands_s` is when each course's last drop lands, `acts_s` when each act begins.
    """

    at_s: float
    knows: int
    lands_s: Mapping[CourseOf, float]
    acts_s: Mapping[ActOf, float]


@dataclass(frozen=True)
class Cause:
    """Something that happened before a plan: `kind` as it was told, or `late_act`; `of` whom or what."""

    kind: str
    of: str
    at_s: float
    by: str
    words: str
    late_s: float = 0.0


@dataclass(frozen=True)
class Step:
    """What one plan added to a landing (below zero: won back), and what happened before it.

    The last step of a course, `after_plan`, is what it landed after its last plan.
    """

    at_s: float
    added_s: float
    causes: tuple[Cause, ...]
    after_plan: bool = False


@dataclass(frozen=True)
class Late:
    """A course that landed later than first told by more than the house allows; costliest steps first."""

    table: str
    course: int
    covers: int
    wanted_s: float
    told_s: float
    landed_s: float
    steps: tuple[Step, ...]

    @property
    def late_s(self) -> float:
        return self.landed_s - self.told_s


def late_courses(
    facts: Facts, log: Sequence[Told], plans: Sequence[PlanThen], late_after_s: float
) -> tuple[Late, ...]:
    """Every late course with its steps, the latest course first. `plans` in the order they were told."""
    found = []
    for ticket in facts.tickets:
        for number, course in enumerate(ticket.courses, 1):
            late = _late(ticket, number, course, log, plans)
            if late is not None and late.late_s > late_after_s:
                found.append(late)
    return tuple(sorted(found, key=lambda late: -late.late_s))


def _late(
    ticket: LiveTicket, number: int, course: LiveCourse, log: Sequence[Told], plans: Sequence[PlanThen]
) -> Late | None:
    """How a landed course went; None for one that has not landed, or that no plan held before it did."""
    key = (ticket.table, number)
    landed_s = course.landed_s
    if landed_s is None:
        return None
    own = [plan for plan in plans if key in plan.lands_s and plan.at_s <= landed_s]
    if not own:
        return None
    steps = [
        Step(now.at_s, now.lands_s[key] - before.lands_s[key], _causes(log, before, now, ticket.table))
        for before, now in pairwise(own)
        if now.lands_s[key] != before.lands_s[key]
    ]
    last = own[-1]
    if landed_s != last.lands_s[key]:
        since = [one for one in log if one.seq > last.knows and one.command.at_s <= landed_s]
        causes = (*_told_causes(since), *_late_acts(since, last, ticket.table, only_own=True))
        steps.append(Step(landed_s, landed_s - last.lands_s[key], causes, after_plan=True))
    return Late(
        table=ticket.table,
        course=number,
        covers=ticket.covers,
        wanted_s=course.wanted_s,
        told_s=own[0].lands_s[key],
        landed_s=landed_s,
        steps=tuple(sorted(steps, key=lambda step: -step.added_s)),
    )


def _causes(log: Iterable[Told], before: PlanThen, now: PlanThen, table: str) -> tuple[Cause, ...]:
    between = [one for one in log if before.knows < one.seq <= now.knows]
    return (*_told_causes(between), *_late_acts(between, before, table))


def _told_causes(log: Iterable[Told]) -> list[Cause]:
    return [
        Cause(what.kind, about(what), one.command.at_s, one.command.by, words_of(what), _late_by(what))
        for one in log
        if isinstance(what := one.command.what, CAUSES) and _counts(what)
    ]


def _counts(what: told.What) -> bool:
    """Of readings those of a plate's core, which say when its stage is done; the stone's move no plan."""
    return not isinstance(what, told.Reading) or (what.of == "core" and what.item is not None)


def _late_acts(log: Iterable[Told], plan: PlanThen, table: str, only_own: bool = False) -> tuple[Cause, ...]:
    """Acts done behind that plan: the table's own, then others' (which held up the hands), latest first."""
    late = []
    for one in log:
        what = one.command.what
        if not isinstance(what, told.MoveDone) or (only_own and table_of(what.item) != table):
            continue
        due_s = plan.acts_s.get((what.item, what.act, what.nth))
        if due_s is None or one.command.at_s - due_s < LATE_ACT_S:
            continue
        late_s = one.command.at_s - due_s
        words = f"{what.act} of {what.item} was done {duration_text(late_s)} late"
        late.append(Cause("late_act", what.item, one.command.at_s, one.command.by, words, late_s))
    late.sort(key=lambda cause: (table_of(cause.of) != table, -cause.late_s))
    return tuple(late[:MOST_LATE_ACTS])


def about(what: told.What | PlanMade) -> str:
    """The table, plate, dish, cook or level something is about; empty where it is about the kitchen."""
    match what:
        case told.TicketCalled():
            return what.ticket.table
        case told.NotYet() | told.StageSeen() | told.Refire():
            return what.item
        case told.EightySix():
            return what.dish
        case told.CookOut() | told.CookIn():
            return what.cook
        case told.FlameSet():
            return what.level
        case told.Reading():
            return what.item or what.place or ""
        case told.Amended() | told.DishesAdded() | told.Hold() | told.Fire() | told.Drag() | told.Split():
            return what.table
    return ""


def _late_by(what: told.What) -> float:
    match what:
        case told.NotYet():
            return what.late_s
        case told.Drag():
            return what.drag_s
    return 0.0
