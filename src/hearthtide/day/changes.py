"""A chef's own numbers in place of ours: kept, used, and looked at again once the day has come."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from hearthtide.house.sold import Change

COVERS = "covers"
PAR = "par of "  # a par's figure is this and its key; a dish's figure is its key


@dataclass(frozen=True)
class Judged:
    """How changes of one kind of figure did. `nearer`: days on which the chef's was nearer than ours.

    Mean misses, and portions (or guests) short and left over in all, of days that have come.
    """

    days: int
    nearer: int
    ours_off: float
    yours_off: float
    ours_short: float
    ours_left: float
    yours_short: float
    yours_left: float


def standing(changes: Iterable[Change], day: date) -> dict[str, Change]:
    """The last change of each figure of a day."""
    return {one.figure: one for one in changes if one.day == day}


def judged(
    changes: Iterable[Change], came: Callable[[str, date], float | None], figure: str
) -> Judged | None:
    """The chef's numbers for one figure beside ours, over the days that have come; None of none.

    `came(figure, day)` tells what was sold of it, None while it is not known. Of a day only the last change
    counts.
    """
    last = {one.day: one for one in changes if one.figure == figure}
    rows = [
        (one.ours - value, one.yours - value)
        for one in last.values()
        if (value := came(figure, one.day)) is not None
    ]
    if not rows:
        return None
    ours, yours = [off for off, _ in rows], [off for _, off in rows]
    return Judged(
        days=len(rows),
        nearer=sum(abs(mine) < abs(theirs) for theirs, mine in rows),
        ours_off=sum(map(abs, ours)) / len(rows),
        yours_off=sum(map(abs, yours)) / len(rows),
        ours_short=-sum(off for off in ours if off < 0),
        ours_left=sum(off for off in ours if off > 0),
        yours_short=-sum(off for off in yours if off < 0),
        yours_left=sum(off for off in yours if off > 0),
    )
