"""The records as a table of comma-separated values, a line for each entry, made from its text as it stands.

Nearly all entries are readings of one form. They are cut by a pattern, not parsed: half a million go in
seconds. What does not look exactly so is parsed; a test holds that both ways give the same line.
"""

from __future__ import annotations

import csv
import json
import re
from datetime import datetime
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from io import StringIO
from typing import Any

from hearthtide.service.records.entries import LATE

COLUMNS = (
    "entry", "kind", "at_utc", "offset_min", "entered_utc", "late", "person", "device", "lot", "read", "unit",
    "point", "place", "held_s", "instrument", "corrects", "second", "why", "body",
)  # fmt: skip
HEADING = ",".join(COLUMNS) + "\r\n"
# A reading as `commands.plain_text` writes it: keys in order, no spaces. A bare quotation mark ends a word;
# one within a word has a stroke before it, so that no key follows it bare.
_READING = re.compile(
    r'{"at":"([^"]*)Z","body":{"kind":"reading","reading":{"at":"[^"]*","held_s":(\d+),"id":"[^"]*",([^}]*),'
    r'"value":"(-?\d+\.?\d*)"}},"device":"([^"]*)","entered":"([^"]*)Z",'
    r'"id":"((?![=+@-])[^"\\,]*)","offset_min":(-?\d+),"person":"([^"]*)"}'
).fullmatch
_MIDDLE = re.compile(
    r'"instrument":"([^"]*)","lot":"([^"]*)","offset_min":-?\d+,"person":"[^"]*","place":"([^"]*)",'
    r'"point":"(\w+)","unit":"([CF])"'
).fullmatch
_REMEMBERED = 4096  # parts that many entries have alike; own choice


def line(text: str) -> str:
    """The line of an entry's text, its end with it.

    Raises ValueError or KeyError for a text that no version of ours wrote.
    """
    like = _READING(text)
    if like is None:
        return parsed_line(text)
    at, held, middle, value, device, entered, id, offset, person = like.groups()
    alike = _alike(middle, device, person)
    if alike is None:
        return parsed_line(text)
    late = at != entered and _is_late(f"{at}Z", f"{entered}Z")
    return (
        f"{id},reading,{at}+00:00,{offset},{entered}+00:00,{late},{alike[0]},{value},{alike[1]},{held},"
        f"{alike[2]},,,,\r\n"
    )


@lru_cache(_REMEMBERED)
def _alike(middle: str, device: str, person: str) -> tuple[str, str, str] | None:
    """Cells that many readings have alike: who and of what, where it was read, by which thermometer."""
    like = _MIDDLE(middle)
    if like is None:
        return None
    instrument, lot, place, point, unit = like.groups()
    who = ",".join(map(_cell, (person, device, lot)))
    return who, f"{unit},{point},{_cell(place)}", _cell(instrument)


def _is_late(at: str, entered: str) -> bool:
    return datetime.fromisoformat(entered) - datetime.fromisoformat(at) > LATE


def _cell(raw: str) -> str:
    """A cell of what stood between two quotation marks of an entry's text."""
    text = json.loads(f'"{raw}"') if "\\" in raw else raw
    return _written((text, "")).removesuffix(",\r\n")


def parsed_line(text: str) -> str:
    """The same of any entry, by parsing it."""
    record = json.loads(text)
    body = record["body"]
    reading: dict[str, Any] = body.get("reading", {})
    read = [reading.get(key, "") for key in ("value", "unit", "point", "place", "held_s", "instrument")]
    corrects = (
        [body.get(key, "") for key in ("of", "second", "why")] if body["kind"] == "correction" else [""] * 3
    )
    rest = "" if reading else json.dumps(body, sort_keys=True)
    times = (
        datetime.fromisoformat(record["at"]).isoformat(),
        record["offset_min"],
        datetime.fromisoformat(record["entered"]).isoformat(),
        _is_late(record["at"], record["entered"]),
    )
    lot = reading.get("lot", body.get("lot", ""))
    return _written(
        (record["id"], body["kind"], *times, record["person"], record["device"], lot, *read, *corrects, rest)
    )


def _written(cells: tuple[object, ...]) -> str:
    """Cells as a line of the table."""
    there = StringIO(newline="")
    csv.writer(there).writerow(_plain(cell) for cell in cells)
    return there.getvalue()


def _plain(cell: object) -> object:
    """A cell that no spreadsheet takes for a formula; a number stays one."""
    if not isinstance(cell, str) or cell[:1] not in ("=", "+", "-", "@", "\t", "\r"):
        return cell
    try:
        Decimal(cell)
    except InvalidOperation:
        return f"'{cell}"
    return cell
