"""The hearth's spots measured again: every outline a ring of corners grown by a radius.

Gaps are found edge against edge, and a hand's way is one more outline with two corners, so that nothing
rests on the sides being parallel or on a search for the nearest point.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from hearthtide.planning.problem import Problem

Point = tuple[float, float]

CLEAR_M = 0.01  # between two things on the stone (common practice, no source)
HANDLE_M = 0.06  # breadth of a peel's or gripper's handle (common practice, no source)
SAME_M = 1e-6  # lengths closer than this are the same
BORDER_M = 5e-4  # a handle this near to an outline's edge may count either way: nobody's arm is surer
SILL: Point = (0.0, 0.0)  # the middle of the mouth, where hands come from


@dataclass(frozen=True)
class Footprint:
    """Corners in turn (one for a disc, two for a way, four for a rectangle), grown by a radius."""

    corners: tuple[Point, ...]
    radius_m: float

    @property
    def edges(self) -> list[tuple[Point, Point]]:
        n = len(self.corners)
        return [(self.corners[i], self.corners[(i + 1) % n]) for i in range(n if n > 2 else 1)]


def gap_m(a: Footprint, b: Footprint) -> float:
    """From edge to edge; negative by how deep two discs lie in one another.

    >>> round(gap_m(Footprint(((0.0, 0.0),), 0.1), Footprint(((0.0, 0.5),), 0.1)), 6)
    0.3
    """
    if any(_inside(p, b) for p in a.corners) or any(_inside(p, a) for p in b.corners):
        apart = 0.0
    else:
        apart = min(_edges_apart(e, f) for e in a.edges for f in b.edges)
    return apart - a.radius_m - b.radius_m


def _inside(p: Point, shape: Footprint) -> bool:
    if len(shape.corners) < 3:
        return False
    sides = [_side(e[0], e[1], p) for e in shape.edges]
    return all(s >= 0 for s in sides) or all(s <= 0 for s in sides)


def _side(a: Point, b: Point, p: Point) -> float:
    """On which side of the line from a to b the point lies (a cross product, m²)."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def _edges_apart(e: tuple[Point, Point], f: tuple[Point, Point]) -> float:
    across_f = _side(*e, f[0]) * _side(*e, f[1]) < 0
    across_e = _side(*f, e[0]) * _side(*f, e[1]) < 0
    if across_f and across_e:
        return 0.0
    return min(_off(e, f[0]), _off(e, f[1]), _off(f, e[0]), _off(f, e[1]))


def _off(edge: tuple[Point, Point], p: Point) -> float:
    (ax, ay), (bx, by) = edge
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    along = 0.0 if length2 == 0 else max(0.0, min(1.0, ((p[0] - ax) * dx + (p[1] - ay) * dy) / length2))
    return math.hypot(p[0] - ax - along * dx, p[1] - ay - along * dy)


class Floor:
    """The spots of a problem and what they are to one another; each pair is measured once."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._gaps: dict[tuple[int, int], float] = {}
        self._ways: dict[tuple[int, int], float] = {}
        self.splash_m = problem.places.splash_m

    @cached_property
    def prints(self) -> tuple[Footprint, ...]:
        return tuple(
            _footprint(s.x_m, s.y_m, s.outline.width_m, s.outline.depth_m, s.outline.radius_m)
            for s in self._problem.places.spots
        )

    def knows(self, place: int) -> bool:
        return 0 <= place < len(self.prints)

    def before_sill(self, place: int) -> bool:
        """Whether some of it hangs out of the mouth."""
        shape = self.prints[place]
        return min(y for _, y in shape.corners) - shape.radius_m < -SAME_M

    def gap(self, p: int, q: int) -> float:
        pair = (min(p, q), max(p, q))
        if pair not in self._gaps:
            self._gaps[pair] = gap_m(self.prints[pair[0]], self.prints[pair[1]])
        return self._gaps[pair]

    def clash(self, p: int, q: int) -> bool:
        """Whether the two cannot be used at once."""
        return p == q or self.gap(p, q) < CLEAR_M - SAME_M

    def over(self, p: int, q: int, give_m: float = 0.0) -> bool:
        """Whether a handle from the middle of the mouth to p goes over what stands at q.

        With `give_m` it must do so by that much (negative: it may miss by as much).
        """
        if self.clash(p, q):
            return False
        if (p, q) not in self._ways:
            shape = self.prints[p]
            n = len(shape.corners)
            middle = (sum(x for x, _ in shape.corners) / n, sum(y for _, y in shape.corners) / n)
            self._ways[p, q] = gap_m(Footprint((SILL, middle), 0.0), self.prints[q])
        return self._ways[p, q] < HANDLE_M / 2 - give_m


def _footprint(x: float, y: float, width: float, depth: float, radius: float) -> Footprint:
    w, d = width / 2, depth / 2
    if w == 0 and d == 0:
        return Footprint(((x, y),), radius)
    return Footprint(((x - w, y - d), (x + w, y - d), (x + w, y + d), (x - w, y + d)), radius)
