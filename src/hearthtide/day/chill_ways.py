"""What would make a lot cold that is not started: each way tried by the model, least trouble first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

from hearthtide.day.chill_lots import ColdUnit, HotLot, LotPlan, Rack, WayOut
from hearthtide.day.chill_place import Standing, place
from hearthtide.day.chill_run import Case, ice_kg
from hearthtide.food.chill_methods import ICE_BATH, ICE_BATH_PAN
from hearthtide.quantities.show import clock_text

# Least first. Own choice, by what each asks of people: a lid, a dial in time, a later start, ice to fetch,
# more trays and boning, portions that are not there, an hour or two of hot holding and its readings.
TROUBLE = {
    "lid off": 1.0,
    "colder": 1.5,
    "later": 2.0,
    "ice": 3.0,
    "thinner": 4.0,
    "fewer": 5.0,
    "hot hold": 6.0,
}
LATER_S = 1800.0  # steps of a later start, and how far; own choice
LATEST_S = 6 * 3600.0
THINNER_M = 0.005  # steps of thickness, and the thinnest tried; own choice
THINNEST_M = 0.015
# Beyond it food that is held hot for a dish loses its quality: the trade's one to two hours. Where food is
# wanted within it, holding is less trouble than ice or boning.
HOT_HOLD_S = 2 * 3600.0
COLDEST_C = 1.0  # what a room for food may be set to, so that nothing in it freezes; own choice
FULL = frozenset({"place", "kilograms", "stored", "others"})
# An ice bath that a house has not written down: for 10 kg at once, ice as it is wanted. Assumed.
BATH = ColdUnit(
    "ice-bath", "an ice bath", 3.0, 1.0, 0.0, 1e3, 10.0, (Rack("bath", 6, 0.4),), ICE_BATH, ICE_BATH_PAN,
    keeps=False, held=True, most_ice_kg=200.0, assumed=("the whole bath",),
)  # fmt: skip


def ways_out(case: Case, plan: LotPlan, standing: Standing, hot_C: float | None) -> tuple[WayOut, ...]:
    """Ways that were found, least trouble first; empty where the model finds none."""
    tries: tuple[Callable[[], Iterator[WayOut]], ...] = (
        lambda: _lid_off(case, plan.lot, standing),
        lambda: _colder(case, plan, standing),
        lambda: _later(case, plan, standing),
        lambda: _ice(case, plan, standing),
        lambda: _thinner(case, plan, standing),
        lambda: _fewer(case, plan, standing),
        lambda: _hot_hold(plan.lot, hot_C),
    )
    found = [way for one in tries for way in one()]
    return tuple(sorted(found, key=lambda way: way.trouble))


def _makes_it(case: Case, lot: HotLot, standing: Standing) -> float | None:
    """When it is likely cold, placed beside the others; None where it cannot be."""
    tried = place(case, lot, standing)
    if tried is None or tried.binds is not None:
        return None
    return tried.figures.likely.end_s


def _cold(case: Case, end_s: float) -> str:
    return f"{case.limits.end_C:.3g} °C about {clock_text(60 * round(end_s / 60))}"


def _lid_off(case: Case, lot: HotLot, standing: Standing) -> Iterator[WayOut]:
    if not lot.what.lid:
        return
    bare = replace(lot, what=replace(lot.what, lid=False), in_pan=True)
    end_s = _makes_it(case, bare, standing)
    if end_s is not None:
        words = f"lid off while it chills, where nothing can drip on it: {_cold(case, end_s)}"
        yield WayOut("lid off", words, TROUBLE["lid off"], bare, end_s)


def _colder(case: Case, plan: LotPlan, standing: Standing) -> Iterator[WayOut]:
    """Units for food set lower the day before; they are taken to take away as much there."""
    highest_C = max((unit.air_C for unit in case.units if unit.keeps), default=COLDEST_C)
    for air_C in range(math.ceil(highest_C) - 1, math.ceil(COLDEST_C) - 1, -1):
        units = tuple(
            replace(unit, air_C=float(min(unit.air_C, air_C))) if unit.keeps else unit for unit in case.units
        )
        end_s = _makes_it(replace(case, units=units), plan.lot, standing)
        if end_s is not None:
            names = " and ".join(unit.name for unit in case.units if unit.keeps and unit.air_C > air_C)
            words = f"{names} at {air_C} °C, set and read the day before: {_cold(case, end_s)}"
            yield WayOut("colder", words, TROUBLE["colder"], plan.lot, end_s, float(air_C))
            return


def _later(case: Case, plan: LotPlan, standing: Standing) -> Iterator[WayOut]:
    """A later start helps where only place, kilograms or neighbours stand against it."""
    if plan.binds not in FULL:
        return
    for n in range(1, round(LATEST_S / LATER_S) + 1):
        later = replace(plan.lot, ready_s=plan.lot.ready_s + n * LATER_S)
        end_s = _makes_it(case, later, standing)
        if end_s is not None:
            when = clock_text(later.ready_s)
            words = f"have it ready at {when}, {n * LATER_S / 60:.0f} min later: {_cold(case, end_s)}"
            yield WayOut("later", words, TROUBLE["later"], later, end_s)
            return


def _ice(case: Case, plan: LotPlan, standing: Standing) -> Iterator[WayOut]:
    if any(unit.held for unit in case.units):
        return  # its own bath was tried already
    with_bath = replace(case, units=(*case.units, BATH))
    tried = place(with_bath, plan.lot, _in_more_rooms(standing))
    if tried is None or tried.binds is not None or tried.then is None or tried.then.seen is None:
        return
    end_s, room = tried.figures.likely.end_s, len(case.units)
    if end_s is None or room not in tried.one.rooms:
        return
    ice = ice_kg(tried.then.seen, room)
    moves = "" if tried.one.moves_s is None else f", moved at {clock_text(tried.one.moves_s)}"
    words = (
        f"an ice bath first, kept full of ice and moving, about {math.ceil(ice)} kg of ice{moves}: "
        f"{_cold(case, end_s)}"
    )
    yield WayOut("ice", words, TROUBLE["ice"], plan.lot, end_s)


def _in_more_rooms(standing: Standing) -> Standing:
    """The same lots for a case with one unit more behind the others."""
    if standing.seen is None:
        return standing
    return Standing(standing.placed, replace(standing.seen, stored_C=(*standing.seen.stored_C, None)))


def _thinner(case: Case, plan: LotPlan, standing: Standing) -> Iterator[WayOut]:
    lot = plan.lot
    steps = math.ceil(lot.what.thickness_m / THINNER_M - 1e-9) - 1
    for n in range(steps, 0, -1):
        thickness_m = n * THINNER_M
        if thickness_m < THINNEST_M - 1e-9:
            return
        trays = math.ceil(lot.trays * lot.what.thickness_m / thickness_m - 1e-9)
        thin = replace(lot, what=replace(lot.what, thickness_m=thickness_m), trays=trays)
        end_s = _makes_it(case, thin, standing)
        if end_s is not None:
            how = "fill it" if lot.is_pan else "bone and flatten, or portion it"
            deep = "deep" if lot.is_pan else "thick"
            words = f"{how} {1000 * thickness_m:.0f} mm {deep} on {trays} trays: {_cold(case, end_s)}"
            yield WayOut("thinner", words, TROUBLE["thinner"], thin, end_s)
            return


def _fewer(case: Case, plan: LotPlan, standing: Standing) -> Iterator[WayOut]:
    lot = plan.lot
    if plan.binds not in FULL:
        return
    for trays in range(lot.trays - 1, 0, -1):
        share = trays / lot.trays
        fewer = replace(
            lot, trays=trays, mass_kg=share * lot.mass_kg, portions=math.floor(share * lot.portions)
        )
        end_s = _makes_it(case, fewer, standing)
        if end_s is not None:
            of = f"{fewer.portions} of {lot.portions} portions" if lot.portions else f"{fewer.mass_kg:.1f} kg"
            words = f"{trays} of {lot.trays} trays, {of}: {_cold(case, end_s)}"
            yield WayOut("fewer", words, TROUBLE["fewer"], fewer, end_s)
            return


def _hot_hold(lot: HotLot, hot_C: float | None) -> Iterator[WayOut]:
    """Not chilled at all. No model speaks for it: its core is read."""
    if hot_C is None or lot.core_C < hot_C:
        return
    soon = lot.wanted_s is not None and lot.wanted_s - lot.ready_s <= HOT_HOLD_S
    trouble = 0.5 * (TROUBLE["later"] + TROUBLE["ice"]) if soon else TROUBLE["hot hold"]
    words = (
        f"do not chill it: hold it hot at {hot_C:.3g} °C or above by probe and flash it to order; its "
        "quality lasts one to two hours so"
    )
    yield WayOut("hot hold", words, trouble)
