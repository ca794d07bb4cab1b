"""The live state of a night: a fold over its log's events, the same log the same state, bit for bit.

An undo takes its event out as if it had never been told: the state is folded anew from before it. For that
the events of the last ten minutes are kept beside the facts they were added to.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import reduce

from pydantic import TypeAdapter

from hearthtide.quantities.show import clock_text, duration_text
from hearthtide.service.commands import (
    Command,
    DangerSeen,
    Event,
    FlameOut,
    FlameSet,
    GasShut,
    Undo,
    event_of,
    plain_text,
)
from hearthtide.service.facts import Facts, after
from hearthtide.service.judge import refusal
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.log import Entry, Snapshot
from hearthtide.service.words import words_of

FOLD = 3  # raised whenever the same events would fold otherwise: older snapshots are then not used
UNDO_S = 10.0  # within which an act can be undone, by the times the devices saw
# A device without a network tells its undo when it is back: five minutes in a rush, and as much again.
KEEP_S = 600.0
AHEAD_S = 5.0  # by so much a device's clock may run ahead; own choice


@dataclass(frozen=True)
class State:
    """A night after entry `seq`.

    `facts` is what is so; `settled` what was so before `recent`, the events that could still be undone;
    `undone` the ids that were, of late.
    """

    seq: int = 0
    heard_s: float = 0.0
    settled: Facts = field(default_factory=Facts)
    recent: tuple[Event, ...] = ()
    undone: tuple[str, ...] = ()
    facts: Facts = field(default_factory=Facts)


def decided(state: State, kitchen: Kitchen, command: Command, now_s: float) -> Event:
    """The command as an event that was taken, or refused in words. Time never runs backwards in a log."""
    heard_s = max(round(now_s, 3), state.heard_s)
    command = _by_the_boards_clock(command, heard_s)
    return Event(command, heard_s, _refusal(state, kitchen, command, heard_s))


def _by_the_boards_clock(command: Command, heard_s: float) -> Command:
    """What must not wait for a device's clock to be set, nor a wait be cut short by one.

    A danger and a flame that is out are taken from a clock that runs ahead; the gas is shut when it is heard.
    """
    if isinstance(command.what, GasShut):
        return replace(command, at_s=heard_s)
    if isinstance(command.what, DangerSeen | FlameOut | FlameSet):
        return replace(command, at_s=min(command.at_s, heard_s))
    return command


def _refusal(state: State, kitchen: Kitchen, command: Command, heard_s: float) -> str:
    if command.at_s > heard_s + AHEAD_S:
        ahead = duration_text(command.at_s - heard_s)
        return f"this device's clock runs {ahead} ahead. Set it, then tell it again."
    if isinstance(command.what, Undo):
        return _undo_refusal(state, kitchen, command, command.what.of)
    return refusal(state.facts, kitchen, command)


def _undo_refusal(state: State, kitchen: Kitchen, command: Command, of: str) -> str:
    """Why the event `of` cannot be taken out: unknown, too long ago, or built upon since."""
    if of in state.undone:
        return "that is undone already. Nothing more to do."
    number = next((n for n, event in enumerate(state.recent) if event.command.id == of), None)
    if number is None:
        return "what was to be undone was not taken, or long ago. Say what is so now."
    undone = state.recent[number].command
    if not 0 <= command.at_s - undone.at_s <= UNDO_S:
        return (
            f"{words_of(undone.what)}, told at {clock_text(undone.at_s)}, can be undone for "
            f"{UNDO_S:.0f} s. Say what is so now."
        )
    facts = _folded(state.settled, state.recent[:number])
    for event in state.recent[number + 1 :]:
        if refusal(facts, kitchen, event.command):
            return f"since then {words_of(event.command.what)}. Undo that first."
        facts = after(facts, event.command)
    return ""


def _folded(facts: Facts, events: Iterable[Event]) -> Facts:
    return reduce(lambda so_far, event: after(so_far, event.command), events, facts)


def advanced(state: State, event: Event) -> State:
    """The state after one more event of its log."""
    state = replace(state, seq=state.seq + 1, heard_s=event.heard_s)
    what = event.command.what
    if event.refused:
        pass
    elif isinstance(what, Undo):
        recent = tuple(e for e in state.recent if e.command.id != what.of)
        facts = _folded(state.settled, recent)
        state = replace(state, recent=recent, undone=(*state.undone, what.of), facts=facts)
    else:
        facts = after(state.facts, event.command)
        state = replace(state, recent=(*state.recent, event), facts=facts)
    return _settled(state)


def _settled(state: State) -> State:
    """The state with events that can no longer be undone folded into what it starts from."""
    old = 0
    while old < len(state.recent) and state.recent[old].heard_s < state.heard_s - KEEP_S:
        old += 1
    if not old:
        return state
    settled = _folded(state.settled, state.recent[:old])
    return replace(state, settled=settled, recent=state.recent[old:])


def folded(entries: Iterable[Entry], state: State | None = None) -> State:
    """The state after these entries of a log, from its beginning or on from a state."""
    return reduce(lambda so_far, entry: advanced(so_far, event_of(entry)), entries, state or State())


@dataclass(frozen=True)
class _Kept:
    """What a snapshot holds of a state; the facts follow from it."""

    seq: int
    heard_s: float
    settled: Facts
    recent: tuple[Event, ...]
    undone: tuple[str, ...]


_KEPT: TypeAdapter[_Kept] = TypeAdapter(_Kept)


def snapshot_of(state: State) -> Snapshot:
    """A state to be kept; of equal states the same bytes."""
    kept = _Kept(state.seq, state.heard_s, state.settled, state.recent, state.undone)
    return Snapshot(state.seq, FOLD, plain_text(_KEPT.dump_python(kept, mode="json")))


def state_of(snapshot: Snapshot | None) -> State:
    """The state of a snapshot; the beginning where there is none, or only one of another fold."""
    if snapshot is None or snapshot.fold != FOLD:
        return State()
    kept = _KEPT.validate_json(snapshot.body)
    facts = _folded(kept.settled, kept.recent)
    return State(kept.seq, kept.heard_s, kept.settled, kept.recent, kept.undone, facts)
