"""How a lot stands by its records: what it is, what it was proved to be, what it may become.

Worked out anew from the entries each time; nothing of it is stored. A lot that was pulled from another has
that one's cooling and days, and a heating of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Literal

from hearthtide.safety.cooling import Cooled, cooled, next_look
from hearthtide.safety.dates import Kept, date_verdict
from hearthtide.safety.readings import Reading, in_order, local_date
from hearthtide.safety.rules import FoodClass, OutOfControl, RuleSet
from hearthtide.safety.states import ARROWS, READY_TO_EAT, SERVED, Lot, Proof, State, missing
from hearthtide.safety.time_control import Out, may_return, time_rules, time_verdict
from hearthtide.safety.verdicts import (
    ToReheat,
    Verdict,
    cook_verdict,
    gravest,
    hold_verdict,
    reheat_verdict,
)
from hearthtide.service.records.entries import ChilledBy, LotBecame, LotMade, LotMarked, Pulled, Record
from hearthtide.service.records.ledger import Ledger, NotSo, judged

HEATING: frozenset[State] = frozenset({"raw", "par-cooked"})
HOT: frozenset[State] = frozenset({"held hot", "re-heated and held"})
DONE: frozenset[State] = SERVED | {"discarded"}
NO_FOOD = "which food it is was not written down: say it when the lot is made"


@dataclass(frozen=True)
class Step:
    """A stretch of a lot's life: what it was, from when until when (None: it still is)."""

    state: State
    since: datetime
    until: datetime | None = None


@dataclass(frozen=True)
class Course:
    """A lot by its own entries, before anything is judged."""

    lot: str
    dish: str
    quantity: str
    food: FoodClass | None
    of: str
    made: datetime
    offset_min: int
    ingredients: tuple[str, ...]
    marked: date | None
    chilled_by: Record | None
    steps: tuple[Step, ...]

    @property
    def state(self) -> State:
        """What it is now."""
        return self.steps[-1].state

    @property
    def as_law_sees_it(self) -> Lot:
        """Its state, and whether its cooling was begun anew."""
        states = [step.state for step in self.steps]
        anew = any(pair == ("cooling", "cooked") for pair in pairwise(states))
        return Lot(self.lot, self.state, anew)

    def last(self, *states: State) -> Step | None:
        """The last stretch in one of these states."""
        return next((step for step in reversed(self.steps) if step.state in states), None)


def course(ledger: Ledger, lot: str) -> Course | None:
    """A lot's course; None where nobody wrote down that it was made or pulled."""
    own = [one for one in ledger.records if getattr(one.body, "lot", None) == lot]
    first = next((one for one in own if isinstance(one.body, LotMade | Pulled)), None)
    if first is None:
        return None
    begun: State = "raw"
    dish, of = "", ""
    food: FoodClass | None = None
    ingredients: tuple[str, ...] = ()
    if isinstance(first.body, LotMade):
        dish, food, ingredients = first.body.dish, first.body.food, first.body.made_of
    elif isinstance(first.body, Pulled):
        parent = course(ledger, first.body.of)
        begun, of = "chilled", first.body.of
        if parent is not None:
            dish, food = parent.dish, parent.food
    marks = [one.body.last_day for one in own if isinstance(one.body, LotMarked)]
    ways = [one for one in own if isinstance(one.body, ChilledBy)]
    return Course(
        lot=lot,
        dish=dish,
        quantity=first.body.quantity if isinstance(first.body, LotMade | Pulled) else "",
        food=food,
        of=of,
        made=first.at,
        offset_min=first.offset_min,
        ingredients=ingredients,
        marked=marks[-1] if marks else None,
        chilled_by=ways[-1] if ways else None,
        steps=_steps(begun, first.at, own),
    )


def _steps(begun: State, since: datetime, own: Iterable[Record]) -> tuple[Step, ...]:
    steps = [Step(begun, since)]
    for one in own:
        if isinstance(one.body, LotBecame):
            steps[-1] = Step(steps[-1].state, steps[-1].since, one.at)
            steps.append(Step(one.body.state, one.at))
    return tuple(steps)


@dataclass(frozen=True)
class Standing:
    """A lot judged: each proof that its course has come to, and what its cooling is."""

    course: Course
    proofs: dict[Proof, Verdict]
    kept_cold: Verdict | None
    cooled: Cooled | None
    next_look: datetime | None

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """What was judged of it, in the order of its life; cooling stage by stage."""
        found: list[Verdict] = []
        for name, one in self.proofs.items():
            if not self._asked(name):
                continue
            found += self.cooled.stages if name == "cooling" and self.cooled is not None else (one,)
        return (*found, *(() if self.kept_cold is None else (self.kept_cold,)))

    def _asked(self, name: Proof) -> bool:
        """Whether a proof is one of its own course, not of a way that it may yet go."""
        if name in ("in its time", "may return"):
            return self.course.last("time-controlled") is not None
        if name == "re-heated to hold":
            return self.course.last("re-heated and held") is not None
        return True

    def lacks(self, to: State) -> tuple[str, ...]:
        """What stands in the way of its becoming that."""
        return missing(self.course.as_law_sees_it, to, self.proofs)


