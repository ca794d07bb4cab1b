"""What was asked of `hearthtide heat --answer`, and the oven and state that the question starts from."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, fields
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from hearthtide.cli.heat_fed import DAY_S, Feeding, after_s
from hearthtide.cli.picture_file import check_picture
from hearthtide.errors import Finding, InputError
from hearthtide.heat.wood import Split
from hearthtide.house.fields import WoodKgH
from hearthtide.house.models import House
from hearthtide.house.oven_design import METERED_J_m3, split_of
from hearthtide.house.oven_file import LEAST_SPLIT_KG, MOST_POWER_W, MOST_SPLIT_KG
from hearthtide.oven.answers import MOST_READY_S, Course, course, stone_C
from hearthtide.oven.design import FlameLevel, OvenDesign
from hearthtide.oven.flame import Fire
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.program import Placed, Program
from hearthtide.oven.readings import (
    OVERNIGHT_H,
    Price,
    Unit,
    measured_state,
    overnight_state,
    settled_state,
    spread,
)
from hearthtide.planning.settled import AMBIENT_C
from hearthtide.printing.picture import Picture
from hearthtide.quantities.parse import parse_clock_s, parse_mass_kg
from hearthtide.ranges import Array

ANSWERS = ("ready", "ahead", "hold", "turndown", "left", "fuel", "where")
STARTS, DOORS = ("cold", "overnight", "settled"), ("on", "off", "both")
AMOUNTS: tuple[Unit, ...] = ("kWh", "kg", "m3")
OUT_AT, LEFT_AT = "22:00", "23:00,02:00,06:00"  # the end of a night, and when to look at what is left
RUN_H, AHEAD_MIN = 3.0, 30.0  # how far fuel and ahead go where nothing is asked
_PRICE = re.compile(r"\s*([0-9]{1,6}(?:\.[0-9]{1,6})?)\s*/\s*(kWh|kg|m3)\s*")
# What every question may be asked with, and each one's own words beside that; None is the overview.
START = {"start", "stone_C", "soaked", "aim_C", "door"}
OWN: dict[str | None, set[str]] = {
    None: {"flame", "hours"},
    "ready": {"flame"},
    "ahead": {"flame", "minutes", "pizzas"},
    "hold": set(),
    "turndown": {"flame", "to", "minutes", "limit_C"},
    "left": {"out_at", "at"},
    "fuel": {"flame", "hours", "price"},
    "where": {"low_C", "high_C"},
}
FED = ("wood", "split")  # a fire as fed wood instead of a flame
# What an answer may be asked with on fed wood, and what each of those says beside it.
OWN_FED: dict[str | None, set[str]] = {
    "ready": {*FED, "now", "price"},
    "ahead": {*FED, "now", "price"},
    "left": {*FED},
    "fuel": {*FED, "now"},
}
RANGES: dict[str, tuple[float, float, str]] = {
    "stone_C": (AMBIENT_C, 700.0, "°C"),
    "soaked": (0.05, 1.0, "as a share"),
    "aim_C": (50.0, 550.0, "°C"),
    "limit_C": (50.0, 600.0, "°C"),
    "low_C": (-50.0, 1000.0, "°C"),
    "high_C": (-50.0, 1000.0, "°C"),
    "minutes": (5.0, 240.0, "minutes"),
    "hours": (0.25, 12.0, "hours"),
    "pizzas": (0.0, 40.0, "pizzas"),
}


@dataclass(frozen=True)
class Asked:
    """The options as given; None where nothing was. `start` is --from."""

    answer: str | None = None
    flame: str | None = None
    hours: float | None = None
    start: str | None = None
    stone_C: float | None = None
    soaked: float | None = None
    aim_C: float | None = None
    to: str | None = None
    minutes: float | None = None
    limit_C: float | None = None
    low_C: float | None = None
    high_C: float | None = None
    pizzas: int | None = None
    door: str | None = None
    out_at: str | None = None
    at: str | None = None
    price: str | None = None
    wood: str | None = None
    split: tuple[str, ...] | None = None
    now: str | None = None
    picture: Path | None = None

    @property
    def fed(self) -> bool:
        return self.wood is not None or self.split is not None


@dataclass(frozen=True, eq=False)
class Told:
    """An answer: what JSON carries, what the terminal shows, and its picture."""

    body: dict[str, object]
    lines: list[str]
    picture: Callable[[], Picture]


@dataclass(frozen=True, eq=False)
class Case:
    """One question on one oven: what was asked, the state it starts from and how that came about."""

    house: House
    oven: Oven
    asked: Asked
    state: OvenState
    begun: str
    aim_C: float
    tell: Callable[[float], None]
    fed: Feeding | None = None

    @property
    def flame(self) -> FlameLevel:
        """The flame asked for, else the house's top one."""
        levels = self.oven.design.levels
        return levels[-1] if self.asked.flame is None else self.oven.design.level(self.asked.flame)

    def burn(
        self,
        oven: Oven,
        span_s: float,
        placed: tuple[Placed, ...] = (),
        on_progress: Callable[[float], None] | None = None,
    ) -> Course:
        """The course from the case's state under its fire, on its oven or a variant of it."""
        return course(oven, self.state, self.fire(span_s), span_s, placed=placed, on_progress=on_progress)

    def fire(self, span_s: float) -> float | Program:
        """The flame's power, or the fed wood as a programme."""
        return self.flame.power_W if self.fed is None else self.fed.program(span_s)

    @property
    def price(self) -> Price | None:
        return None if self.asked.price is None else price_of(self.asked.price)

    def spread(self, values: Callable[[Oven], Array], burning: bool = True) -> tuple[Array, Array]:
        """How far the model's priors leave `values` open."""
        return spread(self.oven, values, burning=burning)


