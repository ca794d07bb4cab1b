"""Moments pointed out over a plot: an upright each, its words above the plot, none over another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hearthtide.printing.picture import TEXT, Line, Words, text_width

ROW = TEXT + 3.0  # from a line of words to the next


@dataclass(frozen=True)
class Flag:
    """A moment's upright at `x` and its words from `left` on; `row` counts up from the plot."""

    name: str
    text: str
    x: float
    left: float
    row: int

    def marks(self, top: float, bottom: float) -> tuple[Line, Words]:
        """The upright down to `bottom` and the words above `top`."""
        y = top - 6 - ROW * self.row
        pole = Line(((self.x, y - TEXT), (self.x, bottom)), width=1.6, dash=(3, 3), name=self.name)
        return pole, Words((self.left, y), self.text, bold=True)


def flags(moments: Iterable[tuple[float, str, str]], width: float) -> list[Flag]:
    """Flags of (x, name, words) on a sheet so wide: the latest lowest, each to the right of its upright
    where the sheet has room.
    """
    starts: list[float] = []
    found = []
    for x, name, text in sorted(moments, key=lambda moment: -moment[0]):
        wide = text_width(text)
        left = x + 5 if x + 5 + wide <= width else max(0.0, x - 5 - wide)
        row = next((i for i, start in enumerate(starts) if left + wide + 8 <= start), len(starts))
        starts[row : row + 1] = [min(left, x)]
        found.append(Flag(name, text, x, left, row))
    return found


def rows(found: Iterable[Flag]) -> int:
    """How many lines of words they take."""
    return 1 + max((flag.row for flag in found), default=-1)
