"""What really happens in a rehearsed night, whether anybody says so or not: acts, food, landings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from numpy.random import Generator

from hearthtide.house.models import House
from hearthtide.planning.problem import Placed
from hearthtide.planning.told import Running
from hearthtide.service.rehearsal.manner import Manner
from hearthtide.service.shown import ShownMove

BEGINS, ENDS = frozenset({"launch", "load", "move"}), frozenset({"load", "move", "pull"})
MOST = 3.0  # standard deviations beyond which nothing is drawn: that is an accident, for the upsets
APART_S = 900.0  # two chores of the same words are further apart; own choice
ActKey = tuple[str, str, int]


@dataclass(frozen=True)
class Cooking:
    """A stage a plate is in, since when, and when it is really done."""

    stage: int
    from_s: float
    done_s: float


@dataclass(frozen=True)
class PlateTruth:
    """One plate as it went; None where it has not come to that. `over_s` is how long it stood done."""

    key: str
    dish: str
    drop: str  # the order it lands with, as last planned
    in_s: float | None = None
    out_s: float | None = None
    ready_s: float | None = None
    over_s: float = 0.0
    begun: int = 0
    cooking: Cooking | None = None


class Truth:
    """Kept up by `done`; everybody in the rehearsed kitchen looks at it."""

    def __init__(self, house: House, manner: Manner, dice: Generator) -> None:
        self._house, self._manner, self._dice = house, manner, dice
        self.plates: dict[str, PlateTruth] = {}
        self.acts: dict[ActKey, float] = {}
        self.chores: dict[str, float] = {}  # by their words: they have no other name
        self.unknown: list[str] = []  # acts on plates the plan running then did not hold

    def is_done(self, move: ShownMove) -> bool:
        if move.table:
            return (move.item, move.act, move.nth) in self.acts
        alike = self.chores.get(move.words)
        return alike is not None and abs(alike - move.start_s) < APART_S

    def done_s(self, item: str) -> float | None:
        """When the stage a plate is in is really done; None for one in no stage."""
        plate = self.plates.get(item)
        return None if plate is None or plate.cooking is None else plate.cooking.done_s

    def done(self, move: ShownMove, from_s: float, until_s: float, running: Running) -> None:
        """An act is really done, during these seconds."""
        if not move.table:
            self.chores[move.words] = until_s
            return
        self.acts[move.item, move.act, move.nth] = until_s
        found = placed_of(running, move.item)
        if found is None:
            self.unknown.append(move.item)
            return
        drop, placed = found
        plate = self.plates.get(move.item) or PlateTruth(move.item, move.dish, drop)
        plate = replace(plate, drop=drop)
        if move.act in ENDS and plate.cooking is not None:
            over_s = max(0.0, from_s - plate.cooking.done_s)
            plate = replace(plate, cooking=None, over_s=plate.over_s + over_s)
        if move.act in BEGINS:
            plate = self._begun(plate, placed, from_s)
        if move.act == "pull" and plate.begun >= len(placed.stays):
            plate = replace(plate, out_s=until_s, ready_s=until_s + placed.item.rest_s)
        if move.act == "cut":
            plate = replace(plate, ready_s=max(until_s, plate.ready_s or until_s))
        self.plates[move.item] = plate

    def _begun(self, plate: PlateTruth, placed: Placed, from_s: float) -> PlateTruth:
        stage = min(plate.begun, len(placed.stays) - 1)
        stay = placed.stays[stage]
        files = self._house.dishes[plate.dish].stages
        spread = 0.0 if files[stay.stage].preheat else self._manner.stage
        pace = 1.0 + spread * min(MOST, max(-MOST, float(self._dice.standard_normal())))
        cooking = Cooking(stay.stage, from_s, from_s + stay.asked_s * pace)
        in_s = from_s if plate.in_s is None else plate.in_s
        return replace(plate, in_s=in_s, begun=plate.begun + 1, cooking=cooking)

    def is_ready(self, item: str, cut: bool) -> float | None:
        """When a plate was ready, its cutting done where it is to be cut; None before that."""
        plate = self.plates.get(item)
        if plate is None or plate.ready_s is None:
            return None
        return plate.ready_s if not cut or (item, "cut", 1) in self.acts else None


def placed_of(running: Running, item: str) -> tuple[str, Placed] | None:
    """A plate in the plan being run, and the order it lands with."""
    found: Iterable[tuple[str, Placed]] = (
        (b.order.key, p) for b in running.schedule.booked for p in b.placed if p.item.key == item
    )
    return next(iter(found), None)
