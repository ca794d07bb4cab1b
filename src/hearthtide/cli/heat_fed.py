"""Wood as it is fed: a fire for `hearthtide heat --answer` instead of a flame, and the wood it took."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hearthtide.heat.combustion import Fuel
from hearthtide.heat.wood import Split, splits_of
from hearthtide.oven.feeding import fed_program
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.program import Program
from hearthtide.oven.readings import Price, fuel_of

# How long wood was fed before a run that begins on a live fire: what embers are older than that give less
# than 0.1 % (own choice; 6 h are nine time constants of embers).
BEFORE_S = 6 * 3600.0


@dataclass(frozen=True)
class Feeding:
    """Wood fed evenly at `kg_h` (None: not so) in splits of `split_kg`, and splits laid by hand.

    Times count from the run's begin, before which `laid` may lie. `before`: the even feeding has gone on for
    hours. `ended`: it ends as the run begins.
    """

    moisture: float
    kg_h: float | None
    split_kg: float
    laid: tuple[Split, ...]
    before: bool
    ended: bool = False

    def splits(self, until_s: float) -> tuple[Split, ...]:
        """All splits that a run to `until_s` knows, in their order; none is cut short by the end."""
        even: tuple[Split, ...] = ()
        if self.kg_h is not None:
            between_s = self.split_kg / self.kg_h * 3600
            first = -math.ceil(BEFORE_S / between_s) if self.before else 0
            end = 0 if self.ended else math.ceil(until_s / between_s - 1e-9)
            even = splits_of(self.kg_h, self.split_kg, first * between_s, end * between_s)
        laid = tuple(split for split in self.laid if split.time_s < until_s)
        return tuple(sorted((*even, *laid), key=lambda split: split.time_s))

    def program(self, until_s: float) -> Program:
        return fed_program(self.splits(until_s), self.moisture, 0.0, until_s)

    def in_run(self, until_s: float) -> tuple[Split, ...]:
        """The splits laid from the run's begin until `until_s`."""
        return tuple(split for split in self.splits(until_s) if split.time_s >= -1e-6)

    @property
    def words(self) -> str:
        parts = []
        if self.kg_h is not None:
            parts.append(f"{self.kg_h:g} kg/h in splits of {self.split_kg:g} kg")
        if self.laid:
            more = "more " if parts else ""
            parts.append(f"{_splits(self.laid)} {more}by hand")
        return "fed " + " and ".join(parts)

    @property
    def hearth(self) -> str:
        """What burnt before the run, for words behind `words`."""
        if self.before and self.kg_h is not None:
            return ", so for hours before"
        early = [split for split in self.laid if split.time_s < 0]
        return f", {_splits(early)} of it before" if early else ", on a hearth without embers"


@dataclass(frozen=True)
class Spent:
    """Wood laid in a run, the heat its fire gave in it and the mass that has as much, and the cost of what
    was laid.
    """

    laid_kg: float
    splits: int
    energy_kWh: float
    mass_kg: float
    cost: float | None


def spent_of(feeding: Feeding, until_s: float, ledger: Ledger, wood: Fuel, price: Price | None) -> Spent:
    """What a run to `until_s` took; its `ledger` says what was burnt, its splits what was laid."""
    laid = feeding.in_run(until_s)
    laid_kg = math.fsum(split.mass_kg for split in laid)
    burnt = fuel_of(ledger, wood)
    cost = fuel_of(Ledger(fuel_J=laid_kg * wood.calorific_J_kg), wood, None, price).cost
    return Spent(laid_kg, len(laid), burnt.energy_kWh, burnt.mass_kg, cost)


def spent_lines(spent: Spent, price_text: str | None) -> list[str]:
    cost = "" if spent.cost is None else f"; at {price_text} that costs {spent.cost:.2f}"
    pieces = "1 split" if spent.splits == 1 else f"{spent.splits} splits"
    return [
        f"  {spent.laid_kg:.2f} kg of wood laid in {pieces}{cost}.",
        f"  The fire gave {spent.energy_kWh:.1f} kWh by then, as much as {spent.mass_kg:.2f} kg burnt out.",
    ]


def fed_body(feeding: Feeding, until_s: float) -> dict[str, object]:
    """The feeding as JSON carries it, with every split of the run and before it that still counts."""
    return {
        "wood_kg_h": feeding.kg_h,
        "split_kg": feeding.split_kg if feeding.kg_h is not None else None,
        "before": feeding.before and feeding.kg_h is not None,
        "splits": [
            {"time_s": round(split.time_s, 3), "mass_kg": round(split.mass_kg, 6)}
            for split in feeding.splits(until_s)
        ],
    }


def _splits(splits: list[Split] | tuple[Split, ...]) -> str:
    mass_kg = math.fsum(split.mass_kg for split in splits)
    return f"{mass_kg:g} kg in {len(splits)} split{'' if len(splits) == 1 else 's'}"


DAY_S = 86400.0


def after_s(clock_s: float, from_s: float) -> float:
    """From one time of day to another, -12 h to just below 12 h.

    >>> after_s(600.0, 85800.0), after_s(85800.0, 600.0)
    (1200.0, -1200.0)
    """
    return (clock_s - from_s + DAY_S / 2) % DAY_S - DAY_S / 2
