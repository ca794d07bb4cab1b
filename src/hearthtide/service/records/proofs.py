"""What proves that a lot may become something: verdicts on its own readings, each of the time they are for.

A proof that needs what nobody said has no verdict, and without one the arrow is shut. Food on time alone,
back from it or begun anew is not worked out here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from hearthtide.safety.cooling import cooled
from hearthtide.safety.dates import Kept, date_verdict
from hearthtide.safety.par_cook import Procedure, first_heat_verdict
from hearthtide.safety.readings import Reading, local_date
from hearthtide.safety.rules import FoodClass, RuleSet
from hearthtide.safety.states import ARROWS, Proof, State
from hearthtide.safety.verdicts import ToReheat, Verdict, cook_verdict, gravest, hold_verdict, reheat_verdict
from hearthtide.service.records.entries import LotBecame, LotMade, Record
from hearthtide.service.records.ledger import Judge, Ledger, Turn, judged


@dataclass(frozen=True)
class Said:
    """What readings do not tell: the food, when it went in, when it left the cold, the date on its mark."""

    food: FoodClass | None = None
    into: datetime | None = None
    left_cold: datetime | None = None
    marked: date | None = None
    procedure: Procedure | None = None


@dataclass(frozen=True)
class _Asked:
    ledger: Ledger
    rules: RuleSet
    lot: str
    at: datetime
    offset_min: int
    said: Said
    turns: tuple[Turn, ...]  # of the lot, before `at`

    @property
    def state(self) -> State:
        return self.turns[-1].body.state if self.turns else "raw"

    def judged(self, judge: Judge, since: datetime | None, until: datetime) -> Verdict:
        """A verdict on its readings from a time to another, passes doubted where a thermometer failed."""

        def windowed(readings: tuple[Reading, ...]) -> Verdict:
            return judge(tuple(r for r in readings if (since is None or since <= r.at) and r.at <= until))

        return judged(self.ledger, self.rules, self.lot, windowed)

    @property
    def since(self) -> datetime | None:
        """When it became what it is; None: it is as it came."""
        return self.turns[-1].record.at if self.turns else None


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


ALONE: frozenset[Proof] = frozenset({"cooked", "first cooling", "cooling", "held"})


def _proofs(asked: _Asked, to: State) -> dict[Proof, Verdict]:
    found: dict[Proof, Verdict] = {}
    for name in ARROWS.get((asked.state, to), ()):
        one = _ONE[name](asked) if name in _ONE else None
        if one is not None:
            found[name] = one
    return found


def _cooked(asked: _Asked) -> Verdict | None:
    food = asked.said.food
    if food is None:
        return None
    since = asked.since

    def judge(readings: tuple[Reading, ...]) -> Verdict:
        """Of this heating: what was read until it was stopped before is not of it."""
        return cook_verdict(asked.rules, food, tuple(r for r in readings if since is None or r.at > since))

    return asked.judged(judge, since, asked.at)


def _cooling(asked: _Asked, state: State) -> Verdict | None:
    """Of its last stay in a state that cools: the clock may start at a hot reading of the state before."""
    stays = [n for n, turn in enumerate(asked.turns) if turn.body.state == state]
    if not stays:
        return None
    n = stays[-1]
    left_heat = asked.turns[n].record.at
    since = asked.turns[n - 1].record.at if n > 0 else None
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
    return asked.judged(lambda readings: hold_verdict(asked.rules, "hot", readings), asked.since, asked.at)


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
    kept = Kept(days[asked.lot], tuple(days[lot] for lot in into), marked=asked.said.marked)
    return date_verdict(asked.rules, kept, local_date(asked.at, asked.offset_min))


def _reheated(asked: _Asked, purpose: Literal["one order", "hold"]) -> Verdict | None:
    cooling, day, food = _cooling(asked, "cooling"), _date(asked), asked.said.food
    if cooling is None or day is None or food is None:
        return None
    lot = ToReheat(food, asked.state == "chilled", cooling, day, asked.said.left_cold)
    return asked.judged(
        lambda readings: reheat_verdict(asked.rules, purpose, lot, readings), asked.since, asked.at
    )


_ONE: dict[Proof, Callable[[_Asked], Verdict | None]] = {
    "cooked": _cooked,
    "first heat": _first_heat,
    "first cooling": lambda asked: _cooling(asked, "par-cooked"),
    "cooling": lambda asked: _cooling(asked, "cooling"),
    "date": _date,
    "held": _held,
    "re-heated for one": lambda asked: _reheated(asked, "one order"),
    "re-heated to hold": lambda asked: _reheated(asked, "hold"),
}
