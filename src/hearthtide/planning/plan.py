"""The finished plan, as every screen, print and check reads it. Plain facts, no behaviour beyond lookups."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hearthtide.house.models import Act
from hearthtide.planning.worth import Worth


@dataclass(frozen=True)
class Move:
    """One act of one pair of hands.

    `spot_x_m`, `spot_y_m` are None for what is done beside the hearth. `facing_deg` is where the item's
    leading edge points once the act is done, clockwise from straight in. `words` are the cook's.
    """

    start_s: int
    hands_s: int
    cook: str
    act: Act
    item: str
    dish: str
    ticket: str
    spot_x_m: float | None
    spot_y_m: float | None
    facing_deg: float | None
    words: str


@dataclass(frozen=True)
class FlameChange:
    """The flame to hold from `start_s` on."""

    start_s: int
    level: str
    power_W: float
    words: str


@dataclass(frozen=True)
class Landing:
    """The minute a table's plates meet. A ticket lands in courses, a course too big for the hands in drops.

    `drop` counts within the course; the house wished its course in `wished_drops`.

    `earliest_s` is the earliest honest landing: called at once, nobody else in the way.
    """

    ticket: str
    drop: int
    covers: int
    called_s: int
    wanted_s: int
    planned_s: int
    earliest_s: int
    spread_s: int
    items: tuple[str, ...]
    course: int = 1
    wished_drops: int = 1

    @property
    def late_s(self) -> int:
        return self.planned_s - self.wanted_s


@dataclass(frozen=True)
class OnStone:
    """Where an item stands during [start_s, end_s); `width_m` and `depth_m` are as laid.

    Bare dough leaves its stone to rest for `rest_s`.
    """

    start_s: int
    end_s: int
    x_m: float
    y_m: float
    diameter_m: float | None
    width_m: float | None
    depth_m: float | None
    rest_s: int = 0


@dataclass(frozen=True)
class ItemTrack:
    """How one item went in the models, closely enough to draw: equal lengths, times from launch on."""

    times_s: tuple[float, ...]
    core_C: tuple[float, ...]
    colour: tuple[float, ...]


@dataclass(frozen=True)
class ItemReport:
    """One item as the verifier saw it. Temperatures and colours are the models', never a reading."""

    item: str
    dish: str
    ticket: str
    diameter_m: float | None
    width_m: float | None
    depth_m: float | None
    stays: tuple[OnStone, ...]
    ready_s: int
    minutes_from: str  # "house" or "models"
    core_C_at_pull: float
    core_C_at_landing: float
    colour_step: float
    colour_least: float
    colour_most: float
    bottom_colour: float
    burn_margin_s: float
    weight_loss: float
    stone_C_at_launch: float
    stone_C_at_pull: float
    comment: str
    track: ItemTrack


PLATES_ORDERED = "plates ordered"
OWN_MINUTES = "house's own minutes"  # the one check that comments and is never broken


@dataclass(frozen=True)
class Check:
    """One promise, kept or not, and the facts that decide it."""

    name: str
    ok: bool
    detail: str


@dataclass(frozen=True)
class StoneMap:
    """The stone at one minute: temperature of every cell of the hearth."""

    time_s: int
    floor_C: tuple[float, ...]


@dataclass(frozen=True)
class OvenTrack:
    """The oven through the night, minute by minute, and maps of the stone at chosen minutes."""

    times_s: tuple[float, ...]
    zone_C: tuple[float, ...]
    dome_C: tuple[float, ...]
    power_W: tuple[float, ...]
    cells_m: tuple[tuple[float, float], ...]
    cell_side_m: float
    maps: tuple[StoneMap, ...]


@dataclass(frozen=True)
class Beside:
    """One item of a ticket on the house's minutes and on the models', with what explains the difference."""

    item: str
    dish: str
    house_s: int
    models_s: int | None
    house_in_s: int
    models_in_s: int | None
    why: str


