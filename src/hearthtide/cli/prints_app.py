"""The words of `labels`, `card`, `count` and `handover`; the commands of the same names do them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hearthtide.cli.exit_codes import BROKEN, KEPT

HouseArg = Annotated[Path, typer.Argument(metavar="HOUSE", help="a house's folder")]
JsonFlag = Annotated[bool, typer.Option("--json", help="print JSON, units in the keys")]
OutOption = Annotated[
    Path, typer.Option("--out", metavar="FILE", help="what is written: .pdf, or .html for a screen")
]
RecordsOption = Annotated[
    str | None,
    typer.Option("--records", metavar="FILE.db", help="where the records are kept; else HOUSE/nights.db"),
]


def labels(
    house: HouseArg,
    made: OutOption,
    lot: Annotated[
        list[str] | None, typer.Option(metavar="LOT", help="a lot's name or number; again for more")
    ] = None,
    every_open: Annotated[
        bool, typer.Option("--open", help="every lot that is neither served nor discarded")
    ] = False,
    size: Annotated[
        str, typer.Option(metavar="MM", help="50x30, 70x50, 100x50, or a4 for a sheet of 24")
    ] = "50x30",
    records: RecordsOption = None,
    json: JsonFlag = False,
) -> None:
    """Print labels of lots: what, when, state, last day, allergens, and a code that a scanner reads."""
    from hearthtide.cli.labels_command import run_labels

    usable = run_labels(house, records, tuple(lot or ()), every_open, size, made, json)
    raise typer.Exit(KEPT if usable else BROKEN)


def card(
    house: HouseArg,
    dish: Annotated[str, typer.Argument(metavar="DISH", help="a dish's key")],
    made: OutOption,
    size: Annotated[str, typer.Option(metavar="A4|A5", help="the paper")] = "A4",
    json: JsonFlag = False,
) -> None:
    """Print a dish's card for the station: where it stands, how long, when to move, what to look for."""
    from hearthtide.cli.card_command import run_card

    raise typer.Exit(KEPT if run_card(house, dish, size, made, json) else BROKEN)


def count(
    house: HouseArg,
    counted: Annotated[
        Path | None, typer.Option("--counted", metavar="FILE.csv", help="lot, portions, as they were counted")
    ] = None,
    stock: Annotated[
        Path | None,
        typer.Option("--stock", metavar="FILE.csv", help="write the count for the morning's pars"),
    ] = None,
    dough: Annotated[
        Path | None,
        typer.Option("--dough", metavar="FILE.csv", help="tray, made, balls, out: which to use first"),
    ] = None,
    records: RecordsOption = None,
    json: JsonFlag = False,
) -> None:
    """Count at close: what the records say is there, lot by lot, beside what was counted."""
    from hearthtide.cli.count_command import run_count

    raise typer.Exit(KEPT if run_count(house, records, counted, stock, dough, json) else BROKEN)


def handover(
    house: HouseArg,
    day: Annotated[str, typer.Argument(metavar="DATE", help="the night's date, year-month-day")],
    made: OutOption,
    nights: Annotated[
        str | None,
        typer.Option("--nights", metavar="FILE.db", help="what the board wrote; else HOUSE/nights.db"),
    ] = None,
    doors: Annotated[
        str | None, typer.Option(metavar="HH:MM", help="when doors opened; else as ahead.yaml has it")
    ] = None,
    json: JsonFlag = False,
) -> None:
    """Print what the next morning has to know of a night: figures, what ran out, what is left, what waits."""
    from hearthtide.cli.handover_command import run_handover

    raise typer.Exit(KEPT if run_handover(house, day, nights, doors, made, json) else BROKEN)


def add_to(app: typer.Typer) -> None:
    """The four commands."""
    for command in (labels, card, count, handover):
        app.command()(command)
