"""What is done so that food cools in time: the method that is written down, and heating through once more."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from hearthtide.safety.cooling import cooled
from hearthtide.safety.readings import Reading, span_words
from hearthtide.safety.rules import CoolMethods, FoodClass, HeatAgain, Piece, RuleSet
from hearthtide.safety.verdicts import NO_NUMBER, Verdict, heated_verdict, in_all_parts, in_time, verdict

Cover = Literal["loose", "uncovered and protected", "tight", "uncovered"]


@dataclass(frozen=True)
class Method:
    """How a lot cools: the methods by name, whether air gets round its containers, and its cover."""

    methods: tuple[str, ...]
    spaced: bool
    cover: Cover


def method_verdict(rules: RuleSet, method: Method | None) -> Verdict:
    """Whether a cooling method of the set is on record, the containers spaced and the lid ajar."""
    rule = next(iter(rules.of(CoolMethods)), None)
    if rule is None:
        return Verdict("not applicable", "", rules.named, "the set names no methods of cooling")
    if method is None or not method.methods:
        return verdict("unproven", rule, "how it is cooled is not written down")
    odd = [one for one in method.methods if one not in rule.methods]
    if odd:
        return verdict("fail", rule, f"{', '.join(odd)}: none of {', '.join(rule.methods)}")
    if not method.spaced:
        return verdict("fail", rule, "its containers touch or are stacked: no air gets round them")
    if method.cover not in ("loose", "uncovered and protected"):
        return verdict("fail", rule, f"cover {method.cover}: loose, or none where nothing can drip on it")
    return verdict("pass", rule, f"{', '.join(method.methods)}; spaced; {method.cover}")


@dataclass(frozen=True)
class Again:
    """A lot that cools too slowly and goes back on the heat: when; `begun_anew` if it did once already."""

    food: FoodClass
    back_on_heat: datetime
    left_heat: datetime | None = None
    piece: Piece | None = None
    begun_anew: bool = False


def heated_through_verdict(rules: RuleSet, again: Again, readings: tuple[Reading, ...]) -> Verdict:
    """Whether cooling food was heated through in time, so that its cooling may begin anew: once.

    The clock is that of its cooling: back on the heat by then, and from there at the line in time.
    """
    rule = next(iter(rules.of(HeatAgain)), None)
    if rule is None:
        return Verdict("fail", "", rules.named, "this set foresees no second heating: discard, or ask")
    if again.begun_anew:
        return verdict("fail", rule, "it was heated through once already: discard")
    before = tuple(one for one in readings if one.at <= again.back_on_heat)
    found = cooled(rules, before, again.left_heat, again.back_on_heat)
    if found.start is None:
        return verdict("unproven", rule, f"its cooling has no start: {found.start_words or NO_NUMBER}")
    took = again.back_on_heat - found.start
    limit = span_words(timedelta(seconds=rule.by_s))
    if took < timedelta(0):
        return verdict("unproven", rule, "by these times it went back before it cooled: correct them")
    if took > timedelta(seconds=rule.by_s):
        return verdict(
            "fail", rule, f"back on the heat after {span_words(took)}, {limit} is the limit: discard"
        )
    since = tuple(one for one in readings if one.at >= again.back_on_heat)
    heated = heated_verdict(rule, rule.lines, since)
    if heated.passes:
        heated = in_time(rule, rule.within_s, again.back_on_heat, heated, since)
    return in_all_parts(rules, again.food, again.piece, since, heated)
