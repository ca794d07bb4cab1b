"""Which minutes of the night are worth a picture of the stone."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

PICTURES = 6  # two rows of three on a tablet, three rows of two on A4: own choice


def picture_times(stays: Iterable[tuple[int, int]], count: int = PICTURES) -> tuple[int, ...]:
    """The whole minutes with the fullest stone, one in each `count`-th of the night, in order.

    Parameters
    ----------
    stays :
        (start_s, end_s) of everything that stands on the stone, in seconds of the day; an item stands
        there from its start up to, not including, its end.
    count :
        How many equal parts the time from the first start to the last end is cut into, 1 or more.

    Returns
    -------
    Seconds of the day, multiples of 60. The earliest of equally full minutes; a part of the night in
    which nothing stands on the stone at a whole minute has none, and no stays give no times.

    Raises
    ------
    ValueError
        `count` below 1.

    >>> picture_times([(30, 130), (100, 400), (110, 200)], count=1)
    (120,)
    """
    if count < 1:
        raise ValueError(f"expected at least one part of the night, found {count}")
    spans = sorted(stays)
    if not spans:
        return ()
    start, end = spans[0][0], max(s[1] for s in spans)
    edges = [start + (end - start) * part / count for part in range(count + 1)]
    found = []
    for low, high in pairwise(edges):
        minutes = range(math.ceil(low / 60) * 60, math.ceil(high / 60) * 60, 60)
        fullest = max(minutes, key=lambda t: (_standing(spans, t), -t), default=None)
        if fullest is not None and _standing(spans, fullest):
            found.append(fullest)
    return tuple(found)


def _standing(spans: list[tuple[int, int]], at_s: int) -> int:
    return sum(start <= at_s < end for start, end in spans)
