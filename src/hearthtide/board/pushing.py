"""Pushing the night to every screen: server-sent events, each under its number in the log.

A screen that comes late, or again, says the last number it saw and gets the rest; none comes twice or is left
out. A screen that does not keep up is let go, and comes again.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from dataclasses import dataclass, field

from hearthtide.service.commands import Event, event_of, plain_text, text_of
from hearthtide.service.night import Night

PING_S = 2.0  # so often a quiet stream says that it lives: a browser hears no silence; own choice
LOOK_S = 10.0  # between two looks at whether a stream's session still holds; own choice
HERE = "event: here\ndata: .\n\n"  # an event, not a comment: a page must be able to hear it
SHOWN = -1  # in place of an entry's number: one of the things screens draw has changed
MOST_WAITING = 1000  # events a screen may lag behind before it is let go; own choice


@dataclass(eq=False)
class _Screen:
    """One open stream; `let_go` once it lagged too far behind."""

    queue: asyncio.Queue[tuple[int, str]] = field(default_factory=lambda: asyncio.Queue(MOST_WAITING))
    let_go: bool = False
    owed: set[str] = field(default_factory=set)  # what is drawn that has changed since it was last sent


class Hub:
    """Spreads what a night's service hears, on whatever thread, over the streams of one event loop."""

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self._loop = loop
        self._screens: set[_Screen] = set()
        self._shown: dict[str, str] = {}

    def heard(self, seq: int, event: Event) -> None:
        """Called by the service for each entry, in order."""
        self._loop.call_soon_threadsafe(self._spread, seq, _pushed(text_of(event), event))

    def show(self, what: str, shown: str) -> None:
        """What every screen draws from now on under an event's name, as JSON.

        Of several that a screen missed it gets the last.
        """
        self._loop.call_soon_threadsafe(self._spread_shown, what, shown)

    def _spread(self, seq: int, body: str) -> None:
        for screen in self._screens:
            self._put(screen, seq, body)

    def _spread_shown(self, what: str, shown: str) -> None:
        self._shown[what] = shown
        for screen in self._screens:
            if what not in screen.owed:
                screen.owed.add(what)
                self._put(screen, SHOWN, what)

    def _put(self, screen: _Screen, seq: int, body: str) -> None:
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
            last, look_s = after, self._loop.time() + LOOK_S
            yield HERE
            for entry in await asyncio.to_thread(night.since, after):
                last = entry.seq
                yield _line(entry.seq, _pushed(entry.body, event_of(entry)))
            for what, shown in tuple(self._shown.items()):
                if what not in screen.owed:
                    yield _drawn(what, shown)
            while not screen.let_go:
                if self._loop.time() >= look_s:
                    if not await still_good():
                        return
                    look_s = self._loop.time() + LOOK_S
                try:
                    seq, body = await asyncio.wait_for(screen.queue.get(), PING_S)
                except TimeoutError:
                    yield HERE
                    continue
                if seq == SHOWN:
                    screen.owed.discard(body)
                    yield _drawn(body, self._shown[body])
                elif seq > last:
                    last = seq
                    yield _line(seq, body)
        finally:
            self._screens.discard(screen)


def _pushed(body: str, event: Event) -> str:
    """An entry as a screen gets it: of a plan only that it was made, for it comes as it is drawn."""
    command = event.command
    if command.what.kind != "plan":
        return body
    told = {"id": command.id, "by": command.by, "at_s": command.at_s, "what": {"kind": "plan"}}
    return plain_text(
        {"command": told, "heard_s": event.heard_s, "refused": event.refused, "form": event.form}
    )


def _drawn(what: str, shown: str) -> str:
    return f"event: {what}\ndata: {shown}\n\n"


def _line(seq: int, body: str) -> str:
    return f'id: {seq}\ndata: {{"seq":{seq},"event":{body}}}\n\n'
