"""The library of wall materials, read from data/materials.yaml."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import Any

import numpy as np
from ruamel.yaml import YAML

from hearthtide.errors import PhysicalRangeError
from hearthtide.ranges import Array, require

Table = tuple[tuple[float, float], ...]

# Temperatures the tables are handed out on: colder than any night, hotter than any hearth (own choice).
TABLE_C: Array = np.arange(-50.0, 1501.0, 25.0)


@dataclass(frozen=True)
class Material:
    """Properties of one material.

    `conductivity` (°C, W/mK) and `heat_capacity` (°C, J/kgK) are pairs in rising order of temperature;
    one pair alone is a constant. `density_kg_m3`, `emissivity` (0..1, total) and `max_C`, the hottest it
    is used at, are constants. `sources` gives for each of the five a key of data/sources.bib, or "memory"
    where it was written down from memory and not re-read.
    Raises PhysicalRangeError for no pair, pairs that do not rise, or values no material has.
    """

    name: str
    conductivity: Table
    heat_capacity: Table
    density_kg_m3: float
    emissivity: float
    max_C: float
    sources: dict[str, str]

    def __post_init__(self) -> None:
        _check(f"{self.name}.conductivity", self.conductivity, "W/mK", 1e-3, 1e3)
        _check(f"{self.name}.heat_capacity", self.heat_capacity, "J/kgK", 100.0, 1e4)
        require(f"{self.name}.density_kg_m3", self.density_kg_m3, "kg/m³", 0.5, 2.5e4)
        require(f"{self.name}.emissivity", self.emissivity, "-", 0.01, 1.0)
        require(f"{self.name}.max_C", self.max_C, "°C", 100.0, 3000.0)

    def conductivity_W_mK(self, temperature_C: Array | float) -> Array:
        """Conductivity at each temperature (-273 to 5000 °C), in their shape.

        Linear between the pairs, held constant beyond the first and the last.
        """
        return _between(self.conductivity, temperature_C)

    def heat_capacity_J_kgK(self, temperature_C: Array | float) -> Array:
        """Heat capacity at each temperature (-273 to 5000 °C), in their shape.

        Linear between the pairs, held constant beyond the first and the last.
        """
        return _between(self.heat_capacity, temperature_C)

    def effusivity_J_m2Ks05(self, temperature_C: float = 400.0) -> float:
        """sqrt(k rho c): how well the surface holds its temperature when touched, J/(m² K s^0.5)."""
        k, c = self.conductivity_W_mK(temperature_C), self.heat_capacity_J_kgK(temperature_C)
        return math.sqrt(float(k * c) * self.density_kg_m3)

    def diffusivity_m2_s(self, temperature_C: float = 400.0) -> float:
        """k / (rho c): how fast a change of temperature travels, m²/s."""
        k, c = self.conductivity_W_mK(temperature_C), self.heat_capacity_J_kgK(temperature_C)
        return float(k / c) / self.density_kg_m3


def tabled(material: Material) -> tuple[Array, Array]:
    """Conductivity (W/mK) and heat capacity by volume rho c (J/m³K), each at the temperatures TABLE_C."""
    return (
        material.conductivity_W_mK(TABLE_C),
        material.density_kg_m3 * material.heat_capacity_J_kgK(TABLE_C),
    )


def material_names() -> tuple[str, ...]:
    """Every material there is, sorted."""
    return tuple(sorted(_library()))


def material(name: str) -> Material:
    """The material of that name; KeyError lists the names there are.

    >>> material("fireclay").density_kg_m3
    2150.0
    """
    if name not in _library():
        raise KeyError(f"no material {name!r}; there are: {', '.join(material_names())}")
    return _library()[name]


def _between(table: Table, temperature_C: Array | float) -> Array:
    require("temperature_C", temperature_C, "°C", -273.15, 5000.0)
    at, values = zip(*table, strict=True)
    return np.asarray(np.interp(temperature_C, at, values))


def _check(name: str, table: Table, unit: str, low: float, high: float) -> None:
    if not table:
        raise PhysicalRangeError(f"{name} has no pair (expected at least one)")
    at = [pair[0] for pair in table]
    require(f"{name} at", np.array(at), "°C", -273.15, 3000.0)
    if any(later <= earlier for earlier, later in pairwise(at)):
        raise PhysicalRangeError(f"{name} at {at} °C (expected rising temperatures)")
    require(name, np.array([pair[1] for pair in table]), unit, low, high)


@cache
def _library() -> dict[str, Material]:
    text = (files("hearthtide") / "data" / "materials.yaml").read_text(encoding="utf-8")
    return {name: _read(name, entry) for name, entry in YAML(typ="safe").load(text).items()}


def _read(name: str, entry: dict[str, dict[str, Any]]) -> Material:
    return Material(
        name=name,
        conductivity=tuple(_pairs(entry["conductivity"])),
        heat_capacity=tuple(_pairs(entry["heat_capacity"])),
        density_kg_m3=float(entry["density_kg_m3"]["value"]),
        emissivity=float(entry["emissivity"]["value"]),
        max_C=float(entry["max_C"]["value"]),
        sources={key: str(written["source"]) for key, written in entry.items()},
    )


def _pairs(written: dict[str, Any]) -> Iterator[tuple[float, float]]:
    """The pairs under `at`, or one pair (at 0 °C, which says nothing: it is a constant) for a `value`."""
    for at, value in written["at"] if "at" in written else [(0.0, written["value"])]:
        yield float(at), float(value)
