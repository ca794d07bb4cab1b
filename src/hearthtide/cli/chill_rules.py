"""The limits of cooling that a house's rule set states, for `chill` to foresee; a reading decides."""

from __future__ import annotations

from math import inf

from hearthtide.food.chilling import ChillLimits
from hearthtide.safety.rules import Cool, RuleSet

# A mark on the way where a set states one stage alone; no time belongs to it. Own choice.
ON_THE_WAY_C = 21.0


def limits_by(rules: RuleSet) -> ChillLimits | None:
    """The set's stages for food made hot, in °C as it publishes them; None where it states no times.

    >>> from hearthtide.safety.rule_sets import rule_set
    >>> found = limits_by(rule_set("us-fda-2022"))
    >>> found.from_C, found.middle_C, found.middle_within_s
    (57.0, 21.0, 7200)
    >>> limits_by(rule_set("scotland")) is None
    True
    """
    stages = _stages(rules)
    if not stages:
        return None
    above_C = float(stages[0].above.in_unit("C"))
    ends_C = [float(one.to.in_unit("C")) for one in stages]
    first_s, last_s = stages[0].within_s, stages[-1].within_s
    if len(stages) == 1:
        return ChillLimits(above_C, ON_THE_WAY_C, ends_C[0], inf, first_s)
    if stages[-1].since == "stage before":
        return ChillLimits(above_C, ends_C[0], ends_C[-1], first_s, inf, last_s)
    return ChillLimits(above_C, ends_C[0], ends_C[-1], first_s, last_s)


def limits_words(rules: RuleSet) -> str:
    """Where the limits stand: the set by name and each stage's section, with what must be said of it."""
    cited = dict.fromkeys(one.cited for one in _stages(rules))
    return f"{rules.named}, {', '.join(cited)}"


def _stages(rules: RuleSet) -> tuple[Cool, ...]:
    return tuple(one for one in rules.of(Cool) if one.starts == "hot")
