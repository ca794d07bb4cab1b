"""Pushing the night to every screen: server-sent events, each under its number in the log.

A screen that comes late, or again, says the last number it saw and gets the rest; none comes twice or is left
out. A screen that does not keep up is let go, and comes again.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from dataclasses import dataclass, field

from hearthtide.service.commands import Event, text_of
from hearthtide.service.night import Night

PING_S = 2.0  # so often a quiet stream says that it lives: a browser hears no silence; own choice
ASKED_EVERY = 5  # pings between two looks at whether its session still holds; own choice
HERE = "event: here\ndata: .\n\n"  # an event, not a comment: a page must be able to hear it
MOST_WAITING = 1000  # events a screen may lag behind before it is let go; own choice


@dataclass(eq=False)
class _Screen:
    """One open stream; `let_go` once it lagged too far behind."""

    queue: asyncio.Queue[tuple[int, str]] = field(default_factory=lambda: asyncio.Queue(MOST_WAITING))
    let_go: bool = False


class Hub:
    """Spreads what a night's service hears, on whatever thread, over the streams of one event loop."""

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self._loop = loop
        self._screens: set[_Screen] = set()

    def heard(self, seq: int, event: Event) -> None:
        """Called by the service for each entry, in order."""
        self._loop.call_soon_threadsafe(self._spread, seq, text_of(event))

    def _spread(self, seq: int, body: str) -> None:
        for screen in self._screens:
            if screen.queue.full():
                screen.let_go = True
            else:
                screen.queue.put_nowait((seq, body))

    def end(self) -> None:
        """Lets every screen go: the board stops. Called on the event loop."""
        for screen in self._screens:
            screen.let_go = True
            if not screen.queue.full():
                screen.queue.put_nowait((0, ""))  # wakes one that waits; number 0 is never told

    async def stream(
        self, night: Night, after: int, still_good: Callable[[], Awaitable[bool]]
    ) -> AsyncIterator[str]:
        """Every entry behind `after`, then each as it comes, until `still_good` says no."""
        screen = _Screen()
        self._screens.add(screen)  # before the backlog is read: what comes meanwhile waits
        try:
            last, quiet = after, 0
            yield HERE
            for entry in await asyncio.to_thread(night.since, after):
                last = entry.seq
                yield _line(entry.seq, entry.body)
            while not screen.let_go:
                try:
                    seq, body = await asyncio.wait_for(screen.queue.get(), PING_S)
                except TimeoutError:
                    quiet += 1
                    if quiet % ASKED_EVERY == 0 and not await still_good():
                        return
                    yield HERE
                    continue
                if seq > last:
                    last = seq
                    yield _line(seq, body)
        finally:
            self._screens.discard(screen)


def _line(seq: int, body: str) -> str:
    return f'id: {seq}\ndata: {{"seq":{seq},"event":{body}}}\n\n'
