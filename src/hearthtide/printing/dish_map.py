"""Where one stage of a dish gets done in how many minutes, and what gives first: the hearth to scale."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Callable, Iterator, Sequence

from hearthtide.oven.design import OvenDesign
from hearthtide.planning.dish_course import StageCourse
from hearthtide.planning.hearth_map import Gives, StageSpots
from hearthtide.printing.picture import (
    HALF,
    LETTER,
    TEXT,
    Area,
    Disc,
    Ink,
    Line,
    Mark,
    Picture,
    Point,
    Words,
    text_width,
)
from hearthtide.printing.sheet import LINE, SIDE, TOP, Sheet, fires, outline, walls
from hearthtide.printing.shown import colour_word
from hearthtide.safety.cautions import PROBE_IT

FILLED = 0.46  # a mark's radius over the distance between two places
MOST = 17.0  # its most units
PALE, FULL = 0.10, 0.52  # of a fill: the slowest place, the quickest; figures stay readable on both
NARROW = 0.86  # of a figure's width as reckoned: digits are narrower than letters
SPAN = 1.3  # times that differ less look alike; own choice
KEY_R = 10.0


def map_picture(design: OvenDesign, tried: StageSpots, run: StageCourse | None = None) -> Picture:
    """The hearth seen from the mouth, a mark at every place tried.

    Shape and words say what gives first, the fill how soon it is done, a figure how many minutes. Places
    where the dish's file lets it stand are ringed in ink. `run` is the stage as it ran: its vessel is drawn
    to scale there.
    """
    title = f"{tried.dish}, {tried.stage}: minutes until {_until(tried)}"
    lines = textwrap.wrap(title, int((HALF - 2 * SIDE) / (0.9 * LETTER * TEXT)))
    sheet = Sheet(design, TOP + LINE * (len(lines) - 1))
    marks: list[Mark] = [Words((SIDE, 18.0 + LINE * i), line, bold=True) for i, line in enumerate(lines)]
    marks.append(Area(outline(sheet), fill="paper", ink=None, name="hearth"))
    marks += fires(sheet, tried.power_W)
    marks += walls(sheet)
    radius = min(MOST, FILLED * tried.apart_m * sheet.scale)
    for spot in tried.spots:
        shade = _shade(spot.seconds, _seconds(tried))
        marks += _glyph(sheet.at(spot.x_m, spot.y_m), radius, spot.gives, shade, spot.wished)
    if run is not None:
        marks.append(_vessel(sheet, run))
    marks += _figures(sheet, tried, radius)
    y = sheet.height + KEY_R + 6
    for row in _key(tried, run is not None):
        marks += row(y)
        y += LINE + 6
    marks.append(Words((SIDE, y), PROBE_IT))
    return Picture(title, says(tried), HALF, y + 12, tuple(marks))


def words_of(gives: Gives, most: str) -> str:
    """What gives first, in a cook's words; `most` is the darkest colour that is wanted."""
    return {
        "done": "done",
        "too dark": f"done, but darker than {most}",
        "top": "top burns first",
        "underside": "underside burns first",
        "core": "core not hot enough after 40 min",
        "colour": "too pale after 40 min",
        "never": "never within 40 min",
    }[gives]


def minutes_text(seconds: float) -> str:
    """Minutes, to a tenth below ten.

    >>> minutes_text(171), minutes_text(680)
    ('2.9', '11')
    """
    minutes = round(seconds / 60, 1)
    return f"{minutes:.1f}" if minutes < 10 else f"{seconds / 60:.0f}"


def says(tried: StageSpots) -> str:
    """What the map shows, for those who cannot see it."""
    done = _seconds(tried)
    parts = []
    if done:
        parts.append(f"Done in {minutes_text(min(done))} to {minutes_text(max(done))} min")
    counts = _counts(tried)
    for gives, many in counts:
        places = "1 place" if many == 1 else f"{many} places"
        parts.append(f"{words_of(gives, tried.colour_at_most)}: {places}")
    return f"{tried.stage}: {'; '.join(parts) or 'no place'}."


def _until(tried: StageSpots) -> str:
    target = tried.target
    wants = [] if target.core_C is None else [f"core {target.core_C:.0f} °C"]
    wants += [] if target.colour is None else [colour_word(target.colour)]
    return ", ".join(wants + (["bubbling"] if target.bubbling else []))


def _seconds(tried: StageSpots) -> list[float]:
    return [spot.seconds for spot in tried.spots if spot.seconds is not None]


def _counts(tried: StageSpots) -> list[tuple[Gives, int]]:
    order: tuple[Gives, ...] = ("done", "too dark", "top", "underside", "core", "colour", "never")
    found = [(gives, sum(spot.gives == gives for spot in tried.spots)) for gives in order]
    return [(gives, many) for gives, many in found if many]


def _figures(sheet: Sheet, tried: StageSpots, radius: float) -> Iterator[Mark]:
    """Minutes to done, or until it burns, where they fit their mark."""
    for spot in tried.spots:
        seconds = spot.burns_s if spot.seconds is None else spot.seconds
        if seconds is not None and NARROW * text_width(minutes_text(seconds)) <= 2 * radius:
            x, y = sheet.at(spot.x_m, spot.y_m)
            yield Words((x, y + TEXT * 0.36), minutes_text(seconds), "middle", halo=False)


