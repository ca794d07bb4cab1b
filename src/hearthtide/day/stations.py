"""Where trays stand all through the window: as many places as go on the stone together."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random

from hearthtide.planning.places import Places, bits

TRIES = 400  # random orders tried for a fuller stone; own choice


def stations(places: Places, masks: Iterable[int], seed: int = 1) -> tuple[int, ...]:
    """Places out of these masks (one per outline and wish) of which the most stand together.

    Greedy over many random orders, the fewest-shutting-out first in the first: the best number found. Not
    proven best; for discs and trays on one hearth the count is small. The same seed gives the same places.
    """
    asked = sorted({place for mask in masks for place in bits(mask)})
    chance, best = Random(seed), tuple[int, ...]()
    order = sorted(asked, key=lambda place: (places.conflicts[place].bit_count(), place))
    for _ in range(TRIES):
        taken, found = 0, []
        for place in order:
            if not taken >> place & 1:
                taken |= places.conflicts[place]
                found.append(place)
        if len(found) > len(best):
            best = tuple(found)
        chance.shuffle(order)
    return best
