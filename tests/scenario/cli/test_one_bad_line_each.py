"""A night with one thing of each kind wrong: a clear line each, and the rest of the night is planned."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from at_the_prompt import typed

EXAMPLES = Path(__file__).parents[3] / "examples"
NIGHT = """\
name: Bad lines
lit: 14:00
doors: 17:00
last_call: 21:30
tickets:
  - {table: A1, covers: 2, called: 18:00, wanted: 18:20, dishes: [pizza, half_chicken]}
  - {table: B2, covers: 2, called: 16:20, wanted: 16:40, dishes: [pizza]}
  - {table: C3, covers: 1, called: 18:05, wanted: 18:25, dishes: [{dish: pizza, spot: {x: 20 cm, y: 55 cm}}]}
  - {table: D4, covers: 1, called: 18:05, wanted: 18:25, dishes: [{dish: pizza, spot: {x: 24 cm, y: 55 cm}}]}
  - {table: E5, covers: 2, called: 18:10, wanted: 18:35, dishes: [flatbread, half_chicken]}
  - {table: F6, covers: 2, called: 18:15, wanted: 18:40, dishes: [wings, pizza]}
  - {table: G7, covers: 2, called: 18:20, wanted: 18:45, dishes: [cheese_dip, pizza]}
"""
WRONG = {
    "contradictory targets": ("dishes/flatbread.yaml", "colour"),
    "a negative band": ("dishes/wings.yaml", "band.early = -10 s"),
    "a dish that fits nowhere": ("dishes/cheese_dip.yaml", "clear_of_flame"),
    "a ticket in the past": ("nights/bad.yaml", "a time from doors to last_call"),
    "two dishes on one spot": ("nights/bad.yaml", "stands there then too"),
}
LEFT_OUT = {"E5": "flatbread", "F6": "wings", "G7": "cheese_dip"}


def change(path: Path, spoil: Callable[[str], str]) -> None:
    text = path.read_text(encoding="utf-8")
    spoilt = spoil(text)
    assert spoilt != text
    path.write_text(spoilt, encoding="utf-8")


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[int, list[str], dict[str, Any]]:
    house = tmp_path_factory.mktemp("bad") / "house"
    shutil.copytree(EXAMPLES / "brindlecote", house)
    change(house / "dishes/flatbread.yaml", lambda text: text + "colour_at_most: pale\n")
    band = "minutes: 10:00\n    band: {early: -10 s}"
    change(house / "dishes/wings.yaml", lambda text: text.replace("minutes: 10:00", band))
    change(house / "dishes/cheese_dip.yaml", lambda text: text + "clear_of_flame: 130 cm\n")
    (house / "nights/bad.yaml").write_text(NIGHT, encoding="utf-8")
    done = typed("plan", house, "bad", "--json")
    assert "Traceback" not in done.stderr
    left_out = [line for line in done.stderr.splitlines() if line.startswith("Left out")]
    return done.returncode, left_out, json.loads(done.stdout)


@pytest.mark.parametrize("kind", WRONG)
def test_one_clear_line_for_what_is_wrong(planned, kind):
    file, words = WRONG[kind]
    (line,) = (line for line in planned[1] if file in line and words in line)
    assert "expected" in line


def test_a_plate_whose_dish_is_set_aside_is_named_with_its_table(planned):
    for dish in LEFT_OUT.values():
        assert sum(f"dishes/{dish}.yaml is not" in line for line in planned[1]) == 1
    assert len(planned[1]) == len(WRONG) + len(LEFT_OUT)


def test_the_rest_of_the_night_is_planned_and_the_exit_code_says_it_is_not_whole(planned):
    code, _, plan = planned
    assert code == 1 and plan["kept"] is False
    made = {(item["ticket"], item["dish"]) for item in plan["items"]}
    assert made == {
        ("A1", "pizza"),
        ("A1", "half_chicken"),
        ("C3", "pizza"),
        ("D4", "pizza"),
        ("E5", "half_chicken"),
        ("F6", "pizza"),
        ("G7", "pizza"),
    }
    (broken,) = (check for check in plan["checks"] if not check["ok"])
    assert broken["name"] == "plates ordered"


def test_the_first_of_two_keeps_its_spot_and_the_other_gets_one_of_its_own(planned):
    (first,) = (item["stays"][0] for item in planned[2]["items"] if item["ticket"] == "C3")
    (other,) = (item["stays"][0] for item in planned[2]["items"] if item["ticket"] == "D4")
    assert abs(first["x_m"] - 0.20) <= 0.025 and abs(first["y_m"] - 0.55) <= 0.025 + 1e-9
    apart = ((first["x_m"] - other["x_m"]) ** 2 + (first["y_m"] - other["y_m"]) ** 2) ** 0.5
    together = first["start_s"] < other["end_s"] and other["start_s"] < first["end_s"]
    assert not together or apart >= first["diameter_m"]
