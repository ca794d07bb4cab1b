"""Readings are compared as they were read; local times are asked about where the clocks change."""

from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from pydantic import ValidationError

from hearthtide.safety.readings import (
    Limit,
    TwoTimes,
    at_or_above,
    at_or_below,
    can_be,
    instant_of,
    local_date,
    span_words,
)
from read_by_hand import read

POULTRY = Limit(F=Decimal(165), C=Decimal(74))
STAGE = Limit(F=Decimal(70), C=Decimal(21))


def test_a_pair_is_compared_in_the_unit_that_was_read():
    """FDA Food Code: 165 °F is published beside 74 °C, and is 73.9 °C; 70 °F beside 21 °C, and is 21.1 °C."""
    assert at_or_above(read("165F", "18:00"), POULTRY)
    assert not at_or_above(read("73.9C", "18:00"), POULTRY)
    assert at_or_below(read("70F", "18:00"), STAGE)
    assert not at_or_below(read("21.1C", "18:00"), STAGE)


def test_nothing_is_rounded():
    assert not at_or_above(read("164.99F", "18:00"), POULTRY)
    assert not at_or_below(read("70.01F", "18:00"), STAGE)


@pytest.mark.parametrize(
    ("C", "F"), [("70", "158"), ("63", "145.4"), ("8", "46.4"), ("4", "39.2"), ("82", "179.6")]
)
def test_a_limit_of_one_unit_is_converted_exactly(C, F):
    """Conversions by hand: °F is nine fifths of °C and 32."""
    assert Limit(C=Decimal(C)).in_unit("F") == Decimal(F)
    assert Limit(F=Decimal(F)).in_unit("C") == Decimal(C)


def test_a_limit_says_something():
    with pytest.raises(ValidationError, match="expected a limit"):
        Limit()


@pytest.mark.parametrize("zone", [None, timezone(timedelta(hours=2))])
def test_a_reading_is_of_an_instant(zone):
    with pytest.raises(ValidationError, match="instant in UTC"):
        read("165F", datetime(2026, 6, 2, 18, tzinfo=zone))


def test_what_food_cannot_be_is_no_reading_of_it():
    assert not can_be(read("615F", "18:00"))
    assert can_be(read("165F", "18:00"))
    assert can_be(read("400C", "18:00", "surface"))


def test_elapsed_time_does_not_see_the_clocks_change():
    """Madrid, 25 October 2026: 03:00 summer time is 02:00 winter time (Directive 2000/84/EC)."""
    before = instant_of(datetime(2026, 10, 25, 1, 30), "Europe/Madrid")
    after = instant_of(datetime(2026, 10, 25, 3, 30), "Europe/Madrid")
    assert after - before == timedelta(hours=3)


def test_a_time_that_comes_twice_is_asked_about_and_one_that_never_comes():
    with pytest.raises(TwoTimes, match="came twice"):
        instant_of(datetime(2026, 10, 25, 2, 30), "Europe/Madrid")
    with pytest.raises(TwoTimes, match="never came"):
        instant_of(datetime(2026, 3, 29, 2, 30), "Europe/Madrid")
    with pytest.raises(TwoTimes, match="came twice"):
        instant_of(datetime(2026, 11, 1, 1, 30), "America/New_York")


def test_a_calendar_day_is_the_wall_s():
    assert local_date(datetime(2026, 6, 2, 23, 30, tzinfo=UTC), 120).day == 3
    assert local_date(datetime(2026, 6, 2, 23, 30, tzinfo=UTC), -240).day == 2


def test_spans_as_they_are_said():
    assert span_words(timedelta(hours=6, minutes=5)) == "6 h 05 min"
