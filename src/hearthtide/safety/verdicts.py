"""Verdicts on what was read: pass, fail, unproven or not applicable, each with its section and its readings.

A reading that is missing leaves a verdict unproven; nothing is supposed between two readings, and no model
has a word here. Every verdict is the same whatever order the readings were written down in.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise, product
from typing import Literal

from hearthtide.safety.readings import Limit, Point, Reading, at_or_above, at_or_below, in_order, span_words
from hearthtide.safety.rules import (
    Clause,
    Cook,
    FoodClass,
    Handling,
    Hold,
    Intact,
    Line,
    Parts,
    Piece,
    Reheat,
    RuleSet,
)

Answer = Literal["pass", "fail", "unproven", "not applicable"]
GRAVEST: tuple[Answer, ...] = ("fail", "unproven", "pass", "not applicable")
# Kept food that nobody read for longer was not watched: an oven left overnight proves nothing. Own choice.
LONGEST_GAP = timedelta(hours=4)
NO_NUMBER = "no number is stated; the house's own written plan decides, and a person by it"


@dataclass(frozen=True)
class Verdict:
    """What one rule says: `readings` are the ids of those it stands on. It certifies nothing."""

    answer: Answer
    rule: str
    section: str
    words: str
    readings: tuple[str, ...] = ()

    @property
    def passes(self) -> bool:
        """Whether the rule is met on the readings entered."""
        return self.answer == "pass"


def verdict(answer: Answer, rule: Clause, words: str, readings: Iterable[Reading] = ()) -> Verdict:
    """A verdict by a rule, on readings."""
    return Verdict(answer, rule.id, rule.cited, words, tuple(one.id for one in readings))


def gravest(verdicts: Iterable[Verdict]) -> Answer:
    """The answer to all of them together: a fail before what is unproven, that before a pass.

    None at all prove nothing.
    """
    answers = {one.answer for one in verdicts}
    return next((answer for answer in GRAVEST if answer in answers), "unproven")


def cook_verdict(
    rules: RuleSet, food: FoodClass, readings: tuple[Reading, ...], piece: Piece | None = None
) -> Verdict:
    """Whether food was cooked, by any one line of its rule, in every part that was probed.

    `readings` are those of this one heating. Of each part its last reading counts, so that a lower one found
    later takes a pass back. `piece`: a half or whole bird is probed in two parts, whatever one of them reads.
    """
    rule = cooking_rule(rules, food, piece)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"{food}: the set has no rule for it; {NO_NUMBER}")
    found = heated_verdict(rule, rule.lines, readings, rule.point)
    return in_all_parts(rules, food, piece, readings, found)


def in_all_parts(
    rules: RuleSet, food: FoodClass, piece: Piece | None, readings: tuple[Reading, ...], found: Verdict
) -> Verdict:
    """A pass on the coldest part, unproven where a part that is to be probed of such a piece was not."""
    rule = next((one for one in rules.of(Parts) if food in one.foods and piece in one.pieces), None)
    if rule is None or not found.passes:
        return found
    stood = [one for one in in_order(readings) if one.id in found.readings]
    named = [sorted({one.place for one in stood if _is_of(one, words)}) for words in rule.places]
    if any(len(set(places)) == len(named) for places in product(*named)):
        return found
    lacks = [words[0] for words, places in zip(rule.places, named, strict=True) if not places]
    of = f"no reading of the {' and the '.join(lacks)}" if lacks else "one reading stands for two parts"
    return verdict("unproven", rule, f"{found.words}; {of}. {rule.words}", stood)


def _is_of(reading: Reading, words: tuple[str, ...]) -> bool:
    return any(word in reading.place.casefold() for word in words)


@dataclass(frozen=True)
class Steak:
    """What a steak's exception from a core temperature asks for besides its readings."""

    intact_by_document: bool
    coloured_all_over: bool
    highly_susceptible: bool
    handled: tuple[Handling, ...] = ()


