"""A portion cut into nodes through its thickness, with the properties each node keeps for the cook."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.column import (
    DRY,
    GAP,
    GAP_CRUST_K,
    GAP_FLUID,
    GAP_K,
    GAP_WATER,
    GRID_ROWS,
    JUICE_UP,
    MASS,
    MUSCLE,
    NODES,
    VOLUME,
    WATER_0,
    Floats,
)
from hearthtide.food.composition import (
    Composition,
    conductivity_W_mK,
    density_kg_m3,
    dry_heat_capacity_J_kgK,
    pore_vapour_W_mK,
)
from hearthtide.food.library import Foodstuff
from hearthtide.food.spec import FoodLayer

# Properties are taken once, in the middle of a cook, so that enthalpy stays a plain sum. From 60 to
# 20 or 100 °C conductivity moves by about 9 % and heat capacity by about 1 % (choi-okos-1986).
PROPERTY_C = 60.0
CRUST_W_mK = 0.15  # dried crust, 0.1 to 0.2; from memory, not re-read
# Gaps widen from a bare face inward by this factor: thin cells where drying happens. A choice of ours.
WIDENING, WIDEST = 1.6, 5
# Gas share of a well risen rim. Common practice, no source.
RIM_POROSITY = 0.75
MAX_LAYERS = 4


def gap_counts(thicknesses_m: tuple[float, ...]) -> list[int]:
    """How many of the NODES - 1 gaps each layer gets: two at least, then by the root of thickness."""
    counts = [2] * len(thicknesses_m)
    for _ in range(NODES - 1 - sum(counts)):
        wanting = [t**0.5 / n for t, n in zip(thicknesses_m, counts, strict=True)]
        counts[wanting.index(max(wanting))] += 1
    return counts


def gaps_m(thickness_m: float, count: int, bare_below: bool, bare_above: bool) -> Floats:
    """Widths of a layer's gaps, thin towards a bare face."""
    place = np.arange(count)
    below = place if bare_below else np.full(count, count)
    above = place[::-1] if bare_above else np.full(count, count)
    weights = WIDENING ** np.minimum(np.minimum(below, above), WIDEST).astype(float)
    widths: Floats = thickness_m * weights / weights.sum()
    return widths


def check_layers(layers: tuple[FoodLayer, ...]) -> None:
    """Raises PhysicalRangeError for no layer, more than four, or a thickness outside 0.5 to 200 mm."""
    if not 1 <= len(layers) <= MAX_LAYERS:
        raise PhysicalRangeError(f"{len(layers)} layers: expected 1 to {MAX_LAYERS}")
    for layer in layers:
        if not 0.0005 <= layer.thickness_m <= 0.2:
            raise PhysicalRangeError(
                f"{layer.stuff.name} {layer.thickness_m} m thick: expected 0.0005 to 0.2 m"
            )


def layer_grid(layers: tuple[FoodLayer, ...], extra_porosity: float = 0.0) -> Floats:
    """The grid of a stack of layers, bottom first: array (GRID_ROWS, NODES), rows as named in `column`.

    `extra_porosity` is the gas share of an airy rim; it replaces a smaller one of the food.
    Raises PhysicalRangeError for no layer, more than four, or a thickness outside 0.5 to 200 mm;
    KeyError for an unknown food.
    """
    check_layers(layers)
    grid = np.zeros((GRID_ROWS, NODES))
    first = 0
    last_layer = len(layers) - 1
    counts = gap_counts(tuple(layer.thickness_m for layer in layers))
    for number, (layer, count) in enumerate(zip(layers, counts, strict=True)):
        stuff = stuff_of(layer.stuff, extra_porosity)
        widths_m = gaps_m(layer.thickness_m, count, number == 0, number == last_layer)
        for gap, width_m in enumerate(widths_m.tolist(), start=first):
            add(grid, gap, stuff, width_m / 2)
            add(grid, gap + 1, stuff, width_m / 2)
            join(grid, gap, stuff, width_m)
        first += count
    grid[MUSCLE] /= grid[WATER_0]
    grid[JUICE_UP] = np.arange(NODES) >= NODES // 2
    return grid


