"""Where one stage of a dish gets done in how many minutes, and what gives first: the hearth to scale."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Callable, Iterator, Sequence

from hearthtide.oven.design import OvenDesign
from hearthtide.planning.hearth_map import Gives, SpotAnswer, StageSpots
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

FILLED = 0.46  # a mark's radius over the distance between two places
MOST = 17.0  # its most units
PALE, FULL = 0.10, 0.52  # of a fill: the slowest place, the quickest; figures stay readable on both
NARROW = 0.86  # of a figure's width as reckoned: digits are narrower than letters
KEY_R = 10.0
NOTE = "The models' figures, not readings: probe it."
SAMPLES = 3


def map_picture(design: OvenDesign, tried: StageSpots, at: tuple[float, float] | None = None) -> Picture:
    """The hearth seen from the mouth, a mark at every place tried.

    Shape and words say what gives first, the fill how soon it is done, a figure how many minutes. Places
    where the dish's file lets it stand are ringed in ink. `at` is where to draw the vessel to scale, m.
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
        marks += _spot(sheet, tried, spot, radius)
    if at is not None:
        marks.append(_vessel(sheet, tried, at))
    y = sheet.height + KEY_R + 6
    for row in _key(tried, at is not None):
        marks += row(y)
        y += LINE + 6
    marks.append(Words((SIDE, y), NOTE))
    return Picture(title, says(tried), HALF, y + 12, tuple(marks))


def words_of(gives: Gives, most: str) -> str:
    """What gives first, in a cook's words; `most` is the darkest colour that is wanted."""
    return {
        "done": "done",
        "too dark": f"done, but darker than {most}",
        "top": "top burns first",
        "underside": "underside burns first",
        "core": "core short after 40 min",
        "colour": "colour short after 40 min",
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
    parts += [f"{words_of(gives, tried.colour_at_most)}: {many} places" for gives, many in counts]
    return f"{tried.stage}: {'; '.join(parts)}."


def _until(tried: StageSpots) -> str:
    target = tried.target
    wants = [] if target.core_C is None else [f"core {target.core_C:.0f} °C"]
    wants += [] if target.colour is None else [f"colour {target.colour} of 5"]
    return ", ".join(wants + (["bubbling"] if target.bubbling else []))


def _seconds(tried: StageSpots) -> list[float]:
    return [spot.seconds for spot in tried.spots if spot.seconds is not None]


def _counts(tried: StageSpots) -> list[tuple[Gives, int]]:
    order: tuple[Gives, ...] = ("done", "too dark", "top", "underside", "core", "colour", "never")
    found = [(gives, sum(spot.gives == gives for spot in tried.spots)) for gives in order]
    return [(gives, many) for gives, many in found if many]


def _spot(sheet: Sheet, tried: StageSpots, spot: SpotAnswer, radius: float) -> Iterator[Mark]:
    x, y = sheet.at(spot.x_m, spot.y_m)
    done = _seconds(tried)
    yield from _glyph((x, y), radius, spot.gives, _shade(spot.seconds, done), spot.wished)
    seconds = spot.burns_s if spot.seconds is None else spot.seconds
    if seconds is not None:
        text = minutes_text(seconds)
        if NARROW * text_width(text) <= 2 * radius:
            yield Words((x, y + TEXT * 0.36), text, "middle", halo=False)


def _shade(seconds: float | None, done: Sequence[float]) -> float:
    """How full the fill is: the quickest place fullest."""
    if seconds is None or not done or max(done) == min(done):
        return FULL
    return FULL - (FULL - PALE) * (seconds - min(done)) / (max(done) - min(done))


def _glyph(at: Point, radius: float, gives: Gives, shade: float, ringed: bool) -> Iterator[Mark]:
    """Done: a disc. Burns: a triangle, on its base for the top, on its tip for the underside. Short: a
    square for the core, a diamond for the colour, a cross for more than one.
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
            up = 1.0 if gives == "top" else -1.0
            r = 1.12 * radius
            corners = ((x - r, y + 0.75 * r * up), (x, y - r * up), (x + r, y + 0.75 * r * up))
            yield Area(corners, "orange", ink, width, name=gives, shade=FULL)
        case "core" | "colour":
            first, r = (45.0, 1.1 * radius) if gives == "core" else (0.0, radius)
            turns = (math.radians(first + 90 * i) for i in range(4))
            points = tuple((x + r * math.sin(a), y - r * math.cos(a)) for a in turns)
            yield Area(points, None, ink or "faint", max(width, 1.2), name=gives)
        case "never":
            r = 0.6 * radius
            yield Line(((x - r, y - r), (x + r, y + r)), ink or "faint", max(width, 1.6), name=gives)
            yield Line(((x - r, y + r), (x + r, y - r)), ink or "faint", max(width, 1.6))


def _vessel(sheet: Sheet, tried: StageSpots, at: tuple[float, float]) -> Mark:
    """The vessel to scale where the run has it."""
    (x, y), shape = sheet.at(*at), tried.outline
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
    if done:
        rows.append(lambda y: _samples(done, y))
    for gives, many in _counts(tried):
        words = f"{words_of(gives, tried.colour_at_most)}: {many}"
        if gives in ("top", "underside"):
            words += ", after so many min"
        if gives != "done":
            rows.append(_row(gives, words))
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
    shown = sorted({minutes_text(s): s for s in (quick, (quick + slow) / 2, slow)}.values())
    x = SIDE + KEY_R
    for seconds in shown:
        yield Disc((x, y - 5), KEY_R, "blue", "ink", 2.0, shade=_shade(seconds, done))
        yield Words((x + KEY_R + 6, y), minutes_text(seconds))
        x += KEY_R + 6 + text_width("00.0") + KEY_R + 10
    yield Words((x - KEY_R, y), "min to done")
