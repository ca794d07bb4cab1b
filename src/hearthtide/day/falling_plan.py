"""What fits the falling heat: for each thing the times it may go in, and a plan on the one stone.

All on marks of five minutes. What is in draws heat that no curve here counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from hearthtide.day.falling_things import Night, Stay, Thing
from hearthtide.ranges import Array

STEP_S = 300  # the marks; own choice
MOST_TRIED = 5  # things whose orders are all tried; beyond, those with the fewest times to go in come first
ROUNDING_M2 = 1e-9


@dataclass(frozen=True)
class Window:
    """Going in is possible from `from_s` to `until_s`, °C then and then."""

    from_s: float
    until_s: float
    from_C: float
    until_C: float


@dataclass(frozen=True)
class Plan:
    """What stands in the oven when, and what does not all fit: its portions that would."""

    stays: tuple[Stay, ...]
    short: dict[str, int]


class Marks:
    """A night on its marks: temperatures, hands that are there, stone that is free."""

    def __init__(self, night: Night) -> None:
        self.night = night
        first_s = min(fall.times_s[0] for fall in night.falls.values())
        self.times_s = np.arange(ceil(first_s / STEP_S) * STEP_S, night.end_s + 1, STEP_S)
        self.falls = {
            place: tuple(
                np.interp(self.times_s, fall.times_s, v) for v in (fall.value_C, fall.low_C, fall.high_C)
            )
            for place, fall in night.falls.items()
        }
        self.hands = hands_at(night, self.times_s)
        self.free_m2 = np.full(len(self.times_s), night.usable_m2)
        self.unlit = np.ones(len(self.times_s), dtype=bool)
        for lit_s, out_s in night.fires.lit:
            self.unlit &= (self.times_s < lit_s) | (self.times_s >= out_s)


def hands_at(night: Night, times_s: Array) -> Array:
    """How many people for the hearth are there from each mark to the next."""
    there = [
        (times_s >= one.from_s) & (times_s + STEP_S <= one.until_s)
        for one in night.people
        if "hearth" in one.does
    ]
    return np.sum(there, axis=0, dtype=int) if there else np.zeros(len(times_s), dtype=int)


def in_band(night: Night, thing: Thing) -> tuple[tuple[float, float], ...]:
    """Stretches of the clock, to the minute, in which the place is in the thing's band, whoever is there."""
    fall = night.falls[thing.place]
    times_s = np.arange(max(fall.times_s[0], night.fires.ready_s), night.end_s + 1, 60.0)
    value_C = fall.at_C(times_s)
    runs = _runs((value_C >= thing.low_C) & (value_C <= thing.high_C))
    return tuple((float(times_s[i]), float(times_s[j])) for i, j in runs)


def stays_of(marks: Marks, thing: Thing, people: bool = True) -> tuple[Stay, ...]:
    """Every mark at which the thing may go in, with the first at which it may come out; one portion each.

    `people` False: as if somebody were always there.
    """
    value_C, low_C, high_C = marks.falls[thing.place]
    hands = marks.hands if people else np.ones(len(marks.times_s), dtype=int)
    good = (value_C >= thing.low_C) & (value_C <= thing.high_C) & marks.unlit
    good &= marks.times_s >= marks.night.fires.ready_s
    found = []
    for i in np.flatnonzero(good):
        j = _out(marks, thing, hands, value_C, int(i))
        if j is not None:
            in_band = low_C[i] >= thing.low_C and high_C[i] <= thing.high_C
            sure = bool(in_band and low_C[i : j + 1].min() >= thing.least_C)
            found.append(Stay(thing.key, 1, float(marks.times_s[i]), float(marks.times_s[j]), sure))
    return tuple(found)


def _out(marks: Marks, thing: Thing, hands: Array, value_C: Array, i: int) -> int | None:
    """The first mark at which what went in at mark `i` may come out."""
    cells, count = _cells(thing.hands_s), len(marks.times_s)
    if i + cells >= count or not (hands[i : i + cells] > 0).all():
        return None
    turns = [i + round(turn / STEP_S) for turn in thing.turns_s]
    if any(turn >= count or hands[turn] == 0 for turn in turns):
        return None
    last = min(i + floor(thing.most_s / STEP_S), count - cells - 1)
    for j in range(i + ceil(thing.least_s / STEP_S), last + 1):
        if value_C[i : j + 1].min() < thing.least_C or (thing.watched and not (hands[i:j] > 0).all()):
            return None
        if (
            _may_come_out(marks, thing, float(marks.times_s[i]), float(marks.times_s[j]))
            and (hands[j : j + cells] > 0).all()
        ):
            return j
    return None


