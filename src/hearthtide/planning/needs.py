"""What a night without limits would ask of hands, stone and platters in its busiest half hour."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from operator import or_

import numpy as np

from hearthtide.house.places import Outline
from hearthtide.planning.places import bits
from hearthtide.planning.plan import Need
from hearthtide.planning.problem import Placed, Problem, Schedule, rest_s

WINDOW_S = 1800
STEP_S = 300
GRID_M = 0.02

Spans = list[tuple[int, int, float]]


def needs_of(problem: Problem, free: Schedule) -> tuple[Need, ...]:
    """The needs of a schedule in which nothing binds, against what the problem has.

    Stone counts what stands on it and its rest after bare dough, against all that the night's dishes may
    stand on: no hearth can be filled to its last corner, so that it may bind well below its whole.
    """
    placed = [p for booked in free.booked for p in booked.placed]
    hands = [(h.start_s, h.start_s + h.hands_s, 1.0) for p in placed for h in p.handlings]
    hands += [(h.start_s, h.start_s + h.hands_s, 1.0) for h in free.chores]
    stone_m2 = usable_m2(problem)
    found = [
        _busiest("hands", hands, len(problem.cooks), "min"),
        _busiest("stone", _on_stone(problem, placed), stone_m2, "m² min"),
    ]
    if problem.bank is not None and any(p.item.from_bank for p in placed):
        found.append(_most_out(problem, free))
    return tuple(found)


def usable_m2(problem: Problem) -> float:
    """The stone that any of the night's dishes may stand on, to some per cent."""
    items = {item.dish: item for order in problem.orders for item in order.items}.values()
    rows = (row for item in items for stage in item.stages for row in stage.choices)
    mask = reduce(or_, (choice.places for row in rows for choice in row), 0)
    spots = [problem.places.spots[p] for p in bits(mask)]
    x_m = max((abs(s.x_m) + _out_m(s.outline) for s in spots), default=0.0)
    y_m = max((s.y_m + _out_m(s.outline) for s in spots), default=0.0)
    x, y = np.meshgrid(np.arange(-x_m, x_m, GRID_M), np.arange(0.0, y_m, GRID_M))
    under = np.zeros(x.shape, dtype=np.bool_)
    for spot in spots:
        o = spot.outline
        dx = np.maximum(np.abs(x - spot.x_m) - o.width_m / 2, 0.0)
        dy = np.maximum(np.abs(y - spot.y_m) - o.depth_m / 2, 0.0)
        under |= dx**2 + dy**2 <= o.radius_m**2
    return float(under.sum()) * GRID_M**2


def _out_m(outline: Outline) -> float:
    return max(outline.width_m, outline.depth_m) / 2 + outline.radius_m


def _on_stone(problem: Problem, placed: Iterable[Placed]) -> Spans:
    """What stands when, with the rest that its stone has in this problem."""
    spots = problem.places.spots
    own = {item.key: item for order in problem.orders for item in order.items}
    return [
        (s.start_s, s.held_until_s + rest_s(problem, own[s.item], s), spots[s.place].outline.area_m2)
        for p in placed
        for s in p.stays
    ]


def _busiest(limit: str, spans: Spans, there: float, unit: str) -> Need:
    """The half hour with most of it: so many minutes of so much at once."""
    first = min(start for start, _, _ in spans) // STEP_S * STEP_S
    last = max(end for _, end, _ in spans)
    in_window = {
        at: sum(much * max(0, min(end, at + WINDOW_S) - max(start, at)) for start, end, much in spans)
        for at in range(first, max(first + 1, last - WINDOW_S + STEP_S), STEP_S)
    }
    at = max(in_window, key=lambda when: (in_window[when], -when))
    return Need(limit, at, in_window[at] / 60, there * WINDOW_S / 60, unit)


def _most_out(problem: Problem, free: Schedule) -> Need:
    """Most platters away from the bank at once: from the launch until they are back and hot."""
    bank = problem.bank
    if bank is None:
        raise ValueError("bank: expected a problem with a bank of platters")
    changes: list[tuple[int, int]] = []
    for booked in free.booked:
        back_s = booked.landing_s + bank.turnaround_s
        out = [p.stays[0].start_s for p in booked.placed if p.item.from_bank]
        changes += [(start, 1) for start in out] + [(back_s, -1)] * len(out)
    changes.sort()
    counts, now = [(0, 0)], 0
    for at, change in changes:
        now += change
        counts.append((at, now))
    at, most = max(counts, key=lambda pair: (pair[1], -pair[0]))
    return Need("platters", at, float(most), float(bank.count), "platters out at once")
