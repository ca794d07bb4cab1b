"""A night as the search sees it: orders, items, stages and the limits they share. No physics."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from hearthtide.house.models import Act
from hearthtide.planning.places import Places

LEAST_STAGE_S = 20  # putting in and taking out again takes the hands this long: nothing shorter is a stage
BIN_S = 1800  # how long one set of stage times holds before the oven has changed enough for the next


@dataclass(frozen=True)
class Choice:
    """Places (bit mask) where a stage takes `seconds`; `rank` 0 is the dish's first wish.

    It may end `early_s` sooner or `late_s` later (-1: `tolerance_s` of its seconds) and costs
    `off_per_s` for each second of that. Bare dough leaves its stone to rest for `recovery_s`
    (-1: the problem's own).
    """

    seconds: int
    places: int
    rank: int
    early_s: int = -1
    late_s: int = -1
    off_per_s: float = 0.1
    recovery_s: int = -1

    @property
    def band_s(self) -> tuple[int, int]:
        """Seconds by which the stage may end sooner and later."""
        give = tolerance_s(self.seconds)
        return (give if self.early_s < 0 else self.early_s), (give if self.late_s < 0 else self.late_s)


def tolerance_s(stage_s: int) -> int:
    """How far a stage may miss its time for the sake of the hands: 4 %, at least 3 s, at most 15 s.

    Own choice: less than any cook's own stages differ.
    """
    return max(3, min(15, round(0.04 * stage_s)))


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
    """One stretch at one kind of place. `choices[b]` holds for ends inside the b-th bin of the night.

    A stage that `stays` goes on where the one before it stands and begins with a `load` (food put on a
    platter that has preheated there). Before a stage with a buffer the item may wait off the hearth,
    `buffer_s` at most: then it is pulled and launched again instead of moved.
    """

    name: str
    choices: tuple[tuple[Choice, ...], ...]
    handles: tuple[Handle, ...]
    stays: bool = False
    buffer_s: int = 0


@dataclass(frozen=True)
class Item:
    """One portion.

    `pace` lengthens (above 1) or shortens each stage after the verifier has seen it; `prefer` then holds
    the places (bit masks) it was seen at, to be used again where they are free. Nothing is handled behind
    a `tall` item. What an item `spits` (raw juices, an allergen) must not reach one that `guards` against
    it. An item `asap` is worked off as early as can be, not back-timed from its table.
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
    tall: bool = False
    spits: frozenset[str] = frozenset()
    guards: frozenset[str] = frozenset()
    asap: bool = False

    def choices(self, stage: int, bin_: int) -> tuple[Choice, ...]:
        """The stage's choices in that bin, this item's own correction included."""
        rows = self._rows[stage]
        return rows[min(max(bin_, 0), len(rows) - 1)]

    @cached_property
    def _rows(self) -> tuple[tuple[tuple[Choice, ...], ...], ...]:
        """Every stage's choices by bin at this item's pace."""
        both = zip(self.stages, self.pace, strict=True)
        return tuple(tuple(_at_pace(row, pace) for row in stage.choices) for stage, pace in both)

    @property
    def shortest_s(self) -> int:
        """Least time from launch to ready, over all places and bins."""
        return self.rest_s + sum(
            _paced(min(c.seconds for found in stage.choices for c in found), pace)
            for stage, pace in zip(self.stages, self.pace, strict=True)
        )


def _at_pace(row: tuple[Choice, ...], pace: float) -> tuple[Choice, ...]:
    return row if pace == 1 else tuple(replace(c, seconds=_paced(c.seconds, pace)) for c in row)


def _paced(seconds: int, pace: float) -> int:
    return seconds if pace == 1 else max(LEAST_STAGE_S, round(seconds * pace))


def rest_slack_s(item: Item) -> int:
    """How much longer an item may rest: a quarter, at most a minute (common practice, no source)."""
    return min(60, item.rest_s // 4)


@dataclass(frozen=True)
class Order:
    """Plates that meet at the pass in one minute: a ticket, a course, or one drop of too big a ticket.

    `weight` is how many guests' waiting it counts as; it lands no earlier than `not_before_s`. The house
    wishes its course in `wished_drops`, each wanted `drops_apart_s` after the one before it: more drops
    than these break the promise "together".
    """

    key: str
    ticket: str
    drop: int
    called_s: int
    wanted_s: int
    items: tuple[Item, ...]
    weight: float = 1.0
    not_before_s: int = 0
    wished_drops: int = 1
    drops_apart_s: int = 0


def split(order: Order, drops: int) -> list[Order]:
    """The order in so many drops, each with a like mix of dishes and its share of the guests waiting."""
    if drops <= 1:
        return [order]
    dealt = sorted(order.items, key=lambda item: (item.dish, item.key))
    parts = [tuple(dealt[i::drops]) for i in range(min(drops, len(dealt)))]
    return [
        replace(
            order,
            key=f"{order.key}/{number}",
            drop=number,
            items=part,
            wanted_s=order.wanted_s + (number - 1) * order.drops_apart_s,
            weight=order.weight * len(part) / len(dealt),
        )
        for number, part in enumerate(parts, 1)
    ]


@dataclass(frozen=True)
class Hands:
    """One cook, the acts that cook does, and the seconds of those done quicker or slower than the house.

    One who is `away` does nothing more until told to be back.
    """

    name: str
    acts: frozenset[Act]
    act_s: Mapping[Act, int] = field(default_factory=dict)
    away: bool = False


@dataclass(frozen=True)
class Bank:
    """Hot platters: `count` of them, each back and hot `turnaround_s` after it left with its plate."""

    count: int
    turnaround_s: int


@dataclass(frozen=True)
class Weights:
    """What a second costs, in cost-seconds: one is one guest waiting one second longer than promised.

    A house's own; these are our choice until it writes its own. `late` counts from the wanted minute,
    `beyond` more past the house's limit, `long` more again past ten minutes, `early` before it, `hasty`
    more before it by over five minutes. `spread` past the minute plates should meet in, `close` for all of
    it (rests not stretched); per plate `overheld` past its hold; `off` scales each stage's own price of
    missing its minutes, `reach` is for a hand over another item. For what has begun: `overrun` past its
    band, `parked` for a wait off the hearth. For what was told: `told` and `told_far` per second an act
    moves within one and three minutes, `changed` for another place.
    """

    late: float = 1.0
    beyond: float = 2.0
    long: float = 3.0
    early: float = 0.2
    hasty: float = 2.0
    spread: float = 10.0
    close: float = 0.05
    overheld: float = 5.0
    off: float = 1.0
    reach: float = 6.0
    overrun: float = 60.0
    parked: float = 60.0
    told: float = 0.5
    told_far: float = 0.1
    changed: float = 15.0


@dataclass(frozen=True)
class Chore:
    """Hands taken for something that is no dish (a flame change, a probe), wanted within a span of time."""

    act: Act
    wanted_s: int
    give_s: int
    words: str


@dataclass(frozen=True)
class Closed:
    """Places (bit mask) that nothing may stand on during [from_s, until_s): a spill, a broken tile."""

    places: int
    from_s: int
    until_s: int


@dataclass(frozen=True)
class Problem:
    """Everything the search may know. `from_s` is second 0 of the hands' timeline."""

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
    weights: Weights = Weights()
    one_handed: frozenset[Act] = frozenset()
    chores: tuple[Chore, ...] = ()
    closed: tuple[Closed, ...] = ()

    def bin_of(self, time_s: int) -> int:
        return (time_s - self.from_s) // BIN_S

    def cooks_for(self, act: Act) -> tuple[int, ...]:
        return tuple(i for i, cook in enumerate(self.cooks) if act in cook.acts)

    def hands_s(self, cook: int, act: Act) -> int:
        """How long this cook's hands take for the act."""
        return self.cooks[cook].act_s.get(act, self.act_s[act])


def rest_s(problem: Problem, item: Item, stay: Stay) -> int:
    """How long the stone rests after a stay: of bare dough alone, as its choice says, else as the problem."""
    if not item.on_stone:
        return 0
    choices = item.choices(stay.stage, problem.bin_of(stay.end_s))
    own = next((c.recovery_s for c in choices if c.places >> stay.place & 1), -1)
    return problem.recovery_s if own < 0 else own


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


@dataclass(frozen=True)
class Begun:
    """An item on the hearth already, or told to go on within the minute: this much of it stands.

    `stays` are its begun stays in order; the last one's `end_s` is when its stage is now thought to be
    done (a correction from a probe or an eye goes in there). `handlings` are the acts done or told.
    A place index may lie past the hearth's own spots: `Places.beside` adds the spot it really stands on.
    """

    item: str
    stays: tuple[Stay, ...]
    handlings: tuple[Handling, ...]


@dataclass(frozen=True)
class Reality:
    """The night as it stands at `now_s`: what has begun, and until when each cook is taken."""

    now_s: int
    begun: tuple[Begun, ...] = ()
    busy_until_s: tuple[int, ...] = ()


@dataclass(frozen=True)
class Recourse:
    """What had to be done to an item that has begun and fits no more: `parked`, `early` or `overrun`."""

    item: str
    kind: str
    seconds: int


@dataclass(frozen=True)
class Schedule:
    """A full night on the hearth: what it costs, by kind, and the work it took."""

    booked: tuple[Booked, ...]
    cost: float
    tries: int
    rounds: int
    parts: Mapping[str, float] = field(default_factory=dict)
    recourse: tuple[Recourse, ...] = ()
    chores: tuple[Handling, ...] = ()

    def by_order(self) -> dict[str, Booked]:
        return {b.order.key: b for b in self.booked}

    @property
    def orders(self) -> tuple[Order, ...]:
        """The orders as they were placed: some may have been cut into more drops than asked."""
        return tuple(b.order for b in self.booked)
