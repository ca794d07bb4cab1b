"""How a lot stands by its records: what was proved of it, what it may become, how its cooling goes.

Worked out anew from the entries each time, at one instant; nothing of it is stored.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from hearthtide.safety.cooling import Cooled, cooled, next_look
from hearthtide.safety.rules import RuleSet
from hearthtide.safety.states import Lot, Proof, State, missing
from hearthtide.safety.verdicts import Verdict, gravest
from hearthtide.service.records.course import DONE, Course, arrows, course
from hearthtide.service.records.ledger import Ledger
from hearthtide.service.records.proofs import NOBODY_SAID, fallen, kept_cold, proofs, proved_so_far


@dataclass(frozen=True)
class Standing:
    """A lot judged. `proofs`: those of its course; `toward`: those that each next state asks for."""

    course: Course
    as_law_sees_it: Lot
    proofs: dict[Proof, Verdict]
    toward: dict[State, dict[Proof, Verdict]]
    fallen: dict[State, tuple[str, ...]]
    kept_cold: Verdict | None
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
        return (*found, *(() if self.kept_cold is None else (self.kept_cold,)))

    def lacks(self, to: State) -> tuple[str, ...]:
        """What stands in the way of its becoming that."""
        return (*self.fallen.get(to, ()), *missing(self.as_law_sees_it, to, self.toward.get(to, {})))


def standing(ledger: Ledger, rules: RuleSet, lot: str, now: datetime) -> Standing | None:
    """A lot as it stands at `now`, or stood at its end; None where nobody wrote down that it was made."""
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
            to: proofs(ledger, rules, lot, to, now, found.offset_min, NOBODY_SAID)
            for to in arrows(found.state)
        },
        fallen={to: fallen(ledger, rules, lot, to, now) for to in arrows(found.state)},
        kept_cold=kept_cold(ledger, rules, lot, now),
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
