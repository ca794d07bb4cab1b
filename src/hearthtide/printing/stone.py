"""The stone as the cook sees it who stands at the mouth: to scale, mouth at the bottom, left is left."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

from hearthtide.house.models import House
from hearthtide.oven.design import OvenDesign
from hearthtide.planning.plan import FlameChange, OvenTrack, Plan, StoneMap
from hearthtide.printing.picture import (
    HALF,
    TEXT,
    WIDE,
    Area,
    Dots,
    Line,
    Mark,
    Picture,
    Point,
    Words,
    text_width,
)
from hearthtide.printing.sheet import SIDE, Sheet
from hearthtide.printing.shown import clock, degrees
from hearthtide.printing.standing import (
    Box,
    box_of,
    item_marks,
    labels_beside,
    leading_edge,
    standing_at,
    standing_words,
    wedge,
)

COLD_C, HOT_C = 200.0, 450.0  # stone temperatures with the least and the largest dot: own choice
DOT_LEAST, DOT_MOST = 0.8, 8.6
NUMBERS_AT = ((0.0, 1), (0.45, 6), (0.80, 12))  # rings of printed temperatures: share of radius, how many
TONGUES = 9  # along the flame's ribbon
CLEAR_M = 0.06  # of texture about the ribbon, so that the flame stands out


def flame_at(flame: Sequence[FlameChange], at_s: float) -> FlameChange | None:
    """The flame held at a time; None before it is lit."""
    held = [change for change in flame if change.start_s <= at_s]
    return max(held, key=lambda change: change.start_s) if held else None


def stone_picture(plan: Plan, house: House, design: OvenDesign, stone: StoneMap | None, at_s: int) -> Picture:
    """The stone at one minute; without a map the texture and the temperatures are left out."""
    sheet = Sheet(design)
    standing = standing_at(plan, house, at_s)
    flame = flame_at(plan.flame, at_s)
    held = "flame not lit" if flame is None else f"flame {flame.level}, {flame.power_W / 1000:.0f} kW"
    title = f"The stone at {clock(at_s)}, {held}"
    marks: list[Mark] = [Words((SIDE, 18.0), clock(at_s), bold=True), _held_words(held)]
    marks.append(Area(outline(sheet), fill="paper", ink=None, name="hearth"))
    if stone is not None:
        marks.append(_texture(sheet, plan.oven, stone))
    marks += _flame(sheet, flame)
    marks += _walls(sheet)
    beside = labels_beside(sheet, standing)
    if stone is not None:
        taken = [box_of(sheet, item) for item in standing] + [box for box, _ in beside]
        marks += _temperatures(sheet, plan.oven, stone, taken)
    marks += [mark for item in standing for mark in item_marks(sheet, item)]
    marks += [mark for item in standing for mark in leading_edge(sheet, item)]
    marks += [words for _, words in beside]
    return Picture(title, standing_words(standing), HALF, sheet.height, tuple(marks))


def outline(sheet: Sheet) -> tuple[Point, ...]:
    """The hearth's edge on the sheet: the wall from the sill's right end round to its left end."""
    design = sheet.design
    x0, y0 = design.centre_m
    corner = math.atan2(design.mouth_width_m / 2, -y0)
    bearings = [corner * (1 - 2 * i / 90) for i in range(91)]
    radius = design.radius_m
    return tuple(sheet.at(x0 + radius * math.sin(b), y0 + radius * math.cos(b)) for b in bearings)


def legend() -> Picture:
    """What the marks of the stone's pictures mean."""
    marks: list[Mark] = [Words((0.0, 22.0), "Stone, °C:")]
    x = text_width("Stone, °C:") + 10
    for temperature_C in (250, 300, 350, 400, 450):
        across = 11.0
        dots = tuple((x + i % 3 * across, 8 + i // 3 * across, dot_size(temperature_C)) for i in range(6))
        marks += [Dots(dots), Words((x + 36, 22.0), str(temperature_C))]
        x += 82.0
    marks += [wedge((x + 14, 16.0), 90.0), Words((x + 30, 22.0), "leading edge")]
    return Picture("What the marks mean", "Larger dots are hotter stone.", WIDE, 32.0, tuple(marks))


def dot_size(temperature_C: float) -> float:
    """Diameter of a dot of the texture: the hotter the larger, from 200 to 450 °C."""
    share = min(1.0, max(0.0, (temperature_C - COLD_C) / (HOT_C - COLD_C)))
    return DOT_LEAST + share * (DOT_MOST - DOT_LEAST)


def _held_words(held: str) -> Words:
    return Words((HALF - SIDE, 18.0), held, anchor="end")


def _texture(sheet: Sheet, oven: OvenTrack, stone: StoneMap) -> Dots:
    dots = []
    flame = sheet.design.flame_path_m()
    for (x_m, y_m), floor_C in zip(oven.cells_m, stone.floor_C, strict=True):
        if min(math.hypot(fx - x_m, fy - y_m) for fx, fy in flame) >= CLEAR_M:
            dots.append((*sheet.at(x_m, y_m), dot_size(floor_C)))
    return Dots(tuple(dots))


def _walls(sheet: Sheet) -> Iterator[Mark]:
    """The wall, the sill, and what orients: mouth, left, right, a length."""
    edge = outline(sheet)
    right, left = edge[0], edge[-1]
    yield Line(edge, width=3.0, name="wall")
    yield Line((left, right), width=1.2, dash=(6, 4), name="sill")
    low = sheet.sill_y
    yield Words((HALF / 2, low + 19), "mouth", anchor="middle")
    yield Words((HALF / 2, low + 37), "you stand here", anchor="middle")
    yield Words((SIDE, low - 6), "left")
    yield Words((HALF - SIDE, low - 6), "right", anchor="end")
    length = 0.20 * sheet.scale
    yield Line(((SIDE, low + 12), (SIDE, low + 20), (SIDE + length, low + 20), (SIDE + length, low + 12)))
    yield Words((SIDE, low + 37), "20 cm")


def _flame(sheet: Sheet, flame: FlameChange | None) -> Iterator[Mark]:
    """The ribbon where it lies; its tongues lean inward and grow with the power."""
    design = sheet.design
    path = design.flame_path_m()
    yield Line(tuple(sheet.at(x, y) for x, y in path), "orange", width=5.0, name="flame")
    if flame is None or flame.power_W <= 0:
        return
    x0, y0 = design.centre_m
    reach_m = (0.03 + 0.09 * flame.power_W / design.levels[-1].power_W) * design.diameter_m / 1.2
    half_m = design.burner.length_m / TONGUES / 3
    for i in range(TONGUES):
        x, y = path[round((i + 0.5) * (len(path) - 1) / TONGUES)]
        away = math.hypot(x0 - x, y0 - y)
        in_x, in_y = (x0 - x) / away, (y0 - y) / away
        feet = [(x - in_y * half_m, y + in_x * half_m), (x + in_y * half_m, y - in_x * half_m)]
        tip = (x + in_x * reach_m, y + in_y * reach_m)
        yield Area(tuple(sheet.at(*p) for p in (feet[0], tip, feet[1])), "orange", None)


def _temperatures(sheet: Sheet, oven: OvenTrack, stone: StoneMap, taken: Sequence[Box]) -> Iterator[Mark]:
    """Temperatures in print at a few places where the stone is free and the figure has room."""
    design = sheet.design
    flame = design.flame_path_m()
    wide, high = text_width("000") / 2 + 3, TEXT / 2 + 2
    for x_m, y_m in _number_places(design):
        by_flame = min(math.hypot(x - x_m, y - y_m) for x, y in flame) < 0.12 * design.diameter_m
        x, y = sheet.at(x_m, y_m)
        room = Box(x - wide, y - high, x + wide, y + high)
        if by_flame or y_m < 0.05 or any(room.shared(box) for box in taken):
            continue
        nearest = min(
            range(len(oven.cells_m)),
            key=partial(_away_m, oven.cells_m, (x_m, y_m)),
        )
        yield Words((x, y + TEXT * 0.36), degrees(stone.floor_C[nearest]), anchor="middle")


def _away_m(cells_m: Sequence[Point], at_m: Point, cell: int) -> float:
    return math.dist(cells_m[cell], at_m)


def _number_places(design: OvenDesign) -> Iterator[Point]:
    """Places on rings about the hearth's centre, m."""
    x0, y0 = design.centre_m
    for share, many in NUMBERS_AT:
        for i in range(many):
            bearing = 2 * math.pi * i / many
            away = share * design.radius_m
            yield x0 + away * math.sin(bearing), y0 + away * math.cos(bearing)
