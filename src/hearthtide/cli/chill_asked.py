"""What was asked of `hearthtide chill`: food, thickness, shape, limits, readings, and the ways compared."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import get_args

from hearthtide.cli.chill_rules import limits_by
from hearthtide.cli.picture_file import check_picture
from hearthtide.errors import Finding, InputError
from hearthtide.food.chill_grid import ellipsoid_exponent
from hearthtide.food.chill_methods import PAN_WAYS, PIECE_WAYS, ChillMethod
from hearthtide.food.chilling import LONGEST_S, ChillLimits, Contents, ToChill
from hearthtide.food.library import Foodstuff, food_names, foodstuff
from hearthtide.food.probe import Reading
from hearthtide.house.files import read_house
from hearthtide.house.models import DishFile, House
from hearthtide.house.thickest import thickest_part
from hearthtide.quantities.parse import parse_clock_s, parse_duration_s, parse_length_m, parse_temperature_C
from hearthtide.safety.rules import RuleSet

CONTENTS: tuple[Contents, ...] = get_args(Contents)
SHAPES = ("flat", "log", "ball", "bird", "pan")
# Half a bird on the bone, by its thickest part: 50 by 120 by 200 mm is some 0.65 kg. Own choice.
BIRD = (1.0, 2.4, 4.0)
# A bird without a stated core: above the 74 °C that several codes ask of poultry. Own choice.
USUAL_C = 75.0
THICKEST_M = (0.005, 0.2)
AIR_C = (-25.0, 20.0)
READ_C = (-20.0, 100.0)
MOST_READINGS = 12
MARKS = ChillLimits(57.0, 21.0, 5.0, math.inf, math.inf)  # what is told where no limits are handed in
_H_MM = re.compile(r"([0-9]{1,2}):([0-5][0-9])")
LIMITS_FORM = "three falling temperatures, such as 57C,21C@2:00,5C@6:00"


@dataclass(frozen=True)
class Asked:
    """The options as given; None or empty where nothing was. `start` is --from."""

    food: str
    house: Path | None = None
    thickest: str | None = None
    shape: str | None = None
    contents: str | None = None
    start: str | None = None
    air: str | None = None
    now: str | None = None
    limits: str | None = None
    reading: tuple[str, ...] = ()
    out_at: str | None = None
    picture: Path | None = None


@dataclass(frozen=True)
class Case:
    """One question: `now` is the way it chills now, None where none is said; times count from the start.

    `judged` says whether there are limits: handed in, else of the house's `rules`; `began` where the start
    came from.
    """

    name: str
    food: Foodstuff
    thickness_m: float
    shape: str
    contents: Contents
    start_C: float
    began: str
    ways: dict[str, ChillMethod]
    now: str | None
    limits: ChillLimits
    judged: bool
    readings: tuple[Reading, ...]
    out_s: float | None
    rules: RuleSet | None = None
    handed_in: bool = False

    def piece(self, *ways: ChillMethod) -> ToChill:
        """The food as one body; a bird's exponent for the hardest of the films, which is the slow side."""
        exponent = {"log": 1.0, "ball": 2.0}.get(self.shape, 0.0)
        if self.shape == "bird":
            axes = (self.thickness_m, BIRD[1] * self.thickness_m, BIRD[2] * self.thickness_m)
            exponent = ellipsoid_exponent(axes, max(way.top_W_m2K for way in ways))
        return ToChill(self.food, self.thickness_m, exponent, contents=self.contents)


def bad(name: str, value: str, expected: str, remedy: str) -> InputError:
    """The refusal of one option."""
    return InputError((Finding("chill", 0, name, value, expected, remedy),))


