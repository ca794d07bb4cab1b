"""The running plan and the facts as screens draw them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from hearthtide.house.models import DishFile, House
from hearthtide.house.places import Spot
from hearthtide.planning.live import Slip
from hearthtide.planning.orders import course_key, course_of
from hearthtide.planning.plan import Move
from hearthtide.planning.problem import Booked, Placed, Stay
from hearthtide.planning.report import chores_of, moves_of
from hearthtide.planning.told import TOLD_S
from hearthtide.safety.cautions import cautions_for
from hearthtide.safety.separation import act_words
from hearthtide.service.dangers import way_out_of
from hearthtide.service.facts import Facts, LivePlate
from hearthtide.service.follow import Live, is_open, nth_acts
from hearthtide.service.shown import (
    Hazard,
    Shown,
    ShownFire,
    ShownForced,
    ShownLanding,
    ShownMove,
    ShownPlanner,
    ShownPlate,
    ShownProbe,
    ShownSlip,
    ShownStay,
)

BACK_S = 900  # acts done longer ago are not drawn any more; own choice
Written = dict[str, list[Move]]  # a plate's moves in the cook's words
FORCED: dict[str, Literal["parked", "early", "overrun"]] = {
    "parked": "parked",
    "early": "early",
    "overrun": "overrun",
}
AT_MOUTH = frozenset({"launch", "load", "turn", "spin", "flip", "move", "pull"})


@dataclass(frozen=True)
class Landed:
    """What is known of a landing beside the plan: first told, the minute to tell, how often it holds."""

    first_told_s: float
    honest_s: float
    holds: float | None


def shown(
    house: House,
    live: Live,
    facts: Facts,
    seq: int,
    planner: ShownPlanner,
    fire: ShownFire,
    landed: Mapping[str, Landed],
    slips: Iterable[Slip],
    left_out: tuple[str, ...],
) -> Shown:
    """All that a screen draws, at the running plan's own second."""
    booked, now_s = live.running.schedule.booked, live.running.now_s
    written = _written(house, live)
    open_ = [b for b in booked if is_open(b, facts)]
    return Shown(
        seq=seq,
        now_s=float(now_s),
        planner=planner,
        moves=left_to_do(facts, _moves(house, live, facts, written)),
        stays=tuple(s for b in booked for p in b.placed for s in _stays(house, live, p, written)),
        landings=_landings(open_, facts, landed),
        probes=tuple(sorted(_probes(house, open_, facts, now_s), key=lambda p: p.at_s)),
        fire=fire,
        slips=tuple(ShownSlip(s.ticket, _course(s.course), s.was_s, s.is_s) for s in slips),
        forced=tuple(ShownForced(r.item, FORCED[r.kind], r.seconds) for r in live.running.schedule.recourse),
        left_out=left_out,
    )


EMPTYING = frozenset({"pull", "cut"})  # acts that are left while nothing new goes in


def left_to_do(facts: Facts, moves: tuple[ShownMove, ...]) -> tuple[ShownMove, ...]:
    """The moves there are in danger: what takes food out, or none where everybody goes out."""
    if not facts.dangers:
        return moves
    found = way_out_of(facts, burns_gas=True, now_s=0.0)
    assert found is not None
    return tuple(m for m in moves if m.act in EMPTYING) if found.plans == "emptying the oven" else ()


def _course(key: str) -> int:
    return int(key.partition(".")[2] or 1)


def _written(house: House, live: Live) -> Written:
    moves = moves_of(house, live.running.problem.places, live.running.schedule)
    found: Written = {}
    for move in moves:
        found.setdefault(move.item, []).append(move)
    return found


