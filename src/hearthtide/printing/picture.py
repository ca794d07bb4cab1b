"""A picture as plain marks on a sheet, drawn once and rendered as SVG here and as PDF in `pdf`.

Units are 1/96 inch when printed at full size, x to the right and y down. A sheet is `WIDE` or `HALF` wide;
both print at the same scale on A4, where `TEXT` comes out above 11 pt.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from itertools import groupby
from typing import Literal

Ink = Literal["ink", "faint", "blue", "orange", "paper"]
Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]

WIDE, HALF = 720.0, 344.0
TEXT = 15.5
LETTER = 0.6  # width of a letter over the size of the type: wide for a sans face, from memory


@dataclass(frozen=True)
class Line:
    """A stroke along points; `dash` "" is unbroken, else lengths of mark and gap."""

    points: tuple[Point, ...]
    ink: Ink = "ink"
    width: float = 1.2
    dash: tuple[float, ...] = ()
    name: str = ""


@dataclass(frozen=True)
class Area:
    """A closed outline, filled and stroked; `wash` fills thinly so that what lies below shows.

    `shade` is the fill's opacity where it is no wash, 0 to 1.
    """

    points: tuple[Point, ...]
    fill: Ink | None = "paper"
    ink: Ink | None = "ink"
    width: float = 1.2
    wash: bool = False
    name: str = ""
    shade: float = 1.0


@dataclass(frozen=True)
class Disc:
    """A circle, filled and stroked; `shade` is the fill's opacity, 0 to 1."""

    at: Point
    radius: float
    fill: Ink | None = "paper"
    ink: Ink | None = "ink"
    width: float = 1.2
    name: str = ""
    shade: float = 1.0


@dataclass(frozen=True)
class Dots:
    """Many round dots of a few sizes: (x, y, diameter)."""

    dots: tuple[tuple[float, float, float], ...]
    ink: Ink = "orange"


@dataclass(frozen=True)
class Words:
    """A line of text, its baseline at `at`; `halo` keeps it readable over other marks."""

    at: Point
    text: str
    anchor: Anchor = "start"
    size: float = TEXT
    bold: bool = False
    halo: bool = True


Mark = Line | Area | Disc | Dots | Words


@dataclass(frozen=True)
class Picture:
    """Marks on a sheet, back to front; `says` is what they show, for those who cannot see it."""

    title: str
    says: str
    width: float
    height: float
    marks: tuple[Mark, ...]


INKS = {"ink": "#17191c", "paper": "#fbfaf7", "blue": "#0072B2", "orange": "#D55E00"}
NIGHT_INKS = {"ink": "#f4f2ec", "paper": "#131519", "blue": "#56B4E9", "orange": "#E69F00"}
FAINT = 0.42  # opacity of faint strokes
WASH = 0.16  # opacity of a wash

SVG_STYLE = (
    "svg.p text{font-family:system-ui,'Segoe UI',Roboto,'Helvetica Neue',Arial,sans-serif;"
    "font-variant-numeric:lining-nums tabular-nums;fill:var(--ink)}"
    "svg.p .h{stroke:var(--paper);stroke-width:4px;stroke-linejoin:round;paint-order:stroke}"
    "svg.p .b{font-weight:700}"
    f".s-faint{{stroke:var(--ink);stroke-opacity:{FAINT}}}.f-faint{{fill:var(--ink);fill-opacity:{FAINT}}}"
    + "".join(f".s-{i}{{stroke:var(--{i})}}.f-{i}{{fill:var(--{i})}}" for i in INKS)
    + f".w{{fill-opacity:{WASH}}}.s-none{{stroke:none}}.f-none{{fill:none}}"
)


def variables(inks: dict[str, str]) -> str:
    """CSS custom properties of a set of inks."""
    return "".join(f"--{name}:{colour};" for name, colour in inks.items())


def svg(picture: Picture, alone: bool = False) -> str:
    """The picture as an SVG element; `alone` makes it a file of its own, with its style and paper."""
    w, h = number(picture.width), number(picture.height)
    head = f'<svg class="p" viewBox="0 0 {w} {h}" role="img" aria-label="{escape(picture.title)}"'
    body = [f"<title>{escape(picture.title)}</title><desc>{escape(picture.says)}</desc>"]
    if alone:
        head += f' xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}"'
        dark = f"@media (prefers-color-scheme:dark){{svg.p{{{variables(NIGHT_INKS)}}}}}"
        body.append(f"<style>svg.p{{{variables(INKS)}}}{dark}{SVG_STYLE}</style>")
        body.append(f'<rect class="f-paper" width="{w}" height="{h}"/>')
    body += [_element(mark) for mark in picture.marks]
    return f"{head}>{''.join(body)}</svg>\n"


def number(value: float) -> str:
    """To a tenth of a unit, without a trailing zero.

    >>> number(12.04), number(0.55), number(-0.01)
    ('12', '0.6', '0')
    """
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def text_width(text: str, size: float = TEXT) -> float:
    """About how wide a line of text comes out."""
    return LETTER * size * len(text)


def _element(mark: Mark) -> str:
    match mark:
        case Line():
            return (
                f'<path d="{_path(mark.points)}" class="f-none s-{mark.ink}"'
                f"{_stroke(mark.width, mark.dash)}{_name(mark.name)}/>"
            )
        case Area():
            classes = f"f-{mark.fill or 'none'} s-{mark.ink or 'none'}{' w' if mark.wash else ''}"
            return (
                f'<path d="{_path(mark.points)}Z" class="{classes}"'
                f"{_shade(mark.shade)}{_stroke(mark.width)}{_name(mark.name)}/>"
            )
        case Disc():
            x, y = mark.at
            return (
                f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(mark.radius)}"'
                f' class="f-{mark.fill or "none"} s-{mark.ink or "none"}"'
                f"{_shade(mark.shade)}{_stroke(mark.width)}{_name(mark.name)}/>"
            )
        case Dots():
            return _dots(mark)
        case Words():
            return _text(mark)


def _path(points: Iterable[Point]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def _stroke(width: float, dash: tuple[float, ...] = ()) -> str:
    dashes = f' stroke-dasharray="{" ".join(map(number, dash))}"' if dash else ""
    return f' stroke-width="{number(width)}" stroke-linejoin="round"{dashes}'


def _shade(share: float) -> str:
    return "" if share == 1.0 else f' fill-opacity="{share:.2f}"'


def _name(name: str) -> str:
    return f' data-name="{escape(name)}"' if name else ""


def _dots(mark: Dots) -> str:
    """Dots of one size share a path of strokes without length: a round cap is a dot."""
    by_size = groupby(sorted(mark.dots, key=lambda d: round(d[2], 1)), key=lambda d: round(d[2], 1))
    return "".join(
        f'<path class="f-none s-{mark.ink}" stroke-linecap="round" stroke-width="{number(size)}" d="'
        + "".join(f"M{number(x)} {number(y)}h0" for x, y, _ in dots)
        + '"/>'
        for size, dots in by_size
    )


def _text(mark: Words) -> str:
    classes = " ".join(name for name, on in (("h", mark.halo), ("b", mark.bold)) if on)
    x, y = mark.at
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-size="{number(mark.size)}"'
        f' text-anchor="{mark.anchor}"{f" class={chr(34)}{classes}{chr(34)}" if classes else ""}>'
        f"{escape(mark.text)}</text>"
    )
