"""The records over HTTP: written from tablets, watched while lots cool, looked up by whoever may read.

Nothing is changed or deleted here. Taken is 200; 409 says in words what an entry lacks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import singledispatch
from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from fastapi.responses import StreamingResponse
from pydantic import BaseModel
from starlette.exceptions import HTTPException

from hearthtide.board import said_records as said
from hearthtide.board.api import TROUBLES, Board, Here, Reader, Teller
from hearthtide.board.said import Answered, Trouble
from hearthtide.safety.probe_check import ICE_C, Checked, boiling_reference
from hearthtide.safety.readings import Reading
from hearthtide.service.records import entries
from hearthtide.service.records.chain import TEXT
from hearthtide.service.records.entries import Record
from hearthtide.service.records.keeping import Keeping
from hearthtide.service.records.ledger import NotSo
from hearthtide.service.records.table import HEADING, line
from hearthtide.service.records.told import ToldEntry, ToldLot, ToldLots, ToldVerdict

_OTHERS: dict[int | str, dict[str, Any]] = {
    404: {"model": Trouble, "description": "Not on this board"},
    409: {"model": Answered, "description": "Not written, and why"},
}
records = APIRouter(prefix="/api", responses=TROUBLES | _OTHERS)
AHEAD = timedelta(seconds=60)  # by so much a device's clock may run ahead; own choice
WAITED = timedelta(days=31)  # so old a night an entry may have waited from; own choice
MOST = 500  # entries told at once; own choice
DEVICE = "a tablet of the board"


class Found(BaseModel):
    """Entries that were looked for; `entries` are the last of `count`."""

    count: int
    entries: tuple[ToldEntry, ...]


class ProbeTold(BaseModel):
    """A thermometer check, and what the rules say of it; nothing where none are chosen."""

    entry: ToldEntry
    verdict: ToldVerdict | None


class StandsOpen(BaseModel):
    """What an inspector asks for besides entries: checks of thermometers, deviations nobody closed."""

    checks: tuple[ProbeTold, ...]
    deviations: tuple[ToldEntry, ...]


@records.get("/lots")
def lots(board: Here, who: Reader) -> ToldLots:
    """The lots that are watched now; the stream sends each change as an event named `lots`."""
    return kept(board).watched()


@records.get("/lots/{lot:path}")
def lot(board: Here, who: Reader, lot: str) -> ToldLot:
    """One lot, whatever became of it."""
    found = kept(board).lot(lot)
    if found is None:
        raise HTTPException(404, f"no lot of that name was made: {lot}")
    return found


@records.post("/records")
def write(board: Here, who: Teller, said: said.SaidRecord, response: Response) -> Answered:
    """Writes an entry down. Send it again, with its id, until there is an answer."""
    keeping = kept(board)
    now = keeping.now()
    midnight = _midnight(board, said)
    told = (midnight or now) + timedelta(seconds=said.at_s)
    wrong = _wrong_time(board, said, midnight, told - now)
    if wrong:
        response.status_code = 409
        return Answered(id=said.id, seq=0, taken=False, words=wrong, repeat=False, cautions=())
    at = min(now, told)
    blank = Record(said.id, who.name, DEVICE, at, now, keeping.place.offset_min(at), _NOTHING)
    return _written(board, replace(blank, body=_body(said.what, blank)), response)


@records.post("/records/corrections")
def correct(board: Here, who: Teller, said: said.SaidCorrection, response: Response) -> Answered:
    """Corrects a reading; the old one stays. What could better a verdict needs a second person's PIN."""
    keeping = kept(board)
    old = keeping.reading(said.of)
    if old is None:
        raise HTTPException(404, f"{said.of} is no reading here")
    now_stands = keeping.as_it_stands(old.id)
    second = "" if said.second is None else board.access.stands_by(who, said.second.name, said.second.pin)
    reading = replace(now_stands, id=said.id, value=said.value, unit=said.unit)
    now = keeping.now()
    body = entries.Corrected(old.id, reading, said.why, second)
    record = Record(said.id, who.name, DEVICE, now, now, keeping.place.offset_min(now), body)
    return _written(board, record, response)


@records.get("/records")
def find(
    board: Here,
    who: Reader,
    words: Annotated[str, Query(max_length=200)] = "",
    day: Annotated[date | None, Query(description="the local date it was so")] = None,
) -> Found:
    """Entries that have all the words in their lot, dish, person or thermometer."""
    count, found = kept(board).found(words, day, MOST)
    return Found(count=count, entries=found)


@records.get(
    "/records/table", response_class=StreamingResponse, responses={200: {"content": {"text/csv": {}}}}
)
def table(board: Here, who: Reader) -> StreamingResponse:
    """All entries as comma-separated values, each one's bytes checked on the way."""
    walk = kept(board).walk()

    def lines() -> Iterator[str]:
        yield HEADING
        for body in walk:
            yield line(body[TEXT:])
        if walk.broken is not None:
            yield f"broken,{walk.broken.words}\r\n"

    return StreamingResponse(lines(), media_type="text/csv", headers=_saved("records.csv"))


