"""A board's night planned while it is open."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from hearthtide.board.api import Board
from hearthtide.board.plan_api import drawn
from hearthtide.house.models import House, NightFile
from hearthtide.planning.night import Prepared, prepare_night
from hearthtide.service.conductor import TICK_S, Conductor
from hearthtide.service.playing import Score
from hearthtide.service.shown import Shown
from hearthtide.service.upcoming import from_doors


@contextmanager
def conducted(
    board: Board,
    house: House,
    books: NightFile | None,
    tick_s: float = TICK_S,
    ready: Prepared | None = None,
    watch: Callable[[Shown], None] = lambda _: None,
) -> Iterator[None]:
    """Plans the board's night as long as it is open; without `books` it is not planned.

    `ready` is the night made ready where that has been done; `watch` is given all that screens draw.
    """
    if books is None:
        yield
        return
    foreseen = from_doors(books)

    def show(shown: Shown) -> None:
        watch(shown)
        if board.hub is not None:
            board.hub.show("shown", drawn(shown))

    def prepared() -> Prepared:
        return prepare_night(house, foreseen) if ready is None else ready

    score = Score(house, foreseen, prepared)
    board.conductor = Conductor(board.night, score, board.clock, show, tick_s)
    try:
        yield
    finally:
        board.conductor.close()
