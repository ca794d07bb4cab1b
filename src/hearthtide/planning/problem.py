"""A night as the search sees it: orders, items, stages and the limits they share. No physics."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hearthtide.house.models import Act
from hearthtide.planning.places import Places

LEAST_STAGE_S = 20  # putting in and taking out again takes the hands this long: nothing shorter is a stage
BIN_S = 1800  # how long one set of stage times holds before the oven has changed enough for the next


@dataclass(frozen=True)
class Choice:
    """Places (bit mask) where a stage takes `seconds`; `rank` 0 is the dish's first wish."""

    seconds: int
    places: int
    rank: int


@dataclass(frozen=True)
class Handle:
    """A turn, spin or flip wanted after this fraction of the stage."""

    act: Act
    fraction: float


def turned_deg(act: Act, turns: int) -> float:
    """How far one act turns an item: a spin a quarter; a stage's turns share the full round evenly.

    >>> turned_deg("spin", 0), turned_deg("turn", 2), turned_deg("flip", 0)
    (90.0, 120.0, 0.0)
    """
    return {"spin": 90.0, "turn": 360.0 / (turns + 1)}.get(act, 0.0)


@dataclass(frozen=True)
class Stage:
    """One stretch at one kind of place. `choices[b]` holds for ends inside the b-th bin of the night."""

    name: str
    choices: tuple[tuple[Choice, ...], ...]
    handles: tuple[Handle, ...]


@dataclass(frozen=True)
class Item:
    """One portion.

    `pace` lengthens (above 1) or shortens each stage after the verifier has seen it; `prefer` then holds
    the places (bit masks) it was seen at, to be used again where they are free.
    """

    key: str
    ticket: str
    dish: str
    stages: tuple[Stage, ...]
    pace: tuple[float, ...]
    prefer: tuple[int, ...]
    rest_s: int
    hold_s: int
    dressed: bool
    cut: bool
    on_stone: bool
    from_bank: bool

    def choices(self, stage: int, bin_: int) -> tuple[Choice, ...]:
        """The stage's choices in that bin, this item's own correction included."""
        chosen = self.stages[stage].choices
        found = chosen[min(max(bin_, 0), len(chosen) - 1)]
        pace = self.pace[stage]
        return found if pace == 1 else tuple(replace(c, seconds=_paced(c.seconds, pace)) for c in found)

    @property
    def shortest_s(self) -> int:
        """Least time from launch to ready, over all places and bins."""
        return self.rest_s + sum(
            _paced(min(c.seconds for found in stage.choices for c in found), pace)
            for stage, pace in zip(self.stages, self.pace, strict=True)
        )


def _paced(seconds: int, pace: float) -> int:
    return seconds if pace == 1 else max(LEAST_STAGE_S, round(seconds * pace))


@dataclass(frozen=True)
class Order:
    """Plates that meet at the pass in one minute: a ticket, or one drop of a ticket too big for the hands."""

    key: str
    ticket: str
    drop: int
    called_s: int
    wanted_s: int
    items: tuple[Item, ...]


def split(order: Order, drops: int) -> list[Order]:
    """The order in so many drops, each with a like mix of dishes."""
    if drops <= 1:
        return [order]
    dealt = sorted(order.items, key=lambda item: (item.dish, item.key))
    parts = [tuple(dealt[i::drops]) for i in range(min(drops, len(dealt)))]
    return [
        replace(order, key=f"{order.key}/{number}", drop=number, items=part)
        for number, part in enumerate(parts, 1)
    ]


@dataclass(frozen=True)
class Hands:
    """One cook and the acts that cook does."""

    name: str
    acts: frozenset[Act]


@dataclass(frozen=True)
class Bank:
    """Hot platters: `count` of them, each back and hot `turnaround_s` after it left with its plate."""

    count: int
    turnaround_s: int


@dataclass(frozen=True)
class Problem:
    """Everything the search may know. `from_s` is second 0 of the hands' bitsets."""

    orders: tuple[Order, ...]
    places: Places
    cooks: tuple[Hands, ...]
    act_s: dict[Act, int]
    bank: Bank | None
    plating_s: int
    together_s: int
    late_after_s: int
    recovery_s: int
    from_s: int
    stone_binds: bool = True

    def bin_of(self, time_s: int) -> int:
        return (time_s - self.from_s) // BIN_S

    def cooks_for(self, act: Act) -> tuple[int, ...]:
        return tuple(i for i, cook in enumerate(self.cooks) if act in cook.acts)


@dataclass(frozen=True)
class Stay:
    """An item on a place during [start_s, held_until_s); it cooks there until `end_s`.

    `asked_s` is how long its stage should take there; hands may make it a little more or less.
    """

    item: str
    stage: int
    place: int
    start_s: int
    end_s: int
    held_until_s: int
    asked_s: int
    on_stone: bool


@dataclass(frozen=True)
class Handling:
    """One act of one pair of hands. `stage` is -1 for what is done beside the hearth."""

    start_s: int
    hands_s: int
    cook: int
    act: Act
    stage: int


@dataclass(frozen=True)
class Placed:
    """An item with its times: in at `stays[0].start_s`, off the stone at `leave_s`, ready after its rest."""

    item: Item
    stays: tuple[Stay, ...]
    handlings: tuple[Handling, ...]
    leave_s: int
    ready_s: int


@dataclass(frozen=True)
class Booked:
    """An order with all its items placed; it lands `plating_s` after the last is ready."""

    order: Order
    placed: tuple[Placed, ...]
    landing_s: int

    @property
    def spread_s(self) -> int:
        ready = [p.ready_s for p in self.placed]
        return max(ready) - min(ready)

    @property
    def late_s(self) -> int:
        return self.landing_s - self.order.wanted_s
