"""`hearthtide replan`: what really happened up to now, the moves from here, what changed, who slips."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.now_shared import (
    ROUNDS,
    moves_ahead,
    moves_json,
    print_moves,
    searching,
    slip_words,
    slips_json,
    tonight,
)
from hearthtide.cli.plan_command import print_limit, tell_left_out
from hearthtide.cli.plan_json import limit_json
from hearthtide.cli.shared import err, out, print_json, progress
from hearthtide.house.events_file import take_events
from hearthtide.planning.happened import Told, happening
from hearthtide.planning.limits import binding_now
from hearthtide.planning.live import Changed, called, changed_moves, rolled, slips
from hearthtide.planning.problem import Recourse
from hearthtide.quantities.show import clock_text, duration_text
from hearthtide.safety.rule_sets import chosen_words


def run_replan(folder: Path, night_name: str, events: Path, minutes: int, json: bool, seed: int) -> bool:
    """Print the plan from now on; True when no table slips by more than the house allows."""
    with progress() as tell:
        now = tonight(folder, night_name, tell)
        happened, wrong = take_events(events, now.house, now.night)
        tell_left_out(wrong, ())
        problem, now_s = now.ready.problem, round(happened.now_s)
        told = Told(now.house, now.ready)
        all_told = (*called(problem), *(happening(told, event) for event in happened.events))
        tell("search", 0.0)
        found = rolled(problem, all_told, now_s, searching(seed, ROUNDS))
        limit = binding_now(found.after, seed, now.house.file.weights)
    for line in found.unheard:
        err.print(f"Left out: {escape(line)}", soft_wrap=True)
    changed, late = changed_moves(found.before, found.after), slips(found.before, found.after)
    tickets = (*now.night.tickets, *(e.ticket for e in happened.events if e.ticket is not None))
    moves = moves_ahead(now, found.after, now_s + 60 * minutes)
    last = [h.words for h in all_told if h.at_s == now_s]
    recourse = found.after.schedule.recourse
    rules = chosen_words(now.house.file.chosen_rules)
    if json:
        body = {
            "now_s": now_s,
            "happened_now": last,
            "moves": moves_json(now, tickets, moves),
            "changed": [asdict(one) for one in changed],
            "slips": slips_json(late),
            "recourse": [asdict(one) for one in recourse],
            "limit": None if limit is None else limit_json(limit),
            "left_out": [str(finding) for finding in (*now.wrong, *now.gone, *wrong)] + list(found.unheard),
            "cautions": [rules],
        }
        print_json("replan", body)
    else:
        out.print(f"[bold]{clock_text(now_s)}[/] {escape('; '.join(last) or 'nothing new')}")
        out.print(f"\n[bold]Next {minutes} min[/]")
        print_moves(now, tickets, moves)
        _print_rest(changed, recourse)
        out.print("\n[bold]Who slips[/]")
        for slip in late:
            out.print(f"  {escape(slip_words(slip))}")
        if not late:
            out.print("  nobody")
        if limit is not None:
            print_limit(limit)
        out.print(f"[dim]{escape(rules)}[/]")
    return all(slip.by_s <= problem.late_after_s for slip in late)


def _print_rest(changed: tuple[Changed, ...], recourse: tuple[Recourse, ...]) -> None:
    out.print("\n[bold]Told for this minute, now otherwise[/]")
    for one in changed:
        now = "no more" if one.is_s is None else clock_text(one.is_s)
        where = ", elsewhere" if one.elsewhere else ""
        out.print(f"  {clock_text(one.was_s):>8}  {one.act} {escape(one.item)} -> {now}{where}")
    if not changed:
        out.print("  nothing")
    kinds = {"parked": "waits off the hearth", "early": "is pulled early by", "overrun": "stays too long by"}
    for forced in recourse:
        out.print(f"  {escape(forced.item)} {kinds[forced.kind]} {duration_text(forced.seconds)}")
