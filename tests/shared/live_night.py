"""A small night run live in one thread: a clock set by hand, plans made on the spot. Invented."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from itertools import count

from hearthtide.house.files import oven_design
from hearthtide.oven.readings import settled_state
from hearthtide.planning.build import dish_stages, house_choices
from hearthtide.planning.draw import Draw
from hearthtide.planning.engine.search import Unplaceable, search
from hearthtide.planning.flame import FlamePlan, Held, QuickNight
from hearthtide.planning.night import Prepared
from hearthtide.planning.proof.prove import prove
from hearthtide.planning.response import Moment
from hearthtide.service import commands as told
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.log import Log, MemoryLog
from hearthtide.service.night import Answer, Night
from hearthtide.service.planner_words import Answer as PlanFound
from hearthtide.service.planner_words import PlannerState, Refusal, Request
from hearthtide.service.playing import Came, Playing, Score
from hearthtide.service.shown import Shown
from hearthtide.service.tickets import Course, Plate, Ticket
from small_night import MIXED, clock, places_of, problem_of, quick_oven, small_house

ROUNDS = 40  # of search for each plan


@cache
def ready(cooks: int = 1) -> Prepared:
    """The small house's night on the house's own minutes; its oven burns at one level from noon on."""
    house = small_house(cooks)
    places = places_of(house)
    stages = dish_stages(
        house,
        {
            (key, n): house_choices(dish, n, places) or ()
            for key, dish in house.dishes.items()
            for n in range(len(dish.stages))
        },
    )
    design = oven_design(house)
    oven = quick_oven(design)
    moment = Moment(settled_state(oven, 360.0, hours=2.0), design.levels[2].power_W)
    lit_s = round(MIXED.lit)
    flame = FlamePlan((Held(lit_s, design.levels[len(design.levels) // 2]),), lit_s + 3600)
    ahead = QuickNight(oven, Draw((), ()))
    return Prepared(problem_of(house, MIXED), stages, (), oven, (moment,), flame, ahead)


class PlannerHere:
    """A planner that searches when asked; what it found waits until it is `taken`, each plan proved."""

    def __init__(self, clock: Callable[[], float] = lambda: 0.0) -> None:
        self.clock = clock
        self.numbers, self.found, self.asked = count(1), list[Came](), 0
        self.last: PlanFound | None = None

    def ask(self, request: Request) -> int:
        self.asked += 1
        number = next(self.numbers)
        try:
            schedule = search(
                request.problem, request.reality, request.running, seed=request.seed, rounds=ROUNDS
            )
        except Unplaceable as err:
            self.found = [Refusal(number, f"{err.order.key} fits nowhere")]
            return number
        faults = prove(request.problem, schedule, request.reality, request.running)
        assert not faults, faults
        self.last = PlanFound(number, schedule, ROUNDS, True, False, self.clock())
        self.found = [self.last]
        return number

    def state(self) -> PlannerState:
        return PlannerState("ready", self.last, 0.0, False, False, "", 1, 1, 0.0)

    def kill(self) -> None:
        raise AssertionError("a planner that answers at once is never stuck")

    def taken(self) -> list[Came]:
        found, self.found = self.found, []
        return found


class LiveNight:
    """A night told and planned at once; `shown` is what screens draw. The small house's unless scored."""

    def __init__(
        self, now: str = "18:00", cooks: int = 1, log: Log | None = None, score: Score | None = None
    ) -> None:
        self.now_s = float(clock(now))
        self.log = MemoryLog() if log is None else log
        if score is None:
            score = Score(small_house(cooks), MIXED, lambda: ready(cooks))
        self.house = score.house
        self.night = Night(self.log, Kitchen(self.house), lambda: self.now_s)
        self.planner = PlannerHere(lambda: self.now_s)
        self.drawn, self.came = list[Shown](), list[Came]()
        self.night.listen(lambda _, event: self.came.append(event))
        self.ids = (f"device-a-{n}" for n in count(1 + self.night.state.seq))
        self.playing = Playing(
            self.night,
            score,
            score.prepare(),
            self.planner,
            lambda: self.now_s,
            self.drawn.append,
            lambda: self.now_s,
        )
        self.settle()

    def tell(self, what: told.What, at_s: float | None = None, by: str = "Ana") -> Answer:
        """Tells something and lets the plan follow."""
        at_s = self.now_s if at_s is None else at_s
        answer = self.night.tell(told.Command(next(self.ids), by, at_s, what))
        self.settle()
        return answer

    def call(self, table: str, wanted: str, dishes: str) -> Answer:
        """Calls a ticket of one course."""
        course = Course(float(clock(wanted)), tuple(map(Plate, dishes.split())))
        return self.tell(told.TicketCalled(Ticket(table, 2, self.now_s, (course,)), "tapped"))

    def until(self, then: str | float, step_s: float = 10.0) -> None:
        """Lets the time pass, as a clock that is looked at every few seconds."""
        until_s = float(clock(then)) if isinstance(then, str) else then
        while self.now_s < until_s:
            self.now_s = min(until_s, self.now_s + step_s)
            self.settle()

    def settle(self) -> None:
        """Steps until nothing more comes."""
        for _ in range(20):
            came, self.came = [*self.came, *self.planner.taken()], []
            self.playing.step(came)
            if not self.came and not self.planner.found:
                return
        raise AssertionError("the plan never comes to rest")

    @property
    def shown(self) -> Shown:
        return self.drawn[-1]

    @property
    def placed(self) -> dict[str, object]:
        """The plates of the plan being run, by key."""
        return {p.item.key: p for b in self.playing.live.running.schedule.booked for p in b.placed}
