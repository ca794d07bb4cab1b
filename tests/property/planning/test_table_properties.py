"""Tables of any flat piece: hotter stone or fire is not slower to a core, and the band lies around it."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.food import column
from hearthtide.food.model import ASKED_EVERY_S
from hearthtide.food.spec import FoodLayer, Portion
from hearthtide.house.models import StageFile
from hearthtide.planning.table_filling import Asked, fill
from hearthtide.planning.tables import HIGH_S, LOW_S, SECONDS, Axes, Hearth, Kind

AXES = Axes((220.0, 300.0, 380.0), (6e3, 12e3, 24e3))
# Food never turned over dries below node by node, and each dried node keeps heat out: up to 1 % in time the
# wrong way over 40 K of stone with twelve nodes (31 mm of shrimp or beef), a fifth for shrimp with 48.
CRUST = 0.02
KIND = Kind("mid", 1, 0.3, (1.1, 0.9, 0.7, 0.9), 350.0, 13e3)


def hearth() -> Hearth:
    """50 mm of fireclay in ten even nodes, 1.05 W/(m K), 2.1 MJ/(m³ K), as hot all through."""
    floor = np.zeros((column.STONE_ROWS, 10))
    floor[column.STONE_C] = 350.0
    floor[column.STONE_J_M2K] = 0.005 * 2.1e6
    floor[column.STONE_LINK] = 1.05 / 0.005
    floor[column.STONE_LINK, 0] *= 2
    floor[column.STONE_BACK, -1], floor[column.STONE_BEHIND_C] = 1.0, 25.0
    return Hearth(floor, 350.0, 120.0)


@settings(max_examples=25, deadline=None)
@given(
    food=st.sampled_from(["beef_strip", "chicken_cooked", "shrimp", "peppers"]),
    thickness_m=st.floats(0.006, 0.035),
    start_C=st.floats(0.0, 25.0),
    core_C=st.floats(40.0, 75.0),
)
def test_hotter_is_not_slower_to_a_core(food: str, thickness_m: float, start_C: float, core_C: float) -> None:
    portion = Portion("piece", (FoodLayer(food, thickness_m),), 0.02, start_C)
    stage = StageFile.model_validate(
        {"name": "cook", "places": ["mid"], "until": {"core": f"{core_C:.1f} C"}}
    )
    ((table,),) = fill((Asked(portion, (stage,), ((KIND,),)),), hearth(), AXES, 1, lambda _: None)
    seconds = table.values[SECONDS, 0]
    for axis in (0, 1):
        colder, hotter = (np.moveaxis(seconds, axis, 0)[part] for part in (slice(None, -1), slice(1, None)))
        assert (hotter <= colder + ASKED_EVERY_S + CRUST * np.where(np.isfinite(colder), colder, 0.0)).all()
    met = table.met[0]
    assert met.any()
    assert (table.values[LOW_S, 0][met] <= seconds[met]).all()
    assert (seconds[met] <= table.values[HIGH_S, 0][met]).all()
