"""`hearthtide day`: the whole day of one oven, each part by a plan of its own, in one order by the clock."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from functools import cache
from json import dumps
from pathlib import Path
from typing import cast

from rich.markup import escape

from hearthtide.cli.cooldown_command import Limits, limits_of
from hearthtide.cli.day_shared import day_words
from hearthtide.cli.falling_command import means_of, night_of, people_from, thing_of
from hearthtide.cli.heatup_command import KWH_J, cautions_for, faults_of, portions_by_batch
from hearthtide.cli.prep_command import Day, read_day
from hearthtide.cli.shared import SCHEMA_VERSION, out, print_json, progress
from hearthtide.day import whole
from hearthtide.day.chill_check import faults as chill_faults
from hearthtide.day.chill_lots import ChillPlan
from hearthtide.day.chill_plan import plan_chilling
from hearthtide.day.chill_units import lots_of, units_of
from hearthtide.day.falling import Falling, falling
from hearthtide.day.heatup import plan_heat_up
from hearthtide.day.prep import Block, Problem, Schedule
from hearthtide.day.prep_checker import faults as prep_faults
from hearthtide.day.prep_search import Effort, planned
from hearthtide.day.prep_tasks import problem_of
from hearthtide.day.whole import Line
from hearthtide.day.window import HeatUp
from hearthtide.errors import Finding, InputError
from hearthtide.house import ahead_file, chill_file, falling_file, prep_file
from hearthtide.house.ahead_file import Ahead
from hearthtide.house.files import oven_design
from hearthtide.house.prep_file import PrepFile
from hearthtide.house.rota_file import Hours, read_rota, there_on
from hearthtide.oven.grid import QUICK
from hearthtide.oven.model import Oven, build_oven
from hearthtide.planning.night import Progress
from hearthtide.printing.day_sheets import DayLine, DaySheet, Figure, PrepList, PrepRow, Sheet, write_sheets
from hearthtide.printing.heat_up import FlameAt, HeatUpChart
from hearthtide.printing.heat_up import Load as Bar
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import CHILL_CAUTIONS
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.service.day_kept import day_from, keep_day, kept_file

MINUTE_S = 60
MOST_LETTERS = {"who": 80, "how_much": 80, "where": 200, "what": 400, "why": 400}  # of the board's lines
HEARTH = "hearth"  # the machine of prep.yaml that the heat-up window takes the place of
SEED, ROUNDS = 1, 2000  # of the prep's search; own choice
MOST_FEWER = 3  # times that trays which no unit chills are taken out again; own choice


@dataclass(frozen=True, eq=False)
class Whole:
    """A day planned: each part None where the house has not written its file."""

    today: Day
    people: tuple[Hours, ...]
    ahead: Ahead | None
    heat_up: HeatUp | None
    wanted: Mapping[str, int]
    chill: ChillPlan | None
    not_started: ChillPlan | None
    limits: Limits
    prep: tuple[Problem, Schedule] | None
    falling: Falling | None
    faults: tuple[str, ...]
    unit_names: Mapping[str, str]

    @property
    def lines(self) -> tuple[Line, ...]:
        found: list[Line] = []
        if self.heat_up is not None and self.ahead is not None:
            found += whole.heat_up_lines(self.heat_up, self.people, round(self.ahead.file.hands.brush))
        if self.chill is not None:
            found += whole.chill_lines(self.chill, self.unit_names)
        if self.prep is not None:
            found += whole.prep_lines(*self.prep)
        if self.falling is not None:
            found += whole.falling_lines(self.falling)
        return whole.in_order(found)

    @property
    def problems(self) -> tuple[str, ...]:
        late = () if self.prep is None else _late(*self.prep)
        return (*whole.problems_of(self.heat_up, self.not_started), *late, *self.faults)


def _late(problem: Problem, plan: Schedule) -> list[str]:
    found = [
        f"{entry.task.name} is done at {clock_text(entry.end_s)}, due {clock_text(entry.task.due_s)}"
        for entry in plan.entries
        if entry.task.due_s is not None and entry.end_s > entry.task.due_s
    ]
    return found + [f"{problem.task[key].name}: no hands or place long enough" for key in plan.unplaced]


def run_day(folder: Path, asked: str, stock: Path | None, json: bool, write: Path | None, keep: bool) -> bool:
    """Prints the day; True when all of it comes about and no check finds a fault."""
    if write is not None and (write.suffix not in (".pdf", ".html") or not write.parent.is_dir()):
        expected = "a name that ends in .pdf or .html, in a folder that is there"
        raise InputError((Finding("day", 0, "--out", str(write), expected, "Name another."),))
    today = read_day(folder, asked, stock)
    with progress() as tell:
        found = plan_day(today, folder, tell)
    document = body(found)
    if write is not None:
        write_sheets(write, sheets_of(found))
    if keep:
        _keep(folder, today.day, document)
    if json:
        print_json("day", document)
    else:
        _print(found)
    return not found.problems


def _keep(folder: Path, day: date, document: dict[str, object]) -> None:
    """For the board, whose lines have so much room: what is longer ends in an ellipsis."""
    head = {"document": "hearthtide day", "schema_version": SCHEMA_VERSION}
    lines = [
        {
            key: shorten(value, MOST_LETTERS[key]) if key in MOST_LETTERS else value
            for key, value in one.items()
        }
        for one in cast("list[dict[str, str]]", document["lines"])
    ]
    body = dumps({**head, **document, "lines": lines})
    keep_day(folder, day_from(body, kept_file(folder, day), day))


def shorten(words: str, most: int) -> str:
    """
    >>> shorten("walk-in", 10), shorten("walk-in: 3 on trolley", 10)
    ('walk-in', 'walk-in: …')
    """
    return words if len(words) <= most else f"{words[: most - 1]}…"


def plan_day(today: Day, folder: Path, tell: Progress) -> Whole:
    """Every part that the house has written down. Raises InputError with what is wrong in its files."""
    house = today.kept.house
    people = there_on(read_rota(house), today.day)
    limits = limits_of(house.file.chosen_rules, None)
    amounts = {key: today.make(key) for key in today.pars}

    def has(name: str) -> bool:
        return (folder / name).is_file()

    ahead = ahead_file.read_ahead(house, tuple(today.file.made)) if has(ahead_file.NAME) else None
    wanted = {} if ahead is None else portions_by_batch(ahead, amounts)
    heat_up, chill, refused = None, None, None
    units = units_of(chill_file.read_chill(house)) if has(chill_file.NAME) else ()
    if ahead is not None:
        heat_up = plan_heat_up(ahead, wanted, people, tell)
        for _ in range(MOST_FEWER if units else 0):
            tell("chill", 0.0)
            chill = _chilled(ahead, heat_up, limits)
            gone = _not_chilled(heat_up, chill)
            if not gone:
                break
            refused = refused or chill
            wanted = {kind: count - gone.get(kind, 0) for kind, count in wanted.items()}
            heat_up = plan_heat_up(ahead, {k: n for k, n in wanted.items() if n > 0}, people, tell)
    prep = _prepared(today, people, amounts, ahead, heat_up, tell) if has(prep_file.NAME) else None
    evening = _falling(today, tell) if has(falling_file.NAME) else None
    wrong = [
        *(faults_of(heat_up, ahead, people, wanted) if heat_up is not None and ahead is not None else ()),
        *(chill_faults(chill, units) if chill is not None else ()),
        *(prep_faults(*prep) if prep is not None else ()),
        *(evening.broken if evening is not None else ()),
    ]
    names = {unit.key: unit.name for unit in units}
    return Whole(
        today, people, ahead, heat_up, wanted, chill, refused, limits, prep, evening, tuple(wrong), names
    )


def _chilled(ahead: Ahead, heat_up: HeatUp, limits: Limits) -> ChillPlan:
    """The trays as hot lots, ready when they have rested, at what the models say of their cores."""
    house, file = ahead.house, chill_file.read_chill(ahead.house)
    cold = [load for load in heat_up.loads if ahead.file.batches[load.tray.kind].then == "chill"]
    unknown = sorted({load.tray.kind for load in cold} - set(file.things))
    if unknown:
        remedy = "Write how it is chilled, or then: hot hold in ahead.yaml."
        expected = "every batch of ahead.yaml that is chilled"
        raise InputError(
            tuple(Finding(chill_file.NAME, 0, "things", key, expected, remedy) for key in unknown)
        )
    rows = [
        chill_file.ToCool(
            load.tray.kind,
            load.tray.portions,
            float(load.out_s + load.tray.rest_s),
            min(100.0, heat_up.went[load.tray.key].core_C),
        )
        for load in cold
    ]
    units = units_of(file)
    lots = lots_of(house, file, rows, units)
    named = [
        replace(lot, key=load.tray.key, name=file.things[load.tray.kind].name)
        for lot, load in zip(lots, cold, strict=True)
    ]
    return plan_chilling(named, units, limits.chill, limits.cold_C, hot_C=limits.hot_C)


def _not_chilled(heat_up: HeatUp, chill: ChillPlan) -> dict[str, int]:
    """Portions of each batch that no unit chills in time."""
    bad = {one.lot.key for one in chill.lots if not one.feasible}
    gone: dict[str, int] = {}
    for load in heat_up.loads:
        if load.tray.key in bad:
            gone[load.tray.kind] = gone.get(load.tray.kind, 0) + load.tray.portions
    return gone


def _prepared(
    today: Day,
    people: Sequence[Hours],
    amounts: Mapping[str, int],
    ahead: Ahead | None,
    heat_up: HeatUp | None,
    tell: Progress,
) -> tuple[Problem, Schedule]:
    """The prep list around what the hearth wants of the same hands."""
    rota = read_rota(today.kept.house)
    file = prep_file.read_prep(today.kept.house, today.file, frozenset(one.name for one in rota.people))
    blocks: tuple[Block, ...] = ()
    if ahead is not None and heat_up is not None:
        file = around(file, ahead, heat_up)
        blocks = tuple(
            Block(f"{hand.act} {load.tray.key}", hand.from_s, hand.until_s, person=hand.who)
            for load in heat_up.loads
            for hand in load.hands
        )
    problem = problem_of(file, amounts, people, (), today.day, blocks)
    effort = Effort(ROUNDS, on_progress=lambda share: tell("prep", share))
    return problem, planned(problem, seed=SEED, effort=effort)


def around(file: PrepFile, ahead: Ahead, heat_up: HeatUp) -> PrepFile:
    """The prep without what the window does itself; what comes before is due as its first tray goes in."""
    first = dict[str, int]()
    for load in heat_up.loads:
        makes = ahead.file.batches[load.tray.kind].makes or load.tray.kind
        first[makes] = min(load.in_s, first.get(makes, load.in_s))
    done = {
        key
        for key, task in file.tasks.items()
        if task.makes in first and any(HEARTH in step.at or HEARTH in step.at_each for step in task.steps)
    }
    due = {before: first[file.tasks[key].makes or ""] for key in done for before in file.tasks[key].after}
    tasks = {
        key: task.model_copy(
            update={
                "after": tuple(one for one in task.after if one not in done),
                **({"due": float(due[key])} if key in due else {}),
            }
        )
        for key, task in file.tasks.items()
        if key not in done
    }
    return file.model_copy(update={"tasks": tasks})


def _falling(today: Day, tell: Progress) -> Falling:
    house = today.kept.house
    file = falling_file.read_falling(house)

    @cache
    def oven() -> Oven:
        return build_oven(oven_design(house), QUICK)

    told: Callable[[float], None] = lambda share: tell("oven", share)  # noqa: E731
    night, _ = night_of(house, file, today.day, people_from(house, today.day), oven, told)
    things = tuple(thing_of(key, one, night.fires) for key, one in file.things.items())
    return falling(night, things, means_of(house, file, night, oven))


def figures_of(found: Whole) -> tuple[Figure, ...]:
    """The day's figures, each with its sum."""
    covers = found.today.covers[0]
    made = [Figure("Covers", "not known", "too few days are known")]
    if covers.counts is not None:
        low, high = covers.counts.band()
        made = [Figure("Covers", str(covers.counts.middle), f"{low} to {high} on eight nights in ten")]
    for key, par in found.today.pars.items():
        make = found.today.make(key)
        sum_ = f"par {make + par.ours.on_hand} less {par.ours.on_hand} there"
        made.append(Figure(par.made.name, f"make {make}", sum_))
    if found.heat_up is not None:
        plan = found.heat_up
        cooked = sum(load.tray.portions for load in plan.loads)
        more = max(0.0, plan.fuel_J - plan.bare_fuel_J) / KWH_J
        sum_ = f"{plan.bare_fuel_J / KWH_J:.0f} without a tray; {more:.0f} more for {cooked} portions"
        made.append(Figure("Fuel until doors", f"{plan.fuel_J / KWH_J:.0f} kWh", sum_))
    return tuple(made)


