"""A board whose night is really planned, in a process of its own: the small house, one cook, its own minutes.

`python conducted_board.py FOLDER PORT MIDNIGHT STATIC`, as `board_process` is run. Each line on its standard
input is a number of seconds: the night's clock skips so many, and `skipped` is written.
"""

from __future__ import annotations

import sys
import threading
import time
from pathlib import Path

from board_process import people_let_in
from hearthtide.board.api import Board
from hearthtide.board.app import LOOPBACK, make_app
from hearthtide.board.conducting import conducted
from hearthtide.board.run import run
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.night import Night
from hearthtide.service.shown_house import shown_house
from hearthtide.store.database import open_database
from live_night import ready
from small_night import MIXED, small_house

TICK_S = 0.05  # of real time, between two of its looks at the clock: tests skip most of theirs


class SkippingClock:
    """The wall's time since a midnight, and what was skipped of it."""

    def __init__(self, midnight: float) -> None:
        self.midnight = midnight

    def __call__(self) -> float:
        return time.time() - self.midnight

    def follow(self) -> None:
        """Skips what standard input says, until it ends."""
        for line in sys.stdin:
            self.midnight -= float(line)
            print("skipped", flush=True)


def main(folder: str, port: str, midnight: str, static: str) -> None:
    """Serves until killed."""
    clock, house = SkippingClock(float(midnight)), small_house()
    with open_database(Path(folder) / "nights.db") as database:
        access = people_let_in(database)
        night = Night(database.log("tonight"), Kitchen(house), clock)
        board = Board(night, access, {key: dish.name for key, dish in house.dishes.items()}, clock)
        board.house = shown_house(house, MIXED, "tonight")
        threading.Thread(target=clock.follow, name="clock", daemon=True).start()
        with conducted(board, house, MIXED, TICK_S, ready()):
            app = make_app(board, LOOPBACK, Path(static))
            run(app, "127.0.0.1", int(port), on_ready=lambda at: print(at, flush=True))


if __name__ == "__main__":
    main(*sys.argv[1:])
