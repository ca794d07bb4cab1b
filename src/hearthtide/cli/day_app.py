"""The words of the commands about the day around the night; the modules of the same names do them."""

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


def heat_up(
    house: HouseArg,
    day: DateArg,
    json: JsonFlag = False,
    make: Annotated[
        list[str] | None,
        typer.Option(
            "--make", metavar="BATCH=N", help="portions to cook, in place of the pars; again for more"
        ),
    ] = None,
    stock: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="item, made, portions; else HOUSE/stock.csv")
    ] = None,
) -> None:
    """When to light that day, and which tray goes in when and where while the stone climbs."""
    from hearthtide.cli.heatup_command import run_heat_up

    kept = run_heat_up(house, day, tuple(make or ()), stock, json)
    raise typer.Exit(KEPT if kept else BROKEN)


def cooldown(
    house: HouseArg,
    day: DateArg,
    json: JsonFlag = False,
    lot: Annotated[
        list[str] | None,
        typer.Option(
            "--lot", metavar="'KEY N HH:MM CORE'", help="such as 'chicken 18 15:20 75C'; again for more"
        ),
    ] = None,
    lots: Annotated[
        Path | None,
        typer.Option(
            "--lots", metavar="FILE.csv", help="item, portions, ready; core and wanted may be there"
        ),
    ] = None,
    without: Annotated[
        list[str] | None, typer.Option("--without", metavar="UNIT", help="a cold unit that is out of order")
    ] = None,
    rules: Annotated[
        str | None, typer.Option(metavar="SET", help="a rule set's id, in place of the house's")
    ] = None,
    picture: Annotated[Path | None, typer.Option(metavar="FILE.svg", help="draw the curves")] = None,
    there: Annotated[
        list[str] | None,
        typer.Option("--there", metavar="'KEY N HH:MM CORE UNIT'", help="a lot that cools in a unit already"),
    ] = None,
) -> None:
    """Which cold unit chills which hot lot, where, when to read it; what is not to be started, what would."""
    from hearthtide.cli.cooldown_command import CooldownAsked, run_cooldown

    asked = CooldownAsked(
        house, day, tuple(lot or ()), lots, tuple(without or ()), rules, picture, tuple(there or ())
    )
    raise typer.Exit(KEPT if run_cooldown(asked, json) else BROKEN)


def coldout(
    house: HouseArg,
    unit: Annotated[str, typer.Argument(metavar="UNIT", help="the cold unit of chill.yaml that failed")],
    logger: Annotated[Path, typer.Option("--logger", metavar="FILE.csv", help="time, read: its air")],
    inside: Annotated[
        Path,
        typer.Option("--inside", metavar="FILE.csv", help="item, needs_cold, read, value: what was in it"),
    ],
    now: Annotated[str, typer.Option(metavar="TIME", help="such as 2026-06-02T08:30-04:00")],
    last_good: Annotated[
        str | None,
        typer.Option("--last-good", metavar="TIME", help="when it was last known to be cold enough"),
    ] = None,
    rules: Annotated[
        str | None, typer.Option(metavar="SET", help="a rule set's id, in place of the house's")
    ] = None,
    json: JsonFlag = False,
    lands: Annotated[
        str | None,
        typer.Option("--lands", metavar="'KEY N HH:MM'", help="what comes raw in its place, and when"),
    ] = None,
    load: Annotated[
        str | None,
        typer.Option("--load", metavar="'N MINUTES'", help="with --lands: at once in the oven, how long"),
    ] = None,
    window: Annotated[
        str | None, typer.Option("--window", metavar="HH:MM-HH:MM", help="with --lands: the heat-up window")
    ] = None,
    doors: Annotated[
        str | None, typer.Option(metavar="HH:MM", help="with --lands: when it is wanted")
    ] = None,
    mended: Annotated[
        bool, typer.Option("--mended", help="with --lands: the unit will be cold again when they are ready")
    ] = False,
    records: Annotated[
        str | None,
        typer.Option("--records", metavar="FILE.db", help="write readings and deviations down here"),
    ] = None,
    person: Annotated[str, typer.Option(metavar="NAME", help="with --records: who writes it down")] = "",
) -> None:
    """A cold unit stood warm: what the code says of each thing in it, what is lost, what the day can be."""
    from hearthtide.cli.coldout_command import ColdoutAsked, run_coldout

    asked = ColdoutAsked(
        house,
        unit,
        logger,
        inside,
        now,
        last_good,
        rules,
        lands,
        load,
        window,
        doors,
        mended,
        records,
        person,
    )
    raise typer.Exit(KEPT if run_coldout(asked, json) else BROKEN)


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


def day(
    house: HouseArg,
    day: DateArg,
    json: JsonFlag = False,
    stock: Annotated[
        Path | None, typer.Option(metavar="FILE.csv", help="item, made, portions; else HOUSE/stock.csv")
    ] = None,
    write: Annotated[
        Path | None, typer.Option("--out", metavar="FILE", help="the day's sheets, .pdf or .html")
    ] = None,
    keep: Annotated[bool, typer.Option("--keep", help="keep it for the board's day page")] = False,
) -> None:
    """The whole day of one oven: lighting, trays, chilling, prep, the falling heat, in one order."""
    from hearthtide.cli.day_command import run_day

    kept = run_day(house, day, stock, json, write, keep)
    raise typer.Exit(KEPT if kept else BROKEN)
