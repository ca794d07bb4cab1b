"""`rules`: the sets that are shipped and what each says."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.shared import out, print_json
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_house
from hearthtide.house.rules_file import RulesFile
from hearthtide.house.validate import close_to
from hearthtide.safety.rule_sets import chosen_words, rule_set, rule_set_names
from hearthtide.safety.rules import RuleSet


def run_rules(name: str | None, json: bool) -> None:
    """Lists the sets, or prints one."""
    if name is None:
        _list(json)
        return
    rules = chosen(name).chosen
    if json:
        print_json(
            "rules", {"set": rules.id, "named": rules.named, "force": rules.force, "rules": _bodies(rules)}
        )
        return
    out.print(f"[bold]{escape(rules.named)}[/]\n{escape(rules.force)}")
    for rule in rules.rules:
        out.print(f"  {rule.id:8} {escape(rule.words)}")
        seen = f"; read in {rule.checked}" if rule.checked else ""
        out.print(f"           [dim]{escape(rule.cited)}; {rule.severity}{escape(seen)}[/]")
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


def chosen(name: str) -> RulesFile:
    """A set by its id, or what a house goes by, by its folder.

    Raises
    ------
    InputError
        There is no such set, or no such house, or it names none.
    """
    if name in rule_set_names():
        return RulesFile(set=name)
    if Path(name).is_dir():
        rules = read_house(Path(name)).file.rules
        if rules is None:
            raise wrong(
                "rules", name, "a house that names a rule set", "Write `rules: set:` into its house.yaml."
            )
        return rules
    raise wrong("rules", name, "a rule set or a house's folder", close_to(name, rule_set_names()))


def wrong(field: str, value: str, expected: str, remedy: str) -> InputError:
    """The refusal of one option."""
    return InputError((Finding("rules", 0, field, value, expected, remedy),))
