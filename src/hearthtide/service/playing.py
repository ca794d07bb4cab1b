"""One go at a running night: what is told is put into the plan, the planner asked, its plans adopted."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Protocol

from hearthtide.house.models import House
from hearthtide.house.night_file import NightFile
from hearthtide.planning.live import Slip, slips
from hearthtide.planning.night import Prepared
from hearthtide.planning.orders import course_of
from hearthtide.planning.problem import Handling, Stay
from hearthtide.planning.told import Running
from hearthtide.service.commands import Command, Event, Landed, MoveDone
from hearthtide.service.facts import Facts
from hearthtide.service.fire import Fire
from hearthtide.service.follow import Besides, Ground, Live, due, followed, nothing_yet
from hearthtide.service.heard import Heard
from hearthtide.service.night import Night
from hearthtide.service.open_orders import is_out, open_courses
from hearthtide.service.plan_told import OtherHouse, PlanMade, kept, schedule_of, with_drops
from hearthtide.service.planner_words import LOOKS, Answer, PlannerState, Refusal, Request, request_at, run_on
from hearthtide.service.promised import Promised
from hearthtide.service.show import shown
from hearthtide.service.shown import Shown, ShownPlanner

BY = "the plan"  # who says what nobody said
LANDED_S = 180.0  # a table nobody speaks of has left so long after its minute; own choice
BUDGET_S = 0.5  # of search for one plan; its first answer comes some milliseconds after it is asked
DRAW_S = 2.0  # of real time: screens are drawn anew so often while nothing happens; own choice
# While a table is late and nothing new happens the search is given so many more goes; own choice.
MORE, MORE_LOOKS, MORE_S = 2, (800,), 1.5
HUNG_S = 10.0  # of real time: a planner at work that says nothing for so long is killed; own choice
RETRY_S = 15.0  # of real time, before a planner that refused is asked again; own choice
# What leaves the plan as it is unless an act was early or late: nothing of the hearth's to be thought about.
IDLE = frozenset({"done", "plan", "reading", "waste", "handover", "landed"})

Came = Event | Answer | Refusal


@dataclass(frozen=True)
class Score:
    """What is played from: the house, the night its books foresee, and how that is made ready."""

    house: House
    books: NightFile
    prepare: Callable[[], Prepared]


class NightPlanner(Protocol):
    """What a running night needs of its planner: asked by number, seen into, killed when it is stuck."""

    def ask(self, request: Request) -> int: ...
    def state(self) -> PlannerState: ...
    def kill(self) -> None: ...


class Playing:
    """A night taken up from its log; `step` is called with whatever came, again and again.

    `clock` gives the seconds of the night, `real` those of a clock on the wall; `budget_s` of search ends a
    plan's longest look (None: only its rounds do).
    """

    def __init__(
        self,
        night: Night,
        score: Score,
        ready: Prepared,
        planner: NightPlanner,
        clock: Callable[[], float],
        show: Callable[[Shown], None],
        real: Callable[[], float] = time.monotonic,
        budget_s: float | None = BUDGET_S,
    ) -> None:
        # Without a budget every plan gets all its rounds, and the same night the same plans.
        self.budget_s, self.more, self.goes = budget_s, 0 if budget_s is None else MORE, 0
        self.night, self.score, self.planner = night, score, planner
        self.clock, self.show, self.real = clock, show, real
        self.ground = Ground(score.house, ready.problem, ready.stages)
        self.fire = Fire(ready, round(score.books.lit), score.books.ambient, score.house.oven.floor_band.low)
        self.heard, self.promised = Heard(score.house, ready), Promised()
        self.besides, self.odd = Besides(), ready.left_out
        self.left_out = ready.left_out
        self.refused, self.lands_s = "", dict[tuple[str, int], int]()
        self.live = self._taken_up()
        self.before = self.last = self.live.running  # as told before what happened last; as last kept
        self.slips = tuple[Slip, ...]()
        self.asked: tuple[int, Running] | None = None
        self.thinks = False  # whether a plan is asked for that has not come in full
        self.wanted, self.drawn, self.retry, self.heard_of = True, -DRAW_S, 0.0, self.real()

    def step(self, came: Iterable[Came]) -> None:
        """Takes in what came, says what is due, asks the planner where there is something to think about."""
        changed = self._taken_in(came)
        facts, now_s = self.night.state.facts, round(self.clock())
        self.fire.at(facts, now_s)
        if self._said_what_is_due(facts, now_s):
            return  # what was said comes back as events at once
        changed |= self._follow(facts, now_s, changed)
        self._look_after_planner()
        refused = bool(self.refused) and self.real() >= self.retry
        if (self.wanted or refused) and self.live.running.problem.orders:
            self.goes, self.before = 0, self.last
            self._ask(LOOKS, self.budget_s)
            self.thinks = True
        elif self.asked is None and 0 < self.goes <= self.more:
            self._ask(MORE_LOOKS, MORE_S)
        if changed or self.real() - self.drawn >= DRAW_S:
            self._draw(facts)

    def _taken_up(self) -> Live:
        """The plan the log holds, or the night before its first plan."""
        live, facts = nothing_yet(self.ground), self.night.state.facts
        if facts.plan is None:
            return live
        places = self.ground.problem.places
        planned = frozenset(p.key for o in facts.plan.orders for p in o.plates)
        courses = open_courses(self.score.house, self.ground.problem, self.ground.stages, facts, planned)
        orders = with_drops(courses, facts.plan)
        try:
            schedule = schedule_of(facts.plan, orders, places)
        except OtherHouse as err:
            self.left_out = (*self.left_out, str(err))
            return live
        problem = replace(live.running.problem, orders=orders)
        return replace(live, running=Running(problem, schedule, round(self.clock())))

    def _taken_in(self, came: Iterable[Came]) -> bool:
        changed = False
        for one in came:
            if isinstance(one, Event):
                if not one.refused:
                    self.heard.hear(one)
                    self.wanted |= one.command.what.kind not in IDLE
                    changed = True
            elif self.asked is not None and one.number == self.asked[0]:
                changed = True
                self._answered(one)
        return changed

    def _answered(self, answer: Answer | Refusal) -> None:
        assert self.asked is not None
        self.thinks = isinstance(answer, Answer) and not answer.last
        if isinstance(answer, Refusal):
            self.refused, self.retry = answer.why, self.real() + RETRY_S
            return
        self.refused = ""
        running = run_on(self.asked[1], answer)
        self.live = replace(self.live, running=running)
        if answer.last:
            self.slips, self.last = slips(self.before, running), running
            self.promised.of(running)
            self._keep(running)
            late = any(b.late_s > running.problem.late_after_s for b in running.schedule.booked)
            self.goes, self.asked = self.goes + 1 if late else 0, None

    def _keep(self, running: Running) -> None:
        """The plan written down, when it is another than the last."""
        state = self.night.state
        plan = kept(running.schedule, running.problem.places, state.seq)
        last = state.facts.plan
        if last is None or (last.orders, last.flame) != (plan.orders, plan.flame):
            self._say(f"plan-{state.seq}-{round(1000 * self.clock())}", self.clock(), plan)

    def _say(self, id: str, at_s: float, what: MoveDone | Landed | PlanMade) -> bool:
        return self.night.tell(Command(id, BY, at_s, what)).taken

    def _said_what_is_due(self, facts: Facts, now_s: int) -> bool:
        """Acts and landings whose time has come and gone, told as they were meant."""
        said = False
        self.live = replace(self.live, running=replace(self.live.running, now_s=now_s))
        if facts.dangers:
            return False  # people are at the way out: nothing is supposed to have been done
        for start_s, (item, act, nth) in due(self.live, facts, self.besides):
            if start_s < facts.danger_over_s:
                continue  # it fell into a danger: whether it was done is for people to say
            id = f"due-{item.replace('+', 'p')}-{act}-{nth}-{start_s}"
            said |= self._say(id, float(start_s), MoveDone(item, act, nth, assumed=True))
        for table, course, lands_s in self._left(facts):
            if lands_s + LANDED_S <= now_s:
                said |= self._say(f"left-{table}-{course}-{lands_s}", float(lands_s), Landed(table, course))
        return said

    def _left(self, facts: Facts) -> Iterator[tuple[str, int, int]]:
        """Courses with every plate off the hearth that nobody said have landed, and when they were to."""
        for booked in self.live.running.schedule.booked:
            self.lands_s[booked.order.ticket, course_of(booked.order)] = booked.landing_s
        for ticket in facts.tickets:
            for number, course in enumerate(ticket.courses, 1):
                own = [p for p in ticket.plates if p.course == number and not p.off]
                if course.landed_s is None and own and all(map(is_out, own)):
                    wanted_s = round(course.lands_s)
                    yield ticket.table, number, self.lands_s.get((ticket.table, number), wanted_s)

    def _follow(self, facts: Facts, now_s: int, changed: bool) -> bool:
        """Puts what is so into the plan; True when that changed something."""
        besides, odd = self.heard.besides(self.live.running, facts)
        besides = replace(besides, shut=self.fire.shut(facts, now_s))
        self.odd = (*self.left_out, *odd)
        cleared = any(shut.until_s <= now_s for shut in self.live.clearing)
        if not changed and not cleared and besides == self.besides:
            return False
        self.besides = besides
        before = _acts(self.live)
        self.live = followed(self.ground, self.live, facts, now_s, besides)
        running = self.live.running
        placed = {p.item.key for b in running.schedule.booked for p in b.placed}
        missing = any(item.key not in placed for order in running.problem.orders for item in order.items)
        now = _acts(self.live)
        self.wanted |= (missing and not self.refused) or any(
            before.get(key) != acts for key, acts in now.items()
        )
        return True

    def _ask(self, looks: tuple[int, ...], budget_s: float | None) -> None:
        running = self.live.running
        number = self.planner.ask(request_at(running, 1 + self.goes, looks, budget_s))
        self.asked, self.wanted = (number, running), False
        self.retry = self.real() + RETRY_S

    def _look_after_planner(self) -> None:
        """Kills a planner that has got stuck: it is started again, and asked the same."""
        if self.planner.state().condition != "planning":
            self.heard_of = self.real()
        elif self.real() - self.heard_of > HUNG_S:
            self.heard_of = self.real()
            self.planner.kill()

    def _draw(self, facts: Facts) -> None:
        self.drawn = self.real()
        state, running = self.planner.state(), self.live.running
        made_s = None if state.last is None else state.last.made_s
        condition = "down" if self.refused and state.condition == "ready" else state.condition
        planner = ShownPlanner(condition, made_s, state.behind, state.plain, self.refused or state.trouble)
        fire = self.fire.shown(facts, running.now_s)
        landed, seq = self.promised.by_order, self.night.state.seq
        house = self.score.house
        self.show(shown(house, self.live, facts, seq, planner, fire, landed, self.slips, self.odd))


def _acts(live: Live) -> dict[str, tuple[tuple[Stay, ...], tuple[Handling, ...]]]:
    """What is done where and when, by plate.

    Neither a landing that was told, nor a table that has left, is anything to think about.
    """
    placed = (p for b in live.running.schedule.booked for p in b.placed)
    return {p.item.key: (p.stays, p.handlings) for p in placed}
