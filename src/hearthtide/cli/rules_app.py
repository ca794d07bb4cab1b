"""The words of `rules`, `judge`, `claim` and `danger`, and what belongs to each."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hearthtide.cli.exit_codes import BROKEN, KEPT

JsonFlag = Annotated[bool, typer.Option("--json", help="print JSON, units in the keys")]
SetArg = Annotated[str, typer.Argument(metavar="SET", help="a rule set, or a house's folder")]


def rules(
    name: Annotated[
        str | None, typer.Argument(metavar="SET", help="a rule set, or a house's folder; else all are listed")
    ] = None,
    json: JsonFlag = False,
) -> None:
    """The food-safety rule sets a house may choose, and what each says, section by section."""
    from hearthtide.cli.rules_command import run_rules

    run_rules(name, json)


def judge(
    name: SetArg,
    step: Annotated[
        str, typer.Option("--as", metavar="WORD", help="what is judged; docs/rules.md lists them")
    ],
    table: Annotated[
        Path | None,
        typer.Argument(metavar="READINGS.csv", help="lot, time, read, point, instrument, person"),
    ] = None,
    lots: Annotated[
        Path | None, typer.Option(metavar="LOTS.csv", help="what is written of each lot besides readings")
    ] = None,
    food: Annotated[str | None, typer.Option(metavar="WORD", help="of all lots: such as poultry")] = None,
    piece: Annotated[
        str | None, typer.Option(metavar="WORD", help="of poultry: half bird, whole bird or pieces")
    ] = None,
    left_heat: Annotated[
        str | None, typer.Option(metavar="TIME", help="for cooled: when it left the heat, with its offset")
    ] = None,
    now: Annotated[
        str | None, typer.Option(metavar="TIME", help="as of then; else of the last reading, or of now")
    ] = None,
    json: JsonFlag = False,
) -> None:
    """Judge lots by one rule set: pass, fail or unproven, with its section and its readings."""
    from hearthtide.cli.judge_command import JudgeAsked, run_judge

    asked = JudgeAsked(step, table, lots, food, piece, left_heat, now)
    raise typer.Exit(KEPT if run_judge(name, asked, json) else BROKEN)


def claim(
    house: Annotated[Path, typer.Argument(metavar="HOUSE", help="a house's folder")],
    words: Annotated[str, typer.Argument(metavar="WORDS", help="what a menu or a label would say")],
    json: JsonFlag = False,
) -> None:
    """Whether words about gluten may be printed by this house, and what is printed in their place."""
    from hearthtide.cli.claim_command import run_claim

    raise typer.Exit(KEPT if run_claim(house, words, json) else BROKEN)


def danger(
    now: Annotated[str, typer.Option(metavar="HH:MM", help="the clock on the wall")],
    told: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT@HH:MM",
            help="carbon monoxide, extraction off, flame out, gas shut, coals behind a door or fire; again",
        ),
    ] = None,
    wait: Annotated[
        str | None,
        typer.Option(metavar="5min", help="before lighting, from the oven's book; never below 5 min"),
    ] = None,
    light: Annotated[bool, typer.Option("--light", help="ask whether the flame may be said to burn")] = False,
    json: JsonFlag = False,
) -> None:
    """What was told of fire, gas and air: the way out and nothing else; it measures nothing itself."""
    from hearthtide.cli.danger_command import run_danger

    raise typer.Exit(KEPT if run_danger(told or (), now, wait, light, json) else BROKEN)


def add_to(app: typer.Typer) -> None:
    """Puts these commands among others."""
    for command in (rules, judge, claim, danger):
        app.command()(command)