def case_of(asked: Asked) -> Case:
    """The question as asked. InputError, one finding, for anything that cannot be used."""
    check_picture(asked.picture, "chill")
    house = None if asked.house is None else read_house(asked.house)
    rules = None if house is None else house.file.chosen_rules
    name, food, thickness_m, start_C, began = _food(asked, house)
    shape = _one_of("--shape", asked.shape, SHAPES) or ("pan" if food.fluid else "flat")
    _one_of("--contents", asked.contents, CONTENTS)
    if asked.contents is not None and shape != "pan":
        raise bad("--contents", asked.contents, "it with --shape pan", "Leave it out for pieces.")
    stated = None if rules is None else limits_by(rules)
    limits = limits_of(asked.limits) if asked.limits is not None else stated or MARKS
    if not limits.end_C < start_C <= 100.0:
        value, told = f"{start_C:g} °C", f"above {limits.end_C:g} °C, the last mark, up to 100 °C"
        raise bad("--from", value, told, "Give the core as it comes out.")
    ways = _ways(asked, shape, start_C)
    now = _one_of("--now", asked.now, tuple(ways))
    if asked.reading and now is None:
        raise bad("--reading", asked.reading[0], "it with --now", f"Say how it chills: {', '.join(ways)}.")
    return Case(
        name=name,
        food=food,
        thickness_m=thickness_m,
        shape=shape,
        contents=next((word for word in CONTENTS if word == asked.contents), "thick"),
        start_C=start_C,
        began=began,
        ways=ways,
        now=now,
        limits=limits,
        judged=asked.limits is not None or stated is not None,
        readings=readings_of(asked.reading),
        out_s=None if asked.out_at is None else _parsed("--out", asked.out_at, parse_clock_s),
        rules=rules,
        handed_in=asked.limits is not None,
    )


def _food(asked: Asked, house: House | None) -> tuple[str, Foodstuff, float, float, str]:
    """Name, food, thickness [m], start [°C] and where the start came from."""
    dish_m = None
    start_C, began = USUAL_C, "assumed, say yours with --from"
    if house is None:
        if asked.food not in food_names():
            remedy = "Name the nearest of them, or a dish with --house HOUSE."
            raise bad("FOOD", asked.food, f"one of {', '.join(food_names())}", remedy)
        name, food = asked.food.replace("_", " "), foodstuff(asked.food)
    else:
        if asked.food not in house.dishes:
            known = f"one of {', '.join(house.dishes)}"
            raise bad("FOOD", asked.food, known, "Name one of the house's dishes.")
        dish = house.dishes[asked.food]
        name, food, dish_m = thickest_part(house, dish)
        start_C, began = _dish_core(dish) or (start_C, began)
    if asked.start is not None:
        start_C, began = _parsed("--from", asked.start, parse_temperature_C), "as said"
    return name, food, _thickness_m(asked.thickest, dish_m), start_C, began


def _dish_core(dish: DishFile) -> tuple[float, str] | None:
    """The hottest core a dish's file asks for [°C] and where; None where it asks for none.

    A landing hotter than the pull is the core after its carry-over.
    """
    cores = [stage.until.core for stage in dish.stages if stage.until.core is not None]
    if not cores:
        return None
    landing_C = dish.core_at_landing
    if landing_C is not None and landing_C > max(cores):
        return landing_C, "the core at the landing in the dish's file"
    return max(
        cores
    ), "the core at the pull in the dish's file, it may still rise: probe, and say it with --from"


def _thickness_m(text: str | None, dish_m: float | None) -> float:
    if text is None and dish_m is None:
        raise bad("--thickest", "", "a length such as 40mm", "Measure the thickest part, or a pan's depth.")
    thickness_m = _parsed("--thickest", text, parse_length_m) if text is not None else float(dish_m or 0.0)
    low, high = THICKEST_M
    if not low <= thickness_m <= high:
        value = text or f"{1000 * thickness_m:.0f} mm"
        expected = f"{1000 * low:.0f} to {1000 * high:.0f} mm"
        raise bad("--thickest", value, expected, "Measure the thickest part; portion anything thicker.")
    return thickness_m


