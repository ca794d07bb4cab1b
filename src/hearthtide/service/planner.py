"""The planner kept running in a process of its own: asked, overtaken by newer requests, restarted.

A thread here speaks with the process. The newest request wins: an older one is let go of, unanswered. The
last plan stays whatever happens. A process that dies three times in a row is started without compiling: the
same search, some hundred times slower, given few rounds; every answer then says so. When that dies three
times too the request is refused and the planner rests until it is asked again.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from typing import Any

from hearthtide.planning.places import Places
from hearthtide.service.planner_words import (
    Answer,
    Broken,
    Found,
    Hearth,
    PlannerState,
    Ready,
    Refusal,
    Request,
    bare,
    with_own_items,
)

DEATHS = 3  # in a row, before the planner is started plain, or given up for this request; own choice
DYING_S = 5.0  # a process that has closed its wire is given so long to end by itself
PLAIN = "NUMBA_DISABLE_JIT"
PLAINLY = "Plans are found by the search uncompiled, with few rounds: they hold, but are rougher."
_starting = threading.Lock()


class Planner:
    """The process and the last plan. `tell` is given every answer and refusal, by the planner's own thread.

    `clock` gives the seconds that answers are dated by. The stone `places`, when it is known, is handed over
    at every start of the process and made ready there: else the first request waits for that too.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        tell: Callable[[Answer | Refusal], None] = lambda _: None,
        places: Places | None = None,
    ) -> None:
        self._clock, self._tell, self._places = clock, tell, places
        self._lock = threading.Lock()
        self._state = PlannerState("starting", None, None, False, False, "", 0, None, None)
        self._number, self._wanted = 0, dict[int, Request]()
        self._deaths, self._plain, self._closing = 0, False, False
        self._said = ""  # the process's own word on why it ends
        self._bell, self._ring = multiprocessing.Pipe(duplex=False)
        self._thread = threading.Thread(target=self._keep, name="planner", daemon=True)
        self._thread.start()

    def __enter__(self) -> Planner:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def ask(self, request: Request) -> int:
        """Asks for a plan; whatever was asked before and is not answered yet is let go of. Its number."""
        with self._lock:
            if self._closing:
                raise ValueError("The planner has been closed. Make a new one.")
            self._number += 1
            self._wanted = {self._number: request}
            self._ring.send(None)
            return self._number

    def state(self) -> PlannerState:
        """How the planner is, and how old its last plan."""
        with self._lock:
            last = self._state.last
            age_s = None if last is None else self._clock() - last.made_s
            asked_s = 0 if last is None else last.number
            return replace(self._state, age_s=age_s, behind=self._number > asked_s)

    def kill(self) -> None:
        """Kills a process that does not answer; another is started and asked the same."""
        with self._lock:
            if self._state.pid is not None:
                with suppress(ProcessLookupError):  # it has just died by itself
                    os.kill(self._state.pid, signal.SIGKILL)

    def close(self) -> None:
        """Ends the process and waits for it."""
        with self._lock:
            if not self._closing:
                self._closing = True
                self._ring.send(None)
        self._thread.join()
        self._ring.close()
        self._bell.close()

    def _keep(self) -> None:
        """The thread: one process after the other. What a `tell` raises ends it, and the state says so."""
        try:
            while not self._closing:
                process, wire = self._started()
                try:
                    self._serve(process, wire)
                finally:
                    wire.close()
                    process.join(0 if self._closing else DYING_S)
                    process.kill()
                    process.join()
                if not self._closing:
                    self._died(process.exitcode)
        except Exception as err:
            self._change(condition="down", pid=None, trouble=f"{err!r}: the planner is kept up no more.")
            raise
        self._change(condition="closed", pid=None)

    def _started(self) -> tuple[SpawnProcess, Connection]:
        context = multiprocessing.get_context("spawn")
        wire, theirs = context.Pipe()
        process = context.Process(target=_run, args=(theirs,), name="planner", daemon=True)
        with _starting, _compiling(not self._plain):
            process.start()
        theirs.close()
        self._change(condition="starting", pid=process.pid, starts=self._state.starts + 1)
        return process, wire

    def _serve(self, process: SpawnProcess, wire: Connection) -> None:
        """Hands the process the newest request and hears it out, until it dies or the planner is closed."""
        began_s, sent, stone = self._clock(), 0, None
        while not self._closing:
            came = wait([wire, process.sentinel, self._bell])
            if self._bell in came:
                self._bell.recv()
            try:
                if wire in came:
                    self._heard(wire.recv(), began_s)
                if self._state.condition != "starting":
                    sent, stone = self._send(wire, sent, stone)
            except (EOFError, ConnectionError):
                return
            if process.sentinel in came and wire not in came:
                return

    def _send(self, wire: Connection, sent: int, stone: Places | None) -> tuple[int, Places | None]:
        """Sends what the process lacks; the number and the stone it then has."""
        with self._lock:
            number, request = next(iter(self._wanted.items()), (0, None))
        places = self._places if request is None else request.problem.places
        if places is not None and places is not stone and places != stone:
            wire.send(Hearth(places))
        if request is None or number <= sent:
            return sent, places
        self._change(condition="planning")
        wire.send(bare(number, request))
        return number, places

    def _heard(self, message: Ready | Found | Refusal | Broken, began_s: float) -> None:
        match message:
            case Ready(plain):
                why = self._state.trouble or "NUMBA_DISABLE_JIT=1 is set."
                trouble = f"{why} {PLAINLY}" if plain else self._state.trouble
                warmed_s = self._clock() - began_s
                self._change(condition="ready", plain=plain, trouble=trouble, warmed_s=warmed_s)
            case Broken(why):
                self._said = why
            case Found() | Refusal():
                self._answered(message)

    def _answered(self, message: Found | Refusal) -> None:
        is_last = isinstance(message, Refusal) or message.last
        with self._lock:
            request = self._wanted.get(message.number)
            if is_last:
                self._wanted.pop(message.number, None)
                self._deaths = 0
            newer = bool(self._wanted)
        if is_last:
            mended = self._state.trouble if self._state.plain else ""
            self._change(condition="planning" if newer else "ready", trouble=mended)
        if request is None:  # overtaken by a newer one
            return
        if isinstance(message, Refusal):
            self._tell(message)
            return
        schedule = with_own_items(request.problem, message.schedule)
        plain, made_s = self._state.plain, self._clock()
        answer = Answer(message.number, schedule, message.rounds, message.last, plain, made_s)
        self._change(last=answer)
        self._tell(answer)

    def _died(self, exit_code: int | None) -> None:
        """What follows from a death: another start, a plain one, or a rest until somebody asks again."""
        ended = f"by signal {-exit_code}" if exit_code is not None and exit_code < 0 else f"with {exit_code}"
        said, self._said = f" ({self._said})" if self._said else "", ""
        why = f"The planner's process ended {ended}{said}."
        self._deaths += 1
        self._change(condition="down", pid=None, trouble=why)
        if self._deaths < DEATHS:
            return
        self._deaths = 0
        if not self._plain:
            self._plain = True
            self._change(trouble=f"{why} It did so {DEATHS} times in a row.")
            return
        with self._lock:
            refused, self._wanted = self._wanted, {}
        for number in refused:
            self._tell(Refusal(number, f"{why} It did so again and again. The last plan stays; ask again."))
        while not self._closing and not self._wanted:
            self._bell.recv()

    def _change(self, **what: Any) -> None:
        with self._lock:
            self._state = replace(self._state, **what)


def _run(wire: Connection) -> None:
    """The process's work, loaded there: who makes a planner need not load the search."""
    from hearthtide.service.planner_process import run

    run(wire)


@contextmanager
def _compiling(wanted: bool) -> Iterator[None]:
    """What is started within compiles its loops, or does not: it reads that when it loads them."""
    before = os.environ.get(PLAIN)
    if not wanted:
        os.environ[PLAIN] = "1"
    try:
        yield
    finally:
        if not wanted:
            os.environ.pop(PLAIN)
            if before is not None:
                os.environ[PLAIN] = before
