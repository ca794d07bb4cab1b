"""A night rehearsed without screens, as quick as the planner allows: the clock stands while it thinks."""

from __future__ import annotations

import os
import queue
import signal
import time
from collections.abc import Callable
from typing import Protocol

from hearthtide.errors import HearthtideError
from hearthtide.house.night_file import NightFile
from hearthtide.house.upsets_file import UpsetsFile
from hearthtide.planning.night import Prepared
from hearthtide.planning.places import Places
from hearthtide.service.commands import Command, Event
from hearthtide.service.night import Answer, Night
from hearthtide.service.planner import Planner
from hearthtide.service.playing import DRAW_S, Came, NightPlanner, Playing, Score
from hearthtide.service.rehearsal.came import Rehearsed, rehearsed
from hearthtide.service.rehearsal.clock import StepClock
from hearthtide.service.rehearsal.expected import Expected, Now
from hearthtide.service.rehearsal.kitchen import RehearsedKitchen, first_s
from hearthtide.service.rehearsal.says import Telling
from hearthtide.service.rehearsal.watch import Watch
from hearthtide.service.shown import Shown, ShownHouse

STEP_S = 1.0
MOST_PLANS = 25  # of one second of the night: more come of a plan that asks for the next without end
DRAWN_S = 10.0  # of the night, between two drawings while nothing happens: no eye is on them
LISTEN_S = 2.0  # of the night, between two looks at what deserves a sound
HANGS_S = 300.0  # of real time: a planner that has not answered by then hangs; compiling comes before


class Stuck(HearthtideError):
    """The planner does not answer."""


class HeadlessPlanner(NightPlanner, Protocol):
    """A night's planner that can be ended, and made anew when the board is."""

    def close(self) -> None: ...


OpenNight = Callable[[Callable[[], float]], Night]
MakePlanner = Callable[[Callable[[], float], Callable[[Came], None], Places], HeadlessPlanner]


class Headless:
    """One night of `books`. `open_night` opens its log with a clock, again after a board was killed."""

    def __init__(
        self,
        score: Score,
        books: NightFile,
        house: ShownHouse,
        ready: Prepared,
        file: UpsetsFile,
        open_night: OpenNight,
        seed: int,
        make_planner: MakePlanner = Planner,
    ) -> None:
        self.score, self.ready, self.open_night = score, ready, open_night
        self.make_planner = make_planner
        self.clock = StepClock(first_s(books, file))
        self.watch = Watch(house)
        self.inbox: queue.Queue[Came] = queue.Queue()
        self.telling = Telling(self._tell, self.clock)
        self.kitchen = RehearsedKitchen(score.house, books, file, ready, self.telling, self, seed)
        self.expected = Expected(score.house, ready, file.expect, seed)
        self.last: Shown | None = None
        self.planner_restarts = self.board_restarts = 0
        self._listened_s = 0.0
        self._begin()

    def run(self, on_progress: Callable[[float], None] = lambda _: None) -> Rehearsed:
        """The whole night.

        Raises
        ------
        Stuck
            The planner does not answer.
        """
        first = began = self.clock()
        try:
            self._ready()
            self._play()
            while not self.kitchen.is_over(self.clock(), self.night.state.facts):
                self.step()
                if self.clock() - began >= 60:
                    began = self.clock()
                    on_progress((began - first) / (self.kitchen.last_s - first))
        finally:
            self.planner.close()
        return self._rehearsed(first)

    def step(self) -> None:
        """One second: everybody does and says what is theirs, then the plan follows."""
        now_s, facts = self.clock(), self.night.state.facts
        assert self.last is not None
        running = self.playing.live.running
        self.kitchen.step(now_s, self.last, facts, running)
        self._play()
        facts = self.night.state.facts
        if now_s - self._listened_s >= LISTEN_S:
            self._listened_s = now_s
            self.watch.hear(self.last, facts, now_s)
        self.expected.step(Now(now_s, self.last, facts, self.playing.live.running))
        self.clock.on(STEP_S)

    def _ready(self) -> None:
        """Waits for a planner's first start: of an evening that is over long before doors."""
        until = time.monotonic() + HANGS_S
        while self.planner.state().condition == "starting":
            if time.monotonic() > until:
                raise Stuck("the planner does not start. Look at its trouble.")
            time.sleep(0.05)

    def kill_planner(self) -> None:
        """Ends the planner's own process, by its number."""
        pid = self.planner.state().pid
        if pid is not None:
            os.kill(pid, signal.SIGKILL)

    def kill_board(self) -> None:
        """Lets go of the night and all that was thought of it, and begins again from its log."""
        self.planner_restarts += max(0, self.planner.state().starts - 1)
        self.board_restarts += 1
        self.planner.close()
        self._end_listening()
        self.inbox = queue.Queue()
        self._begin()

    def _begin(self) -> None:
        self.night = self.open_night(self.clock)
        self._end_listening = self.night.listen(self._heard)
        self.planner = self.make_planner(self.clock, self.inbox.put, self.ready.problem.places)
        self.playing = Playing(
            self.night,
            self.score,
            self.ready,
            self.planner,
            self.clock,
            self._shows,
            lambda: self.clock() * DRAW_S / DRAWN_S,
            budget_s=None,
        )

    def _tell(self, command: Command) -> Answer:
        return self.night.tell(command)

    def _heard(self, seq: int, event: Event) -> None:
        self.watch.event(seq, event)
        self.inbox.put(event)

    def _shows(self, shown: Shown) -> None:
        self.last = shown
        self.watch.shown(shown)

    def _play(self) -> None:
        """The plan follows all that was told; nothing of the night passes until it has."""
        for _ in range(MOST_PLANS):
            self.playing.step(self._came())
            if self.playing.thinks:
                self._wait()
            elif self.inbox.empty():
                return
        raise Stuck(f"one second of the night asked for {MOST_PLANS} plans. That is a fault: report it.")

    def _wait(self) -> None:
        """Hears the planner out, then moves the clock on by what that costs an evening."""
        began = time.monotonic()
        while self.playing.thinks:
            try:
                came = self.inbox.get(timeout=HANGS_S)
            except queue.Empty:
                raise Stuck("the planner has not answered for five minutes. Look at its trouble.") from None
            self.playing.step([came, *self._came()])
        self.clock.planned(time.monotonic() - began)

    def _came(self) -> list[Came]:
        found: list[Came] = []
        try:
            while True:
                found.append(self.inbox.get_nowait())
        except queue.Empty:
            return found

    def _rehearsed(self, from_s: float) -> Rehearsed:
        self.telling.send()
        planner = self.planner_restarts + max(0, self.planner.state().starts - 1)
        spans_s, restarts = (from_s, self.clock()), (planner, self.board_restarts)
        return rehearsed(self.night, self.kitchen, self.watch, self.expected, spans_s, restarts)
