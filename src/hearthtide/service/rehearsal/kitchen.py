"""A rehearsed kitchen: its cooks, guests, pass, oven and upsets, a second at a time."""

from __future__ import annotations

from numpy.random import Generator, SeedSequence, default_rng

from hearthtide.errors import Finding, InputError
from hearthtide.house.models import House
from hearthtide.house.night_file import NightFile
from hearthtide.house.upsets_file import UpsetsFile
from hearthtide.planning.night import Prepared
from hearthtide.planning.told import Running
from hearthtide.quantities.show import clock_text
from hearthtide.service.facts import Facts
from hearthtide.service.rehearsal.cooks import Cook
from hearthtide.service.rehearsal.hearth import Hearth
from hearthtide.service.rehearsal.manner import EXACT, Manner
from hearthtide.service.rehearsal.people import Guests, Pass
from hearthtide.service.rehearsal.says import Telling
from hearthtide.service.rehearsal.truth import Truth
from hearthtide.service.rehearsal.upsets import Machinery, Upsets
from hearthtide.service.shown import Shown

AFTER_S = 1800.0  # after its last minute a night that has not landed all is over; own choice


class RehearsedKitchen:
    """Everybody in it, drawn from one seed; they see what is shown and tell what they tell through `says`."""

    def __init__(
        self,
        house: House,
        books: NightFile,
        file: UpsetsFile,
        ready: Prepared,
        says: Telling,
        machinery: Machinery,
        seed: int,
    ) -> None:
        manner = EXACT if file.exact else Manner()
        food, oven, hands, at_pass = (default_rng(s) for s in SeedSequence(seed).spawn(4))
        self.says, self.truth = says, Truth(house, manner, food)
        self.first_cook = house.file.cooks[0].name
        self.guests = Guests(books.tickets, says)
        self.passed = Pass(house, self.truth, manner, at_pass, says)
        self.hearth = Hearth(ready, round(books.lit), books.ambient, manner, oven, says)
        burns_gas = house.oven.fuel != "wood"
        self.upsets = Upsets(file.upsets, self.first_cook, burns_gas, says, machinery)
        self.cooks = self._cooks(house, manner, hands)
        self.last_s = self._last_s(books, file)

    def _cooks(self, house: House, manner: Manner, dice: Generator) -> tuple[Cook, ...]:
        return tuple(Cook(c.name, self.truth, manner, dice, self.says) for c in house.file.cooks)

    def _last_s(self, books: NightFile, file: UpsetsFile) -> float:
        if file.until is not None:
            return file.until
        walk_in = [u.ticket.wanted for u in file.upsets if u.ticket is not None]
        return max([t.wanted for t in books.tickets] + walk_in) + AFTER_S

    def step(self, now_s: float, shown: Shown, facts: Facts, running: Running) -> None:
        """What everybody does and says by now."""
        self.says.send()
        self.upsets.step(now_s)
        self.guests.step(now_s)
        self.hearth.step(now_s, facts, self.first_cook)
        for cook in self.cooks:
            cook.step(now_s, shown, facts, running)
        self.passed.step(now_s, facts, running)

    def is_over(self, now_s: float, facts: Facts) -> bool:
        """Whether nothing more is to come: all called and landed, or it has gone on for long enough."""
        if now_s >= self.last_s:
            return True
        open_ = any(c.landed_s is None and not c.held for t in facts.tickets for c in t.courses)
        return self.guests.next_s is None and self.upsets.next_s is None and bool(facts.tickets) and not open_


def rehearsed_books(books: NightFile, file: UpsetsFile) -> NightFile:
    """The night with those of its tickets that are called while it is rehearsed.

    Raises InputError when there are none: nothing would be rehearsed.
    """
    until_s = float("inf") if file.until is None else file.until
    tickets = tuple(t for t in books.tickets if first_s(books, file) <= t.called < until_s)
    if not tickets:
        expected = "a time with tickets of the night called after it"
        finding = Finding(file.name, 0, "from", clock_text(first_s(books, file)), expected, "Correct it.")
        raise InputError((finding,))
    return books.model_copy(update={"tickets": tickets})


def first_s(books: NightFile, file: UpsetsFile) -> float:
    """The second a rehearsal begins with."""
    return books.doors if file.from_s is None else file.from_s
