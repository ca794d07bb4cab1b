"""A colour picked from a photograph as a point in CIELAB, and how far two such points lie apart.

sRGB to XYZ by IEC 61966-2-1, XYZ to L*a*b* by CIE 15 (2 degree observer, white D65); the difference is
CIE 1976's, the plain distance. A camera is no colorimeter: only colours of one photograph compare.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from hearthtide.errors import PhysicalRangeError

_HEX = re.compile(r"#[0-9A-Fa-f]{6}")
# Rows X, Y, Z; iec-61966-2-1, to the four places it prints.
SRGB_TO_XYZ = (
    (0.4124, 0.3576, 0.1805),
    (0.2126, 0.7152, 0.0722),
    (0.0193, 0.1192, 0.9505),
)
D65 = (0.9505, 1.0, 1.0890)  # the sums of the rows: what that matrix makes of white
EPSILON, KAPPA = (6 / 29) ** 3, (29 / 3) ** 3  # cie-15: where the cube root gives way to a straight line


@dataclass(frozen=True)
class Lab:
    """L* 0 black to 100 white, a* green to red, b* blue to yellow."""

    L: float
    a: float
    b: float


def lab_of(text: str) -> Lab:
    """The colour written `#RRGGBB`; PhysicalRangeError for anything else.

    >>> round(lab_of("#ffffff").L, 6), round(lab_of("#000000").L, 6)
    (100.0, 0.0)
    """
    if not _HEX.fullmatch(text):
        raise PhysicalRangeError(f"colour {text!r}: expected `#RRGGBB`")
    light = [_linear(int(text[i : i + 2], 16) / 255) for i in (1, 3, 5)]
    x, y, z = (
        _root(sum(part * share for part, share in zip(row, light, strict=True)) / white)
        for row, white in zip(SRGB_TO_XYZ, D65, strict=True)
    )
    return Lab(116 * y - 16, 500 * (x - y), 200 * (y - z))


def difference(one: Lab, other: Lab) -> float:
    """dE of CIE 1976 between two colours."""
    return math.dist((one.L, one.a, one.b), (other.L, other.a, other.b))


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _root(share: float) -> float:
    return float(math.cbrt(share)) if share > EPSILON else (KAPPA * share + 16) / 116
