"""The board's HTTP API: commands in, the night out, to those who are let in. OpenAPI at /api/openapi.json.

Taken is 200, refused 409 with the same answer and its words; both are final, and a repeat of the id gets the
same. Every error has one shape (`said.Trouble`).
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from threading import Lock
from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, Header, Query, Request, Response
from fastapi.responses import StreamingResponse

from hearthtide.board.access import CODE_S, SESSION_S, Access, NotAllowed, NotLetIn, Pass
from hearthtide.board.pushing import Hub
from hearthtide.board.said import (
    Answered,
    Code,
    Events,
    Happened,
    Imported,
    Person,
    SaidCommand,
    SaidDevice,
    SaidFeed,
    SaidLine,
    SaidPerson,
    SaidTicket,
    SaidWho,
    StateNow,
    Token,
    Trouble,
)
from hearthtide.service.commands import Command, Id, TicketCalled, What, event_of, plain_text
from hearthtide.service.conductor import Conductor
from hearthtide.service.csv_tickets import tickets_of_csv
from hearthtide.service.day_kept import Days
from hearthtide.service.facts import Facts
from hearthtide.service.night import Answer, Night
from hearthtide.service.records.keeping import Keeping
from hearthtide.service.shorthand import ticket_of_line
from hearthtide.service.shown import ShownHouse
from hearthtide.service.tickets import NightS, Word, ticket_of

COOKIE = "hearthtide_session"


@dataclass
class Board:
    """What the API stands on. `clock` gives the seconds of the night, the service's own."""

    night: Night
    access: Access
    dishes: dict[str, str]
    clock: Callable[[], float]
    shared: bool = False  # whether other boards write to the same log
    doors_s: float = 17 * 3600.0  # of tonight; common practice where the house has not said
    secure: bool = False  # whether it is reached by TLS, so that the cookie goes by nothing else
    hub: Hub | None = None
    house: ShownHouse | None = None  # as screens draw it
    conductor: Conductor | None = None  # where plans are made
    records: Keeping | None = None  # what is proved of lots, where records are kept
    prints: Callable[[str, date | None], bytes] | None = None  # lots by words and a day, as PDF
    lots: str = ""  # the lots that are watched, as screens were last told
    days: Days | None = None  # the days around the night as they were planned, where the house keeps them
    day: str = ""  # the day it is, as screens were last told
    telling: Lock = field(default_factory=Lock)  # of lots and days: what was worked out last is told last
    plain: tuple[int, dict[str, Any]] = (-1, {})  # the facts after an entry, as they were last told

    def lots_changed(self) -> None:
        """Tells the screens how lots stand, where that is otherwise than they were told."""
        if self.records is None or self.hub is None:
            return
        with self.telling:
            now = plain_text(asdict(self.records.watched()))
            if now != self.lots:
                self.lots = now
                self.hub.show("lots", now)

    def day_changed(self) -> None:
        """Tells the screens the day it is and its plan, where that is otherwise than they were told."""
        if self.days is None or self.hub is None:
            return
        with self.telling:
            now = self.days.at(self.clock()).model_dump_json()
            if now != self.day:
                self.day = now
                self.hub.show("day", now)


def board_of(request: Request) -> Board:
    board: Board = request.app.state.board
    return board


Here = Annotated[Board, Depends(board_of)]


def token_of(request: Request) -> str:
    kind, _, token = request.headers.get("authorization", "").partition(" ")
    return token.strip() if kind.lower() == "bearer" else request.cookies.get(COOKIE, "")


def somebody(board: Here, token: Annotated[str, Depends(token_of)]) -> Pass:
    found = board.access.who(token) if token else None
    if found is None:
        raise NotLetIn("no session here. Say your name and PIN on an enrolled device.")
    return found


Somebody = Annotated[Pass, Depends(somebody)]


def reader(who: Somebody) -> Pass:
    if who.kind != "session":
        raise NotAllowed("that needs a person's session. Say your name and PIN.")
    return who


