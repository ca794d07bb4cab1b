"""`hearthtide dish`: what the models make of one dish at each kind of place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from math import isfinite
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.shared import out, print_json, progress
from hearthtide.errors import Finding, InputError
from hearthtide.food.model import FoodState, prepare, start
from hearthtide.food.outcome import burn_margin_s, colour_steps, core_C, weight_loss
from hearthtide.house.files import portion, read_house
from hearthtide.house.models import DishFile, House
from hearthtide.oven.model import Oven
from hearthtide.planning.build import house_outlines, stage_masks
from hearthtide.planning.exposure import faces_W_m2, seat, stone_exposure
from hearthtide.planning.places import Places, enumerate_places
from hearthtide.planning.response import Moment, covered, respond, thirds
from hearthtide.planning.settled import settled
from hearthtide.quantities.show import duration_text
from hearthtide.safety.cautions import NO_RULES, cautions_for

HORIZON_S = 240.0  # how far ahead burning is looked for


@dataclass(frozen=True)
class Tried:
    """One stage at one spot. `seconds` None: its target is not met within forty minutes; `from_flame_m`
    None: no fire burns on this hearth.
    """

    stage: str
    place: str
    from_flame_m: float | None
    stone_C: float
    seconds: int | None
    house_s: int | None
    core_C: float
    colour_step: float
    bottom_colour: float
    burn_margin_s: float
    weight_loss: float


def run_dish(folder: Path, key: str, json: bool) -> bool:
    """Print the dish; True when every stage can be done somewhere."""
    house = read_house(folder)
    if key not in house.dishes:
        known = ", ".join(house.dishes)
        finding = Finding("dishes", 0, "DISH", key, f"one of {known}", "Name one of them.")
        raise InputError((finding,))
    with progress() as tell:
        oven, moment = settled(house, lambda share: tell("oven", share))
        tried = try_dish(house, oven, moment, key, lambda share: tell("response", share))
    dish = house.dishes[key]
    done = {t.stage for t in tried if t.seconds is not None} == {s.name for s in dish.stages}
    if json:
        print_json(
            "dish", {"house": house.file.name, "dish": key, "done": done, "tried": [asdict(t) for t in tried]}
        )
    else:
        _print(dish, tried, done)
    return done


def try_dish(
    house: House, oven: Oven, moment: Moment, key: str, tell: Callable[[float], None]
) -> list[Tried]:
    """Every stage at up to three typical spots of every place it may stand; each begins as the last ended."""
    dish = house.dishes[key]
    places = enumerate_places(oven.design, house.file.zones, house_outlines(house))
    state, tried = start(prepare(portion(house, key))), []
    for i in range(len(dish.stages)):
        tell(i / len(dish.stages))
        rows, ends = _stage(house, oven, moment, key, i, places, state)
        tried += rows
        state = ends[0] if ends else state
    return tried


def _stage(
    house: House, oven: Oven, moment: Moment, key: str, i: int, places: Places, state: FoodState
) -> tuple[list[Tried], list[FoodState]]:
    dish = house.dishes[key]
    stage = dish.stages[i]
    food = covered(prepare(portion(house, key)), stage)
    rows, ends = [], []
    for mask in stage_masks(dish, i, places):
        for group in thirds(places, mask):
            chair = seat(oven, places.spots[group[len(group) // 2]])
            answer = respond(oven, moment, chair, food, state, stage)
            faces = faces_W_m2(oven, moment.state, moment.power_W, [chair])[0]
            stone_C = float(chair.under @ moment.state.floor_C)
            heat = stone_exposure(stone_C, faces, moment.state.gas_C)
            colour = colour_steps(food, answer.state)
            if answer.seconds is not None:
                ends.append(answer.state)
            rows.append(
                Tried(
                    stage=stage.name,
                    place=chair.spot.zone,
                    from_flame_m=round(chair.spot.flame_m, 2) if isfinite(chair.spot.flame_m) else None,
                    stone_C=round(stone_C, 1),
                    seconds=None if answer.seconds is None else round(answer.seconds),
                    house_s=None if stage.minutes is None else round(stage.minutes),
                    core_C=round(core_C(food, answer.state), 1),
                    colour_step=round(colour.mean, 2),
                    bottom_colour=round(colour.bottom, 2),
                    burn_margin_s=round(burn_margin_s(food, answer.state, heat, HORIZON_S), 1),
                    weight_loss=round(weight_loss(food, answer.state), 3),
                )
            )
    return rows, ends


def _print(dish: DishFile, tried: list[Tried], done: bool) -> None:
    out.print(f"[bold]{escape(dish.name)}[/]  {escape(dish.words)}")
    for stage in dish.stages:
        own = "" if stage.minutes is None else f"; the house gives it {duration_text(stage.minutes)}"
        out.print(f"\n[bold]{escape(stage.name)}[/] until {_until(dish, stage.name)}{own}")
        for t in (t for t in tried if t.stage == stage.name):
            time = "not done in 40 min" if t.seconds is None else duration_text(t.seconds)
            left = _left(t.burn_margin_s)
            away = "" if t.from_flame_m is None else f"{t.from_flame_m * 100:3.0f} cm from the flame, "
            where = f"{t.place:5} {away}stone {t.stone_C:.0f} °C"
            colours = f"top {t.colour_step:.1f}, underside {t.bottom_colour:.1f}"
            out.print(
                f"  {where}: {time}; core {t.core_C:.0f} °C, {colours}, {left}, {t.weight_loss:.0%} lighter"
            )
    if not done:
        out.print("\n[bold]A stage can be done nowhere on this hearth.[/]")
    out.print(
        "\nColour: 1 pale, 2 straw, 3 golden, 4 brown, 5 dark. The models' figures, not readings: temp it."
    )
    for caution in (*cautions_for("pull", dish), NO_RULES):
        out.print(f"[dim]{escape(caution)}[/]")


def _left(margin_s: float) -> str:
    if margin_s <= 0:
        return "past dark"
    return f"over {HORIZON_S:.0f} s to burnt" if margin_s >= HORIZON_S else f"{margin_s:.0f} s to burnt"


def _until(dish: DishFile, name: str) -> str:
    until = next(stage.until for stage in dish.stages if stage.name == name)
    wants = [f"core {until.core:.0f} °C"] if until.core is not None else []
    wants += [until.colour] if until.colour is not None else []
    return ", ".join(wants + (["bubbling"] if until.bubbling else []))
