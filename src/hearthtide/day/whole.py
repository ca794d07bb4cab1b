"""The whole day of one oven by the clock: what its several plans say, as lines in one order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from hearthtide.day.chill_lots import ChillPlan, LotPlan
from hearthtide.day.falling import Falling, Told
from hearthtide.day.falling_hot import NO_LIMIT, hot_limit_C, hot_words
from hearthtide.day.falling_things import Stay
from hearthtide.day.load import Load
from hearthtide.day.prep import Entry, Problem, Schedule, Wash
from hearthtide.day.prep_words import named, where, why
from hearthtide.day.window import HeatUp
from hearthtide.house.ahead_file import Then
from hearthtide.house.places import Spot
from hearthtide.house.rota_file import Hours
from hearthtide.quantities.show import clock_text
from hearthtide.safety.rules import RuleSet

ROUND_S = 900  # reads that fall due so close together are made in one round; own choice
Kind = Literal["fire", "hearth", "chill", "prep", "dough", "check", "reheat", "falling", "floor"]


@dataclass(frozen=True)
class Line:
    """One thing of the day: from when to when [s of its clock, past midnight counting on], who, where, what.

    `until_s` None: a moment. `due_s`: by when it is wanted. `words`: how it is done; `cautions`: what can
    hurt. Words that are not known are empty.
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
    words: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """Cautions, how it is done and why it stands there, in one: what can hurt first."""
        mind = (f"Mind: {one.removesuffix('.')}" for one in self.cautions)
        return "; ".join(filter(None, (*mind, self.words.removesuffix("."), self.why)))


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


def tends(people: Sequence[Hours], at_s: float) -> str:
    """Somebody who tends the hearth and is there at a moment; empty where nobody is."""
    return next((one.name for one in people if "hearth" in one.does and one.from_s <= at_s < one.until_s), "")


def heat_up_lines(plan: HeatUp, people: Sequence[Hours], brush_s: int) -> Iterator[Line]:
    """Lighting, every change of the flame, every act at a tray, the brush, the floor read before doors."""
    for before, held in pairwise((None, *plan.flame.held)):
        if held is not None and held.start_s < plan.doors_s:
            what = f"light, flame {held.level.name}" if before is None else f"flame {held.level.name}"
            yield Line(held.start_s, None, "fire", tends(people, held.start_s), "", what)
    for load in plan.loads:
        yield from _load_lines(plan, load)
    brushed_s = plan.clean_by_s - brush_s
    yield Line(brushed_s, plan.clean_by_s, "floor", tends(people, brushed_s), "", "brush the stone")
    yield Line(
        plan.clean_by_s,
        None,
        "floor",
        tends(people, plan.clean_by_s),
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


def hold_lines(plan: HeatUp, then: Mapping[str, Then], rules: RuleSet | None) -> Iterator[Line]:
    """What is kept hot, or used by its time alone, once it has rested; `then`: by the kind of its tray.

    The limit is the rules' for food held hot. A time is marked from the take-out: the earliest that counts.
    """
    for load in plan.loads:
        tray, kind = load.tray, then[load.tray.kind]
        if kind == "chill":
            continue
        what = _held(rules) if kind == "hot hold" else _by_time(rules, load.out_s)
        much, by = portions_words(tray.portions), "" if rules is None else f"By {rules.named}."
        yield Line(load.out_s + tray.rest_s, None, "chill", "", "", f"{tray.key}: {what}", much, words=by)


def _held(rules: RuleSet | None) -> str:
    limit_C = hot_limit_C(rules)
    if rules is None:
        return "hold hot, probe: no rules are chosen, your local food code decides how hot"
    if limit_C is None:
        return f"hold hot, probe: {NO_LIMIT}"
    return f"hold hot at {limit_C:.0f} °C or above, probe"


def _by_time(rules: RuleSet | None, out_s: int) -> str:
    what = f"time alone: mark it {clock_text(out_s)}, only by the house's written procedure"
    return what if rules is not None else f"{what}; no rules are chosen, your local food code decides"


def not_chilled(plan: HeatUp, chill: ChillPlan | None, then: Mapping[str, Then]) -> Iterator[str]:
    """Trays that stand in the window and that no plan chills, a line each."""
    lots = {one.lot.key: one for one in chill.lots} if chill is not None else {}
    for load in plan.loads:
        one = lots.get(load.tray.key)
        if then[load.tray.kind] != "chill" or (one is not None and one.feasible):
            continue
        why = "no plan of the cold units has it" if one is None else one.reason
        yield (
            f"Do not put in {load.tray.key}, {portions_words(load.tray.portions)}: it is to be chilled, "
            f"and nothing here chills it: {why}"
        )


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
        task.words,
        task.cautions,
    )


