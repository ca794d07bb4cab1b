"""`hearthtide plan`: plan a night, print it, write and serve its report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

from rich.markup import escape

from hearthtide.board.serve import serve as serve_folder
from hearthtide.cli.plan_json import plan_body
from hearthtide.cli.shared import err, out, print_json, progress
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import take_house, take_night
from hearthtide.planning.limit_words import limit_lines, way_words, ways_note
from hearthtide.planning.night import plan_night
from hearthtide.planning.plan import (
    OWN_MINUTES,
    Comparison,
    FlameChange,
    Landing,
    Limit,
    Move,
    Plan,
    with_left_out,
)
from hearthtide.printing.moments import picture_times
from hearthtide.printing.report import write_report
from hearthtide.quantities.show import clock_text, duration_text

FIRST_MOVES = 12


def run_plan(
    folder: Path,
    night_name: str,
    json: bool,
    report: Path | None,
    port: int | None,
    beside: str | None,
    all_moves: bool,
    seed: int,
) -> bool:
    """Plan, print, write, serve; True when every promise is kept."""
    house, wrong = take_house(folder)
    taken = take_night(house, night_name)
    night, wrong = taken.night, (*wrong, *taken.wrong)
    tell_left_out(wrong, taken.gone)
    tables = [ticket.table for ticket in night.tickets]
    if beside is not None and beside not in tables:
        raise InputError((_no_ticket(night_name, beside, tables),))
    if report is not None:
        _make_folder(report)
    with progress() as tell:
        plan = plan_night(house, night, seed, picture_times=picture_times, on_progress=tell)
        plan = with_left_out(plan, [str(finding) for finding in wrong])
        page = None if report is None else write_report(plan, house, report, beside, tell)
    if json:
        print_json("plan", plan_body(plan) | {"off_the_board": [asdict(finding) for finding in taken.gone]})
    else:
        print_plan(plan, beside, all_moves)
    if page is not None:
        err.print(f"Report: [bold]{escape(str(page))}[/]")
    if page is not None and port is not None:
        serve_folder(page.parent, port, _say_where)
    return plan.kept


def tell_left_out(wrong: Sequence[Finding], gone: Sequence[Finding]) -> None:
    """What is set aside for a mistake and what is off (86): a line each on standard error."""
    for finding in (*wrong, *gone):
        err.print(f"Left out: {escape(str(finding))}", soft_wrap=True)


def _no_ticket(night: str, table: str, tables: list[str]) -> Finding:
    known = ", ".join(tables[:12]) + (" …" if len(tables) > 12 else "")
    return Finding(night, 0, "--beside", table, f"a table of the night: {known}", "Name one of them.")


def _make_folder(folder: Path) -> None:
    """Find out before an hour's wait, not after it, that the report has no place."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as broken:
        expected = "a folder that can be written to"
        why = broken.strerror or str(broken)
        raise InputError((Finding("--report", 0, str(folder), why, expected, "Name another."),)) from broken


def _say_where(url: str) -> None:
    err.print(f"Served at [bold]{url}[/] on this machine only. Stop with Ctrl-C.")


def print_plan(plan: Plan, beside: str | None, all_moves: bool) -> None:
    """The plan on a terminal: verdict, flame, landings, moves, the ticket both ways, promises, figures."""
    covers = sum({landing.ticket: landing.covers for landing in plan.landings}.values())
    out.print(
        f"[bold]{escape(plan.house)}, {escape(plan.night)}[/]: {covers} covers, "
        f"{len(plan.items)} items, {len(plan.moves)} moves. "
        + ("Every promise is kept." if plan.kept else "[bold]Not every promise can be kept.[/]")
        + (f" {plan.past_dark}" if plan.past_dark else "")
    )
    for caution in plan.cautions[:1]:
        out.print(f"[dim]{escape(caution)}[/]")
    _print_flame(plan.flame)
    _print_landings(plan.landings)
    _print_moves(plan.moves if all_moves else plan.moves[:FIRST_MOVES], len(plan.moves))
    chosen = _chosen(plan.comparison, beside)
    if chosen is not None:
        _print_beside(chosen)
    elif beside is not None:
        out.print(f"\n{escape(beside)} has no dish on the house's own minutes: there is nothing to compare.")
    _print_checks(plan)
    if plan.limit is not None:
        print_limit(plan.limit)
    _print_figures(plan.figures)
    if plan.worth is not None:
        out.print(f"  {escape(plan.worth.words)}.")


