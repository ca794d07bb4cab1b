"""Heat and water through the thickness of food: the compiled loops.

A portion is five columns through its thickness: the middle, and one per sector of its top at 0, 90,
180, 270 degrees clockwise from its leading edge. Each has NODES nodes, bottom first, on the faces and
between them; a node owns the half-gaps beside it. Per column the state row holds

    temperature [°C] | water [kg/m²] | peak temperature [°C] | browning below | browning above |
    heat taken in [J/m²] | heat left with vapour and juice [J/m²]

Time: backward Euler with substeps, nodes that boil held at 100 °C while they have water (whatever
heat remains evaporates it), so that heat is conserved to rounding whatever the step.

All loops stand in this one file because the compiled copy on disk notices changes of its own file only.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from hearthtide.compiled import compiled

Floats = NDArray[np.float64]
NODES = 12
COLUMNS = 5
WATER, PEAK = NODES, 2 * NODES
BROWN_BELOW, BROWN_ABOVE, HEAT, LEFT = 3 * NODES, 3 * NODES + 1, 3 * NODES + 2, 3 * NODES + 3
ROW = 3 * NODES + 4
# The last row of the state is the platter's.
LUMP, LUMP_C, LUMP_FROM_BELOW, LUMP_FROM_FIRE, LUMP_TO_FOOD = COLUMNS, 0, 1, 2, 3
# Rows of a grid: heat capacity of what is not water [J/(m² K)], water at the start [kg/m²], volume [m],
# share of the water that raw muscle holds; then per gap: moist and dried conductivity [W/(m K)],
# width [m], water conductance [kg/(m² s)], 1 where it is fluid.
DRY, WATER_0, VOLUME, MUSCLE, GAP_K, GAP_CRUST_K, GAP, GAP_WATER, GAP_FLUID = range(9)
GRID_ROWS = 9
# Entries of the surroundings.
BELOW_W_M2K, BELOW_DRY_W_M2K, BELOW_C, TOP_W_M2K, GAS_C, VAPOUR_PA, OPEN, EMISSIVITY, SUGAR = range(9)
HAS_LUMP, LUMP_BELOW_W_K, LUMP_J_K, LUMP_FOOD_M2, LUMP_BARE_M2, LUMP_EMISSIVITY, LUMP_UP_W_M2 = range(9, 16)
SURROUNDINGS = 16

STEFAN_BOLTZMANN_W_m2K4 = 5.670374e-8  # CODATA 2018
GAS_CONSTANT_J_molK = 8.314  # the digits Zanoni's constants were fitted with
# Marks of a node during a substep, and how often they may change before the heat is taken as it is.
FREE, HELD, DRYING = 0.0, 1.0, -1.0
ROUNDS = 8
BOILING_C = 100.0  # at sea level; sugar and salt raise it by a degree or two, which is left out
SETTING_C = 30.0  # below this raw muscle lets nothing go (less than 0.1 % of its water by the curve below)
NEARLY_BOILING_C = 99.99
LATENT_BOILING_J_kg = 2.5009e6 - 2437.0 * BOILING_C
WATER_J_kgK = 4143.0  # Choi and Okos at 60 °C, the middle of a cook
WATER_KG_M3 = 983.8  # Choi and Okos at 60 °C
LEWIS_PA_K = (
    66.0  # psychrometric constant: turns a heat coefficient into one for vapour; handbook, from memory
)
BROWNING_1_S, BROWNING_J_mol = 42_000.0, 64_151.0  # zanoni-1995, dried crumb at 140 to 250 °C


@compiled
def latent_J_kg(temperature_C: float) -> float:
    """Heat of evaporation of water, a line through the steam table, 0 to 100 °C; from memory."""
    return 2.5009e6 - 2437.0 * temperature_C


@compiled
def saturation_Pa(temperature_C: float) -> float:
    """Vapour pressure over water, 1 to 100 °C (Antoine's form; constants from memory)."""
    return 133.322 * math.pow(10.0, 8.07131 - 1730.63 / (233.426 + temperature_C))


@compiled
def browning_1_s(temperature_C: float) -> float:
    """Rate of dry browning; 140 to 250 °C is where it was measured (zanoni-1995)."""
    return BROWNING_1_S * math.exp(-BROWNING_J_mol / (GAS_CONSTANT_J_molK * (temperature_C + 273.15)))


@compiled
def _conductances(row: Floats, grid: Floats, work: Floats) -> None:
    """Heat conductance of every gap into work[0]: moist and crust conductivity mixed by wetness."""
    for i in range(NODES - 1):
        wet = 0.5 * (row[WATER + i] / grid[WATER_0, i] + row[WATER + i + 1] / grid[WATER_0, i + 1])
        crust = grid[GAP_CRUST_K, i]
        work[0, i] = (crust + (grid[GAP_K, i] - crust) * min(1.0, wet)) / grid[GAP, i]


@compiled
def _faces(row: Floats, grid: Floats, around: Floats, top_W_m2: float, work: Floats) -> None:
    """Both faces into work[7]: top gain, loss per K, evaporation, its slope per K; contact below."""
    last = NODES - 1
    skin_C = row[last]
    kelvin = skin_C + 273.15
    emits = around[EMISSIVITY] * around[OPEN] * STEFAN_BOLTZMANN_W_m2K4 * kelvin**3
    gain = around[EMISSIVITY] * around[OPEN] * top_W_m2 - emits * kelvin + 4.0 * emits * skin_C
    work[7, 0] = gain + around[TOP_W_M2K] * around[GAS_C]
    work[7, 1] = 4.0 * emits + around[TOP_W_M2K]
    work[7, 2] = 0.0
    work[7, 3] = 0.0
    moist = min(1.0, row[WATER] / grid[WATER_0, 0])
    work[7, 4] = around[BELOW_DRY_W_M2K] + moist * (around[BELOW_W_M2K] - around[BELOW_DRY_W_M2K])
    # Water covers of the face the share it has of the volume: vapour leaves only there.
    share = row[WATER + last] / (WATER_KG_M3 * grid[VOLUME, last])
    wet_C = min(skin_C, BOILING_C)
    over = saturation_Pa(wet_C) - around[VAPOUR_PA]
    if share > 0.0 and over > 0.0:
        lewis = around[OPEN] * around[TOP_W_M2K] / LEWIS_PA_K * min(1.0, share)
        slope = saturation_Pa(wet_C) * 1730.63 * math.log(10.0) / (233.426 + wet_C) ** 2
        work[7, 2] = lewis * (over - slope * wet_C)
        work[7, 3] = lewis * slope


@compiled
def _solve(row: Floats, grid: Floats, below_C: float, dt_s: float, work: Floats) -> None:
    """New temperatures into work[1], by the marks in work[2]: free, held at boiling, drying out."""
    last = NODES - 1
    for i in range(NODES):
        if work[2, i] == HELD:
            work[3, i] = 0.0
            work[4, i] = BOILING_C
            continue
        store = (grid[DRY, i] + WATER_J_kgK * row[WATER + i]) / dt_s
        down = work[7, 4] if i == 0 else work[0, i - 1]
        up = 0.0 if i == last else work[0, i]
        diagonal = store + down + up
        right = store * row[i]
        if i == 0:
            right += down * below_C
        if i == last:
            diagonal += work[7, 1]
            right += work[7, 0]
        if work[2, i] == DRYING:
            right -= row[WATER + i] * LATENT_BOILING_J_kg / dt_s
        elif i == last:
            diagonal += work[7, 3]
            right -= work[7, 2]
        if i > 0:
            diagonal -= down * work[3, i - 1]
            right += down * work[4, i - 1]
        work[3, i] = up / diagonal
        work[4, i] = right / diagonal
    work[1, last] = work[4, last]
    for i in range(last - 1, -1, -1):
        work[1, i] = work[4, i] + work[3, i] * work[1, i + 1]


@compiled
def _boiling_heat(below_C: float, i: int, work: Floats) -> float:
    """Heat flow into a node held at boiling, from all sides [W/m²]."""
    below = work[7, 4] * (below_C - BOILING_C)
    if i > 0:
        below = work[0, i - 1] * (work[1, i - 1] - BOILING_C)
    above = work[7, 0] - work[7, 1] * BOILING_C
    if i < NODES - 1:
        above = work[0, i] * (work[1, i + 1] - BOILING_C)
    return float(below + above)


@compiled
def _remark(row: Floats, grid: Floats, below_C: float, dt_s: float, work: Floats) -> bool:
    """Heat that boils at the held nodes into work[5] [J/m²]; mend the marks, True when one changed."""
    changed = False
    for i in range(NODES):
        work[5, i] = 0.0
        if work[2, i] == HELD:
            store = grid[DRY, i] + WATER_J_kgK * row[WATER + i]
            heat = _boiling_heat(below_C, i, work) * dt_s - store * (BOILING_C - row[i])
            by_air = 0.0
            if i == NODES - 1:
                by_air = (work[7, 2] + work[7, 3] * BOILING_C) * dt_s
            work[5, i] = heat
            if heat < by_air:
                work[2, i] = FREE
                changed = True
            elif heat > row[WATER + i] * LATENT_BOILING_J_kg:
                work[2, i] = DRYING
                changed = True
        elif work[2, i] == FREE and work[1, i] > BOILING_C and row[WATER + i] > 0.0:
            work[2, i] = HELD
            changed = True
    return changed


@compiled
def _evaporate(row: Floats, grid: Floats, i: int, dt_s: float, work: Floats) -> float:
    """Turn a node's heat of boiling, and of the moist face, into vapour; returns that vapour [kg/m²].

    A node whose mark changed in the last round keeps its heat: what cannot leave as vapour warms or
    cools it, so that nothing is lost when the rounds end early.
    """
    store = grid[DRY, i] + WATER_J_kgK * row[WATER + i]
    latent = latent_J_kg(min(work[1, i], BOILING_C))
    heat = work[5, i]
    if work[6, i] == DRYING:
        latent = LATENT_BOILING_J_kg
        heat = row[WATER + i] * latent
    elif work[6, i] == FREE:
        heat = 0.0
        if i == NODES - 1:
            heat = (work[7, 2] + work[7, 3] * work[1, i]) * dt_s
        if work[1, i] > BOILING_C:
            heat += store * (work[1, i] - BOILING_C)
            work[1, i] = BOILING_C
    gone = min(max(heat, 0.0) / latent, row[WATER + i])
    row[i] = work[1, i] + (heat - gone * latent) / store
    row[WATER + i] -= gone
    row[LEFT] += gone * (latent + WATER_J_kgK * row[i])
    return float(gone)


@compiled
def _boil(row: Floats, grid: Floats, dt_s: float, work: Floats) -> None:
    """Write new temperatures and water; steam rises through fluid and condenses where that is cooler."""
    steam = 0.0
    for i in range(NODES):
        gone = 0.0
        if row[WATER + i] > 0.0:
            gone = _evaporate(row, grid, i, dt_s, work)
        else:
            row[i] = work[1, i]
        if steam > 0.0 and row[i] < BOILING_C:
            store = grid[DRY, i] + WATER_J_kgK * row[WATER + i]
            caught = min(steam, store * (BOILING_C - row[i]) / LATENT_BOILING_J_kg)
            brought = caught * (LATENT_BOILING_J_kg + WATER_J_kgK * BOILING_C)
            row[WATER + i] += caught
            row[i] = (store * row[i] + brought) / (store + WATER_J_kgK * caught)
            row[LEFT] -= brought
            steam -= caught
        if i < NODES - 1:
            steam = (steam + gone) * grid[GAP_FLUID, i]


@compiled
def _seep(row: Floats, grid: Floats, dt_s: float, work: Floats) -> None:
    """Water moves from wetter to drier nodes and takes its warmth along; layers keep their own share."""
    if row[WATER] >= grid[WATER_0, 0] and row[WATER + NODES - 1] >= grid[WATER_0, NODES - 1]:
        return
    for i in range(NODES):
        down = 0.0 if i == 0 else grid[GAP_WATER, i - 1] * dt_s
        up = 0.0 if i == NODES - 1 else grid[GAP_WATER, i] * dt_s
        diagonal = grid[WATER_0, i] + down + up
        right = row[WATER + i]
        if i > 0:
            diagonal -= down * work[3, i - 1]
            right += down * work[4, i - 1]
        work[3, i] = up / diagonal
        work[4, i] = right / diagonal
    work[5, NODES - 1] = work[4, NODES - 1]
    for i in range(NODES - 2, -1, -1):
        work[5, i] = work[4, i] + work[3, i] * work[5, i + 1]
    for i in range(NODES):
        work[6, i] = (grid[DRY, i] + WATER_J_kgK * row[WATER + i]) * row[i]
    for i in range(NODES - 1):
        moved = grid[GAP_WATER, i] * dt_s * (work[5, i] - work[5, i + 1])
        warmth = WATER_J_kgK * moved * (row[i] if moved > 0.0 else row[i + 1])
        work[6, i] -= warmth
        work[6, i + 1] += warmth
    for i in range(NODES):
        row[WATER + i] = work[5, i] * grid[WATER_0, i]
        row[i] = work[6, i] / (grid[DRY, i] + WATER_J_kgK * row[WATER + i])


@compiled
def held_share(temperature_C: float) -> float:
    """Share of its water that raw muscle still holds once it has been that hot.

    Per kg raw it holds a1 - a2 / (1 + a3 exp(-a4 (T - 52))), beef (vandersman-2007 as quoted by public
    code). Read on the raw basis, which alone agrees with the 24 to 27 % lost at 70 °C.
    """
    return (0.745 - 0.345 / (1.0 + 30.0 * math.exp(-0.25 * (temperature_C - 52.0)))) / 0.745


@compiled
def _juice(row: Floats, grid: Floats) -> None:
    """Setting muscle presses its juice to the nearer face; what finds no room there drips off."""
    last = NODES - 1
    for i in range(1, last):
        if grid[MUSCLE, i] == 0.0 or row[PEAK + i] < SETTING_C:
            continue
        holds = grid[WATER_0, i] * (1.0 - grid[MUSCLE, i] * (1.0 - held_share(row[PEAK + i])))
        juice = row[WATER + i] - holds
        if juice <= 0.0:
            continue
        face = 0 if i < NODES // 2 else last
        row[WATER + i] = holds
        taken = min(juice, max(0.0, grid[WATER_0, face] - row[WATER + face]))
        warm = (grid[DRY, face] + WATER_J_kgK * row[WATER + face]) * row[face]
        row[WATER + face] += taken
        warm += WATER_J_kgK * taken * row[i]
        row[face] = warm / (grid[DRY, face] + WATER_J_kgK * row[WATER + face])
        row[LEFT] += WATER_J_kgK * (juice - taken) * row[i]


@compiled
def _brown(row: Floats, grid: Floats, sugar: float, dt_s: float) -> None:
    """Browning of both faces, as far as they are dry; and the peak temperature of every node."""
    last = NODES - 1
    dry_below = 1.0 - row[WATER] / grid[WATER_0, 0]
    dry_above = 1.0 - row[WATER + last] / grid[WATER_0, last]
    if dry_below > 0.0:
        row[BROWN_BELOW] += sugar * dry_below * browning_1_s(row[0]) * dt_s
    if dry_above > 0.0:
        row[BROWN_ABOVE] += sugar * dry_above * browning_1_s(row[last]) * dt_s
    for i in range(NODES):
        row[PEAK + i] = max(row[PEAK + i], row[i])


@compiled
def step_column(
    row: Floats, grid: Floats, around: Floats, below_C: float, top_W_m2: float, dt_s: float, work: Floats
) -> float:
    """One substep of one column, in place; returns the heat taken in through the bottom [J/m²]."""
    last = NODES - 1
    _conductances(row, grid, work)
    _faces(row, grid, around, top_W_m2, work)
    for i in range(NODES):
        work[2, i] = HELD if row[i] >= NEARLY_BOILING_C and row[WATER + i] > 0.0 else FREE
    for _ in range(ROUNDS):
        _solve(row, grid, below_C, dt_s, work)
        for i in range(NODES):
            work[6, i] = work[2, i]
        if not _remark(row, grid, below_C, dt_s, work):
            break
    below = work[7, 4] * (below_C - work[1, 0]) * dt_s
    row[HEAT] += below + (work[7, 0] - work[7, 1] * work[1, last]) * dt_s
    _boil(row, grid, dt_s, work)
    _juice(row, grid)
    _seep(row, grid, dt_s, work)
    _brown(row, grid, around[SUGAR], dt_s)
    return float(below)


@compiled
def _step_lump(lump: Floats, around: Floats, to_food_J: float, dt_s: float) -> None:
    """One substep of the platter: heat from below, fire on its bare rim, heat given to the food."""
    kelvin = lump[LUMP_C] + 273.15
    emits = around[LUMP_EMISSIVITY] * STEFAN_BOLTZMANN_W_m2K4 * kelvin**3
    gain = around[LUMP_EMISSIVITY] * around[LUMP_UP_W_M2] - emits * kelvin + 4.0 * emits * lump[LUMP_C]
    gain += around[TOP_W_M2K] * around[GAS_C]
    loss = 4.0 * emits + around[TOP_W_M2K]
    store = around[LUMP_J_K] / dt_s
    bare = around[LUMP_BARE_M2]
    below = around[LUMP_BELOW_W_K]
    right = store * lump[LUMP_C] + below * around[BELOW_C] + bare * gain - to_food_J / dt_s
    new_C = right / (store + below + bare * loss)
    lump[LUMP_FROM_BELOW] += below * (around[BELOW_C] - new_C) * dt_s
    lump[LUMP_FROM_FIRE] += bare * (gain - loss * new_C) * dt_s
    lump[LUMP_TO_FOOD] += to_food_J
    lump[LUMP_C] = new_C


@compiled
def run(
    cells: Floats, middle: Floats, side: Floats, around: Floats, tops: Floats, dt_s: float, n: int
) -> None:
    """`n` substeps of the whole portion, in place. `tops` is the irradiance on each column's top."""
    work = np.empty((8, NODES))
    for _ in range(n):
        below_C = around[BELOW_C]
        if around[HAS_LUMP] > 0.0:
            below_C = cells[LUMP, LUMP_C]
        taken = step_column(cells[0], middle, around, below_C, tops[0], dt_s, work)
        for sector in range(1, COLUMNS):
            step_column(cells[sector], side, around, below_C, tops[sector], dt_s, work)
        if around[HAS_LUMP] > 0.0:
            _step_lump(cells[LUMP], around, taken * around[LUMP_FOOD_M2], dt_s)
