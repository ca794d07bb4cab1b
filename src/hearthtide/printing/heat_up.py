"""The heat-up as a picture: bars of what is in the oven over the clock, above the stone's curve."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from hearthtide.printing.picture import Area, Disc, Line, Mark, Picture, Words
from hearthtide.printing.typeset import width_em
from hearthtide.quantities.show import clock_text

# Millimetres on A4 across: the picture, its left room for figures, the curve, the flame's line.
WIDE_MM, LEFT_MM, RIGHT_MM = 277.0, 19.0, 8.0
GAP_MM = 2.0  # between two rows of bars
LEAST_CURVE_MM, MOST_CURVE_MM, FLAME_MM, FOOT_MM = 45.0, 92.0, 14.0, 9.0
HIGH_MM = 146.0  # what one page has room for, below its head and above a few cautions
TYPE_MM = 6.5  # of capitals 4.7 mm high: 16 arc-minutes at 1 m (ISO 9241-303)
SMALL_MM = 4.4  # for the hand
ROW = 1.65  # from a row of bars to the next, over the size of its type
HOURS = (0.25, 0.5, 1.0, 2.0, 3.0, 6.0)  # between two lines of the clock
MOST_LINES = 12


@dataclass(frozen=True)
class FlameAt:
    """The flame from a moment on, in words such as `half, 14 kW`."""

    at_s: float
    words: str


@dataclass(frozen=True)
class Load:
    """What is in the oven from when to when. `lane`: those of one are drawn together where there is room."""

    name: str
    from_s: float
    until_s: float
    place: str
    lane: int


@dataclass(frozen=True)
class HeatUpChart:
    """A heat-up: the stone's mean over time, the band wanted at doors, the flame, what is in the oven.

    ValueError for fewer than two moments, moments out of order, or as many temperatures as not moments.
    """

    house: str
    day: date
    times_s: tuple[float, ...]
    floor_C: tuple[float, ...]
    band_C: tuple[float, float]
    doors_s: float | None
    flame: tuple[FlameAt, ...]
    loads: tuple[Load, ...]
    cautions: tuple[str, ...]

    def __post_init__(self) -> None:
        if len(self.times_s) != len(self.floor_C) or len(self.times_s) < 2:
            raise ValueError(
                f"expected two moments or more, each with its temperature, found {len(self.times_s)}"
            )
        if list(self.times_s) != sorted(set(self.times_s)):
            raise ValueError("expected moments in order")


@dataclass(frozen=True)
class _Frame:
    """Where clock and temperature come to lie, mm."""

    from_s: float
    until_s: float
    low_C: float
    high_C: float
    top: float
    curve_mm: float

    def x(self, at_s: float) -> float:
        return LEFT_MM + (at_s - self.from_s) / (self.until_s - self.from_s) * (WIDE_MM - LEFT_MM - RIGHT_MM)

    @property
    def foot(self) -> float:
        return self.top + self.curve_mm

    def y(self, floor_C: float) -> float:
        return self.top + self.curve_mm * (self.high_C - floor_C) / (self.high_C - self.low_C)


@dataclass(frozen=True)
class _Bar:
    """A load on the sheet, mm: its bar, its words from `at` on or up to it, and the room of both."""

    left: float
    right: float
    words: str
    at: float
    before: bool
    from_mm: float
    until_mm: float


def heat_up_pictures(chart: HeatUpChart) -> tuple[Picture, ...]:
    """The picture, a unit of it a millimetre; on more than one page where its bars have no room on one.

    Every page has the whole curve. Many bars are set in smaller type before they go on on another page.
    """
    ends = [*chart.times_s, *(load.from_s for load in chart.loads), *(load.until_s for load in chart.loads)]
    temperatures = (*chart.floor_C, *chart.band_C)
    low, high = 50 * math.floor(min(temperatures) / 50), 50 * math.ceil(max(temperatures) / 50 + 0.01)
    frame = _Frame(min(ends), max(ends), low, high, 0.0, 0.0)
    size, most = TYPE_MM, _most_rows(TYPE_MM)
    rows = _rows(frame, chart.loads, size)
    if len(rows) > most:
        size, most = SMALL_MM, _most_rows(SMALL_MM)
        rows = _rows(frame, chart.loads, size)
    pages = [rows[n : n + most] for n in range(0, max(1, len(rows)), most)]
    return tuple(_picture(chart, frame, page, size) for page in pages)


def _most_rows(size: float) -> int:
    return math.floor((HIGH_MM - FLAME_MM - FOOT_MM - GAP_MM - LEAST_CURVE_MM) / (size * ROW))


def _picture(chart: HeatUpChart, frame: _Frame, rows: Sequence[Sequence[_Bar]], size: float) -> Picture:
    row_mm = size * ROW
    top = len(rows) * row_mm + GAP_MM
    frame = replace(frame, top=top, curve_mm=min(MOST_CURVE_MM, HIGH_MM - FLAME_MM - FOOT_MM - top))
    marks = [*_clock(frame), *_band(frame, chart.band_C), *_curve(frame, chart), *_flame(frame, chart.flame)]
    if chart.doors_s is not None:
        marks += _doors(frame, chart.doors_s)
    for n, row in enumerate(rows):
        for bar in row:
            marks += _bar(bar, n * row_mm, row_mm, size)
    return Picture("Heat-up", _says(chart), WIDE_MM, frame.foot + FLAME_MM + FOOT_MM, tuple(marks))


def _rows(frame: _Frame, loads: Sequence[Load], size: float) -> list[list[_Bar]]:
    """Every bar with its words in the first row where it has room, those of the first lanes first."""
    rows: list[list[_Bar]] = []
    for load in sorted(loads, key=lambda one: (one.lane, one.from_s)):
        ways = _ways(frame, load, size)
        found = next(((row, bar) for row in rows for bar in ways if _has_room(row, bar)), None)
        if found is None:
            rows.append([ways[0]])
        else:
            found[0].append(found[1])
    return rows


def _has_room(row: Sequence[_Bar], bar: _Bar) -> bool:
    return all(bar.until_mm <= other.from_mm or other.until_mm <= bar.from_mm for other in row)


def _ways(frame: _Frame, load: Load, size: float) -> list[_Bar]:
    """Where a bar's words may stand, the best first: in it where they fit, else behind it, else before it."""
    left, right = frame.x(load.from_s), frame.x(load.until_s)
    words = f"{load.name}, {load.place}" if load.place else load.name
    wide = size * width_em(words)
    if wide <= right - left - 3:
        return [_Bar(left, right, words, left + 1.5, False, left, right + 1.0)]
    ways = []
    if right + 1.5 + wide <= WIDE_MM:
        ways.append(_Bar(left, right, words, right + 1.5, False, left, right + 3.5 + wide))
    if wide <= left - 1.5:
        ways.append(_Bar(left, right, words, left - 1.5, True, left - 3.5 - wide, right + 1.0))
    return ways or [_Bar(left, right, words, 0.0, False, 0.0, WIDE_MM)]


