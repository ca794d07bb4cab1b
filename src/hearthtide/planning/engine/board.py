"""From a `Problem`, what has begun and the plan being run, to the tables of the compiled search."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import get_args

import numpy as np

from hearthtide.house.models import Act
from hearthtide.planning.engine import kernel as K
from hearthtide.planning.engine.kernel import Board, Floats, Ints
from hearthtide.planning.problem import (
    BIN_S,
    Begun,
    Choice,
    Handling,
    Item,
    Order,
    Placed,
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


def set_down(laid: Laid, stands: Iterable[Placed]) -> None:
    """Book these items as they were booked before, where they still fit so; what has begun comes first."""
    b, row_of = laid.board, {item.key: n for n, item in enumerate(laid.items, int(laid.board.t[0, K.ITEM0]))}
    known = [(row_of[placed.item.key], placed) for placed in stands if placed.item.key in row_of]
    for i, placed in sorted(known, key=lambda pair: not b.t[pair[0], K.BEGUN]):
        if b.t[i, K.PLACED]:
            continue
        fits = _begun_so(b, i, placed, laid.zero_s) and _as_before(laid, i, placed)
        if not (fits and K.take_again(b, i)) and b.t[i, K.BEGUN]:
            K.book_begun(b, i, placed.leave_s + placed.item.rest_s - laid.zero_s)


def _begun_so(b: Board, i: int, placed: Placed, zero_s: int) -> bool:
    """Whether what has begun of an item is what was planned for it: place, begin and length of its stages."""
    first, begun = int(b.t[i, K.ST0]), int(b.t[i, K.BEGUN])
    stands: list[list[int]] = b.t[first : first + begun, [K.PLACE, K.BEGIN, K.ASKED]].tolist()
    return stands == [[s.place, s.start_s - zero_s, s.asked_s] for s in placed.stays[:begun]]


def _as_before(laid: Laid, i: int, placed: Placed) -> bool:
    """The item's rows filled as it was placed; False when its stages are no longer what they were."""
    t, zero, acts = laid.board.t, laid.zero_s, _Acts(placed.handlings)
    item, first = laid.items[i - int(t[0, K.ITEM0])], int(t[i, K.ST0])
    if len(placed.stays) != len(item.stages):
        return False
    chosen = [_choice_of(laid, item, first + stay.stage, stay) for stay in placed.stays]
    if min(chosen) < 0:
        return False
    _fill(t, int(t[i, K.S_DRESS]), acts.beside("dress"), zero)
    _fill(t, int(t[i, K.S_CUT]), acts.beside("cut"), zero)
    for number, (stay, c) in enumerate(zip(placed.stays, chosen, strict=True)):
        s = first + number
        t[s, K.PLACE], t[s, K.BEGIN], t[s, K.END] = stay.place, stay.start_s - zero, stay.end_s - zero
        t[s, K.HELD], t[s, K.ASKED], t[s, K.STANDS] = stay.held_until_s - zero, stay.asked_s, 1
        t[s, K.CHOICE], t[s, K.RECOVERY] = c, t[c, K.C_RECOVERY]
        _fill(t, int(t[s, K.S_BEGIN]), acts.begin(number), zero)
        _fill(t, int(t[s, K.S_OUT]), acts.end(number), zero)
        h0 = int(t[s, K.H0])
        for turn in range(int(t[s, K.N_HANDLES])):
            _fill(t, int(t[h0 + turn, K.H_SLOT]), acts.turn(number, turn), zero)
    ends = [h.start_s + h.hands_s for h in placed.handlings]
    t[i, K.LEAVE], t[i, K.LAST_ACT] = placed.leave_s - zero, max(ends) - zero
    return True


def _fill(t: Ints, k: int, act: Handling | None, zero_s: int) -> None:
    if act is not None and not t[k, K.FIXED]:
        t[k, K.ACT], t[k, K.START], t[k, K.COOK] = NUMBER[act.act], act.start_s - zero_s, act.cook


