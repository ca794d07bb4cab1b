"""What a cook reports, as events of the plan being run: acts early or late, eyes and probes, spills, 86."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from hearthtide.food.cooking import trace
from hearthtide.food.model import prepare, start
from hearthtide.house.events_file import EventFile
from hearthtide.house.files import portion
from hearthtide.house.models import House
from hearthtide.planning.build import ticket_orders
from hearthtide.planning.events import ActSeen, Event, Gone, NewTicket, Refire, StageSeen, find
from hearthtide.planning.exposure import seat
from hearthtide.planning.live import Happening
from hearthtide.planning.night import Prepared
from hearthtide.planning.problem import Closed, Placed, Stay
from hearthtide.planning.response import LONGEST_S, covered, heat_at, respond
from hearthtide.planning.told import Running
from hearthtide.quantities.show import clock_text, duration_text

TRACE_S = 5.0  # the core's course is looked at so often; own choice
# A reading that says food is this much slower or faster than the models contradicts them; own choice.
SLOWEST, FASTEST = 2.5, 0.4


@dataclass(frozen=True)
class Told:
    """Where events are read against: the house and its night made ready."""

    house: House
    ready: Prepared


def happening(told: Told, event: EventFile) -> Happening:
    """One line of an events file as something that happened."""
    return Happening(round(event.at), _words(event), partial(_events, told, event))


def _words(event: EventFile) -> str:
    if event.ticket is not None:
        return f"{event.ticket.table} is called"
    if event.act is not None:
        by, way = (event.late, "late") if event.early is None else (event.early, "early")
        return f"{event.act} of {event.item} {duration_text(by or 0)} {way}"
    if event.probe is not None:
        return f"{event.item} reads {event.probe:.0f} °C"
    if event.spill is not None:
        return f"{event.spill.why}, shut until {clock_text(event.spill.until)}"
    if event.eighty_six is not None:
        return f"86 {event.eighty_six}"
    return f"{event.refire} is made again" if event.refire is not None else f"{event.item} as seen"


def _events(told: Told, event: EventFile, running: Running) -> tuple[Event, ...]:
    problem = running.problem
    if event.ticket is not None:
        return (NewTicket(ticket_orders(problem, told.house, event.ticket, told.ready.stages)),)
    if event.spill is not None:
        shut = problem.places.near(event.spill.x, event.spill.y, event.spill.radius)
        return (Closed(shut, round(event.at), round(event.spill.until)),)
    if event.eighty_six is not None:
        return (Gone(event.eighty_six),)
    if event.refire is not None:
        return (Refire(event.refire),)
    _, placed = find(running.schedule, event.item or "")
    return (_act(placed, event) if event.act is not None else _seen(told, placed, event, running),)


def _act(placed: Placed, event: EventFile) -> ActSeen:
    """The act nearest in time to when it is told of, done so much sooner or later."""
    alike = [h for h in placed.handlings if h.act == event.act]
    if not alike:
        raise ValueError(f"no {event.act} is told for {event.item}")
    act = min(alike, key=lambda h: abs(h.start_s - event.at))
    by_s = -(event.early or 0.0) if event.late is None else event.late
    return ActSeen(placed.item.key, act, act.start_s + round(by_s), act.hands_s)


def _seen(told: Told, placed: Placed, event: EventFile, running: Running) -> StageSeen:
    """When the stage now going will be done."""
    begun = [stay for stay in placed.stays if stay.start_s <= event.at < stay.held_until_s]
    if not begun:
        raise ValueError(f"{event.item} is not on the hearth then")
    stay = begun[-1]
    if event.probe is not None:
        end = stay.start_s + probed_s(told, placed, stay, event.at, event.probe)
    elif event.done_at is not None:
        end = event.done_at
    else:
        end = stay.start_s + stay.asked_s + (event.more or 0.0) - (event.less or 0.0)
    return StageSeen(placed.item.key, stay.stage, max(round(end), round(event.at)))


def probed_s(told: Told, placed: Placed, stay: Stay, at_s: float, core_C: float) -> float:
    """How long the stage takes in all [s], by a core read `at_s`.

    The models run the stage at the item's spot; the item is taken to be as much slower or faster than they
    over the whole stage as it was up to the reading. Flips are left out. Raises ValueError for a core the
    models do not pass on the way, or so far from theirs that one of the two must be wrong.
    """
    house, ready = told.house, told.ready
    key = placed.item.dish
    bin_ = min(max(ready.problem.bin_of(stay.start_s), 0), len(ready.moments) - 1)
    moment, oven = ready.moments[bin_], ready.oven
    food, state = prepare(portion(house, key)), None
    state = start(food)
    for i, stage in enumerate(house.dishes[key].stages[: stay.stage]):
        if not stage.preheat:
            chair = seat(oven, ready.problem.places.spots[placed.stays[i].place])
            state = respond(oven, moment, chair, covered(food, stage), state, stage).state
    stage = house.dishes[key].stages[stay.stage]
    chair = seat(oven, ready.problem.places.spots[stay.place])
    course = trace(covered(food, stage), state, heat_at(oven, moment, chair, stage), LONGEST_S, TRACE_S)
    rising = np.maximum.accumulate(course.core_C)
    if not rising[0] < core_C < rising[-1]:
        raise ValueError(
            f"{core_C:.0f} °C is none the models pass, {rising[0]:.0f} to {rising[-1]:.0f} °C. Read again, "
            "in the middle of the thickest part."
        )
    theirs_s = float(np.interp(core_C, rising, course.times_s))
    pace = (at_s - stay.start_s) / max(theirs_s, 1.0)
    if not FASTEST <= pace <= SLOWEST:
        raise ValueError(
            f"{placed.item.key} reads {core_C:.0f} °C after {duration_text(at_s - stay.start_s)}, the models "
            f"after {duration_text(theirs_s)}. Read again; if it is so, say `done_at`."
        )
    return stay.asked_s * pace