def cautions_of(found: Whole) -> tuple[str, ...]:
    rules = chosen_words(found.today.kept.house.file.chosen_rules)
    hearth = () if found.ahead is None else cautions_for(found.ahead)[:-1]
    return (*hearth, *(CHILL_CAUTIONS[:2] if found.chill is not None else ()), rules)


def sheets_of(found: Whole) -> tuple[Sheet, ...]:
    """The day on paper: the day sheet, the prep list, the heat-up."""
    name, day, figures, cautions = _name(found), found.today.day, figures_of(found), cautions_of(found)
    lines = tuple(
        DayLine(
            one.from_s,
            None if _minute(one) else one.until_s,
            one.who,
            one.where,
            ", ".join(filter(None, (one.what, one.how_much))),
        )
        for one in found.lines
    )
    sheets: list[Sheet] = [DaySheet(name, day, lines, figures, (*found.problems, *cautions))]
    if found.prep is not None:
        rows = [
            PrepRow(
                n,
                one.from_s,
                one.from_s if one.until_s is None else one.until_s,
                one.who,
                one.what,
                one.how_much,
                one.where,
                "" if one.due_s is None else clock_text(one.due_s),
                one.why,
            )
            for n, one in enumerate(whole.in_order(whole.prep_lines(*found.prep)), 1)
        ]
        sheets.append(PrepList(name, day, tuple(rows), (), cautions[-1:]))
    if found.heat_up is not None:
        sheets.append(_chart(found.heat_up, name, day, cautions))
    return tuple(sheets)


