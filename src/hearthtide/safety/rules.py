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
# this program, not law. practice: common practice, no source.
Known = Literal["seen", "memory", "own", "practice"]
FoodClass = Literal[
    "poultry", "stuffed", "wild game", "ground", "tenderized", "injected", "pooled eggs", "intact meat",
    "pork", "fish", "shellfish", "egg to order", "intact beef steak", "whole roast", "plant",
]  # fmt: skip
Piece = Literal["half bird", "whole bird", "pieces"]
# What makes a cut of meat no longer intact: what was outside may be inside.
Handling = Literal["injected", "mechanically tenderized", "reconstructed", "scored and marinated"]
Oven = Literal["still dry", "convection"]
# Food that may be on time alone from room temperature: it needs the cold only once it is cut or opened.
Opened = Literal["cut produce", "opened pack"]
Apartness = Literal["raw and ready to eat", "shellfish", "raw kinds"]
# Types of raw animal food. Five are those that 3-302.11(A)(2) names after "such as"; the rest own choice.
RawKind = Literal["beef", "fish", "lamb", "pork", "poultry", "shellfish", "egg", "game"]
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
        if self.known == "practice":
            said.append("common practice, no source")
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
    """Any one of its lines, at `point`, cooks these foods. No lines: the set states no number for them.

    `pieces`: for these alone; a rule without them is for all others.
    """

    foods: tuple[FoodClass, ...]
    lines: tuple[Line, ...] = ()
    point: Point = "coldest"
    pieces: tuple[Piece, ...] = ()
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
    """Where food is kept: hot at or above, cold at or below. No limit: the set states no number.

    `beyond`: above it (or below), not at it, where the text says so.
    """

    side: Literal["hot", "cold"]
    limit: Limit | None = None
    beyond: bool = False
    what: Literal["hold"] = "hold"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class ColdReads(Clause):
    """How often kept cold food is read at least. No set that is shipped says so: a house's own plan may."""

    every_s: Annotated[int, Field(ge=600, le=7 * 86400)]
    what: Literal["cold reads"] = "cold reads"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Reheat(Clause):
    """Food that was cooked and chilled, heated again: for one order at once, or to be kept hot.

    No lines: any temperature. `within_s` counts from where it left the cold. `packed hold`: ready-to-eat food
    of a plant, from its pack. `roast hold`: the unsliced rest of a whole roast, by the lines it is cooked by.
    """

    purpose: Literal["one order", "hold", "packed hold", "roast hold"]
    lines: tuple[Line, ...] = ()
    as_cooked: bool = False  # the lines are those of the food's own cooking rule
    within_s: int | None = None
    what: Literal["reheat"] = "reheat"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class OutOfControl(Clause):
    """Time instead of temperature.

    `way`: `no return` (its food is used or discarded by then), or `cumulative` (back into the cold up to
    `back_s`, used up to `within_s`). `cold_start` and `hot_start`: where it may begin; `never_above`: the
    food may not pass that. `needs_procedure`: only by a written one. `only`: for these foods alone.
    """

    way: Literal["no return", "cumulative"]
    within_s: int
    cold_start: Limit | None = None
    hot_start: Limit | None = None
    never_above: Limit | None = None
    back_s: int | None = None
    needs_procedure: bool = False
    only: tuple[Opened, ...] = ()
    what: Literal["out of control"] = "out of control"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class ColdFailure(Clause):
    """Kept food whose cold failed: discarded once it was above `over` for longer than `within_s`.

    It gives no leave to use time alone, and takes nothing from the limit it is kept at.
    """

    over: Limit
    within_s: int
    what: Literal["cold failure"] = "cold failure"


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


@dataclass(frozen=True, config=STRICT)
class Weight:
    """A weight as a code publishes it, in both units; one that was weighed is compared in its own."""

    lb: Decimal
    kg: Decimal


@dataclass(frozen=True, config=STRICT)
class OvenAir:
    """How hot an oven's air is to be, for a roast below the weight that counts as heavy or from there on."""

    oven: Oven
    light: Limit
    heavy: Limit


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Roast(Clause):
    """A whole roast: the oven's air by its weight, then any one of the lines in its coldest part."""

    heavy_from: Weight
    ovens: tuple[OvenAir, ...]
    lines: tuple[Line, ...]
    what: Literal["roast"] = "roast"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class RoastHold(Clause):
    """Where a whole roast that was cooked by its own lines may be kept hot."""

    limit: Limit
    what: Literal["roast hold"] = "roast hold"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Intact(Clause):
    """What makes meat no longer whole-muscle and intact."""

    not_if: tuple[Handling, ...]
    what: Literal["intact"] = "intact"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Undercooked(Clause):
    """Animal food below its cooking line at a guest's wish. `refused`: foods this program never passes so."""

    refused: tuple[FoodClass, ...]
    not_for_children: tuple[FoodClass, ...]
    what: Literal["undercooked"] = "undercooked"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Advisory(Clause):
    """What a guest is told of undercooked food where it is ordered: that it is, and the risk, in writing."""

    what: Literal["advisory"] = "advisory"


@dataclass(frozen=True, config=STRICT)
class FreezeWay:
    """One way to freeze: until solid at `solid_at` (None: not asked), then `kept_at` for so long."""

    kept_at: Limit
    for_s: int
    solid_at: Limit | None = None


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Parasites(Clause):
    """Fish that is served undercooked was frozen by one of these ways; `exempt` names what need not be."""

    ways: tuple[FreezeWay, ...]
    records_days: int
    exempt: tuple[str, ...] = ()
    what: Literal["parasites"] = "parasites"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Microwave(Clause):
    """Heated in a microwave, to be served or kept hot: all parts, covered, turned, then left to stand."""

    purpose: Literal["cook", "hold"]
    lines: tuple[Line, ...]
    stand_s: int
    within_s: int | None = None
    what: Literal["microwave"] = "microwave"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class ByInstructions(Clause):
    """Packaged food that bears its maker's cooking instructions."""

    what: Literal["by instructions"] = "by instructions"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class CoolMethods(Clause):
    """How food may be cooled; which of them is written down."""

    methods: tuple[str, ...]
    what: Literal["cooling methods"] = "cooling methods"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class HeatAgain(Clause):
    """Food that cools too slowly, heated through and begun anew, once.

    `by_s`: from the start of its cooling until it is back on the heat; `within_s`: from there to its line.
    """

    lines: tuple[Line, ...]
    by_s: int
    within_s: int
    what: Literal["heat again"] = "heat again"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class OpenedMark(Clause):
    """Ready-to-eat food of a plant, kept cold once opened: its last day, the day of opening being day one."""

    days: int
    what: Literal["opened mark"] = "opened mark"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Parts(Clause):
    """Parts of a piece that are each probed while it is heated: one of the words of each is in its place."""

    foods: tuple[FoodClass, ...]
    pieces: tuple[Piece, ...]
    places: tuple[tuple[str, ...], ...]
    what: Literal["parts"] = "parts"


@dataclass(frozen=True, config=STRICT, kw_only=True)
class Apart(Clause):
    """What a plan keeps out of each other's reach on the hearth, where its weight is `block`."""

    of: Apartness
    what: Literal["apart"] = "apart"


Rule = Annotated[
    Cook | Cool | Hold | Reheat | OutOfControl | DateMark | ParCook | ProbeCheck | Allergens
    | Roast | RoastHold | Intact | Undercooked | Advisory | Parasites | Microwave | ByInstructions
    | CoolMethods | HeatAgain | OpenedMark | Parts | Apart | ColdReads | ColdFailure,
    Field(discriminator="what"),
]  # fmt: skip


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
