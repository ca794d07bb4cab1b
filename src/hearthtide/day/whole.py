"""The whole day of one oven by the clock: what its several plans say, as lines in one order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from hearthtide.day.chill_lots import ChillPlan, LotPlan
from hearthtide.day.falling import Falling
from hearthtide.day.load import Load
from hearthtide.day.prep import Entry, Problem, Schedule, Wash
from hearthtide.day.prep_words import named, where, why
from hearthtide.day.window import HeatUp
from hearthtide.house.places import Spot
from hearthtide.house.rota_file import Hours

ROUND_S = 900  # reads that fall due so close together are made in one round; own choice
Kind = Literal["fire", "hearth", "chill", "prep", "dough", "check", "reheat", "falling", "floor"]


@dataclass(frozen=True)
class Line:
    """One thing of the day: from when to when [s of its clock, past midnight counting on], who, where, what.

    `until_s` None: a moment. `due_s`: by when it is wanted. Words that are not known are empty.
    """

    from_s: int
    until_s: int | None
    kind: Kind
    who: str
    where: str
    what: str
    how_much: str = ""
    due_s: int | None = None
    why: str = ""


def in_order(lines: Iterable[Line]) -> tuple[Line, ...]:
    """By the clock; of what begins together the shorter first."""
    return tuple(sorted(lines, key=lambda line: (line.from_s, line.until_s or line.from_s, line.what)))


def spot_words(spot: Spot) -> str:
    """Where a tray's middle stands, from the mouth.

    >>> from hearthtide.house.places import Outline
    >>> spot_words(Spot(-0.22, 0.4, Outline(0.4, 0.3, 0.0), "mid", 0.3, 0.0))
    'mid, 22 cm left, 40 cm in'
    """
    across = round(100 * spot.x_m)
    side = "in the middle" if across == 0 else f"{abs(across)} cm {'left' if across < 0 else 'right'}"
    return f"{spot.zone}, {side}, {100 * spot.y_m:.0f} cm in"


def portions_words(count: int) -> str:
    """
    >>> portions_words(1), portions_words(6)
    ('1 portion', '6 portions')
    """
    return "1 portion" if count == 1 else f"{count} portions"


def heat_up_lines(plan: HeatUp, people: Sequence[Hours], brush_s: int) -> Iterator[Line]:
    """Lighting, every change of the flame, every act at a tray, the brush, the floor read before doors."""

    def tends(at_s: int) -> str:
        there = (one.name for one in people if "hearth" in one.does and one.from_s <= at_s < one.until_s)
        return next(there, "")

    for before, held in pairwise((None, *plan.flame.held)):
        if held is not None and held.start_s < plan.doors_s:
            what = f"light, flame {held.level.name}" if before is None else f"flame {held.level.name}"
            yield Line(held.start_s, None, "fire", tends(held.start_s), "", what)
    for load in plan.loads:
        yield from _load_lines(plan, load)
    brushed_s = plan.clean_by_s - brush_s
    yield Line(brushed_s, plan.clean_by_s, "floor", tends(brushed_s), "", "brush the stone")
    yield Line(
        plan.clean_by_s,
        None,
        "floor",
        tends(plan.clean_by_s),
        "centre, left, right, back, mouth",
        "read the stone at five spots",
        f"wanted {plan.band.low:.0f} to {plan.band.high:.0f} °C, the models say "
        f"{plan.stone_at_C(plan.clean_by_s):.0f}",
        plan.doors_s,
    )


def _load_lines(plan: HeatUp, load: Load) -> Iterator[Line]:
    place, tray = spot_words(plan.places.spots[load.place]), load.tray
    for hand in load.hands:
        portions = portions_words(tray.portions) if hand.act == "put in" else ""
        act = "temp, then take out" if hand.act == "take out" else hand.act
        yield Line(hand.from_s, hand.until_s, "hearth", hand.who, place, f"{act} {tray.key}", portions)


def chill_lines(plan: ChillPlan, unit_names: Mapping[str, str]) -> Iterator[Line]:
    """Where each lot that may be started goes, and when they are read: what is due together in one round."""
    reads: list[tuple[float, str, str]] = []
    for one in plan.lots:
        if one.feasible:
            yield from _stand_lines(one, unit_names)
            reads += [(at_s, unit_names[one.stands[-1].unit], one.lot.key) for at_s in one.prompts_s[1:]]
    for unit in dict.fromkeys(name for _, name, _ in reads):
        for from_s, keys in _rounds([(at_s, key) for at_s, name, key in reads if name == unit]):
            yield Line(from_s, None, "chill", "", unit, f"read the warmest part of {', '.join(keys)}")


def _stand_lines(one: LotPlan, unit_names: Mapping[str, str]) -> Iterator[Line]:
    lot = one.lot
    much = f"{portions_words(lot.portions)}, {lot.mass_kg:.1f} kg"
    for stand in one.stands:
        racks = ", ".join(f"{count} on {rack}" for rack, count in stand.racks)
        place = f"{unit_names[stand.unit]}: {racks}"
        yield Line(round(stand.from_s), None, "chill", "", place, f"{lot.key}: {stand.way}", much)


def _rounds(reads: Sequence[tuple[float, str]]) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Reads due within ROUND_S of the first of them, at its time: none is read later than it is due."""
    left = sorted(reads)
    while left:
        first_s = left[0][0]
        due = [key for at_s, key in left if at_s <= first_s + ROUND_S]
        yield int(first_s), tuple(dict.fromkeys(due))
        left = [one for one in left if one[0] > first_s + ROUND_S]


