"""Quantities at the edges: what a cook writes and reads on one side, SI on the other."""

from hearthtide.quantities.parse import (
    parse_angle_deg,
    parse_clock_s,
    parse_duration_s,
    parse_fraction,
    parse_length_m,
    parse_mass_flow_kg_s,
    parse_mass_kg,
    parse_power_W,
    parse_temperature_C,
)
from hearthtide.quantities.show import clock_text, duration_text, length_text, temperature_text, written_like

__all__ = [
    "clock_text",
    "duration_text",
    "length_text",
    "parse_angle_deg",
    "parse_clock_s",
    "parse_duration_s",
    "parse_fraction",
    "parse_length_m",
    "parse_mass_flow_kg_s",
    "parse_mass_kg",
    "parse_power_W",
    "parse_temperature_C",
    "temperature_text",
    "written_like",
]
