import math

import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food import column
from hearthtide.food.colour import STANDARD, ColourScale, browning_for, calibrated, step
from hearthtide.food.cooking import Target, reached
from hearthtide.food.exposure import Exposure
from hearthtide.food.lab import Lab, difference, lab_of
from hearthtide.food.model import FoodState, prepare, start
from hearthtide.food.outcome import burn_margin_s, colour_steps
from hearthtide.food.spec import FoodLayer, Portion

LATE = ColourScale(10.0, 20.0, 30.0, 40.0, 48.0)
HOT = Exposure("stone", 300.0, 14_000.0, (14_000.0,) * 4, 350.0)


def at(scale: ColourScale, colour_dE: float):
    food = prepare(Portion("flatbread", (FoodLayer("dough", 0.006),), 0.05, 20.0, colours=scale))
    state = start(food)
    cells = state.cells.copy()
    cells[: column.LUMP, column.BROWN_ABOVE] = browning_for(colour_dE)
    return food, FoodState(cells, state.over, state.on_platter, state.base_C, state.top_C)


def test_the_same_face_is_called_by_the_portions_own_scale():
    assert colour_steps(*at(STANDARD, 20.0)).mean == pytest.approx(3.8)
    assert colour_steps(*at(LATE, 20.0)).mean == pytest.approx(3.0)
    assert reached(*at(STANDARD, 12.0), Target(colour=3))
    assert not reached(*at(LATE, 12.0), Target(colour=3))


def test_burnt_begins_where_the_scale_says():
    food, state = at(STANDARD, 44.0)
    assert burn_margin_s(food, state, HOT) == 0
    food, state = at(LATE, 44.0)
    assert burn_margin_s(food, state, HOT) > 0


def test_a_word_left_out_keeps_its_share_between_its_neighbours():
    # golden 12 -> 24: straw at 5/12 of the way; between golden and 52, brown lies at 10/40, dark at 22/40
    scale = calibrated({"golden": 24.0})
    assert (scale.straw_dE, scale.golden_dE) == (10.0, 24.0)
    assert scale.brown_dE == pytest.approx(24 + 10 / 40 * 28)
    assert scale.dark_dE == pytest.approx(24 + 22 / 40 * 28)
    assert scale.burnt_dE == pytest.approx(24 + 31 / 40 * 28)
    assert calibrated({}) == STANDARD


@pytest.mark.parametrize(
    "given",
    [{"golden": 0.0}, {"golden": 52.0}, {"straw": 14.0, "golden": 13.0}, {"burnt": 60.0}, {"dark": math.nan}],
)
def test_a_scale_that_does_not_rise_is_refused(given):
    with pytest.raises(PhysicalRangeError, match="expected to rise"):
        calibrated(given)


def test_an_unknown_word_is_no_word():
    with pytest.raises(KeyError):
        calibrated({"charred": 40.0})


def test_steps_on_a_scale_of_ones_own():
    assert [step(dE, LATE) for dE in LATE.starts_dE] == [1, 2, 3, 4, 5]


def test_greys_have_no_hue_and_a_difference_is_a_distance():
    grey = lab_of("#777777")
    assert (grey.a, grey.b) == (pytest.approx(0, abs=1e-9), pytest.approx(0, abs=1e-9))
    assert difference(Lab(50, 3, 0), Lab(50, 0, 4)) == 5
    assert lab_of("#D9C9A3") == lab_of("#d9c9a3")


@pytest.mark.parametrize("text", ["d9c9a3", "#d9c9a", "#d9c9ag", "#d9c9a3ff", "", "brown"])
def test_something_else_is_no_colour(text):
    with pytest.raises(PhysicalRangeError, match="#RRGGBB"):
        lab_of(text)
