"""The compiled search: one item booked on hands, stone and platters; one order; ruin and recreate.

All state is whole numbers in a few tables (`Board`), one row per order, item, stage, choice and act,
columns named below; times are seconds from the board's own zero. Nothing here allocates. Places are bit
masks in words of 60 bits, so that the plain functions give the same bits as the compiled ones. All of it
stands in one file because the compiled copy on disk notices changes of its own file only.

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
OVERRUN_S = 1800  # what has begun is looked after this far past its band; own choice
LONG_S = 600  # lateness past which a table is lost patience with (common practice, no source)
TURN_SLACK, TURN_SLACK_S = 0.15, 20  # how far a turn may miss its moment: share of the stage, at least

# orders
I0, N_ITEMS, CALLED, WANTED, NOT_BEFORE, LANDING = range(6)
# items: what they are, then how they are booked
ORDER, ST0, N_STAGES, REST, SLACK, HOLD, DRESSED, CUT_IT, ON_STONE, BANK, TALL, ASAP = range(12)
SPITS, GUARDS, SHORT, S_DRESS, S_CUT, BEGUN = range(12, 18)
PLACED, LEAVE, READY, LAST_ACT, OUT_FROM, OUT_TO, RECOURSE, RECOURSE_S = range(18, 26)
# stages: what they are, then how they are booked
ITEM, ROW0, N_ROWS, H0, N_HANDLES, STAYS, BUFFER, S_BEGIN, S_OUT, PREFER, DUE, TOLD_PLACE, TOLD_AT = range(13)
PLACE, BEGIN, END, HELD, CHOICE, RECOVERY, ASKED, STANDS = range(13, 21)
# choices
SECONDS, EARLY, LATE, C_RECOVERY, MASK, WORD0, WORD1 = range(7)
# handles
H_ACT, H_SLOT = range(2)
# acts
ACT, START, COOK, FIXED, TOLD = range(5)
# the board itself
NOW, BIN0, PLATING, TOGETHER, LATE_AFTER, PLATTERS, TURNAROUND, STONE_BINDS = range(8)
HORIZON, LONGEST_RECOVERY, RANDOM, TRIES, CROSSED, USE_REACH, BIN_SECONDS = range(8, 15)
# weights, as `problem.Weights`
W_LATE, W_BEYOND, W_LONG, W_EARLY, W_SPREAD, W_CLOSE, W_OVERHELD, W_OFF, W_REACH = range(9)
W_OVERRUN, W_PARKED, W_TOLD, W_TOLD_FAR, W_CHANGED = range(9, 14)
# acts by number, and kinds of recourse
DRESS, LAUNCH, LOAD, TURN, SPIN, FLIP, MOVE, PULL, CUT, FLAME = range(10)
NONE, OVERRUN, PULLED_EARLY, PARKED = range(4)
TOLD_S, TOLD_FAR_S, SAME_S = 60, 180, 2


class Board(NamedTuple):
    """A problem and one way of doing it, as tables.

    `item`, `stage`, `slot` are booked as they stand; `kept_*` hold rows put aside during one trial,
    `best_*` the best found. `own` is each item's own cost, `cost` each order's. `busy` counts hands in use
    by cook and second (two each), `out` the platters away by second, `hung` the stages in each bucket.
    """

    g: Ints
    w: Floats
    order: Ints
    weight: Floats
    cost: Floats
    item: Ints
    own: Floats
    stage: Ints
    row: Ints
    choice: Ints
    price: Floats
    handle: Ints
    fraction: Floats
    slot: Ints
    masks: Ints
    conflict: Ints
    splash: Ints
    reach: Ints
    shadow: Ints
    hands: Ints
    need: Ints
    busy: NDArray[np.int8]
    out: Ints
    hung: Ints
    n_hung: Ints
    free: Ints
    want: Ints
    list: Ints
    key: Floats
    kept_item: Ints
    kept_stage: Ints
    kept_slot: Ints
    best_item: Ints
    best_stage: Ints
    best_slot: Ints
    dirty: Ints


@compiled
def draw(b: Board, n: int) -> int:
    """A whole number in 0..n-1 (xorshift, 32 bits)."""
    x = b.g[RANDOM]
    x ^= (x << 13) & 0xFFFFFFFF
    x ^= x >> 17
    x ^= (x << 5) & 0xFFFFFFFF
    b.g[RANDOM] = x
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
    low, high = max(low, b.g[NOW]), min(high, b.g[HORIZON])
    if low > high:
        return -1
    wish = min(max(wish, low), high)
    best, gap, free = -1, high - low + 1, 2 - b.need[act]
    for cook in range(b.hands.shape[0]):
        seconds = b.hands[cook, act]
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
    b.slot[k, ACT], b.slot[k, START], b.slot[k, COOK] = act, start, cook
    end = start + b.hands[cook, act]
    for t in range(start, end):
        b.busy[cook, t] += b.need[act]
    return end


@compiled
def give_hands(b: Board, k: int) -> None:
    if b.slot[k, START] >= 0 and b.slot[k, FIXED] == 0:
        cook, act = b.slot[k, COOK], b.slot[k, ACT]
        for t in range(b.slot[k, START], b.slot[k, START] + b.hands[cook, act]):
            b.busy[cook, t] -= b.need[act]
        b.slot[k, START] = -1


# --- stone ---------------------------------------------------------------------------------------


@compiled
def hang(b: Board, s: int) -> None:
    """The stage stands on the stone from now on."""
    for k in range(b.stage[s, BEGIN] // BUCKET_S, b.stage[s, HELD] // BUCKET_S + 1):
        b.hung[k, b.n_hung[k]] = s
        b.n_hung[k] += 1
    b.stage[s, STANDS] = 1


@compiled
def unhang(b: Board, s: int) -> None:
    if b.stage[s, STANDS] == 0:
        return
    for k in range(b.stage[s, BEGIN] // BUCKET_S, b.stage[s, HELD] // BUCKET_S + 1):
        for n in range(b.n_hung[k]):
            if b.hung[k, n] == s:
                b.n_hung[k] -= 1
                b.hung[k, n] = b.hung[k, b.n_hung[k]]
                break
    b.stage[s, STANDS] = 0


@compiled
def clear_places(b: Board, i: int, from_: int, until: int, recovery: int, w0: int, w1: int) -> int:
    """Of the places in `want`, those free for item i during [from_, until), into `free`.

    Returns -1 when there is one, else the first second after `from_` at which something in the way has
    gone. On bare stone what lay there before must have recovered, and this must before what comes next.
    """
    for n in range(w0, w1):
        b.free[n] = b.want[n]
    if b.g[STONE_BINDS] == 0:
        return -1
    bare, tall = b.item[i, ON_STONE], b.item[i, TALL]
    pause = b.g[LONGEST_RECOVERY] if bare else 0
    first, last = max(0, from_ - pause) // BUCKET_S, (until + (recovery if bare else 0)) // BUCKET_S
    gone = until + LATE_S
    for k in range(first, min(last, b.n_hung.shape[0] - 1) + 1):
        for n in range(b.n_hung[k]):
            s = b.hung[k, n]
            j = b.stage[s, ITEM]
            if j == i or max(first, b.stage[s, BEGIN] // BUCKET_S) != k:
                continue
            both = bare and b.item[j, ON_STONE]
            held = b.stage[s, HELD] + (b.stage[s, RECOVERY] if both else 0)
            if b.stage[s, BEGIN] >= until + (recovery if both else 0) or from_ >= held:
                continue
            gone = min(gone, held)
            p = b.stage[s, PLACE]
            kept_apart = (b.item[i, SPITS] & b.item[j, GUARDS]) | (b.item[i, GUARDS] & b.item[j, SPITS])
            standing = b.stage[s, BEGIN] < until and from_ < b.stage[s, HELD]
            for m in range(w0, w1):
                taken = b.splash[p, m] if kept_apart and standing else b.conflict[p, m]
                if standing and b.item[j, TALL]:
                    taken |= b.shadow[p, m]
                if standing and tall:
                    taken |= b.reach[p, m]
                b.free[m] &= ~taken
    if bare and b.item[i, GUARDS]:
        shut_touched(b, i, from_, w0, w1)
    for m in range(w0, w1):
        if b.free[m]:
            return -1
    return max(gone, from_ + 1)


@compiled
def shut_touched(b: Board, i: int, from_: int, w0: int, w1: int) -> None:
    """Bare stone on which what item i guards against has lain earlier is not for it."""
    for s in range(b.stage.shape[0]):
        j = b.stage[s, ITEM]
        touched = b.stage[s, STANDS] and b.item[j, ON_STONE] and b.item[j, SPITS] & b.item[i, GUARDS]
        if touched and b.stage[s, BEGIN] < from_ and j != i:
            for m in range(w0, w1):
                b.free[m] &= ~b.conflict[b.stage[s, PLACE], m]


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
    p = b.stage[s, PREFER]
    if p < 0:
        p = b.stage[s, TOLD_PLACE]
    if p >= 0 and w0 <= p // WORD < w1 and b.free[p // WORD] >> (p % WORD) & 1:
        return p
    if b.item[i, ON_STONE]:
        any_rested = False
        for m in range(w0, w1):
            b.want[m] = b.free[m]
        for k in range(max(0, from_ - RESTED_S) // BUCKET_S, from_ // BUCKET_S + 1):
            for n in range(b.n_hung[k]):
                t = b.hung[k, n]
                recent = b.stage[t, BEGIN] < from_ and b.stage[t, HELD] > from_ - RESTED_S
                if recent and b.item[b.stage[t, ITEM], ON_STONE]:
                    for m in range(w0, w1):
                        b.want[m] &= ~b.conflict[b.stage[t, PLACE], m]
        for m in range(w0, w1):
            any_rested = any_rested or b.want[m] != 0
        if any_rested:
            for m in range(w0, w1):
                b.free[m] = b.want[m]
    skip = draw(b, 4) if draw(b, 3) == 0 else 0
    found = -1
    for m in range(w0, w1):
        x = b.free[m]
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
    for s in range(b.item[i, ST0], b.item[i, ST0] + b.item[i, N_STAGES]):
        if b.stage[s, STANDS] == 0:
            continue
        p, from_, until = b.stage[s, PLACE], b.stage[s, BEGIN], b.stage[s, HELD]
        first = from_ // BUCKET_S
        for k in range(first, until // BUCKET_S + 1):
            for n in range(b.n_hung[k]):
                t = b.hung[k, n]
                if b.stage[t, ITEM] == i or max(first, b.stage[t, BEGIN] // BUCKET_S) != k:
                    continue
                q = b.stage[t, PLACE]
                if b.reach[p, q // WORD] >> (q % WORD) & 1:
                    count += acts_within(b, s, b.stage[t, BEGIN], b.stage[t, HELD])
                if b.reach[q, p // WORD] >> (p % WORD) & 1:
                    count += acts_within(b, t, from_, until)
    return count


@compiled
def acts_within(b: Board, s: int, from_: int, until: int) -> int:
    """Acts on the hearth at stage s's place that start in [from_, until)."""
    i = b.stage[s, ITEM]
    count = 0
    begin, end = b.stage[s, BEGIN], b.stage[s, HELD]
    for t in range(b.item[i, ST0], b.item[i, ST0] + b.item[i, N_STAGES]):
        for which in range(2 + b.stage[t, N_HANDLES]):
            if which == 0:
                k = b.stage[t, S_BEGIN]
            elif which == 1:
                k = b.stage[t, S_OUT]
            else:
                k = b.handle[b.stage[t, H0] + which - 2, H_SLOT]
            at = b.slot[k, START]
            if at >= 0 and begin <= at < end and from_ <= at < until:
                count += 1
    return count


