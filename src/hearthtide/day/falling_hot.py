"""Food that must stay hot in the falling heat: the limit of the house's rules, and what proves it."""

from __future__ import annotations

from hearthtide.day.falling_things import Night, Stay
from hearthtide.safety.cautions import NO_RULES
from hearthtide.safety.rules import Cool, Hold, RuleSet

NO_LIMIT = "The house's rules state no number for food kept hot: ask your authority for one."


def hot_limit_C(rules: RuleSet | None) -> float | None:
    """Where the house's rules keep food hot, °C; None without rules or where they state none.

    >>> from hearthtide.safety.rule_sets import rule_set
    >>> hot_limit_C(rule_set("us-fda-2022")), hot_limit_C(None)
    (57.0, None)
    """
    hold = _hold(rules)
    return None if hold is None or hold.limit is None else float(hold.limit.in_unit("C"))


def hot_words(rules: RuleSet | None, night: Night, stay: Stay) -> tuple[str, ...]:
    """What to probe when, and what begins where a reading is below the limit or lacks; no model speaks."""
    hold = _hold(rules)
    if rules is None or hold is None:
        return (NO_RULES,)
    limit_C = hot_limit_C(rules)
    if limit_C is None:
        return (NO_LIMIT,)
    looks = [stay.in_s, *_arrivals(night, stay), stay.out_s]
    times = ", ".join(night.when(at) for at in dict.fromkeys(looks))
    return (
        f"Probe the coldest pan at {times}: {limit_C:.0f} °C or above each time ({rules.named}, "
        f"{hold.cited}).",
        f"Below it, or nobody probed: the chill clock runs from the last reading at {limit_C:.0f} °C or "
        f"above. {_chill(rules)}",
    )


def _hold(rules: RuleSet | None) -> Hold | None:
    held = () if rules is None else rules.of(Hold)
    return next((one for one in held if one.side == "hot"), None)


def _arrivals(night: Night, stay: Stay) -> list[float]:
    """When somebody for the hearth comes while it is in."""
    came = (one.from_s for one in night.people if "hearth" in one.does)
    return sorted(float(at) for at in came if stay.in_s < at < stay.out_s)


def _chill(rules: RuleSet) -> str:
    stages = [one for one in rules.of(Cool) if one.starts == "hot"]
    if not stages:
        return "The rules state no times for it: your authority decides."
    return "; ".join(
        f"{float(one.above.in_unit('C')):.0f} to {float(one.to.in_unit('C')):.0f} °C within "
        f"{one.within_s / 3600:g} h ({one.section})"
        for one in stages
    )
