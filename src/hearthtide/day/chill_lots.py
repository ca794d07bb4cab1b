"""What chilling is planned with: hot lots, cold units, and the plan that comes of it. Plain data."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from hearthtide.food.chill_methods import ChillMethod
from hearthtide.food.chilling import ChillLimits, ToChill
from hearthtide.food.column import Floats
from hearthtide.ranges import require

# Between trays that chill, so that air gets at both faces; common practice, no source. That it matters is
# published: stacked in 16 %, without an air gap in 25 % of the coolings seen in 420 restaurants
# (doi 10.4315/0362-028X.JFP-12-256).
AIR_GAP_M = 0.05
ICE_J_KG = 334e3  # melting heat of ice, from memory, not re-read
Binds = Literal["limit", "place", "kilograms", "stored", "others", "wanted", "no way"]


@dataclass(frozen=True)
class HotLot:
    """Food that comes hot in one go.

    `what` one piece or the contents of one pan; `mass_kg` of the whole lot on `trays` trays or pans;
    `core_C` when it is ready, `ready_s` on the day's clock. `in_pan` says that it lies in a pan where its
    food does not say so. `portions` are for words. `wanted_s`: when it is wanted cold; None: whenever.

    Raises PhysicalRangeError for 0 kg, no tray, or a core outside 0 to 100 °C.
    """

    key: str
    name: str
    what: ToChill
    mass_kg: float
    trays: int
    core_C: float
    ready_s: float
    portions: int = 0
    in_pan: bool = False
    wanted_s: float | None = None

    def __post_init__(self) -> None:
        require("mass_kg", self.mass_kg, "kg", 1e-3, 2000.0)
        require("trays", self.trays, "", 1, 1000)
        require("core_C", self.core_C, "°C", 0.0, 100.0)
        require("ready_s", self.ready_s, "s", 0.0, 2 * 86400.0)

    @property
    def is_pan(self) -> bool:
        """Whether it chills as a pan does."""
        return self.in_pan or self.what.lid or self.what.stuff.fluid


@dataclass(frozen=True)
class Rack:
    """Places for trays, `spacing_m` from one to the next. With less air than AIR_GAP_M over the food only
    every second (third, ...) place is used."""

    key: str
    trays: int
    spacing_m: float

    def places(self, thickness_m: float) -> int:
        """How many trays of that height stand in it with air between them.

        >>> Rack("speed rack", 10, 0.075).places(0.04), Rack("shelves", 10, 0.10).places(0.04)
        (5, 10)
        """
        each = 1
        while each <= self.trays and each * self.spacing_m < thickness_m + AIR_GAP_M - 1e-9:
            each += 1
        return -(-self.trays // each) if each <= self.trays else 0


@dataclass(frozen=True)
class ColdUnit:
    """A cold room, cupboard, blast chiller or ice bath as one lump of air, fittings and inner walls.

    `air_C` is what it is set to hold, `takes_W` the most heat it takes away then (taken as the same when it
    is warmer, the slow side); `gain_W` what comes in through walls and door with `room_C` outside;
    `holds_J_K` what air and metal hold. `held`: melting ice holds its temperature, whatever is put in, and
    `most_ice_kg` is at hand. `pieces` and `pans` are the ways it chills each, None where it takes none.
    `keeps`: food is stored in it, which must not warm, and what is cold may stay. `assumed` names the
    starting values a house has not replaced.

    Raises PhysicalRangeError outside -40 to 30 °C, 1 to 100000 W, 0 to 100000 W, 1 kJ/K to 10 MJ/K.
    """

    key: str
    name: str
    air_C: float
    takes_W: float
    gain_W: float
    holds_J_K: float
    most_hot_kg: float
    racks: tuple[Rack, ...]
    pieces: ChillMethod | None
    pans: ChillMethod | None
    room_C: float = 25.0
    keeps: bool = True
    held: bool = False
    most_ice_kg: float = 0.0
    assumed: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        require("air_C", self.air_C, "°C", -40.0, 30.0)
        if not self.held:
            require("room_C", self.room_C, "°C", self.air_C + 1.0, 60.0)
            require("takes_W", self.takes_W, "W", 1.0, 1e5)
            require("gain_W", self.gain_W, "W", 0.0, 1e5)
            require("holds_J_K", self.holds_J_K, "J/K", 1e3, 1e7)

    def method(self, lot: HotLot) -> ChillMethod | None:
        """How it chills that lot."""
        return self.pans if lot.is_pan else self.pieces

    @property
    def gain_W_K(self) -> float:
        """What comes in from the room per kelvin; nothing that matters where melting ice holds it."""
        return 0.0 if self.held else self.gain_W / (self.room_C - self.air_C)


@dataclass(frozen=True)
class Stand:
    """Where a lot stands from when to when: trays by rack. `until_s` is when it moves, or is cold."""

    unit: str
    way: str
    racks: tuple[tuple[str, int], ...]
    from_s: float
    until_s: float


@dataclass(frozen=True)
class There:
    """A lot that stands in a unit already, since its `ready_s`: it is not moved, its heat counts.

    It takes its trays in the unit's racks in their order.
    """

    lot: HotLot
    unit: str


@dataclass(frozen=True)
class WayOut:
    """What would make a lot cold in time: tried by the model, but for hot holding, which a probe proves.

    `trouble` ranks it, least first: own choice. `lot` is what would be chilled then, None for hot holding;
    `air_C` is what every unit for food would be set to, None for as it is.
    """

    kind: Literal["lid off", "colder", "later", "ice", "thinner", "fewer", "hot hold"]
    words: str
    trouble: float
    lot: HotLot | None = None
    end_s: float | None = None
    air_C: float | None = None


@dataclass(frozen=True, eq=False)
class Course:
    """A lot's warmest part from when it is ready: as foreseen, and with a tenth beyond on either side."""

    times_s: Floats
    core_C: Floats
    quick_C: Floats
    slow_C: Floats
    lowest_C: float


