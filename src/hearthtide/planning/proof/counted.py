"""What a schedule costs, counted once more from its stays and acts alone."""

from __future__ import annotations

from hearthtide.planning.problem import Booked, Handling, Placed, Problem, Reality, Schedule, Stay
from hearthtide.planning.proof.floor import BORDER_M, SAME_M, Floor
from hearthtide.planning.proof.reading import BEGINS, TURNS, Night, Row

PATIENCE_S = 600  # lateness past which a table is lost patience with (common practice, no source)
READY_S = 300  # guests are not ready for plates that come this much before their minute; own choice
TOLD_S, TOLD_FAR_S = 60, 180  # how far ahead moves are told closely, and at all
UNMOVED_S = 2  # an act moved by no more than this is the one that was told

Slot = tuple[str, int, int]


def cost_of(
    problem: Problem, schedule: Schedule, reality: Reality | None = None, running: Schedule | None = None
) -> dict[str, float]:
    """The cost by kind, in guest-seconds: late, early, spread, overheld, off, reach, recourse, told.

    `told` counts acts moved and items sent elsewhere of what `running` has told for the next minutes.
    """
    night = Night(problem, schedule, reality, running)
    return counted(night, Floor(problem))


def counted(night: Night, floor: Floor) -> dict[str, float]:
    w = night.problem.weights
    parts = dict.fromkeys(("late", "early", "spread", "overheld", "off", "reach", "recourse", "told"), 0.0)
    for booked in night.schedule.booked:
        _table(night, booked, parts)
    for row, stay in night.stays():
        asked = night.asked(row, stay)
        price = 0.0 if asked is None else asked.off_per_s
        parts["off"] += w.off * price * abs(stay.end_s - stay.start_s - stay.asked_s)
    parts["reach"] = w.reach * reached(night, floor, SAME_M)
    for one in night.schedule.recourse:
        parts["recourse"] += (w.parked if one.kind == "parked" else w.overrun) * one.seconds
    parts["told"] = _told(night)
    return parts


def _table(night: Night, booked: Booked, parts: dict[str, float]) -> None:
    """Lateness and its two surcharges, earliness, plates apart, plates held too long."""
    problem, w, guests = night.problem, night.problem.weights, booked.order.weight
    off_s = booked.landing_s - booked.order.wanted_s
    if off_s < 0:
        parts["early"] += guests * (w.early * -off_s + w.hasty * max(0, -off_s - READY_S))
    else:
        parts["late"] += guests * w.late * off_s
        parts["late"] += guests * w.beyond * max(0, off_s - problem.late_after_s)
        parts["late"] += guests * w.long * max(0, off_s - PATIENCE_S)
    ready = sorted(p.ready_s for p in booked.placed)
    if not ready:
        return
    apart = ready[-1] - ready[0]
    done = sorted(p.leave_s + p.item.rest_s for p in booked.placed)
    close = w.close * (done[-1] - done[0])  # resting longer brings no plates closer off the hearth
    parts["spread"] += guests * (close + w.spread * max(0, apart - problem.together_s))
    leaves = booked.landing_s - problem.plating_s
    for p in booked.placed:
        parts["overheld"] += w.overheld * max(0, leaves - p.ready_s - p.item.hold_s)


def reached(night: Night, floor: Floor, give_m: float) -> int:
    """How often a hand goes over a neighbour: each act on the hearth, each thing in its straight way."""
    if night.problem.weights.reach == 0:
        return 0
    count = 0
    standing = sorted(night.stays(), key=lambda pair: pair[1].start_s)
    standing = [(r, s) for r, s in standing if floor.knows(s.place)]
    at = [_acts_at(row, stay) for row, stay in standing]
    for n, (row, stay) in enumerate(standing):
        for m in range(n + 1, len(standing)):
            other_row, other = standing[m]
            if other.start_s >= stay.held_until_s:
                break
            if other_row.key == row.key:
                continue
            if floor.over(stay.place, other.place, give_m):
                count += sum(other.start_s <= t < other.held_until_s for t in at[n])
            if floor.over(other.place, stay.place, give_m):
                count += sum(stay.start_s <= t < stay.held_until_s for t in at[m])
    return count


def reach_bounds(night: Night, floor: Floor) -> tuple[int, int]:
    """The count of reaches with every doubtful one left out, and with every doubtful one in."""
    return reached(night, floor, BORDER_M), reached(night, floor, -SAME_M)


def _acts_at(row: Row, stay: Stay) -> list[int]:
    return [h.start_s for h in row.acts if h.stage >= 0 and stay.start_s <= h.start_s < stay.held_until_s]


def _told(night: Night) -> float:
    if night.running is None:
        return 0.0
    w, found = night.problem.weights, 0.0
    before = {p.item.key: p for b in night.running.booked for p in b.placed}
    for row in night.rows:
        old = before.get(row.key)
        if old is None:
            continue
        acts = _by_slot(row.placed)
        for slot, was in _by_slot(old).items():
            ahead = was.start_s - night.now_s
            if slot in acts and 0 <= ahead < TOLD_FAR_S:
                price = w.told if ahead < TOLD_S else w.told_far
                found += price * max(0, abs(acts[slot].start_s - was.start_s) - UNMOVED_S)
        places = {s.stage: s.place for s in row.placed.stays}
        for stay in old.stays:
            ahead = stay.start_s - night.now_s
            moved = places.get(stay.stage, stay.place) != stay.place
            found += w.changed * (moved and 0 <= ahead < TOLD_FAR_S)
    return found


def _by_slot(placed: Placed) -> dict[Slot, Handling]:
    """An item's acts by what they are for: the begin of a stage, its n-th turn, its pull, the bench."""
    found: dict[Slot, Handling] = {}
    for act in sorted(placed.handlings, key=lambda h: h.start_s):
        kind = "begin" if act.act in BEGINS else "turn" if act.act in TURNS else act.act
        number = 0
        while (kind, act.stage, number) in found:
            number += 1
        found[kind, act.stage, number] = act
    return found
