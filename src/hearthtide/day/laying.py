"""Trays laid into the heat-up window: which goes in when and where, by whose hands. No physics."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import Literal

from hearthtide.day.load import Act, Hand, Load, Tray
from hearthtide.house.rota_file import Hours
from hearthtide.planning.places import Places, bits

MINUTE_S = 60
# What a raw tray spits as it is set down is cooked on with what stands beside it, if that stays so long;
# else it is kept out of reach. Common practice, no source.
COOKED_ON_S = 300
TRIED_EVERY = 5  # minutes between starts that are tried; own choice
WAIT = 4  # minutes that a tray waits for a pair of hands before the next start is tried; own choice
Why = Literal["too cold", "too hot", "too dark", "never done"]


@dataclass(frozen=True)
class Window:
    """From when trays may go in, until when all are out; who is there; seconds of hands for each act."""

    from_s: int
    until_s: int
    people: tuple[Hours, ...]
    places: Places
    act_s: dict[Act, int]
    stone_binds: bool = True


@dataclass(frozen=True)
class Left:
    """A tray that found no place in the window, and what stood against it most."""

    tray: Tray
    why: str


@dataclass(frozen=True)
class Laid:
    """The loads by when they go in, and the trays left over."""

    loads: tuple[Load, ...]
    left: tuple[Left, ...]

    @property
    def last_out_s(self) -> int | None:
        return max((load.out_s for load in self.loads), default=None)

    @property
    def cost(self) -> tuple[int, int, int]:
        """Portions without a place, then when the last tray is out, then all trays' minutes on the stone."""
        portions = sum(one.tray.portions for one in self.left)
        stone_s = sum(load.out_s - load.in_s for load in self.loads)
        return portions, self.last_out_s or 0, stone_s


Ask = Callable[[Tray, int, int], "float | Why"]
"""Seconds a tray takes at a place from a second of the clock on, margin included, or why it may not."""


def lay(trays: Sequence[Tray], window: Window, ask: Ask, tries: int, seed: int = 1) -> Laid:
    """As many trays as go in, the last of them out as soon as may be.

    A first answer takes the longest trays first; each try then takes a few out and lays them anew in
    another order. The same trays and seed give the same answer.
    """
    order = sorted(trays, key=lambda tray: (-len(tray.turns), tray.kind, tray.key))
    best, chance = _laid(order, window, ask), Random(seed)
    for _ in range(tries if len(order) > 1 else 0):
        moved = order.copy()
        for _ in range(chance.randint(1, 3)):
            moved.insert(chance.randrange(len(moved)), moved.pop(chance.randrange(len(moved))))
        found = _laid(moved, window, ask)
        if found.cost <= best.cost:
            order, best = moved, found
    return best


def _laid(order: Sequence[Tray], window: Window, ask: Ask) -> Laid:
    board = _Board(window, ask)
    left = []
    for tray in order:
        why = board.put(tray)
        if why is not None:
            left.append(Left(tray, why))
    return Laid(tuple(sorted(board.loads, key=lambda load: (load.in_s, load.tray.key))), tuple(left))


