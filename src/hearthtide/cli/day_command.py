"""`hearthtide day`: the whole day of one oven, each part by a plan of its own, in one order by the clock."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import date
from json import dumps
from pathlib import Path
from typing import cast

from rich.markup import escape

from hearthtide.cli import falling_shown
from hearthtide.cli.day_planned import Whole, plan_day
from hearthtide.cli.day_shared import day_words
from hearthtide.cli.heatup_command import KWH_J, cautions_for
from hearthtide.cli.prep_command import read_day
from hearthtide.cli.shared import SCHEMA_VERSION, out, print_json, progress
from hearthtide.day import whole
from hearthtide.day.whole import Line
from hearthtide.day.window import HeatUp
from hearthtide.errors import Finding, InputError
from hearthtide.printing.day_sheets import DayLine, DaySheet, Figure, PrepList, PrepRow, Sheet, write_sheets
from hearthtide.printing.heat_up import FlameAt, HeatUpChart
from hearthtide.printing.heat_up import Load as Bar
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import CHILL_CAUTIONS
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.service.day_kept import day_from, keep_day, kept_file

MINUTE_S = 60
MOST_LETTERS = {"who": 80, "how_much": 80, "where": 200, "what": 400, "why": 400}  # of the board's lines
MOST_PROBLEM = 400  # letters of a problem on the board
INDENT = " " * 13  # below a line's clocks


def run_day(folder: Path, asked: str, stock: Path | None, json: bool, write: Path | None, keep: bool) -> bool:
    """Prints the day; True when all of it comes about and no check finds a fault."""
    if write is not None and (write.suffix not in (".pdf", ".html") or not write.parent.is_dir()):
        expected = "a name that ends in .pdf or .html, in a folder that is there"
        raise InputError((Finding("day", 0, "--out", str(write), expected, "Name another."),))
    today = read_day(folder, asked, stock)
    with progress() as tell:
        found = plan_day(today, folder, tell)
    document = body(found)
    if write is not None:
        write_sheets(write, sheets_of(found))
    if keep:
        _keep(folder, today.day, document)
    if json:
        print_json("day", document)
    else:
        _print(found)
    return not found.problems


def _keep(folder: Path, day: date, document: dict[str, object]) -> None:
    """For the board, whose lines have so much room: what is longer ends in an ellipsis."""
    head = {"document": "hearthtide day", "schema_version": SCHEMA_VERSION}
    lines = [
        {
            key: shorten(value, MOST_LETTERS[key]) if key in MOST_LETTERS else value
            for key, value in one.items()
        }
        for one in cast("list[dict[str, str]]", document["lines"])
    ]
    problems = [shorten(words, MOST_PROBLEM) for words in cast("list[str]", document["problems"])]
    body = dumps({**head, **document, "lines": lines, "problems": problems})
    keep_day(folder, day_from(body, kept_file(folder, day), day))


def shorten(words: str, most: int) -> str:
    """
    >>> shorten("walk-in", 10), shorten("walk-in: 3 on trolley", 10)
    ('walk-in', 'walk-in: …')
    """
    return words if len(words) <= most else f"{words[: most - 1]}…"


def figures_of(found: Whole) -> tuple[Figure, ...]:
    """The day's figures, each with its sum."""
    covers = found.today.covers[0]
    made = [Figure("Covers", "not known", "too few days are known")]
    if covers.counts is not None:
        low, high = covers.counts.band()
        made = [Figure("Covers", str(covers.counts.middle), f"{low} to {high} on eight nights in ten")]
    for key, par in found.today.pars.items():
        make = found.today.make(key)
        sum_ = f"par {make + par.ours.on_hand} less {par.ours.on_hand} there"
        made.append(Figure(par.made.name, f"make {make}", sum_))
    if found.heat_up is not None:
        plan = found.heat_up
        cooked = sum(load.tray.portions for load in plan.loads)
        more = max(0.0, plan.fuel_J - plan.bare_fuel_J) / KWH_J
        sum_ = f"{plan.bare_fuel_J / KWH_J:.0f} without a tray; {more:.0f} more for {cooked} portions"
        made.append(Figure("Fuel until doors", f"{plan.fuel_J / KWH_J:.0f} kWh", sum_))
    return tuple(made)


def cautions_of(found: Whole) -> tuple[str, ...]:
    rules = chosen_words(found.today.kept.house.file.chosen_rules)
    hearth = () if found.ahead is None else cautions_for(found.ahead)[:-1]
    falling = () if found.falling is None else falling_shown.cautions(found.falling.night)
    chill = CHILL_CAUTIONS[:2] if found.chill is not None else ()
    return (*dict.fromkeys((*hearth, *chill, *falling)), rules)


