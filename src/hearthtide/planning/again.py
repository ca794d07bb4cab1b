"""A changed problem planned again from the plan there is, and how late its guests are then."""

from __future__ import annotations

from dataclasses import dataclass

from hearthtide.planning.engine.search import Effort, Unplaceable, repair
from hearthtide.planning.orders import course_key
from hearthtide.planning.plan import Late
from hearthtide.planning.problem import Booked, Problem, Reality, Schedule

ROUNDS = 200  # of search after a change; own choice
TWICE_UP_TO = 120  # plates, above which only the better of the two starts is tried, for the time it takes


def total_late_s(schedule: Schedule) -> int:
    """Seconds all orders together land after they are wanted."""
    return sum(max(0, booked.late_s) for booked in schedule.booked)


def late_guest_s(schedule: Schedule) -> float:
    """Seconds all guests together wait past their wanted minutes, as the house weighs its tables."""
    return sum(booked.order.weight * max(0, booked.late_s) for booked in schedule.booked)


def late_orders(problem: Problem, schedule: Schedule) -> tuple[Booked, ...]:
    """The orders that land later than the house allows."""
    return tuple(booked for booked in schedule.booked if booked.late_s > problem.late_after_s)


def late_courses(problem: Problem, schedule: Schedule) -> tuple[Late, ...]:
    """The courses that land later than the house allows, each by its latest drop, the worst first."""
    worst: dict[str, Late] = {}
    for booked in late_orders(problem, schedule):
        order, course = booked.order, course_key(booked.order)
        if course not in worst or booked.late_s > worst[course].late_s:
            worst[course] = Late(order.ticket, course, order.wanted_s, booked.late_s)
    return tuple(sorted(worst.values(), key=lambda late: (-late.late_s, late.course)))


@dataclass(frozen=True)
class Again:
    """Plans changed problems from one plan, twice, and takes the cheaper.

    Once only what lands in time stays as planned, where it still can, and the late orders are placed anew;
    once, on nights that are not too long, all stays. The search goes on a little from each. The same seed
    gives the same plan. What has begun by then goes on in all of them.
    """

    booked: tuple[Booked, ...]
    in_time: tuple[Booked, ...]
    seed: int
    reality: Reality | None = None

    @property
    def begun(self) -> frozenset[str]:
        """Items that have begun: no change of the problem touches them."""
        return frozenset(b.item for b in self.reality.begun) if self.reality else frozenset()

    @classmethod
    def of(cls, problem: Problem, schedule: Schedule, seed: int, reality: Reality | None = None) -> Again:
        late = {booked.order.ticket for booked in late_orders(problem, schedule)}
        in_time = tuple(b for b in schedule.booked if b.order.ticket not in late)
        return cls(schedule.booked, in_time, seed, reality)

    def plan(self, problem: Problem) -> Schedule | None:
        """The schedule; None where an order then finds no room at all."""
        small = sum(len(order.items) for order in problem.orders) <= TWICE_UP_TO
        kept = (self.in_time, self.booked) if small else (self.in_time,)
        found = [schedule for keep in kept if (schedule := self._from(problem, keep)) is not None]
        return min(found, key=lambda schedule: schedule.cost, default=None)

    def _from(self, problem: Problem, keep: tuple[Booked, ...]) -> Schedule | None:
        try:
            return repair(problem, keep, seed=self.seed, effort=Effort(ROUNDS), reality=self.reality)
        except Unplaceable:
            return None