def arrows(state: State) -> tuple[State, ...]:
    """What food in a state may ever become, discarded last."""
    ways = tuple(to for (since, to) in ARROWS if since == state)
    return ways if state == "discarded" or state in SERVED else (*ways, "discarded")


def standing(ledger: Ledger, rules: RuleSet, lot: str, now: datetime) -> Standing | None:
    """A lot as it stands at `now`, or stood at its end; None where nobody wrote down that it was made."""
    found = course(ledger, lot)
    if found is None:
        return None
    if found.state in DONE:
        now = min(now, found.steps[-1].since)
    judge = _Judge(ledger, rules, found, now)
    proofs: dict[Proof, Verdict] = {}
    one: Verdict | None
    for name, one in judge.in_order_of_life():
        if one is not None:
            proofs[name] = one
    cooling = judge.course_of_cooling()
    watched = cooling if found.state == "cooling" else None
    look = None
    if watched is not None and watched.start is not None:
        look = next_look(watched.start, ledger.readings(lot), now)
    return Standing(found, proofs, judge.kept_cold(), cooling, look)


@dataclass(frozen=True)
class _Judge:
    """The proofs of one lot, each on the readings of its own stretch."""

    ledger: Ledger
    rules: RuleSet
    course: Course
    now: datetime

    def in_order_of_life(self) -> tuple[tuple[Proof, Verdict | None], ...]:
        cooling, days = self.cooling(), self.days()
        return (
            ("cooked", self.cooked()),
            ("first cooling", self.first_cooling()),
            ("held", self.held()),
            ("cooling", cooling),
            ("date", days),
            ("re-heated for one", self.reheated("one order", cooling, days)),
            ("re-heated to hold", self.reheated("hold", cooling, days)),
            ("in its time", self.in_its_time()),
            ("may return", self.may_return()),
        )

    def _on(self, step: Step, judge: Callable[[tuple[Reading, ...]], Verdict], since: datetime) -> Verdict:
        """A verdict on the readings of a stretch, doubted where a thermometer failed its check."""

        def of_it(readings: tuple[Reading, ...]) -> Verdict:
            until = step.until or self.now
            return judge(tuple(one for one in in_order(readings) if since <= one.at <= until))

        return judged(self.ledger, self.rules, self.course.lot, of_it)

    def cooked(self) -> Verdict | None:
        step, food = self.course.last(*HEATING), self.course.food
        if step is None:
            return None
        if food is None:
            return Verdict("unproven", "", self.rules.named, NO_FOOD)
        return self._on(step, lambda readings: cook_verdict(self.rules, food, readings), step.since)

    def first_cooling(self) -> Verdict | None:
        step = self.course.last("par-cooked")
        return None if step is None else self._cooling(step, step.since)

    def held(self) -> Verdict | None:
        step = self.course.last(*HOT)
        if step is None:
            return None
        return self._on(step, lambda readings: hold_verdict(self.rules, "hot", readings), step.since)

    def kept_cold(self) -> Verdict | None:
        step = self.course.last("chilled")
        if step is None or self.course.of:
            return None
        return self._on(step, lambda readings: hold_verdict(self.rules, "cold", readings), step.since)

    def _left_heat(self) -> tuple[Step, datetime] | None:
        """The last cooling and when it left the heat: held hot until then, or cooked."""
        step = self.course.last("cooling")
        if step is None:
            return None
        before = self.course.steps[self.course.steps.index(step) - 1]
        return step, before.since if before.state == "cooked" else step.since

    def _cooling(self, step: Step, left_heat: datetime) -> Verdict:
        until = step.until or self.now

        def judge(readings: tuple[Reading, ...]) -> Verdict:
            return _together(cooled(self.rules, readings, left_heat, until).stages)

        return self._on(step, judge, left_heat)

    def cooling(self) -> Verdict | None:
        if self.course.of:
            return self._of_parent("cooling")
        found = self._left_heat()
        return None if found is None else self._cooling(*found)

    def course_of_cooling(self) -> Cooled | None:
        """Stage by stage, on the readings as they were read."""
        found = self._left_heat()
        if found is None:
            return None
        step, left = found
        until = step.until or self.now
        readings = tuple(one for one in self.ledger.readings(self.course.lot) if left <= one.at <= until)
        return cooled(self.rules, readings, left, until)

    def _of_parent(self, name: Proof) -> Verdict | None:
        parent = standing(self.ledger, self.rules, self.course.of, self.now)
        return None if parent is None else parent.proofs.get(name)

    def days(self) -> Verdict | None:
        if self.course.of:
            return self._of_parent("date")
        if self.course.state in HEATING:
            return None
        of_it = [course(self.ledger, name) for name in self.course.ingredients]
        ingredients = tuple(local_date(one.made, one.offset_min) for one in of_it if one is not None)
        made = local_date(self.course.made, self.course.offset_min)
        kept = Kept(made, ingredients, marked=self.course.marked)
        return date_verdict(self.rules, kept, local_date(self.now, self.course.offset_min))

    def reheated(
        self, purpose: Literal["one order", "hold"], cooling: Verdict | None, days: Verdict | None
    ) -> Verdict | None:
        if not self.course.of or cooling is None or days is None:
            return None
        food = self.course.food
        if food is None:
            return Verdict("unproven", "", self.rules.named, NO_FOOD)
        step = self.course.steps[0]
        lot = ToReheat(food, True, cooling, days, left_cold=step.since)
        return self._on(step, lambda readings: reheat_verdict(self.rules, purpose, lot, readings), step.since)

    def _out(self) -> Out | None:
        step = self.course.last("time-controlled")
        if step is None and self.course.state in READY_TO_EAT - SERVED:
            return Out(self.now)
        return None if step is None else Out(step.since)

    def in_its_time(self) -> Verdict | None:
        """By any one of the set's ways. No written procedure is kept here: a way that needs one fails."""
        out = self._out()
        ways = time_rules(self.rules)
        if out is None or not ways:
            return None
        readings = self.ledger.readings(self.course.lot)
        return _any(tuple(time_verdict(way, out, readings, self.now) for way in ways))

    def may_return(self) -> Verdict | None:
        out = self._out()
        ways: tuple[OutOfControl, ...] = time_rules(self.rules)
        if out is None or self.course.state != "time-controlled" or not ways:
            return None
        return _any(tuple(may_return(way, out, self.now) for way in ways))


