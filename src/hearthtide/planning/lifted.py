"""A problem with one of its limits lifted, for asking which of them makes the night late."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import get_args

from hearthtide.house.models import Act
from hearthtide.planning.problem import Choice, Hands, Item, Problem, Stage

ALL_ACTS: frozenset[Act] = frozenset(get_args(Act))
HELPERS, MOST_COOKS = 4, 8  # hands nearly without end; no more cooks than the search has room for

Change = Callable[[Problem], Problem]


def lifts(problem: Problem, warm: Change | None = None) -> Mapping[str, Change]:
    """What lifting each limit that this problem has means.

    - `rule`: nothing spits and nothing is guarded. For the sum only: no way out lifts a rule.
    - `closed stone`: no part of it is shut.
    - `platters`: hot platters without end.
    - `floor`: stone needs no rest after bare dough; with `warm`, stages that the models time are read with
      the stone at the top of its band wherever it is colder.
    - `hands`: four more pairs that do every act, as far as the search has room.
    - `stone`: no item is in another's way, closed spots and rules included.
    """
    found: dict[str, Change] = {}
    items = [item for order in problem.orders for item in order.items]
    if any(item.spits for item in items) and any(item.guards for item in items):
        found["rule"] = _unruled
    if problem.closed:
        found["closed stone"] = lambda p: replace(p, closed=())
    if problem.bank is not None and any(item.from_bank for item in items):
        found["platters"] = lambda p: replace(p, bank=None)
    if warm is not None or any(item.on_stone for item in items):
        found["floor"] = lambda p: _unrested(p if warm is None else warm(p))
    if len(problem.cooks) < MOST_COOKS:
        found["hands"] = _helped
    found["stone"] = lambda p: replace(p, stone_binds=False)
    return found


def all_lifted(problem: Problem, changes: Mapping[str, Change]) -> Problem:
    """The problem with these limits lifted together."""
    for change in changes.values():
        problem = change(problem)
    return problem


def _helped(problem: Problem) -> Problem:
    more = min(HELPERS, MOST_COOKS - len(problem.cooks))
    helpers = (Hands(f"helper {n}", ALL_ACTS) for n in range(1, more + 1))
    return replace(problem, cooks=(*problem.cooks, *helpers))


def _unruled(problem: Problem) -> Problem:
    return with_items(problem, lambda item: replace(item, spits=frozenset(), guards=frozenset()))


def _unrested(problem: Problem) -> Problem:
    def unrested(item: Item) -> Item:
        return replace(item, stages=tuple(map(_unrested_stage, item.stages))) if item.on_stone else item

    return with_items(replace(problem, recovery_s=0), unrested)


def _unrested_stage(stage: Stage) -> Stage:
    def row(choices: tuple[Choice, ...]) -> tuple[Choice, ...]:
        return tuple(replace(choice, recovery_s=0) for choice in choices)

    return replace(stage, choices=tuple(map(row, stage.choices)))


def with_items(problem: Problem, change: Callable[[Item], Item]) -> Problem:
    """The problem with every item changed."""
    orders = (replace(order, items=tuple(map(change, order.items))) for order in problem.orders)
    return replace(problem, orders=tuple(orders))
