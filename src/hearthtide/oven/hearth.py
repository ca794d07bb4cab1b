"""The hearth seen from above: a convex outline in metres, its middle, and the line that follows its wall.

Origin everywhere: the middle of the mouth's sill on the stone's surface, x to the right, y into the oven,
z up, seen by the cook who stands at the mouth. Bearings are degrees clockwise from +y about the centre.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hearthtide.ranges import Array

# Points that stand for a circle where a polygon is asked for: 1.5 mm off on a hearth of 1.4 m.
CIRCLE_POINTS = 96


@dataclass(frozen=True)
class RoundHearth:
    """A disc; the sill is its chord as wide as the mouth."""

    diameter_m: float
    sill_m: float

    @property
    def radius_m(self) -> float:
        return self.diameter_m / 2

    @property
    def centre_m(self) -> tuple[float, float]:
        return 0.0, math.sqrt(self.radius_m**2 - (self.sill_m / 2) ** 2)

    @property
    def width_m(self) -> float:
        return self.diameter_m

    @property
    def depth_m(self) -> float:
        """From the sill to the back wall."""
        return self.centre_m[1] + self.radius_m

    def room_m(self, xy_m: Array) -> Array:
        """Distance from points (..., 2) to the wall or the sill, whichever is nearer; negative outside."""
        x0, y0 = self.centre_m
        return np.minimum(self.radius_m - np.hypot(xy_m[..., 0] - x0, xy_m[..., 1] - y0), xy_m[..., 1])

    def outline_m(self) -> Array:
        """The edge as a polygon (p, 2), from the sill's right end round the back to its left end."""
        corner = math.pi - math.asin(min(1.0, self.sill_m / 2 / self.radius_m))
        return self._arc_m(self.radius_m, np.linspace(corner, -corner, CIRCLE_POINTS))

    def along_wall_m(self, bearing_deg: float, standoff_m: float, steps_m: Array) -> Array:
        """Points (p, 2) on the line that follows the wall `standoff_m` inside it.

        `steps_m` (p,) are lengths along it from where `bearing_deg` meets it, clockwise.
        """
        radius = max(self.radius_m - standoff_m, 0.0)
        turn = steps_m / radius if radius > 1e-9 else np.zeros_like(steps_m)
        straight = self._arc_m(radius, math.radians(bearing_deg) + turn)
        return straight

    def _arc_m(self, radius_m: float, bearing: Array) -> Array:
        x0, y0 = self.centre_m
        return np.stack([x0 + radius_m * np.sin(bearing), y0 + radius_m * np.cos(bearing)], -1)


@dataclass(frozen=True)
class RectangularHearth:
    """A rectangle `width_m` across and `depth_m` deep; the sill lies in the middle of its front wall."""

    width_m: float
    depth_m: float

    @property
    def centre_m(self) -> tuple[float, float]:
        return 0.0, self.depth_m / 2

    def room_m(self, xy_m: Array) -> Array:
        """Distance from points (..., 2) to the nearest wall or the sill's line; negative outside."""
        across = self.width_m / 2 - np.abs(xy_m[..., 0])
        return np.minimum(across, np.minimum(xy_m[..., 1], self.depth_m - xy_m[..., 1]))

    def outline_m(self) -> Array:
        """The edge as a polygon (4, 2), from the front right corner round the back to the front left."""
        half = self.width_m / 2
        return np.array([(half, 0.0), (half, self.depth_m), (-half, self.depth_m), (-half, 0.0)])

    def along_wall_m(self, bearing_deg: float, standoff_m: float, steps_m: Array) -> Array:
        """Points (p, 2) on the line that follows the walls `standoff_m` inside them.

        `steps_m` (p,) are lengths along it from where `bearing_deg` meets it, clockwise.
        """
        a, b = self.width_m / 2 - standoff_m, self.depth_m / 2 - standoff_m
        x0, y0 = self.centre_m
        if a <= 1e-9 and b <= 1e-9:
            return np.broadcast_to([x0, y0], (len(steps_m), 2)).copy()
        a, b = max(a, 0.0), max(b, 0.0)
        corners = np.array([(-a, -b), (-a, b), (a, b), (a, -b), (-a, -b)])
        lengths = np.append(0.0, np.cumsum(np.linalg.norm(np.diff(corners, axis=0), axis=1)))
        at = (self._start_m(bearing_deg, a, b, lengths) + steps_m) % lengths[-1]
        x = np.interp(at, lengths, corners[:, 0])
        return np.stack([x0 + x, y0 + np.interp(at, lengths, corners[:, 1])], -1)

    @staticmethod
    def _start_m(bearing_deg: float, a: float, b: float, lengths: Array) -> float:
        """Length along the inset rectangle, from its front left corner, of the point at a bearing."""
        sine, cosine = math.sin(math.radians(bearing_deg)), math.cos(math.radians(bearing_deg))
        reach = min(
            a / abs(sine) if abs(sine) > 1e-12 else math.inf,
            b / abs(cosine) if abs(cosine) > 1e-12 else math.inf,
        )
        x, y = reach * sine, reach * cosine
        if abs(x + a) < 1e-9:
            return float(lengths[0] + y + b)
        if abs(y - b) < 1e-9:
            return float(lengths[1] + x + a)
        if abs(x - a) < 1e-9:
            return float(lengths[2] + b - y)
        return float(lengths[3] + a - x)


Hearth = RoundHearth | RectangularHearth
