"""`judge`: verdicts on lots by one rule set, from a table of readings and what is written of the lots."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import get_args

from rich.markup import escape

from hearthtide.cli.judge_steps import STEPS, UNREAD, Case, judged, named
from hearthtide.cli.rules_command import chosen, wrong
from hearthtide.cli.shared import err, out, print_json
from hearthtide.errors import Finding
from hearthtide.house.lots_file import LotFacts, take_lots
from hearthtide.house.readings_file import take_readings
from hearthtide.house.rules_file import RulesFile
from hearthtide.house.validate import close_to
from hearthtide.safety.readings import Reading
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.safety.rules import FoodClass, Piece, RuleSet
from hearthtide.safety.verdicts import Verdict, gravest

UNPROVEN_WORDS = "Unproven is no pass: hold it for a named person's decision."


@dataclass(frozen=True)
class JudgeAsked:
    """The options of `judge` as given; None where nothing was."""

    step: str
    readings: Path | None
    lots: Path | None
    food: str | None = None
    piece: str | None = None
    left_heat: str | None = None
    now: str | None = None


def run_judge(name: str, asked: JudgeAsked, json: bool) -> bool:
    """Prints the verdicts of every lot; True when none fails and none is unproven."""
    by = chosen(name)
    _check(asked)
    for_all = _for_all(asked)
    now = _instant("--now", asked.now)
    read, off = ((), ()) if asked.readings is None else take_readings(asked.readings)
    lots, odd = ((), ()) if asked.lots is None else take_lots(asked.lots)
    left_out = (*off, *odd)
    for finding in left_out:
        err.print(f"Set aside: {escape(str(finding))}", soft_wrap=True)
    found = {case.facts.lot: judged(asked.step, case) for case in _cases(by, read, lots, for_all, now)}
    if json:
        _print_json(by.chosen, found, left_out)
    else:
        _print(by.chosen, found)
    good = all(gravest(one) not in ("fail", "unproven") for one in found.values())
    return bool(found) and not left_out and good


def _check(asked: JudgeAsked) -> None:
    _one_of("--as", asked.step, tuple(STEPS))
    _one_of("--food", asked.food, get_args(FoodClass))
    _one_of("--piece", asked.piece, get_args(Piece))
    if asked.readings is None and asked.step not in UNREAD:
        raise wrong(
            "READINGS.csv", "", "a table of readings", f"Leave it out for {named(tuple(UNREAD))} alone."
        )
    if asked.readings is None and asked.lots is None:
        raise wrong(
            "--lots", "", "a table of lots", "A row for each lot, a column for each thing written of it."
        )
    if asked.step == "cooked" and asked.lots is None:
        if asked.food is None:
            raise wrong("--food", "", f"the food, one of {', '.join(get_args(FoodClass))}", "Say it.")
        if asked.food == "poultry" and asked.piece is None:
            remedy = "Say it: a half or whole bird is read in breast and thigh."
            raise wrong("--piece", "", f"one of {', '.join(get_args(Piece))}", remedy)


def _for_all(asked: JudgeAsked) -> dict[str, object]:
    """What the options say of every lot."""
    left = _instant("--left-heat", asked.left_heat)
    said = {
        "food": asked.food,
        "piece": asked.piece,
        "left_heat": None if left is None else left.astimezone(UTC),
    }
    return {name: value for name, value in said.items() if value is not None}


def _cases(
    by: RulesFile,
    readings: Iterable[Reading],
    lots: Iterable[LotFacts],
    for_all: dict[str, object],
    now: datetime | None,
) -> Iterable[Case]:
    """A case for each lot that is named anywhere, in the order of their names' first appearance."""
    written = {one.lot: one.written for one in lots}
    taken: dict[str, list[Reading]] = {lot: [] for lot in written}
    for one in readings:
        taken.setdefault(one.lot, []).append(one)
    for lot, own in taken.items():
        at, today = _as_of(now, own)
        facts = LotFacts(lot, {**for_all, **written.get(lot, {})})
        yield Case(by.chosen, tuple(own), facts, at, today, by.par_cook)


def _as_of(now: datetime | None, own: list[Reading]) -> tuple[datetime, date]:
    """As of when, and the date on the wall then: as said, else of the last reading, else this computer's."""
    if now is not None:
        return now.astimezone(UTC), now.date()
    if own:
        last = max(own, key=lambda one: one.at)
        return last.at, last.local.date()
    here = datetime.now().astimezone()
    return here.astimezone(UTC), here.date()


def _print_json(rules: RuleSet, found: dict[str, tuple[Verdict, ...]], left_out: Iterable[Finding]) -> None:
    body = {lot: [asdict(one) for one in verdicts] for lot, verdicts in found.items()}
    print_json(
        "verdicts",
        {
            "rules": rules.named,
            "lots": body,
            "left_out": [str(one) for one in left_out],
            "cautions": [chosen_words(rules)],
        },
    )


def _print(rules: RuleSet, found: dict[str, tuple[Verdict, ...]]) -> None:
    for lot, verdicts in found.items():
        out.print(f"[bold]{escape(lot)}[/]")
        for one in verdicts:
            stands = f" [dim]({', '.join(one.readings)})[/]" if one.readings else ""
            out.print(f"  [bold]{one.answer}[/]  {escape(one.words)}{stands}")
            out.print(f"        [dim]{escape(one.section)}[/]")
    if not found:
        out.print("No reading: nothing is proved.")
    if any(one.answer == "unproven" for verdicts in found.values() for one in verdicts):
        out.print(UNPROVEN_WORDS)
    out.print(f"[dim]{escape(chosen_words(rules))}[/]")


def _one_of(field: str, value: str | None, known: tuple[str, ...]) -> None:
    if value is not None and value not in known:
        raise wrong(field, value, f"one of {', '.join(known)}", close_to(value, known))


def _instant(field: str, value: str | None) -> datetime | None:
    if value is None:
        return None
    try:
        when = datetime.fromisoformat(value)
    except ValueError:
        when = None
    if when is None or when.utcoffset() is None:
        raise wrong(field, value, "a time with its offset, such as 2026-06-02T14:00-04:00", "Write it so.")
    return when
