"""The words of `hearthtide records` and what belongs to each; `records_command` does them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hearthtide.cli.exit_codes import BROKEN, KEPT

JsonFlag = Annotated[bool, typer.Option("--json", help="print JSON, units in the keys")]
records = typer.Typer(
    no_args_is_help=True, help="Temperature records: chained entries, found, checked, exported."
)
BookArg = Annotated[
    str, typer.Argument(metavar="FILE.db", help="the database the records are kept in, or its address")
]
Words = Annotated[list[str] | None, typer.Argument(metavar="WORDS", help="of a lot, a dish, a person")]
Day = Annotated[str | None, typer.Option(metavar="DAY", help="2026-06-02, or such as 'last tuesday'")]
RulesOf = Annotated[
    Path | None, typer.Option("--house", metavar="HOUSE", help="whose rules corrections go by")
]

RuleSetOf = Annotated[
    str | None, typer.Option("--rules", metavar="SET", help="a rule set's id, in place of a house's")
]
Lot = Annotated[str, typer.Argument(metavar="LOT", help="as its readings name it")]
Person = Annotated[str, typer.Option(metavar="NAME", help="who writes it down")]
At = Annotated[
    str | None, typer.Option(metavar="TIME", help="when it was so, such as 2026-06-02T14:00-04:00; else now")
]


@records.command("add")
def records_add(
    file: BookArg,
    table: Annotated[Path, typer.Argument(metavar="READINGS.csv", help="as `judge` reads it")],
    house: RulesOf = None,
    device: Annotated[str, typer.Option(metavar="WORD", help="what they were entered on")] = "command line",
) -> None:
    """Write a table of readings down; rows that stand there already are not written twice."""
    from hearthtide.cli.records_command import run_add

    raise typer.Exit(KEPT if run_add(file, table, house, device) else BROKEN)


@records.command("correct")
def records_correct(
    file: BookArg,
    of: Annotated[str, typer.Argument(metavar="ENTRY", help="the id of a reading")],
    read: Annotated[str, typer.Option("--read", metavar="165F", help="what should have been written")],
    why: Annotated[str, typer.Option(metavar="WORDS", help="the reason")],
    person: Annotated[str, typer.Option(metavar="NAME", help="who corrects it")],
    second: Annotated[
        str, typer.Option(metavar="NAME", help="who stands by it, where it helps a verdict")
    ] = "",
    rules: RuleSetOf = None,
    house: RulesOf = None,
) -> None:
    """Correct a reading by an entry of its own; the old one stays and is shown."""
    from hearthtide.cli.records_entered import rules_of, run_correct

    run_correct(file, of, read, why, person, second, rules_of(rules, house))


@records.command("lot")
def records_lot(
    file: BookArg,
    lot: Lot,
    dish: Annotated[str, typer.Option(metavar="WORDS", help="what it is")],
    quantity: Annotated[str, typer.Option(metavar="WORDS", help="how much, such as '14 kg'")],
    person: Person,
    of: Annotated[list[str] | None, typer.Option(metavar="LOT", help="a lot that went into it")] = None,
    at: At = None,
) -> None:
    """Write down food that was made ahead in one go."""
    from hearthtide.cli.records_entered import run_lot

    run_lot(file, lot, dish, quantity, of or [], person, at)


@records.command("state")
def records_state(
    file: BookArg,
    lot: Lot,
    state: Annotated[str, typer.Argument(metavar="STATE", help="cooked, cooling, chilled, served ...")],
    person: Person,
    at: At = None,
    rules: RuleSetOf = None,
    house: RulesOf = None,
    food: Annotated[str | None, typer.Option(metavar="FOOD", help="what is heated, such as poultry")] = None,
    into: Annotated[str | None, typer.Option(metavar="TIME", help="when its first heat began")] = None,
    left_cold: Annotated[str | None, typer.Option(metavar="TIME", help="when it left the cold")] = None,
    marked: Annotated[str | None, typer.Option(metavar="DATE", help="the last day on its mark")] = None,
) -> None:
    """Write down what a lot became, with the readings that prove it; what is not proved is refused."""
    from hearthtide.cli.records_entered import rules_of, run_state, said_of

    by = rules_of(rules, house)
    run_state(file, lot, state, person, at, by, said_of(food, into, left_cold, marked, by))


@records.command("freezer")
def records_freezer(
    file: BookArg,
    lot: Lot,
    way: Annotated[str, typer.Argument(metavar="in|out", help="whether it goes in or comes out")],
    person: Person,
    at: At = None,
) -> None:
    """Write down that a chilled lot went into the freezer, or came out: its days stand still between."""
    from hearthtide.cli.records_papers import run_freezer

    run_freezer(file, lot, way, person, at)


@records.command("mark")
def records_mark(
    file: BookArg,
    lot: Lot,
    person: Person,
    day: Annotated[str | None, typer.Option("--day", metavar="DATE", help="the last day on it")] = None,
    until: Annotated[
        str | None, typer.Option("--until", metavar="TIME", help="the time on food that is on time alone")
    ] = None,
    at: At = None,
) -> None:
    """Write down what was marked on a lot: its last day, or the time by which it is used or discarded."""
    from hearthtide.cli.records_papers import run_mark

    run_mark(file, lot, day, until, person, at)


@records.command("procedure")
def records_procedure(
    file: BookArg,
    reference: Annotated[str, typer.Option(metavar="WORDS", help="what it is called and where it is kept")],
    person: Person,
    at: At = None,
) -> None:
    """Write down that a written procedure for time alone is kept here: some sets want it beforehand."""
    from hearthtide.cli.records_papers import run_procedure

    run_procedure(file, reference, person, at)


@records.command("rules")
def records_rules(
    file: BookArg,
    house: Annotated[Path, typer.Option("--house", metavar="HOUSE", help="whose rules they are")],
    person: Person,
) -> None:
    """Write down the rules the house goes by from now on, its own among them: prints are verified by them."""
    from hearthtide.cli.records_papers import run_rules

    run_rules(file, house, person)


@records.command("probe")
def records_probe(
    file: BookArg,
    instrument: Annotated[str, typer.Argument(metavar="THERMOMETER", help="as its readings name it")],
    showed: Annotated[str, typer.Option(metavar="32.5F", help="what it showed")],
    person: Person,
    against: Annotated[
        str, typer.Option(metavar="WORDS", help="ice, 'boiling at 300 m', or a temperature such as 0.2C")
    ] = "ice",
    scale: Annotated[str, typer.Option(metavar="C|F|both", help="what it can show")] = "both",
    at: At = None,
    rules: RuleSetOf = None,
    house: RulesOf = None,
) -> None:
    """Write down a thermometer's check; one that failed takes passes back to its last good one."""
    from hearthtide.cli.records_entered import rules_of, run_probe

    by = rules_of(rules, house)
    done = run_probe(file, instrument, showed, against, scale, person, at, by)
    raise typer.Exit(KEPT if done else BROKEN)


