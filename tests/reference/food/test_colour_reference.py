"""Colours of a photograph in CIELAB, against values others print for the same colours."""

import pytest

from hearthtide.food.lab import difference, lab_of
from published import Published

pytestmark = pytest.mark.subject("food properties")

# Primaries as colour calculators print them for sRGB, D65, 2 degrees (red and cyan read in a public test
# file of such a conversion; red also in several published tables).
PRIMARIES = [
    ("#ff0000", (53.23, 80.11, 67.22)),
    ("#00ffff", (91.12, -48.08, -14.14)),
    ("#ffffff", (100.0, 0.0, 0.0)),
]
# An image toolbox's reference page prints L*a*b* (70, 5, 10) as sRGB (188, 167, 153), whole numbers.
ROUNDED = ("#bca799", (70.0, 5.0, 10.0))


@pytest.mark.parametrize(("text", "expected"), PRIMARIES, ids=lambda x: x if isinstance(x, str) else "")
def test_primaries(text, expected, published: Published):
    found = lab_of(text)
    for name, number, computed in zip("Lab", expected, (found.L, found.a, found.b), strict=True):
        published(
            "sRGB in CIELAB",
            "IEC 61966-2-1 and CIE 15, values of public colour calculators",
            expected=number,
            computed=computed,
            absolute=0.02,
            at=f"{text} {name}*",
        )


def test_a_colour_like_pale_crust(published: Published):
    """Rounding to whole numbers moves a colour by half a step in each channel: some 0.3 dE."""
    text, (L, a, b) = ROUNDED
    found = lab_of(text)
    for name, number, computed in zip("Lab", (L, a, b), (found.L, found.a, found.b), strict=True):
        published(
            "sRGB rounded to 8 bits in CIELAB",
            "reference page of an image toolbox (lab2rgb)",
            expected=number,
            computed=computed,
            absolute=0.35,
            at=f"{text} {name}*",
        )


def test_black_and_white_lie_a_hundred_apart(published: Published):
    published(
        "dE of black and white",
        "CIE 15: L* runs from 0 to 100",
        expected=100.0,
        computed=difference(lab_of("#000000"), lab_of("#ffffff")),
        absolute=0.01,
    )
