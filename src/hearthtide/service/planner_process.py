"""The planner's own process: it reads requests, searches, and answers with every look's cheapest plan.

A thread reads, so that a newer request is known while the search runs; the search asks every few
milliseconds and lets go of the older one.
"""

from __future__ import annotations

import signal
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from multiprocessing.connection import Connection

from hearthtide.compiled import COMPILES
from hearthtide.planning.engine.search import Unplaceable, search
from hearthtide.planning.places import Places
from hearthtide.service.planner_warm import warm
from hearthtide.service.planner_words import (
    NO_STONE,
    Asked,
    Broken,
    Found,
    Hearth,
    Ready,
    Refusal,
    Request,
    on_stone,
)

LEAST_S = 0.001  # a look is never given less
PLAIN_ROUNDS = 20  # of the uncompiled search, some hundred times slower; own choice


def run(wire: Connection) -> None:
    """Serves until the other end is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the service's, which then closes the wire
    try:
        warm()
    except Exception as err:
        wire.send(Broken(f"{type(err).__name__}: {err}"))
        raise
    try:
        wire.send(Ready(not COMPILES))
    except ConnectionError:
        return  # the service has gone while this was made ready
    inbox = Inbox(wire)
    while (asked := inbox.newest()) is not None:
        _serve(wire, asked, inbox)


class Inbox:
    """The newest request that has come, read by a thread of its own."""

    def __init__(self, wire: Connection) -> None:
        self._wire, self._changed = wire, threading.Condition()
        self._asked: tuple[int, Request] | None = None
        self._closed = False
        threading.Thread(target=self._read, name="planner inbox", daemon=True).start()

    def newest(self) -> tuple[int, Request] | None:
        """Takes the newest request out, once there is one; None when no more can come."""
        with self._changed:
            self._changed.wait_for(lambda: self._asked is not None or self._closed)
            if self._closed:
                return None
            asked, self._asked = self._asked, None
            return asked

    def is_over(self) -> bool:
        """Whether what is being searched for is wanted no more."""
        return self._asked is not None or self._closed

    def _read(self) -> None:
        places = NO_STONE
        try:
            while True:
                message = self._wire.recv()
                if isinstance(message, Hearth):
                    places = _made_ready(message.places)
                else:
                    self._take(message, places)
        except (EOFError, ConnectionError):
            pass  # the service has closed its end
        finally:
            with self._changed:
                self._closed = True
                self._changed.notify()

    def _take(self, message: Asked, places: Places) -> None:
        with self._changed:
            self._asked = message.number, on_stone(message, places)
            self._changed.notify()


def _made_ready(places: Places) -> Places:
    """The stone with what is counted of it once: 0.7 s for 1,164 places, which no request need wait for."""
    _ = places.splash, places.reach
    return places


def _serve(wire: Connection, asked: tuple[int, Request], inbox: Inbox) -> None:
    number, request = asked
    try:
        for found in plans(number, request, inbox.is_over, time.perf_counter):
            wire.send(found)
    except (Unplaceable, ValueError) as err:
        wire.send(_refusal(number, err))
    except ConnectionError:
        return  # the service has gone: the inbox says so next
    except Exception as err:
        wire.send(Broken(f"{type(err).__name__}: {err}"))
        raise


def plans(
    number: int,
    request: Request,
    is_over: Callable[[], bool],
    clock: Callable[[], float],
    plain: bool = not COMPILES,
) -> Iterator[Found]:
    """The cheapest plan after each look; nothing more once the request `is_over`.

    Raises `Unplaceable` and ValueError as `search` does.
    """
    looks = plain_looks(request.looks) if plain else request.looks
    until_s = None if request.budget_s is None else clock() + request.budget_s
    best: Found | None = None
    for rounds in looks:
        left_s = None if until_s is None else max(LEAST_S, until_s - clock())
        found = search(
            request.problem,
            request.reality,
            request.running,
            seed=request.seed,
            rounds=rounds,
            budget_s=left_s,
            stop=is_over,
        )
        if is_over():
            return
        if best is None or found.cost < best.schedule.cost:
            best = Found(number, found, rounds, False)
        is_last = rounds == looks[-1] or (until_s is not None and clock() >= until_s)
        yield replace(best, last=is_last)
        if is_last:
            return


def plain_looks(looks: tuple[int, ...]) -> tuple[int, ...]:
    """The looks of an uncompiled search.

    >>> plain_looks((0, 40, 300)), plain_looks((0, 10))
    ((0, 20), (0, 10))
    """
    return tuple(dict.fromkeys(min(rounds, PLAIN_ROUNDS) for rounds in looks))


def _refusal(number: int, err: Unplaceable | ValueError) -> Refusal:
    if not isinstance(err, Unplaceable):
        return Refusal(number, str(err))
    order = err.order
    return Refusal(
        number,
        f"{order.items[0].dish} for {order.ticket}: no minute in four hours has room for it. Take it off the "
        "ticket, or look at its places and minutes and at who does its acts.",
        order.key,
    )
