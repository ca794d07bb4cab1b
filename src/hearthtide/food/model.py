"""A portion in a heat field: prepared, started, moved forward in time, turned over."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.column import COLUMNS, LUMP, LUMP_C, NODES, PEAK, ROW, WATER, WATER_0, Floats
from hearthtide.food.exposure import Exposure, rim_at
from hearthtide.food.grid import inner_half, layer_grid, turned_over
from hearthtide.food.library import metal
from hearthtide.food.spec import FoodLayer, Platter, Portion

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
# Gas share of a well risen rim. Common practice, no source.
RIM_POROSITY = 0.75
# A flat sector browns mostly on what looks up, a quarter on its shoulder. Assumed.
SHOULDER = 0.25
# A rim is a quarter round: half of it looks up, half sideways (exact for even heat from all sides).
RIM_SIDE = 0.5
# Share of a vessel's mass in its base, the rest being walls, rim and handles. Assumed.
BASE_SHARE = 0.5
SUBSTEP_S = 0.25
# Where food begins to freeze lies at -1 to -2 °C (from memory): ice is not modelled.
START_C = (-2.0, 100.0)


@dataclass(frozen=True)
class Food:
    """A portion made ready to cook: grids of its middle and of its sectors, both ways up.

    `middle_inner` and `side_inner` are the nodes of the inner half, upright and turned over.
    """

    portion: Portion
    middle: Floats
    side: Floats
    middle_over: Floats
    side_over: Floats
    stone_conductance_W_m2K: float
    contact_W_m2K: float
    crust_contact_W_m2K: float
    middle_inner: tuple[slice, slice]
    side_inner: tuple[slice, slice]
    lump_J_K: float
    lump_emissivity: float

    @property
    def platter(self) -> Platter | None:
        return self.portion.platter


@dataclass(frozen=True)
class FoodState:
    """How a portion is now. `cells` (6, ROW): five columns and the platter, as described in `column`.

    `over` says whether it lies upside down, `on_platter` whether its platter is under it.
    `base_C` is what the stone feels (the platter, else the food's underside) and `top_C` the
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
    middle = layer_grid(portion.layers)
    side = middle
    if portion.rim_thickness_m > 0:
        side = layer_grid((FoodLayer(portion.layers[0].food, portion.rim_thickness_m),), RIM_POROSITY)
    stone_W_m2K = contact_W_m2K = crust_W_m2K = FOOD_ON_STONE_W_m2K
    lump_J_K = emissivity = 0.0
    platter = portion.platter
    if platter is not None:
        kind = metal(platter.metal)
        # Half the base's own resistance on either side of the lump: nothing for iron, much for clay.
        base_m = BASE_SHARE * platter.mass_kg / (kind.density_kg_m3 * platter.area_m2)
        half = base_m / kind.conductivity_W_mK / 2
        stone_W_m2K = 1 / (1 / METAL_ON_STONE_W_m2K + half)
        contact_W_m2K = 1 / (1 / FOOD_ON_METAL_W_m2K + half)
        crust_W_m2K = 1 / (1 / CRUST_ON_METAL_W_m2K + half)
        lump_J_K, emissivity = platter.mass_kg * kind.heat_capacity_J_kgK, kind.emissivity
    return Food(
        portion=portion,
        middle=middle,
        side=side,
        middle_over=turned_over(middle),
        side_over=turned_over(side),
        stone_conductance_W_m2K=stone_W_m2K,
        contact_W_m2K=contact_W_m2K,
        crust_contact_W_m2K=crust_W_m2K,
        middle_inner=(inner_half(middle), inner_half(turned_over(middle))),
        side_inner=(inner_half(side), inner_half(turned_over(side))),
        lump_J_K=lump_J_K,
        lump_emissivity=emissivity,
    )


def start(food: Food) -> FoodState:
    """The portion before any heat: all at its start temperature, on a platter at its own."""
    cells = np.zeros((COLUMNS + 1, ROW))
    cells[:COLUMNS, :WATER] = food.portion.start_C
    cells[:COLUMNS, PEAK : PEAK + NODES] = food.portion.start_C
    cells[0, WATER:PEAK] = food.middle[WATER_0]
    cells[1:COLUMNS, WATER:PEAK] = food.side[WATER_0]
    platter = food.platter
    cells[LUMP, LUMP_C] = food.portion.start_C if platter is None else platter.start_C
    return _seen(food, cells, over=False, on_platter=platter is not None)


def _seen(food: Food, cells: Floats, over: bool, on_platter: bool) -> FoodState:
    """The state with the two temperatures the oven sees."""
    cells.flags.writeable = False
    top_C = float(cells[0, NODES - 1])
    if food.platter is None or not on_platter:
        return FoodState(cells, over, False, float(cells[0, 0]), top_C)
    lump_C = float(cells[LUMP, LUMP_C])
    share = min(1.0, food.portion.area_m2 / food.platter.area_m2)
    mean = share * (top_C + 273.15) ** 4 + (1 - share) * (lump_C + 273.15) ** 4
    return FoodState(cells, over, True, lump_C, mean**0.25 - 273.15)


def surroundings(food: Food, exposure: Exposure) -> Floats:
    """The exposure as the loops want it, entries named in `column`."""
    platter = food.platter
    if platter is None and exposure.base == "platter":
        raise PhysicalRangeError(f"{food.portion.name}: base platter: this portion has no platter")
    lumped = platter is not None and exposure.base != "board"
    hearth = exposure.base == "stone"
    cool = not hearth and exposure.gas_C < column.BOILING_C
    around = np.zeros(column.SURROUNDINGS)
    around[column.BELOW_C] = exposure.stone_C if hearth else exposure.gas_C
    around[[column.BELOW_W_M2K, column.BELOW_DRY_W_M2K]] = UNDER_BOARD_W_m2K
    if lumped or hearth:
        around[column.BELOW_W_M2K] = food.contact_W_m2K
        around[column.BELOW_DRY_W_M2K] = food.crust_contact_W_m2K
    around[column.TOP_W_M2K] = ROOM_W_m2K if cool else GAS_W_m2K
    around[column.GAS_C] = exposure.gas_C
    around[column.VAPOUR_PA] = ROOM_VAPOUR_PA if cool else OVEN_VAPOUR_PA
    around[column.OPEN] = 1.0 - food.portion.cover
    around[column.EMISSIVITY] = FOOD_EMISSIVITY
    around[column.SUGAR] = food.portion.sugar
    if platter is not None and lumped:
        under_W_m2K = food.stone_conductance_W_m2K if hearth else UNDER_BOARD_W_m2K
        around[column.HAS_LUMP] = 1.0
        around[column.LUMP_BELOW_W_K] = under_W_m2K * platter.area_m2
        around[column.LUMP_J_K] = food.lump_J_K
        around[column.LUMP_FOOD_M2] = food.portion.area_m2
        around[column.LUMP_BARE_M2] = max(0.0, platter.area_m2 - food.portion.area_m2)
        around[column.LUMP_EMISSIVITY] = food.lump_emissivity
        around[column.LUMP_UP_W_M2] = exposure.up_W_m2
    return around


def tops(food: Food, exposure: Exposure, facing_deg: float) -> Floats:
    """Irradiance on the top of each column [W/m²]: the middle, then the four sectors."""
    aside = RIM_SIDE if food.portion.rim_thickness_m > 0 else SHOULDER
    heat = np.full(COLUMNS, exposure.up_W_m2)
    for sector in range(COLUMNS - 1):
        rim = rim_at(exposure.rim_W_m2, 90.0 * sector + facing_deg)
        heat[sector + 1] = (1 - aside) * exposure.up_W_m2 + aside * rim
    return heat


def grids(food: Food, state: FoodState) -> tuple[Floats, Floats]:
    """The grids of middle and sectors the way up the portion now lies."""
    return (food.middle_over, food.side_over) if state.over else (food.middle, food.side)


def advance(
    food: Food, state: FoodState, exposure: Exposure, dt_s: float, facing_deg: float = 0.0
) -> FoodState:
    """The portion `dt_s` later in that heat.

    `facing_deg` is how far the leading edge is turned clockwise away from the flame.
    Raises PhysicalRangeError for a time that is not positive, or a base "platter" without one.
    """
    if not (math.isfinite(dt_s) and dt_s > 0):
        raise PhysicalRangeError(f"dt_s {dt_s} s: expected above 0")
    substeps = math.ceil(dt_s / SUBSTEP_S - 1e-9)
    around = surroundings(food, exposure)
    middle, side = grids(food, state)
    cells = state.cells.copy()
    column.run(cells, middle, side, around, tops(food, exposure, facing_deg), dt_s / substeps, substeps)
    return _seen(food, cells, state.over, on_platter=bool(around[column.HAS_LUMP] > 0))


def flip(food: Food, state: FoodState) -> FoodState:
    """The portion turned over about its leading edge's axis: left and right sectors change places."""
    cells = state.cells.copy()
    for first in (0, WATER, PEAK):
        cells[:COLUMNS, first : first + NODES] = state.cells[:COLUMNS, first : first + NODES][:, ::-1]
    cells[:COLUMNS, column.BROWN_BELOW] = state.cells[:COLUMNS, column.BROWN_ABOVE]
    cells[:COLUMNS, column.BROWN_ABOVE] = state.cells[:COLUMNS, column.BROWN_BELOW]
    cells[[2, 4]] = cells[[4, 2]]
    return _seen(food, cells, not state.over, state.on_platter)
