"""`colours:` in house.yaml: where the house's own words for brown begin, from a photograph or in figures."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from hearthtide.errors import Finding
from hearthtide.food.colour import ColourScale, calibrated
from hearthtide.food.column import BURNT_FOR_EVER_dE
from hearthtide.food.lab import Lab, difference, lab_of
from hearthtide.house.fields import Written
from hearthtide.house.yaml_lines import Document

WORDS = ("straw", "golden", "brown", "dark", "burnt")
_HEX = r"#[0-9A-Fa-f]{6}"
_FIGURE = r"[0-9]{1,2}(\.[0-9]+)?"


def _picked(value: object) -> Lab:
    if not (isinstance(value, str) and re.fullmatch(_HEX, value.strip())):
        raise ValueError("expected a colour such as `'#d9c9a3'`, in quotes")
    return lab_of(value.strip())


def _mark(value: object) -> Lab | float:
    if isinstance(value, str) and re.fullmatch(_FIGURE, value.strip()):
        return float(value)
    try:
        return _picked(value)
    except ValueError:
        raise ValueError("expected a colour such as `'#d9c9a3'`, in quotes, or its dE such as `12`") from None


Picked = Annotated[
    Lab,
    BeforeValidator(_picked),
    WithJsonSchema({"type": "string", "pattern": f"^{_HEX}$", "examples": ["#e8dcc0"]}),
]
Mark = Annotated[
    Lab | float,
    BeforeValidator(_mark),
    WithJsonSchema(
        {
            "anyOf": [{"type": "string", "pattern": f"^({_HEX}|{_FIGURE})$"}, {"type": "number"}],
            "examples": ["#c08a4a", "12"],
        }
    ),
]


class ColoursFile(Written):
    """Where each word begins: the colour picked from the house's own photograph, or its dE from raw.

    One photograph, one light, the raw piece beside the browned ones. A word left out keeps its share of the
    way between its neighbours on the standard scale.
    """

    pale: Picked | None = Field(default=None, description="the raw piece in the same photograph")
    straw: Mark | None = None
    golden: Mark | None = None
    brown: Mark | None = None
    dark: Mark | None = None
    burnt: Mark | None = Field(default=None, description="from here on it counts as burnt")

    @model_validator(mode="after")
    def _usable(self) -> ColoursFile:
        marks = self._marks()
        if not marks:
            raise ValueError(f"expected at least one of {', '.join(WORDS)}")
        photographed = any(isinstance(mark, Lab) for mark in marks.values())
        if photographed and self.pale is None:
            raise ValueError("pale: expected the raw piece's colour in the same photograph")
        if self.pale is not None and not photographed:
            raise ValueError(f"pale: expected a colour for one of {', '.join(WORDS)} beside it")
        return self

    def _marks(self) -> dict[str, Lab | float]:
        marks = {word: getattr(self, word) for word in WORDS}
        return {word: mark for word, mark in marks.items() if mark is not None}

    def given_dE(self) -> dict[str, float]:
        """What is given, as dE from raw, by word."""
        raw = self.pale or Lab(0.0, 0.0, 0.0)
        return {
            word: mark if isinstance(mark, float) else difference(raw, mark)
            for word, mark in self._marks().items()
        }

    def scale(self) -> ColourScale:
        """The scale as the models take it; PhysicalRangeError where check_colours finds something."""
        return calibrated(self.given_dE())


def check_colours(file: ColoursFile, document: Document) -> Iterator[Finding]:
    """Words that rise from raw and end before the colour nothing gets beyond."""
    before, least_dE = "raw", 0.0
    for word, dE in file.given_dE().items():
        if dE <= least_dE:
            yield document.finding(
                ("colours", word),
                f"more than {before}, which is {least_dE:.3g} from raw; this is {dE:.3g}",
                "Pick both again from one photograph, or write their dE.",
            )
        if dE >= BURNT_FOR_EVER_dE:
            yield document.finding(
                ("colours", word),
                f"a difference from raw below {BURNT_FOR_EVER_dE:.0f}, where browning ends; this is {dE:.3g}",
                "Pick a piece that only begins to be so, raw and browned in one light, or write its dE.",
            )
        before, least_dE = word, max(dE, least_dE)
