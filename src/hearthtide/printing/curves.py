"""Heat-up and cooling as curves: time since lighting across in h:mm, temperature up in °C."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.printing.axes import STEPS_S, TimeAxis, UpAxis
from hearthtide.printing.flags import ROW, Flag, flags, rows
from hearthtide.printing.picture import TEXT, WIDE, Area, Disc, Ink, Line, Mark, Picture, Point, Words
from hearthtide.printing.picture import text_width as width_of
from hearthtide.printing.standing import Box, fitted
from hearthtide.ranges import Array, require, require_shape

LEFT, LEAST_RIGHT, MOST_RIGHT = 56.0, 84.0, 240.0  # room beside the plot; the curves' names stand right
HIGH, FOOT, HEAD = 300.0, 34.0, 30.0  # of the plot, below it, above it
LONG_STEPS_S = (*STEPS_S, 14_400, 21_600, 43_200, 86_400)
LEVELS_C = (10.0, 20.0, 50.0, 100.0, 200.0, 500.0)
LEVEL_ROOM = 38.0  # least units between printed levels


@dataclass(frozen=True)
class Curve:
    """Values over the picture's times, °C; `low` and `high` bound what is known of them, if anything."""

    name: str
    values: Array
    low: Array | None = None
    high: Array | None = None
    ink: Ink = "ink"
    dash: tuple[float, ...] = ()


@dataclass(frozen=True)
class Band:
    """Temperatures to point out from side to side, °C."""

    low_C: float
    high_C: float
    words: str


@dataclass(frozen=True)
class Moment:
    """A time to point out, s; its h:mm is printed behind the words."""

    time_s: float
    words: str


