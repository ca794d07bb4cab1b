"""A dish's card for the station: where it stands to scale, how long, when to move, what to look for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Literal

from hearthtide.house.models import DishFile, House
from hearthtide.oven.design import OvenDesign
from hearthtide.planning.dish_course import DishAct, DishCourse, StageCourse
from hearthtide.planning.words import round_words, zone_words
from hearthtide.printing.picture import (
    HALF,
    TEXT,
    Area,
    Disc,
    Dots,
    Line,
    Mark,
    Picture,
    Point,
    Words,
    text_width,
)
from hearthtide.printing.sheet import SIDE, Sheet, fires, outline, walls
from hearthtide.printing.shown import colour_word
from hearthtide.quantities.show import duration_text
from hearthtide.safety.cautions import PROBE_IT, allergen_words, cautions_for
from hearthtide.safety.rule_sets import chosen_words

Paper = Literal["A4", "A5"]
# Room for the picture in mm. Smallest type: on A4 capitals of 4.7 mm, 16 arc-minutes at 1 m (ISO 9241-303);
# what is not read from the stone, and all of A5, is for the hand.
ROOM_MM: dict[Paper, tuple[float, float]] = {"A4": (132.0, 128.0), "A5": (92.0, 90.0)}
SCALES = (5, 8, 10, 12, 15, 20, 25, 30, 40, 50)  # one to so many; own choice
TEMPLATE = "card"
HELD = 0.16  # of the fill where it stands


@dataclass(frozen=True)
class CardAct:
    """One act: minutes from launch as a clock, its words, and what it lies within ("" where not known)."""

    at: str
    words: str
    within: str


@dataclass(frozen=True)
class Stretch:
    """A stage, or the rest, on the strip of time, s from launch; its name stands where no stroke crosses it.

    `place` is "" at rest.
    """

    name: str
    place: str
    from_s: float
    until_s: float
    name_from_s: float
    name_until_s: float


@dataclass(frozen=True)
class Card:
    """All that stands on a card, in words, but for its picture."""

    house: str
    dish: str
    stands: tuple[tuple[str, str], ...]
    acts: tuple[CardAct, ...]
    ticks_s: tuple[float, ...]
    stretches: tuple[Stretch, ...]
    watch: str
    allergens: str
    ask: str
    cautions: tuple[str, ...]
    probe: str
    basis: str


def card_of(house: House, key: str, course: DishCourse, power_W: float) -> Card:
    """The card of one dish from its course in the settled oven."""
    dish = house.dishes[key]
    return Card(
        house=house.file.name,
        dish=dish.name,
        stands=tuple((stage.name, _stands(stage) + _own(dish, stage.name)) for stage in course.stages),
        acts=(*(_act(course, act) for act in course.acts), *_not_done(course)),
        ticks_s=tuple(act.at_s for act in course.acts),
        stretches=tuple(_stretches(course)),
        watch=dish.words,
        allergens=" ".join(allergen_words(dish)[:-1]),
        ask=allergen_words(dish)[-1],
        cautions=_cautions(house, dish, course),
        probe=PROBE_IT,
        basis=f"From {dish.start:.0f} °C on a settled stone, flame {power_W / 1000:.0f} kW. "
        f"Times in brackets: a tenth of likely portions lies beyond on either side; “house”: this house's "
        f"own minutes, by which it plans. "
        f"{chosen_words(house.file.chosen_rules)}",
    )


def _stands(stage: StageCourse) -> str:
    """Where a vessel's middle stands, as a cook at the mouth would measure it."""
    across = round(100 * stage.x_m)
    side = "on the middle line" if across == 0 else f"{abs(across)} cm {'right' if across > 0 else 'left'}"
    flame = "" if stage.flame_m is None else f"; edge {100 * stage.flame_m:.0f} cm from the flame"
    return f"{side}, {100 * stage.y_m:.0f} cm in{flame}; stone {stage.stone_C:.0f} °C"


def _own(dish: DishFile, name: str) -> str:
    """The house's own minutes of a stage, by which its nights are planned."""
    own = next((one.minutes for one in dish.stages if one.name == name), None)
    return "" if own is None else f"; house {duration_text(own)}"


def _act(course: DishCourse, act: DishAct) -> CardAct:
    stage = course.stages[act.stage]
    match act.act:
        case "launch":
            words = f"in, at {zone_words(stage.place)}: {stage.name} {_until(stage)}"
        case "move":
            words = f"to {zone_words(stage.place)}: {stage.name} {_until(stage)}"
        case "turn" | "spin":
            words = f"{act.act} {round_words(act.turned_deg)}"
        case "pull":
            words = "pull"
        case "rest":
            carry = course.carry
            words = "rested" if carry is None else f"rested: core about {carry.core_C_at_end:.0f} °C"
        case _:
            words = act.act
    return CardAct(duration_text(act.at_s), words, _within(act))


def _within(act: DishAct) -> str:
    if act.low_s is None or act.act == "rest":
        return ""
    return (
        f"{duration_text(act.low_s)} to {'over 40 min' if act.high_s is None else duration_text(act.high_s)}"
    )


