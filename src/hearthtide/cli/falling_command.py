"""`falling`: what the heat after close is good for, with the doors and people that are really there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from math import ceil
from pathlib import Path

from hearthtide.cli.day_shared import day_asked
from hearthtide.cli.falling_shown import body_of, picture_of, print_told
from hearthtide.cli.picture_file import check_picture, write_picture
from hearthtide.cli.shared import print_json, progress
from hearthtide.day.falling import falling
from hearthtide.day.falling_curve import Seen, Slowing, fall_of, fitted
from hearthtide.day.falling_oven import Relit, model_falls, propped_share_h, relit_gas, relit_wood
from hearthtide.day.falling_things import Fall, Fires, Night, Place, Thing
from hearthtide.day.falling_ways import Means
from hearthtide.errors import Finding, InputError
from hearthtide.house.falling_file import NAME, FallingFile, OtherFile, ThingFile, read_falling, rolled_s
from hearthtide.house.files import oven_design, read_house
from hearthtide.house.models import House
from hearthtide.house.rota_file import Hours, read_rota, there_on
from hearthtide.oven.grid import QUICK
from hearthtide.oven.model import Oven, build_oven

DAY_S = 86_400
RELIT_NEAR_C = 5.0  # what a fire adds is run once for stones so near to each other; own choice
LEAST_READINGS = 2  # after the door went on; fewer say nothing of a fall


def run_falling(folder: Path, asked: str, picture: Path | None, json: bool) -> bool:
    """Prints the plan of the falling heat; True when the checker finds nothing broken in it."""
    day = day_asked(asked)
    check_picture(picture, "falling")
    house = read_house(folder)
    file = read_falling(house)
    people = people_from(house, day)
    with progress() as tell:

        @cache
        def oven() -> Oven:
            # On the quick grid a fire lit again came within 2 °C of the nominal, a propped door within 1 %.
            tell("oven", 0.0)
            return build_oven(oven_design(house), QUICK)

        night, fit = night_of(house, file, day, people, oven, lambda share: tell("oven", share))
        things = tuple(thing_of(key, one, night.fires) for key, one in file.things.items())
        check_places(night, things)
        found = falling(night, things, means_of(house, file, night, oven))
    if picture is not None:
        write_picture(picture_of(house.file.name, found), picture, "falling")
    rules = house.file.chosen_rules
    if json:
        print_json("falling", body_of(house.file.name, found, fit, rules))
    else:
        print_told(house.file.name, found, fit, rules)
    return not found.broken


def people_from(house: House, day: date) -> tuple[Hours, ...]:
    """Who is there from the evening of `day` to the next but one, on the clock of that first evening."""
    rota = read_rota(house)
    return tuple(
        Hours(one.name, one.from_s + n * DAY_S, one.until_s + n * DAY_S, one.does)
        for n in range(-1, 3)
        for one in there_on(rota, day + timedelta(days=n))
    )


def night_of(
    house: House,
    file: FallingFile,
    day: date,
    people: tuple[Hours, ...],
    oven: Callable[[], Oven],
    tell: Callable[[float], None],
) -> tuple[Night, Slowing | None]:
    """The night as it will be, and the fit to the house's own readings where it has two after the door."""
    out_s = file.out_s
    end_s = out_s + file.free_for
    falls, fit = _own_falls(file, end_s)
    if "stone" not in falls:
        band = house.oven.floor_band
        told = model_falls(oven(), (band.low + band.high) / 2, out_s, file.door_on, end_s, file.room, tell)
        falls, fit = {**told, **falls}, None
    fires = Fires(out_s, out_s + file.soak, file.door_on, house.oven.fuel)
    return Night(day, falls, fires, people, file.usable_area, end_s), fit


def _own_falls(file: FallingFile, end_s: float) -> tuple[dict[Place, Fall], Slowing | None]:
    falls: dict[Place, Fall] = {}
    kept: Slowing | None = None
    places: tuple[Place, ...] = ("stone", "dome")
    for place in places:
        seen = [
            Seen(at_s, value_C)
            for one, at_s in zip(file.readings, file.seen_s, strict=True)
            if (value_C := getattr(one, place)) is not None
        ]
        after = [one for one in seen if one.at_s >= file.fall_s]
        if len(after) >= LEAST_READINGS:
            fit = fitted(after, file.room)
            falls[place] = fall_of(fit, seen, file.fall_s, end_s)
            kept = fit if place == "stone" else kept
    return falls, kept


def thing_of(key: str, file: ThingFile, fires: Fires) -> Thing:
    """A thing as written, its times of day on the night's clock."""
    thing = Thing(
        key=key,
        name=file.name,
        portions=file.portions,
        area_m2=file.area,
        low_C=file.goes_in.low,
        high_C=file.goes_in.high,
        least_s=file.stays.least,
        most_s=file.stays.most,
        least_C=file.least or 0.0,
        place=file.of,
        watched=file.watched,
        turns_s=file.turns,
        out_at_s=None if file.out_at is None else rolled_s(file.out_at, fires.out_s),
        by_s=None if file.by is None else rolled_s(file.by, fires.out_s),
        door=file.door,
        hot=file.kept_hot,
        hands_s=file.hands,
    )
    return replace(thing, instead=tuple(_other(thing, other) for other in file.instead))


def _other(thing: Thing, file: OtherFile) -> Thing:
    """The same thing in another manner."""
    return replace(
        thing,
        name=file.name,
        portions=file.portions or thing.portions,
        area_m2=file.area or thing.area_m2,
        low_C=file.goes_in.low,
        high_C=file.goes_in.high,
        least_s=file.stays.least,
        most_s=file.stays.most,
        turns_s=tuple(turn for turn in thing.turns_s if turn < file.stays.most),
    )


def check_places(night: Night, things: tuple[Thing, ...]) -> None:
    """Raises InputError for things of a place whose heat is not known."""
    wrong = tuple(
        Finding(
            NAME,
            0,
            f"things.{thing.key}.of",
            thing.place,
            "two readings of the dome after the door went on",
            "Add `dome:` to the readings, or give the band of the stone.",
        )
        for thing in things
        if thing.place not in night.falls
    )
    if wrong:
        raise InputError(wrong)


def means_of(house: House, file: FallingFile, night: Night, oven: Callable[[], Oven]) -> Means:
    """What the oven model can say of a propped door and of a fire lit again."""
    room_C, shut = file.room, night.fires.door_on_s is not None

    @cache
    def propped(stone_C: float) -> float:
        return propped_share_h(oven(), stone_C, room_C)

    @cache
    def lit(near_C: float, amount: float, after_s: float) -> Relit:
        light = relit_wood if house.oven.fuel == "wood" else relit_gas
        return light(oven(), near_C, room_C, amount, after_s, shut)

    def relit(stone_C: float, amount: float, after_s: float) -> Relit:
        near_C = max(RELIT_NEAR_C * round(stone_C / RELIT_NEAR_C), RELIT_NEAR_C * ceil(room_C / RELIT_NEAR_C))
        run = lit(near_C, amount, after_s)
        return replace(run, from_C=stone_C, stone_C=run.stone_C + stone_C - near_C)

    return Means(room_C, propped if shut else None, relit)
