"""From a `Problem`, what has begun and the plan being run, to the tables of the compiled search."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import get_args

import numpy as np

from hearthtide.house.models import Act
from hearthtide.planning.engine import kernel as K
from hearthtide.planning.engine.kernel import Board, Ints
from hearthtide.planning.problem import (
    BIN_S,
    Begun,
    Choice,
    Handling,
    Item,
    Order,
    Problem,
    Reality,
    Schedule,
    Stay,
    rest_slack_s,
)

ACTS: tuple[Act, ...] = get_args(Act)
NUMBER = {act: number for number, act in enumerate(ACTS)}
SPAN_S = K.LATE_S + 3600  # how far past the last wanted minute the board reaches


@dataclass(frozen=True)
class Laid:
    """A board and what its rows stand for: `zero_s` is its second 0."""

    board: Board
    problem: Problem
    orders: tuple[Order, ...]
    items: tuple[Item, ...]
    zero_s: int
    chore_slots: tuple[int, ...]


def lay(problem: Problem, reality: Reality | None, running: Schedule | None, seed: int) -> Laid:
    """The tables for a problem, with nothing booked but what has begun, been told or shut.

    `running` supplies what was told (for its price) and places to keep; the frozen minute is in `reality`.
    ValueError for more cooks or places than fit, and for an `asap` item without buffers between stages.
    """
    return _Laying(problem, reality or Reality(problem.from_s), running, seed).laid()


class _Laying:
    """One board being filled; the rows of every table grow in step."""

    def __init__(self, problem: Problem, reality: Reality, running: Schedule | None, seed: int) -> None:
        if len(problem.cooks) > K.COOKS:
            raise ValueError(f"{len(problem.cooks)} cooks: expected {K.COOKS} at the most")
        self.problem, self.reality, self.seed = problem, reality, seed
        self.begun = {b.item: b for b in reality.begun}
        self.told = {p.item.key: p for b in running.booked for p in b.placed} if running else {}
        starts = [h.start_s for b in reality.begun for h in b.handlings]
        starts += [s.start_s for b in reality.begun for s in b.stays]
        starts += [o.called_s for o in problem.orders] + [c.from_s for c in problem.closed]
        self.zero_s = min([problem.from_s, reality.now_s, *starts]) - 600
        self.places = len(problem.places.spots)
        self.words = -(-(self.places + len(problem.closed)) // K.WORD)
        self.classes = sorted({c for o in problem.orders for i in o.items for c in i.spits | i.guards})
        self.mask_of: dict[int, int] = {}
        self.order: list[list[int]] = []
        self.item: list[list[int]] = []
        self.stage: list[list[int]] = []
        self.row: list[list[int]] = []
        self.choice: list[list[int]] = []
        self.price: list[float] = []
        self.handle: list[list[int]] = []
        self.fraction: list[float] = []
        self.slot: list[list[int]] = []
        self.row_of: dict[tuple[Choice, ...], int] = {}

    def laid(self) -> Laid:
        problem = self.problem
        items = tuple(item for order in problem.orders for item in order.items)
        for number, order in enumerate(problem.orders):
            called, wanted = order.called_s - self.zero_s, order.wanted_s - self.zero_s
            before = max(0, order.not_before_s - self.zero_s)
            self.order.append([len(self.item), len(order.items), called, wanted, before, 0])
            for item in order.items:
                self._item(number, item)
        n_items = len(self.item)
        self._closed()
        chores = tuple(self._slot("flame") for _ in problem.chores)
        board = self._board(n_items)
        for k, fixed in enumerate(self.slot):
            if fixed[K.FIXED]:
                _mark(board, k)
        self._busy(board)
        for s in range(len(self.stage) - len(problem.closed), len(self.stage)):
            K.hang(board, s)
        self._chores(board, chores)
        return Laid(board, problem, problem.orders, items, self.zero_s, chores)

    # rows

    def _slot(self, act: Act, done: Handling | None = None, told: Handling | None = None) -> int:
        row = [NUMBER[act], -1, 0, 0, -1]
        if done is not None:
            row = [NUMBER[done.act], done.start_s - self.zero_s, done.cook, 1, -1]
        elif told is not None:
            row[K.TOLD] = told.start_s - self.zero_s
        self.slot.append(row)
        return len(self.slot) - 1

    def _item(self, order: int, item: Item) -> None:
        if item.asap and any(stage.buffer_s == 0 for stage in item.stages[1:]):
            raise ValueError(f"{item.key}: an item worked off as soon as can be needs buffers between stages")
        begun, told = self.begun.get(item.key), self.told.get(item.key)
        done = _Acts(begun.handlings if begun else ())
        was = _Acts(told.handlings if told else ())
        n = len(self.item)
        dress = self._slot("dress", done.beside("dress"), was.beside("dress"))
        st0 = len(self.stage)
        for number in range(len(item.stages)):
            self._stage(n, item, number, begun, done, was)
        cut = self._slot("cut", done.beside("cut"), was.beside("cut"))
        row = [order, st0, len(item.stages), item.rest_s, rest_slack_s(item), item.hold_s]
        row += [item.dressed, item.cut, item.on_stone, item.from_bank and self.problem.bank is not None]
        row += [item.tall, item.asap, self._bits(item.spits), self._bits(item.guards)]
        row += [self._short_s(item), dress, cut, len(begun.stays) if begun else 0]
        self.item.append([*row, 0, 0, 0, 0, -1, 0, K.NONE, 0])

    def _bits(self, words: frozenset[str]) -> int:
        return sum(1 << self.classes.index(word) for word in words)

    def _short_s(self, item: Item) -> int:
        act_s, least = self.problem.act_s, 0
        for number in range(len(item.stages)):
            bins = range(len(item.stages[number].choices))
            least += min(c.seconds - c.band_s[0] for b in bins for c in item.choices(number, b))
        return max(0, least) + (act_s["dress"] if item.dressed else 0)

    def _stage(self, n: int, item: Item, number: int, begun: Begun | None, done: _Acts, was: _Acts) -> None:
        written = item.stages[number]
        stay = begun.stays[number] if begun and number < len(begun.stays) else None
        told = self.told.get(item.key)
        told_at = told.stays[number] if told and number < len(told.stays) else None
        rows = [self._row(item.choices(number, b)) for b in range(len(written.choices))]
        if rows != list(range(rows[0], rows[0] + len(rows))):
            rows = self._rows_anew(item, number)
        h0, handles = len(self.handle), sorted(written.handles, key=lambda h: h.fraction)
        begin = self._slot("launch", done.begin(number), was.begin(number))
        out = self._slot("pull", done.end(number), was.end(number))
        for turn, handle in enumerate(handles):
            k = self._slot(handle.act, done.turn(number, turn), was.turn(number, turn))
            self.handle.append([NUMBER[handle.act], k])
            self.fraction.append(handle.fraction)
        prefer = item.prefer[number]
        row = [n, rows[0], len(rows), h0, len(handles), written.stays, written.buffer_s, begin, out]
        row += [(prefer & -prefer).bit_length() - 1 if prefer else -1, 0]
        row += [-1, 0] if told_at is None else [told_at.place, told_at.start_s - self.zero_s]
        self.stage.append(row + self._standing(item, number, stay, rows))

    def _standing(self, item: Item, number: int, own: Stay | None, rows: list[int]) -> list[int]:
        """The booked half of a stage's row: as it stands for one that has begun, else empty."""
        if own is None:
            return [-1, 0, 0, 0, self.row[rows[0]][0], 0, 0, 0]
        bin_ = min(max(0, self.problem.bin_of(own.end_s)), len(rows) - 1)
        first, many = self.row[rows[bin_]]
        at = item.choices(number, bin_)
        chosen = next((n for n, c in enumerate(at) if c.places >> own.place & 1), 0)
        chosen = min(chosen, many - 1)
        begin, end = own.start_s - self.zero_s, own.end_s - self.zero_s
        recovery = self.choice[first + chosen][K.C_RECOVERY]
        held = max(end, own.held_until_s - self.zero_s)
        return [own.place, begin, end, held, first + chosen, recovery, own.asked_s, 0]

    def _row(self, choices: tuple[Choice, ...]) -> int:
        if choices not in self.row_of:
            self.row_of[choices] = self._new_row(choices)
        return self.row_of[choices]

    def _rows_anew(self, item: Item, number: int) -> list[int]:
        return [self._new_row(item.choices(number, b)) for b in range(len(item.stages[number].choices))]

    def _new_row(self, choices: tuple[Choice, ...]) -> int:
        self.row.append([len(self.choice), len(choices)])
        for c in choices:
            early, late = c.band_s
            recovery = self.problem.recovery_s if c.recovery_s < 0 else c.recovery_s
            mask = self.mask_of.setdefault(c.places, len(self.mask_of))
            low = (c.places & -c.places).bit_length() - 1
            words = (max(0, low) // K.WORD, max(0, c.places.bit_length() - 1) // K.WORD + 1)
            self.choice.append([c.seconds, early, late, recovery, mask, *words])
            self.price.append(c.off_per_s)
        return len(self.row) - 1

    def _closed(self) -> None:
        """What is shut stands on the stone as a thing of its own, at places after the hearth's own."""
        if not self.problem.closed:
            return
        nobody = len(self.item)
        self.item.append([-1] + [0] * (K.RECOURSE_S))
        for number, shut in enumerate(self.problem.closed):
            from_, until = shut.from_s - self.zero_s, shut.until_s - self.zero_s
            row = [nobody] + [0] * (K.TOLD_AT)
            row += [self.places + number, max(0, from_), until, until, 0, 0, 0, 0]
            self.stage.append(row)

    # the board

    def _board(self, n_items: int) -> Board:
        problem, places = self.problem, self.problem.places
        last = max([o.wanted_s for o in problem.orders] + [self.reality.now_s])
        span = last - self.zero_s + SPAN_S
        shut = [c.places for c in problem.closed]
        uses_reach = problem.weights.reach > 0
        tall = any(row[K.TALL] for row in self.item)
        apart = any(row[K.SPITS] for row in self.item) and any(row[K.GUARDS] for row in self.item)
        reach = places.reach if uses_reach or tall else ()
        empty = (0,) * self.places
        splash = _words(places.splash if apart else places.conflicts, self.words, shut)
        stage, item, slot = _ints(self.stage, 21), _ints(self.item, 26), _ints(self.slot, 5)
        order = _ints(self.order, 6)
        longest = max([c[K.C_RECOVERY] for c in self.choice] + [0])
        bank = problem.bank
        g = [self.reality.now_s - self.zero_s, problem.from_s - self.zero_s, problem.plating_s]
        g += [problem.together_s, problem.late_after_s, bank.count if bank else 1 << 30]
        g += [bank.turnaround_s if bank else 0, problem.stone_binds, span - 1200, longest]
        g += [(self.seed * 2654435761 + 97531) % 0xFFFFFFFF or 1, 0, 0, uses_reach, BIN_S]
        hands = [[self._hands_s(n, act) for act in ACTS] for n in range(len(problem.cooks))]
        buckets = span // K.BUCKET_S + 2
        w = problem.weights
        weights = [w.late, w.beyond, w.long, w.early, w.spread, w.close, w.overheld, w.off, w.reach]
        weights += [w.overrun, w.parked, w.told, w.told_far, w.changed]
        return Board(
            g=np.array(g, dtype=np.int64),
            w=np.array(weights),
            order=order,
            weight=np.array([o.weight for o in problem.orders]),
            cost=np.zeros(len(order)),
            item=item,
            own=np.zeros(n_items),
            stage=stage,
            row=_ints(self.row, 2),
            choice=_ints(self.choice, 7),
            price=np.array(self.price),
            handle=_ints(self.handle, 2),
            fraction=np.array(self.fraction, dtype=np.float64),
            slot=slot,
            masks=_words(tuple(self.mask_of), self.words, []),
            conflict=_words(places.conflicts, self.words, shut),
            splash=splash,
            reach=_words(reach or empty, self.words, [0] * len(shut)),
            shadow=_words(_transposed(reach) if tall else empty, self.words, [0] * len(shut)),
            hands=np.array(hands, dtype=np.int64),
            need=np.array([1 if act in problem.one_handed else 2 for act in ACTS], dtype=np.int64),
            busy=np.zeros((len(problem.cooks), span), dtype=np.int8),
            out=np.zeros(span, dtype=np.int64),
            hung=np.zeros((buckets, max(1, len(self.stage))), dtype=np.int64),
            n_hung=np.zeros(buckets, dtype=np.int64),
            free=np.zeros(self.words, dtype=np.int64),
            want=np.zeros(self.words, dtype=np.int64),
            list=np.arange(len(order), dtype=np.int64),
            key=np.ones(max(1, len(item))),
            kept_item=item.copy(),
            kept_stage=stage.copy(),
            kept_slot=slot.copy(),
            best_item=item.copy(),
            best_stage=stage.copy(),
            best_slot=slot.copy(),
            dirty=np.zeros(len(item), dtype=np.int64),
        )

    def _hands_s(self, cook: int, act: Act) -> int:
        who = self.problem.cooks[cook]
        return self.problem.hands_s(cook, act) if act in who.acts else -1

    def _busy(self, board: Board) -> None:
        for cook, until_s in enumerate(self.reality.busy_until_s):
            board.busy[cook, : max(0, until_s - self.zero_s)] = 2

    def _chores(self, board: Board, slots: tuple[int, ...]) -> None:
        """Chores come before all dishes: there are few, and the flame does not wait."""
        for k, chore in zip(slots, self.problem.chores, strict=True):
            wish, act = chore.wanted_s - self.zero_s, NUMBER[chore.act]
            found = K.find_hands(board, act, wish, wish - chore.give_s, wish + chore.give_s)
            if found >= 0:
                K.take_hands(board, k, act, found)


class _Acts:
    """An item's acts looked up by what they are."""

    def __init__(self, handlings: tuple[Handling, ...]) -> None:
        self.handlings = handlings

    def beside(self, act: Act) -> Handling | None:
        return next((h for h in self.handlings if h.act == act), None)

    def begin(self, stage: int) -> Handling | None:
        return next(
            (h for h in self.handlings if h.stage == stage and h.act in ("launch", "move", "load")), None
        )

    def end(self, stage: int) -> Handling | None:
        return next((h for h in self.handlings if h.stage == stage and h.act == "pull"), None)

    def turn(self, stage: int, number: int) -> Handling | None:
        own = [h for h in self.handlings if h.stage == stage and h.act in ("turn", "spin", "flip")]
        return own[number] if number < len(own) else None


def _mark(board: Board, k: int) -> None:
    """Hands of an act done or told."""
    act, start, cook = (int(board.slot[k, n]) for n in (K.ACT, K.START, K.COOK))
    board.busy[cook, max(0, start) : start + int(board.hands[cook, act])] += int(board.need[act])


def _ints(rows: list[list[int]], columns: int) -> Ints:
    return np.array(rows, dtype=np.int64).reshape(-1, columns)


def _words(masks: tuple[int, ...], words: int, more: list[int]) -> Ints:
    """Bit masks in words of `K.WORD` bits, one row each."""
    low = (1 << K.WORD) - 1
    rows = [[mask >> (K.WORD * n) & low for n in range(words)] for mask in (*masks, *more)]
    return _ints(rows or [[0] * words], words)


def _transposed(masks: tuple[int, ...]) -> tuple[int, ...]:
    found = [0] * len(masks)
    for p, mask in enumerate(masks):
        for q in _bits(mask):
            found[q] |= 1 << p
    return tuple(found)


def _bits(mask: int) -> Iterator[int]:
    while mask:
        yield (mask & -mask).bit_length() - 1
        mask &= mask - 1
