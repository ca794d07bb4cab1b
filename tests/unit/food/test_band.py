"""Members of an ensemble: drawn evenly, run as the one model runs them, counted rightly."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from statistics import NormalDist

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.band import (
    Band,
    Doubt,
    Event,
    band,
    burn_margins_s,
    colour_at_end,
    cook_all,
    core_at,
    cover_all,
    edges,
    ensemble,
    steady,
)
from hearthtide.food.cooking import Target, cook, trace
from hearthtide.food.exposure import Exposure, rest_exposure
from hearthtide.food.model import prepare, start
from hearthtide.food.outcome import burn_margin_s, colour_steps
from hearthtide.food.spec import FoodLayer, Platter, Portion

HOT = Exposure("stone", 330.0, 14_000.0, (18_000.0, 14_000.0, 10_000.0, 14_000.0), 350.0)
STEAK = Portion(
    "steak", (FoodLayer("beef_strip", 0.020),), 0.025, 4.0, platter=Platter("cast_iron", 2.0, 0.04, 250.0)
)
DIP = Portion(
    "dip", (FoodLayer("cheese_dip", 0.02),), 0.012, 4.0, platter=Platter("stoneware", 0.6, 0.013, 4.0)
)
NONE = {field.name: 0.0 for field in fields(Doubt)}


def test_the_same_seed_draws_the_same_members_and_another_seed_others() -> None:
    one, again, other = (ensemble(STEAK, None, 8, seed) for seed in (3, 3, 4))
    assert [m.stone_K for m in one] == [m.stone_K for m in again]
    assert [m.stone_K for m in one] != [m.stone_K for m in other]


def test_every_slice_of_every_doubt_is_drawn_once() -> None:
    """A Latin hypercube: of n draws one lies in each n-th of the probability."""
    members, doubt = ensemble(STEAK, Doubt(start_K=1.0), 50, 7), Doubt(start_K=1.0)
    normal = {
        "stone": [m.stone_K / doubt.stone_K for m in members],
        "fire": [math.log(m.irradiance) / doubt.irradiance for m in members],
        "thick": [math.log(m.food.portion.thickness_m / 0.020) / doubt.thickness for m in members],
        "start": [(m.food.portion.start_C - 4.0) / doubt.start_K for m in members],
        "contact": [math.log(m.food.contact_W_m2K / prepare(STEAK).contact_W_m2K) / 0.3 for m in members],
    }
    for name, draws in normal.items():
        slices = sorted(int(50 * NormalDist().cdf(z)) for z in draws)
        assert slices == list(range(50)), name
        assert np.std(draws) == pytest.approx(1.0, abs=0.05)


def test_conductivity_scales_every_gap_both_ways_up() -> None:
    member = ensemble(STEAK, Doubt(**{**NONE, "conductivity": 0.2}), 1, 1)[0]
    plain = prepare(STEAK)
    scale = member.food.forms[0].cut.grids[0][column.GAP_K, 0] / plain.forms[0].cut.grids[0][column.GAP_K, 0]
    assert scale != 1.0
    for mine, its in zip(member.food.forms, plain.forms, strict=True):
        ours, theirs = mine.cut.grids, its.cut.grids
        assert ours[:, column.GAP_K] == pytest.approx(scale * theirs[:, column.GAP_K])
        assert ours[:, column.WATER_0] == pytest.approx(theirs[:, column.WATER_0])


@pytest.mark.parametrize("flips", [(), (60.0, 150.0)])
def test_without_doubt_every_member_is_the_model(flips) -> None:
    food, target = prepare(STEAK), Target(core_C=50.0)
    alone = cook(food, start(food), HOT, target, 900.0, flips)
    cooked = cook_all(ensemble(STEAK, Doubt(**NONE), 3), steady(HOT, flips), target, 900.0)
    # Members look for their target on whole seconds, `cook` whenever a step ends.
    assert cooked.end_s == pytest.approx(alone.seconds, abs=1.0)
    assert cooked.end.low == cooked.end.high
    assert colour_at_end(cooked) == pytest.approx([colour_steps(food, alone.state).mean] * 3, abs=0.05)
    assert burn_margins_s(cooked) == pytest.approx([burn_margin_s(food, alone.state, HOT)] * 3)


def test_the_core_before_and_after_the_end_is_the_models() -> None:
    food = prepare(STEAK)
    course = trace(food, start(food), HOT, 400.0, 1.0)
    cooked = cook_all(ensemble(STEAK, Doubt(**NONE), 2), steady(HOT), Target(core_C=40.0), 900.0)
    assert cooked.end_s[0] < 390
    for time_s in (0.0, 100.0, float(cooked.end_s[0]), 390.0):
        assert core_at(cooked, time_s) == pytest.approx([float(course.core_C[int(time_s)])] * 2, abs=1e-6)


def test_a_stage_begins_where_the_last_one_ended() -> None:
    members = ensemble(STEAK, None, 4)
    first = cook_all(members, steady(HOT), Target(core_C=30.0), 900.0)
    second = cook_all(members, steady(HOT), Target(core_C=45.0), 900.0, first.states)
    whole = cook_all(members, steady(HOT), Target(core_C=45.0), 900.0)
    assert first.end_s + second.end_s == pytest.approx(whole.end_s, abs=1e-9)


def test_thicker_takes_longer_by_a_power_between_one_and_two() -> None:
    """A slab by its resistance outside takes time as its thickness, by that inside as its square."""
    cooked = cook_all(
        ensemble(STEAK, Doubt(**{**NONE, "thickness": 0.15}), 12), steady(HOT), Target(core_C=45.0), 2400.0
    )
    thick = np.log([m.food.portion.thickness_m for m in cooked.members])
    power = np.polyfit(thick, np.log(cooked.end_s), 1)[0]
    assert 1.0 < power < 2.0


@pytest.mark.parametrize("name", ["conductivity", "start_K", "contact", "irradiance", "stone_K"])
def test_more_of_each_of_the_others_is_sooner(name: str) -> None:
    """Better conduction and contact, a warmer start, more fire, a hotter stone: none can slow a core."""
    doubt = Doubt(**{**NONE, name: 40.0 if name == "stone_K" else 2.0 if name == "start_K" else 0.3})
    cooked = cook_all(ensemble(DIP, doubt, 6), steady(HOT), Target(core_C=60.0), 2400.0)
    draws = {
        "conductivity": [m.food.forms[0].cut.grids[0][column.GAP_K, 0] for m in cooked.members],
        "start_K": [m.food.portion.start_C for m in cooked.members],
        "contact": [m.food.contact_W_m2K for m in cooked.members],
        "irradiance": [m.irradiance for m in cooked.members],
        "stone_K": [m.stone_K for m in cooked.members],
    }[name]
    ends = cooked.end_s[np.argsort(draws)]
    assert (np.diff(ends) <= 0).all() and ends[0] > ends[-1]


def test_members_spread_a_steak_as_far_as_such_models_are_known_to_be_off() -> None:
    """Steaks and fillets by one column: about 15 % in time (reference, judged from published fits)."""
    cooked = cook_all(ensemble(STEAK), steady(HOT, (120.0,)), Target(core_C=55.0), 2400.0, dt_s=2.0)
    assert 0.08 < float(cooked.end_s.std() / cooked.end_s.mean()) < 0.20


def test_a_cold_platter_is_as_cold_as_its_food_and_a_hot_one_is_as_the_bank_left_it() -> None:
    assert all(m.food.platter.start_C == m.food.portion.start_C for m in ensemble(DIP, None, 5))
    assert all(m.food.platter.start_C == 250.0 for m in ensemble(STEAK, None, 5))


def test_off_the_hearth_the_room_is_the_room() -> None:
    rest = rest_exposure()
    assert all(m.meets(rest) == rest for m in ensemble(STEAK, None, 5))


def test_a_start_near_the_edge_stays_inside_the_model() -> None:
    cold = replace(STEAK, start_C=-1.5)
    assert min(m.food.portion.start_C for m in ensemble(cold, Doubt(start_K=20.0), 40)) == -2.0


def test_never_done_is_told_as_never() -> None:
    cooked = cook_all(ensemble(STEAK, None, 3), steady(HOT), Target(core_C=99.9), 30.0)
    assert cooked.end == Band(math.inf, math.inf, math.inf)
    assert cooked.stopped_s.tolist() == [30.0] * 3


def test_a_lid_keeps_fire_off_every_member() -> None:
    lidded = cover_all(ensemble(STEAK, None, 3), 0.6)
    assert [m.food.portion.cover for m in lidded] == [0.6] * 3


def test_bands_by_hand() -> None:
    """Of 1 to 5 weighing 5, 10, 35, 40, 10 %: sums 5, 15, 50, 90, 100 %."""
    values, weights = np.array([5.0, 1.0, 3.0, 4.0, 2.0]), np.array([10.0, 5.0, 35.0, 40.0, 10.0])
    assert band(values, weights) == Band(2.0, 3.0, 4.0)
    assert band(np.array([1.0, math.inf])) == Band(1.0, 1.0, math.inf)


@pytest.mark.parametrize(
    "change", [{"thickness": -0.1}, {"contact": 1.5}, {"stone_K": 300.0}, {"start_K": math.nan}]
)
def test_doubts_that_are_none_are_refused(change) -> None:
    with pytest.raises(PhysicalRangeError, match="doubt"):
        Doubt(**change)


@pytest.mark.parametrize("members", [0, 20_000])
def test_as_many_members_as_make_sense(members: int) -> None:
    with pytest.raises(PhysicalRangeError, match="members"):
        ensemble(STEAK, None, members)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"course": ()}, "course"),
        ({"course": (Event(5.0, HOT),)}, "course"),
        ({"course": (Event(0.0, flip=True),)}, "course"),
        ({"course": (Event(0.0, HOT), Event(9.0, flip=True), Event(5.0, flip=True))}, "rising"),
        ({"max_s": 0.0}, "max_s"),
        ({"dt_s": math.nan}, "dt_s"),
        ({"states": (start(prepare(STEAK)),)}, "states"),
    ],
)
def test_courses_and_times_that_cannot_be_run_are_refused(change, word) -> None:
    whole = {"course": steady(HOT), "target": Target(core_C=50.0), "max_s": 60.0}
    with pytest.raises(PhysicalRangeError, match=word):
        cook_all(ensemble(STEAK, None, 2), **{**whole, **change})


def test_a_core_is_asked_at_a_time() -> None:
    cooked = cook_all(ensemble(STEAK, None, 2), steady(HOT), Target(core_C=10.0), 60.0)
    for time_s in (-1.0, math.inf, math.nan):
        with pytest.raises(PhysicalRangeError, match="time_s"):
            core_at(cooked, time_s)


def test_the_edges_of_one_doubt_leave_all_else_as_it_is() -> None:
    """A tenth of a normal law lies beyond 1.2816 deviations (tables)."""
    thin, thick = edges(STEAK, "thickness")
    assert math.log(thick.food.portion.thickness_m / 0.020) == pytest.approx(1.2816 * 0.05, rel=1e-3)
    assert thin.food.portion.thickness_m * thick.food.portion.thickness_m == pytest.approx(0.020**2)
    cold, warm = edges(STEAK, "start_K", Doubt(start_K=1.0))
    assert warm.food.portion.start_C - cold.food.portion.start_C == pytest.approx(2 * 1.2816, rel=1e-3)
    for member in (thin, thick, cold, warm):
        assert (member.stone_K, member.irradiance) == (0.0, 1.0)
    assert cold.food.portion.thickness_m == pytest.approx(0.020)
    with pytest.raises(ValueError, match="sugar"):
        edges(STEAK, "sugar")
