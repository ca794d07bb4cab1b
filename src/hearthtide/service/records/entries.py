"""What may be written into the records: each entry with who, when it was so, when it was written down.

Actual values only (21 CFR 117.305): what was read, by what, where. Nothing is ever changed; a correction is
an entry of its own that names the one it corrects.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter, model_validator
from pydantic.dataclasses import dataclass

from hearthtide.safety.probe_check import Checked
from hearthtide.safety.readings import STRICT, Reading
from hearthtide.safety.rules import FoodClass, Piece, RuleSet
from hearthtide.safety.states import Proof, State
from hearthtide.safety.verdicts import Answer

LATE = timedelta(minutes=15)  # written down so long after it was so an entry is flagged; own choice
Words = Annotated[str, Field(min_length=1, max_length=500)]
Key = Annotated[str, Field(min_length=1, max_length=120)]


@dataclass(frozen=True, config=STRICT)
class ReadingTaken:
    reading: Reading
    kind: Literal["reading"] = "reading"


@dataclass(frozen=True, config=STRICT)
class LotMade:
    """Food cooked ahead in one go: `made_of` names lots that went into it, `food` what its rule calls it."""

    lot: Key
    dish: Key
    quantity: Words
    made_of: tuple[Key, ...] = ()
    food: FoodClass | None = None
    piece: Piece | None = None
    kind: Literal["lot"] = "lot"


@dataclass(frozen=True, config=STRICT)
class Proved:
    """A verdict as it was when a lot became something; `readings` are the ids of those it stood on."""

    proof: Proof
    answer: Answer
    rule: str
    section: str
    words: str
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, config=STRICT)
class Pulled:
    """Portions of a chilled lot leave the cold, to be heated: from then on they are a lot of their own."""

    lot: Key
    of: Key
    quantity: Words
    kind: Literal["pulled"] = "pulled"


@dataclass(frozen=True, config=STRICT)
class LotMarked:
    """The last day a lot may be used on, as it was written on it."""

    lot: Key
    last_day: date
    kind: Literal["mark"] = "mark"


@dataclass(frozen=True, config=STRICT)
class ChilledBy:
    """How a lot is chilled from now on, and how thick it is at its thickest: for foresight alone."""

    lot: Key
    way: Key
    thickness_mm: Annotated[int, Field(ge=5, le=200)]
    kind: Literal["chilled by"] = "chilled by"


@dataclass(frozen=True, config=STRICT)
class FreezerMoved:
    """A chilled lot went into the freezer, or came out of it: its days stand still between (3-501.18(A))."""

    lot: Key
    way: Literal["in", "out"]
    kind: Literal["freezer"] = "freezer"


@dataclass(frozen=True, config=STRICT)
class TimeMarked:
    """The time by which food on time alone is used or discarded, as it was written on it (3-501.19(B)(2))."""

    lot: Key
    until: datetime
    kind: Literal["time mark"] = "time mark"

    @model_validator(mode="after")
    def _in_utc(self) -> TimeMarked:
        if self.until.utcoffset() != timedelta(0):
            raise ValueError("expected an instant in UTC")
        return self


@dataclass(frozen=True, config=STRICT)
class ProcedureKept:
    """A written procedure that is kept here: what it is for, and its reference (3-501.19(A))."""

    of: Literal["time alone"]
    reference: Words
    kind: Literal["procedure"] = "procedure"


@dataclass(frozen=True, config=STRICT)
class RulesChosen:
    """The rules the house goes by from now on, whole: its set by id and its own rules as they were entered.

    `sha256` is what its prints bear, so that a later one is verified by the rules of its day.
    """

    set: Key
    named: Words
    sha256: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    rules: RuleSet
    kind: Literal["rules"] = "rules"


@dataclass(frozen=True, config=STRICT)
class LotBecame:
    """A lot became something else: by which set, as which food, and what proved it then."""

    lot: Key
    state: State
    proofs: tuple[Proved, ...] = ()
    rules: str = ""
    food: FoodClass | None = None
    kind: Literal["became"] = "became"


@dataclass(frozen=True, config=STRICT)
class ProbeChecked:
    checked: Checked
    kind: Literal["probe check"] = "probe check"


@dataclass(frozen=True, config=STRICT)
class Corrected:
    """A reading as it should have been written; the old stays. `second`: who stands by it, where needed."""

    of: Key
    reading: Reading
    why: Words
    second: str = ""
    kind: Literal["correction"] = "correction"


@dataclass(frozen=True, config=STRICT)
class Deviation:
    """Something was not as a rule asks: what was found, on which readings it stands."""

    lot: Key
    rule: Key
    found: Words
    readings: tuple[Key, ...] = ()
    kind: Literal["deviation"] = "deviation"


@dataclass(frozen=True, config=STRICT)
class Closed:
    """A deviation is closed with all four said: cause, control again, prevention, what became of the food."""

    of: Key
    cause: Words
    control: Words
    prevention: Words
    disposition: Words
    kind: Literal["closed"] = "closed"


Body = Annotated[
    ReadingTaken
    | LotMade
    | Pulled
    | LotMarked
    | ChilledBy
    | FreezerMoved
    | TimeMarked
    | ProcedureKept
    | RulesChosen
    | LotBecame
    | ProbeChecked
    | Corrected
    | Deviation
    | Closed,
    Field(discriminator="kind"),
]


@dataclass(frozen=True, config=STRICT)
class Record:
    """One entry: `at` when it was so, `entered` when it was written down, both in UTC."""

    id: Key
    person: Key
    device: Key
    at: datetime
    entered: datetime
    offset_min: int
    body: Body

    @model_validator(mode="after")
    def _in_utc(self) -> Record:
        if any(one.utcoffset() != timedelta(0) for one in (self.at, self.entered)):
            raise ValueError("expected instants in UTC; say the offset of the place beside them")
        return self

    @property
    def late(self) -> bool:
        """Whether it was written down long after it was so."""
        return self.entered - self.at > LATE


RECORD: TypeAdapter[Record] = TypeAdapter(Record)
