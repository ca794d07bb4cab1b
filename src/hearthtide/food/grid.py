"""A portion cut into nodes through its thickness, with the properties each node keeps for the cook."""

from __future__ import annotations

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
WIDENING = 1.6
MAX_LAYERS = 4


def _gap_counts(thicknesses_m: tuple[float, ...]) -> list[int]:
    """How many of the NODES - 1 gaps each layer gets: two at least, then by the root of thickness."""
    counts = [2] * len(thicknesses_m)
    for _ in range(NODES - 1 - sum(counts)):
        wanting = [t**0.5 / n for t, n in zip(thicknesses_m, counts, strict=True)]
        counts[wanting.index(max(wanting))] += 1
    return counts


def _gaps_m(thickness_m: float, count: int, bare_below: bool, bare_above: bool) -> Floats:
    """Widths of a layer's gaps, thin towards a bare face."""
    place = np.arange(count)
    below = place if bare_below else np.full(count, count)
    above = place[::-1] if bare_above else np.full(count, count)
    weights = WIDENING ** np.minimum(np.minimum(below, above), count).astype(float)
    gaps_m: Floats = thickness_m * weights / weights.sum()
    return gaps_m


def layer_grid(layers: tuple[FoodLayer, ...], extra_porosity: float = 0.0) -> Floats:
    """The grid of a stack of layers, bottom first: array (GRID_ROWS, NODES), rows as named in `column`.

    `extra_porosity` is the gas share of an airy rim; it replaces a smaller one of the food.
    Raises PhysicalRangeError for no layer, more than four, or a thickness outside 0.5 to 200 mm;
    KeyError for an unknown food.
    """
    if not 1 <= len(layers) <= MAX_LAYERS:
        raise PhysicalRangeError(f"{len(layers)} layers: expected 1 to {MAX_LAYERS}")
    for layer in layers:
        if not 0.0005 <= layer.thickness_m <= 0.2:
            raise PhysicalRangeError(
                f"{layer.stuff.name} {layer.thickness_m} m thick: expected 0.0005 to 0.2 m"
            )
    grid = np.zeros((GRID_ROWS, NODES))
    first = 0
    last_layer = len(layers) - 1
    counts = _gap_counts(tuple(layer.thickness_m for layer in layers))
    for number, (layer, count) in enumerate(zip(layers, counts, strict=True)):
        gaps_m = _gaps_m(layer.thickness_m, count, number == 0, number == last_layer)
        _fill(grid, first, gaps_m, layer.stuff, extra_porosity)
        first += count
    grid[MUSCLE] /= grid[WATER_0]
    return grid


def _fill(grid: Floats, first: int, gaps_m: Floats, stuff: Foodstuff, extra_porosity: float) -> None:
    what: Composition = stuff.composition
    porosity = max(stuff.porosity, extra_porosity)
    density = density_kg_m3(what, PROPERTY_C, porosity)
    dry = density * dry_heat_capacity_J_kgK(what, PROPERTY_C)
    water = density * what.water
    still = conductivity_W_mK(what, PROPERTY_C, porosity) * stuff.stirring
    moist = still + pore_vapour_W_mK(porosity, PROPERTY_C)
    for i, gap_m in enumerate(gaps_m, start=first):
        for node in (i, i + 1):
            grid[DRY, node] += dry * gap_m / 2
            grid[WATER_0, node] += water * gap_m / 2
            grid[VOLUME, node] += gap_m / 2
            grid[MUSCLE, node] += water * gap_m / 2 if stuff.raw_muscle else 0.0
        grid[GAP_K, i] = moist
        grid[GAP_CRUST_K, i] = still if stuff.fluid else min(CRUST_W_mK, still)
        grid[GAP, i] = gap_m
        grid[GAP_FLUID, i] = float(stuff.fluid)
        grid[GAP_WATER, i] = stuff.water_diffusivity_m2_s * water / gap_m


def turned_over(grid: Floats) -> Floats:
    """The same grid upside down."""
    over = grid[:, ::-1].copy()
    for row in (GAP_K, GAP_CRUST_K, GAP, GAP_WATER, GAP_FLUID):
        over[row, : NODES - 1] = grid[row, : NODES - 1][::-1]
        over[row, NODES - 1] = 0.0
    return over


def inner_half(grid: Floats) -> slice:
    """The nodes in the middle half of the thickness: where a probe is put."""
    depth_m = np.concatenate(([0.0], np.cumsum(grid[GAP, : NODES - 1])))
    inside = np.flatnonzero(np.abs(depth_m / depth_m[-1] - 0.5) <= 0.25)
    return slice(int(inside[0]), int(inside[-1]) + 1)


def layer_mass_kg_m2(layers: tuple[FoodLayer, ...]) -> float:
    """Raw mass per area of a stack of layers."""
    return sum(
        layer.thickness_m * density_kg_m3(layer.stuff.composition, PROPERTY_C, layer.stuff.porosity)
        for layer in layers
    )
