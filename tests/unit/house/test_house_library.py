"""The names a house may use are the names the rooms below hold data for."""

import pytest

from hearthtide.food.library import food_names, metal_names
from hearthtide.heat.materials import material_names
from hearthtide.house.library import known_names
from hearthtide.house.validate import close_to


@pytest.mark.parametrize(
    ("kind", "names"), [("materials", material_names), ("foods", food_names), ("metals", metal_names)]
)
def test_known_names_are_those_of_the_models(kind, names):
    assert known_names(kind) == set(names())


def test_a_near_word_is_suggested_and_a_far_one_lists_all():
    assert close_to("Fireclai", known_names("materials")).startswith("Did you mean `fireclay`")
    assert close_to("zzz", ["b", "a"]) == "Known: a, b."
    assert close_to("zzz", []) == "None is known yet."
