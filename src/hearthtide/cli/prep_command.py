"""`prep`: a day's prep in a cook's order, by the pars; what binds where it cannot all be in time."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.day_shared import Kept, day_asked, day_words, read_kept
from hearthtide.cli.pars_command import counted_lots, made_of, reckoned
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.day.changes import PAR, standing
from hearthtide.day.demand import Covers
from hearthtide.day.dough import Balls, DoughDay, Trays, age_word, dough_days, evening_of, trays_out
from hearthtide.day.making import Par
from hearthtide.day.pars import to_par
from hearthtide.day.prep import Entry, Problem, Schedule, Wash
from hearthtide.day.prep_checker import faults
from hearthtide.day.prep_limits import Binding, binding
from hearthtide.day.prep_search import Effort, planned
from hearthtide.day.prep_tasks import problem_of
from hearthtide.day.prep_words import idle_s, named, where, why
from hearthtide.errors import Finding, HearthtideError, InputError
from hearthtide.house.pars_file import ParsFile, read_pars
from hearthtide.house.prep_file import PrepFile, read_prep
from hearthtide.house.rota_file import read_rota, there_on
from hearthtide.house.sheet import MOST_COUNT
from hearthtide.house.sold import Lot
from hearthtide.house.validate import close_to
from hearthtide.quantities.show import clock_text
from hearthtide.safety.rule_sets import chosen_words

CAUTION = (
    "An order of work, no judgement of food, gas or air. Wash hands between raw and ready to eat, whatever "
    "this list says. A probe, your local code and licensed people decide."
)


@dataclass(frozen=True)
class Day:
    """A day as the house's files have it: its pars by key, and the lots counted."""

    kept: Kept
    file: ParsFile
    day: date
    covers: tuple[Covers, ...]
    pars: Mapping[str, Par]
    lacking: tuple[str, ...]
    lots: tuple[Lot, ...]

    def make(self, key: str) -> int:
        """How much of a thing is to be made: a chef's own par if one was told, else ours."""
        change = standing(self.kept.changes, self.day).get(PAR + key)
        par = self.pars[key]
        return par.ours.make if change is None else to_par(par.ahead, change.yours)


def read_day(folder: Path, asked: str, stock: Path | None) -> Day:
    """The pars of a day as `pars` has them, covers that a chef changed included. Raises InputError."""
    day = day_asked(asked)
    kept = read_kept(folder, day, None)
    file = read_pars(kept.house)
    items = [made_of(key, one) for key, one in file.made.items()]
    lots, _, _ = counted_lots(folder, stock, file, day)
    covers, found = reckoned(kept, items, day, lots)
    pars = {key: one for key, one in found.items() if one is not None}
    return Day(kept, file, day, covers, pars, tuple(key for key in found if key not in pars), lots)


def amounts_asked(said: Sequence[str], known: Collection[str]) -> dict[str, int]:
    """Amounts as typed, `chicken=20`. Raises InputError with all that is wrong."""
    found, wrong = {}, []
    for text in said:
        key, equals, count = text.partition("=")
        if key not in known:
            remedy = close_to(key, known)
            wrong.append(Finding("the command", 0, "--amount", text, "a thing that pars.yaml makes", remedy))
        elif not equals or not count.isascii() or not count.isdecimal() or int(count) > MOST_COUNT:
            expected = f"THING=NUMBER, such as {key}=20, up to {MOST_COUNT}"
            wrong.append(Finding("the command", 0, "--amount", text, expected, "Write it so."))
        else:
            found[key] = int(count)
    if wrong:
        raise InputError(tuple(wrong))
    return found


def run_prep(
    folder: Path, asked: str, stock: Path | None, said: tuple[str, ...], rounds: int, seed: int, json: bool
) -> bool:
    """Prints a day's prep; True when everything is done by when it is due."""
    today = read_day(folder, asked, stock)
    rota = read_rota(today.kept.house)
    people = there_on(rota, today.day)
    file = read_prep(today.kept.house, today.file, frozenset(one.name for one in rota.people))
    own = amounts_asked(said, today.file.made)
    amounts = {key: today.make(key) for key in today.pars} | own
    lacking = tuple(key for key in today.lacking if key not in own)
    dough = _dough(file, today, amounts)
    trays = () if dough is None else dough.trays.out

    def less(key: str, count: int) -> Problem:
        return problem_of(file, {**amounts, key: count}, people, trays, today.day)

    problem = problem_of(file, amounts, people, trays, today.day)
    with progress() as tell:
        plan = planned(problem, seed=seed, effort=Effort(rounds, on_progress=lambda x: tell("prep", x)))
        if broken := faults(problem, plan):
            raise HearthtideError(f"the plan of the prep breaks its own promises: {'; '.join(broken)}")
        bound = None
        if not plan.kept:
            bound = binding(problem, plan, less, amounts, seed=seed, tell=lambda x: tell("limits", x))
    if json:
        print_json("prep", _body(today, file, problem, plan, amounts, lacking, dough, bound))
    else:
        _print(today, file, problem, plan, amounts, lacking, dough, bound)
    return plan.kept and not lacking


