"""Everything a cook, the pass or a till may tell a running night: plain facts, each with its bounds.

The words are those of a night's and an events file. A command carries the id its device made for it, who
says it and when that device saw it happen: a repeat after a lost answer changes nothing.
"""

from __future__ import annotations

import json
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass

from hearthtide.errors import StoreError
from hearthtide.house.events_file import Item as ItemKey
from hearthtide.house.models import Act
from hearthtide.house.night_file import Table
from hearthtide.service.log import Entry
from hearthtide.service.plan_told import PlanMade
from hearthtide.service.tickets import (
    STRICT,
    Allergy,
    ApartS,
    CourseNumber,
    Covers,
    DishKey,
    DragS,
    Drops,
    NightS,
    Plates,
    Priority,
    Spot,
    Ticket,
    Word,
)

Id = Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]{8,64}$", description="made by the device, once only")]
Item = Annotated[ItemKey, Field(max_length=24, description="a plate by table and number, such as `B4-2`")]
Way = Literal["tapped", "typed", "csv", "feed"]
# What people see or hear of the fire and the air besides a flame that is out (`safety.fire_states`).
Danger = Literal["carbon monoxide", "fire", "coals behind a door", "extraction off"]
# A note: words on as many lines as wanted, no other control sign.
_NOTE = r"^[^\x00-\x09\x0b-\x1f\x7f]*[^\s\x00-\x1f\x7f][^\x00-\x09\x0b-\x1f\x7f]*$"
Nth = Annotated[int, Field(ge=1, le=20, description="which of the plate's acts of this kind")]


@dataclass(frozen=True, config=STRICT)
class TicketCalled:
    """A ticket is called, by whatever way it came."""

    ticket: Ticket
    way: Way
    kind: Literal["ticket"] = "ticket"


@dataclass(frozen=True, config=STRICT)
class Amended:
    """A ticket is otherwise than it was called: what is given counts, the rest stays.

    `wanted_s` is of the course named; plates in `take_off` are not made, or come off the hearth.
    """

    table: Table
    course: CourseNumber = 1
    wanted_s: NightS | None = None
    covers: Covers | None = None
    priority: Priority | None = None
    allergy: Allergy | None = None
    take_off: Annotated[tuple[Item, ...], Field(max_length=60)] = ()
    kind: Literal["amend"] = "amend"


@dataclass(frozen=True, config=STRICT)
class DishesAdded:
    """More plates for a course that has not landed."""

    table: Table
    plates: Plates
    course: CourseNumber = 1
    kind: Literal["add"] = "add"


@dataclass(frozen=True, config=STRICT)
class EightySix:
    """A dish has run out: plates of it that have not begun are not made, and no more are taken."""

    dish: DishKey
    kind: Literal["eighty_six"] = "eighty_six"


@dataclass(frozen=True, config=STRICT)
class BackOn:
    """A dish that had run out is there again, for plates called from now on."""

    dish: DishKey
    kind: Literal["back_on"] = "back_on"


@dataclass(frozen=True, config=STRICT)
class Hold:
    """Begin nothing more of a course until it is fired."""

    table: Table
    course: CourseNumber = 1
    kind: Literal["hold"] = "hold"


@dataclass(frozen=True, config=STRICT)
class Fire:
    """Start cooking a course that was held, to land at `wanted_s`."""

    table: Table
    wanted_s: NightS
    course: CourseNumber = 1
    kind: Literal["fire"] = "fire"


@dataclass(frozen=True, config=STRICT)
class Drag:
    """A course lands this much after the minute it was wanted; 0 takes a drag back."""

    table: Table
    drag_s: DragS
    course: CourseNumber = 1
    kind: Literal["drag"] = "drag"


@dataclass(frozen=True, config=STRICT)
class Split:
    """A course lands in so many drops, each wanted so much after the one before it."""

    table: Table
    drops: Drops
    drops_apart_s: ApartS = 0.0
    course: CourseNumber = 1
    kind: Literal["split"] = "split"


@dataclass(frozen=True, config=STRICT)
class Refire:
    """A plate is spoiled: it comes off and the same dish is begun anew for its course."""

    item: Item
    kind: Literal["refire"] = "refire"


@dataclass(frozen=True, config=STRICT)
class Landed:
    """A course has left for its table."""

    table: Table
    course: CourseNumber = 1
    kind: Literal["landed"] = "landed"


@dataclass(frozen=True, config=STRICT)
class MoveDone:
    """An act on a plate has been done.

    `assumed`: nobody said so, it was due and nobody said "not yet". That is contradicted by `NotYet` and
    put right by a `MoveDone` that somebody saw.
    """

    item: Item
    act: Act
    nth: Nth = 1
    assumed: bool = False
    kind: Literal["done"] = "done"


@dataclass(frozen=True, config=STRICT)
class NotYet:
    """An act on a plate is not done and will not be before so much later than now."""

    item: Item
    act: Act
    late_s: Annotated[float, Field(gt=0, le=3600)]
    nth: Nth = 1
    kind: Literal["not_yet"] = "not_yet"


@dataclass(frozen=True, config=STRICT)
class StageSeen:
    """An eye on a plate: the stage now going will be done at `done_s`."""

    item: Item
    done_s: NightS
    kind: Literal["seen"] = "seen"


