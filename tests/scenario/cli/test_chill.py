"""`chill`: a cook with a tray of birds asks which way makes it, probes, and is told what then."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from at_the_prompt import typed

HOUSE = Path(__file__).parents[3] / "examples" / "brindlecote"
US = ("--limits", "57C,21C@2:00,5C@6:00")
BIRDS = ("chicken_cooked", "--thickest", "40mm", "--from", "82C")


@cache
def chill(*words: str) -> CompletedProcess[str]:
    done = typed("chill", *words)
    assert "Traceback" not in done.stderr
    return done


def body(*words: str, code: int = 0) -> dict:
    done = chill(*words, "--json")
    assert done.returncode == code, done.stderr
    return json.loads(done.stdout)


def ways(*words: str) -> dict[str, dict]:
    return {way["word"]: way for way in body(*words)["ways"]}


def test_every_time_has_a_band_and_the_ways_come_in_order():
    rows = list(ways(*BIRDS, *US).values())
    assert len(rows) == 7
    for row in rows:
        for times in (row["from_s"], row["middle_s"]):
            assert times["low"] < times["median"] < times["high"]
    ends = [row["end_s"]["median"] for row in rows]
    assert ends == sorted(ends)
    assert rows[-1]["word"] == "covered"
    cautions = " ".join(body(*BIRDS, *US)["cautions"])
    assert "warmest part" in cautions and "No rule set" in cautions


def test_the_trades_finding_that_still_air_and_forty_millimetres_miss_two_hours():
    """Stacked or still-air chilling of 40 mm pieces fails the 2 h limit; a blast chiller keeps it (trade)."""
    found = ways(*BIRDS, *US)
    assert found["covered"]["kept_share"] == 0 and found["tray"]["kept_share"] < 0.1
    assert found["rack"]["kept_share"] < 0.9
    assert found["blast"]["kept_share"] > 0.9
    change = found["tray"]["change"]
    assert change["until_sure_s"] is not None and found[change["to"]]["kept_share"] > 0.9


def test_thickness_counts_for_more_than_itself_and_up_to_how_much_it_may_be():
    for row in ways(*BIRDS, *US).values():
        assert 1.1 < row["thicker"] < 1.21  # between thickness alone (the air decides) and its square
        assert (row["thickest_m"] >= 0.0395) == (row["kept_share"] >= 0.9)


def test_without_limits_nothing_is_judged_and_it_says_so():
    said = chill(*BIRDS)
    assert said.returncode == 0
    assert "nothing is judged" in said.stdout and "makes it" not in said.stdout
    assert all(row["kept_share"] is None for row in ways(*BIRDS).values())


def test_a_round_bird_is_sooner_than_a_slab_of_its_thickness():
    flat, bird = ways(*BIRDS), ways(*BIRDS, "--shape", "bird")
    assert all(bird[word]["middle_s"]["median"] < flat[word]["middle_s"]["median"] for word in flat)


def test_a_reading_on_the_curve_narrows_and_leaves_the_middle():
    before = ways(*BIRDS, *US)["rack"]["middle_s"]
    after = body(*BIRDS, *US, "--now", "rack", "--reading", "1:00=48C")
    (now,) = after["ways"]
    assert now["word"] == "rack" and not after["reading"]["contradicted"]
    found = now["middle_s"]
    assert found["high"] - found["low"] < 0.7 * (before["high"] - before["low"])
    assert found["median"] == pytest.approx(before["median"], rel=0.1)
    assert {change["to"] for change in after["changes"]} == {
        "covered",
        "tray",
        "fan-tray",
        "fan-rack",
        "ice",
        "blast",
    }
    blast = next(change for change in after["changes"] if change["to"] == "blast")
    assert blast["at_s"] == 3600 and blast["until_sure_s"] > 3600


def test_a_reading_that_cannot_be_ends_with_exit_1_and_foretells_nothing():
    words = (*BIRDS, *US, "--now", "rack", "--reading", "1:00=12C")
    said = chill(*words)
    assert said.returncode == 1
    assert "contradicts the models" in said.stdout and "°C below" in said.stdout and "Probe" in said.stdout
    assert body(*words, code=1)["ways"] == []


def test_nothing_that_makes_it_ends_with_exit_1():
    found = body("tomato_sauce", "--thickest", "150mm", *US, code=1)
    assert not found["done"] and all(way["kept_share"] < 0.9 for way in found["ways"])


def test_air_that_is_too_warm_never_gets_there_and_says_so():
    said = chill(*BIRDS, "--air", "7C")
    assert "not below 5 °C brings no core there" in said.stdout
    assert ways(*BIRDS, "--air", "7C")["covered"]["end_s"]["median"] is None


def test_a_dish_of_a_house_by_the_clock_with_its_cautions():
    said = chill("half_chicken", "--house", str(HOUSE), *US, "--out", "15:10")
    assert said.returncode == 0, said.stderr
    assert "Half chicken" in said.stdout and "from 74 °C" in said.stdout and "15:10" in said.stdout
    for word in ("warmest part", "burn", "local code", "No rule set", "Minutes that each alone"):
        assert word in said.stdout


def test_a_clock_past_midnight_says_so():
    """Out at 23:30: what takes an hour and more is of the day after."""
    since = ways("half_chicken", "--house", str(HOUSE), *US)["covered"]["end_s"]["median"]
    assert since > 3600
    said = chill("half_chicken", "--house", str(HOUSE), *US, "--out", "23:30").stdout
    (row,) = (line for line in said.splitlines() if line.startswith("  covered  ") and "(" in line)
    hour = int((23.5 + since / 3600) % 24)
    assert f"{hour:02d}:" in row and "+1" in row and "24:" not in row


def test_food_that_is_nearly_cold_already():
    found = body("chicken_cooked", "--thickest", "20mm", "--from", "12C", *US)
    assert found["done"]
    assert all(way["middle_s"]["median"] == 0 and way["thicker"] is None for way in found["ways"])


def test_the_picture_is_written(tmp_path):
    path = tmp_path / "birds.svg"
    done = chill(*BIRDS, *US, "--now", "rack", "--reading", "1:00=48C", "--picture", str(path))
    assert done.returncode in (0, 1), done.stderr
    text = path.read_text(encoding="utf-8")
    assert "5 °C by 6:00" in text and "read 48 °C" in text and "chicken cooked, 40 mm flat" in text
    again = tmp_path / "cold.svg"
    assert chill("butter", "--thickest", "20mm", "--from", "30C", "--picture", str(again)).returncode == 0
    assert "since it began to chill" in again.read_text(encoding="utf-8")
