"""Every place an item of a given outline may stand on this hearth, and which places shut each other out.

Places are enumerated once on the true outline of the hearth. Which pairs conflict is exact
(discs and axis-parallel rectangles) and kept as one whole number per place, bit `q` set when
place `q` cannot be used at the same time: a free place is then found by a few OR and AND.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hearthtide.house.models import Place as Zone
from hearthtide.house.models import ZonesFile
from hearthtide.house.places import CLEARANCE_M, Outline, Spot, spots_of
from hearthtide.oven.design import OvenDesign


@dataclass(frozen=True)
class Places:
    """All spots of a hearth with the pairs that shut each other out.

    `conflicts[p]` has bit q set when p and q cannot be used together (p itself included). Spots stand in
    the order of how many others they shut out: of several free ones, the lowest bit packs best.
    """

    spots: tuple[Spot, ...]
    conflicts: tuple[int, ...]

    def mask(self, outline: Outline, zones: tuple[Zone, ...], clear_of_flame_m: float) -> int:
        """Bits of the spots of this outline (either way round) in these zones, clear of the flame."""
        shapes = {outline, outline.turned()}
        bits = 0
        for p, spot in enumerate(self.spots):
            if spot.outline in shapes and spot.zone in zones and spot.flame_m >= clear_of_flame_m:
                bits |= 1 << p
        return bits


def lowest_bit(mask: int) -> int:
    """The position of the lowest set bit.

    >>> lowest_bit(0b1010)
    1
    """
    return (mask & -mask).bit_length() - 1


def bits(mask: int) -> list[int]:
    """The positions of the set bits, lowest first.

    >>> bits(0b1010)
    [1, 3]
    """
    found = []
    while mask:
        found.append(lowest_bit(mask))
        mask &= mask - 1
    return found


def enumerate_places(design: OvenDesign, zones: ZonesFile, outlines: tuple[Outline, ...]) -> Places:
    """All places for these outlines (rectangles both ways round) on the hearth, flame and wall kept clear."""
    shapes = list(dict.fromkeys(shape for o in outlines for shape in (o, o.turned())))
    spots = tuple(spot for shape in shapes for spot in spots_of(design, zones, shape))
    crowding = [mask.bit_count() for mask in _conflicts(spots)]
    ordered = tuple(spots[p] for p in sorted(range(len(spots)), key=lambda p: (crowding[p], p)))
    return Places(ordered, _conflicts(ordered))


def _conflicts(spots: tuple[Spot, ...]) -> tuple[int, ...]:
    """One formula for all pairs: two outlines are a rectangle grown by a disc each (Minkowski sum)."""
    if not spots:
        return ()
    x = np.array([s.x_m for s in spots])
    y = np.array([s.y_m for s in spots])
    w = np.array([s.outline.width_m for s in spots]) / 2
    d = np.array([s.outline.depth_m for s in spots]) / 2
    r = np.array([s.outline.radius_m for s in spots])
    masks = []
    for i in range(len(spots)):
        dx = np.maximum(np.abs(x - x[i]) - w - w[i], 0)
        dy = np.maximum(np.abs(y - y[i]) - d - d[i], 0)
        apart = np.hypot(dx, dy) - r - r[i]
        near = np.packbits(apart < CLEARANCE_M - 1e-9, bitorder="little")
        masks.append(int.from_bytes(near.tobytes(), "little"))
    return tuple(masks)
