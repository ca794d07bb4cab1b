"""Ways of chilling as falling curves, numbered, against the limits as a stair: time across in h:mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.printing.axes import TimeAxis, UpAxis
from hearthtide.printing.curves import LONG_STEPS_S, elapsed
from hearthtide.printing.picture import TEXT, WIDE, Area, Disc, Ink, Line, Mark, Picture, Point, Words
from hearthtide.printing.picture import text_width as width_of
from hearthtide.ranges import Array, require, require_shape
from hearthtide.safety.cautions import PROBE_IT

LEFT, RIGHT, HEAD, HIGH, FOOT = 56.0, WIDE - 28.0, 44.0, 320.0, 48.0
ROW = 2 * 10.5 + 4.0  # of the key: a number's disc and a gap
NUMBER = 10.5  # radius of the disc that carries a curve's number
TRIED_C = (30.0, 38.0, 24.0, 46.0, 17.0, 54.0, 12.0, 62.0, 9.0)  # where a number may stand
Standing = Literal["kept", "even", "missed", "told"]
INKS: dict[Standing, Ink] = {"kept": "blue", "even": "ink", "missed": "orange", "told": "ink"}
DASHES: dict[Standing, tuple[float, ...]] = {"kept": (), "even": (9, 4), "missed": (3, 3), "told": ()}


@dataclass(frozen=True)
class Falling:
    """One way: its core over time, what is known of it if anything, and how it stands to the limits."""

    words: str
    times_s: Array
    core_C: Array
    standing: Standing = "told"
    low_C: Array | None = None
    high_C: Array | None = None


@dataclass(frozen=True)
class Stair:
    """At most `temperature_C` from `by_s` on; `by_s` None: a mark without a time."""

    temperature_C: float
    by_s: float | None


@dataclass(frozen=True)
class Read:
    """A probe reading to point out."""

    time_s: float
    value_C: float


def cooling_picture(
    title: str,
    since: str,
    ways: Sequence[Falling],
    stairs: Sequence[Stair],
    readings: Sequence[Read] = (),
    longest_s: float = 12 * 3600.0,
) -> Picture:
    """Curves numbered in the order given, their words below the plot.

    Parameters
    ----------
    since :
        What the time across is counted from.
    ways :
        1 to 9; times rise from 0 (n,), temperatures -50 to 110 °C.
    stairs :
        In falling order of temperature, rising in time.
    longest_s :
        The plot ends here at the latest, 600 s or more.

    Raises
    ------
    PhysicalRangeError
        Shapes that do not agree, values out of range, stairs that do not fall.
    """
    _check(ways, stairs, longest_s)
    last_s = max(float(way.times_s[-1]) for way in ways)
    last_s = max([last_s, *(1.3 * s.by_s for s in stairs if s.by_s is not None)])
    across = TimeAxis(0.0, min(longest_s, last_s), LEFT, RIGHT)
    highest = max(float(way.core_C.max()) for way in ways)
    highest = max([highest, *(stair.temperature_C for stair in stairs if stair.by_s is None)])
    lowest = min(0.0, *(float(way.core_C.min()) for way in ways))
    up = UpAxis(10.0 * math.floor(lowest / 10), 10.0 * math.ceil((highest + 2) / 10), HEAD + HIGH, HEAD)
    marks: list[Mark] = [Words((0.0, 18.0), title, bold=True)]
    marks += _axes(across, up, since)
    marks += _stair(across, up, stairs)
    for way in ways:
        marks += _wash(across, up, way)
    lines = [_points(across, up, way.times_s, way.core_C) for way in ways]
    marks += [
        Line(line, INKS[way.standing], 2.6, DASHES[way.standing], name=way.words)
        for way, line in zip(ways, lines, strict=True)
    ]
    marks += _numbers(up, ways, lines)
    for reading in readings:
        marks += _read(across, up, reading)
    top = HEAD + HIGH + FOOT
    for number, way in enumerate(ways):
        marks += _key(number + 1, way, top + ROW * (number + 1))
    foot = top + ROW * (len(ways) + 1)
    marks.append(Words((LEFT, foot), PROBE_IT))
    says = "; ".join(f"{number}: {way.words}" for number, way in enumerate(ways, 1))
    return Picture(title, f"Core temperature, {since}. {says}. {PROBE_IT}", WIDE, foot + 12, tuple(marks))


def _check(ways: Sequence[Falling], stairs: Sequence[Stair], longest_s: float) -> None:
    require("number of ways", float(len(ways)), "", 1, 9)
    require("longest_s", longest_s, "s", 600.0, 1e6)
    for way in ways:
        require_shape(f"{way.words}, core_C", way.core_C, np.shape(way.times_s))
        require(f"{way.words}, times_s", way.times_s, "s", 0.0, 1e6)
        require(f"{way.words}, steps of times_s", np.diff(way.times_s), "s", 1e-9, 1e6)
        for values in (way.core_C, way.low_C, way.high_C):
            if values is not None:
                require(f"{way.words}, °C", values, "°C", -50.0, 110.0)
    falling = [stair.temperature_C for stair in stairs]
    times = [stair.by_s for stair in stairs if stair.by_s is not None]
    if falling != sorted(falling, reverse=True) or times != sorted(times):
        raise PhysicalRangeError(f"stairs {falling}, {times}: expected falling temperatures, rising times")


def _axes(across: TimeAxis, up: UpAxis, since: str) -> Iterator[Mark]:
    """Faint levels every 10 °C and uprights at round times, h:mm below them."""
    yield from up.marks(10.0, across.left, across.right)
    yield Words((0.0, up.top + TEXT * 0.36), "°C")
    room = width_of(elapsed(across.end_s)) + 14
    step = next((s for s in LONG_STEPS_S if s / across.end_s * (across.right - across.left) >= room), 86_400)
    for i in range(math.floor(across.end_s / step) + 1):
        x = across.x(i * step)
        yield Line(((x, up.top), (x, up.bottom + 5)), "faint", width=0.7)
        yield Words((x, up.bottom + 22), elapsed(i * step), anchor="middle")
    yield Words((across.right, up.bottom + 40), f"h:mm {since}", anchor="end")


def _stair(across: TimeAxis, up: UpAxis, stairs: Sequence[Stair]) -> Iterator[Mark]:
    """What may not be crossed, washed above it; marks without a time as levels."""
    timed = [stair for stair in stairs if stair.by_s is not None and stair.by_s < across.end_s]
    points: list[Point] = []
    for number, stair in enumerate(timed):
        x, y = across.x(stair.by_s or 0.0), up.y(stair.temperature_C)
        points += [(x, points[-1][1] if number else up.top), (x, y)]
    if points:
        points.append((across.right, points[-1][1]))
        yield Area((*points, (across.right, up.top)), "orange", None, wash=True, name="too warm")
        yield Line(tuple(points), "ink", 2.0, name="limits")
    for stair in timed:
        words, x = (
            f"{stair.temperature_C:.3g} °C by {elapsed(stair.by_s or 0.0)}",
            across.x(stair.by_s or 0.0),
        )
        left = x + width_of(words) + 8 <= across.right
        at = (x + 6 if left else across.right, up.y(stair.temperature_C) - 7)
        yield Words(at, words, "start" if left else "end", bold=True)
    for stair in stairs:
        if stair.by_s is None:
            y = up.y(stair.temperature_C)
            yield Line(((across.left, y), (across.right, y)), "ink", 1.4, (2, 4), name="mark")
            last = stair is stairs[-1]  # the coldest at the left, where every curve is still hot
            at = (across.left + 6 if last else across.right, y - 6)
            yield Words(at, f"{stair.temperature_C:.3g} °C", "start" if last else "end", bold=True)


def _points(across: TimeAxis, up: UpAxis, times_s: Array, values: Array) -> tuple[Point, ...]:
    """The line within the plot's time, cut where it ends."""
    end_s = min(across.end_s, float(times_s[-1]))
    shown = np.append(times_s[times_s < end_s], end_s)
    return tuple(
        (across.x(t), up.y(v)) for t, v in zip(shown, np.interp(shown, times_s, values), strict=True)
    )


