"""Pieces with a shape in a dish's file: measures, parts, refusals."""

import math
import shutil
from pathlib import Path

import pytest

from hearthtide.errors import InputError
from hearthtide.food.grid import layers_density_kg_m3
from hearthtide.food.spec import FoodLayer
from hearthtide.house.files import portion, read_house
from hearthtide.house.shape_file import ShapeFile

EXAMPLE = Path(__file__).parents[3] / "examples" / "brindlecote"


@pytest.fixture
def house_with(tmp_path):
    """A copy of the example house whose half chicken has other lines after its layers."""

    def made(lines: str):
        folder = tmp_path / "house"
        shutil.copytree(EXAMPLE, folder)
        file = folder / "dishes" / "half_chicken.yaml"
        text = file.read_text(encoding="utf-8")
        text = text.replace("food_area: 0.0165               # about 400 g\n", lines)
        file.write_text(text, encoding="utf-8")
        return folder

    return made


def test_width_comes_from_weight_and_length():
    shape = ShapeFile.model_validate({"kind": "log", "length": "20 cm", "weight": "500 g"})
    width, length = shape.sides_m(0.03, 1050.0)
    # A straight middle and two round ends, half of an ellipsoid each, make up the 500 g.
    middle, ends = math.pi / 4 * 0.03 * width * (length - width), math.pi / 6 * 0.03 * width**2
    assert 1050.0 * (middle + ends) == pytest.approx(0.5)
    assert length == pytest.approx(0.2) and 0.08 < width < 0.2
    ball = ShapeFile.model_validate({"kind": "ball", "weight": "113 g"})
    # 113 cm³ at 1000 kg/m³: a ball of 60 mm.
    assert ball.sides_m(0.06, 1000.0)[0] == pytest.approx(0.06, rel=2e-3)


@pytest.mark.parametrize("kind", ["log", "wing", "loaf", "half bird"])
@pytest.mark.parametrize("weight", ["60 g", "400 g", "2 kg"])
def test_a_weight_gives_back_the_sides_it_would_be_measured_from(kind, weight):
    """Either side gives the other, and as wide as long it is a ball's shape: nothing jumps between."""
    kilos = {"60 g": 0.06, "400 g": 0.4, "2 kg": 2.0}[weight]
    given = ShapeFile.model_validate({"kind": kind, "length": "20 cm", "weight": weight})
    width, length = given.sides_m(0.05, 1000.0)
    short, long = sorted((width, length))
    volume = math.pi / 4 * 0.05 * short * (long - short) + math.pi / 6 * 0.05 * short**2
    assert 1000.0 * volume == pytest.approx(kilos)
    back = ShapeFile(kind=kind, width=f"{1000 * width:.6f} mm", weight=weight)
    assert back.sides_m(0.05, 1000.0)[1] == pytest.approx(length, rel=1e-6)


def test_a_loaf_as_wide_as_long_weighs_half_an_ellipsoid():
    # 2/3 pi (10 cm)² 8 cm at 500 kg/m³: 838 g.
    round_loaf = ShapeFile.model_validate({"kind": "loaf", "width": "20 cm", "weight": "837.758 g"})
    assert round_loaf.sides_m(0.08, 500.0)[1] == pytest.approx(0.20, rel=1e-4)


def test_a_thick_cut_has_square_ends():
    cut = ShapeFile.model_validate({"kind": "thick cut", "width": "10 cm", "weight": "500 g"})
    assert cut.sides_m(0.05, 1000.0) == pytest.approx((0.10, 0.10))


@pytest.mark.parametrize(
    "given",
    [
        {"kind": "log", "width": "3 cm"},
        {"kind": "log", "width": "3 cm", "length": "9 cm", "weight": "80 g"},
        {"kind": "ball"},
        {"kind": "star", "width": "3 cm", "length": "9 cm"},
        {"kind": "wing", "width": "3 cm", "length": "-9 cm"},
    ],
)
def test_too_few_too_many_or_impossible_measures_are_refused(given):
    with pytest.raises(ValueError, match=r"expected|Input should|greater"):
        ShapeFile.model_validate(given)


