"""The command line. Heavy rooms are imported inside the commands, so that help is quick."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer
from typer.models import OptionInfo

from hearthtide.cli import day_app
from hearthtide.cli.exit_codes import BAD_INPUT, BROKEN, KEPT
from hearthtide.cli.prints_app import add_to as add_prints
from hearthtide.cli.records_app import records
from hearthtide.cli.rules_app import add_to as add_rules
from hearthtide.errors import HearthtideError, InputError, NoPlan

app = typer.Typer(
    name="hearthtide",
    help="Plans and verifies a night at a live-flame stone hearth oven, from physics.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)

app.add_typer(records, name="records")
app.command()(day_app.day)
app.command()(day_app.demand)
app.command()(day_app.pars)
app.command(name="heat-up")(day_app.heat_up)
app.command()(day_app.cooldown)
app.command()(day_app.coldout)
add_prints(app)
app.command()(day_app.falling)
app.command()(day_app.fuel)
app.command()(day_app.capacity)
app.command()(day_app.prep)
app.command()(day_app.reheat)
app.command()(day_app.orders)

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


def _said(words: str, metavar: str = "X", name: str | None = None) -> OptionInfo:
    """An option of `heat` that belongs to --answer."""
    option: OptionInfo = typer.Option(
        *([name] if name else []), metavar=metavar, help=words, rich_help_panel="With --answer"
    )
    return option


@app.command()
def heat(
    house: HouseArg,
    json: JsonFlag = False,
    flame: Annotated[str | None, typer.Option(metavar="NAME", help="the flame to hold; else the top")] = None,
    hours: Annotated[float | None, typer.Option(help="how long it burns, 0.25 to 12; 3 if not given")] = None,
    picture: Annotated[
        Path | None, typer.Option(metavar="FILE.svg", help="draw the answer (or the heat-up) into this file")
    ] = None,
    answer: Annotated[
        str | None,
        typer.Option(
            metavar="WORD",
            help="one question: ready, ahead (what the stone does next), hold (which flame holds it), "
            "turndown (when it is usable again), left (after the flame is out), fuel, where (it lies between "
            "two temperatures)",
        ),
    ] = None,
    start: Annotated[str | None, _said("cold, overnight or settled", "WORD", "--from")] = None,
    stone_C: Annotated[float | None, _said("instead: the stone as read now, °C", name="--stone-C")] = None,
    soaked: Annotated[float | None, _said("of that stone: 1 hot through, 0.05 only its skin")] = None,
    aim_C: Annotated[float | None, _said("else the middle of the house's band", name="--aim-C")] = None,
    to: Annotated[str | None, _said("turndown: the flame to turn to; else the lowest", "NAME")] = None,
    minutes: Annotated[
        float | None, _said("ahead: how far, turndown: how long it was left up; 30 if not given")
    ] = None,
    limit_C: Annotated[float | None, _said("turndown: else the top of the band", name="--limit-C")] = None,
    low_C: Annotated[float | None, _said("where: else the foot of the band", name="--low-C")] = None,
    high_C: Annotated[float | None, _said("where: else the top of the band", name="--high-C")] = None,
    pizzas: Annotated[int | None, _said("ahead: so many pizzas always on the stone", "N")] = None,
    door: Annotated[str | None, _said("left, overnight: on, off (or both, for left)", "WORD")] = None,
    out_at: Annotated[str | None, _said("left: when the flame goes out; 22:00 if not given", "HH:MM")] = None,
    at: Annotated[str | None, _said("left: 23:00,02:00,06:00 if not given", "TIMES")] = None,
    price: Annotated[str | None, _said("fuel: such as 0.12/kWh, per kWh, kg or m3", "PRICE")] = None,
    wood: Annotated[
        str | None,
        _said("wood oven: such as 3kg/h, fed in the house's splits (ready, ahead, left, fuel)", "RATE"),
    ] = None,
    split: Annotated[
        list[str] | None,
        _said("wood oven: a split laid by hand, such as 19:40=1.2kg; again for more", "LAID"),
    ] = None,
    now: Annotated[
        str | None, _said("fed wood: when it begins; at the first split if not given", "HH:MM")
    ] = None,
) -> None:
    """The oven from cold at one flame: stone, dome, the heat at each kind of place; or one --answer."""
    from hearthtide.cli.heat_asked import Asked

    asked = Asked(
        answer=answer,
        flame=flame,
        hours=hours,
        start=start,
        stone_C=stone_C,
        soaked=soaked,
        aim_C=aim_C,
        to=to,
        minutes=minutes,
        limit_C=limit_C,
        low_C=low_C,
        high_C=high_C,
        pizzas=pizzas,
        door=door,
        out_at=out_at,
        at=at,
        price=price,
        wood=wood,
        split=tuple(split) if split else None,
        now=now,
        picture=picture,
    )
    if answer is None:
        from hearthtide.cli.heat_command import run_heat

        run_heat(house, json, asked)
    else:
        from hearthtide.cli.heat_answers import run_answer

        run_answer(house, json, asked)


@app.command()
def dish(
    house: HouseArg,
    dish: Annotated[str, typer.Argument(metavar="DISH", help="a dish's file name without .yaml")],
    json: JsonFlag = False,
    place: Annotated[
        str | None,
        typer.Option(metavar="WORD", help="near, mid, edge or mouth; else every place it may stand"),
    ] = None,
    spot: Annotated[
        str | None,
        typer.Option(
            metavar="X,Y",
            help="exactly there: cm right of the mouth's middle (left: below 0) and into the oven, such as "
            "10,65 or 4in,26in; or a word as for --place",
        ),
    ] = None,
    start_C: Annotated[
        float | None, typer.Option("--start-C", metavar="°C", help="the food's own; else its file's")
    ] = None,
    flame: Annotated[
        str | None, typer.Option(metavar="NAME", help="the flame now; else the one that holds the band")
    ] = None,
    probe: Annotated[
        list[str] | None,
        typer.Option(
            metavar="M:SS=TEMP",
            help="minutes into the stage and the core then, such as 6:30=41C; again for more",
        ),
    ] = None,
    stage: Annotated[
        str | None, typer.Option(metavar="NAME", help="the stage that --probe was read in; else the first")
    ] = None,
    picture: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="draw the run over time into this .svg or .png: core, faces, colour, weight"
        ),
    ] = None,
    map: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="draw the hearth into this .svg or .png: minutes to done, what gives first"
        ),
    ] = None,
    narrow: Annotated[
        bool, typer.Option("--narrow", help="draw --picture and --map as narrow as a phone")
    ] = False,
    proteins: Annotated[
        bool, typer.Option("--proteins", help="add to --picture when the core's proteins set and shrink")
    ] = False,
    table: Annotated[
        bool, typer.Option("--table", help="instead: over other stones and heats, kept for the next time")
    ] = False,
) -> None:
    """How long a dish takes at each kind of place or one spot, with bands; when to turn, flip, move, pull and
    rest; after a probe reading, what is left."""
    from hearthtide.cli.dish_asked import Asked

    asked = Asked(place, start_C, flame, tuple(probe or ()), stage, spot, picture, map, narrow, proteins)
    if table:
        from hearthtide.cli.dish_table import run_table

        raise typer.Exit(KEPT if run_table(house, dish, json, asked) else BROKEN)
    from hearthtide.cli.dish_command import run_dish

    raise typer.Exit(KEPT if run_dish(house, dish, json, asked) else BROKEN)


@app.command()
def chill(
    food: Annotated[
        str, typer.Argument(metavar="FOOD", help="a food of the library; with --house one of its dishes")
    ],
    json: JsonFlag = False,
    house: Annotated[
        Path | None, typer.Option("--house", metavar="HOUSE", help="a house's folder: FOOD is its dish")
    ] = None,
    thickest: Annotated[
        str | None, typer.Option(metavar="40mm", help="the thickest part, or a pan's depth")
    ] = None,
    shape: Annotated[
        str | None,
        typer.Option(
            metavar="WORD",
            help="flat (the slow side, if not given), log, ball, bird (a half, on the bone), pan (contents)",
        ),
    ] = None,
    contents: Annotated[
        str | None,
        typer.Option(metavar="WORD", help="of a pan: thick (if not given), liquid or stirred"),
    ] = None,
    start: Annotated[
        str | None, typer.Option("--from", metavar="82C", help="its core as it begins to chill")
    ] = None,
    air: Annotated[
        str | None, typer.Option(metavar="4C", help="the walk-in's air as read; 3 C if not given")
    ] = None,
    now: Annotated[
        str | None,
        typer.Option(
            metavar="WORD",
            help="how it chills now: covered, tray, rack, fan-tray, fan-rack, ice or blast",
        ),
    ] = None,
    limits: Annotated[
        str | None,
        typer.Option(
            metavar="LIMITS",
            help="in place of the house's rules: 57C,21C@2:00,5C@6:00, hours from the first (or 5C@+4:00)",
        ),
    ] = None,
    reading: Annotated[
        list[str] | None,
        typer.Option(
            metavar="H:MM=TEMP",
            help="with --now: hours into it and its warmest part then, such as 1:00=34C; again for more",
        ),
    ] = None,
    out_at: Annotated[
        str | None, typer.Option("--out", metavar="HH:MM", help="when it began to chill: clock times then")
    ] = None,
    picture: Annotated[Path | None, typer.Option(metavar="FILE.svg", help="draw it into this file")] = None,
) -> None:
    """Which ways of chilling make it, when it is how cold, and until when a change still helps."""
    from hearthtide.cli.chill_asked import Asked
    from hearthtide.cli.chill_command import run_chill

    asked = Asked(
        food=food,
        house=house,
        thickest=thickest,
        shape=shape,
        contents=contents,
        start=start,
        air=air,
        now=now,
        limits=limits,
        reading=tuple(reading or ()),
        out_at=out_at,
        picture=picture,
    )
    raise typer.Exit(KEPT if run_chill(json, asked) else BROKEN)


NightArg = Annotated[
    str, typer.Argument(metavar="NIGHT", help="a night's name, or the path of its .yaml file")
]
SeedOption = Annotated[int, typer.Option(min=0, help="the same seed gives the same answer")]


@app.command()
def quote(
    house: HouseArg,
    night: NightArg,
    at: Annotated[str, typer.Option("--at", metavar="HH:MM", help="when the table stands at the door")],
    dishes: Annotated[str, typer.Option(metavar="DISH,DISH", help="what it would eat, a word per plate")],
    covers: Annotated[int, typer.Option(min=1, max=100, help="how many guests")],
    allergy: Annotated[
        str | None, typer.Option(metavar="WORDS", help="what they may not have, such as milk,shellfish")
    ] = None,
    json: JsonFlag = False,
    seed: SeedOption = 1,
) -> None:
    """The earliest minute a table at the door can honestly be promised, and who would slip."""
    from hearthtide.cli.quote_command import run_quote

    holds = run_quote(house, night, at, dishes, covers, allergy, json, seed)
    raise typer.Exit(KEPT if holds else BROKEN)


@app.command()
def replan(
    house: HouseArg,
    night: NightArg,
    events: Annotated[Path, typer.Option("--events", metavar="FILE", help="what really happened, up to now")],
    minutes: Annotated[int, typer.Option(min=1, max=120, help="how far ahead to print moves")] = 5,
    json: JsonFlag = False,
    seed: SeedOption = 1,
) -> None:
    """After what really happened: the moves of the next minutes, what was told otherwise, who slips."""
    from hearthtide.cli.replan_command import run_replan

    kept = run_replan(house, night, events, minutes, json, seed)
    raise typer.Exit(KEPT if kept else BROKEN)


@app.command()
def board(
    house: HouseArg,
    night: Annotated[
        str | None, typer.Option(metavar="YYYY-MM-DD", help="whose log; else tonight's, until 06:00")
    ] = None,
    store: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="or a postgresql:// address; else HOUSE/nights.db"),
    ] = None,
    host: Annotated[str, typer.Option(help="0.0.0.0 opens it to the house's network")] = "127.0.0.1",
    port: Annotated[int, typer.Option(min=0, max=65535, help="0 takes any free one")] = 8360,
    name: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help="a host name it answers to; again for more")
    ] = None,
    certificate: Annotated[Path | None, typer.Option(metavar="FILE", help="of TLS, with --key")] = None,
    key: Annotated[Path | None, typer.Option(metavar="FILE", help="of the certificate")] = None,
    chef: Annotated[
        str | None, typer.Option(metavar="NAME", help="the first time: who may write others down")
    ] = None,
    books: Annotated[
        str | None, typer.Option(metavar="NIGHT", help="plan it: the night of this house that is foreseen")
    ] = None,
) -> None:
    """Run tonight from tablets by the oven and at the pass: take what is told, plan, show, keep."""
    from hearthtide.cli.board_command import run_board

    run_board(house, night, store, host, port, tuple(name or ()), certificate, key, chef, books)


@app.command()
def rehearse(
    house: HouseArg,
    night: NightArg,
    upsets: Annotated[
        Path | None, typer.Option(metavar="FILE", help="what goes wrong when, and what is expected")
    ] = None,
    speed: Annotated[float, typer.Option(min=0.5, max=60, help="times as quick as an evening")] = 20.0,
    headless: Annotated[
        bool, typer.Option("--headless", help="without screens, as quick as the planner allows")
    ] = False,
    store: Annotated[
        Path | None, typer.Option(metavar="FILE", help="keep the night in this file; else it is thrown away")
    ] = None,
    port: Annotated[int, typer.Option(min=0, max=65535, help="of the board; 0 takes any free one")] = 0,
    json: JsonFlag = False,
    seed: SeedOption = 1,
) -> None:
    """Run a whole night against simulated cooks, guests and oven, with chosen upsets."""
    from hearthtide.cli.rehearse_command import run_rehearse

    as_expected = run_rehearse(house, night, upsets, speed, headless, store, port, json, seed)
    raise typer.Exit(KEPT if as_expected else BROKEN)


add_rules(app)


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
