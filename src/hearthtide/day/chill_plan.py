"""Which unit chills which lot, on which racks, from when: each new lot with all that is there already.

Lots are placed in the order they are ready, each in the first of its ways, the least trouble first, in which
it and everything else keeps its limits when all of it is run together. What has no such way is not started.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from hearthtide.day.chill_lots import (
    ChillPlan,
    ColdUnit,
    Course,
    HotLot,
    LotPlan,
    Marks,
    Stand,
    There,
    UnitCourse,
)
from hearthtide.day.chill_place import Standing, Tried, place
from hearthtide.day.chill_run import (
    MARKS,
    Case,
    Placed,
    Seen,
    first_step,
    hot_spans,
    ice_kg,
    most_at_once,
    run_all,
    run_s,
    stays,
)
from hearthtide.day.chill_there import against, standing_of
from hearthtide.day.chill_ways import ways_out
from hearthtide.food.chill_band import ChillDoubt
from hearthtide.food.chilling import ChillLimits, chill
from hearthtide.safety.cooling import LOOKS


def plan_chilling(
    lots: Sequence[HotLot],
    units: Sequence[ColdUnit],
    limits: ChillLimits | None,
    keeps_C: float | None = None,
    there: Sequence[There] = (),
    doubt: ChillDoubt | None = None,
    hot_C: float | None = None,
    ways: bool = True,
) -> ChillPlan:
    """A plan for hot lots in a house's cold units.

    `limits` are those of the house's rule set, None where it states no times; `keeps_C` its cold holding
    limit for what is stored, `hot_C` its hot holding limit. A lot is feasible when its slow side keeps every
    limit: nine likely cases in ten, by the models, which foresee and prove nothing. `ways`: with the ways out
    of what is not started, each tried (that costs a few more runs for each such lot).

    Raises PhysicalRangeError for quantities out of range, KeyError for a unit in `there` that is not known or
    a lot's key that comes twice.
    """
    case = Case(tuple(units), limits or MARKS, limits is not None, keeps_C, doubt or ChillDoubt())
    keys = [one.key for one in (*lots, *(one.lot for one in there))]
    if len(set(keys)) != len(keys):
        raise KeyError("lots: expected each key once")
    standing = standing_of(case, there)
    refused: dict[str, Tried | None] = {}
    for lot in sorted(lots, key=lambda one: (one.ready_s, -one.mass_kg, one.key)):
        tried = place(case, lot, standing)
        if tried is not None and tried.binds is None and tried.then is not None:
            standing = tried.then
        else:
            refused[lot.key] = tried
    # What stands is run once more, with its quick side.
    seen = run_all(case, standing.placed, quick=True) if standing.placed else None
    told = _all_told(case, lots, standing, refused, seen)
    stood = () if seen is None else tuple(_stood(case, standing, seen, n) for n in range(len(there)))
    if ways:
        told = tuple(
            one if one.feasible else replace(one, ways=ways_out(case, one, standing, hot_C)) for one in told
        )
    return ChillPlan(told, _unit_courses(case, standing), limits, keeps_C, tuple(there), stood)


def _stood(case: Case, standing: Standing, seen: Seen, number: int) -> LotPlan:
    """What becomes of a lot that cools already; it comes before all that was placed."""
    plan = _lot_plan(case, standing.placed[number], seen, number)
    binds, words = against(case, standing.placed, seen.figures, number, seen.end_s)
    return replace(plan, feasible=binds is None, binds=binds, reason=words)


def _all_told(
    case: Case,
    lots: Sequence[HotLot],
    standing: Standing,
    refused: dict[str, Tried | None],
    seen: Seen | None,
) -> tuple[LotPlan, ...]:
    """Lot by lot in the order they were asked for; `seen`: what stands, run with its quick side."""
    numbers = {one.lot.key: n for n, one in enumerate(standing.placed)}
    told = []
    for lot in lots:
        if lot.key in refused:
            told.append(_not_started(case, lot, refused[lot.key]))
        else:
            assert seen is not None
            told.append(_lot_plan(case, standing.placed[numbers[lot.key]], seen, numbers[lot.key]))
    return tuple(told)


def _not_started(case: Case, lot: HotLot, tried: Tried | None) -> LotPlan:
    """A lot that is refused, with its course as if it stood there alone."""
    if tried is None:
        never = Marks(None, None, None)
        reason = f"no cold unit takes {'pans' if lot.is_pan else 'pieces'}"
        return LotPlan(lot, False, (), never, never, math.inf, binds="no way", reason=reason)
    plan = _lot_plan(case, tried.one, run_all(case, (tried.one,), quick=True), 0)
    own = tried.figures
    return replace(
        plan, feasible=False, stands=(), prompts_s=(), stacked_s=None, binds=tried.binds, reason=tried.words,
        likely=own.likely, late=own.late, used=own.used,
    )  # fmt: skip


def _lot_plan(case: Case, one: Placed, seen: Seen, number: int) -> LotPlan:
    figures, run, lot = seen.figures[number], seen.run, one.lot
    since = first_step(run, lot.ready_s)
    until = min(len(run.times_s), since + int(run_s(case.limits) / run.step_s) + 1)
    likely, slow, quick = (run.core_C[seen.each * number + n, since:until] for n in range(3))
    lowest_C = float(run.lowest_C[seen.each * number])
    stands = tuple(
        Stand(case.units[room].key, method.name, racks, from_s, until_s)
        for (room, from_s, until_s), method, racks in zip(
            stays(one, figures, seen.end_s), one.methods, one.trays, strict=False
        )
    )
    begun_s = lot.ready_s if figures.likely.from_s is None else figures.likely.from_s
    return LotPlan(
        lot,
        True,
        stands,
        figures.likely,
        figures.late,
        figures.used,
        prompts(begun_s, figures.late.end_s),
        Course(run.times_s[since:until], likely, quick, slow, lowest_C),
        stacked_s=_stacked_s(case, one),
    )


def prompts(begun_s: float, cold_s: float | None) -> tuple[float, ...]:
    """When to read it: the looks of `safety.cooling`, up to the first at which its slow side is cold too."""
    looks = [begun_s + look.total_seconds() for look in LOOKS]
    needed = sum(1 for look in looks if cold_s is None or look < cold_s) + 1
    return tuple(looks[:needed])


def _stacked_s(case: Case, one: Placed) -> float | None:
    """From the first mark to the middle one with two trays touching: chilled as one of twice the height."""
    thickness_m = min(0.3, 2 * one.lot.what.thickness_m)
    two = replace(one.lot.what, thickness_m=thickness_m)
    return chill(two, one.lot.core_C, one.methods[0], case.limits, step_s=60.0).reached_middle_s


def _unit_courses(case: Case, standing: Standing) -> tuple[UnitCourse, ...]:
    seen = standing.seen
    if seen is None:
        return ()
    run, told = seen.run, []
    for room, unit in enumerate(case.units):
        spans = hot_spans(standing.placed, seen.figures, seen.end_s, room)
        ice = ice_kg(seen, room) if unit.held else 0.0
        taken_W = run.taken_J[room] / run.step_s
        told.append(
            UnitCourse(
                unit.key,
                run.times_s,
                run.air_C[room],
                taken_W,
                most_at_once(spans),
                ice,
                seen.stored_C[room],
            )
        )
    return tuple(told)
