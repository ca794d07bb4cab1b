"""What goes wrong in a rehearsed night, told or done at its minute."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from hearthtide.house.events_file import SpillFile
from hearthtide.house.upsets_file import UpsetFile
from hearthtide.service import commands as told
from hearthtide.service.rehearsal.hearth import GUN
from hearthtide.service.rehearsal.people import ROOM
from hearthtide.service.rehearsal.says import Says
from hearthtide.service.tickets import ticket_of


class Machinery(Protocol):
    """What can be killed under a night."""

    def kill_planner(self) -> None: ...
    def kill_board(self) -> None: ...


class Upsets:
    """Each comes once, at its minute; `who` tells what the kitchen sees, and shuts the gas of a flame."""

    def __init__(
        self, upsets: Iterable[UpsetFile], who: str, burns_gas: bool, says: Says, machinery: Machinery
    ) -> None:
        self._to_come = sorted(upsets, key=lambda u: u.at)
        self._who, self._says, self._machinery = who, says, machinery
        self._burns_gas = burns_gas

    @property
    def next_s(self) -> float | None:
        """When the next one comes; None when all have."""
        return self._to_come[0].at if self._to_come else None

    def step(self, now_s: float) -> None:
        while self._to_come and self._to_come[0].at <= now_s:
            upset = self._to_come.pop(0)
            if upset.planner is not None:
                self._machinery.kill_planner()
            elif upset.board is not None:
                self._machinery.kill_board()
            else:
                self._says(ROOM if upset.ticket is not None else self._who, said(upset), upset.at)
                if upset.flame_out is not None and self._burns_gas:
                    self._says(self._who, told.GasShut(), upset.at)


def said(upset: UpsetFile) -> told.What:
    """An upset as somebody tells it. Raises ValueError for one that nobody tells: a process that dies."""
    if upset.ticket is not None:
        return told.TicketCalled(ticket_of(upset.ticket), "tapped")
    if upset.spill is not None:
        return _spill(upset.spill)
    if upset.floor is not None:
        return told.Reading(upset.floor, "floor", GUN, place="working stone")
    if upset.dead_platters is not None:
        return told.DeadPlatter(upset.dead_platters)
    if upset.flame_out is not None:
        return told.FlameOut()
    of_one = (
        (upset.refire, told.Refire),
        (upset.eighty_six, told.EightySix),
        (upset.back_on, told.BackOn),
        (upset.cook_out, told.CookOut),
        (upset.cook_in, told.CookIn),
        (upset.flame, told.FlameSet),
    )
    for name, kind in of_one:
        if name is not None:
            return kind(name)
    raise ValueError(f"nobody tells that of {upset}")


def _spill(spill: SpillFile) -> told.Spill:
    return told.Spill(spill.x, spill.y, spill.radius, spill.until, spill.why)
