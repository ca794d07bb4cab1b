"""The command line. Heavy rooms are imported inside the commands, so that help is quick."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from hearthtide.errors import HearthtideError, InputError, NoPlan

KEPT, BROKEN, BAD_INPUT = 0, 1, 2

app = typer.Typer(
    name="hearthtide",
    help="Plans and verifies a night at a live-flame stone hearth oven, from physics.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)

HouseArg = Annotated[Path, typer.Argument(metavar="HOUSE", help="a house's folder")]
JsonFlag = Annotated[bool, typer.Option("--json", help="print JSON, units in the keys")]


@app.command()
def plan(
    house: HouseArg,
    night: Annotated[
        str, typer.Argument(metavar="NIGHT", help="a night's name, or the path of its .yaml file")
    ],
    json: JsonFlag = False,
    report: Annotated[
        Path | None, typer.Option("--report", metavar="DIR", help="write the page and the pictures here")
    ] = None,
    serve: Annotated[
        bool, typer.Option("--serve", help="serve the report on this machine until stopped")
    ] = False,
    port: Annotated[int, typer.Option(min=0, max=65535, help="for --serve; 0 takes any free one")] = 0,
    beside: Annotated[
        str | None, typer.Option(metavar="TICKET", help="the ticket to show on both kinds of minutes")
    ] = None,
    moves: Annotated[bool, typer.Option("--moves", help="print every move")] = False,
    seed: Annotated[int, typer.Option(min=0, help="the same seed gives the same plan")] = 1,
) -> None:
    """Plan a night: every move, the flame, when each table lands; verified by the models."""
    from hearthtide.cli.plan_command import run_plan

    if serve and report is None:
        raise typer.BadParameter("--serve needs --report DIR: the pages it serves are written there")
    kept = run_plan(house, night, json, report, port if serve else None, beside, moves, seed)
    raise typer.Exit(KEPT if kept else BROKEN)


@app.command()
def heat(
    house: HouseArg,
    json: JsonFlag = False,
    flame: Annotated[str | None, typer.Option(metavar="NAME", help="the flame to hold; else the top")] = None,
    hours: Annotated[float, typer.Option(min=0.25, max=12, help="how long, from cold")] = 3.0,
) -> None:
    """The oven from cold at one flame: stone and dome in time, and the heat at each kind of place."""
    from hearthtide.cli.heat_command import run_heat

    run_heat(house, json, flame, hours)


@app.command()
def dish(
    house: HouseArg,
    dish: Annotated[str, typer.Argument(metavar="DISH", help="a dish's file name without .yaml")],
    json: JsonFlag = False,
) -> None:
    """How long a dish takes at each kind of place with the stone in the house's band."""
    from hearthtide.cli.dish_command import run_dish

    raise typer.Exit(KEPT if run_dish(house, dish, json) else BROKEN)


@app.command()
def check(house: HouseArg, json: JsonFlag = False) -> None:
    """Read a house's files and all its nights; say what is there, or everything that is wrong."""
    from hearthtide.cli.check_command import run_check

    run_check(house, json)


def run() -> None:
    """The entry point: errors become plain lines and exit codes, never a traceback."""
    try:
        app()
    except InputError as err:
        _lines([str(finding) for finding in err.findings])
        sys.exit(BAD_INPUT)
    except NoPlan as err:
        _lines([str(err)])
        sys.exit(BROKEN)
    except HearthtideError as err:
        _lines([str(err)])
        sys.exit(BAD_INPUT)


def _lines(lines: list[str]) -> None:
    for line in lines:
        print(line, file=sys.stderr)
