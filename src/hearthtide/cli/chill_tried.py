"""Every way of chilling tried on one food: times with bands, limits kept or not, until when to change."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf, isfinite

import numpy as np

from hearthtide.cli.chill_asked import Case
from hearthtide.food.band import Band, band
from hearthtide.food.chill_band import (
    Chilled,
    ChillMember,
    Cooling,
    chill_all,
    chill_members,
    last_changes_s,
    parts_s,
    slow_member,
    thickest_m,
    weighed,
)
from hearthtide.food.chilling import LONGEST_S
from hearthtide.food.column import Floats
from hearthtide.food.probe import Agreement

MEMBERS, MEMBERS_READ = 64, 128  # a reading sets most of them aside; own choice
SEED = 1
LEAST_WEIGHT = 1e-3  # a member of less, by the heaviest, moves no edge of a band and is left out; own choice
THICKER = 1.1  # how much thicker the food is taken once, to show what thickness does
SURE = 0.9  # the share of members that must keep the limits for a way to be said to; own choice


@dataclass(frozen=True)
class Times:
    """A time since the chilling began [s]; None: not within 24 h."""

    low: int | None
    median: int | None
    high: int | None


@dataclass(frozen=True)
class Change:
    """A change to another way, at `at_s`. `until_sure_s` is the last moment at which nine of ten members
    still keep the limits, `until_even_s` a half of them; None is too late, 24 h says that it is never needed.
    """

    to: str
    at_s: float
    middle_s: Times
    end_s: Times
    kept_share: float | None
    until_sure_s: float | None
    until_even_s: float | None


@dataclass(frozen=True)
class Way:
    """One way from the beginning. `kept_share` of the members keep the limits; None where none are judged.

    `thicker` is the time to the middle mark of a food a tenth thicker over this food's, `parts_s` half of the
    band that each doubt alone makes of that time, `thickest_m` how thick it may be for nine in ten to keep
    the limits, `coldest_C` the upper face at its coldest.
    """

    word: str
    name: str
    from_s: Times
    middle_s: Times
    end_s: Times
    kept_share: float | None
    thicker: float | None
    parts_s: dict[str, float | None]
    thickest_m: float | None
    coldest_C: float
    change: Change | None


@dataclass(frozen=True, eq=False)
class Course:
    """A way's core over time for a picture, from the start of the limits' clock (else of the chilling)."""

    word: str
    times_s: Floats
    core_C: Floats
    low_C: Floats
    high_C: Floats
    clock_s: float


@dataclass(frozen=True, eq=False)
class Tried:
    """What came out: all ways, and from the way it chills now the changes and how the readings agree."""

    ways: tuple[Way, ...]
    changes: tuple[Change, ...]
    told: Agreement | None
    courses: tuple[Course, ...]

    @property
    def contradicted(self) -> bool:
        return self.told is not None and self.told.contradicted

    @property
    def done(self) -> bool:
        """Whether a way is open that keeps the limits in nine of ten cases; true where none are judged."""
        shares = [*(way.kept_share for way in self.ways), *(change.kept_share for change in self.changes)]
        return any(share is None or share >= SURE for share in shares)


@dataclass(frozen=True, eq=False)
class Trial:
    """A case with its members, and what their runs are asked for more than once."""

    case: Case
    members: tuple[ChillMember, ...]

    def cooling(self, word: str, then: str | None = None, change_s: float = 0.0) -> Cooling:
        ways, case = self.case.ways, self.case
        both = (ways[word],) if then is None else (ways[word], ways[then])
        after = None if then is None else ways[then]
        return Cooling(case.piece(*both), case.start_C, ways[word], case.limits, after, change_s)

    @cached_property
    def told(self) -> Agreement | None:
        if self.case.now is None or not self.case.readings:
            return None
        return weighed(self.members, self.cooling(self.case.now), self.case.readings)

    @cached_property
    def runs(self) -> dict[str, Chilled]:
        words = [self.case.now] if self.told is not None and self.case.now else list(self.case.ways)
        return {word: chill_all(self.members, self.cooling(word)) for word in words}

    @property
    def weights(self) -> Floats:
        even = np.full(len(self.members), 1 / len(self.members))
        return even if self.told is None else self.told.weights

    def share(self, kept: Floats) -> float | None:
        return round(float(self.weights @ kept), 3) if self.case.judged else None


def try_ways(case: Case, tell: Callable[[float], None]) -> Tried:
    """All ways from the beginning; after a reading the way it chills now alone, and changes from there."""
    trial = Trial(case, chill_members(members=MEMBERS_READ if case.readings else MEMBERS, seed=SEED))
    told = trial.told
    if told is not None and told.contradicted:
        return Tried((), (), told, ())
    best = _best(trial)
    ways = []
    for number, word in enumerate(trial.runs):
        tell(number / (len(trial.runs) + 1))
        ways.append(_way(trial, word, best))
    ways.sort(key=lambda way: (_late(way.end_s), _late(way.middle_s)))
    tell(1 - 1 / (len(trial.runs) + 1))
    changes: tuple[Change, ...] = ()
    if case.now is not None:
        at_s = case.readings[-1].time_s if case.readings else 0.0
        changes = tuple(_change(trial, case.now, to, at_s) for to in case.ways if to != case.now)
    return Tried(
        tuple(ways),
        tuple(sorted(changes, key=lambda change: (_late(change.end_s), _late(change.middle_s)))),
        told,
        tuple(_course(trial, way.word) for way in ways),
    )


def _best(trial: Trial) -> str | None:
    """The way most surely within the limits, of those the soonest; None where none are judged."""
    if not trial.case.judged or trial.told is not None:
        return None
    return min(trial.runs, key=lambda w: (-trial.runs[w].kept.mean(), float(np.median(trial.runs[w].end_s))))


def _way(trial: Trial, word: str, best: str | None) -> Way:
    run, case = trial.runs[word], trial.case
    cooling = trial.cooling(word)
    share = trial.share(run.kept)
    thicker = chill_all(trial.members, _thicker(cooling)).middle_s
    longer = thicker / run.middle_s if (run.middle_s > 0).all() and np.isfinite(thicker).all() else None
    late = case.now is None and share is not None and share < SURE and best is not None and best != word
    most_m = thickest_m(cooling, slow_member(trial.members, run)) if best is not None else None
    return Way(
        word=word,
        name=case.ways[word].name,
        from_s=_times(run.from_s, trial.weights),
        middle_s=_times(run.middle_s, trial.weights),
        end_s=_times(run.end_s, trial.weights),
        kept_share=share,
        thicker=None if longer is None else round(float(np.median(longer)), 3),
        parts_s={name: _half(both) for name, both in parts_s(cooling).items()},
        thickest_m=None if most_m is None else round(most_m, 4),
        coldest_C=round(float(np.median([course.lowest_C for course in run.courses])), 1),
        change=_change(trial, word, best, 0.0) if late and best else None,
    )


def _thicker(cooling: Cooling) -> Cooling:
    return replace(cooling, what=replace(cooling.what, thickness_m=THICKER * cooling.what.thickness_m))


def _change(trial: Trial, word: str, to: str, at_s: float) -> Change:
    run = chill_all(trial.members, trial.cooling(word, to, at_s))
    until = Band(-inf, -inf, -inf)
    if trial.case.judged and run.kept.any():  # an earlier change is no worse
        cooling = trial.cooling(word, to)
        counts = trial.weights > LEAST_WEIGHT * trial.weights.max()
        members = tuple(m for m, counted in zip(trial.members, counts, strict=True) if counted)
        lasts_s = last_changes_s(members, cooling, trial.case.ways[to])
        until = band(lasts_s, trial.weights[counts])
    return Change(
        to=to,
        at_s=at_s,
        middle_s=_times(run.middle_s, trial.weights),
        end_s=_times(run.end_s, trial.weights),
        kept_share=trial.share(run.kept),
        until_sure_s=_until(until.low, at_s),
        until_even_s=_until(until.median, at_s),
    )


def _until(last_s: float, at_s: float) -> float | None:
    return min(last_s, LONGEST_S) if last_s >= at_s else None


def _course(trial: Trial, word: str) -> Course:
    """Weighted quantiles of the members' cores, each from its own start of the clock."""
    run, judged = trial.runs[word], trial.case.judged
    ends = band(run.end_s, trial.weights)
    starts = np.minimum(run.from_s, LONGEST_S) if judged else np.zeros(len(trial.members))
    clock_s = band(starts, trial.weights).median
    last_s = min(ends.median, LONGEST_S) - clock_s
    times_s = np.linspace(0.0, max(last_s, 60.0), 200)
    cores = np.array(
        [
            np.interp(times_s + begin_s, course.times_s, course.core_C)
            for begin_s, course in zip(starts, run.courses, strict=True)
        ]
    )
    bands = [band(column, trial.weights) for column in cores.T]
    low, core, high = (np.array([getattr(b, name) for b in bands]) for name in ("low", "median", "high"))
    return Course(word, times_s, core, low, high, clock_s)


def _late(times: Times) -> float:
    return inf if times.median is None else times.median


def _times(values: Floats, weights: Floats) -> Times:
    found = band(values, weights)
    return Times(_whole(found.low), _whole(found.median), _whole(found.high))


def _whole(seconds: float) -> int | None:
    return round(seconds) if isfinite(seconds) else None


def _half(both: tuple[float, float]) -> float | None:
    return round((both[1] - both[0]) / 2, 1) if isfinite(both[1]) else None
