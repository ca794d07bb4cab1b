"""A Friday as it runs, event by event, under one way of working; and several side by side as a table.

At each ticket, each stage found to take longer and each act done late the policy is asked; between, cooks do
the plan's acts in order and what is late slides. `python benchmarks/rolling.py` prints the tables.
"""

from __future__ import annotations

import heapq
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

import numpy as np
from fridays import Friday, friday
from rules import RULES, Rule, put_in
from windows import Ticket, problem_of

from hearthtide.house.models import Act
from hearthtide.planning.engine.search import search
from hearthtide.planning.events import ActSeen, NewTicket, StageSeen, after_event
from hearthtide.planning.problem import Booked, Order, Placed, Problem, Reality, Schedule
from hearthtide.planning.replan import Running, over_at_s, replanned, told_changes
from hearthtide.planning.slide import slid

HOUSE = "osmer-and-vane"
# A Friday's people, invented: two at the hearth, one at the pass.
CREW: dict[str, tuple[Act, ...]] = {
    "Launch cook": ("dress", "launch"),
    "Oven cook": ("launch", "turn", "spin", "flip", "move", "pull"),
    "Pass": ("cut",),
}
LATE_S = 5  # an act late by so much is looked at anew; less just slides; own choice
FAR_S = 10  # what a cook hardly notices, as the trade's prototype counted it
TOGETHER_S = 60  # tables are measured, so also planned, to meet within a minute
SWAMPED, BUSY_S = 110.0, (19 * 3600, 20 * 3600 + 1800)  # dishes an hour to measure what can be done, and when
NOTHING = Schedule((), 0.0, 0, 0)


@dataclass
class Seen:
    """What came of one night: a row per guest, order or plate, and what re-planning took."""

    lateness_s: list[int] = field(default_factory=list)
    landed_s: list[int] = field(default_factory=list)
    early_s: list[int] = field(default_factory=list)
    apart_s: list[int] = field(default_factory=list)
    burnt_s: list[int] = field(default_factory=list)
    pale_s: list[int] = field(default_factory=list)
    acts: int = 0
    plates: int = 0
    told: dict[str, tuple[int, int, int]] = field(default_factory=dict)
    replan_ms: list[float] = field(default_factory=list)
    open_dishes: list[int] = field(default_factory=list)
    recourse: set[tuple[int, str, str]] = field(default_factory=set)

    def add(self, other: Seen) -> None:
        for name, value in vars(other).items():
            if isinstance(value, set):
                self.recourse |= value
            elif isinstance(value, dict):
                for why, counts in value.items():
                    self.count(why, counts)
            else:
                setattr(self, name, getattr(self, name) + value)

    def count(self, why: str, counts: tuple[int, int, int]) -> None:
        """Acts told, changed by more than 2 s and by more than 10 s, when the plan was made anew because."""
        had = self.told.get(why, (0, 0, 0))
        self.told[why] = (had[0] + counts[0], had[1] + counts[1], had[2] + counts[2])


class Policy:
    """A way of working: what to do with new orders, and when something has gone otherwise than told."""

    name = ""

    def ordered(self, running: Running, orders: tuple[Order, ...]) -> Running:
        raise NotImplementedError

    def mend(self, running: Running) -> Running:
        raise NotImplementedError


class ByRule(Policy):
    """Each ticket put in once by one rule; later it only slides."""

    def __init__(self, rule: Rule) -> None:
        self.rule, self.name = rule, rule

    def ordered(self, running: Running, orders: tuple[Order, ...]) -> Running:
        problem, now, schedule = running.problem, running.now_s, running.schedule
        for order in orders:
            schedule = put_in(problem, schedule, order, self.rule, now)
        problem = replace(problem, orders=problem.orders + orders)
        return Running(problem, schedule, now)

    def mend(self, running: Running) -> Running:
        return replace(running, schedule=slid(running.problem, running.schedule, running.now_s))


class Planned(Policy):
    """Every event re-planned by the search, so many rounds each time.

    `in_hand_s` is how much before its wanted minute a table is aimed at, so that drift need not make it late.
    """

    def __init__(self, rounds: int, in_hand_s: int = 0, seed: int = 1) -> None:
        self.rounds, self.in_hand_s, self.seed = rounds, in_hand_s, seed
        self.name = f"planner, {rounds} rounds" + (f", {in_hand_s} s in hand" if in_hand_s else "")

    def ordered(self, running: Running, orders: tuple[Order, ...]) -> Running:
        aimed = tuple(replace(o, wanted_s=o.wanted_s - self.in_hand_s) for o in orders)
        return self.mend(after_event(running, NewTicket(aimed)))

    def mend(self, running: Running) -> Running:
        return replanned(running, self._search)

    def _search(self, problem: Problem, reality: Reality, told: Schedule) -> Schedule:
        return search(problem, reality, told, seed=self.seed, rounds=self.rounds)


@dataclass(order=True)
class _Report:
    """Word that an act took another time than booked, at the moment that shows."""

    at_s: int
    item: str
    number: int
    hands_s: int = field(compare=False)


