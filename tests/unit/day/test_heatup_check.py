"""The check of a heat-up window: a good one passes, and each thing done wrong to it is found."""

from dataclasses import replace
from pathlib import Path

import pytest

from hearthtide.day.heatup_check import Facts, check_window
from hearthtide.day.load import Hand, Load, Tray
from hearthtide.house.files import oven_design, read_house
from hearthtide.house.places import Outline, Spot
from hearthtide.house.rota_file import Hours

HOUSE = read_house(Path(__file__).parents[3] / "examples" / "brindlecote")
NINE = 9 * 3600
BEN = Hours("Ben", NINE, 17 * 3600, frozenset({"hearth"}))
ACT_S = {"put in": 45, "turn": 45, "take out": 45}
SPOTS = (
    Spot(-0.05, 0.56, Outline(0.4, 0.3, 0.0), "mid", 0.2, 0.0),
    Spot(0.35, 0.61, Outline(0.3, 0.4, 0.0), "mid", 0.5, 0.0),
    Spot(0.0, 0.5, Outline(0.4, 0.3, 0.0), "mid", 0.3, 0.0),
    Spot(0.5, 0.2, Outline(0.4, 0.3, 0.0), "mid", 0.3, 0.0),
)


def load(key, place, at_s, long_s=1800, who="Ana", **of_tray):
    made = Tray(key, "chicken", "chicken_tray", 4, 1.6, (3,), (0.5,), 0, 2, 100.0, 330.0, True, False)
    hands = (
        Hand("put in", who, at_s, at_s + 45),
        Hand("turn", who, at_s + long_s // 2, at_s + long_s // 2 + 45),
        Hand("take out", who, at_s + long_s, at_s + long_s + 45),
    )
    return Load(replace(made, **of_tray), place, at_s, at_s + long_s, long_s, hands)


def facts(**more):
    made = Facts(
        design=oven_design(HOUSE),
        spots=SPOTS,
        people=(
            Hours("Ana", NINE, 17 * 3600, frozenset({"hearth"})),
            BEN,
            Hours("Cleo", NINE, 17 * 3600, frozenset({"prep"})),
        ),
        act_s=ACT_S,
        lit_s=NINE,
        out_by_s=16 * 3600,
        clean_by_s=16 * 3600 + 300,
        doors_s=17 * 3600,
        wanted={"chicken": 8},
        trays={"chicken": 2},
    )
    return replace(made, **more)


GOOD = (load("chicken 1", 0, NINE + 1800), load("chicken 2", 1, NINE + 1920, who="Ben"))


def test_a_good_window_passes():
    assert check_window(GOOD, {}, facts()) == ()


@pytest.mark.parametrize(
    ("loads", "more", "words"),
    [
        ((GOOD[0], load("chicken 2", 2, NINE + 1920, who="Ben")), {}, "stand in one place"),
        ((GOOD[0], load("chicken 2", 3, NINE + 1920, who="Ben")), {}, "does not stand on the stone"),
        ((GOOD[0], load("chicken 2", 1, NINE + 1800)), {}, "has both"),
        ((GOOD[0], load("chicken 2", 1, NINE + 1920, who="Cleo")), {}, "does not tend the hearth"),
        (
            (GOOD[0], load("chicken 2", 1, 17 * 3600 - 1800, who="Ben")),
            {"out_by_s": 18 * 3600},
            "is not there",
        ),
        (GOOD, {"lit_s": NINE + 1860}, "before the fire is lit"),
        (GOOD, {"out_by_s": NINE + 3600}, "is out at"),
        (GOOD[:1], {}, "4 cooked and 0 left over of 8"),
        (GOOD, {"trays": {"chicken": 1}}, "2 trays at"),
        ((GOOD[0], replace(GOOD[1], asked_s=1900)), {}, "where it wants"),
        ((GOOD[0], replace(GOOD[1], hands=GOOD[1].hands[:2])), {}, "its acts are"),
        ((GOOD[0], replace(GOOD[1], in_s=NINE + 1860)), {}, "not put in or taken out"),
        ((GOOD[0], GOOD[0]), {}, "a tray is in twice"),
        (GOOD, {"act_s": ACT_S | {"turn": 60}}, "less than the 60 s"),
        ((GOOD[0], load("chicken 2", 1, NINE + 3400, who="Ben")), {}, "is set down raw beside"),
        (GOOD, {"doors_s": 18 * 3600}, "nobody tends the fire from 17:00 on"),
        (
            GOOD,
            {"people": (replace(BEN, until_s=16 * 3600), replace(BEN, name="Ana", until_s=15 * 3600))},
            "nobody reads",
        ),
        (
            (GOOD[0], load("chicken 2", 1, NINE + 1920, who="Ben", raw=False, ready_to_eat=True)),
            {},
            "raw beside ready to eat",
        ),
    ],
)
def test_what_is_wrong_is_found(loads, more, words):
    assert any(words in fault for fault in check_window(loads, {}, facts(**more)))


def test_what_is_said_to_be_left_over_is_counted():
    assert check_window(GOOD[:1], {"chicken": 4}, facts()) == ()
