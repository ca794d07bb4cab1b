"""A heat-up window proven from its loads alone: written a second time, with nothing of the planner's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from hearthtide.day.load import Load
from hearthtide.house.places import Spot
from hearthtide.house.rota_file import Hours
from hearthtide.oven.design import OvenDesign
from hearthtide.quantities.show import clock_text

APART_M = 0.01  # between two trays (common practice, no source)
SPLASH_M = 0.15  # how far raw juices spit (common practice, no source)
COOKED_ON_S = 300  # how long what is spat on has to stay on, to be cooked on (common practice, no source)
GIVE_M = 1e-6  # what adding lengths up in floats can lose


@dataclass(frozen=True)
class Facts:
    """What a window has to keep. Times are seconds of the clock; `act_s` by act."""

    design: OvenDesign
    spots: Sequence[Spot]
    people: Sequence[Hours]
    act_s: Mapping[str, int]
    lit_s: int
    out_by_s: int
    clean_by_s: int
    doors_s: int
    wanted: Mapping[str, int]
    trays: Mapping[str, int]


def check_window(loads: Sequence[Load], left: Mapping[str, int], facts: Facts) -> tuple[str, ...]:
    """What is wrong with it, a line each; empty when nothing is. `left`: portions said to find no place."""
    found = [
        *_places(loads, facts),
        *_hands(loads, facts),
        *_times(loads, facts),
        *_counts(loads, left, facts),
        *_watched(facts),
    ]
    return tuple(found)


def _places(loads: Sequence[Load], facts: Facts) -> Iterator[str]:
    for load in loads:
        spot = facts.spots[load.place]
        corners = np.array([(x, y) for x in _across(spot) for y in _deep(spot)])
        room_m = float(facts.design.hearth.room_m(corners).min()) - spot.outline.radius_m
        if room_m < APART_M - GIVE_M:
            yield f"{load.tray.key} does not stand on the stone: {100 * room_m:.1f} cm from the wall"
    for one, other in combinations(loads, 2):
        until = facts.act_s["take out"]
        if one.in_s >= other.out_s + until or other.in_s >= one.out_s + until:
            continue
        gap_m = _gap_m(facts.spots[one.place], facts.spots[other.place])
        if gap_m < APART_M - GIVE_M:
            at = clock_text(max(one.in_s, other.in_s))
            yield f"{one.tray.key} and {other.tray.key} stand in one place at {at}"
        kinds = {(one.tray.raw, one.tray.ready_to_eat), (other.tray.raw, other.tray.ready_to_eat)}
        if kinds == {(True, False), (False, True)} and gap_m < SPLASH_M - GIVE_M:
            yield f"{one.tray.key} and {other.tray.key}: raw beside ready to eat"

    for raw in (load for load in loads if load.tray.raw):
        for other in loads:
            soon = raw.in_s < other.out_s < raw.in_s + COOKED_ON_S and other.in_s <= raw.in_s
            gap_m = _gap_m(facts.spots[raw.place], facts.spots[other.place])
            if raw is not other and soon and gap_m < SPLASH_M - GIVE_M:
                yield f"{raw.tray.key} is set down raw beside {other.tray.key}, out soon after"


def _watched(facts: Facts) -> Iterator[str]:
    """From lighting to doors somebody who tends the hearth is there, and so for the brush and the reading."""
    at_s = facts.lit_s
    spans = sorted((one.from_s, one.until_s) for one in facts.people if "hearth" in one.does)
    for from_s, until_s in spans:
        if from_s <= at_s:
            at_s = max(at_s, until_s)
    if at_s < facts.doors_s:
        yield f"nobody tends the fire from {clock_text(at_s)} on, lit at {clock_text(facts.lit_s)}"
    for what, when_s in (("brushes the stone", facts.out_by_s), ("reads the floor", facts.clean_by_s)):
        if not any(from_s <= when_s < until_s for from_s, until_s in spans):
            yield f"nobody {what} at {clock_text(when_s)}"


def _across(spot: Spot) -> tuple[float, float]:
    return spot.x_m - spot.outline.width_m / 2, spot.x_m + spot.outline.width_m / 2


def _deep(spot: Spot) -> tuple[float, float]:
    return spot.y_m - spot.outline.depth_m / 2, spot.y_m + spot.outline.depth_m / 2


def _gap_m(a: Spot, b: Spot) -> float:
    """Between two outlines: each a rectangle, or a disc as a point with a radius."""
    (a_low, a_high), (b_low, b_high) = _across(a), _across(b)
    (a_near, a_far), (b_near, b_far) = _deep(a), _deep(b)
    dx, dy = max(0.0, b_low - a_high, a_low - b_high), max(0.0, b_near - a_far, a_near - b_far)
    return float(np.hypot(dx, dy)) - a.outline.radius_m - b.outline.radius_m


def _hands(loads: Sequence[Load], facts: Facts) -> Iterator[str]:
    by_name = {one.name: one for one in facts.people}
    acts = sorted(((hand, load.tray.key) for load in loads for hand in load.hands), key=lambda x: x[0].from_s)
    for hand, key in acts:
        who = by_name.get(hand.who)
        if who is None or "hearth" not in who.does:
            yield f"{hand.act} {key}: {hand.who} does not tend the hearth"
        elif not (who.from_s <= hand.from_s and hand.until_s <= who.until_s):
            yield f"{hand.act} {key} at {clock_text(hand.from_s)}: {hand.who} is not there"
        if hand.until_s - hand.from_s < facts.act_s[hand.act]:
            yield f"{hand.act} {key}: less than the {facts.act_s[hand.act]} s it takes"
    for (one, a), (other, b) in combinations(acts, 2):
        if one.who == other.who and one.from_s < other.until_s and other.from_s < one.until_s:
            yield f"{one.who} has both {a} and {b} in hand at {clock_text(max(one.from_s, other.from_s))}"


def _times(loads: Sequence[Load], facts: Facts) -> Iterator[str]:
    for load in loads:
        if load.in_s < facts.lit_s:
            yield f"{load.tray.key} goes in before the fire is lit"
        if load.out_s + facts.act_s["take out"] > facts.out_by_s:
            yield f"{load.tray.key} is out at {clock_text(load.out_s)}, after {clock_text(facts.out_by_s)}"
        ordered = sorted(load.hands, key=lambda hand: hand.from_s)
        acts = [hand.act for hand in ordered]
        if acts != ["put in", *["turn"] * len(load.tray.turns), "take out"]:
            yield f"{load.tray.key}: its acts are {', '.join(acts)}"
        elif ordered[0].from_s != load.in_s or ordered[-1].from_s != load.out_s:
            yield f"{load.tray.key} is not put in or taken out when it stands there"
        if load.out_s - load.in_s < load.asked_s:
            yield f"{load.tray.key} has {load.out_s - load.in_s} s where it wants {load.asked_s}"


def _counts(loads: Sequence[Load], left: Mapping[str, int], facts: Facts) -> Iterator[str]:
    for kind, portions in facts.wanted.items():
        made = sum(load.tray.portions for load in loads if load.tray.kind == kind)
        if made + left.get(kind, 0) != portions:
            yield f"{kind}: {made} cooked and {left.get(kind, 0)} left over of {portions}"
        mine = [load for load in loads if load.tray.kind == kind]
        for load in mine:
            out = sum(one.in_s <= load.in_s < one.out_s + one.tray.rest_s for one in mine)
            if out > facts.trays[kind]:
                yield f"{kind}: {out} trays at {clock_text(load.in_s)} where there are {facts.trays[kind]}"
    if len({load.tray.key for load in loads}) != len(loads):
        yield "a tray is in twice"
