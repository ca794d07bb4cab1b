"""`dish` with bands: a cook asks, puts a probe in, and is told what is left, or that it cannot be."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from asked_once import once
from at_the_prompt import typed
from hearthtide.cli import dish_command
from hearthtide.planning.settled import settled

HOUSE = Path(__file__).parents[3] / "examples" / "brindlecote"


@pytest.fixture(scope="module", autouse=True)
def settled_once():
    """The house's oven is heated up once for all the dishes asked of it in this process."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(dish_command, "settled", once(settled))
        yield


@cache
def dish(*words: str) -> CompletedProcess[str]:
    done = typed("dish", HOUSE, *words)
    assert "Traceback" not in done.stderr
    return done


def rows(*words: str) -> list[dict[str, object]]:
    done = dish(*words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)["tried"]


CHICKEN = ("half_chicken", "--place", "mid")


def first(*words: str) -> dict[str, object]:
    return rows(*words)[0]


def test_every_time_has_a_band_around_it():
    for row in rows(*CHICKEN):
        assert row["seconds_low"] < row["seconds_median"] < row["seconds_high"]
        assert row["seconds_low"] <= row["seconds"] <= row["seconds_high"]
        assert row["colour_low"] <= row["colour_high"]
        assert row["burn_margin_low_s"] <= row["burn_margin_s"] <= row["burn_margin_high_s"]
        assert row["left"] is None and not row["narrowed"]


def test_the_first_stage_says_what_thickness_and_start_alone_make_of_it():
    for row in rows(*CHICKEN):
        assert (row["parts"] is not None) == (row["stage"] == "warm through")
    row, parts = first(*CHICKEN), first(*CHICKEN)["parts"]
    assert row["seconds_low"] < parts["thickness_low_s"] < row["seconds"]
    assert row["seconds"] < parts["thickness_high_s"] < row["seconds_high"]
    # 4 °C, 2 K doubtful, of the 61 K to 65 °C: the start counts for less than the thickness's square.
    assert parts["thickness_low_s"] < parts["start_low_s"] < row["seconds"]
    assert row["seconds"] < parts["start_high_s"] < parts["thickness_high_s"]
    assert "of that the thickness alone (6% either way)" in dish(*CHICKEN).stdout


def test_a_reading_says_what_is_left_and_narrows_it():
    """The reading is about what the models' middle course shows, so that the median hardly moves."""
    before, after = rows(*CHICKEN)[1], first(*CHICKEN, "--probe", "6:30=35C")
    assert after["stone_C"] == before["stone_C"]  # the middle one of three spots
    left = after["left"]
    assert not left["contradicted"] and left["within_40_min"]
    assert left["seconds_low"] < left["seconds"] < left["seconds_high"]
    assert left["seconds_high"] - left["seconds_low"] < 0.6 * (before["seconds_high"] - before["seconds_low"])
    assert 390 + left["seconds"] == pytest.approx(before["seconds_median"], rel=0.1)


def test_a_warmer_reading_leaves_less_and_the_next_stage_hears_of_it():
    cool, warm = (rows(*CHICKEN, "--probe", f"6:30={c}C") for c in (35, 42))
    assert warm[0]["left"]["seconds"] < cool[0]["left"]["seconds"]
    assert [row["narrowed"] for row in cool] == [row["stage"] == "crisp" for row in cool]


def test_a_reading_in_a_later_stage_is_read_there():
    found = rows(*CHICKEN, "--stage", "crisp", "--probe", "1:00=69C")
    assert [row["left"] is not None for row in found] == [row["stage"] == "crisp" for row in found]
    assert all(10 < row["left"]["seconds"] < 90 for row in found if row["left"])


def test_a_reading_that_cannot_be_is_said_to_be_so_and_ends_with_exit_1():
    done = dish(*CHICKEN, "--probe", "6:30=5C", "--json")
    assert done.returncode == 1
    left = json.loads(done.stdout)["tried"][0]["left"]
    assert left["contradicted"] and left["seconds"] is None and left["off_K"] < -5
    said = dish("pizza", "--place", "mid", "--probe", "2:00=25C")
    assert said.returncode == 1
    assert "contradicts the models" in said.stdout and "°C below" in said.stdout
    assert " left (" not in said.stdout


def test_words_with_a_reading_keep_their_caution():
    said = dish("pizza", "--place", "mid", "--probe", "1:00=70C", "--start-C", "18", "--flame", "half")
    assert said.returncode == 0, said.stderr
    assert "From 18 °C, flame half" in said.stdout
    assert "70 °C at 1:00" in said.stdout and " left (" in said.stdout
    assert "temp it" in said.stdout and "not readings" in said.stdout and "No rule set" in said.stdout


def test_a_warmer_start_and_a_higher_flame_are_sooner():
    plain, full = first("pizza"), first("pizza", "--flame", "full")
    assert first("pizza", "--start-C", "35")["seconds_median"] < plain["seconds_median"]
    assert full["seconds_median"] < plain["seconds_median"]
    assert full["stone_C"] > plain["stone_C"]


def test_one_place_is_told_alone():
    assert {row["place"] for row in rows("pizza")} == {"mid", "edge"}
    assert {row["place"] for row in rows("pizza", "--place", "edge")} == {"edge"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("half_chicken", "--start-C", "70"), ("--start-C = 70 °C", "below 65 °C", "4 °C")),
        (("half_chicken", "--place", "mouth"), ("--place = mouth", "near, mid")),
        (("half_chicken", "--flame", "roaring"), ("--flame = roaring", "idle, low, half, high, full")),
        (("half_chicken", "--probe", "6:30=410C"), ("--probe = 6:30=410C", "120 °C", "unit")),
        (("half_chicken", "--probe", "39:00=60C"), ("--probe = 39:00=60C", "slowest", "--stage")),
        (("soup", "--probe", "6:30=41C"), ("DISH = soup", "half_chicken")),
    ],
)
def test_one_clear_line_and_exit_2(words, said):
    done = dish(*words)
    assert done.returncode == 2
    (line,) = [line for line in done.stderr.splitlines() if "expected" in line]
    assert all(word in line for word in said)
    assert done.stdout == ""