def _says(chart: HeatUpChart) -> str:
    loads = "; ".join(
        f"{load.name} {clock_text(round(load.from_s))} to {clock_text(round(load.until_s))}, {load.place}"
        for load in chart.loads
    )
    return f"Stone {chart.floor_C[0]:.0f} to {chart.floor_C[-1]:.0f} °C. {loads or 'Nothing is in the oven'}."


def _clock(frame: _Frame) -> Iterator[Mark]:
    """Lines of the clock and of the temperature, thin, with their figures."""
    hours = (frame.until_s - frame.from_s) / 3600
    step_s = 3600 * next((one for one in HOURS if hours / one <= MOST_LINES), HOURS[-1])
    at_s = step_s * math.ceil(frame.from_s / step_s)
    foot = frame.foot
    while at_s <= frame.until_s:
        yield Line(((frame.x(at_s), 0.0), (frame.x(at_s), foot)), "faint", 0.2)
        words = clock_text(round(at_s))
        yield Words((frame.x(at_s), foot + FLAME_MM + 6.5), words, "middle", TYPE_MM, halo=False)
        at_s += step_s
    step_C = 50 if frame.high_C - frame.low_C <= 300 else 100
    for floor_C in range(int(frame.low_C), int(frame.high_C) + 1, step_C):
        y = frame.y(floor_C)
        yield Line(((LEFT_MM, y), (WIDE_MM - RIGHT_MM, y)), "faint", 0.2)
        yield Words((LEFT_MM - 2, y + 1.8), f"{floor_C}°", "end", 5.0, halo=False)


def _band(frame: _Frame, band_C: tuple[float, float]) -> Iterator[Mark]:
    left, right = LEFT_MM, WIDE_MM - RIGHT_MM
    top, foot = frame.y(band_C[1]), frame.y(band_C[0])
    yield Area(((left, top), (right, top), (right, foot), (left, foot)), "blue", None, wash=True, name="band")
    words = f"wanted at doors, {band_C[0]:.0f} to {band_C[1]:.0f} °C"
    yield Words((left + 2, top - 1.2), words, size=SMALL_MM)


def _curve(frame: _Frame, chart: HeatUpChart) -> Iterator[Mark]:
    points = tuple((frame.x(at), frame.y(C)) for at, C in zip(chart.times_s, chart.floor_C, strict=True))
    yield Line(points, "orange", 1.1, name="stone")


def _flame(frame: _Frame, flame: Sequence[FlameAt]) -> Iterator[Mark]:
    """A stroke where the flame changes, its words beside it in two rows by turns."""
    top = frame.foot
    free = [LEFT_MM, LEFT_MM]
    for change in flame:
        x = frame.x(change.at_s)
        yield Line(((x, top), (x, top + 2.5)), "orange", 1.1, name="flame")
        wide = SMALL_MM * width_em(change.words)
        left = max(0.0, min(x, WIDE_MM - wide))
        row = 0 if free[0] <= left else 1
        free[row] = left + wide + 3
        yield Words((left, top + 6.5 + 5.0 * row), change.words, size=SMALL_MM, halo=False)


def _bar(bar: _Bar, top: float, row_mm: float, size: float) -> Iterator[Mark]:
    foot = top + row_mm - GAP_MM
    corners = ((bar.left, top), (bar.right, top), (bar.right, foot), (bar.left, foot))
    yield Area(corners, "blue", "blue", 0.5, name="load", shade=0.22)
    size *= min(1.0, WIDE_MM / (size * width_em(bar.words)))
    yield Words((bar.at, (top + foot) / 2 + 0.36 * size), bar.words, "end" if bar.before else "start", size)


def _doors(frame: _Frame, doors_s: float) -> Iterator[Mark]:
    x = frame.x(doors_s)
    yield Line(((x, 0.0), (x, frame.foot)), "ink", 0.8, (2.0, 1.4), name="doors")
    yield Disc((x, frame.foot), 1.4, "ink", None)
    yield Words((x - 2, frame.foot - 4), f"doors {clock_text(round(doors_s))}", "end", TYPE_MM, bold=True)
