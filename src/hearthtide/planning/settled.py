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
SOAK_S = 1800  # the stone has been in its band this long at least; own choice
# A stone not in its band by then is taken as it is: a published wood-fired oven settled after 4 to 6 h (from
# memory, not re-read).
LONGEST_S = 6 * 3600
AMBIENT_C = 25.0  # the night file's own default


def settled(house: House, on_progress: Callable[[float], None] = lambda _: None) -> tuple[Oven, Moment]:
    """The nominal oven some three hours after lighting, the flame chosen for the middle of the band.

    A heavy oven is given longer: half an hour in its band, six hours in all at the most.
    """
    design = oven_design(house)
    nominal, quick, nothing = build_oven(design, NOMINAL), build_oven(design, QUICK), Draw((), ())
    flame = govern(
        QuickNight(quick, nothing),
        house.oven.floor_band,
        AMBIENT_C,
        0,
        LONGEST_S,
        lambda s: on_progress(s / 2),
    )
    at = LONGEST_S if flame.ready_s is None else min(LONGEST_S, max(SETTLE_S, flame.ready_s + SOAK_S))
    (state,) = states_at(QuickNight(nominal, nothing), AMBIENT_C, 0, flame, (at,))
    on_progress(1.0)
    return nominal, Moment(state, flame.power_W(at))
