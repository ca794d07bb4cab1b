"""The plans of a whole day, each told what the others have taken: `hearthtide day` prints them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path

from hearthtide.cli.cooldown_command import Limits, limits_of
from hearthtide.cli.falling_command import check_places, means_of, night_of, people_from, thing_of
from hearthtide.cli.heatup_command import faults_of, portions_by_batch
from hearthtide.cli.prep_command import Day
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
from hearthtide.day.whole_prep import around, blocks_of, cooked_by
from hearthtide.day.window import HeatUp
from hearthtide.errors import InputError
from hearthtide.house import ahead_file, chill_file, falling_file, prep_file
from hearthtide.house.ahead_file import Ahead, Then
from hearthtide.house.chill_file import ChillFile
from hearthtide.house.files import oven_design, read_document
from hearthtide.house.models import House
from hearthtide.house.rota_file import Hours, read_rota, there_on
from hearthtide.oven.grid import QUICK
from hearthtide.oven.model import Oven, build_oven
from hearthtide.planning.night import Progress
from hearthtide.quantities.show import clock_text
from hearthtide.safety.rules import RuleSet

SEED, ROUNDS = 1, 2000  # of the prep's search; own choice
MOST_FEWER = 3  # times that trays which no unit chills are taken out again; own choice
PORTION_OFF = 0.2  # how far a portion chilled may differ in mass from the one put in; own choice


@dataclass(frozen=True, eq=False)
class Whole:
    """A day planned: each part None where the house has not written its file.

    `refused`: every chill plan by which trays were taken out of the window; `chill` is of the window as it
    stands. `amounts`: portions to be made of each thing of pars.yaml.
    """

    today: Day
    people: tuple[Hours, ...]
    ahead: Ahead | None
    heat_up: HeatUp | None
    amounts: Mapping[str, int]
    chill: ChillPlan | None
    refused: tuple[ChillPlan, ...]
    prep: tuple[Problem, Schedule] | None
    falling: Falling | None
    faults: tuple[str, ...]
    unit_names: Mapping[str, str]

    @property
    def rules(self) -> RuleSet | None:
        return self.today.kept.house.file.chosen_rules

    @property
    def lines(self) -> tuple[Line, ...]:
        found: list[Line] = []
        if self.heat_up is not None and self.ahead is not None:
            found += whole.heat_up_lines(self.heat_up, self.people, round(self.ahead.file.hands.brush))
            found += whole.hold_lines(self.heat_up, then_of(self.ahead), self.rules)
        if self.chill is not None:
            found += whole.chill_lines(self.chill, self.unit_names)
        if self.prep is not None:
            found += whole.prep_lines(*self.prep)
        if self.falling is not None:
            found += whole.falling_lines(self.falling, self.rules)
        return whole.in_order(found)

    @property
    def problems(self) -> tuple[str, ...]:
        found = [*whole.problems_of(self.heat_up, self.refused)]
        if self.heat_up is not None and self.ahead is not None:
            found += whole.not_chilled(self.heat_up, self.chill, then_of(self.ahead))
            found += self._uncooked(cooked_by(self.ahead, self.heat_up))
        late = () if self.prep is None else _late(*self.prep)
        return (*found, *late, *whole.falling_problems(self.falling), *self.faults)

    def _uncooked(self, cooked: Mapping[str, int]) -> Iterator[str]:
        for key, count in cooked.items():
            wanted = self.amounts.get(key, 0)
            if count < wanted:
                name = self.today.pars[key].made.name
                yield f"{name}: {count} of {wanted} are cooked; nothing is prepped for the others"


def then_of(ahead: Ahead) -> dict[str, Then]:
    """What becomes of each kind of tray."""
    return {kind: batch.then for kind, batch in ahead.file.batches.items()}


def _late(problem: Problem, plan: Schedule) -> list[str]:
    found = [
        f"{entry.task.name} is done at {clock_text(entry.end_s)}, due {clock_text(entry.task.due_s)}"
        for entry in plan.entries
        if entry.task.due_s is not None and entry.end_s > entry.task.due_s
    ]
    return found + [f"{problem.task[key].name}: no hands or place long enough" for key in plan.unplaced]


def plan_day(today: Day, folder: Path, tell: Progress) -> Whole:
    """Every part that the house has written down. Raises InputError with what is wrong in its files."""
    house = today.kept.house
    people = there_on(read_rota(house), today.day)
    amounts = {key: today.make(key) for key in today.pars}

    def has(name: str) -> bool:
        return (folder / name).is_file()

    ahead = ahead_file.read_ahead(house, tuple(today.file.made)) if has(ahead_file.NAME) else None
    cold = chill_file.read_chill(house) if has(chill_file.NAME) else None
    units = () if cold is None else units_of(cold)
    window: Window | None = None
    if ahead is not None:
        if cold is not None:
            check_chilled(ahead, cold)
        window = windowed(ahead, cold, portions_by_batch(ahead, amounts), people, tell)
    prep = _prepared(today, people, amounts, ahead, window, tell) if has(prep_file.NAME) else None
    evening = _falling(today, tell) if has(falling_file.NAME) else None
    wrong = [
        *(faults_of(window.heat_up, ahead, people, window.wanted) if window and ahead else ()),
        *(chill_faults(window.chill, units) if window and window.chill is not None else ()),
        *(prep_faults(*prep) if prep is not None else ()),
        *(evening.broken if evening is not None else ()),
    ]
    heat_up, chill, refused = (window.heat_up, window.chill, window.refused) if window else (None, None, ())
    names = {unit.key: unit.name for unit in units}
    return Whole(today, people, ahead, heat_up, amounts, chill, refused, prep, evening, tuple(wrong), names)


def check_chilled(ahead: Ahead, cold: ChillFile) -> None:
    """Every batch that is chilled stands in chill.yaml with a portion like its own.

    Raises
    ------
    InputError
        With every finding.
    """
    document = read_document(Path(ahead.house.folder) / chill_file.NAME)
    wrong = []
    for key, batch in ahead.file.batches.items():
        if batch.then != "chill":
            continue
        if key not in cold.things:
            remedy = "Write how it is chilled, or then: hot hold in ahead.yaml."
            wrong.append(
                document.finding(("things", key), "every batch of ahead.yaml that is chilled", remedy)
            )
        elif abs(cold.things[key].portion - batch.mass) > PORTION_OFF * batch.mass:
            expected = f"within {PORTION_OFF:.0%} of {1000 * batch.mass:.0f} g, the mass in {ahead_file.NAME}"
            remedy = "Weigh a portion as it goes in and as it comes out, and correct one of them."
            wrong.append(document.finding(("things", key, "portion"), expected, remedy))
    if wrong:
        raise InputError(tuple(wrong))


@dataclass(frozen=True, eq=False)
class Window:
    """The heat-up and what chills of it. `wanted`: portions of each batch that were left in."""

    heat_up: HeatUp
    wanted: Mapping[str, int]
    chill: ChillPlan | None
    refused: tuple[ChillPlan, ...]


def windowed(
    ahead: Ahead, cold: ChillFile | None, wanted: Mapping[str, int], people: Sequence[Hours], tell: Progress
) -> Window:
    """The window without what no unit chills: it is planned again without that, MOST_FEWER times at most.

    The last chill plan is of the window as it stands; what it still refuses is told of the whole day.
    """
    heat_up, refused = plan_heat_up(ahead, wanted, people, tell), list[ChillPlan]()
    if cold is None:
        return Window(heat_up, wanted, None, ())
    limits = limits_of(ahead.house.file.chosen_rules, None)
    while True:
        tell("chill", 0.0)
        chill = _chilled(ahead, cold, heat_up, limits)
        gone = _not_chilled(heat_up, chill)
        if not gone or len(refused) == MOST_FEWER:
            return Window(heat_up, wanted, chill, tuple(refused))
        refused.append(chill)
        fewer = {kind: count - gone.get(kind, 0) for kind, count in wanted.items()}
        wanted = {kind: count for kind, count in fewer.items() if count > 0}
        heat_up = plan_heat_up(ahead, wanted, people, tell)


def _chilled(ahead: Ahead, cold: ChillFile, heat_up: HeatUp, limits: Limits) -> ChillPlan:
    """The trays as hot lots, ready when they have rested, at what the models say of their cores."""
    loads = [load for load in heat_up.loads if ahead.file.batches[load.tray.kind].then == "chill"]
    rows = [
        chill_file.ToCool(
            load.tray.kind,
            load.tray.portions,
            float(load.out_s + load.tray.rest_s),
            min(100.0, heat_up.went[load.tray.key].core_C),
        )
        for load in loads
    ]
    units = units_of(cold)
    lots = lots_of(ahead.house, cold, rows, units)
    named = [
        replace(lot, key=load.tray.key, name=cold.things[load.tray.kind].name)
        for lot, load in zip(lots, loads, strict=True)
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
    window: Window | None,
    tell: Progress,
) -> tuple[Problem, Schedule]:
    """The prep list around what the hearth wants of the same hands, for what the hearth cooks."""
    house: House = today.kept.house
    rota = read_rota(house)
    file = prep_file.read_prep(house, today.file, frozenset(one.name for one in rota.people))
    blocks: tuple[Block, ...] = ()
    made = dict(amounts)
    if ahead is not None and window is not None:
        blocks = blocks_of(file, ahead, window.heat_up, people)
        file = around(file, ahead, window.heat_up)
        cooked = cooked_by(ahead, window.heat_up)
        made = {key: min(count, cooked.get(key, count)) for key, count in amounts.items()}
    problem = problem_of(file, made, people, (), today.day, blocks)
    effort = Effort(ROUNDS, on_progress=lambda share: tell("prep", share))
    return problem, planned(problem, seed=SEED, effort=effort)


def _falling(today: Day, tell: Progress) -> Falling:
    house = today.kept.house
    file = falling_file.read_falling(house)

    @cache
    def oven() -> Oven:
        return build_oven(oven_design(house), QUICK)

    people = people_from(house, today.day)
    night, _ = night_of(house, file, today.day, people, oven, partial(tell, "oven"))
    things = tuple(thing_of(key, one, night.fires) for key, one in file.things.items())
    check_places(night, things)
    return falling(night, things, means_of(house, file, night, oven))