def prep_lines(problem: Problem, plan: Schedule) -> Iterator[Line]:
    """Every task of the prep list, checks and wash-downs in their places."""
    for entry in plan.entries:
        yield _prep_line(problem, plan, entry)
    for wash in plan.washes:
        yield _wash_line(problem, wash)


def _prep_line(problem: Problem, plan: Schedule, entry: Entry) -> Line:
    task = entry.task
    who = ", ".join(dict.fromkeys(name for name in entry.hands if name))
    much = portions_words(task.amount) if task.makes and task.amount else ""
    kind: Kind = "dough" if task.key.startswith("tray ") else "prep" if task.makes else "check"
    return Line(
        entry.start_s,
        entry.end_s,
        kind,
        who,
        where(problem, entry),
        named(plan, entry),
        much,
        task.due_s,
        why(problem, plan, entry),
    )


def _wash_line(problem: Problem, wash: Wash) -> Line:
    place = problem.machine[wash.machine].name
    return Line(wash.start_s, wash.end_s, "prep", wash.person, place, f"wash down: {place}")


def falling_lines(plan: Falling) -> Iterator[Line]:
    """What goes into the falling heat and comes out of it; fire out and door on before."""
    fires = plan.night.fires
    out = "gas shut" if fires.fuel != "wood" else "coals out, into the lidded bin outdoors"
    yield Line(round(fires.out_s), None, "falling", "", "", out)
    if fires.door_on_s is not None:
        yield Line(round(fires.door_on_s), None, "falling", "", "", "door on: no coals behind it")
    for told in plan.told:
        for stay in told.stays:
            much = portions_words(stay.portions)
            yield Line(round(stay.in_s), None, "falling", "", "", f"{told.thing.name} in", much)
            yield Line(round(stay.out_s), None, "falling", "", "", f"{told.thing.name} out", much)


def problems_of(heat_up: HeatUp | None, chill: ChillPlan | None) -> tuple[str, ...]:
    """What of the day does not come about, and what would help, a line each."""
    return (*(() if heat_up is None else heat_up.problems), *_chill_problems(chill))


def _chill_problems(plan: ChillPlan | None) -> Iterator[str]:
    for one in plan.lots if plan is not None else ():
        if not one.feasible:
            yield f"Not started, {one.lot.name}, {portions_words(one.lot.portions)}: {one.reason}"
            for way in one.ways:
                yield f"{one.lot.name}: what would: {way.words}"
