"""Cooling by readings of the warmest part: each stage's verdict, when to probe next, and a warning in time.

The clock starts where food was last at or above the first limit while it was hot, or where it left the
heat. A curve that a model foresees may warn; it is no reading and passes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from typing import Literal

from hearthtide.safety.readings import Reading, at_or_above, at_or_below, in_order, span_words
from hearthtide.safety.rules import Cool, RuleSet
from hearthtide.safety.verdicts import NO_NUMBER, Verdict, verdict

# When to probe a lot that cools; 1 h 45 is the last look at which something can still be done for a limit
# of two hours. Own choice.
LOOKS = tuple(timedelta(minutes=m) for m in (0, 60, 105, 120, 240, 360))
# Warned where a curve comes within so much of a limit's time; own choice.
CLOSE = timedelta(minutes=10)
IN_TIME_ACTS = (
    "Split it into thinner layers that do not touch, lid ajar, ice under and over, a fan's air, a blast "
    "chiller if there is one. At or before two hours the code may let it be heated through to 165 °F (74 °C) "
    "and begun anew, once; your local code decides."
)
TOO_LATE = (
    "It is late. Keep it apart and marked; the person in charge and your code decide, as a rule discard."
)


@dataclass(frozen=True)
class Cooled:
    """A lot's cooling: when its clock started and by what; each stage's verdict, in the order of the set."""

    start: datetime | None
    start_words: str
    stages: tuple[Verdict, ...]


def cooled(
    rules: RuleSet,
    readings: tuple[Reading, ...],
    left_heat: datetime | None,
    now: datetime,
    starts: Literal["hot", "room"] = "hot",
) -> Cooled:
    """The verdicts of a lot that cools, at `now`.

    `left_heat`: when it left the heat, or for food made at room temperature when it was made.
    """
    stages = tuple(rule for rule in rules.of(Cool) if rule.starts == starts)
    taken = tuple(one for one in in_order(readings) if one.point == "warmest" and one.at <= now)
    if not stages:
        return Cooled(None, "", (Verdict("unproven", "", rules.named, f"cooling: {NO_NUMBER}"),))
    start, words = _clock(stages[0], taken, left_heat)
    found: list[Verdict] = []
    since = start
    for rule in stages:
        if rule.since == "start":
            since = start
        one, met = _stage(rule, taken, since, now)
        found.append(one)
        since = met
    return Cooled(start, words, tuple(found))


def _clock(
    first: Cool, taken: tuple[Reading, ...], left_heat: datetime | None
) -> tuple[datetime | None, str]:
    """Where the clock starts: of each part its last reading while it was still hot; the first of these.

    A part that was never read hot began where the food left the heat, whatever another part was read at.
    """
    ends = [(part[0], _last_hot(first, part)) for part in _parts(taken)]
    hot = min((end for _, end in ends if end is not None), key=lambda one: one.at, default=None)
    if hot is not None and first.starts == "hot":
        unseen = [one for one, end in ends if end is None]
        if unseen and left_heat is not None and left_heat < hot.at:
            return left_heat, "from when it left the heat: not every part was read hot after it"
        if unseen and left_heat is None and min(one.at for one in unseen) < hot.at:
            return None, "a part was cooler before another was last hot: when it left the heat is wanted"
        return hot.at, f"last at {first.above.words} or above: {hot.words}"
    if left_heat is not None:
        return left_heat, "from when it left the heat" if first.starts == "hot" else "from when it was made"
    return None, "when it left the heat is not written down"


def _stage(
    rule: Cool, taken: tuple[Reading, ...], since: datetime | None, now: datetime
) -> tuple[Verdict, datetime | None]:
    """A stage's verdict, and when it was met in time."""
    if since is None:
        return verdict("unproven", rule, "its clock has no start"), None
    until = since + timedelta(seconds=rule.within_s)
    limit = span_words(timedelta(seconds=rule.within_s))
    met = _met(rule, tuple(one for one in taken if one.at >= since))
    met_at = max((one.at for one in met), default=None)
    if met_at is not None and met_at <= until:
        words = f"{', '.join(one.words for one in met)}, {span_words(met_at - since)} of {limit}"
        return verdict("pass", rule, words, met), met_at
    late = tuple(one for one in taken if one.at >= until)
    if late:
        first = max(met, key=lambda one: one.at) if met else late[0]
        shown = f"first shown at {span_words(first.at - since)}" if met else f"{first.words} then"
        return verdict("fail", rule, f"{shown}, {limit} is the limit", (first,)), None
    if now > until:
        return verdict("unproven", rule, f"no reading shows {rule.to.words} within {limit}"), None
    return verdict("unproven", rule, f"{rule.to.words} is to be shown by {_after(since, until)}"), None


