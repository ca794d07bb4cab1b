"""Members of a chilling keep the order that the solver keeps, and readings move them as they should."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.food.band import band
from hearthtide.food.chill_band import Cooling, chill_all, chill_members, weighed
from hearthtide.food.chill_methods import BLAST_RACK, FAN_RACK, ICE_BATH, STILL_RACK
from hearthtide.food.chilling import ChillLimits, ToChill
from hearthtide.food.probe import Reading

LIMITS = ChillLimits(57.0, 21.0, 5.0, 7200.0, 21_600.0)
MEMBERS = chill_members(members=24)
EXAMPLES = settings(max_examples=20, deadline=None)
coolings = st.builds(
    Cooling,
    what=st.builds(
        ToChill,
        food=st.sampled_from(("chicken_cooked", "beef_lean", "potato")),
        thickness_m=st.floats(0.01, 0.06),
        exponent=st.floats(0.0, 2.0),
    ),
    start_C=st.floats(60.0, 95.0),
    method=st.sampled_from((STILL_RACK, FAN_RACK, BLAST_RACK, ICE_BATH)),
    limits=st.just(LIMITS),
)


def no_later(quick: np.ndarray, slow: np.ndarray) -> bool:
    return bool((quick <= slow + 1e-6).all())


@EXAMPLES
@given(coolings, st.floats(1.05, 2.0))
def test_a_thicker_piece_is_slower_member_by_member(cooling, factor):
    thicker = replace(cooling, what=replace(cooling.what, thickness_m=factor * cooling.what.thickness_m))
    thin, thick = chill_all(MEMBERS, cooling), chill_all(MEMBERS, thicker)
    assert no_later(thin.middle_s, thick.middle_s) and no_later(thin.end_s, thick.end_s)
    assert (thin.kept >= thick.kept).all()


@EXAMPLES
@given(coolings, st.floats(1.0, 2.0), st.floats(0.0, 5.0))
def test_a_windier_or_colder_method_is_never_slower_member_by_member(cooling, factor, colder_K):
    # Dry: more wind over a wet face leaves it drier air to cool by, which the solver's own properties cover.
    mild = replace(cooling.method, evaporates="no")
    hard = replace(
        mild,
        air_C=mild.air_C - colder_K,
        top_W_m2K=factor * mild.top_W_m2K,
        bottom_W_m2K=factor * mild.bottom_W_m2K,
    )
    slow, quick = (chill_all(MEMBERS, replace(cooling, method=method)) for method in (mild, hard))
    assert no_later(quick.middle_s, slow.middle_s) and no_later(quick.end_s, slow.end_s)


@EXAMPLES
@given(coolings, st.floats(0.2, 0.8))
def test_a_reading_on_the_foretold_curve_leaves_the_median_within_its_spread_and_narrows(cooling, share):
    run = chill_all(MEMBERS, cooling)
    before = band(run.middle_s)
    time_s = share * before.median
    cores = [float(np.interp(time_s, course.times_s, course.core_C)) for course in run.courses]
    told = weighed(MEMBERS, cooling, (Reading(time_s, band(np.array(cores)).median),))
    after = band(run.middle_s, told.weights)
    assert not told.contradicted
    assert before.low <= after.median <= before.high
    assert after.high - after.low <= before.high - before.low + 1e-6
