"""A rehearsed night once it is over: its figures, and what was to be looked at."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from hearthtide.service.night import Night
from hearthtide.service.rehearsal.expected import Checked, Expected
from hearthtide.service.rehearsal.kitchen import RehearsedKitchen
from hearthtide.service.rehearsal.outcome import Outcome, outcome
from hearthtide.service.rehearsal.watch import Watch


@dataclass(frozen=True)
class Rehearsed:
    """How it came out, the answers that were looked at, and what was refused, in words."""

    outcome: Outcome
    checked: tuple[Checked, ...]
    refused: Counter[str]
    kitchen: RehearsedKitchen
    watch: Watch

    @property
    def as_expected(self) -> bool:
        """Whether every expected answer was met and no event was lost."""
        return all(one.met for one in self.checked) and not self.outcome.lost


def rehearsed(
    night: Night,
    kitchen: RehearsedKitchen,
    watch: Watch,
    expected: Expected,
    spans_s: tuple[float, float],
    restarts: tuple[int, int],
) -> Rehearsed:
    """What came of a night rehearsed during `spans_s`; `restarts` are the planner's and the board's."""
    entries = night.since(0)
    found = outcome(
        facts=night.state.facts,
        truth=kitchen.truth,
        passed=kitchen.passed,
        watch=watch,
        spans_s=spans_s,
        answered=kitchen.says.answered,
        kept=[entry.id for entry in entries],
        plans=sum(entry.id.startswith("plan-") for entry in entries),
        restarts=restarts,
        refused=kitchen.says.refused.total(),
    )
    return Rehearsed(found, expected.at_end(kitchen.passed, found), kitchen.says.refused, kitchen, watch)
