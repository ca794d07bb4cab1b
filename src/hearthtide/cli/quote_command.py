"""`hearthtide quote`: the earliest minute a table at the door can be promised, and who would slip."""

from __future__ import annotations

from pathlib import Path

from rich.markup import escape

from hearthtide.cli.now_shared import ROUNDS, searching, slip_words, slips_json, tonight
from hearthtide.cli.plan_command import print_limit
from hearthtide.cli.plan_json import limit_json
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.errors import Finding, InputError
from hearthtide.house.models import House
from hearthtide.house.night_checks import check_plate, ticket_plates, words_known
from hearthtide.house.night_file import NightFile, TicketFile
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document
from hearthtide.planning.build import ticket_orders
from hearthtide.planning.limits import binding_now
from hearthtide.planning.live import called, rolled
from hearthtide.planning.plan import Limit
from hearthtide.planning.promise import SHARE
from hearthtide.planning.quote import Quote, quotes
from hearthtide.quantities.parse import parse_clock_s
from hearthtide.quantities.show import clock_text
from hearthtide.safety.rule_sets import chosen_words

TABLE = "DOOR"


def run_quote(
    folder: Path,
    night_name: str,
    at: str,
    dishes: str,
    covers: int,
    allergy: str | None,
    json: bool,
    seed: int,
) -> bool:
    """Print the quote; True when its minute holds 8 times in 10."""
    with progress() as tell:
        now = tonight(folder, night_name, tell)
        at_s = _at_s(at, now.night)
        ticket = _ticket(now.house, at_s, dishes, covers, allergy)
        problem = now.ready.problem
        tell("search", 0.0)
        running = rolled(problem, called(problem), at_s, searching(seed, ROUNDS)).after
        orders = ticket_orders(running.problem, now.house, ticket, now.ready.stages)
        soon, polite = quotes(running, orders, searching(seed, 10 * ROUNDS), seed)
        limit = binding_now(soon.running, seed, now.house.file.weights)
    rules = chosen_words(now.house.file.chosen_rules)
    if json:
        body = {"at_s": at_s, "dishes": list(ticket.dishes), "covers": covers, "cautions": [rules]}
        body |= {"earliest": _json(soon), "without_slips": _json(polite)}
        print_json("quote", body | {"limit": None if limit is None else limit_json(limit)})
    else:
        _print(ticket, at_s, soon, polite, limit)
        out.print(f"[dim]{escape(rules)}[/]")
    return soon.holds


def _at_s(at: str, night: NightFile) -> int:
    try:
        at_s = parse_clock_s(at)
    except ValueError as err:
        raise InputError(
            (Finding("--at", 0, "time", at, str(err).removeprefix("expected "), "Write it so."),)
        ) from err
    if not night.doors <= at_s <= night.last_call:
        expected = (
            f"a time from doors, {clock_text(night.doors)}, to last call, {clock_text(night.last_call)}"
        )
        raise InputError((Finding("--at", 0, "time", at, expected, "Nobody is at the door then."),))
    return round(at_s)


def _ticket(house: House, at_s: int, dishes: str, covers: int, allergy: str | None) -> TicketFile:
    """The table as a ticket; every word that is not known here is a finding."""
    keys = [key.strip() for key in dishes.split(",") if key.strip()]
    words = [word.strip() for word in (allergy or "").split(",") if word.strip()]
    findings = [
        Finding("--dishes", 0, "dish", key, "a dish of this house", close_to(key, house.dishes))
        for key in keys
        if key not in house.dishes
    ]
    if not keys:
        findings.append(
            Finding("--dishes", 0, "dishes", dishes, "at least one", "Such as pizza,pizza,wings.")
        )
    if findings:
        raise InputError(tuple(findings))
    when = {"called": clock_text(at_s), "wanted": clock_text(at_s + 60)}
    ticket = TicketFile.model_validate(
        {"table": TABLE, "covers": covers, "dishes": keys, "allergy": words} | when
    )
    document = Document("--dishes", {}, {}, {})
    wrong = [
        w for one in ticket_plates(ticket, ()) for w in check_plate(one, document, house, words_known(house))
    ]
    if wrong:
        raise InputError(tuple(w.finding for w in wrong))
    return ticket


def _print(ticket: TicketFile, at_s: int, soon: Quote, polite: Quote, limit: Limit | None) -> None:
    guests = f"{ticket.covers} guest{'s' if ticket.covers > 1 else ''}"
    out.print(f"[bold]At the door {clock_text(at_s)}[/]: {guests}, {escape(', '.join(ticket.dishes))}")
    out.print(f"  Earliest to promise: [bold]{clock_text(soon.minute_s)}[/]{_how(soon)}")
    for slip in soon.slips:
        out.print(f"    {escape(slip_words(slip))}")
    if not soon.slips:
        out.print("    nobody else waits longer for it")
    elif polite.minute_s > soon.minute_s or len(polite.slips) < len(soon.slips):
        waits = "; ".join(slip_words(slip) for slip in polite.slips) or "nobody else waits longer"
        out.print(f"  Taking only what others leave: [bold]{clock_text(polite.minute_s)}[/]{_how(polite)}")
        out.print(f"    {escape(waits)}")
    if limit is not None:
        print_limit(limit)


def _how(quote: Quote) -> str:
    drops = f", in {quote.drops} drops" if quote.drops > 1 else ""
    sure = f", within 3 min {100 * quote.share:.0f} times in 100"
    return f"{drops}{sure}" + ("" if quote.holds else f" only: less than {100 * SHARE:.0f}, say so")


def _json(quote: Quote) -> dict[str, object]:
    return {
        "minute_s": quote.minute_s,
        "planned_s": quote.planned_s,
        "drops": quote.drops,
        "share_within_3_min": round(quote.share, 3),
        "holds": quote.holds,
        "slips": slips_json(quote.slips),
    }