def _moves(house: House, live: Live, facts: Facts, written: Written) -> tuple[ShownMove, ...]:
    schedule, now_s = live.running.schedule, live.running.now_s
    places = live.running.problem.places
    begun = {t.table for t in facts.tickets if any(p.begun for p in t.plates)}
    firsts = _first_acts(schedule.booked)
    found = []
    for placed in (p for b in schedule.booked for p in b.placed):
        plate = facts.plate(placed.item.key)
        for nth, act in nth_acts(placed):
            if act.start_s < now_s - BACK_S:
                continue
            own = written[placed.item.key]
            move = next(m for m in own if (m.act, m.start_s) == (act.act, act.start_s))
            zones = {(places.spots[s.place].x_m, places.spots[s.place].y_m): s.place for s in placed.stays}
            first = placed.item.ticket not in begun and (placed.item.key, act.start_s) in firsts
            at = None
            if move.spot_x_m is not None and move.spot_y_m is not None:
                at = zones.get((move.spot_x_m, move.spot_y_m))
            zone = "" if at is None else places.spots[at].zone
            found.append(_move(house, move, nth, zone, placed, plate, now_s, first))
    found += _chores(house, live)
    return tuple(sorted(found, key=lambda m: (m.start_s, m.item)))


def _first_acts(booked: Iterable[Booked]) -> set[tuple[str, int]]:
    """Each table's first act on the hearth, by plate and second."""
    first: dict[str, tuple[int, str]] = {}
    for placed in (p for b in booked for p in b.placed):
        table, at = placed.item.ticket, (placed.stays[0].start_s, placed.item.key)
        first[table] = min(at, first.get(table, at))
    return {(key, start_s) for start_s, key in first.values()}


def _move(
    house: House,
    move: Move,
    nth: int,
    zone: str,
    placed: Placed,
    plate: LivePlate | None,
    now_s: int,
    first: bool,
) -> ShownMove:
    dish = house.dishes[placed.item.dish]
    allergy = () if plate is None else plate.allergy
    cautions = (
        *act_words(move.act, allergy, dish.vessel.kind),
        *cautions_for(move.act, dish, house.own_fatty),
    )
    return ShownMove(
        item=move.item,
        table=move.ticket,
        dish=move.dish,
        act=move.act,
        nth=nth,
        start_s=float(move.start_s),
        hands_s=float(move.hands_s),
        cook=move.cook,
        x_m=move.spot_x_m,
        y_m=move.spot_y_m,
        zone=zone,
        to_deg=move.facing_deg,
        by_deg=_turned(placed, move),
        told=move.start_s < now_s + TOLD_S,
        first_of_table=first,
        words=move.words,
        hazard=_hazard(move, dish, allergy, house.own_fatty),
        cautions=cautions,
    )


def _turned(placed: Placed, move: Move) -> float:
    if move.act not in ("turn", "spin"):
        return 0.0
    act = next(h for h in placed.handlings if (h.act, h.start_s) == (move.act, move.start_s))
    stage = placed.item.stages[max(0, act.stage)]
    turns = sum(handle.act == "turn" for handle in stage.handles)
    return 90.0 if move.act == "spin" else 360.0 / (turns + 1)


def _hazard(move: Move, dish: DishFile, allergy: tuple[str, ...], own_fatty: frozenset[str]) -> Hazard | None:
    """The one hazard worth a word at an act, the gravest first; heat at the mouth goes without saying."""
    if allergy:
        return "allergy"
    if move.act not in AT_MOUTH:
        return None
    if dish.raw and move.act in ("launch", "load"):
        return "raw_juices"
    if dish.vessel.kind == "stone":
        return None
    fat = any("Fat" in words for words in cautions_for(move.act, dish, own_fatty))
    return "fat_flares" if fat else "hot_metal"


def _chores(house: House, live: Live) -> list[ShownMove]:
    """Acts that are no plate's: the flame, and clearing what was spoiled."""
    running = live.running
    chores = chores_of(house, running.problem, running.schedule)
    return [
        _chore(f"-{n}", m, running.now_s) for n, m in enumerate(chores) if m.start_s >= running.now_s - BACK_S
    ]