def _together(verdicts: tuple[Verdict, ...]) -> Verdict:
    """All of them as one: the gravest, with the readings of all."""
    answer = gravest(verdicts)
    worst = next((one for one in verdicts if one.answer == answer), None)
    if worst is None:
        return Verdict("unproven", "", "", "nothing was judged")
    ids = tuple(dict.fromkeys(id for one in verdicts for id in one.readings))
    return Verdict(answer, worst.rule, worst.section, "; ".join(one.words for one in verdicts), ids)


def _any(verdicts: tuple[Verdict, ...]) -> Verdict:
    """One that passes, else the first."""
    return next((one for one in verdicts if one.passes), verdicts[0])


def lot_accepted(ledger: Ledger, record: Record, rules: RuleSet | None) -> None:
    """Whether an entry about a lot may be written as it is. Without rules only the arrows hold.

    Raises
    ------
    NotSo
        The lot is there already, or is not; it may not become that; the words say what is lacking.
    """
    body = record.body
    if isinstance(body, LotMade | Pulled) and course(ledger, body.lot) is not None:
        raise NotSo(f"{body.lot} is there already. Give this one another name.")
    if isinstance(body, Pulled):
        parent = course(ledger, body.of)
        if parent is None or parent.state != "chilled":
            is_now = "not there" if parent is None else parent.state
            raise NotSo(f"{body.of} is {is_now}: portions are pulled from a chilled lot.")
    if isinstance(body, LotMarked | ChilledBy | LotBecame) and course(ledger, body.lot) is None:
        raise NotSo(f"nobody wrote down that {body.lot} was made. Make the lot first.")
    if isinstance(body, LotBecame):
        words = _may_not_become(ledger, rules, body, record.at)
        if words:
            raise NotSo(words)


def _may_not_become(ledger: Ledger, rules: RuleSet | None, body: LotBecame, at: datetime) -> str:
    now = course(ledger, body.lot)
    assert now is not None
    since = now.steps[-1].since
    if at < since:
        local = since + timedelta(minutes=now.offset_min)
        return f"{body.lot} is {now.state} since {local:%H:%M}: say what it became after that."
    if rules is None:
        words = f"{body.lot} is {now.state}: that cannot become {body.state}."
        return "" if body.state in arrows(now.state) else words
    found = standing(ledger, rules, body.lot, at)
    assert found is not None
    return " ".join(found.lacks(body.state))
