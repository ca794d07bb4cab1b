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
from hearthtide.service.records.entries import LotMade, Record
from hearthtide.service.records.ledger import Ledger

Texts = Iterable[tuple[int, str]]  # an entry's number and its text
_LOT = re.compile(r'"lot":"((?:[^"\\]|\\.)*)"')
_ODD = (
    "\\u212a",
    "\\u0130",
)  # the Kelvin sign and a dotted I: in small letters they have a plain one in them


def sought(texts: Texts, words: str, day: date | None) -> Ledger:
    """Of all entries those that `ledger.found` can find, with every lot and every correction.

    `day` holds for places whose clock is less than a day from UTC, as all are.

    Raises
    ------
    StoreError
        An entry is of a version that this one cannot read.
    """
    near = None if day is None else tuple((day + timedelta(n)).isoformat() for n in (-1, 0, 1))
    frame: dict[int, str] = {}
    may: list[tuple[int, str]] = []
    for seq, text in texts:
        if '"kind":"lot"' in text or '"kind":"correction"' in text:
            frame[seq] = text
        if near is None or text[7:17] in near:
            may.append((seq, text))
    made = (one.body for one in _parsed(frame) if isinstance(one.body, LotMade))
    dishes = {body.lot: body.dish for body in made}
    wanted = words.lower().split()
    kept = frame | dict(_with_words(may, wanted, dishes))
    return Ledger(tuple(_parsed(kept)))


def _parsed(kept: dict[int, str]) -> Iterator[Record]:
    for seq in sorted(kept):
        found = record_of(seq, kept[seq])
        if isinstance(found, Break):
            raise StoreError(f"{found.words}. Read it with the version that wrote it, or a newer one.")
        yield found


def _with_words(texts: Texts, wanted: list[str], dishes: dict[str, str]) -> Iterator[tuple[int, str]]:
    by_dish = {word: {lot for lot, dish in dishes.items() if word in dish.lower()} for word in wanted}
    for seq, text in texts:
        low = text.lower()
        if all(_may_have(word, low) or _lot(text) in by_dish[word] for word in wanted):
            yield seq, text


def _may_have(word: str, low: str) -> bool:
    """Whether a text, in small letters, may have a word; other letters than plain ones are escaped there."""
    if word.isascii() and word.isprintable() and not set(word) & set('"\\'):
        return word in low or any(odd in low for odd in _ODD)
    return "\\" in low


def _lot(text: str) -> str | None:
    there = _LOT.search(text)
    return None if there is None else str(json.loads(f'"{there[1]}"'))
