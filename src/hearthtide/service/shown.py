"""What a screen is shown of a running night: the plan as it stands, in plain data and SI units.

Words are the screens' own, in the device's language: here are acts, keys, numbers, and only such words as the
house wrote or the planner has to say. Places are in metres, x to the right and y inward from the middle of
the mouth's sill; times in seconds from the night's first midnight.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hearthtide.house.models import Act

Shape = Literal["disc", "box"]
Hazard = Literal[
    "hot_metal", "fat_flares", "raw_juices", "allergy", "flame", "relight", "reach_over", "long_handle"
]


@dataclass(frozen=True)
class ShownDish:
    """A dish of the house: its name, how it is served, its size on the stone, what it may hold."""

    key: str
    name: str
    vessel: Literal["stone", "platter", "pan", "crock"]
    shape: Shape
    width_m: float
    depth_m: float
    from_bank: bool
    core_C: float | None  # what its last stage is to reach, by the house; None where colour alone says
    contains: tuple[str, ...]


@dataclass(frozen=True)
class ShownFlame:
    """Where a flame burns: a line or disc on the hearth, drawn as the points along its middle."""

    along_m: tuple[tuple[float, float], ...]
    breadth_m: float


@dataclass(frozen=True)
class ShownHouse:
    """What does not change all night. `outline_m` is the stone's edge, `cells_m` the middles of its cells."""

    name: str
    night: str
    doors_s: float
    outline_m: tuple[tuple[float, float], ...]
    mouth_m: float
    flames: tuple[ShownFlame, ...]
    cells_m: tuple[tuple[float, float], ...]
    cell_side_m: float
    band_C: tuple[float, float]
    levels: tuple[str, ...]
    cooks: tuple[str, ...]
    platters: int
    dishes: tuple[ShownDish, ...]
    together_s: float
    late_after_s: float
    plans: bool  # whether a planner runs here
    gas: bool  # whether a flame that goes out leaves gas behind


@dataclass(frozen=True)
class ShownMove:
    """One act: `nth` of its kind on its plate, as `done` names it. `cautions` are in the house's language.

    `told` stays as it is; `at` is where it is done, None beside the hearth; `to_deg` is where the leading
    edge points after it, `by_deg` how far it is turned. `zone` is the kind of place.
    """

    item: str
    table: str
    dish: str
    act: Act
    nth: int
    start_s: float
    hands_s: float
    cook: str
    x_m: float | None
    y_m: float | None
    zone: str
    to_deg: float | None
    by_deg: float
    told: bool
    first_of_table: bool
    words: str
    hazard: Hazard | None
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class ShownStay:
    """An item on the stone during [from_s, until_s), to scale."""

    item: str
    table: str
    dish: str
    from_s: float
    until_s: float
    x_m: float
    y_m: float
    shape: Shape
    width_m: float
    depth_m: float
    facing_deg: float | None
    tall: bool


@dataclass(frozen=True)
class ShownPlate:
    """One strand: first touched, on the hearth, off it, ready after its rest."""

    item: str
    dish: str
    begins_s: float
    in_s: float
    out_s: float
    ready_s: float


@dataclass(frozen=True)
class ShownLanding:
    """A table's plates that meet at a minute: wanted, planned, what the room was first told, how sure.

    `holds` is the share of runs with durations that differ in which it lands within three minutes of
    `honest_s`, the minute to tell.
    """

    table: str
    course: int
    drop: int
    drops: int
    covers: int
    wanted_s: float
    planned_s: float
    first_told_s: float
    honest_s: float
    holds: float | None
    plates: tuple[ShownPlate, ...]


@dataclass(frozen=True)
class ShownSlip:
    """A table that lands later than was told before what last happened."""

    table: str
    course: int
    was_s: float
    is_s: float


@dataclass(frozen=True)
class ShownForced:
    """What had to be done to food that has begun and fits no more."""

    item: str
    kind: Literal["parked", "early", "overrun"]
    seconds: float


@dataclass(frozen=True)
class ShownProbe:
    """What to temp next: the number that decides, and when it should be reached."""

    item: str
    table: str
    dish: str
    wants_C: float
    at_s: float
    last_C: float | None
    last_s: float | None


@dataclass(frozen=True)
class ShownFlameChange:
    """The flame to hold from `at_s` on; the stone answers five to ten minutes later."""

    at_s: float
    level: str
    up: bool


@dataclass(frozen=True)
class ShownFloor:
    """The pizza stone's mean as the models foresee it, moved by the last gun reading of the floor if any."""

    at_s: float
    zone_C: float


@dataclass(frozen=True)
class ShownFire:
    """The fire: what burns, what is foreseen, what to do and when. `heat_C` is the stone cell by cell."""

    level: str
    out_since_s: float | None
    floor: tuple[ShownFloor, ...]
    changes: tuple[ShownFlameChange, ...]
    heat_C: tuple[float, ...]
    read_C: float | None
    read_s: float | None


@dataclass(frozen=True)
class ShownPlanner:
    """How the planner is: `made_s` dates the plan shown, `behind` says a newer one is being made."""

    condition: Literal["starting", "ready", "planning", "down", "closed", "none"]
    made_s: float | None
    behind: bool
    plain: bool
    trouble: str


@dataclass(frozen=True)
class Shown:
    """The plan as every screen draws it, knowing the night's log up to entry `seq`."""

    seq: int
    now_s: float
    planner: ShownPlanner
    moves: tuple[ShownMove, ...]
    stays: tuple[ShownStay, ...]
    landings: tuple[ShownLanding, ...]
    probes: tuple[ShownProbe, ...]
    fire: ShownFire
    slips: tuple[ShownSlip, ...]
    forced: tuple[ShownForced, ...]
    left_out: tuple[str, ...]


NO_FIRE = ShownFire("", None, (), (), (), None, None)  # before the oven is known
