"""What proves that a lot may become something: verdicts on its own readings, each of the time they are for.

A proof that needs what nobody said has no verdict, and without one the arrow is shut. A lot that was pulled
from another has that one's cooling and days. A way on time alone that needs a written procedure asks for one
that was entered before the food left its temperature, and for the time that was marked on it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import cached_property
from itertools import pairwise
from typing import Literal

from hearthtide.safety.cooling import cooled
from hearthtide.safety.cooling_acts import Again, heated_through_verdict
from hearthtide.safety.dates import Kept, date_verdict
from hearthtide.safety.par_cook import Procedure, first_heat_verdict
from hearthtide.safety.readings import Reading, in_order, local_date, span_words
from hearthtide.safety.rules import ColdReads, FoodClass, Piece, RuleSet
from hearthtide.safety.states import ARROWS, Proof, State
from hearthtide.safety.time_control import Out, may_return, time_rules, time_verdict
from hearthtide.safety.unread import unread_verdict
from hearthtide.safety.verdicts import (
    LONGEST_GAP,
    ToReheat,
    Verdict,
    cook_verdict,
    gravest,
    hold_verdict,
    reheat_verdict,
)
from hearthtide.service.records.course import Course, Step, course
from hearthtide.service.records.entries import (
    FreezerMoved,
    LotBecame,
    LotMade,
    ProcedureKept,
    Record,
    TimeMarked,
)
from hearthtide.service.records.ledger import Judge, Ledger, Turn, judged


@dataclass(frozen=True)
class Said:
    """What readings do not tell: the food, when it went in, when it left the cold, the date on its mark."""

    food: FoodClass | None = None
    into: datetime | None = None
    left_cold: datetime | None = None
    marked: date | None = None
    procedure: Procedure | None = None


NOBODY_SAID = Said()


@dataclass(frozen=True)
class _Asked:
    ledger: Ledger
    rules: RuleSet
    lot: str
    at: datetime
    offset_min: int
    said: Said
    turns: tuple[Turn, ...]  # of the lot, before `at`

    @cached_property
    def course(self) -> Course | None:
        return course(self.ledger, self.lot)

    @property
    def state(self) -> State:
        if self.turns:
            return self.turns[-1].body.state
        return "raw" if self.course is None else self.course.steps[0].state

    @property
    def food(self) -> FoodClass | None:
        """As somebody says, else as it was written when the lot was made."""
        return self.said.food or (None if self.course is None else self.course.food)

    @property
    def piece(self) -> Piece | None:
        return None if self.course is None else self.course.piece

    def parent(self) -> _Asked | None:
        """The lot it was pulled from, as that stood then."""
        if self.course is None or not self.course.of:
            return None
        lot = self.course.of
        turns = tuple(turn for turn in self.ledger.turns(lot) if turn.record.at <= self.course.made)
        return _Asked(self.ledger, self.rules, lot, self.at, self.offset_min, NOBODY_SAID, turns)

    def judged(self, judge: Judge, since: datetime | None, until: datetime) -> Verdict:
        """A verdict on its readings from a time to another, passes doubted where a thermometer failed."""

        def windowed(readings: tuple[Reading, ...]) -> Verdict:
            return judge(tuple(r for r in readings if (since is None or since <= r.at) and r.at <= until))

        return judged(self.ledger, self.rules, self.lot, windowed)

    @property
    def since(self) -> datetime | None:
        """When it became what it is, or was made; None: nobody wrote down when."""
        if self.turns:
            return self.turns[-1].record.at
        return None if self.course is None else self.course.made


def proofs(
    ledger: Ledger, rules: RuleSet, lot: str, to: State, at: datetime, offset_min: int, said: Said
) -> dict[Proof, Verdict]:
    """Verdicts on what a lot must prove to become `to` at an instant; what cannot be judged is left out."""
    return _proofs(_Asked(ledger, rules, lot, at, offset_min, said, ledger.turns(lot)), to)


def again(ledger: Ledger, rules: RuleSet, record: Record) -> dict[Proof, Verdict]:
    """The proofs an entry was written with, worked out anew: corrections and failed checks since then count.

    Only those that stand on readings alone; none where it was written by another set.
    """
    body = record.body
    if not isinstance(body, LotBecame) or body.rules != rules.id:
        return {}
    turns = ledger.turns(body.lot)
    before = turns[: [one.record.id for one in turns].index(record.id)]
    asked = _Asked(ledger, rules, body.lot, record.at, record.offset_min, Said(food=body.food), before)
    then = {one.proof for one in body.proofs} & ALONE
    return {name: found for name, found in _proofs(asked, body.state).items() if name in then}


def proved_so_far(ledger: Ledger, rules: RuleSet, lot: str, now: datetime) -> dict[Proof, Verdict]:
    """What its course asked for, worked out anew, and what it is on the way to prove now."""
    found: dict[Proof, Verdict] = {}
    whole = course(ledger, lot)
    if whole is None:
        return found
    turns = ledger.turns(lot)
    for n, turn in enumerate(turns):
        said = Said(food=turn.body.food)
        asked = _Asked(ledger, rules, lot, turn.record.at, turn.record.offset_min, said, turns[:n])
        found |= _proofs(asked, turn.body.state)
    nexts = UNDER_WAY.get(whole.state, ())
    asked = _Asked(ledger, rules, lot, now, whole.offset_min, NOBODY_SAID, turns)
    for name in nexts:
        one = _ONE[name](asked)
        if one is not None:
            found[name] = one
    return found


# What a lot in a state is being watched for.
UNDER_WAY: dict[State, tuple[Proof, ...]] = {
    "raw": ("cooked",),
    "par-cooked": ("first heat", "first cooling", "cooked"),
    "cooling": ("cooling", "date"),
    "chilled": ("cooling", "date", "re-heated for one"),
    "held hot": ("held",),
    "re-heated and held": ("held",),
    "time-controlled": ("in its time",),
}
ALONE: frozenset[Proof] = frozenset({"cooked", "first cooling", "cooling", "held"})


def _proofs(asked: _Asked, to: State) -> dict[Proof, Verdict]:
    found: dict[Proof, Verdict] = {}
    for name in ARROWS.get((asked.state, to), ()):
        one = _ONE[name](asked) if name in _ONE else None
        if one is not None:
            found[name] = one
    return found


def _cooked(asked: _Asked) -> Verdict | None:
    food, piece = asked.food, asked.piece
    if food is None:
        return None
    stopped = asked.turns[-1].record.at if asked.turns else None

    def judge(readings: tuple[Reading, ...]) -> Verdict:
        """Of this heating: what was read until it was stopped before is not of it."""
        of_it = tuple(r for r in readings if stopped is None or r.at > stopped)
        return cook_verdict(asked.rules, food, of_it, piece)

    return asked.judged(judge, asked.since, asked.at)


def _cooling(asked: _Asked, state: State) -> Verdict | None:
    """Of its last stay in a state that cools: the clock may start at a hot reading of the state before."""
    parent = asked.parent()
    if parent is not None:
        return _cooling(parent, state)
    stays = [n for n, turn in enumerate(asked.turns) if turn.body.state == state]
    if not stays:
        return None
    n = stays[-1]
    before = asked.turns[n - 1] if n > 0 else None
    since = None if before is None else before.record.at
    # What was told cooked has left the heat then, whenever somebody says that it cools.
    cooked = before is not None and before.body.state == "cooked"
    left_heat = before.record.at if before is not None and cooked else asked.turns[n].record.at
    until = asked.turns[n + 1].record.at if n + 1 < len(asked.turns) else asked.at
    return asked.judged(
        lambda readings: _all_of(cooled(asked.rules, readings, left_heat, until).stages), since, until
    )


def _all_of(stages: tuple[Verdict, ...]) -> Verdict:
    """One verdict of several stages: the gravest, or all that pass together."""
    answer = gravest(stages)
    if answer != "pass":
        return next(one for one in stages if one.answer == answer)
    readings = dict.fromkeys(id for one in stages for id in one.readings)
    rules, sections, words = (
        ", ".join(dict.fromkeys(said))
        for said in zip(*((one.rule, one.section, one.words) for one in stages), strict=True)
    )
    return Verdict("pass", rules, sections, words, tuple(readings))


def _held(asked: _Asked) -> Verdict:
    """Every reading within the limit, and none too far from the next, from its beginning or from now."""

    def judge(readings: tuple[Reading, ...]) -> Verdict:
        found = hold_verdict(asked.rules, "hot", readings)
        taken = [one.at for one in in_order(readings) if one.point == "coldest"]
        times = [*(() if asked.since is None else (asked.since,)), *taken, asked.at]
        if found.passes and any(later - one > LONGEST_GAP for one, later in pairwise(times)):
            return replace(found, answer="unproven", words=f"{found.words}; not read for over {GAP_WORDS}")
        return found

    return asked.judged(judge, asked.since, asked.at)


GAP_WORDS = span_words(LONGEST_GAP)


def kept_cold(ledger: Ledger, rules: RuleSet, lot: str, now: datetime) -> Verdict | None:
    """How a lot, or the one it was pulled from until then, was kept in the cold; None where it was not."""
    of = course(ledger, lot)
    if of is None:
        return None
    if of.of:
        return kept_cold(ledger, rules, of.of, of.made)
    steps = [step for step in of.steps if step.state == "chilled"]
    if not steps:
        return None

    def judge(readings: tuple[Reading, ...]) -> Verdict:
        kept = (one for one in in_order(readings) if any(_within(one, step, now) for step in steps))
        return hold_verdict(rules, "cold", tuple(kept))

    return judged(ledger, rules, lot, judge)


def unread(ledger: Ledger, rules: RuleSet, lot: str, now: datetime) -> Verdict | None:
    """Whether a lot was read in the cold as often as the house's own rule asks; None where it has none.

    Of portions that were pulled: their lot, until then. In the freezer nobody need read it.
    """
    of = course(ledger, lot)
    if of is None:
        return None
    if of.of:
        return unread(ledger, rules, of.of, of.made)
    step = of.last("chilled")
    if step is None or of.is_frozen:
        return None
    since = max((step.since, *(r.at for r in ledger.records if _left_freezer(r, lot))))
    return unread_verdict(rules, ledger.readings(lot), since, min(now, step.until or now))


def _left_freezer(record: Record, lot: str) -> bool:
    return isinstance(record.body, FreezerMoved) and record.body.lot == lot


def _within(one: Reading, step: Step, now: datetime) -> bool:
    return step.since < one.at <= min(now, step.until or now)


def fallen(ledger: Ledger, rules: RuleSet, lot: str, to: State, at: datetime) -> tuple[str, ...]:
    """What was proved of a lot and is no longer, or went wrong since: nothing but discarding it is left.

    Corrections, failed checks and readings of its keeping that came later count; its lot's, where it was
    pulled.
    """
    of = course(ledger, lot)
    if of is None or to in ("discarded", "cooling"):
        return ()
    found = []
    for turn in (one for one in ledger.turns(lot) if one.record.at <= at):
        passed = {one.proof for one in turn.body.proofs if one.answer == "pass"}
        for name, now in again(ledger, rules, turn.record).items():
            if name in passed and not now.passes:
                found.append(f"{name} is {now.answer} now, {now.section}: {now.words.removesuffix('.')}.")
    cold = kept_cold(ledger, rules, lot, at)
    if cold is not None and cold.answer == "fail":
        found.append(f"kept cold: fail, {cold.section}: {cold.words.removesuffix('.')}.")
    gap = unread(ledger, rules, lot, at)
    if gap is not None and not gap.passes and _blocks(rules):
        found.append(f"read in the cold: {gap.answer}, {gap.section}: {gap.words}.")
    if of.of:
        parent = course(ledger, of.of)
        if parent is not None and parent.state == "discarded":
            found.append(f"{of.of}, which it is from, was discarded.")
        found += fallen(ledger, rules, of.of, to, of.made)
    return tuple(found)


def _blocks(rules: RuleSet) -> bool:
    """Whether the house's own rule on reading cold food holds it up, not only tells."""
    return any(rule.severity != "notice" for rule in rules.of(ColdReads))