def _stretches(course: DishCourse) -> Iterator[Stretch]:
    ticks = [act.at_s for act in course.acts]
    for stage in course.stages:
        yield _stretch(stage.name, zone_words(stage.place), stage.begin_s, stage.end_s, ticks)
    if course.done and course.rest_s > 0:
        end_s = course.stages[-1].end_s
        yield _stretch("rest", "", end_s, end_s + course.rest_s, ticks)


def _stretch(name: str, place: str, from_s: float, until_s: float, ticks: Sequence[float]) -> Stretch:
    edges = [from_s, *(at for at in sorted(ticks) if from_s < at < until_s), until_s]
    widest = max(pairwise(edges), key=lambda gap: gap[1] - gap[0])
    return Stretch(name, place, from_s, until_s, *widest)


def _until(stage: StageCourse) -> str:
    wants = [] if stage.target.core_C is None else [f"core {stage.target.core_C:.0f} °C"]
    wants += [] if stage.target.colour is None else [colour_word(stage.target.colour)]
    return f"until {', '.join(wants + (['bubbling'] if stage.target.bubbling else []))}"


def _not_done(course: DishCourse) -> Iterator[CardAct]:
    if not course.done:
        yield CardAct("", f"{course.stages[-1].name} is not done there in 40 min: do not cook it so", "")


def _cautions(house: House, dish: DishFile, course: DishCourse) -> tuple[str, ...]:
    acts = dict.fromkeys(act.act for act in course.acts if act.act != "rest")
    allergens = set(allergen_words(dish))
    words = (one for act in acts for one in cautions_for(act, dish, house.own_fatty))
    return tuple(dict.fromkeys(one for one in words if one not in allergens))


def card_picture(design: OvenDesign, course: DishCourse) -> Picture:
    """The stone seen from the mouth with the vessel, to scale, wherever it stands."""
    sheet = Sheet(design, top=SIDE)
    marks: list[Mark] = [Area(outline(sheet), fill="paper", ink=None, name="hearth")]
    marks += fires(sheet, course.power_W)
    marks += walls(sheet)
    for stage in course.stages:
        marks += _standing(sheet, stage)
    marks += _names(sheet, course.stages)
    says = "; ".join(f"{stage.name}: {_stands(stage)}" for stage in course.stages)
    return Picture(f"Where {course.dish} stands", says, HALF, sheet.height, tuple(marks))


def _standing(sheet: Sheet, stage: StageCourse) -> Iterator[Mark]:
    (x, y), shape = sheet.at(stage.x_m, stage.y_m), stage.outline
    if shape.is_disc:
        yield Disc((x, y), shape.radius_m * sheet.scale, "blue", "blue", 2.4, name="vessel", shade=HELD)
        return
    wide, deep = shape.width_m * sheet.scale / 2, shape.depth_m * sheet.scale / 2
    corners = ((x - wide, y - deep), (x + wide, y - deep), (x + wide, y + deep), (x - wide, y + deep))
    yield Area(corners, "blue", "blue", 2.4, name="vessel", shade=HELD)


def _names(sheet: Sheet, stages: Sequence[StageCourse]) -> Iterator[Mark]:
    """Each stage's name on its place, kept on the sheet and off the names before it."""
    taken: list[Point] = []
    for stage in stages:
        x, y = sheet.at(stage.x_m, stage.y_m)
        half = text_width(stage.name) / 2
        across = 2 * stage.outline.radius_m if stage.outline.is_disc else stage.outline.width_m
        if 2 * half > across * sheet.scale:  # it has no room inside: below
            deep = stage.outline.radius_m if stage.outline.is_disc else stage.outline.depth_m / 2
            y += deep * sheet.scale + TEXT * 0.7
        x = min(max(x, SIDE + half), HALF - SIDE - half)
        while any(abs(y - other) < TEXT and abs(x - at) < 2 * half for at, other in taken):
            y += TEXT * 1.2
        taken.append((x, y))
        yield Words((x, y + TEXT * 0.36), stage.name, anchor="middle", bold=True)


def scale_for(design: OvenDesign, picture: Picture, paper: Paper) -> tuple[int, float]:
    """One to how many the picture is drawn, and the mm of one of its units: the largest that has room."""
    unit_mm = 1000.0 / Sheet(design).scale  # at one to one
    wide, high = ROOM_MM[paper]
    fits = (
        one
        for one in SCALES
        if picture.width * unit_mm / one <= wide and picture.height * unit_mm / one <= high
    )
    scale = next(fits, SCALES[-1])
    return scale, unit_mm / scale


def card_data(card: Card, design: OvenDesign, course: DishCourse, paper: Paper) -> dict[str, object]:
    """The card as its template takes it."""
    picture = card_picture(design, course)
    scale, unit_mm = scale_for(design, picture, paper)
    return {
        "title": f"{card.dish}, {card.house}",
        "card": card,
        "paper": paper,
        "scale": scale,
        "unit_mm": unit_mm,
        "picture": drawn(picture),
    }


def drawn(picture: Picture) -> dict[str, object]:
    """A picture's marks as the templates draw them."""
    kinds = {Line: "line", Area: "area", Disc: "disc", Dots: "dots", Words: "words"}
    marks = []
    for mark in picture.marks:
        body = asdict(mark)
        wash = body.pop("wash", False)
        marks.append({**body, "mark": kinds[type(mark)], "opacity": 0.16 if wash else body.pop("shade", 1.0)})
    return {"width": picture.width, "height": picture.height, "says": picture.says, "marks": marks}
