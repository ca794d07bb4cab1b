"""What a good cook does without a planner: one rule, each ticket put in once, never re-thought.

Three rules: first come first served at the wished place; longest first, back-timed to the wanted minute; the
earliest landing. All of them know hands, places and minutes as well as the planner does and book nothing
twice; none of them moves what is booked. It slides when something is late.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from hearthtide.house.models import Act
from hearthtide.planning.problem import (
    Booked,
    Choice,
    Handling,
    Item,
    Order,
    Placed,
    Problem,
    Schedule,
    Stay,
    rest_slack_s,
)

Rule = Literal["first come", "longest first", "earliest"]
RULES: tuple[Rule, ...] = ("first come", "longest first", "earliest")
STEP_S, LATEST_S = 4, 4 * 3600  # spacing of times tried, and how late a table is looked after at all
TOGETHER_S = 900  # how much longer a table waits for its plates to meet before they come singly; own choice
DRESS_WAIT_S = 90  # a dressed base left on the peel longer than this sticks (common practice, no source)
TURN_SLACK, TURN_SLACK_S = 0.15, 20  # how far a turn may miss its moment, as the planner has it
CUT_WAIT_S = 60  # how long after plating a cut may still come, as the planner has it


@dataclass
class Desk:
    """Hands (bit t: second `zero_s + t` taken), stays and platters in use, as they are booked."""

    problem: Problem
    zero_s: int
    busy: list[int]
    stays: list[Stay]
    out: list[tuple[int, int]]

    @classmethod
    def of(cls, problem: Problem, schedule: Schedule, now_s: int) -> Desk:
        """What a running plan leaves free from now on."""
        desk = cls(problem, now_s, [0] * len(problem.cooks), [], [])
        turnaround_s = problem.bank.turnaround_s if problem.bank else 0
        for booked in schedule.booked:
            for p in booked.placed:
                for h in p.handlings:
                    desk.take(h)
                desk.stays += p.stays
                if p.item.from_bank:
                    desk.out.append((p.stays[0].start_s, booked.landing_s + turnaround_s))
        return desk

    def take(self, handling: Handling) -> None:
        first = max(0, handling.start_s - self.zero_s)
        seconds = handling.start_s + handling.hands_s - self.zero_s - first
        if seconds > 0:
            self.busy[handling.cook] |= ((1 << seconds) - 1) << first

    def act(self, act: Act, wish_s: int, low_s: int, high_s: int, stage: int) -> Handling | None:
        """The act as near to `wish_s` as hands allow in low..high; the earlier of equals."""
        low_s = max(low_s, self.zero_s)
        for at in sorted(range(low_s, high_s + 1), key=lambda t: (abs(t - wish_s), t)):
            for cook in self.problem.cooks_for(act):
                seconds = self.problem.hands_s(cook, act)
                if not self.busy[cook] >> (at - self.zero_s) & ((1 << seconds) - 1):
                    return Handling(at, seconds, cook, act, stage)
        return None

    def place(self, item: Item, choice: Choice, start_s: int, held_s: int) -> int | None:
        """The free place of the choice that packs best, or None."""
        free = choice.places
        pause = self.problem.recovery_s
        for stay in self.stays:
            gap = pause if stay.on_stone and item.on_stone else 0
            if stay.item != item.key and stay.start_s < held_s + gap and start_s < stay.held_until_s + gap:
                free &= ~self.problem.places.conflicts[stay.place]
        for shut in self.problem.closed:
            if shut.from_s < held_s and start_s < shut.until_s:
                free &= ~shut.places
        return (free & -free).bit_length() - 1 if free else None

    def platter_free(self, from_s: int, until_s: int) -> bool:
        bank = self.problem.bank
        if bank is None:
            return True
        near = [(a, b) for a, b in self.out if a < until_s and from_s < b]
        starts = [from_s, *(a for a, _ in near if a > from_s)]
        return all(sum(a <= t < b for a, b in near) < bank.count for t in starts)


def put_in(problem: Problem, schedule: Schedule, order: Order, rule: Rule, now_s: int) -> Schedule:
    """The schedule with one more order in it by that rule; nothing else moves.

    Raises
    ------
    ValueError
        A plate fits nowhere in four hours.
    """
    desk = Desk.of(problem, schedule, now_s)
    order = replace(order, called_s=max(order.called_s, now_s))
    wish = 0 if rule == "earliest" else order.wanted_s - problem.plating_s
    if rule == "first come":
        placed = [_alone(desk, order, item, wish, first_wish=True) for item in order.items]
    else:
        placed = _together(desk, order, wish)
    return replace(schedule, booked=(*schedule.booked, _booked(problem, order, placed)))


def _alone(desk: Desk, order: Order, item: Item, wish_s: int, first_wish: bool) -> Placed:
    """The item ready as soon after `wish_s` as it can be, whatever the others of its table do."""
    choices = [s.choices[0] for s in item.stages]
    if first_wish:
        choices = [tuple(c for c in found if c.rank == found[0].rank) for found in choices]
    for ready in _later(max(wish_s, order.called_s + item.shortest_s), LATEST_S):
        placed = _item(desk, order, item, ready - item.rest_s, 0, choices)
        if placed is not None:
            return _kept(desk, order, placed)
    raise ValueError(f"{item.key}: nothing is free for it in four hours")


def _together(desk: Desk, order: Order, wish_s: int) -> list[Placed]:
    """All plates ready within the house's minute, longest first, as soon after `wish_s` as that works.

    When that is not within `TOGETHER_S`, or hands cannot do it at all, they come one after the other.
    """
    items = sorted(order.items, key=lambda i: -i.shortest_s)
    first = max(wish_s, order.called_s + items[0].shortest_s)
    for ready in _later(first, TOGETHER_S):
        before = (list(desk.busy), len(desk.stays), len(desk.out))
        placed: list[Placed] = []
        for item in items:
            give = min(desk.problem.together_s, item.hold_s) + rest_slack_s(item)
            choices = [stage.choices[0] for stage in item.stages]
            found = _item(desk, order, item, ready - item.rest_s, give, choices)
            if found is None:
                break
            placed.append(_kept(desk, order, found))
        if len(placed) == len(items):
            return sorted(placed, key=lambda p: order.items.index(p.item))
        desk.busy = before[0]
        del desk.stays[before[1] :], desk.out[before[2] :]
    return [_alone(desk, order, item, first, first_wish=False) for item in order.items]


def _later(first_s: int, most_s: int) -> Iterator[int]:
    """Times from `first_s` on, the later the coarser."""
    late = 0
    while late <= most_s:
        yield first_s + late
        late += STEP_S if late < 600 else 10


def _kept(desk: Desk, order: Order, placed: Placed) -> Placed:
    for handling in placed.handlings:
        desk.take(handling)
    desk.stays += placed.stays
    if placed.item.from_bank:
        bank = desk.problem.bank
        back = bank.turnaround_s if bank else 0
        desk.out.append((placed.stays[0].start_s, placed.ready_s + desk.problem.plating_s + back))
    return placed


def _item(
    desk: Desk, order: Order, item: Item, leave_s: int, give_s: int, choices: list[tuple[Choice, ...]]
) -> Placed | None:
    """One item pulled at `leave_s`, or up to `give_s` sooner; nothing is booked yet."""
    for early in range(0, give_s + 1, STEP_S):
        at = leave_s - early
        pull = desk.act("pull", at, at - STEP_S + 1, at, len(item.stages) - 1)
        if pull is None:
            continue
        busy = list(desk.busy)
        placed = _pulled(desk, order, item, pull, choices)
        desk.busy = busy
        if placed is not None:
            return placed
    return None


def _pulled(
    desk: Desk, order: Order, item: Item, pull: Handling, choices: list[tuple[Choice, ...]]
) -> Placed | None:
    acts, stays, end = [pull], list[Stay](), pull
    desk.take(pull)
    if item.cut:
        off = pull.start_s + pull.hands_s
        cut = desk.act("cut", off, off, off + desk.problem.plating_s + CUT_WAIT_S, -1)
        if cut is None:
            return None
        desk.take(cut)
        acts.append(cut)
    for stage in range(len(item.stages) - 1, -1, -1):
        found = _stage(desk, order, item, stage, end, choices[stage])
        if found is None:
            return None
        end, stay = found
        desk.take(end)
        acts.append(end)
        stays.insert(0, stay)
    if item.dressed:
        seconds = desk.problem.act_s["dress"]
        wish = end.start_s - seconds
        dress = desk.act("dress", wish, max(order.called_s, wish - DRESS_WAIT_S), wish, -1)
        if dress is None:
            return None
        desk.take(dress)
        acts.append(dress)
    turns = _turns(desk, item, stays, acts)
    bank = desk.problem.bank
    back = pull.start_s + item.rest_s + desk.problem.plating_s + (bank.turnaround_s if bank else 0)
    if turns is None or (item.from_bank and not desk.platter_free(stays[0].start_s, back)):
        return None
    in_order = tuple(sorted(acts + turns, key=lambda h: h.start_s))
    return Placed(item, tuple(stays), in_order, pull.start_s, pull.start_s + item.rest_s)


def _stage(
    desk: Desk, order: Order, item: Item, stage: int, end: Handling, choices: tuple[Choice, ...]
) -> tuple[Handling, Stay] | None:
    floor = order.called_s + (desk.problem.act_s["dress"] if item.dressed else 0)
    for choice in choices:
        early, late = choice.band_s
        wish, held = end.start_s - choice.seconds, end.start_s + end.hands_s
        act: Act = "move" if stage else "launch"
        begin = desk.act(act, wish, max(floor, wish - late), wish + early, stage)
        if begin is None:
            continue
        place = desk.place(item, choice, begin.start_s, held)
        if place is not None:
            times = (begin.start_s, end.start_s, held, choice.seconds)
            return begin, Stay(item.key, stage, place, *times, item.on_stone)
    return None


def _turns(desk: Desk, item: Item, stays: list[Stay], acts: list[Handling]) -> list[Handling] | None:
    found: list[Handling] = []
    for stay in stays:
        begin = next(h for h in acts if h.start_s == stay.start_s and h.stage == stay.stage)
        after, seconds = begin.start_s + begin.hands_s, stay.end_s - stay.start_s
        slack = max(TURN_SLACK_S, round(TURN_SLACK * seconds))
        for handle in item.stages[stay.stage].handles:
            wish = stay.start_s + round(handle.fraction * seconds)
            high = min(wish + slack, stay.end_s - desk.problem.act_s[handle.act])
            turn = desk.act(handle.act, wish, max(after, wish - slack), high, stay.stage)
            if turn is None:
                return None
            desk.take(turn)
            found.append(turn)
            after = turn.start_s + turn.hands_s
    return found


def _booked(problem: Problem, order: Order, placed: list[Placed]) -> Booked:
    last = max(p.leave_s + p.item.rest_s for p in placed)
    ready = tuple(
        replace(p, ready_s=min(last, p.leave_s + p.item.rest_s + rest_slack_s(p.item))) for p in placed
    )
    worked = max(h.start_s + h.hands_s for p in placed for h in p.handlings)
    return Booked(order, ready, max(last + problem.plating_s, worked, order.not_before_s))


def overlaps(schedule: Schedule) -> int:
    """How often one cook's acts overlap: none, when a rule is worth comparing with."""
    by_cook: dict[int, list[Handling]] = {}
    for h in (h for b in schedule.booked for p in b.placed for h in p.handlings):
        by_cook.setdefault(h.cook, []).append(h)
    ordered = (sorted(acts, key=lambda h: h.start_s) for acts in by_cook.values())
    return sum(a.start_s + a.hands_s > b.start_s for acts in ordered for a, b in pairwise(acts))
