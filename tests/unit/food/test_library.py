import importlib.resources
import re

import numpy as np
import pytest
from ruamel.yaml import YAML

from hearthtide.food.grid import layer_grid
from hearthtide.food.library import behaviour_names, food_names, foodstuff, made, metal, metal_names
from hearthtide.food.spec import FoodLayer

DATA = importlib.resources.files("hearthtide").joinpath("data")
KEYS = set(re.findall(r"@\w+\{([^,]+),", DATA.joinpath("sources-food.bib").read_text("utf-8")))


def entries():
    yaml = YAML(typ="safe")
    foods = yaml.load(DATA.joinpath("foods.yaml").read_text("utf-8"))
    metals = yaml.load(DATA.joinpath("metals.yaml").read_text("utf-8"))
    return {**foods["foods"], **foods["behaviours"], **metals["metals"]}


def test_the_starter_dishes_find_their_foods():
    wanted = {"pizza_dough", "dough", "tomato_sauce", "mozzarella", "beef_strip", "chicken_cooked", "shrimp"}
    wanted |= {"butter", "chicken_wing_cooked", "cheese_dip", "peppers", "onion", "zucchini"}
    assert wanted <= set(food_names())
    assert {"cast_iron", "carbon_steel", "aluminium", "stoneware"} <= set(metal_names())


@pytest.mark.parametrize("name", food_names())
def test_every_food_is_moist_and_physical(name):
    food = foodstuff(name)
    assert food.composition.water >= 0.1
    assert 0 <= food.porosity < 0.9
    assert food.source in KEYS


@pytest.mark.parametrize("name", metal_names())
def test_every_metal_is_physical_and_sourced(name):
    what = metal(name)
    assert 300 < what.heat_capacity_J_kgK < 1000
    assert 0 < what.emissivity < 1
    assert what.source in KEYS


def test_every_written_entry_says_what_kind_of_figure_it_is():
    for entry in entries().values():
        assert entry["kind"] in {"published", "practice"}
        assert entry["source"] in KEYS


def test_written_compositions_add_up_to_a_hundred_within_rounding():
    for name, entry in entries().items():
        if "composition" in entry:
            assert sum(entry["composition"].values()) == pytest.approx(100, abs=3), name


@pytest.mark.parametrize("lookup", [foodstuff, metal])
def test_an_unknown_name_lists_those_that_exist(lookup):
    with pytest.raises(KeyError, match=r"no .* 'granite'; known: .*, "):
        lookup("granite")


def test_an_entry_of_the_table_names_its_number_there():
    table = [e for e in entries().values() if e["source"] == "usda-sr"]
    assert len(table) > 40
    assert all(re.search(r"\b\d{5}\b", entry["note"]) for entry in table)


def test_a_food_made_by_hand_is_one_like_the_librarys():
    parts = {"water": 50.0, "protein": 10.0, "fat": 20.0, "carbohydrate": 15.0, "fibre": 4.0, "ash": 1.0}
    own = made("own", parts, "cheese", porosity=0.1, raw_muscle=False, source="our scale")
    assert own.composition.fat == pytest.approx(0.2)
    assert own.water_diffusivity_m2_s == foodstuff("cheddar").water_diffusivity_m2_s
    with pytest.raises(KeyError):
        made("own", parts, "stone", porosity=0.0, raw_muscle=False, source="our scale")
    assert "cheese" in behaviour_names()


def test_a_layer_takes_a_food_or_its_name():
    by_name, itself = FoodLayer("cheddar", 0.01), FoodLayer(foodstuff("cheddar"), 0.01)
    assert by_name.stuff == itself.stuff
    assert np.array_equal(layer_grid((by_name,)), layer_grid((itself,)))
