"""Cold food that nobody read: a matter of the house's own written plan, where it has entered such a rule.

The sets that are shipped say how cold food is kept (FDA Food Code 3-501.16(A)(2)) and none how often it is
read. A house's own plan may; it is then judged by that, with the house's name on it, and by nothing else.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise

from hearthtide.safety.readings import Reading, in_order, span_words
from hearthtide.safety.rules import ColdReads, RuleSet
from hearthtide.safety.verdicts import Verdict, verdict


def unread_verdict(
    rules: RuleSet, readings: tuple[Reading, ...], since: datetime, now: datetime
) -> Verdict | None:
    """Whether kept cold food was read as often as the house's own rule asks, from `since` up to `now`.

    `readings` are those of its time in the cold; the warmest part counts. A gap that was once too long stays
    one. None where the house has no such rule.
    """
    rule = next(iter(rules.of(ColdReads)), None)
    if rule is None:
        return None
    taken = tuple(one for one in in_order(readings) if one.point == "warmest" and since <= one.at <= now)
    every, times = timedelta(seconds=rule.every_s), [since, *(one.at for one in taken), now]
    for n, (one, later) in enumerate(pairwise(times)):
        if later - one > every:
            words = f"not read for {span_words(later - one)}, {span_words(every)} is the house's own limit"
            return verdict("unproven", rule, words, taken[max(0, n - 1) : n + 1])
    last = f"last read {taken[-1].words}" if taken else f"{span_words(now - since)} in the cold, not read yet"
    return verdict("pass", rule, f"{last}; {span_words(every)} is the house's own limit", taken[-1:])
