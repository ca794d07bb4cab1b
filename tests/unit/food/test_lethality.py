import importlib.resources
import math
import re
from dataclasses import replace

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.exposure import REST, Exposure
from hearthtide.food.lethality import CAUTION, Lethality, judge, log_reduction, organism
from hearthtide.food.model import advance, flip, prepare, start
from hearthtide.food.spec import Body, FoodLayer, Platter, Portion
from hearthtide.food.worst_point import counting, worst_now
from hold_tables import (
    equivalent_course_s,
    equivalent_s,
    hold_s,
    hold_table,
    organism_names,
    table_names,
    table_share,
)
from legs import Leg, as_laid_C, through, worst_point

KEYS = set(
    re.findall(
        r"@\w+\{([^,]+),",
        importlib.resources.files("hearthtide").joinpath("data", "sources-food.bib").read_text("utf-8"),
    )
)
HOT = Exposure("stone", 300.0, 14_000.0, (18_000.0, 14_000.0, 10_000.0, 14_000.0), 350.0)
STEAK = Portion(
    "steak", (FoodLayer("beef_strip", 0.025),), 0.025, 4.0, platter=Platter("cast_iron", 2.0, 0.04, 320.0)
)
E_COLI = organism("e_coli_beef")


@pytest.mark.parametrize("name", organism_names())
def test_every_organism_is_sourced_and_dies_in_warm_food(name):
    found = organism(name)
    assert found.source in KEYS
    assert 50 <= found.T_ref_C <= 70
    assert 4 <= found.z_K <= 12
    assert found.D_s > 0


@pytest.mark.parametrize("name", table_names())
def test_every_table_is_sourced_and_falls_as_it_gets_hotter(name):
    found = hold_table(name)
    assert found.source in KEYS
    assert np.all(np.diff(found.temperatures_C) > 0)
    assert np.all(np.diff(found.seconds) < 0)


def test_seven_logs_of_beef_never_take_less_than_six_and_a_half():
    six, seven = hold_table("beef_6_5_log"), hold_table("beef_7_log")
    assert six.temperatures_C == seven.temperatures_C
    assert np.all(np.array(seven.seconds) >= np.array(six.seconds))


def test_unknown_names_are_told_the_known_ones():
    with pytest.raises(KeyError, match="salmonella_beef"):
        organism("no such thing")


def test_a_linear_come_up_is_exact_whatever_the_step():
    # From a to b at a steady rate r the integral is z / (r ln 10) (10^((b - Tref)/z) - 10^((a - Tref)/z)).
    a, b, seconds, z = 40.0, 65.0, 600.0, 6.0
    slope = (b - a) / seconds
    exact = z / (slope * math.log(10)) * (10 ** ((b - 60) / z) - 10 ** ((a - 60) / z))
    for steps in (1, 7, 600):
        times_s = np.linspace(0, seconds, steps + 1)
        assert equivalent_s(times_s, (a + slope * times_s)[:, None], 60.0, z)[0] == pytest.approx(exact)


def test_above_boiling_counts_as_boiling():
    times_s = np.array([0.0, 10.0])
    at_100, at_180 = (equivalent_s(times_s, np.full((2, 1), t), 95.0, 10.0) for t in (100.0, 180.0))
    assert at_180 == pytest.approx(at_100)


def test_the_course_ends_at_the_whole():
    times_s = np.array([0.0, 1.0, 3.0])
    temps_C = np.array([[50.0, 60.0], [55.0, 60.0], [55.0, 70.0]])
    course = equivalent_course_s(times_s, temps_C, 60.0, 5.0)
    assert course[0].tolist() == [0.0, 0.0]
    assert course[-1] == pytest.approx(equivalent_s(times_s, temps_C, 60.0, 5.0))