class Evening:
    """One night under one policy. Time goes on by whatever comes first."""

    def __init__(self, night: Friday, policy: Policy, problem: Problem) -> None:
        self.night, self.policy, self.seen = night, policy, Seen()
        self.waiting = list(problem.orders)
        self.wanted_s = {o.ticket: o.wanted_s for o in problem.orders}
        self.running = Running(replace(problem, orders=()), NOTHING, problem.from_s)
        self.drifts = list(night.drifts)
        self.reports: list[_Report] = []
        self.begun: dict[str, int] = {}
        self.landed: set[str] = set()

    def run(self) -> Seen:
        """To the last plate."""
        while True:
            act = self._next_act()
            if act is None and not self.waiting and not self.reports:
                self._collect(last=True)
                return self.seen
            times = [
                (self.reports[0].at_s if self.reports else None, self._reported),
                (self.waiting[0].called_s if self.waiting else None, self._called),
                (self.drifts[0][0] if self.drifts else None, self._drifted),
                (act[0] if act else None, lambda a=act: self._begin(a)),
            ]
            at, step = min(((t, s) for t, s in times if t is not None), key=lambda x: x[0])
            self.running = replace(self.running, now_s=at)
            self._collect()
            step()
            self._collect()

    def _next_act(self) -> tuple[int, int, Placed] | None:
        """Start, number and item of the first act not begun; a dressing before the launch of its second."""
        soonest: tuple[int, int, Placed] | None = None
        for placed in _placed(self.running.schedule):
            number = self.begun.get(placed.item.key, 0)
            if number < len(placed.handlings):
                at = placed.handlings[number].start_s
                if soonest is None or at < soonest[0]:
                    soonest = (at, number, placed)
        return soonest

    def _begin(self, act: tuple[int, int, Placed]) -> None:
        at, number, placed = act
        key, booked_s = placed.item.key, placed.handlings[number].hands_s
        if at < self.running.now_s:
            raise RuntimeError(f"{key}: an act is told for {at} s, now is {self.running.now_s} s")
        self.begun[key] = number + 1
        took = self.night.hands_s(key, number, booked_s)
        if took != booked_s:
            heapq.heappush(self.reports, _Report(at + min(took, booked_s), key, number, took))

    def _reported(self) -> None:
        report = heapq.heappop(self.reports)
        found = [p for p in _placed(self.running.schedule) if p.item.key == report.item]
        if not found:
            raise RuntimeError(f"{report.item} left the plan while its hands were at it")
        told = found[0].handlings[report.number]
        late = report.hands_s - told.hands_s
        self.running = after_event(self.running, ActSeen(report.item, told, told.start_s, report.hands_s))
        if late >= LATE_S:
            self._ask("mishap", self.policy.mend)
        elif late > 0:
            run = self.running
            self.running = replace(run, schedule=slid(run.problem, run.schedule, run.now_s))

    def _drifted(self) -> None:
        at, where, longer_s = self.drifts.pop(0)
        on = [s for p in _placed(self.running.schedule) for s in p.stays if s.start_s < at < s.end_s]
        if on:
            stay = sorted(on, key=lambda s: s.item)[int(where * len(on))]
            done = stay.start_s + stay.asked_s + longer_s
            self.running = after_event(self.running, StageSeen(stay.item, stay.stage, done))
            self._ask("mishap", self.policy.mend)

    def _called(self) -> None:
        now = self.running.now_s
        called = tuple(o for o in self.waiting if o.called_s <= now)
        self.waiting = [o for o in self.waiting if o.called_s > now]
        self._ask("ticket", lambda run: self.policy.ordered(run, called))

    def _ask(self, why: str, policy: Callable[[Running], Running]) -> None:
        before, began = self.running, time.perf_counter()
        self.running = policy(before)
        self.seen.replan_ms.append(1000 * (time.perf_counter() - began))
        told, changed = told_changes(before, self.running)
        _, far = told_changes(before, self.running, same_s=FAR_S)
        self.seen.count(why, (told, changed, far))
        self.seen.open_dishes.append(sum(len(o.items) for o in self.running.problem.orders))
        self.seen.recourse |= {(self.night.seed, r.item, r.kind) for r in self.running.schedule.recourse}

    def _collect(self, last: bool = False) -> None:
        """Takes down what has landed; orders with nothing left of them leave the plan."""
        run = self.running
        for booked in run.schedule.booked:
            done = all(self.begun.get(p.item.key, 0) == len(p.handlings) for p in booked.placed)
            landed = done and (last or booked.landing_s <= run.now_s)
            if landed and booked.order.key not in self.landed:
                self.landed.add(booked.order.key)
                self._taken_down(booked)
        over = {b.order.key for b in run.schedule.booked if over_at_s(run.problem, b) <= run.now_s}
        over &= self.landed
        if over and not self.reports:
            booked = tuple(b for b in run.schedule.booked if b.order.key not in over)
            orders = tuple(o for o in run.problem.orders if o.key not in over)
            self.running = replace(
                run,
                problem=replace(run.problem, orders=orders),
                schedule=replace(run.schedule, booked=booked),
            )

    def _taken_down(self, booked: Booked) -> None:
        guests, seen = len(booked.placed), self.seen
        late_s = booked.landing_s - self.wanted_s[booked.order.ticket]
        seen.lateness_s += [max(0, late_s)] * guests
        seen.early_s += [max(0, -late_s)] * guests
        seen.landed_s += [booked.landing_s] * guests
        seen.apart_s.append(booked.spread_s)
        seen.plates += guests
        for placed in booked.placed:
            seen.acts += len(placed.handlings)
            burnt, pale = self._colour(placed)
            seen.burnt_s.append(burnt)
            seen.pale_s.append(pale)

    def _colour(self, placed: Placed) -> tuple[int, int]:
        """Seconds past the late band and short of the early one, all stages; one left out is all pale."""
        problem, item = self.running.problem, placed.item
        burnt = pale = 0
        for stay in placed.stays:
            need = round(stay.asked_s + self.night.unseen_s(item.key, stay.stage))
            choices = item.choices(stay.stage, problem.bin_of(stay.end_s))
            early, late = next((c.band_s for c in choices if c.places >> stay.place & 1), (0, 0))
            stood = stay.end_s - stay.start_s
            burnt += max(0, stood - need - late)
            pale += max(0, need - early - stood)
        for stage in range(len(placed.stays), len(item.stages)):
            pale += item.choices(stage, 0)[0].seconds
        return burnt, pale