@dataclass(frozen=True)
class Dough:
    """Tonight's trays, and the balls by age over the days to come if nothing more is made than today."""

    trays: Trays
    wanted: int
    days: tuple[DoughDay, ...]


def _dough(file: PrepFile, today: Day, amounts: Mapping[str, int]) -> Dough | None:
    if file.dough is None or file.evening is None or file.dough.made not in today.pars:
        return None
    key, wanted = file.dough.made, [one.middle for one in today.pars[file.dough.made].ahead.demand]
    lots = [Balls(lot.made, lot.portions) for lot in today.lots if lot.key == key]
    days = dough_days(lots, today.day, [amounts[key], *(0 for _ in wanted[1:])], wanted)
    there = days[0].there
    evening = evening_of(round(file.evening.since), file.evening.covers, wanted[0])
    temper_s, within_s = round(file.dough.temper), round(file.dough.use_within)
    return Dough(trays_out(evening, there, today.day, file.dough.tray, temper_s, within_s), wanted[0], days)


def _print(
    today: Day,
    file: PrepFile,
    problem: Problem,
    plan: Schedule,
    amounts: Mapping[str, int],
    lacking: Sequence[str],
    dough: Dough | None,
    bound: Binding | None,
) -> None:
    name, hands = today.kept.house.file.name, sum(entry.task.hands_s for entry in plan.entries)
    out.print(
        f"[bold]{escape(name)}, prep for {day_words(today.day)}[/]: {len(plan.entries)} tasks, "
        f"{_hours(hands)} of hands, line-up {clock_text(file.line_up)}"
    )
    if "shut" in today.covers[0].remarks:
        out.print("  The house is shut that day: only what is done every day stands here.")
    for key in lacking:
        out.print(f"  [bold]{escape(key)}[/]: too few nights tell it: no par, nothing is planned; hand it in")
    widths = max((len(person.name) for person in problem.people), default=4)
    for at_s, one in _in_order(plan):
        if isinstance(one, Wash):
            place = problem.machine[one.machine].name
            out.print(f"{clock_text(at_s)}  {escape(one.person):{widths}}  Wash down: {escape(place)}")
        else:
            _print_entry(problem, plan, one, widths)
    _print_rest(problem, plan, amounts, today)
    if dough is not None:
        _print_dough(dough)
    if bound is not None:
        _print_bound(problem, plan, bound)
    for words in (CAUTION, chosen_words(today.kept.house.file.chosen_rules)):
        out.print(f"[dim]  {escape(words)}[/]")


def _in_order(plan: Schedule) -> list[tuple[int, Entry | Wash]]:
    """Tasks and wash-downs by when they begin; a wash-down before what waits for it."""
    both: list[tuple[int, Entry | Wash]] = [(wash.start_s, wash) for wash in plan.washes]
    return sorted([*both, *((entry.start_s, entry) for entry in plan.entries)], key=lambda one: one[0])


def _print_entry(problem: Problem, plan: Schedule, entry: Entry, widths: int) -> None:
    task = entry.task
    who = " and ".join(dict.fromkeys(name for name in entry.hands if name)) or "nobody"
    much = f", {task.amount}" if task.amount else ""
    place = where(problem, entry)
    there = f" at {escape(place)}" if place else ""
    due = "" if task.due_s is None else f"; due {clock_text(task.due_s)}"
    late = f" [bold]{_hours(entry.late_s)} late[/]" if entry.late_s else ""
    away = "" if entry.hands_end_s == entry.end_s else f", rests until {clock_text(entry.end_s)}"
    out.print(
        f"{clock_text(entry.start_s)}  {escape(who):{widths}}  [bold]{escape(named(plan, entry))}{much}[/]"
        f"{there}, hands until {clock_text(entry.hands_end_s)}{away}{due}{late}"
    )
    said = ". ".join(filter(None, (_sentence(why(problem, plan, entry)), task.words.removesuffix("."))))
    out.print(f"       {'':{widths}}  {escape(said)}.")
    for caution in task.cautions:
        out.print(f"       {'':{widths}}  [dim]Mind: {escape(caution)}[/]")


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def _print_rest(problem: Problem, plan: Schedule, amounts: Mapping[str, int], today: Day) -> None:
    for key in plan.unplaced:
        out.print(f"  [bold]Left out: {escape(problem.task[key].name)}[/]")
    nothing = [today.file.made[key].name for key, amount in amounts.items() if not amount]
    if nothing:
        out.print(f"  Nothing to make: {escape(', '.join(nothing))}.")
    waits = [f"{name} {_hours(idle)}" for name, idle in idle_s(problem, plan).items() if idle]
    if waits:
        out.print(f"  Hands that wait between their first and last task: {escape(', '.join(waits))}.")


