"""The oven settled in the house's band with nothing on it: where single dishes are tried."""

from __future__ import annotations

from collections.abc import Callable

from hearthtide.house.files import oven_design
from hearthtide.house.models import House
from hearthtide.oven.grid import NOMINAL, QUICK
from hearthtide.oven.model import Oven, build_oven
from hearthtide.planning.draw import Draw
from hearthtide.planning.flame import QuickNight, govern, states_at
from hearthtide.planning.response import Moment

SETTLE_S = 3 * 3600  # trade teaching: about three hours to a settled stone
AMBIENT_C = 25.0  # the night file's own default


def settled(house: House, on_progress: Callable[[float], None] = lambda _: None) -> tuple[Oven, Moment]:
    """The nominal oven three hours after lighting, the flame chosen for the middle of the band."""
    design = oven_design(house)
    nominal, quick, nothing = build_oven(design, NOMINAL), build_oven(design, QUICK), Draw((), ())
    flame = govern(
        QuickNight(quick, nothing),
        house.oven.floor_band,
        AMBIENT_C,
        0,
        SETTLE_S,
        lambda s: on_progress(s / 2),
    )
    (state,) = states_at(QuickNight(nominal, nothing), AMBIENT_C, 0, flame, (SETTLE_S,))
    on_progress(1.0)
    return nominal, Moment(state, flame.power_W(SETTLE_S))
