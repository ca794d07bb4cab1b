"""Places by hand on a hearth of 1.2 m whose flame lies at the back left, 52 cm from the centre."""

import math

import pytest

from hearthtide.house.models import VesselFile, ZonesFile
from hearthtide.house.places import Outline, farthest_gap_m, place_of
from hearthtide.oven.design import Burner, FlameLevel, Layer, OvenDesign

ZONES = ZonesFile()
HEARTH = OvenDesign(
    name="Try",
    diameter_m=1.2,
    dome_height_m=0.42,
    mouth_width_m=0.5,
    mouth_height_m=0.25,
    floor=(Layer("fireclay", 0.05),),
    dome=(Layer("castable", 0.06),),
    burner=Burner(-45, 0.5, 0.08, "natural_gas"),
    levels=(FlameLevel("low", 2400), FlameLevel("full", 30_000)),
)


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
    gaps = farthest_gap_m(HEARTH, Outline(0.0, 0.0, 0.14), ZONES)
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
