"""The day around the night over HTTP: the plan of it that the house keeps, as screens draw it. Read only."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from starlette.exceptions import HTTPException

from hearthtide.board.api import TROUBLES, Here, Reader
from hearthtide.board.said import Trouble
from hearthtide.service.day_kept import DayNow

_NONE: dict[int | str, dict[str, Any]] = {404: {"model": Trouble, "description": "Not on this board"}}
day = APIRouter(prefix="/api", responses=TROUBLES | _NONE)


@day.get("/day")
def day_now(board: Here, who: Reader) -> DayNow:
    """The day it is and its plan, or why there is none; the stream sends each change as event `day`."""
    if board.days is None:
        raise HTTPException(404, "this board keeps no days: a rehearsal has none")
    return board.days.at(board.clock())
