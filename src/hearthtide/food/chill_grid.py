"""Conduction through a cooling piece: its nodes, its equivalent shape, and the compiled loop.

One coordinate r, area growing as r**exponent: 0 a slab, 1 a long cylinder, 2 a sphere, between them other
shapes (Baldwin 2012, T_t = alpha (T_rr + exponent / r T_r)). A slab's nodes run from its lower face to its
upper one; those of a curved body from its centre to its surface. A node owns the half-gaps beside it.
Backward Euler, properties taken at the temperature of the step's beginning.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import numpy as np

from hearthtide.compiled import compiled
from hearthtide.food.column import Floats
from hearthtide.food.composition import Composition, conductivity_W_mK, density_kg_m3, heat_capacity_J_kgK
from hearthtide.ranges import require

NODES = 41
# One entry per degree. Warm air has to fit in as well as what a freezer does to a surface.
TABLE_FROM_C, TABLE_TO_C = -40, 110
# Entries of the surroundings: film [W/(m2 K)] and temperature [°C] above and below, vapour coefficient
# [W/(m2 Pa)] above and below, vapour pressure of the air [Pa].
TOP_W_M2K, TOP_C, BOTTOM_W_M2K, BOTTOM_C, TOP_W_M2PA, BOTTOM_W_M2PA, VAPOUR_PA = range(7)
SURROUNDINGS = 7
# Where an equivalent shape is matched: the share of the excess over the air that is left at 21 °C after 57 °C
# in 3 °C air. Own choice.
MATCHED = 1 / 3
TERMS = 12  # of a slab's series; enough from Fo = 0.01
# Rows of the course: warmest node, upper (outer) face, mean by volume [°C], water gone [kg/m2].
CORE, SURFACE, MEAN, LOST = range(4)


@compiled
def _at(table: Floats, temperature_C: float) -> float:
    """The table's value between two whole degrees."""
    place = temperature_C - TABLE_FROM_C
    whole = min(max(int(place), 0), table.size - 2)
    return float(table[whole] + (place - whole) * (table[whole + 1] - table[whole]))


@compiled
def _vapour(skin_C: float, coefficient_W_m2Pa: float, air_Pa: float, out: Floats) -> None:
    """Heat that evaporation takes from a wet face as out[0] + out[1] T, W/m2; no dew is counted."""
    # Antoine's form as in `column`; constants from memory.
    full_Pa = 133.322 * math.pow(10.0, 8.07131 - 1730.63 / (233.426 + skin_C))
    slope = full_Pa * 1730.63 * math.log(10.0) / (233.426 + skin_C) ** 2
    out[0], out[1] = 0.0, 0.0
    if coefficient_W_m2Pa > 0.0 and full_Pa > air_Pa:
        out[0] = coefficient_W_m2Pa * (full_Pa - air_Pa - slope * skin_C)
        out[1] = coefficient_W_m2Pa * slope


@compiled
def step(node_C: Floats, shape: Floats, tables: Floats, around: Floats, dt_s: float, work: Floats) -> float:
    """One step in place; returns the water gone [kg/m2]. `shape`: volumes, then gap conductors."""
    last = node_C.size - 1
    top, bottom = work[2], work[3]
    _vapour(node_C[last], around[TOP_W_M2PA], around[VAPOUR_PA], top)
    _vapour(node_C[0], around[BOTTOM_W_M2PA], around[VAPOUR_PA], bottom)
    down = 0.0
    for i in range(last + 1):
        up = 0.0
        if i < last:
            up = shape[1, i] * _at(tables[0], 0.5 * (node_C[i] + node_C[i + 1]))
        store = shape[0, i] * _at(tables[1], node_C[i]) / dt_s
        diagonal = store + down + up
        right = store * node_C[i]
        if i == 0:
            diagonal += around[BOTTOM_W_M2K] + bottom[1]
            right += around[BOTTOM_W_M2K] * around[BOTTOM_C] - bottom[0]
        else:
            diagonal -= down * work[0, i - 1]
            right += down * work[1, i - 1]
        if i == last:
            diagonal += around[TOP_W_M2K] + top[1]
            right += around[TOP_W_M2K] * around[TOP_C] - top[0]
        work[0, i] = up / diagonal
        work[1, i] = right / diagonal
        down = up
    node_C[last] = work[1, last]
    for i in range(last - 1, -1, -1):
        node_C[i] = work[1, i] + work[0, i] * node_C[i + 1]
    above = (top[0] + top[1] * node_C[last]) / (2.5009e6 - 2437.0 * node_C[last])
    below = (bottom[0] + bottom[1] * node_C[0]) / (2.5009e6 - 2437.0 * node_C[0])
    return float((above + below) * dt_s)


