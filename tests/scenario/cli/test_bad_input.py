"""Whatever a person writes wrong: a clear line, the right exit code, never a traceback."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from at_the_prompt import typed

EXAMPLES = Path(__file__).parents[3] / "examples"


def hearthtide(*words: object) -> CompletedProcess[str]:
    return typed(*words)


@pytest.fixture
def house(tmp_path) -> Path:
    folder = tmp_path / "house"
    shutil.copytree(EXAMPLES / "brindlecote", folder)
    return folder


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


LARD = """\
foods:
  - {name: lard, composition: {protein: 0, fat: 130, carbohydrate: 0}, behaviour: fluid, source: packet}
"""


def bomb() -> str:
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 9)]
    return "\n".join(rows) + "\n"


def spoil(house: Path, case: str) -> None:
    match case:
        case "an oven that is no oven":
            change(house / "oven.yaml", "diameter: 1.2 m", "diameter: 12 m")
        case "a stage nobody can satisfy":
            change(house / "dishes/pizza.yaml", "clear_of_flame: 30 cm", "clear_of_flame: 140 cm")
        case "a ticket for an unknown dish":
            change(house / "nights/tuesday.yaml", "dishes: [pizza, wings", "dishes: [pizzza, wings")
        case "not YAML":
            (house / "house.yaml").write_text("name: [unclosed\n", encoding="utf-8")
        case "a YAML bomb":
            (house / "dishes/bomb.yaml").write_text(bomb(), encoding="utf-8")
        case "a missing file":
            (house / "oven.yaml").unlink()
        case "a steak of 400 mm":
            change(house / "dishes/strip_steak.yaml", "thickness: 25 mm", "thickness: 400 mm")
        case "a start above the target":
            change(house / "dishes/shrimp.yaml", "start: 4 C", "start: 70 C")
        case "a dish with no stage":
            text = (house / "dishes/wings.yaml").read_text(encoding="utf-8")
            before, after = text.index("stages:"), text.index("hold:")
            spoiled = f"{text[:before]}stages: []\n{text[after:]}"
            (house / "dishes/wings.yaml").write_text(spoiled, encoding="utf-8")
        case "fat over 100 %":
            (house / "foods.yaml").write_text(LARD, encoding="utf-8")
        case "a colour scale that falls":
            (house / "house.yaml").write_text(
                (house / "house.yaml").read_text(encoding="utf-8") + "\ncolours: {golden: 20, brown: 15}\n",
                encoding="utf-8",
            )
        case "a word without a scale":
            change(house / "dishes/strip_steak.yaml", "core: 50 C", "core: medium rare")


@pytest.mark.parametrize(
    ("case", "file", "field"),
    [
        ("an oven that is no oven", "oven.yaml", "diameter"),
        ("a stage nobody can satisfy", "pizza.yaml", "clear_of_flame"),
        ("a ticket for an unknown dish", "tuesday.yaml", "pizzza"),
        ("not YAML", "house.yaml", "YAML"),
        ("a YAML bomb", "bomb.yaml", "anchor"),
        ("a missing file", "oven.yaml", "file"),
        ("a steak of 400 mm", "strip_steak.yaml", "thickness"),
        ("a start above the target", "shrimp.yaml", "core"),
        ("a dish with no stage", "wings.yaml", "stages"),
        ("fat over 100 %", "foods.yaml", "fat"),
        ("a colour scale that falls", "house.yaml", "colours"),
        ("a word without a scale", "strip_steak.yaml", "medium rare"),
    ],
)
def test_one_clear_line_and_exit_2(house, case, file, field):
    spoil(house, case)
    done = hearthtide("check", house)
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr + done.stdout
    line = next(line for line in done.stderr.splitlines() if file in line)
    assert field.lower() in line.lower()
    assert "expected" in line


def test_all_mistakes_at_once(house):
    change(house / "oven.yaml", "diameter: 1.2 m", "diameter: 12 m")
    change(house / "dishes/pizza.yaml", "start: 20 C", "start: warm")
    done = hearthtide("check", house)
    assert done.returncode == 2
    assert "oven.yaml" in done.stderr and "pizza.yaml" in done.stderr


@pytest.mark.parametrize(
    "words",
    [("plan", "nowhere", "tuesday"), ("heat", "nowhere"), ("dish", "nowhere", "pizza"), ("check", "nowhere")],
)
def test_a_house_that_is_not_there(words):
    done = hearthtide(*words)
    assert done.returncode == 2 and "Traceback" not in done.stderr and "nowhere" in done.stderr


def test_a_night_dish_flame_or_ticket_that_is_not_there_names_those_that_are():
    house = EXAMPLES / "brindlecote"
    for words, known in (
        (("plan", house, "sunday"), "tuesday"),
        (("dish", house, "soup"), "pizza"),
        (("heat", house, "--flame", "roaring"), "full"),
        (("plan", house, "tuesday", "--beside", "Z9"), "C6"),
    ):
        done = hearthtide(*words)
        assert done.returncode == 2 and known in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize("command", [("dish", "flatbread", "--json"), ("plan", "tuesday")])
def test_a_dish_the_oven_can_never_do_ends_with_exit_1(house, command):
    """A loaf 90 mm thick that should be dark at the mouth within forty minutes."""
    flatbread = house / "dishes/flatbread.yaml"
    change(flatbread, "until: {core: 90 C, colour: straw}", "until: {core: 98 C, colour: dark}")
    change(flatbread, "places: [mid, edge]", "places: [mouth]")
    change(flatbread, "{food: dough, thickness: 6 mm}", "{food: dough, thickness: 90 mm}")
    done = hearthtide(command[0], house, *command[1:])
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    if command[0] == "dish":
        assert json.loads(done.stdout)["done"] is False
    else:
        left_out = next(line for line in done.stdout.splitlines() if "plates ordered" in line)
        assert "BROKEN" in left_out and "flatbread" in left_out and "lands" not in left_out
        assert "nowhere on this hearth" in " ".join(done.stdout.split())


def test_serve_without_a_report_is_refused():
    done = hearthtide("plan", EXAMPLES / "brindlecote", "tuesday", "--serve")
    assert done.returncode == 2 and "--report" in done.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("soup", "--thickest", "40mm"), ("FOOD = soup", "chicken_cooked")),
        (("beans",), ("--thickest", "40mm")),
        (("beans", "--thickest", "400mm"), ("--thickest = 400mm", "200 mm")),
        (("beans", "--thickest", "40mm", "--limits", "21C,57C@2:00,5C@6:00"), ("--limits", "falling")),
        (("beans", "--thickest", "40mm", "--from", "3C"), ("--from = 3 °C", "above 5 °C")),
        (("beans", "--thickest", "40mm", "--from", "8C", "--air", "9C"), ("--from = 8 °C", "the air's 9 °C")),
        (("beans", "--thickest", "40mm", "--reading", "1:00=34C"), ("--reading", "--now")),
        (("beans", "--thickest", "40mm", "--house", "nowhere"), ("nowhere",)),
        (("beans", "--thickest", "40mm", "--picture", "no/where/x.svg"), ("--picture", "folder")),
    ],
)
def test_chilling_asked_wrongly(words, said):
    done = hearthtide("chill", *words)
    assert done.returncode == 2 and done.stdout == "" and "Traceback" not in done.stderr
    (line,) = done.stderr.splitlines()
    assert "expected" in line and all(word in line for word in said)
