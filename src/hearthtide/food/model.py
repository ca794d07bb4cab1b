"""A portion in a heat field: prepared, started, moved forward in time, turned over."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.column import LUMP, LUMP_C, NODES, WATER, WATER_0, Floats, Heat
from hearthtide.food.exposure import Base, Exposure, rim_at
from hearthtide.food.form import Form, flat_forms
from hearthtide.food.grid import check_layers
from hearthtide.food.library import metal
from hearthtide.food.spec import FLATNESS, Platter, Portion
from hearthtide.food.strips import strip_forms
from hearthtide.food.wedges import wedge_forms
from hearthtide.ranges import require

# Food straight on stone: 100 to 150 gave the published Neapolitan bake in early trials; assumed, the
# house can fit it.
FOOD_ON_STONE_W_m2K = 125.0
# Food on metal: between patty and plate 250 to 650 was measured (double-sided grilling at 177 to 204 °C,
# abstract), a peak that falls to an asymptote: read as its moist and its dried face.
FOOD_ON_METAL_W_m2K, CRUST_ON_METAL_W_m2K = 650.0, 250.0
# Metal on stone: 0.3 mm of hot air (0.045 W/(m K)) and radiation across it at 300 °C make about 180;
# points of contact and warp pull both ways. Assumed.
METAL_ON_STONE_W_m2K = 150.0
# Under a board or a trivet: still air or wood, about 10; common practice, no source.
UNDER_BOARD_W_m2K = 10.0
# Gas over a flat face on the hearth, between the floor's and the dome's films of the oven. Assumed.
GAS_W_m2K = 10.0
# Still room air over warm food, radiation apart; 8 to 10 (food roasting reference, computed there).
ROOM_W_m2K = 8.0
# Vapour in the oven's gas: burnt gas and room air mixed, about 5 % by volume. Assumed.
OVEN_VAPOUR_PA = 5000.0
# Room at 22 °C and 45 % humidity.
ROOM_VAPOUR_PA = 1200.0
FOOD_EMISSIVITY = 0.90  # moist and browned food; from memory, not re-read
# Under a curve that does not touch: hot air, and radiation between stone at 350 °C and food at 100 °C taken
# as a line (4 sigma T³ at 500 K, emissivity 0.9). From memory and a hand sum.
GAP_AIR_W_mK, GAP_RADIATION_W_m2K = 0.045, 25.0
# Share of a vessel's mass in its base, the rest being walls, rim and handles. Assumed.
BASE_SHARE = 0.5
# Where food begins to freeze lies at -1 to -2 °C (from memory): ice is not modelled.
START_C = (-2.0, 100.0)


# A run that looks for a target looks at least this often. Own choice.
ASKED_EVERY_S = 1.0
# Ways of lying that are kept ready, of some 2 kB each. Own choice.
LYING_KEPT = 256
# Entries of a portion's two ways up.
UPRIGHT, OVER = 0, 1


@dataclass(frozen=True, eq=False)
class Food:
    """A portion made ready to cook, both ways up: its columns, and how it conducts to what it stands on.

    `touch_W_m2K` is what passes between the stone and whatever touches it: the platter, or the food itself.
    """

    portion: Portion
    forms: tuple[Form, Form]
    touch_W_m2K: float
    contact_W_m2K: float
    crust_contact_W_m2K: float
    lump_J_K: float
    lump_emissivity: float

    @property
    def platter(self) -> Platter | None:
        return self.portion.platter

    @cached_property
    def below_W_m2K(self) -> tuple[Floats, Floats]:
        """What each column (columns,) takes per kelvin from what it lies on, per footprint, both ways up."""
        upright, over = (
            form.cut.share * form.below_area * _through_gap_W_m2K(self.contact_W_m2K, form.gap_m)
            for form in self.forms
        )
        return upright, over

    def stone_conductance_W_m2K(self, state: FoodState) -> float:
        """What the stone gives per kelvin between its face and `base_C` of that state, per area covered.

        Under a round piece without a platter it is less than where the piece touches: the rest stands off.
        """
        return self.touch_W_m2K if self.platter else float(self.below_W_m2K[state.over].sum())


@dataclass(frozen=True, eq=False)
class FoodState:
    """How a portion is now. `cells` (columns + 1, ROW): its columns and the platter, as told in `column`.

    `over` says whether it lies upside down, `on_platter` whether its platter is under it.
    `base_C` is what the stone feels (the platter, else the food's underside by what it takes) and `top_C` the
    temperature at which its whole upper side radiates (food and bare platter by area) [°C].
    """

    cells: Floats
    over: bool
    on_platter: bool
    base_C: float
    top_C: float


def _check(portion: Portion) -> None:
    low, high = START_C
    if not low <= portion.start_C <= high:
        raise PhysicalRangeError(
            f"{portion.name}: start {portion.start_C} °C: expected {low} to {high} °C (ice is not modelled)"
        )
    if not portion.area_m2 > 0:
        raise PhysicalRangeError(f"{portion.name}: area {portion.area_m2} m²: expected above 0")
    if not 0 <= portion.cover <= 1:
        raise PhysicalRangeError(f"{portion.name}: cover {portion.cover}: expected 0 to 1")
    if not portion.sugar > 0:
        raise PhysicalRangeError(f"{portion.name}: sugar {portion.sugar}: expected above 0")
    if portion.body is not None and portion.rim_thickness_m > 0:
        raise PhysicalRangeError(f"{portion.name}: a rim and a body: expected one of them")
    platter = portion.platter
    if platter is not None and not (platter.mass_kg > 0 and platter.area_m2 > 0):
        raise PhysicalRangeError(f"{portion.name}: platter: expected mass and area above 0")


def prepare(portion: Portion) -> Food:
    """The portion's grids, contacts and platter.

    Raises PhysicalRangeError for quantities outside what the model is made for (start -2 to 100 °C,
    layers 0.5 to 200 mm, cover 0 to 1, positive area, sugar, platter mass), KeyError for an unknown
    food or metal.
    """
    _check(portion)
    forms = _forms(portion)
    touch_W_m2K = contact_W_m2K = crust_W_m2K = FOOD_ON_STONE_W_m2K
    lump_J_K = emissivity = 0.0
    platter = portion.platter
    if platter is not None:
        kind = metal(platter.metal)
        # Half the base's own resistance on either side of the lump: nothing for iron, much for clay.
        base_m = BASE_SHARE * platter.mass_kg / (kind.density_kg_m3 * platter.area_m2)
        half = base_m / kind.conductivity_W_mK / 2
        touch_W_m2K = 1 / (1 / METAL_ON_STONE_W_m2K + half)
        contact_W_m2K = 1 / (1 / FOOD_ON_METAL_W_m2K + half)
        crust_W_m2K = 1 / (1 / CRUST_ON_METAL_W_m2K + half)
        lump_J_K, emissivity = platter.mass_kg * kind.heat_capacity_J_kgK, kind.emissivity
    return Food(
        portion=portion,
        forms=forms,
        touch_W_m2K=touch_W_m2K,
        contact_W_m2K=contact_W_m2K,
        crust_contact_W_m2K=crust_W_m2K,
        lump_J_K=lump_J_K,
        lump_emissivity=emissivity,
    )


def _forms(portion: Portion) -> tuple[Form, Form]:
    body = portion.body
    if body is None:
        return flat_forms(portion.layers, portion.rim_thickness_m)
    check_layers(portion.layers)
    require("thickness over width", portion.thickness_m / body.width_m, "-", *FLATNESS[body.outline])
    return strip_forms(portion.layers, body) if body.outline == "box" else wedge_forms(portion.layers, body)


def start(food: Food) -> FoodState:
    """The portion before any heat: all at its start temperature, on a platter at its own."""
    cut = food.forms[UPRIGHT].cut
    start_C = food.portion.start_C
    cells = np.zeros((len(cut.of) + 1, column.ROW))
    cells[:LUMP, :WATER] = start_C
    cells[:LUMP, column.PEAK : column.HOLDS] = start_C
    cells[:LUMP, column.HOLDS : column.LETHAL] = min(1.0, column.held_share(start_C))
    cells[:LUMP, WATER : column.PEAK] = cut.grids[cut.of, WATER_0]
    platter = food.platter
    cells[LUMP, LUMP_C] = start_C if platter is None else platter.start_C
    return _seen(food, cells, over=False, on_platter=platter is not None)


def _seen(food: Food, cells: Floats, over: bool, on_platter: bool) -> FoodState:
    """The state with the two temperatures the oven sees."""
    cells.flags.writeable = False
    form = food.forms[over]
    fourth = float(form.sky @ (cells[:LUMP, NODES - 1] + 273.15) ** 4)
    if food.platter is None or not on_platter:
        below_W_m2K = food.below_W_m2K[over]
        base_C = float(below_W_m2K @ cells[:LUMP, 0] / below_W_m2K.sum())
        return FoodState(cells, over, False, base_C, fourth**0.25 - 273.15)
    lump_C = float(cells[LUMP, LUMP_C])
    covered = min(1.0, food.portion.area_m2 / food.platter.area_m2)
    mean = covered * fourth + (1 - covered) * (lump_C + 273.15) ** 4
    return FoodState(cells, over, True, lump_C, mean**0.25 - 273.15)


# The stone as it is: no nodes that move with the portion.
STILL = np.zeros((column.STONE_ROWS, 0))
NOTHING_ASKED = np.zeros(0)


def heat_on(
    food: Food, state: FoodState, exposure: Exposure, facing_deg: float = 0.0, stone: Floats = STILL
) -> Heat:
    """The exposure as the loops want it, for the way up the portion lies; `stone` (STONE_ROWS, nodes).

    Raises PhysicalRangeError for the base "platter" without one.
    """
    if food.platter is None and exposure.base == "platter":
        raise PhysicalRangeError(f"{food.portion.name}: base platter: this portion has no platter")
    form, hearth = food.forms[state.over], exposure.base == "stone"
    cool = not hearth and exposure.gas_C < column.BOILING_C
    lying = _lying(food, state.over, exposure.base, cool)
    faces, edge, around = lying.faces.copy(), lying.edge.copy(), lying.around.copy()
    rims_W_m2 = _rims_W_m2(form, exposure, facing_deg)
    faces[:, column.TOP_HEAT_W_M2] = (1 - form.side) * exposure.up_W_m2 + form.side * rims_W_m2
    edge[column.SIDE_HEAT_W_M2] = rims_W_m2[:, None]
    around[column.BELOW_C] = exposure.stone_C if hearth else exposure.gas_C
    around[column.GAS_C] = exposure.gas_C
    if around[column.HAS_LUMP] > 0:
        around[column.LUMP_UP_W_M2] = exposure.up_W_m2
    return Heat(faces, edge, around, stone)


@lru_cache(maxsize=LYING_KEPT)
def _lying(food: Food, over: bool, base: Base, cool: bool) -> Heat:
    """What a portion meets that the heat does not change, as it lies on that base; no heat yet."""
    form = food.forms[over]
    around = _around(food, over, base, cool)
    faces = np.zeros((len(form.side), column.FACE))
    faces[:, column.TOP_AREA] = form.top_area
    touches = around[column.HAS_LUMP] > 0 or base == "stone"
    moist = food.contact_W_m2K if touches else UNDER_BOARD_W_m2K
    dry = food.crust_contact_W_m2K if touches else UNDER_BOARD_W_m2K
    faces[:, column.BELOW_W_M2K] = form.below_area * _through_gap_W_m2K(moist, form.gap_m)
    faces[:, column.BELOW_DRY_W_M2K] = form.below_area * _through_gap_W_m2K(dry, form.gap_m)
    edge = np.zeros((2, *form.edge.shape))
    edge[column.SIDE_AREA] = form.edge
    return Heat(faces, edge, around, STILL)


def _around(food: Food, over: bool, base: Base, cool: bool) -> Floats:
    platter, portion = food.platter, food.portion
    hearth = base == "stone"
    around = np.zeros(column.SURROUNDINGS)
    around[column.TOP_W_M2K] = ROOM_W_m2K if cool else GAS_W_m2K
    around[column.VAPOUR_PA] = ROOM_VAPOUR_PA if cool else OVEN_VAPOUR_PA
    around[column.OPEN] = 1.0 - portion.cover
    around[column.EMISSIVITY] = FOOD_EMISSIVITY
    around[column.SUGAR] = portion.sugar
    around[[column.LETHAL_C, column.LETHAL_Z_K]] = portion.lethal_C, portion.lethal_z_K
    around[column.STONE_W_M2K] = food.touch_W_m2K if platter else float(food.below_W_m2K[over].sum())
    around[column.SIDE_M2K_W] = food.forms[over].edge_m2K_W
    if platter is not None and base != "board":
        under_W_m2K = food.touch_W_m2K if hearth else UNDER_BOARD_W_m2K
        around[column.HAS_LUMP] = 1.0
        around[column.LUMP_BELOW_W_K] = under_W_m2K * platter.area_m2
        around[column.LUMP_J_K] = food.lump_J_K
        around[column.LUMP_FOOD_M2] = portion.area_m2
        around[column.LUMP_BARE_M2] = max(0.0, platter.area_m2 - portion.area_m2)
        around[column.LUMP_EMISSIVITY] = food.lump_emissivity
    return around


def _rims_W_m2(form: Form, exposure: Exposure, facing_deg: float) -> Floats:
    """Irradiance on what is upright of each column (columns,), where it looks [W/m²]."""
    return np.array([rim_at(exposure.rim_W_m2, at + facing_deg) for at in form.bearing_deg.tolist()])


def _through_gap_W_m2K(contact_W_m2K: float, gap_m: Floats) -> Floats:
    """Conductance to what lies below where the underside stands off it; contact where it touches."""
    if contact_W_m2K <= GAP_RADIATION_W_m2K:
        return np.full_like(gap_m, contact_W_m2K)
    touch_m = GAP_AIR_W_mK / (contact_W_m2K - GAP_RADIATION_W_m2K)
    through: Floats = GAP_RADIATION_W_m2K + GAP_AIR_W_mK / (touch_m + gap_m)
    return through


def advance(
    food: Food,
    state: FoodState,
    exposure: Exposure,
    dt_s: float,
    facing_deg: float = 0.0,
    longest_s: float = column.LONGEST_S,
) -> FoodState:
    """The portion `dt_s` later in that heat, in steps of at most `longest_s`.

    `facing_deg` is how far the leading edge is turned clockwise away from the flame.
    Raises PhysicalRangeError for a time that is not positive, or a base "platter" without one.
    """
    if not (math.isfinite(dt_s) and dt_s > 0):
        raise PhysicalRangeError(f"dt_s {dt_s} s: expected above 0")
    heat = heat_on(food, state, exposure, facing_deg)
    cells = state.cells.copy()
    column.run(cells, food.forms[state.over].cut, heat, NOTHING_ASKED, dt_s, longest_s)
    return _seen(food, cells, state.over, on_platter=bool(heat.around[column.HAS_LUMP] > 0))


def run_until(
    food: Food, state: FoodState, heat: Heat, until: Floats, max_s: float, every_s: float = ASKED_EVERY_S
) -> tuple[FoodState, float]:
    """The portion moved on until what `until` asks (see `column`) or `max_s` is over, and the time taken [s].

    It looks every `every_s` or oftener. `heat` moves with it: what the stone under it has lost is lost.
    """
    cells = state.cells.copy()
    took_s = column.run(cells, food.forms[state.over].cut, heat, until, max_s, every_s)
    return _seen(food, cells, state.over, on_platter=bool(heat.around[column.HAS_LUMP] > 0)), took_s


def follow(
    food: Food, state: FoodState, heat: Heat, until: Floats, asked: bool, dt_s: float, count: int
) -> tuple[FoodState, Floats, int]:
    """Up to `count` stretches of `dt_s`: the portion then, its core before each stretch, how many it were.

    Where it is `asked`, what `until` asks ends them; the core found then is the last of those returned.
    """
    cells, cores_C = state.cells.copy(), np.empty(count)
    done = int(column.follow(cells, food.forms[state.over].cut, heat, until, asked, dt_s, cores_C))
    after = _seen(food, cells, state.over, on_platter=bool(heat.around[column.HAS_LUMP] > 0))
    return after, cores_C[: done + 1], done


def flip(food: Food, state: FoodState) -> FoodState:
    """The portion turned over about its leading edge's axis: left and right sectors change places."""
    form = food.forms[state.over]
    cells = state.cells.copy()
    cells[:LUMP] = state.cells[form.turns_from]
    about = np.flatnonzero(form.turns_about)
    for first in (0, WATER, column.PEAK, column.HOLDS, column.LETHAL):
        nodes = slice(first, first + NODES)
        cells[about, nodes] = cells[about, nodes][:, ::-1]
    browned = cells[about][:, [column.BROWN_ABOVE, column.BROWN_BELOW]]
    cells[about, column.BROWN_BELOW], cells[about, column.BROWN_ABOVE] = browned[:, 0], browned[:, 1]
    cells[LUMP, column.NEXT_STEP_S] = 0.0
    return _seen(food, cells, not state.over, state.on_platter)
