"""A board's night planned while it is open."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from hearthtide.board.api import Board
from hearthtide.board.plan_api import drawn
from hearthtide.house.models import House, NightFile
from hearthtide.planning.night import prepare_night
from hearthtide.service.conductor import TICK_S, Conductor
from hearthtide.service.playing import Score
from hearthtide.service.shown import Shown
from hearthtide.service.upcoming import from_doors


@contextmanager
def conducted(board: Board, house: House, books: NightFile | None, tick_s: float = TICK_S) -> Iterator[None]:
    """Plans the board's night as long as it is open; without `books` it is not planned."""
    if books is None:
        yield
        return
    foreseen = from_doors(books)

    def show(shown: Shown) -> None:
        if board.hub is not None:
            board.hub.show(drawn(shown))

    score = Score(house, foreseen, lambda: prepare_night(house, foreseen))
    board.conductor = Conductor(board.night, score, board.clock, show, tick_s)
    try:
        yield
    finally:
        board.conductor.close()
