"""What a plan costs, in guest-seconds: one is one guest waiting one second longer than promised.

The search counts the same sum in compiled code while it works; this is the readable one, which every
schedule's shown figures come from. The checker counts it a third time, on its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from hearthtide.planning.problem import Booked, Placed, Problem, Schedule, Stay

LONG_S = 600  # lateness past which a table is lost patience with (common practice, no source)
HASTY_S = 300  # guests are not ready for plates that come this much before their minute; own choice
TOLD_S, TOLD_FAR_S = 60, 180  # how far ahead moves have been told closely, and at all; own choice
SAME_S = 2  # an act moved by no more than this is the act that was told; own choice


def order_parts(problem: Problem, booked: Booked) -> dict[str, float]:
    """The cost of one order by kind: late, early, spread, overheld, off.

    Lateness is convex: dearer past the house's limit and again past ten minutes, so that nobody is left
    waiting for ever to spare the others a little.
    """
    w, order = problem.weights, booked.order
    late, early = max(0, booked.late_s), max(0, -booked.late_s)
    beyond, long = max(0, late - problem.late_after_s), max(0, late - LONG_S)
    apart = max(0, booked.spread_s - problem.together_s)
    off_hearth = [p.leave_s + p.item.rest_s for p in booked.placed]
    last = booked.landing_s - problem.plating_s
    return {
        "late": order.weight * (w.late * late + w.beyond * beyond + w.long * long),
        "early": order.weight * (w.early * early + w.hasty * max(0, early - HASTY_S)),
        "spread": order.weight * (w.spread * apart + w.close * (max(off_hearth) - min(off_hearth))),
        "overheld": w.overheld * sum(max(0, last - p.ready_s - p.item.hold_s) for p in booked.placed),
        "off": w.off * sum(_off(problem, p, stay) for p in booked.placed for stay in p.stays),
    }


def order_cost(problem: Problem, booked: Booked) -> float:
    """The cost of one order by itself: the sum of `order_parts`."""
    return sum(order_parts(problem, booked).values())


def _off(problem: Problem, placed: Placed, stay: Stay) -> float:
    """What a stage's missed seconds cost: at the price of the choice it stands at."""
    missed = abs(stay.end_s - stay.start_s - stay.asked_s)
    choices = placed.item.choices(stay.stage, problem.bin_of(stay.end_s))
    price = next((c.off_per_s for c in choices if c.places >> stay.place & 1), 0.1)
    return price * missed


def reached_over(problem: Problem, booked: Iterable[Booked]) -> int:
    """How often a hand goes over another item on its way to one, over the whole schedule."""
    standing = [(stay, p) for b in booked for p in b.placed for stay in p.stays]
    count = 0
    for stay, placed in standing:
        over = problem.places.reach[stay.place] if stay.place < len(problem.places.reach) else 0
        at = [h for h in placed.handlings if stay.start_s <= h.start_s < stay.held_until_s and h.stage >= 0]
        for other, owner in standing:
            if owner is not placed and over >> other.place & 1:
                count += sum(other.start_s <= h.start_s < other.held_until_s for h in at)
    return count


def told_parts(problem: Problem, now_s: int, told: Schedule, schedule: Schedule) -> dict[str, float]:
    """What a schedule changes of what has been told: acts moved in time, items sent elsewhere."""
    w = problem.weights
    before = {p.item.key: p for b in told.booked for p in b.placed}
    moved, changed = 0.0, 0.0
    for placed in (p for b in schedule.booked for p in b.placed):
        old = before.get(placed.item.key)
        if old is None:
            continue
        for was, act in zip(old.handlings, placed.handlings, strict=False):
            ahead = was.start_s - now_s
            if 0 <= ahead < TOLD_FAR_S:
                shift = max(0, abs(act.start_s - was.start_s) - SAME_S)
                moved += (w.told if ahead < TOLD_S else w.told_far) * shift
        for was_at, is_at in zip(old.stays, placed.stays, strict=False):
            if 0 <= was_at.start_s - now_s < TOLD_FAR_S and was_at.place != is_at.place:
                changed += w.changed
    return {"told": moved, "changed": changed}


def recourse_parts(problem: Problem, schedule: Schedule) -> dict[str, float]:
    """What had to be done to what has begun: overrun and early seconds, waits off the hearth."""
    w = problem.weights
    price = {"overrun": w.overrun, "early": w.overrun, "parked": w.parked}
    found: dict[str, float] = {}
    for one in schedule.recourse:
        found[one.kind] = found.get(one.kind, 0.0) + price[one.kind] * one.seconds
    return found


def total(parts: Mapping[str, float]) -> float:
    return sum(parts.values())