def _chart(plan: HeatUp, name: str, day: date, cautions: tuple[str, ...]) -> HeatUpChart:
    places = sorted({load.place for load in plan.loads})
    return HeatUpChart(
        house=name,
        day=day,
        times_s=plan.times_s,
        floor_C=plan.stone_C,
        band_C=(plan.band.low, plan.band.high),
        doors_s=plan.doors_s,
        flame=tuple(
            FlameAt(held.start_s, held.level.name) for held in plan.flame.held if held.start_s < plan.doors_s
        ),
        loads=tuple(
            Bar(load.tray.key, load.in_s, load.out_s, "", places.index(load.place)) for load in plan.loads
        ),
        cautions=cautions[:2],
    )


def _name(found: Whole) -> str:
    return found.today.kept.house.file.name


def _print(found: Whole) -> None:
    out.print(f"[bold]{escape(_name(found))}, {day_words(found.today.day)}[/]")
    for figure in figures_of(found):
        out.print(f"  {escape(figure.label)}: [bold]{escape(figure.value)}[/]  {escape(figure.sum)}")
    for words in found.problems:
        out.print(f"  [bold]{escape(words)}[/]")
    for line in found.lines:
        out.print(escape(_words(line)))
    for words in cautions_of(found):
        out.print(f"[dim]{escape(words)}[/]")


