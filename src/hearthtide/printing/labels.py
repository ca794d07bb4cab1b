"""Labels of lots on paper: what, when, state, last day, what it contains, and a code that a scanner reads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hearthtide.printing.lot_codes import code_128, in_groups, lot_number, qr

# Rolls of a label printer by width and height in mm, and a sheet of 3 by 8 on A4: common sizes, from memory.
Size = Literal["50x30", "70x50", "100x50", "a4"]
SIZES: dict[Size, tuple[float, float]] = {
    "50x30": (50.0, 30.0),
    "70x50": (70.0, 50.0),
    "100x50": (100.0, 50.0),
    "a4": (70.0, 37.0),
}
TEMPLATE = "labels"


@dataclass(frozen=True)
class Label:
    """What stands on one label, in words. `warning` in place of the rest of the state: do not use it.

    `last` is the last day it is used on; `why` by whose days. `use_first`: older ones of the same go first.
    """

    lot: str
    name: str
    state: str
    state_words: str
    made: str
    last: str
    why: str
    quantity: str
    contains: str
    use_first: bool = False
    warning: str = ""


def labels_data(labels: tuple[Label, ...], size: Size, title: str) -> dict[str, object]:
    """The labels as their template takes them."""
    width, height = SIZES[size]
    return {
        "title": title,
        "width_mm": width,
        "height_mm": height,
        "sheet": size == "a4",
        "labels": [_with_codes(label) for label in labels],
    }


def _with_codes(label: Label) -> dict[str, object]:
    number = lot_number(label.lot)
    return {"said": label, "number": in_groups(number), "qr": qr(number), "bars": code_128(number)}
