"""Ways out of a late night: each a change of the problem that is planned and measured before it is told."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Protocol

from hearthtide.house.models import Act
from hearthtide.house.weights_file import WeightsFile
from hearthtide.planning.again import Again, late_courses, late_guest_s, late_orders
from hearthtide.planning.lifted import with_items
from hearthtide.planning.money import schedule_parts
from hearthtide.planning.plan import WayOut
from hearthtide.planning.problem import Booked, Hands, Item, Order, Problem, Schedule, split
from hearthtide.quantities.show import clock_text, duration_text

SHOWN = 2
HELPS = 0.05  # a way out takes at least a twentieth of the guests' lateness away; own choice
APART_S = 360  # between the two drops of an order that is split (common practice, no source)
DISHES_TRIED = 6
SPLIT_TRIED = 3  # of the late orders, those whose guests wait longest
MORE_PLATTERS = 2
PASS_ACTS: tuple[tuple[frozenset[Act], str], ...] = (
    (frozenset({"cut"}), "cutting and boxing"),
    (frozenset({"dress"}), "dressing"),
    (frozenset({"cut", "dress"}), "dressing, cutting and boxing"),
)


@dataclass(frozen=True)
class FlameUp:
    """The problem as a higher flame for a while makes it, and what that takes."""

    problem: Problem
    words: str
    fuel_kWh: float


class Stove(Protocol):
    """The oven behind a problem's minutes."""

    def at_top(self, problem: Problem) -> Problem:
        """The problem read with the stone at the top of its band wherever it is colder."""
        ...

    def flame_up(self, problem: Problem, from_s: int, until_s: int) -> FlameUp | None:
        """The problem under a flame one level higher; None where that cannot be, or leaves the band."""
        ...


@dataclass(frozen=True)
class Way:
    """A changed problem. `price` says what the change costs once planned [guest-seconds], and in words."""

    kind: str
    words: str
    problem: Problem
    price: Callable[[Schedule], tuple[float, str]]
    fuel_kWh: float = 0.0


@dataclass(frozen=True)
class AsIs:
    """What the night costs and how late its guests are without any change [guest-seconds]."""

    cost_s: float
    late_guest_s: float


def cheapest_ways(
    problem: Problem,
    schedule: Schedule,
    base_s: float,
    again: Again,
    stove: Stove | None,
    weights: WeightsFile,
) -> tuple[tuple[WayOut, ...], int]:
    """The two cheapest ways of those that help and are worth their price; how many were planned.

    Cheapest is by the price of each second of lateness taken away. Of each kind only its best is shown: the
    one that leaves the whole plan cheapest, its own price included. Lateness is taken away from `base_s`.
    """
    as_is = AsIs(cost_s(problem, schedule), base_s)
    measured = [
        _measured(way, as_is, again, weights) for way in ways(problem, schedule, stove, weights, again.begun)
    ]
    least = HELPS * base_s
    found = [way for way in measured if way is not None and way.taken_guest_s >= least and way.net_s > 0]
    best = {way.kind: way for way in sorted(found, key=lambda way: way.net_s)}
    return tuple(sorted(best.values(), key=lambda w: w.price_s / w.taken_guest_s)[:SHOWN]), len(measured)


def _measured(way: Way, as_is: AsIs, again: Again, weights: WeightsFile) -> WayOut | None:
    """What a way does to the plan; None where an order then finds no room."""
    found = again.plan(way.problem)
    if found is None:
        return None
    price_s, price = way.price(found)
    saved_s = as_is.cost_s - cost_s(way.problem, found)
    minute, kWh = weights.guest_minute_costs, weights.fuel_costs
    fuel_money = 0.0 if way.fuel_kWh == 0 else None if kWh is None else way.fuel_kWh * kWh
    known = minute is not None and fuel_money is not None
    if minute and fuel_money:
        price_s += 60 * fuel_money / minute
    left_s = late_guest_s(found)
    return WayOut(
        kind=way.kind,
        words=way.words,
        late_guest_s=left_s,
        taken_guest_s=as_is.late_guest_s - left_s,
        saved_s=saved_s,
        price_s=price_s,
        price=price,
        saved_money=(saved_s - price_s) / 60 * minute if known and minute is not None else None,
        still=late_courses(way.problem, found),
        currency=weights.currency,
    )


