"""The oven in a few zones against the full one it is derived from, and what must hold of any such oven."""

from __future__ import annotations

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.oven.answers import course
from hearthtide.oven.footprint import Disc
from hearthtide.oven.grid import QUICK
from hearthtide.oven.load import NO_LOAD
from hearthtide.oven.model import build_oven
from hearthtide.oven.reduced import BACKGROUND, ROOF, Member, look_ahead, on_spots, reduce, reduced_state
from small_oven import DESIGN

OVEN = build_oven(DESIGN, QUICK)
SPOTS = (Disc(-0.25, 0.45, 0.16), Disc(0.15, 0.45, 0.16), Disc(0.15, 0.85, 0.16))
REDUCED = reduce(OVEN, SPOTS)
HOT = course(OVEN, OVEN.cold(20.0), 26_000.0, 5400.0).state
LOOK_S = 1200.0


def spots_C(state) -> np.ndarray:
    return state.floor_C[: len(SPOTS)]


def test_zones_cover_stone_and_roof_once():
    assert REDUCED.areas_m2.sum() == pytest.approx(OVEN.cell_areas_m2.sum(), rel=1e-12)
    assert REDUCED.roof_m2.sum() == pytest.approx(OVEN.dome_area_m2.sum(), rel=1e-12)
    assert len(REDUCED.areas_m2) == len(SPOTS) + BACKGROUND and len(REDUCED.roof_m2) == ROOF
    np.testing.assert_allclose(REDUCED.of_cells.sum(1), 1.0, rtol=1e-12)


def test_zones_at_one_temperature_exchange_nothing():
    """A closed room of one temperature is black: every zone receives what a black body of it emits."""
    np.testing.assert_allclose(REDUCED.from_emission.sum(1), 1.0, atol=1e-9)


def test_creeping_heat_is_kept():
    """What one zone loses sideways another gains: area-weighted rows sum to nothing, both ways."""
    np.testing.assert_allclose(REDUCED.mixing.sum(1), 0.0, atol=1e-12)
    np.testing.assert_allclose(REDUCED.areas_m2 @ REDUCED.mixing, 0.0, atol=1e-12)


@pytest.mark.parametrize("power_W", [2_400.0, 14_000.0, 26_000.0])
def test_twenty_minutes_as_the_full_oven(power_W):
    """Within 10 K of the full oven at the spots (own choice: what a cook cannot feel on a pizza's floor)."""
    full = reduced_state(REDUCED, course(OVEN, HOT, power_W, LOOK_S).state)
    look = look_ahead(REDUCED, reduced_state(REDUCED, HOT), power_W, LOOK_S)
    np.testing.assert_allclose(spots_C(look), spots_C(full), atol=10.0)


def test_looks_are_ordered_by_power():
    state = reduced_state(REDUCED, HOT)
    low, middle, high = (spots_C(look_ahead(REDUCED, state, p, LOOK_S)) for p in (2e3, 12e3, 26e3))
    assert (low < middle).all() and (middle < high).all()


def test_food_cools_the_spot_it_fills():
    state = reduced_state(REDUCED, HOT)
    load = on_spots(REDUCED, [1], np.array([150.0]), np.array([90.0]), np.array([95.0]))
    bare, fed = (look_ahead(REDUCED, state, 12e3, 240.0, load=what) for what in (NO_LOAD, load))
    fell_K = spots_C(bare) - spots_C(fed)
    assert fell_K[1] > 20.0 and abs(fell_K[0]) < 3.0


def test_a_member_that_is_the_oven_changes_nothing_and_others_do():
    state = reduced_state(REDUCED, HOT)
    plain = spots_C(look_ahead(REDUCED, state, 12e3, LOOK_S))
    np.testing.assert_array_equal(plain, spots_C(look_ahead(REDUCED, state, 12e3, LOOK_S, member=Member())))
    hotter = spots_C(look_ahead(REDUCED, state, 12e3, LOOK_S, member=Member(power=1.2)))
    assert (hotter > plain).all()


def test_a_spot_off_the_stone_is_refused():
    with pytest.raises(PhysicalRangeError, match="spot 0"):
        reduce(OVEN, (Disc(5.0, 5.0, 0.1),))


def test_an_endless_look_is_refused():
    with pytest.raises(PhysicalRangeError, match="span_s"):
        look_ahead(REDUCED, reduced_state(REDUCED, HOT), 12e3, 1e6)