def _first_heat(asked: _Asked) -> Verdict | None:
    """As it was judged when it was stopped, or now that it is."""
    for turn in reversed(asked.turns):
        for one in turn.body.proofs:
            if one.proof == "first heat":
                return Verdict(one.answer, one.rule, one.section, one.words, one.readings)
    if asked.said.into is None:
        return None
    today = local_date(asked.at, asked.offset_min)
    return first_heat_verdict(asked.rules, asked.said.procedure, asked.said.into, asked.at, today)


def _date(asked: _Asked) -> Verdict | None:
    """By the day it was made and those of all that went into it; None where one of them is not written."""
    parent = asked.parent()
    if parent is not None:
        return _date(parent)
    made: dict[str, LotMade] = {}
    days: dict[str, date] = {}
    for record in asked.ledger.records:
        if isinstance(record.body, LotMade):
            made[record.body.lot] = record.body
            days[record.body.lot] = local_date(record.at, record.offset_min)
    into: dict[str, None] = {}
    left = [asked.lot]
    while left:
        lot = left.pop()
        if lot not in made:
            return None
        left += [one for one in made[lot].made_of if one not in into]
        into |= dict.fromkeys(made[lot].made_of)
    mark = asked.said.marked or (None if asked.course is None else asked.course.marked)
    own = asked.course
    frozen, unmarked = ((), False) if own is None else (own.freezings, own.unmarked_frozen)
    kept = Kept(days[asked.lot], tuple(days[lot] for lot in into), frozen, mark)
    found = date_verdict(asked.rules, kept, local_date(asked.at, asked.offset_min))
    if found.passes and unmarked:
        words = f"{found.words}; it went into the freezer unmarked: hold it for a named person's decision"
        return replace(found, answer="unproven", words=words)
    return found


