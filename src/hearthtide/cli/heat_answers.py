"""`hearthtide heat --answer`: a question a cook has of the oven, answered in words, JSON and a picture."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

import numpy as np
from rich.markup import escape

from hearthtide.cli import heat_pictures as pictures
from hearthtide.cli.heat_after import (
    PRIORS,
    fire_body,
    fire_name,
    fire_text,
    length_text,
    minutes_text,
    rows_of,
    spent_on,
    tell_fuel,
    tell_left,
    tell_where,
)
from hearthtide.cli.heat_asked import (
    AHEAD_MIN,
    ANSWERS,
    Asked,
    Case,
    Told,
    bad,
    case_of,
    check_asked,
    check_on_oven,
    feeding_of,
)
from hearthtide.cli.heat_fed import Spent, spent_lines
from hearthtide.cli.picture_file import write_picture
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.house.files import oven_design, read_house
from hearthtide.house.places import Outline, Spot
from hearthtide.oven.answers import (
    MOST_READY_S,
    Course,
    course,
    holding_power_W,
    ready,
    stone_C,
    usable_again,
)
from hearthtide.oven.footprint import Disc
from hearthtide.oven.grid import NOMINAL
from hearthtide.oven.model import build_oven
from hearthtide.oven.program import Placed
from hearthtide.planning.draw import BARE_BASE_C, BARE_TOP_C, BARE_W_m2K
from hearthtide.planning.places import bits, enumerate_places
from hearthtide.ranges import Array

PIZZA = Outline(0.0, 0.0, 0.15)  # a disc of 30 cm, clear of the flame by as much (common practice, no source)
SOAKED_K = 30.0  # how far below its face stone half way down may lie and count as soaked (own choice)
NO_READING = "These are the models' figures with assumed coefficients, not readings of your oven."


def run_answer(folder: Path, json: bool, asked: Asked) -> None:
    """Answer one question; InputError names what cannot be asked."""
    check_asked(asked)
    house = read_house(folder)
    design = oven_design(house)
    check_on_oven(asked, design)
    fed = feeding_of(asked, house, design)
    with progress() as tell:
        oven = build_oven(design, NOMINAL)
        told = TELL[asked.answer or ""](case_of(house, oven, asked, fed, lambda share: tell("oven", share)))
        if asked.picture is not None:
            tell("pictures", 0.0)
            write_picture(told.picture(), asked.picture, "heat")
    if json:
        print_json("heat", {"house": house.file.name, "answer": asked.answer, **told.body})
        return
    for line in (*told.lines, NO_READING):
        out.print(line)


def _ready(case: Case) -> Told:
    asked = ready(case.oven, case.state, case.fire(MOST_READY_S), case.aim_C, case.tell)
    ready_s, found = asked.ready_s, asked.course
    end_s = float(found.times_s[-1])
    span_s = end_s if ready_s is None else max(1800.0, 1.4 * end_s)
    run = case.burn(case.oven, span_s, on_progress=case.tell)
    bounds = case.spread(lambda v: case.burn(v, span_s).stone_C)
    late_s, soon_s = (_first_s(run, bound, case.aim_C) for bound in bounds)
    inner_C = float(found.inner_C[-1])
    spent = spent_on(case, end_s if ready_s is None else ready_s, found.ledger)
    lines = [f"[bold]Ready[/] at {case.aim_C:.0f} °C, {fire_text(case)}, {case.begun}:"]
    if ready_s is None:
        lines.append(f"  not within {end_s / 3600:.0f} h; {_comes_to(case, found)}.")
    else:
        lines.append(f"  after {minutes_text(ready_s)} ({_between(soon_s, late_s, span_s)}).")
        soaked = "soaked" if inner_C > case.aim_C - SOAKED_K else "not yet soaked"
        lines.append(f"  Half way down its hot layer the stone is at {inner_C:.0f} °C then: {soaked}.")
    body = {
        **fire_body(case, span_s),
        "begun": case.begun,
        "aim_C": case.aim_C,
        "ready_s": ready_s,
        "soonest_s": soon_s,
        "latest_s": late_s,
        "inner_C": round(inner_C, 1),
        **_fuel_body(case, spent),
        "rows": rows_of(run, bounds),
    }
    lines += [] if spent is None else spent_lines(spent, case.asked.price)
    return Told(body, [*lines, PRIORS], lambda: pictures.heat_up(case.house, run, bounds, ready_s))


def _comes_to(case: Case, run: Course) -> str:
    """How far it gets: where it ends under a flame, its hottest moment under wood that burns away."""
    if case.fed is None:
        return f"it comes to {run.stone_C[-1]:.0f} °C"
    hottest = int(np.argmax(run.stone_C))
    return f"it comes to {run.stone_C[hottest]:.0f} °C at most, after {minutes_text(run.times_s[hottest])}"


def _fuel_body(case: Case, spent: Spent | None) -> dict[str, object]:
    return {} if spent is None else {"fuel": {**asdict(spent), "price": case.asked.price}}


def _ahead(case: Case) -> Told:
    minutes = case.asked.minutes or AHEAD_MIN
    span_s = 60 * minutes
    placed = _pizzas(case, span_s)
    run = case.burn(case.oven, span_s, placed)
    bounds = case.spread(lambda v: case.burn(v, span_s, placed).stone_C)
    spent = spent_on(case, span_s, run.ledger)
    on = f"pizzas always on it: {len(placed)}" if placed else "nothing on it"
    lines = [
        f"[bold]The stone in the next {minutes:.0f} min[/], {fire_text(case)}, {on}; {case.begun}:",
        "  after      working stone          near the flame",
    ]
    for i, (low, high) in enumerate(zip(*bounds, strict=True)):
        near = f"{run.near_C[i]:8.0f} °C at most" if np.isfinite(run.near_C[i]) else ""
        stone = f"{run.stone_C[i]:5.0f} °C ({low:.0f} to {high:.0f})"
        lines.append(f"  {run.times_s[i] / 60:3.0f} min  {stone:>24}  {near}")
    body = {
        **fire_body(case, span_s),
        "begun": case.begun,
        "pizzas": len(placed),
        **_fuel_body(case, spent),
        "rows": rows_of(run, bounds),
    }
    lines += [] if spent is None else spent_lines(spent, case.asked.price)
    title = f"The stone in the next {minutes:.0f} min, {fire_name(case)}"
    return Told(body, [*lines, PRIORS], lambda: pictures.stone_and_near(case.house, run, bounds, title))


def _hold(case: Case) -> Told:
    oven, aim_C = case.oven, case.aim_C
    found = holding_power_W(oven, case.state, aim_C, case.tell)
    nearest = f"nearest named flame: {escape(found.level.name)}, {found.level.power_W / 1000:.1f} kW"
    lines = [f"[bold]What holds {aim_C:.0f} °C[/] over the next 40 min, {case.begun}:"]
    if found.power_W is None:
        why = "the stone stays above it without any flame" if found.too_hot else "not even the top flame"
        lines.append(f"  {why}; after 40 min it stands at {found.course.stone_C[-1]:.0f} °C.")
        shown_W = 0.0 if found.too_hot else found.level.power_W
    else:
        shown_W = found.power_W
        lines.append(f"  {found.power_W / 1000:.1f} kW{length_text(found.flame_m)}.")
    lines.append(
        f"  {nearest}{length_text(found.level_flame_m)}: it leaves the stone at {found.end_C:.0f} °C."
    )
    bounds = case.spread(lambda v: course(v, case.state, shown_W, 2400.0).stone_C)
    body = {
        "begun": case.begun,
        "aim_C": aim_C,
        "power_W": None if found.power_W is None else round(found.power_W, 1),
        "flame_m": None if found.flame_m is None else round(found.flame_m, 3),
        "too_hot": found.too_hot,
        "level": found.level.name,
        "level_power_W": found.level.power_W,
        "level_flame_m": round(found.level_flame_m, 3),
        "level_end_C": round(found.end_C, 1),
        "rows": rows_of(found.course, bounds),
    }
    title = f"The stone at {shown_W / 1000:.1f} kW"
    return Told(
        body, [*lines, PRIORS], lambda: pictures.stone_and_near(case.house, found.course, bounds, title)
    )


def _turndown(case: Case) -> Told:
    oven, asked, up = case.oven, case.asked, case.flame
    to = oven.design.levels[0] if asked.to is None else oven.design.level(asked.to)
    if to.power_W >= up.power_W:
        raise bad("to", to.name, f"a flame below {up.name}", "Name a lower one.", "oven.yaml")
    limit_C = case.house.oven.floor_band.high if asked.limit_C is None else asked.limit_C
    state, left_up = case.state, 30.0 if asked.minutes is None else asked.minutes
    if asked.stone_C is None and left_up > 0:
        state = course(oven, state, up.power_W, 60 * left_up).state
    else:
        left_up = 0.0
    hot_C = stone_C(oven, state)
    found = usable_again(oven, state, up.power_W, to.power_W, limit_C)
    span_s, at_s = float(found.turned.times_s[-1]), found.turned.times_s
    bounds = case.spread(lambda v: course(v, state, to.power_W, span_s, 60.0).stone_C)
    lines = [
        f"[bold]Turned down[/] from {escape(up.name)} to {escape(to.name)}, {to.power_W / 1000:.1f} kW; "
        f"{case.begun}{f', then {left_up:.0f} min of {escape(up.name)}' if left_up else ''}; "
        f"the stone stands at {hot_C:.0f} °C:",
        f"  half of the pizza spots are below {limit_C:.0f} °C {_after(found.half_s)}, "
        f"all {_after(found.all_s)}.",
        f"  Left up, the stone would stand at {found.kept.stone_C[-1]:.0f} °C by then.",
    ]
    body = {
        "begun": case.begun,
        "from": up.name,
        "to": to.name,
        "left_up_min": left_up,
        "start_C": round(hot_C, 1),
        "limit_C": limit_C,
        "half_s": found.half_s,
        "all_s": found.all_s,
        "kept_C": round(float(found.kept.stone_C[-1]), 1),
        "rows": rows_of(found.turned, bounds),
    }
    moments = {"half usable": found.half_s, "all usable": found.all_s}
    both = (found.turned.stone_C, found.kept.stone_C)
    return Told(
        body,
        [*lines, PRIORS],
        lambda: pictures.turned_down(case.house, at_s, both, bounds, moments, (up.name, to.name)),
    )


TELL: dict[str, Callable[[Case], Told]] = dict(
    zip(ANSWERS, (_ready, _ahead, _hold, _turndown, tell_left, tell_fuel, tell_where), strict=True)
)


def _pizzas(case: Case, span_s: float) -> tuple[Placed, ...]:
    """So many discs of 30 cm on the working stone all the time, each spot's next one following at once."""
    wanted = case.asked.pizzas or 0
    places = enumerate_places(case.oven.design, case.house.file.zones, (PIZZA,))
    free = places.mask(PIZZA, ("near", "mid", "edge"), 0.30)
    chosen: list[Spot] = []
    for p in bits(free):
        if len(chosen) < wanted and free >> p & 1:
            chosen.append(places.spots[p])
            free &= ~places.conflicts[p]
    if len(chosen) < wanted:
        most = f"at most {len(chosen)}: more do not fit side by side 30 cm from the flame"
        raise bad("pizzas", str(wanted), most, "Ask for fewer.")
    return tuple(
        Placed(Disc(s.x_m, s.y_m, 0.30), 0.0, span_s, BARE_W_m2K, BARE_BASE_C, BARE_TOP_C) for s in chosen
    )


def _first_s(run: Course, values: Array, aim_C: float) -> float | None:
    """When values first reach the aim, between two times by straight interpolation."""
    at = int(np.argmax(values >= aim_C))
    if values[at] < aim_C:
        return None
    return float(np.interp(aim_C, values[max(at - 1, 0) : at + 1], run.times_s[max(at - 1, 0) : at + 1]))


def _after(time_s: float | None) -> str:
    return (
        "not within 6 h" if time_s is None else "at once" if time_s <= 0 else f"after {minutes_text(time_s)}"
    )


def _between(soon_s: float | None, late_s: float | None, span_s: float) -> str:
    soon = "?" if soon_s is None else minutes_text(soon_s)
    return f"{soon} to {'over ' + minutes_text(span_s) if late_s is None else minutes_text(late_s)}"
