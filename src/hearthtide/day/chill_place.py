"""One more lot beside those that stand: the first way in which it and everything else keeps its limits."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from hearthtide.day.chill_lots import Binds, HotLot
from hearthtide.day.chill_run import (
    Case,
    Figures,
    Placed,
    Seen,
    hot_spans,
    ice_kg,
    in_rooms,
    most_at_once,
    run_all,
    stays,
)
from hearthtide.food.chilling import ChillLimits
from hearthtide.quantities.show import clock_text

MOVES_S = 300.0  # a move is told to five whole minutes; own choice
Stands = tuple[Binds | None, str]


@dataclass(frozen=True, eq=False)
class Standing:
    """The lots that stand, as last run together; nothing was run while there is none."""

    placed: tuple[Placed, ...] = ()
    seen: Seen | None = None

    @property
    def figures(self) -> tuple[Figures, ...]:
        return () if self.seen is None else self.seen.figures

    @property
    def end_s(self) -> float:
        return 0.0 if self.seen is None else self.seen.end_s


@dataclass(frozen=True, eq=False)
class Tried:
    """One way tried for a lot, its figures, and what stands against it (None: nothing)."""

    one: Placed
    figures: Figures
    binds: Binds | None
    words: str
    then: Standing | None = None


def place(case: Case, lot: HotLot, standing: Standing) -> Tried | None:
    """The first way in which a lot can be added; else the nearest, with what stands against it.

    None where no unit takes such a lot at all.
    """
    best: Tried | None = None
    for one in _ways(case, lot):
        tried = _tried(case, one, standing)
        if tried.binds is None:
            return tried
        if best is None or _nearness(tried) < _nearness(best):
            best = tried
    return best


def _nearness(tried: Tried) -> tuple[bool, float]:
    """A way that only lacks place or kilograms is nearer than one that is too slow."""
    return tried.binds in ("limit", "wanted"), tried.figures.used


def _ways(case: Case, lot: HotLot) -> Iterator[Placed]:
    """One unit that keeps food; then a strong one first and the move into one that keeps it."""
    rooms = [n for n, unit in enumerate(case.units) if unit.method(lot) is not None]
    keeping = [n for n in rooms if case.units[n].keeps]
    strong = [n for n in rooms if not case.units[n].keeps]
    for n in keeping or strong:
        yield in_rooms(case, lot, (n,))
    if keeping:
        yield from (in_rooms(case, lot, (first, n)) for first in strong for n in keeping)


def _tried(case: Case, one: Placed, standing: Standing) -> Tried:
    """Alone first, which is quick and finds when it moves; then with all that stands."""
    alone = run_all(case, (one,)).figures[0]
    if len(one.rooms) == 2:
        if alone.late.middle_s is None:
            return Tried(one, alone, *_slow(case, one, alone))
        one = replace(one, moves_s=MOVES_S * math.ceil(alone.late.middle_s / MOVES_S))
        alone = run_all(case, (one,)).figures[0]
    found = _by_itself(case, one, alone) or _room_for(case, one, alone, standing)
    if found is not None:
        return Tried(one, alone, *found)
    stood = with_trays(case, one, alone, standing)
    if isinstance(stood, str):
        return Tried(one, alone, "place", stood)
    placed = (*standing.placed, stood)
    seen = run_all(case, placed)
    then = Standing(placed, seen)
    return Tried(stood, seen.figures[-1], *_against(case, then, standing), then)


def _by_itself(case: Case, one: Placed, own: Figures) -> Stands | None:
    """What a lot misses without anybody else's doing."""
    if case.judged and own.used > 1:
        return _slow(case, one, own)
    wanted_s, end_s = one.lot.wanted_s, own.likely.end_s
    if wanted_s is not None and (end_s is None or end_s > wanted_s):
        when = "not in what was run" if end_s is None else f"about {clock_text(60 * round(end_s / 60))}"
        unit, end_C = case.units[one.rooms[0]].name, case.limits.end_C
        return "wanted", f"{unit}: {end_C:.3g} °C {when}, wanted cold at {clock_text(wanted_s)}"
    return None


def _room_for(case: Case, one: Placed, own: Figures, standing: Standing) -> Stands | None:
    """Whether a unit takes so many hot kilograms, by what stands there already."""
    end_s = max(standing.end_s, one.lot.ready_s + 1)
    for room in one.rooms if one.moves_s is not None else one.rooms[:1]:
        unit = case.units[room]
        spans = hot_spans(standing.placed, standing.figures, standing.end_s, room)
        mine = [(stay[1], stay[2], one.lot.mass_kg) for stay in stays(one, own, end_s) if stay[0] == room]
        most_kg = max((most_at_once([*spans, span], span[0], span[1]) for span in mine), default=0.0)
        if most_kg > unit.most_hot_kg + 1e-9:
            return "kilograms", f"{unit.name}: {most_kg:.1f} kg hot at once, {unit.most_hot_kg:g} kg at most"
    return None


def with_trays(case: Case, one: Placed, own: Figures, standing: Standing) -> Placed | str:
    """The lot with its trays on racks that are free while it is there, or why it has none."""
    trays = []
    for room, from_s, until_s in stays(one, own, max(standing.end_s, one.lot.ready_s + 1)):
        racks, left = racks_for(case, one, (room, from_s, until_s), standing)
        if left:
            return no_place_words(case, one, room, left)
        trays.append(racks)
    return replace(one, trays=tuple(trays))