def _chore(item: str, move: Move, now_s: int) -> ShownMove:
    return ShownMove(
        item=item,
        table="",
        dish="",
        act=move.act,
        nth=1,
        start_s=float(move.start_s),
        hands_s=float(move.hands_s),
        cook=move.cook,
        x_m=None,
        y_m=None,
        zone="",
        to_deg=None,
        by_deg=0.0,
        told=move.start_s < now_s + TOLD_S,
        first_of_table=False,
        words=move.words,
        hazard="flame" if move.act == "flame" else "hot_metal",
        cautions=(),
    )


def _stays(house: House, live: Live, placed: Placed, written: Written) -> Iterable[ShownStay]:
    running = live.running
    for stay in placed.stays:
        if stay.held_until_s >= running.now_s - BACK_S:
            spot = running.problem.places.spots[stay.place]
            own = [m for m in written[placed.item.key] if (m.spot_x_m, m.spot_y_m) == (spot.x_m, spot.y_m)]
            yield _stay(house, spot, placed, stay, own, running.now_s)


def _stay(house: House, spot: Spot, placed: Placed, stay: Stay, own: list[Move], now_s: int) -> ShownStay:
    outline = spot.outline
    done = [m.facing_deg for m in own if m.start_s <= now_s]
    disc = outline.is_disc
    return ShownStay(
        item=placed.item.key,
        table=placed.item.ticket,
        dish=placed.item.dish,
        from_s=float(stay.start_s),
        until_s=float(stay.held_until_s),
        x_m=spot.x_m,
        y_m=spot.y_m,
        shape="disc" if disc else "box",
        width_m=2 * outline.radius_m if disc else outline.width_m,
        depth_m=2 * outline.radius_m if disc else outline.depth_m,
        facing_deg=(done or [m.facing_deg for m in own][:1] or [None])[-1],
        tall=house.dishes[placed.item.dish].tall,
    )


def _landings(booked: list[Booked], facts: Facts, landed: Mapping[str, Landed]) -> tuple[ShownLanding, ...]:
    drops = Counter(course_key(b.order) for b in booked)
    seen: Counter[str] = Counter()
    found = []
    for one in sorted(booked, key=lambda b: b.landing_s):
        order, course = one.order, course_key(one.order)
        seen[course] += 1
        told = landed.get(order.key) or Landed(one.landing_s, -(-one.landing_s // 60) * 60, None)
        ticket = facts.ticket(order.ticket)
        found.append(
            ShownLanding(
                table=order.ticket,
                course=course_of(order),
                drop=seen[course],
                drops=drops[course],
                covers=0 if ticket is None else ticket.covers,
                wanted_s=float(order.wanted_s),
                planned_s=float(one.landing_s),
                first_told_s=float(told.first_told_s),
                honest_s=float(told.honest_s),
                holds=told.holds,
                plates=tuple(map(_plate, one.placed)),
            )
        )
    return tuple(found)


def _plate(placed: Placed) -> ShownPlate:
    return ShownPlate(
        item=placed.item.key,
        dish=placed.item.dish,
        begins_s=float(min(h.start_s for h in placed.handlings)),
        in_s=float(placed.stays[0].start_s),
        out_s=float(placed.leave_s),
        ready_s=float(placed.ready_s),
    )


def _probes(house: House, booked: list[Booked], facts: Facts, now_s: int) -> Iterable[ShownProbe]:
    """Plates on the hearth or about to be whose end a core decides, with the last reading of each."""
    for placed in (p for b in booked for p in b.placed):
        wants_C = house.dishes[placed.item.dish].stages[-1].until.core
        if wants_C is None or placed.leave_s < now_s - TOLD_S:
            continue
        own = [t for t in facts.readings if t.reading.item == placed.item.key and t.reading.of == "core"]
        yield ShownProbe(
            item=placed.item.key,
            table=placed.item.ticket,
            dish=placed.item.dish,
            wants_C=wants_C,
            at_s=float(placed.leave_s),
            last_C=own[-1].reading.temperature_C if own else None,
            last_s=own[-1].at_s if own else None,
        )
