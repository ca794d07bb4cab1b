"""`reheat`: minutes to heat chilled food through by thickness and start; where to probe; what to pull."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.dish_asked import named_dish
from hearthtide.cli.prep_command import Day, read_day
from hearthtide.cli.shared import TEMP_IT, out, print_json, progress
from hearthtide.day.dishes import share_of, wanted
from hearthtide.day.reheat import (
    THICKNESSES_M,
    Hearth,
    Heated,
    Target,
    probe_points,
    refuse_raw,
    starts_of,
    table,
    target_of,
)
from hearthtide.day.reheat_pulls import Pulls, pulls
from hearthtide.day.reheat_slab import FACE_C
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_house
from hearthtide.house.models import House
from hearthtide.house.prep_file import EveningFile, read_prep
from hearthtide.house.thickest import thickest_part
from hearthtide.planning.build import house_outlines
from hearthtide.planning.places import enumerate_places
from hearthtide.planning.settled import settled
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import cautions_for
from hearthtide.safety.rule_sets import chosen_words

HONEST_S = 12 * 60  # the longest a cook calls a quick pick-up; trade teaching, 10 to 12 min
NOT_PAR = (
    "For food that was cooked through and chilled. A par-cooked piece is raw in law: it is cooked, "
    "never re-heated."
)


@dataclass(frozen=True, eq=False)
class Told:
    """One dish: its table, the minutes of its own piece, its target, where to probe, what to pull."""

    key: str
    rows: tuple[tuple[Heated, ...], ...]
    own: tuple[Heated, ...]
    own_m: float
    target: Target
    points: tuple[str, ...]
    pulls: Pulls | None


def run_reheat(
    folder: Path, key: str | None, asked: str | None, procedure: bool, room_C: float, json: bool
) -> bool:
    """Prints the re-heats of a house; True when its own piece is heated through from every fridge."""
    house = read_house(folder)
    keys = _keys(house, key)
    today = None if asked is None else read_day(folder, asked, None)
    evening = None if today is None else _evening(house, today)
    with progress() as tell:
        oven, moment = settled(house, lambda share: tell("oven", share))
        hearth = Hearth(oven, moment, enumerate_places(oven.design, house.file.zones, house_outlines(house)))
        told = []
        for one in keys:
            found = _told(hearth, house, one, room_C, lambda share: tell("reheat", share))
            told.append(_with_pulls(found, house, today, evening, procedure))
    if json:
        print_json("reheat", _body(house, told, room_C))
    else:
        for found in told:
            _print(house, found, room_C)
        _print_cautions(house, keys)
    return all(one.seconds is not None for found in told for one in found.own if one.start.kind == "fridge")


def _keys(house: House, key: str | None) -> tuple[str, ...]:
    if key is not None:
        named_dish(house, key)
        refuse_raw(house, key)
        return (key,)
    keys = tuple(one for one, dish in house.dishes.items() if dish.ready_to_eat)
    if not keys:
        expected = "a dish with `ready_to_eat: true`"
        remedy = "Say it of what is cooked through, chilled and heated again to order."
        raise InputError((Finding("dishes", 0, "ready_to_eat", "", expected, remedy),))
    return keys


def _evening(house: House, today: Day) -> EveningFile:
    file = read_prep(house, today.file)
    if file.evening is None:
        remedy = "Write by half hour how guests come, or leave --day out."
        raise InputError((Finding("prep.yaml", 0, "evening", "", "`evening:` with --day", remedy),))
    return file.evening


def _told(hearth: Hearth, house: House, key: str, room_C: float, tell: Callable[[float], None]) -> Told:
    rules, dish = house.file.chosen_rules, house.dishes[key]
    target, starts = target_of(rules, dish), starts_of(rules)
    _, _, own_m = thickest_part(house, dish)
    rows = table(hearth, house, key, starts, target.core_C, room_C, tell=lambda x: tell(0.9 * x))
    own = table(hearth, house, key, starts, target.core_C, room_C, (own_m,))
    return Told(key, rows, tuple(row[0] for row in own), own_m, target, probe_points(house, key, rules), None)


def _with_pulls(
    found: Told, house: House, today: Day | None, evening: EveningFile | None, procedure: bool
) -> Told:
    if today is None or evening is None or today.covers[0].counts is None:
        return found
    share = share_of(today.kept.history, {found.key: 1}, today.day)
    tempered = next(one for one in found.own if one.start.kind == "tempered")
    if share is None or tempered.seconds is None:
        return found
    stock = next(
        (
            par.ahead.on_hand + today.make(key)
            for key, par in today.pars.items()
            if found.key in par.made.uses
        ),
        0,
    )
    made = pulls(
        house.file.chosen_rules,
        procedure,
        wanted(share, today.covers[0].counts),
        round(evening.since),
        evening.covers,
        stock,
        round(tempered.start.temper_s),
        round(tempered.seconds),
    )
    return Told(found.key, found.rows, found.own, found.own_m, found.target, found.points, made)


def _print(house: House, told: Told, room_C: float) -> None:
    dish = house.dishes[told.key]
    places = ", then ".join(stage.places[0] for stage in dish.stages)
    out.print(f"[bold]{escape(dish.name)}[/], heated again at {places}, to {escape(told.target.words)}")
    out.print(f"  {'minutes for mm':24}" + "".join(f"{1000 * t:>8.0f}" for t in THICKNESSES_M))
    for row in told.rows:
        out.print(f"  {row[0].start.words:24}" + "".join(f"{_minutes(one.seconds):>8}" for one in row))
    slab = next(row for row in told.rows if row[0].start.words == "fridge 4 °C")
    words = f"slab rule, {FACE_C:.0f} °C faces"
    out.print(f"[dim]  {words:24}" + "".join(f"{_minutes(one.slab_s):>8}" for one in slab) + " from 4 °C[/]")
    cold = [one for one in told.own if one.start.kind == "fridge"]
    out.print(f"  Its own piece, {1000 * told.own_m:.0f} mm: {_own(told.own)}.")
    if any(one.seconds is None or one.seconds > HONEST_S for one in cold):
        out.print("  From the cold that is no quick pick-up: thinner pieces, or kept hot and flashed.")
    tempered = next(one for one in told.own if one.start.kind == "tempered")
    out.print(
        f"  After {tempered.start.temper_s / 60:.0f} min on a bench at {room_C:.0f} °C: middle "
        f"{tempered.core_C:.0f} °C, face {tempered.face_C:.0f} °C."
    )
    out.print(f"  Probe {escape('; '.join(told.points))}.")
    if told.pulls is not None:
        _print_pulls(told.pulls)


def _own(own: Sequence[Heated]) -> str:
    return ", ".join(f"{_minutes(one.seconds)} min from {one.start.words}" for one in own)


def _minutes(seconds: float | None) -> str:
    """Minutes as a cook believes them: halves below ten, whole above; more than the hearth is asked for: -.

    >>> _minutes(430), _minutes(1100), _minutes(None)
    ('7', '18', '-')
    """
    if seconds is None:
        return "-"
    minutes = seconds / 60
    return f"{minutes:.0f}" if minutes >= 10 else f"{round(2 * minutes) / 2:g}"


def _print_pulls(made: Pulls) -> None:
    for one in made.pulls:
        portions = "1 portion" if one.portions == 1 else f"{one.portions} portions"
        out.print(
            f"  Pull {portions} at {clock_text(one.at_s)}, marked: served or discarded by "
            f"{clock_text(one.mark_s)}, not put back."
        )
    out.print(f"  {escape(made.words)}")


def _print_cautions(house: House, keys: Sequence[str]) -> None:
    for caution in _cautions(house, keys):
        out.print(f"[dim]{escape(caution)}[/]")


def _cautions(house: House, keys: Sequence[str]) -> tuple[str, ...]:
    acts = dict.fromkeys(
        one for key in keys for one in cautions_for("pull", house.dishes[key], house.own_fatty)
    )
    return (NOT_PAR, TEMP_IT, *acts, chosen_words(house.file.chosen_rules))


def _body(house: House, told: Sequence[Told], room_C: float) -> Mapping[str, object]:
    return {
        "house": house.file.name,
        "room_C": room_C,
        "dishes": [_dish_body(found) for found in told],
        "cautions": list(_cautions(house, [found.key for found in told])),
    }


def _dish_body(found: Told) -> dict[str, object]:
    return {
        "dish": found.key,
        "target_C": found.target.core_C,
        "target_held_s": found.target.held_s,
        "target": found.target.words,
        "own_thickness_m": found.own_m,
        "table": [_heated(one) for row in found.rows for one in row],
        "own": [_heated(one) for one in found.own],
        "probe": list(found.points),
        "pull": None
        if found.pulls is None
        else {
            "words": found.pulls.words,
            "rule": None if found.pulls.rule is None else found.pulls.rule.id,
            "pulls": [
                {
                    "at": clock_text(one.at_s),
                    "portions": one.portions,
                    "served_or_discarded_by": clock_text(one.mark_s),
                }
                for one in found.pulls.pulls
            ],
        },
    }


def _heated(one: Heated) -> dict[str, object]:
    return {
        "start": one.start.words,
        "start_C": one.start.start_C,
        "thickness_m": round(one.thickness_m, 4),
        "seconds": None if one.seconds is None else round(one.seconds),
        "slab_rule_seconds": round(one.slab_s),
        "core_C_as_it_goes_in": round(one.core_C, 1),
    }
