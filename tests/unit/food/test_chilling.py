import math
from dataclasses import replace

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.chill_grid import box_exponent, chill_grid, ellipsoid_exponent, first_root
from hearthtide.food.chill_methods import (
    BLAST_PAN,
    BLAST_RACK,
    STILL_PAN,
    STILL_RACK,
    ChillMethod,
)
from hearthtide.food.chilling import (
    Chilling,
    ChillLimits,
    ToChill,
    air_vapour_Pa,
    chill,
    last_useful_change_s,
    limits_used,
    makes_it,
    passed_s,
)
from hearthtide.food.library import foodstuff

HOUR = 3600.0
US = ChillLimits(57.0, 21.0, 5.0, 2 * HOUR, 6 * HOUR)
# Australia and New Zealand: the second stage has 4 h of its own.
AU = ChillLimits(60.0, 21.0, 5.0, 2 * HOUR, math.inf, 4 * HOUR)
SLAB = ToChill("chicken_cooked", 0.04)


def read(middle_h: float | None, end_h: float | None) -> Chilling:
    none = np.zeros(1)
    middle_s = None if middle_h is None else middle_h * HOUR
    return Chilling(none, none, none, none, 0.0, middle_s, None if end_h is None else end_h * HOUR, 0.0)


@pytest.mark.parametrize(
    ("middle_h", "end_h", "limits", "kept"),
    [
        # Worked verdicts of the two-stage rules: 2 h 20 to 21 °C misses, 6 h 10 to 5 °C misses, and 0 h 45
        # with 5 h 50 passes the total of 6 h but not the further 4 h.
        (2 + 20 / 60, 4.0, US, False),
        (1.5, 6 + 10 / 60, US, False),
        (0.75, 5 + 50 / 60, US, True),
        (0.75, 5 + 50 / 60, AU, False),
        (1.5, 5.25, AU, True),
        (2.0, 6.0, US, True),
        (None, None, US, False),
        (1.0, None, US, False),
    ],
)
def test_verdicts_of_two_stage_limits(middle_h, end_h, limits, kept):
    assert makes_it(read(middle_h, end_h), limits) is kept


def test_the_share_of_the_limits_is_the_strictest_ones():
    # By hand: 1.5 h of 2 and 5.25 h of 6; with the further 4 h, 3.75 h of those.
    assert limits_used(read(1.5, 5.25), US) == pytest.approx(5.25 / 6)
    assert limits_used(read(1.5, 5.25), AU) == pytest.approx(3.75 / 4)
    assert limits_used(read(1.5, None), US) == math.inf


def test_the_clock_starts_when_the_core_passes_the_upper_limit():
    hot, at_once = chill(SLAB, 75.0, STILL_RACK, US), chill(SLAB, 50.0, STILL_RACK, US)
    assert hot.started_s > 600
    assert hot.core_C[np.searchsorted(hot.times_s, hot.started_s)] == pytest.approx(57, abs=0.2)
    assert at_once.started_s == 0


def test_cold_food_is_there_already():
    course = chill(SLAB, 4.0, STILL_RACK, US)
    assert course.reached_end_s == 0
    assert course.lost_kg_m2 == 0


def test_whole_degrees_are_as_good_as_fractions():
    assert chill(SLAB, 70, STILL_RACK, US).reached_end_s == chill(SLAB, 70.0, STILL_RACK, US).reached_end_s


def test_a_limit_below_the_air_is_never_reached():
    warm = ChillMethod("warm room", 6.0, 10.0, 10.0, "no", "made up")
    course = chill(ToChill("beef_lean", 0.01), 60.0, warm, US)
    assert course.reached_end_s is None
    assert course.times_s[-1] == pytest.approx(24 * HOUR)
    assert not makes_it(course, US)


def test_passing_lies_on_the_line_between_two_records():
    assert passed_s(np.array([0.0, 10.0]), np.array([60.0, 50.0]), 57.0) == pytest.approx(3.0)


def test_the_first_water_lost_is_that_of_the_lewis_relation():
    # By hand: (10 - 5) / 66 (19.9 kPa at 60 °C - 0.85 x 0.76 kPa at 3 °C) / 2.358 MJ/kg (steam table).
    thin = ToChill("tomato_sauce", 0.005, contents="stirred", wet=1.0)
    limits = ChillLimits(59.9, 59.0, 58.0, 1e5, 1e5)
    course = chill(thin, 60.0, replace(STILL_RACK, evaporates="top"), limits)
    # The face stands near 58.5 °C meanwhile, where the vapour pressure is 7 % lower.
    by_hand = 5 / 66 * (0.93 * 19_900 - 646) / 2.358e6
    assert course.lost_kg_m2 / course.times_s[-1] == pytest.approx(by_hand, rel=0.06)


def test_no_water_leaves_under_a_lid():
    assert chill(ToChill("tomato_sauce", 0.05), 75.0, STILL_PAN, US).lost_kg_m2 > 0.5
    assert chill(ToChill("tomato_sauce", 0.05, lid=True), 75.0, STILL_PAN, US).lost_kg_m2 == 0