def _print_dough(dough: Dough) -> None:
    out.print(f"[bold]Dough[/]: {dough.wanted} balls wanted tonight")
    if dough.trays.short:
        out.print(f"  [bold]{dough.trays.short} short tonight[/]")
    out.print("  The rest stays in the cold until the board wants it.")
    for day in dough.days:
        ages = ", ".join(
            f"{balls.count} of day {balls.age(day.day)} ({age_word(balls.age(day.day))})"
            for balls in day.there
        )
        made = f", {day.made} of them made that day" if day.made else ""
        after = f"; {day.binned} to bin that night" if day.binned else ""
        short = f"; {day.short} to make yet" if day.short else ""
        out.print(f"  {day.day:%a %d}: {ages or 'none'}{made}; {day.wanted} wanted{short}{after}")


def _print_bound(problem: Problem, plan: Schedule, bound: Binding) -> None:
    sure = "It cannot all be in time" if bound.sure else "No order was found that is in time"
    out.print(f"[bold]{sure}. What binds: {escape(bound.limit)}[/] ({escape(bound.words)}).")
    names = ", ".join(dict.fromkeys(problem.task[key].name for key in bound.late))
    out.print(f"  As it stands {_undone(len(plan.unplaced), plan.late_s)}: {escape(names)}.")
    for way in bound.ways_out:
        left = "all in time" if way.mends else f"still {_undone(way.unplaced, way.late_s)}"
        out.print(f"  {escape(_sentence(way.words))}: {left}.")
    if not any(way.mends for way in bound.ways_out):
        out.print("  None of what was tried mends it alone.")


def _undone(unplaced: int, late_s: int) -> str:
    left_out = [f"{unplaced} left out"] if unplaced else []
    return ", ".join(left_out + ([f"{_hours(late_s)} late in all"] if late_s else []))


def _hours(seconds: int) -> str:
    """A stretch of work as it is said.

    >>> _hours(5400), _hours(600)
    ('1 h 30 min', '10 min')
    """
    hours, minutes = divmod(round(seconds / 60), 60)
    return (
        " ".join(filter(None, (f"{hours} h" if hours else "", f"{minutes} min" if minutes else "")))
        or "0 min"
    )


def _body(
    today: Day,
    file: PrepFile,
    problem: Problem,
    plan: Schedule,
    amounts: Mapping[str, int],
    lacking: Sequence[str],
    dough: Dough | None,
    bound: Binding | None,
) -> dict[str, object]:
    return {
        "house": today.kept.house.file.name,
        "day": today.day.isoformat(),
        "line_up": clock_text(file.line_up),
        "amounts": dict(amounts),
        "no_par": list(lacking),
        "in_time": plan.kept,
        "rounds": plan.rounds,
        "finish": clock_text(plan.finish_s),
        "idle_s": idle_s(problem, plan),
        "tasks": [_entry_body(problem, plan, entry) for entry in plan.entries],
        "wash_downs": [
            {"place": wash.machine, "from": clock_text(wash.start_s), "person": wash.person}
            for wash in plan.washes
        ],
        "left_out": list(plan.unplaced),
        "dough": None if dough is None else _dough_body(dough),
        "binding": None if bound is None else _bound_body(bound),
        "cautions": [CAUTION, chosen_words(today.kept.house.file.chosen_rules)],
    }


def _entry_body(problem: Problem, plan: Schedule, entry: Entry) -> dict[str, object]:
    task = entry.task
    return {
        "task": task.key,
        "name": named(plan, entry),
        "from": clock_text(entry.start_s),
        "hands_until": clock_text(entry.hands_end_s),
        "until": clock_text(entry.end_s),
        "hands": list(entry.hands),
        "makes": task.makes or None,
        "amount": task.amount or None,
        "where": where(problem, entry),
        "due": None if task.due_s is None else clock_text(task.due_s),
        "late_s": entry.late_s,
        "why": why(problem, plan, entry),
        "words": task.words,
        "cautions": list(task.cautions),
    }


def _dough_body(dough: Dough) -> dict[str, object]:
    return {
        "wanted": dough.wanted,
        "short": dough.trays.short,
        "trays": [
            {
                "out": clock_text(tray.out_s),
                "ready": clock_text(tray.ready_s),
                "use_by": clock_text(tray.use_by_s),
                "balls": tray.balls,
                "made": tray.made.isoformat(),
            }
            for tray in dough.trays.out
        ],
        "days": [
            {
                "day": day.day.isoformat(),
                "by_made": {balls.made.isoformat(): balls.count for balls in day.there},
                "made": day.made,
                "wanted": day.wanted,
                "short": day.short,
                "binned": day.binned,
            }
            for day in dough.days
        ],
    }


def _bound_body(bound: Binding) -> dict[str, object]:
    return {
        "limit": bound.limit,
        "words": bound.words,
        "sure": bound.sure,
        "late": list(bound.late),
        "lifted": [
            {"limit": one.limit, "left_out": one.unplaced, "late_s": one.late_s} for one in bound.lifted
        ],
        "ways_out": [
            {"words": one.words, "in_time": one.mends, "left_out": one.unplaced, "late_s": one.late_s}
            for one in bound.ways_out
        ],
    }
