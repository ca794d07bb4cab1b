"""Searching the records of years: whatever cannot be meant is left out by its text, before it is parsed.

The rest goes to `ledger.found`, which alone decides: a text that is kept in vain costs a little time.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from hearthtide.errors import StoreError
from hearthtide.service.records.chain import Break, record_of
from hearthtide.service.records.entries import Record
from hearthtide.service.records.ledger import Ledger, dishes_of

READING = '"kind":"reading"'  # stands in the text of a reading and of no other entry
FRAME = ('"kind":"lot"', '"kind":"pulled"', '"kind":"correction"')  # what gives lots their dishes and values
_LOT = re.compile(r'"lot":"((?:[^"\\]|\\.)*)"')
_ODD = (
    "\\u212a",
    "\\u0130",
)  # the Kelvin sign and a dotted I: in small letters they have a plain one in them


def sought(texts: Iterable[str], words: str, day: date | None) -> Ledger:
    """Of all entries' texts those that `ledger.found` can find, with every lot and every correction.

    `day` holds for places whose clock is less than a day from UTC, as all are.

    Raises
    ------
    StoreError
        An entry is of a version that this one cannot read.
    """
    near = None if day is None else tuple((day + timedelta(n)).isoformat() for n in (-1, 0, 1))
    frame: dict[int, str] = {}
    may: dict[int, str] = {}
    for seq, text in enumerate(texts, 1):
        if READING not in text and any(kind in text for kind in FRAME):
            frame[seq] = text
        if near is None or text[7:17] in near:
            may[seq] = text
    dishes = dishes_of(parsed(frame))
    wanted = words.lower().split()
    by_dish = {word: {lot for lot, dish in dishes.items() if word in dish.lower()} for word in wanted}
    with_words = {seq: text for seq, text in may.items() if _may_have(text, by_dish)}
    return Ledger(tuple(parsed(frame | with_words)))


def parsed(kept: dict[int, str]) -> Iterator[Record]:
    """Entries by their number, in order, read. Raises StoreError for one of another version."""
    for seq in sorted(kept):
        found = record_of(seq, kept[seq])
        if isinstance(found, Break):
            raise StoreError(f"{found.words}. Read it with the version that wrote it, or a newer one.")
        yield found


def _may_have(text: str, by_dish: dict[str, set[str]]) -> bool:
    low = text.lower()
    for word, lots in by_dish.items():
        if word in low or (lots and lot_of(text) in lots):
            continue
        if "\\" not in low or (_is_plain(word) and not any(odd in low for odd in _ODD)):
            return False
    return True


def _is_plain(word: str) -> bool:
    """Whether a word stands in a text as it is; other letters than plain ones are escaped there."""
    return word.isascii() and word.isprintable() and not set(word) & set('"\\')


def lot_of(text: str) -> str | None:
    """The lot an entry's text names, unparsed."""
    there = _LOT.search(text)
    return None if there is None else str(json.loads(f'"{there[1]}"'))
