"""The cook's words for a move."""

from __future__ import annotations

from typing import get_args

import pytest

from hearthtide.house.models import Act, Place
from hearthtide.house.places import Outline, Spot
from hearthtide.oven.hearth import RectangularHearth
from hearthtide.planning.words import move_words, round_words, side_words, zone_words


@pytest.mark.parametrize(
    ("x_m", "y_m", "words"),
    [  # a hearth of 1.2 m in thirds of 0.4 m: front, middle and back from the mouth in, left and right of it
        (-0.3, 0.2, "front left"),
        (0.0, 0.2, "front"),
        (0.3, 0.6, "middle right"),
        (0.0, 0.6, "middle"),
        (-0.21, 0.6, "middle left"),
        (0.19, 1.0, "back"),
        (0.21, 1.0, "back right"),
    ],
)
def test_sides_as_the_cook_at_the_mouth_sees_them(x_m: float, y_m: float, words: str) -> None:
    spot = Spot(x_m, y_m, Outline(0, 0, 0.1), "mid", 0.3, 0.0)
    assert side_words(spot, RectangularHearth(1.2, 1.2)) == words


@pytest.mark.parametrize(
    ("x_m", "y_m", "words"),
    [  # 1.5 m wide in thirds of 50 cm, 0.9 m deep in thirds of 30 cm
        (-0.3, 0.31, "middle left"),
        (-0.2, 0.61, "back"),
        (0.26, 0.29, "front right"),
    ],
)
def test_a_wide_hearth_has_thirds_of_its_own_each_way(x_m: float, y_m: float, words: str) -> None:
    spot = Spot(x_m, y_m, Outline(0, 0, 0.1), "mid", 0.3, 0.0)
    assert side_words(spot, RectangularHearth(1.5, 0.9)) == words


@pytest.mark.parametrize(
    ("act", "words"),
    [
        ("dress", "B4, dress pizza"),
        ("launch", "B4, pizza in, back left"),
        ("turn", "B4, turn pizza a third round, back left"),
        ("spin", "B4, spin pizza a third round, back left"),
        ("flip", "B4, flip pizza, back left"),
        ("move", "B4, pizza to the flame, back left"),
        ("pull", "B4, pizza out, back left"),
        ("cut", "B4, cut pizza"),
    ],
)
def test_every_act_has_its_words_table_first(act: Act, words: str) -> None:
    assert move_words(act, "B4", "Pizza", "back left", "near", 120.0) == words


@pytest.mark.parametrize("act", ["turn", "spin", "flip", "pull"])
def test_the_side_is_left_out_where_one_item_is_meant_anyway(act: Act) -> None:
    assert "back" not in move_words(act, "B4", "Pizza", "", "near", 120.0)
    assert not move_words(act, "B4", "Pizza", "", "near", 120.0).endswith((",", " "))


def test_no_act_is_without_words() -> None:
    said = {
        act: move_words(act, "B4", "Pizza", "back", "mid", 90.0) for act in get_args(Act) if act != "flame"
    }
    assert len(set(said.values())) == len(said)
    assert all(text.startswith("B4, ") for text in said.values())


@pytest.mark.parametrize(
    ("degrees", "words"),
    [(180.0, "half round"), (120.0, "a third round"), (90.0, "a quarter round"), (72.0, "72° round")],
)
def test_how_far_round(degrees: float, words: str) -> None:
    assert round_words(degrees) == words


def test_every_zone_has_a_word() -> None:
    assert len({zone_words(zone) for zone in get_args(Place)}) == len(get_args(Place))