def teller(who: Somebody) -> Pass:
    if not who.tells:
        raise NotAllowed("that needs the session of a cook, the pass, the chef or the owner.")
    return who


def caller(who: Somebody) -> Pass:
    if not (who.tells or who.kind == "feed"):
        raise NotAllowed("that needs a feed's token, or the session of somebody who may call tickets.")
    return who


Reader = Annotated[Pass, Depends(reader)]
Teller = Annotated[Pass, Depends(teller)]
Caller = Annotated[Pass, Depends(caller)]

TROUBLES: dict[int | str, dict[str, Any]] = {
    status: {"model": Trouble, "description": words}
    for status, words in {
        401: "Not let in",
        403: "Let in, but not for that",
        413: "Too long",
        422: "Not to be understood; all that is wrong",
        429: "Guessed too often; wait as Retry-After says",
        503: "It cannot be kept now; tell it again",
    }.items()
}
_REFUSED: dict[int | str, dict[str, Any]] = {409: {"model": Answered, "description": "Refused, and why"}}
api = APIRouter(prefix="/api", responses=TROUBLES)


@api.post("/devices")
def enrol(board: Here, said: SaidDevice) -> Token:
    """Enrols a device that shows a code told by an enrolled one."""
    return Token(token=board.access.enrolled(said.code, said.device), name=said.device)


@api.post("/sessions")
def log_in(
    board: Here, device: Annotated[str, Depends(token_of)], said: SaidWho, response: Response
) -> Token:
    """Opens a person's session on an enrolled device, by that device's token; a browser keeps a cookie."""
    token = board.access.logged_in(device, said.name, said.pin)
    response.set_cookie(
        COOKIE,
        token,
        max_age=int(SESSION_S),
        path="/api",
        httponly=True,
        samesite="strict",
        secure=board.secure,
    )
    return Token(token=token, name=said.name, role=dict(board.access.names())[said.name])


@api.delete("/sessions", status_code=204)
def log_out(board: Here, who: Reader, token: Annotated[str, Depends(token_of)], response: Response) -> None:
    """Ends the session."""
    board.access.left(token)
    response.delete_cookie(COOKIE, path="/api")


@api.get("/people")
def people(board: Here, who: Somebody) -> tuple[Person, ...]:
    """Who is written down, for an enrolled device to choose from."""
    if who.kind == "feed":
        raise NotAllowed("a feed calls tickets and nothing else.")
    return tuple(Person(name=name, role=role) for name, role in board.access.names())


@api.post("/people", status_code=201)
def write_down(board: Here, who: Somebody, said: SaidPerson) -> Person:
    """Writes a person down, or gives one a new PIN or role."""
    board.access.person(who, said.name, said.role, said.pin)
    return Person(name=said.name, role=said.role)


@api.post("/codes")
def show_code(board: Here, who: Somebody) -> Code:
    """A code to enrol one more device, to be shown on this one."""
    if not who.manages:
        raise NotAllowed("that is the chef's or the owner's to do. Ask one of them.")
    return Code(code=board.access.new_code(), good_for_s=CODE_S)


@api.post("/feeds", status_code=201)
def let_in_feed(board: Here, who: Somebody, said: SaidFeed) -> Token:
    """A token for a till or an ordering system, which may call tickets and nothing else."""
    return Token(token=board.access.feed(who, said.name), name=said.name)


@api.get("/devices")
def devices(board: Here, who: Somebody) -> tuple[str, ...]:
    """The names of the devices that are enrolled."""
    return board.access.let_in(who, "device")


@api.delete("/devices/{name}", status_code=204)
def put_device_out(board: Here, who: Somebody, name: Word) -> None:
    """Ends a device's right and every session on it: lost, sold, or none of ours."""
    board.access.put_out(who, "device", name)


@api.get("/feeds")
def feeds(board: Here, who: Somebody) -> tuple[str, ...]:
    """The names of the tills and ordering systems that are let in."""
    return board.access.let_in(who, "feed")