@dataclass(frozen=True, config=STRICT)
class Undo:
    """The command of that id was not meant, said within ten seconds of it."""

    of: Id
    kind: Literal["undo"] = "undo"


@dataclass(frozen=True, config=STRICT)
class Reading:
    """A measured temperature: of what, where (a plate, a place on the stone or a place by name), by what.

    Who and when are the command's own.
    """

    temperature_C: Annotated[float, Field(ge=-40, le=1200)]
    of: Literal["core", "surface", "floor", "dome", "air"]
    instrument: Word
    item: Item | None = None
    spot: Spot | None = None
    place: Word | None = None
    kind: Literal["reading"] = "reading"


@dataclass(frozen=True, config=STRICT)
class Spill:
    """A circle of stone is shut until then."""

    x_m: Annotated[float, Field(ge=-2, le=2)]
    y_m: Annotated[float, Field(ge=0, le=4)]
    radius_m: Annotated[float, Field(ge=0.01, le=1)]
    until_s: NightS
    why: Word = "a spill"
    kind: Literal["spill"] = "spill"


@dataclass(frozen=True, config=STRICT)
class DeadPlatter:
    """Platters out of the bank for the rest of the night: cold, cracked, dropped."""

    count: Annotated[int, Field(ge=1, le=200)] = 1
    kind: Literal["dead_platter"] = "dead_platter"


@dataclass(frozen=True, config=STRICT)
class CookOut:
    """A cook is not there, or no longer."""

    cook: Word
    kind: Literal["cook_out"] = "cook_out"


@dataclass(frozen=True, config=STRICT)
class CookIn:
    """A cook is there again."""

    cook: Word
    kind: Literal["cook_in"] = "cook_in"


@dataclass(frozen=True, config=STRICT)
class FlameOut:
    """The flame has gone out."""

    kind: Literal["flame_out"] = "flame_out"


@dataclass(frozen=True, config=STRICT)
class GasShut:
    """The gas is shut, after its flame went out: the wait before it may be lit again runs from here."""

    kind: Literal["gas_shut"] = "gas_shut"


@dataclass(frozen=True, config=STRICT)
class DangerSeen:
    """Somebody says that this is so; while it is, nothing is planned but the way out."""

    danger: Danger
    kind: Literal["danger"] = "danger"


@dataclass(frozen=True, config=STRICT)
class DangerOver:
    """Somebody says that this is no longer so."""

    danger: Danger
    kind: Literal["danger_over"] = "danger_over"


@dataclass(frozen=True, config=STRICT)
class FlameSet:
    """The flame burns at a level, lit anew or changed."""

    level: Word
    kind: Literal["flame"] = "flame"


@dataclass(frozen=True, config=STRICT)
class Waste:
    """So many more portions of a dish are thrown away; below zero takes back what was counted too much."""

    dish: DishKey
    count: Annotated[int, Field(ge=-200, le=200)]
    why: Word = "left over"
    kind: Literal["waste"] = "waste"


@dataclass(frozen=True, config=STRICT)
class Handover:
    """What the next cook should know. The last note of a night stands."""

    words: Annotated[str, Field(max_length=500, pattern=_NOTE)]
    kind: Literal["handover"] = "handover"


OnTickets = (
    TicketCalled | Amended | DishesAdded | EightySix | BackOn | Hold | Fire | Drag | Split | Refire | Landed
)
OnPlates = MoveDone | NotYet | StageSeen
OnKitchen = (
    Reading | Spill | DeadPlatter | CookOut | CookIn | FlameOut | GasShut | DangerSeen | DangerOver | FlameSet
)
AtClose = Waste | Handover
What = OnTickets | OnPlates | OnKitchen | AtClose | Undo
SaidWhat = Annotated[What, Field(discriminator="kind")]  # by people and tills
ToldWhat = Annotated[What | PlanMade, Field(discriminator="kind")]  # and by the planner


@dataclass(frozen=True, config=STRICT)
class Command:
    """What is told, under the device's own id: by whom, and when that device saw it."""

    id: Id
    by: Word
    at_s: NightS
    what: ToldWhat


@dataclass(frozen=True, config=STRICT)
class Event:
    """A command as the log keeps it: when it was heard, and why it was refused (empty: it was not)."""

    command: Command
    heard_s: Annotated[float, Field(ge=0)]
    refused: str = ""
    form: Literal[1] = 1


_EVENT: TypeAdapter[Event] = TypeAdapter(Event)


def text_of(event: Event) -> str:
    """An event as the log's text: the same event is the same bytes, in ASCII."""
    return plain_text(_EVENT.dump_python(event, mode="json"))


def event_of(entry: Entry) -> Event:
    """The event of a log's entry. Raises StoreError for text that no version of ours wrote so far."""
    try:
        return _EVENT.validate_json(entry.body)
    except ValidationError as err:
        first = err.errors()[0]
        where = ".".join(map(str, first["loc"])) or "its text"
        raise StoreError(
            f"entry {entry.seq} cannot be read: {where}: {first['msg']}. Open the night with the version of "
            "Hearthtide that wrote it, or a newer one; nothing was changed."
        ) from err


def plain_text(told: object) -> str:
    """JSON with its keys in order and no spaces, in ASCII."""
    return json.dumps(told, sort_keys=True, separators=(",", ":"), allow_nan=False)
