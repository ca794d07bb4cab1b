"""Proves a finished plan, or says what is wrong with it.

It reads the plan as a cook would get it (moves, landings, items) and the house's own files. It shares
nothing with the search: no places, no timeline, no masks, and a geometry of its own (sampled edges
instead of closed forms), so that a mistake there cannot hide here.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from itertools import pairwise

from hearthtide.house.models import House, NightFile
from hearthtide.house.oven_file import BurnerFile
from hearthtide.planning.plan import Check, ItemReport, Landing, Move, OnStone

Point = tuple[float, float]
RING_M = 0.05  # between the rings that fill a bed: the smallest vessel a house may write is as wide
EDGE_POINTS = 48  # on a 30 cm disc a point every 2 cm: a gap is seen to within a millimetre
GAP_M = 0.009  # places are 1 cm apart; a millimetre is left for the sampling of edges


def check_moves(
    house: House,
    night: NightFile,
    moves: tuple[Move, ...],
    landings: tuple[Landing, ...],
    items: tuple[ItemReport, ...],
) -> tuple[Check, ...]:
    """Everything about the plan that needs no model: geometry, hands, order, platters, tables."""
    flame = flame_points(house)
    return (
        verdict("complete", _missing(night, landings, items)),
        verdict("hands", _clashes(house, moves)),
        verdict("acts in order", _disorder(house, moves, items)),
        verdict("moves and stays agree", _disagreeing(house, moves, landings, items)),
        verdict("on the hearth", _off_hearth(house, items)),
        verdict("no overlap", _overlaps(items)),
        verdict("clear of the flame", _near_flame(house, items, flame)),
        verdict("spot rested", _unrested(house, items)),
        verdict("platters", _platters(house, landings, items)),
        verdict("together", _apart(house, landings, items)),
        verdict("held on the pass", _overheld(house, landings, items)),
        verdict("on time", _late(house, landings)),
    )


def verdict(name: str, faults: list[str]) -> Check:
    """Kept when there is no fault; else the first four, and how many more."""
    if not faults:
        return Check(name, True, "")
    more = f" (and {len(faults) - 4} more)" if len(faults) > 4 else ""
    return Check(name, False, "; ".join(faults[:4]) + more)


def _missing(night: NightFile, landings: tuple[Landing, ...], items: tuple[ItemReport, ...]) -> list[str]:
    wanted = sorted((t.table, dish) for t in night.tickets for dish in t.dishes)
    planned = sorted((item.ticket, item.dish) for item in items)
    landed = sorted(key for landing in landings for key in landing.items)
    faults = []
    if wanted != planned:
        faults.append(f"{len(wanted)} plates ordered, {len(planned)} planned")
    if landed != sorted(item.item for item in items):
        faults.append("an item lands twice or never")
    return faults


def _clashes(house: House, moves: tuple[Move, ...]) -> list[str]:
    acts = {cook.name: set(cook.acts) for cook in house.file.cooks}
    faults = [f"{m.cook} does not {m.act} ({m.item})" for m in moves if m.act not in acts.get(m.cook, ())]
    by_cook: dict[str, list[Move]] = defaultdict(list)
    for move in moves:
        by_cook[move.cook].append(move)
    for cook, own in by_cook.items():
        own.sort(key=lambda m: m.start_s)
        for n, move in enumerate(own):
            going = [m for m in own[:n] if m.start_s + m.hands_s > move.start_s]
            if going and sum(_hands(house, m) for m in (*going, move)) > 2:
                faults.append(
                    f"{cook}: {going[-1].act} {going[-1].item} and {move.act} {move.item} at {move.start_s} s"
                )
    return faults


def _hands(house: House, move: Move) -> int:
    """How many hands an act takes."""
    one_handed: tuple[str, ...] = house.file.one_handed
    return 1 if move.act in one_handed else 2


def _hands_s(house: House, move: Move) -> int:
    """The seconds the house gives this cook for the act."""
    cook = next((cook for cook in house.file.cooks if cook.name == move.cook), None)
    own: float | None = None if cook is None else getattr(cook.act_seconds, move.act)
    usual: float = getattr(house.file.act_seconds, move.act)
    return round(usual if own is None else own)


def _disorder(house: House, moves: tuple[Move, ...], items: tuple[ItemReport, ...]) -> list[str]:
    own: dict[str, list[Move]] = defaultdict(list)
    for move in sorted(moves, key=lambda m: m.start_s):
        own[move.item].append(move)
    there = {item.item for item in items}
    faults = [f"{key} is handled but not there" for key in own if key not in there]
    for item in items:
        dish = house.dishes[item.dish]
        middle = ["load" if stage.preheat else "move" for stage in dish.stages[:-1]]
        for stage in dish.stages:
            middle += ["flip"] * len(stage.flips) + ["turn"] * len(stage.turns) + ["spin"] * len(stage.spins)
        acts = [move.act for move in own[item.item]]
        want_first = ["dress", "launch"] if dish.dressed else ["launch"]
        want_last = ["pull", "cut"] if dish.cut else ["pull"]
        body = acts[len(want_first) : len(acts) - len(want_last)]
        if acts[: len(want_first)] != want_first or acts[len(acts) - len(want_last) :] != want_last:
            faults.append(f"{item.item}: {' '.join(acts)}")
        elif sorted(body) != sorted(middle):
            faults.append(f"{item.item}: {' '.join(body)} on the stone, {' '.join(middle)} asked for")
    return faults


def _disagreeing(
    house: House, moves: tuple[Move, ...], landings: tuple[Landing, ...], items: tuple[ItemReport, ...]
) -> list[str]:
    """Acts happen when and where the item's stays say, take their seconds, and come after the call."""
    own: dict[str, list[Move]] = defaultdict(list)
    for move in sorted(moves, key=lambda m: m.start_s):
        own[move.item].append(move)
    called = {key: landing.called_s for landing in landings for key in landing.items}
    lands = {key: landing.planned_s for landing in landings for key in landing.items}
    faults = [f"{m.act} {m.item} in {m.hands_s} s" for m in moves if m.hands_s != _hands_s(house, m)]
    for item in items:
        acts = own[item.item]
        begins = [m for m in acts if m.act in ("launch", "load", "move")]
        ends = [_until_s(m) for m in acts if m.act in ("load", "move", "pull")]
        at = [(m.start_s, m.spot_x_m, m.spot_y_m) for m in begins]
        if at != [(s.start_s, s.x_m, s.y_m) for s in item.stays] or ends != [s.end_s for s in item.stays]:
            faults.append(f"{item.item} is not where and when it is moved")
        faults += [f"{item.item}: two acts at {b.start_s} s" for a, b in pairwise(acts) if _runs_into(a, b)]
        if acts and acts[0].start_s < called.get(item.item, 0):
            faults.append(f"{item.item} is touched before its ticket is called")
        if acts and acts[-1].start_s + acts[-1].hands_s > lands.get(item.item, math.inf):
            faults.append(f"{item.item} is still worked on when its table lands")
    return faults