# --- one item ------------------------------------------------------------------------------------


@compiled
def remove_item(b: Board, i: int) -> None:
    """Give back all that item i holds, except what has begun or been told."""
    if b.g[USE_REACH] and b.item[i, PLACED]:
        b.g[CROSSED] -= passed_over(b, i)
    if b.item[i, S_DRESS] >= 0:
        give_hands(b, b.item[i, S_DRESS])
    if b.item[i, S_CUT] >= 0:
        give_hands(b, b.item[i, S_CUT])
    for s in range(b.item[i, ST0], b.item[i, ST0] + b.item[i, N_STAGES]):
        give_hands(b, b.stage[s, S_BEGIN])
        give_hands(b, b.stage[s, S_OUT])
        for h in range(b.stage[s, H0], b.stage[s, H0] + b.stage[s, N_HANDLES]):
            give_hands(b, b.handle[h, H_SLOT])
        unhang(b, s)
    move_platter(b, i, -1, -1)
    b.item[i, PLACED], b.item[i, RECOURSE], b.item[i, RECOURSE_S] = 0, NONE, 0
    b.own[i] = 0.0


@compiled
def reserve(b: Board, i: int) -> None:
    """While what has begun is off the board for a moment, its place stays its own until its band ends."""
    if b.item[i, BEGUN]:
        s = b.item[i, ST0] + b.item[i, BEGUN] - 1
        due = b.stage[s, BEGIN] + b.stage[s, ASKED]
        b.stage[s, HELD] = max(due + b.choice[b.stage[s, CHOICE], LATE], b.g[NOW]) + b.hands[0, PULL]
        hang(b, s)


