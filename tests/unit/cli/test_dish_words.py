"""What `dish` says and writes: words a cook knows, and the cautions with every answer."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hearthtide.cli import chill_command, dish_command, dish_table
from hearthtide.cli.chill_asked import Asked, case_of
from hearthtide.cli.chill_tried import Tried
from hearthtide.cli.dish_acts import acts_lines
from hearthtide.cli.dish_tried import Left, Parts
from hearthtide.food.cooking import Target
from hearthtide.food.lethality import Lethality, organism
from hearthtide.food.probe import Agreement
from hearthtide.house.files import read_house
from hearthtide.house.foods_file import CompositionFile, OwnFoodFile
from hearthtide.house.places import Outline
from hearthtide.planning.dish_course import DishAct, DishCourse, Killed, StageCourse, Track

HOUSE = read_house(Path(__file__).parents[3] / "examples" / "brindlecote")


def test_what_a_log_is_stands_beside_it_once() -> None:
    none = np.zeros(1)
    track = Track(none, none, none, none, none, none, none, np.ones((1, 5)), none)
    found = Lethality(np.array([2.0]), np.array([True]), 2.0, 0.01, 0.02)
    killed = Killed(organism("salmonella_chicken_12_fsis"), found)
    lies = ("warm", "mid", 0.0, 0.6, Outline(0.26, 0.2, 0.0), None, 350.0, 0.0, 240.0, True, Target(74.0))
    acts = (DishAct("launch", 0, 0.0),)
    course = DishCourse("Bird", 4.0, 14e3, (StageCourse(*lies),), acts, 0.0, None, killed, track)
    text = "\n".join(acts_lines(course))
    assert "2.0 log at the worst point" in text
    assert text.count("leaves one in ten alive") == 1


def test_a_table_of_a_fatty_food_of_the_houses_own_carries_its_caution() -> None:
    lard = OwnFoodFile(
        name="house_lard",
        composition=CompositionFile(protein=1, fat=80, carbohydrate=0),
        behaviour="fluid",
        source="packet",
    )
    dish = HOUSE.dishes["half_chicken"]
    layers = (dish.layers[0].model_copy(update={"food": "house_lard"}),)
    dishes = {"half_chicken": dish.model_copy(update={"layers": layers})}
    house = HOUSE.model_copy(update={"dishes": dishes, "foods": {"house_lard": lard}})
    first, *words, last = dish_table._body(house, "half_chicken", (), False)["cautions"]
    assert "temp it" in first and "No rule set" in last
    assert any("Never put water on burning fat" in line for line in words)
    plain = dish_table._body(HOUSE, "half_chicken", (), False)["cautions"]
    assert not any("burning fat" in line for line in plain)


def test_the_answer_of_chill_carries_its_cautions() -> None:
    case = case_of(Asked("chicken_cooked", thickest="40mm"))
    cautions = " ".join(chill_command._body(case, Tried((), (), None, ()))["cautions"])
    assert "warmest part" in cautions and "local code" in cautions and "No rule set" in cautions


def test_differences_are_told_in_degrees_of_the_probe(capsys: pytest.CaptureFixture[str]) -> None:
    left = Left(360.0, 12.0, None, None, None, False, 64.0, False, True, -9.0)
    assert "9 °C below the nearest" in dish_command._reading(left)
    assert "3 °C" in dish_command._parts(Parts(300, 420, 330, 390))  # 2 K, a tenth beyond 1.28 of it
    now = case_of(
        Asked(
            "chicken_cooked",
            thickest="40mm",
            now="rack",
            reading=("1:00=12C",),
            limits="57C,21C@2:00,5C@6:00",
        )
    )
    told = Agreement(np.ones(1), 1.0, False, True, -9.0)
    chill_command._print(now, Tried((), (), told, ()))
    assert "9 °C below the nearest" in capsys.readouterr().out.replace("\n", " ")
