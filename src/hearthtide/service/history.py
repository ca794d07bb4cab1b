"""What of a night's log counts when one looks back: all that was taken and not undone, and the plans told.

A plan's entry is large and there are hundreds: of it only places, times and landings are read, without the
checks a command gets, for nobody but the planner writes it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from hearthtide.errors import StoreError
from hearthtide.service.commands import Command, Undo, event_of
from hearthtide.service.log import Entry


@dataclass(frozen=True)
class Told:
    """A command that counts, and the entry of the log it stands at."""

    seq: int
    command: Command


@dataclass(frozen=True)
class StayThen:
    """A place a plan meant a plate to stand at during [start_s, end_s)."""

    start_s: float
    end_s: float
    x_m: float
    y_m: float


@dataclass(frozen=True)
class PlateThen:
    """A plate in a plan; `acts` are (which of its kind, act, start), in order of time."""

    key: str
    stays: tuple[StayThen, ...]
    acts: tuple[tuple[int, str, float], ...]


@dataclass(frozen=True)
class OrderThen:
    """What a plan meant to land together: a course, or a drop of one."""

    table: str
    course: int
    landing_s: float
    plates: tuple[PlateThen, ...]


@dataclass(frozen=True)
class PlanTold:
    """A plan as it was told at `at_s`, made knowing the log up to entry `knows`."""

    at_s: float
    knows: int
    orders: tuple[OrderThen, ...]


@dataclass(frozen=True)
class History:
    """A night's log as one looks back on it, each list in the order things were told."""

    told: tuple[Told, ...]
    plans: tuple[PlanTold, ...]


def history(entries: Iterable[Entry]) -> History:
    """All that counts of a log. Raises StoreError for an entry that no version of ours wrote so far."""
    taken: list[Told] = []
    plans: list[PlanTold] = []
    for entry in entries:
        if '"kind":"plan"' in entry.body:
            plans += _plan(entry)
            continue
        event = event_of(entry)
        if not event.refused:
            taken.append(Told(entry.seq, event.command))
    return History(_standing(taken), tuple(plans))


def _standing(taken: list[Told]) -> tuple[Told, ...]:
    """Without undos and without what they took out."""
    undone = {told.command.what.of for told in taken if isinstance(told.command.what, Undo)}
    return tuple(
        told for told in taken if not isinstance(told.command.what, Undo) and told.command.id not in undone
    )


def _plan(entry: Entry) -> list[PlanTold]:
    """The plan of an entry; none where it was refused."""
    try:
        event = json.loads(entry.body)
        command, what = event["command"], event["command"]["what"]
        if event["refused"] or what["kind"] != "plan":
            return []
        orders = tuple(map(_order, what["orders"]))
        return [PlanTold(float(command["at_s"]), int(what["seq"]), orders)]
    except (KeyError, TypeError, ValueError) as err:
        raise StoreError(
            f"entry {entry.seq} cannot be read as a plan: {err!r}. Open the night with the version of "
            "Hearthtide that wrote it, or a newer one; nothing was changed."
        ) from err


def _order(order: dict[str, Any]) -> OrderThen:
    number = order["key"].partition(".")[2].partition("/")[0]
    plates = tuple(map(_plate, order["plates"]))
    return OrderThen(order["table"], int(number or 1), float(order["landing_s"]), plates)


def _plate(plate: dict[str, Any]) -> PlateThen:
    stays = tuple(
        StayThen(float(s["start_s"]), float(s["end_s"]), s["x_m"], s["y_m"]) for s in plate["stays"]
    )
    seen: dict[str, int] = {}
    acts = []
    for act in sorted(plate["acts"], key=lambda one: float(one["start_s"])):
        seen[act["act"]] = seen.get(act["act"], 0) + 1
        acts.append((seen[act["act"]], act["act"], float(act["start_s"])))
    return PlateThen(plate["key"], stays, tuple(acts))
