"""What is written down of lots besides readings, from a table: a row for each lot, columns as needed.

Times carry their offset from UTC (`2026-06-02T14:00-04:00`), dates are `2026-06-02`, yes or no is said as
such, several things in one cell have `;` between them. A cell that is left empty is not written down: what
needs it is unproven.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TypeVar, get_args

from hearthtide.errors import Finding, HearthtideError
from hearthtide.house.tables import table_rows
from hearthtide.house.validate import close_to
from hearthtide.quantities.parse import parse_duration_s
from hearthtide.safety.cooling_acts import Cover
from hearthtide.safety.dates import Convention, Frozen
from hearthtide.safety.readings import Limit
from hearthtide.safety.rules import FoodClass, Handling, Opened, Oven, Piece

T = TypeVar("T")


class NotWritten(HearthtideError):
    """Something of a lot that a verdict needs was not written down."""

    def __init__(self, column: str) -> None:
        self.column = column
        super().__init__(f"{column} is not written down")


@dataclass(frozen=True)
class LotFacts:
    """What is written of one lot, by column."""

    lot: str
    written: Mapping[str, object]

    def get(self, column: str, kind: type[T]) -> T:
        """What stands in a column; NotWritten where it is empty."""
        found = self.maybe(column, kind)
        if found is None:
            raise NotWritten(column)
        return found

    def maybe(self, column: str, kind: type[T]) -> T | None:
        """What stands in a column, None where it is empty."""
        found = self.written.get(column)
        assert found is None or isinstance(found, kind), (column, kind)
        return found


@dataclass(frozen=True)
class Weighed:
    """A weight in the unit it was weighed in."""

    value: Decimal
    unit: str


def _instant(text: str) -> datetime:
    when = datetime.fromisoformat(text)
    if when.utcoffset() is None:
        raise ValueError(text)
    return when.astimezone(UTC)


def _yes(text: str) -> bool:
    return {"yes": True, "no": False}[text.lower()]


def _dates(text: str) -> tuple[date, ...]:
    return tuple(date.fromisoformat(one.strip()) for one in text.split(";"))


def _stays(text: str) -> tuple[Frozen, ...]:
    found = []
    for one in text.split(";"):
        into, _, out = one.strip().partition("/")
        found.append(Frozen(date.fromisoformat(into), date.fromisoformat(out) if out else None))
    return tuple(found)


def _spans(text: str) -> tuple[timedelta, ...]:
    return tuple(timedelta(seconds=parse_duration_s(one.strip())) for one in text.split(";"))


def _weight(text: str) -> Weighed:
    value, unit = text[:-2].strip(), text[-2:].lower()
    if unit not in ("lb", "kg"):
        raise ValueError(text)
    return Weighed(Decimal(value), unit)


def _limit(text: str) -> Limit:
    return Limit(**{text[-1:].upper(): Decimal(text[:-1])})


def _words(text: str) -> str:
    return text


def _list(text: str) -> tuple[str, ...]:
    return tuple(one.strip() for one in text.split(";"))


TIMES = (
    "into", "out", "left_heat", "left_cold", "back_on_heat", "left", "marked_time", "stopped", "solid",
    "frozen_out", "kept_from",
)  # fmt: skip
DATES = ("made", "marked", "use_by", "served", "kept_until")
YES_NO = (
    "opened", "procedure", "chilled_again", "begun_anew", "document", "coloured", "susceptible",
    "asked", "disclosed", "reminded", "children", "par_cooked", "covered", "turned", "intact_pack", "spaced",
    "followed", "uncooked",
)  # fmt: skip
CHOICES: dict[str, tuple[str, ...]] = {
    "food": get_args(FoodClass),
    "piece": get_args(Piece),
    "oven": get_args(Oven),
    "opened_as": get_args(Opened),
    "cover": get_args(Cover),
    "convention": get_args(Convention),
}
# Each column: how its cell is read, and what it is to be.
Reader = tuple[Callable[[str], object], str]
READERS: dict[str, Reader] = {
    **dict.fromkeys(TIMES, (_instant, "a time with its offset, such as 2026-06-02T14:00-04:00")),
    **dict.fromkeys(DATES, (date.fromisoformat, "a date such as 2026-06-02")),
    **dict.fromkeys(YES_NO, (_yes, "yes or no")),
    **{name: (_words, f"one of {', '.join(words)}") for name, words in CHOICES.items()},
    **dict.fromkeys(("says", "statement", "exempt", "variance"), (_words, "words")),
    **dict.fromkeys(("methods", "handled"), (_list, "words with ; between them")),
    "ingredients": (_dates, "dates with ; between them"),
    "frozen": (_stays, "2026-10-03/2026-10-10, the second left out while it is in; ; between several"),
    "before": (_spans, "durations such as 20 min, ; between several"),
    "weight": (_weight, "a weight such as 10lb or 4.5kg"),
    "says_line": (_limit, "a temperature such as 165F"),
}
COLUMNS = ("lot", *READERS)


def take_lots(path: Path) -> tuple[tuple[LotFacts, ...], tuple[Finding, ...]]:
    """The lots of a table, and what is wrong with the rows that were set aside.

    Raises
    ------
    InputError
        The whole cannot be read: not there, too large, not UTF-8, a column lacks or is not known.
    """
    good: dict[str, LotFacts] = {}
    wrong: list[Finding] = []
    for line, row in table_rows(path, ("lot",), COLUMNS):
        lot, findings = row.get("lot", ""), []
        if not lot or lot in good:
            expected = "a lot's name, once in the table"
            findings = [Finding(str(path), line, "lot", lot, expected, "Write it.")]
        written: dict[str, object] = {}
        for name, cell in row.items():
            if name == "lot" or not cell:
                continue
            read = _read(name, cell)
            if read is None:
                findings.append(_bad(path, line, name, cell))
            else:
                written[name] = read
        wrong += findings
        if not findings:
            good[lot] = LotFacts(lot, written)
    return tuple(good.values()), tuple(wrong)


def _read(name: str, cell: str) -> object | None:
    """A cell as its column is read; None where it cannot be."""
    if name in CHOICES and cell not in CHOICES[name]:
        return None
    if name == "handled" and not set(_list(cell)) <= set(get_args(Handling)):
        return None
    try:
        return READERS[name][0](cell)
    except (ValueError, KeyError, InvalidOperation):
        return None


def _bad(path: Path, line: int, name: str, cell: str) -> Finding:
    known = get_args(Handling) if name == "handled" else CHOICES.get(name, ())
    expected = f"of {', '.join(known)}" if name == "handled" else READERS[name][1]
    return Finding(str(path), line, name, cell, expected, close_to(cell, known) if known else "Write it so.")
