"""The guests, who call their tickets at their minutes, and the pass, where plates are brought together."""

from __future__ import annotations

from collections.abc import Iterable

from numpy.random import Generator

from hearthtide.house.models import House
from hearthtide.house.night_file import TicketFile
from hearthtide.planning.told import Running
from hearthtide.service.commands import Landed, TicketCalled
from hearthtide.service.facts import Facts, LiveTicket
from hearthtide.service.rehearsal.manner import Manner
from hearthtide.service.rehearsal.says import Says
from hearthtide.service.rehearsal.truth import Truth
from hearthtide.service.tickets import ticket_of

ROOM, PASS = "Room", "Pass"  # who says what guests and plates do
CourseKey = tuple[str, int]


class Guests:
    """Tickets called at their minutes."""

    def __init__(self, tickets: Iterable[TicketFile], says: Says) -> None:
        self._to_come = sorted(tickets, key=lambda t: t.called)
        self._says = says

    @property
    def next_s(self) -> float | None:
        """When the next ticket is called; None when all are."""
        return self._to_come[0].called if self._to_come else None

    def step(self, now_s: float) -> None:
        while self._to_come and self._to_come[0].called <= now_s:
            ticket = self._to_come.pop(0)
            self._says(ROOM, TicketCalled(ticket_of(ticket), "tapped"), ticket.called)


class Pass:
    """Sends a course once all its plates are really ready and plated; says so now and then."""

    def __init__(self, house: House, truth: Truth, manner: Manner, dice: Generator, says: Says) -> None:
        self._house, self._truth, self._manner, self._dice, self._says = house, truth, manner, dice, says
        self.landed: dict[CourseKey, float] = {}
        self.drops: dict[str, float] = {}  # orders, when their last plate was plated
        self.apart_s: dict[str, float] = {}  # between an order's first plate ready and its last

    def step(self, now_s: float, facts: Facts, running: Running) -> None:
        for booked in running.schedule.booked:
            keys = [p.item.key for p in booked.placed]
            if booked.order.key not in self.drops:
                self._drop(booked.order.key, keys, now_s, facts)
        for ticket in facts.tickets:
            for number, course in enumerate(ticket.courses, 1):
                if (ticket.table, number) not in self.landed:
                    self._course(ticket, number, now_s, course.landed_s is None)

    def _drop(self, order: str, keys: list[str], now_s: float, facts: Facts) -> None:
        made = [key for key in keys if (plate := facts.plate(key)) is not None and not plate.off]
        ready = self._ready(made)
        if ready and (lands_s := max(ready) + self._house.file.plating) <= now_s:
            self.drops[order] = lands_s
            self.apart_s[order] = max(ready) - min(ready)

    def _course(self, ticket: LiveTicket, number: int, now_s: float, is_open: bool) -> None:
        ready = self._ready([p.key for p in ticket.plates if p.course == number and not p.off])
        if not ready or (lands_s := max(ready) + self._house.file.plating) > now_s:
            return
        self.landed[ticket.table, number] = lands_s
        if is_open and self._dice.random() < self._manner.lands:
            self._says(PASS, Landed(ticket.table, number), lands_s)

    def _ready(self, keys: list[str]) -> list[float]:
        """When each of these plates was ready; empty while one of them is not."""
        found = [self._truth.is_ready(key, self._cut(key)) for key in keys]
        return [] if None in found else [one for one in found if one is not None]

    def _cut(self, key: str) -> bool:
        plate = self._truth.plates.get(key)
        return plate is not None and self._house.dishes[plate.dish].cut
