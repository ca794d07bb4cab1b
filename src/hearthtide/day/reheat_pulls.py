"""How many portions to pull from the cold to temper, and when, by the house's rules and the evening's demand.

Time on the bench is time without temperature control: whatever left the cold is used by its mark or
discarded, never put back where the rules say so. So no more is pulled than will be wanted in nine evenings of
ten before the mark, and no more than the half hour to come needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.day.counts import Counts
from hearthtide.day.dough import HALF_HOUR_S
from hearthtide.ranges import Array
from hearthtide.safety.rules import OutOfControl, RuleSet
from hearthtide.safety.time_control import time_rules

SURE = 0.1  # with a chance of one in ten at most fewer are wanted than were pulled; own choice, as the band


@dataclass(frozen=True)
class Pull:
    """Portions pulled at a time; `mark_s`: by when each is served or discarded."""

    at_s: int
    portions: int
    mark_s: int


@dataclass(frozen=True)
class Pulls:
    """What to pull over an evening, by which rule, or in `words` why nothing is."""

    pulls: tuple[Pull, ...]
    rule: OutOfControl | None
    words: str


def temper_rule(rules: RuleSet | None) -> OutOfControl | None:
    """The way of a set by which chilled food may stand on the bench: from the cold, for any food."""
    if rules is None:
        return None
    fit = [
        rule
        for rule in time_rules(rules)
        if not rule.only and rule.never_above is None and (rule.cold_start or rule.way == "cumulative")
    ]
    return min(fit, key=lambda rule: rule.within_s, default=None)


def pulls(
    rules: RuleSet | None,
    procedure: bool,
    wanted: Counts,
    from_s: int,
    covers: Sequence[int],
    stock: int,
    temper_s: int,
    heat_s: int,
) -> Pulls:
    """What to pull each half hour for an evening that begins at `from_s` with `covers` by half hour.

    `stock`: chilled portions there. `temper_s` on the bench, then `heat_s` on the hearth, all before the
    mark. Nothing where no rule allows it, or the rule asks a written `procedure` that is not kept.
    """
    rule = temper_rule(rules)
    if rules is None:
        return Pulls((), None, "No rule set is chosen: nothing is pulled, it goes on from the cold.")
    if rule is None:
        return Pulls((), None, f"{rules.named} states no such time: it goes on from the cold.")
    if rule.needs_procedure and not procedure:
        words = f"{rule.cited}: only by a written procedure. None is said to be kept: from the cold."
        return Pulls((), rule, words)
    if temper_s + heat_s >= rule.within_s:
        return Pulls((), rule, f"{rule.cited}: it could not be served before its mark. From the cold.")
    made: list[Pull] = []
    done = 0
    for n in range(len(covers)):
        at_s = from_s - temper_s + n * HALF_HOUR_S
        mark_s = at_s + rule.within_s
        sure = thinned(wanted, _share(covers, from_s, mark_s - heat_s)).quantile(SURE)
        soon = thinned(wanted, _share(covers, from_s, at_s + temper_s + HALF_HOUR_S)).middle
        count = min(stock, sure, soon) - done
        if count > 0:
            made.append(Pull(at_s, count, mark_s))
            done += count
    words = f"{rule.cited}: {rule.words}" if made else "Too few are sure to be wanted: from the cold."
    return Pulls(tuple(made), rule, words)


def _share(covers: Sequence[int], from_s: int, until_s: int) -> float:
    """The share of an evening's guests who have come by then."""
    gone = sum(
        count * min(max((until_s - from_s) / HALF_HOUR_S - n, 0.0), 1.0) for n, count in enumerate(covers)
    )
    return gone / sum(covers)


def thinned(counts: Counts, share: float) -> Counts:
    """How many of a count fall into a stretch into which each falls by itself with chance `share` (0 to 1).

    >>> thinned(Counts(np.array([0.0, 0.0, 1.0])), 0.5).shares.round(3).tolist()
    [0.25, 0.5, 0.25]
    """
    if not 0 <= share <= 1:
        raise ValueError(f"share {share}: expected 0 to 1")
    made: Array = np.zeros(len(counts.shares))
    row: Array = np.zeros(len(counts.shares))
    row[0] = 1.0
    for chance in counts.shares:
        made += chance * row
        row[1:] = row[1:] * (1 - share) + row[:-1] * share
        row[0] *= 1 - share
    return Counts(made / made.sum())