@records.command("deviation")
def records_deviation(
    file: BookArg,
    lot: Lot,
    rule: Annotated[str, typer.Option(metavar="RULE", help="its id, as `hearthtide rules` prints it")],
    found: Annotated[str, typer.Option("--found", metavar="WORDS", help="what was not as it asks")],
    person: Person,
    on: Annotated[list[str] | None, typer.Option(metavar="ENTRY", help="a reading that shows it")] = None,
    at: At = None,
) -> None:
    """Write down that something was not as a rule asks; it stays open until it is closed."""
    from hearthtide.cli.records_entered import run_deviation

    run_deviation(file, lot, rule, found, on or [], person, at)


@records.command("close")
def records_close(
    file: BookArg,
    of: Annotated[str, typer.Argument(metavar="ENTRY", help="the id of a deviation")],
    cause: Annotated[str, typer.Option(metavar="WORDS", help="what brought it about")],
    control: Annotated[str, typer.Option(metavar="WORDS", help="how control was had again")],
    prevention: Annotated[str, typer.Option(metavar="WORDS", help="what keeps it from coming back")],
    disposition: Annotated[str, typer.Option(metavar="WORDS", help="what became of the food")],
    person: Person,
    at: At = None,
) -> None:
    """Close a deviation, with all four said."""
    from hearthtide.cli.records_entered import run_close

    run_close(file, of, (cause, control, prevention, disposition), person, at)


