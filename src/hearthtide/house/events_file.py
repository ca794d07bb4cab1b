"""An events file: what really happened in a night up to now, as a cook would say it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from pydantic import Field, model_validator

from hearthtide.errors import Finding, InputError
from hearthtide.house.fields import ClockS, LengthM, SecondsText, TemperatureC, Written
from hearthtide.house.files import read_document
from hearthtide.house.models import Act, House
from hearthtide.house.night_checks import check_plate, ticket_plates, words_known
from hearthtide.house.night_file import NightFile, TicketFile
from hearthtide.house.set_aside import entry_number
from hearthtide.house.validate import close_to, validated
from hearthtide.house.yaml_lines import Document, KeyPath
from hearthtide.quantities.show import clock_text

Item = Annotated[str, Field(pattern=r"^[A-Za-z0-9-]{1,12}-[0-9]{1,3}\+*$")]
Moment = Annotated[SecondsText, Field(ge=0, le=3600)]


class SpillFile(Written):
    """A circle of stone that is shut from when it is told until `until`."""

    x: Annotated[LengthM, Field(ge=-2, le=2)]
    y: Annotated[LengthM, Field(ge=0, le=4)]
    radius: Annotated[LengthM, Field(ge=0.01, le=1)]
    until: ClockS
    why: Annotated[str, Field(max_length=80)] = "a spill"


KINDS = ("ticket", "act", "more", "less", "done_at", "probe", "spill", "eighty_six", "refire")
OF_A_PLATE = ("act", "more", "less", "done_at", "probe")


class EventFile(Written):
    """One thing that happened at `at`. Plates are named by table and number, such as `B4-2`."""

    at: ClockS
    ticket: TicketFile | None = Field(default=None, description="a ticket that is not in the night's file")
    item: Item | None = Field(default=None, description="the plate that act, more, less, done_at, probe mean")
    act: Act | None = Field(default=None, description="its act done `early` or not before so much `late`")
    early: Moment | None = None
    late: Moment | None = None
    more: Moment | None = Field(default=None, description="seen: its stage takes so much longer than told")
    less: Moment | None = Field(default=None, description="seen: its stage is done so much sooner than told")
    done_at: ClockS | None = Field(default=None, description="seen: when its stage will be done")
    probe: Annotated[TemperatureC, Field(ge=-5, le=100)] | None = Field(
        default=None, description="its core as read then, in the coldest part"
    )
    spill: SpillFile | None = None
    eighty_six: str | None = Field(default=None, description="a dish that has run out")
    refire: Item | None = Field(default=None, description="a plate that is spoiled and made again")

    @model_validator(mode="after")
    def _one_thing(self) -> EventFile:
        given = [kind for kind in KINDS if getattr(self, kind) is not None]
        if len(given) != 1:
            raise ValueError(f"expected exactly one of {', '.join(KINDS)}")
        if (self.item is None) == (given[0] in OF_A_PLATE):
            raise ValueError(f"item: expected it with {', '.join(OF_A_PLATE)}, and only there")
        if (self.early is None) == (self.late is None) and self.act is not None:
            raise ValueError("act: expected how much early or late it was")
        if self.act is None and not (self.early is None and self.late is None):
            raise ValueError("act: expected the act that was early or late")
        return self


class EventsFile(Written):
    """What happened, in any order, and when now is: by default the last of it."""

    now: ClockS | None = None
    events: tuple[EventFile, ...] = Field(min_length=1, max_length=400)

    @property
    def now_s(self) -> float:
        return max(event.at for event in self.events) if self.now is None else self.now


def take_events(path: Path, house: House, night: NightFile) -> tuple[EventsFile, tuple[Finding, ...]]:
    """The events of a file, and what is wrong with those that had to be set aside.

    Raises
    ------
    InputError
        With every finding, when the file cannot be read or no event is left.
    """
    document = read_document(path)
    events, numbers, wrong = _readable(document)
    found = [
        (n, f)
        for n, e in zip(numbers, events.events, strict=True)
        for f in _check(e, n, document, house, night)
    ]
    bad = {n for n, _ in found}
    wrong += [finding for _, finding in found]
    kept = tuple(e for n, e in zip(numbers, events.events, strict=True) if n not in bad)
    late = [e for e in kept if e.at > events.now_s]
    if late:
        wrong.append(document.finding(("now",), f"no earlier than {clock_text(late[0].at)}", "Correct one."))
    if not kept or late:
        raise InputError(tuple(wrong))
    return events.model_copy(update={"events": kept}), tuple(wrong)


def _readable(document: Document) -> tuple[EventsFile, list[int], list[Finding]]:
    """The events that can be read, their numbers in the file, what is wrong with the others."""
    events = validated(EventsFile, document)
    written = document.data.get("events")
    numbers = list(range(len(written))) if isinstance(written, list) else []
    if isinstance(events, EventsFile):
        return events, numbers, []
    bad = {entry_number(finding, "events") for finding in events}
    kept = [n for n in numbers if n not in bad]
    if None in bad or not kept or not isinstance(written, list):
        raise InputError(events)
    data = document.data | {"events": [written[n] for n in kept]}
    rest = validated(EventsFile, Document(document.file, data, document.lines, document.texts))
    if not isinstance(rest, EventsFile):
        raise InputError((*events, *rest))
    return rest, kept, list(events)


def _check(
    event: EventFile, number: int, document: Document, house: House, night: NightFile
) -> list[Finding]:
    """What the event alone cannot know."""
    at: KeyPath = ("events", number)
    wrong = []
    if event.at < night.lit:
        wrong.append(
            document.finding((*at, "at"), f"after the oven is lit, {clock_text(night.lit)}", "Correct it.")
        )
    if event.eighty_six is not None and event.eighty_six not in house.dishes:
        remedy = close_to(event.eighty_six, house.dishes)
        wrong.append(document.finding((*at, "eighty_six"), "a dish of this house", remedy))
    if event.spill is not None and event.spill.until <= event.at:
        wrong.append(document.finding((*at, "spill", "until"), "a time after it was told", "Correct it."))
    if event.ticket is not None:
        wrong += _check_ticket(event, at, document, house, night)
    return wrong


def _check_ticket(
    event: EventFile, at: KeyPath, document: Document, house: House, night: NightFile
) -> list[Finding]:
    ticket, wrong = event.ticket, []
    if ticket is None:
        return []
    for one in ticket_plates(ticket, (*at, "ticket")):
        wrong += [found.finding for found in check_plate(one, document, house, words_known(house))]
    if ticket.parts[0].lands <= event.at:
        expected = f"a minute after it is told, {clock_text(event.at)}"
        wrong.append(
            document.finding((*at, "ticket", "wanted"), expected, "It lies in the past: quote it anew.")
        )
    if ticket.table in {t.table for t in night.tickets}:
        remedy = "Give the second ticket a name of its own, such as its table and a letter."
        wrong.append(
            document.finding((*at, "ticket", "table"), "a ticket the night does not have yet", remedy)
        )
    return wrong