@records.get("/records/print", response_class=Response, responses={200: {"content": {"application/pdf": {}}}})
def printed(
    board: Here,
    who: Reader,
    words: Annotated[str, Query(max_length=200)] = "",
    day: Annotated[date | None, Query(description="the local date it was so")] = None,
) -> Response:
    """Whole lots of which an entry has the words on that day, as a PDF bound to the records by its hash."""
    if board.prints is None:
        raise HTTPException(404, "this board prints no records")
    made = board.prints(words, day)
    return Response(made, media_type="application/pdf", headers=_saved("records.pdf"))


def _saved(name: str) -> dict[str, str]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}


@records.get("/records/open")
def stands_open(board: Here, who: Reader) -> StandsOpen:
    """Thermometer checks, and deviations that nobody closed."""
    keeping = kept(board)
    checks = tuple(ProbeTold(entry=entry, verdict=verdict) for entry, verdict in keeping.checks())
    return StandsOpen(checks=checks, deviations=keeping.open_deviations())


def _midnight(board: Board, said: said.SaidRecord) -> datetime | None:
    """The midnight that a device's seconds count from; None where that night cannot be placed.

    What waited on a device past its night still has its own: a night is named by its date.
    """
    place, night = kept(board).place, "" if board.house is None else board.house.night
    if not said.night or not night or said.night == night:
        return place.midnight
    try:
        told, now = date.fromisoformat(said.night), date.fromisoformat(night)
    except ValueError:
        return None
    return place.midnight_of(told) if now - WAITED <= told < now else None


def _wrong_time(board: Board, said: said.SaidRecord, midnight: datetime | None, ahead: timedelta) -> str:
    """Why a device's seconds cannot be taken; empty where they may be."""
    night = "" if board.house is None else board.house.night
    if midnight is None:
        return f"told in the night of {said.night}, this board's is {night}. Write it down with its own day."
    if ahead > AHEAD:
        return "that is still to come by the board's clock. Set this device's clock, then tell it again."
    return ""


def kept(board: Board) -> Keeping:
    """The board's records. Raises a 404 where it keeps none."""
    if board.records is None:
        raise HTTPException(404, "this board keeps no records")
    return board.records


def _written(board: Board, record: Record, response: Response) -> Answered:
    keeping = kept(board)
    repeat = keeping.entry(record.id) is not None
    try:
        head = keeping.write(record)
    except NotSo as err:
        response.status_code = 409
        return Answered(id=record.id, seq=0, taken=False, words=str(err), repeat=False, cautions=())
    board.lots_changed()
    return Answered(id=record.id, seq=head.count, taken=True, words="", repeat=repeat, cautions=())


_NOTHING = entries.Deviation("-", "-", "-")  # stands for a body until the body knows its record


@singledispatch
def _body(what: object, record: Record) -> entries.Body:
    raise TypeError(f"{what} is no entry")


@_body.register
def _reading(what: said.LotReading, record: Record) -> entries.Body:
    return entries.ReadingTaken(
        Reading(
            id=record.id,
            lot=what.lot,
            at=record.at,
            offset_min=record.offset_min,
            value=what.value,
            unit=what.unit,
            point=what.point,
            instrument=what.instrument,
            person=record.person,
            place=what.place,
            held_s=what.held_s,
        )
    )


@_body.register
def _begun(what: said.LotBegun, record: Record) -> entries.Body:
    return entries.LotMade(what.lot, what.dish, what.quantity, what.made_of, what.food, what.piece)


@_body.register
def _became(what: said.LotStateTold, record: Record) -> entries.Body:
    return entries.LotBecame(what.lot, what.state)


@_body.register
def _pulled(what: said.LotPulled, record: Record) -> entries.Body:
    return entries.Pulled(what.lot, what.of, what.quantity)


@_body.register
def _marked(what: said.LotLastDay, record: Record) -> entries.Body:
    return entries.LotMarked(what.lot, what.last_day)


@_body.register
def _chilled_by(what: said.LotChilledBy, record: Record) -> entries.Body:
    return entries.ChilledBy(what.lot, what.way, what.thickness_mm)


@_body.register
def _in_ice(what: said.IceChecked, record: Record) -> entries.Body:
    ice = ICE_C if what.unit == "C" else Decimal(32)
    shown, scale = what.shown, what.scale
    return entries.ProbeChecked(
        Checked(record.id, what.instrument, record.at, record.person, shown, ice, what.unit, scale)
    )


@_body.register
def _in_boiling(what: said.BoilingChecked, record: Record) -> entries.Body:
    known = boiling_reference(float(what.height_m), what.unit)
    return entries.ProbeChecked(
        Checked(
            record.id, what.instrument, record.at, record.person, what.shown, known, what.unit, what.scale
        )
    )


@_body.register
def _freezer(what: said.LotFreezer, record: Record) -> entries.Body:
    return entries.FreezerMoved(what.lot, what.way)


@_body.register
def _time_marked(what: said.LotTimeMarked, record: Record) -> entries.Body:
    return entries.TimeMarked(what.lot, record.at + timedelta(seconds=what.for_s))


@_body.register
def _procedure(what: said.ProcedureTold, record: Record) -> entries.Body:
    return entries.ProcedureKept("time alone", what.reference)


@_body.register
def _found(what: said.NotAsItShould, record: Record) -> entries.Body:
    return entries.Deviation(what.lot, what.rule, what.found)


@_body.register
def _closed(what: said.PutRight, record: Record) -> entries.Body:
    return entries.Closed(what.of, what.cause, what.control, what.prevention, what.disposition)
