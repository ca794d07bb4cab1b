"""`rules`: the sets that are shipped and what each says; `judge`: verdicts on a table of readings by one."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Literal, cast, get_args

from rich.markup import escape

from hearthtide.cli.shared import err, out, print_json
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_house
from hearthtide.house.readings_file import take_readings
from hearthtide.house.validate import close_to
from hearthtide.safety.cooling import cooled
from hearthtide.safety.readings import Reading
from hearthtide.safety.rule_sets import chosen_words, rule_set, rule_set_names
from hearthtide.safety.rules import FoodClass, RuleSet
from hearthtide.safety.verdicts import Verdict, cook_verdict, gravest, hold_verdict

Step = Literal["cooked", "cooled", "cooled-from-room", "kept-hot", "kept-cold"]
UNPROVEN_WORDS = "Unproven is no pass: hold it for a named person's decision."


def run_rules(name: str | None, json: bool) -> None:
    """Lists the sets, or prints one."""
    if name is None:
        _list(json)
        return
    rules = _rules(name)
    if json:
        print_json(
            "rules", {"set": rules.id, "named": rules.named, "force": rules.force, "rules": _bodies(rules)}
        )
        return
    out.print(f"[bold]{escape(rules.named)}[/]\n{escape(rules.force)}")
    for rule in rules.rules:
        out.print(f"  {rule.id:8} {escape(rule.words)}")
        out.print(f"           [dim]{escape(rule.cited)}; {rule.severity}[/]")
    out.print(f"[dim]{escape(chosen_words(rules))}[/]")


def _list(json: bool) -> None:
    sets = [rule_set(name) for name in rule_set_names()]
    if json:
        print_json(
            "rule sets", {"sets": [{"id": one.id, "named": one.named, "force": one.force} for one in sets]}
        )
        return
    for one in sets:
        unread = sum(rule.known == "memory" for rule in one.rules)
        said = f", {unread} of {len(one.rules)} rules unverified" if unread else f", {len(one.rules)} rules"
        out.print(f"  {one.id:18} {escape(one.named)}{said}")
    out.print(f"[dim]A house names one under `rules: set:`. {escape(chosen_words(None))}[/]")


def _bodies(rules: RuleSet) -> list[dict[str, object]]:
    return [{**_plain(asdict(rule)), "cited": rule.cited} for rule in rules.rules]


def _plain(body: dict[str, object]) -> dict[str, object]:
    """As JSON has it: published numbers as they are written."""

    def one(value: object) -> object:
        if isinstance(value, dict):
            return {key: one(inner) for key, inner in value.items()}
        if isinstance(value, list | tuple):
            return [one(inner) for inner in value]
        return value if isinstance(value, int | str | bool | None) else str(value)

    return {key: one(value) for key, value in body.items()}


def run_judge(
    name: str, table: Path, step: str, food: str | None, left: str | None, now: str | None, json: bool
) -> bool:
    """Prints the verdicts of every lot; True when none fails and none is unproven."""
    rules = _rules(name)
    step = _one_of("--as", step, get_args(Step))
    food = None if food is None else _one_of("--food", food, get_args(FoodClass))
    if step == "cooked" and food is None:
        raise _wrong("--food", "", f"the food, one of {', '.join(get_args(FoodClass))}", "Say it.")
    readings, wrong = take_readings(table)
    for finding in wrong:
        err.print(f"Set aside: {escape(str(finding))}", soft_wrap=True)
    left_heat, at = _instant("--left-heat", left), _instant("--now", now)
    lots: dict[str, list[Reading]] = {}
    for one in readings:
        lots.setdefault(one.lot, []).append(one)
    found = {
        lot: _verdicts(rules, cast(Step, step), food, tuple(taken), left_heat, at)
        for lot, taken in lots.items()
    }
    if json:
        body = {lot: [asdict(one) for one in verdicts] for lot, verdicts in found.items()}
        left_out = [str(one) for one in wrong]
        print_json(
            "verdicts",
            {"rules": rules.named, "lots": body, "left_out": left_out, "cautions": [chosen_words(rules)]},
        )
    else:
        _print(rules, found)
    return bool(found) and not wrong and all(gravest(v) not in ("fail", "unproven") for v in found.values())


def _verdicts(
    rules: RuleSet,
    step: Step,
    food: str | None,
    taken: tuple[Reading, ...],
    left: datetime | None,
    now: datetime | None,
) -> tuple[Verdict, ...]:
    if step == "cooked":
        return (cook_verdict(rules, cast(FoodClass, food), taken),)
    if step in ("kept-hot", "kept-cold"):
        return (hold_verdict(rules, "hot" if step == "kept-hot" else "cold", taken),)
    at = max(one.at for one in taken) if now is None else now
    return cooled(rules, taken, left, at, "hot" if step == "cooled" else "room").stages


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


def _rules(name: str) -> RuleSet:
    """A set by its id, or that of a house by its folder."""
    if name in rule_set_names():
        return rule_set(name)
    if Path(name).is_dir():
        chosen = read_house(Path(name)).file.chosen_rules
        if chosen is None:
            raise _wrong(
                "rules", name, "a house that names a rule set", "Write `rules: set:` into its house.yaml."
            )
        return chosen
    raise _wrong("rules", name, "a rule set or a house's folder", close_to(name, rule_set_names()))


def _one_of(field: str, value: str, known: tuple[str, ...]) -> str:
    if value not in known:
        raise _wrong(field, value, f"one of {', '.join(known)}", close_to(value, known))
    return value


def _instant(field: str, value: str | None) -> datetime | None:
    if value is None:
        return None
    try:
        when = datetime.fromisoformat(value)
    except ValueError:
        when = datetime.min
    if when.utcoffset() is None:
        raise _wrong(field, value, "a time with its offset from UTC", "Such as 2026-06-02T14:00-04:00.")
    return when


def _wrong(field: str, value: str, expected: str, remedy: str) -> InputError:
    return InputError(
        (Finding("judge" if field.startswith("--") else "rules", 0, field, value, expected, remedy),)
    )
