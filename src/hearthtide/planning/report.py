"""Puts a plan together from the schedule and what the verifier saw."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from hearthtide.house.models import DishFile, House, NightFile
from hearthtide.house.oven_design import hearth_of
from hearthtide.planning.beside import compare
from hearthtide.planning.checker import check_moves
from hearthtide.planning.checker_stages import check_stages
from hearthtide.planning.flame import FlamePlan
from hearthtide.planning.judge import comment, house_timed, model_checks
from hearthtide.planning.limits import binding_limit
from hearthtide.planning.money import schedule_parts
from hearthtide.planning.orders import allergy_words, course_key, course_of
from hearthtide.planning.places import Places
from hearthtide.planning.plan import (
    FlameChange,
    ItemReport,
    ItemTrack,
    Landing,
    Move,
    OnStone,
    OvenTrack,
    Plan,
)
from hearthtide.planning.problem import Booked, Placed, Problem, Schedule, Stay, rest_s
from hearthtide.planning.verify import ItemSeen, Seen, Verifier, turn_deg
from hearthtide.planning.ways_out import Stove
from hearthtide.planning.words import move_words, side_words
from hearthtide.planning.worth import worth_of
from hearthtide.safety.cautions import HOUSE_CAUTIONS
from hearthtide.safety.rule_sets import chosen_words


@dataclass(frozen=True)
class Night:
    """Everything a plan is put together from; without a `stove` no way out by the flame is tried."""

    house: House
    night: NightFile
    problem: Problem
    schedule: Schedule
    flame: FlamePlan
    seen: Seen
    verifier: Verifier
    stove: Stove | None = None


def assemble(ran: Night, figures: dict[str, float], seed: int) -> Plan:
    """The plan, checked by the independent checker and by the models."""
    house, night, schedule, seen = ran.house, ran.night, ran.schedule, ran.seen
    places = ran.problem.places
    moves = tuple(sorted(moves_of(house, places, schedule), key=lambda m: (m.start_s, m.item)))
    landings = _landings(night, ran.problem, schedule)
    items = tuple(
        _item(house, ran.problem, p, seen.items[p.item.key]) for b in schedule.booked for p in b.placed
    )
    checks = check_moves(house, night, moves, landings, items) + check_stages(house, moves, items)
    return Plan(
        house=house.file.name,
        night=night.name,
        moves=moves,
        flame=flame_changes(ran.flame, max(landing.planned_s for landing in landings)),
        landings=landings,
        items=items,
        checks=checks + model_checks(house, schedule, seen, round(night.doors)),
        figures=figures | _figures(ran),
        cautions=(chosen_words(house.file.chosen_rules), *HOUSE_CAUTIONS, *allergy_words(house, night)),
        comparison=compare(house, ran.problem, schedule, seen),
        limit=binding_limit(ran.problem, schedule, seed, ran.stove, house.file.weights),
        oven=_oven(ran),
        worth=worth_of(schedule_parts(ran.problem, schedule), seen.fuel_J, house.file.weights),
    )


def flame_changes(flame: FlamePlan, until_s: int) -> tuple[FlameChange, ...]:
    """The flame plan up to the last landing, in a cook's words."""
    changes = []
    before: float | None = None
    for held in (h for h in flame.held if h.start_s <= until_s):
        power = held.level.power_W
        way = "light, set" if before is None else "flame up" if power > before else "flame down"
        changes.append(FlameChange(held.start_s, held.level.name, power, f"{way} to {held.level.name}"))
        before = power
    return tuple(changes)


def moves_of(house: House, places: Places, schedule: Schedule) -> list[Move]:
    """Every act of every item of a schedule, item by item, in the cook's words."""
    cooks = [cook.name for cook in house.file.cooks]
    alike = Counter((p.item.ticket, p.item.dish) for b in schedule.booked for p in b.placed)
    return [
        move
        for booked in schedule.booked
        for placed in booked.placed
        for move in _item_moves(house, places, placed, cooks, alike[placed.item.ticket, placed.item.dish] > 1)
    ]


def chores_of(house: House, problem: Problem, schedule: Schedule) -> list[Move]:
    """The acts that are no plate's, such as the flame's, in the words of the nearest chore of their kind."""
    found = []
    for done in schedule.chores:
        alike = [chore for chore in problem.chores if chore.act == done.act]
        words = min(alike, key=lambda c: abs(c.wanted_s - done.start_s)).words if alike else done.act
        cook = house.file.cooks[done.cook].name
        found.append(Move(done.start_s, done.hands_s, cook, done.act, "", "", "", None, None, None, words))
    return found


def _item_moves(house: House, places: Places, placed: Placed, cooks: list[str], twins: bool) -> list[Move]:
    """One item's moves in order; its leading edge goes in toward the flame and is turned from there.

    With `twins`, another of the same dish for the same table, the words say which one each time.
    """
    item, moves, turned, here = placed.item, [], 0.0, None
    name, hearth = house.dishes[item.dish].name, hearth_of(house.oven)
    for handling in placed.handlings:
        act, by = handling.act, 0.0
        if act in ("launch", "move"):
            here = places.spots[placed.stays[handling.stage].place]
        if act in ("turn", "spin"):
            by = turn_deg(placed, act, handling.stage)
            turned += by
        at = None if act in ("dress", "cut") else here
        told = at is not None and (twins or act in ("launch", "move"))
        where = side_words(at, hearth) if at is not None and told else ""
        zone = "" if here is None else here.zone
        moves.append(
            Move(
                start_s=handling.start_s,
                hands_s=handling.hands_s,
                cook=cooks[handling.cook],
                act=act,
                item=item.key,
                dish=item.dish,
                ticket=item.ticket,
                spot_x_m=None if at is None else at.x_m,
                spot_y_m=None if at is None else at.y_m,
                facing_deg=None if at is None else (at.flame_bearing_deg + turned) % 360.0,
                words=move_words(act, item.ticket, name, where, zone, by),
            )
        )
    return moves


