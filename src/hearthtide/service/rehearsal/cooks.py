"""A rehearsed cook: does the shown moves in order, a little off, and says little of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from numpy.random import Generator

from hearthtide.planning.told import Running
from hearthtide.service.commands import FlameSet, MoveDone, NotYet, StageSeen
from hearthtide.service.facts import Facts
from hearthtide.service.rehearsal.manner import Manner
from hearthtide.service.rehearsal.says import Says
from hearthtide.service.rehearsal.truth import ENDS, Truth
from hearthtide.service.shown import Shown, ShownMove

EARLY_S = 1.0  # a hand begins so much before the second it was told
WORTH_S = 10.0  # what is sooner or later by less is not worth a word; own choice
LEAST_S = 2.0  # no act is quicker


@dataclass(frozen=True)
class Hand:
    """An act being done, or about to be once what holds the cook up is over."""

    move: ShownMove
    from_s: float
    until_s: float


class Cook:
    """One pair of hands. `step` is called every second or so with what the screen shows."""

    def __init__(self, name: str, truth: Truth, manner: Manner, dice: Generator, says: Says) -> None:
        self.name, self._truth, self._manner, self._dice, self._says = name, truth, manner, dice, says
        self._hand: Hand | None = None
        self._said: set[tuple[str, int]] = set()  # plates and stages whose end was spoken of
        self._contradicted: set[tuple[str, str, int]] = set()

    def step(self, now_s: float, shown: Shown, facts: Facts, running: Running) -> None:
        """Ends what is in hand, says what is to be said, begins what is next."""
        if self._hand is not None:
            if now_s < self._hand.until_s:
                return
            self._ended(self._hand, facts, running)
        if any(since.name == self.name for since in facts.cooks_out):
            return
        mine = [m for m in _in_order(shown.moves) if m.cook == self.name and self._open(m, facts)]
        self._look(now_s, mine, facts)
        for move in mine:
            if move.start_s <= now_s + EARLY_S and self._can(move, now_s, shown, facts):
                self._begin(move, now_s)
                return

    def _open(self, move: ShownMove, facts: Facts) -> bool:
        if self._truth.is_done(move):
            return False
        if not move.table:
            return True
        plate = facts.plate(move.item)
        return plate is not None and not plate.off

    def _can(self, move: ShownMove, now_s: float, shown: Shown, facts: Facts) -> bool:
        """Whether all before it on its plate is really done, its stage too."""
        if not move.table:
            return True
        for other in shown.moves:
            if other.item == move.item and _before(other, move) and not self._truth.is_done(other):
                return False
        done_s = self._truth.done_s(move.item) if move.act in ENDS else None
        return done_s is None or done_s <= now_s

    def _begin(self, move: ShownMove, now_s: float) -> None:
        held_s = 0.0
        if self._dice.random() < self._manner.held_up:
            held_s = float(self._dice.uniform(*self._manner.held_up_s))
        if held_s > WORTH_S and move.table and self._dice.random() < self._manner.says:
            self._says(self.name, NotYet(move.item, move.act, round(held_s, 1), move.nth))
        spread = 1.0 + self._manner.hands * float(self._dice.standard_normal())
        hands_s = max(LEAST_S, move.hands_s * spread)
        self._hand = Hand(move, now_s + held_s, now_s + held_s + hands_s)

    def _ended(self, hand: Hand, facts: Facts, running: Running) -> None:
        self._hand = None
        move = hand.move
        self._truth.done(move, hand.from_s, hand.until_s, running)
        if self._dice.random() >= self._manner.taps:
            return
        plate = facts.plate(move.item)
        if plate is not None and not plate.off:
            self._says(self.name, MoveDone(move.item, move.act, move.nth), hand.until_s)
        elif move.act == "flame":
            self._says(self.name, FlameSet(move.words.rpartition(" ")[2]), hand.until_s)

    def _look(self, now_s: float, mine: Iterable[ShownMove], facts: Facts) -> None:
        """Speaks of stages that end otherwise than told, as an eye on the plate sees it."""
        for move in mine:
            done_s = self._truth.done_s(move.item) if move.act in ENDS else None
            if done_s is None:
                continue
            due = move.start_s <= now_s + EARLY_S
            if due and done_s > now_s + EARLY_S:
                if _assumed(move, facts):
                    self._contradict(move, done_s - now_s)
                else:
                    self._speak(move, done_s, always=True)
            elif done_s <= now_s < move.start_s - WORTH_S:
                self._speak(move, now_s, always=False)

    def _contradict(self, move: ShownMove, late_s: float) -> None:
        """What was taken as done is not: food that is not done is never pulled in silence."""
        key = (move.item, move.act, move.nth)
        if key not in self._contradicted:
            self._contradicted.add(key)
            self._says(self.name, NotYet(move.item, move.act, round(late_s, 1), move.nth))

    def _speak(self, move: ShownMove, done_s: float, always: bool) -> None:
        """When the stage a plate is in will be done, once a stage."""
        key = (move.item, self._truth.plates[move.item].begun)
        if key not in self._said:
            self._said.add(key)
            if always or self._dice.random() < self._manner.says:
                self._says(self.name, StageSeen(move.item, round(done_s, 1)))


def _in_order(moves: Iterable[ShownMove]) -> list[ShownMove]:
    return sorted(moves, key=lambda m: m.start_s)


def _before(other: ShownMove, move: ShownMove) -> bool:
    return other.start_s < move.start_s


def _assumed(move: ShownMove, facts: Facts) -> bool:
    plate = facts.plate(move.item)
    return plate is not None and any(d.assumed and (d.act, d.nth) == (move.act, move.nth) for d in plate.done)
