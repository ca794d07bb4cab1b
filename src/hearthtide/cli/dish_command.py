"""`hearthtide dish`: what the models make of one dish at each kind of place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from statistics import NormalDist

from rich.markup import escape

from hearthtide.cli.dish_acts import acts_body, acts_lines, map_body
from hearthtide.cli.dish_asked import Asked, check_asked, house_asked, named_dish, readings_of, stage_read
from hearthtide.cli.dish_pictures import draw
from hearthtide.cli.dish_spot import spot_asked
from hearthtide.cli.dish_tried import HORIZON_S, Case, Left, Parts, Tried, everywhere, follow, try_dish
from hearthtide.cli.shared import TEMP_IT, out, print_json, progress
from hearthtide.food.band import HIGH, Doubt
from hearthtide.house.files import oven_design, read_house
from hearthtide.house.models import DishFile
from hearthtide.planning.banded import turned_to
from hearthtide.planning.build import house_outlines
from hearthtide.planning.dish_course import DishCourse
from hearthtide.planning.hearth_map import StageSpots
from hearthtide.planning.places import enumerate_places
from hearthtide.planning.settled import settled
from hearthtide.quantities.show import duration_text
from hearthtide.safety.cautions import cautions_for
from hearthtide.safety.rule_sets import chosen_words

SHOWN, EDGE = Doubt(), NormalDist().inv_cdf(HIGH)  # what the members are drawn from, and a band's edge
BAND = (
    "In brackets, from the lower to the higher figure: of the likely thicknesses, starts, contacts, stones "
    "and fires a tenth lies beyond it on either side. What the model itself has wrong is not in it."
)


def run_dish(folder: Path, key: str, json: bool, asked: Asked | None = None) -> bool:
    """Print the dish; True when every stage can be done somewhere and no reading contradicts them all."""
    asked = asked or Asked()
    check_asked(asked)
    readings = readings_of(asked)
    house = read_house(folder)
    named_dish(house, key)
    read = stage_read(asked, house.dishes[key])
    house = house_asked(house, key, asked)
    design = oven_design(house)
    places = enumerate_places(design, house.file.zones, house_outlines(house))
    spot = spot_asked(asked, house, key, design, places)
    with progress() as tell:
        oven, moment = settled(house, lambda share: tell("oven", share))
        if asked.flame is not None:
            moment = turned_to(oven, moment, oven.design.level(asked.flame).power_W)
        case = Case(house, oven, moment, key, places, readings, read, spot)
        tried = try_dish(case, lambda share: tell("response", share))
        ran = follow(case)
        spots = everywhere(case, ran, lambda share: tell("map", share)) if ran and asked.map else []
        course = None if ran is None else ran.course
        if asked.picture or asked.map:
            tell("pictures", 0.0)
            draw(case, asked, course, spots)
    if json:
        print_json("dish", _body(case, tried, course, spots))
    else:
        _print(case, asked, tried, course)
    told = [t.left for t in tried if t.left is not None]
    return _done(case, tried) and not (told and all(left.contradicted for left in told))


def _done(case: Case, tried: list[Tried]) -> bool:
    stages = case.house.dishes[case.key].stages
    return {t.stage for t in tried if t.seconds is not None} == {stage.name for stage in stages}


def _body(
    case: Case, tried: list[Tried], course: DishCourse | None, spots: Sequence[StageSpots]
) -> dict[str, object]:
    dish = case.house.dishes[case.key]
    return {
        "house": case.house.file.name,
        "dish": case.key,
        "start_C": dish.start,
        "flame_W": round(case.moment.power_W),
        "done": _done(case, tried),
        "tried": [asdict(t) for t in tried],
        **({} if course is None else acts_body(course)),
        **({"map": [map_body(stage) for stage in spots]} if spots else {}),
        "cautions": [
            TEMP_IT,
            *cautions_for("pull", dish, case.house.own_fatty),
            chosen_words(case.house.file.chosen_rules),
        ],
    }


def _print(case: Case, asked: Asked, tried: list[Tried], course: DishCourse | None) -> None:
    dish = case.house.dishes[case.key]
    out.print(f"[bold]{escape(dish.name)}[/]  {escape(dish.words)}")
    if asked.start_C is not None or asked.flame is not None:
        flame = "" if asked.flame is None else f", flame {escape(asked.flame)} for the last five minutes"
        out.print(f"From {dish.start:g} °C{flame}.")
    for stage in dish.stages:
        own = "" if stage.minutes is None else f"; the house gives it {duration_text(stage.minutes)}"
        out.print(f"\n[bold]{escape(stage.name)}[/] until {_until(dish, stage.name)}{own}")
        for t in (t for t in tried if t.stage == stage.name):
            out.print(_line(t))
            if t.parts is not None:
                out.print(f"        {_parts(t.parts)}")
            if t.left is not None:
                out.print(f"        {_reading(t.left)}")
    if not _done(case, tried):
        out.print("\n[bold]A stage can be done nowhere on this hearth.[/]")
    if course is not None and case.read is None:  # a reading knows better than what was foreseen without it
        out.print("\n[bold]From launch[/], min:s")
        for line in acts_lines(course):
            out.print(escape(line))
    out.print(f"\n{BAND}")
    whose = ", as this house has them" if case.house.file.colours else ""
    out.print(f"Colour: 1 pale, 2 straw, 3 golden, 4 brown, 5 dark{whose}. {TEMP_IT}")
    for caution in (
        *cautions_for("pull", dish, case.house.own_fatty),
        chosen_words(case.house.file.chosen_rules),
    ):
        out.print(f"[dim]{escape(caution)}[/]")


def _line(t: Tried) -> str:
    away = "" if t.from_flame_m is None else f"{t.from_flame_m * 100:3.0f} cm from the flame, "
    seconds = t.seconds_median if t.narrowed else t.seconds
    time = "not done in 40 min" if seconds is None else duration_text(seconds)
    colours = f"top {t.colour_step:.1f} ({t.colour_low:.1f} to {t.colour_high:.1f})"
    return (
        f"  {t.place:5} {away}stone {t.stone_C:.0f} °C: {time} ({_from_to(t.seconds_low, t.seconds_high)}); "
        f"core {t.core_C:.0f} °C, {colours}, underside {t.bottom_colour:.1f}, {_burns(t)}, "
        f"{t.weight_loss:.0%} lighter"
    )


def _from_to(low_s: int | None, high_s: int | None) -> str:
    low = "over 40 min" if low_s is None else duration_text(low_s)
    if high_s is None:
        return low if low_s is None else f"{low} to over 40 min"
    return f"{low} to {duration_text(high_s)}"


def _parts(parts: Parts) -> str:
    thickness = _from_to(parts.thickness_low_s, parts.thickness_high_s)
    start = _from_to(parts.start_low_s, parts.start_high_s)
    return (
        f"of that the thickness alone ({SHOWN.thickness * EDGE:.0%} either way): {thickness}; "
        f"the start alone ({SHOWN.start_K * EDGE:.0f} °C): {start}"
    )


def _reading(left: Left) -> str:
    read = f"{left.reading_C:.0f} °C at {duration_text(left.after_s)}"
    if left.contradicted:
        way = "above" if left.off_K > 0 else "below"
        return (
            f"[bold]{read} contradicts the models[/]: {abs(left.off_K):.0f} °C {way} the nearest they allow. "
            "Nothing is foretold. Probe the thickest part again, then look at start, thickness and place; or "
            "the models are wrong for this dish: go by the probe."
        )
    middle = "over 40 min" if left.seconds is None else duration_text(left.seconds)
    rough = "; rough: few of the models' runs agree with it" if left.rough else ""
    return f"{read}: [bold]{middle} left[/] ({_from_to(left.seconds_low, left.seconds_high)}{rough})"


def _burns(t: Tried) -> str:
    text = _left(t.burn_margin_s)
    low, high = (
        f"{s:.0f}" if s < HORIZON_S else f"over {HORIZON_S:.0f}"
        for s in (t.burn_margin_low_s, t.burn_margin_high_s)
    )
    return text if low == high else f"{text} ({low} to {high})"


def _left(margin_s: float) -> str:
    if margin_s <= 0:
        return "past dark"
    return f"over {HORIZON_S:.0f} s to burnt" if margin_s >= HORIZON_S else f"{margin_s:.0f} s to burnt"


def _until(dish: DishFile, name: str) -> str:
    until = next(stage.until for stage in dish.stages if stage.name == name)
    wants = [f"core {until.core:.0f} °C"] if until.core is not None else []
    wants += [until.colour] if until.colour is not None else []
    return ", ".join(wants + (["bubbling"] if until.bubbling else []))