def _reheated(asked: _Asked, purpose: Literal["one order", "hold"]) -> Verdict | None:
    cooling, day, food = _cooling(asked, "cooling"), _date(asked), asked.food
    if cooling is None or day is None or food is None:
        return None
    pulled = asked.course.made if asked.course is not None and asked.course.of else None
    left_cold = asked.said.left_cold or pulled
    lot = ToReheat(food, asked.state == "chilled", cooling, day, left_cold, asked.piece)
    return asked.judged(
        lambda readings: reheat_verdict(asked.rules, purpose, lot, readings), asked.since, asked.at
    )


def _anew(asked: _Asked) -> Verdict | None:
    """Cooling food that was heated through: back on the heat as said, else at its first reading there."""
    food = asked.food
    if food is None or asked.since is None:
        return None
    taken = in_order(asked.ledger.readings(asked.lot))
    heated = (one.at for one in taken if one.point == "coldest" and asked.since <= one.at <= asked.at)
    back = asked.said.into or next(heated, None)
    if back is None:
        return None
    begun_anew = any(
        before.body.state == "cooling" and after.body.state == "cooked"
        for before, after in pairwise(asked.turns)
    )
    again = Again(food, back, asked.since, asked.piece, begun_anew)
    since = asked.turns[-2].record.at if len(asked.turns) > 1 else None
    return asked.judged(
        lambda readings: heated_through_verdict(asked.rules, again, readings), since, asked.at
    )


