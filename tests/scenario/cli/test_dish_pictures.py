"""`dish` in pictures and acts: a run over time, the hearth with every place tried, one spot exactly."""

from __future__ import annotations

import json
import shutil
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from asked_once import once
from at_the_prompt import typed
from hearthtide.cli import dish_command
from hearthtide.planning.settled import settled

HOUSE = Path(__file__).parents[3] / "examples" / "brindlecote"


@pytest.fixture(scope="module", autouse=True)
def settled_once():
    """The house's oven is heated up once for all the dishes asked of it in this process."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(dish_command, "settled", once(settled))
        yield


def dish(*words: object, house: Path = HOUSE) -> CompletedProcess[str]:
    done = typed("dish", house, *words)
    assert "Traceback" not in done.stderr
    return done


@cache
def told(*words: str) -> dict[str, object]:
    done = dish(*words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_pictures_as_svg_and_png_with_their_caution(tmp_path):
    run, hearth = tmp_path / "run.svg", tmp_path / "hearth.svg"
    done = dish("pizza", "--spot", "5,45", "--picture", run, "--map", hearth, "--json")
    assert done.returncode == 0, done.stderr
    for path in (run, hearth):
        text = path.read_text(encoding="utf-8")
        ET.fromstring(text)
        assert "probe it" in text and "prefers-color-scheme:dark" in text
    assert {"core", "top", "turn", "pull", "asked core"} <= names(run)
    assert {"done", "wall", "vessel"} <= names(hearth)
    body = json.loads(done.stdout)
    (stage,) = body["map"]
    assert len(stage["spots"]) > 20
    here = min(stage["spots"], key=lambda s: abs(s["x_m"] - 0.05) + abs(s["y_m"] - 0.45))
    assert here["seconds"] == pytest.approx(body["acts"][-1]["at_s"], rel=0.15)  # a hand's breadth away
    narrow = tmp_path / "run.png"
    assert dish("pizza", "--spot", "mid", "--picture", narrow, "--narrow").returncode == 0
    assert narrow.read_bytes().startswith(b"\x89PNG") and narrow.stat().st_size > 20_000


def names(path: Path) -> set[str | None]:
    return {mark.get("data-name") for mark in ET.parse(path).iter()}


def test_a_spot_is_told_alone_and_runs_there():
    body = told("pizza", "--spot", "5,45")
    (row,), (stage,) = body["tried"], body["stages"]
    assert (stage["x_m"], stage["y_m"]) == (0.05, 0.45)
    assert row["place"] == stage["place"] and row["seconds"] == stage["end_s"]
    assert [act["act"] for act in body["acts"]] == ["launch", "turn", "turn", "pull"]


def test_acts_rest_and_course_are_told():
    body = told("strip_steak")
    acts, rest, course = body["acts"], body["rest"], body["course"]
    assert [act["act"] for act in acts] == ["launch", "flip", "pull", "rest"]
    launch, flip, pull, rested = acts
    assert flip["at_s"] == pytest.approx(pull["at_s"] / 2, abs=1)
    assert pull["low_s"] < pull["at_s"] < pull["high_s"]
    assert rested["at_s"] - pull["at_s"] == rest["seconds"] == 300  # its file's five minutes
    assert rest["carry_over_K"] > 0 and 0 < rest["highest_after_s"] <= 300
    assert {len(values) for values in course.values()} == {len(course["times_s"])}
    assert 50 < len(course["times_s"]) < 150 and course["times_s"][-1] == rested["at_s"]
    assert launch["at_s"] == 0 and any("temp it" in caution for caution in body["cautions"])


def test_words_say_when_to_do_what():
    done = dish("half_chicken")
    assert done.returncode == 0, done.stderr
    said = done.stdout[done.stdout.index("From launch") :]
    for word in ("in at mid", "flip", "move to near", "pull (", "rested", "°C after"):
        assert word in said
    assert "temp it" in said and "No rule set" in said


def test_a_place_that_this_hearth_has_not_has_no_course(tmp_path):
    folder = tmp_path / "house"
    shutil.copytree(HOUSE, folder)
    file = folder / "house.yaml"
    file.write_text(file.read_text().replace("mouth_depth: 12 cm", "mouth_depth: 0 cm"))
    done = dish("cheese_dip", "--place", "mouth", house=folder)
    assert done.returncode == 1
    assert "can be done nowhere" in done.stdout and "From launch" not in done.stdout
    drawn = dish("cheese_dip", "--place", "mouth", "--picture", tmp_path / "run.svg", house=folder)
    assert drawn.returncode == 2 and "--picture" in drawn.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("pizza", "--spot", "200,40"), ("--spot = 200,40", "on the hearth", "nearest")),
        (("pizza", "--spot=-10,65"), ("--spot = -10,65", "30 cm from the flame", "nearest")),
        (("pizza", "--spot", "0,5"), ("--spot = 0,5", "room for 28 cm")),
        (("pizza", "--spot", "mouth"), ("--spot = mouth", "mid, edge")),
        (("pizza", "--spot", "5,45", "--place", "mid"), ("--spot", "--place")),
        (("pizza", "--picture", "run.gif"), ("--picture = run.gif", ".svg or .png")),
        (("pizza", "--narrow"), ("--narrow", "--picture or --map")),
        (("pizza", "--place", "mid", "--picture", "/nowhere/run.svg"), ("--picture", "can be written")),
    ],
)
def test_one_clear_line_and_exit_2(words, said):
    done = dish(*words)
    assert done.returncode == 2
    (line,) = [line for line in done.stderr.splitlines() if "expected" in line]
    assert all(word in line for word in said)
    assert done.stdout == ""
