"""A plan being run, and which of its acts stand: those begun, and those told for the next minute.

Told acts stay unless they cannot: the food is not done or has been for too long, hands or place are not free.
Food does not wait for what was told: once an act on the fire cannot be done as told, the acts told to the
same hands after the next few seconds are open too, and only their price keeps them where they were.
"""

from __future__ import annotations

from dataclasses import dataclass

from hearthtide.planning.problem import Problem, Schedule, Stay
from hearthtide.planning.slide import end_band_s
from hearthtide.planning.waits import ON_FIRE, waits_of

TOLD_S = 60  # what is told for so long ahead stays; own choice, the minute a cook has in mind
NEXT_S = 12  # a hand is on its way to what is told for so soon; own choice, one act


@dataclass(frozen=True)
class Running:
    """A plan being run at `now_s`. Orders of the problem that the schedule lacks have yet to be placed."""

    problem: Problem
    schedule: Schedule
    now_s: int


def told_acts(running: Running, told_s: int = TOLD_S) -> frozenset[int]:
    """Acts that stand, by `id`: begun before now, or told within `told_s` and possible as told.

    A base dressed or told to be dressed has its launch told with it: it must not wait on the peel.
    """
    told = _Told(running, told_s)
    kept = told.standing(frozenset())
    late = told.late_cooks(kept)
    if late:
        kept = told.standing(late)
    return frozenset(id(told.acts[n]) for n in kept - told.left_on_the_peel(kept))


class _Told:
    """One look at a running plan's acts, in order of start."""

    def __init__(self, running: Running, told_s: int) -> None:
        self.problem, self.now_s, self.told_s = running.problem, running.now_s, told_s
        self.waits = waits_of(running.problem, running.schedule)
        self.acts, self.keys = self.waits.handlings, self.waits.items
        self.items = {p.item.key: p.item for b in running.schedule.booked for p in b.placed}
        self.overrun = {r.item for r in running.schedule.recourse if r.kind == "overrun"}
        self.stay_of = {self.waits.begins[n]: stay for n, stay in enumerate(self.waits.stays)}

    def standing(self, late: frozenset[int]) -> set[int]:
        """Acts that stand when of these cooks only the next few seconds do."""
        free_s: dict[int, int] = {}
        kept: set[int] = set()
        for n, act in enumerate(self.acts):
            if act.start_s >= self.now_s:
                by_itself = act.act in self.problem.one_handed
                taken = act.start_s < free_s.get(act.cook, self.now_s) and not by_itself
                if taken or not self._told(n, late, kept) or not self._can_stand(n, kept):
                    continue
            kept.add(n)
            free_s[act.cook] = max(free_s.get(act.cook, self.now_s), act.start_s + act.hands_s)
        return kept

    def late_cooks(self, kept: set[int]) -> frozenset[int]:
        """Cooks with an act on the fire that was told and cannot stand."""
        until_s = self.now_s + self.told_s
        return frozenset(
            act.cook
            for n, act in enumerate(self.acts)
            if act.act in ON_FIRE and n not in kept and self.now_s <= act.start_s < until_s
        )

    def left_on_the_peel(self, kept: set[int]) -> set[int]:
        """Told dressings, not begun, whose launch does not stand: they are told no more."""
        launched = {self.keys[n] for n in kept if self.acts[n].act == "launch"}
        return {
            n
            for n in kept
            if self.acts[n].act == "dress"
            and self.acts[n].start_s >= self.now_s
            and self.keys[n] not in launched
        }

    def _told(self, n: int, late: frozenset[int], kept: set[int]) -> bool:
        """Whether the act is told: within the time told ahead, or the launch of a base told to be dressed."""
        act = self.acts[n]
        dressed = any(
            wait.kind == "item" and wait.on in kept and self.acts[wait.on].act == "dress"
            for wait in self.waits.behind[n]
        )
        ahead_s = NEXT_S if act.cook in late else self.told_s
        return self.keys[n] != "" and (dressed or act.start_s < self.now_s + ahead_s)

    def _can_stand(self, n: int, kept: set[int]) -> bool:
        """Whether what the act waits for, hands apart, stands too and lets it begin as told."""
        start, item = self.acts[n].start_s, self.items[self.keys[n]]
        if self.problem.cooks[self.acts[n].cook].away:
            return False
        if n in self.stay_of and is_shut(self.problem, self.stay_of[n]):
            return False
        for wait in self.waits.behind[n]:
            if wait.kind == "hands":
                continue
            if wait.on not in kept:
                return False
            if wait.kind == "stage":
                first, last = end_band_s(self.problem, item, self.waits.stays[wait.stay])
                # An overrun that was planned, and told, is known already.
                if start < first or (start > last and item.key not in self.overrun):
                    return False
            elif not wait.from_start:
                before = self.acts[wait.on]
                if start < before.start_s + before.hands_s + wait.lag_s:
                    return False
        return True


def is_shut(problem: Problem, stay: Stay) -> bool:
    """Whether the place of a stay is shut for some of its time."""
    return any(
        c.places >> stay.place & 1 and c.from_s < stay.held_until_s and stay.start_s < c.until_s
        for c in problem.closed
    )
