"""What waits for what in a plan: its acts in order of time, each behind its item, its hands and its place.

With it a plan can be run at other durations than it was made for: every act keeps its minute unless what
it waits for is late, then it slides (a right shift). Cooks keep to the planned order of their acts.
Platters and what must be kept apart are not waited for: a slide of minutes seldom touches them, and the
next re-plan looks at them again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from hearthtide.planning.problem import Handling, Placed, Problem, Schedule, Stay

Floats = NDArray[np.float64]
Kind = Literal["hands", "item", "stage", "place"]
BEGINS = frozenset({"launch", "load", "move"})
ON_FIRE = frozenset({"turn", "spin", "flip", "move", "load", "pull"})  # acts that food on the fire waits for


@dataclass(frozen=True)
class Wait:
    """An act begins no earlier than `lag_s` after act `on` begins (`stage`, or `item` with `from_start`)
    or has ended (all others). A `stage` wait is longer by what stay number `stay` takes longer.
    """

    on: int
    lag_s: int
    kind: Kind
    from_start: bool = False
    stay: int = -1


@dataclass(frozen=True)
class Waits:
    """A plan's acts in order of start: whose each is ("" for a chore), and what each waits for.

    `begins[n]` and `ends[n]` are the acts that begin and end stay number n.
    """

    handlings: tuple[Handling, ...]
    items: tuple[str, ...]
    behind: tuple[tuple[Wait, ...], ...]
    stays: tuple[Stay, ...]
    begins: tuple[int, ...]
    ends: tuple[int, ...]

    def run(self, hands_s: Floats, longer_s: Floats, fixed_before_s: int | None = None) -> Floats:
        """When each act starts, (acts, samples) [s], in so many ways at once.

        `hands_s` (acts, samples) is how long hands take, `longer_s` (stays, samples) by how much each stage
        takes longer than planned (below 0: sooner). Acts that start before `fixed_before_s` stand. No act
        starts sooner than planned. Costs one maximum per wait and sample.

        Raises
        ------
        ValueError
            A table has not one row per act, or per stay.
        """
        if len(hands_s) != len(self.handlings) or len(longer_s) != len(self.stays):
            raise ValueError(
                f"hands_s has {len(hands_s)} rows and longer_s {len(longer_s)} "
                f"(expected {len(self.handlings)} acts, {len(self.stays)} stays)"
            )
        start = np.empty(hands_s.shape)
        for n, handling in enumerate(self.handlings):
            start[n] = handling.start_s
            if fixed_before_s is not None and handling.start_s < fixed_before_s:
                continue
            for wait in self.behind[n]:
                from_s = start[wait.on] + wait.lag_s
                if wait.stay >= 0:
                    from_s = from_s + longer_s[wait.stay]
                elif not wait.from_start:
                    from_s = from_s + hands_s[wait.on]
                np.maximum(start[n], from_s, out=start[n])
        return start

    def planned_hands_s(self) -> Floats:
        """(acts, 1): how long hands take as planned [s]."""
        return np.array([[float(h.hands_s)] for h in self.handlings]).reshape(-1, 1)


def waits_of(problem: Problem, schedule: Schedule) -> Waits:
    """The plan's acts and what each waits for.

    Raises
    ------
    ValueError
        A stay of the plan has no act that begins it, or none that ends it.
    """
    placed = [p for b in schedule.booked for p in b.placed]
    acts = [(h.start_s, _rank(h), p.item.key, h) for p in placed for h in p.handlings]
    acts += [(h.start_s, 1, "", h) for h in schedule.chores]
    acts.sort(key=lambda a: a[:3])
    number = {(key, id(h)): n for n, (_, _, key, h) in enumerate(acts)}
    handlings = tuple(a[3] for a in acts)
    behind: list[list[Wait]] = [[] for _ in acts]
    stays: list[Stay] = []
    begins: list[int] = []
    ends: list[int] = []
    for p in placed:
        own = sorted(number[p.item.key, id(h)] for h in p.handlings)
        _follow(p, own, handlings, behind, len(stays), begins, ends)
        stays += p.stays
    _behind_hands(handlings, behind)
    if problem.stone_binds:
        _behind_places(problem, placed, tuple(stays), begins, ends, behind)
    keys = tuple(a[2] for a in acts)
    return Waits(handlings, keys, tuple(map(tuple, behind)), tuple(stays), tuple(begins), tuple(ends))


def _rank(handling: Handling) -> int:
    """Among acts of one second: the bench before the launch, the cut after the pull."""
    return {"dress": 0, "cut": 2}.get(handling.act, 1)


def begin_act(placed: Placed, stay: Stay) -> Handling | None:
    """The launch, load or move that begins a stay."""
    return next((h for h in placed.handlings if h.stage == stay.stage and h.act in BEGINS), None)


def end_act(placed: Placed, stay: Stay) -> Handling | None:
    """The pull that ends a stay, else the move or load to the next; None when neither is planned."""
    pull = next((h for h in placed.handlings if h.stage == stay.stage and h.act == "pull"), None)
    after = (h for h in placed.handlings if h.stage == stay.stage + 1 and h.act in BEGINS)
    return pull or next(after, None)


def _follow(
    placed: Placed,
    own: list[int],
    acts: tuple[Handling, ...],
    behind: list[list[Wait]],
    first: int,
    begins: list[int],
    ends: list[int],
) -> None:
    """One item's own acts: one after the other, turns so long after their stage begins, ends when done."""
    for before, after in pairwise(own):
        behind[after].append(Wait(before, 0, "item"))
    for n, stay in enumerate(placed.stays, first):
        begin = _number(own, acts, begin_act(placed, stay))
        end = _number(own, acts, end_act(placed, stay))
        if begin < 0 or end < 0:
            lacking = "launch, load or move begins" if begin < 0 else "pull, load or move ends"
            raise ValueError(f"{stay.item} stage {stay.stage}: no {lacking} it. A plan has both.")
        begins.append(begin)
        ends.append(end)
        behind[end].append(Wait(begin, acts[end].start_s - acts[begin].start_s, "stage", True, n))
        for k in own:
            if acts[k].stage == stay.stage and k not in (begin, end):
                behind[k].append(Wait(begin, acts[k].start_s - acts[begin].start_s, "item", True))


