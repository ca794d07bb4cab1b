"""The rule sets that are shipped, one of which a house may choose; and its own rules put in their place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from importlib import resources

from pydantic import TypeAdapter
from ruamel.yaml import YAML

from hearthtide.errors import HearthtideError
from hearthtide.safety.cautions import NO_RULES
from hearthtide.safety.rules import Cook, Rule, RuleSet

_SET = TypeAdapter(RuleSet)


class NoSuchRules(HearthtideError):
    """A rule set, or a rule of one, that is not there."""


@cache
def rule_set_names() -> tuple[str, ...]:
    """The ids of the sets that are shipped, by name."""
    folder = resources.files("hearthtide.data").joinpath("rules")
    return tuple(
        sorted(one.name.removesuffix(".yaml") for one in folder.iterdir() if one.name.endswith(".yaml"))
    )


@cache
def rule_set(name: str) -> RuleSet:
    """A rule set by its id.

    Raises
    ------
    NoSuchRules
        There is none of that id.

    >>> rule_set("us-fda-2022").edition
    '2022'
    """
    if name not in rule_set_names():
        raise NoSuchRules(f"no rule set {name!r}. Choose one of {', '.join(rule_set_names())}, or none.")
    text = (
        resources.files("hearthtide.data")
        .joinpath("rules")
        .joinpath(f"{name}.yaml")
        .read_text(encoding="utf-8")
    )
    return _SET.validate_python(YAML(typ="safe").load(text))


def overridden(rules: RuleSet, own: Sequence[Rule]) -> RuleSet:
    """The set with a house's own rules in place of those of the same ids, or beside them.

    Raises
    ------
    NoSuchRules
        One of `own` does not say who entered it and when, or stands for no rule of the set, or for less.
    """
    for rule in own:
        if rule.override is None:
            raise NoSuchRules(
                f"rule {rule.id} is the house's own. Say under `override` who entered it, when and why."
            )
        _stands_for(rules, rule)
    by_id = {rule.id: rule for rule in own}
    if len(by_id) < len(own):
        raise NoSuchRules("two own rules have one id. Write each once.")
    kept = tuple(by_id.pop(rule.id, rule) for rule in rules.rules)
    return replace(rules, rules=(*kept, *by_id.values()))


def _stands_for(rules: RuleSet, own: Rule) -> None:
    """An own rule has the id of the one it replaces and is about the same; a new kind stands alone."""
    old = next((rule for rule in rules.rules if rule.id == own.id), None)
    if old is None:
        alike = ", ".join(rule.id for rule in rules.rules if rule.what == own.what)
        if alike:
            raise NoSuchRules(
                f"rule {own.id} stands for none of {rules.id}. Give it the id it replaces: {alike}."
            )
        return
    if _subject(old) != _subject(own):
        raise NoSuchRules(
            f"rule {own.id} is not about what {old.id} of {rules.id} is about. Give it another id."
        )
    if isinstance(old, Cook) and isinstance(own, Cook) and not set(own.foods) >= set(old.foods):
        raise NoSuchRules(f"rule {own.id} leaves out foods of {old.id}. Name all of {', '.join(old.foods)}.")


def _subject(rule: Rule) -> tuple[str, ...]:
    told_by = ("side", "purpose", "starts", "point", "of", "pieces", "only")
    return (rule.what, *(str(getattr(rule, name, "")) for name in told_by))


def chosen_words(rules: RuleSet | None) -> str:
    """What stands under all that is printed: the rules a house goes by, and that nothing is certified."""
    if rules is None:
        return NO_RULES
    return (
        f"This house goes by {rules.named}: {rules.force}. Verdicts stand on readings alone and certify and "
        "approve nothing; a plan is none. Your local code, your inspector and a qualified person decide. "
        "If they differ from this page, follow them."
    )