def racks_for(
    case: Case, one: Placed, stay: tuple[int, float, float], standing: Standing
) -> tuple[tuple[tuple[str, int], ...], int]:
    """A lot's trays by rack for one stay (room, from, until), and how many find no place."""
    room, from_s, until_s = stay
    left, racks = one.lot.trays, []
    for rack in case.units[room].racks:
        free = min(left, _free(case, one, rack.key, room, (from_s, until_s), standing))
        racks += [(rack.key, free)] if free else []
        left -= free
    return tuple(racks), left


def no_place_words(case: Case, one: Placed, room: int, left: int) -> str:
    name = case.units[room].name
    return f"{name}: {left} of its {one.lot.trays} trays find no place with air about them"


def _free(case: Case, one: Placed, key: str, room: int, when: tuple[float, float], standing: Standing) -> int:
    """Trays that still fit in a rack between two times; the thickest that stands there gives the gap."""
    rack = next(one for one in case.units[room].racks if one.key == key)
    spans, places = [], rack.places(one.lot.what.thickness_m)
    for other, figures in zip(standing.placed, standing.figures, strict=True):
        for leg, (there, from_s, until_s) in enumerate(stays(other, figures, standing.end_s)):
            count = dict(other.trays[leg]).get(key, 0)
            if there == room and count and from_s < when[1] and until_s > when[0]:
                spans.append((from_s, until_s, float(count)))
                places = min(places, rack.places(other.lot.what.thickness_m))
    return max(0, places - round(most_at_once(spans, *when)))


def _slow(case: Case, one: Placed, figures: Figures) -> Stands:
    unit = case.units[one.rooms[0]]
    return "limit", f"{unit.name}: {late_words(figures, one.lot.ready_s, case.limits)}"


def late_words(figures: Figures, ready_s: float, limits: ChillLimits) -> str:
    """Which mark is missed by how much, on the slow side."""
    late = figures.late
    begun_s = ready_s if late.from_s is None else late.from_s

    def after(mark_s: float | None, mark_C: float, limit_s: float) -> str:
        took = "not in what was run" if mark_s is None else f"after {_hours(mark_s - begun_s)}"
        return f"{mark_C:.3g} °C {took} in a slow case, {_hours(limit_s)} is the limit"

    first_s = limits.middle_within_s
    if math.isfinite(first_s) and (late.middle_s is None or late.middle_s - begun_s > first_s):
        return after(late.middle_s, limits.middle_C, first_s)
    return after(late.end_s, limits.end_C, min(limits.end_within_s, first_s + limits.further_within_s))


def _hours(seconds: float) -> str:
    minutes = math.ceil(seconds / 60)
    return f"{minutes // 60} h {minutes % 60:02d}"


def _against(case: Case, then: Standing, before: Standing) -> Stands:
    """What stands against the last lot now that all is run: itself, the load, what is stored, the others."""
    assert then.seen is not None
    one, seen = then.placed[-1], then.seen
    found = _by_itself(case, one, seen.figures[-1])
    if found is None:
        rest = Standing(then.placed[:-1], replace(seen, figures=seen.figures[:-1]))
        found = _room_for(case, one, seen.figures[-1], rest) or _overfull(case, then)
    if found is not None:
        return found
    for room in dict.fromkeys(one.rooms):
        unit = case.units[room]
        if unit.held and ice_kg(seen, room) > unit.most_ice_kg:
            kg = ice_kg(seen, room)
            return "kilograms", f"{unit.name}: {kg:.0f} kg of ice melt, {unit.most_ice_kg:.0f} kg are there"
    for room, warmest_C in enumerate(seen.stored_C):
        unit, was_C = case.units[room], None if before.seen is None else before.seen.stored_C[room]
        if case.keeps_C is None or warmest_C is None or warmest_C <= case.keeps_C:
            continue
        if was_C is None or warmest_C > was_C:
            return "stored", f"{unit.name}: a thin pack stored there warms to {warmest_C:.1f} °C"
    if case.judged:
        return _others(case, then, before)
    return None, ""


def _overfull(case: Case, then: Standing) -> Stands | None:
    """Racks once all cools more slowly: a lot that is there longer may leave no place for one after it."""
    for n, one in enumerate(then.placed):
        if one.fixed:
            continue
        rest = (*then.placed[:n], *then.placed[n + 1 :])
        assert then.seen is not None
        figures = (*then.figures[:n], *then.figures[n + 1 :])
        others = Standing(rest, replace(then.seen, figures=figures))
        for leg, (room, from_s, until_s) in enumerate(stays(one, then.figures[n], then.end_s)):
            for rack, count in one.trays[leg]:
                if count > _free(case, one, rack, room, (from_s, until_s), others):
                    return "place", f"{case.units[room].name}: {one.lot.name} is there too long for both"
    return None


def _others(case: Case, then: Standing, before: Standing) -> Stands:
    """A lot that kept its limits before this one came, and would not now."""
    for other, was, now in zip(before.placed, before.figures, then.figures, strict=False):
        if now.used > 1 >= was.used:
            words = late_words(now, other.lot.ready_s, case.limits)
            return "others", f"{other.lot.name} beside it would miss: {words}"
    return None, ""
