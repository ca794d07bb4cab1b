"""Conversions against NIST SP 811 (2008), appendix B.8, as printed there to seven figures."""

import pytest

from hearthtide import quantities

CONVERSIONS = [
    # inch to metre: 2.54 E-02; foot: 3.048 E-01
    (quantities.parse_length_m, "13 in", 13 * 2.54e-2),
    (quantities.parse_length_m, "4ft", 4 * 3.048e-1),
    (quantities.parse_length_m, " 28 cm ", 0.28),
    (quantities.parse_length_m, "4 mm", 0.004),
    (quantities.parse_length_m, "1.2 m", 1.2),
    # degree Fahrenheit to Celsius: (t - 32) / 1.8
    (quantities.parse_temperature_C, "620 F", 588 / 1.8),
    (quantities.parse_temperature_C, "-40 °f", -40.0),
    (quantities.parse_temperature_C, "4 C", 4.0),
    (quantities.parse_temperature_C, "4°C", 4.0),
    # British thermal unit (IT) per hour to watt: 2.930711 E-01
    (quantities.parse_power_W, "90 kBTU/h", 90_000 * 2.930711e-1),
    (quantities.parse_power_W, "500 btu/h", 500 * 2.930711e-1),
    (quantities.parse_power_W, "26 kW", 26_000.0),
    (quantities.parse_power_W, "0 W", 0.0),
    # pound (avoirdupois) to kilogram: 4.535924 E-01; ounce: 2.834952 E-02
    (quantities.parse_mass_kg, "4 lb", 4 * 4.535924e-1),
    (quantities.parse_mass_kg, "8 oz", 8 * 2.834952e-2),
    (quantities.parse_mass_kg, "1.8 kg", 1.8),
    (quantities.parse_mass_kg, "400 g", 0.4),
    (quantities.parse_mass_flow_kg_s, "4 g/s", 0.004),
    (quantities.parse_mass_flow_kg_s, "0.004 kg/s", 0.004),
    # minute 60 s, hour 3600 s: SI Brochure (9th ed.), table 8
    (quantities.parse_duration_s, "7:30", 450.0),
    (quantities.parse_duration_s, "90:00", 5400.0),
    (quantities.parse_duration_s, "45 s", 45.0),
    (quantities.parse_duration_s, "3 min", 180.0),
    (quantities.parse_duration_s, "1.5 h", 5400.0),
    (quantities.parse_clock_s, "19:22", 19 * 3600 + 22 * 60.0),
    (quantities.parse_clock_s, "19:07:15", 19 * 3600 + 7 * 60 + 15.0),
    (quantities.parse_clock_s, "25:10", 25 * 3600 + 600.0),
    (quantities.parse_clock_s, "30:00", 108_000.0),
    (quantities.parse_angle_deg, "-45 deg", -45.0),
    (quantities.parse_angle_deg, "90°", 90.0),
    (quantities.parse_fraction, "20 %", 0.2),
    (quantities.parse_fraction, "0.2", 0.2),
    (quantities.parse_fraction, "150%", 1.5),
]


def name_of(part: object) -> str:
    """A function by its name: its address would differ from one test process to the next."""
    return getattr(part, "__name__", str(part))


@pytest.mark.parametrize(("parse", "text", "value"), CONVERSIONS, ids=name_of)
def test_text_becomes_the_published_si_value(parse, text, value):
    assert parse(text) == pytest.approx(value, rel=5e-7)


REFUSED = [
    (quantities.parse_length_m, "13", "expected a length such as `13 in`"),
    (quantities.parse_length_m, "13 C", "expected a length such as `13 in`"),
    (quantities.parse_length_m, "1,5 m", "expected a length such as `13 in`"),
    (quantities.parse_length_m, "nan m", "expected a length such as `13 in`"),
    (quantities.parse_length_m, "1e3 m", "expected a length such as `13 in`"),
    (quantities.parse_length_m, "٣ m", "expected a length such as `13 in`"),
    (quantities.parse_temperature_C, "620", "expected a temperature such as `620 F`"),
    (quantities.parse_temperature_C, "620 K", "expected a temperature such as `620 F`"),
    (quantities.parse_power_W, "26 kg", "expected a power such as `26 kW`"),
    (quantities.parse_mass_kg, "", "expected a mass such as `1.8 kg`"),
    (quantities.parse_mass_flow_kg_s, "4 g", "expected a mass flow such as `4 g/s`"),
    (quantities.parse_duration_s, "3", "expected a duration such as `7:30`"),
    (quantities.parse_duration_s, "7:75", "expected a duration such as `7:30`"),
    (quantities.parse_duration_s, "3 m", "expected a duration such as `7:30`"),
    (quantities.parse_angle_deg, "45", "expected an angle such as `-45 deg`"),
    (quantities.parse_clock_s, "19.22", "expected a time of day such as `19:22`"),
    (quantities.parse_clock_s, "19:60", "expected a time of day such as `19:22`"),
    (quantities.parse_clock_s, "30:00:01", "expected a time of day such as `19:22`"),
    (quantities.parse_clock_s, "7 pm", "expected a time of day such as `19:22`"),
    (quantities.parse_fraction, "half", "expected a share such as `20 %`"),
    (quantities.parse_fraction, "", "expected a share such as `20 %`"),
]


@pytest.mark.parametrize(("parse", "text", "message"), REFUSED, ids=name_of)
def test_what_cannot_be_read_says_what_was_expected(parse, text, message):
    with pytest.raises(ValueError) as raised:
        parse(text)
    assert str(raised.value).startswith(message)
