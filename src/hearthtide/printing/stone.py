"""The stone as the cook sees it who stands at the mouth: to scale, mouth at the bottom, left is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from hearthtide.house.models import House
from hearthtide.oven.design import OvenDesign
from hearthtide.planning.plan import FlameChange, OvenTrack, Plan, StoneMap
from hearthtide.printing.picture import (
    HALF,
    TEXT,
    WIDE,
    Area,
    Dots,
    Mark,
    Picture,
    Point,
    Words,
    text_width,
)
from hearthtide.printing.sheet import SIDE, Sheet, fires, outline, walls
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
CLEAR_M = 0.06  # of texture about a fire, so that the flame stands out
NEAR_FIRE = 0.12  # no figure nearer to a fire, of the hearth's longer side: own choice


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
    marks += fires(sheet, 0.0 if flame is None else flame.power_W)
    marks += walls(sheet)
    beside = labels_beside(sheet, standing)
    if stone is not None:
        taken = [box_of(sheet, item) for item in standing] + [box for box, _ in beside]
        marks += _temperatures(sheet, plan.oven, stone, taken)
    marks += [mark for item in standing for mark in item_marks(sheet, item)]
    marks += [mark for item in standing for mark in leading_edge(sheet, item)]
    marks += [words for _, words in beside]
    return Picture(title, standing_words(standing), HALF, sheet.height, tuple(marks))


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
    """Dots inside the wall and clear of the flame; cells of the rim may have their middles outside."""
    cells_m = np.array(oven.cells_m)
    away_m = sheet.design.flame_distance_m(cells_m)
    drawn = (away_m >= CLEAR_M) & (sheet.design.hearth.room_m(cells_m) > 0)
    return Dots(
        tuple(
            (*sheet.at(x_m, y_m), dot_size(floor_C))
            for (x_m, y_m), floor_C, shown in zip(oven.cells_m, stone.floor_C, drawn, strict=True)
            if shown
        )
    )


def _temperatures(sheet: Sheet, oven: OvenTrack, stone: StoneMap, taken: Sequence[Box]) -> Iterator[Mark]:
    """Temperatures in print at a few places where the stone is free and the figure has room."""
    cells_m = np.array(oven.cells_m)
    for x_m, y_m in free_places(sheet, "000", taken):
        nearest = int(np.argmin(np.hypot(*(cells_m - (x_m, y_m)).T)))
        x, y = sheet.at(x_m, y_m)
        yield Words((x, y + TEXT * 0.36), degrees(stone.floor_C[nearest]), anchor="middle")


def free_places(sheet: Sheet, widest: str, taken: Sequence[Box] = ()) -> Iterator[Point]:
    """Places on the stone, m, where a figure as wide as `widest` stands clear of fires and boxes."""
    wide, high = text_width(widest) / 2 + 3, TEXT / 2 + 2
    places = sheet.figure_places_m()
    for (x_m, y_m), gap_m in zip(places.tolist(), sheet.design.flame_distance_m(places), strict=True):
        x, y = sheet.at(x_m, y_m)
        room = Box(x - wide, y - high, x + wide, y + high)
        if gap_m >= NEAR_FIRE * sheet.across_m and not any(room.shared(box) for box in taken):
            yield x_m, y_m