def steak_verdict(rules: RuleSet, steak: Steak, readings: tuple[Reading, ...]) -> Verdict:
    """Whether an intact beef steak may go out without a core temperature: surfaces, colour, document, guest.

    Scored and marinated, injected or tenderized it is not intact: that is for `cook_verdict`.
    """
    rule = cooking_rule(rules, "intact beef steak")
    if rule is None:
        return Verdict("unproven", "", rules.named, f"steak: the set has no rule for it; {NO_NUMBER}")
    if steak.handled:
        by = next(iter(rules.of(Intact)), rule)
        words = f"it is {', '.join(steak.handled)}: not intact, cook it as {no_longer_intact(steak.handled)}"
        return verdict("fail", by, words)
    missing = (
        (steak.highly_susceptible, "the guest is highly susceptible: cook it through"),
        (not steak.intact_by_document, "no label or invoice says that it is whole-muscle and intact"),
        (not steak.coloured_all_over, "an outer surface has not changed colour, the edge among them"),
    )
    for fails, words in missing:
        if fails:
            return verdict("fail", rule, words)
    found = heated_verdict(rule, rule.lines, readings, rule.point)
    surfaces = {one.place for one in readings if one.point == "surface"}
    if found.passes and rule.point == "surface" and len(surfaces) < 2:
        return verdict("unproven", rule, "top and bottom surface are both to be read")
    return found


def no_longer_intact(handled: tuple[Handling, ...]) -> FoodClass:
    """What meat is cooked as that is not intact any more.

    >>> no_longer_intact(("scored and marinated",)), no_longer_intact(("injected", "reconstructed"))
    ('tenderized', 'injected')
    """
    return "injected" if "injected" in handled else "tenderized"


def cooking_rule(rules: RuleSet, food: FoodClass, piece: Piece | None = None) -> Cook | None:
    """The rule a food is cooked by, one for such a piece before others; None where the set has none."""
    mine = [
        rule for rule in rules.of(Cook) if food in rule.foods and (not rule.pieces or piece in rule.pieces)
    ]
    return next((rule for rule in mine if rule.pieces), next(iter(mine), None))


def heated_verdict(
    rule: Clause, lines: tuple[Line, ...], readings: tuple[Reading, ...], point: Point = "coldest"
) -> Verdict:
    """Whether that point stood at one of the lines, in every part that was probed."""
    if not lines:
        return verdict("unproven", rule, NO_NUMBER)
    last = last_of_each_place(readings, point)
    if not last:
        return verdict("unproven", rule, f"no reading of the {point} part; {_wanted(lines)} is wanted")
    short = tuple(one for one in last if not any(meets(one, line) for line in lines))
    if short:
        return verdict("fail", rule, f"{', '.join(map(_stood, short))}; {_wanted(lines)} is wanted", short)
    return verdict("pass", rule, ", ".join(map(_stood, last)), last)


def meets(reading: Reading, line: Line) -> bool:
    """Whether a reading stood at a line for its time."""
    return at_or_above(reading, line.limit) and reading.held_s >= line.held_s


def last_of_each_place(readings: tuple[Reading, ...], point: Point) -> tuple[Reading, ...]:
    """The last reading of each part that was probed there. Two at one instant: both count."""
    found: dict[str, list[Reading]] = {}
    for one in in_order(readings):
        if one.point == point:
            before = found.get(one.place, [])
            found[one.place] = [*before, one] if before and before[-1].at == one.at else [one]
    return tuple(one for place in sorted(found) for one in found[place])


def _stood(reading: Reading) -> str:
    held = f" for {reading.held_s} s" if reading.held_s else ""
    return f"{reading.place + ' ' if reading.place else ''}{reading.words}{held}"


def _wanted(lines: tuple[Line, ...]) -> str:
    said = (one.limit.words + (f" for {one.held_s} s" if one.held_s else "") for one in lines)
    return ", or ".join(said)


def hold_verdict(rules: RuleSet, side: Literal["hot", "cold"], readings: tuple[Reading, ...]) -> Verdict:
    """Whether every reading of kept food was within its limit, and none of them lie too far apart."""
    rule = next((one for one in rules.of(Hold) if one.side == side), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"{side} holding: {NO_NUMBER}")
    if rule.limit is None:
        return verdict("unproven", rule, NO_NUMBER)
    return kept_verdict(rule, side, rule.limit, readings, rule.beyond)


def kept_verdict(
    rule: Clause,
    side: Literal["hot", "cold"],
    limit: Limit,
    readings: tuple[Reading, ...],
    beyond: bool = False,
) -> Verdict:
    """Whether every reading of kept food was within a limit, none too far apart; `beyond`: not at it."""
    point: Point = "coldest" if side == "hot" else "warmest"
    taken = tuple(one for one in in_order(readings) if one.point == point)
    if not taken:
        return verdict("unproven", rule, f"no reading of the {point} part")
    out = tuple(one for one in taken if not kept(one, side, limit, beyond))
    if out:
        since = _last_good_before(taken, out)
        known = "" if since is None else f"; last within it {since.words}"
        said = f"{'above ' if side == 'hot' else 'below '}{limit.words}" if beyond else limit.words
        return verdict("fail", rule, f"{out[0].words}, {said} is the limit{known}", out)
    for one, later in pairwise(taken):
        if later.at - one.at > LONGEST_GAP:
            return verdict(
                "unproven", rule, f"no reading between {one.words} and {later.words}", (one, later)
            )
    return verdict("pass", rule, f"{taken[0].words} to {taken[-1].words}", taken)


