"""The library of wall materials, read from data/materials.yaml."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from ruamel.yaml import YAML


@dataclass(frozen=True)
class Material:
    """Properties of one material near working temperature, as constants.

    `conductivity_W_mK`, `density_kg_m3`, `heat_capacity_J_kgK`, `emissivity` (0..1, total) and
    `max_C`, the hottest it is used at. `sources` gives for each property a key of data/sources.bib,
    or "memory" where it was written down from memory and not re-read.
    """

    name: str
    conductivity_W_mK: float
    density_kg_m3: float
    heat_capacity_J_kgK: float
    emissivity: float
    max_C: float
    sources: dict[str, str]

    @property
    def effusivity_J_m2Ks05(self) -> float:
        """sqrt(k rho c): how well the surface holds its temperature when touched, J/(m² K s^0.5)."""
        return math.sqrt(self.conductivity_W_mK * self.density_kg_m3 * self.heat_capacity_J_kgK)

    @property
    def diffusivity_m2_s(self) -> float:
        return self.conductivity_W_mK / (self.density_kg_m3 * self.heat_capacity_J_kgK)


PROPERTIES = ("conductivity_W_mK", "density_kg_m3", "heat_capacity_J_kgK", "emissivity", "max_C")


@cache
def _library() -> dict[str, Material]:
    text = (files("hearthtide") / "data" / "materials.yaml").read_text(encoding="utf-8")
    library = {}
    for name, entry in YAML(typ="safe").load(text).items():
        values = {key: float(entry[key]["value"]) for key in PROPERTIES}
        sources = {key: str(entry[key]["source"]) for key in PROPERTIES}
        library[name] = Material(name=name, sources=sources, **values)
    return library


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
