"""Until when a lot that left its temperature may be used: by its time mark and the chosen rules.

Nothing is guessed: unmarked, and without a rule that asks for no mark, it may not be used.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from hearthtide.safety.readings import Reading, span_words
from hearthtide.safety.rules import OutOfControl, RuleSet
from hearthtide.safety.time_control import Out, time_rules, time_verdict
from hearthtide.safety.verdicts import Verdict
from hearthtide.service.records.course import Course, course
from hearthtide.service.records.entries import ProcedureKept, TimeMarked
from hearthtide.service.records.ledger import Ledger, judged

NOT_MARKED = "time not marked"


@dataclass(frozen=True)
class Hours:
    """When it left, until when it may be used (None: it may not), by whose word; `against`: why not."""

    left: datetime
    until: datetime | None
    why: str = ""
    against: str = ""


def left_at(of: Course) -> datetime | None:
    """When a lot left its temperature, portions as they were pulled; None where it has not, or is back."""
    states = [step.state for step in of.steps]
    if of.of and states in (["chilled"], ["chilled", "time-controlled"]):
        return of.made
    return of.steps[-1].since if of.state == "time-controlled" else None


def hours_of(ledger: Ledger, of: Course, rules: RuleSet | None, now: datetime) -> Hours | None:
    """The hours of a lot that is out of its temperature; None for one that is not.

    By the longest way of the set that passes. Where none does, by the shortest that lacks a reading alone
    and asks for none while the food is out.
    """
    left = left_at(of)
    if left is None:
        return None
    out = _out(ledger, of, left)
    ways = () if rules is None else tuple(way for way in time_rules(rules) if _is_for(way, of))
    if rules is None or not ways:
        if out.marked is None:
            return Hours(left, None, against=NOT_MARKED)
        return _in_time(Hours(left, out.marked, "as marked"), now)
    found = [(way, _judged(ledger, rules, of, out, way, now)) for way in ways]
    passing = [way for way, verdict in found if verdict.passes]
    if passing:
        return _in_time(_by(max(passing, key=lambda way: _until(way, out)), out), now)
    lacking = [one for one in found if one[1].answer == "unproven" and one[0].never_above is None]
    if lacking:
        way, verdict = min(lacking, key=lambda one: _until(one[0], out))
        hours = _by(way, out)
        return _in_time(replace(hours, why=f"{hours.why}; {verdict.words}"), now)
    return Hours(left, None, against=_why_not(*found[0], out))


def _out(ledger: Ledger, of: Course, left: datetime) -> Out:
    """As the records have it: the earliest mark, its times out before, a procedure that was kept by then."""
    marks = [r.body.until for r in ledger.records if isinstance(r.body, TimeMarked) and r.body.lot == of.lot]
    parent = course(ledger, of.of) if of.of else None
    before = (*(() if parent is None else _times_out(parent)), *_times_out(of))
    kept = any(isinstance(r.body, ProcedureKept) and max(r.at, r.entered) <= left for r in ledger.records)
    return Out(left, min(marks, default=None), before, bool(before), kept)


def _times_out(of: Course) -> tuple[timedelta, ...]:
    return tuple(
        step.until - step.since
        for step in of.steps
        if step.state == "time-controlled" and step.until is not None
    )


def _is_for(way: OutOfControl, of: Course) -> bool:
    """Whether a way is for any food, and for food that begins where this began: in the cold, or hot."""
    if way.only:
        return False
    cold = of.steps[-2 if of.state == "time-controlled" else -1].state == "chilled"
    begins = way.cold_start if cold else way.hot_start
    return begins is not None or (way.cold_start is None and way.hot_start is None)


def _judged(
    ledger: Ledger, rules: RuleSet, of: Course, out: Out, way: OutOfControl, now: datetime
) -> Verdict:
    """By the clock first: a reading that lacks must not hide that its time is over."""
    by_clock = time_verdict(replace(way, cold_start=None, hot_start=None), out, (), now)
    if by_clock.answer == "fail":
        return by_clock

    def own(readings: Sequence[Reading]) -> Verdict:
        if not of.of:
            return time_verdict(way, out, tuple(readings), now)
        return judged(ledger, rules, of.of, lambda lots: with_lot(readings, lots))

    def with_lot(readings: Sequence[Reading], lots: Sequence[Reading]) -> Verdict:
        """What was read of its lot counts until it was pulled."""
        return time_verdict(way, out, (*readings, *(one for one in lots if one.at <= out.left)), now)

    return judged(ledger, rules, of.lot, own)


def _until(way: OutOfControl, out: Out) -> datetime:
    spent = sum(out.before, timedelta()) if way.way == "cumulative" else timedelta()
    until = out.left + timedelta(seconds=way.within_s) - spent
    return until if out.marked is None else min(until, out.marked)


def _by(way: OutOfControl, out: Out) -> Hours:
    until = _until(way, out)
    limit = f"{span_words(timedelta(seconds=way.within_s))} by {way.section}"
    return Hours(out.left, until, "as marked" if until == out.marked else limit)


def _in_time(hours: Hours, now: datetime) -> Hours:
    if hours.until is None or now <= hours.until:
        return hours
    return replace(hours, until=None, against=f"its time is over, {hours.why}")


def _why_not(way: OutOfControl, verdict: Verdict, out: Out) -> str:
    lacks_mark = way.needs_procedure and out.marked is None
    if lacks_mark and out.procedure:
        return NOT_MARKED
    return f"{NOT_MARKED}; {verdict.words}" if lacks_mark else verdict.words