class _Board:
    """The window while trays are laid into it, one after the other."""

    def __init__(self, window: Window, ask: Ask) -> None:
        self.window, self.ask, self.loads = window, ask, list[Load]()
        self.begun: dict[str, int] = {}
        self.busy: dict[str, set[int]] = {one.name: set() for one in window.people}

    def put(self, tray: Tray) -> str | None:
        """Lays it where it is done soonest; else says what stood against it.

        The board only fills: where a tray like it found no start before, this one finds none either.
        """
        best, whys = None, set[str]()
        first = self.begun.get(tray.kind, math.ceil(self.window.from_s / MINUTE_S))
        for minute in range(first, self.window.until_s // MINUTE_S, TRIED_EVERY):
            if best is not None and minute * MINUTE_S >= best.out_s:
                break
            taken = self._taken(tray, minute * MINUTE_S, minute * MINUTE_S + MINUTE_S)
            for mask in tray.masks:
                found = self._load(tray, mask & ~taken, minute, whys)
                if found is not None and (best is None or found.out_s < best.out_s):
                    best = found
        if best is None:
            return _words(whys)
        self.begun[tray.kind] = best.in_s // MINUTE_S // TRIED_EVERY * TRIED_EVERY
        self.loads.append(best)
        for hand in best.hands:
            self.busy[hand.who] |= _minutes(hand.from_s, hand.until_s)
        return None

    def _load(self, tray: Tray, free: int, minute: int, whys: set[str]) -> Load | None:
        """In the first of the free places, or a few minutes later for want of hands, in which it can stay."""
        if not free:
            whys.add("stone")
        for place in bits(free):
            asked = self.ask(tray, place, minute * MINUTE_S)
            if isinstance(asked, str):
                whys.add(asked)
                continue
            for wait in range(WAIT + 1):
                found = self._at(tray, place, minute + wait, asked, whys)
                if found is not None:
                    return found
        return None

    def _at(self, tray: Tray, place: int, minute: int, asked_s: float, whys: set[str]) -> Load | None:
        in_s = minute * MINUTE_S
        out_s = in_s + math.ceil(asked_s / MINUTE_S) * MINUTE_S
        acts: list[tuple[Act, int]] = [("put in", in_s), ("take out", out_s)]
        acts += [("turn", in_s + round(f * asked_s / MINUTE_S) * MINUTE_S) for f in tray.turns]
        if out_s + self.window.act_s["take out"] > self.window.until_s:
            whys.add("time")
            return None
        hands = self._hands(acts)
        if hands is None:
            whys.add("hands")
            return None
        if self._taken(tray, in_s, out_s + self.window.act_s["take out"]) >> place & 1:
            whys.add("stone")
            return None
        if self._spat_on(tray, place, in_s, out_s):
            whys.add("raw")
            return None
        until_s = out_s + tray.rest_s
        same = [one for one in self.loads if one.tray.kind == tray.kind]
        if sum(one.in_s < until_s and in_s < one.out_s + tray.rest_s for one in same) >= tray.of_kind:
            whys.add("trays")
            return None
        return Load(tray, place, in_s, out_s, round(asked_s), hands)

    def _hands(self, acts: list[tuple[Act, int]]) -> tuple[Hand, ...] | None:
        """Somebody for each act who is there and has hands free; None when one finds nobody."""
        taken: dict[str, set[int]] = {name: set() for name in self.busy}
        found = []
        for act, at_s in sorted(acts, key=lambda one: one[1]):
            until_s = at_s + self.window.act_s[act]
            minutes = _minutes(at_s, until_s)
            who = next(
                (
                    one.name
                    for one in self.window.people
                    if one.from_s <= at_s
                    and until_s <= one.until_s
                    and not minutes & (self.busy[one.name] | taken[one.name])
                ),
                None,
            )
            if who is None:
                return None
            taken[who] |= minutes
            found.append(Hand(act, who, at_s, until_s))
        return tuple(found)

    def _spat_on(self, tray: Tray, place: int, in_s: int, out_s: int) -> bool:
        """Whether raw food is set down within reach of something that soon comes out, cooked."""
        for one in self.loads:
            near = tray.raw and one.in_s <= in_s < one.out_s < in_s + COOKED_ON_S
            near = near or (one.tray.raw and in_s <= one.in_s < out_s < one.in_s + COOKED_ON_S)
            if near and self.window.places.splash[one.place] >> place & 1:
                return True
        return False

    def _taken(self, tray: Tray, from_s: int, until_s: int) -> int:
        """Bits of the places that others shut out meanwhile."""
        if not self.window.stone_binds:
            return 0
        bits, places = 0, self.window.places
        for one in self.loads:
            if one.in_s < until_s and from_s < one.out_s + self.window.act_s["take out"]:
                bits |= places.conflicts[one.place]
                apart = (one.tray.raw and tray.ready_to_eat) or (one.tray.ready_to_eat and tray.raw)
                bits |= places.splash[one.place] if apart else 0
        return bits


def _minutes(from_s: int, until_s: int) -> set[int]:
    return set(range(from_s // MINUTE_S, -(-until_s // MINUTE_S)))


# What is named of all that stood against a tray: the first of these. "raw": beside what comes out soon.
NAMED = ("trays", "hands", "raw", "stone", "time", "too dark", "too hot", "too cold", "never done")


def _words(whys: set[str]) -> str:
    why = next((why for why in NAMED if why in whys), "no place")
    return "raw beside what comes out" if why == "raw" else why


MOST_ALIKE = 100  # trays of one kind asked of one window; own choice


def alike(tray: Tray) -> tuple[Tray, ...]:
    """The same tray again and again, for asking how much of one kind a window takes."""
    return tuple(replace(tray, key=f"{tray.kind} {i + 1}") for i in range(MOST_ALIKE))
