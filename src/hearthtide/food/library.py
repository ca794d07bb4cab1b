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
    `source` is a key of data/sources-food.bib, or a house's own words for a food of its own.
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


def read_data(file: str) -> dict[str, Any]:
    """A data file of the package, as plain values."""
    text = importlib.resources.files("hearthtide").joinpath("data", file).read_text(encoding="utf-8")
    loaded: dict[str, Any] = YAML(typ="safe").load(text)
    return loaded


@functools.cache
def _foods() -> dict[str, Foodstuff]:
    return {
        name: made(
            name,
            {part: float(value) for part, value in entry["composition"].items()},
            entry["behaviour"],
            porosity=float(entry["porosity"]),
            raw_muscle=bool(entry["raw_muscle"]),
            source=entry["source"],
        )
        for name, entry in read_data("foods.yaml")["foods"].items()
    }


@functools.cache
def _behaviours() -> dict[str, dict[str, Any]]:
    behaviours: dict[str, dict[str, Any]] = read_data("foods.yaml")["behaviours"]
    return behaviours


def made(
    name: str, parts: dict[str, float], behaviour: str, *, porosity: float, raw_muscle: bool, source: str
) -> Foodstuff:
    """A food from its parts, in any one unit of mass: they are made to add up.

    `parts` has the six keys of a Composition. KeyError for an unknown behaviour or part,
    PhysicalRangeError for parts that are negative.
    """
    total = sum(parts.values())
    how = _behaviours()[behaviour]
    return Foodstuff(
        name=name,
        composition=Composition(**{part: value / total for part, value in parts.items()}),
        porosity=porosity,
        water_diffusivity_m2_s=float(how["water_diffusivity_m2_s"]),
        fluid=bool(how["fluid"]),
        stirring=float(how["stirring"]),
        raw_muscle=raw_muscle,
        source=source,
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
        for name, entry in read_data("metals.yaml")["metals"].items()
    }


def food_names() -> tuple[str, ...]:
    """Every food of the library, in alphabetical order."""
    return tuple(sorted(_foods()))


def behaviour_names() -> tuple[str, ...]:
    """Every way water may move inside a food, in alphabetical order."""
    return tuple(sorted(_behaviours()))


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