def _out(asked: _Asked) -> Out:
    """Out of its temperature since then, or leaving it now; with every time that it was out before."""
    before = _times_out(asked)
    left = asked.turns[-1].record.at if asked.state == "time-controlled" else asked.at
    own = [one for one in asked.ledger.records if one.at <= asked.at]
    marks = [r.body.until for r in own if isinstance(r.body, TimeMarked) and r.body.lot == asked.lot]
    # Prepared in advance and kept on site, 3-501.19(A): one that was written down after it left is none.
    procedure = any(isinstance(r.body, ProcedureKept) and max(r.at, r.entered) <= left for r in own)
    return Out(left, min(marks, default=None), before, bool(before), procedure)


def _times_out(asked: _Asked) -> tuple[timedelta, ...]:
    own = tuple(
        later.record.at - one.record.at
        for one, later in pairwise(asked.turns)
        if one.body.state == "time-controlled"
    )
    parent = asked.parent()
    return own if parent is None else (*_times_out(parent), *own)


def _in_its_time(asked: _Asked) -> Verdict | None:
    """By any one of the set's ways."""
    ways = time_rules(asked.rules)
    if not ways:
        return None

    def judge(readings: tuple[Reading, ...]) -> Verdict:
        return _any(tuple(time_verdict(way, _out(asked), readings, asked.at) for way in ways))

    return asked.judged(judge, None, asked.at)


def _may_return(asked: _Asked) -> Verdict | None:
    ways = time_rules(asked.rules)
    if not ways or asked.state != "time-controlled":
        return None
    return _any(tuple(may_return(way, _out(asked), asked.at) for way in ways))


def _any(verdicts: tuple[Verdict, ...]) -> Verdict:
    """One that passes, else the first."""
    return next((one for one in verdicts if one.passes), verdicts[0])


_ONE: dict[Proof, Callable[[_Asked], Verdict | None]] = {
    "cooked": _cooked,
    "first heat": _first_heat,
    "first cooling": lambda asked: _cooling(asked, "par-cooked"),
    "cooling": lambda asked: _cooling(asked, "cooling"),
    "date": _date,
    "held": _held,
    "re-heated for one": lambda asked: _reheated(asked, "one order"),
    "re-heated to hold": lambda asked: _reheated(asked, "hold"),
    "heated through in time": _anew,
    "in its time": _in_its_time,
    "may return": _may_return,
}
