"""What an item meets at its spot: the side towards the flame is hottest, the stone is that under it."""

from __future__ import annotations

import numpy as np
import pytest

from hearthtide.food.exposure import Exposure
from hearthtide.house.files import oven_design
from hearthtide.house.places import Outline
from hearthtide.oven.program import run_program
from hearthtide.planning.exposure import evened, faces_W_m2, footprint_of, seat, stone_exposure
from hearthtide.planning.places import bits
from small_night import places_of, quick_oven, small_house

HOUSE = small_house()
OVEN = quick_oven(oven_design(HOUSE))
PLACES = places_of(HOUSE)
POWER_W = 22_000.0
# Two hours of high flame: hot enough that every part of the oven shines.
HOT = run_program(OVEN, OVEN.cold(25.0), ((0.0, POWER_W),), 7200.0, dt_s=30.0, record_every_s=3600.0).state
PIZZA = Outline(0, 0, 0.14)


def some(zone: str, count: int = 4) -> list[int]:
    found = [p for p, s in enumerate(PLACES.spots) if s.zone == zone and s.outline == PIZZA]
    return found[:: max(1, len(found) // count)][:count]


@pytest.mark.parametrize("zone", ["near", "mid", "edge"])
def test_the_side_that_faces_the_flame_receives_most(zone: str) -> None:
    seats = [seat(OVEN, PLACES.spots[p]) for p in some(zone)]
    sides = faces_W_m2(OVEN, HOT, POWER_W, seats)[:, 5:]
    assert len(sides) >= 3
    assert (sides[:, 0] == sides.max(1)).all()
    assert (sides[:, 0] > sides[:, 2] * 1.05).all()


def test_nearer_the_flame_is_brighter() -> None:
    mean = {
        zone: faces_W_m2(OVEN, HOT, POWER_W, [seat(OVEN, PLACES.spots[p]) for p in some(zone)])[:, 5].mean()
        for zone in ("near", "mid", "edge")
    }
    assert mean["near"] > mean["mid"] > mean["edge"]


def test_a_larger_flame_only_adds() -> None:
    seats = [seat(OVEN, PLACES.spots[p]) for p in some("mid")]
    low, high = faces_W_m2(OVEN, HOT, 7_000.0, seats), faces_W_m2(OVEN, HOT, 30_000.0, seats)
    assert (high > low).all()
    assert (low > 0).all()


def test_a_room_at_one_temperature_shines_alike_from_all_sides() -> None:
    # Cold and dark everything is at 25 °C: a black body's sigma T^4 on every face (Stefan-Boltzmann).
    faces = faces_W_m2(OVEN, OVEN.cold(25.0), 0.0, [seat(OVEN, PLACES.spots[p]) for p in some("mid")])
    assert faces == pytest.approx(5.670374e-8 * 298.15**4, rel=0.01)


def test_no_seats_no_faces() -> None:
    assert faces_W_m2(OVEN, HOT, POWER_W, []).shape == (0, 9)


def test_the_stone_under_an_item_is_shared_out_whole() -> None:
    for p in some("mid") + bits(PLACES.mask(Outline(0.26, 0.20, 0), ("edge",), 0.0))[:3]:
        chair = seat(OVEN, PLACES.spots[p])
        assert chair.under.sum() == pytest.approx(1.0)
        # The cells covered make up the outline's own area.
        area = PLACES.spots[p].outline.area_m2
        assert chair.cover.sum() * OVEN.cell_area_m2 == pytest.approx(area, rel=0.02)
        middle = np.array([PLACES.spots[p].x_m, PLACES.spots[p].y_m])
        assert chair.under @ OVEN.cells_m == pytest.approx(middle, abs=0.01)


def test_footprint_is_as_wide_as_the_outline() -> None:
    disc = footprint_of(PLACES.spots[some("mid")[0]])
    pan = next(s for s in PLACES.spots if not s.outline.is_disc)
    assert vars(disc)["diameter_m"] == pytest.approx(0.28)
    assert {vars(footprint_of(pan))[side] for side in ("width_m", "depth_m")} == {0.26, 0.20}


def test_exposure_of_nine_faces() -> None:
    heat = stone_exposure(350.0, np.array([1.0, 2, 3, 4, 5, 60, 70, 80, 90]), 400.0)
    assert heat == Exposure("stone", 350.0, 3.0, (60.0, 70.0, 80.0, 90.0), 400.0)


def test_turning_evens_the_sides_and_keeps_the_sum() -> None:
    heat = Exposure("stone", 350.0, 3.0, (60.0, 70.0, 80.0, 90.0), 400.0)
    assert evened(heat) == Exposure("stone", 350.0, 3.0, (75.0,) * 4, 400.0)
