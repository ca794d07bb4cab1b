"""A plan with some of its acts at other times than planned: the rest follows, nothing is re-thought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from hearthtide.planning.problem import Booked, Handling, Item, Placed, Problem, Schedule, Stay
from hearthtide.planning.waits import ON_FIRE, Waits, begin_act, end_act, waits_of


def slid(problem: Problem, schedule: Schedule, now_s: int) -> Schedule:
    """The schedule as it comes about when nobody re-thinks it: what cannot be done when planned slides.

    Acts before `now_s` stand as they are. An act waits for its item (a stage now thought to take longer is
    ended when it is done), its hands and its place; nothing is done sooner. While one act waits for its food
    its cook does the next; of several that are due, what is on the fire comes first, then as planned. What
    can be done as planned is left exactly as it is. Costs the square of the acts.
    """
    waits = waits_of(problem, schedule)
    items = {p.item.key: p.item for b in schedule.booked for p in b.placed}
    longer = [_longer_s(problem, items[s.item], s) for s in waits.stays]
    start = _Hands(problem, waits, longer, now_s).starts()
    at = {id(h): start[n] for n, h in enumerate(waits.handlings)}
    acts = {
        p.item.key: tuple(replace(h, start_s=at[id(h)]) for h in p.handlings)
        for b in schedule.booked
        for p in b.placed
    }
    chores = tuple(replace(h, start_s=at[id(h)]) for h in schedule.chores)
    booked = tuple(with_acts(problem, b, acts) for b in schedule.booked)
    return replace(schedule, booked=booked, chores=chores)


class _Hands:
    """The acts given out one after the other, each to its own cook, the soonest possible first."""

    def __init__(self, problem: Problem, waits: Waits, longer_s: list[int], now_s: int) -> None:
        self.acts, self.longer_s, self.now_s = waits.handlings, longer_s, now_s
        self.behind = [[w for w in found if w.kind != "hands"] for found in waits.behind]
        self.need = [1 if h.act in problem.one_handed else 2 for h in self.acts]
        self.free = [[now_s, now_s] for _ in problem.cooks]
        self.start: dict[int, int] = {}

    def starts(self) -> dict[int, int]:
        """When each act starts, by its number."""
        left = []
        for n, act in enumerate(self.acts):
            if act.start_s < self.now_s:
                self._give(n, act.start_s)
            else:
                left.append(n)
        ready = {n: at for n in left if (at := self._ready_s(n)) is not None}
        while left:
            n = min(ready, key=lambda n: self._turn(n, ready[n]))
            at = self._soonest(n, ready[n])
            due = [m for m in ready if self.acts[m].cook == self.acts[n].cook and ready[m] <= at]
            n = min(due, key=lambda m: (self.acts[m].act not in ON_FIRE, m))
            self._give(n, self._soonest(n, ready[n]))
            left.remove(n)
            del ready[n]
            for m in left:
                if any(w.on == n for w in self.behind[m]) and (found := self._ready_s(m)) is not None:
                    ready[m] = found
        return self.start

    def _turn(self, n: int, ready_s: int) -> tuple[int, int]:
        return self._soonest(n, ready_s), n

    def _soonest(self, n: int, ready_s: int) -> int:
        hands = self.free[self.acts[n].cook]
        return max(ready_s, min(hands) if self.need[n] == 1 else max(hands))

    def _give(self, n: int, at_s: int) -> None:
        act, hands = self.acts[n], self.free[self.acts[n].cook]
        self.start[n] = at_s
        for _ in range(self.need[n]):
            hands[hands.index(min(hands))] = max(min(hands), at_s + act.hands_s)

    def _ready_s(self, n: int) -> int | None:
        """When the act's food and place are ready for it, no sooner than planned; None: not known yet."""
        at = self.acts[n].start_s
        for wait in self.behind[n]:
            if wait.on not in self.start:
                return None
            from_s = self.start[wait.on] + wait.lag_s
            if wait.stay >= 0:
                from_s += self.longer_s[wait.stay]
            elif not wait.from_start:
                from_s += self.acts[wait.on].hands_s
            at = max(at, from_s)
        return at


def end_band_s(problem: Problem, item: Item, stay: Stay) -> tuple[int, int]:
    """The first and the last second at which a stage may end: when it is thought to be done, less and more
    its band there.
    """
    due = stay.start_s + stay.asked_s
    choices = item.choices(stay.stage, problem.bin_of(stay.end_s))
    early, late = next((c.band_s for c in choices if c.places >> stay.place & 1), (0, 0))
    return due - early, due + late


def _longer_s(problem: Problem, item: Item, stay: Stay) -> int:
    """By how much a stage is now thought to be done after its planned end; 0 while it is in its band."""
    first, _ = end_band_s(problem, item, stay)
    return stay.start_s + stay.asked_s - stay.end_s if stay.end_s < first else 0


def with_acts(problem: Problem, booked: Booked, acts: Mapping[str, tuple[Handling, ...]]) -> Booked:
    """The order with these acts by item key, as many as before in the same order; what follows from them.

    Stays begin and end with their acts; a plate is ready after its rest and meets the others, waiting no
    longer for them than it was planned to; landing as the problem defines it.
    """
    if all(acts.get(p.item.key, p.handlings) == p.handlings for p in booked.placed):
        return booked
    moved = [_moved(p, acts.get(p.item.key, p.handlings)) for p in booked.placed]
    last = max(p.leave_s + p.item.rest_s for p in moved)
    waited = [p.ready_s - p.leave_s - p.item.rest_s for p in booked.placed]
    placed = tuple(
        replace(p, ready_s=min(last, p.leave_s + p.item.rest_s + max(0, wait)))
        for p, wait in zip(moved, waited, strict=True)
    )
    worked = max(h.start_s + h.hands_s for p in placed for h in p.handlings)
    landing = max(last + problem.plating_s, worked, booked.order.not_before_s)
    return Booked(booked.order, placed, landing)


def _moved(placed: Placed, acts: tuple[Handling, ...]) -> Placed:
    new = {id(was): act for was, act in zip(placed.handlings, acts, strict=True)}
    stays = []
    for stay in placed.stays:
        begin, end = begin_act(placed, stay), end_act(placed, stay)
        if begin is None or end is None:
            raise ValueError(f"{stay.item} stage {stay.stage}: no act begins or ends it. A plan has both.")
        is_now = new[id(end)]
        kept_s = stay.held_until_s - end.start_s
        held_s = is_now.hands_s if kept_s == end.hands_s else kept_s
        stays.append(
            replace(
                stay,
                start_s=new[id(begin)].start_s,
                end_s=is_now.start_s,
                held_until_s=is_now.start_s + held_s,
            )
        )
    leave = stays[-1].end_s
    return replace(placed, stays=tuple(stays), handlings=acts, leave_s=leave)
