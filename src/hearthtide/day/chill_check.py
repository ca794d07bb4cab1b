"""A chilling plan checked from what it says alone: places, kilograms, times, the limits by the model again.

It imports nothing of what made the plan: only the lots and units, the room model, and the doubt's slow side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from hearthtide.day.chill_lots import ICE_J_KG, ChillPlan, ColdUnit, HotLot, LotPlan, Rack, Stand
from hearthtide.day.chill_room import Body, Leg, RoomRun, run_units
from hearthtide.day.chill_sides import sides
from hearthtide.food.chill_band import ChillDoubt
from hearthtide.food.chill_methods import ChillMethod
from hearthtide.food.chilling import ChillLimits, ToChill, passed_s
from hearthtide.safety.cooling import LOOKS

CHECK_STEP_S = 30.0  # half of the plan's own step; own choice
CLOSE_S = 300.0  # two runs at other steps may differ by so much in when a tray is free; own choice
CLOSE_K = 1.0  # and in a core at a told minute; own choice
FOLLOWED_S = 12 * 3600.0
ANY = ChillLimits(57.0, 21.0, 5.0, math.inf, math.inf)
PACK = ToChill("shrimp", 0.02, wet=0.0)  # what is stored, as the plan says it: a thin wrapped pack
Going = tuple[HotLot, tuple[tuple[str, float, float], ...]]


def faults(plan: ChillPlan, units: Sequence[ColdUnit], doubt: ChillDoubt | None = None) -> tuple[str, ...]:
    """Everything in which a plan breaks a unit's places or kilograms, or a lot's or a stored pack's limit.

    What the plan itself tells of lots that are there already, and of what they warm, is no fault of it.
    """
    known = {unit.key: unit for unit in units}
    started = [one for one in plan.lots if one.feasible]
    found = [
        *(words for one in plan.lots for words in _of_lot(one, known)),
        *_of_stood(plan, known),
        *_places(started, plan, known),
    ]
    if not found and (started or plan.there):
        found += _by_model(plan, started, tuple(units), doubt or ChillDoubt())
    return tuple(found)


def _of_lot(one: LotPlan, units: dict[str, ColdUnit]) -> Iterator[str]:
    name, lot = one.lot.key, one.lot
    if not one.feasible:
        if one.stands:
            yield f"{name}: it is not started and stands somewhere"
        if not one.reason:
            yield f"{name}: it is not started and no reason is told"
        return
    if not one.stands:
        yield f"{name}: it is started and stands nowhere"
        return
    if one.stands[0].from_s != lot.ready_s:
        yield f"{name}: ready at {lot.ready_s:.0f} s, chilled from {one.stands[0].from_s:.0f} s"
    for stand, after in zip(one.stands, (*one.stands[1:], None), strict=True):
        yield from _of_stand(name, lot, stand, units)
        if stand.until_s < stand.from_s or (after is not None and after.from_s != stand.until_s):
            yield f"{name}: its stretches do not follow each other"
    last = units.get(one.stands[-1].unit)
    if last is not None and not last.keeps and any(u.keeps and u.method(lot) for u in units.values()):
        yield f"{name}: it ends in {last.name}, where nothing is stored"


def _of_stood(plan: ChillPlan, units: dict[str, ColdUnit]) -> Iterator[str]:
    """Each lot that is there is told, in its unit since it came; one that is amiss is told so."""
    if [one.lot for one in plan.stood] != [one.lot for one in plan.there]:
        yield "what cools already is not told lot by lot"
        return
    for one, there in zip(plan.stood, plan.there, strict=True):
        name = one.lot.key
        if [(stand.unit, stand.from_s) for stand in one.stands] != [(there.unit, one.lot.ready_s)]:
            yield f"{name}: it is not told where it cools"
        elif one.feasible:
            yield from _of_stand(name, one.lot, one.stands[0], units)
        elif not one.reason:
            yield f"{name}: it is amiss and no reason is told"


def _of_stand(name: str, lot: HotLot, stand: Stand, units: dict[str, ColdUnit]) -> Iterator[str]:
    unit = units.get(stand.unit)
    if unit is None or unit.method(lot) is None:
        yield f"{name}: {stand.unit} does not chill it"
        return
    racks = {rack.key for rack in unit.racks}
    if any(rack not in racks or count < 1 for rack, count in stand.racks):
        yield f"{name}: a rack that {unit.name} has not"
    if sum(count for _, count in stand.racks) != lot.trays:
        yield f"{name}: {lot.trays} trays, not all of them in {unit.name}"


def _places(started: Sequence[LotPlan], plan: ChillPlan, units: dict[str, ColdUnit]) -> Iterator[str]:
    """Trays by rack and kilograms by unit at every beginning of a stretch."""
    going = [*started, *plan.stood]
    stands = [(one.lot, stand) for one in going for stand in one.stands if stand.unit in units]
    before = {one.lot.key for one in plan.stood}
    amiss = {one.lot.key for one in plan.stood if not one.feasible}
    for unit in units.values():
        here = [(lot, stand) for lot, stand in stands if stand.unit == unit.key]
        for _, moment in here:
            now = [(lot, s) for lot, s in here if s.from_s <= moment.from_s < s.until_s]
            kg = sum(lot.mass_kg for lot, _ in now)
            keys = {lot.key for lot, _ in now}
            told = bool(amiss & keys) and keys <= before  # its own kilograms, and told so
            if kg > unit.most_hot_kg + 1e-6 and not told:
                yield f"{unit.name}: {kg:.1f} kg hot at {moment.from_s:.0f} s, {unit.most_hot_kg:g} at most"
            for rack in unit.racks:
                yield from _rack(unit, rack, now)


def _rack(unit: ColdUnit, rack: Rack, now: Sequence[tuple[HotLot, Stand]]) -> Iterator[str]:
    used = [(lot, dict(stand.racks).get(rack.key, 0)) for lot, stand in now]
    deepest_m = max((lot.what.thickness_m for lot, count in used if count), default=0.0)
    count = sum(n for _, n in used)
    if count > rack.places(deepest_m):
        yield f"{unit.name}, {rack.key}: {count} trays, {rack.places(deepest_m)} with air about them"


def _by_model(
    plan: ChillPlan, started: Sequence[LotPlan], units: tuple[ColdUnit, ...], doubt: ChillDoubt
) -> Iterator[str]:
    limits = plan.limits or ANY
    going: list[Going] = [
        (one.lot, tuple((s.unit, s.from_s, s.until_s) for s in one.stands)) for one in started
    ]
    going += [(one.lot, ((one.unit, one.lot.ready_s, math.inf),)) for one in plan.there]
    run, stored = _run(going, units, limits, doubt)
    for n, one in enumerate((*started, *plan.stood)):
        if one.feasible:
            yield from _limits_kept(one, run, n, plan.limits)
        yield from _told_right(one, run, n, limits)
    warmed = {one.unit for one in plan.warmed}
    for n, (unit, _) in enumerate(stored):
        warmest_C = float(run.core_C[2 * len(going) + n].max())
        if plan.keeps_C is not None and warmest_C > max(plan.keeps_C, unit.air_C) and unit.key not in warmed:
            yield f"{unit.name}: what is stored warms to {warmest_C:.1f} °C"
    for room, unit in enumerate(units):
        kg = float(run.given_J[room].sum()) / ICE_J_KG
        if unit.held and kg > unit.most_ice_kg:
            yield f"{unit.name}: {kg:.0f} kg of ice melt, {unit.most_ice_kg:.0f} are there"


def _run(
    going: Sequence[Going], units: tuple[ColdUnit, ...], limits: ChillLimits, doubt: ChillDoubt
) -> tuple[RoomRun, list[tuple[ColdUnit, int]]]:
    """Likely and slow body of each lot in turn, then a pack in each unit that keeps food."""
    rooms = {unit.key: n for n, unit in enumerate(units)}
    begin_s = min(lot.ready_s for lot, _ in going)
    end_s = max(lot.ready_s for lot, _ in going) + FOLLOWED_S
    bodies = []
    for lot, through in going:
        ways = [_way(units[rooms[key]], lot) for key, _, _ in through]
        ends_s = (*(until_s for _, _, until_s in through[:-1]), end_s)
        slow = sides(lot.what, lot.core_C, ways[0], limits, doubt)[0]
        plain = tuple(Leg(rooms[key], way) for (key, _, _), way in zip(through, ways, strict=True))
        late = tuple(
            Leg(leg.room, slow.meets(leg.method, later=i > 0), 0.0 if leg.method.held else slow.air_K)
            for i, leg in enumerate(plain)
        )
        bodies.append(Body(lot.what, lot.mass_kg, lot.core_C, lot.ready_s, plain, ends_s))
        bodies.append(Body(slow.food(lot.what), 0.0, slow.start(lot.core_C), lot.ready_s, late, ends_s))
    stored = [(unit, n) for n, unit in enumerate(units) if unit.keeps]
    for unit, n in stored:
        way = unit.pieces or unit.pans
        assert way is not None
        leg = Leg(n, replace(way, evaporates="no"))
        bodies.append(Body(PACK, 0.0, max(0.0, unit.air_C), begin_s, (leg,), (end_s,)))
    return run_units(units, bodies, begin_s, end_s, CHECK_STEP_S), stored


def _way(unit: ColdUnit, lot: HotLot) -> ChillMethod:
    way = unit.pans if lot.is_pan else unit.pieces
    assert way is not None
    return way if way.held or way.bottom_C is not None else replace(way, air_C=unit.air_C)


def _limits_kept(one: LotPlan, run: RoomRun, n: int, limits: ChillLimits | None) -> Iterator[str]:
    slow_C = run.core_C[2 * n + 1]
    if limits is None:
        return
    begun_s = passed_s(run.times_s, slow_C, limits.from_C) or one.lot.ready_s
    begun_s = max(begun_s, one.lot.ready_s)
    middle_s = passed_s(run.times_s, slow_C, limits.middle_C) or math.inf
    end_s = passed_s(run.times_s, slow_C, limits.end_C) or math.inf
    late = (
        (middle_s - begun_s > limits.middle_within_s, f"{limits.middle_C:g} °C"),
        (end_s - begun_s > limits.end_within_s, f"{limits.end_C:g} °C"),
        (end_s - middle_s > limits.further_within_s, f"{limits.end_C:g} °C after {limits.middle_C:g} °C"),
    )
    for missed, words in late:
        if missed:
            yield f"{one.lot.key}: {words} too late on its slow side"
    if one.stands[-1].until_s < end_s - CLOSE_S:
        yield f"{one.lot.key}: its trays are given away before it is cold"


def _told_right(one: LotPlan, run: RoomRun, n: int, limits: ChillLimits) -> Iterator[str]:
    likely_C, lot = run.core_C[2 * n], one.lot
    for told_s, mark_C in ((one.likely.middle_s, limits.middle_C), (one.likely.end_s, limits.end_C)):
        if told_s is None:
            continue
        found_s = passed_s(run.times_s, likely_C, mark_C)
        off_K = abs(float(np.interp(told_s, run.times_s, likely_C)) - mark_C)
        if off_K > CLOSE_K and (found_s is None or abs(found_s - told_s) > CLOSE_S):
            yield f"{lot.key}: at the minute told for {mark_C:g} °C the model is elsewhere"
    end_s = passed_s(run.times_s, likely_C, limits.end_C)
    if lot.wanted_s is not None and (end_s is None or end_s > lot.wanted_s + CLOSE_S):
        yield f"{lot.key}: not cold when it is wanted"
    begun_s = one.likely.from_s if one.likely.from_s is not None else lot.ready_s
    looks = [begun_s + look.total_seconds() for look in LOOKS]
    told = list(one.prompts_s)
    cold_s = math.inf if one.late.end_s is None else one.late.end_s
    if not told or told != looks[: len(told)] or (told != looks and told[-1] < cold_s):
        yield f"{lot.key}: the looks are not those of the records"
