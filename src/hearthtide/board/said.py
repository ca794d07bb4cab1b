"""What devices say to the board and what it says back: the API's own words, all of them in its OpenAPI."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from hearthtide.board.access import Role
from hearthtide.errors import Finding
from hearthtide.house.night_file import TicketFile
from hearthtide.service.commands import Id, SaidWhat
from hearthtide.service.tickets import NightS, Word


class Said(BaseModel):
    """Base of everything sent: an unknown key is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class SaidCommand(Said):
    """A command as a device saw it; who says it is whose session it is."""

    id: Id
    at_s: NightS
    what: SaidWhat


class SaidLine(Said):
    """A ticket in shorthand, such as `B4 x4 19:22 2 pizza, shrimp`."""

    id: Id
    at_s: NightS
    line: Annotated[str, Field(max_length=2000)]


class SaidTicket(Said):
    """A ticket in the words of a night's file, from a till or an ordering system."""

    id: Id
    ticket: TicketFile


class SaidDevice(Said):
    """A device that shows a code to be enrolled."""

    code: Annotated[str, Field(pattern=r"^[0-9]{8}$")]
    device: Word


class SaidWho(Said):
    """A person and their PIN, on an enrolled device."""

    name: Word
    pin: Annotated[str, Field(max_length=12)]


class SaidPerson(Said):
    """A person to be written down."""

    name: Word
    role: Role
    pin: Annotated[str, Field(pattern=r"^[0-9]{4,12}$")]


class SaidFeed(Said):
    """A till or an ordering system to be let in."""

    name: Word


class Token(BaseModel):
    """What to send from now on, as `Authorization: Bearer TOKEN`. It is told once."""

    token: str
    name: str
    role: str = ""


class Code(BaseModel):
    """A code that enrols one device."""

    code: str
    good_for_s: float


class Person(BaseModel):
    """Somebody who is written down."""

    name: str
    role: str


class Health(BaseModel):
    """That the board answers; nothing of the night."""

    answers: Literal[True] = True


class Answered(BaseModel):
    """What became of a command: taken, or refused in words; the first answer again to a repeat."""

    id: str
    seq: int
    taken: bool
    words: str
    repeat: bool
    cautions: tuple[str, ...]


class Imported(BaseModel):
    """What became of a table of tickets, and what was wrong with those that were set aside."""

    answers: tuple[Answered, ...]
    wrong: tuple[str, ...]


class Happened(BaseModel):
    """One entry of the night's log."""

    seq: int
    event: dict[str, Any]


class Events(BaseModel):
    """Entries behind the one asked for; `last` is the log's last as this board has read it."""

    events: tuple[Happened, ...]
    last: int
    now_s: float


class StateNow(BaseModel):
    """The night as it stands after entry `seq`."""

    seq: int
    now_s: float
    facts: dict[str, Any]


class Wrong(BaseModel):
    """One mistake: where, what was written, what was expected, what to do."""

    field: str
    value: str
    expected: str
    remedy: str


class Trouble(BaseModel):
    """The one shape of every error."""

    words: str
    findings: tuple[Wrong, ...] = ()


def wrong_of(finding: Finding) -> Wrong:
    """A finding as the API tells it."""
    return Wrong(field=finding.field, value=finding.value, expected=finding.expected, remedy=finding.remedy)
