"""`hearthtide dish`: what the models make of one dish at each kind of place."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.dish_asked import Asked, house_asked, named_dish, readings_of, stage_read
from hearthtide.cli.dish_tried import HORIZON_S, Case, Left, Tried, try_dish
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.house.files import read_house
from hearthtide.house.models import DishFile
from hearthtide.planning.banded import turned_to
from hearthtide.planning.settled import settled
from hearthtide.quantities.show import duration_text
from hearthtide.safety.cautions import NO_RULES, cautions_for

BAND = (
    "In brackets, from the lower to the higher figure: of the likely thicknesses, starts, contacts, stones "
    "and fires a tenth lies beyond it on either side. What the model itself has wrong is not in it."
)


def run_dish(folder: Path, key: str, json: bool, asked: Asked | None = None) -> bool:
    """Print the dish; True when every stage can be done somewhere and no reading contradicts them all."""
    asked = asked or Asked()
    readings = readings_of(asked)
    house = read_house(folder)
    named_dish(house, key)
    read = stage_read(asked, house.dishes[key])
    house = house_asked(house, key, asked)
    dish = house.dishes[key]
    with progress() as tell:
        oven, moment = settled(house, lambda share: tell("oven", share))
        if asked.flame is not None:
            moment = turned_to(oven, moment, oven.design.level(asked.flame).power_W)
        case = Case(house, oven, moment, key, readings, read)
        tried = try_dish(case, lambda share: tell("response", share))
    done = {t.stage for t in tried if t.seconds is not None} == {s.name for s in dish.stages}
    told = [t.left for t in tried if t.left is not None]
    if json:
        body = {
            "house": house.file.name,
            "dish": key,
            "start_C": dish.start,
            "flame_W": round(moment.power_W),
            "done": done,
            "tried": [asdict(t) for t in tried],
        }
        print_json("dish", body)
    else:
        _print(dish, tried, done, asked)
    return done and not (told and all(left.contradicted for left in told))


def _print(dish: DishFile, tried: list[Tried], done: bool, asked: Asked) -> None:
    out.print(f"[bold]{escape(dish.name)}[/]  {escape(dish.words)}")
    if asked.start_C is not None or asked.flame is not None:
        flame = "" if asked.flame is None else f", flame {escape(asked.flame)} for the last five minutes"
        out.print(f"From {dish.start:g} °C{flame}.")
    for stage in dish.stages:
        own = "" if stage.minutes is None else f"; the house gives it {duration_text(stage.minutes)}"
        out.print(f"\n[bold]{escape(stage.name)}[/] until {_until(dish, stage.name)}{own}")
        for t in (t for t in tried if t.stage == stage.name):
            out.print(_line(t))
            if t.left is not None:
                out.print(f"        {_reading(t.left)}")
    if not done:
        out.print("\n[bold]A stage can be done nowhere on this hearth.[/]")
    out.print(f"\n{BAND}")
    out.print(
        "Colour: 1 pale, 2 straw, 3 golden, 4 brown, 5 dark. The models' figures, not readings: temp it."
    )
    for caution in (*cautions_for("pull", dish), NO_RULES):
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


def _reading(left: Left) -> str:
    read = f"{left.reading_C:.0f} °C at {duration_text(left.after_s)}"
    if left.contradicted:
        way = "above" if left.off_K > 0 else "below"
        return (
            f"[bold]{read} contradicts the models[/]: {abs(left.off_K):.0f} K {way} the nearest they allow. "
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
