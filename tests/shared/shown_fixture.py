"""One minute of an invented night as a screen is shown it, for pages drawn without a board.

`python tests/shared/shown_fixture.py examples/brindlecote tuesday 19:10 web/fixtures/tuesday.json`
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from dataclasses import asdict
from itertools import count
from pathlib import Path

import numpy as np

from hearthtide.house.files import oven_design, read_house, read_night
from hearthtide.house.models import DishFile, House
from hearthtide.house.night_file import NightFile
from hearthtide.planning.night import plan_night
from hearthtide.planning.plan import Landing, Move, OnStone, Plan
from hearthtide.service import commands as told
from hearthtide.service.facts import Facts
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.log import MemoryLog
from hearthtide.service.night import Night
from hearthtide.service.shown import (
    Hazard,
    Shown,
    ShownDish,
    ShownFire,
    ShownFlame,
    ShownFlameChange,
    ShownFloor,
    ShownForced,
    ShownHouse,
    ShownLanding,
    ShownMove,
    ShownPlanner,
    ShownPlate,
    ShownProbe,
    ShownSlip,
    ShownStay,
)
from hearthtide.service.tickets import Course, Plate, Ticket

BAND_C = (345.0, 370.0)  # of the invented houses' dough stone
RIM_POINTS = 48


def main(folder: str, night_name: str, clock: str, out: str) -> None:
    hours, minutes = clock.split(":")
    at_s = int(hours) * 3600 + int(minutes) * 60.0
    house = read_house(Path(folder))
    night = read_night(house, night_name)
    plan = plan_night(house, night, picture_times=lambda _stays: (int(at_s),))
    facts, seq = facts_at(house, night, plan, at_s)
    shown = shown_at(house, plan, facts, at_s, seq)
    document = {
        "house": asdict(house_shown(house, night, plan)),
        "shown": asdict(shown),
        "facts": asdict(facts),
    }
    text = json.dumps(_rounded(document), separators=(",", ":"), ensure_ascii=False)
    Path(out).write_text(text + "\n", encoding="utf-8")


def _rounded(told: object) -> object:
    """Numbers as short as a screen needs them, so that a fixture can be read."""
    if isinstance(told, float):
        return int(told) if told == int(told) else round(told, 3)
    if isinstance(told, dict):
        return {key: _rounded(value) for key, value in told.items()}
    if isinstance(told, list | tuple):
        return [_rounded(one) for one in told]
    return told


def house_shown(house: House, night: NightFile, plan: Plan) -> ShownHouse:
    design = oven_design(house)
    x0, y0 = 0.0, design.hearth.depth_m / 2
    round_m = design.hearth.width_m / 2
    angles = np.linspace(0, 2 * np.pi, RIM_POINTS, endpoint=False)
    outline = tuple((x0 + round_m * np.sin(a), y0 - round_m * np.cos(a)) for a in angles)
    return ShownHouse(
        name=house.file.name,
        night=night.name,
        doors_s=night.doors,
        outline_m=tuple((float(x), float(y)) for x, y in outline),
        mouth_m=design.mouth.width_m,
        flames=tuple(
            ShownFlame(tuple((float(x), float(y)) for x, y in design.flame_path_m(fire, 9)), fire.breadth_m)
            for fire in design.fires
        ),
        cells_m=plan.oven.cells_m,
        cell_side_m=plan.oven.cell_side_m,
        band_C=BAND_C,
        levels=tuple(level.name for level in design.levels),
        cooks=tuple(cook.name for cook in house.file.cooks),
        platters=0 if house.file.platters is None else house.file.platters.count,
        dishes=tuple(_dish(key, dish) for key, dish in house.dishes.items()),
        together_s=house.file.together,
        late_after_s=house.file.late_after,
        plans=True,
    )


def _dish(key: str, dish: DishFile) -> ShownDish:
    vessel = dish.vessel
    return ShownDish(
        key=key,
        name=dish.name,
        vessel=vessel.kind,
        shape="disc" if vessel.diameter else "box",
        width_m=vessel.diameter or vessel.width or 0.0,
        depth_m=vessel.diameter or vessel.depth or 0.0,
        from_bank=vessel.from_bank,
        core_C=_core(dish),
        contains=dish.allergens.contains,
    )


def _core(dish: DishFile) -> float | None:
    core = dish.stages[-1].until.core
    return float(core) if isinstance(core, int | float) else None


def facts_at(house: House, night: NightFile, plan: Plan, at_s: float) -> tuple[Facts, int]:
    """All that was told by then: each ticket when it was called, each act when it was planned."""
    clock = [0.0]
    live = Night(MemoryLog(), Kitchen(house), lambda: clock[0])
    ids = (f"fixture-{n:06}" for n in count(1))
    happened: list[tuple[float, told.What]] = [
        (t.called, _called(t)) for t in night.tickets if t.called <= at_s
    ]
    done: Counter[tuple[str, str]] = Counter()
    for move in plan.moves:
        done[move.item, move.act] += 1
        if move.start_s + move.hands_s <= at_s and move.act != "flame":
            nth = done[move.item, move.act]
            happened.append((move.start_s, told.MoveDone(move.item, move.act, nth, assumed=nth > 1)))
    last = {(land.ticket, land.course): land.planned_s for land in plan.landings}  # of a course's drops
    happened += [(when, told.Landed(*course)) for course, when in last.items() if when <= at_s]
    for when, what in sorted(happened, key=lambda one: one[0]):
        clock[0] = when
        answer = live.tell(told.Command(next(ids), "Ana", when, what))
        if not answer.taken:
            raise SystemExit(f"{what}: {answer.words}")
    return live.state.facts, live.state.seq


def _called(file: object) -> told.TicketCalled:
    courses = tuple(
        Course(
            part.wanted, tuple(Plate(plate.dish, None, plate.allergy) for plate in part.plates), part.drops
        )
        for part in file.parts
    )
    return told.TicketCalled(
        Ticket(file.table, file.covers, file.called, courses, allergy=file.allergy), "typed"
    )


def shown_at(house: House, plan: Plan, facts: Facts, at_s: float, seq: int) -> Shown:
    known = {ticket.table for ticket in facts.tickets}
    landings = tuple(
        _landing(plan, land) for land in plan.landings if land.ticket in known and land.planned_s > at_s
    )
    slipped = landings[-1]
    return Shown(
        seq=seq,
        now_s=at_s,
        planner=ShownPlanner("ready", at_s - 4, False, False, ""),
        moves=_moves(house, plan, known, at_s),
        stays=_stays(house, plan, known, at_s),
        landings=landings,
        probes=_probes(house, plan, known, at_s),
        fire=_fire(plan, at_s),
        slips=(ShownSlip(slipped.table, slipped.course, slipped.planned_s - 240, slipped.planned_s),),
        forced=(ShownForced(slipped.plates[0].item, "overrun", 40.0),),
        left_out=(),
    )


def _moves(house: House, plan: Plan, known: set[str], at_s: float) -> tuple[ShownMove, ...]:
    count_of: Counter[tuple[str, str]] = Counter()
    facing: dict[str, float] = {}
    begun: set[str] = set()
    shown = []
    for move in plan.moves:
        count_of[move.item, move.act] += 1
        before = facing.get(move.item)
        if move.facing_deg is not None:
            facing[move.item] = move.facing_deg
        first = move.ticket not in begun
        begun.add(move.ticket)
        if move.ticket in known and move.start_s + move.hands_s > at_s and move.act != "flame":
            nth = count_of[move.item, move.act]
            shown.append(_move(house, move, nth, before, first, at_s))
    return tuple(shown)


def _move(house: House, move: Move, nth: int, before: float | None, first: bool, at_s: float) -> ShownMove:
    turned = 0.0 if before is None or move.facing_deg is None else (move.facing_deg - before) % 360
    return ShownMove(
        item=move.item,
        table=move.ticket,
        dish=move.dish,
        act=move.act,
        nth=nth,
        start_s=move.start_s,
        hands_s=move.hands_s,
        cook=move.cook,
        x_m=move.spot_x_m,
        y_m=move.spot_y_m,
        zone="near",
        to_deg=move.facing_deg,
        by_deg=turned,
        told=move.start_s < at_s + 30,
        first_of_table=first,
        words=move.words,
        hazard=_hazard(house.dishes[move.dish], move.act),
        cautions=(),
    )


def _hazard(dish: DishFile, act: str) -> Hazard | None:
    if act not in ("load", "pull", "move", "flip"):
        return None
    if dish.vessel.kind == "platter":
        return "hot_metal"
    return "fat_flares" if dish.name.lower() in ("wings", "cheese dip") else None


def _stays(house: House, plan: Plan, known: set[str], at_s: float) -> tuple[ShownStay, ...]:
    pairs = [
        (item, stay)
        for item in plan.items
        if item.ticket in known
        for stay in item.stays
        if stay.end_s > at_s
    ]
    return tuple(_stay(house, plan, item.item, item.ticket, item.dish, stay) for item, stay in pairs)


def _stay(house: House, plan: Plan, item: str, table: str, dish: str, stay: OnStone) -> ShownStay:
    facings = [
        move.facing_deg
        for move in plan.moves
        if move.item == item and move.start_s <= stay.start_s and move.facing_deg is not None
    ]
    return ShownStay(
        item=item,
        table=table,
        dish=dish,
        from_s=stay.start_s,
        until_s=stay.end_s,
        x_m=stay.x_m,
        y_m=stay.y_m,
        shape="disc" if stay.diameter_m else "box",
        width_m=stay.diameter_m or stay.width_m or 0.0,
        depth_m=stay.diameter_m or stay.depth_m or 0.0,
        facing_deg=facings[-1] if facings else None,
        tall=house.dishes[dish].tall,
    )


def _landing(plan: Plan, land: Landing) -> ShownLanding:
    plates = tuple(_plate(plan, key) for key in land.items)
    drops = sum(one.ticket == land.ticket and one.course == land.course for one in plan.landings)
    return ShownLanding(
        table=land.ticket,
        course=land.course,
        drop=land.drop,
        drops=drops,
        covers=land.covers,
        wanted_s=land.wanted_s,
        planned_s=land.planned_s,
        first_told_s=land.wanted_s,
        honest_s=60.0 * -(-land.planned_s // 60),
        holds=0.86,
        plates=plates,
    )


def _plate(plan: Plan, key: str) -> ShownPlate:
    item = next(one for one in plan.items if one.item == key)
    begins = min(move.start_s for move in plan.moves if move.item == key)
    return ShownPlate(key, item.dish, begins, item.stays[0].start_s, item.stays[-1].end_s, item.ready_s)


def _probes(house: House, plan: Plan, known: set[str], at_s: float) -> tuple[ShownProbe, ...]:
    wanted = [(one, _core(house.dishes[one.dish])) for one in plan.items if one.ticket in known]
    return tuple(
        ShownProbe(one.item, one.ticket, one.dish, core, one.stays[-1].end_s - 20, None, None)
        for one, core in wanted
        if core is not None and one.dish != "pizza" and one.stays[-1].end_s > at_s
    )


def _fire(plan: Plan, at_s: float) -> ShownFire:
    level = [change.level for change in plan.flame if change.start_s <= at_s][-1]
    names = [change.level for change in plan.flame]
    changes = []
    for number, change in enumerate(plan.flame):
        if change.start_s > at_s:
            up = change.power_W > plan.flame[number - 1].power_W
            changes.append(ShownFlameChange(change.start_s, names[number], up))
    nearest = min(plan.oven.maps, key=lambda one: abs(one.time_s - at_s))
    floor = tuple(
        ShownFloor(time, zone)
        for time, zone in zip(plan.oven.times_s, plan.oven.zone_C, strict=True)
        if at_s - 60 < time <= at_s + 1800
    )
    return ShownFire(level, None, floor, tuple(changes[:3]), nearest.floor_C, None, None)


if __name__ == "__main__":
    main(*sys.argv[1:])
