"""Placing one order on the timeline: every item back-timed from the minute its plates should be ready."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from hearthtide.house.models import Act
from hearthtide.planning.problem import (
    Booked,
    Choice,
    Handling,
    Item,
    Order,
    Placed,
    Problem,
    Stay,
    rest_slack_s,
    tolerance_s,
)
from hearthtide.planning.timeline import Timeline

EARLY_MAX_S = 120  # plates are not planned to meet earlier than this before they are wanted
LATE_MAX_S = 4 * 3600  # nobody waits longer for a table; own choice
VARIANTS = 6  # ways of setting the plates of one order apart that are tried for one ready time
READY_STEP_S = 4  # spacing of the pull times tried for one item
TURN_SLACK = 0.15  # a turn may miss its moment by this share of the stage (at least 20 s);
# the models judge what that does to the colour
DRESS_WAIT_S = 90  # a dressed base left on the peel longer than this sticks (common practice, no source)


class Tries:
    """Counts the work done, so that a search can be bounded without a clock."""

    def __init__(self) -> None:
        self.count = 0


def order_cost(problem: Problem, booked: Booked) -> float:
    """Cost-seconds of one order: lateness (threefold beyond the limit), earliness, spread, waits, misses.

    One is a second of lateness of one table. The other weights are our own choice: a plate that dies on
    the pass must cost more than a late table, an early table less, and between equals the plan that
    lands plates closer and keeps stages nearer their minutes wins.
    """
    late = max(0, booked.late_s)
    early = max(0, -booked.late_s)
    beyond = max(0, late - problem.late_after_s)
    loose = max(0, booked.spread_s - problem.together_s)
    last = booked.landing_s - problem.plating_s
    overheld = sum(max(0, last - p.ready_s - p.item.hold_s) for p in booked.placed)
    missed = sum(abs(s.end_s - s.start_s - s.asked_s) for p in booked.placed for s in p.stays)
    return late + 2 * beyond + 0.2 * early + 2 * loose + 0.05 * booked.spread_s + 5 * overheld + 0.1 * missed


def ready_times(problem: Problem, order: Order, wish_s: int, earliest_s: int) -> Iterator[int]:
    """Minutes to try for the plates to be ready, the cheapest first; late ones ever more coarsely."""
    yield max(wish_s, earliest_s)
    if wish_s - 8 >= earliest_s:
        for early in range(8, EARLY_MAX_S + 1, 8):
            if wish_s - early >= earliest_s:
                yield wish_s - early
    late = 0
    while late <= LATE_MAX_S:
        late += 4 if late < 60 else 10 if late < 600 else 30
        if wish_s + late > earliest_s:
            yield wish_s + late


def place_order(
    line: Timeline, order: Order, wish_s: int, ceiling: float, tries: Tries, shift: int = 0
) -> Booked | None:
    """Book the order as cheaply as a scan of ready times finds; None when nothing costs under `ceiling`.

    `wish_s` is when its plates should be ready (before plating). The scan stops as soon as the
    lateness alone costs more than the best booking found.
    """
    problem = line.problem
    earliest = order.called_s + max(item.shortest_s for item in order.items)
    best: Booked | None = None
    cost = ceiling
    ends = _end_work(problem, order)
    for ready in ready_times(problem, order, wish_s, earliest):
        if not ends.fits(line, ready):
            continue
        if _least_cost(problem, order, ready) >= cost:
            if ready > wish_s:
                break
            continue
        booked = next(
            (b for v in range(VARIANTS) if (b := Draft(line, order, shift + v, tries).book(ready))), None
        )
        if booked is None:
            continue
        found = order_cost(problem, booked)
        if found < cost:
            best, cost = booked, found
    if best is not None:
        line.add_order(best)
    return best


@dataclass(frozen=True)
class _EndWork:
    """The hand work that must fall between the first pull and the plates' leaving, whatever the order.

    A quick necessary test: a ready time whose minutes are full already need not be tried.
    """

    pulls_s: int
    cuts_s: int
    pullers: tuple[int, ...]
    cutters: tuple[int, ...]
    before_s: int
    after_s: int

    def fits(self, line: Timeline, ready_s: int) -> bool:
        first = ready_s - self.before_s
        pulling = line.idle_s(self.pullers, first, ready_s + line.problem.act_s["pull"])
        if pulling < self.pulls_s:
            return False
        last = ready_s + self.after_s
        if line.idle_s(self.cutters, first, last) < self.cuts_s:
            return False
        both = tuple({*self.pullers, *self.cutters})
        return line.idle_s(both, first, last) >= self.pulls_s + self.cuts_s


def _end_work(problem: Problem, order: Order) -> _EndWork:
    straight = [item for item in order.items if item.rest_s == 0]
    return _EndWork(
        pulls_s=len(straight) * problem.act_s["pull"],
        cuts_s=sum(item.cut for item in straight) * problem.act_s["cut"],
        pullers=problem.cooks_for("pull"),
        cutters=problem.cooks_for("cut"),
        before_s=problem.together_s,
        after_s=problem.plating_s,
    )


def fits_alone(problem: Problem, order: Order) -> bool:
    """Could this order land together on an empty hearth with idle hands, an hour after it is called?"""
    ready = order.called_s + max(item.shortest_s for item in order.items) + 3600
    return any(Draft(Timeline(problem), order, v, Tries()).book(ready) for v in range(VARIANTS))


def _least_cost(problem: Problem, order: Order, ready_s: int) -> float:
    late = ready_s + problem.plating_s - order.wanted_s
    return 0.2 * -late if late < 0 else late + 2.0 * max(0, late - problem.late_after_s)


class Draft:
    """One order being back-timed to one ready time. All it takes on the timeline is given back at the end.

    What cannot bend comes first for every item (pull and cut, moves, launch and dress, place), then the
    turns, spins and flips find gaps: the other way round a turn may sit where the next pull must be.
    `variant` sets plates apart in another order and rhythm.
    """

    def __init__(self, line: Timeline, order: Order, variant: int, tries: Tries) -> None:
        self.line, self.order, self.variant, self.tries = line, order, variant, tries
        self.problem, self.act_s = line.problem, line.problem.act_s
        self.taken: list[tuple[Item, Handling]] = []
        self.stays: list[tuple[Item, Stay]] = []
        self.ends: list[tuple[Item, int, Handling, Handling]] = []

    def book(self, ready_s: int) -> Booked | None:
        """The order with every item ready within `together` before `ready_s`, or None."""
        self.tries.count += 1
        items = sorted(self.order.items, key=lambda item: (-item.shortest_s, item.key))
        turned = self.variant % len(items)
        found = all(self._rigid(item, ready_s) for item in items[turned:] + items[:turned])
        found = found and self._turns()
        booked = self._booked(ready_s) if found else None
        self._back_to((0, 0, 0))
        return booked

    def _booked(self, ready_s: int) -> Booked:
        placed = []
        for item in self.order.items:
            handlings = sorted((h for i, h in self.taken if i is item), key=lambda h: h.start_s)
            stays = sorted((s for i, s in self.stays if i is item), key=lambda s: s.start_s)
            leave = stays[-1].end_s
            ready = min(ready_s, leave + item.rest_s + rest_slack_s(item))
            placed.append(Placed(item, tuple(stays), tuple(handlings), leave, ready))
        last = max(p.ready_s for p in placed) + self.problem.plating_s
        worked = max(h.start_s + h.hands_s for _, h in self.taken)
        return Booked(self.order, tuple(placed), max(last, worked))

    def _mark(self) -> tuple[int, int, int]:
        return len(self.taken), len(self.stays), len(self.ends)

    def _back_to(self, mark: tuple[int, int, int]) -> None:
        for _, handling in self.taken[mark[0] :]:
            self.line.take_hands(handling)
        for item, stay in self.stays[mark[1] :]:
            self.line.drop_stay(stay)
            self.line.give_platter(item)
        del self.taken[mark[0] :], self.stays[mark[1] :], self.ends[mark[2] :]

    def _take(self, item: Item, handling: Handling | None) -> bool:
        if handling is None:
            return False
        self.line.take_hands(handling)
        self.taken.append((item, handling))
        return True

    def _rigid(self, item: Item, ready_s: int) -> bool:
        """Pull, cut, stages and places of one item, at the first pull time that works."""
        window = min(self.problem.together_s, item.hold_s) + rest_slack_s(item)
        step = READY_STEP_S + self.variant % 3
        for early in range(0, window + 1, step):
            leave = ready_s - item.rest_s - early
            if not self._platter_at(item, leave, ready_s):
                continue
            pull = self.line.nearest_act("pull", leave, 0, 0, len(item.stages) - 1)
            if pull is None:
                continue
            mark = self._mark()
            self._take(item, pull)
            if self._cut(item, pull, ready_s) and self._stages(item, pull) and self._platter(item, ready_s):
                return True
            self._back_to(mark)
        return False

    def _platter_at(self, item: Item, leave_s: int, ready_s: int) -> bool:
        """Whether the bank can spare a platter for the least time the item needs one; cheap to ask."""
        if not item.from_bank:
            return True
        first = leave_s - (item.shortest_s - item.rest_s)
        give = sum(tolerance_s(c.seconds) for stage in item.stages for c in stage.choices[0][:1])
        return self.line.platter_free(first + give, ready_s + self.problem.plating_s)

    def _platter(self, item: Item, ready_s: int) -> bool:
        """A platter from the bank, kept until the plate lands; the order's other items count too."""
        if not item.from_bank:
            return True
        first = self.stays[-1][1].start_s
        if not self.line.platter_free(first, ready_s + self.problem.plating_s):
            return False
        self.line.take_platter(item, first, ready_s)
        return True

    def _cut(self, item: Item, pull: Handling, ready_s: int) -> bool:
        """The cut, once off the stone and before the plates leave."""
        if not item.cut:
            return True
        first = pull.start_s + pull.hands_s
        slack = ready_s + self.problem.plating_s - self.act_s["cut"] - first
        return slack >= 0 and self._take(item, self.line.nearest_act("cut", first, 0, slack, -1))

    def _stages(self, item: Item, pull: Handling) -> bool:
        """Book the stages, last to first; False as soon as one finds no way."""
        end = pull
        for stage in range(len(item.stages) - 1, -1, -1):
            for choice in item.choices(stage, self.problem.bin_of(end.start_s)):
                begin = self._stage(item, stage, choice, end)
                if begin is not None:
                    break
            else:
                return False
            end = begin
        return True

    def _stage(self, item: Item, stage: int, choice: Choice, end: Handling) -> Handling | None:
        """Begin act and place of one stage that ends with `end`; nothing stays booked on failure."""
        begin = self._begin(item, stage, choice, end)
        if begin is None:
            return None
        held_until = end.start_s + end.hands_s
        free = choice.places & ~self.line.blocked(begin.start_s, held_until, item.on_stone)
        free = free & item.prefer[stage] or free
        mark = self._mark()
        if not free or not self._take(item, begin) or not self._dress(item, stage, begin):
            self._back_to(mark)
            return None
        place = self.line.pick(free, begin.start_s, item.on_stone, self.variant)
        times = (begin.start_s, end.start_s, held_until, choice.seconds)
        stay = Stay(item.key, stage, place, *times, item.on_stone)
        self.line.add_stay(stay)
        self.stays.append((item, stay))
        self.ends.append((item, stage, begin, end))
        return begin

    def _begin(self, item: Item, stage: int, choice: Choice, end: Handling) -> Handling | None:
        """The launch or move that begins the stage, no earlier than the ticket was called."""
        floor = self.order.called_s
        if stage > 0:
            floor += self.act_s["launch"]
        elif item.dressed:
            floor += self.act_s["dress"]
        wish, slack = end.start_s - choice.seconds, tolerance_s(choice.seconds)
        first, last = max(wish - slack, floor), wish + slack
        if last < first:
            return None
        act: Act = "move" if stage else "launch"
        aim = max(wish, first)
        return self.line.nearest_act(act, aim, aim - first, last - aim, stage)

    def _dress(self, item: Item, stage: int, begin: Handling) -> bool:
        if stage > 0 or not item.dressed:
            return True
        wish = begin.start_s - self.act_s["dress"]
        wait = min(DRESS_WAIT_S, wish - self.order.called_s)
        return self._take(item, self.line.nearest_act("dress", wish, wait, 0, -1))

    def _turns(self) -> bool:
        """Every turn, spin and flip near its fraction of its stage; odd variants pack them early instead."""
        wanted = []
        for item, stage, begin, end in self.ends:
            seconds = end.start_s - begin.start_s
            slack = max(20, round(TURN_SLACK * seconds))
            for handle in item.stages[stage].handles:
                wish = begin.start_s + round(handle.fraction * seconds)
                first = max(wish - slack, begin.start_s + begin.hands_s)
                last = min(wish + slack, end.start_s - self.act_s[handle.act])
                wanted.append((last, first, min(max(wish, first), last), item, stage, handle.act))
        for last, first, wish, item, stage, act in sorted(wanted, key=lambda w: w[:3]):
            aim = first if self.variant % 2 else wish
            if last < first or not self._take(
                item, self.line.nearest_act(act, aim, aim - first, last - aim, stage)
            ):
                return False
        return True
