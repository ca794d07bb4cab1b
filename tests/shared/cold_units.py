"""Invented cold units and hot lots for tests of chilling."""

from __future__ import annotations

from hearthtide.day.chill_lots import ColdUnit, HotLot, Rack
from hearthtide.food.chill_methods import (
    BLAST_PAN,
    BLAST_RACK,
    FAN_PAN,
    FAN_RACK,
    ICE_BATH,
    ICE_BATH_PAN,
    STILL_PAN,
    STILL_RACK,
)
from hearthtide.food.chilling import ChillLimits, ToChill

HOUR_S = 3600.0
# US model food code as read in five state adoptions: 57 to 21 °C in 2 h, to 5 °C in 6 h in all; cold at 5 °C.
US = ChillLimits(57.0, 21.0, 5.0, 2 * HOUR_S, 6 * HOUR_S)
COLD_C = 5.0
WALK_IN = ColdUnit(
    "walk-in", "Walk-in", 3.0, 2000.0, 600.0, 80e3, 40.0, (Rack("trolley", 20, 0.10),), FAN_RACK, FAN_PAN
)
REACH_IN = ColdUnit(
    "reach-in", "Reach-in", 3.0, 350.0, 150.0, 25e3, 8.0, (Rack("shelves", 6, 0.20),), STILL_RACK, STILL_PAN
)
RAILS = (Rack("rails", 10, 0.10),)
BLAST = ColdUnit(
    "blast", "Blast chiller", -5.0, 3000.0, 200.0, 30e3, 20.0, RAILS, BLAST_RACK, BLAST_PAN, keeps=False
)
ICE = ColdUnit(
    "ice", "Ice bath", 3.0, 1.0, 1.0, 1e4, 10.0, (Rack("bath", 4, 0.30),), ICE_BATH, ICE_BATH_PAN,
    keeps=False, held=True, most_ice_kg=40.0,
)  # fmt: skip
ALL = (WALK_IN, REACH_IN, BLAST, ICE)
WINGS = ToChill("chicken_wing_cooked", 0.022, 0.8)
HALVES = ToChill("chicken_cooked", 0.04)
SAUCE = ToChill("tomato_sauce", 0.05)


def lot(
    key: str, what: ToChill = WINGS, hours: float = 15.0, kg: float = 5.0, trays: int = 2, **more
) -> HotLot:
    """A lot that is ready at that hour, at 75 °C unless said otherwise."""
    return HotLot(key, key, what, kg, trays, more.pop("core_C", 75.0), hours * HOUR_S, **more)