def _choice_of(laid: Laid, item: Item, s: int, stay: Stay) -> int:
    """The row of the choice a stay was booked under, -1 where it no longer stands as it was."""
    row = int(K.row_at(laid.board, s, stay.end_s - laid.zero_s))
    for n, c in enumerate(item.choices(stay.stage, laid.problem.bin_of(stay.end_s))):
        early, late = c.band_s
        off = stay.end_s - stay.start_s - c.seconds
        if c.places >> stay.place & 1 and c.seconds == stay.asked_s and -early <= off <= late:
            return int(laid.board.t[row, 0]) + n
    return -1


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
        self.handle: list[list[int]] = []
        self.price: list[float] = []
        self.fraction: list[float] = []
        self.slot: list[list[int]] = []
        self.row_of: dict[tuple[Choice, ...], int] = {}

    def laid(self) -> Laid:
        problem = self.problem
        items = tuple(item for order in problem.orders for item in order.items)
        for number, order in enumerate(problem.orders):
            called, wanted = order.called_s - self.zero_s, order.wanted_s - self.zero_s
            before = max(0, order.not_before_s - self.zero_s)
            self.order.append([len(self.item), len(order.items), called, wanted, before, 0, 0])
            for item in order.items:
                self._item(number, item)
        self._closed()
        chores = [self._slot(chore.act) for chore in problem.chores]
        board = self._board(len(items))
        slot0 = int(board.t[0, K.SLOT0])
        for k, fixed in enumerate(self.slot):
            if fixed[K.FIXED]:
                _mark(board, slot0 + k)
        for cook, until_s in enumerate(self.reality.busy_until_s):
            board.busy[cook, : max(0, until_s - self.zero_s)] = 2
        last_stage = int(board.t[0, K.STAGE1])
        for s in range(last_stage - len(problem.closed), last_stage):
            K.hang(board, s)
        own = tuple(slot0 + k for k in chores)
        self._chores(board, own)
        return Laid(board, problem, problem.orders, items, self.zero_s, own)

    # rows

    def _slot(self, act: Act, done: Handling | None = None, told: Handling | None = None) -> int:
        row = [0, -1, NUMBER[act], -1, 0]
        if done is not None:
            row = [1, -1, NUMBER[done.act], done.start_s - self.zero_s, done.cook]
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
        row += [self._short_s(item), dress, cut, len(begun.stays) if begun else 0, 0]
        self.item.append([*row, 0, 0, 0, 0, -1, 0, K.NONE, 0])

    def _bits(self, words: frozenset[str]) -> int:
        return sum(1 << self.classes.index(word) for word in words)

    def _short_s(self, item: Item) -> int:
        """Its shortest way in whole minutes: bands are for the hands, not for beating the clock."""
        act_s, least = self.problem.act_s, 0
        for number in range(len(item.stages)):
            bins = range(len(item.stages[number].choices))
            least += min(c.seconds for b in bins for c in item.choices(number, b))
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
        row.append((prefer & -prefer).bit_length() - 1 if prefer else -1)
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
        nobody, span_s = len(self.item), self._span_s()
        self.item.append([0] * (K.RECOURSE_S + 1))
        for number, shut in enumerate(self.problem.closed):
            from_, until = (min(max(0, t - self.zero_s), span_s) for t in (shut.from_s, shut.until_s))
            row = [nobody] + [0] * K.TOLD_AT
            row += [self.places + number, from_, until, until, 0, 0, 0, 0]
            self.stage.append(row)

    # the board

    def _span_s(self) -> int:
        """Seconds the board reaches from its zero."""
        last = max([o.wanted_s for o in self.problem.orders] + [self.reality.now_s])
        return last - self.zero_s + SPAN_S

    def _board(self, n_items: int) -> Board:
        span = self._span_s()
        table, real = self._table(n_items, span)
        buckets, gaps = span // K.BUCKET_S + 2, 12 * len(self.slot) + 40 * len(self.stage)
        in_lists = buckets * (len(self.stage) + 1)
        table[0, [K.BUCKETS, K.BUCKET]] = buckets, len(self.stage) + 1
        table[0, [K.GAPS0, K.GAPS_END]] = in_lists, in_lists + 3 * gaps
        w = self.problem.weights
        weights = [w.late, w.beyond, w.long, w.early, w.spread, w.close, w.overheld, w.off, w.reach]
        weights += [w.overrun, w.parked, w.told, w.told_far, w.changed, w.hasty]
        real[: len(weights), 0] = weights
        bits = self._bit_rows(table)
        return Board(
            t=np.concatenate([table, table, table]),
            f=real,
            bits=bits,
            busy=np.zeros((len(self.problem.cooks) + 1, span), dtype=np.int16),
            room=np.zeros(in_lists + 3 * gaps + 3, dtype=np.int64),
        )

    def _table(self, n_items: int, span: int) -> tuple[Ints, Floats]:
        """All rows one under the other, what refers to a row by its number moved there."""
        kinds = (self.order, self.item, self.stage, self.row, self.choice, self.handle, self.slot)
        at = [K.FIRST_ROW]
        for rows in kinds:
            at.append(at[-1] + len(rows))
        o, i, s, r, c, h, k, end = at
        table, real = np.zeros((end, K.COLUMNS), dtype=np.int64), np.zeros((end, 2))
        for first, rows in zip(at, kinds, strict=False):
            if rows:
                table[first : first + len(rows), : len(rows[0])] = rows
        table[o:i, K.I0] += i
        table[i:s, [K.ORDER, K.ST0, K.S_DRESS, K.S_CUT]] += [o, s, k, k]
        table[s:r, [K.ITEM, K.ROW0, K.H0, K.S_BEGIN, K.S_OUT, K.CHOICE]] += [i, r, h, k, k, c]
        table[r:c, 0] += c
        table[h:k, K.H_SLOT] += k
        table[s:r, K.LINE], table[k:end, K.LINE] = range(s, r), range(k, end)
        for row in range(i, i + n_items):
            table[table[row, K.S_DRESS] : table[row, K.S_CUT] + 1, K.OF_ITEM] = row
        real[o:i, K.WEIGHT] = [order.weight for order in self.problem.orders]
        real[i:s, K.KEY] = 1.0
        real[c:h, 0], real[h:k, 0] = self.price, self.fraction
        for cook in range(len(self.problem.cooks)):
            table[1 + cook, : len(ACTS)] = [self._hands_s(cook, act) for act in ACTS]
        for cook, until_s in enumerate(self.reality.busy_until_s):
            table[1 + cook, K.FREE_FROM] = until_s - self.zero_s
        one_handed = self.problem.one_handed
        table[K.NEED, : len(ACTS)] = [1 if act in one_handed else 2 for act in ACTS]
        table[0, : K.N_COOKS + 1] = self._globals(span)
        table[0, K.ORDER0 : K.STAGE1 + 1] = [o, i, i, i + n_items, s, r]
        table[0, [K.SLOT0, K.ROWS]] = k, end
        bare = table[i:s][table[i:s, K.ON_STONE] == 1]
        table[0, K.SPAT] = np.bitwise_or.reduce(bare[:, K.SPITS])
        table[0, K.GUARDED] = np.bitwise_or.reduce(bare[:, K.GUARDS])
        return table, real

    def _globals(self, span: int) -> list[int]:
        problem, bank = self.problem, self.problem.bank
        longest = max([c[K.C_RECOVERY] for c in self.choice], default=0)
        g = [self.reality.now_s - self.zero_s, problem.from_s - self.zero_s, problem.plating_s]
        g += [problem.together_s, problem.late_after_s, bank.count if bank else 1 << 30]
        g += [bank.turnaround_s if bank else 0, int(problem.stone_binds), span - 1200, longest]
        g += [(self.seed * 2654435761 + 97531) % 0xFFFFFFFF or 1, 0, 0]
        return [*g, int(problem.weights.reach > 0), BIN_S, len(problem.cooks)]

    def _bit_rows(self, table: Ints) -> Ints:
        """Scratch, conflicts, splash, reach, its inverse, and the masks of the choices, in words."""
        places, shut = self.problem.places, [c.places for c in self.problem.closed]
        tall = any(row[K.TALL] for row in self.item)
        apart = any(row[K.SPITS] for row in self.item) and any(row[K.GUARDS] for row in self.item)
        reaches = self.problem.weights.reach > 0 or tall
        shut_rows = _words(shut, self.words)
        none = np.zeros((self.places + len(shut), self.words), dtype=np.int64)
        found = [np.zeros((2, self.words), dtype=np.int64)]
        found += [self._hearth("conflicts"), shut_rows]
        table[0, K.SPLASH0] = sum(map(len, found))
        found += [self._hearth("splash" if apart else "conflicts"), shut_rows]
        table[0, K.REACH0] = sum(map(len, found))
        found += [self._hearth("reach"), none[self.places :]] if reaches else [none]
        table[0, K.SHADOW0] = sum(map(len, found))
        if tall:
            found += [_words(_transposed(places.reach), self.words), none[self.places :]]
        else:
            found.append(none)
        masks0 = sum(map(len, found))
        choices = range(len(table) - len(self.slot) - len(self.handle) - len(self.choice), len(table))
        for c, _ in zip(choices, self.choice, strict=False):
            table[c, K.MASK] += masks0
        return np.concatenate([*found, _words(list(self.mask_of), self.words)])

    def _hearth(self, relation: str) -> Ints:
        """One relation between the hearth's places, in words; counted once for a hearth."""
        places = self.problem.places
        kept: dict[str, Ints] = places.__dict__.setdefault("_in_words", {})
        if relation not in kept:
            kept[relation] = _words(getattr(places, relation), -(-self.places // K.WORD))
        rows = kept[relation]
        return np.pad(rows, ((0, 0), (0, self.words - rows.shape[1])))

    def _hands_s(self, cook: int, act: Act) -> int:
        who = self.problem.cooks[cook]
        return self.problem.hands_s(cook, act) if act in who.acts else -1

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
    act, start, cook = (int(board.t[k, n]) for n in (K.ACT, K.START, K.COOK))
    board.busy[cook, max(0, start) : start + int(board.t[1 + cook, act])] += int(board.t[K.NEED, act])


def _words(masks: Sequence[int], words: int) -> Ints:
    """Bit masks in words of `K.WORD` bits, one row each."""
    low = (1 << K.WORD) - 1
    rows = [[mask >> (K.WORD * n) & low for n in range(words)] for mask in masks]
    return np.array(rows, dtype=np.int64).reshape(-1, words)


def _transposed(masks: Sequence[int]) -> tuple[int, ...]:
    found = [0] * len(masks)
    for p, mask in enumerate(masks):
        for q in _bits(mask):
            found[q] |= 1 << p
    return tuple(found)


def _bits(mask: int) -> Iterator[int]:
    while mask:
        yield (mask & -mask).bit_length() - 1
        mask &= mask - 1
