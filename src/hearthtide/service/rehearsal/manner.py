"""How a rehearsed kitchen differs from its plan: hands, food, oven, and what anybody says of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Manner:
    """Shares are of one, spreads standard deviations. Common practice, no source; a house sets its own.

    `hands` of an act's seconds and `stage` of a stage's are as the honest minutes suppose them; `held_up`
    of the acts begin late by `held_up_s`; `taps` of those done are told, the rest is taken as done when
    due; `says` of what holds an act up or ends a stage early is told.
    """

    hands: float = 0.15
    stage: float = 0.06
    held_up: float = 0.03
    held_up_s: tuple[float, float] = (10.0, 45.0)
    taps: float = 0.2
    says: float = 0.7
    lands: float = 0.5  # of the landings the pass tells
    gun_every_s: float = 900.0  # between two readings of the floor
    gun_C: float = 4.0  # by which a gun errs
    flame: float = 0.04  # by which the flame's power differs all night


EXACT = Manner(hands=0.0, stage=0.0, held_up=0.0, taps=1.0, says=1.0, lands=1.0, gun_C=0.0, flame=0.0)
"""A kitchen that does everything as it is told, and tells it."""
