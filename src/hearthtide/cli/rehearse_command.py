"""`hearthtide rehearse`: a night against simulated cooks, guests and oven, on the board or without it."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.plan_command import tell_left_out
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_house, take_night
from hearthtide.house.models import House
from hearthtide.house.night_file import NightFile
from hearthtide.house.upsets_file import UpsetsFile, read_upsets
from hearthtide.planning.night import prepare_night
from hearthtide.quantities.show import duration_text
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.night import Night
from hearthtide.service.playing import Score
from hearthtide.service.rehearsal.came import Rehearsed
from hearthtide.service.rehearsal.headless import Headless
from hearthtide.service.rehearsal.kitchen import rehearsed_books
from hearthtide.service.rehearsal.outcome import Outcome
from hearthtide.service.shown_house import shown_house
from hearthtide.service.upcoming import from_doors
from hearthtide.store.database import open_database

NIGHT = "rehearsal"
SIMULATED = (
    "Cooks, guests and oven were simulated: their spreads are common practice, no source. Temp the food, "
    "read the stone."
)


def run_rehearse(
    folder: Path,
    night_name: str,
    upsets: Path | None,
    speed: float,
    headless: bool,
    store: Path | None,
    port: int,
    json: bool,
    seed: int,
) -> bool:
    """Rehearses a night; True when all that its upsets file expects was met and no event was lost."""
    house = read_house(folder)
    rules = chosen_words(house.file.chosen_rules)
    taken = take_night(house, night_name)
    tell_left_out(taken.wrong, taken.gone)
    plain = UpsetsFile(name=taken.night.name)
    file = plain if upsets is None else read_upsets(upsets, house, taken.night)
    books = rehearsed_books(taken.night, file)
    with tempfile.TemporaryDirectory(prefix="hearthtide-") as own:
        where = Path(own) / "rehearsal.db" if store is None else store
        if headless:
            came = _headless(house, books, file, where, seed)
        else:
            from hearthtide.cli.rehearse_board import on_the_board

            came = on_the_board(house, books, file, where, speed, port, seed)
    if json:
        print_json("rehearsal", as_json(file, came, rules))
    else:
        print_rehearsed(file, came)
        out.print(f"[dim]{escape(rules)}[/]")
    return came.as_expected


def _headless(house: House, books: NightFile, file: UpsetsFile, where: Path, seed: int) -> Rehearsed:
    foreseen = from_doors(books)
    with progress() as tell, open_database(where) as database:
        ready = prepare_night(house, foreseen, tell)
        tell("night", 0.0)

        def open_night(clock: Callable[[], float]) -> Night:
            return Night(database.log(NIGHT), Kitchen(house), clock)

        if open_night(lambda: 0.0).state.seq:
            raise holds_a_night(where)
        score = Score(house, foreseen, lambda: ready)
        drawn = shown_house(house, foreseen, NIGHT)
        return Headless(score, books, drawn, ready, file, open_night, seed).run(
            lambda share: tell("night", share)
        )


def holds_a_night(where: Path) -> InputError:
    """What is rehearsed begins with an empty log: a night that was rehearsed is never gone on with."""
    expected = "a file that no night was rehearsed in"
    return InputError((Finding("rehearse", 0, "--store", str(where), expected, "Name another file."),))


def as_json(file: UpsetsFile, came: Rehearsed, rules: str) -> dict[str, object]:
    return {
        "name": file.name,
        "as_expected": came.as_expected,
        "figures": asdict(came.outcome),
        "expected": [asdict(one) for one in came.checked],
        "refused": dict(came.refused),
        "told_anew": [asdict(one) for one in came.watch.changed],
        "left_out": sorted(came.watch.left_out),
        "trouble": [{"at_s": at_s, "words": words} for at_s, words in came.watch.trouble],
        "cautions": [SIMULATED, rules],
    }


def print_rehearsed(file: UpsetsFile, came: Rehearsed) -> None:
    """One page: what came of the night, then every answer that was expected."""
    out.print(f"[bold]{escape(file.name)}[/], rehearsed")
    for words in _lines(came.outcome):
        out.print(f"  {words}", soft_wrap=True)
    for words, times in came.refused.most_common(5):
        out.print(f"  refused {times}x: {escape(words)}", soft_wrap=True)
    for words in sorted(came.watch.left_out)[:5]:
        out.print(f"  {escape(words)}", soft_wrap=True)
    for one in came.checked:
        mark = "met" if one.met else "[bold]NOT MET[/]"
        out.print(f"  {mark}: {escape(one.asked)}: {escape(one.found)}, expected {escape(one.expected)}")
    out.print(f"[dim]{SIMULATED}[/]")


def _lines(o: Outcome) -> list[str]:
    restarts = f"planner restarted {o.planner_restarts}x, board {o.board_restarts}x"
    return [
        f"{o.tables} tables, {o.plates} plates; {o.unserved} courses open at its end",
        f"plates of a table ready within 60 s of each other: {_share(o.together_share)}",
        f"landed within 3 min of the minute first told: {_share(o.quoted_share)} "
        f"(foreseen {_share(o.quoted_foreseen)}; {o.early_quoted} too early, {o.late_quoted} too late)",
        f"late: {o.late_tables} tables, {o.late_guest_s:.0f} guests' seconds",
        f"food left on the fire after it was done: {duration_text(o.overdone_s)} in all",
        f"moves told for the next minute: {o.told_moves}; shown otherwise after that {o.told_changed}, "
        f"of these unasked {o.told_changed_unasked}",
        f"interruptions: {o.interruptions} ({o.interruptions_per_10_min:g} in ten minutes, at most "
        f"{o.most_interruptions_in_an_hour} in an hour), {o.kept_quiet} kept quiet, {o.hazards} hazards",
        f"{o.plans} plans kept; from what was told to its plan shown {_ms(o.shown_after_ms_p50)}, "
        f"99 of 100 within {_ms(o.shown_after_ms_p99)}",
        f"{o.told} told, {o.refused} refused, {o.lost} lost; {restarts}",
    ]


def _share(share: float | None) -> str:
    return "nothing to count" if share is None else f"{100 * share:.0f} %"


def _ms(ms: float | None) -> str:
    return "nothing to count" if ms is None else f"{ms:.0f} ms"
