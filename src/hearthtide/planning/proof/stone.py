"""What stands on the stone: on spots that are asked for and open, apart, rested, not behind a tall one."""

from __future__ import annotations

from collections.abc import Iterator

from hearthtide.planning.problem import Stay
from hearthtide.planning.proof.floor import BORDER_M, SAME_M, Floor
from hearthtide.planning.proof.reading import Fault, Night, Row, clock

Standing = tuple[Row, Stay]


def stone_faults(night: Night, floor: Floor) -> Iterator[Fault]:
    known = []
    for row, stay in night.stays():
        if not floor.knows(stay.place):
            yield Fault("place", row.key, f"spot {stay.place} of {len(floor.prints)}")
            continue
        known.append((row, stay))
        if not row.fixed(stay):
            yield from _spot(night, floor, row, stay)
    if not night.problem.stone_binds:
        return
    known.sort(key=lambda pair: (pair[1].start_s, pair[1].held_until_s))
    for row, stay in known:
        if not row.fixed(stay):
            yield from _closed(night, row, stay)
    yield from _pairs(night, floor, known)
    yield from _touched(floor, known)


def _spot(night: Night, floor: Floor, row: Row, stay: Stay) -> Iterator[Fault]:
    """One its stage asks for, and not out of the mouth; what is loaded stays on the spot it has."""
    options = night.options(row.item, stay.stage, stay.end_s)
    wished = any(a.holds(stay.place) for a in options)
    loaded = row.begun is not None and 0 < stay.stage < len(row.item.stages)
    loaded = loaded and row.item.stages[stay.stage].stays
    if not wished and not loaded:
        yield Fault("place", row.key, f"stage {stay.stage} at spot {stay.place}, which it does not ask for")
    if floor.before_sill(stay.place):
        yield Fault("place", row.key, f"spot {stay.place} hangs out of the mouth")


def _closed(night: Night, row: Row, stay: Stay) -> Iterator[Fault]:
    for shut in night.problem.closed:
        meets = stay.start_s < shut.until_s and shut.from_s < stay.held_until_s
        if meets and shut.places >> stay.place & 1:
            yield Fault("closed", row.key, f"spot {stay.place} is shut until {clock(shut.until_s)}")


def _pairs(night: Night, floor: Floor, known: list[Standing]) -> Iterator[Fault]:
    """Every two that stand at once, or one after the other before the stone has rested."""
    recovery = [_recovery_s(night, row, stay) for row, stay in known]
    longest = max(recovery, default=0)
    going: list[int] = []
    for n, (row, stay) in enumerate(known):
        going = [m for m in going if known[m][1].held_until_s + longest > stay.start_s]
        for m in going:
            other_row, other = known[m]
            if row.key == other_row.key or (row.fixed(stay) and other_row.fixed(other)):
                continue
            since = stay.start_s - other.held_until_s
            if since < 0:
                yield from _at_once(floor, (row, stay), (other_row, other))
            elif row.item.on_stone and since < recovery[m] and floor.clash(stay.place, other.place):
                pause = f"{since} s after {other_row.key}, {recovery[m]} asked"
                yield Fault("stone rest", row.key, pause)
        going.append(n)


def _recovery_s(night: Night, row: Row, stay: Stay) -> int:
    asked = night.asked(row, stay)
    return asked.recovery_s if row.item.on_stone and asked is not None else 0


def _at_once(floor: Floor, a: Standing, b: Standing) -> Iterator[Fault]:
    (row, stay), (other_row, other) = a, b
    at = clock(max(stay.start_s, other.start_s))
    gap = floor.gap(stay.place, other.place)
    if floor.clash(stay.place, other.place):
        yield Fault("overlap", row.key, f"{gap * 100:.1f} cm from {other_row.key} at {at}")
    spits = (row.item.spits & other_row.item.guards) | (other_row.item.spits & row.item.guards)
    if spits and gap < floor.splash_m - SAME_M:
        what = ", ".join(sorted(spits))
        yield Fault("splash", row.key, f"{gap * 100:.1f} cm from {other_row.key} at {at}: {what}")
    yield from _behind(floor, a, b)
    yield from _behind(floor, b, a)


def _behind(floor: Floor, reached: Standing, tall: Standing) -> Iterator[Fault]:
    """Nothing is handled over a tall item while it stands."""
    (row, stay), (tall_row, before) = reached, tall
    if not tall_row.item.tall or not floor.over(stay.place, before.place, BORDER_M):
        return
    for act in row.acts:
        here = act.stage >= 0 and stay.start_s <= act.start_s < stay.held_until_s
        if here and act.start_s < before.held_until_s and before.start_s < act.start_s + act.hands_s:
            yield Fault("tall", row.key, f"{act.act} at {clock(act.start_s)} behind {tall_row.key}")


def _touched(floor: Floor, known: list[Standing]) -> Iterator[Fault]:
    """Bare food never lies on bare stone where what it is guarded from has lain that night."""
    spitting = [(r, s) for r, s in known if r.item.on_stone and r.item.spits]
    guarded = [(r, s) for r, s in known if r.item.on_stone and r.item.guards]
    for row, stay in guarded:
        for other_row, other in spitting:
            what = other_row.item.spits & row.item.guards
            new = not (row.fixed(stay) and other_row.fixed(other))
            earlier = other.start_s < stay.start_s and other_row.key != row.key
            if what and new and earlier and floor.clash(stay.place, other.place):
                yield Fault("splash", row.key, f"lies where {other_row.key} lay: {', '.join(sorted(what))}")
