"""Whatever the portion, the doubt and the reading: weights are weights, bands are in order."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.food.band import Cooked, Doubt, band, cook_all, core_at, ensemble, steady
from hearthtide.food.cooking import Target
from hearthtide.food.exposure import Exposure
from hearthtide.food.probe import AGREES, Reading, narrowed
from hearthtide.food.spec import FoodLayer, Platter, Portion

heat = st.floats(2_000, 30_000)
exposures = st.builds(
    Exposure,
    base=st.just("stone"),
    stone_C=st.floats(150, 450),
    up_W_m2=heat,
    rim_W_m2=st.tuples(heat, heat, heat, heat),
    gas_C=st.floats(150, 500),
)
portions = st.builds(
    Portion,
    name=st.just("x"),
    layers=st.builds(
        FoodLayer,
        food=st.sampled_from(("beef_strip", "chicken_breast_raw", "cheese_dip")),
        thickness_m=st.floats(0.0005, 0.03),
    ).map(lambda layer: (layer,)),
    area_m2=st.just(0.02),
    start_C=st.floats(-2, 60),
    platter=st.sampled_from((None, Platter("cast_iron", 2.0, 0.04, 200.0))),
)
doubts = st.builds(
    Doubt,
    thickness=st.floats(0, 0.3),
    conductivity=st.floats(0, 0.3),
    start_K=st.floats(0, 40),
    contact=st.floats(0, 1),
    irradiance=st.floats(0, 1),
    stone_K=st.floats(0, 200),
)
values = st.lists(st.floats(0, 1e4), min_size=1, max_size=30)


def straight(cores_C: list[float]) -> Cooked:
    """Members whose cores stand still for 100 s, the colder the later done: no model in it."""
    n = len(cores_C)
    ends_s = 200.0 - np.array(cores_C)
    return Cooked(
        (None,) * n, (), 100.0, ends_s, np.full(n, 100.0), (None,) * n, tuple(np.full(2, c) for c in cores_C)
    )


@settings(max_examples=25, deadline=None)
@given(portions, doubts, exposures, st.integers(0, 10**6), st.floats(0, 59))
def test_any_ensemble_cooks_and_its_bands_are_in_order(portion, doubt, exposure, seed, at_s):
    cooked = cook_all(ensemble(portion, doubt, 5, seed), steady(exposure, (20.0,)), Target(core_C=70.0), 60.0)
    assert np.isfinite(core_at(cooked, at_s)).all()
    end = cooked.end
    assert 20.0 <= end.low <= end.median <= end.high
    assert ((cooked.stopped_s == cooked.end_s) | np.isinf(cooked.end_s)).all()


@given(values, st.data())
def test_a_band_lies_among_its_values_whatever_they_weigh(numbers, data):
    weights = data.draw(st.lists(st.floats(0.01, 1), min_size=len(numbers), max_size=len(numbers)))
    found = band(np.array(numbers), np.array(weights))
    assert {found.low, found.median, found.high} <= set(numbers)
    assert found.low <= found.median <= found.high
    again = band(np.array(numbers[::-1]), np.array(weights[::-1]))
    assert found == again or len(set(numbers)) < len(numbers)


@given(values)
def test_members_that_weigh_alike_make_the_band_without_weights(numbers):
    array = np.array(numbers)
    assert band(array) == band(array, np.full(len(numbers), 0.25))


cores = st.lists(st.floats(-5, 100), min_size=1, max_size=40)


@given(cores, st.floats(0, 100), st.floats(-30, 150), st.floats(0.05, 50))
def test_a_reading_is_either_weighed_or_contradicted(members, at_s, value_C, sd_K):
    told = narrowed(straight(members), (Reading(at_s, value_C, sd_K),))
    assert told.weights.sum() == pytest.approx(1.0)
    assert (told.weights >= 0).all()
    assert 1 - 1e-9 <= told.effective <= len(members) * (1 + 1e-9)
    nearest_K = min(abs(value_C - core) for core in members)
    assert told.contradicted == (nearest_K / sd_K > AGREES)
    assert (told.left is None) == (told.end is None) == told.contradicted
    if told.contradicted:
        assert abs(told.off_K) == pytest.approx(nearest_K)
    else:
        assert told.left.low <= told.left.median <= told.left.high


@given(cores, st.floats(-5, 100), st.floats(0.5, 20), st.floats(1.1, 10))
def test_a_worse_probe_never_leaves_fewer_members(members, value_C, sd_K, worse):
    """The members a set of weights to the power b amounts to can only fall as b rises (log-convexity)."""
    better, poorer = (
        narrowed(straight(members), (Reading(9.0, value_C, sd),)) for sd in (sd_K, worse * sd_K)
    )
    assert better.contradicted or better.effective <= poorer.effective * (1 + 1e-9)
    endless = narrowed(straight(members), (Reading(9.0, value_C, math.inf),))
    assert endless.end == straight(members).end
