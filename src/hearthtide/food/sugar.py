"""How much faster a sweet surface browns.

In glucose and glycine the first step goes with the sugar's concentration to the first power (Davies,
Wedzicha, Gillard 1997), and more sugar browns faster "up to a certain level" (Baisier, Labuza 1992); both
read as abstracts, on solutions at 37 and 70 °C. No published rate over sugar for a crust was found, so
both numbers below are assumed, and a house that knows its own factor writes that instead.

Limits: sugar at the surface counts, not in the piece; sucrose counts only as far as it has split; and
caramel, which sets in at 105 to 110 °C for fructose but 150 to 180 °C for the others, is not a term of its
own, so that a glaze held very hot is browner than this says.
"""

from __future__ import annotations

from hearthtide.ranges import require

# Reducing sugar that the measured bread crumb (zanoni-1995) browned with. Assumed, from the habit that
# plain wheat bread keeps 1 to 3 %.
CRUMB_SHARE = 0.02
# What the rate tends to with ever more sugar. Assumed: the most a house may write as its own factor.
MOST = 5.0
MOST_SHARE = 0.8  # honey holds about that much; from memory, not re-read


def browning_factor(reducing_share: float) -> float:
    """The factor on the browning rate of plain food for reducing sugar added at the surface.

    `reducing_share` is its mass share of the glaze or seasoned surface, 0 to 0.8 (PhysicalRangeError
    outside). 1 without any; the first sugar counts in proportion, then ever less, up to 5.

    >>> browning_factor(0.0), round(browning_factor(0.08), 2)
    (1.0, 3.0)
    """
    require("reducing sugar", reducing_share, "", 0.0, MOST_SHARE)
    more = reducing_share / CRUMB_SHARE
    return 1 + more / (1 + more / (MOST - 1))