def cost_s(problem: Problem, schedule: Schedule) -> float:
    """A schedule's cost in guest-seconds, summed anew."""
    return sum(schedule_parts(problem, schedule).values())


def ways(
    problem: Problem,
    schedule: Schedule,
    stove: Stove | None,
    weights: WeightsFile,
    begun: frozenset[str] = frozenset(),
) -> Iterator[Way]:
    """Every change that is tried on a night with orders that land later than the house allows.

    In turn: a dish off the hearth, a drop split, bench work given to another person, more platters, vessels
    heated elsewhere, a higher flame, later minutes told. Prices are the house's own.
    No way touches items that have begun.
    """
    late = late_orders(problem, schedule)
    from_s = min(booked.order.called_s for booked in late)
    until_s = max(booked.landing_s for booked in late)
    yield from _without_a_dish(problem, late, weights.plate_off, begun)
    for booked in sorted(late, key=lambda b: -b.order.weight * b.late_s)[:SPLIT_TRIED]:
        if not any(item.key in begun for item in booked.order.items):
            yield from _split(problem, booked.order)
    yield from _at_the_pass(problem, weights.helper)
    yield from _more_platters(problem, weights.platter)
    yield from _heated_elsewhere(problem, weights.platter, begun)
    if stove is not None:
        yield from _flame(problem, stove, from_s, until_s)
    yield _later(problem, late)


def _without_a_dish(
    problem: Problem, late: tuple[Booked, ...], plate_s: float, begun: frozenset[str]
) -> Iterator[Way]:
    """Each of the dishes most ordered in the late orders, off the hearth for these."""
    free = [item for booked in late for item in booked.order.items if item.key not in begun]
    slow, ordered = {item.key for item in free}, Counter(item.dish for item in free)
    for dish, _ in sorted(ordered.items(), key=lambda pair: (-pair[1], pair[0]))[:DISHES_TRIED]:
        gone = [i for o in problem.orders for i in o.items if i.key in slow and i.dish == dish]
        orders = tuple(_left(problem.orders, frozenset(item.key for item in gone)))
        if orders:
            words = f"take {dish} off the hearth for what would land late: {_plates(gone)}"
            yield Way("dish off", words, replace(problem, orders=orders), _off_price(gone, plate_s))


def _left(orders: Iterable[Order], gone: frozenset[str]) -> Iterator[Order]:
    """The orders without these items; a table waits as many guests as before while any plate is left it."""
    for order in orders:
        items = tuple(item for item in order.items if item.key not in gone)
        if items:
            yield order if items == order.items else replace(order, items=items)


def _plates(gone: list[Item]) -> str:
    tables = len({item.ticket for item in gone})
    return f"{_many(len(gone), 'plate')} at {_many(tables, 'table')}"


