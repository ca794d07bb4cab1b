import pytest

from hearthtide.house.files import oven_design, portion, read_house
from hearthtide.oven.design import Burner, Crown, Mouth
from hearthtide.oven.hearth import RoundHearth


def test_the_oven_as_the_model_takes_it(folder):
    design = oven_design(read_house(folder))
    assert design.hearth == RoundHearth(1.2, sill_m=0.5)
    assert design.crown == Crown("dome", 0.0, 0.42)
    assert design.mouth == Mouth(0.5, 0.25)
    assert [layer.material for layer in design.floor] == ["fireclay", "calcium_silicate"]
    assert design.floor[0].thickness_m == pytest.approx(0.05)
    assert design.burners == (Burner("ribbon", -45, 0.5, breadth_m=0.04, standoff_m=0.08, share=1.0),)
    assert (design.fuel, design.flue.place) == ("natural_gas", "mouth")
    assert [level.name for level in design.levels] == ["idle", "low", "half", "high", "full"]
    assert design.level("full").power_W == 30_000
    assert [layer.material for layer in design.walls] == ["castable", "fibre_blanket"]


def test_a_flame_may_be_told_by_its_height(folder):
    """10 cm high on a ribbon of 50 cm: 0.5 (0.10 / 0.034)^1.5 = 2.522 kW by hand (NUREG-1805)."""
    path = folder / "oven.yaml"
    path.write_text(path.read_text().replace("power: 2.4 kW", "height: 10 cm"))
    assert oven_design(read_house(folder)).level("idle").power_W == pytest.approx(2522, rel=1e-3)


def test_a_steak_stands_on_a_platter_as_hot_as_the_bank(folder):
    steak = portion(read_house(folder), "strip_steak")
    assert steak.platter is not None
    assert steak.platter.start_C == 230
    assert steak.platter.mass_kg == 1.8
    assert steak.platter.area_m2 == pytest.approx(3.14159 * 0.13**2, rel=1e-5)
    assert (steak.area_m2, steak.start_C, steak.thickness_m) == (0.0115, 12, 0.025)


def test_a_pan_is_as_cold_as_its_food_and_a_pizza_lies_on_the_stone(folder):
    house = read_house(folder)
    pan = portion(house, "shrimp").platter
    assert pan is not None
    assert pan.start_C == 4
    pizza = portion(house, "pizza")
    assert pizza.platter is None
    assert pizza.area_m2 == pytest.approx(3.14159 * 0.14**2, rel=1e-5)
    assert pizza.rim_thickness_m == pytest.approx(0.016)
    assert [layer.stuff.name for layer in pizza.layers] == ["pizza_dough", "tomato_sauce", "mozzarella"]


def test_a_lid_belongs_to_its_stage(folder):
    path = folder / "dishes/half_chicken.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("covered: 60 %", "covered: 80 %"),
        "utf-8",
    )
    house = read_house(folder)
    assert portion(house, "half_chicken").cover == 0.8
    assert portion(house, "half_chicken", stage=1).cover == 0.0


def test_an_unknown_dish_names_the_known_ones(folder):
    with pytest.raises(KeyError, match="cheese_dip"):
        portion(read_house(folder), "soup")
