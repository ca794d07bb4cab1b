from pathlib import Path

import pytest

from hearthtide.capacity.supply import TRADE_USES_m2min
from hearthtide.errors import InputError
from hearthtide.house.capacity_file import read_capacity
from hearthtide.house.files import read_house
from hearthtide.house.fuel_file import read_fuel

EXAMPLES = Path(__file__).parents[3] / "examples"
GAS = """heat_up: [{flame: high, lasts: 2 h}]
service: [{flame: low, lasts: 5 h}]
portions: {pizza: 100}
price: {amount: 0.12, per: m3}
"""
FIGURES = (EXAMPLES / "harrowdine-court" / "capacity.yaml").read_text(encoding="utf-8")


def fuel(folder, text):
    (folder / "fuel.yaml").write_text(text, encoding="utf-8")
    return read_fuel(read_house(folder))


def test_a_day_s_gas_is_read(folder):
    file = fuel(folder, GAS)
    assert file.heat_up[0].lasts == 7200 and len(file.days) == 7


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("flame: high", "flame: hihg", "Did you mean `high`?"),
        ("{flame: low, lasts: 5 h}", "{wood: 5 kg/h, lasts: 5 h}", "a flame: the oven burns"),
        ("{flame: low, lasts: 5 h}", "{weighed: 5 kg}", "a flame: the oven burns"),
        ("{flame: low, lasts: 5 h}", "{flame: low}", "expected with wood or flame"),
        ("{flame: low, lasts: 5 h}", "{lasts: 5 h}", "one of weighed, wood and flame"),
        ("pizza: 100", "piza: 100", "Did you mean `pizza`?"),
        ("portions: {pizza: 100}", "in_store: 50 kg", "wood alone to be stored"),
    ],
)
def test_fuel_that_cannot_be_meant_is_told(folder, old, new, told):
    assert old in GAS
    with pytest.raises(InputError, match=r"fuel\.yaml") as refused:
        fuel(folder, GAS.replace(old, new, 1))
    assert told in str(refused.value)


def test_a_house_without_its_fuel_is_told_how(folder):
    with pytest.raises(InputError, match=r"docs/day-falling\.md"):
        read_fuel(read_house(folder))


def figures(folder, text, house=None):
    path = folder / "capacity.yaml"
    path.write_text(text, encoding="utf-8")
    return read_capacity(path, house, TRADE_USES_m2min)


def test_uses_are_the_trade_s_unless_written(tmp_path):
    file = figures(tmp_path, FIGURES)
    assert file.uses["pizza"] == 0.34 and set(file.uses) == set(file.per_100_covers)
    own = figures(tmp_path, FIGURES.replace("covers: 86 ", "uses: {pizza: 0.5}\ncovers: 86 "))
    assert own.uses["pizza"] == 0.5 and own.uses["wings"] == 0.58


def test_a_dish_of_the_house_has_its_own_use(tmp_path):
    """Strip steak: a platter of 26 cm for 7:30, 0.0531 m² x 7.5 min = 0.398 m²·min."""
    house = read_house(EXAMPLES / "harrowdine-court")
    text = FIGURES.replace("steak:", "strip_steak:")
    assert figures(tmp_path, text, house).uses["strip_steak"] == pytest.approx(0.0531 * 7.5, rel=1e-3)
    with pytest.raises(InputError, match="a dish whose m2 min is known"):
        figures(tmp_path, text)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("recovers_from: 65 %", "recovers_from: 90 %", "from recovers_from to recovers_to"),
        ("off: [wings, vegetables]", "off: [wings, soup]", "not soup"),
        ("off: [wings, vegetables]", "costs: 5", "one of off, uses and peak_less"),
        ("usable_area: 0.90", "usable_area: 90", "at most 6"),
        ("pays_within: 4", "", "Add `pays_within:`"),
        ("covers: 86 ", "uses: {soup: 1}\ncovers: 86 ", "a dish of per_100_covers"),
    ],
)
def test_figures_that_cannot_be_meant_are_told(tmp_path, old, new, told):
    assert old in FIGURES
    with pytest.raises(InputError, match=r"capacity\.yaml") as refused:
        figures(tmp_path, FIGURES.replace(old, new, 1))
    assert told in str(refused.value)


def test_a_file_that_is_not_there_is_told(tmp_path):
    with pytest.raises(InputError, match=r"docs/capacity\.md"):
        read_capacity(tmp_path / "capacity.yaml", None, TRADE_USES_m2min)
