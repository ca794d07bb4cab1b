import math

import pytest

from hearthtide import quantities


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0, "00:00"), (68_835, "19:07:15"), (69_720, "19:22"), (90_600, "25:10"), (59.6, "00:01")],
)
def test_a_clock_shows_seconds_only_where_there_are_some(seconds, text):
    assert quantities.clock_text(seconds) == text


@pytest.mark.parametrize(("seconds", "text"), [(450, "7:30"), (45, "0:45"), (7200, "120:00"), (0, "0:00")])
def test_a_duration_is_minutes_and_seconds(seconds, text):
    assert quantities.duration_text(seconds) == text


@pytest.mark.parametrize("seconds", [-1, math.inf, math.nan])
def test_no_time_is_made_up_for_impossible_seconds(seconds):
    with pytest.raises(ValueError, match="expected seconds"):
        quantities.clock_text(seconds)


def test_temperatures_and_lengths_in_the_unit_asked_for():
    assert quantities.temperature_text(345) == "345 °C"
    assert quantities.temperature_text(345, unit="F") == "653 °F"  # 345 * 1.8 + 32
    assert quantities.length_text(0.3302) == "33 cm"
    assert quantities.length_text(0.3302, "in") == "13 in"
    assert quantities.length_text(1.2, "m") == "1.2 m"


@pytest.mark.parametrize(
    ("value", "example", "text"),
    [
        (0.6, "13 in", "23.6 in"),
        (150, "900 F", "302 F"),
        (120_000, "3 kW", "120 kW"),
        (60, "7:30", "1:00"),
        (0.5, "20 %", "50 %"),
        (3, "7", "3"),
        (3, "", "3"),
    ],
)
def test_a_value_is_told_in_the_manner_it_was_written_in(value, example, text):
    assert quantities.written_like(value, example) == text
