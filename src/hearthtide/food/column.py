"""Heat and water through the thickness of food: the compiled loops.

A portion is a set of columns through its thickness (`form`). A flat one has five: the middle, and one per
sector of its top at 0, 90, 180, 270 degrees clockwise from its leading edge. A body has a chain of them
from its flame side to its lee, and heat flows between neighbours too. Each has NODES nodes, bottom first, on
the faces and between them; a node owns the half-gaps beside it. Per column the state row holds

    temperature [°C] | water [kg/m²] | peak temperature [°C] | share of its water that the muscle holds |
    time at the reference temperature of lethality that would kill as much [s] | browning below |
    browning above | heat taken in [J/m²] | heat left with vapour and juice [J/m²]

Time: backward Euler in steps that follow what moves, nodes that boil held at 100 °C while they have water
(whatever heat remains evaporates it), so that heat is conserved to rounding whatever the step.

All loops stand in this one file because the compiled copy on disk notices changes of its own file only.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from hearthtide.compiled import compiled

Floats = NDArray[np.float64]
Index = NDArray[np.int64]
NODES = 12
FLAT_COLUMNS = 5
WATER, PEAK, HOLDS, LETHAL = NODES, 2 * NODES, 3 * NODES, 4 * NODES
BROWN_BELOW, BROWN_ABOVE, HEAT, LEFT = 5 * NODES, 5 * NODES + 1, 5 * NODES + 2, 5 * NODES + 3
ROW = 5 * NODES + 4
# The last row of the state is the platter's, and the step that the loops would take next.
LUMP, LUMP_C, LUMP_FROM_BELOW, LUMP_FROM_FIRE, LUMP_TO_FOOD, NEXT_STEP_S = -1, 0, 1, 2, 3, 4
# Rows of a grid: heat capacity of what is not water [J/(m² K)], water at the start [kg/m²], volume [m],
# share of the water that raw muscle holds, mass at the start [kg/m²], 1 where juice is pressed to the last
# node's face, 0 to the first's; then per gap: moist and dried conductivity [W/(m K)],
# width [m], water conductance [kg/(m² s)], 1 where it is fluid.
DRY, WATER_0, VOLUME, MUSCLE, MASS, JUICE_UP, GAP_K, GAP_CRUST_K, GAP, GAP_WATER, GAP_FLUID = range(11)
GRID_ROWS = 11
# Entries of the surroundings.
BELOW_C, TOP_W_M2K, GAS_C, VAPOUR_PA, OPEN, EMISSIVITY, SUGAR, LETHAL_C, LETHAL_Z_K = range(9)
HAS_LUMP, LUMP_BELOW_W_K, LUMP_J_K, LUMP_FOOD_M2, LUMP_BARE_M2, LUMP_EMISSIVITY, LUMP_UP_W_M2 = range(9, 16)
STONE_W_M2K, SIDE_M2K_W = 16, 17
SURROUNDINGS = 18
# Per column, what its faces meet: heat in from above [W/m²], area of the upper face per footprint,
# conductance to what is below while moist and once dry [W/(m² K)].
TOP_HEAT_W_M2, TOP_AREA, BELOW_W_M2K, BELOW_DRY_W_M2K = range(4)
FACE = 4
# What the upright side of each node meets: its area per footprint, irradiance on it [W/m²].
SIDE_AREA, SIDE_HEAT_W_M2 = range(2)
# Rows of the stone under a portion, hot face first: temperature [°C], heat capacity [J/(m² K)], conductance
# towards the face [W/(m² K)], and from the last node to the air behind it; then that air [°C].
STONE_C, STONE_J_M2K, STONE_LINK, STONE_BACK, STONE_BEHIND_C = range(5)
STONE_ROWS = 5
# What ends a run: core, where it is looked for (columns, nodes), colour on the house's steps (dE at which
# each begins), bubbling, and the browning of any face that counts as burnt. Not a number: not asked.
CORE_C, CORE_COLUMN, CORE_COLUMNS, CORE_NODE, CORE_NODES, COLOUR, BUBBLES, BURNT, STEPS_DE = range(9)
UNTIL = STEPS_DE + 5

STEFAN_BOLTZMANN_W_m2K4 = 5.670374e-8  # CODATA 2018
GAS_CONSTANT_J_molK = 8.314  # the digits Zanoni's constants were fitted with
# Marks of a node during a substep, and how often they may change before the heat is taken as it is.
FREE, HELD, DRYING = 0.0, 1.0, -1.0
ROUNDS = 8
# No node moves by more than about this much in a step [K]; steps lie between these [s]. Own choice: see
# the note on numerical error in docs/validation.md.
CALM_K, SHORTEST_S, LONGEST_S = 4.0, 0.125, 0.5
LN_10 = math.log(10.0)
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
BURNT_FOR_EVER_dE = 52.0  # zanoni-1995: the colour difference it tends to
# A dish bubbles when water boils somewhere inside and the layer this deep below its face is this hot,
# so that bubbles live to reach the face. Common practice, no source.
BUBBLE_DEPTH_M, BUBBLE_C = 0.002, 90.0


class Cut(NamedTuple):
    """A portion cut into columns, the way up it lies.

    `grids` (kinds, GRID_ROWS, NODES) and `of` (columns,) which of them each column has. Per column: `share`
    its area over the footprint's, `under` of what is seen from below and `shown` from above, both with sum 1.
    `across` (columns - 1, NODES) conductance between neighbours per footprint [W/(m² K)], (0, NODES) where
    none touch, node to node, counted from the last one where `inward` (columns,) is 1.
    """

    grids: Floats
    of: Index
    share: Floats
    under: Floats
    shown: Floats
    across: Floats
    inward: Index


class Heat(NamedTuple):
    """What the columns meet: `faces` (columns, FACE), `edge` (2, columns, NODES) of upright sides, `around`
    (SURROUNDINGS,), and the stone under the portion (STONE_ROWS, nodes), without nodes where it stays as it
    is. A run moves `around` and `stone` on.
    """

    faces: Floats
    edge: Floats
    around: Floats
    stone: Floats


@compiled
def latent_J_kg(temperature_C: float) -> float:
    """Heat of evaporation of water, a line through the steam table, 0 to 100 °C; from memory."""
    return 2.5009e6 - 2437.0 * temperature_C


@compiled
def saturation_Pa(temperature_C: float) -> float:
    """Vapour pressure over water, 1 to 100 °C (Antoine's form; constants from memory)."""
    return 133.322 * math.exp(LN_10 * (8.07131 - 1730.63 / (233.426 + temperature_C)))


@compiled
def browning_1_s(temperature_C: float) -> float:
    """Rate of dry browning; 140 to 250 °C is where it was measured (zanoni-1995)."""
    return BROWNING_1_S * math.exp(-BROWNING_J_mol / (GAS_CONSTANT_J_molK * (temperature_C + 273.15)))


@compiled
def _conductances(row: Floats, grid: Floats, work: Floats) -> None:
    """Heat conductance of every gap into work[0]: moist and crust conductivity mixed by wetness."""
    for i in range(NODES):
        work[1, i] = 0.5 * row[WATER + i] / grid[WATER_0, i]
    for i in range(NODES - 1):
        crust = grid[GAP_CRUST_K, i]
        wet = min(1.0, work[1, i] + work[1, i + 1])
        work[0, i] = (crust + (grid[GAP_K, i] - crust) * wet) / grid[GAP, i]


@compiled
def _faces(row: Floats, grid: Floats, around: Floats, face: Floats, work: Floats) -> None:
    """Both faces into work[7]: top gain, loss per K, evaporation, its slope per K; contact below."""
    last = NODES - 1
    skin_C = row[last]
    kelvin = skin_C + 273.15
    area = face[TOP_AREA]
    film = area * around[TOP_W_M2K]
    takes = area * around[EMISSIVITY] * around[OPEN]
    emits = takes * STEFAN_BOLTZMANN_W_m2K4 * kelvin**3
    gain = takes * face[TOP_HEAT_W_M2] - emits * kelvin + 4.0 * emits * skin_C
    work[7, 0] = gain + film * around[GAS_C]
    work[7, 1] = 4.0 * emits + film
    work[7, 2] = 0.0
    work[7, 3] = 0.0
    moist = min(1.0, row[WATER] / grid[WATER_0, 0])
    work[7, 4] = face[BELOW_DRY_W_M2K] + moist * (face[BELOW_W_M2K] - face[BELOW_DRY_W_M2K])
    # Water covers of the face the share it has of the volume: vapour leaves only there.
    share = row[WATER + last] / (WATER_KG_M3 * grid[VOLUME, last])
    if share > 0.0:
        wet_C = min(skin_C, BOILING_C)
        pressure = saturation_Pa(wet_C)
        if pressure > around[VAPOUR_PA]:
            lewis = around[OPEN] * film / LEWIS_PA_K * min(1.0, share)
            slope = pressure * 1730.63 * LN_10 / (233.426 + wet_C) ** 2
            work[7, 2] = lewis * (pressure - around[VAPOUR_PA] - slope * wet_C)
            work[7, 3] = lewis * slope


@compiled
def _solve(row: Floats, grid: Floats, below_C: float, dt_s: float, work: Floats) -> None:
    """New temperatures into work[1], by the marks in work[2]: free, held at boiling, drying out."""
    last = NODES - 1
    per_s = 1.0 / dt_s
    for i in range(NODES):
        if work[2, i] == HELD:
            work[3, i] = 0.0
            work[4, i] = BOILING_C
            continue
        store = (grid[DRY, i] + WATER_J_kgK * row[WATER + i]) * per_s
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
            right -= row[WATER + i] * LATENT_BOILING_J_kg * per_s
        elif i == last:
            diagonal += work[7, 3]
            right -= work[7, 2]
        if i > 0:
            diagonal -= down * work[3, i - 1]
            right += down * work[4, i - 1]
        over = 1.0 / diagonal
        work[3, i] = up * over
        work[4, i] = right * over
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
        over = 1.0 / diagonal
        work[3, i] = up * over
        work[4, i] = right * over
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
        holds = grid[WATER_0, i] * (1.0 - grid[MUSCLE, i] * (1.0 - row[HOLDS + i]))
        juice = row[WATER + i] - holds
        if juice <= 0.0:
            continue
        face = last if grid[JUICE_UP, i] > 0.0 else 0
        row[WATER + i] = holds
        taken = min(juice, max(0.0, grid[WATER_0, face] - row[WATER + face]))
        warm = (grid[DRY, face] + WATER_J_kgK * row[WATER + face]) * row[face]
        row[WATER + face] += taken
        warm += WATER_J_kgK * taken * row[i]
        row[face] = warm / (grid[DRY, face] + WATER_J_kgK * row[WATER + face])
        row[LEFT] += WATER_J_kgK * (juice - taken) * row[i]


@compiled
def _flash(row: Floats, grid: Floats) -> None:
    """Water stirred into a fluid's node above boiling boils off at once, as far as the node's heat goes.

    Not in a solid, whose dry face keeps its heat: there the next step takes it in its stride.
    """
    for i in range(NODES):
        beside = max(grid[GAP_FLUID, i], grid[GAP_FLUID, max(0, i - 1)])
        if beside > 0.0 and row[i] > BOILING_C and row[WATER + i] > 0.0:
            store = grid[DRY, i] + WATER_J_kgK * row[WATER + i]
            gone = min(row[WATER + i], store * (row[i] - BOILING_C) / LATENT_BOILING_J_kg)
            row[WATER + i] -= gone
            left_J = gone * (LATENT_BOILING_J_kg + WATER_J_kgK * row[i])
            row[i] = (store * row[i] - left_J) / (grid[DRY, i] + WATER_J_kgK * row[WATER + i])
            row[LEFT] += left_J


@compiled
def _brown(row: Floats, grid: Floats, around: Floats, dt_s: float) -> None:
    """Browning of both faces, as far as they are dry; peak, hold and lethality of every node."""
    last = NODES - 1
    dry_below = 1.0 - row[WATER] / grid[WATER_0, 0]
    dry_above = 1.0 - row[WATER + last] / grid[WATER_0, last]
    if dry_below > 0.0:
        row[BROWN_BELOW] += around[SUGAR] * dry_below * browning_1_s(row[0]) * dt_s
    if dry_above > 0.0:
        row[BROWN_ABOVE] += around[SUGAR] * dry_above * browning_1_s(row[last]) * dt_s
    for i in range(NODES):
        if row[i] > row[PEAK + i]:
            row[PEAK + i] = row[i]
            if grid[MUSCLE, i] > 0.0 and row[i] >= SETTING_C:
                row[HOLDS + i] = held_share(row[i])
    if around[LETHAL_Z_K] > 0.0:
        for i in range(NODES):
            above = (min(row[i], BOILING_C) - around[LETHAL_C]) / around[LETHAL_Z_K]
            row[LETHAL + i] += math.exp(LN_10 * above) * dt_s


@compiled
def step_column(
    row: Floats, grid: Floats, around: Floats, face: Floats, below_C: float, dt_s: float, work: Floats
) -> float:
    """One step of one column, in place; returns the heat taken in through the bottom [J/m²]."""
    last = NODES - 1
    _conductances(row, grid, work)
    _faces(row, grid, around, face, work)
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
    _flash(row, grid)
    _brown(row, grid, around, dt_s)
    return float(below)


@compiled
def _step_lump(lump: Floats, around: Floats, to_food_J: float, dt_s: float) -> None:
    """One step of the platter: heat from below, fire on its bare rim, heat given to the food."""
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
def _side(side_C: float, area: float, heat_W_m2: float, around: Floats) -> tuple[float, float]:
    """Gain [W/m²] and loss [W/(m² K)] per footprint of a node through its upright side; it does not dry.

    Radiation is a line about the node as it is now; SIDE_M2K_W resists between the side and the node.
    """
    takes, film = around[EMISSIVITY] * around[OPEN], around[TOP_W_M2K]
    kelvin = side_C + 273.15
    emits = takes * STEFAN_BOLTZMANN_W_m2K4 * kelvin**3
    gain = takes * heat_W_m2 - emits * kelvin + 4.0 * emits * side_C + film * around[GAS_C]
    loss = 4.0 * emits + film
    passes = area / (1.0 + loss * around[SIDE_M2K_W])
    return passes * gain, passes * loss


@compiled
def _across(cells: Floats, cut: Cut, edge: Floats, around: Floats, dt_s: float) -> None:
    """Heat between neighbouring columns, level by level, and through upright sides."""
    count = len(cut.share)
    up, right = np.empty(count), np.empty(count)
    for level in range(NODES):
        for c in range(count):
            i = NODES - 1 - level if cut.inward[c] == 1 else level
            grid = cut.grids[cut.of[c]]
            store = cut.share[c] * (grid[DRY, i] + WATER_J_kgK * cells[c, WATER + i]) / dt_s
            down = 0.0 if c == 0 else cut.across[c - 1, level]
            on = 0.0 if c == count - 1 else cut.across[c, level]
            diagonal, total = store + down + on, store * cells[c, i]
            if edge[SIDE_AREA, c, i] > 0.0:
                gain, loss = _side(cells[c, i], edge[SIDE_AREA, c, i], edge[SIDE_HEAT_W_M2, c, i], around)
                diagonal += loss
                total += gain
            if c > 0:
                diagonal -= down * up[c - 1]
                total += down * right[c - 1]
            up[c] = on / diagonal
            right[c] = total / diagonal
        after_C = 0.0
        for c in range(count - 1, -1, -1):
            i = NODES - 1 - level if cut.inward[c] == 1 else level
            after_C = right[c] + up[c] * after_C
            store = cut.grids[cut.of[c]][DRY, i] + WATER_J_kgK * cells[c, WATER + i]
            cells[c, HEAT] += store * (after_C - cells[c, i])
            cells[c, i] = after_C


@compiled
def _step_stone(stone: Floats, loss_W_m2K: float, base_C: float, dt_s: float) -> float:
    """The stone under the portion one step on, its face giving heat to a base; returns the face [°C]."""
    count = stone.shape[1]
    face_link = stone[STONE_LINK, 0]
    through = loss_W_m2K * face_link / (loss_W_m2K + face_link)
    up, right = np.empty(count), np.empty(count)
    for i in range(count):
        store = stone[STONE_J_M2K, i] / dt_s
        over = through if i == 0 else stone[STONE_LINK, i]
        under = stone[STONE_LINK, i + 1] if i < count - 1 else stone[STONE_BACK, i]
        diagonal, total = store + over + under, store * stone[STONE_C, i]
        total += over * base_C if i == 0 else over * right[i - 1]
        diagonal -= 0.0 if i == 0 else over * up[i - 1]
        total += 0.0 if i < count - 1 else under * stone[STONE_BEHIND_C, i]
        up[i] = under / diagonal
        right[i] = total / diagonal
    for i in range(count - 1, -1, -1):
        stone[STONE_C, i] = right[i] if i == count - 1 else right[i] + up[i] * stone[STONE_C, i + 1]
    top_C = stone[STONE_C, 0]
    return float((face_link * top_C + loss_W_m2K * base_C) / (face_link + loss_W_m2K))


@compiled
def base_C(cells: Floats, share: Floats, heat: Heat) -> float:
    """What the stone feels: the platter, else the undersides of the columns by what they take [°C]."""
    if heat.around[HAS_LUMP] > 0.0:
        return float(cells[LUMP, LUMP_C])
    total = mean = 0.0
    for c in range(len(share)):
        # Food on stone takes as much moist as dried.
        takes = share[c] * heat.faces[c, BELOW_W_M2K]
        total += takes
        mean += takes * cells[c, 0]
    return float(mean / total)


@compiled
def _change_K(cells: Floats, before: Floats, cut: Cut) -> float:
    """The largest change of a node between the faces, and of the platter [K].

    Of a flat portion the middle column is asked alone: heat comes to it from below and above as to the
    sectors, it alone counts towards platter and stone, and sectors that differ would shorten every step.
    """
    change = abs(cells[LUMP, LUMP_C] - before[LUMP, LUMP_C])
    for c in range(len(cut.share) if len(cut.across) > 0 else 1):
        for i in range(1, NODES - 1):
            change = max(change, abs(cells[c, i] - before[c, i]))
    return float(change)


@compiled
def _step(cells: Floats, cut: Cut, heat: Heat, same: Index, dt_s: float, work: Floats) -> None:
    """One step of the whole portion, its platter and the stone."""
    around = heat.around
    below_C = around[BELOW_C]
    if around[HAS_LUMP] > 0.0:
        below_C = cells[LUMP, LUMP_C]
    taken = 0.0
    for c in range(len(cut.share)):
        if same[c] < c:
            continue
        grid = cut.grids[cut.of[c]]
        taken += cut.share[c] * step_column(cells[c], grid, around, heat.faces[c], below_C, dt_s, work)
    if len(cut.across) > 0:
        _across(cells, cut, heat.edge, around, dt_s)
    if around[HAS_LUMP] > 0.0:
        _step_lump(cells[LUMP], around, taken * around[LUMP_FOOD_M2], dt_s)
    if heat.stone.shape[1] > 0:
        base = base_C(cells, cut.share, heat)
        around[BELOW_C] = _step_stone(heat.stone, around[STONE_W_M2K], base, dt_s)


@compiled
def colour_step(browning: float, until: Floats) -> float:
    """Where a browning integral lies on the five steps, whose beginnings in dE `until` holds."""
    colour_dE = BURNT_FOR_EVER_dE * (1.0 - math.exp(-browning))
    for number in range(1, 5):
        low, high = until[STEPS_DE + number - 1], until[STEPS_DE + number]
        if colour_dE < high:
            return float(number + (colour_dE - low) / (high - low))
    return 5.0


@compiled
def bubbles(row: Floats, grid: Floats) -> bool:
    """Whether water boils inside and the layer under the face is hot too."""
    boils = False
    for i in range(NODES):
        if row[i] >= NEARLY_BOILING_C and row[WATER + i] > 0.0:
            boils = True
    depth_m, i = 0.0, NODES - 1
    while i > 0 and depth_m + grid[GAP, i - 1] < BUBBLE_DEPTH_M:
        depth_m += grid[GAP, i - 1]
        i -= 1
    under_C = row[0]
    if i > 0:
        under_C = row[i] + (BUBBLE_DEPTH_M - depth_m) / grid[GAP, i - 1] * (row[i - 1] - row[i])
    return boils and under_C >= BUBBLE_C


@compiled
def coldest_C(cells: Floats, until: Floats) -> float:
    """The coldest node where the core is looked for [°C]."""
    least = math.inf
    for c in range(int(until[CORE_COLUMN]), int(until[CORE_COLUMNS])):
        for i in range(int(until[CORE_NODE]), int(until[CORE_NODES])):
            least = min(least, cells[c, i])
    return float(least)


@compiled
def met(cells: Floats, cut: Cut, until: Floats) -> bool:
    """Whether everything that is asked for is true; a face past burnt alone is enough where that is asked."""
    count = len(cut.of)
    if not math.isnan(until[BURNT]):
        worst = 0.0
        for c in range(count):
            worst = max(worst, cells[c, BROWN_BELOW], cells[c, BROWN_ABOVE])
        return bool(worst >= until[BURNT])
    if not math.isnan(until[CORE_C]) and coldest_C(cells, until) < until[CORE_C]:
        return False
    if not math.isnan(until[COLOUR]):
        mean = 0.0
        for c in range(count):
            mean += cut.shown[c] * colour_step(cells[c, BROWN_ABOVE], until)
        if mean < until[COLOUR]:
            return False
    if math.isnan(until[BUBBLES]):
        return True
    middle = int(until[BUBBLES])
    return bubbles(cells[middle], cut.grids[cut.of[middle]])


@compiled
def _alike(cells: Floats, cut: Cut, faces: Floats) -> Index:
    """For every column the first one that is the same in all it has and meets, itself where there is none."""
    count = len(cut.of)
    same = np.arange(count)
    for c in range(1, 0 if len(cut.across) > 0 else count):
        for d in range(c):
            alike = cut.of[c] == cut.of[d]
            for k in range(FACE):
                alike = alike and faces[c, k] == faces[d, k]
            for k in range(ROW):
                alike = alike and cells[c, k] == cells[d, k]
            if alike:
                same[c] = d
                break
    return same


@compiled
def run(cells: Floats, cut: Cut, heat: Heat, until: Floats, seconds: float, longest_s: float) -> float:
    """The portion moved on in place until what `until` asks is true or `seconds` are over; the time taken.

    `cells` (columns + 1, ROW); `until` (UNTIL,), or (0,) for nothing. A step in which a node moves by more
    than twice CALM_K is taken back and halved.
    """
    work = np.empty((8, NODES))
    same = _alike(cells, cut, heat.faces)
    kept, kept_stone = cells.copy(), heat.stone.copy()
    done_s, wish_s = 0.0, min(longest_s, max(SHORTEST_S, cells[LUMP, NEXT_STEP_S]))
    while done_s < seconds - 1e-9 and not (len(until) > 0 and met(cells, cut, until)):
        left_s = seconds - done_s
        dt_s = left_s if left_s <= wish_s else min(wish_s, max(SHORTEST_S, 0.5 * left_s))
        kept[:] = cells
        kept_stone[:] = heat.stone
        below_C = heat.around[BELOW_C]
        _step(cells, cut, heat, same, dt_s, work)
        change = _change_K(cells, kept, cut)
        if change > 2.0 * CALM_K and dt_s > SHORTEST_S:
            cells[:] = kept
            heat.stone[:] = kept_stone
            heat.around[BELOW_C] = below_C
            wish_s = max(SHORTEST_S, 0.5 * dt_s)
            continue
        done_s += dt_s
        if change > CALM_K:
            wish_s = max(SHORTEST_S, min(wish_s, dt_s * CALM_K / change))
        elif 2.0 * change <= CALM_K:
            wish_s = min(longest_s, max(wish_s, 2.0 * dt_s))
        for c in range(len(cut.of)):
            if same[c] < c:
                cells[c] = cells[same[c]]
    cells[LUMP, NEXT_STEP_S] = wish_s
    return done_s


@compiled
def follow(
    cells: Floats, cut: Cut, heat: Heat, until: Floats, asked: bool, dt_s: float, cores_C: Floats
) -> int:
    """`len(cores_C)` stretches of `dt_s` in place, the core before each of them kept; how many it were.

    Where it is `asked`, what `until` asks ends them, looked for before every stretch.
    """
    nothing = np.empty(0)
    for k in range(len(cores_C)):
        cores_C[k] = coldest_C(cells, until)
        if asked and met(cells, cut, until):
            return k
        run(cells, cut, heat, nothing, dt_s, LONGEST_S)
    return len(cores_C)