@api.delete("/feeds/{name}", status_code=204)
def put_feed_out(board: Here, who: Somebody, name: Word) -> None:
    """Ends a feed's right."""
    board.access.put_out(who, "feed", name)


@api.post("/commands", responses=_REFUSED)
def command(board: Here, who: Teller, said: SaidCommand, response: Response) -> Answered:
    """Tells the night something. Send it again, with its id, until there is an answer."""
    return _told(board, who, said.id, said.at_s, said.what, response)


@api.post("/lines", responses=_REFUSED)
def line(board: Here, who: Teller, said: SaidLine, response: Response) -> Answered:
    """Calls a ticket typed in shorthand."""
    what = TicketCalled(ticket_of_line(said.line, board.dishes, said.at_s), "typed")
    return _told(board, who, said.id, said.at_s, what, response)


@api.post("/tickets", responses=_REFUSED)
def ticket(board: Here, who: Caller, said: SaidTicket, response: Response) -> Answered:
    """Calls a ticket in the words of a night's file: what a till or an ordering system sends."""
    what = TicketCalled(ticket_of(said.ticket), "feed" if who.kind == "feed" else "tapped")
    return _told(board, who, said.id, board.clock(), what, response)


@api.post("/tables")
def table(
    board: Here,
    who: Teller,
    id: Annotated[Id, Query(max_length=50, description="each ticket's id is this one and its table's name")],
    at_s: Annotated[NightS, Query()],
    content: Annotated[bytes, Body(media_type="text/csv")],
) -> Imported:
    """Calls the tickets of comma-separated values; those that cannot be read are set aside and named."""
    tickets, wrong = tickets_of_csv(content, "the table")
    commands = (Command(f"{id}-{one.table}", who.name, at_s, TicketCalled(one, "csv")) for one in tickets)
    answers = tuple(_answered(board.night.tell(one)) for one in commands)
    return Imported(answers=answers, wrong=tuple(map(str, wrong)))


@api.get("/events")
def events(
    board: Here,
    who: Reader,
    after: Annotated[int, Query(ge=0, le=2**31 - 1)] = 0,
    most: Annotated[int, Query(ge=1, le=5000)] = 1000,
) -> Events:
    """The log behind an entry."""
    entries = board.night.since(after)[:most]
    return Events(
        events=tuple(Happened(seq=entry.seq, event=_plain(event_of(entry))) for entry in entries),
        last=board.night.state.seq,
        now_s=board.clock(),
    )


@api.get("/state")
def state(board: Here, who: Reader) -> StateNow:
    """The night as it stands, but for its plan; then follow the stream from its `seq`."""
    now = board.night.state
    if board.plain[0] != now.seq:  # all screens ask at once when something was told
        board.plain = now.seq, _plain(replace(now.facts, plan=None))
    seq, facts = board.plain
    return StateNow(seq=seq, now_s=board.clock(), facts=facts)


@api.get("/stream", response_class=StreamingResponse, responses={200: {"content": {"text/event-stream": {}}}})
async def stream(
    board: Here,
    who: Reader,
    token: Annotated[str, Depends(token_of)],
    after: Annotated[int, Query(ge=0, le=2**31 - 1)] = 0,
    last_event_id: Annotated[int | None, Header(ge=0, le=2**31 - 1)] = None,
) -> StreamingResponse:
    """Server-sent events: every entry behind `after` (or the Last-Event-ID), then each as it is written."""
    assert board.hub is not None

    async def still_good() -> bool:
        return await asyncio.to_thread(board.access.who, token) is not None

    lines = board.hub.stream(board.night, after if last_event_id is None else last_event_id, still_good)
    return StreamingResponse(lines, media_type="text/event-stream")


def _told(board: Board, who: Pass, id: str, at_s: float, what: What, response: Response) -> Answered:
    answer = _answered(board.night.tell(Command(id, who.name, at_s, what)))
    if not answer.taken:
        response.status_code = 409
    return answer


def _answered(answer: Answer) -> Answered:
    return Answered(**asdict(answer))


def _plain(one: Facts | Any) -> dict[str, Any]:
    return asdict(one)