@compiled
def settle(b: Board, i: int) -> None:
    """Item i is booked: what it costs by itself, and whom it stands in the way of."""
    b.item[i, PLACED] = 1
    b.own[i] = own_cost(b, i)
    if b.g[USE_REACH]:
        b.g[CROSSED] += passed_over(b, i)


@compiled
def book_again(b: Board, i: int) -> None:
    """Take hands, stone and platter as the item's rows say."""
    for which in range(2):
        k = b.item[i, S_DRESS] if which else b.item[i, S_CUT]
        if k >= 0:
            retake(b, k)
    for s in range(b.item[i, ST0], b.item[i, ST0] + b.item[i, N_STAGES]):
        retake(b, b.stage[s, S_BEGIN])
        retake(b, b.stage[s, S_OUT])
        for h in range(b.stage[s, H0], b.stage[s, H0] + b.stage[s, N_HANDLES]):
            retake(b, b.handle[h, H_SLOT])
        if b.stage[s, STANDS]:
            hang(b, s)
    if b.item[i, OUT_FROM] >= 0:
        for t in range(b.item[i, OUT_FROM], b.item[i, OUT_TO]):
            b.out[t] += 1
    if b.g[USE_REACH] and b.item[i, PLACED]:
        b.g[CROSSED] += passed_over(b, i)


@compiled
def retake(b: Board, k: int) -> None:
    if b.slot[k, START] >= 0 and b.slot[k, FIXED] == 0:
        take_hands(b, k, b.slot[k, ACT], b.slot[k, START] * COOKS + b.slot[k, COOK])


@compiled
def move_platter(b: Board, i: int, from_: int, until: int) -> bool:
    """Item i's platter is away during [from_, until) (-1: not at all); False when the bank has none left."""
    if b.item[i, BANK] == 0:
        return True
    if b.item[i, OUT_FROM] >= 0:
        for t in range(b.item[i, OUT_FROM], b.item[i, OUT_TO]):
            b.out[t] -= 1
    b.item[i, OUT_FROM] = -1
    if from_ < 0:
        return True
    until = min(until, b.out.shape[0])
    most = 0
    for t in range(from_, until):
        b.out[t] += 1
        most = max(most, b.out[t])
    b.item[i, OUT_FROM], b.item[i, OUT_TO] = from_, until
    return most <= b.g[PLATTERS]


