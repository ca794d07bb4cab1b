"""A night told to the service: the invented house of the examples, a clock set by hand, short commands."""

from __future__ import annotations

from functools import cache
from itertools import count
from pathlib import Path

from hearthtide.house.files import read_house
from hearthtide.service import commands as told
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.log import Log, MemoryLog
from hearthtide.service.night import Answer, Night
from hearthtide.service.tickets import Course, Plate, Ticket

AT_S = 19 * 3600.0
HOUSE = Path(__file__).parents[2] / "examples" / "brindlecote"


@cache
def kitchen() -> Kitchen:
    return Kitchen(read_house(HOUSE))


def ticket(
    table: str = "B4", dishes: str = "pizza strip_steak shrimp", wanted_s: float = AT_S + 1320, **other
):
    """A ticket of one course; `later` adds a second, 20 min after it."""
    later = other.pop("later", "")
    courses = [Course(wanted_s, tuple(map(Plate, dishes.split())))]
    if later:
        courses.append(Course(wanted_s + 1200, tuple(map(Plate, later.split()))))
    return Ticket(table, other.pop("covers", 2), other.pop("called_s", AT_S), tuple(courses), **other)


def called(table: str = "B4", dishes: str = "pizza strip_steak shrimp", **other) -> told.TicketCalled:
    return told.TicketCalled(ticket(table, dishes, **other), "tapped")


class Told:
    """A night and its clock; what is said gets an id and the clock's time unless told otherwise."""

    def __init__(self, log: Log | None = None) -> None:
        self.now_s = AT_S
        self.log = MemoryLog() if log is None else log
        self.ids = (f"device-a-{n}" for n in count(1))
        self.night = Night(self.log, kitchen(), lambda: self.now_s)

    def say(self, what: told.What, at_s: float | None = None, id: str = "", by: str = "Ana") -> Answer:
        command = told.Command(id or next(self.ids), by, self.now_s if at_s is None else at_s, what)
        return self.night.tell(command)

    def taken(self, what: told.What, **how) -> Answer:
        """Says what must be taken."""
        answer = self.say(what, **how)
        assert answer.taken, answer.words
        return answer

    def refused(self, what: told.What, **how) -> str:
        """Says what must be refused; gives the words."""
        before = self.night.state.facts
        answer = self.say(what, **how)
        assert not answer.taken
        assert "\n" not in answer.words and answer.words.endswith((".", "?"))
        assert self.night.state.facts == before
        return answer.words

    @property
    def facts(self):
        return self.night.state.facts
