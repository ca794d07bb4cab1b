"""Looking back on a night over HTTP: its closing page in figures, and the night again."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter

from hearthtide.board.api import TROUBLES, Board, Here, Reader
from hearthtide.service.closing import Closing, closing
from hearthtide.service.history import History, history
from hearthtide.service.lateness import Late, late_courses
from hearthtide.service.replay import Replay, plans_then, replay
from hearthtide.service.state import State

after = APIRouter(prefix="/api", responses=TROUBLES)


@dataclass(frozen=True)
class ClosingNow:
    """The closing page's figures after entry `seq`, and the courses that were late."""

    seq: int
    now_s: float
    closing: Closing
    late: tuple[Late, ...]


@after.get("/closing")
def closing_now(board: Here, who: Reader) -> ClosingNow:
    """What the night was, counted: plates, what ran out, waste, floor, flame, who was in, who waited."""
    state, back = _so_far(board)
    house = board.night.kitchen.house
    return ClosingNow(
        seq=state.seq,
        now_s=board.clock(),
        closing=closing(state.facts, back.told, house.dishes, board.doors_s),
        late=late_courses(state.facts, back.told, plans_then(back.plans), house.file.late_after),
    )


@after.get("/replay")
def replay_now(board: Here, who: Reader) -> Replay:
    """The night again: what each plan meant beside what happened, and why late tables were late."""
    state, back = _so_far(board)
    return replay(state.facts, back, board.night.kitchen.house.file.late_after)


def _so_far(board: Board) -> tuple[State, History]:
    """The night as it stands, and its log up to just there."""
    state = board.night.state
    return state, history(entry for entry in board.night.since(0) if entry.seq <= state.seq)
