"""How a lot stands by its records: what was proved of it, what it may become, how its cooling goes.

Worked out anew from the entries each time, at one instant; nothing of it is stored.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from hearthtide.safety.cooling import Cooled, cooled, next_look
from hearthtide.safety.par_cook import Procedure
from hearthtide.safety.rules import RuleSet
from hearthtide.safety.states import Lot, Proof, State, missing
from hearthtide.safety.verdicts import Verdict, gravest
from hearthtide.service.records.course import DONE, Course, arrows, course
from hearthtide.service.records.ledger import Ledger
from hearthtide.service.records.proofs import Said, fallen, kept_cold, proofs, proved_so_far, unread


@dataclass(frozen=True)
class Standing:
    """A lot judged. `proofs`: those of its course; `toward`: those that each next state asks for."""

    course: Course
    as_law_sees_it: Lot
    proofs: dict[Proof, Verdict]
    toward: dict[State, dict[Proof, Verdict]]
    fallen: dict[State, tuple[str, ...]]
    kept_cold: Verdict | None
    unread: Verdict | None
    cooled: Cooled | None
    next_look: datetime | None

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """What was judged of it, in the order of its life; cooling stage by stage."""
        found: list[Verdict] = []
        for name, one in self.proofs.items():
            # Stage by stage, unless a thermometer's failed check says otherwise of the whole.
            stages = () if name != "cooling" or self.cooled is None else self.cooled.stages
            found += stages if stages and gravest(stages) == one.answer else (one,)
        return (*found, *(one for one in (self.kept_cold, self.unread) if one is not None))

    def lacks(self, to: State) -> tuple[str, ...]:
        """What stands in the way of its becoming that."""
        return (*self.fallen.get(to, ()), *missing(self.as_law_sees_it, to, self.toward.get(to, {})))


def said_by_house(of: Course | None, to: State, procedure: Procedure | None) -> Said:
    """What a house's own papers say of a lot: a first heat begins where the lot was told to go in."""
    if of is None or to != "par-cooked":
        return Said()
    return Said(into=of.made, procedure=procedure)


def standing(
    ledger: Ledger, rules: RuleSet, lot: str, now: datetime, procedure: Procedure | None = None
) -> Standing | None:
    """A lot as it stands at `now`, or stood at its end; None where nobody wrote down that it was made.

    `procedure`: the house's approved one for a first heat that is stopped.
    """
    found = course(ledger, lot)
    if found is None:
        return None
    if found.state in DONE:
        now = min(now, found.steps[-1].since)
    cooling = _cooled(ledger, rules, found, now)
    look = None
    if found.state == "cooling" and cooling is not None and cooling.start is not None:
        look = next_look(cooling.start, ledger.readings(lot), now)
    return Standing(
        course=found,
        as_law_sees_it=ledger.lot(lot),
        proofs=proved_so_far(ledger, rules, lot, now),
        toward={
            to: proofs(ledger, rules, lot, to, now, found.offset_min, said_by_house(found, to, procedure))
            for to in arrows(found.state)
        },
        fallen={to: fallen(ledger, rules, lot, to, now) for to in arrows(found.state)},
        kept_cold=kept_cold(ledger, rules, lot, now),
        unread=unread(ledger, rules, lot, now),
        cooled=cooling,
        next_look=look,
    )


def _cooled(ledger: Ledger, rules: RuleSet, of: Course, now: datetime) -> Cooled | None:
    """Its last cooling stage by stage, on the readings as they were read."""
    step = of.last("cooling")
    if step is None:
        return None
    before = of.steps[of.steps.index(step) - 1]
    until = step.until or now
    taken = tuple(one for one in ledger.readings(of.lot) if before.since <= one.at <= until)
    return cooled(rules, taken, before.since if before.state == "cooked" else step.since, until)