@compiled
def run(
    node_C: Floats, shape: Floats, tables: Floats, around: Floats, dt_s: float, stop_C: float, course: Floats
) -> int:
    """Steps until the warmest node is at `stop_C` or the course (4, n) is full; returns the steps taken.

    Column 0 of the course is the caller's start and is only continued (its LOST is added to).
    """
    work = np.zeros((4, node_C.size))
    whole = shape[0].sum()
    for n in range(1, course.shape[1]):
        gone = step(node_C, shape, tables, around, dt_s, work)
        course[CORE, n] = node_C.max()
        course[SURFACE, n] = node_C[node_C.size - 1]
        course[MEAN, n] = (node_C * shape[0]).sum() / whole
        course[LOST, n] = course[LOST, n - 1] + gone
        if course[CORE, n] <= stop_C:
            return n
    return int(course.shape[1] - 1)


@dataclass(frozen=True)
class ChillGrid:
    """Nodes of a body: `shape` (2, NODES) volumes and gap conductors, `tables` (2, n) k and rho c."""

    shape: Floats
    tables: Floats
    curved: bool


def property_tables(food: Composition, porosity: float, stirring: float) -> Floats:
    """Conductivity times `stirring` [W/(m K)] and heat capacity [J/(m3 K)] at every whole degree."""
    still = _still_tables(food, porosity)
    return np.array([stirring * still[0], still[1]])


@functools.cache
def _still_tables(food: Composition, porosity: float) -> Floats:
    degrees = range(TABLE_FROM_C, TABLE_TO_C + 1)
    return np.array(
        [
            [conductivity_W_mK(food, float(t), porosity) for t in degrees],
            [density_kg_m3(food, float(t), porosity) * heat_capacity_J_kgK(food, float(t)) for t in degrees],
        ]
    )


def chill_grid(thickness_m: float, exponent: float, tables: Floats) -> ChillGrid:
    """The body's nodes; `thickness_m` 1 to 300 mm is a slab's thickness or a curved body's least diameter.

    Volumes and areas are per m2 of outer face. Raises PhysicalRangeError outside that range or for an
    exponent outside 0 to 2.
    """
    require("thickness_m", thickness_m, "m", 0.001, 0.3)
    require("exponent", exponent, "", 0.0, 2.0)
    curved = exponent > 0
    extent_m = thickness_m / 2 if curved else thickness_m
    place = np.linspace(0.0, 1.0, NODES)
    middle = 0.5 * (place[1:] + place[:-1])
    edges = np.concatenate(([0.0], middle, [1.0]))
    volumes = extent_m * np.diff(edges ** (exponent + 1)) / (exponent + 1)
    gaps = np.append(middle**exponent * (NODES - 1) / extent_m, 0.0)
    return ChillGrid(np.array([volumes, gaps]), tables, curved)


def _confluent(b: float, z: float) -> float:
    """0F1(; b; -z2/4) by its power series, good for z up to 4."""
    term = total = 1.0
    for n in range(1, 30):
        term *= -(z * z) / 4 / (n * (b + n - 1))
        total += term
    return total


def first_root(exponent: float, biot: float) -> float:
    """First root z of the body's series, -z f'(z) = Bi f(z): slab, cylinder and sphere as in the textbooks.

    `biot` 1e-4 to 1e4 is film times half thickness over conductivity; `exponent` 0 to 2.

    Incropera, table 5.1 (Bi = 1):

    >>> [round(first_root(m, 1.0), 4) for m in (0, 1, 2)]
    [0.8603, 1.2558, 1.5708]
    """
    require("biot", biot, "", 1e-4, 1e4)
    require("exponent", exponent, "", 0.0, 2.0)
    b = (exponent + 1) / 2
    low, high = 0.0, math.pi
    for _ in range(60):
        z = 0.5 * (low + high)
        if z * z / (2 * b) * _confluent(b + 1, z) < biot * _confluent(b, z):
            low = z
        else:
            high = z
    return 0.5 * (low + high)


def first_lag(exponent: float, biot: float) -> float:
    """Lag factor j of the centre: 2 Bi / (f(z) (z2 + Bi2 + (1 - exponent) Bi)) at the first root.

    The three textbook factors as one formula. Incropera, table 5.1 (Bi = 1):

    >>> [round(first_lag(m, 1.0), 4) for m in (0, 1, 2)]
    [1.1191, 1.2071, 1.2732]
    """
    z = first_root(exponent, biot)
    centre = _confluent((exponent + 1) / 2, z)
    return 2 * biot / (centre * (z * z + biot * biot + (1 - exponent) * biot))


