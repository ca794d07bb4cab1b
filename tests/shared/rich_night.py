"""Small nights with all a problem may hold: cooks, bands, splash, tall pots, spills, chores, begun food.

Invented. Built on the dishes of `small_night`, which carry the house's own minutes, so no oven is asked.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from hearthtide.planning.problem import (
    Begun,
    Chore,
    Closed,
    Hands,
    Item,
    Problem,
    Reality,
    Schedule,
    Stage,
)
from hearthtide.quantities import clock_text
from small_night import DISHES, HEARTHS, problem_of, small_house, small_night

START_S = 18 * 3600
FROZEN_S = 60  # what is told for the next minute stands
SPITS = {"shrimp": frozenset({"shellfish"}), "pizza": frozenset({"gluten"}), "chicken": frozenset({"raw"})}
GUARDS = {"dip": frozenset({"shellfish"}), "steak": frozenset({"raw"}), "pizza": frozenset({"shellfish"})}


@st.composite
def rich_nights(draw: st.DrawFn, most: int = 6) -> Problem:
    """A problem of up to `most` orders, each of its rules switched on or off."""
    tickets = []
    for n in range(draw(st.integers(1, most))):
        called = START_S + 20 * draw(st.integers(0, 60))
        wanted = called + 20 * draw(st.integers(1, 60))
        dishes = draw(st.lists(st.sampled_from(sorted(DISHES)), min_size=1, max_size=3))
        tickets.append((f"T{n}", clock_text(called), clock_text(wanted), tuple(dishes)))
    hearth = HEARTHS[draw(st.sampled_from(sorted(HEARTHS)))]
    platters = draw(st.sampled_from([None, 2, 12]))
    house = small_house(cooks=draw(st.integers(1, 3)), platters=platters, oven=hearth)
    problem = problem_of(house, small_night(*tickets))
    flags = draw(st.sets(st.sampled_from(sorted(CHANGES))))
    for flag in sorted(flags):
        problem = CHANGES[flag](problem)
    return problem


def with_items(problem: Problem, change: Any) -> Problem:
    """The problem with every item changed."""
    orders = (replace(o, items=tuple(change(i) for i in o.items)) for o in problem.orders)
    return replace(problem, orders=tuple(orders))


def with_choices(item: Item, **changed: Any) -> Item:
    """The item with every choice of every stage changed."""
    stages = (
        replace(s, choices=tuple(tuple(replace(c, **changed) for c in row) for row in s.choices))
        for s in item.stages
    )
    return replace(item, stages=tuple(stages))


def preheated(item: Item) -> Item:
    """A steak whose platter preheats two minutes where it will sear, then takes its load."""
    if item.dish != "steak":
        return item
    sear = item.stages[0]
    heat = tuple(tuple(replace(c, seconds=120, late_s=180) for c in row) for row in sear.choices)
    stages = (Stage("preheat", heat, ()), replace(sear, stays=True))
    return replace(item, stages=stages, pace=(1.0, 1.0), prefer=(0, 0))


def slower_by_bin(item: Item) -> Item:
    """Every stage a tenth longer in the second half hour."""
    stages = tuple(
        replace(
            s, choices=(s.choices[0], tuple(replace(c, seconds=c.seconds * 11 // 10) for c in s.choices[0]))
        )
        for s in item.stages
    )
    return replace(item, stages=stages)


def buffered(item: Item) -> Item:
    """Chicken worked off at once, waiting off the hearth for its second stage as long as it must."""
    if item.dish != "chicken":
        return item
    first, *others = item.stages
    stages = (first, *(replace(s, buffer_s=4 * 3600) for s in others))
    return replace(item, stages=stages, asap=True)


def _uneven(problem: Problem) -> Problem:
    seconds = {"launch": 14, "pull": 11, "turn": 9}
    cooks = tuple(
        Hands(c.name, c.acts, {a: s + n for a, s in seconds.items()} if n % 2 else {})
        for n, c in enumerate(problem.cooks)
    )
    return replace(problem, cooks=cooks)


def _weighed(problem: Problem) -> Problem:
    orders = (
        replace(o, weight=1.0 + n % 3, not_before_s=o.wanted_s + 30 * (n % 2))
        for n, o in enumerate(problem.orders)
    )
    return replace(problem, orders=tuple(orders))


def _spill(problem: Problem) -> Problem:
    shut = problem.places.near(0.1, 0.4, 0.05)
    return replace(problem, closed=(Closed(shut, START_S + 300, START_S + 1200),))


def _chores(problem: Problem) -> Problem:
    chores = (
        Chore("flame", problem.from_s + 600, 120, "flame up"),
        Chore("flame", problem.from_s + 1500, 120, "flame down"),
    )
    return replace(problem, chores=chores)


CHANGES: dict[str, Any] = {
    "allergens": lambda p: with_items(
        p,
        lambda i: replace(
            i, spits=SPITS.get(i.dish, frozenset()), guards=GUARDS.get(i.dish, frozenset()) - {"gluten"}
        ),
    ),
    "bands": lambda p: with_items(p, lambda i: with_choices(i, early_s=20, late_s=60, off_per_s=0.3)),
    "bins": lambda p: with_items(p, slower_by_bin),
    "buffer": lambda p: with_items(p, buffered),
    "chores": _chores,
    "long rest of the stone": lambda p: with_items(p, lambda i: with_choices(i, recovery_s=120)),
    "one hand": lambda p: replace(p, one_handed=frozenset({"spin", "flip", "flame"})),
    "preheat": lambda p: with_items(p, preheated),
    "reach free": lambda p: replace(p, weights=replace(p.weights, reach=0.0)),
    "slow paced": lambda p: with_items(p, lambda i: replace(i, pace=(1.13,) * len(i.stages))),
    "spill": _spill,
    "tall": lambda p: with_items(p, lambda i: replace(i, tall=i.dish == "chicken")),
    "uneven cooks": _uneven,
    "weights": _weighed,
}
"""Each rule a problem may hold, as a change of a plain one."""


def cut_at(schedule: Schedule, now_s: int, longer_s: int = 0, busy_s: int = 0, cooks: int = 0) -> Reality:
    """The night as it stands at `now_s`: acts begun or told stand, food on the fire takes `longer_s` more.

    With `busy_s` all the cooks are called away for so long: nothing that was told for then stands.
    """
    until_s = now_s if busy_s else now_s + FROZEN_S
    begun = []
    for placed in (p for b in schedule.booked for p in b.placed):
        acts = tuple(h for h in placed.handlings if h.start_s < until_s)
        starts = {(h.stage, h.start_s) for h in acts}
        stays = [s for s in placed.stays if (s.stage, s.start_s) in starts]
        if not stays:
            continue
        last = stays[-1]
        ended = any(h.act == "pull" and h.stage == last.stage for h in acts)
        if not ended:
            asked = last.asked_s + longer_s
            stays[-1] = replace(last, asked_s=asked, end_s=last.start_s + asked)
        begun.append(Begun(placed.item.key, tuple(stays), acts))
    return Reality(now_s, tuple(begun), (now_s + busy_s,) * cooks)
