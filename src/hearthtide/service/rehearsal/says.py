"""How the people of a rehearsal tell the night something: as devices do, under ids, again until answered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from hearthtide.errors import StoreError
from hearthtide.service.commands import Command, What
from hearthtide.service.night import Answer


class Says(Protocol):
    """Tells what `by` says, seen at `at_s` (None: now)."""

    def __call__(self, by: str, what: What, at_s: float | None = None) -> None: ...


@dataclass
class Telling:
    """A queue as a tablet keeps it; `answered` are the ids the board acknowledged, to be found in the log.

    `tell` gives the board's answer or raises StoreError, `clock` the seconds of the night.
    """

    tell: Callable[[Command], Answer]
    clock: Callable[[], float]
    name: str = "rehearsal"
    waiting: list[Command] = field(default_factory=list)
    answered: list[str] = field(default_factory=list)
    refused: Counter[str] = field(default_factory=Counter)
    told: int = 0

    def __call__(self, by: str, what: What, at_s: float | None = None) -> None:
        self.told += 1
        now_s = self.clock()
        seen_s = now_s if at_s is None else min(at_s, now_s)
        self.waiting.append(Command(f"{self.name}-{self.told:06}", by, round(seen_s, 3), what))
        self.send()

    def send(self) -> None:
        """Sends what waits, in order, until the board does not answer."""
        while self.waiting:
            try:
                answer = self.tell(self.waiting[0])
            except StoreError:
                return  # it stays in the queue, as on a tablet
            self.answered.append(answer.id)
            if not answer.taken:
                self.refused[f"{self.waiting[0].what.kind}: {answer.words}"] += 1
            del self.waiting[0]
