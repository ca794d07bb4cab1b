"""Tables of comma-separated values as a kitchen writes them: named columns in any order, a row a line."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

from hearthtide.errors import Finding, InputError
from hearthtide.house.validate import close_to

MOST_BYTES = 20_000_000  # some 200,000 readings; own choice


def table_rows(
    path: Path, needed: tuple[str, ...], known: tuple[str, ...]
) -> Iterator[tuple[int, dict[str, str]]]:
    """Each row's line and its cells by column.

    Raises
    ------
    InputError
        The whole cannot be read: not there, too large, not UTF-8, a column lacks or is not known.
    """
    reader = csv.reader(StringIO(_text(path), newline=""), strict=True)
    columns: list[str] = []
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if not any(stripped):
                continue
            if not columns:
                columns = [cell.lower() for cell in stripped]
                _check(columns, str(path), reader.line_num, needed, known)
                continue
            yield reader.line_num, dict(zip(columns, stripped, strict=False))
    except csv.Error as err:
        raise _refused(path, reader.line_num, str(err), "a table of comma-separated values") from None


def _text(path: Path) -> str:
    try:
        content = path.read_bytes()
    except OSError as err:
        raise _refused(path, 0, "", f"a file that can be read ({err.strerror})") from err
    if len(content) > MOST_BYTES:
        raise _refused(path, 0, "", f"at most {MOST_BYTES // 1_000_000} MB")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as err:
        raise _refused(path, content[: err.start].count(b"\n") + 1, "", "UTF-8 text") from err


def _check(columns: list[str], file: str, line: int, needed: tuple[str, ...], known: tuple[str, ...]) -> None:
    wrong = [
        Finding(file, line, "column", name, f"one of {', '.join(known)}", close_to(name, known))
        for name in columns
        if name not in known
    ]
    lacks = [name for name in needed if name not in columns]
    wrong += [Finding(file, line, "column", name, "it to be there", "Add it.") for name in lacks]
    if wrong:
        raise InputError(tuple(wrong))


def _refused(path: Path, line: int, value: str, expected: str) -> InputError:
    return InputError((Finding(str(path), line, "the file", value, expected, "Mend it and try again."),))
