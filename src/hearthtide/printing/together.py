"""Pictures moved, put side by side, and given a margin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hearthtide.printing.picture import HALF, WIDE, Area, Disc, Dots, Line, Mark, Picture, Words

MARGIN = 12.0  # round a picture that is a file of its own
GUTTER = WIDE - 2 * HALF


def together(pictures: Sequence[Picture], across: int) -> Picture:
    """Pictures `HALF` wide on one sheet, at most `across` side by side, row by row."""
    marks: list[Mark] = []
    top = 0.0
    for i in range(0, len(pictures), across):
        row = pictures[i : i + across]
        for j, picture in enumerate(row):
            marks += [moved(mark, j * (HALF + GUTTER), top) for mark in picture.marks]
        top += max(picture.height for picture in row)
    many = min(across, len(pictures))
    title = " / ".join(picture.title for picture in pictures)
    says = " ".join(picture.says for picture in pictures)
    return Picture(title, says, many * HALF + (many - 1) * GUTTER, top, tuple(marks))


def with_margin(picture: Picture, margin: float = MARGIN) -> Picture:
    """The picture with that much paper on every side."""
    marks = tuple(moved(mark, margin, margin) for mark in picture.marks)
    width, height = picture.width + 2 * margin, picture.height + 2 * margin
    return replace(picture, width=width, height=height, marks=marks)


def moved(mark: Mark, right: float, down: float) -> Mark:
    """The mark so many units further right and down."""
    match mark:
        case Line() | Area():
            return replace(mark, points=tuple((x + right, y + down) for x, y in mark.points))
        case Disc() | Words():
            return replace(mark, at=(mark.at[0] + right, mark.at[1] + down))
        case Dots():
            return replace(mark, dots=tuple((x + right, y + down, size) for x, y, size in mark.dots))