def _wash_line(problem: Problem, wash: Wash) -> Line:
    place = problem.machine[wash.machine].name
    return Line(wash.start_s, wash.end_s, "prep", wash.person, place, f"wash down: {place}")


def falling_lines(plan: Falling, rules: RuleSet | None) -> Iterator[Line]:
    """What goes into the falling heat and comes out of it, and by whom; fire out and door on before.

    Of food that must stay hot also what is probed when.
    """
    for at_s, what, much in _acts(plan):
        yield Line(round(at_s), None, "falling", tends(plan.night.people, at_s), "", what, much)
    for told in plan.told:
        for stay in told.stays if told.thing.hot else ():
            who = tends(plan.night.people, stay.in_s)
            for words in hot_words(rules, plan.night, stay):
                yield Line(round(stay.in_s), None, "falling", who, "", f"{told.thing.name}: {words}")


def _acts(plan: Falling) -> Iterator[tuple[float, str, str]]:
    """Every act of somebody's hands: when, what, how much."""
    fires = plan.night.fires
    out = "gas shut" if fires.fuel != "wood" else "coals out, into the lidded bin outdoors"
    yield fires.out_s, out, ""
    if fires.door_on_s is not None:
        behind = "coals" if fires.fuel == "wood" else "flame"
        yield fires.door_on_s, f"door on: no {behind} behind it", ""
    for told in plan.told:
        for stay in told.stays:
            sure = "" if stay.sure else f": the {told.thing.place} may be out of its band, read it"
            yield stay.in_s, f"{told.thing.name} in{sure}", portions_words(stay.portions)
            yield stay.out_s, f"{told.thing.name} out", portions_words(stay.portions)


def falling_problems(plan: Falling | None) -> Iterator[str]:
    """What does not fit the falling heat, what would make it, and acts nobody is there for."""
    if plan is None:
        return
    for told in plan.told:
        if not told.stays:
            yield from _not_in(told, plan.night.when)
    for at_s, what, _ in _acts(plan):
        if not tends(plan.night.people, at_s):
            yield f"{plan.night.when(at_s)}, {what}: nobody is there for the hearth"


def _not_in(told: Told, when: Callable[[float], str]) -> Iterator[str]:
    def stood(stays: Iterable[Stay]) -> str:
        return "; ".join(f"{one.portions} in {when(one.in_s)}, out {when(one.out_s)}" for one in stays)

    name = told.thing.name
    yield f"Not in the falling heat as it is, {name}, {portions_words(told.thing.portions)}: {told.why}"
    for way in told.ways:
        yield f"{name}: what would: {way.words}: {stood(way.stays)} ({'; '.join(way.sums)})"


def problems_of(heat_up: HeatUp | None, chills: Sequence[ChillPlan]) -> tuple[str, ...]:
    """What of the day does not come about, and what would help, a line each.

    `chills`: each plan by which something was refused and not put in.
    """
    return (*(() if heat_up is None else heat_up.problems), *_chill_problems(chills))


def _chill_problems(plans: Sequence[ChillPlan]) -> Iterator[str]:
    """Lots that are refused for the same reason in one line."""
    refused = [one for plan in plans for one in plan.lots if not one.feasible]
    for name, reason in dict.fromkeys((one.lot.name, one.reason) for one in refused):
        alike = [one for one in refused if (one.lot.name, one.reason) == (name, reason)]
        yield f"Not started, {name}, {portions_words(sum(one.lot.portions for one in alike))}: {reason}"
        for words in dict.fromkeys(way.words for one in alike for way in one.ways):
            yield f"{name}: what would: {words}"
