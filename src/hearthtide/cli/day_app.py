"""The words of the day's commands; the modules of the same names do them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hearthtide.cli.exit_codes import BROKEN, KEPT

HouseArg = Annotated[Path, typer.Argument(metavar="HOUSE", help="a house's folder")]
JsonFlag = Annotated[bool, typer.Option("--json", help="print JSON, units in the keys")]
DateArg = Annotated[str, typer.Argument(metavar="DATE", help="year-month-day, such as 2026-06-02")]
MineOption = Annotated[
    list[str] | None,
    typer.Option("--mine", metavar="FIGURE=N", help="your own number in place of ours; again for more"),
]
WhyOption = Annotated[str, typer.Option(metavar="WORDS", help="with --mine: the reason")]
PersonOption = Annotated[str, typer.Option(metavar="NAME", help="with --mine: whose number it is")]


def demand(
    house: HouseArg,
    day: DateArg,
    json: JsonFlag = False,
    booked: Annotated[
        int | None, typer.Option(min=0, max=5_000, metavar="N", help="covers on the books for that day")
    ] = None,
    mine: MineOption = None,
    why: WhyOption = "",
    person: PersonOption = "",
) -> None:
    """Covers and dishes of a day from the house's own sales, with bands, beside the last same weekdays."""
    from hearthtide.cli.demand_command import run_demand

    told = run_demand(house, day, booked, tuple(mine or ()), why, person, json)
    raise typer.Exit(KEPT if told else BROKEN)


def pars(
    house: HouseArg,
    day: DateArg,
    json: JsonFlag = False,
    stock: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="item, made, portions; else HOUSE/stock.csv")
    ] = None,
    mine: MineOption = None,
    why: WhyOption = "",
    person: PersonOption = "",
) -> None:
    """How much of what is made ahead to have ready that day, and the sum; the rule of thumb beside it."""
    from hearthtide.cli.pars_command import run_pars

    told = run_pars(house, day, stock, tuple(mine or ()), why, person, json)
    raise typer.Exit(KEPT if told else BROKEN)


def prep(
    house: HouseArg,
    day: DateArg,
    json: JsonFlag = False,
    stock: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="item, made, portions; else HOUSE/stock.csv")
    ] = None,
    amount: Annotated[
        list[str] | None,
        typer.Option("--amount", metavar="THING=N", help="make so many in place of the par; again for more"),
    ] = None,
    rounds: Annotated[
        int, typer.Option(min=0, max=100_000, help="how long to look for a better order")
    ] = 400,
    seed: Annotated[int, typer.Option(min=0, help="the same seed gives the same list")] = 1,
) -> None:
    """The day's prep in an order that hands, machines and places allow; else what binds."""
    from hearthtide.cli.prep_command import run_prep

    raise typer.Exit(KEPT if run_prep(house, day, stock, tuple(amount or ()), rounds, seed, json) else BROKEN)


def reheat(
    house: HouseArg,
    dish: Annotated[str | None, typer.Argument(metavar="[DISH]", help="one dish; else all re-heats")] = None,
    json: JsonFlag = False,
    day: Annotated[
        str | None,
        typer.Option("--day", metavar="DATE", help="also: how many to pull to temper that evening"),
    ] = None,
    procedure: Annotated[
        bool,
        typer.Option("--procedure", help="a written procedure for time instead of temperature is kept here"),
    ] = False,
    room_C: Annotated[
        float, typer.Option("--room-C", min=5, max=45, help="of the room it tempers in")
    ] = 25.0,
) -> None:
    """Minutes to heat chilled food through, by thickness and start; where to probe, what to pull."""
    from hearthtide.cli.reheat_command import run_reheat

    raise typer.Exit(KEPT if run_reheat(house, dish, day, procedure, room_C, json) else BROKEN)


def orders(
    house: HouseArg,
    day: DateArg,
    json: JsonFlag = False,
) -> None:
    """Dry orders: what to order by when, from the demand's bands, what is there and when it is delivered."""
    from hearthtide.cli.orders_command import run_orders

    raise typer.Exit(KEPT if run_orders(house, day, json) else BROKEN)