def _heading(text: str) -> None:
    out.print(f"\n[bold]{text}[/]")


def _print_flame(changes: tuple[FlameChange, ...]) -> None:
    _heading("Flame")
    for change in changes:
        out.print(
            f"  {clock_text(change.start_s):>8}  {escape(change.words)} ({change.power_W / 1000:.1f} kW)"
        )


def _print_landings(landings: tuple[Landing, ...]) -> None:
    _heading("Landings")
    for landing in sorted(landings, key=lambda one: (one.planned_s, one.ticket)):
        own = [o for o in landings if o.ticket == landing.ticket]
        course = f" course {landing.course}" if any(o.course > 1 for o in own) else ""
        drop = f" drop {landing.drop}" if any(o.drop > 1 for o in own) else ""
        plates = f"{len(landing.items)} plate{'s' if len(landing.items) > 1 else ''}"
        out.print(
            f"  {clock_text(landing.planned_s):>8}  {escape(landing.ticket)}{course}{drop}, {plates}, "
            f"{_against(landing)}" + (f", ready within {landing.spread_s} s" if landing.spread_s else "")
        )


def _against(landing: Landing) -> str:
    wanted = f"wanted {clock_text(landing.wanted_s)}"
    if landing.late_s > 0:
        return f"{wanted}, [bold]{duration_text(landing.late_s)} late[/]"
    return f"{wanted}, {duration_text(-landing.late_s)} early" if landing.late_s < 0 else wanted


def _print_moves(moves: tuple[Move, ...], total: int) -> None:
    _heading("Moves" if len(moves) == total else f"First {len(moves)} of {total} moves (--moves prints all)")
    out.print("  Plates go in with their leading edge to the flame; turns and spins are clockwise.")
    cooks = {move.cook for move in moves}
    for move in moves:
        cook = f"  {escape(move.cook)}" if len(cooks) > 1 else ""
        out.print(f"  {clock_text(move.start_s):>8}  {escape(move.words)}{cook}")


def _chosen(comparisons: tuple[Comparison, ...], beside: str | None) -> Comparison | None:
    if beside is not None:
        return next((c for c in comparisons if c.ticket == beside), None)
    both = [c for c in comparisons if c.models_landing_s is not None]
    return max(both, key=lambda c: abs((c.models_landing_s or 0) - c.house_landing_s), default=None)


def _print_beside(comparison: Comparison) -> None:
    _heading(f"{escape(comparison.ticket)} on the house's minutes, and on the models'")
    theirs = comparison.models_landing_s
    out.print(
        f"  lands {clock_text(comparison.house_landing_s)}; "
        + (
            "the models see no end to it"
            if theirs is None
            else f"on the models' minutes {clock_text(theirs)}"
        )
    )
    for row in comparison.rows:
        other = "no end" if row.models_in_s is None else f"in {clock_text(row.models_in_s)}"
        out.print(f"  {escape(row.dish)}: in {clock_text(row.house_in_s)}, models {other}. {escape(row.why)}")


def _print_checks(plan: Plan) -> None:
    _heading("Promises")
    for check in plan.checks:
        mark = "noted " if check.name == OWN_MINUTES else "kept  " if check.ok else "[bold]BROKEN[/]"
        out.print(f"  {mark}  {check.name}{': ' if check.detail else ''}{escape(check.detail)}")


def print_limit(limit: Limit) -> None:
    _heading(f"What binds: {limit.binds}")
    for line in limit_lines(limit):
        out.print(f"  {escape(line)}", soft_wrap=True)
    for way in limit.ways_out:
        out.print(f"  Way out: {escape(way_words(way))}", soft_wrap=True)
    out.print(f"  {escape(ways_note(limit))}", soft_wrap=True)


def _print_figures(figures: dict[str, float]) -> None:
    worked = figures["field_s"] + figures["solve_s"] + figures["verify_s"]
    ready = figures["floor_ready_s"]
    _heading("Figures")
    out.print(
        f"  Stone first in its band at {clock_text(ready) if ready else 'no time'}; "
        f"fuel {figures['fuel_MJ']:.0f} MJ; working stone {figures['floor_low_C']:.0f} to "
        f"{figures['floor_high_C']:.0f} °C in service."
    )
    out.print(
        f"  Worked out in {worked:.0f} s: oven and minutes {figures['field_s']:.1f}, moves "
        f"{figures['solve_s']:.1f}, verification {figures['verify_s']:.1f} in {figures['rounds']:.0f} runs; "
        f"seed {figures['seed']:.0f}."
    )