def _words(line: Line) -> str:
    until = "      " if line.until_s is None or _minute(line) else f"-{_clock(line.until_s)}"
    due = "" if line.due_s is None else f"due {_clock(line.due_s)}"
    rest = "; ".join(filter(None, (line.how_much, line.where, due)))
    return f"{_clock(line.from_s)}{until}  {line.who:10} {line.what}" + (f"; {rest}" if rest else "")


def _minute(line: Line) -> bool:
    """Whether it is over within the minute it begins in, or the next."""
    return line.until_s is not None and line.until_s - line.from_s <= MINUTE_S


def _clock(time_s: float) -> str:
    return clock_text(MINUTE_S * int(time_s // MINUTE_S))


def body(found: Whole) -> dict[str, object]:
    """The day as JSON and the board have it."""
    plan = found.heat_up
    return {
        "house": _name(found),
        "day": found.today.day.isoformat(),
        "lines": [asdict(line) for line in found.lines],
        "figures": [{"words": f.label, "value": f.value, "sum": f.sum} for f in figures_of(found)],
        "curve": None
        if plan is None
        else {
            "times_s": list(plan.times_s),
            "stone_C": [round(at_C, 1) for at_C in plan.stone_C],
            "band_low_C": plan.band.low,
            "band_high_C": plan.band.high,
        },
        "loads": []
        if plan is None
        else [
            {"tray": one.tray.key, "in_s": one.in_s, "out_s": one.out_s, "portions": one.tray.portions}
            for one in plan.loads
        ],
        "cautions": list(cautions_of(found)),
        "problems": list(found.problems),
    }
