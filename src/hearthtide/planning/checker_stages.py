"""The checker's second half: every stage where, as long and with the turns its dish asks, then its rest.

Like the first half it reads the finished plan and the house's files, and shares nothing with the search.
"""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import pairwise

from hearthtide.house.models import DishFile, House, StageFile
from hearthtide.planning.checker import Point, flame_points, outside_by, verdict
from hearthtide.planning.plan import Check, ItemReport, Move, OnStone

# How far the hands may miss a stage's minutes (4 %, 3 to 15 s) and a turn's moment (15 %, at least 20 s):
# the plan's own promise, written down again here.
MINUTES_GIVE, MINUTES_LEAST_S, MINUTES_MOST_S = 0.04, 3, 15
PREHEAT_EARLY_S, PREHEAT_LATE_S = 60, 240
MOMENT_GIVE, MOMENT_LEAST_S = 0.15, 20
SAMPLING_M = 0.002  # edges and flame are sampled here; a place this near a border may count either way


def check_stages(house: House, moves: tuple[Move, ...], items: tuple[ItemReport, ...]) -> tuple[Check, ...]:
    """Places as the dish wishes, the house's minutes kept, turns near their moments, rests given."""
    own: dict[str, list[Move]] = defaultdict(list)
    for move in sorted(moves, key=lambda m: m.start_s):
        own[move.item].append(move)
    flame = flame_points(house)
    return (
        verdict("places as wished", [f for i in items for f in _misplaced(house, i, flame)]),
        verdict("minutes of the house", [f for i in items for f in _off_minutes(house, i, own[i.item])]),
        verdict("turns in time", [f for i in items for f in _off_moments(house, i, own[i.item])]),
        verdict("rests", [f for i in items for f in _unrested(house, i, own[i.item])]),
    )


def _misplaced(house: House, item: ItemReport, flame: list[Point]) -> list[str]:
    dish = house.dishes[item.dish]
    faults = []
    for stage, stay in zip(dish.stages, item.stays, strict=False):
        found = _zones(house, stay, flame)
        if not found & set(stage.places):
            faults.append(f"{item.item} {stage.name} at {'/'.join(sorted(found))}")
    return faults


def _zones(house: House, stay: OnStone, flame: list[Point]) -> set[str]:
    """The house's words for the place; two where it lies on a border."""
    gap = min((outside_by(stay, point) for point in flame), default=math.inf)
    half = (stay.diameter_m or stay.depth_m or 0.0) / 2
    return {
        _zone(house, gap + give, stay.y_m - half + front)
        for give in (-SAMPLING_M, SAMPLING_M)
        for front in (-SAMPLING_M, SAMPLING_M)
    }


def _zone(house: House, gap_m: float, front_m: float) -> str:
    zones = house.file.zones
    if front_m <= zones.mouth_depth:
        return "mouth"
    if gap_m >= zones.edge_from:
        return "edge"
    return "mid" if gap_m >= zones.mid_from else "near"


def _spans(acts: list[Move]) -> list[tuple[int, int]]:
    """Start and end of each stage, as its own begin and end acts tell."""
    marks = [act.start_s for act in acts if act.act in ("launch", "load", "move", "pull")]
    return list(pairwise(marks))


def _off_minutes(house: House, item: ItemReport, acts: list[Move]) -> list[str]:
    faults = []
    for stage, (start, end) in zip(house.dishes[item.dish].stages, _spans(acts), strict=False):
        if stage.minutes is None:
            continue
        early, late = _give(stage)
        if not -early <= end - start - round(stage.minutes) <= late:
            faults.append(f"{item.item} {stage.name} {end - start} s, the house says {stage.minutes:.0f}")
    return faults


def _give(stage: StageFile) -> tuple[float, float]:
    """How much sooner and later than its minutes a stage may end: as the house wrote it, else the promise."""
    usual = max(MINUTES_LEAST_S, min(MINUTES_MOST_S, round(MINUTES_GIVE * (stage.minutes or 0.0))))
    early, late = (PREHEAT_EARLY_S, PREHEAT_LATE_S) if stage.preheat else (usual, usual)
    band = stage.band
    return early if band.early is None else band.early, late if band.late is None else band.late


def _off_moments(house: House, item: ItemReport, acts: list[Move]) -> list[str]:
    faults = []
    dish: DishFile = house.dishes[item.dish]
    for stage, (start, end) in zip(dish.stages, _spans(acts), strict=False):
        give = max(MOMENT_LEAST_S, round(MOMENT_GIVE * (end - start)))
        for name, fractions in _moments(stage):
            done = [m.start_s for m in acts if m.act == name and start <= m.start_s < end]
            wanted = [start + round(f * (end - start)) for f in sorted(fractions)]
            if len(done) != len(wanted) or any(abs(a - b) > give for a, b in zip(done, wanted, strict=True)):
                faults.append(f"{item.item} {stage.name}: {name} not near its moment")
    return faults


def _moments(stage: StageFile) -> tuple[tuple[str, tuple[float, ...]], ...]:
    return ("flip", stage.flips), ("turn", stage.turns), ("spin", stage.spins)


def _unrested(house: House, item: ItemReport, acts: list[Move]) -> list[str]:
    rest = round(house.dishes[item.dish].rest)
    pulls = [act.start_s for act in acts if act.act == "pull"]
    if pulls and item.ready_s - pulls[-1] < rest:
        return [f"{item.item} rests {item.ready_s - pulls[-1]} s, {rest} asked"]
    return []