@records.command("open")
def records_open(file: BookArg) -> None:
    """List the deviations that nobody has closed."""
    from hearthtide.cli.records_entered import run_open

    raise typer.Exit(KEPT if run_open(file) else BROKEN)


@records.command("find")
def records_find(
    file: BookArg,
    words: Words = None,
    day: Day = None,
    json: JsonFlag = False,
) -> None:
    """Find entries: `find records.db chicken --day tuesday`."""
    from hearthtide.cli.records_command import run_find

    raise typer.Exit(KEPT if run_find(file, " ".join(words or []), day, json) else BROKEN)


@records.command("check")
def records_check(
    file: BookArg,
    head: Annotated[
        str | None, typer.Option(metavar="COUNT:HASH", help="an end that was noted before")
    ] = None,
    json: JsonFlag = False,
) -> None:
    """Check that every entry is as it was written, and say where one is not."""
    from hearthtide.cli.records_command import run_check

    raise typer.Exit(KEPT if run_check(file, head, json) else BROKEN)


@records.command("export")
def records_export(
    file: BookArg,
    table: Annotated[Path | None, typer.Option("--csv", metavar="FILE", help="a line for each entry")] = None,
    whole: Annotated[
        Path | None, typer.Option("--json", metavar="FILE", help="with every link of the chain")
    ] = None,
) -> None:
    """Write the records out for an inspector."""
    from hearthtide.cli.records_command import run_export

    if table is None and whole is None:
        raise typer.BadParameter("say --csv FILE, --json FILE or both")
    raise typer.Exit(KEPT if run_export(file, table, whole) else BROKEN)


@records.command("print")
def records_print(
    file: BookArg,
    made: Annotated[Path, typer.Argument(metavar="OUT.pdf", help="what is written")],
    words: Words = None,
    day: Day = None,
    first: Annotated[str | None, typer.Option("--from", metavar="DAY", help="the first day")] = None,
    last: Annotated[str | None, typer.Option("--to", metavar="DAY", help="the last day")] = None,
    rules: Annotated[str | None, typer.Option(metavar="SET", help="the rule set to judge by")] = None,
    house: Annotated[Path | None, typer.Option(metavar="HOUSE", help="whose rules and name")] = None,
    step: Annotated[
        str | None, typer.Option("--as", metavar="STEP", help="judge all readings of a lot as of one step")
    ] = None,
    food: Annotated[str | None, typer.Option(metavar="FOOD", help="what was cooked")] = None,
) -> None:
    """Print lots with their entries and verdicts for an inspector, bound to the records by their hash."""
    from hearthtide.cli.records_print import asked_for, run_print

    asked = asked_for(" ".join(words or []), day, first, last, step, food)
    raise typer.Exit(KEPT if run_print(file, made, asked, house, rules) else BROKEN)


@records.command("verify")
def records_verify(
    made: Annotated[Path, typer.Argument(metavar="FILE.pdf", help="as `records print` wrote it")],
    file: BookArg,
    house: Annotated[
        Path | None, typer.Option(metavar="HOUSE", help="whose own rules it was judged by")
    ] = None,
    json: JsonFlag = False,
) -> None:
    """Say whether what a print lists still agrees with the records."""
    from hearthtide.cli.records_print import run_verify

    raise typer.Exit(KEPT if run_verify(made, file, house, json) else BROKEN)
