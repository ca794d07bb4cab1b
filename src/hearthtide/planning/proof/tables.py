"""Tables, platters and what had begun: every plate once, none before its call, landings as they add up."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import isclose

from hearthtide.planning.problem import Begun, Booked, Order
from hearthtide.planning.proof.reading import Fault, Night, Row, clock

LONGER_SHARE, LONGER_S = 4, 60  # an item may rest a quarter longer, a minute at most (common practice)


def table_faults(night: Night) -> Iterator[Fault]:
    yield from _orders(night)
    for booked in night.schedule.booked:
        yield from _landing(night, booked)
    for row in night.rows:
        yield from _rest(row)
        yield from _called(row)
    yield from _platters(night)
    yield from _begun(night)


def _orders(night: Night) -> Iterator[Fault]:
    """Every order and item once and as asked; a ticket may be cut into drops."""
    asked = {item.key: (item, order) for order in night.problem.orders for item in order.items}
    planned = Counter(row.key for row in night.rows)
    for key in asked:
        if planned[key] != 1:
            yield Fault("orders", key, f"planned {planned[key]} times")
    for row in night.rows:
        if row.key not in asked:
            yield Fault("orders", row.key, "nobody ordered it")
        elif row.item != asked[row.key][0]:
            yield Fault("orders", row.key, "it is not the item that was ordered")
        elif not _on_the_terms(row.order, asked[row.key][1]):
            yield Fault("orders", row.key, f"lands with {row.order.key}, which has other terms")
    keys = Counter(booked.order.key for booked in night.schedule.booked)
    for booked in night.schedule.booked:
        if keys[booked.order.key] != 1:
            yield Fault("orders", booked.order.key, f"booked {keys[booked.order.key]} times")
        if sorted(i.key for i in booked.order.items) != sorted(p.item.key for p in booked.placed):
            yield Fault("orders", booked.order.key, "its plates are not those it names")


def _on_the_terms(order: Order, asked: Order) -> bool:
    """Whether an order, or a drop it was cut into, is called, wanted and weighed as asked.

    A drop counts for the guests of its own plates and is wanted so many times the drops' distance later.
    """
    same = (order.ticket, order.called_s, order.not_before_s)
    if same != (asked.ticket, asked.called_s, asked.not_before_s):
        return False
    share = len(order.items) / len(asked.items)
    later_s = order.wanted_s - asked.wanted_s
    apart_s = asked.drops_apart_s if order.key != asked.key else 0
    as_far = later_s % apart_s == 0 if apart_s and later_s > 0 else later_s == 0
    return as_far and isclose(order.weight, asked.weight * share)


def _landing(night: Night, booked: Booked) -> Iterator[Fault]:
    """It lands when its last plate has been plated, its last act is done, and no earlier than allowed."""
    if not booked.placed:
        return
    plated = max(p.ready_s for p in booked.placed) + night.problem.plating_s
    worked = max((h.start_s + h.hands_s for p in booked.placed for h in p.handlings), default=0)
    lands = max(plated, worked, booked.order.not_before_s)
    if booked.landing_s != lands:
        yield Fault(
            "landing", booked.order.key, f"lands {clock(booked.landing_s)}, adds up to {clock(lands)}"
        )
    if booked.landing_s < booked.order.not_before_s:
        yield Fault("not before", booked.order.key, f"lands {clock(booked.landing_s)}")


def _rest(row: Row) -> Iterator[Fault]:
    item, placed = row.item, row.placed
    rests = placed.ready_s - placed.leave_s
    most = item.rest_s + min(LONGER_S, item.rest_s // LONGER_SHARE)
    if not item.rest_s <= rests <= most:
        yield Fault("rest", row.key, f"ready {rests} s off the stone, {item.rest_s} to {most} asked")


def _called(row: Row) -> Iterator[Fault]:
    first = next((act for act in row.acts if not row.set_before(act)), None)
    if first is not None and first.start_s < row.order.called_s:
        early = f"{first.act} at {clock(first.start_s)}"
        yield Fault("called", row.key, f"{early}, called {clock(row.order.called_s)}")


def _platters(night: Night) -> Iterator[Fault]:
    """From its launch until a turnaround after its table has landed a platter is not in the bank."""
    bank = night.problem.bank
    if bank is None:
        return
    away = [
        (row.placed.stays[0].start_s, row.landing_s + bank.turnaround_s, row)
        for row in night.rows
        if row.item.from_bank and row.placed.stays
    ]
    for start, _, row in away:
        out = [r for a, b, r in away if a <= start < b]
        if len(out) > bank.count and any(r.begun is None for r in out):
            yield Fault("platters", row.key, f"{len(out)} out at {clock(start)}, the bank has {bank.count}")


def _begun(night: Night) -> Iterator[Fault]:
    """What had begun stands unmoved, and what was told for the next minute is kept."""
    rows = {row.key: row for row in night.rows}
    for begun in () if night.reality is None else night.reality.begun:
        row = rows.get(begun.item)
        if row is None:
            yield Fault("begun", begun.item, "it has begun and is not planned")
            continue
        for act in begun.handlings:
            if act not in row.placed.handlings:
                name = "begun" if act.start_s < night.now_s else "told"
                yield Fault(name, begun.item, f"{act.act} at {clock(act.start_s)} is gone or moved")
        yield from _stands(night, row, begun)


def _stands(night: Night, row: Row, begun: Begun) -> Iterator[Fault]:
    for number, was in enumerate(begun.stays):
        name = "begun" if was.start_s < night.now_s else "told"
        stay = row.placed.stays[number] if number < len(row.placed.stays) else None
        if stay is None:
            yield Fault(name, begun.item, f"stage {was.stage} is gone")
            continue
        same = (stay.stage, stay.place, stay.start_s, stay.asked_s)
        if same != (was.stage, was.place, was.start_s, was.asked_s):
            yield Fault(name, begun.item, f"stage {was.stage} is moved or asked anew")
        over = number < len(begun.stays) - 1
        if over and (stay.end_s, stay.held_until_s) != (was.end_s, was.held_until_s):
            yield Fault(name, begun.item, f"stage {was.stage} ended otherwise")