def _number(own: list[int], acts: tuple[Handling, ...], wanted: Handling | None) -> int:
    return next((k for k in own if acts[k] is wanted), -1)


def _behind_hands(acts: tuple[Handling, ...], behind: list[list[Wait]]) -> None:
    """Each cook's acts in planned order; of two one-handed acts at once neither waits for the other."""
    for cook in {h.cook for h in acts}:
        own = [n for n, h in enumerate(acts) if h.cook == cook]
        longest = max((acts[n].hands_s for n in own), default=0)
        for k, n in enumerate(own):
            kept: list[int] = []
            for m in reversed(own[:k]):
                newest = max((acts[r].start_s for r in kept), default=-1)
                if kept and acts[m].start_s + longest <= newest:
                    break
                over = _end(acts[m])
                if over <= acts[n].start_s and not any(over <= acts[r].start_s for r in kept):
                    kept.append(m)
            behind[n] += [Wait(m, 0, "hands") for m in kept]


def _end(handling: Handling) -> int:
    return handling.start_s + handling.hands_s


def _behind_places(
    problem: Problem,
    placed: list[Placed],
    stays: tuple[Stay, ...],
    begins: list[int],
    ends: list[int],
    behind: list[list[Wait]],
) -> None:
    """A stay begins once those before it in its way have been taken off, and bare stone has rested."""
    rests = [_recovery_s(problem, p, stay) for p in placed for stay in p.stays]
    conflicts = problem.places.conflicts
    for n, later in enumerate(stays):
        if any(later.item == s.item and s.place == later.place and s.stage == later.stage - 1 for s in stays):
            continue  # it stays where it is
        kept: list[int] = []
        for m in _before(stays, n, lambda a, b: bool(conflicts[a.place] >> b.place & 1)):
            if any(_covers(stays, conflicts, r, m) for r in kept):
                continue
            kept.append(m)
            gap = later.start_s - stays[m].held_until_s
            lag = min(rests[m], gap) if later.on_stone and stays[m].on_stone else 0
            behind[begins[n]].append(Wait(ends[m], lag, "place"))


def _before(stays: tuple[Stay, ...], n: int, shut: Callable[[Stay, Stay], bool]) -> list[int]:
    """Stays of other items in the way of stay n that have gone when it begins, the latest first."""
    later = stays[n]
    found = [
        m
        for m, stay in enumerate(stays)
        if stay.held_until_s <= later.start_s and stay.item != later.item and shut(stay, later)
    ]
    return sorted(found, key=lambda m: -stays[m].held_until_s)


def _covers(stays: tuple[Stay, ...], conflicts: tuple[int, ...], r: int, m: int) -> bool:
    """Whether waiting for stay r is waiting for stay m too."""
    between, first = stays[r], stays[m]
    after = first.held_until_s <= between.start_s and bool(conflicts[between.place] >> first.place & 1)
    return after and first.item != between.item and (between.on_stone or not first.on_stone)


def _recovery_s(problem: Problem, placed: Placed, stay: Stay) -> int:
    choices = placed.item.choices(stay.stage, problem.bin_of(stay.end_s))
    own = next((c.recovery_s for c in choices if c.places >> stay.place & 1), -1)
    return problem.recovery_s if own < 0 else own
