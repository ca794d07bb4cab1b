"""What is asked of the planner and what it answers: frozen, plain data that can cross to its process."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from hearthtide.planning.places import Places
from hearthtide.planning.problem import Item, Placed, Problem, Reality, Schedule
from hearthtide.planning.replan import open_problem, reality_at, replanned
from hearthtide.planning.told import Running

# Rounds of search of each look. The first costs some milliseconds; the rounds of the last take about 0.15 s
# for 20 dishes and 0.4 s for 40: own choice.
LOOKS = (0, 40, 300)
Condition = Literal["starting", "ready", "planning", "down", "closed"]


@dataclass(frozen=True)
class Request:
    """A plan asked for: what is open, what has begun (None: nothing), the plan being run (None: none).

    Each of `looks` is one search from there with so many rounds, the fewest first; every look answers with
    the cheapest plan so far, so that the first comes at once. The same request gives the same plans unless
    `budget_s`, for all looks together, ends one earlier by the clock.

    Raises
    ------
    ValueError
        No looks, one of fewer than 0 rounds, or not each of more rounds than the one before; no time at all.
    """

    problem: Problem
    reality: Reality | None = None
    running: Schedule | None = None
    seed: int = 1
    looks: tuple[int, ...] = LOOKS
    budget_s: float | None = None

    def __post_init__(self) -> None:
        if not self.looks or self.looks[0] < 0 or sorted(set(self.looks)) != list(self.looks):
            raise ValueError(
                f"looks = {self.looks} (expected rounds of search, rising from 0 or more, such as {LOOKS})"
            )
        if self.budget_s is not None and not self.budget_s > 0:
            raise ValueError(f"budget_s = {self.budget_s} s (expected above 0 s, or None for no limit)")


@dataclass(frozen=True)
class Answer:
    """A plan for request `number`, found by its look of so many `rounds`, here at the clock's `made_s`.

    `last`: no better one will come. `plain`: the search ran uncompiled, with few rounds; the plan holds, but
    is rougher.
    """

    number: int
    schedule: Schedule
    rounds: int
    last: bool
    plain: bool
    made_s: float


@dataclass(frozen=True)
class Refusal:
    """Why request `number` gets no plan, in one line; `order` is the one that fits nowhere, if it is one."""

    number: int
    why: str
    order: str = ""


@dataclass(frozen=True)
class PlannerState:
    """How the planner is. The last plan stays whatever becomes of the process; `age_s` says how old it is.

    `behind` is whether something newer than the last plan has been asked for. `plain` and `trouble`, in
    words and empty when all is well, say what is wrong with the process; `starts` counts its starts and
    `warmed_s` what the last took until it could plan.
    """

    condition: Condition
    last: Answer | None
    age_s: float | None
    behind: bool
    plain: bool
    trouble: str
    starts: int
    pid: int | None
    warmed_s: float | None


@dataclass(frozen=True)
class Hearth:
    """To the process: the stone of the requests that follow. It is large and the same all night."""

    places: Places


@dataclass(frozen=True)
class Asked:
    """To the process: a request, its problem without the stone."""

    number: int
    request: Request


@dataclass(frozen=True)
class Ready:
    """From the process: it can plan, compiled or plain."""

    plain: bool


@dataclass(frozen=True)
class Found:
    """From the process: the cheapest plan so far, and by which look."""

    number: int
    schedule: Schedule
    rounds: int
    last: bool


@dataclass(frozen=True)
class Broken:
    """From the process, the last it says: why it cannot go on."""

    why: str


NO_STONE = Places((), ())


def bare(number: int, request: Request) -> Asked:
    """The request without its stone, to be sent after the `Hearth`."""
    return Asked(number, replace(request, problem=replace(request.problem, places=NO_STONE)))


def on_stone(asked: Asked, places: Places) -> Request:
    """The request as it was asked."""
    return replace(asked.request, problem=replace(asked.request.problem, places=places))


def with_own_items(problem: Problem, schedule: Schedule) -> Schedule:
    """A schedule that came from elsewhere, of the problem's own items instead of copies of them."""
    own = {item.key: item for order in problem.orders for item in order.items}

    def same(item: Item) -> Item:
        return own[item.key]

    def placed(one: Placed) -> Placed:
        return replace(one, item=same(one.item))

    booked = tuple(
        replace(
            b,
            order=replace(b.order, items=tuple(map(same, b.order.items))),
            placed=tuple(map(placed, b.placed)),
        )
        for b in schedule.booked
    )
    return replace(schedule, booked=booked)


def request_at(
    running: Running, seed: int = 1, looks: tuple[int, ...] = LOOKS, budget_s: float | None = None
) -> Request:
    """What to ask for when a plan is being run and something has happened in it."""
    problem = open_problem(running)
    still = {order.key for order in problem.orders}
    told = replace(running.schedule, booked=tuple(b for b in running.schedule.booked if b.order.key in still))
    return Request(problem, reality_at(running), told, seed, looks, budget_s)


def run_on(running: Running, answer: Answer) -> Running:
    """The night run on with a plan that was asked for by `request_at` of this `running`."""
    return replanned(running, lambda _problem, _reality, _told: answer.schedule)
