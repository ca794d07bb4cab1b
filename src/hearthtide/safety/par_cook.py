"""A first heat that is stopped before the food is cooked. It is raw in law until it is cooked through.

Locked until a written procedure that the authority approved is entered.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Annotated

from pydantic import Field
from pydantic.dataclasses import dataclass

from hearthtide.safety.readings import STRICT, span_words
from hearthtide.safety.rules import ParCook, RuleSet
from hearthtide.safety.verdicts import Verdict, verdict


@dataclass(frozen=True, config=STRICT)
class Procedure:
    """A written procedure for par-cooking, approved beforehand: its reference, by whom, and when."""

    reference: Annotated[str, Field(min_length=1)]
    authority: Annotated[str, Field(min_length=1)]
    approved_on: date


def first_heat_verdict(
    rules: RuleSet, procedure: Procedure | None, into: datetime, out: datetime, today: date
) -> Verdict:
    """Whether a first heat that was stopped is one: from food in to food out, the oven hot or not."""
    rule = next(iter(rules.of(ParCook)), None)
    if rule is None:
        words = "this set foresees no first heat that is stopped: cook through, then chill"
        return Verdict("fail", "", rules.named, words)
    if procedure is None or procedure.approved_on > today:
        words = "locked: no written procedure approved beforehand is entered. Cook through, then chill"
        return verdict("fail", rule, words)
    took = out - into
    limit = span_words(timedelta(seconds=rule.first_heat_s))
    if took > timedelta(seconds=rule.first_heat_s):
        return verdict("fail", rule, f"the first heat took {span_words(took)}, {limit} is the limit")
    return verdict("pass", rule, f"the first heat took {span_words(took)} of {limit}; {procedure.reference}")
