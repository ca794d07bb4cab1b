"""The rules a house goes by, as it writes them down: one set, its own rules in place, what is approved."""

from __future__ import annotations

from pydantic import Field, field_validator, model_validator

from hearthtide.house.fields import Written
from hearthtide.safety.par_cook import Procedure
from hearthtide.safety.rule_sets import NoSuchRules, overridden, rule_set, rule_set_names
from hearthtide.safety.rules import Rule, RuleSet


class RulesFile(Written):
    """One set, never blended with another. Left out of a house: plans work, nothing is judged."""

    set: str = Field(description="a rule set by its id; `hearthtide rules` lists them")
    own: tuple[Rule, ...] = Field(
        default=(), description="rules of the local adoption in place of the set's, each with its `override`"
    )
    par_cook: Procedure | None = Field(
        default=None, description="the approved written procedure; without it no first heat may be stopped"
    )

    @field_validator("set")
    @classmethod
    def _is_known(cls, name: str) -> str:
        if name not in rule_set_names():
            raise ValueError(f"expected one of {', '.join(rule_set_names())}")
        return name

    @model_validator(mode="after")
    def _own_rules_say_whose(self) -> RulesFile:
        try:
            overridden(rule_set(self.set), self.own)
        except NoSuchRules as err:
            raise ValueError(f"expected {err}") from err
        return self

    @property
    def chosen(self) -> RuleSet:
        """The set with the house's own rules in it."""
        return overridden(rule_set(self.set), self.own)
