from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.food.chill_methods import ChillMethod
from hearthtide.food.chilling import ChillLimits, ToChill, chill, last_useful_change_s, makes_it
from hearthtide.food.library import food_names

LIMITS = ChillLimits(57.0, 21.0, 5.0, 7200.0, 21600.0)
EXAMPLES = settings(max_examples=40, deadline=None)
bodies = st.builds(
    ToChill,
    food=st.sampled_from(food_names()),
    thickness_m=st.floats(0.005, 0.12),
    exponent=st.floats(0.0, 2.0),
    lid=st.booleans(),
    contents=st.sampled_from(("thick", "stirred")),
)
films = st.floats(3.0, 200.0)
dry = st.builds(
    ChillMethod,
    name=st.just("any"),
    air_C=st.floats(-20.0, 4.0),
    top_W_m2K=films,
    bottom_W_m2K=films,
    evaporates=st.just("no"),
    source=st.just("made up"),
)
starts = st.floats(30.0, 95.0)


def hours(what: ToChill, start_C: float, method: ChillMethod) -> float:
    reached_s = chill(what, start_C, method, LIMITS).reached_end_s
    return np.inf if reached_s is None else reached_s / 3600


@EXAMPLES
@given(bodies, starts, dry, st.floats(1.05, 2.0))
def test_thinner_never_takes_longer(what, start_C, method, factor):
    thicker = replace(what, thickness_m=what.thickness_m * factor)
    assert hours(what, start_C, method) <= hours(thicker, start_C, method) + 1e-6


@EXAMPLES
@given(bodies, starts, dry, st.floats(0.5, 10.0))
def test_colder_air_never_takes_longer(what, start_C, method, colder_K):
    colder = replace(method, air_C=method.air_C - colder_K)
    assert hours(what, start_C, colder) <= hours(what, start_C, method) + 1e-6


@EXAMPLES
@given(bodies, starts, dry, st.floats(1.05, 3.0))
def test_more_wind_never_takes_longer(what, start_C, method, factor):
    windy = replace(method, top_W_m2K=method.top_W_m2K * factor, bottom_W_m2K=method.bottom_W_m2K * factor)
    assert hours(what, start_C, windy) <= hours(what, start_C, method) + 1e-6


@EXAMPLES
@given(bodies, starts, dry)
def test_a_dry_body_stays_between_air_and_start_and_only_cools(what, start_C, method):
    course = chill(what, start_C, method, LIMITS)
    for row in (course.core_C, course.surface_C, course.mean_C):
        assert row.min() >= method.air_C - 1e-9
        assert row.max() <= start_C + 1e-9
        assert (np.diff(row) <= 1e-9).all()
    assert (course.core_C >= course.mean_C - 1e-9).all()
    assert course.lost_kg_m2 == 0


@EXAMPLES
@given(bodies, starts, dry)
def test_a_wet_face_cools_no_slower_and_a_lid_no_faster(what, start_C, method):
    bare, wet = replace(what, lid=False), replace(method, evaporates="both")
    course = chill(bare, start_C, wet, LIMITS)
    assert hours(bare, start_C, wet) <= hours(bare, start_C, method) + 1e-6
    assert hours(bare, start_C, method) <= hours(replace(what, lid=True), start_C, method) + 1e-6
    assert course.lost_kg_m2 > 0


@settings(max_examples=15, deadline=None)
@given(st.floats(0.02, 0.07), st.floats(60.0, 90.0), st.floats(4.0, 12.0))
def test_changing_at_the_last_useful_moment_keeps_the_limits_and_later_does_not(thickness_m, start_C, film):
    what = ToChill("beef_lean", thickness_m)
    mild = ChillMethod("mild", 4.0, film, film, "no", "made up")
    hard = ChillMethod("hard", -5.0, 60.0, 60.0, "no", "made up")
    last_s = last_useful_change_s(what, start_C, mild, hard, LIMITS, 20.0)
    if last_s is None:
        assert not makes_it(chill(what, start_C, hard, LIMITS), LIMITS)
    elif last_s == np.inf:
        assert makes_it(chill(what, start_C, mild, LIMITS), LIMITS)
    else:
        assert makes_it(chill(what, start_C, mild, LIMITS, hard, last_s), LIMITS)
        assert not makes_it(chill(what, start_C, mild, LIMITS, hard, last_s + 40.0), LIMITS)