def _may_come_out(marks: Marks, thing: Thing, in_s: float, out_s: float) -> bool:
    door_s = marks.night.fires.door_on_s
    if thing.out_at_s is not None and not thing.out_at_s <= out_s < thing.out_at_s + STEP_S:
        return False
    if thing.by_s is not None and out_s > thing.by_s:
        return False
    if thing.door == "on":
        return door_s is not None and in_s >= door_s
    return thing.door == "any" or (thing.door == "off" and (door_s is None or out_s <= door_s))


def windows(marks: Marks, thing: Thing, people: bool = True) -> tuple[Window, ...]:
    """The stretches of marks at which a thing may go in."""
    stays, place = stays_of(marks, thing, people), marks.night.falls[thing.place]
    starts = [stay.in_s for stay in stays]
    runs: list[list[float]] = []
    for start in starts:
        if runs and start - runs[-1][-1] <= STEP_S:
            runs[-1].append(start)
        else:
            runs.append([start])
    return tuple(
        Window(run[0], run[-1], float(place.at_C(run[0])), float(place.at_C(run[-1]))) for run in runs
    )


def planned(night: Night, things: Sequence[Thing], standing: Sequence[tuple[Thing, Stay]] = ()) -> Plan:
    """The plan with the most things wholly in, then the most of the others' portions, then the earliest.

    `standing` is in already. Up to five things: the best order of all, each thing at its earliest; more:
    those with the fewest times first.
    """
    marks = Marks(night)
    options = {thing.key: stays_of(marks, thing) for thing in things}
    by_few = sorted(things, key=lambda one: len(options[one.key]))
    orders = permutations(things) if len(things) <= MOST_TRIED else [tuple(by_few)]
    best: tuple[tuple[float, ...], Plan] | None = None
    for order in orders:
        free_m2, hands = marks.free_m2.copy(), marks.hands.copy()
        for thing, stay in standing:
            _take(marks, thing, stay, free_m2, hands)
        stays: list[Stay] = []
        short: dict[str, int] = {}
        for thing in order:
            found = _loads(marks, thing, options[thing.key], free_m2, hands)
            placed = sum(stay.portions for stay in found)
            if placed < thing.portions:
                short[thing.key] = placed
                continue
            for stay in found:
                _take(marks, thing, stay, free_m2, hands)
            stays += found
        reached = sum(short[one.key] / one.portions for one in things if one.key in short)
        score = (-len(short), reached, -sum(stay.in_s for stay in stays))
        if best is None or score > best[0]:
            best = (score, Plan(tuple(sorted(stays, key=lambda one: (one.in_s, one.key))), short))
    return best[1] if best is not None else Plan((), {})


def _loads(marks: Marks, thing: Thing, options: Sequence[Stay], free_m2: Array, hands: Array) -> list[Stay]:
    """Loads one after another, each as large as there is room for: in times that are sure, else in all."""
    sure = _filled(marks, thing, [stay for stay in options if stay.sure], free_m2, hands)
    if sum(stay.portions for stay in sure) >= thing.portions:
        return sure
    return _filled(marks, thing, options, free_m2, hands)


def _filled(marks: Marks, thing: Thing, options: Sequence[Stay], free_m2: Array, hands: Array) -> list[Stay]:
    free_m2, hands, found, left = free_m2.copy(), hands.copy(), list[Stay](), thing.portions
    for option in options:
        if left == 0:
            break
        i, j = _marks_of(marks, option)
        room = floor(free_m2[i:j].min() / thing.area_m2 + ROUNDING_M2)
        if room < 1 or any(hands[cell] < 1 for cell in _busy(thing, i, j)):
            continue
        stay = Stay(thing.key, min(room, left), option.in_s, option.out_s, option.sure)
        _take(marks, thing, stay, free_m2, hands)
        found.append(stay)
        left -= stay.portions
    return found


def _take(marks: Marks, thing: Thing, stay: Stay, free_m2: Array, hands: Array) -> None:
    i, j = _marks_of(marks, stay)
    free_m2[i:j] -= stay.portions * thing.area_m2
    for cell in _busy(thing, i, j):
        hands[cell] -= 1


def _marks_of(marks: Marks, stay: Stay) -> tuple[int, int]:
    first_s = marks.times_s[0]
    return round((stay.in_s - first_s) / STEP_S), round((stay.out_s - first_s) / STEP_S)


def _busy(thing: Thing, i: int, j: int) -> set[int]:
    """Marks at which the stay has a pair of hands."""
    cells = _cells(thing.hands_s)
    return {
        *range(i, i + cells),
        *range(j, j + cells),
        *(i + round(turn / STEP_S) for turn in thing.turns_s),
    }


def _cells(hands_s: float) -> int:
    return max(1, ceil(hands_s / STEP_S))


def _runs(good: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last place of each run of true ones."""
    edges = np.diff(np.concatenate([[0], good.astype(int), [0]]))
    return [
        (int(a), int(b) - 1)
        for a, b in zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1), strict=True)
    ]
