"""The words of `hearthtide demand` and `hearthtide pars`; the commands of the same names do them."""

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


def falling(
    house: HouseArg,
    day: DateArg,
    json: JsonFlag = False,
    picture: Annotated[
        Path | None, typer.Option(metavar="FILE.svg", help="draw the fall with what goes in and out")
    ] = None,
) -> None:
    """What the heat after close is good for that night, with the doors and people that are really there."""
    from hearthtide.cli.falling_command import run_falling

    raise typer.Exit(KEPT if run_falling(house, day, picture, json) else BROKEN)


def fuel(
    house: HouseArg,
    json: JsonFlag = False,
    days: Annotated[int, typer.Option(min=1, max=31, help="days to come, shut ones counted")] = 7,
    begins: Annotated[
        str | None, typer.Option("--from", metavar="DATE", help="the first of them; today if not given")
    ] = None,
    in_store: Annotated[
        str | None, typer.Option(metavar="MASS", help="wood that is there, such as 120kg; else fuel.yaml's")
    ] = None,
    covers: Annotated[
        int | None, typer.Option(min=1, max=5_000, metavar="N", help="of an open day; else fuel.yaml's")
    ] = None,
) -> None:
    """Wood or gas: what an open day burns and for what, what the days to come want, what to order."""
    from hearthtide.cli.fuel_command import run_fuel

    run_fuel(house, days, begins, in_store, covers, json)


def capacity(
    path: Annotated[
        Path, typer.Argument(metavar="FILE|HOUSE", help="an owner's figures, or a house with capacity.yaml")
    ],
    json: JsonFlag = False,
) -> None:
    """A second oven, or something cheaper first: stone, money, payback, and what would flip the answer."""
    from hearthtide.cli.capacity_command import run_capacity

    run_capacity(path, json)