def _wash(across: TimeAxis, up: UpAxis, way: Falling) -> Iterator[Mark]:
    if way.low_C is None or way.high_C is None:
        return
    low, high = (_points(across, up, way.times_s, values) for values in (way.low_C, way.high_C))
    yield Area((*low, *reversed(high)), INKS[way.standing], None, wash=True, name=f"{way.words} known")


def _numbers(up: UpAxis, ways: Sequence[Falling], lines: Sequence[tuple[Point, ...]]) -> Iterator[Mark]:
    """A numbered disc on every curve, at the first of some temperatures where none stands yet."""
    taken: list[Point] = []
    for number, (way, line) in enumerate(zip(ways, lines, strict=True), 1):
        x, y = np.array(line).T
        places = [(float(np.interp(up.y(c), y, x)), up.y(c)) for c in TRIED_C if y[0] <= up.y(c) <= y[-1]]
        places.append(line[len(line) // 2])
        at = next((p for p in places if all(math.dist(p, q) > 2.2 * NUMBER for q in taken)), places[0])
        taken.append(at)
        yield from _disc(number, way, at)


def _disc(number: int, way: Falling, at: Point) -> Iterator[Mark]:
    yield Disc(at, NUMBER, "paper", INKS[way.standing], 1.8, name=f"number {number}")
    yield Words((at[0], at[1] + TEXT * 0.36), str(number), "middle", bold=True, halo=False)


def _key(number: int, way: Falling, y: float) -> Iterator[Mark]:
    yield from _disc(number, way, (LEFT + NUMBER, y - TEXT * 0.36))
    dash = ((LEFT + 30, y - TEXT * 0.36), (LEFT + 66, y - TEXT * 0.36))
    yield Line(dash, INKS[way.standing], 2.6, DASHES[way.standing])
    yield Words((LEFT + 76, y), way.words)


def _read(across: TimeAxis, up: UpAxis, reading: Read) -> Iterator[Mark]:
    if not 0 <= reading.time_s <= across.end_s:
        return
    at = (across.x(reading.time_s), up.y(reading.value_C))
    yield Disc(at, 6.0, "orange", "ink", 2.0, name="reading")
    yield Words((at[0] + 11, at[1] - 6), f"read {reading.value_C:.0f} °C", bold=True)
