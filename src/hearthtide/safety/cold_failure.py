"""A cold unit that failed: what of the food in it is over its limit, for how long, and what the code says.

By readings alone: the air as a logger wrote it down, and a probe in each item. Food is taken to have left its
limit with the air: the last row that was within it, before the first that was not. How long is told as a
least and a most, since air that came back to its limit may have left the food warm. Food that reads within
its limit now may have been over it before the cold came back: no probe sees that, the air's rows do.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from hearthtide.safety.readings import Limit, Reading, in_order, span_words
from hearthtide.safety.rules import Clause, ColdFailure, Hold, OutOfControl, RuleSet
from hearthtide.safety.verdicts import NO_NUMBER, Verdict, kept, verdict

Outcome = Literal["discard", "a person decides", "within its limit", "not by this rule"]


@dataclass(frozen=True)
class Inside:
    """Food that was in a unit when it failed: what it is, whether it needs the cold to be safe, its readings.

    `needs_cold`: by the food code (US: time/temperature control for safety). `readings` of its warmest part.
    """

    item: str
    needs_cold: bool
    readings: tuple[Reading, ...]


@dataclass(frozen=True)
class OutFor:
    """How long food may have been over a limit up to now: at the least and at the most."""

    least: timedelta
    most: timedelta

    @property
    def words(self) -> str:
        """Such as `6 h 20 min`, or `0 min to 1 h 10 min`."""
        least, most = span_words(self.least), span_words(self.most)
        return least if least == most else f"{least} to {most}"


@dataclass(frozen=True)
class ColdVerdict:
    """What a rule set says of one item: where it is kept, and for how long it was not; what that comes to."""

    item: str
    outcome: Outcome
    kept: Verdict
    time: Verdict
    out: OutFor | None


def cold_failure_verdict(
    rules: RuleSet, inside: Inside, air: tuple[Reading, ...], last_good: datetime | None, now: datetime
) -> ColdVerdict:
    """The verdict on one item at `now`.

    `air`: the logger's rows, of point `air`. `last_good`: when the item, or the unit, was last known to be
    within its limit; nothing before it counts.
    """
    hold = next((one for one in rules.of(Hold) if one.side == "cold"), None)
    if not inside.needs_cold:
        words = "it needs no cold to be safe by what the house says of it: its quality decides"
        none = Verdict("not applicable", "", rules.named, words)
        return ColdVerdict(inside.item, "not by this rule", none, none, None)
    if hold is None or hold.limit is None:
        silent = _silent(rules, hold)
        return ColdVerdict(inside.item, "a person decides", silent, silent, None)
    last = tuple(one for one in in_order(inside.readings) if one.at <= now and one.point == "warmest")[-1:]
    if not last:
        lacks = verdict("unproven", hold, "no probe has read it: read its warmest part")
        return ColdVerdict(inside.item, "a person decides", lacks, lacks, None)
    within = kept(last[0], "cold", hold.limit, hold.beyond)
    words = f"{last[0].words}, {hold.limit.words} is the limit"
    stands = verdict("pass" if within else "fail", hold, words, last)
    if within:
        return _within(rules, hold, inside.item, stands, air, last_good, now)
    return _over(rules, hold, inside.item, stands, air, last_good, now)


def _within(
    rules: RuleSet,
    hold: Hold,
    item: str,
    stands: Verdict,
    air: tuple[Reading, ...],
    last_good: datetime | None,
    now: datetime,
) -> ColdVerdict:
    """An item that a probe read within its limit: whether it may have been over it for too long before.

    Without a row of the air nothing is known; where every row was within it, only the time since the last.
    """
    clause = failure_clause(rules)
    limit = hold.limit if clause is None else _over_limit(clause, hold)
    assert limit is not None
    rows = _rows(air, last_good, now)
    out = out_for(limit, hold.beyond, air, last_good, now)
    if not rows or out is None:
        words = "no row of the air before now: how long it was warm is not known"
        lacks = verdict("unproven", clause or hold, words)
        return ColdVerdict(item, "a person decides", stands, lacks, None)
    never = all(kept(one, "cold", limit, hold.beyond) for one in rows)
    before = OutFor(timedelta(0), now - rows[-1].at if never else out.most)
    if clause is None and never:
        return ColdVerdict(item, "within its limit", stands, stands, None)
    said = f"by its air it may have been above {limit.words} for {span_words(before.most)} up to now"
    if clause is None:
        lacks = Verdict("unproven", "", rules.named, f"{said}; how long it may be: {NO_NUMBER}")
        return ColdVerdict(item, "a person decides", stands, lacks, before)
    if before.most > timedelta(seconds=clause.within_s):
        allowed = span_words(timedelta(seconds=clause.within_s))
        time = verdict("unproven", clause, f"{said}, {allowed} is the limit: cold now does not prove it")
        return ColdVerdict(item, "a person decides", stands, time, before)
    return ColdVerdict(item, "within its limit", stands, stands, None)


def _over(
    rules: RuleSet,
    hold: Hold,
    item: str,
    stands: Verdict,
    air: tuple[Reading, ...],
    last_good: datetime | None,
    now: datetime,
) -> ColdVerdict:
    """An item that a probe read over its limit: how long, by the clause that says how long it may be."""
    clause = failure_clause(rules)
    if clause is None:
        lacks = Verdict("unproven", "", rules.named, f"how long it may be above its limit: {NO_NUMBER}")
        return ColdVerdict(item, "a person decides", stands, lacks, None)
    over = _over_limit(clause, hold)
    out = out_for(over, hold.beyond, air, last_good, now)
    if out is None:
        lacks = verdict(
            "unproven", clause, "no row of the air before now: since when it is warm is not known"
        )
        return ColdVerdict(item, "a person decides", stands, lacks, None)
    limit = timedelta(seconds=clause.within_s)
    said = f"{out.words} above {over.words}, {span_words(limit)} is the limit"
    if out.least > limit:
        time = verdict("fail", clause, f"{said}: discard")
        return ColdVerdict(item, "discard", stands, time, out)
    if out.most > limit:
        time = verdict("unproven", clause, f"{said}: it may be over it")
        return ColdVerdict(item, "a person decides", stands, time, out)
    left = span_words(limit - out.most)
    time = verdict("unproven", clause, f"{said}: {left} are left; cold again at once, or discarded by then")
    return ColdVerdict(item, "a person decides", stands, time, out)


def failure_clause(rules: RuleSet) -> ColdFailure | OutOfControl | None:
    """The set's own clause for a cold that failed, else its time out of the cold that asks no procedure."""
    own = next(iter(rules.of(ColdFailure)), None)
    if own is not None:
        return own
    ways = (
        one
        for one in rules.of(OutOfControl)
        if not one.needs_procedure and not one.only and (one.cold_start is not None or one.hot_start is None)
    )
    return next(ways, None)