def _shade(seconds: float | None, done: Sequence[float]) -> float:
    """How full the fill is: the quickest place fullest, and palest what takes `SPAN` times as long."""
    if seconds is None or not done:
        return FULL
    slowest = max(*done, SPAN * min(done), min(done) + 1.0)
    return FULL - (FULL - PALE) * (seconds - min(done)) / (slowest - min(done))


def _glyph(at: Point, radius: float, gives: Gives, shade: float, ringed: bool) -> Iterator[Mark]:
    """Done: a full disc. Burns: a disc with its upper or its lower half full. Short: a square for the core,
    a diamond for the colour, a cross for more than one.
    """
    x, y = at
    width = 2.0 if ringed else 0.0
    ink: Ink | None = "ink" if ringed else None
    match gives:
        case "done":
            yield Disc(at, radius, "blue", ink, width, name="done", shade=shade)
        case "too dark":
            yield Disc(at, radius, "blue", ink, width, name=gives, shade=shade)
            yield Disc(at, radius - 3.0, None, "orange", 3.0)
        case "top" | "underside":
            yield Area(_half(at, radius, gives == "top"), "orange", None, name=gives, shade=FULL)
            yield Disc(at, radius, None, ink or "faint", max(width, 1.2))
        case "core" | "colour":
            first, r = (45.0, 1.1 * radius) if gives == "core" else (0.0, radius)
            turns = (math.radians(first + 90 * i) for i in range(4))
            points = tuple((x + r * math.sin(a), y - r * math.cos(a)) for a in turns)
            yield Area(points, None, ink or "faint", max(width, 1.2), name=gives)
        case "never":
            r = 0.6 * radius
            yield Line(((x - r, y - r), (x + r, y + r)), ink or "faint", max(width, 1.6), name=gives)
            yield Line(((x - r, y + r), (x + r, y - r)), ink or "faint", max(width, 1.6))


def _half(at: Point, radius: float, upper: bool) -> tuple[Point, ...]:
    up = -1.0 if upper else 1.0
    angles = [math.pi * i / 16 for i in range(17)]
    return tuple((at[0] + radius * math.cos(a), at[1] + up * radius * math.sin(a)) for a in angles)


def _vessel(sheet: Sheet, run: StageCourse) -> Mark:
    """The vessel to scale where the run has it."""
    (x, y), shape = sheet.at(run.x_m, run.y_m), run.outline
    if shape.is_disc:
        return Disc((x, y), shape.radius_m * sheet.scale, None, "orange", 2.4, name="vessel")
    wide, deep = shape.width_m * sheet.scale / 2, shape.depth_m * sheet.scale / 2
    corners = ((x - wide, y - deep), (x + wide, y - deep), (x + wide, y + deep), (x - wide, y + deep))
    return Area(corners, None, "orange", 2.4, name="vessel")


Row = Callable[[float], Iterator[Mark]]


def _key(tried: StageSpots, vessel: bool) -> list[Row]:
    """Rows of the key: shades of done, then each thing that gives first, what a ring and the outline mean."""
    done = _seconds(tried)
    rows: list[Row] = []
    if not tried.spots:
        rows.append(lambda y: iter([Words((SIDE, y), "no place clear of the flame")]))
    if done:
        rows.append(lambda y: _samples(done, y))
    for gives, many in _counts(tried):
        words = f"{words_of(gives, tried.colour_at_most)}: {many}"
        if gives != "done":
            rows.append(_row(gives, words))
    if any(spot.burns_s is not None for spot in tried.spots):
        rows.append(lambda y: iter([Words((SIDE + 2 * KEY_R + 8, y), "half full: min until it burns")]))
    if any(not spot.wished for spot in tried.spots):
        rows.append(_ringed)
    if vessel:
        rows.append(_outlined)
    return rows


def _row(gives: Gives, words: str) -> Row:
    def row(y: float) -> Iterator[Mark]:
        yield from _glyph((SIDE + KEY_R, y - 5), KEY_R, gives, FULL, True)
        yield Words((SIDE + 2 * KEY_R + 8, y), words)

    return row


def _ringed(y: float) -> Iterator[Mark]:
    yield Disc((SIDE + KEY_R, y - 5), KEY_R, None, "ink", 2.0)
    yield Words((SIDE + 2 * KEY_R + 8, y), "ringed: where its file has it stand")


def _outlined(y: float) -> Iterator[Mark]:
    yield Disc((SIDE + KEY_R, y - 5), KEY_R, None, "orange", 2.4)
    yield Words((SIDE + 2 * KEY_R + 8, y), "its size, where the run has it")


def _samples(done: Sequence[float], y: float) -> Iterator[Mark]:
    """Discs from the quickest to the slowest place with their minutes."""
    quick, slow = min(done), max(done)
    shown = sorted({minutes_text(s): s for s in (slow, (quick + slow) / 2, quick)}.values())
    x = SIDE + KEY_R
    for seconds in shown:
        yield Disc((x, y - 5), KEY_R, "blue", "ink", 2.0, shade=_shade(seconds, done))
        yield Words((x + KEY_R + 6, y), minutes_text(seconds))
        x += KEY_R + 6 + text_width("00.0") + KEY_R + 10
    yield Words((x - KEY_R, y), "min to done")
