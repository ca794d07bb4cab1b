"""From the board of the compiled search back to a `Schedule`."""

from __future__ import annotations

from hearthtide.planning.cost import order_parts
from hearthtide.planning.engine import kernel as K
from hearthtide.planning.engine.board import ACTS, Laid
from hearthtide.planning.problem import Booked, Handling, Item, Placed, Recourse, Schedule, Stay

KINDS = {K.OVERRUN: "overrun", K.PULLED_EARLY: "early", K.PARKED: "parked"}


def read(laid: Laid, rounds: int) -> Schedule:
    """The board as it stands, as a schedule; its cost is the board's own sum, its parts are counted anew."""
    b, booked, recourse = laid.board, [], []
    number = int(b.t[0, K.ITEM0])
    for o, order in enumerate(laid.orders, int(b.t[0, K.ORDER0])):
        placed = []
        for item in order.items:
            placed.append(_placed(laid, number, item))
            if b.t[number, K.RECOURSE]:
                kind = KINDS[int(b.t[number, K.RECOURSE])]
                recourse.append(Recourse(item.key, kind, int(b.t[number, K.RECOURSE_S])))
            number += 1
        booked.append(Booked(order, tuple(placed), int(b.t[o, K.LANDING]) + laid.zero_s))
    parts: dict[str, float] = {}
    for one in booked:
        for kind, cost in order_parts(laid.problem, one).items():
            parts[kind] = parts.get(kind, 0.0) + cost
    parts["reach"] = laid.problem.weights.reach * float(b.t[0, K.CROSSED])
    own = {"overrun": laid.problem.weights.overrun, "early": laid.problem.weights.overrun}
    for done in recourse:
        price = own.get(done.kind, laid.problem.weights.parked)
        parts["recourse"] = parts.get("recourse", 0.0) + price * done.seconds
    cost = float(K.total_cost(b))
    parts["told"] = max(0.0, cost - sum(parts.values()))
    chores = tuple(h for k in laid.chore_slots if (h := _handling(laid, k, -1)) is not None)
    return Schedule(tuple(booked), cost, int(b.t[0, K.TRIES]), rounds, parts, tuple(recourse), chores)


def _placed(laid: Laid, i: int, item: Item) -> Placed:
    b = laid.board
    first, n = int(b.t[i, K.ST0]), int(b.t[i, K.N_STAGES])
    stays = [_stay(laid, s, s - first, item) for s in range(first, first + n) if b.t[s, K.STANDS]]
    slots = [(int(b.t[i, K.S_DRESS]), -1)]
    for s in range(first, first + n):
        turns = [(int(b.t[h, K.H_SLOT]), s - first) for h in _handles(laid, s)]
        slots += [(int(b.t[s, K.S_BEGIN]), s - first), *turns, (int(b.t[s, K.S_OUT]), s - first)]
    slots.append((int(b.t[i, K.S_CUT]), -1))
    acts = [h for k, stage in slots if (h := _handling(laid, k, stage)) is not None]
    leave, ready = (int(b.t[i, n]) + laid.zero_s for n in (K.LEAVE, K.READY))
    return Placed(item, tuple(stays), tuple(sorted(acts, key=lambda h: h.start_s)), leave, ready)


def _handles(laid: Laid, s: int) -> range:
    first = int(laid.board.t[s, K.H0])
    return range(first, first + int(laid.board.t[s, K.N_HANDLES]))


def _stay(laid: Laid, s: int, number: int, item: Item) -> Stay:
    row, zero = [int(x) for x in laid.board.t[s]], laid.zero_s
    times = (row[K.BEGIN] + zero, row[K.END] + zero, row[K.HELD] + zero, row[K.ASKED])
    return Stay(item.key, number, row[K.PLACE], *times, item.on_stone)


def _handling(laid: Laid, k: int, stage: int) -> Handling | None:
    act, start, cook = (int(laid.board.t[k, n]) for n in (K.ACT, K.START, K.COOK))
    if start < 0:
        return None
    seconds = int(laid.board.t[1 + cook, act])
    return Handling(start + laid.zero_s, seconds, cook, ACTS[act], stage)
