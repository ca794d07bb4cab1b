"""The compiled steps: layered columns by backward Euler, and a closed room of them that exchanges heat.

Columns of one wall share their properties, taken at the mean temperature of each depth. One step of a column:

    C_k/dt T'_k = C_k/dt T_k + g_{k-1} (T'_{k-1} - T'_k) + g_k (T'_{k+1} - T'_k) + sideways_k

is eliminated from the back to the hot face, where q = gain - loss Ts = gs (Ts - T'_0) closes it.
What works on every place of every node is written twice, in loops and in whole rows; without a compiler
the rows are taken, so the plain functions run at the speed of NumPy.
All loops stand in this one file because the compiled copy on disk notices changes of its own file only.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hearthtide.compiled import COMPILES, compiled

Floats = NDArray[np.float64]
Index = NDArray[np.intp]

STEFAN_BOLTZMANN_W_m2K4 = 5.670374419e-8  # CODATA 2018, exact since 2019 (from memory, not re-read)
ZERO_C_K = 273.15
AIR_J_kgK = 1040.0  # mean of 25 to 500 °C; CoolProp's dry air gives 1040.6
# What `march` adds up, J: heat stored by floor and walls, into bases, into tops, with gas, out through the
# mouth, through the shell, from below the floor, and the change of emission that others see a step late.
FLOOR, WALLS, BASES, TOPS, GAS, MOUTH, SHELL, LAG = range(8)
ENTRIES = 8
DOOR_ROUNDS = 4  # to 1e-6 K from any start


def sweep_rows(
    nodes: Floats,
    storage: Floats,
    link: Floats,
    surface: float,
    back: float,
    gain: Floats,
    loss: Floats,
    behind: float,
    held: Floats,
) -> Floats:
    """One step of columns `nodes` (k, n), in place; returns the hot faces (n,).

    `storage` (k,) is capacity over dt, `link` (k - 1,) between nodes, `surface` to the face, `back` to what
    is `behind` the wall, °C. `held` (k, n) comes in as heat from the sides, W/m², and is used up.
    """
    last = len(storage) - 1
    pivot = np.empty(last + 1)
    held[last] += storage[last] * nodes[last] + back * behind
    pivot[last] = storage[last] + back + (link[last - 1] if last > 0 else 0.0)
    for k in range(last - 1, -1, -1):
        ratio = link[k] / pivot[k + 1]
        held[k] += storage[k] * nodes[k] + ratio * held[k + 1]
        pivot[k] = storage[k] + link[k] + (link[k - 1] if k > 0 else 0.0) - link[k] * ratio
    share = surface / (surface + loss)
    nodes[0] = (held[0] + share * gain) / (pivot[0] + share * loss)
    for k in range(1, last + 1):
        nodes[k] = (held[k] + link[k - 1] * nodes[k - 1]) / pivot[k]
    face: Floats = (gain + surface * nodes[0]) / (surface + loss)
    return face


@compiled
def sweep_loops(
    nodes: Floats,
    storage: Floats,
    link: Floats,
    surface: float,
    back: float,
    gain: Floats,
    loss: Floats,
    behind: float,
    held: Floats,
) -> Floats:
    """`sweep_rows`, place by place."""
    last, places = len(storage) - 1, nodes.shape[1]
    pivot, face = np.empty(last + 1), np.empty(places)
    row, own = held[last], nodes[last]
    for i in range(places):
        row[i] += storage[last] * own[i] + back * behind
    pivot[last] = storage[last] + back + (link[last - 1] if last > 0 else 0.0)
    for k in range(last - 1, -1, -1):
        ratio, kept = link[k] / pivot[k + 1], storage[k]
        pivot[k] = storage[k] + link[k] + (link[k - 1] if k > 0 else 0.0) - link[k] * ratio
        row, own, below = held[k], nodes[k], held[k + 1]
        for i in range(places):
            row[i] += kept * own[i] + ratio * below[i]
    row, own = held[0], nodes[0]
    for i in range(places):
        share = surface / (surface + loss[i])
        own[i] = (row[i] + share * gain[i]) / (pivot[0] + share * loss[i])
        face[i] = (gain[i] + surface * own[i]) / (surface + loss[i])
    for k in range(1, last + 1):
        row, own, above = held[k], nodes[k], nodes[k - 1]
        down, through = 1 / pivot[k], link[k - 1] / pivot[k]
        for i in range(places):
            own[i] = down * row[i] + through * above[i]
    return face


def sides_rows(
    nodes: Floats,
    spread_x: Floats,
    spread_y: Floats,
    joined_x: Floats,
    joined_y: Floats,
    row: int,
    held: Floats,
) -> None:
    """Heat from neighbouring columns of a flattened lattice with `row` places across, W/m², into `held`."""
    held[:] = 0.0
    across = spread_x[:, None] * joined_x * (nodes[:, 1:] - nodes[:, :-1])
    held[:, :-1] += across
    held[:, 1:] -= across
    inward = spread_y[:, None] * joined_y * (nodes[:, row:] - nodes[:, :-row])
    held[:, :-row] += inward
    held[:, row:] -= inward


@compiled
def sides_loops(
    nodes: Floats,
    spread_x: Floats,
    spread_y: Floats,
    joined_x: Floats,
    joined_y: Floats,
    row: int,
    held: Floats,
) -> None:
    """`sides_rows`, place by place; the first and last row of the lattice apart from the rest."""
    last = nodes.shape[1]
    for k in range(len(nodes)):
        own, into, x, y = nodes[k], held[k], spread_x[k], spread_y[k]
        left, right = own[row - 1 : last - row - 1], own[row + 1 : last - row + 1]
        near, far, here = own[: last - 2 * row], own[2 * row :], own[row : last - row]
        jl, jr = joined_x[row - 1 : last - row - 1], joined_x[row : last - row]
        jn, jf, out = joined_y[: last - 2 * row], joined_y[row:], into[row : last - row]
        for i in range(last - 2 * row):
            t = here[i]
            out[i] = x * (jr[i] * (right[i] - t) + jl[i] * (left[i] - t)) + y * (
                jf[i] * (far[i] - t) + jn[i] * (near[i] - t)
            )
        for edge in range(2):
            for j in range(row):
                i = j if edge == 0 else last - row + j
                heat = 0.0
                if i + 1 < last:
                    heat += x * joined_x[i] * (own[i + 1] - own[i])
                if i > 0:
                    heat += x * joined_x[i - 1] * (own[i - 1] - own[i])
                if i + row < last:
                    heat += y * joined_y[i] * (own[i + row] - own[i])
                if i >= row:
                    heat += y * joined_y[i - row] * (own[i - row] - own[i])
                into[i] = heat


sweep = sweep_loops if COMPILES else sweep_rows
from_the_sides = sides_loops if COMPILES else sides_rows


@compiled
def black(temperature_C: Floats) -> Floats:
    """Black emission, W/m²."""
    square = (temperature_C + ZERO_C_K) * (temperature_C + ZERO_C_K)
    return STEFAN_BOLTZMANN_W_m2K4 * square * square


@compiled
def march(
    steps: int,
    dt_s: float,
    room_C: float,
    stone: tuple[Index, Index, Floats, Floats, float, float],
    lattice: tuple[Floats, Floats, Floats, Floats, int, Floats],
    floor_wall: tuple[Floats, Floats, float, float, float],
    other_wall: tuple[Floats, Floats, float, float, float],
    walls: tuple[Floats, float, Floats, Floats],
    mouth: tuple[Floats, float],
    from_emission: Floats,
    flame: tuple[Floats, Floats, Floats],
    gas: tuple[float, float, float, float, float, float],
    load: tuple[Floats, Floats, Floats, Floats, Floats, Floats, float],
    floor_nodes: Floats,
    floor_C: Floats,
    wall_nodes: Floats,
    wall_C: Floats,
    door_C: Floats,
    gas_C: Floats,
) -> tuple[Floats, Floats, Floats]:
    """`steps` equal steps of a room of columns, in place; returns the ledger (8,), J, and heat into bases
    and tops (items,), J.

    stone: places of the cells in the lattice, block of each cell, cells per block, area of each, emissivity,
    film of the lower gas. lattice: spread across and inward per node, joints, places in a row; or, where
    places are no lattice, conductances (n, n) from place to place per area and spread, else (0, 0).
    A wall: capacity per area (k,), link, surface, back, temperature behind. walls: areas (d,), emissivity,
    films of the upper and of the lower gas on each patch (d,). mouth: areas, conductance of a shut door
    (below 0: open). flame: irradiance on cells, walls, mouth. gas: convective heat, W; heat carried
    per kelvin by the inflow, by what leaves the lower layer at the mouth, by what rises into the upper, by
    what burning adds, W/K; emissivity of the upper gas. load: cover (items, n), covered (n,),
    conductance times cover (n,), that times base temperatures (n,), emission of tops on cells (n,),
    [conductance, base, top emission, top temperature, covered area] (5, items), number of items.
    """
    where, block, per_block, cell_m2, floor_emissivity, lower_film = stone
    spread_x, spread_y, joined_x, joined_y, row, mixing = lattice
    wall_m2, wall_emissivity, upper_films, lower_films = walls
    mouth_m2, door_W_m2K = mouth
    flame_cells, flame_walls, flame_mouth = flame
    convective_W, inflow_W_K, spill_W_K, rise_W_K, burnt_W_K, shine = gas
    cover, covered, contact, contact_base, tops, facts, _ = load
    items, patches = len(cover), len(wall_C)
    blocks = len(per_block)
    ledger, bases_J, tops_J = np.zeros(ENTRIES), np.zeros(items), np.zeros(items)
    held_floor, held_walls = np.zeros(floor_nodes.shape), np.zeros(wall_nodes.shape)
    gain_all, loss_all = np.zeros(floor_nodes.shape[1]), np.zeros(floor_nodes.shape[1])
    emission = np.empty(blocks + patches + len(door_C))
    upper_W_K, lower_walls_W_K = upper_films * wall_m2, lower_films * wall_m2
    taking = shine * (floor_emissivity * cell_m2.sum() + wall_emissivity * wall_m2.sum() + mouth_m2.sum())
    films, bare = upper_films + lower_films, 1.0 - covered
    for k in range(len(floor_wall[0])):
        ledger[FLOOR] -= floor_wall[0][k] * (cell_m2 * floor_nodes[k][where]).sum()
    for k in range(len(other_wall[0])):
        ledger[WALLS] -= other_wall[0][k] * (wall_nodes[k] * wall_m2).sum()
    storage_floor, storage_walls = floor_wall[0] / dt_s, other_wall[0] / dt_s
    for _ in range(steps):
        e_cells, e_walls, e_mouth = black(floor_C), black(wall_C), black(door_C)
        shining = bare * e_cells + tops
        emission[:blocks] = np.bincount(block, shining, blocks) / per_block
        emission[blocks : blocks + patches] = e_walls
        emission[blocks + patches :] = e_mouth
        falls = from_emission @ emission
        on_cells = falls[:blocks][block] + flame_cells
        on_walls = falls[blocks : blocks + patches] + flame_walls
        on_mouth = falls[blocks + patches :] + flame_mouth
        # The two gases, lower first.
        touched = lower_film * (cell_m2 * bare * floor_C).sum() + (lower_walls_W_K * wall_C).sum()
        for item in range(items):
            touched += lower_film * facts[4, item] * facts[3, item]
        lower_area = lower_film * cell_m2.sum() + lower_walls_W_K.sum()
        lower_C = (inflow_W_K * room_C + touched) / (inflow_W_K + lower_area)
        upper_area = upper_W_K.sum()
        e_gas = STEFAN_BOLTZMANN_W_m2K4 * (gas_C[1] + ZERO_C_K) ** 4
        slope_gas = 4 * e_gas / (gas_C[1] + ZERO_C_K)
        shone = taking * e_gas - shine * (
            floor_emissivity * (cell_m2 * shining).sum()
            + wall_emissivity * (wall_m2 * e_walls).sum()
            + (mouth_m2 * e_mouth).sum()
        )
        upper_C = rise_W_K * lower_C + burnt_W_K * room_C + convective_W + (upper_W_K * wall_C).sum()
        upper_C += taking * slope_gas * gas_C[1] - shone
        upper_C /= rise_W_K + burnt_W_K + upper_area + taking * slope_gas
        e_gas += slope_gas * (upper_C - gas_C[1])
        carried = spill_W_K * (lower_C - room_C) + (rise_W_K + burnt_W_K) * (upper_C - room_C)
        ledger[GAS] += carried * dt_s
        # Stone.
        slope = 4 * e_cells / (floor_C + ZERO_C_K)
        own_loss = bare * (floor_emissivity * slope + lower_film)
        gain_all[where] = (
            bare
            * (
                floor_emissivity * (on_cells + shine * (e_gas - e_cells) - e_cells + slope * floor_C)
                + lower_film * lower_C
            )
            + contact_base
        )
        loss_all[where] = own_loss + contact
        if len(mixing) > 0:
            crept = floor_nodes @ mixing.T
            for k in range(len(spread_x)):
                held_floor[k] = spread_x[k] * crept[k]
        else:
            from_the_sides(floor_nodes, spread_x, spread_y, joined_x, joined_y, row, held_floor)
        face = sweep(
            floor_nodes,
            storage_floor,
            floor_wall[1],
            floor_wall[2],
            floor_wall[3],
            gain_all,
            loss_all,
            floor_wall[4],
            held_floor,
        )[where]
        ledger[LAG] += dt_s * (cell_m2 * own_loss * (face - floor_C)).sum()
        ledger[SHELL] += dt_s * floor_wall[3] * (cell_m2 * (floor_nodes[-1][where] - floor_wall[4])).sum()
        for item in range(items):
            under, area = cover[item] * cell_m2, facts[4, item]
            bases_J[item] += dt_s * facts[0, item] * ((under * face).sum() - area * facts[1, item])
            above = (under * on_cells).sum() - area * facts[2, item]
            above += shine * area * (e_gas - facts[2, item])
            tops_J[item] += dt_s * (floor_emissivity * above + lower_film * area * (lower_C - facts[3, item]))
        floor_C[:] = face
        # Walls and roof.
        slope_walls = 4 * e_walls / (wall_C + ZERO_C_K)
        loss = wall_emissivity * slope_walls + films
        gain = wall_emissivity * (on_walls + shine * (e_gas - e_walls) - e_walls + slope_walls * wall_C)
        gain += upper_films * upper_C + lower_films * lower_C
        held_walls[:, :] = 0.0
        warm = sweep(
            wall_nodes,
            storage_walls,
            other_wall[1],
            other_wall[2],
            other_wall[3],
            gain,
            loss,
            other_wall[4],
            held_walls,
        )
        ledger[LAG] += dt_s * (wall_m2 * loss * (warm - wall_C)).sum()
        ledger[SHELL] += dt_s * other_wall[3] * (wall_m2 * (wall_nodes[-1] - other_wall[4])).sum()
        wall_C[:] = warm
        # Mouth: the room beyond it, or a shut door that passes on what it takes in.
        ledger[MOUTH] += dt_s * (mouth_m2 * (on_mouth + shine * (e_gas - e_mouth) - e_mouth)).sum()
        if door_W_m2K >= 0.0:
            # Newton from above, where the curve of emission lets it only come down.
            fall = on_mouth + shine * e_gas
            door_C[:] = (fall / STEFAN_BOLTZMANN_W_m2K4) ** 0.25 - ZERO_C_K
            for _round in range(DOOR_ROUNDS):
                sent = (1 + shine) * black(door_C)
                slope_door = 4 * sent / (door_C + ZERO_C_K)
                door_C[:] = (fall - sent + slope_door * door_C + door_W_m2K * room_C) / (
                    slope_door + door_W_m2K
                )
        else:
            door_C[:] = room_C
        gas_C[0], gas_C[1] = lower_C, upper_C
    for k in range(len(floor_wall[0])):
        ledger[FLOOR] += floor_wall[0][k] * (cell_m2 * floor_nodes[k][where]).sum()
    for k in range(len(other_wall[0])):
        ledger[WALLS] += other_wall[0][k] * (wall_nodes[k] * wall_m2).sum()
    ledger[BASES], ledger[TOPS] = bases_J.sum(), tops_J.sum()
    return ledger, bases_J, tops_J
