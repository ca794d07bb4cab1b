"""`hearthtide count`: the count at close, lot by lot, and dough by tray; the count, for the morning."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.count_told import Told, left_out, stock_table, take_count, told_lots
from hearthtide.cli.dough_trays import TrayTold, take_trays, trays_told
from hearthtide.cli.labels_command import pars_of
from hearthtide.cli.lots_there import lots_there
from hearthtide.cli.shared import err, out, print_json
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_house
from hearthtide.printing.lot_codes import in_groups, lot_number

DECIDES = "The date mark, a probe and your food code decide what may be used; a count does not."


def run_count(
    folder: Path,
    records: str | None,
    counted: Path | None,
    stock: Path | None,
    dough: Path | None,
    json: bool,
    now: datetime | None = None,
) -> bool:
    """Prints the count; True when it is as the records say, of every lot, and nothing was set aside."""
    if stock is not None and counted is None:
        raise _wrong(
            "--stock", str(stock), "--counted FILE.csv beside it", "Count first: the count is written."
        )
    house = read_house(folder)
    here = (datetime.now() if now is None else now).astimezone()
    at, clock = here.astimezone(UTC), here.replace(tzinfo=None)
    there = lots_there(folder, records)
    found, wrong = ({}, ()) if counted is None else take_count(counted, there.lots)
    trays, wrong_trays = ((), ()) if dough is None else take_trays(dough, clock)
    for finding in (*wrong, *wrong_trays):
        err.print(f"Set aside: {escape(str(finding))}", soft_wrap=True)
    told = told_lots(there.ledger, there.lots, found, house, pars_of(house), at)
    by_tray = trays_told(trays, clock)
    if stock is not None:
        _write(stock, stock_table(told))
    if json:
        print_json("count", _body(told, by_tray))
    else:
        _print(told, by_tray, counted is not None)
        if stock is not None:
            for one in left_out(told):
                out.print(f"Left out for the morning: {escape(one.lot)}: {escape(one.not_stock)}")
            out.print(f"Written for the morning: {escape(str(stock))}")
    lacks = counted is not None and any(one.counted is None and one.told != 0 for one in told)
    return not (wrong or wrong_trays or lacks or any(one.off for one in told))


def _body(told: Sequence[Told], trays: Sequence[TrayTold]) -> dict[str, object]:
    return {
        "lots": [
            {
                "lot": one.lot,
                "number": lot_number(one.lot),
                "item": one.item,
                "made": one.made.isoformat(),
                "state": one.state,
                "told": one.told,
                "counted": one.counted,
                "off": one.off,
                "last_day": None if one.last is None else one.last.isoformat(),
                "words": one.words,
                "do_not_use": one.warning or None,
                "not_stock": one.not_stock or None,
                "could_be": list(one.could_be),
            }
            for one in told
        ],
        "dough": [
            {"tray": one.tray.tray, "balls": one.tray.balls, "day": one.day, "fate": one.fate, "why": one.why}
            for one in trays
        ],
        "caution": DECIDES,
    }


def _print(told: Sequence[Told], trays: Sequence[TrayTold], counted: bool) -> None:
    if not told:
        out.print("By the records nothing is there.")
    for one in told:
        said = f"[bold]{escape(one.warning)}[/]" if one.warning else escape(one.words)
        out.print(f"[bold]{escape(one.lot)}[/]  {in_groups(lot_number(one.lot))}, {said}")
        out.print(f"    {_line(one, counted)}")
        for words in one.could_be:
            out.print(f"    could be: {escape(words)}")
    for fate in dict.fromkeys(one.fate for one in trays):
        some = [one for one in trays if one.fate == fate]
        out.print(f"\n[bold]Dough, {fate}[/]: {sum(one.tray.balls for one in some)} balls")
        for tray in some:
            out.print(f"  tray {escape(tray.tray.tray)}, {tray.tray.balls} balls: {tray.why}")
    out.print(f"[dim]{DECIDES}[/]")


def _line(one: Told, counted: bool) -> str:
    told = "not told in portions" if one.told is None else f"{one.told} by the records"
    if not counted:
        return told
    if one.counted is None:
        return f"{told}; [bold]not counted[/]"
    off = (
        ""
        if one.off is None
        else f", {abs(one.off)} {'short' if one.off < 0 else 'over'}"
        if one.off
        else ", as told"
    )
    return f"{told}, {one.counted} counted{f'[bold]{off}[/]' if one.off else off}"


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as broken:
        why = broken.strerror or str(broken)
        raise _wrong("--stock", str(path), f"a file that can be written ({why})", "Name another.") from broken


def _wrong(field: str, value: str, expected: str, remedy: str) -> InputError:
    return InputError((Finding("count", 0, field, value, expected, remedy),))
