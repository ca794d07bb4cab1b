"""What a rule set can say: a dataclass for each kind of rule, with its section, its weight, how it is known.

A rule is data. Nothing here decides; `verdicts`, `cooling`, `dates` and `time_control` do, by these alone.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Literal, TypeVar

from pydantic import Field
from pydantic.dataclasses import dataclass

from hearthtide.safety.readings import STRICT, Limit, Point

Severity = Literal["block", "block until document", "notice"]
# seen: read in a text that reproduces the section. memory: not re-read, shown as unverified. own: a choice of
# this program, not law.
Known = Literal["seen", "memory", "own"]
FoodClass = Literal[
    "poultry", "stuffed", "wild game", "ground", "tenderized", "injected", "pooled eggs", "intact meat",
    "pork", "fish", "shellfish", "egg to order", "intact beef steak", "plant",
]  # fmt: skip
R = TypeVar("R", bound="Clause")
UNVERIFIED = "unverified: from memory, to be read in the code itself"


@dataclass(frozen=True, config=STRICT)
class Override:
    """A rule the house entered in place of the set's own, by its local adoption."""

    who: str
    on: date
    why: str


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Clause:
    """What every rule carries: its name here, its section there, its weight, how it is known, plain words."""

    id: str
    section: str
    severity: Severity
    known: Known
    words: str
    checked: str = ""
    override: Override | None = None

    @property
    def cited(self) -> str:
        """The section, and what must be said of it."""
        said = [self.section]
        if self.known == "memory":
            said.append(UNVERIFIED)
        if self.known == "own":
            said.append("own choice, not law")
        if self.override is not None:
            said.append(f"as entered by {self.override.who} on {self.override.on.isoformat()}")
        return "; ".join(said)


@dataclass(frozen=True, config=STRICT)
class Line:
    """A temperature the coldest part must stand at for so long; no time: at once."""

    limit: Limit
    held_s: int = 0


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Cook(Clause):
    """Any one of its lines, at `point`, cooks these foods. No lines: the set states no number for them."""

    foods: tuple[FoodClass, ...]
    lines: tuple[Line, ...] = ()
    point: Point = "coldest"
    what: Literal["cook"] = "cook"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Cool(Clause):
    """From one temperature to another within so long.

    `since`: from when the clock runs: where food was last at `above`, or where the stage before was met.
    `starts`: of food made hot, or of food made from ingredients at room temperature.
    """

    above: Limit
    to: Limit
    within_s: int
    since: Literal["start", "stage before"] = "start"
    starts: Literal["hot", "room"] = "hot"
    what: Literal["cool"] = "cool"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Hold(Clause):
    """Where food is kept: hot at or above, cold at or below. No limit: the set states no number."""

    side: Literal["hot", "cold"]
    limit: Limit | None = None
    what: Literal["hold"] = "hold"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Reheat(Clause):
    """Food that was cooked and chilled, heated again: for one order at once, or to be kept hot.

    No lines: any temperature. `within_s` counts from where it left the cold.
    """

    purpose: Literal["one order", "hold"]
    lines: tuple[Line, ...] = ()
    as_cooked: bool = False  # the lines are those of the food's own cooking rule
    within_s: int | None = None
    what: Literal["reheat"] = "reheat"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class OutOfControl(Clause):
    """Time instead of temperature.

    `way`: `no return` (its food is used or discarded by then), or `cumulative` (back into the cold up to
    `back_s`, used up to `within_s`). `cold_start` and `hot_start`: where it may begin; `never_above`: the
    food may not pass that. `needs_procedure`: only by a written one.
    """

    way: Literal["no return", "cumulative"]
    within_s: int
    cold_start: Limit | None = None
    hot_start: Limit | None = None
    never_above: Limit | None = None
    back_s: int | None = None
    needs_procedure: bool = False
    what: Literal["out of control"] = "out of control"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class DateMark(Clause):
    """Ready-to-eat food kept cold: its last day, the day of its making counted as day one or not."""

    days: int
    making_is_day_one: bool = True
    what: Literal["date mark"] = "date mark"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class ParCook(Clause):
    """A first heat that is stopped before the food is cooked, by an approved written procedure alone."""

    first_heat_s: int
    what: Literal["par-cook"] = "par-cook"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class ProbeCheck(Clause):
    """How far a thermometer may be off at a point that is known; `F` for one that shows °F only."""

    off_C: Decimal
    off_F: Decimal
    what: Literal["probe check"] = "probe check"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Allergens(Clause):
    """The allergens that are named by law."""

    names: tuple[str, ...]
    what: Literal["allergens"] = "allergens"


Rule = Annotated[
    Cook | Cool | Hold | Reheat | OutOfControl | DateMark | ParCook | ProbeCheck | Allergens,
    Field(discriminator="what"),
]


@dataclass(frozen=True, config=STRICT)
class RuleSet:
    """One jurisdiction's rules in one edition. A house has one, or none; they are never blended."""

    id: str
    jurisdiction: str
    title: str
    edition: str
    force: str
    rules: tuple[Rule, ...]

    @property
    def named(self) -> str:
        """As it is told beside every verdict."""
        return f"{self.title}, {self.edition} ({self.jurisdiction})"

    def of(self, kind: type[R]) -> tuple[R, ...]:
        """Its rules of one kind, in its order."""
        return tuple(rule for rule in self.rules if isinstance(rule, kind))
