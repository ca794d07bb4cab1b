"""A field over the stone, to scale and seen from the mouth: temperatures, or what the fire shines there."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.oven.design import OvenDesign
from hearthtide.printing.picture import (
    HALF,
    LETTER,
    TEXT,
    Area,
    Dots,
    Line,
    Mark,
    Picture,
    Point,
    Words,
    text_width,
)
from hearthtide.printing.sheet import LINE, SIDE, TOP, Sheet, fires, outline, walls
from hearthtide.printing.stone import CLEAR_M, DOT_LEAST, DOT_MOST, free_places
from hearthtide.ranges import Array, require, require_shape

FINEST, COARSEST = 7.0, 14.0  # units between dots: finer cells are thinned, coarser ones get several each
FILLED = 0.9  # most of a dot's diameter over the spacing, so that dots do not touch
SAMPLES = 3  # dots in the key
NEIGHBOURS = tuple((i, j) for i in range(3) for j in range(3) if (i, j) != (1, 1))
COUNTED = 50.0  # spans from here on are printed in whole units, smaller ones to a tenth

Edge = tuple[int, int, int]  # of a lattice: row, column, and 0 for the one to the right or 1 for the one up


@dataclass(frozen=True)
class _Middles:
    """Where a lattice's columns, or its rows, lie."""

    first_m: float
    side_m: float
    count: int

    def at_m(self) -> Array:
        return np.array([self.first_m + self.side_m * i for i in range(self.count)])

    def dots_m(self, skip: int, split: int) -> Array:
        """Every `skip`-th middle, or `split` places about each."""
        about: Array = ((np.arange(split) + 0.5) / split - 0.5) * self.side_m
        return (self.at_m()[skip // 2 :: skip, None] + about).ravel()

    def stretched_m(self) -> Array:
        """With one more at either end."""
        return np.array([self.first_m + self.side_m * i for i in range(-1, self.count + 1)])

    def spacing(self, scale: float) -> tuple[int, int, float]:
        """Take every n-th cell, this many dots in each, and the units between dots."""
        pitch = self.side_m * scale
        skip = max(1, int(np.ceil(FINEST / pitch)))
        split = max(1, int(np.ceil(pitch / COARSEST)))
        return skip, split, pitch * skip / split


@dataclass(frozen=True)
class _Field:
    """Values on a lattice (rows, columns), nan off the stone."""

    columns: _Middles
    rows: _Middles
    values: Array
    low: float
    high: float
    band: tuple[float, float] | None

    def text(self, value: float) -> str:
        return f"{value:.0f}" if self.high - self.low >= COUNTED else f"{value:.1f}"

    def share(self, value: float) -> float:
        return min(1.0, max(0.0, (value - self.low) / (self.high - self.low)))

    def inside(self, value: float) -> bool:
        return self.band is not None and self.band[0] <= value <= self.band[1]


def field_picture(
    design: OvenDesign,
    cells_m: Array,
    side_m: tuple[float, float],
    values: Array,
    title: str,
    unit: str,
    low: float,
    high: float,
    band: tuple[float, float] | None = None,
    power_W: float = 0.0,
) -> Picture:
    """A map of any field over the stone: the mouth at the bottom, left is left.

    Parameters
    ----------
    cells_m, side_m :
        Middles of the cells (n, 2) and their sides across and deep, m; they lie on one lattice.
    values, unit :
        The field (n,) in `unit`, such as °C or kW/m².
    low, high :
        The values with the least and the largest dot; what lies beyond is drawn like the nearer of
        them, its printed figure stays true.
    band :
        Values to point out: outlined, with dots of the second ink and bold figures.
    power_W :
        The flame's power, W, for its tongues; 0 draws the burners alone.

    Raises
    ------
    PhysicalRangeError
        Shapes that do not agree, values that are no numbers, cells that lie on no lattice, an empty
        range or band.
    """
    field = _field(cells_m, side_m, values, low, high, band)
    require("power_W", power_W, "W", 0.0, 1e6)
    lines = textwrap.wrap(title, int((HALF - 2 * SIDE) / (LETTER * TEXT)))
    sheet = Sheet(design, TOP + LINE * (len(lines) - 1))
    marks: list[Mark] = [Words((SIDE, 18.0 + LINE * i), line, bold=True) for i, line in enumerate(lines)]
    marks.append(Area(outline(sheet), fill="paper", ink=None, name="hearth"))
    most = min(DOT_MOST, *(FILLED * side.spacing(sheet.scale)[2] for side in (field.columns, field.rows)))
    marks += _texture(sheet, field, most)
    marks += _band_edges(sheet, field)
    marks += fires(sheet, power_W)
    marks += walls(sheet)
    marks += _figures(sheet, field)
    key = list(_key(field, unit, sheet.height + LINE, most))
    height = sheet.height + LINE * (1 if band is None else 2) + 10
    return Picture(title, _says(field, unit), HALF, height, (*marks, *key))


def _field(
    cells_m: Array,
    side_m: tuple[float, float],
    values: Array,
    low: float,
    high: float,
    band: tuple[float, float] | None,
) -> _Field:
    """The values laid out on their lattice, or PhysicalRangeError."""
    require_shape("cells_m", cells_m, (len(values), 2))
    require_shape("values", values, (len(cells_m),))
    require("number of cells", float(len(cells_m)), "", 1, np.inf)
    require("values", values, "", -1e9, 1e9)
    require("side_m across", side_m[0], "m", 1e-3, 10.0)
    require("side_m deep", side_m[1], "m", 1e-3, 10.0)
    for name, (least, most) in {"low, high": (low, high), "band": band or (0.0, 1.0)}.items():
        if not least < most:
            raise PhysicalRangeError(f"{name} = {least:g}, {most:g} (expected the lower one first)")
    steps = (cells_m - cells_m.min(0)) / np.array(side_m)
    column, row = np.rint(steps).astype(int).T
    lattice = np.full((row.max() + 1, column.max() + 1), np.nan)
    lattice[row, column] = values
    if np.abs(steps - np.rint(steps)).max() > 0.25 or np.isfinite(lattice).sum() != len(values):
        raise PhysicalRangeError(f"cells_m lie on no lattice of {side_m[0]:g} m by {side_m[1]:g} m")
    first_m = cells_m.min(0)
    columns = _Middles(float(first_m[0]), side_m[0], lattice.shape[1])
    rows = _Middles(float(first_m[1]), side_m[1], lattice.shape[0])
    return _Field(columns, rows, lattice, low, high, band)


def _texture(sheet: Sheet, field: _Field, most: float) -> Iterator[Mark]:
    """Dots over the free stone; those in the band in the second ink."""
    skip_x, split_x, _ = field.columns.spacing(sheet.scale)
    skip_y, split_y, _ = field.rows.spacing(sheet.scale)
    columns, rows = field.columns.dots_m(skip_x, split_x), field.rows.dots_m(skip_y, split_y)
    values = field.values[skip_y // 2 :: skip_y, skip_x // 2 :: skip_x]
    values = np.repeat(np.repeat(values, split_y, axis=0), split_x, axis=1)
    grid = np.stack(np.meshgrid(columns, rows), -1).reshape(-1, 2)
    hearth = sheet.design.hearth
    free = (sheet.design.flame_distance_m(grid) >= CLEAR_M) & (hearth.room_m(grid) * sheet.scale >= most / 2)
    free &= np.isfinite(values.ravel())
    plain: list[tuple[float, float, float]] = []
    banded: list[tuple[float, float, float]] = []
    for (x_m, y_m), value in zip(grid[free].tolist(), values.ravel()[free].tolist(), strict=True):
        size = DOT_LEAST + field.share(value) * (most - DOT_LEAST)
        (banded if field.inside(value) else plain).append((*sheet.at(x_m, y_m), size))
    yield Dots(tuple(plain))
    if banded:
        yield Dots(tuple(banded), "blue")


def _band_edges(sheet: Sheet, field: _Field) -> Iterator[Mark]:
    """Where the field enters and leaves the band, drawn as far as the wall."""
    if field.band is None:
        return
    low, high = field.band
    depth = _stretched(field.values)
    depth = np.minimum(depth - low, high - depth)
    for line in contours(field.columns.stretched_m(), field.rows.stretched_m(), depth):
        for part in _on_stone(sheet, np.array(line)):
            points = tuple(sheet.at(x, y) for x, y in part.tolist())
            yield Line(points, "paper", width=5.0)
            yield Line(points, "blue", width=2.4, name="band")


def _on_stone(sheet: Sheet, line_m: Array) -> list[Array]:
    """The stretches of a line that lie on the stone, cut where they meet the wall."""
    room = sheet.design.hearth.room_m(line_m)
    points, rooms = [line_m[0]], [room[0]]
    for i in range(1, len(line_m)):
        if room[i - 1] * room[i] < 0:
            share = room[i - 1] / (room[i - 1] - room[i])
            points.append(line_m[i - 1] + share * (line_m[i] - line_m[i - 1]))
            rooms.append(0.0)
        points.append(line_m[i])
        rooms.append(room[i])
    parts = [list(part) for on, part in groupby(range(len(points)), lambda i: rooms[i] >= 0) if on]
    return [np.array([points[i] for i in part]) for part in parts if len(part) > 1]


def _stretched(values: Array) -> Array:
    """The lattice with a rim added, and what is missing taken from neighbours until none is."""
    found: Array = np.pad(values, 1, constant_values=np.nan)
    while np.isnan(found).any():
        around = np.pad(found, 1, constant_values=np.nan)
        shifted = np.stack([around[i : i + len(found), j : j + found.shape[1]] for i, j in NEIGHBOURS])
        known: NDArray[np.bool_] = np.isfinite(shifted)
        mean = np.where(known, shifted, 0.0).sum(0) / np.maximum(known.sum(0), 1)
        found = np.where(np.isnan(found) & known.any(0), mean, found)
    return found


def _figures(sheet: Sheet, field: _Field) -> Iterator[Mark]:
    """Printed values of the cells that printed places lie in; bold within the band."""
    widest = max((field.text(v) for v in field.values[np.isfinite(field.values)].tolist()), key=len)
    for x_m, y_m in free_places(sheet, widest):
        row = int(np.abs(field.rows.at_m() - y_m).argmin())
        column = int(np.abs(field.columns.at_m() - x_m).argmin())
        value = float(field.values[row, column])
        if np.isfinite(value):
            x, y = sheet.at(x_m, y_m)
            yield Words((x, y + TEXT * 0.36), field.text(value), "middle", bold=field.inside(value))


def _key(field: _Field, unit: str, y: float, most: float) -> Iterator[Mark]:
    """What the dots mean, and the band in words."""
    yield Words((SIDE, y), unit)
    x = SIDE + text_width(unit) + 8
    room = (HALF - SIDE - x) / SAMPLES
    for i in range(SAMPLES):
        share = i / (SAMPLES - 1)
        size, step = DOT_LEAST + share * (most - DOT_LEAST), max(most / FILLED, FINEST)
        dots = ((x + k % 3 * step + 4, y - 5 + (k // 3 - 0.5) * step, size) for k in range(6))
        yield Dots(tuple(dots))
        yield Words((x + 3 * step + 6, y), field.text(field.low + share * (field.high - field.low)))
        x += room
    if field.band is not None:
        yield Line(((SIDE, y + LINE - 5), (SIDE + 22, y + LINE - 5)), "blue", width=2.4)
        yield Words((SIDE + 30, y + LINE), _band_words(field))


def _band_words(field: _Field) -> str:
    low, high = field.band or (field.low, field.high)
    known = field.values[np.isfinite(field.values)]
    share = float(np.mean((known >= low) & (known <= high)))
    return f"{field.text(low)} to {field.text(high)}: {100 * share:.0f} % of stone"


def _says(field: _Field, unit: str) -> str:
    known = field.values[np.isfinite(field.values)]
    least, mean, most = (field.text(float(v)) for v in (known.min(), known.mean(), known.max()))
    words = f"From {least} to {most} {unit}, mean {mean}."
    return words if field.band is None else f"{words} {_band_words(field)}."


def contours(x: Array, y: Array, values: Array) -> list[tuple[Point, ...]]:
    """Polylines where `values` (rows, columns) over `y` (rows,) and `x` (columns,) change sign.

    Marching squares with straight interpolation. Closed ones repeat their first point; a value
    of exactly zero counts as positive.

    >>> import numpy as np
    >>> contours(np.array([0.0, 1.0]), np.array([0.0, 1.0]), np.array([[-1.0, 1.0], [-1.0, 3.0]]))
    [((0.5, 0.0), (0.25, 1.0))]
    """
    ways: dict[Edge, list[Edge]] = {}
    for one, other in _segments(values):
        ways.setdefault(one, []).append(other)
        ways.setdefault(other, []).append(one)
    lines = []
    while ways:
        start = next((edge for edge, found in ways.items() if len(found) == 1), next(iter(ways)))
        chain = _chain(start, ways)
        lines.append(tuple(_crossing(edge, x, y, values) for edge in chain))
    return lines


def _chain(start: Edge, ways: dict[Edge, list[Edge]]) -> Sequence[Edge]:
    """Takes the line that begins at an edge out of `ways`."""
    chain = [start]
    while ways.get(chain[-1]):
        here = chain[-1]
        there = ways[here].pop()
        ways[there].remove(here)
        chain.append(there)
    for edge in chain:
        if not ways.get(edge, [0]):
            del ways[edge]
    return chain


def _segments(values: Array) -> Iterator[tuple[Edge, Edge]]:
    """Pairs of edges of one square that the line joins; a saddle is cut so that its corners stay apart."""
    up = values >= 0
    for row in range(values.shape[0] - 1):
        for column in range(values.shape[1] - 1):
            corners = (up[row, column], up[row, column + 1], up[row + 1, column + 1], up[row + 1, column])
            sides = ((row, column, 0), (row, column + 1, 1), (row + 1, column, 0), (row, column, 1))
            cut = [side for i, side in enumerate(sides) if corners[i] != corners[(i + 1) % 4]]
            if len(cut) == 2:
                yield cut[0], cut[1]
            elif len(cut) == 4:
                first = 3 if corners[0] else 0  # each line goes round a positive corner
                yield cut[first], cut[(first + 1) % 4]
                yield cut[(first + 2) % 4], cut[(first + 3) % 4]


def _crossing(edge: Edge, x: Array, y: Array, values: Array) -> Point:
    row, column, upward = edge
    here = float(values[row, column])
    there = float(values[row + upward, column + 1 - upward])
    share = here / (here - there)
    if upward:
        return float(x[column]), float(y[row] + share * (y[row + 1] - y[row]))
    return float(x[column] + share * (x[column + 1] - x[column])), float(y[row])