def curves_picture(
    title: str,
    times_s: Array,
    series: Sequence[Curve],
    band: Band | None = None,
    moments: Sequence[Moment] = (),
) -> Picture:
    """Curves over one time axis, named at their right ends.

    Parameters
    ----------
    times_s :
        Rising times (n,), s since the axis' zero (lighting, or the flame's end), from 0 up.
    series :
        At least one curve; values and bounds (n,), -50 to 2000 °C, low <= values <= high.
    band, moments :
        A horizontal band and upright marks within the times.

    Raises
    ------
    PhysicalRangeError
        Shapes that do not agree, times that do not rise, values or moments out of range.
    """
    _check(times_s, series, band, moments)
    right = min(MOST_RIGHT, max(LEAST_RIGHT, *(width_of(curve.name) + 24 for curve in series)))
    across = TimeAxis(float(times_s[0]), float(times_s[-1]), LEFT, WIDE - right)
    flagged = _flags(across, moments)
    top = HEAD + ROW * rows(flagged) + 4
    up = _up_axis(series, band, top)
    marks: list[Mark] = [Words((0.0, 18.0), title, bold=True)]
    marks += _across_marks(across, top)
    step = next((s for s in LEVELS_C if up.bottom - up.y(up.low + s) >= LEVEL_ROOM), LEVELS_C[-1])
    marks += up.marks(step, across.left, across.right)
    crowded = up.y(up.high // step * step) - top < TEXT
    marks.append(Words((0.0, top + TEXT * (1.6 if crowded else 0.36)), "°C"))
    if band is not None:
        marks += _band_area(across, up, band)
    for curve in series:
        marks += _spread_area(across, up, times_s, curve)
    marks += [mark for flag in flagged for mark in flag.marks(top, top + HIGH)]
    lines = [_line(across, up, times_s, curve) for curve in series]
    marks += lines
    marks += _names(across, up, series)
    if band is not None:
        marks.append(_band_words(across, up, band, lines))
    return Picture(title, _says(times_s, series, band, moments), WIDE, top + HIGH + FOOT, tuple(marks))


def elapsed(seconds: float) -> str:
    """A stretch of time as h:mm.

    >>> elapsed(6120), elapsed(59.9), elapsed(90_000)
    ('1:42', '0:01', '25:00')
    """
    hours, minutes = divmod(round(seconds / 60), 60)
    return f"{hours}:{minutes:02d}"


def _check(times_s: Array, series: Sequence[Curve], band: Band | None, moments: Sequence[Moment]) -> None:
    require("number of times", float(len(times_s)), "", 2, 1e6)
    require("times_s", times_s, "s", 0.0, 1e8)
    require("steps between times_s", np.diff(times_s), "s", 1e-6, 1e8)
    require("number of curves", float(len(series)), "", 1, 12)
    for curve in series:
        for name, values in (("values", curve.values), ("low", curve.low), ("high", curve.high)):
            if values is not None:
                require_shape(f"{curve.name}, {name}", values, np.shape(times_s))
                require(f"{curve.name}, {name}", values, "°C", -50.0, 2000.0)
        low, high = _bounds(curve)
        require(f"{curve.name}, value above its low", curve.values - low, "K", -1e-9, 2050.0)
        require(f"{curve.name}, high above its value", high - curve.values, "K", -1e-9, 2050.0)
    for moment in moments:
        require(moment.words, moment.time_s, "s", float(times_s[0]), float(times_s[-1]))
    if band is not None and not -50.0 <= band.low_C < band.high_C <= 2000.0:
        raise PhysicalRangeError(f"band = {band.low_C:g}, {band.high_C:g} °C (expected the lower one first)")


def _bounds(curve: Curve) -> tuple[Array, Array]:
    """What bounds a curve; itself where nothing is said."""
    return (
        curve.values if curve.low is None else curve.low,
        curve.values if curve.high is None else curve.high,
    )


def _up_axis(series: Sequence[Curve], band: Band | None, top: float) -> UpAxis:
    """From a round level below everything, 0 at most, to the next half hundred above everything."""
    lowest = min(float(_bounds(curve)[0].min()) for curve in series)
    highest = max(float(_bounds(curve)[1].max()) for curve in series)
    if band is not None:
        highest = max(highest, band.high_C)
    low = min(0.0, 50.0 * math.floor(lowest / 50))
    return UpAxis(low, max(50.0 * math.ceil((highest + 5) / 50), low + 100.0), top + HIGH, top)


def _across_marks(across: TimeAxis, top: float) -> Iterator[Mark]:
    """Faint uprights at round times, h:mm below them."""
    span, wide = across.end_s - across.start_s, across.right - across.left
    room = width_of(elapsed(across.end_s)) + 14
    step = next((s for s in LONG_STEPS_S if s / span * wide >= room), LONG_STEPS_S[-1])
    for i in range(math.ceil(across.start_s / step), math.floor(across.end_s / step) + 1):
        x = across.x(i * step)
        yield Line(((x, top), (x, top + HIGH + 5)), "faint", width=0.7)
        yield Words((x, top + HIGH + 22), elapsed(i * step), anchor="middle")
    yield Words((WIDE, top + HIGH + 22), "h:mm", anchor="end")


def _line(across: TimeAxis, up: UpAxis, times_s: Array, curve: Curve) -> Line:
    points = _points(across, up, times_s, curve.values)
    return Line(points, curve.ink, width=1.8 if curve.dash else 2.4, dash=curve.dash, name=curve.name)


def _points(across: TimeAxis, up: UpAxis, times_s: Array, values: Array) -> tuple[Point, ...]:
    return tuple((across.x(t), up.y(v)) for t, v in zip(times_s.tolist(), values.tolist(), strict=True))


def _spread_area(across: TimeAxis, up: UpAxis, times_s: Array, curve: Curve) -> Iterator[Mark]:
    """What is known of a curve, as a wash between its bounds."""
    if curve.low is None and curve.high is None:
        return
    below, above = (_points(across, up, times_s, bound) for bound in _bounds(curve))
    ink: Ink = "ink" if curve.ink == "faint" else curve.ink
    yield Area((*below, *reversed(above)), ink, None, wash=True, name=f"{curve.name} known")


def _band_area(across: TimeAxis, up: UpAxis, band: Band) -> Iterator[Mark]:
    low, high = up.y(band.low_C), up.y(band.high_C)
    x1, x2 = across.left, across.right
    yield Area(((x1, low), (x2, low), (x2, high), (x1, high)), "blue", "blue", 0.8, wash=True, name="band")


def _band_words(across: TimeAxis, up: UpAxis, band: Band, lines: Sequence[Line]) -> Words:
    """The band's words below or above it, left or right, where the fewest curves pass."""
    wide = width_of(band.words)
    below, above = up.y(band.low_C) + TEXT + 2, up.y(band.high_C) - 6
    places = [
        Box(x, y - TEXT, x + wide, y + 4)
        for y in (below, above)
        for x in (across.right - 6 - wide, across.left + 6)
    ]
    best = min(places, key=lambda box: sum(_passes(line, box) for line in lines))
    return Words((best.left, best.bottom - 4), band.words)


def _passes(line: Line, box: Box) -> int:
    """How many points of a line, taken closely, lie in a box."""
    x, y = np.array(line.points).T
    closely = np.linspace(box.left, box.right, 60)
    heights = np.interp(closely, x, y)
    return int(np.sum((heights > box.top) & (heights < box.bottom)))


def _flags(across: TimeAxis, moments: Sequence[Moment]) -> list[Flag]:
    return flags(((across.x(m.time_s), m.words, f"{m.words} {elapsed(m.time_s)}") for m in moments), WIDE)


def _names(across: TimeAxis, up: UpAxis, series: Sequence[Curve]) -> Iterator[Mark]:
    """The curves' names at their right ends, kept apart, each tied to its end."""
    ends = [up.y(float(curve.values[-1])) for curve in series]
    places = kept_apart(ends, ROW, up.top, up.bottom)
    for curve, end, place in zip(series, ends, places, strict=True):
        yield Disc((across.right, end), 3.0, curve.ink, "paper", 0.8)
        if abs(end - place) > 2:
            yield Line(((across.right + 3, end), (across.right + 10, place)), "faint", width=1.0)
        at = (across.right + 12, place + TEXT * 0.36)
        yield Words(at, fitted(curve.name, WIDE - at[0]), bold=not curve.dash)


def kept_apart(wanted: Sequence[float], apart: float, least: float, most: float) -> list[float]:
    """Places near the wanted ones, at least `apart` from each other and between `least` and `most`.

    Where there is no room for all, the first stands at `least` and the last below `most`.

    >>> kept_apart([50.0, 10.0, 52.0], 10.0, 0.0, 100.0)
    [46.0, 10.0, 56.0]
    """
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    blocks: list[list[int]] = []
    tops: list[float] = []
    for i in order:
        blocks.append([i])
        tops.append(_top(blocks[-1], wanted, apart, least, most))
        while len(blocks) > 1 and tops[-2] + apart * len(blocks[-2]) > tops[-1]:
            last = blocks.pop()
            tops.pop()
            blocks[-1] += last
            tops[-1] = _top(blocks[-1], wanted, apart, least, most)
    found = {i: top + apart * k for block, top in zip(blocks, tops, strict=True) for k, i in enumerate(block)}
    return [found[i] for i in range(len(wanted))]


def _top(block: Sequence[int], wanted: Sequence[float], apart: float, least: float, most: float) -> float:
    """Where a run of touching places begins so that it lies nearest to what is wanted."""
    middle = sum(wanted[i] - apart * k for k, i in enumerate(block)) / len(block)
    return max(least, min(most - apart * (len(block) - 1), middle))


def _says(times_s: Array, series: Sequence[Curve], band: Band | None, moments: Sequence[Moment]) -> str:
    ends = [
        f"{c.name} {c.values[0]:.0f} °C at {elapsed(float(times_s[0]))}, highest {c.values.max():.0f}, "
        f"{c.values[-1]:.0f} at {elapsed(float(times_s[-1]))}"
        for c in series
    ]
    words = [f"{moment.words} {elapsed(moment.time_s)}" for moment in moments]
    if band is not None:
        words.append(f"{band.words}: {band.low_C:.0f} to {band.high_C:.0f} °C")
    return "; ".join([*ends, *words]) + "."
