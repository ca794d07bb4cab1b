"""What devices write into the records, and what they are answered: the API's own words."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field
from pydantic.dataclasses import dataclass

from hearthtide.board.said import Said, SaidWho
from hearthtide.safety.probe_check import Scale
from hearthtide.safety.readings import STRICT, Point, Unit
from hearthtide.safety.rules import FoodClass, Piece
from hearthtide.safety.states import State
from hearthtide.service.commands import Id
from hearthtide.service.records.entries import Key, Words
from hearthtide.service.tickets import NightS, Word

Shown = Annotated[Decimal, Field(ge=-100, le=2000, description="as the instrument showed it")]


@dataclass(frozen=True, config=STRICT)
class LotReading:
    """A lot's temperature as the probe showed it, in its own unit."""

    lot: Key
    value: Shown
    unit: Unit
    point: Point
    instrument: Word
    place: Annotated[str, Field(max_length=60)] = ""
    held_s: Annotated[int, Field(ge=0, le=3600)] = 0
    kind: Literal["lot_reading"] = "lot_reading"


@dataclass(frozen=True, config=STRICT)
class LotBegun:
    """Food cooked ahead in one go goes into the heat."""

    lot: Key
    dish: Key
    quantity: Words
    food: FoodClass | None = None
    piece: Piece | None = None
    made_of: Annotated[tuple[Key, ...], Field(max_length=20)] = ()
    kind: Literal["lot_made"] = "lot_made"


@dataclass(frozen=True, config=STRICT)
class LotStateTold:
    """What a lot became."""

    lot: Key
    state: State
    kind: Literal["lot_became"] = "lot_became"


@dataclass(frozen=True, config=STRICT)
class LotPulled:
    """Portions of a chilled lot leave the cold, to be heated."""

    lot: Key
    of: Key
    quantity: Words
    kind: Literal["lot_pulled"] = "lot_pulled"


@dataclass(frozen=True, config=STRICT)
class LotLastDay:
    """The last day that was written on a lot."""

    lot: Key
    last_day: date
    kind: Literal["lot_marked"] = "lot_marked"


@dataclass(frozen=True, config=STRICT)
class LotChilledBy:
    """How a lot is chilled from now on."""

    lot: Key
    way: Key
    thickness_mm: Annotated[int, Field(ge=5, le=200)]
    kind: Literal["lot_chilled_by"] = "lot_chilled_by"


@dataclass(frozen=True, config=STRICT)
class LotFreezer:
    """A chilled lot went into the freezer, or came out of it."""

    lot: Key
    way: Literal["in", "out"]
    kind: Literal["lot_freezer"] = "lot_freezer"


@dataclass(frozen=True, config=STRICT)
class LotTimeMarked:
    """The time that was marked on food on time alone: so many seconds from when it was told."""

    lot: Key
    for_s: Annotated[int, Field(ge=60, le=6 * 3600)]
    kind: Literal["lot_time_marked"] = "lot_time_marked"


@dataclass(frozen=True, config=STRICT)
class ProcedureTold:
    """A written procedure for time alone is kept in the house."""

    reference: Words
    kind: Literal["time_procedure"] = "time_procedure"


@dataclass(frozen=True, config=STRICT)
class BoilingChecked:
    """A thermometer in boiling water, so high above the sea, and what it showed."""

    instrument: Word
    shown: Shown
    unit: Unit
    scale: Scale
    height_m: Annotated[int, Field(ge=-400, le=4500)]
    kind: Literal["probe_in_boiling"] = "probe_in_boiling"


@dataclass(frozen=True, config=STRICT)
class IceChecked:
    """A thermometer in melting ice, and what it showed."""

    instrument: Word
    shown: Shown
    unit: Unit
    scale: Scale
    kind: Literal["probe_in_ice"] = "probe_in_ice"


@dataclass(frozen=True, config=STRICT)
class NotAsItShould:
    """Something was not as a rule asks: what was found."""

    lot: Key
    rule: Key
    found: Words
    kind: Literal["deviation"] = "deviation"


@dataclass(frozen=True, config=STRICT)
class PutRight:
    """A deviation is closed, with all four."""

    of: Key
    cause: Words
    control: Words
    prevention: Words
    disposition: Words
    kind: Literal["deviation_closed"] = "deviation_closed"


Noted = (
    LotReading
    | LotBegun
    | LotStateTold
    | LotPulled
    | LotLastDay
    | LotChilledBy
    | LotFreezer
    | LotTimeMarked
    | ProcedureTold
    | IceChecked
    | BoilingChecked
    | NotAsItShould
    | PutRight
)
SaidNoted = Annotated[Noted, Field(discriminator="kind")]


class SaidRecord(Said):
    """An entry as a device saw it; whose it is is whose session it is."""

    id: Id
    at_s: NightS
    what: SaidNoted
    night: Annotated[
        str, Field(max_length=40, description="whose seconds these are; empty: this night's")
    ] = ""


class SaidCorrection(Said):
    """A reading as it should have been written; `second` stands by it with their own PIN, where needed."""

    id: Id
    of: Key
    value: Shown
    unit: Unit
    why: Words
    second: SaidWho | None = None
