"""What of a night's log counts when one looks back: all that was taken and not undone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hearthtide.service.commands import Command, Undo, event_of
from hearthtide.service.log import Entry


@dataclass(frozen=True)
class Told:
    """A command that counts, and the entry of the log it stands at."""

    seq: int
    command: Command


def standing(entries: Iterable[Entry]) -> tuple[Told, ...]:
    """Every command of the log that was taken, in order, without undos and without what they took out.

    Raises StoreError for an entry that no version of ours wrote so far.
    """
    heard = [(entry.seq, event_of(entry)) for entry in entries]
    taken = [Told(seq, event.command) for seq, event in heard if not event.refused]
    undone = {told.command.what.of for told in taken if isinstance(told.command.what, Undo)}
    return tuple(
        told for told in taken if not isinstance(told.command.what, Undo) and told.command.id not in undone
    )
