"""A night rehearsed on the real board: the same screens, the same planner, a clock that runs quicker."""

from __future__ import annotations

import os
import secrets
import signal
import sys
import threading
import time
from collections.abc import Callable
from datetime import date, datetime, timedelta
from datetime import time as time_of_day
from pathlib import Path

from rich.markup import escape

from hearthtide.board.access import Access
from hearthtide.board.api import Board
from hearthtide.board.app import LOOPBACK, make_app
from hearthtide.board.conducting import conducted
from hearthtide.board.run import run
from hearthtide.cli.board_command import wall_place
from hearthtide.cli.rehearse_command import NIGHT, holds_a_night
from hearthtide.cli.shared import err, out, progress
from hearthtide.house.models import House
from hearthtide.house.night_file import NightFile
from hearthtide.house.upsets_file import UpsetsFile
from hearthtide.planning.night import Prepared, prepare_night
from hearthtide.service.conductor import Conductor
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.night import Night
from hearthtide.service.records.keeping import Keeping
from hearthtide.service.rehearsal.came import Rehearsed, rehearsed
from hearthtide.service.rehearsal.clock import SpeedClock
from hearthtide.service.rehearsal.expected import Expected, Now
from hearthtide.service.rehearsal.kitchen import RehearsedKitchen, first_s
from hearthtide.service.rehearsal.says import Telling
from hearthtide.service.rehearsal.watch import Watch
from hearthtide.service.shown_house import shown_house
from hearthtide.service.upcoming import from_doors
from hearthtide.store.database import Database, open_database

RECORDS = "rehearsal records"  # the name of their log
CHEF = "Chef"  # invented; a rehearsal's own
STEP_S = 0.5  # of the night, between two looks of its people at the screens


class OnTheBoard:
    """A rehearsed kitchen before a running board; `live` is its thread."""

    def __init__(
        self, house: House, books: NightFile, file: UpsetsFile, ready: Prepared, night: Night, board: Board,
        clock: SpeedClock, speed: float, seed: int,
    ) -> None:  # fmt: skip
        self.night, self.board, self.clock, self.wait_s = night, board, clock, STEP_S / speed
        self.first_s = clock()
        assert board.house is not None
        self.watch = Watch(board.house)
        self.kitchen = RehearsedKitchen(house, books, file, ready, Telling(night.tell, clock), self, seed)
        self.expected = Expected(house, ready, file.expect, seed)
        self.over = threading.Event()
        self._lock = threading.Lock()

    def live(self) -> None:
        """Until the night is over or is called off."""
        while not self.over.is_set():
            conductor = self.board.conductor
            if conductor is not None and self._is_up(conductor):
                self.clock.thinking(conductor.thinks)
                self._step(conductor)
            else:
                self.clock.stand()
            self.over.wait(self.wait_s)

    def _is_up(self, conductor: Conductor) -> bool:
        """Whether the planner has started once: of an evening that is over long before doors."""
        state = conductor.planner
        return state is not None and (state.starts > 1 or state.condition != "starting")

    def _step(self, conductor: Conductor) -> None:
        running = conductor.running
        if running is None or conductor.ready is None:
            return
        now_s, facts, shown = self.clock(), self.night.state.facts, conductor.shown
        self.kitchen.step(now_s, shown, facts, running)
        self.watch.hear(shown, facts, now_s)
        if not conductor.thinks:
            self.expected.step(Now(now_s, shown, facts, running))
        if self.kitchen.is_over(now_s, self.night.state.facts):
            self.over.set()
            out.print("The night is over. The screens stay until Ctrl-C, then what came of it is told.")
            sys.stdout.flush()

    def kill_planner(self) -> None:
        """Ends the planner's own process, by its number."""
        state = None if self.board.conductor is None else self.board.conductor.planner
        if state is not None and state.pid is not None:
            os.kill(state.pid, signal.SIGKILL)

    def kill_board(self) -> None:
        """A board cannot end the process it is shown by."""
        err.print("A board is killed only with --headless; that upset is left out here.")

    def came(self) -> Rehearsed:
        """What came of it so far."""
        state = None if self.board.conductor is None else self.board.conductor.planner
        restarts = 0 if state is None else max(0, state.starts - 1)
        spans_s = (self.first_s, self.clock())
        return rehearsed(self.night, self.kitchen, self.watch, self.expected, spans_s, (restarts, 0))


def rehearsal_records(database: Database, house: House, clock: Callable[[], float]) -> Keeping:
    """Records of a rehearsal, in a log of their own: nobody takes them for the house's."""
    midnight = datetime.combine(date.today(), time_of_day()).timestamp()
    place = wall_place(midnight)
    keeping = Keeping(
        database.log(RECORDS), house, place, lambda: place.midnight + timedelta(seconds=clock())
    )
    keeping.note_rules(CHEF, "rehearsal")
    return keeping


def on_the_board(
    house: House, books: NightFile, file: UpsetsFile, where: Path, speed: float, port: int, seed: int
) -> Rehearsed:
    """Serves the rehearsed night on loopback until stopped; what came of it."""
    foreseen = from_doors(books)
    with progress() as tell:
        ready = prepare_night(house, foreseen, tell)
    with open_database(where) as database:
        clock = SpeedClock(first_s(books, file), speed)
        night = Night(database.log(NIGHT), Kitchen(house), clock)
        if night.state.seq:
            raise holds_a_night(where)
        access = Access(
            database.door(),
            time.time,
            lambda: secrets.token_urlsafe(32),
            lambda: f"{secrets.randbelow(10**8):08}",
        )
        dishes = {name: dish.name for name, dish in house.dishes.items()}
        board = Board(night, access, dishes, clock, doors_s=float(books.doors))
        board.records = rehearsal_records(database, house, clock)
        board.house = shown_house(house, foreseen, NIGHT)
        played = OnTheBoard(house, books, file, ready, night, board, clock, speed, seed)
        ends = night.listen(played.watch.event)
        pin = f"{secrets.randbelow(10**6):06}"
        if not access.names():
            access.person(None, CHEF, "chef", pin)

        def is_ready(at: int) -> None:
            out.print(f"{escape(file.name)}, rehearsed {speed:g} times as quick: http://127.0.0.1:{at}/")
            code = access.first_code()
            out.print(f"First device: [bold]{code}[/], within 5 minutes. {CHEF}'s PIN: [bold]{pin}[/]")
            sys.stdout.flush()
            thread.start()

        thread = threading.Thread(target=played.live, name="rehearsal", daemon=True)
        with conducted(board, house, foreseen, ready=ready, watch=played.watch.shown):
            run(make_app(board, LOOPBACK), "127.0.0.1", port, None, None, is_ready)
            played.over.set()
            thread.join()
            came = played.came()
        ends()
        return came
