"""Time instead of temperature: food that left its control, marked with when it must be gone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from hearthtide.safety.readings import Reading, at_or_above, at_or_below, in_order, span_words
from hearthtide.safety.rules import Opened, OutOfControl, RuleSet
from hearthtide.safety.verdicts import Verdict, verdict

# A reading that shows where food began is taken so shortly before it left, or as it does. Own choice.
START_WITHIN = timedelta(minutes=30)


@dataclass(frozen=True)
class Out:
    """Food out of its temperature: when it left, the mark it bears, earlier times out, and what is written.

    `before` are its earlier stretches out, where a set adds them up; `chilled_again`: it has been
    back in the cold. `opened`: what it is where it needed no cold until it was cut or its pack opened, which
    is then when it left.
    """

    left: datetime
    marked: datetime | None = None
    before: tuple[timedelta, ...] = ()
    chilled_again: bool = False
    procedure: bool = False
    opened: Opened | None = None

    def __post_init__(self) -> None:
        if any(one < timedelta(0) for one in self.before):
            raise ValueError("expected earlier stretches out of zero or longer")


def time_rules(rules: RuleSet) -> tuple[OutOfControl, ...]:
    """The ways of a set to use time instead of temperature."""
    return rules.of(OutOfControl)


def time_verdict(rule: OutOfControl, out: Out, readings: tuple[Reading, ...], now: datetime) -> Verdict:
    """Whether food that left its control may still be used, by one of a set's ways.

    `readings` are those of the warmest or coldest part at the start and while it was out.
    """
    if now < out.left:
        return verdict("unproven", rule, "by these times it has not left its temperature yet: correct them")
    if rule.only and out.opened not in rule.only:
        return verdict("not applicable", rule, f"this way is for {' and '.join(rule.only)} alone")
    if rule.way == "cumulative":
        return _added_up(rule, out, now)
    if rule.needs_procedure and not out.procedure:
        return verdict("fail", rule, "no written procedure is kept here: time alone may not be used")
    start = _start(rule, out, readings)
    if start is not None:
        return start
    if out.chilled_again:
        return verdict(
            "fail", rule, "it was chilled or heated again: that resets nothing and there is no way back"
        )
    until = out.left + timedelta(seconds=rule.within_s)
    limit = span_words(timedelta(seconds=rule.within_s))
    if rule.needs_procedure and out.marked is None:
        return verdict("fail", rule, "it bears no time: discard")
    if out.marked is not None and not out.left < out.marked <= until:
        return verdict("fail", rule, f"it is not marked within {limit} after it left: discard")
    if out.marked is not None and now > out.marked:
        return verdict("fail", rule, "it is past its own mark: discard")
    if now > until:
        return verdict("fail", rule, f"{span_words(now - out.left)} out, {limit} is the limit: discard")
    return verdict("pass", rule, f"{span_words(now - out.left)} of {limit}", _at_start(out, readings))


def may_return(rule: OutOfControl, out: Out, now: datetime) -> Verdict:
    """Whether it may go back into the cold."""
    if rule.way == "no return" or rule.back_s is None:
        return verdict("fail", rule, "no way back: used by its time, or discarded")
    total = sum(out.before, now - out.left)
    limit = span_words(timedelta(seconds=rule.back_s))
    if total < timedelta(seconds=rule.back_s):
        return verdict("pass", rule, f"{span_words(total)} out in all, below {limit}")
    return verdict("fail", rule, f"{span_words(total)} out in all, {limit} is the limit to go back")


def _added_up(rule: OutOfControl, out: Out, now: datetime) -> Verdict:
    total = sum(out.before, now - out.left)
    limit = span_words(timedelta(seconds=rule.within_s))
    if total > timedelta(seconds=rule.within_s):
        return verdict("fail", rule, f"{span_words(total)} out in all, {limit} is the limit: discard")
    return verdict("pass", rule, f"{span_words(total)} of {limit} in all")


def _at_start(out: Out, readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    before = [
        one
        for one in in_order(readings)
        if out.left - START_WITHIN <= one.at <= out.left and one.point in ("coldest", "warmest")
    ]
    return tuple(before[-1:])


def _start(rule: OutOfControl, out: Out, readings: tuple[Reading, ...]) -> Verdict | None:
    """What is wrong with how it began, or was while out; None when nothing is."""
    if rule.cold_start is None and rule.hot_start is None:
        return None
    began = _at_start(out, readings)
    if not began:
        return verdict("unproven", rule, "no reading shows where it began")
    cold = rule.cold_start is not None and at_or_below(began[0], rule.cold_start)
    hot = rule.hot_start is not None and at_or_above(began[0], rule.hot_start)
    if not cold and not hot:
        begins = " or ".join(one.words for one in (rule.cold_start, rule.hot_start) if one is not None)
        return verdict("fail", rule, f"it began at {began[0].words}, {begins} is wanted", began)
    if rule.never_above is not None:
        while_out = tuple(one for one in in_order(readings) if one.at > out.left and one.point == "warmest")
        above = tuple(one for one in while_out if not at_or_below(one, rule.never_above))
        if above:
            return verdict("fail", rule, f"{above[0].words}, never above {rule.never_above.words}", above)
        if not while_out:
            return verdict("unproven", rule, "no reading while it was out")
    return None
