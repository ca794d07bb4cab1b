"""The weight of a split as a house writes it: read in its units, kept in range, and for wood only."""

import pytest

from hearthtide.house.oven_design import split_of
from hearthtide.house.oven_file import OvenFile
from hearthtide.house.validate import validated
from hearthtide.house.yaml_lines import read_yaml

WET = "moisture: 20 %"


def oven_with(text):
    """A small wood oven with a line of its own."""
    lines = f"""name: Pot
shape: round
diameter: 1.2 m
crown_rise: 40 cm
mouth_width: 50 cm
mouth_height: 30 cm
floor: [{{material: fireclay, thickness: 50 mm}}]
dome: [{{material: castable, thickness: 60 mm}}]
fuel: wood
{text}
burners: [{{kind: bed, bearing: 90 deg, standoff: 20 cm, diameter: 30 cm}}]
flames: [{{name: low, wood: 2 kg/h}}, {{name: high, wood: 6 kg/h}}]
floor_band: {{low: 330 C, high: 360 C}}
"""
    return validated(OvenFile, read_yaml(lines.encode(), "oven.yaml"))


@pytest.mark.parametrize(
    ("text", "kg"),
    [
        ("split: 1.2 kg", 1.2),
        ("split: 900 g", 0.9),
        ("split: 2 lb", 0.90718474),  # the pound is exact: NIST SP 811
        ("", 1.0),
    ],
)
def test_a_split_is_read_in_its_unit(text, kg):
    oven = oven_with(text)
    assert isinstance(oven, OvenFile)
    assert split_of(oven) == pytest.approx(kg, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "expected", "remedy"),
    [
        ("split: 9 kg", "at most 5 kg", "Lower it, or check its unit."),
        ("split: 50 g", "at least", "Raise it, or check its unit."),
        ("split: 1", "a mass such as `1.8 kg`", "Add the unit."),
        ("split: -1 kg", "at least", "Raise it, or check its unit."),
        ("split: 30 cm", "a mass such as `1.8 kg`", ""),
    ],
)
def test_a_split_that_none_lays(findings, text, expected, remedy):
    (found,) = findings("pot", (WET, f"{WET}\n{text}"))
    assert (found.file, found.field, found.value) == ("pot.yaml", "split", text.removeprefix("split: "))
    assert found.line == 13
    assert expected in found.expected and remedy in found.remedy


def test_gas_is_not_fed_in_splits(findings):
    (found,) = findings("box", ("fuel: propane", "fuel: propane\nsplit: 1 kg"))
    assert (found.field, found.value, found.expected) == ("split", "1 kg", "no split for propane")
    assert found.remedy == "Leave it out."
