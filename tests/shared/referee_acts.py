"""The referee's variables for hands, stages and landings, and what they cost: all of a night but its places.

Written from `planning.problem` (what an item asks for) and `planning.cost` (what a second costs), not from
the search: it holds the search to account. Whole seconds; costs in hundredths of a guest-second.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field, replace
from itertools import pairwise

from ortools.sat.python import cp_model

from hearthtide.house.models import Act
from hearthtide.planning.cost import HASTY_S, LONG_S
from hearthtide.planning.problem import (
    Booked,
    Choice,
    Handle,
    Handling,
    Item,
    Order,
    Problem,
    rest_slack_s,
)

SCALE = 100  # hundredths: the house's weights are written with two decimals at the most
DRESS_WAIT_S = 90  # a dressed base left on the peel longer than this sticks (common practice, no source)
MOMENT_GIVE, MOMENT_LEAST_S = 0.15, 20  # how far a turn may miss its moment, as the checker has it

Var = cp_model.IntVar
Expr = cp_model.LinearExprT


class NotModelled(ValueError):
    """The problem asks for something the referee knows nothing of: its verdict would not be one."""


def not_modelled(problem: Problem) -> list[str]:
    """What in this problem the referee does not model, in words; empty when it may judge it."""
    items = [item for order in problem.orders for item in order.items]
    stages = [stage for item in items for stage in item.stages]
    found = {
        "chores": bool(problem.chores),
        "closed places": bool(problem.closed),
        "one-handed acts": bool(problem.one_handed),
        "tall items": any(item.tall for item in items),
        "items kept apart (spits, guards)": any(item.spits or item.guards for item in items),
        "items done as soon as can be": any(item.asap for item in items),
        "places to be used again": any(any(item.prefer) for item in items),
        "waits off the hearth between stages": any(stage.buffer_s for stage in stages),
        "stage times that change over the night": any(len(stage.choices) > 1 for stage in stages),
        "a place in two choices of a stage": any(_shared(stage.choices[0]) for stage in stages),
        "reach counted for acts of no time": problem.weights.reach > 0
        and 0 in {problem.hands_s(c, act) for act in problem.act_s for c in problem.cooks_for(act)},
    }
    return [words for words, there in found.items() if there]


def _shared(choices: tuple[Choice, ...]) -> bool:
    seen = 0
    for choice in choices:
        if seen & choice.places:
            return True
        seen |= choice.places
    return False


def hundredths(price: float) -> int:
    """A price in hundredths, exactly.

    Raises `NotModelled` for one that is none.
    """
    found = round(SCALE * price)
    if abs(found - SCALE * price) > 1e-9:
        raise NotModelled(f"a price of {price} a second (expected whole hundredths)")
    return found


def moment_slack_s(stage_s: int) -> int:
    return max(MOMENT_LEAST_S, round(MOMENT_GIVE * stage_s))


@dataclass
class ActVars:
    """One act: `by[c]` says whether cook c does it (alone: no choice, `by` is empty)."""

    act: Act
    stage: int
    start: Var
    end: Expr
    cooks: tuple[int, ...]
    by: dict[int, Var] = field(default_factory=dict)

    def handling(self, problem: Problem, solver: cp_model.CpSolver) -> Handling:
        cook = next((c for c, does in self.by.items() if solver.boolean_value(does)), self.cooks[0])
        return Handling(solver.value(self.start), problem.hands_s(cook, self.act), cook, self.act, self.stage)


@dataclass
class StageVars:
    """One stage: it cooks from `begin.start` to `end.start` (the next one's begin, or the pull).

    `which[c]` says whether it takes choice c.
    """

    begin: ActVars
    end: ActVars
    handles: list[ActVars]
    choices: tuple[Choice, ...]
    which: list[Var]
    seconds: Var


@dataclass
class ItemVars:
    item: Item
    stages: list[StageVars]
    acts: list[ActVars]
    ready: Expr  # at the earliest: the rest may last a little longer


@dataclass
class OrderVars:
    order: Order
    items: list[ItemVars]
    landing: Var


class NightVars:
    """The model of one problem, its cost as `price` (a list to be summed). Places come on top of it.

    Portions in nothing different are pulled in their order (one plan instead of many), if `in_order`.
    """

    def __init__(self, problem: Problem, until_s: int, in_order: bool = True) -> None:
        if lacks := not_modelled(problem):
            raise NotModelled(f"the referee does not model {', '.join(lacks)}")
        self.problem, self.until_s, self.in_order = problem, until_s, in_order
        self.model = cp_model.CpModel()
        self.price: list[Expr] = []
        self._busy: dict[int, list[cp_model.IntervalVar]] = defaultdict(list)
        self.orders = [self._order(order) for order in problem.orders]
        self.items = [item for order in self.orders for item in order.items]
        for intervals in self._busy.values():
            self.model.add_no_overlap(intervals)
        self._bank()

    def time(self, name: str) -> Var:
        return self.model.new_int_var(self.problem.from_s, self.until_s, name)

    def _act(self, act: Act, stage: int, name: str) -> ActVars:
        problem, model = self.problem, self.model
        cooks = problem.cooks_for(act)
        if not cooks:
            raise NotModelled(f"{act} is nobody's act")
        start = self.time(f"{name} {act}")
        seconds = {c: problem.hands_s(c, act) for c in cooks}
        if len(cooks) == 1:
            only = seconds[cooks[0]]
            if only:
                self._busy[cooks[0]].append(model.new_fixed_size_interval_var(start, only, f"{name} {act}"))
            return ActVars(act, stage, start, start + only, cooks)
        by = {c: model.new_bool_var(f"{name} {act} by {c}") for c in cooks}
        model.add_exactly_one(by.values())
        for c, does in by.items():
            if seconds[c]:
                busy = model.new_optional_fixed_size_interval_var(
                    start, seconds[c], does, f"{name} {act} {c}"
                )
                self._busy[c].append(busy)
        return ActVars(act, stage, start, start + sum(seconds[c] * by[c] for c in cooks), cooks, by)

    def _item(self, order: Order, item: Item) -> ItemVars:
        """All acts of an item in their order, its stages inside their bands, its turns near their moments."""
        model, name = self.model, item.key
        begins = [
            self._act("launch" if k == 0 else "load" if stage.stays else "move", k, f"{name} {k}")
            for k, stage in enumerate(item.stages)
        ]
        pull = self._act("pull", len(item.stages) - 1, name)
        stages = [
            self._stage(item, k, begin, end) for k, (begin, end) in enumerate(pairwise([*begins, pull]))
        ]
        acts = [act for stage in stages for act in (stage.begin, *stage.handles)] + [pull]
        if item.dressed:
            dress = self._act("dress", -1, name)
            model.add(dress.end <= begins[0].start)
            model.add(begins[0].start - dress.end <= DRESS_WAIT_S)
            acts.insert(0, dress)
        if item.cut:
            cut = self._act("cut", -1, name)
            model.add(cut.start >= pull.end)
            acts.append(cut)
        model.add(acts[0].start >= order.called_s)
        return ItemVars(item, stages, acts, pull.start + item.rest_s)

    def _stage(self, item: Item, k: int, begin: ActVars, end: ActVars) -> StageVars:
        model, name, choices = self.model, f"{item.key} {k}", item.choices(k, 0)
        spans = [(c.seconds - c.band_s[0], c.seconds + c.band_s[1]) for c in choices]
        shortest, longest = min(low for low, _ in spans), max(high for _, high in spans)
        seconds = model.new_int_var(shortest, longest, f"{name} seconds")
        model.add(seconds == end.start - begin.start)
        which = [model.new_bool_var(f"{name} choice {n}") for n in range(len(choices))]
        model.add_exactly_one(which)
        off = model.new_int_var(0, SCALE * SCALE * (longest + 1), f"{name} off")
        for (low, high), choice, chosen in zip(spans, choices, which, strict=True):
            model.add_linear_constraint(seconds, low, high).only_enforce_if(chosen)
            price = hundredths(self.problem.weights.off * choice.off_per_s)
            model.add(off >= price * (seconds - choice.seconds)).only_enforce_if(chosen)
            model.add(off >= price * (choice.seconds - seconds)).only_enforce_if(chosen)
        self.price.append(off)
        handles, after = [], begin.end
        for n, handle in enumerate(item.stages[k].handles):
            act = self._act(handle.act, k, f"{name} {n}")
            self._near_its_moment(act.start - begin.start, handle, seconds, (shortest, longest))
            model.add(act.start >= after)
            after = act.end
            handles.append(act)
        model.add(end.start >= after)
        return StageVars(begin, end, handles, choices, which, seconds)

    def _near_its_moment(self, at: Expr, handle: Handle, seconds: Var, span: tuple[int, int]) -> None:
        """Within the slack of `fraction` of the stage, rounded as the search and the checker round."""
        lengths = range(span[0], span[1] + 1)
        moments = [round(handle.fraction * s) for s in lengths]
        earliest = [m - moment_slack_s(s) for m, s in zip(moments, lengths, strict=True)]
        latest = [m + moment_slack_s(s) for m, s in zip(moments, lengths, strict=True)]
        for bound, sign in ((earliest, 1), (latest, -1)):
            limit = self.model.new_int_var(min(bound), max(bound), "moment")
            self.model.add_element(seconds - span[0], bound, limit)
            self.model.add(sign * at >= sign * limit)

    def _order(self, order: Order) -> OrderVars:
        """Landing and cost of one order, as `cost.order_parts` counts it."""
        model, problem, w = self.model, self.problem, self.problem.weights
        items = [self._item(order, item) for item in order.items]
        last, landing = self.time(f"{order.key} last"), self.time(f"{order.key} lands")
        model.add_max_equality(last, [i.ready for i in items])
        ends = [act.end for i in items for act in i.acts[-1:]]
        model.add_max_equality(landing, [last + problem.plating_s, order.not_before_s, *ends])
        late = landing - order.wanted_s
        for price, over in (
            (w.late, late),
            (w.beyond, late - problem.late_after_s),
            (w.long, late - LONG_S),
            (w.early, -late),
            (w.hasty, -late - HASTY_S),
        ):
            self._pay(order.weight * price, [over])
        longest = [i.ready + rest_slack_s(i.item) for i in items]
        self._pay(order.weight * w.close, [last - i.ready for i in items])
        self._pay(order.weight * w.spread, [last - ready - problem.together_s for ready in longest])
        for item, ready in zip(items, longest, strict=True):
            waits = landing - problem.plating_s - item.item.hold_s
            self._pay(w.overheld, [waits - ready, waits - last])
        if self.in_order:
            self._alike(items)
        return OrderVars(order, items, landing)

    def _pay(self, price: float, overs: list[Expr]) -> None:
        """Adds `price` for each second of the greatest of `overs` that is above zero."""
        if cost := hundredths(price):
            most = self.model.new_int_var(0, 2 * (self.until_s - self.problem.from_s), "paid")
            for over in overs:
                self.model.add(most >= over)
            self.price.append(cost * most)

    def _alike(self, items: list[ItemVars]) -> None:
        """Of two portions in nothing different, the first is pulled first."""
        for a, b in pairwise(items):
            if replace(a.item, key="") == replace(b.item, key=""):
                self.model.add(a.stages[-1].end.start <= b.stages[-1].end.start)

    def _bank(self) -> None:
        """Platters are away from the launch until a turnaround after the landing."""
        bank = self.problem.bank
        if bank is None:
            return
        away = []
        for order in self.orders:
            for item in (i for i in order.items if i.item.from_bank):
                from_, until = item.stages[0].begin.start, order.landing + bank.turnaround_s
                size = self.model.new_int_var(0, self.until_s + bank.turnaround_s, "away")
                away.append(self.model.new_interval_var(from_, size, until, f"{item.item.key} platter"))
        self.model.add_cumulative(away, [1] * len(away), bank.count)


def least_landing_cost(problem: Problem, booked: list[Booked], landing_s: int) -> float:
    """What any of these orders would cost at the least, landing at that time or later."""
    w = problem.weights
    return min(
        b.order.weight
        * sum(
            price * max(0, landing_s - b.order.wanted_s - after)
            for price, after in ((w.late, 0), (w.beyond, problem.late_after_s), (w.long, LONG_S))
        )
        for b in booked
    )