def option(name: str) -> str:
    """How an option is written.

    >>> option("stone_C"), option("start"), option("out_at")
    ('--stone-C', '--from', '--out-at')
    """
    return "--from" if name == "start" else "--" + name.replace("_", "-")


def bad(name: str, value: str, expected: str, remedy: str, file: str = "heat") -> InputError:
    """The refusal of one option."""
    return InputError((Finding(file, 0, option(name), value, expected, remedy),))


def check_asked(asked: Asked) -> None:
    """Raises InputError for words that are none, values out of range and options that say nothing here."""
    for name, known in (("answer", ANSWERS), ("start", STARTS), ("door", DOORS)):
        word = getattr(asked, name)
        if word is not None and word not in known:
            raise bad(name, word, f"one of {', '.join(known)}", "Name one of them.")
    _check_belongs(asked)
    for name, (low, high, unit) in RANGES.items():
        value = getattr(asked, name)
        if value is not None and not low <= value <= high:
            raise bad(name, f"{value:g}", f"{low:g} to {high:g} {unit}", "Give another.")
    if asked.stone_C is not None and asked.start is not None:
        raise bad("stone_C", "", "either it or --from", "Leave one of them out.")
    if asked.soaked is not None and asked.stone_C is None:
        raise bad("soaked", "", "it with --stone-C", "Give the reading as well.")
    if asked.fed and asked.flame is not None:
        raise bad("flame", asked.flame, "either it or --wood and --split", "Leave one of them out.")
    if asked.door == "both" and asked.answer != "left":
        raise bad("door", "both", "on or off", "Both are told with --answer left only.")
    if asked.price is not None:
        price_of(asked.price)
    if asked.answer == "left":
        hours_after(asked.out_at or OUT_AT, asked.at or LEFT_AT)
    check_picture(asked.picture, "heat")


def _check_belongs(asked: Asked) -> None:
    """Raises InputError for the first option that says nothing with this answer and this kind of fire."""
    of_wood = OWN_FED.get(asked.answer, set())
    here = {"answer", "picture"} | OWN[asked.answer] | (START if asked.answer else set())
    here |= of_wood if asked.fed else of_wood & {*FED}
    given = [field.name for field in fields(asked) if getattr(asked, field.name) is not None]
    for name in given:
        if name in here:
            continue
        if name == "now" and name in of_wood:
            raise bad(name, "", "it with --wood or --split", "Leave it out.")
        own = OWN_FED if name in (*FED, "now") else OWN
        with_it = [word for word in ANSWERS if name in own.get(word, set()) | START]
        expected = f"it with --answer {' or '.join(with_it)}"
        where = f"with --answer {asked.answer}" if asked.answer else "without --answer"
        raise bad(name, "", expected, f"It says nothing {where}: leave it out.")