def _many(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _off_price(gone: list[Item], plate_s: float) -> Callable[[Schedule], tuple[float, str]]:
    return _fixed(plate_s * len(gone), f"{_many(len(gone), 'plate')} cooked elsewhere or not sold")


def _fixed(price_s: float, words: str) -> Callable[[Schedule], tuple[float, str]]:
    return lambda _: (price_s, words)


def _split(problem: Problem, order: Order) -> Iterator[Way]:
    """An order in two drops, the second promised six minutes later."""
    if len(order.items) < 2:
        return
    apart = replace(order, wished_drops=order.wished_drops + 1, drops_apart_s=APART_S)
    drops = split(apart, 2)
    at = problem.orders.index(order)
    orders = (*problem.orders[:at], *drops, *problem.orders[at + 1 :])
    guests_s = problem.weights.late * drops[1].weight * APART_S
    of_several = sum(o.ticket == order.ticket for o in problem.orders) > 1
    which = f"{order.ticket}, drop {order.drop}," if of_several else order.ticket
    first, second = (_many(len(drop.items), "plate") for drop in drops)
    words = f"land {which} in two: {first}, and {second} {_span(APART_S)} later, told once"
    price = f"the second drop's guests are told {_span(APART_S)} later"
    yield Way("split", words, replace(problem, orders=orders), _fixed(guests_s, price))


def _span(seconds: float) -> str:
    return duration_text(round(seconds))


def _at_the_pass(problem: Problem, second_s: float) -> Iterator[Way]:
    """Bench work given to one more person who does nothing else."""
    items = [item for order in problem.orders for item in order.items]
    wanted = {
        act for act, asked in (("cut", "cut"), ("dress", "dressed")) if any(getattr(i, asked) for i in items)
    }
    for acts, words in PASS_ACTS:
        if acts <= wanted:
            cooks = (*problem.cooks, Hands("another at the pass", acts))
            yield Way(
                "pass",
                f"give {words} to one more person at the pass",
                replace(problem, cooks=cooks),
                _helping(len(problem.cooks), second_s),
            )


def _helping(cook: int, second_s: float) -> Callable[[Schedule], tuple[float, str]]:
    def price(found: Schedule) -> tuple[float, str]:
        acts = [h for b in found.booked for p in b.placed for h in p.handlings if h.cook == cook]
        if not acts:
            return 0.0, "nothing of another person's time"
        hands_s = sum(h.hands_s for h in acts)
        first, last = min(h.start_s for h in acts), max(h.start_s + h.hands_s for h in acts)
        span = f"{clock_text(first)} to {clock_text(last)}"
        return second_s * hands_s, f"{_span(hands_s)} of another person's hands, {span}"

    return price


def _more_platters(problem: Problem, platter_s: float) -> Iterator[Way]:
    if problem.bank is None or not any(i.from_bank for o in problem.orders for i in o.items):
        return
    bank = replace(problem.bank, count=problem.bank.count + MORE_PLATTERS)
    words = f"{MORE_PLATTERS} more hot platters in the bank, {bank.count} in all"
    price = f"{MORE_PLATTERS} platters heated"
    yield Way("platters", words, replace(problem, bank=bank), _fixed(MORE_PLATTERS * platter_s, price))


def _heated_elsewhere(problem: Problem, vessel_s: float, begun: frozenset[str]) -> Iterator[Way]:
    """Vessels that preheat on the stone come hot from elsewhere, and are launched with their food."""
    first = {i.key for o in problem.orders for i in o.items if _preheats(i) and i.key not in begun}
    if first:
        words = f"heat {_many(len(first), 'vessel')} on the ledge or elsewhere than on the stone, as hot"
        price = f"{_many(len(first), 'vessel')} heated"
        changed = with_items(problem, lambda item: _food_on_at_once(item) if item.key in first else item)
        yield Way("preheat", words, changed, _fixed(vessel_s * len(first), price))


def _preheats(item: Item) -> bool:
    return len(item.stages) > 1 and item.stages[1].stays


def _food_on_at_once(item: Item) -> Item:
    stages = (replace(item.stages[1], stays=False), *item.stages[2:])
    return replace(item, stages=stages, pace=item.pace[1:], prefer=item.prefer[1:])


def _flame(problem: Problem, stove: Stove, from_s: int, until_s: int) -> Iterator[Way]:
    up = stove.flame_up(problem, from_s, until_s)
    if up is not None:
        price = _fixed(0.0, f"{up.fuel_kWh:.1f} kWh of fuel")
        yield Way("flame", up.words, up.problem, price, up.fuel_kWh)


def _later(problem: Problem, late: tuple[Booked, ...]) -> Way:
    """Every late order told the next whole minute after it lands; its guests wait as long, but know it."""
    told = {b.order.key: math.ceil(b.landing_s / 60) * 60 for b in late}
    orders = tuple(replace(o, wanted_s=told.get(o.key, o.wanted_s)) for o in problem.orders)
    waits_s = [(told[b.order.key] - b.order.wanted_s) * b.order.weight for b in late]
    most_s = max(told[b.order.key] - b.order.wanted_s for b in late)
    tables = _many(len({b.order.ticket for b in late}), "table")
    words = f"tell {tables} a later minute, once, up to {_span(most_s)} later"
    price = f"{sum(waits_s) / 60:.0f} guest-minutes of waiting that are told beforehand"
    problem = replace(problem, orders=orders)
    return Way("later", words, problem, _fixed(problem.weights.late * sum(waits_s), price))
