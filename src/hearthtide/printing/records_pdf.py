"""A list of records on A4 pages, as PDF: the same list gives the same bytes, on any machine, offline.

The pages are set by typst from a template beside this file, in the fonts that come with matplotlib. What a
print is of stands in its description, what it lists in a file attached to it: `told` reads both back.
"""

from __future__ import annotations

import html
import json
import re
import zlib
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from hearthtide.printing.records_rows import check_rows, local, lot_blocks
from hearthtide.printing.typeset import fonts, shown
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.safety.rules import RuleSet
from hearthtide.service.records.chain import Head
from hearthtide.service.records.listing import Listing

TEMPLATE = Path(__file__).with_name("records.typ")
DOCUMENT = "hearthtide records print"
MOST_BYTES = 100_000_000  # of a print that is read back; own choice
_TOLD = re.compile(rb"<dc:description><rdf:Alt><rdf:li[^>]*>(.*?)</rdf:li>", re.S)
_LISTED = re.compile(rb"/Type/EmbeddedFile/Filter/FlateDecode[^\n]*\s+stream\r?\n")


@dataclass(frozen=True)
class Told:
    """What a print says of itself; `listed` is the text attached to it."""

    head: Head
    sha256: str
    now: str
    offset_min: int
    house: str
    rules: str
    rules_sha256: str
    asked: dict[str, str | None]
    typeset_by: str
    listed: str


def typeset_by() -> str:
    """The version that sets the pages: another may set the same words in other bytes."""
    return f"typst {version('typst')}"


def records_pdf(
    listing: Listing, rules: RuleSet | None, house: str, rules_sha256: str, offset_min: int
) -> bytes:
    """The pages of a list, printed at `listing.now` where the clock is `offset_min` ahead of UTC."""
    import typst

    told = {
        "document": DOCUMENT,
        "schema_version": 1,
        "head": listing.head.words,
        "sha256": listing.sha256,
        "now": listing.now.isoformat(),
        "offset_min": offset_min,
        "house": house,
        "rules": listing.rules,
        "rules_sha256": rules_sha256,
        "asked": listing.asked.plain,
        "typeset_by": typeset_by(),
    }
    words = shown(_page(listing, rules, house, offset_min))
    body = json.dumps({**words, "told": json.dumps(told, sort_keys=True), "listed": listing.text})
    made = typst.Compiler(TEMPLATE.read_bytes(), font_paths=fonts(), ignore_system_fonts=True).compile(
        format="pdf", sys_inputs={"data": body}, timestamp=round(listing.now.timestamp())
    )
    assert isinstance(made, bytes)
    return made


def _page(listing: Listing, rules: RuleSet | None, house: str, offset_min: int) -> dict[str, object]:
    asked, lots, count = listing.asked, len(listing.lots), len(listing.entries)
    days = "" if asked.first is None and asked.last is None else f", {_days(listing)}"
    wanted = f"with “{asked.words}”" if asked.words else "all lots"
    counts = f"{lots} lot{'' if lots == 1 else 's'}, {count} entries of {listing.head.count}"
    step = f"{asked.step}{', ' + asked.food if asked.food else ''}"
    head = [
        ["Printed", local(listing.now, offset_min)],
        ["Asked for", f"{wanted}{days}: {counts}"],
        ["Rules", listing.rules or "none: nothing is judged"],
        *([["All readings judged as", step]] if asked.step else []),
        ["The records end at", listing.head.words],
        ["SHA-256 of what is listed", listing.sha256],
        ["To check", "hearthtide records verify THIS.pdf RECORDS.db"],
    ]
    return {
        "title": f"Temperature records{', ' + house if house else ''}",
        "about": "Readings as they were read. Nothing is changed or deleted: what was corrected is struck "
        "through, beside what it was corrected to. Lots are listed whole, with every entry of each.",
        "head": head,
        "hashes": ["The records end at", "SHA-256 of what is listed"],
        "caution": chosen_words(rules) + " “pass” says that a rule is met on the readings entered.",
        "lots": lot_blocks(listing),
        "checks": check_rows(listing, rules),
        "foot": f"Records end at {listing.head.count}:{listing.head.hash[:16]}… · "
        f"list {listing.sha256[:16]}… · printed {local(listing.now, offset_min)}",
    }


def _days(listing: Listing) -> str:
    first, last = listing.asked.first, listing.asked.last
    if first == last:
        return f"of {first}"
    return " ".join(f"{word} {day}" for word, day in (("from", first), ("to", last)) if day is not None)


def told(made: bytes) -> Told | None:
    """What a print says of itself; None where it is no print of ours or what it told is no longer whole."""
    there = _TOLD.search(made)
    listed = _listed(made)
    if there is None or listed is None:
        return None
    try:
        body = json.loads(html.unescape(there[1].decode()))
        count, _, link = body["head"].partition(":")
        if body["document"] != DOCUMENT:
            return None
        keys = ("sha256", "now", "offset_min", "house", "rules", "rules_sha256", "asked", "typeset_by")
        return Told(head=Head(int(count), link), listed=listed, **{key: body[key] for key in keys})
    except (ValueError, KeyError, TypeError):
        return None


def _listed(made: bytes) -> str | None:
    """The text of the file attached to a print."""
    there = _LISTED.search(made)
    if there is None:
        return None
    try:
        body = zlib.decompressobj().decompress(made[there.end() :], MOST_BYTES)
        return body.decode()
    except (zlib.error, UnicodeDecodeError):
        return None
