"""Members of a chilling: drawn evenly, met by each method as their draw says, weighed by readings."""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.band import band
from hearthtide.food.chill_band import (
    STEP_S,
    ChillDoubt,
    ChillMember,
    Cooling,
    chill_all,
    chill_members,
    chill_one,
    last_changes_s,
    parts_s,
    slow_member,
    thickest_m,
    weighed,
)
from hearthtide.food.chill_methods import BLAST_RACK, COVERED_PAN, ICE_BATH, STILL_PAN, STILL_RACK, LID_W_m2K
from hearthtide.food.chilling import ChillLimits, ToChill, chill, last_useful_change_s, makes_it
from hearthtide.food.probe import Reading

US = ChillLimits(57.0, 21.0, 5.0, 7200.0, 21_600.0)
SLAB = ToChill("chicken_cooked", 0.04)
RACK = Cooling(SLAB, 75.0, STILL_RACK, US)
NONE = ChillDoubt(**{field.name: 0.0 for field in fields(ChillDoubt)})
PLAIN = chill_members(NONE, 1)[0]


def test_the_same_seed_draws_the_same_members_and_another_seed_others() -> None:
    one, again, other = (chill_members(None, 8, seed) for seed in (3, 3, 4))
    assert one == again
    assert one != other


def test_draws_have_the_deviations_of_the_doubt() -> None:
    members, doubt = chill_members(members=400), ChillDoubt()
    of = {name: np.array([getattr(m, name) for m in members]) for name in vars(members[0])}
    assert np.std(np.log(of["thickness"])) == pytest.approx(doubt.thickness, rel=0.05)
    assert np.std(np.log(of["conducts"])) == pytest.approx(doubt.conductivity, rel=0.05)
    assert np.std(np.log(of["film"])) == pytest.approx(doubt.film, rel=0.05)
    assert np.std(np.log(of["film_then"])) == pytest.approx(doubt.film, rel=0.05)
    assert np.std(of["start_K"]) == pytest.approx(doubt.start_K, rel=0.05)
    assert np.std(of["air_K"]) == pytest.approx(doubt.air_K, rel=0.05)
    assert abs(np.corrcoef(of["film"], of["film_then"])[0, 1]) < 0.2


def test_without_doubt_a_member_is_the_one_solver() -> None:
    course = chill(SLAB, 75.0, STILL_RACK, US, step_s=STEP_S)
    assert chill_one(PLAIN, RACK).reached_end_s == course.reached_end_s


def test_a_members_step_is_as_good_as_said() -> None:
    for method in (STILL_RACK, ICE_BATH):
        coarse = chill(SLAB, 75.0, method, US, step_s=STEP_S).reached_middle_s
        fine = chill(SLAB, 75.0, method, US, step_s=0.5).reached_middle_s
        assert coarse == pytest.approx(fine, rel=0.01)


def test_a_member_meets_its_film_with_its_radiation_and_its_air() -> None:
    member = replace(PLAIN, film=1.2, film_then=0.8, air_K=1.5)
    met = member.meets(STILL_RACK)
    assert (met.top_W_m2K, met.bottom_W_m2K, met.radiation_W_m2K) == pytest.approx((12.0, 9.0, 6.0))
    assert met.air_C == pytest.approx(4.5)
    assert member.meets(STILL_RACK, later=True).top_W_m2K == pytest.approx(8.0)


def test_melting_ice_keeps_its_temperature() -> None:
    assert replace(PLAIN, air_K=3.0).meets(ICE_BATH).air_C == 0.5


def test_a_better_conductor_chills_sooner() -> None:
    good = replace(SLAB, conducts=1.3)
    assert chill(good, 75.0, ICE_BATH, US).reached_end_s < chill(SLAB, 75.0, ICE_BATH, US).reached_end_s


def test_a_lid_as_a_method_is_the_lid_of_the_library() -> None:
    """Its film in a row with the air's, and no vapour: the two ways of saying it agree."""
    assert COVERED_PAN.top_W_m2K == pytest.approx(1 / (1 / LID_W_m2K + 1 / STILL_PAN.top_W_m2K), rel=0.01)
    as_method = chill(SLAB, 75.0, COVERED_PAN, US).reached_middle_s
    as_lid = chill(replace(SLAB, lid=True), 75.0, STILL_PAN, US).reached_middle_s
    assert as_method == pytest.approx(as_lid, rel=0.01)


def test_times_count_from_the_beginning_and_never_is_inf() -> None:
    run = chill_all((PLAIN,), RACK)
    (course,) = run.courses
    assert run.from_s[0] == course.started_s
    assert run.middle_s[0] == course.started_s + course.reached_middle_s
    assert run.kept[0] == makes_it(course, US)
    warm = chill_all((PLAIN,), replace(RACK, method=replace(STILL_RACK, air_C=12.0, evaporates="no")))
    assert warm.end_s[0] == math.inf and warm.kept[0] == 0


