"""A lot's course by its own entries, before anything is judged: what it is, what it became and when."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from hearthtide.safety.dates import Frozen
from hearthtide.safety.readings import local_date
from hearthtide.safety.rules import FoodClass, Piece
from hearthtide.safety.states import ARROWS, SERVED, State
from hearthtide.service.records.entries import (
    ChilledBy,
    FreezerMoved,
    LotBecame,
    LotMade,
    LotMarked,
    Pulled,
    Record,
    TimeMarked,
)
from hearthtide.service.records.ledger import Ledger, NotSo

DONE: frozenset[State] = SERVED | {"discarded"}


@dataclass(frozen=True)
class Step:
    """A stretch of a lot's life: what it was, from when until when (None: it still is)."""

    state: State
    since: datetime
    until: datetime | None = None


@dataclass(frozen=True)
class Course:
    """A lot by its own entries. `of`: the lot it was pulled from, whose cooling and days it has.

    `unmarked_frozen`: it went into the freezer before a last day was written on it.
    """

    lot: str
    dish: str
    quantity: str
    food: FoodClass | None
    piece: Piece | None
    of: str
    made: datetime
    offset_min: int
    marked: date | None
    chilled_by: Record | None
    steps: tuple[Step, ...]
    freezings: tuple[Frozen, ...] = ()
    unmarked_frozen: bool = False

    @property
    def state(self) -> State:
        """What it is now."""
        return self.steps[-1].state

    @property
    def is_frozen(self) -> bool:
        """Whether it is in the freezer now."""
        return bool(self.freezings) and self.freezings[-1].thawed is None

    def last(self, *states: State) -> Step | None:
        """The last stretch in one of these states."""
        return next((step for step in reversed(self.steps) if step.state in states), None)


def course(ledger: Ledger, lot: str) -> Course | None:
    """A lot's course; None where nobody wrote down that it was made or pulled."""
    own = [one for one in ledger.records if getattr(one.body, "lot", None) == lot]
    first = next((one for one in own if isinstance(one.body, LotMade | Pulled)), None)
    if first is None:
        return None
    moves = [one for one in own if isinstance(one.body, FreezerMoved)]
    ways = [one for one in own if isinstance(one.body, ChilledBy)]
    dish, quantity, food, piece, of = _begun(ledger, first)
    return Course(
        lot=lot,
        dish=dish,
        quantity=quantity,
        food=food,
        piece=piece,
        of=of,
        made=first.at,
        offset_min=first.offset_min,
        marked=_marked(own),
        chilled_by=ways[-1] if ways else None,
        steps=_steps("chilled" if of else "raw", first.at, own),
        freezings=_freezings(moves),
        unmarked_frozen=bool(moves) and _marked(own[: own.index(moves[0])]) is None,
    )


def _marked(own: Sequence[Record]) -> date | None:
    """The earliest last day written on it: a later day written over it makes no food younger.

    What was written since it last came out of the freezer stands in place of what was written before.
    """
    thawed = [n for n, one in enumerate(own) if isinstance(one.body, FreezerMoved) and one.body.way == "out"]
    since = own[thawed[-1] :] if thawed else ()
    for entries in (since, own):
        marks = [one.body.last_day for one in entries if isinstance(one.body, LotMarked)]
        if marks:
            return min(marks)
    return None


def _freezings(moves: Iterable[Record]) -> tuple[Frozen, ...]:
    """Its stays in the freezer by local dates, in the order they were written."""
    stays: list[Frozen] = []
    for one in moves:
        assert isinstance(one.body, FreezerMoved)
        day = local_date(one.at, one.offset_min)
        if one.body.way == "in":
            stays.append(Frozen(day, None))
        elif stays:
            stays[-1] = Frozen(stays[-1].into, max(day, stays[-1].into))
    return tuple(stays)


def _begun(ledger: Ledger, first: Record) -> tuple[str, str, FoodClass | None, Piece | None, str]:
    """Dish, quantity, food and piece of a lot, and the lot it was pulled from."""
    body = first.body
    if isinstance(body, LotMade):
        return body.dish, body.quantity, body.food, body.piece, ""
    assert isinstance(body, Pulled)
    parent = course(ledger, body.of)
    if parent is None:
        return "", body.quantity, None, None, body.of
    return parent.dish, body.quantity, parent.food, parent.piece, body.of


def _steps(begun: State, since: datetime, own: Iterable[Record]) -> tuple[Step, ...]:
    steps = [Step(begun, since)]
    for one in own:
        if isinstance(one.body, LotBecame):
            steps[-1] = Step(steps[-1].state, steps[-1].since, one.at)
            steps.append(Step(one.body.state, one.at))
    return tuple(steps)


def arrows(state: State) -> tuple[State, ...]:
    """What food in a state may ever become, discarded last."""
    ways = tuple(to for (since, to) in ARROWS if since == state)
    return ways if state in DONE else (*ways, "discarded")


def _is_discarded(ledger: Ledger, lot: str) -> bool:
    found = course(ledger, lot)
    return found is not None and found.state == "discarded"


def lot_accepted(ledger: Ledger, record: Record) -> None:
    """Whether what an entry says of a lot can be so, before anything is judged.

    Raises
    ------
    NotSo
        The lot is there already, or is not; the words say which.
    """
    body = record.body
    if isinstance(body, LotMade | Pulled) and course(ledger, body.lot) is not None:
        raise NotSo(f"{body.lot} is there already. Give this one another name.")
    if isinstance(body, Pulled):
        parent = course(ledger, body.of)
        if parent is None or parent.state != "chilled":
            is_now = "not there" if parent is None else parent.state
            raise NotSo(f"{body.of} is {is_now}: portions are pulled from a chilled lot.")
        if parent.is_frozen:
            raise NotSo(f"{body.of} is in the freezer. Write down when it came out first.")
        if parent.of:
            raise NotSo(f"{body.of} has left the cold already: its time runs from there.")
    if isinstance(body, LotMade):
        gone = [one for one in body.made_of if _is_discarded(ledger, one)]
        if gone:
            raise NotSo(f"{', '.join(gone)} was discarded: nothing is made of it.")
    if isinstance(body, LotBecame):
        now = course(ledger, body.lot)
        if now is not None and record.at < now.made:
            raise NotSo(f"{body.lot} was made after that. Say when it was.")
    if isinstance(body, FreezerMoved):
        _freezer_accepted(ledger, record, body)
    if isinstance(body, LotMarked | ChilledBy | TimeMarked) and course(ledger, body.lot) is None:
        raise NotSo(f"nobody wrote down that {body.lot} was made. Make the lot first.")


def _freezer_accepted(ledger: Ledger, record: Record, body: FreezerMoved) -> None:
    """Only what is chilled goes in, only what is in comes out, and each after the one before it."""
    now = course(ledger, body.lot)
    if now is None:
        raise NotSo(f"nobody wrote down that {body.lot} was made. Make the lot first.")
    if body.way == "in" and (now.state != "chilled" or now.of):
        raise NotSo(f"{body.lot} is {now.state}: only a lot that is chilled, whole, goes into the freezer.")
    if now.is_frozen == (body.way == "in"):
        raise NotSo(f"{body.lot} is {'in the freezer already' if now.is_frozen else 'not in the freezer'}.")
    moved = [r.at for r in ledger.records if isinstance(r.body, FreezerMoved) and r.body.lot == body.lot]
    if record.at < max((*moved, now.steps[-1].since)):
        raise NotSo(
            f"{body.lot} was {'chilled or ' if body.way == 'in' else ''}moved after that. Say when it was."
        )
