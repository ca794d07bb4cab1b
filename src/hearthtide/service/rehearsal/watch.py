"""What a rehearsal writes down while it runs: promises, told moves that changed, how soon plans came."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

from hearthtide.planning.cost import SAME_S
from hearthtide.planning.told import TOLD_S
from hearthtide.service.commands import Event
from hearthtide.service.facts import Facts
from hearthtide.service.playing import IDLE
from hearthtide.service.rehearsal.spoken import Ear, calls_now
from hearthtide.service.shown import Shown, ShownHouse, ShownMove

MoveKey = tuple[str, str, int]


@dataclass(frozen=True)
class Promised:
    """What a table's room was first told, and how often that was to hold."""

    minute_s: float
    holds: float
    at_s: float


@dataclass(frozen=True)
class ToldAnew:
    """A move told for the next minute that was then shown otherwise."""

    at_s: float
    item: str
    act: str
    was_s: float
    is_s: float | None
    elsewhere: bool
    unasked: bool  # nobody had said anything that it could be due to


class Watch:
    """Takes every event and everything shown, in order, on one thread at a time."""

    def __init__(self, house: ShownHouse, real: Callable[[], float] = time.perf_counter) -> None:
        self._house, self._real = house, real
        self._open: list[tuple[int, float]] = []  # events that wait for their plan: seq, when heard
        self._last: Shown | None = None
        self._spoken_of: set[str] = set()  # plates somebody said something of since the last drawing
        self._asked = False  # whether anybody said anything that may change a plan since then
        self.promised: dict[tuple[str, int], Promised] = {}
        self.took_s: list[float] = []
        self.changed: list[ToldAnew] = []
        self.told: set[MoveKey] = set()
        self.trouble: list[tuple[float, str]] = []
        self.left_out: dict[str, float] = {}
        self.ear = Ear()

    def event(self, seq: int, event: Event) -> None:
        what = event.command.what
        if event.refused:
            return
        if what.kind not in IDLE:
            self._open.append((seq, self._real()))
            self._asked = True
        item = getattr(what, "item", None)
        if item is not None and not getattr(what, "assumed", False):
            self._spoken_of.add(item)
            self._asked = True

    def shown(self, shown: Shown) -> None:
        if not shown.planner.behind:
            now = self._real()
            self.took_s += [now - heard for seq, heard in self._open if seq <= shown.seq]
            self._open = [one for one in self._open if one[0] > shown.seq]
        for landing in shown.landings:
            key = (landing.table, landing.course)
            if landing.holds is not None and (key not in self.promised):
                self.promised[key] = Promised(landing.honest_s, landing.holds, shown.now_s)
        if shown.planner.trouble and (not self.trouble or self.trouble[-1][1] != shown.planner.trouble):
            self.trouble.append((shown.now_s, shown.planner.trouble))
        for words in shown.left_out:
            self.left_out.setdefault(words, shown.now_s)
        if self._last is not None:
            self._changed(self._last, shown)
        self._last, self._asked = shown, shown.planner.behind and self._asked
        self._spoken_of = set()

    def hear(self, shown: Shown, facts: Facts, now_s: float) -> None:
        """What the screens would call out now."""
        self.ear.listen(calls_now(self._house, shown, facts, now_s), now_s)

    def _changed(self, before: Shown, after: Shown) -> None:
        """Moves told for the next minute that are now otherwise, though nobody spoke of their plate."""
        now = {_key(m): m for m in after.moves}
        for move in before.moves:
            if not after.now_s < move.start_s < before.now_s + TOLD_S or not move.table:
                continue
            self.told.add(_key(move))
            is_now = now.get(_key(move))
            if move.item not in self._spoken_of and not _same(move, is_now):
                self.changed.append(_anew(after.now_s, move, is_now, not self._asked))


def _key(move: ShownMove) -> MoveKey:
    return move.item, move.act, move.nth


def _same(was: ShownMove, now: ShownMove | None) -> bool:
    return now is not None and abs(now.start_s - was.start_s) <= SAME_S and _place(now) == _place(was)


def _place(move: ShownMove) -> tuple[float | None, float | None]:
    return move.x_m, move.y_m


def _anew(at_s: float, was: ShownMove, now: ShownMove | None, unasked: bool) -> ToldAnew:
    is_s = None if now is None else now.start_s
    elsewhere = now is not None and _place(now) != _place(was)
    return ToldAnew(at_s, was.item, was.act, was.start_s, is_s, elsewhere, unasked)
