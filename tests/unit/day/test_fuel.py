"""Fuel, by sums done by hand."""

from datetime import date

import pytest

from hearthtide.day.fuel import DayFuel, fed, flamed, open_days, order_of, weighed
from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.combustion import NATURAL_GAS, fuel

WOOD = fuel("wood", 0.18)
TUESDAY_TO_SUNDAY = range(1, 7)
# A worked example of the trade: 42 kg to heat up, then 5.5 kg/h for 6.5 h, six days a week, 210 pies a day.
EXAMPLE = DayFuel(WOOD, None, (weighed(WOOD, 42),), (fed(WOOD, 5.5, 6.5 * 3600),))


def test_the_week_s_wood_of_the_example():
    """(42 + 5.5 x 6.5) x 6 = 466.5; 79.3 at 0.17; 77.75 / 210 = 0.370 a pie; 42 / 77.75 = 54 % to heat up."""
    lit = open_days(date(2026, 6, 1), 7, TUESDAY_TO_SUNDAY)
    assert len(lit) == 6
    order = order_of(EXAMPLE, lit, 0.0)
    assert order.wanted_kg == pytest.approx(466.5) and order.order_kg == 467
    assert order.wanted_kg * 0.17 == pytest.approx(79.3, abs=0.05)
    assert EXAMPLE.amount("kg") / 210 == pytest.approx(0.37, abs=0.001)
    assert EXAMPLE.heat_up_share == pytest.approx(0.54, abs=0.001)


def test_what_is_there_is_not_ordered_and_never_less_than_nothing():
    lit = open_days(date(2026, 6, 1), 7, TUESDAY_TO_SUNDAY)
    assert order_of(EXAMPLE, lit, 120.0).order_kg == 347
    assert order_of(EXAMPLE, lit, 900.0).order_kg == 0
    with pytest.raises(PhysicalRangeError, match="there_kg"):
        order_of(EXAMPLE, lit, -1.0)


def test_gas_is_the_flames_powers_for_their_hours():
    """22 kW x 2.5 h + 14 kW x 3 h = 97 kWh; at 36 MJ/m³ (10 kWh) 9.7 m³."""
    day = DayFuel(NATURAL_GAS, 36e6, (flamed("high", 22_000, 9000),), (flamed("half", 14_000, 10_800),))
    assert day.amount("kWh") == pytest.approx(97) and day.amount("m3") == pytest.approx(9.7)
    assert day.heat_up_share == pytest.approx(55 / 97)
    assert day.heat_up[0].words == "high 22.0 kW x 2.5 h = 55.0 kWh"
    with pytest.raises(KeyError, match="m3"):
        EXAMPLE.amount("m3")


@pytest.mark.parametrize("days", [0, 32])
def test_more_days_than_a_month_are_refused(days):
    with pytest.raises(PhysicalRangeError, match="days"):
        open_days(date(2026, 6, 1), days, (0,))