@dataclass(frozen=True)
class Stuff:
    """A food as its nodes have it, per volume: what is not water, the water, and how both conduct."""

    density_kg_m3: float
    dry_J_m3K: float
    water_kg_m3: float
    moist_W_mK: float
    crust_W_mK: float
    water_diffusivity_m2_s: float
    fluid: bool
    raw_muscle: bool


def stuff_of(stuff: Foodstuff, extra_porosity: float = 0.0) -> Stuff:
    """A food's properties in the middle of a cook."""
    what: Composition = stuff.composition
    porosity = max(stuff.porosity, extra_porosity)
    density = density_kg_m3(what, PROPERTY_C, porosity)
    still = conductivity_W_mK(what, PROPERTY_C, porosity) * stuff.stirring
    return Stuff(
        density_kg_m3=density,
        dry_J_m3K=density * dry_heat_capacity_J_kgK(what, PROPERTY_C),
        water_kg_m3=density * what.water,
        moist_W_mK=still + pore_vapour_W_mK(porosity, PROPERTY_C),
        crust_W_mK=still if stuff.fluid else min(CRUST_W_mK, still),
        water_diffusivity_m2_s=stuff.water_diffusivity_m2_s,
        fluid=stuff.fluid,
        raw_muscle=stuff.raw_muscle,
    )


def add(grid: Floats, node: int, stuff: Stuff, volume_m: float) -> None:
    """Give a node that much more of a food [m³ per m² of the column]."""
    grid[DRY, node] += stuff.dry_J_m3K * volume_m
    grid[WATER_0, node] += stuff.water_kg_m3 * volume_m
    grid[VOLUME, node] += volume_m
    grid[MASS, node] += stuff.density_kg_m3 * volume_m
    grid[MUSCLE, node] += stuff.water_kg_m3 * volume_m if stuff.raw_muscle else 0.0


def join(grid: Floats, gap: int, stuff: Stuff, width_m: float, wider: float = 1.0) -> None:
    """Fill a gap with a food; where it is `wider` than the column's face it conducts so much more."""
    grid[GAP_K, gap] = wider * stuff.moist_W_mK
    grid[GAP_CRUST_K, gap] = wider * stuff.crust_W_mK
    grid[GAP, gap] = width_m
    grid[GAP_FLUID, gap] = float(stuff.fluid)
    grid[GAP_WATER, gap] = wider * stuff.water_diffusivity_m2_s * stuff.water_kg_m3 / width_m


def turned_over(grid: Floats) -> Floats:
    """The same grid upside down."""
    over = grid[:, ::-1].copy()
    for row in (GAP_K, GAP_CRUST_K, GAP, GAP_WATER, GAP_FLUID):
        over[row, : NODES - 1] = grid[row, : NODES - 1][::-1]
        over[row, NODES - 1] = 0.0
    over[JUICE_UP] = 1.0 - over[JUICE_UP]
    return over


def inner_half(grid: Floats) -> slice:
    """The nodes in the middle half of the thickness: where a probe is put."""
    depth_m = np.concatenate(([0.0], np.cumsum(grid[GAP, : NODES - 1])))
    inside = np.flatnonzero(np.abs(depth_m / depth_m[-1] - 0.5) <= 0.25)
    return slice(int(inside[0]), int(inside[-1]) + 1)


def layers_density_kg_m3(layers: tuple[FoodLayer, ...]) -> float:
    """Density of a stack of layers, by thickness."""
    thickness_m = sum(layer.thickness_m for layer in layers)
    return sum(layer.thickness_m * stuff_of(layer.stuff).density_kg_m3 for layer in layers) / thickness_m
