"""Animal food that goes out below its cooking line at a guest's wish, and the freezing that fish needs first.

This program passes no undercooked poultry, stuffed or ground food in any case, whatever is on the menu.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise

from hearthtide.safety.readings import Reading, at_or_below, in_order, span_words
from hearthtide.safety.rules import (
    Advisory,
    FoodClass,
    FreezeWay,
    Handling,
    Intact,
    Parasites,
    RuleSet,
    Undercooked,
)
from hearthtide.safety.verdicts import NO_NUMBER, Verdict, last_of_each_place, verdict

# A freezer that nobody read for longer does not show that it stayed cold. Own choice.
LONGEST_UNREAD = timedelta(hours=24)


def intact_verdict(rules: RuleSet, handled: tuple[Handling, ...]) -> Verdict:
    """Whether a cut of meat is whole-muscle and intact, by what was done to it."""
    rule = next(iter(rules.of(Intact)), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"what is intact: {NO_NUMBER}")
    no_more = [one for one in handled if one in rule.not_if]
    if no_more:
        return verdict("fail", rule, f"it is {', '.join(no_more)}: not intact")
    return verdict("pass", rule, "nothing was done that takes the outside in")


@dataclass(frozen=True)
class Ordered:
    """How undercooked food was ordered, and what the guest was told where it was.

    `disclosed`: named raw or undercooked, or marked to a note that says so; `reminded`: the risk, in writing.
    `variance`: the reference of one the authority granted for this food.
    """

    asked_for: bool
    disclosed: bool
    reminded: bool
    highly_susceptible: bool
    from_childrens_menu: bool = False
    par_cooked: bool = False
    variance: str = ""


def undercooked_verdict(
    rules: RuleSet,
    food: FoodClass,
    ordered: Ordered,
    readings: tuple[Reading, ...] = (),
    frozen: Verdict | None = None,
) -> Verdict:
    """Whether animal food may go out below its cooking line: who asked, what was told, what food, what guest.

    `frozen` is the verdict on its freezing, which fish needs besides. No reading is needed; the last ones
    stand beside the verdict.
    """
    rule = next(iter(rules.of(Undercooked)), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"undercooked {food}: {NO_NUMBER}")
    if food == "plant":
        return verdict("not applicable", rule, "it is for animal food")
    if food in rule.refused:
        words = f"{food}: this program passes none of it undercooked, whatever the guest asks (own choice)"
        return verdict("fail", rule, words)
    for fails, words in _against(rule, food, ordered):
        if fails:
            return verdict("fail", rule, words)
    told = _told(rules, ordered)
    if told is not None and not ordered.variance.strip():
        return told
    if food == "fish" and (found := _not_frozen(rules, frozen)) is not None:
        return found
    last = last_of_each_place(readings, "coldest")
    how = f"by variance {ordered.variance}" if told is not None else "named as such, the risk in writing"
    read = f"; {', '.join(one.words for one in last)}" if last else ""
    return verdict("pass", rule, f"undercooked at the guest's wish, {how}{read}", last)


def _against(rule: Undercooked, food: FoodClass, ordered: Ordered) -> Iterable[tuple[bool, str]]:
    return (
        (ordered.par_cooked, "it was par-cooked: raw until it is cooked through, no advisory helps"),
        (ordered.highly_susceptible, "the guest is highly susceptible: cook it through"),
        (not ordered.asked_for, "no guest asked for it so: cook it through"),
        (
            ordered.from_childrens_menu and food in rule.not_for_children,
            f"{food} from a children's menu: cook it through",
        ),
    )


def _told(rules: RuleSet, ordered: Ordered) -> Verdict | None:
    """What the advisory lacks; None when it is whole."""
    rule = next(iter(rules.of(Advisory)), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"what a guest is told of undercooked food: {NO_NUMBER}")
    lacks = [
        words
        for there, words in (
            (ordered.disclosed, "it is not named raw or undercooked where it is ordered"),
            (
                ordered.reminded,
                "the risk is not stated in writing; a mark beside the name alone is not enough",
            ),
        )
        if not there
    ]
    return verdict("fail", rule, "; ".join(lacks)) if lacks else None


def _not_frozen(rules: RuleSet, frozen: Verdict | None) -> Verdict | None:
    rule = next(iter(rules.of(Parasites)), None)
    if frozen is not None and frozen.answer in ("pass", "not applicable"):
        return None
    if rule is None:
        return Verdict("unproven", "", rules.named, f"freezing of fish: {NO_NUMBER}")
    return frozen if frozen is not None else verdict("unproven", rule, "nothing shows that it was frozen")


@dataclass(frozen=True)
class FrozenFish:
    """How fish was frozen: solid since when and by which reading, out when; or by whose written statement.

    `exempt` names what it is where it need not be frozen. `kept_until`: how long the records are kept.
    """

    solid: datetime | None = None
    out: datetime | None = None
    statement: str = ""
    exempt: str = ""
    served: date | None = None
    kept_until: date | None = None


def frozen_verdict(rules: RuleSet, fish: FrozenFish, readings: tuple[Reading, ...]) -> Verdict:
    """Whether fish was frozen long and cold enough against parasites, by the freezer's air or the fish.

    `readings` are of the freezer's air or the fish's warmest part; nothing is supposed between two that lie
    more than a day apart.
    """
    rule = next(iter(rules.of(Parasites)), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"freezing of fish: {NO_NUMBER}")
    if fish.exempt:
        if fish.exempt in rule.exempt:
            return verdict("not applicable", rule, f"{fish.exempt} need not be frozen")
        return verdict("unproven", rule, f"{fish.exempt} is none of {', '.join(rule.exempt)}")
    if fish.statement.strip():
        return _kept_records(
            rule, fish, verdict("pass", rule, f"by the supplier's statement: {fish.statement}")
        )
    found = [_by_way(rule, way, fish, readings) for way in rule.ways]
    best = next((one for one in found if one.passes), None)
    if best is not None:
        return _kept_records(rule, fish, best)
    return next((one for one in found if one.answer == "unproven"), found[0])


def _kept_records(rule: Parasites, fish: FrozenFish, found: Verdict) -> Verdict:
    if fish.served is None or fish.kept_until is None:
        return found
    wanted = fish.served + timedelta(days=rule.records_days)
    if fish.kept_until < wanted:
        words = f"its records are kept until {fish.kept_until.isoformat()}, {wanted.isoformat()} is wanted"
        return verdict("fail", rule, words)
    return found


def _by_way(rule: Parasites, way: FreezeWay, fish: FrozenFish, readings: tuple[Reading, ...]) -> Verdict:
    if fish.solid is None or fish.out is None:
        return verdict("unproven", rule, "when it was frozen solid, or out again, is not written down")
    wanted = f"{way.kept_at.words} for {span_words(timedelta(seconds=way.for_s))}"
    taken = tuple(one for one in in_order(readings) if one.point in ("air", "warmest") and one.at <= fish.out)
    if way.solid_at is not None:
        until_solid = [one for one in taken if one.at < fish.solid]
        if not until_solid or not at_or_below(until_solid[-1], way.solid_at):
            words = f"no reading shows {way.solid_at.words} as it froze solid"
            return verdict("unproven", rule, words)
    since = tuple(one for one in taken if one.at >= fish.solid)
    warm = tuple(one for one in since if not at_or_below(one, way.kept_at))
    if warm:
        return verdict("fail", rule, f"{warm[0].words}, {wanted} is wanted", warm)
    took = fish.out - fish.solid
    if took < timedelta(seconds=way.for_s):
        return verdict("fail", rule, f"{span_words(took)} frozen, {wanted} is wanted", since)
    times = (fish.solid, *(one.at for one in since), fish.out)
    if not since or any(later - one > LONGEST_UNREAD for one, later in pairwise(times)):
        return verdict("unproven", rule, f"nobody read the freezer for more than a day; {wanted} is wanted")
    return verdict("pass", rule, f"{span_words(took)} frozen at {way.kept_at.words} or below", since)