def _over_limit(clause: ColdFailure | OutOfControl, hold: Hold) -> Limit:
    if isinstance(clause, ColdFailure):
        return clause.over
    assert hold.limit is not None
    return clause.cold_start or hold.limit


def out_for(
    limit: Limit, beyond: bool, air: tuple[Reading, ...], last_good: datetime | None, now: datetime
) -> OutFor | None:
    """How long the air has been over a limit: at the most since it first was, at the least since it last was.

    From the last row within it, or from `last_good` where no row of it is. None without any row up to now.
    """
    rows = _rows(air, last_good, now)
    if not rows:
        return None if last_good is None else OutFor(timedelta(0), now - last_good)
    good = [kept(one, "cold", limit, beyond) for one in rows]
    if all(good):
        return OutFor(timedelta(0), now - (last_good or rows[0].at))
    first = good.index(False)
    begun = rows[first - 1].at if first else (last_good or rows[0].at)
    if good[-1]:
        return OutFor(timedelta(0), now - begun)
    last = max((n for n, one in enumerate(good) if one), default=-1)
    again = rows[last].at if last >= 0 else begun
    return OutFor(now - again, now - begun)


def _rows(air: tuple[Reading, ...], last_good: datetime | None, now: datetime) -> list[Reading]:
    """The air's rows that count, in order: from `last_good` to now."""
    rows = [one for one in in_order(air) if one.point == "air" and one.at <= now]
    return [one for one in rows if last_good is None or one.at >= last_good]


def _silent(rules: RuleSet, hold: Clause | None) -> Verdict:
    if hold is None:
        return Verdict("unproven", "", rules.named, f"cold holding: {NO_NUMBER}")
    return verdict("unproven", hold, NO_NUMBER)
