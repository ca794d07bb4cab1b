"""`colours:` and sugar: a house's own words for brown reach the models."""

import pytest

from hearthtide.errors import InputError
from hearthtide.food.colour import STANDARD, calibrated
from hearthtide.food.lab import difference, lab_of
from hearthtide.food.sugar import browning_factor
from hearthtide.house.files import portion, read_house


def with_colours(folder, text):
    path = folder / "house.yaml"
    path.write_text(path.read_text("utf-8") + f"\ncolours: {text}\n", "utf-8")
    return folder


def finding_in(folder):
    with pytest.raises(InputError) as raised:
        read_house(folder)
    (finding,) = raised.value.findings
    return finding


def test_without_colours_the_standard_scale(folder):
    assert portion(read_house(folder), "pizza").colours == STANDARD


def test_figures_of_the_houses_own(folder):
    house = read_house(with_colours(folder, "{golden: 18, burnt: 47.5}"))
    assert portion(house, "pizza").colours == calibrated({"golden": 18.0, "burnt": 47.5})


def test_colours_picked_from_one_photograph(folder):
    house = read_house(with_colours(folder, "{pale: '#e8dcc0', golden: '#d2ae72', dark: '#8a5a30'}"))
    scale = portion(house, "wings").colours
    raw = lab_of("#e8dcc0")
    assert scale.golden_dE == pytest.approx(difference(raw, lab_of("#d2ae72")))
    assert scale.dark_dE == pytest.approx(difference(raw, lab_of("#8a5a30")))
    assert scale.golden_dE < scale.brown_dE < scale.dark_dE < scale.burnt_dE < 52


@pytest.mark.parametrize(
    ("text", "field", "expected"),
    [
        ("{golden: 20, straw: 25}", "colours.golden", "more than straw, which is 25 from raw; this is 20"),
        ("{straw: 0}", "colours.straw", "more than raw, which is 0 from raw; this is 0"),
        ("{burnt: 52}", "colours.burnt", "below 52, where browning ends; this is 52"),
        ("{pale: '#ffffff', dark: '#000000'}", "colours.dark", "below 52, where browning ends; this is 100"),
        ("{pale: '#e8dcc0', golden: '#e8dcc0'}", "colours.golden", "more than raw"),
        ("{golden: '#d2ae72'}", "colours.pale", "the raw piece's colour in the same photograph"),
        ("{pale: '#e8dcc0', golden: 12}", "colours.pale", "a colour for one of straw"),
        ("{pale: '#e8dcc0'}", "colours", "at least one of straw, golden"),
        ("{}", "colours", "at least one of straw, golden"),
        ("{golden: honey}", "colours.golden", "a colour such as `'#d9c9a3'`, in quotes, or its dE"),
        ("{golden: -3}", "colours.golden", "a colour such as"),
        ("{golden: }", "colours", "at least one of straw, golden"),
        ("{pale: 80, golden: 12}", "colours.pale", "a colour such as `'#d9c9a3'`, in quotes"),
        ("{amber: 12}", "colours.amber", "a known key"),
        ("brown", "colours", "`key: value` lines"),
    ],
)
def test_a_scale_that_cannot_be_used_is_refused(folder, text, field, expected):
    finding = finding_in(with_colours(folder, text))
    assert (finding.file, finding.field) == ("house.yaml", field)
    assert expected in finding.expected and finding.remedy


def glaze(folder, text):
    path = folder / "dishes/wings.yaml"
    path.write_text(path.read_text("utf-8") + f"{text}\n", "utf-8")
    return folder


def test_sugar_may_be_told_as_what_the_glaze_holds(folder):
    assert portion(read_house(folder), "wings").sugar == 1.0
    house = read_house(glaze(folder, "sugar_content: 18 %"))
    assert portion(house, "wings").sugar == pytest.approx(browning_factor(0.18))


def test_a_factor_is_taken_as_it_is(folder):
    assert portion(read_house(glaze(folder, "sugar: 1.5")), "wings").sugar == 1.5


@pytest.mark.parametrize(
    ("text", "expected"),
    [("sugar_content: 90 %", "at most 80 %"), ("sugar: 1.5\nsugar_content: 5 %", "only one of sugar and")],
)
def test_sugar_that_cannot_be(folder, text, expected):
    finding = finding_in(glaze(folder, text))
    assert finding.field == "sugar_content" and expected in finding.expected
