"""The compiled search: one item booked on hands, stone and platters; one order; ruin and recreate.

All state is numbers in a few tables (`Board`), one row per order, item, stage, choice and act, columns
named below: few large tables compile in a third of the time many small ones take. Times are seconds from
the board's own zero. Nothing here allocates. Places are bit masks in words of 60 bits, so that the plain
functions give the same bits as the compiled ones. All of it stands in one file because the compiled copy
on disk notices changes of its own file only.

`engine.board` builds a board from a `Problem`, `engine.search` runs it, `engine.schedule` reads it back.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from hearthtide.compiled import compiled

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

WORD = 60  # bits of places in one word
COOKS = 8  # a booked act is start * COOKS + cook
BUCKET_S = 256  # stays hang in buckets of so many seconds; for speed only
FAR = 1e15
EARLY_S = 900  # plates are not planned to be ready earlier than this before their table; own choice
LATE_S = 4 * 3600  # nobody waits longer for a table; own choice
DRESS_WAIT_S = 90  # a dressed base left on the peel longer than this sticks (common practice, no source)
RESTED_S = 600  # a pizza has left the stone only some 5 to 10 K low by then (trials of this oven model)
ATTEMPTS = 4  # common ready times tried for an order before plates stay apart; own choice
SOONER_S = 300  # so early a table may land for a moment while others slide; own choice
PASSES = 60  # over the gaps until none binds; a few do, and a slide that needs more is left
PUT_OFF_S = 1800  # nothing makes way by more than this; own choice
OVERTAKES = 60  # rounds of a hundred in which what is worked off as soon as can be overtakes; own choice
FURTHER_S = 120  # an act that overtakes one goes up to so much further at times; own choice
OVER_REACH = 4  # acts over other food that moving acts may save at the most, for all a round looks; for speed
BETWEEN = 6  # orders between where one lands and where it wants to that make way at once; own choice
CONTENT = 60.0  # an order that costs no more is looked at no further in a first schedule; own choice
GIVE = 1.0  # share by which a way back may be dearer before it slides; own choice
LOOSE = 1e9  # on the key of items that were not booked before
FAR_SHIFT_S = 600  # no try jumps further; for speed only
OVERRUN_S = 1800  # what has begun is looked after this far past its band; own choice
HASTY_S = 300  # guests are not ready for plates that come this much before their minute; own choice
LONG_S = 600  # lateness past which a table is lost patience with (common practice, no source)
TURN_SLACK, TURN_SLACK_S = 0.15, 20  # how far a turn may miss its moment: share of the stage, at least

# Rows of the table: the board itself, the seconds each cook takes for each act, the hands each act takes,
# then orders, items, stages, rows of choices, choices, handles and act slots. Columns by kind of row:
NEED, FIRST_ROW = COOKS + 1, 16
# of the board
NOW, BIN0, PLATING, TOGETHER, LATE_AFTER, PLATTERS, TURNAROUND, STONE_BINDS = range(8)
HORIZON, LONGEST_RECOVERY, RANDOM, TRIES, CROSSED, USE_REACH, BIN_SECONDS, N_COOKS = range(8, 16)
ORDER0, ORDER1, ITEM0, ITEM1, STAGE0, STAGE1, SPLASH0, REACH0, SHADOW0 = range(16, 25)
# A try that fails notes the least shift that way after which it may not.
WAY, JUMP, SLOT0, CROSSED_WAS, ROWS, BUCKETS, BUCKET, GAPS0, GAPS_END = range(25, 34)
SPAT, GUARDED = 34, 35  # all that bare items spit, and all they guard against
# of an order
I0, N_ITEMS, CALLED, WANTED, NOT_BEFORE, LISTED, LANDING = range(7)
# of an item: what it is, then (from PLACED on) how it is booked
ORDER, ST0, N_STAGES, REST, SLACK, HOLD, DRESSED, CUT_IT, ON_STONE, BANK, TALL, ASAP = range(12)
SPITS, GUARDS, SHORT, S_DRESS, S_CUT, BEGUN, DIRTY = range(12, 19)
PLACED, LEAVE, READY, LAST_ACT, OUT_FROM, OUT_TO, RECOURSE, RECOURSE_S = range(19, 27)
# of a stage: what it is, then (from PLACE on) how it is booked
ITEM, ROW0, N_ROWS, H0, N_HANDLES, STAYS, BUFFER, S_BEGIN, S_OUT, PREFER, TOLD_PLACE, TOLD_AT = range(12)
PLACE, BEGIN, END, HELD, CHOICE, RECOVERY, ASKED, STANDS = range(12, 20)
# of a row of choices: the first and how many; of a choice; of a handle
SECONDS, EARLY, LATE, C_RECOVERY, MASK, WORD0, WORD1 = range(7)
H_ACT, H_SLOT = range(2)
# of an act slot: what is given, then (from ACT on) how it is booked
FIXED, TOLD, ACT, START, COOK, OF_ITEM = range(6)
# While acts slide: a slot's shift (none of row 0) and the most it may be; the lines of slots by start and of
# stages by begin; whether an item moves; from when on a cook is free.
SHIFT, LINE, MOST, COLUMNS = range(36, 40)
MOVES, FREE_FROM = 36, 10
# What `DIRTY` says of an item: it is no longer as in `best`; how it was is in `kept`; its rows have gone
# ahead of its bookings, which are as `kept`; it is not booked at all.
CHANGED, KEPT, AHEAD, LOOSENED = 1, 2, 4, 8
# Columns of the table of real numbers: of orders, of items; choices and handles use the first
COST, WEIGHT = range(2)
OWN, KEY = range(2)
# Rows of the table of place masks
FREE, WANT, CONFLICT0 = range(3)
# weights, as `problem.Weights`
W_LATE, W_BEYOND, W_LONG, W_EARLY, W_SPREAD, W_CLOSE, W_OVERHELD, W_OFF, W_REACH = range(9)
W_OVERRUN, W_PARKED, W_TOLD, W_TOLD_FAR, W_CHANGED, W_HASTY = range(9, 15)
# acts by number, and kinds of recourse
DRESS, LAUNCH, LOAD, TURN, SPIN, FLIP, MOVE, PULL, CUT, FLAME = range(10)
NONE, OVERRUN, PULLED_EARLY, PARKED = range(4)
TOLD_S, TOLD_FAR_S, SAME_S = 60, 180, 2


class Board(NamedTuple):
    """A problem and one way of doing it, as tables.

    `t` holds all whole numbers, one row per thing, three times: as it stands, put aside during one trial
    (`kept`), and of the best found (`best`); `f` the real numbers of the same rows: each order's cost and
    weight, each item's own cost, and in the first rows the weights. `bits` are masks of places, one row
    each. `busy` counts hands in use by cook and second (two each) and, in its last row, platters away.
    `room` lists the stages that stand in each bucket of time, their number first, and then, while tables
    slide, how far one act may shift past another. Few tables, because each is nine words in every call.
    """

    t: Ints
    f: Floats
    bits: Ints
    busy: NDArray[np.int16]
    room: Ints


@compiled
def draw(b: Board, n: int) -> int:
    """A whole number in 0..n-1 (xorshift, 32 bits)."""
    x = b.t[0, RANDOM]
    x ^= (x << 13) & 0xFFFFFFFF
    x ^= x >> 17
    x ^= (x << 5) & 0xFFFFFFFF
    b.t[0, RANDOM] = x
    return (x >> 3) % n


@compiled
def chance(b: Board) -> float:
    """A number in 0..1, never 0."""
    return (draw(b, 1 << 24) + 0.5) / (1 << 24)


# --- hands ---------------------------------------------------------------------------------------


@compiled
def find_hands(b: Board, act: int, wish: int, low: int, high: int) -> int:
    """Start and cook (start * COOKS + cook) of the act nearest to `wish` in low..high; -1 when there is none.

    Ties go to the earlier start. Busy seconds are jumped over from their far end.
    """
    low, high = max(low, b.t[0, NOW]), min(high, b.t[0, HORIZON])
    if low > high:
        return -1
    wish = min(max(wish, low), high)
    best, gap, free = -1, high - low + 1, 2 - b.t[NEED, act]
    for cook in range(b.t[0, N_COOKS]):
        seconds = b.t[1 + cook, act]
        if seconds < 0:
            continue
        t = wish
        while t <= high and t - wish < gap:
            bad = -1
            for k in range(t + seconds - 1, t - 1, -1):
                if b.busy[cook, k] > free:
                    bad = k
                    break
            if bad < 0:
                gap, best = t - wish, t * COOKS + cook
                break
            t = bad + 1
        t = wish - 1
        while t >= low and wish - t <= gap:
            bad = -1
            for k in range(t, t + seconds):
                if b.busy[cook, k] > free:
                    bad = k
                    break
            if bad < 0:
                gap, best = wish - t, t * COOKS + cook
                break
            t = bad - seconds
    return best


@compiled
def take_hands(b: Board, k: int, act: int, found: int) -> int:
    """Book act slot k as found; the second its hands are free again."""
    start, cook = found // COOKS, found % COOKS
    b.t[k, ACT], b.t[k, START], b.t[k, COOK] = act, start, cook
    end = start + b.t[1 + cook, act]
    for t in range(start, end):
        b.busy[cook, t] += b.t[NEED, act]
    return end


@compiled
def give_hands(b: Board, k: int) -> None:
    if b.t[k, START] >= 0 and b.t[k, FIXED] == 0:
        cook, act = b.t[k, COOK], b.t[k, ACT]
        for t in range(b.t[k, START], b.t[k, START] + b.t[1 + cook, act]):
            b.busy[cook, t] -= b.t[NEED, act]
        b.t[k, START] = -1


@compiled
def miss(b: Board, act: int, low: int, high: int) -> None:
    """No hands for the act in low..high: note the least shift of that span that finds some."""
    if b.t[0, WAY] > 0:
        found = find_hands(b, act, high + 1, high + 1, high + FAR_SHIFT_S)
        shift = found // COOKS - high
    else:
        found = find_hands(b, act, low - 1, low - FAR_SHIFT_S, low - 1)
        shift = low - found // COOKS
    note(b, shift if found >= 0 else FAR_SHIFT_S)


@compiled
def note(b: Board, shift: int) -> None:
    b.t[0, JUMP] = min(b.t[0, JUMP], shift)


# --- stone ---------------------------------------------------------------------------------------


@compiled
def hang(b: Board, s: int) -> None:
    """The stage stands on the stone from now on."""
    for k in range(b.t[s, BEGIN] // BUCKET_S, b.t[s, HELD] // BUCKET_S + 1):
        at = k * b.t[0, BUCKET]
        b.room[at] += 1
        b.room[at + b.room[at]] = s
    b.t[s, STANDS] = 1


@compiled
def unhang(b: Board, s: int) -> None:
    if b.t[s, STANDS]:
        take_down(b, s, b.t[s, BEGIN], b.t[s, HELD])
        b.t[s, STANDS] = 0


@compiled
def take_down(b: Board, s: int, begin: int, held: int) -> None:
    """The stage, which hung there during [begin, held], hangs there no more."""
    for k in range(begin // BUCKET_S, held // BUCKET_S + 1):
        at = k * b.t[0, BUCKET]
        for n in range(1, b.room[at] + 1):
            if b.room[at + n] == s:
                b.room[at + n] = b.room[at + b.room[at]]
                b.room[at] -= 1
                break


@compiled
def clear_places(b: Board, i: int, from_: int, until: int, recovery: int, w0: int, w1: int) -> int:
    """Of the places in `want`, those free for item i during [from_, until), into `free`.

    Returns -1 when there is one, else the first second after `from_` at which something in the way has
    gone, and notes by how much to shift past one thing in the way at the least. On bare stone what lay
    there before must have recovered, and this must before what comes next.
    """
    for n in range(w0, w1):
        b.bits[FREE, n] = b.bits[WANT, n]
    if b.t[0, STONE_BINDS] == 0:
        return -1
    bare, tall = b.t[i, ON_STONE], b.t[i, TALL]
    pause = b.t[0, LONGEST_RECOVERY] if bare else 0
    first, last = max(0, from_ - pause) // BUCKET_S, (until + (recovery if bare else 0)) // BUCKET_S
    gone, shift = until + LATE_S, FAR_SHIFT_S
    for k in range(first, min(last, b.t[0, BUCKETS] - 1) + 1):
        at = k * b.t[0, BUCKET]
        for n in range(1, b.room[at] + 1):
            s = b.room[at + n]
            j = b.t[s, ITEM]
            if j == i or max(first, b.t[s, BEGIN] // BUCKET_S) != k:
                continue
            both = bare and b.t[j, ON_STONE]
            held = b.t[s, HELD] + (b.t[s, RECOVERY] if both else 0)
            if b.t[s, BEGIN] >= until + (recovery if both else 0) or from_ >= held:
                continue
            gone = min(gone, held)
            before = until + (recovery if both else 0) - b.t[s, BEGIN]
            shift = min(shift, held - from_ if b.t[0, WAY] > 0 else before)
            p = b.t[s, PLACE]
            kept_apart = (b.t[i, SPITS] & b.t[j, GUARDS]) | (b.t[i, GUARDS] & b.t[j, SPITS])
            standing = b.t[s, BEGIN] < until and from_ < b.t[s, HELD]
            for m in range(w0, w1):
                taken = b.bits[CONFLICT0 + p, m]
                if kept_apart and standing:
                    taken |= b.bits[b.t[0, SPLASH0] + p, m]
                if standing and b.t[j, TALL]:
                    taken |= b.bits[b.t[0, SHADOW0] + p, m]
                if standing and tall:
                    taken |= b.bits[b.t[0, REACH0] + p, m]
                b.bits[FREE, m] &= ~taken
    if bare and (b.t[i, GUARDS] & b.t[0, SPAT]) | (b.t[i, SPITS] & b.t[0, GUARDED]):
        shut_touched(b, i, from_, w0, w1)
    for m in range(w0, w1):
        if b.bits[FREE, m]:
            return -1
    note(b, max(1, shift))
    return max(gone, from_ + 1)


@compiled
def shut_touched(b: Board, i: int, from_: int, w0: int, w1: int) -> None:
    """Bare stone on which what item i guards against has lain earlier is not for it.

    Nor is bare stone for it on which something will lie that guards against it.
    """
    for s in range(b.t[0, STAGE0], b.t[0, STAGE1]):
        j = b.t[s, ITEM]
        before = b.t[j, SPITS] & b.t[i, GUARDS] and b.t[s, BEGIN] < from_
        behind = b.t[i, SPITS] & b.t[j, GUARDS] and b.t[s, BEGIN] > from_
        if b.t[s, STANDS] and b.t[j, ON_STONE] and (before or behind) and j != i:
            for m in range(w0, w1):
                b.bits[FREE, m] &= ~b.bits[CONFLICT0 + b.t[s, PLACE], m]


@compiled
def low_bit(x: int) -> int:
    """Position of the lowest set bit."""
    x &= -x
    n = 0
    if x >> 32:
        n, x = 32, x >> 32
    if x >> 16:
        n, x = n + 16, x >> 16
    if x >> 8:
        n, x = n + 8, x >> 8
    if x >> 4:
        n, x = n + 4, x >> 4
    if x >> 2:
        n, x = n + 2, x >> 2
    return n + (x >> 1)


@compiled
def pick_place(b: Board, i: int, s: int, from_: int, w0: int, w1: int) -> int:
    """One of the free places: the wished one, else rested stone, else what packs best or one of the next."""
    p = b.t[s, PREFER]
    if p < 0:
        p = b.t[s, TOLD_PLACE]
    if p >= 0 and w0 <= p // WORD < w1 and b.bits[FREE, p // WORD] >> (p % WORD) & 1:
        return p
    if b.t[i, ON_STONE]:
        any_rested = False
        for m in range(w0, w1):
            b.bits[WANT, m] = b.bits[FREE, m]
        for k in range(max(0, from_ - RESTED_S) // BUCKET_S, from_ // BUCKET_S + 1):
            at = k * b.t[0, BUCKET]
            for n in range(1, b.room[at] + 1):
                t = b.room[at + n]
                recent = b.t[t, BEGIN] < from_ and b.t[t, HELD] > from_ - RESTED_S
                if recent and b.t[b.t[t, ITEM], ON_STONE]:
                    for m in range(w0, w1):
                        b.bits[WANT, m] &= ~b.bits[CONFLICT0 + b.t[t, PLACE], m]
        for m in range(w0, w1):
            any_rested = any_rested or b.bits[WANT, m] != 0
        if any_rested:
            for m in range(w0, w1):
                b.bits[FREE, m] = b.bits[WANT, m]
    skip = draw(b, 4) if draw(b, 3) == 0 else 0
    found = -1
    for m in range(w0, w1):
        x = b.bits[FREE, m]
        while x:
            found = m * WORD + low_bit(x)
            if skip == 0:
                return found
            skip -= 1
            x &= x - 1
    return found


@compiled
def passed_over(b: Board, i: int) -> int:
    """How often a hand goes over another item on its way to item i, or over i on its way to another."""
    count = 0
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        if b.t[s, STANDS] == 0:
            continue
        p, from_, until = b.t[s, PLACE], b.t[s, BEGIN], b.t[s, HELD]
        first = from_ // BUCKET_S
        for k in range(first, until // BUCKET_S + 1):
            at = k * b.t[0, BUCKET]
            for n in range(1, b.room[at] + 1):
                t = b.room[at + n]
                if b.t[t, ITEM] == i or max(first, b.t[t, BEGIN] // BUCKET_S) != k:
                    continue
                if b.t[b.t[t, ITEM], PLACED] == 0:
                    continue
                q = b.t[t, PLACE]
                if b.bits[b.t[0, REACH0] + p, q // WORD] >> (q % WORD) & 1:
                    count += acts_within(b, s, b.t[t, BEGIN], b.t[t, HELD])
                if b.bits[b.t[0, REACH0] + q, p // WORD] >> (p % WORD) & 1:
                    count += acts_within(b, t, from_, until)
    return count


@compiled
def acts_within(b: Board, s: int, from_: int, until: int) -> int:
    """Acts on the hearth at stage s's place that start in [from_, until)."""
    i = b.t[s, ITEM]
    count = 0
    begin, end = b.t[s, BEGIN], b.t[s, HELD]
    for t in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        for which in range(2 + b.t[t, N_HANDLES]):
            if which == 0:
                k = b.t[t, S_BEGIN]
            elif which == 1:
                k = b.t[t, S_OUT]
            else:
                k = b.t[b.t[t, H0] + which - 2, H_SLOT]
            at = b.t[k, START]
            if at >= 0 and begin <= at < end and from_ <= at < until:
                count += 1
    return count


