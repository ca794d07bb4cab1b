"""foods.yaml: a house's own foods reach the models, and every mistake in them is told."""

import shutil
from pathlib import Path
from typing import get_args

import pytest

from hearthtide import safety
from hearthtide.errors import InputError
from hearthtide.food.library import behaviour_names
from hearthtide.food.model import prepare
from hearthtide.house.files import portion, read_house
from hearthtide.house.foods_file import CompositionFile, OwnFoodFile

EXAMPLES = Path(__file__).parents[3] / "examples"
CREAM = """\
foods:
  - name: leek_cream
    composition: {protein: 2, fat: 14, carbohydrate: 8, fibre: 1, ash: 1}
    behaviour: fluid
    source: packet
"""


@pytest.fixture
def own(folder):
    """The good house with a food of its own under the cheese of its pizza."""

    def write(text=CREAM):
        (folder / "foods.yaml").write_text(text, encoding="utf-8")
        pizza = folder / "dishes/pizza.yaml"
        pizza.write_text(pizza.read_text("utf-8").replace("food: tomato_sauce", "food: leek_cream"), "utf-8")
        return folder

    return write


def findings_in(folder):
    with pytest.raises(InputError) as raised:
        read_house(folder)
    return raised.value.findings


def test_an_own_food_reaches_the_model_with_water_by_difference(own):
    house = read_house(own())
    layers = portion(house, "pizza").layers
    assert [layer.stuff.name for layer in layers] == ["pizza_dough", "leek_cream", "mozzarella"]
    assert layers[1].stuff.composition.water == pytest.approx(0.74)
    assert layers[1].stuff.fluid and layers[1].stuff.source == "packet"
    assert prepare(portion(house, "pizza")).forms[0].cut.grids.shape


def test_parts_that_a_label_rounds_are_made_to_add_up():
    label = {"water": "72.5", "protein": "2", "fat": "14", "carbohydrate": "8", "fibre": "1", "ash": "1"}
    assert sum(CompositionFile.model_validate(label).grams().values()) == 98.5
    food = OwnFoodFile.model_validate(
        {"name": "own", "composition": label, "behaviour": "fluid", "source": "label"}
    ).foodstuff()
    assert sum(food.composition.parts().values()) == pytest.approx(1)
    assert food.composition.fat == pytest.approx(14 / 98.5)


# what stood there, what stands there now, field, expected
MISTAKES = [
    ("fat: 14", "fat: 130", "foods[1].composition.fat", "at most 100"),
    ("fat: 14", "fat: -1", "foods[1].composition.fat", "at least 0"),
    ("fat: 14", "fat: nan", "foods[1].composition.fat", "at most 100"),
    ("fat: 14", "fat: much", "foods[1].composition.fat", "a number"),
    ("fat: 14", "fat: 95", "foods[1].composition", "add up to 100 g at most, these make 107"),
    ("fat: 14", "fat: 80", "foods[1].composition", "at least 10 g of water, this leaves 8"),
    (
        "{protein: 2, fat: 14",
        "{water: 5, protein: 2, fat: 82",
        "foods[1].composition",
        "of water, this has 5",
    ),
    ("{protein", "{water: 50, protein", "foods[1].composition", "add up to 100 g, these make 76"),
    ("fat: 14, ", "", "foods[1].composition.fat", "a value"),
    ("behaviour: fluid", "behaviour: stone", "foods[1].behaviour", "one of muscle, dough"),
    ("name: leek_cream", "name: butter", "foods[1].name", "a name the library does not have"),
    ("name: leek_cream", "name: Leek Cream", "foods[1].name", "a name such as `smoked_leek_cream`"),
    ("source: packet", "source: packet\n    porosity: 95 %", "foods[1].porosity", "less than 90 %"),
    ("source: packet", "source: packet\n    raw_muscle: true", "foods[1].raw_muscle", "behaviour muscle"),
    ("source: packet", "sorce: packet", "foods[1].sorce", "a known key"),
]


@pytest.mark.parametrize(("old", "new", "field", "expected"), MISTAKES, ids=[m[1] or m[0] for m in MISTAKES])
def test_a_mistake_is_told_where_it_stands(own, old, new, field, expected):
    assert old in CREAM
    found = findings_in(own(CREAM.replace(old, new)))
    told = [f for f in found if f.field == field]
    assert told, [str(f) for f in found]
    assert told[0].file == "foods.yaml" and told[0].line >= 2
    assert expected in told[0].expected and told[0].remedy


def test_two_foods_of_one_name_and_other_mistakes_at_once(own):
    twice = CREAM + CREAM.removeprefix("foods:\n").replace("behaviour: fluid", "behaviour: plant")
    folder = own(twice)
    house = folder / "house.yaml"
    house.write_text(house.read_text("utf-8").replace("count: 12", "count: x"), "utf-8")
    assert {(f.file, f.field) for f in findings_in(folder)} == {
        ("foods.yaml", "foods[2].name"),
        ("house.yaml", "platters.count"),
    }


def test_a_dish_is_not_blamed_for_a_foods_file_that_cannot_be_read(own):
    assert {f.file for f in findings_in(own("foods: [\n"))} == {"foods.yaml"}


def test_an_unknown_food_may_be_meant_for_one_of_the_houses_own(own):
    folder = own()
    pizza = folder / "dishes/pizza.yaml"
    pizza.write_text(pizza.read_text("utf-8").replace("leek_cream", "leek_creme"), "utf-8")
    (finding,) = findings_in(folder)
    assert (finding.field, finding.expected) == ("layers[2].food", "a name from foods.yaml")
    assert "`leek_cream`" in finding.remedy


def test_a_link_to_nowhere_is_told(folder):
    (folder / "foods.yaml").symlink_to(folder / "nothing.yaml")
    assert [f.file for f in findings_in(folder)] == ["foods.yaml"]


def test_the_behaviours_are_the_librarys():
    assert set(get_args(OwnFoodFile.model_fields["behaviour"].annotation)) == set(behaviour_names())


def test_a_fatty_food_of_ones_own_gets_the_caution_about_fat(own):
    folder = own(CREAM.replace("leek_cream", "house_lard").replace("fat: 14", "fat: 60"))
    pan = folder / "dishes/vegetables.yaml"
    pan.write_text(pan.read_text("utf-8").replace("food: peppers", "food: house_lard"), "utf-8")
    (folder / "dishes/pizza.yaml").unlink()
    night = folder / "nights/tuesday.yaml"
    night.unlink()
    house = read_house(folder)
    words = safety.cautions_for("move", house.dishes["vegetables"], house.own_fatty)
    assert any("Never put water" in line for line in words)
    assert not any(
        "Never put water" in line for line in safety.cautions_for("move", house.dishes["vegetables"])
    )


def test_the_example_house_has_one(tmp_path):
    folder = Path(shutil.copytree(EXAMPLES / "osmer-and-vane", tmp_path / "house"))
    flatbread = folder / "dishes/flatbread.yaml"
    text = flatbread.read_text("utf-8")
    top = "  - {food: dough, thickness: 6 mm}\n"
    flatbread.write_text(text.replace(top, top + "  - {food: smoked_leek_cream, thickness: 3 mm}\n"), "utf-8")
    house = read_house(folder)
    assert list(house.foods) == ["smoked_leek_cream"]
    assert portion(house, "flatbread").thickness_m == pytest.approx(0.009)