def test_a_reading_far_from_all_members_contradicts_and_says_how_far() -> None:
    members = chill_members(members=32)
    low = weighed(members, RACK, (Reading(3600.0, 10.0),))
    assert low.contradicted and low.off_K < -5
    with pytest.raises(PhysicalRangeError):
        weighed(members, RACK, ())


def test_a_warmer_reading_foretells_a_later_end() -> None:
    members = chill_members(members=64)
    ends = chill_all(members, RACK).end_s
    cool, warm = (
        band(ends, weighed(members, RACK, (Reading(3600.0, value),)).weights) for value in (44.0, 50.0)
    )
    assert cool.median < warm.median
    assert cool.high - cool.low < band(ends).high - band(ends).low


def test_a_reading_below_the_last_mark_is_compared_with_courses_that_run_on() -> None:
    """The members' courses do not stop at 5 °C: hours later they are near the air's 3 °C."""
    members = chill_members(members=32)
    assert not weighed(members, RACK, (Reading(20 * 3600.0, 3.0),)).contradicted


def test_last_changes_are_each_members_own() -> None:
    last_s = last_changes_s((PLAIN,), RACK, BLAST_RACK)[0]
    alone = last_useful_change_s(SLAB, 75.0, STILL_RACK, BLAST_RACK, US, 120.0, STEP_S)
    assert last_s == alone
    thick = replace(RACK, what=replace(SLAB, thickness_m=0.15))
    assert last_changes_s((PLAIN,), thick, BLAST_RACK)[0] == -math.inf
    assert last_changes_s((PLAIN,), replace(RACK, method=BLAST_RACK), STILL_RACK)[0] == math.inf


def test_parts_are_of_one_doubt_each() -> None:
    nominal_s = chill_all((PLAIN,), RACK).middle_s[0]
    for quick_s, slow_s in parts_s(RACK).values():
        assert quick_s < nominal_s < slow_s
    assert parts_s(RACK, NONE)["film"] == (nominal_s, nominal_s)
    # In ice water the film hardly counts, in still air it counts most.
    ice = {name: slow - quick for name, (quick, slow) in parts_s(replace(RACK, method=ICE_BATH)).items()}
    air = {name: slow - quick for name, (quick, slow) in parts_s(RACK).items()}
    assert max(air, key=air.__getitem__) == "film"
    assert ice["thickness"] > ice["film"]


def test_a_tenth_of_the_members_use_more_of_the_limits_than_the_slow_one() -> None:
    members = chill_members(members=50)
    for limits in (US, ChillLimits(60.0, 21.0, 5.0, 7200.0, math.inf, 14_400.0)):
        cooling = replace(RACK, limits=limits)
        run = chill_all(members, cooling)
        used = chill_all((slow_member(members, run),), cooling).used[0]
        assert int(np.sum(run.used > used)) == 5
        assert list(run.kept) == [makes_it(course, limits) for course in run.courses]


def test_the_thickest_that_keeps_the_limits_keeps_them_and_a_thicker_one_does_not() -> None:
    most_m = thickest_m(RACK, PLAIN)
    assert most_m is not None

    def keeps(thickness_m: float) -> bool:
        return makes_it(
            chill(replace(SLAB, thickness_m=thickness_m), 75.0, STILL_RACK, US, step_s=STEP_S), US
        )

    assert keeps(most_m) and not keeps(most_m + 0.0006)
    warm = replace(RACK, method=replace(STILL_RACK, air_C=12.0, evaporates="no"))
    assert thickest_m(warm, PLAIN) is None


@pytest.mark.parametrize(
    "asked",
    [
        lambda: ChillDoubt(thickness=1.1),
        lambda: ChillDoubt(film=-0.1),
        lambda: ChillDoubt(air_K=21.0),
        lambda: ChillDoubt(start_K=math.nan),
        lambda: chill_members(members=0),
        lambda: chill(SLAB, 75.0, STILL_RACK, US, step_s=0.0),
    ],
)
def test_doubts_and_numbers_out_of_range_are_refused(asked) -> None:
    with pytest.raises(PhysicalRangeError):
        asked()


def test_a_draw_beyond_the_grid_is_kept_inside() -> None:
    wild = ChillMember(10.0, 1.0, 500.0, 100.0, 500.0, 0.001)
    assert wild.food(SLAB).thickness_m == 0.3
    assert wild.start(75.0) == 100.0
    assert wild.meets(STILL_RACK).air_C == 30.0
    assert wild.meets(STILL_RACK).top_W_m2K == 20.0
    assert wild.meets(STILL_RACK, later=True).top_W_m2K == 5.0
