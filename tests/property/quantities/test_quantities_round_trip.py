import pytest
from hypothesis import given
from hypothesis import strategies as st

from hearthtide import quantities
from hearthtide.quantities import parse
from hearthtide.quantities.units import UNITS

PARSERS = {
    "length": quantities.parse_length_m,
    "temperature": quantities.parse_temperature_C,
    "power": quantities.parse_power_W,
    "mass": quantities.parse_mass_kg,
    "mass flow": quantities.parse_mass_flow_kg_s,
    "duration": quantities.parse_duration_s,
    "angle": quantities.parse_angle_deg,
}
EVERY_PARSER = [*PARSERS.values(), quantities.parse_clock_s, quantities.parse_fraction]


@given(st.integers(0, parse.LAST_CLOCK_S))
def test_a_clock_shown_is_the_clock_read(seconds):
    assert quantities.parse_clock_s(quantities.clock_text(seconds)) == seconds


@given(st.integers(0, 9999 * 60 + 59))
def test_a_duration_shown_is_the_duration_read(seconds):
    assert quantities.parse_duration_s(quantities.duration_text(seconds)) == seconds


@given(st.sampled_from(sorted(UNITS)), st.decimals(-99_999, 99_999, places=3))
def test_a_quantity_shown_in_its_own_unit_reads_back_to_three_figures(name, number):
    written = f"{number} {name}"
    parser = PARSERS[UNITS[name].dimension]
    value = parser(written)
    again = parser(quantities.written_like(value, written))
    width = UNITS[name].factor
    assert again == pytest.approx(value, rel=0.0051, abs=0.0051 * abs(float(number)) * width + 1e-9)


@given(st.sampled_from(sorted(UNITS)), st.integers(0, 999))
def test_units_may_be_written_in_any_case_and_with_or_without_a_space(name, number):
    parser = PARSERS[UNITS[name].dimension]
    assert parser(f"{number}{name.upper()}") == parser(f" {number}  {name.lower()} ")


@given(st.integers(-400, 900))
def test_whole_degrees_survive_both_scales(degrees):
    for unit in ("C", "F"):
        value = quantities.parse_temperature_C(f"{degrees} {unit}")
        assert quantities.temperature_text(value, unit) == f"{degrees} °{unit}"


@given(st.sampled_from(EVERY_PARSER), st.text(max_size=30))
def test_any_text_is_read_or_refused_with_what_was_expected(parser, text):
    try:
        value = parser(text)
    except ValueError as refused:
        assert str(refused).startswith("expected ")
    else:
        assert abs(value) < 1e15
