"""`records`: marks and papers of lots: freezer, last day, time alone and its procedure, the house's rules."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import cast

from rich.markup import escape

from hearthtide.cli.records_command import opened, wrong
from hearthtide.cli.records_entered import when, written
from hearthtide.cli.shared import out
from hearthtide.house.files import read_house
from hearthtide.safety.cautions import NO_RULES
from hearthtide.service.records.book import Book
from hearthtide.service.records.entries import FreezerMoved, LotMarked, ProcedureKept, TimeMarked
from hearthtide.service.records.rules_noted import last_noted, rules_entry, rules_sha256


def run_freezer(file: str, lot: str, way: str, person: str, at: str | None) -> None:
    """Writes that a lot went into the freezer or came out. Raises NotSo where it cannot have."""
    if way not in ("in", "out"):
        raise wrong("in|out", way, "in or out", "Say which.")
    with opened(file) as log:
        moved = FreezerMoved(lot, "in" if way == "in" else "out")
        written(Book(log, None), "freezer", moved, person, when(at), f"{lot}|{way}")
    said = "stand still from here" if way == "in" else "go on from here: write its new last day on it"
    out.print(f"{escape(lot)} is {'in' if way == 'in' else 'out of'} the freezer. Its days {said}.")


def run_mark(file: str, lot: str, day: str | None, until: str | None, person: str, at: str | None) -> None:
    """Writes the last day on a lot, or the time by which food on time alone is used or discarded."""
    if (day is None) == (until is None):
        raise wrong("--day", day or "", "either --day or --until", "Say one of them.")
    if until is not None:
        marked: LotMarked | TimeMarked = TimeMarked(lot, when(until, "--until").at)
    else:
        marked = LotMarked(lot, _date(cast(str, day)))
    with opened(file) as log:
        written(Book(log, None), "mark", marked, person, when(at), f"{lot}|{day or until}")
    out.print(f"{escape(lot)} is marked {escape(day or until or '')}.")


def _date(said: str) -> date:
    try:
        return date.fromisoformat(said)
    except ValueError:
        raise wrong("--day", said, "a date such as 2026-06-08", "Write it so.") from None


def run_procedure(file: str, reference: str, person: str, at: str | None) -> None:
    """Writes that a written procedure for time alone is kept here."""
    with opened(file) as log:
        kept = ProcedureKept("time alone", reference)
        written(Book(log, None), "procedure", kept, person, when(at), reference)
    out.print(
        "It counts for food that leaves its temperature from now on. Keep the paper where it is asked for."
    )


def run_rules(file: str, house: Path, person: str) -> None:
    """Writes down the rules a house goes by, unless the records end with the same."""
    rules = read_house(house).file.chosen_rules
    if rules is None:
        out.print(NO_RULES)
        return
    with opened(file) as log:
        book = Book(log, rules)
        if last_noted(book.about(lambda _: False).records) == rules_sha256(rules):
            out.print("The records go by these rules already. Nothing was written.")
            return
        written(book, "rules", rules_entry(rules), person, when(None), rules_sha256(rules))
    out.print(f"From now on: {escape(rules.named)}.")
