"""Wood laid on in splits as a fire that an oven can run on."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from hearthtide.heat.wood import EMBER_S, FLAMING_S, Split, splits_of, wood_heat_J
from hearthtide.oven.flame import Fire
from hearthtide.oven.gas import excess_air, settled_gas
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.program import Program
from hearthtide.ranges import Array, require

# Intervals of a programme: the first after a split, how much longer each next one is, the longest (own
# choice: flames fall by 6 % in the first and 23 % in one at eight minutes). Splits laid closer together than
# the first interval share one.
FIRST_S, GROWTH, LONGEST_S = 30.0, 1.25, 600.0
EDGE_DIGITS = 3  # edges on whole milliseconds, so that none lies a rounding error beside a recorded time


def fed_program(
    splits: Sequence[Split],
    moisture: float,
    from_s: float,
    until_s: float,
    flaming_s: float = FLAMING_S,
    ember_s: float = EMBER_S,
) -> Program:
    """The fire of `splits` from `from_s` to `until_s` (at least 1 s later), and nothing from then on.

    Each interval has the mean heat of its flames and embers in closed form, so that the whole energy is
    what the splits burn between the two times, whatever the intervals. Splits laid before `from_s` burn on
    with what is left of them; those from `until_s` on count for nothing. `moisture` per wet mass, 0 to 0.5.
    PhysicalRangeError for values outside their ranges.

    >>> first, *_, end = fed_program((Split(0.0, 1.0),), 0.18, 0.0, 3600.0)
    >>> first[0], round(first[1].flame_W / 1000, 1), end
    (0.0, 17.9, (3600.0, Fire(flame_W=0.0, embers_W=0.0, under_W=0.0)))
    """
    require("from_s", from_s, "s", -1e9, 1e9)
    require("until_s", until_s, "s", from_s + 1.0, from_s + 30 * 86400.0)
    laid = sorted(splits, key=lambda split: split.time_s)
    edges_s = _edges_s([split.time_s for split in laid], from_s, until_s)
    parts_J = wood_heat_J(laid, moisture, edges_s, flaming_s, ember_s)
    flames_W, embers_W = (part / np.diff(edges_s) for part in parts_J)
    burning = [
        (float(at), Fire(float(flame), float(embers)))
        for at, flame, embers in zip(edges_s[:-1], flames_W, embers_W, strict=True)
    ]
    return (*burning, (until_s, Fire(0.0)))


def wood_rate_program(
    kg_h: float, split_kg: float, from_s: float, until_s: float, moisture: float = 0.18
) -> Program:
    """Wood fed evenly on an empty hearth from `from_s` to `until_s`: see `splits_of` and `fed_program`.

    `moisture` per wet mass, 0 to 0.5; 0.18 is wood stored dry (common practice, no source).
    """
    return fed_program(splits_of(kg_h, split_kg, from_s, until_s), moisture, from_s, until_s)


def shut_air_share(oven: Oven, state: OvenState, fire: Fire) -> float:
    """Share of a fire that the air coming in at the shut door's gap could burn, 0 to 1.

    Raises PhysicalRangeError for an oven without a door.
    """
    require("layers of the door", float(len(oven.design.mouth.door)), "", 1.0, 100.0)
    if fire.power_W <= 0:
        return 1.0
    now, _, _ = settled_gas(oven, state, fire, shut=True)
    return float(np.clip(1 + excess_air(oven, now, fire), 0.0, 1.0))


def _edges_s(laid_s: Sequence[float], from_s: float, until_s: float) -> Array:
    """Where intervals begin and end: at splits, and between them ever further apart."""
    starts = [from_s]
    for at in np.round(laid_s, EDGE_DIGITS):
        if at >= starts[-1] + FIRST_S and at <= until_s - FIRST_S:
            starts.append(float(at))
    parts = [_spaced_s(begin, end) for begin, end in pairwise([*starts, until_s])]
    return np.concatenate([*parts, [until_s]])


def _spaced_s(begin_s: float, end_s: float) -> Array:
    """Beginnings of growing intervals that fill the stretch."""
    lengths = [FIRST_S]
    while sum(lengths) < end_s - begin_s:
        lengths.append(min(LONGEST_S, lengths[-1] * GROWTH))
    share = np.append(0.0, np.cumsum(lengths[:-1])) / sum(lengths)
    return np.append(begin_s, np.round(begin_s + share[1:] * (end_s - begin_s), EDGE_DIGITS))
