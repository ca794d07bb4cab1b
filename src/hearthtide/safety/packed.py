"""Food heated in a microwave, food that bears its maker's instructions, and a plant's ready-to-eat food."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from hearthtide.safety.readings import Reading, in_order, span_words
from hearthtide.safety.rules import ByInstructions, Line, Microwave, Reheat, RuleSet
from hearthtide.safety.verdicts import NO_NUMBER, Verdict, heated_verdict, in_time, verdict

# All parts of food from a microwave are hot only as far as they were read: so many at least. Own choice.
LEAST_PARTS = 2


@dataclass(frozen=True)
class Microwaved:
    """How food was heated in a microwave, and when it stopped. `left_cold`: for food to be kept hot."""

    covered: bool
    turned: bool
    stopped: datetime
    left_cold: datetime | None = None


def microwave_verdict(
    rules: RuleSet, purpose: Literal["cook", "hold"], heated: Microwaved, readings: tuple[Reading, ...]
) -> Verdict:
    """Whether food from a microwave is cooked, or heated again to be kept hot.

    What counts are readings of the coldest parts once it has stood its time, covered.
    """
    rule = next((one for one in rules.of(Microwave) if one.purpose == purpose), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"microwave: {NO_NUMBER}")
    for done, words in (
        (heated.covered, "it was not covered"),
        (heated.turned, "it was not stirred or turned midway"),
    ):
        if not done:
            return verdict("fail", rule, words)
    stood = heated.stopped + timedelta(seconds=rule.stand_s)
    after = tuple(one for one in readings if one.at >= stood)
    found = heated_verdict(rule, rule.lines, after)
    if not found.passes:
        short = found.answer == "unproven" and any(one.at >= heated.stopped for one in in_order(readings))
        if short:
            wait = span_words(timedelta(seconds=rule.stand_s))
            return verdict("unproven", rule, f"no reading after it had stood {wait}, covered")
        return found
    read = tuple(one for one in in_order(after) if one.id in found.readings)
    if len({one.place for one in read}) < LEAST_PARTS:
        words = f"{found.words}; all parts are to be as hot, and one was read"
        return verdict("unproven", rule, words, read)
    if rule.within_s is None:
        return found
    if heated.left_cold is None:
        return verdict("unproven", rule, "when it left the cold is not written down")
    return in_time(rule, rule.within_s, heated.left_cold, found, after)


def packed_reheat_verdict(
    rules: RuleSet, intact_pack: bool, left_cold: datetime | None, readings: tuple[Reading, ...]
) -> Verdict:
    """Whether a plant's ready-to-eat food, from a pack that was intact, is hot enough to be kept hot."""
    rule = next((one for one in rules.of(Reheat) if one.purpose == "packed hold"), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"packed food: {NO_NUMBER}")
    if not intact_pack:
        return verdict("fail", rule, "its pack was open: re-heat it as food of this house")
    if left_cold is None:
        return verdict("unproven", rule, "when it left the cold is not written down")
    since = tuple(one for one in readings if one.at >= left_cold)
    found = heated_verdict(rule, rule.lines, since)
    if not found.passes or rule.within_s is None:
        return found
    return in_time(rule, rule.within_s, left_cold, found, since)


@dataclass(frozen=True)
class Instructions:
    """What a pack says: its words, the line it names where it names one, whether it asks for cooking.

    `followed`: somebody cooked it as the pack says.
    """

    words: str
    line: Line | None
    followed: bool
    may_be_eaten_uncooked: bool = False


def instructed_verdict(rules: RuleSet, pack: Instructions, readings: tuple[Reading, ...]) -> Verdict:
    """Whether packed food was cooked by its maker's instructions, before it went into ready-to-eat food.

    Instructions without a temperature prove nothing by themselves: judge it by the cooking line of its food.
    """
    rule = next(iter(rules.of(ByInstructions)), None)
    if rule is None:
        words = "the set says nothing of a maker's instructions: judge it as its food"
        return Verdict("unproven", "", rules.named, words)
    if pack.may_be_eaten_uncooked:
        return verdict("not applicable", rule, "the pack says that it may be eaten without cooking")
    if not pack.words.strip():
        return verdict("unproven", rule, "what the pack says is not written down")
    if not pack.followed:
        return verdict("fail", rule, f"it was not cooked as the pack says: {pack.words}")
    if pack.line is None:
        words = "the pack names no temperature: judge it by the cooking line of its food"
        return verdict("unproven", rule, words)
    return heated_verdict(rule, (pack.line,), readings)
