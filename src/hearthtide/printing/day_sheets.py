"""The sheets of a day on paper: day sheet, prep list, heat-up chart, handover. They take plain dataclasses.

Clocks are seconds of the day; after midnight they go on counting. Nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from hearthtide.printing.card import drawn
from hearthtide.printing.heat_up import HeatUpChart, heat_up_pictures
from hearthtide.printing.typeset import html, pdf, plain, write
from hearthtide.quantities.show import clock_text

TEMPLATE = "day_sheets"


@dataclass(frozen=True)
class Figure:
    """One figure of the day with the sum it comes from, all in words."""

    label: str
    value: str
    sum: str


@dataclass(frozen=True)
class DayLine:
    """One thing of the day; `until_s` None: it is a moment. `who` and `where` may be empty."""

    from_s: float
    until_s: float | None
    who: str
    where: str
    words: str


@dataclass(frozen=True)
class DaySheet:
    """The whole day of one oven, from lighting to the last ember, by the clock."""

    house: str
    day: date
    lines: tuple[DayLine, ...]
    figures: tuple[Figure, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class PrepRow:
    """One thing to make: in which order, when, who, what and how much of it, where, due when, and why."""

    order: int
    from_s: float
    until_s: float
    who: str
    what: str
    how_much: str
    where: str
    due: str
    why: str


@dataclass(frozen=True)
class PrepList:
    """What is to be made ahead, in an order that hearth, chiller, mixer and hands allow."""

    house: str
    day: date
    rows: tuple[PrepRow, ...]
    figures: tuple[Figure, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class StillThere:
    """What is left of something at close; `last` is its last day in words."""

    what: str
    portions: str
    last: str
    words: str


@dataclass(frozen=True)
class Handover:
    """What the next morning has to know: figures of the night, what is left, what ran out, what waits."""

    house: str
    day: date
    by: str
    figures: tuple[Figure, ...]
    ran_out: tuple[str, ...]
    left: tuple[StillThere, ...]
    waits: tuple[str, ...]
    cautions: tuple[str, ...]


Sheet = DaySheet | PrepList | HeatUpChart | Handover


def sheet_title(sheet: Sheet) -> str:
    """What a sheet is called, with its house and day."""
    name = {
        DaySheet: "Day sheet",
        PrepList: "To be made",
        HeatUpChart: "Heat-up",
        Handover: "Handover",
    }[type(sheet)]
    return f"{name}, {sheet.house}, {day_words(sheet.day)}"


def sheets_data(sheets: Sequence[Sheet]) -> dict[str, object]:
    """The sheets as their template takes them, each on pages of its own."""
    if not sheets:
        raise ValueError("expected at least one sheet")
    return {
        "title": sheet_title(sheets[0]) if len(sheets) == 1 else f"Sheets, {sheets[0].house}",
        "sheets": [_body(sheet) for sheet in sheets],
    }


def sheets_pdf(sheets: Sequence[Sheet]) -> bytes:
    """The sheets as PDF."""
    return pdf(TEMPLATE, sheets_data(sheets))


def sheets_html(sheets: Sequence[Sheet]) -> str:
    """The same pages for a screen, in one file that fetches nothing."""
    data = sheets_data(sheets)
    return html(TEMPLATE, data, str(data["title"]))


def write_sheets(path: Path, sheets: Sequence[Sheet]) -> None:
    """Writes them as the file's name says, .pdf or .html. Raises OSError."""
    data = sheets_data(sheets)
    write(path, TEMPLATE, data, str(data["title"]))


def _body(sheet: Sheet) -> Mapping[str, object]:
    named = {"kind": type(sheet).__name__, "named": sheet_title(sheet).partition(",")[0]}
    when = {"house": sheet.house, "day": day_words(sheet.day)}
    match sheet:
        case DaySheet():
            lines = [{**plain(one), **_clocks(one.from_s, one.until_s)} for one in sheet.lines]
            return {**plain(_undated(sheet)), **named, **when, "lines": lines}
        case PrepList():
            rows = [{**plain(one), **_clocks(one.from_s, one.until_s)} for one in sheet.rows]
            return {**plain(_undated(sheet)), **named, **when, "rows": rows}
        case HeatUpChart():
            pictures = [drawn(picture) for picture in heat_up_pictures(sheet)]
            return {**named, **when, "pictures": pictures, "cautions": list(sheet.cautions)}
        case Handover():
            return {**plain(_undated(sheet)), **named, **when}


def _undated(sheet: Sheet) -> dict[str, object]:
    """The fields but for the day, which goes out in words."""
    return {name: getattr(sheet, name) for name in sheet.__dataclass_fields__ if name != "day"}


def _clocks(from_s: float, until_s: float | None) -> dict[str, str]:
    """When it begins and ends, to the minute; no end for what is shorter."""
    first = clock_text(60 * round(from_s / 60))
    last = "" if until_s is None else clock_text(60 * round(until_s / 60))
    return {"clock": first, "until": "" if last == first else last}


def day_words(day: date) -> str:
    """A day in words.

    >>> day_words(date(2026, 6, 2))
    'Tuesday 2 June 2026'
    """
    return f"{day:%A} {day.day} {day:%B %Y}"