def _until_s(move: Move) -> int:
    """When an act ends a stay: with its hands off it, but a load leaves the vessel where it stands."""
    return move.start_s if move.act == "load" else move.start_s + move.hands_s


def _runs_into(earlier: Move, later: Move) -> bool:
    return later.start_s < earlier.start_s + earlier.hands_s


def flame_points(house: House) -> list[Point]:
    """Points along every burner on the hearth, laid out again from the oven's file."""
    return [
        point for burner in house.oven.burners if burner.kind != "under" for point in _along(house, burner)
    ]


def _along(house: House, burner: BurnerFile) -> list[Point]:
    """A ribbon's line; rings that fill a round burner or bed, so that nothing stands between two unseen."""
    middle = _wall_point(house, burner.bearing or 0.0, burner.standoff or 0.0)
    if burner.kind != "ribbon":
        rim = (burner.diameter or 0.0) / 2
        rings = math.ceil(rim / RING_M)
        turn = [2 * math.pi * i / 100 for i in range(100)]
        radii = [rim * k / rings for k in range(1, rings + 1)]
        return [
            middle,
            *((middle[0] + r * math.cos(a), middle[1] + r * math.sin(a)) for r in radii for a in turn),
        ]
    half = (burner.length or 0.0) / 2
    points = []
    for sign in (-1.0, 1.0):
        bearing, gone, last = burner.bearing or 0.0, 0.0, middle
        while gone < half:
            bearing += sign * 0.25
            here = _wall_point(house, bearing, burner.standoff or 0.0)
            gone += math.dist(here, last)
            points.append(here)
            last = here
    return [middle, *points]