def test_a_hardly_curved_body_cools_as_the_slab_it_nearly_is():
    # Films alike on both faces; the slab counts both faces' water, the curved body one face's.
    method = replace(STILL_RACK, bottom_W_m2K=10.0)
    slab = chill(SLAB, 75.0, method, US)
    bent = chill(replace(SLAB, exponent=1e-4), 75.0, method, US)
    assert bent.reached_end_s == pytest.approx(slab.reached_end_s, rel=5e-3)
    assert 2 * bent.lost_kg_m2 == pytest.approx(slab.lost_kg_m2, rel=5e-3)


def test_vapour_of_cold_air():
    # Steam and ice tables: 611 Pa at 0 °C, 260 Pa over ice at -10 °C, 758 Pa at 3 °C.
    assert air_vapour_Pa(-10.0, 1.0) == pytest.approx(260, rel=0.01)
    assert air_vapour_Pa(3.0, 1.0) == pytest.approx(758, rel=0.01)
    assert air_vapour_Pa(-0.001, 1.0) == pytest.approx(611, rel=0.01)


def test_change_at_once_and_change_too_late_are_the_two_methods():
    now = chill(SLAB, 75.0, STILL_RACK, US, BLAST_RACK, 0.0)
    never = chill(SLAB, 75.0, STILL_RACK, US, BLAST_RACK, 23 * HOUR)
    assert now.reached_end_s == chill(SLAB, 75.0, BLAST_RACK, US).reached_end_s
    assert never.reached_end_s == pytest.approx(chill(SLAB, 75.0, STILL_RACK, US).reached_end_s, abs=1)


def test_last_useful_change():
    pan = ToChill("tomato_sauce", 0.05)
    last_s = last_useful_change_s(pan, 75.0, STILL_PAN, BLAST_PAN, US)
    assert last_s is not None
    assert 0 < last_s < 5 * HOUR
    assert last_useful_change_s(ToChill("tomato_sauce", 0.15), 75.0, STILL_PAN, BLAST_PAN, US) is None
    assert last_useful_change_s(ToChill("beef_lean", 0.01), 75.0, STILL_RACK, BLAST_RACK, US) == math.inf


def test_a_food_of_ones_own_chills_as_one_of_the_library_does():
    own = replace(foodstuff("beef_lean"), name="house_beef")
    here, there = (chill(replace(SLAB, food=food), 75.0, STILL_RACK, US) for food in (own, "beef_lean"))
    assert here.reached_end_s == there.reached_end_s
    airier = replace(own, porosity=0.3)
    assert chill(replace(SLAB, food=airier), 75.0, STILL_RACK, US).reached_end_s != here.reached_end_s


def test_a_liquid_turns_over_only_when_cooled_from_above():
    thick, liquid = ToChill("tomato_sauce", 0.05), ToChill("tomato_sauce", 0.05, contents="liquid")
    from_below = ChillMethod("below", 1.0, 5.0, 100.0, "no", "made up")
    assert (
        chill(liquid, 60.0, from_below, US).reached_end_s == chill(thick, 60.0, from_below, US).reached_end_s
    )
    assert chill(liquid, 60.0, STILL_PAN, US).reached_end_s < chill(thick, 60.0, STILL_PAN, US).reached_end_s


@pytest.mark.parametrize(
    "asked",
    [
        lambda: chill(SLAB, 101.0, STILL_RACK, US),
        lambda: chill(SLAB, math.nan, STILL_RACK, US),
        lambda: chill(ToChill("beef_lean", 0.0005), 60.0, STILL_RACK, US),
        lambda: chill(ToChill("beef_lean", 0.31), 60.0, STILL_RACK, US),
        lambda: chill(ToChill("beef_lean", 0.03, exponent=2.1), 60.0, STILL_RACK, US),
        lambda: chill(replace(SLAB, wet=1.1), 60.0, STILL_RACK, US),
        lambda: chill(SLAB, 60.0, STILL_RACK, US, BLAST_RACK, -1.0),
        lambda: replace(STILL_RACK, air_C=31.0),
        lambda: replace(STILL_RACK, top_W_m2K=-1.0),
        lambda: replace(STILL_RACK, bottom_C=-41.0),
        lambda: replace(STILL_RACK, humidity=1.1),
        lambda: ChillLimits(57.0, 60.0, 5.0, 1.0, 1.0),
        lambda: ChillLimits(57.0, 21.0, 5.0, 0.0, 1.0),
        lambda: last_useful_change_s(SLAB, 75.0, STILL_RACK, BLAST_RACK, US, 0.1),
        lambda: first_root(1.0, 0.0),
        lambda: box_exponent((0.0, 1.0, 1.0), 10.0),
        lambda: ellipsoid_exponent((0.02, 4.0, 1.0), 10.0),
        lambda: chill_grid(0.4, 0.0, np.ones((2, 151))),
    ],
)
def test_quantities_out_of_range_are_refused(asked):
    with pytest.raises(PhysicalRangeError):
        asked()


def test_an_unknown_food_is_refused():
    with pytest.raises(KeyError):
        chill(ToChill("nothing", 0.03), 60.0, STILL_RACK, US)
