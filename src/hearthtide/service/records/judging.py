"""Verdicts on a lot's readings as they stand now: corrected, doubted where a thermometer failed its check."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from hearthtide.safety.cooling import cooled
from hearthtide.safety.readings import Reading
from hearthtide.safety.rules import FoodClass, RuleSet
from hearthtide.safety.verdicts import Verdict, cook_verdict, hold_verdict
from hearthtide.service.records.ledger import Judge, Ledger, judged

Step = Literal["cooked", "cooled", "cooled-from-room", "kept-hot", "kept-cold"]


def step_verdicts(
    ledger: Ledger, rules: RuleSet, lot: str, step: Step, food: FoodClass | None, now: datetime
) -> tuple[Verdict, ...]:
    """What the rules say of a lot's readings, all of them taken as those of one step, at `now`.

    Raises ValueError where a food is cooked and none is named.
    """
    return tuple(judged(ledger, rules, lot, judge) for judge in _judges(rules, step, food, now))


def _judges(rules: RuleSet, step: Step, food: FoodClass | None, now: datetime) -> tuple[Judge, ...]:
    if step == "cooked":
        if food is None:
            raise ValueError("cooked: expected the food")
        return (lambda readings: cook_verdict(rules, food, readings),)
    if step in ("kept-hot", "kept-cold"):
        return (lambda readings: hold_verdict(rules, "hot" if step == "kept-hot" else "cold", readings),)
    starts: Literal["hot", "room"] = "hot" if step == "cooled" else "room"

    def stage(n: int) -> Judge:
        def judge(readings: tuple[Reading, ...]) -> Verdict:
            return cooled(rules, readings, None, now, starts).stages[n]

        return judge

    return tuple(stage(n) for n in range(len(cooled(rules, (), None, now, starts).stages)))