def _middle(house: House) -> Point:
    oven = house.oven
    if oven.diameter is not None:
        return 0.0, math.sqrt(oven.diameter**2 / 4 - oven.mouth_width**2 / 4)
    return 0.0, (oven.depth or 0.0) / 2


def _wall_point(house: House, bearing_deg: float, standoff_m: float) -> Point:
    """Where a bearing from the hearth's middle meets the line that far inside the wall."""
    x0, y0 = _middle(house)
    sine, cosine = math.sin(math.radians(bearing_deg)), math.cos(math.radians(bearing_deg))
    oven = house.oven
    if oven.diameter is not None:
        reach = oven.diameter / 2 - standoff_m
    else:
        half_w, half_d = (oven.width or 0.0) / 2 - standoff_m, (oven.depth or 0.0) / 2 - standoff_m
        sides = [half_w / abs(sine)] if abs(sine) > 1e-12 else []
        reach = min(sides + ([half_d / abs(cosine)] if abs(cosine) > 1e-12 else []))
    return x0 + reach * sine, y0 + reach * cosine


def _edge(stay: OnStone) -> list[Point]:
    if stay.diameter_m is not None:
        turn = [2 * math.pi * i / EDGE_POINTS for i in range(EDGE_POINTS)]
        r = stay.diameter_m / 2
        return [(stay.x_m + r * math.cos(a), stay.y_m + r * math.sin(a)) for a in turn]
    half_w, half_d = (stay.width_m or 0) / 2, (stay.depth_m or 0) / 2
    side = [i / 6 - 1 for i in range(13)]
    across = [(stay.x_m + half_w * t, stay.y_m + s * half_d) for t in side for s in (-1, 1)]
    along = [(stay.x_m + s * half_w, stay.y_m + half_d * t) for t in side for s in (-1, 1)]
    return across + along


def outside_by(stay: OnStone, point: Point) -> float:
    """Distance from a point to the item, 0 when it lies inside."""
    dx, dy = abs(point[0] - stay.x_m), abs(point[1] - stay.y_m)
    if stay.diameter_m is not None:
        return max(0.0, math.hypot(dx, dy) - stay.diameter_m / 2)
    return math.hypot(max(0.0, dx - (stay.width_m or 0) / 2), max(0.0, dy - (stay.depth_m or 0) / 2))


def _off_hearth(house: House, items: tuple[ItemReport, ...]) -> list[str]:
    faults = []
    for item in items:
        for stay in item.stays:
            if any(_beyond(house, point) for point in _edge(stay)):
                faults.append(f"{item.item} at ({stay.x_m:.2f}, {stay.y_m:.2f}) m")
    return faults


def _beyond(house: House, point: Point) -> bool:
    """Whether a point lies off the hearth: past the wall or before the sill."""
    (x0, y0), (x, y), oven = _middle(house), point, house.oven
    if y < 0:
        return True
    if oven.diameter is not None:
        return math.hypot(x - x0, y - y0) > oven.diameter / 2
    return abs(x) > (oven.width or 0.0) / 2 or y > (oven.depth or 0.0)


def _by_start(items: tuple[ItemReport, ...]) -> list[tuple[OnStone, ItemReport]]:
    return sorted(((s, i) for i in items for s in i.stays), key=lambda pair: pair[0].start_s)


