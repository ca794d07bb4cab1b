"""Words for doneness: the core as served on the house's scale, or a clear refusal."""

import pytest

from hearthtide.errors import InputError
from hearthtide.food.doneness import doneness_scale
from hearthtide.house.files import read_house


def change(folder, file, old, new):
    path = folder / file
    text = path.read_text("utf-8")
    assert old in text, f"{old!r} is not in {file}"
    path.write_text(text.replace(old, new, 1), "utf-8")


@pytest.fixture
def steak(folder):
    """The good house on a scale, its steak by a word and with no promise of its own at the landing."""

    def write(word="medium rare", scale="kitchen"):
        if scale:
            change(folder, "house.yaml", "plating:", f"doneness: {scale}\nplating:")
        change(folder, "dishes/strip_steak.yaml", "core: 50 C", f"core: {word}")
        change(folder, "dishes/strip_steak.yaml", "core_at_landing: 52 C\n", "")
        return folder

    return write


def findings_in(folder):
    with pytest.raises(InputError) as raised:
        read_house(folder)
    return raised.value.findings


@pytest.mark.parametrize("word", ["medium rare", "Medium Rare", "medium-rare", "medium_rare"])
@pytest.mark.parametrize("scale", ["kitchen", "butcher"])
def test_a_word_is_pulled_at_and_promised_as_its_scale_says(steak, word, scale):
    dish = read_house(steak(word, scale)).dishes["strip_steak"]
    degree = doneness_scale(scale).degrees["medium rare"]
    assert dish.stages[0].until.core == pytest.approx(degree.pull_C)
    assert dish.core_at_landing == pytest.approx(degree.serve_C)


def test_a_landing_of_the_dishs_own_stands(steak):
    folder = steak()
    change(folder, "dishes/strip_steak.yaml", "rest:", "core_at_landing: 55 C\nrest:")
    assert read_house(folder).dishes["strip_steak"].core_at_landing == 55


def test_the_landing_may_be_a_word(steak):
    folder = steak("54 C")
    change(folder, "dishes/strip_steak.yaml", "rest:", "core_at_landing: medium rare\nrest:")
    assert read_house(folder).dishes["strip_steak"].core_at_landing == pytest.approx(57.2)


def test_without_a_scale_a_word_is_refused_with_the_way_out(steak):
    (finding,) = findings_in(steak(scale=None))
    assert (finding.file, finding.field, finding.value) == (
        "dishes/strip_steak.yaml",
        "stages[1].until.core",
        "medium rare",
    )
    assert "no scale" in finding.expected
    assert "`doneness:` in house.yaml" in finding.remedy and "kitchen" in finding.remedy


def test_an_unknown_word_names_those_of_the_scale(steak):
    (finding,) = findings_in(steak("medum rare"))
    assert "rare, medium rare, medium, medium well, well" in finding.expected
    assert "`medium rare`" in finding.remedy


def test_an_unknown_scale_names_the_known(steak):
    found = findings_in(steak(scale="kitchin"))
    assert [(f.file, f.field) for f in found] == [("house.yaml", "doneness")]
    assert "`kitchen`" in found[0].remedy


def test_a_house_that_cannot_be_read_blames_no_word(steak):
    folder = steak()
    change(folder, "house.yaml", "count: 12", "count: x")
    assert {f.file for f in findings_in(folder)} == {"house.yaml"}


def test_a_word_for_beef_is_not_said_of_chicken(folder):
    change(folder, "house.yaml", "plating:", "doneness: kitchen\nplating:")
    change(folder, "dishes/wings.yaml", "chicken_wing_cooked", "chicken_wing_raw")
    change(folder, "dishes/wings.yaml", "core: 74 C", "core: rare")
    (finding,) = findings_in(folder)
    assert finding.field == "stages[1].until.core" and "chicken_wing_raw" in finding.expected
    assert "Write degrees" in finding.remedy


def test_a_word_for_beef_is_not_said_of_a_part_of_chicken_either(steak):
    folder = steak()
    part = "also:\n  - {name: other, layers: [{food: chicken_thigh_raw, thickness: 3 cm}]}\nfood_area:"
    change(folder, "dishes/strip_steak.yaml", "food_area:", part)
    (finding,) = findings_in(folder)
    assert finding.field == "stages[1].until.core" and "chicken_thigh_raw" in finding.expected


def test_a_word_said_of_a_part_nobody_knows_is_not_blamed(steak):
    folder = steak()
    part = "also:\n  - {name: other, layers: [{food: chiken, thickness: 3 cm}]}\nfood_area:"
    change(folder, "dishes/strip_steak.yaml", "food_area:", part)
    assert [finding.field for finding in findings_in(folder)] == ["also[1].layers[1].food"]


def test_an_authoritys_rest_goes_with_its_degrees(steak):
    folder = steak("whole cut", "authority_minimum")
    dish = read_house(folder).dishes["strip_steak"]
    assert dish.stages[0].until.core == dish.core_at_landing == pytest.approx(62.8)
    change(folder, "dishes/strip_steak.yaml", "rest: 5:00", "rest: 1:00")
    (finding,) = findings_in(folder)
    assert finding.field == "rest" and "at least 3:00" in finding.expected


@pytest.mark.parametrize(
    "stages", ["stages:", "stages: 5", "stages: [x]", "stages: [{until: core}]", "stages: []"]
)
def test_a_dish_that_is_none_is_told_as_before(folder, stages):
    path = folder / "dishes/strip_steak.yaml"
    text = path.read_text("utf-8")
    start = text.index("stages:")
    path.write_text(text[:start] + stages + "\ncore_at_landing: rare\n", "utf-8")
    assert {f.file for f in findings_in(folder)} == {"dishes/strip_steak.yaml"}
