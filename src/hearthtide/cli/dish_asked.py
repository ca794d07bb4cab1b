"""What was asked of `hearthtide dish` beside the dish: place, start, flame, probe readings, pictures."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import get_args

from hearthtide.errors import Finding, InputError
from hearthtide.food.probe import Reading
from hearthtide.house.models import DishFile, House, Place
from hearthtide.planning.response import LONGEST_S
from hearthtide.quantities.parse import parse_duration_s, parse_temperature_C
from hearthtide.quantities.show import duration_text

START_C = (-2.0, 90.0)  # as in a dish's file: ice is not modelled
READ_C = (-20.0, 120.0)  # beyond it a reading is a slip of the pen or the unit; own choice
MOST_PROBES = 12


@dataclass(frozen=True)
class Asked:
    """The options as given; None or empty where nothing was."""

    place: str | None = None
    start_C: float | None = None
    flame: str | None = None
    probe: tuple[str, ...] = ()
    stage: str | None = None
    spot: str | None = None
    picture: Path | None = None
    map: Path | None = None
    narrow: bool = False
    proteins: bool = False

    @property
    def kind(self) -> str | None:
        """The kind of place, by --place or by its name after --spot; None for none."""
        return self.spot if self.spot in get_args(Place) else self.place


def bad(name: str, value: str, expected: str, remedy: str) -> InputError:
    """The refusal of one option."""
    return InputError((Finding("dish", 0, name, value, expected, remedy),))


def named_dish(house: House, key: str) -> None:
    """InputError that names the dishes there are, when this is none of them."""
    if key not in house.dishes:
        known = ", ".join(house.dishes)
        raise InputError((Finding("dishes", 0, "DISH", key, f"one of {known}", "Name one of them."),))


def readings_of(asked: Asked) -> tuple[Reading, ...]:
    """The readings, earliest first; InputError for one that is none."""
    if len(asked.probe) > MOST_PROBES:
        raise bad("--probe", f"{len(asked.probe)} times", f"at most {MOST_PROBES}", "Leave the earliest out.")
    return tuple(sorted(map(_reading, asked.probe), key=lambda reading: reading.time_s))


def _reading(text: str) -> Reading:
    after, equals, value = text.partition("=")
    if not equals:
        raise bad("--probe", text, "minutes and a reading such as 6:30=41C", "Write it so.")
    try:
        time_s, value_C = parse_duration_s(after), parse_temperature_C(value)
    except ValueError as wrong:
        expected = str(wrong).removeprefix("expected ")
        raise bad("--probe", text, expected, "Write it such as 6:30=41C.") from wrong
    if not 0 < time_s <= LONGEST_S:
        most = f"a time above 0 and up to {duration_text(LONGEST_S)}"
        raise bad("--probe", text, most, "Count from when the stage began.")
    low, high = READ_C
    if not low <= value_C <= high:
        raise bad("--probe", text, f"a core of {low:.0f} to {high:.0f} °C", "Look at the unit, C or F.")
    return Reading(time_s, value_C)


def stage_read(asked: Asked, dish: DishFile) -> int | None:
    """The stage whose readings are given, the first unless named; None without readings."""
    names = [stage.name for stage in dish.stages]
    if asked.stage is not None and not asked.probe:
        raise bad("--stage", asked.stage, "it with --probe", "Give the reading, or leave it out.")
    if asked.stage is not None and asked.stage not in names:
        raise bad("--stage", asked.stage, f"one of {', '.join(names)}", "Name one of this dish's stages.")
    if not asked.probe:
        return None
    return 0 if asked.stage is None else names.index(asked.stage)


def check_asked(asked: Asked) -> None:
    """InputError for options that do not go together, and for files that are no pictures."""
    if asked.spot is not None and asked.place is not None:
        raise bad("--spot", asked.spot, "it or --place", "Leave one of them out.")
    for name, path in (("--picture", asked.picture), ("--map", asked.map)):
        if path is not None and path.suffix.lower() not in (".svg", ".png"):
            raise bad(name, str(path), "a file that ends in .svg or .png", "Name it so.")
    if asked.narrow and asked.picture is None and asked.map is None:
        raise bad("--narrow", "", "it with --picture or --map", "Leave it out.")
    if asked.proteins and asked.picture is None:
        raise bad("--proteins", "", "it with --picture", "Leave it out.")


def house_asked(house: House, key: str, asked: Asked) -> House:
    """The dish as asked: its start, and its stages at that one place if they may stand there.

    Raises InputError for a place or flame that is none, and a start outside the model or above the target.
    """
    dish = house.dishes[key]
    flames = [flame.name for flame in house.oven.flames]
    if asked.flame is not None and asked.flame not in flames:
        known = f"one of {', '.join(flames)}" if flames else "none: oven.yaml names no flame"
        raise bad("--flame", asked.flame, known, "Name one of oven.yaml's flames.")
    if asked.start_C is not None:
        _check_start(asked.start_C, dish)
        dish = dish.model_copy(update={"start": asked.start_C})
    if asked.kind is not None:
        wanted = dict.fromkeys(place for stage in dish.stages for place in stage.places)
        if asked.kind not in wanted:
            kinds = f"one of {', '.join(place for place in get_args(Place) if place in wanted)}"
            name = "--place" if asked.spot is None else "--spot"
            raise bad(name, asked.kind, kinds, "Name a place where the dish's file lets it stand.")
        stages = (
            stage.model_copy(update={"places": (asked.kind,)}) if asked.kind in stage.places else stage
            for stage in dish.stages
        )
        dish = dish.model_copy(update={"stages": tuple(stages)})
    return house.model_copy(update={"dishes": {**house.dishes, key: dish}})


def _check_start(start_C: float, dish: DishFile) -> None:
    low, high = START_C
    value, own = f"{start_C:g} °C", f"Give the food's own temperature; its file says {dish.start:.0f} °C."
    if not low <= start_C <= high:
        raise bad("--start-C", value, f"{low:.0f} to {high:.0f} °C, as ice is not modelled", own)
    first = dish.stages[0]
    if first.until.core is not None and start_C >= first.until.core:
        raise bad("--start-C", value, f"below {first.until.core:.0f} °C, where {first.name} ends", own)