@pytest.mark.parametrize(
    ("times_s", "temps_C", "z_K"),
    [
        ([0.0, 0.0], [[60.0], [60.0]], 5.0),
        ([0.0, 1.0], [[60.0], [math.nan]], 5.0),
        ([0.0, 1.0, 2.0], [[60.0], [60.0]], 5.0),
        ([0.0, 1.0], [[60.0], [60.0]], 0.0),
    ],
    ids=["no time", "not a number", "shapes", "z"],
)
def test_histories_that_make_no_sense_are_refused(times_s, temps_C, z_K):
    with pytest.raises(PhysicalRangeError):
        equivalent_s(np.array(times_s), np.array(temps_C), 60.0, z_K)


def test_below_its_first_row_a_table_counts_nothing_and_above_its_last_no_more():
    table = hold_table("beef_6_5_log")
    assert hold_s(table, np.array([54.0, 95.0])) == pytest.approx([math.inf, 14.0])
    assert table_share(np.array([0.0, 1e5]), np.full((2, 1), 54.0), table)[0] == 0.0


def test_over_a_gap_the_slower_row_holds():
    # Rows at 144 and 160 °F, 62.2 and 71.1 °C: nothing between was read.
    table = hold_table("chicken_12_fat_7_log")
    assert hold_s(table, np.array([62.3, 71.0, 71.2])) == pytest.approx([996.0, 996.0, 26.9])


def test_dry_faces_are_never_credited_and_the_worst_of_the_rest_counts():
    seconds = E_COLI.D_s * np.array([0.5, 9.0, 3.0, 8.0, 99.0])
    found = judge(seconds, np.array([0.0, 0.005, 0.01, 0.015, 0.02]), E_COLI)
    assert found.core_log == pytest.approx(3.0)
    assert found.worst_m == 0.01
    assert found.log == pytest.approx([0.0, 9.0, 3.0, 8.0, 0.0])
    assert found.credited.tolist() == [False, True, True, True, False]
    assert found.words == (
        "3.0 log at the worst point inside, 10 mm above the side first laid down, of 20 mm; "
        "dry surface, not validated"
    )
    assert "Probe" in CAUTION


def test_a_depth_that_has_dried_is_not_credited_either():
    seconds = E_COLI.D_s * np.array([0.5, 1.0, 3.0, 8.0, 99.0])
    heights_m = np.linspace(0.0, 0.02, 5)
    found = judge(seconds, heights_m, E_COLI, np.array([True, True, False, False, True]))
    assert found.core_log == pytest.approx(3.0)
    assert judge(seconds, heights_m, E_COLI, np.ones(5, dtype=bool)).core_log == 0.0


def test_the_dried_rim_of_a_hard_cook_is_not_credited():
    food = counting(prepare(STEAK), E_COLI)
    seared = advance(food, start(food), HOT, 900.0)
    found = worst_now(food, seared, E_COLI)
    assert not found.credited[1] and found.credited[4:8].all()


def test_what_was_crust_once_is_not_credited_when_juice_has_wetted_it_again():
    food = counting(prepare(STEAK), E_COLI)
    state = advance(food, start(food), HOT, 240.0)
    inside = slice(1, column.NODES - 1)
    cells = state.cells.copy()
    cells[0, inside] = cells[0, column.PEAK : column.HOLDS][inside] = 60.0
    cells[0, column.WATER : column.PEAK] = food.forms[0].cut.grids[0][column.WATER_0]
    assert worst_now(food, replace(state, cells=cells), E_COLI).credited[inside].all()
    cells[0, column.PEAK + 2] = 130.0
    credited = worst_now(food, replace(state, cells=cells), E_COLI).credited
    assert np.flatnonzero(~credited).tolist() == [0, 2, 11]


@pytest.mark.parametrize(
    ("logs", "told"),
    [(6.499, "6.4 log"), (6.46, "6.4 log"), (0.3, "0.3 log"), (0.0, "0.0 log"), (12.0, "12.0 log")],
)
def test_logs_are_never_told_higher_than_computed(logs, told):
    assert Lethality(np.zeros(3), np.ones(3, dtype=bool), logs, 0.01, 0.02).words.startswith(told)