def kept(reading: Reading, side: Literal["hot", "cold"], limit: Limit, beyond: bool = False) -> bool:
    """Whether one reading is where food is kept: at the limit too, unless its text says above or below it."""
    if side == "hot":
        return not at_or_below(reading, limit) if beyond else at_or_above(reading, limit)
    return not at_or_above(reading, limit) if beyond else at_or_below(reading, limit)


def _last_good_before(taken: tuple[Reading, ...], out: tuple[Reading, ...]) -> Reading | None:
    good = [one for one in taken if one.at < out[0].at]
    return good[-1] if good else None


def out_for(
    rules: RuleSet, side: Literal["hot", "cold"], readings: tuple[Reading, ...], now: datetime
) -> timedelta:
    """How long food has been out of its holding limit up to `now`: from the last reading that was within it.

    Nothing where the last reading is within it. With no good reading at all, from the first one.
    """
    rule = next((one for one in rules.of(Hold) if one.side == side and one.limit is not None), None)
    if rule is None or rule.limit is None:
        return timedelta(0)
    point: Point = "coldest" if side == "hot" else "warmest"
    taken = [one for one in in_order(readings) if one.at <= now and one.point == point]
    within = [kept(one, side, rule.limit, rule.beyond) for one in taken]
    last = max((n for n, good in enumerate(within) if good), default=0)
    out = taken[last:]
    if not out or all(within[last:]):
        return timedelta(0)
    return now - out[0].at


@dataclass(frozen=True)
class ToReheat:
    """Food about to be heated again: how its chilling and its date stand, and when it left the cold."""

    food: FoodClass
    chilled: bool  # cooked through and then chilled, ready to eat
    cooling: Verdict
    date: Verdict
    left_cold: datetime | None = None
    piece: Piece | None = None


def reheat_verdict(
    rules: RuleSet,
    purpose: Literal["one order", "hold"],
    lot: ToReheat,
    readings: tuple[Reading, ...],
) -> Verdict:
    """Whether food may go out: to one guest at once, or into the hot hold. Each is a rule of its own."""
    rule = next((one for one in rules.of(Reheat) if one.purpose == purpose), None)
    if rule is None:
        return Verdict("unproven", "", rules.named, f"re-heating: {NO_NUMBER}")
    if (short := short_of_reheating(rule, lot)) is not None:
        return short
    lines = rule.lines
    if rule.as_cooked:
        cooked = cooking_rule(rules, lot.food, lot.piece)
        if cooked is None or not cooked.lines:
            return verdict("unproven", rule, NO_NUMBER)
        lines = cooked.lines
    if not lines:
        return verdict("pass", rule, "served at once, to one guest: any temperature, and no keeping after")
    if lot.left_cold is None:
        return verdict("unproven", rule, "when it left the cold is not written down")
    since = tuple(one for one in readings if one.at >= lot.left_cold)
    heated = heated_verdict(rule, lines, since)
    if heated.passes and rule.within_s is not None:
        heated = in_time(rule, rule.within_s, lot.left_cold, heated, since)
    return in_all_parts(rules, lot.food, lot.piece, since, heated)


def short_of_reheating(rule: Clause, lot: ToReheat) -> Verdict | None:
    """What stands in the way of heating a lot again, before any reading of it; None when nothing does."""
    if not lot.chilled:
        return verdict("fail", rule, "it was never cooked through and chilled: it is raw, cook it")
    if lot.cooling.answer == "not applicable":
        return verdict("unproven", rule, f"its cooling is not judged: {lot.cooling.words}")
    for before in (lot.cooling, lot.date):
        if before.answer in ("fail", "unproven"):
            return verdict(before.answer, rule, f"{before.rule or before.section}: {before.words}")
    return None


def in_time(
    rule: Clause, within_s: int, left_cold: datetime, heated: Verdict, readings: tuple[Reading, ...]
) -> Verdict:
    """A pass on heat, a fail where it came later than that after the food left the cold."""
    stood = tuple(one for one in in_order(readings) if one.id in heated.readings)
    took = max(one.at for one in stood) - left_cold
    if took > timedelta(seconds=within_s):
        limit = span_words(timedelta(seconds=within_s))
        return verdict("fail", rule, f"it took {span_words(took)} from the cold, {limit} is the limit", stood)
    return heated
