"""The page of comparisons from a few invented ones, and what a page is told to lack."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from published import Case, case_of, check
from validation_page import differences, page


def told(what: str, order: int = 0, **compared: Any) -> Case:
    case = case_of("conduction", what, "a book", **compared)
    return replace(case, held_by="reference/heat", order=order)


HOLDS = told("a wall", expected=80.0, computed=80.31, relative=0.005, unit="°C")
MISS = told("a slab", 3, expected=(2, 5), computed=8.24, unit="K", missed="too hot")
MANY = (
    told("a rod", 1, expected=1.0, computed=1.02, absolute=0.1, at="north"),
    told("a rod", 2, expected=1.0, computed=0.93, absolute=0.1, at="south"),
)
PAGE = page((MISS, *MANY, HOLDS), "Notes.\n")


def test_rows_say_what_was_compared_and_how_it_came_out() -> None:
    assert "| a wall | a book | 80 °C | 80.31 °C | 0.5 % | agrees | `reference/heat` |" in PAGE
    assert "| a slab | a book | 2 to 5 K | 8.2 K | the range | too hot | `reference/heat` |" in PAGE
    assert PAGE.index("a wall") < PAGE.index("a rod") < PAGE.index("## Misses") < PAGE.index("a slab")
    assert PAGE.endswith("\nNotes.\n")


def test_one_row_shows_the_worst_of_many() -> None:
    assert "| a rod | a book | 1 | 0.93 | 0.1 | agrees (worst of 2, south) | `reference/heat` |" in PAGE
    assert PAGE.count("a rod") == 1


@pytest.mark.parametrize(
    ("compared", "expected", "computed"),
    [
        ({"expected": (-math.inf, 102.0), "computed": 101.25, "unit": "°C"}, "at most 102 °C", "101.2 °C"),
        ({"expected": (5.9, math.inf), "computed": 7.0, "unit": "log"}, "at least 5.9 log", "7.00 log"),
        ({"expected": 0.0, "computed": -3e-16, "absolute": 1e-10}, "0", "0"),
        ({"expected": 2 / 3, "computed": 0.6666666, "relative": 1e-9}, "0.666667", "0.666667"),
        ({"expected": 36_980.0, "computed": 36_984.4, "relative": 0.005, "unit": "W"}, "36980 W", "36984 W"),
    ],
)
def test_digits_follow_the_tolerance(compared: dict[str, Any], expected: str, computed: str) -> None:
    assert f"| a book | {expected} | {computed} |" in page([told("a thing", **compared)], "")


def test_an_agreement_lost_and_a_miss_mended_fail() -> None:
    check(HOLDS)
    check(MISS)
    with pytest.raises(AssertionError, match="a wall"):
        check(replace(HOLDS, computed=81.0))
    with pytest.raises(AssertionError, match="no longer a miss"):
        check(replace(MISS, computed=4.0))


@pytest.mark.parametrize(
    "compared",
    [
        {"expected": 1.0, "computed": 1.0},
        {"expected": 1.0, "computed": 1.0, "relative": 0.1, "absolute": 0.1},
        {"expected": (1.0, 2.0), "computed": 1.0, "relative": 0.1},
        {"expected": 1.0, "computed": math.nan, "relative": 0.1},
    ],
)
def test_a_tolerance_is_stated_once_and_numbers_are_finite(compared: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="a thing"):
        told("a thing", **compared)


def test_a_page_that_is_what_the_tests_state_lacks_nothing() -> None:
    assert differences(PAGE, PAGE) == []
    assert differences(PAGE.replace("80.31 °C", "80.32 °C"), PAGE) == []


@pytest.mark.parametrize(
    ("was", "becomes", "said"),
    [
        ("80.31 °C", "80.41 °C", "lacks:    | a wall"),
        ("| a book | 80 °C", "| a book | 81 °C", "lacks:    | a wall"),
        ("too hot", "too cold", "outdated: | a slab"),
        ("Notes.", "Other notes.", "lacks:    Notes."),
    ],
)
def test_what_a_page_lacks_is_said(was: str, becomes: str, said: str) -> None:
    assert any(line.startswith(said) for line in differences(PAGE.replace(was, becomes), PAGE))


def test_a_row_too_many_is_said() -> None:
    assert any("a slab" in line for line in differences(PAGE, page((*MANY, HOLDS), "Notes.\n")))