def _matched_fourier(exponent: float, biot: float) -> float:
    """Fourier number at which the body's centre passes MATCHED, by the first term (Fo above 0.15 or so)."""
    return math.log(first_lag(exponent, biot) / MATCHED) / first_root(exponent, biot) ** 2


def _exponent_of(fourier: float, biot: float) -> float:
    """The exponent, 0 to 2, with which the centre passes MATCHED at that Fourier number."""
    low, high = 0.0, 2.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        if _matched_fourier(middle, biot) > fourier:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _slab_root(biot: float, number: int) -> float:
    """Root `number`, from 0, of z tan z = Bi; each lies in the first half of its own pi."""
    low, high = number * math.pi, (number + 0.5) * math.pi
    for _ in range(50):
        z = 0.5 * (low + high)
        if z * abs(math.sin(z)) < biot * abs(math.cos(z)):
            low = z
        else:
            high = z
    return 0.5 * (low + high)


def box_exponent(sides_m: tuple[float, float, float], film_W_m2K: float, conductivity: float = 0.5) -> float:
    """The exponent with which a box of these sides takes its own time through the first stage in that film.

    The box itself by the product of three exact slabs. Later stages then come out up to a tenth slow. A
    larger film gives a smaller exponent, the slow side, so hand in the largest film at work. `conductivity`
    of moist food is 0.4 to 0.6 W/(m K). Raises PhysicalRangeError for sides outside 1 mm to 3 m.
    """
    for side_m in sides_m:
        require("side_m", side_m, "m", 0.001, 3.0)
    half_m = min(sides_m) / 2
    slabs = []
    for side_m in sides_m:
        roots = [_slab_root(film_W_m2K * side_m / 2 / conductivity, n) for n in range(TERMS)]
        weights = [4 * math.sin(z) / (2 * z + math.sin(2 * z)) for z in roots]
        slabs.append([(w, (z * 2 * half_m / side_m) ** 2) for w, z in zip(weights, roots, strict=True)])
    biot = film_W_m2K * half_m / conductivity
    low, high = 0.0, _matched_fourier(0.0, biot)
    for _ in range(50):
        fourier = 0.5 * (low + high)
        if math.prod(sum(w * math.exp(-rate * fourier) for w, rate in slab) for slab in slabs) > MATCHED:
            low = fourier
        else:
            high = fourier
    return _exponent_of(0.5 * (low + high), biot)


def ellipsoid_exponent(
    axes_m: tuple[float, float, float], film_W_m2K: float, conductivity: float = 0.5
) -> float:
    """The same for an ellipsoid with these full axes, by its equivalent heat transfer dimensionality E.

    E and the lag between their limits as in Lin et al. 1993/1996 (ASHRAE Refrigeration, chapter 20). For
    small Biot numbers E is surface times half thickness over volume (surface by Thomsen, within 1.1 %), for
    large ones 0.75 + 1.01 f(b1) + 1.24 f(b2). Those three constants, that the lag's g1, g2 are b1, b2 and its
    lam 1, and Thomsen's power are from memory, not re-read.
    """
    for axis_m in axes_m:
        require("axis_m", axis_m, "m", 0.001, 3.0)
    least, second, longest = sorted(axes_m)
    b1, b2 = second / least, longest / least
    p = 1.6075
    surface = 4 * math.pi * ((b1**p + b2**p + (b1 * b2) ** p) / 3) ** (1 / p)
    small = min(3.0, surface / (4 / 3 * math.pi * b1 * b2))
    large = 0.75 + sum(c * (b**-2 + 0.01 * math.exp(b - b * b / 6)) for c, b in ((1.01, b1), (1.24, b2)))
    biot = film_W_m2K * least / 2 / conductivity
    power = biot ** (4 / 3)
    dimensions = (power + 1.85) / (power / min(3.0, large) + 1.85 / small)
    far = 1.271 + 0.305 * math.exp(0.172 * b1 - 0.115 * b1**2) + 0.425 * math.exp(0.09 * b2 - 0.128 * b2**2)
    lag = (biot**1.35 + 1) / (biot**1.35 / far + 1)
    rate = first_root(2.0, biot) ** 2 * dimensions / 3
    return _exponent_of(math.log(lag / MATCHED) / rate, biot)
