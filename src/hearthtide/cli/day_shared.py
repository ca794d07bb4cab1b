"""What `demand` and `pars` read and write alike: the date, the house's history, a chef's own numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.shared import err
from hearthtide.day.changes import Judged, standing
from hearthtide.day.demand import FURTHEST_DAYS
from hearthtide.day.history import DAY_NAMES
from hearthtide.errors import Finding, InputError
from hearthtide.house.changes_file import NAME, add_change, read_changes
from hearthtide.house.files import read_house
from hearthtide.house.history_file import take_history
from hearthtide.house.models import House
from hearthtide.house.sheet import MOST_COUNT
from hearthtide.house.sold import Change, History, SoldDay
from hearthtide.house.validate import close_to

_MINE = re.compile(r"\s*([A-Za-z0-9_-]+)\s*=\s*(\d{1,6})\s*")


@dataclass(frozen=True)
class Mine:
    """Numbers a chef says now: by figure, with the reason and the name."""

    said: Mapping[str, int]
    why: str
    person: str


@dataclass(frozen=True)
class Kept:
    """A house with its days and the changes told so far; `left_out` what could not be used."""

    house: House
    history: History
    changes: tuple[Change, ...]
    left_out: tuple[Finding, ...]
    lacks: tuple[Finding, ...]


def read_kept(folder: Path, day: date, booked: int | None) -> Kept:
    """All of it; what is set aside is told on standard error. Raises InputError."""
    house = read_house(folder)
    taken = take_history(house)
    changes, wrong = read_changes(folder)
    history = taken.history if booked is None else _booked(taken.history, day, booked)
    before = [one.day for one in history.open_days if one.day < day]
    if not before or (day - before[-1]).days > FURTHEST_DAYS:
        known = f"up to {FURTHEST_DAYS} days after a day that was sold on"
        remedy = "Add the days since, or name a nearer date."
        raise InputError((Finding(NAME, 0, "DATE", day.isoformat(), f"a date {known}", remedy),))
    kept = Kept(house, history, changes, (*taken.wrong, *wrong), taken.lacks)
    for finding in kept.left_out:
        err.print(f"Set aside: {escape(str(finding))}", soft_wrap=True)
    for finding in kept.lacks:
        err.print(f"No row: {escape(str(finding))}", soft_wrap=True)
    return kept


def _booked(history: History, day: date, booked: int) -> History:
    """The history with so many on the books that day."""
    known = history.by_date.get(day)
    days = [one for one in history.days if one.day != day]
    days.append(SoldDay(day, None, booked) if known is None else replace(known, booked=booked))
    return History(tuple(sorted(days, key=lambda one: one.day)))


def day_asked(text: str) -> date:
    """The date of the command line, year-month-day."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        remedy = "Write it so."
        raise InputError(
            (Finding("the command", 0, "DATE", text, "a date such as 2026-06-02", remedy),)
        ) from None


def mine_asked(said: Sequence[str], why: str, person: str, figures: Iterable[str]) -> Mine:
    """The chef's own numbers as typed, `covers=80`. Raises InputError with all that is wrong."""
    known, numbers, wrong = tuple(figures), {}, []
    for text in said:
        match = _MINE.fullmatch(text)
        if match is None or int(match[2]) > MOST_COUNT:
            expected = f"FIGURE=NUMBER, such as {known[0]}=80, up to {MOST_COUNT}"
            wrong.append(Finding("the command", 0, "--mine", text, expected, "Write it so."))
        elif match[1] not in known:
            remedy = close_to(match[1], known)
            wrong.append(Finding("the command", 0, "--mine", match[1], "a figure that is told here", remedy))
        else:
            numbers[match[1]] = int(match[2])
    if said and not (why.strip() and person.strip()):
        expected = "--why WORDS and --person NAME with --mine"
        remedy = "Say them: the number is kept with its reason and looked at again."
        wrong.append(Finding("the command", 0, "--mine", "", expected, remedy))
    if wrong:
        raise InputError(tuple(wrong))
    return Mine(numbers, why.strip(), person.strip())


def kept_changes(
    kept: Kept, day: date, mine: Mine, ours: Mapping[str, int], prefix: str = ""
) -> dict[str, Change]:
    """The chef's numbers for the day, what is said now written down first; by figure, without `prefix`.

    Raises StoreError when they cannot be written.
    """
    told = datetime.now().astimezone().isoformat(timespec="seconds")
    new = [
        Change(told, day, prefix + figure, ours[figure], number, mine.person, mine.why)
        for figure, number in mine.said.items()
    ]
    for one in new:
        add_change(Path(kept.house.folder), one)
    found = standing((*kept.changes, *new), day)
    return {figure: found[prefix + figure] for figure in ours if prefix + figure in found}


def day_words(day: date) -> str:
    """A date as it is said.

    >>> day_words(date(2026, 6, 2))
    'Tuesday 2 June 2026'
    """
    return f"{DAY_NAMES[day.weekday()]} {day.day} {day:%B %Y}"


def one_in(chance: float) -> str:
    """A chance in nights.

    >>> one_in(0.11), one_in(0.55), one_in(0.001)
    ('one night in 9', '6 nights in ten', 'hardly ever')
    """
    if chance < 0.02:
        return "hardly ever"
    return f"one night in {1 / chance:.0f}" if chance < 0.4 else f"{10 * chance:.0f} nights in ten"


def judged_words(name: str, one: Judged) -> str:
    """How a chef's numbers for a figure did beside ours."""
    days = "one day" if one.days == 1 else f"{one.days} days"
    return (
        f"Your own {name}, {days} that came: missed by {one.yours_off:.0f}, ours by {one.ours_off:.0f}; "
        f"yours nearer on {one.nearer}"
    )


def off_words(said: float, came: float) -> str:
    """A miss in words.

    >>> off_words(72, 60), off_words(60, 60), off_words(58, 60)
    ('12 too many', 'as said', '2 too few')
    """
    off = round(said - came)
    return "as said" if off == 0 else f"{abs(off)} too {'many' if off > 0 else 'few'}"