def _landings(night: NightFile, problem: Problem, schedule: Schedule) -> tuple[Landing, ...]:
    """Every landing, a course's drops numbered as they land."""
    drops: Counter[str] = Counter()
    landings = []
    for booked in sorted(schedule.booked, key=lambda b: b.landing_s):
        course = course_key(booked.order)
        drops[course] += 1
        landings.append(_landing(night, problem, booked, drops[course]))
    return tuple(landings)


def _landing(night: NightFile, problem: Problem, booked: Booked, drop: int) -> Landing:
    order = booked.order
    covers = next(t.covers for t in night.tickets if t.table == order.ticket)
    dress = problem.act_s["dress"]
    longest = max(item.shortest_s + dress * item.dressed for item in order.items)
    return Landing(
        ticket=order.ticket,
        drop=drop,
        covers=covers,
        called_s=order.called_s,
        wanted_s=order.wanted_s,
        planned_s=booked.landing_s,
        earliest_s=order.called_s + longest + problem.plating_s,
        spread_s=booked.spread_s,
        items=tuple(p.item.key for p in booked.placed),
        course=course_of(order),
        wished_drops=order.wished_drops,
    )


def _item(house: House, problem: Problem, placed: Placed, seen: ItemSeen) -> ItemReport:
    dish = house.dishes[placed.item.dish]
    vessel = dish.vessel
    return ItemReport(
        item=placed.item.key,
        dish=placed.item.dish,
        ticket=placed.item.ticket,
        diameter_m=vessel.diameter,
        width_m=vessel.width,
        depth_m=vessel.depth,
        stays=tuple(_on_stone(problem, placed, stay) for stay in placed.stays),
        ready_s=placed.ready_s,
        minutes_from=_minutes_from(dish),
        core_C_at_pull=seen.core_C_at_pull,
        core_C_at_landing=seen.core_C_at_landing,
        colour_step=seen.colour.mean,
        colour_least=min(seen.colour.sectors),
        colour_most=max(seen.colour.sectors),
        bottom_colour=seen.colour.bottom,
        burn_margin_s=seen.burn_margin_s,
        weight_loss=seen.weight_loss,
        stone_C_at_launch=seen.stages[0].stone_C_in,
        stone_C_at_pull=seen.stages[-1].stone_C_out,
        comment=comment(house, dish, seen),
        track=ItemTrack(seen.times_s, seen.cores_C, seen.colours),
    )


def _minutes_from(dish: DishFile) -> str:
    if house_timed(dish):
        return "house"
    return "models" if all(s.minutes is None for s in dish.stages) else "house and models"


def _on_stone(problem: Problem, placed: Placed, stay: Stay) -> OnStone:
    spot = problem.places.spots[stay.place]
    outline = spot.outline
    disc = outline.is_disc
    return OnStone(
        start_s=stay.start_s,
        end_s=stay.held_until_s,
        x_m=spot.x_m,
        y_m=spot.y_m,
        diameter_m=2 * outline.radius_m if disc else None,
        width_m=None if disc else outline.width_m,
        depth_m=None if disc else outline.depth_m,
        rest_s=rest_s(problem, placed.item, stay),
    )


def _oven(ran: Night) -> OvenTrack:
    oven, seen = ran.verifier.oven, ran.seen
    return OvenTrack(
        times_s=seen.times_s,
        zone_C=seen.zone_C,
        dome_C=seen.dome_C,
        power_W=tuple(ran.flame.power_W(t) for t in seen.times_s),
        cells_m=tuple((float(x), float(y)) for x, y in oven.cells_m),
        cell_side_m=float(oven.cell_area_m2**0.5),
        maps=seen.maps,
    )


def _figures(ran: Night) -> dict[str, float]:
    schedule, seen, night = ran.schedule, ran.seen, ran.night
    served = [c for t, c in zip(seen.times_s, seen.zone_C, strict=True) if t >= night.doors]
    late = [max(0, b.late_s) for b in schedule.booked]
    return {
        "covers": float(sum(t.covers for t in night.tickets)),
        "tickets": float(len(night.tickets)),
        "items": float(len(seen.items)),
        "places": float(len(ran.problem.places.spots)),
        "cost_s": round(schedule.cost, 1),
        "late_max_s": float(max(late)),
        "late_total_s": float(sum(late)),
        "floor_low_C": round(min(served), 1),
        "floor_high_C": round(max(served), 1),
        "floor_ready_s": float(ran.flame.ready_s or 0),
        "fuel_MJ": round(seen.fuel_J / 1e6, 1),
        "oven_steps": float(seen.steps),
    }