def check_on_oven(asked: Asked, design: OvenDesign) -> None:
    """Raises InputError for flames, a fuel, its measure and a door that this oven does not have."""
    names = ", ".join(level.name for level in design.levels)
    for name in FED:
        if getattr(asked, name) is not None and design.fuel != "wood":
            burns = f"a flame: oven.yaml burns {design.fuel.replace('_', ' ')}, no wood"
            remedy = f"Give --flame instead, one of {names}."
            raise bad(name, _shown(getattr(asked, name)), burns, remedy)
    if asked.price is not None and price_of(asked.price).per == "m3" and design.fuel not in METERED_J_m3:
        raise bad("price", asked.price, "a price per kWh or kg", "Change it.")
    if asked.door in ("on", "both") and not design.mouth.door:
        raise bad("door", asked.door, "off: oven.yaml has no door", "Describe the door there.")
    known = [level.name for level in design.levels]
    for name in ("flame", "to"):
        flame = getattr(asked, name)
        if flame is not None and flame not in known:
            raise bad(name, flame, f"one of {', '.join(known)}", "Name one of them.", "oven.yaml")


def price_of(text: str) -> Price:
    """A price such as 0.12/kWh."""
    match = _PRICE.fullmatch(text)
    per = next((unit for unit in AMOUNTS if match is not None and unit == match[2]), None)
    if match is None or per is None:
        raise bad("price", text, "a price such as 0.12/kWh, per kWh, kg or m3", "Write it so.")
    return Price(float(match[1]), per)


def hours_after(out_at: str, at: str) -> tuple[tuple[float, ...], tuple[str, ...]]:
    """Hours from the flame's end to each time of day, rising, and those times as written.

    >>> hours_after("22:00", "02:00,23:00")
    ((1.0, 4.0), ('23:00', '02:00'))
    """
    out_s, asked = _clock_s("out_at", out_at), []
    for text in at.split(","):
        asked.append((((_clock_s("at", text) - out_s) % DAY_S) / 3600, text.strip()))
    rising = sorted(set(asked))
    if len({hours for hours, _ in rising}) < len(rising) or len(rising) > 12:
        raise bad("at", at, "up to twelve different times", "Leave some out.")
    return tuple(hours for hours, _ in rising), tuple(text for _, text in rising)


def feeding_of(asked: Asked, house: House, design: OvenDesign) -> Feeding | None:
    """The wood asked for, on the run's own clock; None where a flame is. InputError for what none feeds."""
    if not asked.fed:
        return None
    kg_h = None if asked.wood is None else _wood_kg_h(asked.wood)
    ended = asked.answer == "left"
    read = [_split(text) for text in asked.split or ()]
    begin_s = _begin_s(asked, [clock_s for clock_s, _ in read])
    laid = tuple(Split(after_s(clock_s, begin_s), mass_kg) for clock_s, mass_kg in read)
    span_s = _span_s(asked)
    for text, split in zip(asked.split or (), laid, strict=True):
        if ended and split.time_s > 0:
            expected = f"a time up to --out-at {asked.out_at or OUT_AT}"
            raise bad("split", text, expected, "What is laid later keeps the fire in: move --out-at.")
        if not ended and split.time_s >= span_s:
            length = "--minutes" if asked.answer == "ahead" else "--hours"
            expected = f"a time within {span_s / 60:.0f} min of the begin"
            raise bad("split", text, expected, f"Lay it sooner, or raise {length}.")
    live = asked.stone_C is not None or _start(asked) == "settled"
    before = ended or (live and asked.answer != "ready")
    feeding = Feeding(design.moisture, kg_h, split_of(house.oven), laid, before, ended)
    _check_power(asked, feeding, span_s)
    return feeding


def _check_power(asked: Asked, feeding: Feeding, span_s: float) -> None:
    fires = [fire for _, fire in feeding.program(span_s)]
    most_W = max(fire.power_W if isinstance(fire, Fire) else fire for fire in fires)
    if most_W > MOST_POWER_W:
        name = "wood" if asked.split is None else "split"
        most = f"at most {MOST_POWER_W / 1000:.0f} kW at any time, and this gives {most_W / 1000:.0f} kW"
        raise bad(name, _shown(getattr(asked, name)), most, "Lay less at once.")


