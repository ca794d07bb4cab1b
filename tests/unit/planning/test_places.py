"""Places on the hearth against a geometry of their own: outlines as clouds of points, flame as a line."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from numpy.typing import NDArray

from hearthtide.house.files import oven_design
from hearthtide.house.models import Place, VesselFile
from hearthtide.house.places import CLEARANCE_M, Outline, Spot
from hearthtide.planning.places import Places, bits, enumerate_places
from small_night import places_of, small_house

Points = NDArray[np.float64]
HOUSE = small_house()
DESIGN = oven_design(HOUSE)
PLACES = places_of(HOUSE)
ZONES: tuple[Place, ...] = ("near", "mid", "edge", "mouth")


def edge(spot: Spot) -> Points:
    """Points a few millimetres apart on the outline."""
    if spot.outline.is_disc:
        turn = np.linspace(0, 2 * math.pi, 240, endpoint=False)
        round_ = np.column_stack([np.cos(turn), np.sin(turn)]) * spot.outline.radius_m
        return np.asarray(round_ + np.array([spot.x_m, spot.y_m]))
    w, d = spot.outline.width_m / 2, spot.outline.depth_m / 2
    share = np.linspace(-1, 1, 81)
    ones = np.ones_like(share)
    sides = [(w * share, d * ones), (w * share, -d * ones), (w * ones, d * share), (-w * ones, d * share)]
    return np.asarray(np.vstack([np.column_stack(side) for side in sides]) + np.array([spot.x_m, spot.y_m]))


def ribbon() -> Points:
    """The small hearth's flame, every 1 mm: 50 cm at the back left on a circle 8 cm inside the wall."""
    radius, y0 = 0.6 - 0.08, math.sqrt(0.6**2 - 0.25**2)
    turn = math.radians(-45) + np.linspace(-0.25, 0.25, 501) / radius
    return np.column_stack([radius * np.sin(turn), y0 + radius * np.cos(turn)])


def inside(spot: Spot, points: Points) -> bool:
    dx, dy = np.abs(points[:, 0] - spot.x_m), np.abs(points[:, 1] - spot.y_m)
    if spot.outline.is_disc:
        return bool((np.hypot(dx, dy) < spot.outline.radius_m).any())
    return bool(((dx < spot.outline.width_m / 2) & (dy < spot.outline.depth_m / 2)).any())


def sampled_gap_m(a: Spot, b: Spot) -> float:
    """0 where the outlines overlap, else the least distance between sampled edges."""
    one, other = edge(a), edge(b)
    middles = np.array([(a.x_m, a.y_m)]), np.array([(b.x_m, b.y_m)])
    if inside(b, one) or inside(a, other) or inside(b, middles[0]) or inside(a, middles[1]):
        return 0.0
    gaps = np.hypot(one[:, None, 0] - other[None, :, 0], one[:, None, 1] - other[None, :, 1])
    return float(gaps.min())


def test_conflicts_equal_sampled_overlap() -> None:
    # Edges are sampled every 4 mm at most, so a gap is overstated by less than 1 mm; pairs that close to
    # the clearance decide nothing here.
    rng = random.Random(4)
    pairs = [(rng.randrange(len(PLACES.spots)), rng.randrange(len(PLACES.spots))) for _ in range(1500)]
    near = [(a, rng.choice(bits(PLACES.conflicts[a]))) for a, _ in pairs[:500]]
    told_apart = {True: 0, False: 0}
    for a, b in pairs + near:
        gap = sampled_gap_m(PLACES.spots[a], PLACES.spots[b])
        if abs(gap - CLEARANCE_M) < 0.001:
            continue
        conflict = bool(PLACES.conflicts[a] >> b & 1)
        assert conflict == (gap < CLEARANCE_M), (PLACES.spots[a], PLACES.spots[b], gap)
        told_apart[conflict] += 1
    assert min(told_apart.values()) > 300


def test_conflicts_are_mutual_and_hold_the_place_itself() -> None:
    for p in range(0, len(PLACES.spots), 7):
        assert PLACES.conflicts[p] >> p & 1
        assert all(PLACES.conflicts[q] >> p & 1 for q in bits(PLACES.conflicts[p]))


def test_every_place_lies_on_the_hearth() -> None:
    radius = 0.6  # of the small hearth; its sill is a chord of 50 cm
    x0, y0 = 0.0, math.sqrt(radius**2 - 0.25**2)
    for spot in PLACES.spots:
        points = edge(spot)
        away = np.hypot(points[:, 0] - x0, points[:, 1] - y0).max()
        assert away <= radius - CLEARANCE_M + 1e-9
        assert points[:, 1].min() >= CLEARANCE_M - 1e-9


