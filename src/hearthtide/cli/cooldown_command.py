"""`cooldown`: which unit chills which hot lot, on which racks, when to read it; what is not to be started."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from math import isfinite
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.chill_rules import limits_by, limits_words
from hearthtide.cli.day_shared import day_asked, day_words
from hearthtide.cli.picture_file import check_picture, write_picture
from hearthtide.cli.rules_command import chosen
from hearthtide.cli.shared import err, out, print_json
from hearthtide.day.chill_check import faults
from hearthtide.day.chill_lots import ChillPlan, ColdUnit, HotLot, LotPlan, Marks, There, UnitCourse
from hearthtide.day.chill_plan import plan_chilling
from hearthtide.day.chill_run import MARKS
from hearthtide.day.chill_units import lots_of, units_of
from hearthtide.errors import Finding, InputError
from hearthtide.food.chilling import ChillLimits
from hearthtide.house.chill_file import ChillFile, ToCool, read_chill, take_hot_lots
from hearthtide.house.files import read_house
from hearthtide.house.validate import close_to
from hearthtide.printing.cooling import Falling, Stair, cooling_picture
from hearthtide.printing.curves import elapsed
from hearthtide.printing.picture import Picture
from hearthtide.quantities.parse import parse_clock_s, parse_temperature_C
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import CHILL_CAUTIONS
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.safety.rules import Hold, RuleSet

FORM = "KEY PORTIONS HH:MM and maybe a core, such as 'chicken 18 15:20 75C'"
THERE = "KEY PORTIONS HH:MM CORE UNIT: its core then, such as 'roots 30 13:30 40C walk-in'"
MOST_SHOWN = 9  # curves of one picture: as many as its numbers take
DAY_S = 86400


@dataclass(frozen=True)
class CooldownAsked:
    """The options as given."""

    folder: Path
    day: str
    lots: tuple[str, ...] = ()
    table: Path | None = None
    without: tuple[str, ...] = ()
    rules: str | None = None
    picture: Path | None = None
    there: tuple[str, ...] = ()


@dataclass(frozen=True)
class Limits:
    """What a rule set says of chilling, in °C and seconds; all None where none is chosen or it is silent."""

    rules: RuleSet | None
    chill: ChillLimits | None
    cold_C: float | None
    hot_C: float | None


def run_cooldown(asked: CooldownAsked, json: bool) -> bool:
    """Prints the plan; True when every lot may be started, what cools already makes it, and no fault."""
    check_picture(asked.picture, "cooldown")
    day, house = day_asked(asked.day), read_house(asked.folder)
    file = read_chill(house)
    units = units_asked(file, asked.without)
    limits = limits_of(house.file.chosen_rules, asked.rules)
    rows, wrong = _rows(asked, file)
    for finding in wrong:
        err.print(f"Set aside: {escape(str(finding))}", soft_wrap=True)
    if not rows:
        remedy = "Say what comes hot: --lot, or --lots TABLE.csv."
        raise InputError((Finding("cooldown", 0, "--lot", "", f"at least one lot: {FORM}", remedy),))
    err.print("… foreseeing every unit with what stands in it")
    standing = tuple(_there(text, file, units) for text in asked.there)
    lots = lots_of(house, file, (*(row for row, _ in standing), *rows), units)
    there = tuple(There(lot, unit) for lot, (_, unit) in zip(lots, standing, strict=False))
    hot = lots[len(there) :]
    plan = plan_chilling(hot, units, limits.chill, limits.cold_C, there, hot_C=limits.hot_C)
    found = faults(plan, units)
    if asked.picture is not None and any(one.course is not None for one in plan.lots):
        write_picture(picture(plan, f"{house.file.name}, {asked.day}"), asked.picture, "cooldown")
    if json:
        body = {"house": house.file.name, "day": day.isoformat(), **plan_body(plan, limits, units)}
        left_out = {"left_out": [str(one) for one in wrong], "faults": list(found)}
        print_json("cooldown", {**body, **left_out})
    else:
        out.print(f"[bold]{escape(house.file.name)}, chilling on {day_words(day)}[/]")
        for line in plan_lines(plan, limits, units):
            out.print(line)
        for words in found:
            out.print(f"[bold]The checker refuses this plan[/]: {escape(words)}")
        for caution in (*CHILL_CAUTIONS, chosen_words(limits.rules)):
            out.print(f"[dim]{escape(caution)}[/]")
    return plan.feasible and not found and not wrong


def units_asked(file: ChillFile, without: Collection[str]) -> tuple[ColdUnit, ...]:
    """The units that are in order. Raises InputError for one that is not known, or when none is left."""
    wrong = [
        Finding("the command", 0, "--without", key, "a unit of chill.yaml", close_to(key, file.units))
        for key in without
        if key not in file.units
    ]
    units = units_of(file, without)
    if not wrong and not units:
        wrong = [
            Finding("the command", 0, "--without", ", ".join(without), "a unit left", "Leave one in order.")
        ]
    if wrong:
        raise InputError(tuple(wrong))
    return units


def limits_of(house: RuleSet | None, name: str | None) -> Limits:
    """By the rules named, else the house's own."""
    rules = house if name is None else chosen(name).chosen
    if rules is None:
        return Limits(None, None, None, None)
    return Limits(rules, limits_by(rules), _held_C(rules, "cold"), _held_C(rules, "hot"))


