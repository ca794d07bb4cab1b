"""The application: the API's parts on one board, kept while it is open, behind the guard."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import JSONResponse

from hearthtide.board.after_api import after
from hearthtide.board.api import Board, Somebody, api
from hearthtide.board.day_api import day
from hearthtide.board.guard import Guard
from hearthtide.board.pages import STATIC, add_pages
from hearthtide.board.plan_api import drawn, plan
from hearthtide.board.pushing import Hub
from hearthtide.board.records_api import records
from hearthtide.board.said import Health
from hearthtide.board.troubles import add_troubles
from hearthtide.errors import StoreError

log = logging.getLogger("hearthtide.board")
SNAPSHOT_S, SNAPSHOT_EVERY = 30.0, 500  # looked at so often, kept after so many events; own choice
LOTS_S = 20.0  # lots are judged anew so often, for time alone can change a verdict; own choice
DAY_S = 20.0  # so often it is looked whether the day was planned anew, or another began; own choice
OTHERS_S = 0.5  # so often a board looks for what others wrote to a shared log; own choice
LOOPBACK = frozenset({"127.0.0.1", "localhost", "[::1]"})


def make_app(board: Board, names: frozenset[str] = LOOPBACK, static: Path = STATIC) -> FastAPI:
    """The application, answering to these host names only; `static` holds the screens as they were built."""

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        board.hub = Hub(asyncio.get_running_loop())
        if board.conductor is not None:
            board.hub.show("shown", drawn(board.conductor.shown))
        end = board.night.listen(board.hub.heard)
        tasks = [asyncio.create_task(_keep_snapshots(board))]
        if board.records is not None:
            tasks.append(asyncio.create_task(_watch_lots(board)))
        if board.days is not None:
            tasks.append(asyncio.create_task(_watch_day(board)))
        if board.shared:
            tasks.append(asyncio.create_task(_read_others(board)))
        try:
            yield
        finally:
            end()
            for task in tasks:
                task.cancel()
            await asyncio.to_thread(_keep, board)

    app = FastAPI(
        title="Hearthtide board",
        version="1",
        lifespan=lifespan,
        openapi_url=None,  # told below, to those who are let in
        docs_url=None,
        redoc_url=None,
    )
    app.state.board = board
    app.include_router(api)
    app.include_router(after)
    app.include_router(plan)
    app.include_router(records)
    app.include_router(day)

    @app.get("/health")
    def health() -> Health:
        """That the board answers, to anybody."""
        return Health()

    @app.get("/api/openapi.json", include_in_schema=False)
    def description(who: Somebody) -> JSONResponse:
        """What the API is, to whoever is let in."""
        return JSONResponse(app.openapi())

    add_pages(app, static)
    add_troubles(app)
    app.add_middleware(Guard, names=names)
    return app


async def _keep_snapshots(board: Board) -> None:
    """Keeps a snapshot now and then, so that the night opens soon after a crash too."""
    kept = board.night.state.seq
    while True:
        await asyncio.sleep(SNAPSHOT_S)
        if board.night.state.seq - kept >= SNAPSHOT_EVERY and await asyncio.to_thread(_keep, board):
            kept = board.night.state.seq


def _keep(board: Board) -> bool:
    """Keeps a snapshot; without one the night only opens slower, so a full disk is told and no more."""
    try:
        board.night.keep()
    except StoreError as err:
        log.warning("no snapshot was kept: %s", err)
        return False
    return True


async def _watch_lots(board: Board) -> None:
    """Has the screens told how lots stand as time goes on, and after another board wrote."""
    while True:
        try:
            await asyncio.to_thread(board.lots_changed)
        except StoreError as err:
            log.warning("the records cannot be read: %s", err)
        await asyncio.sleep(LOTS_S)


async def _watch_day(board: Board) -> None:
    """Has the screens told the day's plan, and what becomes of it."""
    while True:
        await asyncio.to_thread(board.day_changed)
        await asyncio.sleep(DAY_S)


async def _read_others(board: Board) -> None:
    """Takes in what other boards write to a log they share."""
    while True:
        await asyncio.to_thread(board.night.read_on)
        await asyncio.sleep(OTHERS_S)