def _span_s(asked: Asked) -> float:
    """How far a fire is looked at, at most."""
    if asked.answer == "ahead":
        return 60 * (asked.minutes or AHEAD_MIN)
    if asked.answer == "fuel":
        return 3600 * (asked.hours or RUN_H)
    return MOST_READY_S


def _begin_s(asked: Asked, clocks_s: list[float]) -> float:
    """The time of day at which the run begins: as given, else at the first split."""
    if asked.answer == "left":
        return _clock_s("out_at", asked.out_at or OUT_AT)
    if asked.now is not None:
        return _clock_s("now", asked.now)
    return min((after_s(at, clocks_s[0]) for at in clocks_s), default=0.0) + (clocks_s or [0.0])[0]


def _wood_kg_h(text: str) -> float:
    try:
        return TypeAdapter[float](WoodKgH).validate_python(text)
    except ValidationError as wrong:
        expected = str(wrong.errors()[0]["ctx"]["error"]).removeprefix("expected ")
        raise bad("wood", text, expected, "Change it.") from wrong


def _split(text: str) -> tuple[float, float]:
    """Time of day and mass of one `19:40=1.2kg`."""
    clock, equals, mass = text.partition("=")
    if not equals:
        raise bad("split", text, "a time and a mass such as 19:40=1.2kg", "Write it so.")
    clock_s = _clock_s("split", clock)
    try:
        mass_kg = parse_mass_kg(mass)
    except ValueError as wrong:
        expected = "after the = " + str(wrong).removeprefix("expected ")
        raise bad("split", text, expected, "Write it so.") from wrong
    if not LEAST_SPLIT_KG <= mass_kg <= MOST_SPLIT_KG:
        raise bad("split", text, f"{LEAST_SPLIT_KG:g} to {MOST_SPLIT_KG:g} kg", "Lay several pieces.")
    return clock_s, mass_kg


def _shown(given: str | tuple[str, ...]) -> str:
    return given if isinstance(given, str) else " ".join(given)


def _start(asked: Asked) -> str:
    return asked.start or ("cold" if asked.answer in ("ready", "fuel") else "settled")


def _clock_s(name: str, text: str) -> float:
    try:
        return parse_clock_s(text)
    except ValueError as wrong:
        expected = str(wrong).removeprefix("expected ")
        raise bad(name, text, expected, "Write it so.") from wrong


def case_of(
    house: House, oven: Oven, asked: Asked, fed: Feeding | None, tell: Callable[[float], None]
) -> Case:
    """The state that the question starts from."""
    band = house.oven.floor_band
    aim_C = (band.low + band.high) / 2 if asked.aim_C is None else asked.aim_C
    start = _start(asked)
    tell(0.0)
    if asked.stone_C is not None:
        soaked = 1.0 if asked.soaked is None else asked.soaked
        state = measured_state(oven, asked.stone_C, AMBIENT_C, soaked)
        begun = (
            f"from a stone read at {asked.stone_C:.0f} °C and taken as {soaked:.0%} soaked (weak: one "
            "reading of its face says nothing of what lies behind it or above)"
        )
    elif start == "cold":
        state, begun = oven.cold(AMBIENT_C), "from cold"
    elif start == "settled":
        state = settled_state(oven, aim_C, ambient_C=AMBIENT_C, on_progress=tell)
        begun = f"after three hours settled at {aim_C:.0f} °C with nothing on the stone"
    else:
        shut = bool(oven.design.mouth.door) and asked.door != "off"
        state = overnight_state(oven, aim_C, shut=shut, ambient_C=AMBIENT_C, on_progress=tell)
        begun = (
            f"from last night, settled at {aim_C:.0f} °C, then {OVERNIGHT_H:.0f} h without flame, the door "
            f"{'on' if shut else 'off'}: the stone stands at {stone_C(oven, state):.0f} °C"
        )
    return Case(house, oven, asked, state, begun, aim_C, tell, fed)