def _held_C(rules: RuleSet, side: str) -> float | None:
    rule = next((one for one in rules.of(Hold) if one.side == side), None)
    return None if rule is None or rule.limit is None else float(rule.limit.in_unit("C"))


def _rows(asked: CooldownAsked, file: ChillFile) -> tuple[tuple[ToCool, ...], tuple[Finding, ...]]:
    found, wrong = ((), ()) if asked.table is None else take_hot_lots(asked.table, dict(file.things))
    return (*found, *(_typed(text, file) for text in asked.lots)), wrong


def _typed(text: str, file: ChillFile) -> ToCool:
    """A lot as typed. Raises InputError."""

    def bad(expected: str, remedy: str) -> InputError:
        return InputError((Finding("the command", 0, "--lot", text, expected, remedy),))

    parts = text.split()
    if len(parts) not in (3, 4) or not (parts[1].isascii() and parts[1].isdecimal()):
        raise bad(FORM, "Write it so.")
    if parts[0] not in file.things:
        raise bad("something that chill.yaml holds", close_to(parts[0], file.things))
    if not 1 <= int(parts[1]) <= 5000:
        raise bad("1 to 5000 portions", "Correct it.")
    try:
        ready_s = parse_clock_s(parts[2])
        core_C = parse_temperature_C(parts[3]) if len(parts) == 4 else None
    except ValueError as odd:
        raise bad(str(odd).removeprefix("expected "), f"Write it as {FORM}.") from odd
    if core_C is not None and not 20 <= core_C <= 100:
        raise bad("a core of 20 to 100 °C", "Look at the unit.")
    return ToCool(parts[0], int(parts[1]), ready_s, core_C)


def _there(text: str, file: ChillFile, units: Sequence[ColdUnit]) -> tuple[ToCool, str]:
    """A lot that stands in a unit already, as typed. Raises InputError."""
    parts = text.rsplit(None, 1)
    known = {unit.key: unit for unit in units}
    if len(parts) != 2 or len(text.split()) != 5:
        raise InputError((Finding("the command", 0, "--there", text, THERE, "Write it so."),))
    if parts[1] not in known:
        remedy = close_to(parts[1], known)
        raise InputError((Finding("the command", 0, "--there", parts[1], "a unit in order", remedy),))
    row = _typed(parts[0], file)
    thing = file.things[row.item]
    unit = known[parts[1]]
    pan = thing.shape == "pan" or thing.lid
    if (unit.pans if pan else unit.pieces) is None:
        expected = f"a unit that chills {'pans' if pan else 'pieces'}"
        raise InputError((Finding("the command", 0, "--there", text, expected, "Name another."),))
    return row, parts[1]


def plan_lines(plan: ChillPlan, limits: Limits, units: Sequence[ColdUnit]) -> Iterator[str]:
    """The plan in the cook's words."""
    if limits.rules is None:
        yield "  No rule set is chosen: nothing is judged."
    elif plan.limits is None:
        yield f"  {escape(limits.rules.named)} states no times for cooling: nothing is judged here."
    else:
        yield f"  Limits, {escape(limits_words(limits.rules))}. What follows is foresight; a reading decides."
    names = {unit.key: unit for unit in units}
    for one in plan.stood:
        yield from _stood_lines(one, plan.limits, names)
    for one in plan.lots:
        yield from _lot_lines(one, plan.limits, names)
    for course in plan.warmed:
        yield (
            f"  [bold]{escape(names[course.unit].name)}: a thin pack stored there warms to "
            f"{course.stored_C:.1f} °C, {plan.keeps_C:.3g} °C is its limit[/]: "
            "carry what is stored elsewhere, or the hot food, and read it"
        )
    for course in plan.units:
        yield from _unit_lines(course, names[course.unit], plan.keeps_C)


def _lot_lines(one: LotPlan, limits: ChillLimits | None, units: dict[str, ColdUnit]) -> Iterator[str]:
    lot = one.lot
    head = (
        f"{escape(lot.name)}: {lot.portions} portions, {lot.mass_kg:.1f} kg on {lot.trays} "
        f"{'pans' if lot.is_pan else 'trays'}, ready {_clock(lot.ready_s)} at {lot.core_C:.0f} °C"
    )
    if not one.feasible:
        yield f"  [bold]Do not start[/] {head}"
        yield f"      {escape(one.reason)}"
        if one.ways:
            yield "      what would, the least trouble first:"
        for way in one.ways:
            yield f"        {escape(way.words)}"
        if not one.ways:
            yield "      nothing that was tried makes it: less of it, thinner, or not today"
        return
    yield f"  [bold]{head}[/]"
    yield from _stand_lines(one, limits, units)


