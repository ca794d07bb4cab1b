"""Whole roasts: an oven that is hot by the roast's weight, then one line of the table in its coldest part.

A roast may be pink because its lines are long. What was cooked so may be kept hot a little cooler, and the
unsliced rest of it re-heated by the same table. An oven of high humidity is left out: a hearth is none.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from hearthtide.safety.readings import Limit, Reading, at_or_above, in_order
from hearthtide.safety.rules import Oven, Reheat, Roast, RoastHold, RuleSet
from hearthtide.safety.verdicts import (
    NO_NUMBER,
    ToReheat,
    Verdict,
    heated_verdict,
    hold_verdict,
    kept_verdict,
    short_of_reheating,
    verdict,
)

# The oven's air was read so shortly before the roast went in, and then no further apart. Own choices.
PREHEATED_WITHIN = timedelta(minutes=30)
LONGEST_UNREAD = timedelta(hours=1)


@dataclass(frozen=True)
class Roasted:
    """One heating of a whole roast: its oven, its weight as it was weighed, when it went in and came out."""

    oven: Oven
    weight: Decimal
    unit: Literal["lb", "kg"]
    into: datetime
    out: datetime

    def __post_init__(self) -> None:
        if not (self.weight.is_finite() and self.weight > 0):
            raise ValueError(f"expected a weight above zero, found {self.weight} {self.unit}")
        if self.out <= self.into:
            raise ValueError("expected a roast to come out after it went in")


def roast_verdict(rules: RuleSet, roast: Roasted, readings: tuple[Reading, ...]) -> Verdict:
    """Whether a whole roast was cooked: by the oven's air (`point` air) and by its coldest part.

    A line's time is what somebody watched, on a reading at it or above; the rise after the oven counts.
    """
    rule = next(iter(rules.of(Roast)), None)
    if rule is None:
        words = f"whole roast: the set has no table for it, cook it as its meat; {NO_NUMBER}"
        return Verdict("unproven", "", rules.named, words)
    return _by_table(rule, roast, readings)


def _by_table(rule: Roast, roast: Roasted, readings: tuple[Reading, ...]) -> Verdict:
    air = _oven_verdict(rule, roast, readings)
    core = heated_verdict(rule, rule.lines, tuple(one for one in readings if one.at >= roast.into))
    for wrong in ("fail", "unproven"):
        for one in (core, air):
            if one.answer == wrong:
                return one
    both = tuple(one for one in in_order(readings) if one.id in core.readings + air.readings)
    return verdict("pass", rule, f"{core.words}; {air.words}", both)


def _oven_verdict(rule: Roast, roast: Roasted, readings: tuple[Reading, ...]) -> Verdict:
    limit = oven_limit(rule, roast)
    if limit is None:
        return verdict("unproven", rule, f"no temperature is stated for a {roast.oven} oven")
    begun = roast.into - PREHEATED_WITHIN
    taken = [one for one in in_order(readings) if one.point == "air" and begun <= one.at <= roast.out]
    # While it still heats up an oven may be cooler: of what was read before, the last counts.
    last = max((one.at for one in taken if one.at <= roast.into), default=begun)
    air = tuple(one for one in taken if one.at >= last)
    cool = tuple(one for one in air if not at_or_above(one, limit))
    if cool:
        return verdict("fail", rule, f"oven {cool[0].words}, {limit.words} is wanted", cool)
    if not air or air[0].at > roast.into:
        return verdict("unproven", rule, f"no reading shows the oven at {limit.words} as it went in")
    times = (*(one.at for one in air), roast.out)
    if any(later - one > LONGEST_UNREAD for one, later in pairwise(times)):
        return verdict("unproven", rule, "nobody read the oven's air for more than an hour", air)
    return verdict("pass", rule, f"oven {limit.words} or above", air)


def oven_limit(rule: Roast, roast: Roasted) -> Limit | None:
    """How hot the air of this oven is to be for a roast of this weight; None where that is not stated."""
    found = next((one for one in rule.ovens if one.oven == roast.oven), None)
    if found is None:
        return None
    heavy = rule.heavy_from.lb if roast.unit == "lb" else rule.heavy_from.kg
    return found.heavy if roast.weight >= heavy else found.light


def roast_reheat_verdict(
    rules: RuleSet,
    roast: Roasted,
    cooked: Verdict,
    sliced: bool,
    lot: ToReheat,
    readings: tuple[Reading, ...],
) -> Verdict:
    """Whether the unsliced rest of a roast was re-heated by the table it was cooked by, to be kept hot.

    `cooked` is the verdict on its cooking; `roast` and `readings` are of this heating.
    """
    rule = next((one for one in rules.of(Reheat) if one.purpose == "roast hold"), None)
    table = next(iter(rules.of(Roast)), None)
    if rule is None or table is None:
        return Verdict("unproven", "", rules.named, f"re-heating a roast: {NO_NUMBER}")
    if sliced:
        return verdict("fail", rule, "it is sliced: re-heat it as other food")
    if not (cooked.passes and cooked.rule == table.id):
        return verdict(
            "fail", rule, "it was not cooked as a whole roast by its table: re-heat it as other food"
        )
    if (short := short_of_reheating(rule, lot)) is not None:
        return short
    found = _by_table(table, roast, readings)
    stood = tuple(one for one in in_order(readings) if one.id in found.readings)
    return verdict(found.answer, rule, found.words, stood)


def roast_hold_verdict(rules: RuleSet, heated: Verdict, readings: tuple[Reading, ...]) -> Verdict:
    """Whether a roast was kept hot: by its own limit if it was cooked or re-heated as one, else as others.

    `heated` is the verdict on that cooking or re-heating.
    """
    rule = next(iter(rules.of(RoastHold)), None)
    by = {one.id for one in rules.of(Roast)}
    by |= {one.id for one in rules.of(Reheat) if one.purpose == "roast hold"}
    if rule is None or not heated.passes or heated.rule not in by:
        return hold_verdict(rules, "hot", readings)
    return kept_verdict(rule, "hot", rule.limit, readings)
