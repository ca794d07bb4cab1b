import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.food.exposure import REST, Exposure
from hearthtide.food.lethality import judge, organism
from hearthtide.food.model import prepare, start
from hearthtide.food.spec import FoodLayer, Portion
from hold_tables import (
    equivalent_course_s,
    equivalent_s,
    hold_s,
    hold_table,
    organism_names,
    table_names,
    table_share,
)
from legs import Leg, worst_point

organisms = st.sampled_from(organism_names()).map(organism)
tables = st.sampled_from(table_names()).map(hold_table)
temperatures = st.floats(-10, 120)
histories = st.integers(2, 30).flatmap(
    lambda n: st.tuples(
        st.lists(st.floats(0.1, 60), min_size=n - 1, max_size=n - 1).map(
            lambda steps: np.concatenate(([0.0], np.cumsum(steps)))
        ),
        st.lists(st.lists(temperatures, min_size=4, max_size=4), min_size=n, max_size=n).map(np.array),
    )
)


@given(histories, organisms)
def test_lethality_only_grows_with_time(history, target):
    course = equivalent_course_s(*history, target.T_ref_C, target.z_K)
    assert np.all(np.diff(course, axis=0) >= 0)


@given(histories, organisms, st.floats(0, 20))
def test_hotter_never_kills_less(history, target, warmer_K):
    times_s, temps_C = history
    mild = equivalent_s(times_s, temps_C, target.T_ref_C, target.z_K)
    hot = equivalent_s(times_s, temps_C + warmer_K, target.T_ref_C, target.z_K)
    assert np.all(hot >= mild * (1 - 1e-12))


@given(histories, tables, st.floats(0, 20))
def test_hotter_never_takes_a_longer_hold(history, table, warmer_K):
    times_s, temps_C = history
    assert np.all(hold_s(table, temps_C + warmer_K) <= hold_s(table, temps_C) * (1 + 1e-12))
    mild, hot = (table_share(times_s, t, table) for t in (temps_C, temps_C + warmer_K))
    assert np.all(hot >= mild * (1 - 1e-12))


@given(histories, organisms)
def test_the_worst_is_no_better_than_any_credited_depth(history, target):
    seconds = equivalent_s(*history, target.T_ref_C, target.z_K)
    found = judge(seconds, np.linspace(0.0, 0.03, 4), target)
    assert np.all(found.core_log <= found.log[found.credited])
    assert found.core_log in found.log[found.credited]
    assert np.all(found.log[~found.credited] == 0.0)


@given(st.floats(0, 100), st.floats(1, 1e5), st.integers(1, 50), organisms)
def test_a_hold_at_one_temperature_follows_the_closed_form(held_C, seconds, steps, target):
    times_s = np.linspace(0.0, seconds, steps + 1)
    found = equivalent_s(times_s, np.full((steps + 1, 1), held_C), target.T_ref_C, target.z_K)[0]
    assert found == pytest.approx(seconds * 10 ** ((held_C - target.T_ref_C) / target.z_K), rel=1e-9)


@given(st.floats(0, 60), st.floats(0.5, 35), st.floats(10, 1e4), organisms)
def test_a_straight_come_up_follows_the_closed_form(from_C, rise_K, seconds, target):
    times_s = np.linspace(0.0, seconds, 11)
    found = equivalent_s(times_s, (from_C + rise_K * times_s / seconds)[:, None], target.T_ref_C, target.z_K)
    first, last = (10 ** ((t - target.T_ref_C) / target.z_K) for t in (from_C, from_C + rise_K))
    exact = seconds * target.z_K / (rise_K * np.log(10)) * (last - first)
    assert found[0] == pytest.approx(exact, rel=1e-6)


@given(histories, organisms, st.integers(1, 5))
def test_more_samples_on_the_same_lines_change_nothing(history, target, parts):
    times_s, temps_C = history
    fine_s = np.interp(np.arange(parts * (times_s.size - 1) + 1) / parts, np.arange(times_s.size), times_s)
    fine_C = np.array([np.interp(fine_s, times_s, node) for node in np.minimum(temps_C, 100.0).T]).T
    coarse = equivalent_s(times_s, np.minimum(temps_C, 100.0), target.T_ref_C, target.z_K)
    assert equivalent_s(fine_s, fine_C, target.T_ref_C, target.z_K) == pytest.approx(coarse, rel=1e-6)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.01, 0.04), st.floats(200, 400), st.integers(60, 400), st.integers(60, 300), organisms)
def test_a_rest_and_a_longer_cook_never_undo_what_was_killed(thickness_m, stone_C, cook_s, rest_s, target):
    food = prepare(Portion("piece", (FoodLayer("beef_strip", thickness_m),), 0.02, 4.0))
    heat = Exposure("stone", stone_C, 12_000.0, (12_000.0,) * 4, stone_C)
    short = worst_point(food, start(food), (Leg(heat, float(cook_s)),), target)
    longer = worst_point(food, start(food), (Leg(heat, cook_s + 60.0),), target)
    rested = worst_point(food, start(food), (Leg(heat, float(cook_s)), Leg(REST, float(rest_s))), target)
    for later in (longer, rested):
        both = short.credited & later.credited
        assert np.all(later.log[both] >= short.log[both])