def _stood_lines(one: LotPlan, limits: ChillLimits | None, units: dict[str, ColdUnit]) -> Iterator[str]:
    """A lot that cools already: its marks against its limits, when it is read, and what is amiss with it."""
    lot = one.lot
    yield (
        f"  [bold]Cooling already[/] {escape(lot.name)}: {lot.portions} portions, {lot.mass_kg:.1f} kg on "
        f"{lot.trays} {'pans' if lot.is_pan else 'trays'}, {lot.core_C:.0f} °C at {_clock(lot.ready_s)}"
    )
    if not one.feasible:
        does = "It is foreseen to miss its limit" if one.binds == "limit" else "It stands too full"
        yield f"      [bold]{does}[/]: {escape(one.reason)}; read it now, and make it colder another way"
    if limits is not None and lot.core_C < limits.from_C:
        yield (
            f"      it was below {limits.from_C:.3g} °C at {_clock(lot.ready_s)} already: its time began "
            "before that, and its limits end sooner than told here; its own record has the beginning"
        )
    yield from _stand_lines(one, limits, units)


def _stand_lines(one: LotPlan, limits: ChillLimits | None, units: dict[str, ColdUnit]) -> Iterator[str]:
    for stand in one.stands:
        racks = ", ".join(f"{count} on {escape(rack)}" for rack, count in stand.racks)
        racks = racks or "on no rack"
        until = f"{_clock(stand.from_s)} to {_clock(stand.until_s)}"
        yield f"      {escape(units[stand.unit].name)}: {racks}, {until}; {escape(stand.way)}"
    yield f"      {_marks_words(one, limits)}"
    yield f"      read its warmest part at {', '.join(_clock(at_s) for at_s in one.prompts_s)}"
    if one.stacked_s is not None:
        mark = (limits or MARKS).middle_C
        yield f"      not touching: two trays stacked take {elapsed(one.stacked_s)} to {mark:.3g} °C"
    if one.course is not None and one.course.lowest_C < -1.0:
        yield f"      its face would freeze ({one.course.lowest_C:.0f} °C): take it out when it is cold"


def _marks_words(one: LotPlan, limits: ChillLimits | None) -> str:
    shown = limits or MARKS
    begun_s = one.lot.ready_s if one.likely.from_s is None else one.likely.from_s
    ends_s = min(shown.end_within_s, shown.middle_within_s + shown.further_within_s)
    parts = []
    for mark_C, likely_s, late_s, within_s in (
        (shown.middle_C, one.likely.middle_s, one.late.middle_s, shown.middle_within_s),
        (shown.end_C, one.likely.end_s, one.late.end_s, ends_s),
    ):
        words = f"{mark_C:.3g} °C about {_clock(likely_s)}, {_clock(late_s)} in a slow case"
        parts.append(words + (f", limit {_clock(begun_s + within_s)}" if isfinite(within_s) else ""))
    return "; ".join(parts)


def _unit_lines(course: UnitCourse, unit: ColdUnit, keeps_C: float | None) -> Iterator[str]:
    if course.most_kg == 0:
        return
    most = f"{course.most_kg:.0f} kg hot at once, {unit.most_hot_kg:.0f} at most"
    if unit.held:
        yield f"  {escape(unit.name)}: {most}; {course.ice_kg:.0f} kg of ice melt of {unit.most_ice_kg:.0f}"
        return
    at = int(course.air_C.argmax())
    words = f"its air up to {course.air_C[at]:.1f} °C about {_clock(float(course.times_s[at]))}"
    stored = ""
    if course.stored_C is not None and unit.keeps:
        stored = f"; a thin pack stored there up to {course.stored_C:.1f} °C"
    yield f"  {escape(unit.name)}, set to {unit.air_C:.0f} °C: {most}; {words}{stored}"
    if keeps_C is not None and unit.keeps and course.air_C[at] > keeps_C:
        minutes = float((course.air_C > keeps_C).sum()) * float(course.times_s[1] - course.times_s[0]) / 60
        yield f"      its air is above {keeps_C:.3g} °C for about {minutes:.0f} min: a logger will show it"
    if unit.assumed:
        yield f"      assumed, write yours into chill.yaml: {', '.join(unit.assumed)}"