def test_a_shape_reaches_the_model_with_its_footprint(house_with):
    lines = "shape: {kind: half bird, width: 8 cm, length: 16 cm, pieces: 2}\n"
    made = portion(read_house(house_with(lines)), "half_chicken")
    assert made.body is not None
    assert (made.body.outline, made.body.width_m, made.body.round) == ("dome", pytest.approx(0.08), 0.5)
    # Two pieces, each a box's 8 by 16 cm with ends half as round as a disc's.
    assert made.area_m2 == pytest.approx(2 * 0.08 * 0.16 * (1 - 0.5 * (1 - math.pi / 4)))


def test_of_breast_and_thigh_the_slower_is_cooked(house_with):
    lines = (
        "shape: {kind: half bird, width: 8 cm, length: 16 cm}\n"
        "also:\n"
        "  - {name: thigh, layers: [{food: chicken_thigh_raw, thickness: 45 mm}],"
        " shape: {kind: half bird, width: 9 cm, length: 12 cm}}\n"
    )
    made = portion(read_house(house_with(lines)), "half_chicken")
    assert made.thickness_m == pytest.approx(0.045)


@pytest.mark.parametrize(
    ("lines", "field", "words"),
    [
        ("shape: {kind: half bird, width: 30 cm, length: 30 cm}\n", "shape", "times as thick as wide"),
        ("shape: {kind: log, length: 9 cm, weight: 9 kg}\n", "shape", "as thick as wide"),
        ("shape: {kind: log, width: 4 cm, length: 9 cm}\nrim: 1 cm\n", "rim", "no rim"),
        (
            "also:\n  - {name: thigh, layers: [{food: unheard_of, thickness: 40 mm}]}\n",
            "also[1].layers[1].food",
            "",
        ),
    ],
)
def test_shapes_that_cannot_be_are_one_finding_with_its_line(house_with, lines, field, words):
    with pytest.raises(InputError) as refused:
        read_house(house_with(lines))
    (finding,) = refused.value.findings
    assert finding.field == field
    assert words in finding.expected
    assert finding.line > 0


def loaf_of(folder, lines):
    file = folder / "dishes" / "half_chicken.yaml"
    text = file.read_text("utf-8")
    layers = "  - {food: chicken_cooked, thickness: 24 mm}\n"
    assert layers in text
    file.write_text(text.replace(layers, "  - {food: bread_dough, thickness: 8 cm}\n" + lines), "utf-8")
    return folder


def test_a_loaf_by_weight_is_checked_at_the_density_the_model_gives_it(house_with):
    """7 kg of airy dough 16 cm wide are longer than a metre; as meat they would be half as long."""
    shape = "shape: {kind: loaf, width: 16 cm, weight: 7 kg}\n"
    dough = layers_density_kg_m3((FoodLayer("bread_dough", 0.08),))
    sides = [ShapeFile(kind="loaf", width="16 cm", weight="7 kg").sides_m(0.08, d)[1] for d in (1050, dough)]
    assert sides[0] < 1.0 < sides[1]
    with pytest.raises(InputError) as refused:
        read_house(loaf_of(house_with(""), shape))
    (finding,) = refused.value.findings
    assert finding.field == "shape" and "up to 1 m long" in finding.expected


def test_a_weight_of_an_unknown_food_is_told_once(house_with):
    folder = loaf_of(house_with(""), "shape: {kind: loaf, width: 16 cm, weight: 7 kg}\n")
    file = folder / "dishes" / "half_chicken.yaml"
    file.write_text(file.read_text("utf-8").replace("food: bread_dough", "food: bred_dough"), "utf-8")
    with pytest.raises(InputError) as refused:
        read_house(folder)
    assert [finding.field for finding in refused.value.findings] == ["layers[1].food"]


def test_a_part_higher_than_the_mouth_is_told(house_with):
    butter = "{food: butter, thickness: 14 cm}"
    part = f"also:\n  - {{name: back, layers: [{butter}, {butter}]}}\n"
    with pytest.raises(InputError) as refused:
        read_house(house_with(part))
    (finding,) = refused.value.findings
    assert finding.field == "also[1].layers" and "lower than the mouth" in finding.expected


def test_density_of_layers_is_by_thickness():
    one, other = FoodLayer("butter", 0.01), FoodLayer("beef_strip", 0.03)
    alone = [layers_density_kg_m3((layer,)) for layer in (one, other)]
    assert layers_density_kg_m3((one, other)) == pytest.approx((alone[0] + 3 * alone[1]) / 4)
