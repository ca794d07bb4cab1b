"""The foods and metals the models know, read once from the package's data files."""

from __future__ import annotations

import functools
import importlib.resources
from dataclasses import dataclass
from typing import Any

from ruamel.yaml import YAML

from hearthtide.food.composition import Composition


@dataclass(frozen=True)
class Foodstuff:
    """A food: composition, gas share of its volume, how freely its water moves, whether raw muscle.

    A `fluid` leaves no crust and lets steam rise through it; `stirring` is how many times better than
    still it conducts (Nusselt number).
    `raw_muscle` meat gives up juice as its proteins set; cooked meat has done so already.
    `source` is a key of data/sources-food.bib.
    """

    name: str
    composition: Composition
    porosity: float
    water_diffusivity_m2_s: float
    fluid: bool
    stirring: float
    raw_muscle: bool
    source: str


@dataclass(frozen=True)
class Metal:
    """What a platter, pan or crock is made of, near 100 to 300 °C."""

    name: str
    heat_capacity_J_kgK: float
    conductivity_W_mK: float
    density_kg_m3: float
    emissivity: float
    source: str


def _read(file: str) -> dict[str, Any]:
    text = importlib.resources.files("hearthtide").joinpath("data", file).read_text(encoding="utf-8")
    loaded: dict[str, Any] = YAML(typ="safe").load(text)
    return loaded


@functools.cache
def _foods() -> dict[str, Foodstuff]:
    data = _read("foods.yaml")
    return {name: _foodstuff(name, entry, data["behaviours"]) for name, entry in data["foods"].items()}


def _foodstuff(name: str, entry: dict[str, Any], behaviours: dict[str, Any]) -> Foodstuff:
    parts = {part: float(value) for part, value in entry["composition"].items()}
    total = sum(parts.values())
    behaviour = behaviours[entry["behaviour"]]
    return Foodstuff(
        name=name,
        composition=Composition(**{part: value / total for part, value in parts.items()}),
        porosity=float(entry["porosity"]),
        water_diffusivity_m2_s=float(behaviour["water_diffusivity_m2_s"]),
        fluid=bool(behaviour["fluid"]),
        stirring=float(behaviour["stirring"]),
        raw_muscle=bool(entry["raw_muscle"]),
        source=entry["source"],
    )


@functools.cache
def _metals() -> dict[str, Metal]:
    return {
        name: Metal(
            name=name,
            heat_capacity_J_kgK=float(entry["heat_capacity_J_kgK"]),
            conductivity_W_mK=float(entry["conductivity_W_mK"]),
            density_kg_m3=float(entry["density_kg_m3"]),
            emissivity=float(entry["emissivity"]),
            source=entry["source"],
        )
        for name, entry in _read("metals.yaml")["metals"].items()
    }


def food_names() -> tuple[str, ...]:
    """Every food of the library, in alphabetical order."""
    return tuple(sorted(_foods()))


def metal_names() -> tuple[str, ...]:
    """Every metal (and earthenware) of the library, in alphabetical order."""
    return tuple(sorted(_metals()))


def foodstuff(name: str) -> Foodstuff:
    """The food of that name; KeyError that lists the names when there is none.

    >>> foodstuff("butter").raw_muscle
    False
    """
    if name not in _foods():
        raise KeyError(f"no food {name!r}; known: {', '.join(food_names())}")
    return _foods()[name]


def metal(name: str) -> Metal:
    """The metal of that name; KeyError that lists the names when there is none."""
    if name not in _metals():
        raise KeyError(f"no metal {name!r}; known: {', '.join(metal_names())}")
    return _metals()[name]
