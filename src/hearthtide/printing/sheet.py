"""The sheet the stone is drawn on: metres on the hearth to units on paper, seen from the mouth."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hearthtide.oven.design import Burner, OvenDesign
from hearthtide.oven.hearth import RoundHearth
from hearthtide.printing.picture import HALF, TEXT, Area, Disc, Line, Mark, Point, Words, text_width
from hearthtide.ranges import Array

SIDE, TOP, BOTTOM = 10.0, 28.0, 46.0  # room around the hearth
LINE = 18.0  # from a line of words to the next
TONGUES, ROUND_TONGUES = 9, 7  # along a ribbon; on the rim of a round fire
FAN_DEG = 80.0  # of the tongues on a rim, to either side
RINGS = ((0.0, 1), (0.45, 6), (0.80, 12))  # places for figures: share of radius, how many
ALONG = 5  # places for figures along the longer side of a rectangle
EDGE = 1 / 24  # least room about a figure's place, of the hearth's longer side: own choice


@dataclass(frozen=True)
class Sheet:
    """How metres on the stone come to lie on the sheet: the same scale both ways, y up becomes y down."""

    design: OvenDesign
    top: float = TOP

    @property
    def across_m(self) -> float:
        """The longer of the hearth's width and depth."""
        return max(self.design.hearth.width_m, self.design.hearth.depth_m)

    @property
    def scale(self) -> float:
        """Units per metre."""
        return (HALF - 2 * SIDE) / self.across_m

    @property
    def sill_y(self) -> float:
        return self.top + self.design.hearth.depth_m * self.scale

    @property
    def words_below(self) -> bool:
        """Whether the stone fills the sheet's lower corners, so that "left" and "right" go below it."""
        inner = HALF / 2 - SIDE - text_width("right")
        corner_m = np.array([inner, 6.0 + TEXT]) / self.scale
        return bool(self.design.hearth.room_m(corner_m) > 0)

    @property
    def height(self) -> float:
        return self.sill_y + BOTTOM + (LINE if self.words_below else 0.0)

    def at(self, x_m: float, y_m: float) -> Point:
        """The place on the sheet of a place on the stone."""
        return HALF / 2 + x_m * self.scale, self.sill_y - y_m * self.scale

    def figure_places_m(self) -> Array:
        """Places (p, 2) on the stone for printed figures: rings on a disc, a grid on a rectangle."""
        hearth = self.design.hearth
        places = np.array(_rings_m(hearth) if isinstance(hearth, RoundHearth) else self._grid_m())
        return places[hearth.room_m(places) >= EDGE * self.across_m]

    def _grid_m(self) -> list[Point]:
        wide, deep = self.design.hearth.width_m, self.design.hearth.depth_m
        columns = max(1, round(ALONG * wide / self.across_m))
        rows = max(1, round(ALONG * deep / self.across_m))
        return [
            (((i + 0.5) / columns - 0.5) * wide, (j + 0.5) / rows * deep)
            for j in range(rows)
            for i in range(columns)
        ]


def _rings_m(hearth: RoundHearth) -> list[Point]:
    x0, y0 = hearth.centre_m
    places = []
    for share, many in RINGS:
        away = share * hearth.radius_m
        bearings = [2 * math.pi * i / many for i in range(many)]
        places += [(x0 + away * math.sin(b), y0 + away * math.cos(b)) for b in bearings]
    return places


def outline(sheet: Sheet) -> tuple[Point, ...]:
    """The hearth's edge on the sheet, from the front right corner round the back to the front left."""
    return tuple(sheet.at(float(x), float(y)) for x, y in sheet.design.hearth.outline_m())


def walls(sheet: Sheet) -> Iterator[Mark]:
    """The wall, the sill, and what orients: mouth, left, right, a length."""
    half = sheet.design.mouth.width_m / 2
    left, right = sheet.at(-half, 0.0), sheet.at(half, 0.0)
    yield Line((right, *outline(sheet), left), width=3.0, name="wall")
    yield Line((left, right), width=1.2, dash=(6, 4), name="sill")
    low = sheet.sill_y
    yield Words((HALF / 2, low + 19), "mouth", anchor="middle")
    yield Words((HALF / 2, low + 37), "you stand here", anchor="middle")
    sides = low + 19 if sheet.words_below else low - 6
    yield Words((SIDE, sides), "left")
    yield Words((HALF - SIDE, sides), "right", anchor="end")
    yield from _length(sheet, low + (LINE if sheet.words_below else 0.0))


