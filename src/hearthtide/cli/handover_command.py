"""`hearthtide handover`: what the next morning has to know of a night, on one sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import UTC, date, datetime
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.count_told import Told, told_lots
from hearthtide.cli.day_shared import day_asked, day_words
from hearthtide.cli.labels_command import pars_of
from hearthtide.cli.lots_there import STORE, lots_there
from hearthtide.cli.shared import out, print_json
from hearthtide.errors import Finding, InputError
from hearthtide.house import ahead_file
from hearthtide.house.files import read_house
from hearthtide.house.models import House
from hearthtide.printing.day_sheets import Figure, Handover, StillThere, write_sheets
from hearthtide.quantities.parse import parse_clock_s
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import HOUSE_CAUTIONS
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.service.closing import Closing, Floor, closing
from hearthtide.service.history import history
from hearthtide.service.state import folded
from hearthtide.store.database import open_database


def run_handover(
    folder: Path, asked: str, nights: str | None, doors: str | None, made: Path, json: bool
) -> bool:
    """Writes the sheet of a night; True when nothing of it is still open."""
    if made.suffix not in (".pdf", ".html") or not made.parent.is_dir():
        expected = "a name that ends in .pdf or .html, in a folder that is there"
        raise InputError((Finding("handover", 0, "--out", str(made), expected, "Name another."),))
    day, house = day_asked(asked), read_house(folder)
    doors_s = _doors_s(house, doors)
    figures = _closing(folder, house, day, nights or str(folder / STORE), doors_s)
    there = lots_there(folder, nights)
    left = told_lots(there.ledger, there.lots, {}, house, pars_of(house), datetime.now(UTC))
    sheet = sheet_of(house, day, figures, left)
    write_sheets(made, (sheet,))
    if json:
        print_json("handover", {**asdict(sheet), "day": day.isoformat()})
    else:
        _print(sheet, made)
    return not sheet.waits


def _doors_s(house: House, doors: str | None) -> float:
    """From when readings of the floor count: as typed, else by ahead.yaml."""
    if doors is not None:
        try:
            return float(parse_clock_s(doors))
        except ValueError as odd:
            raise _wrong("--doors", doors, str(odd).removeprefix("expected "), "Write it so.") from odd
    if (Path(house.folder) / ahead_file.NAME).is_file():
        return float(ahead_file.read_ahead(house).file.doors)
    raise _wrong("--doors", "", "when doors opened, such as 17:00", "Say it, or write ahead.yaml.")


def _wrong(option: str, value: str, expected: str, remedy: str) -> InputError:
    return InputError((Finding("handover", 0, option, value, expected, remedy),))


def _closing(folder: Path, house: House, day: date, where: str, doors_s: float) -> Closing:
    """The night's figures from its log. Raises InputError where nothing was told that night."""
    if "://" not in where and not Path(where).is_file():
        raise _wrong("--nights", where, "the database that the board writes", "Name it.")
    with open_database(where) as database:
        entries = tuple(database.log(f"{folder.resolve().name}/{day.isoformat()}").read())
    if not entries:
        raise _wrong("DATE", day.isoformat(), "a night on which something was told", "Name another.")
    return closing(folded(entries).facts, history(entries).told, house.dishes, doors_s)


def sheet_of(house: House, day: date, figures: Closing, left: tuple[Told, ...]) -> Handover:
    """The sheet: figures of the night, what ran out, what is left and until when, what waits."""
    names = {key: dish.name for key, dish in house.dishes.items()}
    return Handover(
        house=house.file.name,
        day=day,
        by="" if figures.handover is None else figures.handover.by,
        figures=tuple(_figures(figures, names)),
        ran_out=tuple(
            f"{names.get(gone.name, gone.name)}, from {clock_text(gone.from_s)}"
            + ("" if gone.until_s is None else f" to {clock_text(gone.until_s)}")
            for gone in figures.gone
        ),
        left=tuple(
            StillThere(
                one.lot,
                "not told in portions" if one.told is None else f"{one.told} by the records",
                "" if one.last is None else one.last.isoformat(),
                one.warning or one.words,
            )
            for one in left
        ),
        waits=tuple(_waits(figures)),
        cautions=(*HOUSE_CAUTIONS, chosen_words(house.file.chosen_rules)),
    )


def _figures(figures: Closing, names: dict[str, str]) -> Iterator[Figure]:
    tables = "1 table" if figures.tickets == 1 else f"{figures.tickets} tables"
    yield Figure("Covers", str(figures.covers), tables)
    for one in figures.dishes:
        if one.called:
            parts = (("re-fired", one.refired), ("ran out", one.ran_out), ("taken off", one.taken_off))
            sum_ = ", ".join([f"{one.called} called", *(f"{count} {word}" for word, count in parts if count)])
            yield Figure(names.get(one.dish, one.dish), f"{one.made} made", sum_)
    for words, floor in (
        ("Floor at doors", figures.floor_at_doors),
        ("Floor at its highest", figures.floor_highest),
        ("Floor at its lowest", figures.floor_lowest),
    ):
        if floor is not None:
            yield Figure(words, f"{floor.temperature_C:.0f} °C", _read(floor))
    if figures.busiest is not None:
        span = f"{clock_text(figures.busiest.from_s)} to {clock_text(figures.busiest.until_s)}"
        yield Figure("Busiest half hour", f"{figures.busiest.plates} plates", span)


def _read(floor: Floor) -> str:
    where = f", {floor.place}" if floor.place else ""
    return f"{clock_text(floor.at_s)}{where}, {floor.instrument}, {floor.by}"


def _waits(figures: Closing) -> Iterator[str]:
    if figures.handover is not None:
        yield figures.handover.words
    if figures.courses_open:
        yield f"{figures.courses_open} courses were never told as landed"
    if figures.dead_platters:
        yield f"{figures.dead_platters} platters are out of use"
    for spill in figures.spills:
        yield f"Spill at {clock_text(spill.at_s)}: look at the stone there before it is lit"


def _print(sheet: Handover, made: Path) -> None:
    out.print(f"[bold]{escape(sheet.house)}, handover of {day_words(sheet.day)}[/]")
    for figure in sheet.figures:
        out.print(f"  {escape(figure.label)}: [bold]{escape(figure.value)}[/]  {escape(figure.sum)}")
    for title, lines in (("Ran out", sheet.ran_out), ("Waits", sheet.waits)):
        for words in lines:
            out.print(f"  [bold]{title}[/]: {escape(words)}")
    for one in sheet.left:
        out.print(f"  Left: {escape(one.what)}, {escape(one.portions)}; {escape(one.words)}")
    out.print(f"  Written: {escape(str(made))}")
    for words in sheet.cautions:
        out.print(f"[dim]{escape(words)}[/]")
