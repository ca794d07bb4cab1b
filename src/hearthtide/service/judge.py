"""Whether a command can be so, given what has happened: empty, or why not and what to do, on one line."""

from __future__ import annotations

from functools import singledispatch

from hearthtide.quantities.show import clock_text
from hearthtide.service import commands as told
from hearthtide.service.dangers import not_lit
from hearthtide.service.facts import Facts, LiveCourse, LivePlate, LiveTicket, Since, number_of, table_of
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.plan_told import PlanMade
from hearthtide.service.tickets import Plate

MOST_TICKETS = 400  # of a night, as in its file
MOST_PLATES = 999  # of a table: the number in a plate's key
MOST_AGAIN = 8  # times one plate is made again: its key grows by a sign each time; own choice


class Refused(Exception):
    """Carries the line out of the checks."""


def refusal(facts: Facts, kitchen: Kitchen, command: told.Command) -> str:
    """Why a command other than an undo cannot be so; empty when it can."""
    try:
        _judge(command.what, facts, kitchen, command.at_s)
    except Refused as refused:
        return str(refused)
    return ""


@singledispatch
def _judge(what: object, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    raise TypeError(f"no rule for {type(what).__name__}")


def _unless(words: str) -> None:
    if words:
        raise Refused(words)


@_judge.register
def _called(what: told.TicketCalled, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    ticket = what.ticket
    if facts.ticket(ticket.table) is not None:
        raise Refused(
            f"{ticket.table} has a ticket tonight. Add to it, or give the new one another name, such "
            "as the table and a letter."
        )
    if len(facts.tickets) >= MOST_TICKETS:
        raise Refused(f"the night has {MOST_TICKETS} tickets, as many as it can hold. Open a new night.")
    if ticket.refire_of is not None and facts.ticket(ticket.refire_of) is None:
        raise Refused(
            f"{ticket.refire_of} has no ticket tonight. Name the table whose plates are made again."
        )
    first = ticket.courses[0]
    _ahead(first.wanted_s + first.drag_s, at_s)
    _unless(kitchen.ticket_wrong(ticket))
    _on(facts, tuple(p for c in ticket.courses for p in c.plates))


@_judge.register
def _amended(what: told.Amended, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    ticket = _ticket(facts, what.table)
    given = (what.wanted_s, what.covers, what.priority, what.allergy)
    if all(one is None for one in given) and not what.take_off:
        raise Refused(f"nothing of {what.table} is amended. Say what is otherwise.")
    for key in what.take_off:
        if table_of(key) != what.table:
            raise Refused(f"{key} is not of {what.table}. Amend its own ticket.")
        _made(facts, key)
    if what.wanted_s is not None:
        _ahead(what.wanted_s + _open(ticket, what.course).drag_s, at_s)
        _in_order(ticket, what.course, what.wanted_s)
    allergy = ticket.allergy if what.allergy is None else what.allergy
    left = (p for p in ticket.plates if not p.off and p.key not in what.take_off)
    plates = tuple(_plate(p) for p in left if ticket.courses[p.course - 1].landed_s is None)
    if what.allergy is not None:
        _unless(kitchen.plates_wrong(what.table, plates, allergy))


@_judge.register
def _added(what: told.DishesAdded, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    ticket = _ticket(facts, what.table)
    _open(ticket, what.course)
    if max(number_of(p.key) for p in ticket.plates) + len(what.plates) > MOST_PLATES:
        raise Refused(f"{what.table} has had {MOST_PLATES} plates. Call a new ticket for the rest.")
    _unless(kitchen.plates_wrong(what.table, what.plates, ticket.allergy))
    _on(facts, what.plates)


@_judge.register
def _gone(what: told.EightySix, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _unless(kitchen.dish_wrong(what.dish))
    since = _named(facts.gone, what.dish)
    if since is not None:
        raise Refused(f"{what.dish} is off since {clock_text(since.at_s)}. Nothing more to do.")


@_judge.register
def _back_on(what: told.BackOn, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _unless(kitchen.dish_wrong(what.dish))
    if _named(facts.gone, what.dish) is None:
        raise Refused(f"{what.dish} is on. Nothing more to do.")


@_judge.register
def _held(what: told.Hold, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    if _open(_ticket(facts, what.table), what.course).held:
        raise Refused(f"{what.table} course {what.course} is held already. Fire it when it is wanted.")


@_judge.register
def _fired(what: told.Fire, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    ticket = _ticket(facts, what.table)
    if not _open(ticket, what.course).held:
        raise Refused(f"{what.table} course {what.course} is not held. Amend or drag it instead.")
    _ahead(what.wanted_s, at_s)
    _in_order(ticket, what.course, what.wanted_s)


@_judge.register
def _dragged(what: told.Drag, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    ticket = _ticket(facts, what.table)
    course = _open(ticket, what.course)
    _in_order(ticket, what.course, course.wanted_s, what.drag_s)


@_judge.register
def _split(what: told.Split, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    ticket = _ticket(facts, what.table)
    _open(ticket, what.course)
    plates = sum(p.course == what.course and not p.off for p in ticket.plates)
    if what.drops > plates:
        raise Refused(f"{what.table} course {what.course} has {plates} plates. Split it into no more drops.")


@_judge.register
def _refired(what: told.Refire, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    plate = _made(facts, what.item, "Call a new ticket that is a re-fire of its table.")
    since = _named(facts.gone, plate.dish)
    if since is not None:
        raise Refused(_off_words(since))
    if plate.key.count("+") >= MOST_AGAIN:
        raise Refused(f"{plate.key} was made again {MOST_AGAIN} times. Add a new plate to its ticket.")


@_judge.register
def _landed(what: told.Landed, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _open(_ticket(facts, what.table), what.course)


@_judge.register
def _done(what: told.MoveDone, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    plate = _acted_on(facts, what)
    done = next((d for d in plate.done if (d.act, d.nth) == (what.act, what.nth)), None)
    if done is not None and (what.assumed or not done.assumed):
        by = "taken as done when due" if done.assumed else f"done by {done.by}"
        raise Refused(f"{what.act} of {what.item} was {by} at {clock_text(done.at_s)}. Nothing more to do.")


@_judge.register
def _not_yet(what: told.NotYet, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    plate = _acted_on(facts, what)
    done = next((d for d in plate.done if (d.act, d.nth) == (what.act, what.nth)), None)
    if done is not None and not done.assumed:
        raise Refused(
            f"{what.act} of {what.item} was done by {done.by} at {clock_text(done.at_s)}. If it was not, "
            "undo that, or make the plate again."
        )


@_judge.register
def _seen(what: told.StageSeen, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _made(facts, what.item)


@_judge.register
def _read(what: told.Reading, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    places = [one for one in (what.item, what.spot, what.place) if one is not None]
    if len(places) != 1:
        raise Refused(
            "a reading is of one place. Say the plate, the spot, or the place's name, and only one."
        )
    if what.item is not None and facts.plate(what.item) is None:
        raise Refused(f"{what.item} is no plate of tonight. Name the place instead; the reading is kept so.")
    if what.of == "core" and not -5 <= what.temperature_C <= 100:
        raise Refused(f"a core of {what.temperature_C:.0f} °C cannot be (expected -5 to 100 °C). Read again.")


@_judge.register
def _spilt(what: told.Spill, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _ahead(what.until_s, at_s)


@_judge.register
def _dead(what: told.DeadPlatter, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    left = kitchen.platters - facts.dead_platters
    if what.count > left:
        raise Refused(f"the bank has {left} platters left. Count them, and say how many are dead.")


@_judge.register
def _out(what: told.CookOut, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _unless(kitchen.cook_wrong(what.cook))
    since = _named(facts.cooks_out, what.cook)
    if since is not None:
        raise Refused(f"{what.cook} is out since {clock_text(since.at_s)}. Nothing more to do.")


@_judge.register
def _in(what: told.CookIn, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _unless(kitchen.cook_wrong(what.cook))
    if _named(facts.cooks_out, what.cook) is None:
        raise Refused(f"{what.cook} is in. Nothing more to do.")


@_judge.register
def _flame_out(what: told.FlameOut, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    if facts.flame_out is not None:
        since = clock_text(facts.flame_out.at_s)
        raise Refused(f"the flame is out since {since}. Say its level once it burns again.")


@_judge.register
def _gas_shut(what: told.GasShut, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    if not kitchen.burns_gas:
        raise Refused("this oven burns no gas.")
    if facts.flame_out is None:
        raise Refused("the flame is not told to be out. Say that first, then that its gas is shut.")
    if facts.gas_shut is not None:
        raise Refused(f"the gas is shut since {clock_text(facts.gas_shut.at_s)}. The wait runs from then.")


@_judge.register
def _danger(what: told.DangerSeen, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    since = _named(facts.dangers, what.danger)
    if since is not None:
        raise Refused(f"{what.danger} is told since {clock_text(since.at_s)}. Say when it is over.")


@_judge.register
def _danger_over(what: told.DangerOver, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    since = _named(facts.dangers, what.danger)
    if since is None:
        raise Refused(f"nobody told of {what.danger}.")
    if at_s < since.at_s:
        raise Refused(f"{what.danger} was told after that, at {clock_text(since.at_s)}. Is that over too?")


@_judge.register
def _flame_set(what: told.FlameSet, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _unless(kitchen.level_wrong(what.level))
    if facts.flame_out is not None and at_s < facts.flame_out.at_s:
        raise Refused(f"the flame went out after that, at {clock_text(facts.flame_out.at_s)}.")
    if facts.dangers and facts.flame_out is None and kitchen.is_lower(what.level, facts.flame):
        return  # the fire goes down: that is part of the way out
    words = not_lit(facts, kitchen.burns_gas, at_s)
    if words:
        raise Refused(f"the flame cannot be said to burn: {words}")


@_judge.register
def _planned(what: PlanMade, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    """A plan only says what was meant."""


@_judge.register
def _wasted(what: told.Waste, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    _unless(kitchen.dish_wrong(what.dish))
    counted = facts.wasted_of(what.dish, what.why)
    if what.count == 0 or counted + what.count < 0:
        counted_so = f"{counted} of {what.dish} are counted as {what.why}"
        raise Refused(f"{counted_so}. Say how many more, or take back no more than that.")


@_judge.register
def _handed_over(what: told.Handover, facts: Facts, kitchen: Kitchen, at_s: float) -> None:
    """Any words will do."""


def _ticket(facts: Facts, table: str) -> LiveTicket:
    ticket = facts.ticket(table)
    if ticket is None:
        raise Refused(f"{table} has no ticket tonight. Call one, or correct the table.")
    return ticket


def _open(ticket: LiveTicket, number: int) -> LiveCourse:
    """A course that has not landed."""
    if number > len(ticket.courses):
        raise Refused(f"{ticket.table} has {len(ticket.courses)} courses, no course {number}. Correct it.")
    course = ticket.courses[number - 1]
    if course.landed_s is not None:
        at = clock_text(course.landed_s)
        raise Refused(f"{ticket.table} course {number} landed at {at}. Call a new ticket.")
    return course


def _made(facts: Facts, key: str, remedy: str = "") -> LivePlate:
    """A plate that is being made."""
    plate = facts.plate(key)
    if plate is None:
        raise Refused(f"{key} is no plate of tonight. Correct its table or number.")
    if plate.off:
        raise Refused(f"{key} is no longer made ({plate.off}). Look for the plate made in its place.")
    ticket = _ticket(facts, table_of(key))
    landed_s = ticket.courses[plate.course - 1].landed_s
    if landed_s is not None:
        raise Refused(f"{key} landed at {clock_text(landed_s)}. {remedy or 'It is out of the kitchen.'}")
    return plate


def _acted_on(facts: Facts, what: told.MoveDone | told.NotYet) -> LivePlate:
    if what.act == "flame":
        raise Refused("the flame is no act on a plate. Say the level it burns at.")
    return _made(facts, what.item)


def _plate(live: LivePlate) -> Plate:
    return Plate(live.dish, live.spot, live.allergy)


def _on(facts: Facts, plates: tuple[Plate, ...]) -> None:
    """All dishes are on."""
    for plate in plates:
        since = _named(facts.gone, plate.dish)
        if since is not None:
            raise Refused(_off_words(since))


def _off_words(since: Since) -> str:
    return f"86 {since.name} since {clock_text(since.at_s)}. Tell the table, or say that it is back on."


def _named(all_since: tuple[Since, ...], name: str) -> Since | None:
    return next((since for since in all_since if since.name == name), None)


def _ahead(wanted_s: float, at_s: float) -> None:
    if wanted_s <= at_s:
        raise Refused(f"{clock_text(wanted_s)} lies in the past at {clock_text(at_s)}. Say a later minute.")


def _in_order(ticket: LiveTicket, number: int, wanted_s: float, drag_s: float | None = None) -> None:
    """A course that is to land then still comes after the one before it and before the next one."""
    course = ticket.courses[number - 1]
    lands_s = wanted_s + (course.drag_s if drag_s is None else drag_s)
    before = ticket.courses[number - 2] if number > 1 else None
    behind = ticket.courses[number] if number < len(ticket.courses) else None
    if before is not None and lands_s <= before.lands_s:
        raise Refused(
            f"course {number - 1} lands at {clock_text(before.lands_s)}, after that. Say a later minute."
        )
    if behind is not None and not behind.held and lands_s >= behind.lands_s:
        raise Refused(
            f"course {number + 1} lands at {clock_text(behind.lands_s)}, before that. Move that one first."
        )