def _met(rule: Cool, taken: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Of each part its first reading at or below the stage's end that no later one goes back on.

    Nothing while one of the parts lacks it.
    """
    found = [_first_kept(rule, part) for part in _parts(taken)]
    met = tuple(one for one in found if one is not None)
    return met if len(met) == len(found) else ()


def _first_kept(rule: Cool, part: tuple[Reading, ...]) -> Reading | None:
    met: Reading | None = None
    for together in _by_instant(part):
        if not all(at_or_below(one, rule.to) for one in together):
            met = None
        elif met is None:
            met = together[0]
    return met


def _last_hot(first: Cool, part: tuple[Reading, ...]) -> Reading | None:
    hot: Reading | None = None
    for together in _by_instant(part):
        if not all(at_or_above(one, first.above) for one in together):
            break
        hot = together[0]
    return hot


def _parts(taken: tuple[Reading, ...]) -> list[tuple[Reading, ...]]:
    """The readings of each part that was probed, by its name."""
    return [
        tuple(one for one in taken if one.place == place) for place in sorted({one.place for one in taken})
    ]


def _by_instant(taken: tuple[Reading, ...]) -> list[tuple[Reading, ...]]:
    """Readings that were taken together: the warmest of them is the one that counts."""
    return [tuple(group) for _, group in groupby(taken, key=lambda one: one.at)]


def _after(since: datetime, until: datetime) -> str:
    return f"{span_words(until - since)} after its start"


@dataclass(frozen=True)
class Foreseen:
    """What a model foresees of the warmest part: °C at seconds from the clock's start, rising times."""

    at_s: Sequence[float]
    warmest_C: Sequence[float]


@dataclass(frozen=True)
class CoolingWarning:
    """A stage that is foreseen to be missed or nearly: when it comes about, and what still helps."""

    rule: str
    section: str
    words: str


def next_look(start: datetime, readings: tuple[Reading, ...], now: datetime) -> datetime | None:
    """When the lot is to be probed next; one that is due and was not taken stays due. None after the last."""
    taken = [one.at for one in readings if one.point == "warmest"]
    for n, look in enumerate(LOOKS):
        due = start + look
        after = start + LOOKS[n + 1] if n + 1 < len(LOOKS) else None
        answered = any(due - CLOSE <= at and (after is None or at < after - CLOSE) for at in taken)
        if not answered and (after is None or now < after):
            return due
    return None


def warnings(
    rules: RuleSet, curve: Foreseen, now_s: float, starts: Literal["hot", "room"] = "hot"
) -> list[CoolingWarning]:
    """Stages a curve comes too late for, or close to it, with what to do. It changes no verdict."""
    found, since_s = [], 0.0
    for rule in (one for one in rules.of(Cool) if one.starts == starts):
        if rule.since == "start":
            since_s = 0.0
        limit_C = float(rule.to.in_unit("C"))
        at_s = next((t for t, c in zip(curve.at_s, curve.warmest_C, strict=True) if c <= limit_C), None)
        until_s = since_s + rule.within_s
        if at_s is None or at_s > until_s - CLOSE.total_seconds():
            when = (
                "not within what is foreseen"
                if at_s is None
                else f"about {span_words(timedelta(seconds=at_s))}"
            )
            limit = span_words(timedelta(seconds=rule.within_s))
            acts = IN_TIME_ACTS if now_s <= until_s else TOO_LATE
            words = f"Foreseen at {rule.to.words}: {when}; {limit} is the limit. Probe it now. {acts}"
            found.append(CoolingWarning(rule.id, rule.cited, words))
        since_s = until_s if at_s is None else at_s
    return found