def _ways(asked: Asked, shape: str, start_C: float) -> dict[str, ChillMethod]:
    """The ways compared, in the walk-in's own air where it is said."""
    ways = PAN_WAYS if shape == "pan" else PIECE_WAYS
    if asked.air is None:
        return ways
    air_C = _parsed("--air", asked.air, parse_temperature_C)
    low, high = AIR_C
    if not low <= air_C <= high:
        raise bad("--air", asked.air, f"{low:.0f} to {high:.0f} °C", "Read the walk-in's thermometer.")
    if start_C <= air_C:
        raise bad("--from", f"{start_C:g} °C", f"above the air's {air_C:g} °C", "There is nothing to chill.")
    here = {w: m for w, m in ways.items() if w != "blast" and not m.held}
    return {word: replace(way, air_C=air_C) if word in here else way for word, way in ways.items()}


def limits_of(text: str) -> ChillLimits:
    """Limits such as 57C,21C@2:00,5C@6:00: times count from the first; 5C@+4:00 counts from the second."""
    parts = [part.strip() for part in text.split(",")]
    remedy = "Take them from your own code: the times count from the first temperature."
    if len(parts) != 3 or "@" in parts[0]:
        raise bad("--limits", text, LIMITS_FORM, remedy)
    marks_C, times_s, further = [], [], False
    for number, part in enumerate(parts):
        temperature, at, time = part.partition("@")
        if number and not at:
            raise bad("--limits", text, f"a time behind {part}, such as {part}@2:00", remedy)
        marks_C.append(_parsed("--limits", temperature, parse_temperature_C, text))
        if number:
            further = time.startswith("+")
            times_s.append(hours_s("--limits", time.removeprefix("+"), text))
    if not marks_C[0] > marks_C[1] > marks_C[2] >= 0:
        raise bad("--limits", text, LIMITS_FORM, "Write the warmest first, the last at 0 °C or more.")
    if further:
        return ChillLimits(marks_C[0], marks_C[1], marks_C[2], times_s[0], math.inf, times_s[1])
    if not times_s[0] < times_s[1]:
        raise bad("--limits", text, "times that rise", "Both count from the first temperature; or @+4:00.")
    return ChillLimits(marks_C[0], marks_C[1], marks_C[2], times_s[0], times_s[1])


def readings_of(texts: tuple[str, ...]) -> tuple[Reading, ...]:
    """The readings, earliest first."""
    if len(texts) > MOST_READINGS:
        expected = f"at most {MOST_READINGS}"
        raise bad("--reading", f"{len(texts)} times", expected, "Leave the earliest out.")
    return tuple(sorted(map(_reading, texts), key=lambda reading: reading.time_s))


def _reading(text: str) -> Reading:
    after, equals, value = text.partition("=")
    if not equals:
        raise bad("--reading", text, "hours:minutes and a core such as 1:00=34C", "Write it so.")
    time_s = hours_s("--reading", after, text)
    value_C = _parsed("--reading", value, parse_temperature_C, text)
    low, high = READ_C
    if not low <= value_C <= high:
        raise bad("--reading", text, f"a core of {low:.0f} to {high:.0f} °C", "Look at the unit, C or F.")
    return Reading(time_s, value_C)


def hours_s(name: str, text: str, whole: str) -> float:
    """Seconds of hours:minutes, or of a number with min or h; above 0 and up to 24 h."""
    match = _H_MM.fullmatch(text.strip())
    if match:
        seconds = 3600.0 * int(match[1]) + 60.0 * int(match[2])
    elif ":" in text:
        raise bad(name, whole, "hours:minutes such as 2:00", "Write it so, or as 90 min.")
    else:
        seconds = _parsed(name, text, parse_duration_s, whole)
    if not 0 < seconds <= LONGEST_S:
        raise bad(name, whole, "times above 0:00 and up to 24:00", "Times are hours:minutes.")
    return seconds


def _parsed(name: str, text: str, parse: Callable[[str], float], whole: str | None = None) -> float:
    try:
        return parse(text)
    except ValueError as wrong:
        expected = str(wrong).removeprefix("expected ")
        raise bad(name, whole or text, expected, "Write the number with its unit.") from wrong


def _one_of(name: str, word: str | None, known: tuple[str, ...]) -> str | None:
    if word is not None and word not in known:
        raise bad(name, word, f"one of {', '.join(known)}", "Name one of them.")
    return word