@dataclass(frozen=True)
class Marks:
    """When a course makes the limits, on the clock; None where it does not in what was run."""

    from_s: float | None
    middle_s: float | None
    end_s: float | None


@dataclass(frozen=True)
class LotPlan:
    """What becomes of a lot. Not feasible: it is not started; `reason` says why, `ways` what would.

    `course` of a lot that is not started is the best that was found for it, None where it has no place.
    `used` is the largest share of a limit's time that its slow side takes. `stacked_s`: how long it would
    take to the middle mark with two of its trays touching. `prompts_s`: when to read it.
    """

    lot: HotLot
    feasible: bool
    stands: tuple[Stand, ...]
    likely: Marks
    late: Marks
    used: float
    prompts_s: tuple[float, ...] = ()
    course: Course | None = None
    binds: Binds | None = None
    reason: str = ""
    ways: tuple[WayOut, ...] = ()
    stacked_s: float | None = None


@dataclass(frozen=True, eq=False)
class UnitCourse:
    """A unit through the plan: its air [°C] and what it takes away [W] at `times_s`, its most hot kilograms.

    `stored_C` is the warmest that a thin pack stored in it becomes; None where nothing is stored.
    """

    unit: str
    times_s: Floats
    air_C: Floats
    taken_W: Floats
    most_kg: float
    ice_kg: float
    stored_C: float | None


@dataclass(frozen=True)
class ChillPlan:
    """A day's chilling: `limits` None where the rule set states no times, then nothing is judged.

    `stood`: what becomes of each lot that is `there`; one that is not feasible misses a limit or has no room.
    """

    lots: tuple[LotPlan, ...]
    units: tuple[UnitCourse, ...]
    limits: ChillLimits | None
    keeps_C: float | None
    there: tuple[There, ...] = field(default=())
    stood: tuple[LotPlan, ...] = field(default=())

    @property
    def warmed(self) -> tuple[UnitCourse, ...]:
        """Units in which what is stored passes the code's cold holding limit."""
        keeps_C = self.keeps_C
        if keeps_C is None:
            return ()
        return tuple(one for one in self.units if one.stored_C is not None and one.stored_C > keeps_C)

    @property
    def feasible(self) -> bool:
        return all(one.feasible for one in (*self.lots, *self.stood)) and not self.warmed
