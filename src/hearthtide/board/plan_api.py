"""The plan over HTTP: the house as it is drawn, what is drawn of the night, what a table can be told."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field
from starlette.exceptions import HTTPException

from hearthtide.board.api import TROUBLES, Board, Here, Reader, Teller
from hearthtide.board.said import Trouble
from hearthtide.planning.quote import Quote
from hearthtide.service.commands import plain_text
from hearthtide.service.conductor import Conductor
from hearthtide.service.shown import Shown, ShownHouse
from hearthtide.service.tickets import Allergy, Course, Covers, Plates, Priority, Ticket

_NONE: dict[int | str, dict[str, Any]] = {404: {"model": Trouble, "description": "Not on this board"}}
plan = APIRouter(prefix="/api", responses=TROUBLES | _NONE)
AT_THE_DOOR = "door"  # the table's name while it is only quoted for


class SaidQuote(BaseModel):
    """A table at the door: its guests, and the plates of its first course."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    covers: Covers
    plates: Plates
    allergy: Allergy = ()
    priority: Priority = 1.0


class Slipped(BaseModel):
    """A table that would land later for it than it was told."""

    table: str
    course: int
    was_s: float
    is_s: float


class Minute(BaseModel):
    """A minute to tell: `share` of runs land within three minutes of it; `slips` would wait for it."""

    minute_s: float
    planned_s: float
    share: Annotated[float, Field(ge=0, le=1)]
    drops: int
    slips: tuple[Slipped, ...]


class Quoted(BaseModel):
    """Two honest answers: as soon as can be, and without making others wait."""

    soonest: Minute
    polite: Minute


@plan.get("/house")
def house(board: Here, who: Reader) -> ShownHouse:
    """The house as screens draw it; the same all night."""
    if board.house is None:
        raise HTTPException(404, "this board has no house to draw")
    return board.house


@plan.get("/shown")
def shown(board: Here, who: Reader) -> Shown:
    """What screens draw just now; the stream sends each change as an event named `shown`."""
    return _conductor(board).shown


@plan.post("/quotes")
def quote(board: Here, who: Teller, said: SaidQuote) -> Quoted:
    """The minutes a table at the door can be told. Nothing is changed by asking."""
    conductor = _conductor(board)
    wrong = board.night.kitchen.plates_wrong(AT_THE_DOOR, said.plates, said.allergy)
    if wrong:
        raise HTTPException(422, wrong.rstrip("."))
    now_s = board.clock()
    course = Course(now_s + 1.0, said.plates)
    ticket = Ticket(AT_THE_DOOR, said.covers, now_s, (course,), said.priority, said.allergy)
    soonest, polite = conductor.quote(ticket)
    return Quoted(soonest=minute_of(soonest), polite=minute_of(polite))


def _conductor(board: Board) -> Conductor:
    if board.conductor is None:
        words = "this board makes no plans: start it with `--books` and the night that is foreseen"
        raise HTTPException(404, words)
    return board.conductor


def minute_of(found: Quote) -> Minute:
    slips = tuple(
        Slipped(table=s.ticket, course=int(s.course.partition(".")[2] or 1), was_s=s.was_s, is_s=s.is_s)
        for s in found.slips
    )
    return Minute(
        minute_s=found.minute_s,
        planned_s=found.planned_s,
        share=found.share,
        drops=found.drops,
        slips=slips,
    )


def drawn(shown: Shown) -> str:
    """What screens draw, as the JSON that is pushed to them."""
    return plain_text(asdict(shown))