def _placed(schedule: Schedule) -> Iterable[Placed]:
    return (p for b in schedule.booked for p in b.placed)


def evening(night: Friday, policy: Policy) -> Seen:
    """What comes of that Friday on the house's hearth, run that way."""
    return Evening(night, policy, the_problem(night.tickets)).run()


def the_problem(tickets: tuple[Ticket, ...]) -> Problem:
    """Those tickets on the house's hearth with a Friday's people."""
    return replace(problem_of(HOUSE, tickets, CREW), together_s=TOGETHER_S)


def capacity(seed: int, rounds: int) -> float:
    """Dishes an hour that are landed from 19:00 to 20:30 when far too many are called."""
    landed = np.array(evening(friday(SWAMPED, seed), Planned(rounds)).landed_s)
    first, last = BUSY_S
    return float(((landed >= first) & (landed < last)).sum() * 3600 / (last - first))


def table(rows: dict[str, Seen]) -> str:
    """Ways of working side by side, in Markdown."""
    head = (
        "way of working",
        "late: mean / p50 / p90 / most (s)",
        "early: mean (s)",
        "within 60 s",
        "burnt / pale plates (s past the band)",
        "acts a plate",
        "told acts moved by > 2 s (> 10 s) at a ticket / at a mishap",
        "re-plan p50 / p99 (ms)",
        "recourse",
    )
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join(lines + [_line(name, seen) for name, seen in rows.items()])


def _line(name: str, s: Seen) -> str:
    late, ms = np.array(s.lateness_s), np.array(s.replan_ms)
    burnt, pale = np.array(s.burnt_s), np.array(s.pale_s)
    cells = (
        name,
        f"{late.mean():.0f} / {np.median(late):.0f} / {np.quantile(late, 0.9):.0f} / {late.max()}",
        f"{np.mean(s.early_s):.0f}",
        f"{100 * np.mean(np.array(s.apart_s) <= 60):.0f} %",
        f"{(burnt > 0).sum()} ({burnt.sum()}) / {(pale > 0).sum()} ({pale.sum()}) of {s.plates}",
        f"{s.acts / s.plates:.2f}",
        " / ".join(_told(s, why) for why in ("ticket", "mishap")),
        f"{np.median(ms):.0f} / {np.quantile(ms, 0.99):.0f}",
        ", ".join(f"{kind} {n}" for kind, n in sorted(Counter(r[2] for r in s.recourse).items())) or "none",
    )
    return "| " + " | ".join(cells) + " |"


def _told(seen: Seen, why: str) -> str:
    told, moved, far = seen.told.get(why, (0, 0, 0))
    return f"{100 * moved / max(1, told):.1f} % ({100 * far / max(1, told):.1f} %)"


def side_by_side(per_hour: float, seeds: Iterable[int], policies: Iterable[Policy]) -> dict[str, Seen]:
    """The same Fridays under each way of working."""
    rows = {}
    for policy in policies:
        rows[policy.name] = Seen()
        for seed in seeds:
            rows[policy.name].add(evening(friday(per_hour, seed), policy))
    return rows


def policies(rounds: int) -> list[Policy]:
    """The planner with nothing, two and five minutes in hand, and the rules."""
    return [*(Planned(rounds, in_hand) for in_hand in (0, 120, 300)), *(ByRule(rule) for rule in RULES)]


def main() -> None:
    """Dishes an hour, how many Fridays, rounds a re-plan."""
    if len(sys.argv) != 4:
        sys.exit("python benchmarks/rolling.py DISHES_AN_HOUR FRIDAYS ROUNDS, such as 80 10 300")
    per_hour, seeds = float(sys.argv[1]), range(1, 1 + int(sys.argv[2]))
    sys.stdout.write(table(side_by_side(per_hour, seeds, policies(int(sys.argv[3])))) + "\n")


if __name__ == "__main__":
    main()
