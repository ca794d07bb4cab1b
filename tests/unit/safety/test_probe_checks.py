"""Thermometers at points that are known, and what a failed check takes back."""

from decimal import Decimal

import pytest

from hearthtide.safety.probe_check import Checked, as_if_off, boiling_C, check_verdict, taken_back
from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.verdicts import Verdict, hold_verdict
from read_by_hand import at, read

FDA = rule_set("us-fda-2022")
# Boiling point of water by height, °F, as agencies print it for kitchens (reference on food safety, 6.4).
PRINTED = (
    (500, 211.1), (1000, 210.2), (2000, 208.4), (3000, 206.6), (4000, 204.8), (5000, 203.0),
    (6000, 201.1), (7000, 199.3), (8000, 197.4), (10000, 193.6),
)  # fmt: skip


@pytest.mark.parametrize(("feet", "F"), PRINTED)
def test_water_boils_where_the_tables_say(feet, F):
    assert boiling_C(0.3048 * feet) * 1.8 + 32 == pytest.approx(F, abs=0.2)


@pytest.mark.parametrize("height_m", [-501, 5001])
def test_heights_beyond_the_atmosphere_s_first_layer_are_refused(height_m):
    with pytest.raises(ValueError, match="expected a height"):
        boiling_C(height_m)


@pytest.mark.parametrize(
    ("shown", "unit", "scale", "answer"),
    [
        ("1.0", "C", "C", "pass"),
        ("1.1", "C", "C", "fail"),
        ("-1.0", "C", "both", "pass"),
        ("34", "F", "F", "pass"),
        ("34.1", "F", "F", "fail"),
        ("30", "F", "F", "pass"),
        ("33.8", "F", "both", "pass"),
        ("33.9", "F", "both", "fail"),
    ],
)
def test_how_far_off_is_too_far(shown, unit, scale, answer):
    """4-203.11: 1 °C, or 2 °F for a thermometer that shows °F only."""
    ice = Decimal(0) if unit == "C" else Decimal(32)
    checked = Checked("c", "probe 1", at("20:00"), "Ana", Decimal(shown), ice, unit, scale)
    assert check_verdict(FDA, checked).answer == answer


def test_a_failed_check_takes_a_pass_back_and_makes_none():
    high = Checked("c", "probe 1", at("20:00"), "Ana", Decimal("3"), Decimal(0), "C", "C")
    cold = (read("4.0C", "18:00", "warmest"), read("6.0C", "18:10", "warmest"))
    fails = hold_verdict(FDA, "cold", cold)
    as_off = hold_verdict(FDA, "cold", as_if_off(cold, high, None))
    assert (fails.answer, as_off.answer) == ("fail", "pass")
    assert taken_back(fails, as_off, high) == fails, "an error that is known makes no pass"
    hot = (read("58C", "18:00"),)
    passes = hold_verdict(FDA, "hot", hot)
    flipped = hold_verdict(FDA, "hot", as_if_off(hot, high, None))
    assert taken_back(passes, flipped, high).answer == "unproven"


def test_only_that_thermometer_s_readings_between_its_good_checks_are_doubted():
    high = Checked("c", "probe 1", at("20:00"), "Ana", Decimal("3"), Decimal(0), "C", "C")
    readings = (
        read("58C", "8:00"),
        read("58C", "18:00"),
        read("58C", "21:00"),
        read("58C", "18:00", instrument="probe 2"),
    )
    doubted = as_if_off(readings, high, at("9:00"))
    assert [one.value for one in doubted] == [Decimal(58), Decimal(55), Decimal(55), Decimal(58)]
    again = as_if_off(readings, high, at("9:00"), until=at("20:30"))
    assert [one.value for one in again] == [Decimal(58), Decimal(55), Decimal(58), Decimal(58)]


def test_without_a_rule_a_check_is_unproven():
    checked = Checked("c", "probe 1", at("20:00"), "Ana", Decimal("0"), Decimal(0), "C", "C")
    assert check_verdict(rule_set("france"), checked).answer == "unproven"
    assert isinstance(check_verdict(FDA, checked), Verdict)
