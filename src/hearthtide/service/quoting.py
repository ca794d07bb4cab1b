"""The minute a table at the door can be told, by a planner of its own: the night's is not kept waiting."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace

from hearthtide.errors import HearthtideError
from hearthtide.house.models import House
from hearthtide.planning.build import fitting_drops
from hearthtide.planning.night import Prepared
from hearthtide.planning.orders import courses_of, numbered
from hearthtide.planning.problem import Order, Problem, Reality, Schedule
from hearthtide.planning.quote import Quote, quotes
from hearthtide.planning.replan import soonest_s
from hearthtide.planning.told import Running
from hearthtide.service.planner import Planner
from hearthtide.service.planner_words import Answer, Refusal, Request
from hearthtide.service.tickets import Ticket, file_of

BUDGET_S = 0.3  # of search for each of a quote's two plans; own choice
LONGEST_S = 5.0  # a quote that takes longer is given up; own choice
SAMPLES = 300  # a share is then known to within 0.025; own choice
LOOKS = (40, 300)  # rounds of search


class NoQuote(HearthtideError):
    """No minute can be told just now; the message says why and what to do."""


class Quoting:
    """Answers one quote at a time; others wait their turn. Close it when the night is over."""

    def __init__(self, house: House, ready: Prepared, clock: Callable[[], float]) -> None:
        self._house, self._ready, self._clock = house, ready, clock
        self._turn = threading.Lock()
        self._came = threading.Condition()
        self._answer: Answer | Refusal | None = None
        self._planner = Planner(clock, self._heard, ready.problem.places)

    def close(self) -> None:
        """Ends its planner."""
        self._planner.close()

    def quote(self, ticket: Ticket, running: Running) -> tuple[Quote, Quote]:
        """As soon as can be, and without making others wait, with all else that is being run.

        The ticket's own minutes do not count.

        Raises
        ------
        NoQuote
            A plate fits nowhere, or the planner does not answer.
        """
        with self._turn:
            now_s = round(self._clock())
            running = replace(running, now_s=now_s)
            orders = door_orders(self._house, self._ready, ticket, now_s)
            return quotes(running, orders, self._search, samples=SAMPLES)

    def _search(self, problem: Problem, reality: Reality, told: Schedule) -> Schedule:
        request = Request(problem, reality, told, looks=LOOKS, budget_s=BUDGET_S)
        with self._came:
            self._answer = None
            number = self._planner.ask(request)
            done = self._came.wait_for(lambda: self._is_last(number), LONGEST_S)
            answer = self._answer
        if not done or answer is None:
            raise NoQuote("the planner is still getting ready. Ask again in a few seconds.")
        if isinstance(answer, Refusal):
            raise NoQuote(answer.why)
        return answer.schedule

    def _heard(self, answer: Answer | Refusal) -> None:
        with self._came:
            self._answer = answer
            self._came.notify_all()

    def _is_last(self, number: int) -> bool:
        answer = self._answer
        if answer is None or answer.number != number:
            return False
        return isinstance(answer, Refusal) or answer.last


def door_orders(house: House, ready: Prepared, ticket: Ticket, now_s: int) -> tuple[Order, ...]:
    """A table's plates as orders called now and wanted as soon as an empty hearth could have them."""
    base = replace(ready.problem, orders=())
    courses = courses_of(house, file_of(ticket), base.places, ready.stages)
    soon = (replace(c, called_s=now_s, wanted_s=soonest_s(base, Reality(now_s), c)) for c in courses)
    return numbered(drop for course in soon for drop in fitting_drops(base, course))
