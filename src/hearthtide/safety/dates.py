"""Days that ready-to-eat food may be kept: local dates, day one, the last day, frozen time left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from hearthtide.safety.rules import DateMark, OpenedMark, RuleSet
from hearthtide.safety.verdicts import NO_NUMBER, Verdict, verdict

# Which dates of a freezing count. `every thawed date`: each on which it was not frozen for a part of the
# day, the stricter; `freezing date free`: the day it went into the freezer is not counted, as one state's
# example has it.
Convention = Literal["every thawed date", "freezing date free"]


@dataclass(frozen=True)
class Frozen:
    """A stay in the freezer, by local dates. `thawed` None: it is there still."""

    into: date
    thawed: date | None

    def __post_init__(self) -> None:
        if self.thawed is not None and self.thawed < self.into:
            raise ValueError(f"thawed {self.thawed} before it was frozen {self.into}")


@dataclass(frozen=True)
class Kept:
    """What is kept: when it was made (local date), its ready-to-eat ingredients' dates, freezings, mark.

    `opened`: a plant's food, its pack opened on `made`. `use_by`: the last date its maker gives for safety.
    """

    made: date
    ingredients: tuple[date, ...] = ()
    frozen: tuple[Frozen, ...] = ()
    marked: date | None = None
    opened: bool = False
    use_by: date | None = None

    @property
    def day_one(self) -> date:
        """The date counted from: combined food keeps that of its earliest ingredient."""
        return min((self.made, *self.ingredients))


def last_day(
    rule: DateMark | OpenedMark, kept: Kept, convention: Convention = "every thawed date"
) -> date | None:
    """The last date it may be used on. None while it is frozen: freezing pauses and resets nothing.

    A maker's own last date for safety is never passed, frozen or not.
    """
    counted = _counted(rule, kept, convention)
    if counted is None or kept.use_by is None:
        return counted
    return min(counted, kept.use_by)


def _counted(rule: DateMark | OpenedMark, kept: Kept, convention: Convention) -> date | None:
    from_one = isinstance(rule, OpenedMark) or rule.making_is_day_one
    left = rule.days if from_one else rule.days + 1
    day = kept.day_one
    while True:
        stay = next(
            (one for one in kept.frozen if one.into < day and (one.thawed is None or day < one.thawed)), None
        )
        if stay is not None and stay.thawed is None:
            return None
        if stay is None and not _is_free(kept.frozen, day, convention):
            left -= 1
        if left == 0:
            return day
        if any(one.into == day and one.thawed is None for one in kept.frozen):
            return None
        day += timedelta(days=1)


def _is_free(frozen: Sequence[Frozen], day: date, convention: Convention) -> bool:
    """Whether a date on which it went into the freezer is not counted."""
    return convention == "freezing date free" and any(one.into == day for one in frozen)


def date_verdict(
    rules: RuleSet, kept: Kept, today: date, convention: Convention = "every thawed date"
) -> Verdict:
    """Whether food may still be used on a local date: over time, unmarked or wrongly marked it may not."""
    kind: type[DateMark] | type[OpenedMark] = OpenedMark if kept.opened else DateMark
    rule = next(iter(rules.of(kind)), None)
    if rule is None and kept.use_by is not None and today > kept.use_by:
        words = f"past the date its maker gives for safety, {kept.use_by.isoformat()}: discard"
        return Verdict("fail", "", rules.named, words)
    if rule is None:
        return Verdict("not applicable", "", rules.named, f"days kept: {NO_NUMBER}")
    if today < kept.made:
        return verdict("unproven", rule, f"made {kept.made.isoformat()}, still to come: correct the date")
    last = last_day(rule, kept, convention)
    if last is None:
        return verdict("unproven", rule, "it is frozen: its days go on from where it is thawed")
    said = f"day 1 is {kept.day_one.isoformat()}, last day {last.isoformat()} ({convention})"
    if today > last:
        return verdict("fail", rule, f"{said}: discard")
    if kept.marked is not None and today > kept.marked:
        return verdict("fail", rule, f"{said}; past its own mark, {kept.marked.isoformat()}: discard")
    if today > kept.day_one + timedelta(days=1) or kept.marked is not None:
        if kept.marked is None:
            return verdict("fail", rule, f"{said}; it bears no mark: discard")
        if kept.marked > last:
            return verdict(
                "fail", rule, f"{said}; it is marked {kept.marked.isoformat()}: wrongly marked, discard"
            )
    return verdict("pass", rule, said)