# --- one item ------------------------------------------------------------------------------------


@compiled
def remove_item(b: Board, i: int) -> None:
    """Give back all that item i holds, except what has begun or been told."""
    if b.t[0, USE_REACH] and b.t[i, PLACED]:
        b.t[0, CROSSED] -= passed_over(b, i)
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        give_hands(b, k)
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        unhang(b, s)
    move_platter(b, i, -1, -1)
    b.t[i, PLACED], b.t[i, RECOURSE], b.t[i, RECOURSE_S] = 0, NONE, 0
    b.f[i, OWN] = 0.0


@compiled
def reserve(b: Board, i: int) -> None:
    """While what has begun is off the board for a moment, its place stays its own until its band ends.

    So does its platter until it can be back.
    """
    if b.t[i, BEGUN]:
        s = b.t[i, ST0] + b.t[i, BEGUN] - 1
        due = b.t[s, BEGIN] + b.t[s, ASKED]
        b.t[s, HELD] = max(due + b.t[b.t[s, CHOICE], LATE], b.t[0, NOW]) + b.t[1, PULL]
        hang(b, s)
        served = max(due, b.t[0, NOW]) + b.t[i, REST] + b.t[0, PLATING]
        move_platter(b, i, b.t[b.t[i, ST0], BEGIN], served + b.t[0, TURNAROUND])


@compiled
def settle(b: Board, i: int) -> None:
    """Item i is booked: what it costs by itself, and whom it stands in the way of."""
    b.t[i, PLACED] = 1
    b.f[i, OWN] = own_cost(b, i)
    if b.t[0, USE_REACH]:
        b.t[0, CROSSED] += passed_over(b, i)


@compiled
def book_again(b: Board, i: int) -> None:
    """Take hands, stone and platter as the item's rows say."""
    take_up(b, i)
    take_platter(b, i)
    if b.t[0, USE_REACH] and b.t[i, PLACED]:
        b.t[0, CROSSED] += passed_over(b, i)


@compiled
def take_platter(b: Board, i: int) -> None:
    """Item i's platter is away as its rows say."""
    if b.t[i, OUT_FROM] >= 0:
        for t in range(b.t[i, OUT_FROM], b.t[i, OUT_TO]):
            b.busy[b.t[0, N_COOKS], t] += 1


@compiled
def take_up(b: Board, i: int) -> None:
    """Take hands and stone as the item's rows say."""
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        if b.t[k, START] >= 0 and b.t[k, FIXED] == 0:
            take_hands(b, k, b.t[k, ACT], b.t[k, START] * COOKS + b.t[k, COOK])
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        if b.t[s, STANDS]:
            hang(b, s)


@compiled
def take_again(b: Board, i: int) -> bool:
    """Book an unbooked item as its rows say, where that still can be; else its rows are emptied."""
    fits = fits_so(b, i)
    if fits and b.t[i, BANK]:
        until = b.t[i, LEAVE] + b.t[i, REST] + b.t[0, PLATING] + b.t[0, TURNAROUND]
        b.t[i, OUT_FROM] = -1
        fits = move_platter(b, i, b.t[b.t[i, ST0], BEGIN], until)
        move_platter(b, i, -1, -1)
        b.t[i, OUT_FROM], b.t[i, OUT_TO] = b.t[b.t[i, ST0], BEGIN], until
    if fits:
        b.t[i, PLACED] = 1
        book_again(b, i)
        b.f[i, OWN] = own_cost(b, i)
        return True
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        if b.t[k, FIXED] == 0:
            b.t[k, START] = -1
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        b.t[s, STANDS] = 0
    b.t[i, OUT_FROM], b.t[i, PLACED] = -1, 0
    return False


@compiled
def fits_so(b: Board, i: int) -> bool:
    """Whether hands and stone are free for an unbooked item as its rows say."""
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        start, cook, act = b.t[k, START], b.t[k, COOK], b.t[k, ACT]
        if start >= 0 and b.t[k, FIXED] == 0:
            if start < b.t[0, NOW] or b.t[1 + cook, act] < 0:
                return False
            for t in range(start, start + b.t[1 + cook, act]):
                if b.busy[cook, t] + b.t[NEED, act] > 2:
                    return False
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        word, bit = b.t[s, PLACE] // WORD, b.t[s, PLACE] % WORD
        b.bits[WANT, word] = 1 << bit
        if clear_places(b, i, b.t[s, BEGIN], b.t[s, HELD], b.t[s, RECOVERY], word, word + 1) >= 0:
            return False
    return True


@compiled
def move_platter(b: Board, i: int, from_: int, until: int) -> bool:
    """Item i's platter is away during [from_, until) (-1: not at all); False when the bank has none left."""
    if b.t[i, BANK] == 0:
        return True
    if b.t[i, OUT_FROM] >= 0:
        for t in range(b.t[i, OUT_FROM], b.t[i, OUT_TO]):
            b.busy[b.t[0, N_COOKS], t] -= 1
    b.t[i, OUT_FROM] = -1
    if from_ < 0:
        return True
    until = min(until, b.busy.shape[1])
    most = 0
    for t in range(from_, until):
        b.busy[b.t[0, N_COOKS], t] += 1
        most = max(most, b.busy[b.t[0, N_COOKS], t])
    b.t[i, OUT_FROM], b.t[i, OUT_TO] = from_, until
    return most <= b.t[0, PLATTERS]


