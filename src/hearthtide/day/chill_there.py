"""Lots that cool in a unit already: their places, and what stands against each once all is run together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hearthtide.day.chill_lots import Binds, There
from hearthtide.day.chill_place import Standing, late_words, no_place_words, racks_for
from hearthtide.day.chill_run import (
    Case,
    Figures,
    Placed,
    hot_spans,
    in_rooms,
    most_at_once,
    run_all,
    stays,
)


def standing_of(case: Case, there: Sequence[There]) -> Standing:
    """The lots in their units, the first that came on the first racks; trays without a place are on none.

    Raises KeyError for a unit that is not known.
    """
    if not there:
        return Standing()
    numbers = {unit.key: n for n, unit in enumerate(case.units)}
    unknown = [one.unit for one in there if one.unit not in numbers]
    if unknown:
        raise KeyError(f"{unknown[0]}: expected one of {', '.join(numbers)}")
    placed = [replace(in_rooms(case, one.lot, (numbers[one.unit],)), fixed=True) for one in there]
    seen = run_all(case, placed)  # trays give off no heat of their own: it holds wherever they stand
    came = sorted(range(len(placed)), key=lambda n: placed[n].lot.ready_s)
    for i, n in enumerate(came):
        before = came[:i]
        figures = tuple(seen.figures[m] for m in before)
        others = Standing(tuple(placed[m] for m in before), replace(seen, figures=figures))
        (stay,) = stays(placed[n], seen.figures[n], seen.end_s)
        placed[n] = replace(placed[n], trays=(racks_for(case, placed[n], stay, others)[0],))
    return Standing(tuple(placed), seen)


def against(
    case: Case, placed: Sequence[Placed], figures: Sequence[Figures], number: int, end_s: float
) -> tuple[Binds | None, str]:
    """What stands against one of them, all in one line: its limit, its trays, the kilograms with it."""
    one, own = placed[number], figures[number]
    room = one.rooms[0]
    unit = case.units[room]
    found: list[tuple[Binds, str]] = []
    if case.judged and own.used > 1:
        found.append(("limit", late_words(own, one.lot.ready_s, case.limits)))
    left = one.lot.trays - sum(count for _, count in one.trays[0])
    if left:
        found.append(("place", no_place_words(case, one, room, left)))
    fixed = [n for n, other in enumerate(placed) if other.fixed]
    spans = hot_spans([placed[n] for n in fixed], [figures[n] for n in fixed], end_s, room)
    ((_, from_s, until_s),) = stays(one, own, end_s)
    most_kg = most_at_once(spans, from_s, until_s)
    if most_kg > unit.most_hot_kg + 1e-9:
        words = f"{unit.name}: {most_kg:.1f} kg hot at once, {unit.most_hot_kg:g} kg at most"
        found.append(("kilograms", words))
    return (found[0][0] if found else None), "; ".join(words for _, words in found)
