"""What a night without limits would ask of hands, stone and platters in its busiest half hour."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import reduce
from operator import or_

import numpy as np

from hearthtide.planning.places import Places, bits
from hearthtide.planning.plan import Need
from hearthtide.planning.problem import Placed, Problem, Schedule, rest_s

WINDOW_S = 1800
STEP_S = 300
GRID_M = 0.02

Spans = list[tuple[int, int, float]]


def needs_of(problem: Problem, free: Schedule) -> tuple[Need, ...]:
    """The needs of a schedule in which nothing binds, against what the problem has.

    Stone counts what stands on it and its rest after bare dough. Of every set of places that some stage is
    bound to, all stages are counted that may stand nowhere else; the set that is asked most of is told. No
    stone can be filled to its last corner, so that it may bind well below its whole.
    """
    placed = [p for booked in free.booked for p in booked.placed]
    hands = [(h.start_s, h.start_s + h.hands_s, 1.0) for p in placed for h in p.handlings]
    hands += [(h.start_s, h.start_s + h.hands_s, 1.0) for h in free.chores]
    found = [_busiest("hands", hands, len(problem.cooks), "min"), _stone(problem, placed)]
    if problem.bank is not None and any(p.item.from_bank for p in placed):
        found.append(_most_out(problem, free))
    return tuple(found)


def _stone(problem: Problem, placed: Iterable[Placed]) -> Need:
    own = {item.key: item for order in problem.orders for item in order.items}
    spans: dict[int, Spans] = {}
    dishes: dict[int, set[str]] = {}
    for stay in (stay for p in placed for stay in p.stays):
        item = own[stay.item]
        rows = item.stages[stay.stage].choices
        mask = reduce(or_, (choice.places for row in rows for choice in row))
        until_s = stay.held_until_s + rest_s(problem, item, stay)
        much = problem.places.spots[stay.place].outline.area_m2
        spans.setdefault(mask, []).append((stay.start_s, until_s, much))
        dishes.setdefault(mask, set()).add(item.dish)
    needs = []
    for mask in spans:
        inside = [other for other in spans if other & ~mask == 0]
        bound = tuple(sorted({dish for other in inside for dish in dishes[other]}))
        asked = [span for other in inside for span in spans[other]]
        need = _busiest("stone", asked, usable_m2(problem.places, mask), "m² min")
        needs.append(replace(need, dishes=bound))
    return max(needs, key=lambda need: need.share)


def usable_m2(places: Places, mask: int) -> float:
    """The stone under all these places together, to some per cent."""
    spots = [places.spots[p] for p in bits(mask)]
    reach_m = [max(s.outline.width_m, s.outline.depth_m) / 2 + s.outline.radius_m for s in spots]
    x_m = max(abs(s.x_m) + out for s, out in zip(spots, reach_m, strict=True))
    y_m = max(s.y_m + out for s, out in zip(spots, reach_m, strict=True))
    x, y = np.arange(-x_m, x_m, GRID_M), np.arange(0.0, y_m, GRID_M)
    under = np.zeros((len(x), len(y)), dtype=np.bool_)
    for spot, out in zip(spots, reach_m, strict=True):
        across = slice(*np.searchsorted(x, (spot.x_m - out, spot.x_m + out)))
        along = slice(*np.searchsorted(y, (spot.y_m - out, spot.y_m + out)))
        dx = np.maximum(np.abs(x[across] - spot.x_m) - spot.outline.width_m / 2, 0.0)[:, None]
        dy = np.maximum(np.abs(y[along] - spot.y_m) - spot.outline.depth_m / 2, 0.0)[None, :]
        under[across, along] |= dx**2 + dy**2 <= spot.outline.radius_m**2
    return float(under.sum()) * GRID_M**2


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