def test_flame_distance_is_that_to_the_nearest_edge() -> None:
    # The flame's line is met again every 1 mm, edges every 4 mm: together good to 1 mm beyond 6 cm.
    line = ribbon()
    for spot in PLACES.spots[::17]:
        points = edge(spot)
        gap = np.hypot(points[:, None, 0] - line[None, :, 0], points[:, None, 1] - line[None, :, 1]).min()
        assert spot.flame_m == pytest.approx(gap, abs=0.001)
        assert spot.flame_m >= HOUSE.file.zones.near_from


def test_bearing_points_at_the_flame() -> None:
    line = ribbon()
    for spot in PLACES.spots[::29]:
        turn = math.radians(spot.flame_bearing_deg)
        ahead = np.arange(0, 1.3, 0.002)
        ray = np.column_stack([spot.x_m + ahead * math.sin(turn), spot.y_m + ahead * math.cos(turn)])
        missed_by = np.hypot(ray[:, None, 0] - line[None, :, 0], ray[:, None, 1] - line[None, :, 1]).min()
        assert missed_by < 0.003


def zone_by_hand(spot: Spot) -> Place:
    zones = HOUSE.file.zones
    front = spot.y_m - (spot.outline.radius_m if spot.outline.is_disc else spot.outline.depth_m / 2)
    if front <= zones.mouth_depth:
        return "mouth"
    if spot.flame_m >= zones.edge_from:
        return "edge"
    return "mid" if spot.flame_m >= zones.mid_from else "near"


def test_zones_are_the_houses_own() -> None:
    assert [spot.zone for spot in PLACES.spots] == [zone_by_hand(spot) for spot in PLACES.spots]
    assert {spot.zone for spot in PLACES.spots} == set(ZONES)


def test_mask_holds_exactly_the_wanted_places() -> None:
    pizza = Outline(0, 0, 0.14)
    found = bits(PLACES.mask(pizza, ("mid", "edge"), 0.30))
    wanted = [
        p
        for p, spot in enumerate(PLACES.spots)
        if spot.outline.radius_m == 0.14 and spot.zone in ("mid", "edge") and spot.flame_m >= 0.30
    ]
    assert found == wanted
    assert wanted


def test_mask_takes_a_rectangle_either_way_round() -> None:
    pan = Outline(0.26, 0.20, 0)
    mask = PLACES.mask(pan, ZONES, 0.0)
    assert mask == PLACES.mask(pan.turned(), ZONES, 0.0)
    assert {PLACES.spots[p].outline for p in bits(mask)} == {pan, pan.turned()}


def test_masks_of_all_outlines_and_zones_share_out_the_places() -> None:
    outlines = [Outline(0, 0, 0.14), Outline(0, 0, 0.13), Outline(0, 0, 0.075), Outline(0.26, 0.20, 0)]
    masks = [PLACES.mask(outline, (zone,), 0.0) for outline in outlines for zone in ZONES]
    assert sum(mask.bit_count() for mask in masks) == len(PLACES.spots)
    assert sum(masks) == (1 << len(PLACES.spots)) - 1


def test_clear_of_flame_only_takes_away() -> None:
    pizza = Outline(0, 0, 0.14)
    wide, narrow = PLACES.mask(pizza, ZONES, 0.10), PLACES.mask(pizza, ZONES, 0.40)
    assert wide & narrow == narrow
    assert wide != narrow


def test_places_stand_in_order_of_how_many_they_shut_out() -> None:
    for outline in {spot.outline for spot in PLACES.spots}:
        alike = [p for p, s in enumerate(PLACES.spots) if s.outline in (outline, outline.turned())]
        shut_out = [PLACES.conflicts[p].bit_count() for p in alike]
        assert alike == list(range(alike[0], alike[-1] + 1))
        assert shut_out == sorted(shut_out)


def test_bits_are_the_set_positions() -> None:
    rng = random.Random(9)
    for _ in range(50):
        wanted = sorted(rng.sample(range(1500), rng.randint(0, 40)))
        assert bits(sum(1 << p for p in wanted)) == wanted


def test_outline_of_a_vessel() -> None:
    disc = VesselFile.model_validate({"kind": "stone", "diameter": "28 cm"})
    pan = {"kind": "pan", "width": "26 cm", "depth": "20 cm", "metal": "cast_iron", "mass": "1.9 kg"}
    assert Outline.of(disc) == Outline(0.0, 0.0, 0.14)
    assert Outline.of(VesselFile.model_validate(pan)) == Outline(0.26, 0.20, 0.0)
    assert Outline.of(disc).area_m2 == pytest.approx(0.0615752, rel=1e-6)  # pi 0.14 m squared, by hand
    assert Outline.of(VesselFile.model_validate(pan)).area_m2 == pytest.approx(0.052)


def test_a_hearth_too_small_for_the_outline_has_no_places() -> None:
    assert places_of(small_house(oven={"diameter": "60 cm", "mouth_width": "30 cm"})).spots
    assert enumerate_places(DESIGN, HOUSE.file.zones, (Outline(0, 0, 0.7),)) == Places((), ())
