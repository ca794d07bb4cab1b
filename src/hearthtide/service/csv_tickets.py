"""Tickets from a table of comma-separated values: a line for each kind of plate, put together by their table.

The columns are the words of a night's file, in any order: table, covers, called, wanted and dish are needed;
course, count, allergy, priority, drops, drops_apart, drag and refire_of may be there. What is said of a
ticket or a course stands on its first line; on the others it is the same or empty. Several allergy words are
parted by `/`; they are of the whole ticket. Fields may be parted by `,`, `;` or tabs.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import StringIO

from hearthtide.errors import Finding, InputError
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import MAX_BYTES, Document, KeyPath, Plain, shown
from hearthtide.service.tickets import Ticket, read_ticket

NEEDED = ("table", "covers", "called", "wanted", "dish")
OF_TICKET = ("covers", "called", "priority", "refire_of")
OF_COURSE = ("wanted", "drops", "drops_apart", "drag")
COLUMNS = (*NEEDED, "course", "count", "allergy", "priority", "drops", "drops_apart", "drag", "refire_of")
MOST_LINES = 5000  # own choice: some twelve for each of the 400 tickets a night may have
MOST_ALIKE = 60  # plates of a course, as in a night's file


def tickets_of_csv(content: bytes, file: str) -> tuple[tuple[Ticket, ...], tuple[Finding, ...]]:
    """The tickets of a table, and what is wrong with those that had to be set aside, by file and line.

    Raises
    ------
    InputError
        The whole cannot be read: too large, not UTF-8, a column lacks or is not known, no line.
    """
    tickets: dict[str, _Lines] = {}
    wrong: list[Finding] = []
    for number, row in _rows(content, file):
        if not row["table"]:
            wrong.append(Finding(file, number, "table", "", "the table's name", "Write it."))
            continue
        tickets.setdefault(row["table"], _Lines(file, row["table"])).take(number, row)
    found = []
    for lines in tickets.values():
        read = lines.ticket()
        if isinstance(read, Ticket):
            found.append(read)
        else:
            wrong += read
    return tuple(found), tuple(sorted(wrong, key=lambda one: one.line))


def _rows(content: bytes, file: str) -> Iterator[tuple[int, dict[str, str]]]:
    """Every line that is not empty, by its number, all columns there."""

    def refused(line: int, value: str, expected: str, remedy: str) -> InputError:
        return InputError((Finding(file, line, "the file", shown(value), expected, remedy),))

    if len(content) > MAX_BYTES:
        raise refused(0, "", f"at most {MAX_BYTES // 1000} kB", "Split the file or shorten it.")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as err:
        line = content[: err.start].count(b"\n") + 1
        raise refused(line, "", "UTF-8 text", "Save the file as UTF-8.") from None
    first = text.partition("\n")[0]
    reader = csv.reader(StringIO(text, newline=""), delimiter=max(",;\t", key=first.count), strict=True)
    columns: list[str] | None = None
    try:
        for cells in reader:
            cells = [cell.strip() for cell in cells]
            if not any(cells):
                continue
            if columns is None:
                columns = [cell.lower() for cell in cells]
                _check_columns(columns, file, reader.line_num)
                continue
            if reader.line_num > MOST_LINES:
                raise refused(reader.line_num, "", f"at most {MOST_LINES} lines", "Split the file.")
            if len(cells) > len(columns):
                expected = f"{len(columns)} fields as in the first line"
                raise refused(
                    reader.line_num, f"{len(cells)}", expected, "Put a field that holds commas in quotes."
                )
            cells += [""] * (len(columns) - len(cells))
            yield reader.line_num, dict.fromkeys(COLUMNS, "") | dict(zip(columns, cells, strict=True))
    except csv.Error as err:
        raise refused(reader.line_num, "", "comma-separated values", f"It cannot be read: {err}.") from None
    if columns is None:
        raise refused(1, "", f"a first line with the columns {', '.join(NEEDED)}", "The file is empty.")


def _check_columns(columns: list[str], file: str, line: int) -> None:
    wrong = [
        Finding(file, line, "the columns", shown(column), "columns that are known", close_to(column, COLUMNS))
        for column in columns
        if column not in COLUMNS
    ]
    wrong += [
        Finding(file, line, "the columns", column, "each column once", "Remove one of the two.")
        for column in sorted({c for c in columns if columns.count(c) > 1} & set(COLUMNS))
    ]
    wrong += [
        Finding(file, line, "the columns", "", f"a column `{needed}`", "Add it.")
        for needed in NEEDED
        if needed not in columns
    ]
    if wrong:
        raise InputError(tuple(wrong))


@dataclass
class _Lines:
    """The lines of one table's ticket, put together one by one."""

    file: str
    table: str
    data: dict[str, Plain] = field(default_factory=dict)
    courses: dict[str, dict[str, Plain]] = field(default_factory=dict)
    plates: dict[str, list[Plain]] = field(default_factory=dict)
    lines: dict[KeyPath, int] = field(default_factory=dict)
    texts: dict[KeyPath, str] = field(default_factory=dict)
    wrong: list[Finding] = field(default_factory=list)

    def take(self, number: int, row: dict[str, str]) -> None:
        if not self.data:
            self._put(self.data, ("table",), self.table, number)
            self.lines[()] = number
        for key in OF_TICKET:
            self._same(self.data, (key,), row[key], number)
        words = [word.strip() for word in row["allergy"].split("/")] if row["allergy"] else []
        self._allergy(words, number)
        name = row["course"] or "1"
        if name not in self.courses:
            self.courses[name] = {}
            self.plates[name] = []
        at: KeyPath = ("courses", list(self.courses).index(name))
        self.lines.setdefault(at, number)
        for key in OF_COURSE:
            self._same(self.courses[name], (*at, key), row[key], number)
        self._dishes(name, at, row, number)

    def ticket(self) -> Ticket | tuple[Finding, ...]:
        """The ticket, or all that is wrong with its lines."""
        if self.wrong:
            return tuple(self.wrong)
        self.data["courses"] = [
            {**course, "dishes": self.plates[name]} for name, course in self.courses.items()
        ]
        return read_ticket(Document(self.file, self.data, self.lines, self.texts))

    def _put(self, into: dict[str, Plain], path: KeyPath, text: str, number: int) -> None:
        into[str(path[-1])] = self.texts[path] = text
        self.lines[path] = number

    def _same(self, into: dict[str, Plain], path: KeyPath, text: str, number: int) -> None:
        """What is said of a ticket or a course once, and not otherwise later."""
        if not text:
            return
        key = str(path[-1])
        if key not in into:
            self._put(into, path, text, number)
        elif into[key] != text:
            expected = f"{into[key]}, as on line {self.lines[path]}"
            remedy = "Correct one, or name another table or course."
            self.wrong.append(Finding(self.file, number, key, shown(text), expected, remedy))

    def _allergy(self, words: list[str], number: int) -> None:
        """Every word that any line of the ticket says: none is dropped."""
        if "" in words:
            remedy = "Write what the guest may not have, or take `/` out."
            self.wrong.append(
                Finding(self.file, number, "allergy", "", "a word on both sides of `/`", remedy)
            )
            return
        known = self.data.setdefault("allergy", [])
        assert isinstance(known, list)
        for word in words:
            if word not in known:
                self.lines["allergy", len(known)] = number
                self.texts["allergy", len(known)] = word
                known.append(word)

    def _dishes(self, name: str, at: KeyPath, row: dict[str, str], number: int) -> None:
        count = row["count"] or "1"
        if not (count.isdecimal() and count.isascii() and 1 <= int(count[:4]) <= MOST_ALIKE):
            expected = f"1 to {MOST_ALIKE} plates"
            self.wrong.append(Finding(self.file, number, "count", shown(count), expected, "Correct it."))
            return
        for _ in range(int(count)):
            path: KeyPath = (*at, "dishes", len(self.plates[name]))
            self.lines[path], self.texts[*path, "dish"] = number, row["dish"]
            self.plates[name].append({"dish": row["dish"]})
