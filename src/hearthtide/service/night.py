"""A night being run: commands in, each judged, written, and only then answered and passed on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from threading import RLock

from hearthtide.safety.cautions import told_cautions
from hearthtide.service.commands import Command, Event, event_of, text_of
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.log import Entry, Log, LogMoved
from hearthtide.service.state import State, advanced, decided, folded, snapshot_of, state_of

Listener = Callable[[int, Event], None]


@dataclass(frozen=True)
class Answer:
    """What a device is told: taken or refused (in words), at which entry, and whether it was told before."""

    id: str
    seq: int
    taken: bool
    words: str = ""
    repeat: bool = False
    cautions: tuple[str, ...] = ()


class Night:
    """The service of one night on one log. Several may share a log; each reads on what the others wrote.

    `clock` gives the seconds of the night. Safe to use from several threads.
    """

    def __init__(self, log: Log, kitchen: Kitchen, clock: Callable[[], float]) -> None:
        self._log, self._kitchen, self._clock = log, kitchen, clock
        self._lock = RLock()
        self._listeners: list[Listener] = []
        state = state_of(log.snapshot())
        self._state = folded(log.read(state.seq), state)

    @property
    def state(self) -> State:
        """The night as it stands, all that this service has read."""
        return self._state

    @property
    def kitchen(self) -> Kitchen:
        """The house that says what can be so."""
        return self._kitchen

    def tell(self, command: Command) -> Answer:
        """Judges a command and writes it down; answers once it is durable.

        The first answer is given again to a repeat, refused or not: the id counts, not what it says.

        Raises
        ------
        StoreError
            It cannot be written. Nothing has changed, or it was written after all: tell it again.
        """
        with self._lock:
            while True:
                found = self._log.by_id(command.id)
                if found is not None:
                    self.read_on()
                    return _answer(found.seq, event_of(found), repeat=True)
                event = decided(self._state, self._kitchen, command, self._clock())
                try:
                    entry = self._log.append(command.id, text_of(event), self._state.seq)
                except LogMoved:
                    self.read_on()
                    continue
                self._take(entry.seq, event)
                return _answer(entry.seq, event, repeat=False)

    def read_on(self) -> State:
        """Takes in what others wrote to the log."""
        with self._lock:
            for entry in self._log.read(self._state.seq):
                self._take(entry.seq, event_of(entry))
            return self._state

    def since(self, seq: int) -> tuple[Entry, ...]:
        """All entries behind one, for a device that comes late."""
        return tuple(self._log.read(seq))

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Has `listener` called with every entry from now on, in order; gives back what ends that."""
        with self._lock:
            self._listeners.append(listener)

        def end() -> None:
            with self._lock:
                self._listeners.remove(listener)

        return end

    def keep(self) -> None:
        """Keeps a snapshot, so that the night opens sooner. Raises StoreError; the night goes on without."""
        with self._lock:
            self._log.keep(snapshot_of(self._state))

    def _take(self, seq: int, event: Event) -> None:
        self._state = advanced(self._state, event)
        for listener in tuple(self._listeners):
            listener(seq, event)


def _answer(seq: int, event: Event, repeat: bool) -> Answer:
    command = event.command
    cautions = () if event.refused else told_cautions(command.what.kind)
    return Answer(command.id, seq, not event.refused, event.refused, repeat, cautions)