def _clock(seconds: float | None) -> str:
    """To the whole minute; +1 the day after.

    >>> _clock(60030.0), _clock(90000.0), _clock(None)
    ('16:40', '01:00+1', 'not in what was run')
    """
    if seconds is None:
        return "not in what was run"
    days, rest = divmod(60 * int(seconds // 60), DAY_S)
    return clock_text(rest) + (f"+{days}" if days else "")


def plan_body(plan: ChillPlan, limits: Limits, units: Sequence[ColdUnit]) -> dict[str, object]:
    """The plan as JSON has it: seconds of the day's clock, °C, kg."""
    return {
        "rules": None if limits.rules is None else limits.rules.named,
        "limits": None if plan.limits is None else _finite(vars(plan.limits)),
        "keeps_C": plan.keeps_C,
        "feasible": plan.feasible,
        "lots": [_lot_body(one) for one in plan.lots],
        "there": [_lot_body(one) for one in plan.stood],
        "warmed": [one.unit for one in plan.warmed],
        "units": [
            {
                "unit": one.unit,
                "most_hot_kg": round(one.most_kg, 2),
                "air_highest_C": round(float(one.air_C.max()), 2),
                "ice_kg": round(one.ice_kg, 1),
                "stored_C": None if one.stored_C is None else round(one.stored_C, 2),
                "assumed": list(next(unit.assumed for unit in units if unit.key == one.unit)),
            }
            for one in plan.units
        ],
        "cautions": [*CHILL_CAUTIONS, chosen_words(limits.rules)],
    }


def _finite(values: dict[str, float]) -> dict[str, float | None]:
    return {key: value if isfinite(value) else None for key, value in values.items()}


def _lot_body(one: LotPlan) -> dict[str, object]:
    lot: HotLot = one.lot
    return {
        "lot": lot.key,
        "name": lot.name,
        "portions": lot.portions,
        "mass_kg": round(lot.mass_kg, 3),
        "trays": lot.trays,
        "ready_s": lot.ready_s,
        "core_C": lot.core_C,
        "feasible": one.feasible,
        "binds": one.binds,
        "reason": one.reason,
        "stands": [
            {
                "unit": stand.unit,
                "way": stand.way,
                "racks": dict(stand.racks),
                "from_s": round(stand.from_s),
                "until_s": round(stand.until_s),
            }
            for stand in one.stands
        ],
        "likely_s": _marks(one.likely),
        "slow_s": _marks(one.late),
        "limit_share_used": round(one.used, 3) if isfinite(one.used) else None,
        "prompts_s": [round(at_s) for at_s in one.prompts_s],
        "curve": _curve(one),
        "ways_out": [
            {"kind": way.kind, "words": way.words, "end_s": None if way.end_s is None else round(way.end_s)}
            for way in one.ways
        ],
    }


def _marks(marks: Marks) -> dict[str, int | None]:
    return {key: None if value is None else round(value) for key, value in vars(marks).items()}


def _curve(one: LotPlan) -> list[dict[str, float]]:
    """Every ten minutes until its slow side is cold."""
    course = one.course
    if course is None:
        return []
    each = max(1, round(600 / float(course.times_s[1] - course.times_s[0])))
    last_s = float(course.times_s[-1]) if one.late.end_s is None else one.late.end_s + 600
    return [
        {
            "at_s": round(float(course.times_s[i])),
            "core_C": round(float(course.core_C[i]), 1),
            "quick_C": round(float(course.quick_C[i]), 1),
            "slow_C": round(float(course.slow_C[i]), 1),
        }
        for i in range(0, len(course.times_s), each)
        if course.times_s[i] <= last_s
    ]


def picture(plan: ChillPlan, title: str) -> Picture:
    """The first lots' courses from their own beginning, against the limits as a stair."""
    limits = plan.limits or MARKS
    falling = [_falling(one) for one in plan.lots if one.course is not None][:MOST_SHOWN]
    ends_s = min(limits.end_within_s, limits.middle_within_s + limits.further_within_s)
    stairs = [Stair(limits.middle_C, _timed(limits.middle_within_s)), Stair(limits.end_C, _timed(ends_s))]
    longest_s = 12 * 3600.0 if not isfinite(ends_s) else 1.35 * ends_s
    since = f"since the core passed {limits.from_C:.3g} °C"
    return cooling_picture(f"How it chills: {title}", since, falling, stairs, (), longest_s)


def _timed(seconds: float) -> float | None:
    return seconds if isfinite(seconds) else None


def _falling(one: LotPlan) -> Falling:
    assert one.course is not None
    begun_s = one.lot.ready_s if one.likely.from_s is None else one.likely.from_s
    after = one.course.times_s >= begun_s
    words = f"{one.lot.name}, {'kept' if one.feasible else 'not started'}"
    return Falling(
        words,
        one.course.times_s[after] - begun_s,
        one.course.core_C[after],
        "kept" if one.feasible else "missed",
        one.course.quick_C[after],
        one.course.slow_C[after],
    )