@dataclass(frozen=True)
class Comparison:
    """A ticket planned both ways."""

    ticket: str
    house_landing_s: int
    models_landing_s: int | None
    rows: tuple[Beside, ...]


SEARCH = "search"


@dataclass(frozen=True)
class Late:
    """A table's course that lands later than the house allows, and by how much its last plates are late."""

    ticket: str
    course: str
    wanted_s: int
    late_s: int


@dataclass(frozen=True)
class Need:
    """What a night without limits would ask of one limit in its busiest half hour, and what there is of it.

    `needed` and `there` are minutes of hands, m2 min of stone, or platters out at once; of stone `dishes` are
    those that may stand on no other.
    """

    limit: str
    from_s: int
    needed: float
    there: float
    unit: str
    dishes: tuple[str, ...] = ()

    @property
    def share(self) -> float:
        return self.needed / self.there


@dataclass(frozen=True)
class WayOut:
    """One change of the night, planned with it, on the search's own minutes (no model has verified it).

    Lateness is every guest's [guest-seconds, as the house weighs its tables], against what is promised once
    the change is made. `saved_s` is what the whole plan then costs less, `price_s` what the change itself
    costs (`price` says what is in it). `saved_money` is their difference less any fuel in the house's coin,
    None where the house does not say what its guests' minutes and the fuel cost it. `still` are those who
    slip even so.
    """

    kind: str
    words: str
    late_guest_s: float
    taken_guest_s: float
    saved_s: float
    price_s: float
    price: str
    saved_money: float | None
    still: tuple[Late, ...]
    currency: str = "money"

    @property
    def net_s(self) -> float:
        """What it is worth [guest-seconds]."""
        return self.saved_s - self.price_s


@dataclass(frozen=True)
class Limit:
    """What binds on a night that cannot be kept, by how much, who slips, and the cheapest ways out.

    `late_total_s` is all landings' lateness, `late_guest_s` every guest's; `without` is the latter with one
    limit lifted alone, and under `minutes` what the dishes' own minutes make late whatever is lifted.
    `ways_out` are the cheapest of the `tried` ways that were planned. `binds` is `search` where nothing else
    does: more of it lands all in time.
    """

    binds: str
    late_total_s: int
    late_guest_s: float
    without: dict[str, float]
    late: tuple[Late, ...]
    needs: tuple[Need, ...]
    ways_out: tuple[WayOut, ...]
    tried: int


@dataclass(frozen=True)
class Plan:
    """A night, planned and verified."""

    house: str
    night: str
    moves: tuple[Move, ...]
    flame: tuple[FlameChange, ...]
    landings: tuple[Landing, ...]
    items: tuple[ItemReport, ...]
    checks: tuple[Check, ...]
    figures: dict[str, float]
    cautions: tuple[str, ...]
    comparison: tuple[Comparison, ...]
    limit: Limit | None
    oven: OvenTrack
    worth: Worth | None = None

    @property
    def kept(self) -> bool:
        """Does every promise hold?"""
        return all(check.ok for check in self.checks)

    @property
    def past_dark(self) -> str:
        """What the models see burn on the house's own minutes, in a sentence; empty when nothing does.

        The house decides its minutes, so this breaks no promise; a cook should know it before the first move.
        """
        own = [item for item in self.items if item.minutes_from == "house"]
        burnt = sum(item.burn_margin_s <= 0 for item in own)
        if not burnt:
            return ""
        return (
            f"On the house's own minutes the models see {burnt} of {len(own)} plates past dark: watch them."
        )


def with_left_out(plan: Plan, left_out: Sequence[str]) -> Plan:
    """The plan with a broken promise for what was ordered and is not in it; as it is when nothing is."""
    if not left_out:
        return plan
    before = [check for check in plan.checks if check.name == PLATES_ORDERED]
    others = tuple(check for check in plan.checks if check not in before)
    lines = " ".join([*(check.detail for check in before), *left_out])
    return replace(plan, checks=(*others, Check(PLATES_ORDERED, False, lines)))
