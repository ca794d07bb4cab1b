"""The planner joined to a running night: what is told goes in, plans come out to every screen and to the log.

A thread of its own waits for what was told, for plans, and for acts that come due. Whatever was told is put
into the running plan and shown at once; where that leaves something to think about the planner is asked, and
its plan is adopted, shown and kept. An act nobody says anything of is told as done when it is due.
"""

from __future__ import annotations

import logging
import queue
import threading
from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from hearthtide.errors import HearthtideError
from hearthtide.planning.night import Prepared
from hearthtide.planning.quote import Quote
from hearthtide.planning.told import Running
from hearthtide.service.night import Night
from hearthtide.service.planner import Planner
from hearthtide.service.planner_words import PlannerState
from hearthtide.service.playing import Came, Playing, Score
from hearthtide.service.quoting import NoQuote, Quoting
from hearthtide.service.shown import NO_FIRE, Shown, ShownPlanner
from hearthtide.service.tickets import Ticket

log = logging.getLogger("hearthtide.service")
TICK_S = 0.25  # of real time, between two looks at the clock; own choice
AGAIN_S = 2.0  # of real time, before a night that could not be followed is taken up again; own choice


class Conductor:
    """Runs until closed. `show` is given everything a screen draws, by the conductor's own thread.

    `clock` gives the seconds of the night. A fault is told on every screen, and the night taken up again from
    its log.
    """

    def __init__(
        self,
        night: Night,
        score: Score,
        clock: Callable[[], float],
        show: Callable[[Shown], None],
        tick_s: float = TICK_S,
    ) -> None:
        self._night, self._score, self._clock, self._show = night, score, clock, show
        self._tick_s = tick_s
        self._inbox: queue.Queue[Came | None] = queue.Queue()
        self._closing = threading.Event()
        self._last: Shown | None = None
        self._ready: Prepared | None = None
        self._playing: Playing | None = None
        self._quoting: Quoting | None = None
        self._end_listening = night.listen(lambda _seq, event: self._inbox.put(event))
        self._say("starting", "")
        self._thread = threading.Thread(target=self._keep, name="conductor", daemon=True)
        self._thread.start()

    @property
    def shown(self) -> Shown:
        """What a screen draws just now."""
        assert self._last is not None
        return self._last

    @property
    def ready(self) -> Prepared | None:
        """The night made ready; None before it is."""
        return self._ready

    @property
    def running(self) -> Running | None:
        """The plan being run; None before there is one."""
        return None if self._playing is None else self._playing.live.running

    @property
    def thinks(self) -> bool:
        """Whether a plan is being made, or there is none yet."""
        return self._playing is None or self._playing.thinks

    @property
    def planner(self) -> PlannerState | None:
        """How the night's planner is; None before it is started."""
        return None if self._playing is None else self._playing.planner.state()

    def quote(self, ticket: Ticket) -> tuple[Quote, Quote]:
        """What a table at the door can be told: as soon as can be, and without making others wait.

        Raises
        ------
        NoQuote
            There is no plan yet, or a plate fits nowhere.
        """
        running = self.running
        if self._quoting is None or running is None:
            raise NoQuote("the oven and the planner are still getting ready. Ask again in a few seconds.")
        return self._quoting.quote(ticket, running)

    def close(self) -> None:
        """Ends the planners and waits for them."""
        self._end_listening()
        self._closing.set()
        self._inbox.put(None)
        self._thread.join()
        if self._quoting is not None:
            self._quoting.close()

    def _keep(self) -> None:
        while not self._closing.is_set():
            try:
                self._play()
            except HearthtideError as err:
                self._failed(str(err))
            except Exception as err:
                log.exception("the night is taken up again from its log")
                self._failed(f"{type(err).__name__}: {err}")

    def _play(self) -> None:
        if self._ready is None:
            self._ready = self._score.prepare()
            self._quoting = Quoting(self._score.house, self._ready, self._clock)
        with Planner(self._clock, self._inbox.put, self._ready.problem.places) as planner:
            playing = Playing(self._night, self._score, self._ready, planner, self._clock, self._shows)
            self._playing = playing
            while not self._closing.is_set():
                playing.step(self._came())

    def _came(self) -> list[Came]:
        """What has come, after a short wait for it."""
        found: list[Came] = []
        try:
            one = self._inbox.get(timeout=self._tick_s)
            while True:
                if one is not None:
                    found.append(one)
                one = self._inbox.get_nowait()
        except queue.Empty:
            return found

    def _shows(self, shown: Shown) -> None:
        self._last = shown
        self._show(shown)

    def _failed(self, why: str) -> None:
        log.warning("the plan is not followed: %s", why)
        self._say("down", f"The plan is not followed just now: {why}")
        self._closing.wait(AGAIN_S)

    def _say(self, condition: Literal["starting", "down"], trouble: str) -> None:
        """Before there is a plan, or while it is not followed: the last one, and what is wrong."""
        last = self._last
        if last is None:
            planner = ShownPlanner(condition, None, True, False, trouble)
            self._shows(
                Shown(self._night.state.seq, self._clock(), planner, (), (), (), (), NO_FIRE, (), (), ())
            )
        else:
            self._shows(replace(last, planner=replace(last.planner, condition=condition, trouble=trouble)))