@compiled
def row_at(b: Board, s: int, end: int) -> int:
    """The row of choices that holds for a stage ending then."""
    n = max(0, min((end - b.g[BIN0]) // b.g[BIN_SECONDS], b.stage[s, N_ROWS] - 1))
    return b.stage[s, ROW0] + n


@compiled
def stand(b: Board, s: int, place: int, begin: int, end: int, held: int, c: int, asked: int) -> None:
    """Stage s stands there during [begin, held) and cooks until `end`."""
    row = b.stage[s]
    row[PLACE], row[BEGIN], row[END], row[HELD] = place, begin, end, held
    row[CHOICE], row[RECOVERY], row[ASKED] = c, b.choice[c, C_RECOVERY], asked
    hang(b, s)


@compiled
def book_back(b: Board, i: int, leave: int, step: int, until: int) -> bool:
    """Book item i back from a pull in (leave - step, leave]; on False nothing stays booked.

    What cannot bend comes first: pull, cut, begin acts and places from the last stage to the first;
    then turns, spins and flips find gaps.
    """
    b.g[TRIES] += 1
    pull = find_hands(b, PULL, leave, leave - step + 1, leave)
    if pull < 0:
        return False
    if rigid(b, i, pull, until) and turns(b, i):
        b.item[i, LEAVE] = pull // COOKS
        return True
    remove_item(b, i)
    return False


@compiled
def rigid(b: Board, i: int, pull: int, until: int) -> bool:
    last = b.item[i, ST0] + b.item[i, N_STAGES] - 1
    held = take_hands(b, b.stage[last, S_OUT], PULL, pull)
    end = pull // COOKS
    b.item[i, LAST_ACT] = held
    if b.item[i, CUT_IT]:
        cut = find_hands(b, CUT, held, held, until)
        if cut < 0:
            return False
        b.item[i, LAST_ACT] = take_hands(b, b.item[i, S_CUT], CUT, cut)
    s, joint_held, in_group = last, held, 0
    while s >= b.item[i, ST0]:
        row = row_at(b, s, end)
        done = False
        for c in range(b.row[row, 0], b.row[row, 0] + b.row[row, 1]):
            if stage_back(b, i, s, c, end, joint_held, in_group):
                done = True
                break
        if not done:
            return False
        begin = b.slot[b.stage[s, S_BEGIN], START]
        if b.stage[s, STAYS]:
            in_group += 1
        else:
            cook, act = b.slot[b.stage[s, S_BEGIN], COOK], b.slot[b.stage[s, S_BEGIN], ACT]
            joint_held, in_group = begin + b.hands[cook, act], 0
        end = begin
        s -= 1
    return dress(b, i, end)


@compiled
def stage_back(b: Board, i: int, s: int, c: int, end: int, held: int, in_group: int) -> bool:
    """Begin act and place of one stage that ends at `end`, its place held until `held`.

    A stage that stays where the one before it stood leaves its places in `want` for that one to choose
    from; `in_group` says how many stages after this one do so.
    """
    first, seconds = s == b.item[i, ST0], b.choice[c, SECONDS]
    act = LOAD if b.stage[s, STAYS] else LAUNCH if first else MOVE
    floor = b.order[b.item[i, ORDER], CALLED] + (0 if first else b.hands[0, LAUNCH])
    wish = end - seconds
    found = find_hands(b, act, wish, max(floor, wish - b.choice[c, LATE]), wish + b.choice[c, EARLY])
    if found < 0:
        return False
    begin = found // COOKS
    w0, w1, m = b.choice[c, WORD0], b.choice[c, WORD1], b.choice[c, MASK]
    for n in range(w0, w1):
        b.want[n] = b.masks[m, n]
    for t in range(s + 1, s + 1 + in_group):
        w0, w1 = max(w0, b.choice[b.stage[t, CHOICE], WORD0]), min(w1, b.choice[b.stage[t, CHOICE], WORD1])
        for n in range(w0, w1):
            b.want[n] &= b.masks[b.choice[b.stage[t, CHOICE], MASK], n]
    if clear_places(b, i, begin, held, b.choice[c, C_RECOVERY], w0, w1) >= 0:
        return False
    take_hands(b, b.stage[s, S_BEGIN], act, found)
    b.stage[s, CHOICE], b.stage[s, BEGIN], b.stage[s, END] = c, begin, end
    if b.stage[s, STAYS]:
        return True
    place = pick_place(b, i, s, begin, w0, w1)
    for t in range(s + in_group, s, -1):
        ends = held if t == s + in_group else b.stage[t + 1, BEGIN]
        c_t = b.stage[t, CHOICE]
        stand(b, t, place, b.stage[t, BEGIN], b.stage[t, END], ends, c_t, b.choice[c_t, SECONDS])
    stand(b, s, place, begin, end, held if in_group == 0 else b.stage[s + 1, BEGIN], c, seconds)
    return True


@compiled
def dress(b: Board, i: int, launch: int) -> bool:
    """The bench's part, ending as short before the launch as hands allow, no earlier than the call."""
    if b.item[i, DRESSED] == 0:
        return True
    called, best, best_end = b.order[b.item[i, ORDER], CALLED], -1, -1
    for cook in range(b.hands.shape[0]):
        seconds = b.hands[cook, DRESS]
        if seconds < 0:
            continue
        t, low = launch - seconds, max(b.g[NOW], called, launch - seconds - DRESS_WAIT_S)
        while t >= low and t + seconds > best_end:
            bad = -1
            for k in range(t, t + seconds):
                if b.busy[cook, k] > 2 - b.need[DRESS]:
                    bad = k
                    break
            if bad < 0:
                best, best_end = t * COOKS + cook, t + seconds
            t = t - 1 if bad < 0 else bad - seconds
    if best < 0:
        return False
    take_hands(b, b.item[i, S_DRESS], DRESS, best)
    return True


@compiled
def turns(b: Board, i: int) -> bool:
    """Every turn, spin and flip near its fraction of its stage, one after the other."""
    for s in range(b.item[i, ST0], b.item[i, ST0] + b.item[i, N_STAGES]):
        k = b.stage[s, S_BEGIN]
        after = b.slot[k, START] + b.hands[b.slot[k, COOK], b.slot[k, ACT]]
        if not stage_turns(b, s, b.stage[s, BEGIN], b.stage[s, END], after):
            return False
    return True


@compiled
def stage_turns(b: Board, s: int, begin: int, end: int, after: int) -> bool:
    seconds = end - begin
    slack = max(TURN_SLACK_S, round(TURN_SLACK * seconds))
    for h in range(b.stage[s, H0], b.stage[s, H0] + b.stage[s, N_HANDLES]):
        k, act = b.handle[h, H_SLOT], b.handle[h, H_ACT]
        if b.slot[k, FIXED]:
            after = max(after, b.slot[k, START] + b.hands[b.slot[k, COOK], act])
            continue
        wish = begin + round(b.fraction[h] * seconds)
        found = find_hands(b, act, wish, max(after, wish - slack), min(wish + slack, end - b.hands[0, act]))
        if found < 0:
            return False
        after = take_hands(b, k, act, found)
        if after > end:
            return False
    return True


@compiled
def own_cost(b: Board, i: int) -> float:
    """What an item costs by itself: seconds off its minutes, recourse, and changes of what was told."""
    found = 0.0
    for s in range(b.item[i, ST0], b.item[i, ST0] + b.item[i, N_STAGES]):
        if b.stage[s, STANDS]:
            off = abs(b.stage[s, END] - b.stage[s, BEGIN] - b.stage[s, ASKED])
            found += b.w[W_OFF] * b.price[b.stage[s, CHOICE]] * off
            ahead, told = b.stage[s, TOLD_AT] - b.g[NOW], b.stage[s, TOLD_PLACE]
            if 0 <= ahead < TOLD_FAR_S and told >= 0 and b.stage[s, PLACE] != told:
                found += b.w[W_CHANGED]
        found += told_cost(b, b.stage[s, S_BEGIN]) + told_cost(b, b.stage[s, S_OUT])
        for h in range(b.stage[s, H0], b.stage[s, H0] + b.stage[s, N_HANDLES]):
            found += told_cost(b, b.handle[h, H_SLOT])
    for which in range(2):
        k = b.item[i, S_DRESS] if which else b.item[i, S_CUT]
        if k >= 0:
            found += told_cost(b, k)
    price = b.w[W_PARKED] if b.item[i, RECOURSE] == PARKED else b.w[W_OVERRUN]
    return found + price * b.item[i, RECOURSE_S]


@compiled
def told_cost(b: Board, k: int) -> float:
    told, start = b.slot[k, TOLD], b.slot[k, START]
    if told < 0 or start < 0:
        return 0.0
    ahead = told - b.g[NOW]
    if ahead < 0 or ahead >= TOLD_FAR_S:
        return 0.0
    shift = max(0, abs(start - told) - SAME_S)
    return (b.w[W_TOLD] if ahead < TOLD_S else b.w[W_TOLD_FAR]) * shift


# --- what has begun, and what is done as soon as can be ---------------------------------------------


@compiled
def seat_next(b: Board, i: int, s: int, begin: int, held: int, end: int) -> bool:
    """A place for stage s during [begin, held), by its wishes in turn; it cooks until `end`."""
    row = row_at(b, s, end)
    for c in range(b.row[row, 0], b.row[row, 0] + b.row[row, 1]):
        w0, w1 = b.choice[c, WORD0], b.choice[c, WORD1]
        for n in range(w0, w1):
            b.want[n] = b.masks[b.choice[c, MASK], n]
        if clear_places(b, i, begin, held, b.choice[c, C_RECOVERY], w0, w1) < 0:
            place = pick_place(b, i, s, begin, w0, w1)
            stand(b, s, place, begin, end, held, c, b.choice[c, SECONDS])
            return True
    return False


@compiled
def forward(b: Board, i: int, s: int, at: int) -> bool:
    """Stages s to the last, one after the other, each as early as hands and stone allow from `at`."""
    last = b.item[i, ST0] + b.item[i, N_STAGES] - 1
    while s <= last:
        row = row_at(b, s, at)
        best, best_c = b.g[HORIZON] + 1, -1
        for c in range(b.row[row, 0], b.row[row, 0] + b.row[row, 1]):
            found = earliest(b, i, c, at, best)
            if found >= 0 and found < best:
                best, best_c = found, c
        if best_c < 0:
            return False
        begin = find_hands(b, LAUNCH, best, best, best)
        end = best + b.choice[best_c, SECONDS]
        w0, w1 = b.choice[best_c, WORD0], b.choice[best_c, WORD1]
        out = find_hands(b, PULL, end, end - b.choice[best_c, EARLY], end + b.choice[best_c, LATE])
        if begin < 0 or out < 0:
            return False
        end = out // COOKS
        held = end + b.hands[out % COOKS, PULL]
        for n in range(w0, w1):
            b.want[n] = b.masks[b.choice[best_c, MASK], n]
        if clear_places(b, i, best, held, b.choice[best_c, C_RECOVERY], w0, w1) >= 0:
            return False
        take_hands(b, b.stage[s, S_BEGIN], LAUNCH, begin)
        take_hands(b, b.stage[s, S_OUT], PULL, out)
        place = pick_place(b, i, s, best, w0, w1)
        stand(b, s, place, best, end, held, best_c, b.choice[best_c, SECONDS])
        if not stage_turns(b, s, best, end, best + b.hands[begin % COOKS, LAUNCH]):
            return False
        at = held
        s += 1
    b.item[i, LEAVE], b.item[i, LAST_ACT] = b.stage[last, END], at
    return True


@compiled
def earliest(b: Board, i: int, c: int, at: int, before: int) -> int:
    """The first second in [at, before) at which choice c can be launched and later pulled; -1 if none."""
    w0, w1 = b.choice[c, WORD0], b.choice[c, WORD1]
    while at < before:
        found = find_hands(b, LAUNCH, at, at, before)
        if found < 0:
            return -1
        at = found // COOKS
        end = at + b.choice[c, SECONDS]
        out = find_hands(b, PULL, end, end - b.choice[c, EARLY], end + b.choice[c, LATE])
        if out < 0:
            at += 1
            continue
        end = out // COOKS
        for n in range(w0, w1):
            b.want[n] = b.masks[b.choice[c, MASK], n]
        held = end + b.hands[out % COOKS, PULL]
        again = clear_places(b, i, at, held, b.choice[c, C_RECOVERY], w0, w1)
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
    b.g[TRIES] += 1
    remove_item(b, i)
    first = b.item[i, ST0]
    last = first + b.item[i, N_STAGES] - 1
    for s in range(first, first + b.item[i, BEGUN]):
        hang(b, s)
    s = first + b.item[i, BEGUN] - 1
    while True:
        k = b.stage[s, S_BEGIN]
        after = b.slot[k, START] + b.hands[b.slot[k, COOK], b.slot[k, ACT]]
        end = end_begun(b, i, s, after, target)
        if s == last or end < 0 or b.item[i, RECOURSE] >= PULLED_EARLY:
            break
        s += 1
    ready = max(target, b.item[i, LEAVE] + b.item[i, REST])
    move_platter(b, i, b.stage[first, BEGIN], ready + b.g[TURNAROUND])
    if b.item[i, CUT_IT]:
        k = b.item[i, S_CUT]
        if b.slot[k, FIXED]:
            b.item[i, LAST_ACT] = b.slot[k, START] + b.hands[b.slot[k, COOK], CUT]
        else:
            cut = find_hands(b, CUT, b.item[i, LAST_ACT], b.item[i, LAST_ACT], b.g[HORIZON])
            b.item[i, LAST_ACT] = take_hands(b, k, CUT, cut)
    settle(b, i)


@compiled
def end_begun(b: Board, i: int, s: int, after: int, target: int) -> int:
    """Turns and end of a stage that stands, and the begin of the next; when it ends."""
    last = b.item[i, ST0] + b.item[i, N_STAGES] - 1
    c, begin, asked = b.stage[s, CHOICE], b.stage[s, BEGIN], b.stage[s, ASKED]
    due = begin + asked
    low, high = due - b.choice[c, EARLY], due + b.choice[c, LATE]
    rest_of = b.item[i, REST]
    for t in range(s + 1, last + 1):
        rest_of += b.choice[b.row[row_at(b, t, due), 0], SECONDS]
    late_turns = begun_turns(b, s, begin, due, after)
    low, high = max(low, late_turns), max(high, late_turns)
    wish = min(max(target - rest_of, low), high)
    if s == last:
        return pull_begun(b, i, s, wish, low, high, due)
    act = LOAD if b.stage[s + 1, STAYS] else MOVE
    for wait in range(0, 61, 10):
        found = find_hands(b, act, wish, low, high + wait)
        if found >= 0 and next_begun(b, i, s, act, found):
            over_price(b, i, found // COOKS, due - b.choice[c, EARLY], due + b.choice[c, LATE])
            return found // COOKS
        wish = high + wait
        low = max(low, wish + 1)
    return park(b, i, s, low, due)


@compiled
def next_begun(b: Board, i: int, s: int, act: int, found: int) -> bool:
    """Stage s + 1 begun with that act, where there is room for it."""
    begin, hands = found // COOKS, b.hands[found % COOKS, act]
    c = b.row[row_at(b, s + 1, begin), 0]
    end = begin + b.choice[c, SECONDS]
    if act == LOAD:
        held = end + b.choice[c, LATE] + b.hands[0, PULL]
        unhang(b, s)
        b.stage[s, END], b.stage[s, HELD] = begin, begin
        hang(b, s)
        stand(b, s + 1, b.stage[s, PLACE], begin, end, held, c, b.choice[c, SECONDS])
    else:
        if not seat_next(b, i, s + 1, begin, end + b.choice[c, LATE] + b.hands[0, PULL], end):
            return False
        unhang(b, s)
        b.stage[s, END], b.stage[s, HELD] = begin, begin + hands
        hang(b, s)
    take_hands(b, b.stage[s + 1, S_BEGIN], act, found)
    return True


@compiled
def pull_begun(b: Board, i: int, s: int, wish: int, low: int, high: int, due: int) -> int:
    """The pull of an item that has begun: within its band, else as soon after as hands allow."""
    k = b.stage[s, S_OUT]
    if b.slot[k, FIXED]:
        end, held = b.slot[k, START], b.slot[k, START] + b.hands[b.slot[k, COOK], PULL]
    else:
        found = find_hands(b, PULL, wish, low, high)
        if found < 0:
            found = find_hands(b, PULL, high, high, b.g[HORIZON])
        end, held = found // COOKS, take_hands(b, k, PULL, found)
    c = b.stage[s, CHOICE]
    over_price(b, i, end, due - b.choice[c, EARLY], due + b.choice[c, LATE])
    unhang(b, s)
    b.stage[s, END], b.stage[s, HELD] = end, held
    hang(b, s)
    b.item[i, LEAVE], b.item[i, LAST_ACT] = end, held
    return end


@compiled
def over_price(b: Board, i: int, end: int, low: int, high: int) -> None:
    """Note by how much an end misses its band."""
    off = max(0, low - end, end - high)
    if off and b.item[i, RECOURSE] < PULLED_EARLY:
        b.item[i, RECOURSE] = OVERRUN
        b.item[i, RECOURSE_S] += off


@compiled
def begun_turns(b: Board, s: int, begin: int, due: int, after: int) -> int:
    """Turns of a stage that stands, each as near its moment as hands allow; when the last is done."""
    for h in range(b.stage[s, H0], b.stage[s, H0] + b.stage[s, N_HANDLES]):
        k, act = b.handle[h, H_SLOT], b.handle[h, H_ACT]
        if b.slot[k, FIXED] == 0:
            wish = begin + round(b.fraction[h] * (due - begin))
            found = find_hands(b, act, max(wish, after), after, b.g[HORIZON])
            take_hands(b, k, act, found)
        after = max(after, b.slot[k, START] + b.hands[b.slot[k, COOK], act])
    return after


@compiled
def park(b: Board, i: int, s: int, low: int, due: int) -> int:
    """Off the hearth at once, on again as soon as there is room; else it stays off, done as it is."""
    k = b.stage[s, S_OUT]
    found = find_hands(b, PULL, low, low, b.g[HORIZON])
    held = take_hands(b, k, PULL, found)
    unhang(b, s)
    b.stage[s, END], b.stage[s, HELD] = found // COOKS, held
    hang(b, s)
    b.item[i, LEAVE], b.item[i, LAST_ACT] = found // COOKS, held
    c = b.stage[s, CHOICE]
    over_price(b, i, found // COOKS, due - b.choice[c, EARLY], due + b.choice[c, LATE])
    if b.stage[s + 1, STAYS] == 0 and forward(b, i, s + 1, held):
        b.item[i, RECOURSE] = PARKED
        b.item[i, RECOURSE_S] += b.stage[s + 1, BEGIN] - held
        return found // COOKS
    last = b.item[i, ST0] + b.item[i, N_STAGES] - 1
    b.item[i, RECOURSE] = PULLED_EARLY
    for t in range(s + 1, last + 1):
        give_hands(b, b.stage[t, S_BEGIN])
        give_hands(b, b.stage[t, S_OUT])
        for h in range(b.stage[t, H0], b.stage[t, H0] + b.stage[t, N_HANDLES]):
            give_hands(b, b.handle[h, H_SLOT])
        unhang(b, t)
        b.item[i, RECOURSE_S] += b.choice[b.row[row_at(b, t, held), 0], SECONDS]
    b.item[i, LEAVE], b.item[i, LAST_ACT] = found // COOKS, held
    return -1


# --- one order -----------------------------------------------------------------------------------


@compiled
def late_cost(b: Board, o: int, landing: int) -> float:
    """Lateness or earliness of an order that lands then."""
    late = landing - b.order[o, WANTED]
    if late < 0:
        return b.weight[o] * b.w[W_EARLY] * -late
    found = b.w[W_LATE] * late
    found += b.w[W_BEYOND] * max(0, late - b.g[LATE_AFTER]) + b.w[W_LONG] * max(0, late - LONG_S)
    return b.weight[o] * found


@compiled
def order_cost(b: Board, o: int) -> float:
    """All an order costs, its items booked; sets when each is ready and when it lands."""
    first, n = b.order[o, I0], b.order[o, N_ITEMS]
    last = worked = 0
    for i in range(first, first + n):
        last = max(last, b.item[i, LEAVE] + b.item[i, REST])
        worked = max(worked, b.item[i, LAST_ACT])
    soonest = last
    found = 0.0
    landing = max(last + b.g[PLATING], worked, b.order[o, NOT_BEFORE])
    for i in range(first, first + n):
        ready = b.item[i, LEAVE] + b.item[i, REST]
        ready = min(last, ready + b.item[i, SLACK])
        b.item[i, READY] = ready
        soonest = min(soonest, ready)
        found += b.own[i]
        found += b.w[W_OVERHELD] * max(0, landing - b.g[PLATING] - ready - b.item[i, HOLD])
    spread = last - soonest
    found += b.weight[o] * (b.w[W_SPREAD] * max(0, spread - b.g[TOGETHER]) + b.w[W_CLOSE] * spread)
    b.order[o, LANDING] = landing
    return found + late_cost(b, o, landing)


@compiled
def place_item(b: Board, i: int, target: int, ceiling: float) -> bool:
    """Book item i ready as near `target` as costs least; False when that would cost `ceiling` or more.

    Early and late ready times are tried by what they cost the table at the least, ever more coarsely.
    """
    o = b.item[i, ORDER]
    if b.item[i, BEGUN]:
        book_begun(b, i, target)
        return True
    if b.item[i, ASAP]:
        if not forward(b, i, b.item[i, ST0], max(b.g[NOW], b.order[o, CALLED])):
            remove_item(b, i)
            return False
        settle(b, i)
        return True
    soonest = max(b.g[NOW], b.order[o, CALLED]) + b.item[i, SHORT] + b.item[i, REST]
    target = max(target, soonest)
    base = late_cost(b, o, target + b.g[PLATING])
    early, step, tried = 0, 5, 0
    late = step - draw(b, 3)
    while True:
        by_early = FAR
        if target - early >= soonest and early <= EARLY_S:
            by_early = early_price(b, i, o, early)
        by_late = FAR
        if late <= LATE_S:
            by_late = late_cost(b, o, target + late + b.g[PLATING]) - base
        if min(by_early, by_late) >= ceiling:
            return False
        if by_early <= by_late:
            ready = target - early
            early += step
        else:
            ready = target + late
            late += step
        leave = ready - b.item[i, REST]
        lands = max(ready, target) + b.g[PLATING]
        if book_back(b, i, leave, step, lands + 60):
            if move_platter(b, i, b.stage[b.item[i, ST0], BEGIN], lands + b.g[TURNAROUND]):
                break
            remove_item(b, i)
        tried += 1
        if tried % 16 == 0 and step < 40:
            step += step
    settle(b, i)
    return True


@compiled
def early_price(b: Board, i: int, o: int, early: int) -> float:
    """What it costs at the least to be ready so much before the rest of the table."""
    loose = max(0, early - b.item[i, SLACK])
    found = b.weight[o] * (b.w[W_CLOSE] * loose + b.w[W_SPREAD] * max(0, loose - b.g[TOGETHER]))
    return found + b.w[W_OVERHELD] * max(0, loose - b.item[i, HOLD])


@compiled
def place_order(b: Board, o: int, target: int, ceiling: float) -> float:
    """Book what of an order is not booked, around one ready time; its cost, or FAR when over `ceiling`.

    Longest first, with a little noise. On FAR some items may be booked: the caller takes them off.
    """
    first, n = b.order[o, I0], b.order[o, N_ITEMS]
    noise = 3.0 if draw(b, 4) == 0 else 0.3
    for i in range(first, first + n):
        if b.item[i, PLACED]:
            target = max(target, b.item[i, LEAVE] + b.item[i, REST])
        b.key[i] = b.item[i, SHORT] * (1 + noise * chance(b)) + (1e6 if b.item[i, BEGUN] else 0.0)
    while True:
        next_ = -1
        for i in range(first, first + n):
            if b.item[i, PLACED] == 0 and (next_ < 0 or b.key[i] > b.key[next_]):
                next_ = i
        if next_ < 0:
            break
        certain = late_cost_at(b, o, target)
        if certain >= ceiling or not place_item(b, next_, target, ceiling - certain):
            return FAR
        target = max(target, b.item[next_, LEAVE] + b.item[next_, REST])
    found = order_cost(b, o)
    back = b.order[o, LANDING] + b.g[TURNAROUND]
    for i in range(first, first + n):
        away = b.item[i, BANK] and not move_platter(b, i, b.stage[b.item[i, ST0], BEGIN], back)
        if away and b.item[i, BEGUN] == 0:
            return FAR
    b.cost[o] = found
    return found if found < ceiling else FAR


@compiled
def late_cost_at(b: Board, o: int, target: int) -> float:
    """Lateness that is certain once plates are ready at `target`; earliness may still go away."""
    landing = target + b.g[PLATING]
    return late_cost(b, o, landing) if landing > b.order[o, WANTED] else 0.0


# --- ruin and recreate ---------------------------------------------------------------------------


@compiled
def copy_item(b: Board, i: int, to_item: Ints, to_stage: Ints, to_slot: Ints, back: int) -> None:
    """An item's rows to the given tables, or (`back`) from them."""
    for n in range(PLACED, b.item.shape[1]):
        if back:
            b.item[i, n] = to_item[i, n]
        else:
            to_item[i, n] = b.item[i, n]
    s0, s1 = b.item[i, ST0], b.item[i, ST0] + b.item[i, N_STAGES]
    for s in range(s0, s1):
        for n in range(PLACE, b.stage.shape[1]):
            if back:
                b.stage[s, n] = to_stage[s, n]
            else:
                to_stage[s, n] = b.stage[s, n]
    k0, k1 = b.item[i, S_DRESS], b.item[i, S_CUT] + 1
    for k in range(k0, k1):
        for n in range(ACT, FIXED):
            if back:
                b.slot[k, n] = to_slot[k, n]
            else:
                to_slot[k, n] = b.slot[k, n]


@compiled
def total_cost(b: Board) -> float:
    found = b.w[W_REACH] * b.g[CROSSED]
    for o in range(b.order.shape[0]):
        found += b.cost[o]
    return found


@compiled
def construct(b: Board, tries: int) -> int:
    """Book all that is not booked: what has begun first, then orders as they stand in `list`.

    Each order gets its wanted minute. Returns -1, or the order for which nothing was found in four hours.
    """
    for i in range(b.own.shape[0]):
        if b.item[i, BEGUN] and b.item[i, PLACED] == 0:
            o = b.item[i, ORDER]
            book_begun(b, i, b.order[o, WANTED] - b.g[PLATING])
    for n in range(b.order.shape[0]):
        o = b.list[n]
        if not missing(b, o):
            b.cost[o] = order_cost(b, o)
            continue
        done = False
        for _ in range(tries):
            if place_order(b, o, b.order[o, WANTED] - b.g[PLATING], FAR) < FAR:
                done = True
                break
            take_off(b, o)
        if not done:
            return o
    return -1


@compiled
def missing(b: Board, o: int) -> bool:
    n = 0
    for i in range(b.order[o, I0], b.order[o, I0] + b.order[o, N_ITEMS]):
        n += 1 - b.item[i, PLACED]
    return n > 0


@compiled
def take_off(b: Board, o: int) -> None:
    """All of an order that has not begun comes off."""
    for i in range(b.order[o, I0], b.order[o, I0] + b.order[o, N_ITEMS]):
        if b.item[i, BEGUN] == 0:
            remove_item(b, i)


@compiled
def save_best(b: Board, all_: int) -> None:
    for i in range(b.own.shape[0]):
        if all_ or b.dirty[i]:
            copy_item(b, i, b.best_item, b.best_stage, b.best_slot, 0)
            b.dirty[i] = 0


@compiled
def restore_best(b: Board) -> None:
    """The best found becomes the board as it stands."""
    for i in range(b.own.shape[0]):
        remove_item(b, i)
    for i in range(b.own.shape[0]):
        copy_item(b, i, b.best_item, b.best_stage, b.best_slot, 1)
        book_again(b, i)
        b.own[i] = own_cost(b, i)
        b.dirty[i] = 0
    for o in range(b.order.shape[0]):
        b.cost[o] = order_cost(b, o)


@compiled
def improve(b: Board, rounds: int, hot: float, cool: float, best: float) -> float:
    """So many rounds of ruin and recreate, annealed from `hot` to `cool`; the best cost found."""
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
    """Take a few items off and put them back another way; the cost that stands afterwards."""
    n_orders = ruin(b)
    before, crossed = 0.0, b.g[CROSSED]
    for n in range(n_orders):
        before += b.cost[b.list[n]]
    limit = before - heat * math.log(chance(b))
    for i in range(b.own.shape[0]):
        if b.key[i] < 0:
            copy_item(b, i, b.kept_item, b.kept_stage, b.kept_slot, 0)
            b.dirty[i] |= 2
    for i in range(b.own.shape[0]):
        if b.dirty[i] & 2:
            remove_item(b, i)
            reserve(b, i)
    spent, failed = 0.0, False
    for n in range(n_orders):
        o = b.list[n]
        was = b.order[o, LANDING] - b.g[PLATING]
        cost = place_order(b, o, aim(b, o, was), limit - spent)
        spent += cost
        if cost >= FAR or spent + b.w[W_REACH] * (b.g[CROSSED] - crossed) > limit:
            failed = True
            break
    if failed:
        for i in range(b.own.shape[0]):
            if b.dirty[i] & 2:
                remove_item(b, i)
        for i in range(b.own.shape[0]):
            if b.dirty[i] & 2:
                copy_item(b, i, b.kept_item, b.kept_stage, b.kept_slot, 1)
                book_again(b, i)
                b.own[i] = own_cost(b, i)
                b.dirty[i] &= 1
        for n in range(n_orders):
            o = b.list[n]
            b.cost[o] = order_cost(b, o)
        return now
    for i in range(b.own.shape[0]):
        if b.dirty[i] & 2:
            b.dirty[i] = 1
    return total_cost(b)


@compiled
def aim(b: Board, o: int, was: int) -> int:
    """The ready time to try for an order: its wish, where it was, or somewhere about."""
    wish = b.order[o, WANTED] - b.g[PLATING]
    pick = draw(b, 10)
    if pick < 5:
        return wish
    if pick < 7:
        return was
    if pick < 9:
        return min(wish, was) + draw(b, abs(was - wish) + 60)
    return wish - 60 + draw(b, 460)


@compiled
def choose_costly(b: Board) -> int:
    """An order by chance, the costlier the likelier."""
    whole = 0.0
    n = b.order.shape[0]
    for o in range(n):
        whole += b.cost[o] + 0.5
    left = chance(b) * whole
    for o in range(n):
        left -= b.cost[o] + 0.5
        if left <= 0:
            return o
    return n - 1


@compiled
def ruin(b: Board) -> int:
    """Mark (negative `key`) the items to take off and list their orders; how many orders.

    Four ways: a costly order with those landing where it wants to be or where it is; the same by single
    items that stand on the stone at that time; one order alone; a few items anywhere.
    """
    for i in range(b.own.shape[0]):
        b.key[i] = 1.0
    worst = choose_costly(b)
    pick = draw(b, 100) if b.order.shape[0] > 1 else 99
    if pick < 45:
        middle = b.order[worst, WANTED] if pick < 30 else b.order[worst, LANDING]
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
        mark_order(b, draw(b, b.order.shape[0]))
    else:
        for _ in range(1 + draw(b, 5)):
            b.key[draw(b, b.own.shape[0])] = -1.0
    n = 0
    if b.key[b.order[worst, I0]] < 0:
        b.list[0] = worst
        n = 1
    for o in range(b.order.shape[0]):
        if n and o == b.list[0]:
            continue
        marked = False
        for i in range(b.order[o, I0], b.order[o, I0] + b.order[o, N_ITEMS]):
            marked = marked or b.key[i] < 0
        if marked:
            b.list[n] = o
            n += 1
    if draw(b, 2):
        for k in range(n - 1, 0, -1):
            j = draw(b, k + 1)
            b.list[k], b.list[j] = b.list[j], b.list[k]
    return n


@compiled
def mark_order(b: Board, o: int) -> None:
    for i in range(b.order[o, I0], b.order[o, I0] + b.order[o, N_ITEMS]):
        b.key[i] = -1.0


@compiled
def near_order(b: Board, middle: int) -> int:
    """An unmarked order landing near that time: the nearest of a few drawn (any, when all are marked)."""
    best, gap = draw(b, b.order.shape[0]), FAR
    for _ in range(6):
        o = draw(b, b.order.shape[0])
        away = abs(b.order[o, LANDING] - middle)
        if b.key[b.order[o, I0]] > 0 and away < gap:
            best, gap = o, float(away)
    return best


@compiled
def mark_beside(b: Board, o: int, n: int) -> None:
    """Items of other orders that cook while this one, landing as wanted, would."""
    until = b.order[o, WANTED]
    from_ = until - b.item[b.order[o, I0], SHORT] - 60
    for _ in range(4 * n):
        i = draw(b, b.own.shape[0])
        s = b.item[i, ST0]
        if b.key[i] > 0 and b.stage[s, BEGIN] < until and b.item[i, LEAVE] > from_:
            b.key[i] = -1.0
            n -= 1
            if n == 0:
                return
