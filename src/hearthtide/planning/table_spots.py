"""What response tables take from an oven: its floor as one column, its gas, its kinds of spot.

All is rounded, far below what the models know, so that noise in the last digits asks for no other table.
"""

from __future__ import annotations

import numpy as np

from hearthtide.food.column import STONE_BEHIND_C, STONE_C, Floats
from hearthtide.house.models import DishFile
from hearthtide.oven.model import Oven
from hearthtide.oven.zones import working_zone
from hearthtide.planning.build import stage_masks
from hearthtide.planning.exposure import evened, faces_W_m2, seat, stone_exposure
from hearthtide.planning.places import Places
from hearthtide.planning.response import Moment, stone_below, thirds
from hearthtide.planning.tables import Hearth, Kind

DIGITS = 3  # of the floor's properties that count
TO_C, TO_SHARE, TO_W_m2 = 5.0, 0.02, 100.0


def hearth_of(oven: Oven, moment: Moment) -> Hearth:
    """The working stone as it stands then on average, and the gas."""
    zone = working_zone(oven)
    zone = zone if zone.any() else np.ones_like(zone)
    floor = stone_below(oven, moment.state, zone / zone.sum())
    floor[STONE_C] = np.round(floor[STONE_C])
    floor[STONE_BEHIND_C] = np.round(floor[STONE_BEHIND_C])
    others = [row for row in range(len(floor)) if row not in (STONE_C, STONE_BEHIND_C)]
    floor[others] = _rounded(floor[others])
    face_C = round(float(moment.state.floor_C[zone].mean()))
    return Hearth(floor, float(face_C), TO_C * round(moment.state.gas_C / TO_C))


def _rounded(values: Floats) -> Floats:
    """To DIGITS significant digits."""
    return np.array([[float(f"{value:.{DIGITS}g}") for value in row] for row in values.tolist()])


def kinds_of(oven: Oven, moment: Moment, places: Places, dish: DishFile, stage: int) -> tuple[Kind, ...]:
    """The typical spots of a stage, as `response` chooses them: up to three of every place, nearest first."""
    kinds, turned = [], dish.stages[stage].turns or dish.stages[stage].spins
    for place, mask in zip(dish.stages[stage].places, stage_masks(dish, stage, places), strict=True):
        for third, group in enumerate(thirds(places, mask), 1):
            chair = seat(oven, places.spots[group[len(group) // 2]])
            faces = faces_W_m2(oven, moment.state, moment.power_W, [chair])[0]
            heat = stone_exposure(float(chair.under @ moment.state.floor_C), faces, moment.state.gas_C)
            heat = evened(heat) if turned else heat
            ahead, right, behind, left = (
                round(TO_SHARE * round(rim / heat.up_W_m2 / TO_SHARE), 2) for rim in heat.rim_W_m2
            )
            kinds.append(
                Kind(
                    place=place,
                    third=third,
                    from_flame_m=round(chair.spot.flame_m, 2),
                    rim_of_up=(ahead, right, behind, left),
                    stone_C=TO_C * round(heat.stone_C / TO_C),
                    up_W_m2=TO_W_m2 * round(heat.up_W_m2 / TO_W_m2),
                )
            )
    return tuple(kinds)