def sheets_of(found: Whole) -> tuple[Sheet, ...]:
    """The day on paper: the day sheet, the prep list, the heat-up."""
    name, day, figures, cautions = _name(found), found.today.day, figures_of(found), cautions_of(found)
    lines = tuple(
        DayLine(
            one.from_s,
            None if _minute(one) else one.until_s,
            one.who,
            one.where,
            ", ".join(filter(None, (one.what, one.how_much))),
        )
        for one in found.lines
    )
    sheets: list[Sheet] = [DaySheet(name, day, lines, figures, (*found.problems, *cautions))]
    if found.prep is not None:
        rows = [
            PrepRow(
                n,
                one.from_s,
                one.from_s if one.until_s is None else one.until_s,
                one.who,
                one.what,
                one.how_much,
                one.where,
                "" if one.due_s is None else clock_text(one.due_s),
                one.said,
            )
            for n, one in enumerate(whole.in_order(whole.prep_lines(*found.prep)), 1)
        ]
        sheets.append(PrepList(name, day, tuple(rows), (), cautions[-1:]))
    if found.heat_up is not None:
        sheets.append(_chart(found.heat_up, name, day, cautions))
    return tuple(sheets)


def _chart(plan: HeatUp, name: str, day: date, cautions: tuple[str, ...]) -> HeatUpChart:
    places = sorted({load.place for load in plan.loads})
    return HeatUpChart(
        house=name,
        day=day,
        times_s=plan.times_s,
        floor_C=plan.stone_C,
        band_C=(plan.band.low, plan.band.high),
        doors_s=plan.doors_s,
        flame=tuple(
            FlameAt(held.start_s, held.level.name) for held in plan.flame.held if held.start_s < plan.doors_s
        ),
        loads=tuple(
            Bar(load.tray.key, load.in_s, load.out_s, "", places.index(load.place)) for load in plan.loads
        ),
        cautions=cautions[:2],
    )


def _name(found: Whole) -> str:
    return found.today.kept.house.file.name


def _print(found: Whole) -> None:
    out.print(f"[bold]{escape(_name(found))}, {day_words(found.today.day)}[/]")
    for figure in figures_of(found):
        out.print(f"  {escape(figure.label)}: [bold]{escape(figure.value)}[/]  {escape(figure.sum)}")
    for words in found.problems:
        out.print(f"  [bold]{escape(words)}[/]")
    for line in found.lines:
        out.print(escape(_words(line)))
        for words in _below(line):
            out.print(f"{INDENT}[dim]{escape(words)}[/]")
    for words in cautions_of(found):
        out.print(f"[dim]{escape(words)}[/]")


def _words(line: Line) -> str:
    until = "      " if line.until_s is None or _minute(line) else f"-{_clock(line.until_s)}"
    due = "" if line.due_s is None else f"due {_clock(line.due_s)}"
    rest = "; ".join(filter(None, (line.how_much, line.where, due)))
    return f"{_clock(line.from_s)}{until}  {line.who:10} {line.what}" + (f"; {rest}" if rest else "")


def _below(line: Line) -> Iterator[str]:
    """How it is done, and what can hurt."""
    if line.words:
        yield line.words
    for caution in line.cautions:
        yield f"Mind: {caution}"


def _minute(line: Line) -> bool:
    """Whether it is over within the minute it begins in, or the next."""
    return line.until_s is not None and line.until_s - line.from_s <= MINUTE_S


def _clock(time_s: float) -> str:
    return clock_text(MINUTE_S * int(time_s // MINUTE_S))


def _line(line: Line) -> dict[str, object]:
    """A line as the kept day has it: `why` holds its cautions and how it is done too."""
    shown = asdict(line)
    del shown["words"], shown["cautions"]
    return {**shown, "why": line.said}


def body(found: Whole) -> dict[str, object]:
    """The day as JSON and the board have it."""
    plan = found.heat_up
    return {
        "house": _name(found),
        "day": found.today.day.isoformat(),
        "lines": [_line(line) for line in found.lines],
        "figures": [{"words": f.label, "value": f.value, "sum": f.sum} for f in figures_of(found)],
        "curve": None
        if plan is None
        else {
            "times_s": list(plan.times_s),
            "stone_C": [round(at_C, 1) for at_C in plan.stone_C],
            "band_low_C": plan.band.low,
            "band_high_C": plan.band.high,
        },
        "loads": []
        if plan is None
        else [
            {"tray": one.tray.key, "in_s": one.in_s, "out_s": one.out_s, "portions": one.tray.portions}
            for one in plan.loads
        ],
        "cautions": list(cautions_of(found)),
        "problems": list(found.problems),
    }
