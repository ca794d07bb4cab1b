"""The options of `dish`: each that says nothing usable is refused with its name, value and remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

from hearthtide.cli.dish_asked import Asked, house_asked, readings_of, stage_read
from hearthtide.errors import InputError
from hearthtide.house.files import portion, read_house

HOUSE = read_house(Path(__file__).parents[3] / "examples" / "brindlecote")
CHICKEN = HOUSE.dishes["half_chicken"]


def line(error: pytest.ExceptionInfo[InputError]) -> str:
    (finding,) = error.value.findings
    assert finding.expected and finding.remedy
    return str(finding)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("6:30", "6:30=41C"),
        ("=", "duration"),
        ("6:30=", "temperature"),
        ("6:30=41", "temperature"),
        ("half=41C", "duration"),
        ("6:30=41C=2", "temperature"),
        ("6:30=41 kg", "temperature"),
        ("0:00=41C", "above 0"),
        ("-3 min=41C", "above 0"),
        ("40:01=41C", "40:00"),
        ("6:30=410C", "120 °C"),
        ("6:30=-41C", "-20"),
    ],
)
def test_readings_that_are_none(text, word):
    with pytest.raises(InputError) as error:
        readings_of(Asked(probe=(text,)))
    said = line(error)
    assert "--probe" in said and text in said and word in said


def test_readings_in_either_unit_earliest_first():
    """106 °F is (106 - 32) / 1.8 = 41.1 °C (hand sum)."""
    late, early = readings_of(Asked(probe=("7 min=50 C", "6:30=106F")))[::-1]
    assert (early.time_s, late.time_s) == (390.0, 420.0)
    assert early.value_C == pytest.approx(41.11, abs=0.01)


def test_too_many_readings():
    with pytest.raises(InputError) as error:
        readings_of(Asked(probe=("6:30=41C",) * 13))
    assert "at most 12" in line(error)


@pytest.mark.parametrize(
    ("asked", "name", "word"),
    [
        (Asked(start_C=65.0), "--start-C", "below 65 °C, where warm through ends"),
        (Asked(start_C=80.0), "--start-C", "its file says 4 °C"),
        (Asked(start_C=-3.0), "--start-C", "ice"),
        (Asked(start_C=float("nan")), "--start-C", "-2 to 90"),
        (Asked(start_C=float("inf")), "--start-C", "-2 to 90"),
        (Asked(place="mouth"), "--place", "one of near, mid"),
        (Asked(place="under the table"), "--place", "one of near, mid"),
        (Asked(flame="roaring"), "--flame", "idle, low, half, high, full"),
    ],
)
def test_places_flames_and_starts_that_are_none(asked, name, word):
    with pytest.raises(InputError) as error:
        house_asked(HOUSE, "half_chicken", asked)
    said = line(error)
    assert name in said and word in said


def test_a_stage_wants_a_reading_and_a_name_that_is_there():
    with pytest.raises(InputError) as error:
        stage_read(Asked(stage="crisp"), CHICKEN)
    assert "--probe" in line(error)
    with pytest.raises(InputError) as error:
        stage_read(Asked(stage="soup", probe=("1:00=50C",)), CHICKEN)
    assert "warm through, crisp" in line(error)
    assert stage_read(Asked(stage="crisp", probe=("1:00=50C",)), CHICKEN) == 1
    assert stage_read(Asked(probe=("1:00=50C",)), CHICKEN) == 0
    assert stage_read(Asked(), CHICKEN) is None


def test_what_is_asked_changes_the_dish_and_nothing_else():
    asked = house_asked(HOUSE, "half_chicken", Asked(place="mid", start_C=9.5))
    assert portion(asked, "half_chicken").start_C == 9.5
    assert [stage.places for stage in asked.dishes["half_chicken"].stages] == [("mid",), ("near",)]
    assert asked.dishes["pizza"] is HOUSE.dishes["pizza"]
    assert HOUSE.dishes["half_chicken"].start == 4.0
