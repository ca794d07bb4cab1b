"""What a word such as "medium rare" means on a named scale, and what proteins do on the way there.

The same word differs by up to 8 °C between scales, so that no word is read without one. A scale tells what
people mean by a word; it says nothing of what may be served.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any, Literal

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.library import read_data

Flesh = Literal["meat", "fish"]


@dataclass(frozen=True)
class Degree:
    """One word of a scale, as cores [°C]: at the pull, and as served after its rest.

    `rest_s` is the least rest that goes with it. `foods` are the names (data/foods.yaml) that the word may be
    said of; empty: of any food.
    """

    word: str
    pull_C: float
    serve_C: float
    rest_s: float
    foods: frozenset[str]


@dataclass(frozen=True)
class DonenessScale:
    """A named scale; `degrees` by word. `source` is a key of data/sources-food.bib."""

    name: str
    about: str
    degrees: dict[str, Degree]
    source: str


@dataclass(frozen=True)
class ProteinEvent:
    """A change in the flesh between two temperatures [°C], at the rates of cooking.

    `source` is a key of data/sources-food.bib.
    """

    name: str
    of: Flesh
    from_C: float
    to_C: float
    source: str


@functools.cache
def _data() -> dict[str, Any]:
    return read_data("doneness.yaml")


def _degree(word: str, entry: dict[str, Any], foods: list[str]) -> Degree:
    return Degree(
        word=word,
        pull_C=float(entry["pull_C"]),
        serve_C=float(entry["serve_C"]),
        rest_s=float(entry["rest_s"]),
        foods=frozenset(entry.get("foods", foods)),
    )


@functools.cache
def _scales() -> dict[str, DonenessScale]:
    return {
        name: DonenessScale(
            name=name,
            about=entry["about"],
            degrees={word: _degree(word, cores, entry["foods"]) for word, cores in entry["words"].items()},
            source=entry["source"],
        )
        for name, entry in _data()["scales"].items()
    }


def scale_names() -> tuple[str, ...]:
    """Every scale, in alphabetical order."""
    return tuple(sorted(_scales()))


def doneness_scale(name: str) -> DonenessScale:
    """The scale of that name; KeyError that lists the names when there is none.

    >>> doneness_scale("kitchen").degrees["medium rare"].serve_C
    57.2
    """
    if name not in _scales():
        raise KeyError(f"no scale {name!r}; known: {', '.join(scale_names())}")
    return _scales()[name]


@functools.cache
def protein_events() -> tuple[ProteinEvent, ...]:
    """Every event known, as they stand in data/doneness.yaml."""
    return tuple(
        ProteinEvent(e["name"], e["of"], float(e["from_C"]), float(e["to_C"]), e["source"])
        for e in _data()["events"]
    )


def events_between(a_C: float, b_C: float, of: Flesh = "meat") -> tuple[ProteinEvent, ...]:
    """The events that go on somewhere on the way from a core of `a_C` up to `b_C`, the earliest first.

    Raises PhysicalRangeError unless a_C <= b_C.

    >>> [event.name for event in events_between(4, 55, "fish")]
    ['myosin sets', 'collagen shrinks']
    """
    if not a_C <= b_C:
        raise PhysicalRangeError(f"from {a_C} to {b_C} °C: expected not to fall")
    within = (e for e in protein_events() if e.of == of and e.from_C <= b_C and e.to_C >= a_C)
    return tuple(sorted(within, key=lambda e: (e.from_C, e.to_C)))


def flesh_of(food: str) -> Flesh:
    """Whether a food of the library is fish (or shellfish): what the authority's fish line names; else meat.

    >>> flesh_of("scallop"), flesh_of("duck")
    ('fish', 'meat')
    """
    return "fish" if food in _data()["scales"]["authority_minimum"]["words"]["fish"]["foods"] else "meat"
