"""A command in a cook's words, on one line."""

from __future__ import annotations

from hearthtide.quantities.show import clock_text, duration_text, temperature_text
from hearthtide.service import commands as told
from hearthtide.service.plan_told import PlanMade


def words_of(what: told.What | PlanMade) -> str:
    """What is told, in words.

    >>> words_of(told.MoveDone("B4-2", "launch"))
    'launch of B4-2 is done'
    """
    if isinstance(what, PlanMade):
        return f"a plan for {len(what.orders)} landings is made"
    return _on_ticket(what) or _on_plate(what) or _on_kitchen(what)


def _on_ticket(what: told.What) -> str:
    match what:
        case told.TicketCalled():
            return f"{what.ticket.table} is called"
        case told.Amended():
            return f"{what.table} is amended"
        case told.DishesAdded():
            return f"{len(what.plates)} more for {_course(what.table, what.course)}"
        case told.EightySix():
            return f"86 {what.dish}"
        case told.BackOn():
            return f"{what.dish} is back on"
        case told.Hold():
            return f"{_course(what.table, what.course)} is held"
        case told.Fire():
            return f"{_course(what.table, what.course)} is fired for {clock_text(what.wanted_s)}"
        case told.Drag():
            return f"{_course(what.table, what.course)} drags {duration_text(what.drag_s)}"
        case told.Split():
            return f"{_course(what.table, what.course)} lands in {what.drops} drops"
        case told.Landed():
            return f"{_course(what.table, what.course)} has landed"
    return ""


def _on_plate(what: told.What) -> str:
    match what:
        case told.Refire():
            return f"{what.item} is made again"
        case told.MoveDone():
            return f"{_act(what)} is done"
        case told.NotYet():
            return f"{_act(what)} not for {duration_text(what.late_s)}"
        case told.StageSeen():
            return f"{what.item} will be done at {clock_text(what.done_s)}"
        case told.Undo():
            return "the last act is undone"
    return ""


def _on_kitchen(what: told.What) -> str:
    match what:
        case told.Reading():
            return f"{what.of} reads {temperature_text(what.temperature_C)}"
        case told.Spill():
            return f"{what.why}, shut until {clock_text(what.until_s)}"
        case told.DeadPlatter():
            return f"{what.count} platters are dead" if what.count > 1 else "a platter is dead"
        case told.CookOut():
            return f"{what.cook} is out"
        case told.CookIn():
            return f"{what.cook} is in"
        case told.FlameOut():
            return "the flame is out"
        case told.GasShut():
            return "the gas is shut"
        case told.DangerSeen():
            return f"{what.danger} is told"
        case told.DangerOver():
            return f"{what.danger} is over"
        case told.FlameSet():
            return f"the flame burns at {what.level}"
        case told.Waste():
            return f"{what.count:+d} {what.dish} thrown away, {what.why}"
        case told.Handover():
            return "a note for the next cook"
    raise TypeError(f"no words for {type(what).__name__}")


def _course(table: str, course: int) -> str:
    return table if course == 1 else f"{table} course {course}"


def _act(what: told.MoveDone | told.NotYet) -> str:
    return f"{what.act} of {what.item}" if what.nth == 1 else f"{what.act} {what.nth} of {what.item}"