def test_beyond_twelve_logs_no_figure_is_told():
    found = Lethality(np.zeros(3), np.ones(3, dtype=bool), 87_654.3, 0.01, 0.02)
    assert found.words.startswith("more than 12 log at the worst point")
    assert (found.told_log, found.beyond) == (12.0, True)


def test_the_worst_height_is_told_as_it_was_laid_also_after_a_flip():
    """On hot stone below, hardly any heat from above: killed least near the top, which a flip lays down."""
    food = counting(prepare(STEAK), E_COLI)
    state = advance(food, start(food), Exposure("stone", 350.0, 0.0, (0.0,) * 4, 60.0), 420.0)
    before, after = (worst_now(food, each, E_COLI) for each in (state, flip(food, state)))
    assert before.worst_m > 0.015
    assert after.worst_m == pytest.approx(before.worst_m)
    assert after.log == pytest.approx(before.log)


@pytest.mark.parametrize("turned", [False, True], ids=["upright", "over"])
@pytest.mark.parametrize("body", [Body("ellipse", 0.05), Body("dome", 0.09, 0.6)], ids=["log", "half bird"])
def test_the_worst_place_of_a_round_piece_is_told_by_its_depth(body, turned):
    """The middle, whichever wedge is asked and whichever way up: half of the thickness under the skin."""
    portion = Portion("round", (FoodLayer("chicken_breast_raw", 0.035),), 0.01, 4.0, body=body)
    food = counting(prepare(portion), E_COLI)
    for stone_C in (300.0, 200.0):
        heat = Exposure("stone", stone_C, 14_000.0, (14_000.0,) * 4, 350.0)
        state = advance(food, start(food), heat, 600.0)
        found = worst_now(food, flip(food, state) if turned else state, E_COLI)
        assert found.thickness_m == pytest.approx(0.035)
        assert 0.01 < found.worst_m <= 0.0175
        assert "under the skin, 35 mm thick" in found.words


def test_a_face_alone_is_no_body():
    with pytest.raises(PhysicalRangeError, match="3 or more"):
        judge(np.ones(2), np.ones(2), E_COLI)


def test_rest_counts():
    food = prepare(STEAK)
    cooked = (Leg(HOT, 240.0), Leg(HOT, 200.0, turned=True))
    pulled = worst_point(food, start(food), cooked, E_COLI)
    rested = worst_point(food, start(food), (*cooked, Leg(REST, 300.0)), E_COLI)
    assert rested.core_log > 2 * pulled.core_log > 0
    assert 0 < rested.worst_m < rested.thickness_m == pytest.approx(0.025)


def test_nodes_keep_their_place_when_the_portion_is_turned():
    food = prepare(STEAK)
    state = advance(food, start(food), HOT, 60.0)
    turned = through(food, state, (Leg(HOT, 0.5, turned=True),))
    # What met the platter stays the first node, and is still the hotter face.
    assert as_laid_C(turned)[0] > as_laid_C(turned)[-1]
    assert np.abs(as_laid_C(turned) - as_laid_C(state))[1:-2].max() < 0.5
    assert as_laid_C(flip(food, turned)) == pytest.approx(as_laid_C(turned))


def test_what_the_loops_sum_up_agrees_with_the_course_by_hand():
    food = counting(prepare(STEAK), E_COLI)
    state, node_C = start(food), []
    for _ in range(301):
        node_C.append(as_laid_C(state))
        state, before = advance(food, state, HOT, 1.0), state
    found = worst_now(food, before, E_COLI)
    held_C = np.minimum(node_C, 100.0)
    rates = 10 ** ((held_C - E_COLI.T_ref_C) / E_COLI.z_K)
    by_hand = log_reduction((0.5 * (rates[1:] + rates[:-1])).sum(axis=0), E_COLI)
    seconds = equivalent_s(np.arange(301.0), np.array(node_C), E_COLI.T_ref_C, E_COLI.z_K)
    assert log_reduction(seconds, E_COLI) == pytest.approx(by_hand, rel=0.02)
    assert found.log[found.credited] == pytest.approx(by_hand[found.credited], rel=0.05)
