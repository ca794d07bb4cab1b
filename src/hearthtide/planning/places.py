"""Every place an item of a given outline may stand on this hearth, and which places shut each other out.

Places are enumerated once on the true outline of the hearth. Which pairs conflict is exact
(discs and axis-parallel rectangles) and kept as one whole number per place, bit `q` set when
place `q` cannot be used at the same time: a free place is then found by a few OR and AND.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from hearthtide.house.models import Place as Zone
from hearthtide.house.models import ZonesFile
from hearthtide.house.places import CLEARANCE_M, Outline, Spot, spots_of
from hearthtide.oven.design import OvenDesign

Floats = NDArray[np.float64]
Boxes = tuple[Floats, Floats, Floats, Floats, Floats]

GOLDEN, GOLDEN_STEPS = 0.6180339887498949, 16  # to within 0.5 mm over 1.2 m
SPLASH_M = 0.15  # how far juices and butter spit from a vessel's edge (common practice, no source)
REACHED_AT_ONCE = 64  # places whose ways in are looked at together, some MB; own choice
HANDLE_M = 0.06  # breadth of a peel's or gripper's handle (common practice, no source)


@dataclass(frozen=True)
class Places:
    """All spots of a hearth with the pairs that shut each other out.

    `conflicts[p]` has bit q set when p and q cannot be used together (p itself included). Spots of one
    outline, both ways round, stand together, in the order of how many others they shut out: of several
    free ones, the lowest bit packs best. What spits reaches `splash_m` from its edge.
    """

    spots: tuple[Spot, ...]
    conflicts: tuple[int, ...]
    splash_m: float = SPLASH_M

    def mask(self, outline: Outline, zones: tuple[Zone, ...], clear_of_flame_m: float) -> int:
        """Bits of the spots of this outline (either way round) in these zones, clear of the flame."""
        shapes = {outline, outline.turned()}
        bits = 0
        for p, spot in enumerate(self.spots):
            if spot.outline in shapes and spot.zone in zones and spot.flame_m >= clear_of_flame_m:
                bits |= 1 << p
        return bits

    def near(self, x_m: float, y_m: float, radius_m: float) -> int:
        """Bits of the spots within a circle: what a spill there shuts out."""
        spill = Spot(x_m, y_m, Outline(0.0, 0.0, radius_m), "mid", 0.0, 0.0)
        return _close(_boxes((*self.spots, spill)), len(self.spots), 0.0) & ~(1 << len(self.spots))

    def beside(self, spots: tuple[Spot, ...]) -> Places:
        """The same places and, after them, these: where items that have begun really stand."""
        if not spots:
            return self
        return Places(self.spots + spots, _conflicts(self.spots + spots), self.splash_m)

    @cached_property
    def splash(self) -> tuple[int, ...]:
        """`splash[p]`: the places within reach of what spits at p."""
        boxes = _boxes(self.spots)
        return tuple(_close(boxes, p, self.splash_m) for p in range(len(self.spots)))

    @cached_property
    def reach(self) -> tuple[int, ...]:
        """`reach[p]`: the places over which a hand goes straight from the middle of the mouth to p."""
        boxes, count = _boxes(self.spots), len(self.spots)
        asked = (range(n, min(n + REACHED_AT_ONCE, count)) for n in range(0, count, REACHED_AT_ONCE))
        over = (way for some in asked for way in _in_the_way(boxes, np.array(some)))
        return tuple(way & ~shut for way, shut in zip(over, self.conflicts, strict=True))


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
    kind = [min(shapes.index(s.outline), shapes.index(s.outline.turned())) for s in spots]
    ordered = tuple(spots[p] for p in sorted(range(len(spots)), key=lambda p: (kind[p], crowding[p], p)))
    return Places(ordered, _conflicts(ordered))


def _conflicts(spots: tuple[Spot, ...]) -> tuple[int, ...]:
    boxes = _boxes(spots)
    return tuple(_close(boxes, p, CLEARANCE_M - 1e-9) for p in range(len(spots)))


def _close(boxes: Boxes, p: int, gap_m: float) -> int:
    """Bits of the spots nearer than `gap_m` to spot p.

    One formula for all pairs: two outlines are a rectangle grown by a disc each (Minkowski sum).
    """
    x, y, w, d, r = boxes
    dx = np.maximum(np.abs(x - x[p]) - w - w[p], 0)
    dy = np.maximum(np.abs(y - y[p]) - d - d[p], 0)
    return _packed(np.hypot(dx, dy) - r - r[p] < gap_m)


def _in_the_way(boxes: Boxes, asked: NDArray[np.intp]) -> list[int]:
    """For each spot asked (a,), bits of the spots a handle from the middle of the sill to it passes over.

    The gap to a convex outline along a straight line is convex: its least is found by golden section.
    """
    x, y, w, d, r = boxes
    to_x, to_y = x[asked, None], y[asked, None]
    along = np.clip((x * to_x + y * to_y) / np.maximum(to_x**2 + to_y**2, 1e-12), 0, 1)
    round_it = np.hypot(w, d) + r + HANDLE_M / 2
    own, near = np.nonzero(np.hypot(x - along * to_x, y - along * to_y) < round_it)
    to_x, to_y, x_m, y_m, w_m, d_m, r_m = to_x[own, 0], to_y[own, 0], *(of[near] for of in boxes)
    low, high = np.zeros(len(near)), np.ones(len(near))

    def gap(at: Floats) -> Floats:
        dx = np.maximum(np.abs(x_m - at * to_x) - w_m, 0)
        dy = np.maximum(np.abs(y_m - at * to_y) - d_m, 0)
        return np.asarray(np.hypot(dx, dy) - r_m)

    for _ in range(GOLDEN_STEPS):
        a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        left = gap(a) < gap(b)
        low, high = np.where(left, low, a), np.where(left, b, high)
    over = np.zeros((len(asked), len(x)), dtype=np.bool_)
    over[own, near] = gap((low + high) / 2) < HANDLE_M / 2
    return [_packed(row) for row in over]


def _boxes(spots: tuple[Spot, ...]) -> Boxes:
    """Middles, half widths, half depths and radii of the outlines [m]."""
    columns = [
        (s.x_m, s.y_m, s.outline.width_m / 2, s.outline.depth_m / 2, s.outline.radius_m) for s in spots
    ]
    x, y, w, d, r = np.array(columns, dtype=np.float64).reshape(-1, 5).T.copy()
    return x, y, w, d, r


def _packed(flags: NDArray[np.bool_]) -> int:
    return int.from_bytes(np.packbits(flags, bitorder="little").tobytes(), "little")
