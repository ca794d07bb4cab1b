"""One bad line must not cost the night: what cannot be planned is set aside and named, the rest is read.

A ticket with a mistake of its own is set aside, of a plate that cannot be served only the plate, of a spot
by hand that cannot be used only the spot. A mistake in what concerns the whole night refuses the file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from hearthtide.errors import Finding, InputError
from hearthtide.house.models import House
from hearthtide.house.night_checks import PlateAt, Wrong, check_night, plates_of
from hearthtide.house.night_file import CourseFile, NightFile, PlateFile, TicketFile
from hearthtide.house.validate import validated
from hearthtide.house.yaml_lines import Document, KeyPath
from hearthtide.quantities.show import clock_text


@dataclass(frozen=True)
class Taken:
    """A night as far as it can be planned; what was wrong with the rest; what is off (86)."""

    night: NightFile
    wrong: tuple[Finding, ...]
    gone: tuple[Finding, ...]


def take_night(document: Document, house: House) -> Taken:
    """The night in a document, with what had to be set aside.

    Raises
    ------
    InputError
        Something is wrong with the whole night, or nothing is left to plan: with every finding.
    """
    night, numbers, wrong = _readable(document)
    found = list(check_night(night, document, house, numbers))
    wrong += [one.finding for one in found]
    if any(one.path[0] != "tickets" for one in found):
        raise InputError(tuple(wrong))
    gone = _gone(night, document, numbers)
    left = _without(night, numbers, [one.path for one in (*found, *gone)])
    if left is None:
        raise InputError((*wrong, *(one.finding for one in gone)))
    return Taken(left, tuple(wrong), tuple(one.finding for one in gone))


def entry_number(finding: Finding, listed: str) -> int | None:
    """Which entry of a list a finding lies in, counting from 0; None for one that lies elsewhere.

    >>> entry_number(Finding("night.yaml", 9, "tickets[3].wanted", "6 pm", "a time", "Mend it."), "tickets")
    2
    """
    match = re.match(rf"{listed}\[(\d+)\]", finding.field)
    return int(match[1]) - 1 if match else None


def _readable(document: Document) -> tuple[NightFile, list[int], list[Finding]]:
    """The night of the tickets that can be read, their numbers in the file, what is wrong with the others."""
    night = validated(NightFile, document)
    written = document.data.get("tickets")
    numbers = list(range(len(written))) if isinstance(written, list) else []
    if isinstance(night, NightFile):
        return night, numbers, []
    wrong = list(night)
    bad = {entry_number(finding, "tickets") for finding in wrong}
    kept = [number for number in numbers if number not in bad]
    if None in bad or not kept or not isinstance(written, list):
        raise InputError(tuple(wrong))
    rest = replace(document, data=document.data | {"tickets": [written[number] for number in kept]})
    night = validated(NightFile, rest)
    if not isinstance(night, NightFile):
        raise InputError((*wrong, *night))
    return night, kept, wrong


def _gone(night: NightFile, document: Document, numbers: Sequence[int]) -> list[Wrong]:
    """The plates of dishes that are off when their ticket is called."""
    found = []
    for one in plates_of(night, numbers):
        since = [o.from_s or night.lit for o in night.eighty_six if o.dish == one.plate.dish]
        if since and min(since) <= one.ticket.called:
            expected = f"a dish that is on; 86 from {clock_text(min(since))}"
            remedy = f"Tell {one.ticket.table}; the rest of the ticket is planned."
            found.append(Wrong(one.path, document.finding(one.path, expected, remedy)))
    return found


def _without(night: NightFile, numbers: Sequence[int], paths: Iterable[KeyPath]) -> NightFile | None:
    """The night without what these paths spoil; None when no plate is left."""
    spoilt = list(paths)
    whole = {path[1] for path in spoilt if "dishes" not in path}
    kept: dict[int, dict[int, list[PlateFile]]] = {}
    at = zip(_parts(night), plates_of(night, numbers), strict=True)
    for (t, c), one in at:
        own = [path for path in spoilt if path[: len(one.path)] == one.path]
        if one.path[1] in whole or any(path[-1] != "spot" for path in own):
            continue
        plate = one.plate.model_copy(update={"spot": None}) if own else one.plate
        kept.setdefault(t, {}).setdefault(c, []).append(plate)
    tickets = tuple(_with_plates(night.tickets[t], parts) for t, parts in kept.items())
    return night.model_copy(update={"tickets": tickets}) if tickets else None


def _parts(night: NightFile) -> list[tuple[int, int]]:
    """Ticket and course of every plate, by place."""
    return [
        (t, c)
        for t, ticket in enumerate(night.tickets)
        for c, part in enumerate(ticket.parts)
        for _ in part.plates
    ]


def _with_plates(ticket: TicketFile, parts: dict[int, list[PlateFile]]) -> TicketFile:
    """The ticket with these plates; a course left empty goes."""
    if not ticket.courses:
        return ticket.model_copy(update={"own_dishes": tuple(parts[0])})
    courses: tuple[CourseFile, ...] = tuple(
        ticket.courses[c].model_copy(update={"plates": tuple(plates)}) for c, plates in parts.items()
    )
    return ticket.model_copy(update={"courses": courses})


def without_dishes(night: NightFile, dishes: Iterable[str]) -> NightFile | None:
    """The night without the plates of these dishes; None when nothing is left of it."""
    off, numbers = set(dishes), range(len(night.tickets))

    def off_the_board(one: PlateAt) -> bool:
        return one.plate.dish in off

    return _without(night, numbers, [one.path for one in filter(off_the_board, plates_of(night, numbers))])