def _length(sheet: Sheet, low: float) -> Iterator[Mark]:
    length_m = 0.20 if 0.20 * sheet.scale <= HALF / 4 else 0.10
    long = length_m * sheet.scale
    yield Line(
        ((SIDE, low + 12), (SIDE, low + 20), (SIDE + long, low + 20), (SIDE + long, low + 12)), name="length"
    )
    yield Words((SIDE, low + 37), f"{100 * length_m:.0f} cm")


def fires(sheet: Sheet, power_W: float = 0.0) -> Iterator[Mark]:
    """Every fire where it lies, a ribbon as a line, a round one as a disc; tongues grow with the power."""
    design = sheet.design
    most_W = design.levels[-1].power_W * max((burner.share for burner in design.fires), default=1.0)
    for burner in design.fires:
        path = design.flame_path_m(burner)
        if burner.kind == "ribbon":
            line = tuple(sheet.at(float(x), float(y)) for x, y in path)
            yield Line(line, "orange", width=5.0, name="flame")
        else:
            middle = sheet.at(float(path[0][0]), float(path[0][1]))
            yield Disc(middle, burner.breadth_m / 2 * sheet.scale, "orange", None, name="flame")
        if power_W > 0:
            reach_m = (0.03 + 0.09 * power_W * burner.share / most_W) * sheet.across_m / 1.2
            yield from _tongues(sheet, burner, path, reach_m)


def _tongues(sheet: Sheet, burner: Burner, path_m: Array, reach_m: float) -> Iterator[Mark]:
    """Triangles that lean away from the wall: off a ribbon's line, off the inner rim of a round fire."""
    if burner.kind == "ribbon":
        feet, ways = _along_ribbon(sheet.design, path_m)
        half_m = burner.length_m / TONGUES / 3
    else:
        feet, ways = _on_rim(sheet.design, path_m[0], burner.breadth_m / 2)
        half_m = burner.breadth_m / ROUND_TONGUES / 2
    for foot, way in zip(feet, ways, strict=True):
        across = np.array([-way[1], way[0]])
        corners = (foot - half_m * across, foot + reach_m * way, foot + half_m * across)
        yield Area(tuple(sheet.at(float(x), float(y)) for x, y in corners), "orange", None, name="tongue")


def _along_ribbon(design: OvenDesign, path_m: Array) -> tuple[Array, Array]:
    """Feet and unit ways of tongues off a line; it runs clockwise, so the hearth lies to its right."""
    places = [round((i + 0.5) * (len(path_m) - 1) / TONGUES) for i in range(TONGUES)]
    steps = np.gradient(path_m, axis=0)[places]
    long_m = np.hypot(steps[:, 0], steps[:, 1])
    if long_m.min() < 1e-9:  # a standoff that leaves no line
        return path_m[places], np.tile(_inward(design, path_m[0]), (TONGUES, 1))
    return path_m[places], np.stack([steps[:, 1], -steps[:, 0]], -1) / long_m[:, None]


def _on_rim(design: OvenDesign, middle_m: Array, radius_m: float) -> tuple[Array, Array]:
    """Feet and unit ways of tongues off a disc, fanned about the way to the hearth's middle."""
    inward = _inward(design, middle_m)
    angles = math.atan2(inward[0], inward[1]) + np.radians(np.linspace(-FAN_DEG, FAN_DEG, ROUND_TONGUES))
    ways = np.stack([np.sin(angles), np.cos(angles)], -1)
    return middle_m + 0.9 * radius_m * ways, ways


def _inward(design: OvenDesign, at_m: Array) -> Array:
    """From a place to the hearth's middle; from the middle itself to the mouth."""
    way = np.array(design.hearth.centre_m) - at_m
    length = math.hypot(*way)
    return way / length if length > 1e-9 else np.array([0.0, -1.0])
