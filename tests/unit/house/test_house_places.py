"""Places by hand on a hearth of 1.2 m whose flame lies at the back left, 52 cm from the centre."""

import math
from dataclasses import replace

import pytest

from hearthtide.house.models import VesselFile, ZonesFile
from hearthtide.house.places import Outline, farthest_gap_m, place_of, spots_of
from hearthtide.oven.design import Burner, Crown, FlameLevel, Layer, Mouth, OvenDesign
from hearthtide.oven.hearth import RectangularHearth, RoundHearth

ZONES = ZonesFile()
HEARTH = OvenDesign(
    name="Try",
    hearth=RoundHearth(1.2, sill_m=0.5),
    crown=Crown("dome", 0.0, 0.42),
    mouth=Mouth(0.5, 0.25),
    floor=(Layer("fireclay", 0.05),),
    walls=(Layer("castable", 0.06),),
    burners=(Burner("ribbon", -45, 0.5, standoff_m=0.08),),
    fuel="natural_gas",
    levels=(FlameLevel("low", 2400), FlameLevel("full", 30_000)),
)
BOX = replace(HEARTH, hearth=RectangularHearth(1.0, 1.2), crown=Crown("barrel", 0.2, 0.3))
DISC = Outline(0.0, 0.0, 0.14)


@pytest.mark.parametrize(
    ("gap_m", "front_m", "place"),
    [
        (0.05, 0.50, None),
        (0.06, 0.50, "near"),
        (0.21, 0.50, "near"),
        (0.22, 0.50, "mid"),
        (0.45, 0.50, "edge"),
        (0.80, 0.12, "mouth"),
        (0.80, 0.13, "edge"),
        (0.10, 0.05, "mouth"),
    ],
)
def test_a_place_is_told_by_its_gap_to_the_flame_and_the_mouth(gap_m, front_m, place):
    assert place_of(gap_m, front_m, ZONES) == place


def test_outlines_and_areas():
    disc = Outline.of(VesselFile.model_validate({"kind": "stone", "diameter": "28 cm"}))
    assert disc.area_m2 == pytest.approx(math.pi * 0.14**2)
    pan = {"kind": "pan", "width": "26 cm", "depth": "20 cm", "metal": "carbon_steel", "mass": "1 kg"}
    assert Outline.of(VesselFile.model_validate(pan)).area_m2 == pytest.approx(0.052)


def test_a_disc_can_get_no_farther_from_the_flame_than_straight_across_the_hearth():
    gaps = farthest_gap_m(HEARTH, DISC, ZONES)
    assert set(gaps) == {"near", "mid", "edge", "mouth"}
    across = 0.52 + (0.60 - 0.14) - 0.14  # flame to centre, centre to the farthest middle, back to its edge
    assert max(gaps.values()) <= across
    assert max(gaps.values()) > across - 0.10
    assert 0.16 < gaps["near"] < 0.22
    assert 0.40 < gaps["mid"] < 0.45


def test_a_wide_item_has_no_place_and_a_turned_pan_has_the_same():
    assert farthest_gap_m(HEARTH, Outline(0.0, 0.0, 0.55), ZONES) == {}
    wide = farthest_gap_m(HEARTH, Outline(0.40, 0.20, 0.0), ZONES)
    assert wide == farthest_gap_m(HEARTH, Outline(0.20, 0.40, 0.0), ZONES)


def test_a_box_is_filled_into_its_corners_and_no_farther():
    """By hand: with 0.5 m of half width, 0.14 m of disc and 1 cm kept clear, middles lie within 0.35 m of the
    axis and from 0.15 m to 1.05 m deep; the spots' own grid of 5 cm reaches each of these bounds."""
    unlit = replace(BOX, burners=(Burner("under"),))
    spots = spots_of(unlit, ZONES, DISC)
    assert max(abs(spot.x_m) for spot in spots) == pytest.approx(0.35)
    assert min(spot.y_m for spot in spots) == pytest.approx(0.15)
    assert max(spot.y_m for spot in spots) == pytest.approx(1.05)
    assert len(spots) == 15 * 19  # every grid point between these bounds


def test_a_rectangle_in_a_box_is_held_by_its_corners():
    pan = Outline(0.40, 0.20, 0.0)
    spots = spots_of(replace(BOX, burners=(Burner("under"),)), ZONES, pan)
    assert max(abs(spot.x_m) for spot in spots) == pytest.approx(0.25)  # 0.29 to the wall, on a grid of 5 cm
    assert max(spot.y_m for spot in spots) == pytest.approx(1.06)  # 1.09 to the wall; rows from 0.11 on


def test_without_a_fire_on_the_hearth_nothing_is_near_one():
    gaps = farthest_gap_m(replace(BOX, burners=(Burner("under"),)), DISC, ZONES)
    assert gaps == {"mouth": math.inf, "edge": math.inf}


def test_the_gap_to_a_round_fire_ends_at_its_rim():
    """A bed of 30 cm with its middle 20 cm off the back wall of a box 1.2 m deep lies at (0, 1.0)."""
    bed = replace(BOX, burners=(Burner("bed", 0.0, breadth_m=0.30, standoff_m=0.20),), fuel="wood")
    spot = next(s for s in spots_of(bed, ZONES, DISC) if s.x_m == 0.0 and math.isclose(s.y_m, 0.15))
    assert spot.flame_m == pytest.approx(1.0 - 0.15 - 0.15 - 0.14)
    assert spot.flame_bearing_deg == pytest.approx(0.0)


def test_two_ribbons_keep_their_distance_on_both_sides():
    """Ribbons 8 cm inside the side walls of a box, at x = ±0.42 and 0.5 m long about its middle."""
    both = replace(
        BOX, burners=tuple(Burner("ribbon", b, 0.5, standoff_m=0.08, share=0.5) for b in (-90, 90))
    )
    middle = [s for s in spots_of(both, ZONES, DISC) if math.isclose(s.y_m, 0.60)]
    assert {round(s.x_m, 2): round(s.flame_m, 6) for s in middle} == {
        x: round(0.42 - abs(x) - 0.14, 6) for x in (-0.2, -0.15, -0.1, -0.05, 0.0, 0.05, 0.1, 0.15, 0.2)
    }
    assert all(s.flame_bearing_deg * s.x_m > 0 for s in middle if abs(s.x_m) > 0.01)
