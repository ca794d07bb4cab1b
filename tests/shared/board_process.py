"""A board in a process of its own, to be killed and started again: its night goes on in the same folder.

`python board_process.py FOLDER PORT MIDNIGHT STATIC`: MIDNIGHT is the epoch second of the night's first
midnight, STATIC the screens as they were built. It shows one invented plan that never changes
(`invented_plan`), so that what a test sees change was told. Its code for a device is `CODE`, again and again.
"""

from __future__ import annotations

import secrets
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, cast

from hearthtide.board.access import Access
from hearthtide.board.api import Board
from hearthtide.board.app import LOOPBACK, make_app
from hearthtide.board.run import run
from hearthtide.service import commands as told
from hearthtide.service.conductor import Conductor
from hearthtide.service.day_kept import Days
from hearthtide.service.night import Night
from hearthtide.service.records.book import LOG
from hearthtide.service.records.keeping import Keeping
from hearthtide.service.shown import NO_FIRE, Shown, ShownMove, ShownPlanner
from hearthtide.service.shown_house import shown_house
from hearthtide.store.database import Database, open_database
from invented_day import TUESDAY
from kept_lots import kept
from live_board import PINS, pin_kept_quick
from told_night import AT_S, kitchen, ticket

CODE = "24681357"
SOON_S = 600.0  # the invented plan's first act comes so long after the night is first opened


def invented_plan(now_s: float) -> Shown:
    """Acts on the plates of one table, far enough ahead that none comes due while a test looks."""
    first_s = AT_S + SOON_S
    moves = (
        _move("B4-1", "pizza", "dress", first_s),
        _move("B4-1", "pizza", "launch", first_s + 40),
        _move("B4-2", "strip_steak", "load", first_s + 60),
        _move("B4-3", "shrimp", "load", first_s + 80),
    )
    planner = ShownPlanner("ready", AT_S, False, False, "")
    return Shown(0, now_s, planner, moves, (), (), (), NO_FIRE, (), (), ())


def _move(item: str, dish: str, act: Any, start_s: float) -> ShownMove:
    return ShownMove(
        item=item,
        table="B4",
        dish=dish,
        act=act,
        nth=1,
        start_s=start_s,
        hands_s=10,
        cook="Oven cook",
        x_m=None if act == "dress" else 0.1,
        y_m=None if act == "dress" else 0.6,
        zone="",
        to_deg=None,
        by_deg=0,
        told=False,
        first_of_table=item == "B4-1",
        words=f"B4, {act} {dish}",
        hazard=None,
        cautions=(),
    )


class SameCode(Access):
    """Has a code ready for as many devices as a test wants, however long it waits between them."""

    def enrolled(self, code: str, device: str) -> str:
        self.new_code()
        return super().enrolled(code, device)


def people_let_in(database: Database) -> SameCode:
    """The people of the tests with their PINs, and a code for every device."""
    access = SameCode(database.door(), time.time, lambda: secrets.token_urlsafe(32), lambda: CODE)
    if not access.names():
        for person, (role, pin) in PINS.items():
            database.door().put_person(person, role, pin_kept_quick(pin))
    return access


class Shows:
    """Stands where a conductor does, for what of it the board asks."""

    def __init__(self, shown: Shown) -> None:
        self.shown = shown


def main(
    folder: str,
    port: str,
    midnight: str,
    static: str,
    begin: Callable[[Night], None] = lambda night: None,
    keep: Callable[[Keeping], None] = lambda keeping: None,
    shows: type[Shows] = Shows,
) -> None:
    """Serves until killed; `begin` tells the night more before anybody comes in, `keep` writes records."""

    def clock() -> float:
        return time.time() - float(midnight)

    with open_database(Path(folder) / "nights.db") as database:
        access = people_let_in(database)
        night = Night(database.log("tonight"), kitchen(), clock)
        if night.state.facts.ticket("B4") is None:
            call = told.TicketCalled(ticket("B4", wanted_s=AT_S + 2400, called_s=clock()), "tapped")
            assert night.tell(told.Command("ticket-B4-0001", "Ana", clock(), call)).taken
        begin(night)
        house = kitchen().house
        dishes = {key: dish.name for key, dish in house.dishes.items()}
        board = Board(night, access, dishes, clock)
        board.house = shown_house(house, None, "tonight")
        board.days = Days(Path(folder), TUESDAY)
        board.records = kept(database.log(LOG), clock, datetime.fromtimestamp(float(midnight), UTC))
        keep(board.records)
        board.conductor = cast(Conductor, shows(invented_plan(clock())))
        app = make_app(board, LOOPBACK, Path(static))
        run(app, "127.0.0.1", int(port), on_ready=lambda at: print(at, flush=True))


if __name__ == "__main__":
    main(*sys.argv[1:])
