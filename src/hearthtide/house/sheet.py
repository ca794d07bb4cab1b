"""A table of comma-separated values, row by row with their lines; whole numbers and dates in its cells."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from io import StringIO
from pathlib import Path
from typing import Literal

from hearthtide.errors import Finding, InputError
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import shown

MOST_BYTES = 5_000_000  # some ten years of days with a hundred dishes; own choice
MOST_COUNT = 5_000  # guests or portions of one day at one hearth; own choice

DateOrder = Literal["year-month-day", "day/month/year", "month/day/year", "day.month.year"]
_DATES: dict[DateOrder, tuple[re.Pattern[str], str]] = {
    "year-month-day": (re.compile(r"(?P<y>\d{4})-(?P<m>\d{1,2})-(?P<d>\d{1,2})"), "2026-03-14"),
    "day/month/year": (re.compile(r"(?P<d>\d{1,2})/(?P<m>\d{1,2})/(?P<y>\d{4})"), "14/03/2026"),
    "month/day/year": (re.compile(r"(?P<m>\d{1,2})/(?P<d>\d{1,2})/(?P<y>\d{4})"), "03/14/2026"),
    "day.month.year": (re.compile(r"(?P<d>\d{1,2})\.(?P<m>\d{1,2})\.(?P<y>\d{4})"), "14.03.2026"),
}
_WHOLE = re.compile(r"(\d{1,7})(?:[.,]0+)?")


@dataclass(frozen=True)
class Row:
    """One line of a table: its cells by the columns' names as they are written in the first line."""

    file: str
    line: int
    cells: dict[str, str]

    def wrong(self, column: str, expected: str, remedy: str) -> Finding:
        return Finding(self.file, self.line, column, shown(self.cells.get(column, "")), expected, remedy)

    def whole(self, column: str) -> int | Finding | None:
        """A whole number from 0, None for an empty cell; `62.0` and `62,00` are 62, no more is guessed."""
        text = self.cells.get(column, "")
        if not text:
            return None
        match = _WHOLE.fullmatch(text)
        if match is None or int(match[1]) > MOST_COUNT:
            remedy = "Write the number alone, or leave the cell empty if it is not known."
            return self.wrong(column, f"a whole number from 0 to {MOST_COUNT}, such as 62", remedy)
        return int(match[1])

    def day(self, column: str, order: DateOrder) -> date | Finding:
        """A date as the table writes them."""
        pattern, example = _DATES[order]
        match = pattern.fullmatch(self.cells.get(column, ""))
        if match is None:
            return self.wrong(
                column, f"a date as {order}, such as {example}", "Write it so, or change `dates:`."
            )
        try:
            return date(int(match["y"]), int(match["m"]), int(match["d"]))
        except ValueError:
            return self.wrong(column, f"a day that exists, such as {example}", "Correct it.")


def read_sheet(path: Path, name: str, needed: Sequence[str]) -> Iterator[Row]:
    """The rows of a table that are not empty; cells are parted by `,`, `;` or tabs as in its first line.

    Raises
    ------
    InputError
        The whole cannot be read: not there, too large, not UTF-8, a needed column lacks or stands twice.
    """
    text = _text(path, name)
    reader = csv.reader(StringIO(text, newline=""), delimiter=_sign(text), strict=True)
    columns: list[str] | None = None
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if not any(stripped):
                continue
            if columns is None:
                columns = stripped
                _check(columns, needed, name, reader.line_num)
                continue
            yield Row(name, reader.line_num, _cells(columns, stripped))
    except csv.Error as err:
        raise _refused(name, reader.line_num, f"comma-separated values ({err})") from None
    if columns is None:
        raise _refused(name, 1, f"a first line with the columns {', '.join(needed)}")


def _cells(columns: list[str], cells: list[str]) -> dict[str, str]:
    """By column; what stands beyond the last one is kept under a name of its own, so that it is found."""
    found = dict(zip(columns, cells, strict=False))
    beyond = [cell for cell in cells[len(columns) :] if cell]
    return found | ({BEYOND: " ".join(beyond)} if beyond else {})


BEYOND = "beyond the last column"


def _sign(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(",;\t", key=first.count)


def _text(path: Path, name: str) -> str:
    try:
        content = path.read_bytes()
    except OSError as err:
        raise _refused(name, 0, f"a file that can be read ({err.strerror})") from err
    if len(content) > MOST_BYTES:
        raise _refused(name, 0, f"at most {MOST_BYTES // 1_000_000} MB")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as err:
        raise _refused(name, content[: err.start].count(b"\n") + 1, "UTF-8 text") from err


def _check(columns: list[str], needed: Sequence[str], name: str, line: int) -> None:
    wrong = [
        Finding(name, line, "the columns", "", f"a column `{one}`", close_to(one, columns))
        for one in dict.fromkeys(needed)
        if one not in columns
    ]
    wrong += [
        Finding(name, line, "the columns", one, "each column once", "Rename or remove one of the two.")
        for one in dict.fromkeys(needed)
        if columns.count(one) > 1
    ]
    if wrong:
        raise InputError(tuple(wrong))


def _refused(name: str, line: int, expected: str) -> InputError:
    return InputError((Finding(name, line, "the file", "", expected, "Mend it and try again."),))
