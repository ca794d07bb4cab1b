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
    # Hand sum: 500 g = 1050 kg/m³ * pi/4 * 30 mm * width * 200 mm.
    assert width == pytest.approx(0.5 / (1050 * math.pi / 4 * 0.03 * 0.2))
    assert length == pytest.approx(0.2)
    ball = ShapeFile.model_validate({"kind": "ball", "weight": "113 g"})
    # 113 cm³ at 1000 kg/m³: a ball of 60 mm.
    assert ball.sides_m(0.06, 1000.0)[0] == pytest.approx(0.06, rel=2e-3)


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


def test_density_of_layers_is_by_thickness():
    one, other = FoodLayer("butter", 0.01), FoodLayer("beef_strip", 0.03)
    alone = [layers_density_kg_m3((layer,)) for layer in (one, other)]
    assert layers_density_kg_m3((one, other)) == pytest.approx((alone[0] + 3 * alone[1]) / 4)