def _overlaps(items: tuple[ItemReport, ...]) -> list[str]:
    faults = []
    standing: list[tuple[OnStone, ItemReport]] = []
    for stay, item in _by_start(items):
        standing = [(s, i) for s, i in standing if s.end_s > stay.start_s]
        for other, owner in standing:
            if owner.item != item.item and _gap(stay, other) < GAP_M:
                faults.append(f"{item.item} and {owner.item} at {stay.start_s} s")
        standing.append((stay, item))
    return faults


def _gap(a: OnStone, b: OnStone) -> float:
    return min(
        min(outside_by(b, p) for p in [*_edge(a), (a.x_m, a.y_m)]),
        min(outside_by(a, p) for p in [*_edge(b), (b.x_m, b.y_m)]),
    )


def _near_flame(house: House, items: tuple[ItemReport, ...], flame: Iterable[Point]) -> list[str]:
    line = list(flame)
    faults = []
    for item in items:
        want = max(house.dishes[item.dish].clear_of_flame, house.file.zones.near_from)
        for stay in item.stays:
            near = min((outside_by(stay, p) for p in line), default=math.inf)
            if near < want - 0.001:
                faults.append(f"{item.item} {near * 100:.0f} cm from the flame, {want * 100:.0f} wanted")
    return faults


def _unrested(house: House, items: tuple[ItemReport, ...]) -> list[str]:
    """Bare dough must not land where bare dough has just lain: the house's seconds, else the plan's."""
    own = house.file.pizza_recovery
    bare = [(s, i) for s, i in _by_start(items) if house.dishes[i.dish].vessel.kind == "stone"]
    faults = []
    for n, (stay, item) in enumerate(bare):
        for earlier, owner in bare[:n]:
            pause = earlier.rest_s if own is None else round(own)
            if stay.start_s < earlier.end_s + pause and _gap(stay, earlier) < GAP_M:
                faults.append(f"{item.item} after {owner.item}, {stay.start_s - earlier.end_s} s later")
    return faults


def _platters(house: House, landings: tuple[Landing, ...], items: tuple[ItemReport, ...]) -> list[str]:
    """A platter is away from its launch until a turnaround after its table has landed."""
    bank = house.file.platters
    if bank is None:
        return []
    back = {key: one.planned_s + round(bank.turnaround) for one in landings for key in one.items}
    used = [i for i in items if house.dishes[i.dish].vessel.from_bank and i.item in back]
    faults = []
    for item in used:
        start = item.stays[0].start_s
        out = sum(i.stays[0].start_s <= start < back[i.item] for i in used)
        if out > bank.count:
            faults.append(f"{out} platters out at {start} s, the bank has {bank.count}")
    return faults


def _apart(house: House, landings: tuple[Landing, ...], items: tuple[ItemReport, ...]) -> list[str]:
    ready = {item.item: item.ready_s for item in items}
    faults = []
    for landing in landings:
        times = [ready[key] for key in landing.items if key in ready]
        if times and max(times) - min(times) > house.file.together:
            faults.append(f"{landing.ticket}: plates {max(times) - min(times)} s apart")
        if landing.drop > landing.wished_drops:
            faults.append(f"{landing.ticket} lands in drops: drop {landing.drop} apart from the first")
    return faults


def _overheld(house: House, landings: tuple[Landing, ...], items: tuple[ItemReport, ...]) -> list[str]:
    by_key = {item.item: item for item in items}
    faults = []
    for landing in landings:
        for item in (by_key[key] for key in landing.items if key in by_key):
            waits = landing.planned_s - round(house.file.plating) - item.ready_s
            if waits > house.dishes[item.dish].hold or waits < 0:
                faults.append(f"{item.item} waits {waits} s")
    return faults


def _late(house: House, landings: tuple[Landing, ...]) -> list[str]:
    after = house.file.late_after
    return [
        f"{landing.ticket} {landing.late_s // 60} min late" for landing in landings if landing.late_s > after
    ]