@compiled
def row_at(b: Board, s: int, end: int) -> int:
    """The row of choices that holds for a stage ending then."""
    n = max(0, min((end - b.t[0, BIN0]) // b.t[0, BIN_SECONDS], b.t[s, N_ROWS] - 1))
    return b.t[s, ROW0] + n


@compiled
def stand(b: Board, s: int, place: int, begin: int, end: int, held: int, c: int, asked: int) -> None:
    """Stage s stands there during [begin, held) and cooks until `end`."""
    b.t[s, PLACE], b.t[s, BEGIN], b.t[s, END], b.t[s, HELD] = place, begin, end, held
    b.t[s, CHOICE], b.t[s, RECOVERY], b.t[s, ASKED] = c, b.t[c, C_RECOVERY], asked
    hang(b, s)


@compiled
def book_back(b: Board, i: int, leave: int, step: int, until: int) -> bool:
    """Book item i back from a pull in (leave - step, leave]; on False nothing stays booked.

    What cannot bend comes first: pull, cut, begin acts and places from the last stage to the first;
    then turns, spins and flips find gaps. Where that fails, `JUMP` holds a shift short of which it would
    again.
    """
    b.t[0, TRIES] += 1
    b.t[0, JUMP] = FAR_SHIFT_S
    pull = find_hands(b, PULL, leave, leave - step + 1, leave)
    if pull < 0:
        miss(b, PULL, leave - step + 1, leave)
        return False
    if rigid(b, i, pull, until) and turns(b, i):
        b.t[i, LEAVE] = pull // COOKS
        return True
    remove_item(b, i)
    return False


@compiled
def rigid(b: Board, i: int, pull: int, until: int) -> bool:
    last = b.t[i, ST0] + b.t[i, N_STAGES] - 1
    held = take_hands(b, b.t[last, S_OUT], PULL, pull)
    end = pull // COOKS
    b.t[i, LAST_ACT] = held
    if b.t[i, CUT_IT]:
        cut = find_hands(b, CUT, held, held, until)
        if cut < 0:
            note(b, 1)
            return False
        b.t[i, LAST_ACT] = take_hands(b, b.t[i, S_CUT], CUT, cut)
    s, joint_held, in_group = last, held, 0
    while s >= b.t[i, ST0]:
        row = row_at(b, s, end)
        done = False
        for c in range(b.t[row, 0], b.t[row, 0] + b.t[row, 1]):
            if stage_back(b, i, s, c, end, joint_held, in_group):
                done = True
                break
        if not done:
            return False
        begin = b.t[b.t[s, S_BEGIN], START]
        if b.t[s, STAYS]:
            in_group += 1
        else:
            cook, act = b.t[b.t[s, S_BEGIN], COOK], b.t[b.t[s, S_BEGIN], ACT]
            joint_held, in_group = begin + b.t[1 + cook, act], 0
        end = begin
        s -= 1
    return dress(b, i, end)


@compiled
def stage_back(b: Board, i: int, s: int, c: int, end: int, held: int, in_group: int) -> bool:
    """Begin act and place of one stage that ends at `end`, its place held until `held`.

    A stage that stays where the one before it stood leaves its places in `want` for that one to choose
    from; `in_group` says how many stages after this one do so.
    """
    first, seconds = s == b.t[i, ST0], b.t[c, SECONDS]
    act = LOAD if b.t[s, STAYS] else LAUNCH if first else MOVE
    floor = b.t[b.t[i, ORDER], CALLED] + (0 if first else b.t[1, LAUNCH])
    wish = end - seconds
    found = find_hands(b, act, wish, max(floor, wish - b.t[c, LATE]), wish + b.t[c, EARLY])
    if found < 0:
        miss(b, act, wish - b.t[c, LATE], wish + b.t[c, EARLY])
        return False
    begin = found // COOKS
    w0, w1, m = b.t[c, WORD0], b.t[c, WORD1], b.t[c, MASK]
    for n in range(w0, w1):
        b.bits[WANT, n] = b.bits[m, n]
    for t in range(s + 1, s + 1 + in_group):
        w0, w1 = max(w0, b.t[b.t[t, CHOICE], WORD0]), min(w1, b.t[b.t[t, CHOICE], WORD1])
        for n in range(w0, w1):
            b.bits[WANT, n] &= b.bits[b.t[b.t[t, CHOICE], MASK], n]
    if clear_places(b, i, begin, held, b.t[c, C_RECOVERY], w0, w1) >= 0:
        return False
    take_hands(b, b.t[s, S_BEGIN], act, found)
    b.t[s, CHOICE], b.t[s, BEGIN], b.t[s, END] = c, begin, end
    if b.t[s, STAYS]:
        return True
    place = pick_place(b, i, s, begin, w0, w1)
    for t in range(s + in_group, s, -1):
        ends = held if t == s + in_group else b.t[t + 1, BEGIN]
        c_t = b.t[t, CHOICE]
        stand(b, t, place, b.t[t, BEGIN], b.t[t, END], ends, c_t, b.t[c_t, SECONDS])
    stand(b, s, place, begin, end, held if in_group == 0 else b.t[s + 1, BEGIN], c, seconds)
    return True


@compiled
def dress(b: Board, i: int, launch: int) -> bool:
    """The bench's part, ending as short before the launch as hands allow, no earlier than the call."""
    if b.t[i, DRESSED] == 0:
        return True
    called, best, best_end = b.t[b.t[i, ORDER], CALLED], -1, -1
    for cook in range(b.t[0, N_COOKS]):
        seconds = b.t[1 + cook, DRESS]
        if seconds < 0:
            continue
        t, low = launch - seconds, max(b.t[0, NOW], called, launch - seconds - DRESS_WAIT_S)
        while t >= low and t + seconds > best_end:
            bad = -1
            for k in range(t, t + seconds):
                if b.busy[cook, k] > 2 - b.t[NEED, DRESS]:
                    bad = k
                    break
            if bad < 0:
                best, best_end = t * COOKS + cook, t + seconds
            t = t - 1 if bad < 0 else bad - seconds
    if best < 0:
        note(b, 1)
        return False
    take_hands(b, b.t[i, S_DRESS], DRESS, best)
    return True


@compiled
def turns(b: Board, i: int) -> bool:
    """Every turn, spin and flip near its fraction of its stage, one after the other."""
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        k = b.t[s, S_BEGIN]
        after = b.t[k, START] + b.t[1 + b.t[k, COOK], b.t[k, ACT]]
        if not stage_turns(b, s, b.t[s, BEGIN], b.t[s, END], after):
            return False
    return True


@compiled
def stage_turns(b: Board, s: int, begin: int, end: int, after: int) -> bool:
    seconds = end - begin
    slack = turn_slack(seconds)
    for h in range(b.t[s, H0], b.t[s, H0] + b.t[s, N_HANDLES]):
        k, act = b.t[h, H_SLOT], b.t[h, H_ACT]
        if b.t[k, FIXED]:
            after = max(after, b.t[k, START] + b.t[1 + b.t[k, COOK], act])
            continue
        wish = begin + round(b.f[h, 0] * seconds)
        low, high = max(after, wish - slack), min(wish + slack, end - b.t[1, act])
        found = find_hands(b, act, wish, low, high)
        if found < 0:
            miss(b, act, low, high)
            return False
        after = take_hands(b, k, act, found)
        if after > end:
            note(b, 1)
            return False
    return True


@compiled
def own_cost(b: Board, i: int) -> float:
    """What an item costs by itself: seconds off its minutes, recourse, and changes of what was told."""
    found = 0.0
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        if b.t[s, STANDS]:
            off = abs(b.t[s, END] - b.t[s, BEGIN] - b.t[s, ASKED])
            found += b.f[W_OFF, 0] * b.f[b.t[s, CHOICE], 0] * off
            ahead, told = b.t[s, TOLD_AT] - b.t[0, NOW], b.t[s, TOLD_PLACE]
            if 0 <= ahead < TOLD_FAR_S and told >= 0 and b.t[s, PLACE] != told:
                found += b.f[W_CHANGED, 0]
        found += told_cost(b, b.t[s, S_BEGIN]) + told_cost(b, b.t[s, S_OUT])
        for h in range(b.t[s, H0], b.t[s, H0] + b.t[s, N_HANDLES]):
            found += told_cost(b, b.t[h, H_SLOT])
    for which in range(2):
        k = b.t[i, S_DRESS] if which else b.t[i, S_CUT]
        if k >= 0:
            found += told_cost(b, k)
    price = b.f[W_PARKED, 0] if b.t[i, RECOURSE] == PARKED else b.f[W_OVERRUN, 0]
    return found + price * b.t[i, RECOURSE_S]


@compiled
def told_cost(b: Board, k: int) -> float:
    told, start = b.t[k, TOLD], b.t[k, START]
    if told < 0 or start < 0:
        return 0.0
    ahead = told - b.t[0, NOW]
    if ahead < 0 or ahead >= TOLD_FAR_S:
        return 0.0
    shift = max(0, abs(start - told) - SAME_S)
    return (b.f[W_TOLD, 0] if ahead < TOLD_S else b.f[W_TOLD_FAR, 0]) * shift


# --- what has begun, and what is done as soon as can be ---------------------------------------------


@compiled
def seat_next(b: Board, i: int, s: int, begin: int, held: int, end: int) -> bool:
    """A place for stage s during [begin, held), by its wishes in turn; it cooks until `end`."""
    row = row_at(b, s, end)
    for c in range(b.t[row, 0], b.t[row, 0] + b.t[row, 1]):
        w0, w1 = b.t[c, WORD0], b.t[c, WORD1]
        for n in range(w0, w1):
            b.bits[WANT, n] = b.bits[b.t[c, MASK], n]
        if clear_places(b, i, begin, held, b.t[c, C_RECOVERY], w0, w1) < 0:
            place = pick_place(b, i, s, begin, w0, w1)
            stand(b, s, place, begin, end, held, c, b.t[c, SECONDS])
            return True
    return False


@compiled
def forward(b: Board, i: int, s: int, at: int) -> bool:
    """Stages s to the last, one after the other, each as early as hands and stone allow from `at`."""
    last = b.t[i, ST0] + b.t[i, N_STAGES] - 1
    while s <= last:
        row = row_at(b, s, at)
        best, best_c = b.t[0, HORIZON] + 1, -1
        for c in range(b.t[row, 0], b.t[row, 0] + b.t[row, 1]):
            found = earliest(b, i, c, at, best)
            if found >= 0 and found < best:
                best, best_c = found, c
        if best_c < 0:
            return False
        begin = find_hands(b, LAUNCH, best, best, best)
        end = best + b.t[best_c, SECONDS]
        w0, w1 = b.t[best_c, WORD0], b.t[best_c, WORD1]
        out = find_hands(b, PULL, end, end - b.t[best_c, EARLY], end + b.t[best_c, LATE])
        if begin < 0 or out < 0:
            return False
        end = out // COOKS
        held = end + b.t[1 + out % COOKS, PULL]
        for n in range(w0, w1):
            b.bits[WANT, n] = b.bits[b.t[best_c, MASK], n]
        if clear_places(b, i, best, held, b.t[best_c, C_RECOVERY], w0, w1) >= 0:
            return False
        take_hands(b, b.t[s, S_BEGIN], LAUNCH, begin)
        take_hands(b, b.t[s, S_OUT], PULL, out)
        place = pick_place(b, i, s, best, w0, w1)
        stand(b, s, place, best, end, held, best_c, b.t[best_c, SECONDS])
        if not stage_turns(b, s, best, end, best + b.t[1 + begin % COOKS, LAUNCH]):
            return False
        at = held
        s += 1
    b.t[i, LEAVE], b.t[i, LAST_ACT] = b.t[last, END], at
    return True


@compiled
def earliest(b: Board, i: int, c: int, at: int, before: int) -> int:
    """The first second in [at, before) at which choice c can be launched and later pulled; -1 if none."""
    w0, w1 = b.t[c, WORD0], b.t[c, WORD1]
    while at < before:
        found = find_hands(b, LAUNCH, at, at, before)
        if found < 0:
            return -1
        at = found // COOKS
        end = at + b.t[c, SECONDS]
        out = find_hands(b, PULL, end, end - b.t[c, EARLY], end + b.t[c, LATE])
        if out < 0:
            at += 1
            continue
        end = out // COOKS
        for n in range(w0, w1):
            b.bits[WANT, n] = b.bits[b.t[c, MASK], n]
        held = end + b.t[1 + out % COOKS, PULL]
        again = clear_places(b, i, at, held, b.t[c, C_RECOVERY], w0, w1)
        if again < 0:
            return at
        at = again
    return -1


@compiled
def book_begun(b: Board, i: int, target: int) -> None:
    """Carry on with an item that has begun, so that it is ready near `target`; something is always found.

    Within its bands where hands and stone allow; else it overruns, is parked off the hearth, or comes off
    early, whichever comes first in that order; each is priced.
    """
    b.t[0, TRIES] += 1
    remove_item(b, i)
    first = b.t[i, ST0]
    last = first + b.t[i, N_STAGES] - 1
    for s in range(first, first + b.t[i, BEGUN]):
        hang(b, s)
    s = first + b.t[i, BEGUN] - 1
    while True:
        k = b.t[s, S_BEGIN]
        after = b.t[k, START] + b.t[1 + b.t[k, COOK], b.t[k, ACT]]
        end = end_begun(b, i, s, after, target)
        if s == last or end < 0 or b.t[i, RECOURSE] >= PULLED_EARLY:
            break
        s += 1
    ready = max(target, b.t[i, LEAVE] + b.t[i, REST])
    move_platter(b, i, b.t[first, BEGIN], ready + b.t[0, TURNAROUND])
    if b.t[i, CUT_IT]:
        k = b.t[i, S_CUT]
        if b.t[k, FIXED]:
            b.t[i, LAST_ACT] = b.t[k, START] + b.t[1 + b.t[k, COOK], CUT]
        else:
            cut = find_hands(b, CUT, b.t[i, LAST_ACT], b.t[i, LAST_ACT], b.t[0, HORIZON])
            b.t[i, LAST_ACT] = take_hands(b, k, CUT, cut)
    settle(b, i)


@compiled
def end_begun(b: Board, i: int, s: int, after: int, target: int) -> int:
    """Turns and end of a stage that stands, and the begin of the next; when it ends."""
    last = b.t[i, ST0] + b.t[i, N_STAGES] - 1
    c, begin, asked = b.t[s, CHOICE], b.t[s, BEGIN], b.t[s, ASKED]
    due = begin + asked
    low, high = due - b.t[c, EARLY], due + b.t[c, LATE]
    rest_of = b.t[i, REST]
    for t in range(s + 1, last + 1):
        rest_of += b.t[b.t[row_at(b, t, due), 0], SECONDS]
    late_turns = begun_turns(b, s, begin, due, after)
    low, high = max(low, late_turns), max(high, late_turns)
    wish = min(max(target - rest_of, low), high)
    if s == last:
        return pull_begun(b, i, s, wish, low, high, due)
    act = LOAD if b.t[s + 1, STAYS] else MOVE
    for wait in range(0, 61, 10):
        found = find_hands(b, act, wish, low, high + wait)
        if found >= 0 and next_begun(b, i, s, act, found):
            over_price(b, i, found // COOKS, due - b.t[c, EARLY], due + b.t[c, LATE])
            return found // COOKS
        wish = high + wait
        low = max(low, wish + 1)
    return park(b, i, s, low, due)


@compiled
def next_begun(b: Board, i: int, s: int, act: int, found: int) -> bool:
    """Stage s + 1 begun with that act, where there is room for it."""
    begin, hands = found // COOKS, b.t[1 + found % COOKS, act]
    c = b.t[row_at(b, s + 1, begin), 0]
    end = begin + b.t[c, SECONDS]
    if act == LOAD:
        held = end + b.t[c, LATE] + b.t[1, PULL]
        unhang(b, s)
        b.t[s, END], b.t[s, HELD] = begin, begin
        hang(b, s)
        stand(b, s + 1, b.t[s, PLACE], begin, end, held, c, b.t[c, SECONDS])
    else:
        if not seat_next(b, i, s + 1, begin, end + b.t[c, LATE] + b.t[1, PULL], end):
            return False
        unhang(b, s)
        b.t[s, END], b.t[s, HELD] = begin, begin + hands
        hang(b, s)
    take_hands(b, b.t[s + 1, S_BEGIN], act, found)
    return True


@compiled
def pull_begun(b: Board, i: int, s: int, wish: int, low: int, high: int, due: int) -> int:
    """The pull of an item that has begun: within its band, else as soon after as hands allow."""
    k = b.t[s, S_OUT]
    if b.t[k, FIXED]:
        end, held = b.t[k, START], b.t[k, START] + b.t[1 + b.t[k, COOK], PULL]
    else:
        found = find_hands(b, PULL, wish, low, high)
        if found < 0:
            found = find_hands(b, PULL, high, high, b.t[0, HORIZON])
        end, held = found // COOKS, take_hands(b, k, PULL, found)
    c = b.t[s, CHOICE]
    over_price(b, i, end, due - b.t[c, EARLY], due + b.t[c, LATE])
    unhang(b, s)
    b.t[s, END], b.t[s, HELD] = end, held
    hang(b, s)
    b.t[i, LEAVE], b.t[i, LAST_ACT] = end, held
    return end


@compiled
def over_price(b: Board, i: int, end: int, low: int, high: int) -> None:
    """Note by how much an end misses its band."""
    off = max(0, low - end, end - high)
    if off and b.t[i, RECOURSE] < PULLED_EARLY:
        b.t[i, RECOURSE] = OVERRUN
        b.t[i, RECOURSE_S] += off


@compiled
def begun_turns(b: Board, s: int, begin: int, due: int, after: int) -> int:
    """Turns of a stage that stands, each as near its moment as hands allow; when the last is done."""
    for h in range(b.t[s, H0], b.t[s, H0] + b.t[s, N_HANDLES]):
        k, act = b.t[h, H_SLOT], b.t[h, H_ACT]
        if b.t[k, FIXED] == 0:
            wish = begin + round(b.f[h, 0] * (due - begin))
            found = find_hands(b, act, max(wish, after), after, b.t[0, HORIZON])
            take_hands(b, k, act, found)
        after = max(after, b.t[k, START] + b.t[1 + b.t[k, COOK], act])
    return after


@compiled
def park(b: Board, i: int, s: int, low: int, due: int) -> int:
    """Off the hearth at once, on again as soon as there is room; else it stays off, done as it is."""
    k = b.t[s, S_OUT]
    found = find_hands(b, PULL, low, low, b.t[0, HORIZON])
    held = take_hands(b, k, PULL, found)
    unhang(b, s)
    b.t[s, END], b.t[s, HELD] = found // COOKS, held
    hang(b, s)
    b.t[i, LEAVE], b.t[i, LAST_ACT] = found // COOKS, held
    c = b.t[s, CHOICE]
    over_price(b, i, found // COOKS, due - b.t[c, EARLY], due + b.t[c, LATE])
    if b.t[s + 1, STAYS] == 0 and forward(b, i, s + 1, held):
        b.t[i, RECOURSE] = PARKED
        b.t[i, RECOURSE_S] += b.t[s + 1, BEGIN] - held
        return found // COOKS
    last = b.t[i, ST0] + b.t[i, N_STAGES] - 1
    b.t[i, RECOURSE] = PULLED_EARLY
    for t in range(s + 1, last + 1):
        give_hands(b, b.t[t, S_BEGIN])
        give_hands(b, b.t[t, S_OUT])
        for h in range(b.t[t, H0], b.t[t, H0] + b.t[t, N_HANDLES]):
            give_hands(b, b.t[h, H_SLOT])
        unhang(b, t)
        b.t[i, RECOURSE_S] += b.t[b.t[row_at(b, t, held), 0], SECONDS]
    b.t[i, LEAVE], b.t[i, LAST_ACT] = found // COOKS, held
    return -1


# --- one order -----------------------------------------------------------------------------------


@compiled
def late_cost(b: Board, o: int, landing: int) -> float:
    """Lateness or earliness of an order that lands then."""
    late = landing - b.t[o, WANTED]
    if late < 0:
        return b.f[o, WEIGHT] * (b.f[W_EARLY, 0] * -late + b.f[W_HASTY, 0] * max(0, -late - HASTY_S))
    found = b.f[W_LATE, 0] * late
    found += b.f[W_BEYOND, 0] * max(0, late - b.t[0, LATE_AFTER]) + b.f[W_LONG, 0] * max(0, late - LONG_S)
    return b.f[o, WEIGHT] * found


@compiled
def order_cost(b: Board, o: int) -> float:
    """All an order costs, its items booked; sets when each is ready and when it lands."""
    first, n = b.t[o, I0], b.t[o, N_ITEMS]
    last = worked = 0
    for i in range(first, first + n):
        last = max(last, b.t[i, LEAVE] + b.t[i, REST])
        worked = max(worked, b.t[i, LAST_ACT])
    soonest, loose = last, 0
    found = 0.0
    landing = max(last + b.t[0, PLATING], worked, b.t[o, NOT_BEFORE])
    for i in range(first, first + n):
        ready = b.t[i, LEAVE] + b.t[i, REST]
        ready = min(last, ready + b.t[i, SLACK])
        b.t[i, READY] = ready
        soonest, loose = min(soonest, ready), max(loose, last - b.t[i, LEAVE] - b.t[i, REST])
        found += b.f[i, OWN]
        found += b.f[W_OVERHELD, 0] * max(0, landing - b.t[0, PLATING] - ready - b.t[i, HOLD])
    spread = last - soonest
    found += b.f[o, WEIGHT] * (b.f[W_SPREAD, 0] * max(0, spread - b.t[0, TOGETHER]) + b.f[W_CLOSE, 0] * loose)
    b.t[o, LANDING] = landing
    return found + late_cost(b, o, landing)


@compiled
def place_item(b: Board, i: int, target: int, ceiling: float) -> bool:
    """Book item i ready as near `target` as costs least; False when that would cost `ceiling` or more.

    Early and late ready times are tried by what they cost the table at the least; a try that fails says
    how far to the next that may not, and after many they grow coarser.
    """
    o = b.t[i, ORDER]
    if b.t[i, BEGUN]:
        book_begun(b, i, target)
        return True
    if b.t[i, ASAP]:
        if not forward(b, i, b.t[i, ST0], max(b.t[0, NOW], b.t[o, CALLED])):
            remove_item(b, i)
            return False
        settle(b, i)
        return True
    soonest = max(b.t[0, NOW], b.t[o, CALLED]) + b.t[i, SHORT] + b.t[i, REST]
    target = max(target, soonest)
    base = late_cost(b, o, target + b.t[0, PLATING])
    early, late, least, tried = 0, 1, 1, 0
    while True:
        by_early = FAR
        if target - early >= soonest and early <= EARLY_S:
            by_early = early_price(b, i, o, early)
        by_late = FAR
        if late <= LATE_S:
            by_late = late_cost(b, o, target + late + b.t[0, PLATING]) - base
        if min(by_early, by_late) >= ceiling:
            return False
        b.t[0, WAY] = -1 if by_early <= by_late else 1
        ready = target - early if by_early <= by_late else target + late
        lands = max(ready, target) + b.t[0, PLATING]
        if book_back(b, i, ready - b.t[i, REST], least, lands + 60):
            if move_platter(b, i, b.t[b.t[i, ST0], BEGIN], lands + b.t[0, TURNAROUND]):
                break
            remove_item(b, i)
            b.t[0, JUMP] = 1
        if by_early <= by_late:
            early += max(least, b.t[0, JUMP])
        else:
            late += max(least, b.t[0, JUMP])
        tried += 1
        if tried % 32 == 0 and least < 40:
            least += least
    settle(b, i)
    return True


@compiled
def early_price(b: Board, i: int, o: int, early: int) -> float:
    """What it costs at the least to be ready so much before the rest of the table."""
    loose = max(0, early - b.t[i, SLACK])
    found = b.f[o, WEIGHT] * (b.f[W_CLOSE, 0] * early + b.f[W_SPREAD, 0] * max(0, loose - b.t[0, TOGETHER]))
    return found + b.f[W_OVERHELD, 0] * max(0, loose - b.t[i, HOLD])


@compiled
def place_order(b: Board, o: int, target: int, ceiling: float) -> float:
    """Book what of an order is not booked, around one ready time; its cost, or FAR when over `ceiling`.

    Longest first, with a little noise. On FAR some items may be booked: the caller takes them off.
    """
    first, n = b.t[o, I0], b.t[o, N_ITEMS]
    noise, loose = 3.0 if draw(b, 4) == 0 else 0.3, False
    for i in range(first, first + n):
        b.f[i, KEY] = b.t[i, SHORT] * (1 + noise * chance(b)) + (1e6 if b.t[i, BEGUN] else 0.0)
        if b.t[i, PLACED]:
            target = max(target, b.t[i, LEAVE] + b.t[i, REST])
        else:
            b.f[i, KEY] += LOOSE
            loose = True
    for attempt in range(ATTEMPTS if loose else 0):
        reached = place_around(b, o, target, ceiling)
        if reached < 0:
            return FAR
        if reached <= target + b.t[0, TOGETHER] or attempt == ATTEMPTS - 1:
            break
        for i in range(first, first + n):
            if b.f[i, KEY] >= LOOSE and b.t[i, BEGUN] == 0:
                remove_item(b, i)
        target = reached
    found = order_cost(b, o)
    back = b.t[o, LANDING] + b.t[0, TURNAROUND]
    for i in range(first, first + n):
        away = b.t[i, BANK] and not move_platter(b, i, b.t[b.t[i, ST0], BEGIN], back)
        if away and (b.t[i, BEGUN] == 0 or ceiling < FAR):  # of a first schedule what has begun stands anyhow
            return FAR
    b.f[o, COST] = found
    return found if found < ceiling else FAR


@compiled
def place_around(b: Board, o: int, target: int, ceiling: float) -> int:
    """Book what of an order is not booked around `target`; when the last is ready, -1 when over `ceiling`."""
    first, n = b.t[o, I0], b.t[o, N_ITEMS]
    while True:
        next_ = -1
        for i in range(first, first + n):
            if b.t[i, PLACED] == 0 and (next_ < 0 or b.f[i, KEY] > b.f[next_, KEY]):
                next_ = i
        if next_ < 0:
            return target
        certain = late_cost_at(b, o, target)
        if certain >= ceiling or not place_item(b, next_, target, ceiling - certain):
            return -1
        target = max(target, b.t[next_, LEAVE] + b.t[next_, REST])


@compiled
def late_cost_at(b: Board, o: int, target: int) -> float:
    """Lateness that is certain once plates are ready at `target`; earliness may still go away."""
    landing = target + b.t[0, PLATING]
    return late_cost(b, o, landing) if landing > b.t[o, WANTED] else 0.0


# --- sliding: the best times for the order things stand in -----------------------------------------


@compiled
def slides(b: Board) -> None:
    """Slide what is late earlier, then what need not be early later again.

    At times orders in time may land up to `SOONER_S` early on the way, to make room for the late ones.
    """
    if slide(b, -1, draw(b, SOONER_S) if draw(b, 2) else 0):
        slide(b, 1, 0)


@compiled
def slide(b: Board, way: int, most_early: int) -> bool:
    """Shift acts as far as they go, earlier (-1) or later (1), on their stone, in their turn and bands.

    Nothing overtakes anything: two acts of one cook and two stays on the same stone keep their order. Then
    the greatest shifts under "no more than this" and "no more than that one's plus the gap between" are
    shortest paths, found by going over the gaps until none binds (Bellman 1958; simple temporal problems,
    Dechter, Meiri and Pearl 1991). Earlier go late orders, others until they land `most_early` before they
    are wanted; later goes what lands early. Only rows say so until `settled`. False when nothing was moved.
    """
    n = caps(b, way, most_early)
    if n < 0:
        return False
    n = gaps_of_tables(b, way, gaps_of_stone(b, way, gaps_of_hands(b, way, n)))
    return tightest(b, n) and shifted(b, way, 0)


@compiled
def tightest(b: Board, n: int) -> bool:
    """The greatest shifts all gaps allow; False where too many passes are needed, or gaps find no room."""
    turn, left = 0, 2 * PASSES if n < b.t[0, GAPS_END] else 0
    while turn < left and tighten(b, n, turn % 2):
        turn += 1
    return turn < left


@compiled
def tighten(b: Board, n: int, back: int) -> bool:
    """Go over all gaps, forth or back; whether one made a shift smaller."""
    changed, first = False, b.t[0, GAPS0]
    for k in range(first, n, 3):
        g = n - 3 - k + first if back else k
        held = b.room[g + 1]
        most = b.t[b.room[g], SHIFT] + max(0, b.room[g + 2])
        if b.t[held, SHIFT] > most:
            b.t[held, SHIFT], changed = most, True
    return changed


@compiled
def hold(b: Board, n: int, by: int, held: int, between: int) -> int:
    """Act slot `held` shifts no further than `by` and what is between, noted at n; where the next goes."""
    if by == held or between >= b.t[held, SHIFT] or n >= b.t[0, GAPS_END]:
        return n
    b.room[n], b.room[n + 1], b.room[n + 2] = by, held, between
    return n + 3


@compiled
def apart(b: Board, n: int, way: int, first: int, then: int, seconds: int) -> int:
    """Act `then` starts no less than so many seconds after act `first` does."""
    slack = b.t[then, START] - b.t[first, START] - seconds
    return hold(b, n, first, then, slack) if way < 0 else hold(b, n, then, first, slack)


@compiled
def near(b: Board, n: int, way: int, first: int, then: int, seconds: int) -> int:
    """Act `then` starts no more than so many seconds after act `first` does."""
    slack = b.t[first, START] + seconds - b.t[then, START]
    return hold(b, n, then, first, slack) if way < 0 else hold(b, n, first, then, slack)


@compiled
def may_move(b: Board, i: int) -> bool:
    """Whether an item is booked and none of it has begun or been told."""
    free = b.t[i, PLACED] > 0 and b.t[i, BEGUN] == 0
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        free = free and b.t[k, FIXED] == 0
    return free


@compiled
def caps(b: Board, way: int, most_early: int) -> int:
    """How far each act may shift at the most; how many gaps items have within, -1 when no table moves."""
    some, n = False, b.t[0, GAPS0]
    for k in range(b.t[0, SLOT0], b.t[0, ROWS]):
        b.t[k, SHIFT] = 0
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        most = b.t[o, WANTED] - b.t[o, LANDING]
        if way < 0:
            most = min(most_early - most, b.t[o, LANDING] - b.t[o, NOT_BEFORE])
        some = some or most > 0
        for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
            b.t[i, MOVES] = may_move(b, i)
            if b.t[i, MOVES] and (way < 0 or b.t[i, ASAP] == 0):
                n = caps_of_item(b, i, way, max(0, most), n)
    return n if some else -1


@compiled
def caps_of_item(b: Board, i: int, way: int, most: int, n: int) -> int:
    """Acts not before the call, stages not out of their row, the pull by `most` (later: or to the last).

    The item's own gaps are noted from `n` on, where they may bind; how many gaps there are then.
    """
    o = b.t[i, ORDER]
    floor = max(b.t[0, NOW], b.t[o, CALLED])
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        if b.t[k, START] >= 0:
            b.t[k, SHIFT] = b.t[k, START] - floor if way < 0 else b.t[0, HORIZON] - b.t[k, START]
    keep_rows(b, i, way)
    ready = b.t[o, LANDING] - b.t[0, PLATING]
    pull = b.t[b.t[i, ST0] + b.t[i, N_STAGES] - 1, S_OUT]
    spare = 0 if way < 0 else max(0, ready - b.t[i, LEAVE] - b.t[i, REST])
    b.t[pull, SHIFT] = min(b.t[pull, SHIFT], most + spare)
    k = b.t[i, S_CUT]
    if way > 0 and b.t[k, START] >= 0:
        done = b.t[k, START] + b.t[1 + b.t[k, COOK], CUT]
        b.t[k, SHIFT] = min(b.t[k, SHIFT], most + b.t[o, LANDING] - done)
    end = gaps_of_item(b, i, way, n)
    for g in range(end - 3, n - 1, -3):
        held = b.room[g + 1]
        b.t[held, SHIFT] = min(b.t[held, SHIFT], b.t[b.room[g], SHIFT] + max(0, b.room[g + 2]))
    if b.t[i, BANK]:
        k = b.t[b.t[i, ST0], S_BEGIN]
        b.t[k, SHIFT] = min(b.t[k, SHIFT], platter_free(b, i, way, b.t[k, SHIFT]))
    for g in range(n, end, 3):
        n = hold(b, n, b.room[g], b.room[g + 1], b.room[g + 2])
    return n


@compiled
def keep_rows(b: Board, i: int, way: int) -> None:
    """No stage of an item shifts to where another row of choices holds."""
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        if b.t[s, N_ROWS] > 1:
            k = ends_with(b, i, s)
            within = (b.t[s, END] - b.t[0, BIN0]) % b.t[0, BIN_SECONDS]
            most = within if way < 0 else b.t[0, BIN_SECONDS] - 1 - within
            b.t[k, SHIFT] = min(b.t[k, SHIFT], most)


@compiled
def platter_free(b: Board, i: int, way: int, most: int) -> int:
    """How far the platter of item i may be taken sooner, or all of it be later, while the bank has one."""
    begin = b.t[i, OUT_FROM] if way < 0 else b.t[i, OUT_TO] - 1
    for shift in range(1, most + 1):
        t = begin + way * shift
        if t < 0 or t >= b.busy.shape[1] or b.busy[b.t[0, N_COOKS], t] >= b.t[0, PLATTERS]:
            return shift - 1
    return most


@compiled
def ends_with(b: Board, i: int, s: int) -> int:
    """The slot of the act whose start ends stage s: its pull, or the begin of the next."""
    pulled = s == b.t[i, ST0] + b.t[i, N_STAGES] - 1 or b.t[b.t[s, S_OUT], START] >= 0
    return b.t[s, S_OUT] if pulled else b.t[s + 1, S_BEGIN]


@compiled
def line_up(b: Board, first: int, end: int, column: int) -> None:
    """Rows in the order of that column; there is a line from before, so that few change places."""
    for k in range(first + 1, end):
        row = b.t[k, LINE]
        at, j = b.t[row, column], k - 1
        while j >= first and b.t[b.t[j, LINE], column] > at:
            b.t[j + 1, LINE] = b.t[j, LINE]
            j -= 1
        b.t[j + 1, LINE] = row


@compiled
def gaps_of_hands(b: Board, way: int, n: int) -> int:
    """Gaps between each act and those before it of the same cook: the last to start, the last to end."""
    line_up(b, b.t[0, SLOT0], b.t[0, ROWS], START)
    for cook in range(b.t[0, N_COOKS]):
        before = longest = 0
        before_end = longest_end = b.t[1 + cook, FREE_FROM]
        for place in range(b.t[0, SLOT0], b.t[0, ROWS]):
            k = b.t[place, LINE]
            seconds = b.t[1 + cook, b.t[k, ACT]]
            no_work = seconds == 0 and b.t[b.t[0, ITEM0], ASAP] > 0
            if b.t[k, START] < 0 or b.t[k, COOK] != cook or no_work:
                continue
            start = b.t[k, START]
            n = after_hands(b, way, n, before, k, start - before_end)
            if longest != before:
                n = after_hands(b, way, n, longest, k, start - longest_end)
            before, before_end = k, start + seconds
            if before_end > longest_end:
                longest, longest_end = k, before_end
    return n


@compiled
def after_hands(b: Board, way: int, n: int, first: int, then: int, between: int) -> int:
    """Act `then` comes after act `first` of its cook; where a hand does for each they may overlap."""
    if first and b.t[NEED, b.t[first, ACT]] + b.t[NEED, b.t[then, ACT]] <= 2:
        between = max(0, between)
    return hold(b, n, first, then, between) if way < 0 else hold(b, n, then, first, between)


@compiled
def gaps_of_item(b: Board, i: int, way: int, n: int) -> int:
    """What item i asks of its own acts: dressed in time, stages within their bands, cut after the pull.

    No stage becomes shorter than asked: bands are for the hands, not for beating the clock.
    """
    first = b.t[i, ST0]
    if b.t[i, DRESSED]:
        k, launch = b.t[i, S_DRESS], b.t[first, S_BEGIN]
        seconds = b.t[1 + b.t[k, COOK], DRESS]
        n = near(b, apart(b, n, way, k, launch, seconds), way, k, launch, seconds + DRESS_WAIT_S)
    for s in range(first, first + b.t[i, N_STAGES]):
        begin, end, c = b.t[s, S_BEGIN], ends_with(b, i, s), b.t[s, CHOICE]
        seconds = b.t[s, END] - b.t[s, BEGIN]
        least, most = min(b.t[s, ASKED], seconds), max(b.t[s, ASKED] + b.t[c, LATE], seconds)
        if not turns_bend(b, s, least, most):
            least = most = seconds
        n = gaps_of_turns(b, s, way, n, least, most)
        n = near(b, apart(b, n, way, begin, end, least), way, begin, end, most)
        if s > first and ends_with(b, i, s - 1) != begin:
            out = b.t[s - 1, S_OUT]
            seconds = b.t[1 + b.t[out, COOK], PULL]
            n = near(b, apart(b, n, way, out, begin, seconds), way, out, begin, seconds + b.t[s, BUFFER])
    if b.t[i, CUT_IT]:
        pull = b.t[first + b.t[i, N_STAGES] - 1, S_OUT]
        n = apart(b, n, way, pull, b.t[i, S_CUT], b.t[1 + b.t[pull, COOK], PULL])
    return n


@compiled
def turn_slack(seconds: int) -> int:
    return max(TURN_SLACK_S, round(TURN_SLACK * seconds))


@compiled
def soonest_turn(b: Board, h: int, most: int) -> int:
    """How long after its stage begins handle h may come soonest, however long up to `most` the stage is.

    The longer the stage the later, for a fraction above `TURN_SLACK`.
    """
    return round(b.f[h, 0] * most) - turn_slack(most)


@compiled
def latest_turn(b: Board, h: int, least: int) -> int:
    """How long after its stage begins handle h may come latest, however short down to `least` that is."""
    return round(b.f[h, 0] * least) + turn_slack(least)


@compiled
def turns_bend(b: Board, s: int, least: int, most: int) -> bool:
    """Whether every turn of the stage stays near its moment at any length in that range."""
    bend = True
    for h in range(b.t[s, H0], b.t[s, H0] + b.t[s, N_HANDLES]):
        after = b.t[b.t[h, H_SLOT], START] - b.t[s, BEGIN]
        within = soonest_turn(b, h, most) <= after <= latest_turn(b, h, least)
        bend = bend and within and b.f[h, 0] > TURN_SLACK
    return bend


@compiled
def gaps_of_turns(b: Board, s: int, way: int, n: int, least: int, most: int) -> int:
    """Each turn near its moment however long the stage becomes, after the act before it, before the end."""
    i, begin = b.t[s, ITEM], b.t[s, S_BEGIN]
    before, hands = begin, b.t[1 + b.t[begin, COOK], b.t[begin, ACT]]
    for h in range(b.t[s, H0], b.t[s, H0] + b.t[s, N_HANDLES]):
        k = b.t[h, H_SLOT]
        low, high = soonest_turn(b, h, most), latest_turn(b, h, least)
        n = near(b, apart(b, n, way, begin, k, low), way, begin, k, high)
        n = apart(b, n, way, before, k, hands)
        before, hands = k, b.t[1 + b.t[k, COOK], b.t[k, ACT]]
    return apart(b, n, way, before, ends_with(b, i, s), hands)


@compiled
def gaps_of_stone(b: Board, way: int, n: int) -> int:
    """Gaps between stays where one stands in the way of the other, without what other gaps imply.

    Of three stays, each in the way of the next and the first in that of the last, the first and the last
    need none: the one between takes its time. So the line of stays is followed back from each only until
    places near it are all behind others. What cannot move is held against all.
    """
    first, end, furthest, longest, out, tall = b.t[0, STAGE0], b.t[0, STAGE1], 0, 0, 0, 0
    if b.t[0, STONE_BINDS] == 0:
        return n
    line_up(b, first, end, BEGIN)
    for s in range(first, end):
        i = b.t[s, ITEM]
        if b.t[s, STANDS] and i != b.t[0, ITEM1]:
            furthest = max(furthest, b.t[ends_with(b, i, s), SHIFT])
            longest, out = max(longest, b.t[s, HELD] - b.t[s, BEGIN]), max(out, b.t[s, HELD] - b.t[s, END])
            tall = max(tall, b.t[i, TALL])
    longest += b.t[0, LONGEST_RECOVERY]
    for place in range(first, end):
        s = b.t[place, LINE]
        i = b.t[s, ITEM]
        if b.t[s, STANDS] == 0:
            continue
        if i == b.t[0, ITEM1] or b.t[i, MOVES] == 0:
            n = gaps_of_fixed(b, way, n, s)
            continue
        reach = b.t[b.t[s, S_BEGIN], SHIFT] if way < 0 else furthest
        if reach > 0:
            near_it(b, s, tall)
            n = gaps_before(b, way, n, place, reach + longest, b.t[0, LONGEST_RECOVERY] + out)
    return n


@compiled
def near_it(b: Board, s: int, tall: int) -> None:
    """Places, into `free`, at which something may be in the way of stay s."""
    i, p = b.t[s, ITEM], b.t[s, PLACE]
    for m in range(b.bits.shape[1]):
        x = b.bits[CONFLICT0 + p, m]
        if b.t[i, SPITS] | b.t[i, GUARDS]:
            x |= b.bits[b.t[0, SPLASH0] + p, m]
        if tall:
            x |= b.bits[b.t[0, REACH0] + p, m]
        if b.t[i, TALL]:
            x |= b.bits[b.t[0, SHADOW0] + p, m]
        b.bits[FREE, m] = x


@compiled
def gaps_before(b: Board, way: int, n: int, place: int, back: int, solid: int) -> int:
    """Gaps between the stay at that place of the line and those that began up to `back` seconds before it.

    One that lasts `solid` seconds at the least, or is its item's first on bare stone, stands for all that
    came before it near by.
    """
    s = b.t[place, LINE]
    i, begin = b.t[s, ITEM], b.t[s, BEGIN]
    for at in range(place - 1, b.t[0, STAGE0] - 1, -1):
        t = b.t[at, LINE]
        if begin - b.t[t, BEGIN] >= back:
            break
        j, q = b.t[t, ITEM], b.t[t, PLACE]
        if b.t[t, STANDS] == 0 or j == b.t[0, ITEM1] or b.t[j, MOVES] == 0:
            continue
        if (b.bits[FREE, q // WORD] >> (q % WORD)) & 1 == 0 or b.t[t, BEGIN] == begin:
            continue
        if j != i and not in_the_way(b, t, s):
            continue
        n = gap_between(b, way, n, t, s)
        stands_for = b.t[j, ON_STONE] and t == b.t[j, ST0]
        if stands_for or min(b.t[t, ASKED], b.t[t, END] - b.t[t, BEGIN]) >= solid:
            left = 0
            for m in range(b.bits.shape[1]):
                b.bits[FREE, m] &= ~b.bits[CONFLICT0 + q, m]
                left |= b.bits[FREE, m]
            if left == 0:
                break
    return n


@compiled
def gaps_of_fixed(b: Board, way: int, n: int, f: int) -> int:
    """Gaps between a stay that cannot move and all that can."""
    for s in range(b.t[0, STAGE0], b.t[0, STAGE1]):
        i = b.t[s, ITEM]
        if b.t[s, STANDS] == 0 or i == b.t[0, ITEM1] or b.t[i, MOVES] == 0:
            continue
        if b.t[f, BEGIN] < b.t[s, BEGIN] and in_the_way(b, f, s):
            n = gap_between(b, way, n, f, s)
        elif b.t[f, BEGIN] > b.t[s, BEGIN] and in_the_way(b, s, f):
            n = gap_between(b, way, n, s, f)
    return n


@compiled
def gap_between(b: Board, way: int, n: int, t: int, s: int) -> int:
    """The gap between stay t and stay s, which is in its way and comes after it."""
    i, j = b.t[s, ITEM], b.t[t, ITEM]
    if i == j:
        return n
    begin = 0 if i == b.t[0, ITEM1] else b.t[s, S_BEGIN]
    end = 0 if j == b.t[0, ITEM1] else ends_with(b, j, t)
    slack = b.t[s, BEGIN] - b.t[t, HELD]
    if b.t[i, ON_STONE] and b.t[j, ON_STONE]:
        slack -= b.t[t, RECOVERY]
    return hold(b, n, end, begin, slack) if way < 0 else hold(b, n, begin, end, slack)


@compiled
def in_the_way(b: Board, s: int, t: int) -> bool:
    """Whether stages s and t, where they stand, may not do so at the same time."""
    i, j, p, q = b.t[s, ITEM], b.t[t, ITEM], b.t[s, PLACE], b.t[t, PLACE]
    word, bit = q // WORD, q % WORD
    taken = b.bits[CONFLICT0 + p, word] | (b.bits[CONFLICT0 + q, p // WORD] >> (p % WORD) & 1) << bit
    if (b.t[i, SPITS] & b.t[j, GUARDS]) | (b.t[i, GUARDS] & b.t[j, SPITS]):
        taken |= b.bits[b.t[0, SPLASH0] + p, word]
    if b.t[i, TALL]:
        taken |= b.bits[b.t[0, SHADOW0] + p, word]
    if b.t[j, TALL]:
        taken |= b.bits[b.t[0, REACH0] + p, word]
    return (taken >> bit) & 1 != 0


@compiled
def gaps_of_tables(b: Board, way: int, n: int) -> int:
    """The last plate of a table leads on its way earlier, the others on their way later; none passes it.

    Later, what is cut is cut by the time the table lands.
    """
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        first, end = b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]
        last = first
        for i in range(first, end):
            if b.t[i, LEAVE] + b.t[i, REST] > b.t[last, LEAVE] + b.t[last, REST]:
                last = i
        lead = b.t[b.t[last, ST0] + b.t[last, N_STAGES] - 1, S_OUT]
        for i in range(first, end):
            behind = b.t[last, LEAVE] + b.t[last, REST] - b.t[i, LEAVE] - b.t[i, REST]
            pull = b.t[b.t[i, ST0] + b.t[i, N_STAGES] - 1, S_OUT]
            n = hold(b, n, lead, pull, 0 if way < 0 else behind)
            n = hold(b, n, pull, lead, behind if way < 0 else 0)
            k = b.t[i, S_CUT]
            if way > 0 and b.t[k, START] >= 0:
                done = b.t[k, START] + b.t[1 + b.t[k, COOK], CUT]
                n = hold(b, n, lead, k, b.t[o, LANDING] - done)
    return n


@compiled
def shifted(b: Board, way: int, also: int) -> bool:
    """The rows say every act moved by its shift; the round is undone where platters are too few.

    Rows that have gone ahead of their bookings before are summed again with them, where `also`. False when
    none moved.
    """
    moved = False
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        goes = False
        for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
            goes = goes or b.t[k, SHIFT] > 0
        moved = moved or goes
        b.t[i, MOVES] = goes or (also and b.t[i, DIRTY] & (AHEAD | LOOSENED))
        if b.t[i, MOVES]:
            loosen(b, i)
            move_times(b, i, way)
            b.f[i, OWN] = own_cost(b, i)
    if not moved and not also:
        return False
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        changed = False
        for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
            changed = changed or b.t[i, MOVES] > 0
        if changed and not land_again(b, o):
            put_back(b)
            return False
    return True


@compiled
def land_again(b: Board, o: int) -> bool:
    """What an order costs after it has moved, its platters back after it lands; False when too are few."""
    b.f[o, COST] = order_cost(b, o)
    back, enough = b.t[o, LANDING] + b.t[0, TURNAROUND], True
    for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
        if b.t[i, BANK] and b.t[i, PLACED]:
            loosen(b, i)
            enough = move_platter(b, i, b.t[b.t[i, ST0], BEGIN], back) and enough
    return enough


@compiled
def loosen(b: Board, i: int) -> None:
    """The rows of item i may go ahead of what is booked."""
    if b.t[i, DIRTY] & (AHEAD | LOOSENED):
        return
    if b.t[i, DIRTY] & KEPT:
        lift(b, i)
        b.t[i, DIRTY] |= LOOSENED
    else:
        keep(b, i)
        b.t[i, DIRTY] |= AHEAD


@compiled
def lift(b: Board, i: int) -> None:
    """Give back hands and stone of item i while its rows go on saying how it was booked."""
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        start = b.t[k, START]
        give_hands(b, k)
        b.t[k, START] = start
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        if b.t[s, STANDS]:
            take_down(b, s, b.t[s, BEGIN], b.t[s, HELD])


@compiled
def lift_kept(b: Board, i: int) -> None:
    """Give back hands and stone of item i as it was kept."""
    kept = b.t[0, ROWS]
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        start, cook, act = b.t[kept + k, START], b.t[kept + k, COOK], b.t[kept + k, ACT]
        if start >= 0 and b.t[k, FIXED] == 0:
            for t in range(start, start + b.t[1 + cook, act]):
                b.busy[cook, t] -= b.t[NEED, act]
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        if b.t[kept + s, STANDS]:
            take_down(b, s, b.t[kept + s, BEGIN], b.t[kept + s, HELD])


@compiled
def settled(b: Board, doubted: bool) -> bool:
    """Book what rows have gone ahead to; False, halfway, where that cannot be, looked at if `doubted`."""
    any_ = False
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        if b.t[i, DIRTY] & AHEAD:
            lift_kept(b, i)
            b.t[i, DIRTY] += LOOSENED - AHEAD
        any_ = any_ or b.t[i, DIRTY] & LOOSENED > 0
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        if b.t[i, DIRTY] & LOOSENED:
            if doubted and not (fits_so(b, i) and in_rows(b, i)):
                return False
            take_up(b, i)
            b.t[i, DIRTY] -= LOOSENED
    if any_ and b.t[0, USE_REACH]:
        twice = 0
        for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
            twice += passed_over(b, i) if b.t[i, PLACED] else 0
        b.t[0, CROSSED] = twice // 2
    return True


@compiled
def in_rows(b: Board, i: int) -> bool:
    """Whether each stage of item i ends where the row of its choice holds."""
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        row = row_at(b, s, b.t[s, END])
        if b.t[s, CHOICE] < b.t[row, 0] or b.t[s, CHOICE] >= b.t[row, 0] + b.t[row, 1]:
            return False
    return True


@compiled
def move_times(b: Board, i: int, way: int) -> None:
    """The rows of an item say the shifted times."""
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        if b.t[k, START] >= 0:
            b.t[k, START] += way * b.t[k, SHIFT]
    last = b.t[i, ST0] + b.t[i, N_STAGES] - 1
    for s in range(b.t[i, ST0], last + 1):
        out = b.t[s, HELD] - b.t[s, END]
        b.t[s, BEGIN] = b.t[b.t[s, S_BEGIN], START]
        b.t[s, END] = b.t[ends_with(b, i, s), START]
        b.t[s, HELD] = b.t[s, END] + out
    b.t[i, LEAVE], b.t[i, LAST_ACT] = b.t[last, END], b.t[last, HELD]
    k = b.t[i, S_CUT]
    if b.t[i, CUT_IT]:
        b.t[i, LAST_ACT] = b.t[k, START] + b.t[1 + b.t[k, COOK], CUT]


# --- overtaking: another order on hands and stone ---------------------------------------------------


@compiled
def overtakes(b: Board) -> bool:
    """What holds up a late order, or hurries an early one, is overtaken by what it holds; False where none.

    From the last plate of the order gaps that bind are followed; one of them between two items is drawn and
    its acts change places: of critical arcs reversed none makes a circle (van Laarhoven, Aarts and Lenstra
    1992). Whatever then comes too soon makes way.
    """
    o = choose_costly(b)
    way = -1 if b.t[o, LANDING] > b.t[o, WANTED] else 1
    n1 = caps(b, way, 0)
    if n1 < 0:
        return False
    n2 = gaps_of_hands(b, way, n1)
    n3 = gaps_of_stone(b, way, n2)
    n = gaps_of_tables(b, way, n3)
    if not tightest(b, n):
        return False
    g = binding(b, n1, n3, n, last_pull(b, o))
    if g < 0:
        return False
    by, held = b.room[g], b.room[g + 1]
    i = b.t[held, OF_ITEM]
    if g < n2:
        shift = abs(b.t[held, START] - b.t[by, START]) + 1
    else:
        s, t = (held, by) if way < 0 else (by, held)
        shift = b.t[stage_of(b, s, 0), BEGIN] - b.t[stage_of(b, t, 1), BEGIN] + 1
    if draw(b, 4) == 0:
        shift += draw(b, FURTHER_S)
    if b.t[i, ASAP]:
        set_off(b, i, stage_of(b, held, 0), way * shift)
        return True
    if draw(b, 2):
        set_off(b, i, -1, way * shift)
        return True
    o = b.t[i, ORDER]
    for j in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
        if may_move(b, j):
            set_off(b, j, -1, way * shift)
    return True


@compiled
def last_pull(b: Board, o: int) -> int:
    """The slot of the pull of an order's last plate."""
    last = b.t[o, I0]
    for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
        if b.t[i, LEAVE] + b.t[i, REST] > b.t[last, LEAVE] + b.t[last, REST]:
            last = i
    return b.t[b.t[last, ST0] + b.t[last, N_STAGES] - 1, S_OUT]


@compiled
def binding(b: Board, first: int, end: int, n: int, k: int) -> int:
    """One of the gaps first..end-1, between two items, of those that hold up act k; -1 if there is none."""
    found, many = -1, 0
    for _ in range(b.t[0, ITEM1] - b.t[0, ITEM0] + 20):
        next_, ways = -1, 0
        for g in range(b.t[0, GAPS0], n, 3):
            if b.room[g + 1] == k and b.t[k, SHIFT] == b.t[b.room[g], SHIFT] + max(0, b.room[g + 2]):
                ways += 1
                if draw(b, ways) == 0:
                    next_ = g
        if next_ < 0 or b.room[next_] == 0:
            break  # nothing holds it up, or what stays where it is (row 0): of no item
        by = b.room[next_]
        other = b.t[by, OF_ITEM] if first <= next_ < end else 0
        if other and other != b.t[k, OF_ITEM] and b.t[other, MOVES]:
            many += 1
            if draw(b, many) == 0:
                found = next_
        k = by
    return found


@compiled
def stage_of(b: Board, k: int, ended: int) -> int:
    """The stage that act slot k begins, or that it ends if `ended`; the other where there is none such."""
    i = b.t[k, OF_ITEM]
    found = b.t[i, ST0]
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        begins, ends = b.t[s, S_BEGIN] == k, ends_with(b, i, s) == k
        if (ends if ended else begins) or (found == b.t[i, ST0] and (begins or ends)):
            found = s
    return found


@compiled
def set_off(b: Board, i: int, only: int, shift: int) -> None:
    """The rows of item i say so many seconds later (earlier, if negative); `only` one stage, unless -1."""
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        b.t[k, SHIFT] = 0
        if b.t[k, START] >= 0:
            shift = max(shift, -b.t[k, START])
    loosen(b, i)
    first, end = b.t[i, S_DRESS], b.t[i, S_CUT] + 1
    if only >= 0:
        first = b.t[only, S_BEGIN]
        end = first + 2 + b.t[only, N_HANDLES]
    for k in range(first, end):
        if b.t[k, START] >= 0:
            b.t[k, START] += shift
    move_times(b, i, 1)


@compiled
def makes_way(b: Board) -> bool:
    """Put acts off until each comes after what is now before it; False where that cannot be."""
    n = b.t[0, GAPS0]
    for k in range(b.t[0, SLOT0], b.t[0, ROWS]):
        b.t[k, SHIFT] = 0
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        b.t[i, MOVES] = may_move(b, i)
        if b.t[i, MOVES] == 0:
            continue
        for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
            if b.t[k, START] >= 0:
                b.t[k, SHIFT] = min(PUT_OFF_S, b.t[0, HORIZON] - b.t[k, START])
        keep_rows(b, i, 1)
        floor = max(b.t[0, NOW], b.t[b.t[i, ORDER], CALLED])
        for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
            if b.t[k, START] >= 0:
                n = hold(b, n, k, 0, b.t[k, START] - floor)
        n = gaps_of_item(b, i, 1, n)
    n = gaps_of_stone(b, 1, gaps_of_hands(b, 1, n))
    for k in range(b.t[0, SLOT0], b.t[0, ROWS]):
        b.t[k, MOST], b.t[k, SHIFT] = b.t[k, SHIFT], 0
    return n < b.t[0, GAPS_END] and put_off(b, n) and shifted(b, 1, 1)


@compiled
def put_off(b: Board, n: int) -> bool:
    """The least shifts later that all gaps ask for; False where one is more than may be, or none is least."""
    first = b.t[0, GAPS0]
    for turn in range(2 * PASSES):
        changed = False
        for k in range(first, n, 3):
            g = k if turn % 2 else n - 3 - k + first
            by = b.room[g]
            least = b.t[b.room[g + 1], SHIFT] - b.room[g + 2]
            if b.t[by, SHIFT] < least:
                if least > b.t[by, MOST]:
                    return False
                b.t[by, SHIFT], changed = least, True
        if not changed:
            return True
    return False


# --- ruin and recreate ---------------------------------------------------------------------------


@compiled
def copy_item(b: Board, i: int, from_: int, to: int) -> None:
    """How an item is booked, from one of the three copies of the table to another, by their first rows."""
    copy_row(b, i, PLACED, RECOURSE_S, from_, to)
    for s in range(b.t[i, ST0], b.t[i, ST0] + b.t[i, N_STAGES]):
        copy_row(b, s, PLACE, STANDS, from_, to)
    for k in range(b.t[i, S_DRESS], b.t[i, S_CUT] + 1):
        copy_row(b, k, ACT, COOK, from_, to)


@compiled
def copy_row(b: Board, row: int, first: int, last: int, from_: int, to: int) -> None:
    for n in range(first, last + 1):
        b.t[to + row, n] = b.t[from_ + row, n]


@compiled
def total_cost(b: Board) -> float:
    found = b.f[W_REACH, 0] * b.t[0, CROSSED]
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        found += b.f[o, COST]
    return found


@compiled
def construct(b: Board, tries: int, sliding: int) -> int:
    """Book all that is not booked: what has begun first, then orders as they stand in `list`.

    After each the others make room, when `sliding`. Returns -1, or the order for which nothing was found in
    four hours.
    """
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        if b.t[i, BEGUN] and b.t[i, PLACED] == 0:
            o = b.t[i, ORDER]
            book_begun(b, i, b.t[o, WANTED] - b.t[0, PLATING])
    for n in range(b.t[0, ORDER1] - b.t[0, ORDER0]):
        o = b.t[b.t[0, ORDER0] + n, LISTED]
        if not missing(b, o):
            b.f[o, COST] = order_cost(b, o)
        elif not (place_rest(b, o) or place_best(b, o, tries)):
            return o
        elif sliding and b.f[o, COST] > CONTENT:
            b.t[0, CROSSED_WAS] = b.t[0, CROSSED]
            slides(b)
            settled(b, False)
            for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
                b.t[i, DIRTY] = 0
    return -1


@compiled
def place_rest(b: Board, o: int) -> bool:
    """Book what is missing of an order around what is booked of it; False when that fails or none is."""
    some = False
    for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
        some = some or b.t[i, PLACED] > 0
    return some and place_order(b, o, b.t[o, WANTED] - b.t[0, PLATING], FAR) < FAR


@compiled
def place_best(b: Board, o: int, tries: int) -> bool:
    """Book an order the cheapest of so many ways, at its minute or a little before; False when none is found.

    A way is its target and where the draws stood: the best is gone once more.
    """
    wish = b.t[o, WANTED] - b.t[0, PLATING]
    best, best_target, best_draw = FAR, wish, 0
    for n in range(tries):
        if best <= CONTENT:
            break
        target = wish - draw(b, HASTY_S) if n % 2 else wish
        drawn = b.t[0, RANDOM]
        cost = place_order(b, o, target, best)
        take_off(b, o)
        if cost < best:
            best, best_target, best_draw = cost, target, drawn
    if best >= FAR:
        return False
    drawn = b.t[0, RANDOM]
    b.t[0, RANDOM] = best_draw
    place_order(b, o, best_target, FAR)
    b.t[0, RANDOM] = drawn
    return True


@compiled
def missing(b: Board, o: int) -> bool:
    n = 0
    for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
        n += 1 - b.t[i, PLACED]
    return n > 0


@compiled
def take_off(b: Board, o: int) -> None:
    """All of an order that has not begun comes off."""
    for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
        if b.t[i, BEGUN] == 0:
            remove_item(b, i)


@compiled
def save_best(b: Board, all_: int) -> None:
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        if all_ or b.t[i, DIRTY]:
            copy_item(b, i, 0, 2 * b.t[0, ROWS])
            b.t[i, DIRTY] = 0


@compiled
def restore_best(b: Board) -> None:
    """The best found becomes the board as it stands."""
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        remove_item(b, i)
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        copy_item(b, i, 2 * b.t[0, ROWS], 0)
        book_again(b, i)
        b.f[i, OWN] = own_cost(b, i)
        b.t[i, DIRTY] = 0
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        b.f[o, COST] = order_cost(b, o)


@compiled
def improve(b: Board, rounds: int, hot: float, cool: float, best: float) -> float:
    """So many rounds of ruin, recreate and slide, annealed from `hot` to `cool`; the best cost found."""
    now = total_cost(b)
    for n in range(rounds):
        heat = hot * (cool / hot) ** (n / max(1, rounds - 1))
        now = one_round(b, now, heat)
        if now < best - 1e-6:
            best = now
            save_best(b, 0)
    return best


@compiled
def one_round(b: Board, now: float, heat: float) -> float:
    """Change a few items and slide; the cost that stands afterwards.

    A few items come off and go back another way. Of items that are worked off as soon as can be acts overtake
    others, in some rounds; with tables that took longer than it won.
    """
    b.t[0, CROSSED_WAS] = b.t[0, CROSSED]
    overtaken = b.t[b.t[0, ITEM0], ASAP] > 0 and draw(b, 100) < OVERTAKES and overtakes(b)
    n_orders = 0 if overtaken else ruin(b)
    most = now - heat * math.log(chance(b))
    if overtaken:
        done = makes_way(b)
        if done:
            slide(b, -1, draw(b, SOONER_S) if draw(b, 2) else 0)
            slide(b, 1, 0)
    else:
        done = rebuilt(b, n_orders, now, most)
    if done and total_cost(b) <= most + OVER_REACH * b.f[W_REACH, 0] and settled(b, overtaken):
        found = total_cost(b)
        if found <= most:
            for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
                b.t[i, DIRTY] = CHANGED if b.t[i, DIRTY] else 0
            return found
    put_back(b)
    return now


@compiled
def rebuilt(b: Board, n_orders: int, now: float, most: float) -> bool:
    """Take the items marked off, put them back another way and slide.

    What goes back may cost `GIVE` more than is allowed in the end: sliding then takes some of it away.
    """
    before = 0.0
    for n in range(n_orders):
        before += b.f[b.t[b.t[0, ORDER0] + n, LISTED], COST]
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        if b.f[i, KEY] < 0:
            keep(b, i)
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        if b.t[i, DIRTY] & KEPT:
            remove_item(b, i)
            reserve(b, i)
    give = GIVE * before if draw(b, 2) else 0.0
    if not recreate(b, n_orders, before + most - now + give):
        return False
    if total_cost(b) > most or draw(b, 4) == 0:
        slides(b)
    return True


@compiled
def keep(b: Board, i: int) -> None:
    """How item i is booked is kept until the round ends."""
    if b.t[i, DIRTY] & KEPT == 0:
        copy_item(b, i, 0, b.t[0, ROWS])
        b.t[i, DIRTY] |= KEPT


@compiled
def recreate(b: Board, n_orders: int, limit: float) -> bool:
    """Book the listed orders one after the other; False where that costs more than `limit`."""
    spent, crossed = 0.0, b.t[0, CROSSED]
    for n in range(n_orders):
        o = b.t[b.t[0, ORDER0] + n, LISTED]
        was = b.t[o, LANDING] - b.t[0, PLATING]
        cost = place_order(b, o, aim(b, o, was), limit - spent)
        spent += cost
        if cost >= FAR or spent + b.f[W_REACH, 0] * (b.t[0, CROSSED] - crossed) > limit:
            return False
    return True


@compiled
def put_back(b: Board) -> None:
    """What a round has moved stands as it was before."""
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        if b.t[i, DIRTY] & (AHEAD | LOOSENED):
            move_platter(b, i, -1, -1)
        elif b.t[i, DIRTY] & KEPT:
            remove_item(b, i)
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        if b.t[i, DIRTY] & KEPT:
            copy_item(b, i, b.t[0, ROWS], 0)
            if b.t[i, DIRTY] & AHEAD:
                take_platter(b, i)
            else:
                book_again(b, i)
            b.f[i, OWN] = own_cost(b, i)
            b.t[i, DIRTY] &= CHANGED
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        b.f[o, COST] = order_cost(b, o)
    b.t[0, CROSSED] = b.t[0, CROSSED_WAS]


@compiled
def aim(b: Board, o: int, was: int) -> int:
    """The ready time to try for an order: its wish, where it was, or somewhere about, early more often."""
    wish = b.t[o, WANTED] - b.t[0, PLATING]
    pick = draw(b, 20)
    if pick < 6:
        return wish
    if pick < 8:
        return was
    if pick < 11:
        return min(wish, was) + draw(b, abs(was - wish) + 60)
    if pick < 12:
        return 0
    return wish - draw(b, HASTY_S)


@compiled
def choose_costly(b: Board) -> int:
    """An order by chance, the costlier the likelier."""
    whole = 0.0
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        whole += b.f[o, COST] + 0.5
    left = chance(b) * whole
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        left -= b.f[o, COST] + 0.5
        if left <= 0:
            return o
    return b.t[0, ORDER1] - 1


@compiled
def ruin(b: Board) -> int:
    """Mark (negative `key`) the items to take off and list their orders; how many orders.

    Four ways: a costly order with those landing where it wants to be or where it is; the same by single
    items that stand on the stone at that time; one order alone; a few items anywhere.
    """
    for i in range(b.t[0, ITEM0], b.t[0, ITEM1]):
        b.f[i, KEY] = 1.0
    worst = choose_costly(b)
    pick = draw(b, 100) if b.t[0, ORDER1] - b.t[0, ORDER0] > 1 else 99
    if pick < 15:
        mark_order(b, worst)
        mark_between(b, worst)
    elif pick < 45:
        middle = b.t[worst, WANTED] if pick < 30 else b.t[worst, LANDING]
        mark_order(b, worst)
        for _ in range(draw(b, 4)):
            o = near_order(b, middle)
            mark_order(b, o)
    elif pick < 65:
        mark_order(b, worst)
        mark_beside(b, worst, 1 + draw(b, 5))
    elif pick < 75:
        mark_order(b, worst)
    elif pick < 85:
        mark_order(b, worst)
        mark_order(b, b.t[0, ORDER0] + draw(b, b.t[0, ORDER1] - b.t[0, ORDER0]))
    else:
        for _ in range(1 + draw(b, 5)):
            b.f[b.t[0, ITEM0] + draw(b, b.t[0, ITEM1] - b.t[0, ITEM0]), KEY] = -1.0
    n, first = 0, b.t[0, ORDER0]
    if b.f[b.t[worst, I0], KEY] < 0:
        b.t[b.t[0, ORDER0] + 0, LISTED] = worst
        n = 1
    for o in range(b.t[0, ORDER0], b.t[0, ORDER1]):
        if n and o == b.t[b.t[0, ORDER0] + 0, LISTED]:
            continue
        marked = False
        for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
            marked = marked or b.f[i, KEY] < 0
        if marked:
            b.t[b.t[0, ORDER0] + n, LISTED] = o
            n += 1
    if draw(b, 2):
        for k in range(first + n - 1, first, -1):
            j = first + draw(b, k - first + 1)
            b.t[k, LISTED], b.t[j, LISTED] = b.t[j, LISTED], b.t[k, LISTED]
    return n


@compiled
def mark_order(b: Board, o: int) -> None:
    for i in range(b.t[o, I0], b.t[o, I0] + b.t[o, N_ITEMS]):
        b.f[i, KEY] = -1.0


@compiled
def mark_between(b: Board, o: int) -> None:
    """Orders landing between when this one does and when it wants to."""
    low, high = min(b.t[o, LANDING], b.t[o, WANTED]) - 60, max(b.t[o, LANDING], b.t[o, WANTED]) + 60
    first, n = b.t[0, ORDER0], b.t[0, ORDER1] - b.t[0, ORDER0]
    start, left = draw(b, n), 1 + draw(b, BETWEEN)
    for k in range(n):
        other = first + (start + k) % n
        if left and other != o and low <= b.t[other, LANDING] <= high:
            mark_order(b, other)
            left -= 1


@compiled
def near_order(b: Board, middle: int) -> int:
    """An unmarked order landing near that time: the nearest of a few drawn (any, when all are marked)."""
    best, gap = b.t[0, ORDER0] + draw(b, b.t[0, ORDER1] - b.t[0, ORDER0]), FAR
    for _ in range(6):
        o = b.t[0, ORDER0] + draw(b, b.t[0, ORDER1] - b.t[0, ORDER0])
        away = abs(b.t[o, LANDING] - middle)
        if b.f[b.t[o, I0], KEY] > 0 and away < gap:
            best, gap = o, float(away)
    return best


@compiled
def mark_beside(b: Board, o: int, n: int) -> None:
    """Items of other orders that cook while this one, landing as wanted, would."""
    until = b.t[o, WANTED]
    from_ = until - b.t[b.t[o, I0], SHORT] - 60
    for _ in range(4 * n):
        i = b.t[0, ITEM0] + draw(b, b.t[0, ITEM1] - b.t[0, ITEM0])
        s = b.t[i, ST0]
        if b.f[i, KEY] > 0 and b.t[s, BEGIN] < until and b.t[i, LEAVE] > from_:
            b.f[i, KEY] = -1.0
            n -= 1
            if n == 0:
                return
