"""A schedule laid open for its proof: whose acts, what is fixed, and what each stay was asked.

Every rule the plan promises is written down again in this room; nothing here asks the search.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from hearthtide.house.models import Act
from hearthtide.planning.problem import (
    Begun,
    Choice,
    Handling,
    Item,
    Order,
    Placed,
    Problem,
    Reality,
    Recourse,
    Schedule,
    Stay,
)

BEGINS: tuple[Act, ...] = ("launch", "move", "load")
TURNS: tuple[Act, ...] = ("turn", "spin", "flip")
HALF_HOUR_S = 1800  # a stage's times hold for half an hour of the night
LEAST_S = 20  # nothing shorter is a stage
GIVE, GIVE_LEAST_S, GIVE_MOST_S = 0.04, 3, 15  # what the hands may miss a stage by where no band is given


@dataclass(frozen=True)
class Fault:
    """One way in which a schedule is wrong: which rule, about whom, and what was found."""

    name: str
    about: str
    detail: str

    def __str__(self) -> str:
        return f"{self.name}: {self.about}: {self.detail}"


@dataclass(frozen=True)
class Asked:
    """What a stage asks at a place and minute: seconds, how much sooner and later, price and pause."""

    seconds: int
    early_s: int
    late_s: int
    places: int
    off_per_s: float
    recovery_s: int

    def holds(self, place: int) -> bool:
        return place >= 0 and bool(self.places >> place & 1)


@dataclass(frozen=True)
class Row:
    """An item of the schedule, the order it lands with, and how much of it had begun."""

    placed: Placed
    order: Order
    landing_s: int
    begun: Begun | None

    @property
    def item(self) -> Item:
        return self.placed.item

    @property
    def key(self) -> str:
        return self.placed.item.key

    @cached_property
    def acts(self) -> tuple[Handling, ...]:
        return tuple(sorted(self.placed.handlings, key=lambda h: (h.start_s, h.start_s + h.hands_s)))

    def fixed(self, stay: Stay) -> bool:
        """Whether the stay had begun, or been told, before the schedule was made."""
        return self.begun is not None and stay.stage < len(self.begun.stays)

    def set_before(self, act: Handling) -> bool:
        """Whether the act was done or told before the schedule was made."""
        return self.begun is not None and act in self.begun.handlings

    def begin(self, stage: int) -> Handling | None:
        return next((h for h in self.acts if h.stage == stage and h.act in BEGINS), None)

    def pull(self, stage: int) -> Handling | None:
        return next((h for h in self.acts if h.stage == stage and h.act == "pull"), None)

    @property
    def going_on(self) -> int:
        """The number of the last stage that had begun; -1 when none had."""
        return len(self.begun.stays) - 1 if self.begun else -1


@dataclass(frozen=True)
class Night:
    """A problem with its schedule, and the moment they were made at."""

    problem: Problem
    schedule: Schedule
    reality: Reality | None
    running: Schedule | None

    @property
    def now_s(self) -> int:
        return self.problem.from_s if self.reality is None else self.reality.now_s

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        begun = {} if self.reality is None else {b.item: b for b in self.reality.begun}
        return tuple(
            Row(placed, booked.order, booked.landing_s, begun.get(placed.item.key))
            for booked in self.schedule.booked
            for placed in booked.placed
        )

    @cached_property
    def recourse(self) -> dict[str, Recourse]:
        return {one.item: one for one in self.schedule.recourse}

    def stays(self) -> Iterator[tuple[Row, Stay]]:
        for row in self.rows:
            for stay in row.placed.stays:
                yield row, stay

    def options(self, item: Item, stage: int, end_s: int) -> list[Asked]:
        """What the stage asks when it ends then, by wish; empty for a stage the item has not."""
        if not 0 <= stage < len(item.stages):
            return []
        by_bin = item.stages[stage].choices
        number = min(max((end_s - self.problem.from_s) // HALF_HOUR_S, 0), len(by_bin) - 1)
        return [self._asked(choice, item.pace[stage]) for choice in by_bin[number]]

    def _asked(self, choice: Choice, pace: float) -> Asked:
        seconds = choice.seconds if pace == 1 else max(LEAST_S, round(choice.seconds * pace))
        give = max(GIVE_LEAST_S, min(GIVE_MOST_S, round(GIVE * seconds)))
        return Asked(
            seconds,
            give if choice.early_s < 0 else choice.early_s,
            give if choice.late_s < 0 else choice.late_s,
            choice.places,
            choice.off_per_s,
            self.problem.recovery_s if choice.recovery_s < 0 else choice.recovery_s,
        )

    def asked(self, row: Row, stay: Stay) -> Asked | None:
        """What was asked of the stay: the wish that holds its place and its seconds, else its place.

        Where no wish holds the place the first one counts: food that has begun may stand anywhere.
        """
        options = self.options(row.item, stay.stage, stay.end_s)
        here = [a for a in options if a.holds(stay.place)] or options[:1]
        return next((a for a in here if a.seconds == stay.asked_s), here[0] if here else None)

    def due_s(self, row: Row, stay: Stay) -> int:
        """When the stay should end: as thought when the schedule was made, for what had begun."""
        if row.begun is not None and stay.stage == row.going_on:
            ended = any(h.stage == stay.stage and h.act == "pull" for h in row.begun.handlings)
            if not ended:
                return row.begun.stays[-1].end_s
        return stay.start_s + stay.asked_s

    def missed_s(self, row: Row, stay: Stay) -> int:
        """Seconds by which the stay ends outside its band; 0 inside it."""
        asked = self.asked(row, stay)
        if asked is None:
            return 0
        due = self.due_s(row, stay)
        return max(0, due - asked.early_s - stay.end_s, stay.end_s - due - asked.late_s)


def clock(time_s: int) -> str:
    """Seconds of the day as a cook reads them.

    >>> clock(68_405)
    '19:00:05'
    """
    return f"{time_s // 3600:02d}:{time_s // 60 % 60:02d}:{time_s % 60:02d}"
