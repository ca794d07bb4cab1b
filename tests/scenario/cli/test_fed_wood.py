"""`heat --answer` on fed wood: an invented wood oven, sums by hand, and what cannot be fed in one line."""

from __future__ import annotations

import json
import shutil
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest

from at_the_prompt import typed

EXAMPLES = Path(__file__).parents[3] / "examples"
READ = ("--stone-C", "300")  # a measured stone: the quickest start
OVEN = """name: Alder hearth
shape: round
diameter: 1.0 m
crown_rise: 40 cm
mouth_width: 45 cm
mouth_height: 25 cm
door: {layers: [{material: steel, thickness: 2 mm}, {material: calcium_silicate, thickness: 40 mm}]}
floor: [{material: fireclay, thickness: 50 mm}, {material: calcium_silicate, thickness: 100 mm}]
dome: [{material: castable, thickness: 60 mm}, {material: fibre_blanket, thickness: 120 mm}]
fuel: wood
moisture: 20 %
split: 0.8 kg
burners: [{kind: bed, bearing: -75 deg, standoff: 18 cm, diameter: 30 cm}]
flames: [{name: embers, wood: 1 kg/h}, {name: half, wood: 3 kg/h}, {name: high, wood: 6 kg/h}]
floor_band: {low: 330 C, high: 360 C}
"""
# Net value at 20 % moisture by hand: 0.8 * 18.15 - 0.2 * 2.44 = 14.03 MJ/kg
J_kg = 14.03e6


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    folder = shutil.copytree(EXAMPLES / "brindlecote", tmp_path_factory.mktemp("fed") / "house")
    (folder / "oven.yaml").write_text(OVEN, encoding="utf-8")
    return folder


def heat(house, *words):
    done = typed("heat", house, *words)
    assert "Traceback" not in done.stderr
    return done


@cache
def told(house, *words):
    done = heat(house, "--json", "--answer", *words)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_fuel_by_hand(house):
    """4 kg/h for 2 h: 8 kg in ten splits of 0.8 kg, one each 12 min; at 0.30 a kg 2.40. What is not yet burnt
    is still on the hearth: at least the flames of all but the last half hour came out, never all of it."""
    body = told(house, "fuel", "--wood", "4kg/h", "--hours", "2", "--price", "0.30/kg")
    assert body["laid_kg"] == pytest.approx(8.0) and body["splits"] == 10
    assert body["cost"] == pytest.approx(2.40)
    assert [split["time_s"] for split in body["fed"]["splits"]] == [720.0 * i for i in range(10)]
    assert 0.75 * 8.0 < body["mass_kg"] < 8.0
    assert body["energy_kWh"] == pytest.approx(body["mass_kg"] * J_kg / 3.6e6, rel=1e-3)
    ledger = body["ledger"]
    assert ledger["fuel_J"] == pytest.approx(body["energy_kWh"] * 3.6e6)
    parts = sum(ledger[f"{name}_J"] for name in ("floor", "dome", "flue", "mouth", "shell"))
    assert parts == pytest.approx(ledger["fuel_J"], rel=0.005)


def test_fuel_by_the_kilowatt_hour_counts_what_was_laid(house):
    """Two splits of 1.5 kg, 3 kg of 14.03 MJ/kg: 11.69 kWh, at 0.10 each 1.17."""
    laid = ("--split", "19:40=1.5kg", "--split", "20:10=1500 g")
    body = told(house, "fuel", *laid, "--hours", "1", "--price", "0.10/kWh")
    assert body["laid_kg"] == pytest.approx(3.0)
    assert body["cost"] == pytest.approx(3 * J_kg / 3.6e6 * 0.10, rel=1e-3)
    assert body["fed"]["splits"] == [{"time_s": 0.0, "mass_kg": 1.5}, {"time_s": 1800.0, "mass_kg": 1.5}]


def test_ready_says_the_wood_it_took(house):
    done = heat(house, "--answer", "ready", "--wood", "6kg/h", "--aim-C", "200", "--price", "0.30/kg")
    assert done.returncode == 0, done.stderr
    assert "fed 6 kg/h in splits of 0.8 kg, on a hearth without embers, from cold:" in done.stdout
    body = told(house, "ready", "--wood", "6kg/h", "--aim-C", "200", "--price", "0.30/kg")
    assert body["soonest_s"] <= body["ready_s"] <= body["latest_s"]
    assert body["flame"] is None and body["power_W"] is None
    # A split each 8 min; those laid before it was ready.
    count = int(body["ready_s"] // 480) + 1
    assert body["fuel"]["splits"] == count
    assert body["fuel"]["laid_kg"] == pytest.approx(0.8 * count)
    assert body["fuel"]["cost"] == pytest.approx(0.30 * 0.8 * count)
    assert f"{0.8 * count:.2f} kg of wood laid in {count} splits; at 0.30/kg that costs" in done.stdout


def test_more_wood_is_sooner_and_too_little_never_gets_there(house):
    slow, quick = (told(house, "ready", "--wood", rate, "--aim-C", "200") for rate in ("5kg/h", "15 lb/h"))
    assert quick["ready_s"] < slow["ready_s"]
    done = heat(house, "--answer", "ready", "--split", "17:00=1kg", "--aim-C", "200")
    assert done.returncode == 0, done.stderr
    assert "not within 12 h; it comes to" in done.stdout and "°C at most, after" in done.stdout


def test_ahead_rises_after_a_split_and_counts_embers_from_before(house):
    words = ("ahead", *READ, "--minutes", "30", "--now", "19:30")
    none = told(house, *words, "--split", "19:55=0.1kg")
    late = told(house, *words, "--split", "19:40=2kg")
    early = told(house, *words, "--split", "19:10=2kg", "--split", "19:40=2kg")
    at = {name: [row["stone_C"] for row in body["rows"]] for name, body in
          (("none", none), ("late", late), ("early", early))}  # fmt: skip
    assert at["late"][:3] == at["none"][:3]  # nothing burns until 19:40
    assert at["late"][4] > at["none"][4] + 5
    assert at["early"][2] > at["late"][2]
    assert early["fuel"]["laid_kg"] == 2.0 and early["fed"]["splits"][0]["time_s"] == -1200.0


def test_a_live_hearth_was_fed_before_and_a_cold_one_was_not(house):
    words = ("fuel", "--wood", "3kg/h", "--hours", "1")
    cold, live = told(house, *words), told(house, *words, *READ)
    # One each 16 min, at 0, 16, 32 and 48: four whole splits.
    assert cold["laid_kg"] == pytest.approx(3.2) and live["laid_kg"] == pytest.approx(3.2)
    assert not cold["fed"]["before"] and live["fed"]["before"]
    # Steady feeding burns what is laid.
    assert cold["mass_kg"] < live["mass_kg"] == pytest.approx(3.0, rel=0.1)
    assert min(split["time_s"] for split in live["fed"]["splits"]) < -5 * 3600


def test_embers_left_behind_a_door_keep_it_hotter_and_want_air(house):
    done = heat(house, "--answer", "left", *READ, "--wood", "4kg/h", "--at", "23:00")
    assert done.returncode == 0, done.stderr
    assert "fed 4 kg/h in splits of 0.8 kg until 22:00, its embers left on the hearth" in done.stdout
    assert "Never leave coals behind a shut door with the extraction off" in done.stdout
    assert "gap lets in air for" in done.stdout
    body = told(house, "left", *READ, "--wood", "4kg/h", "--at", "23:00", "--door", "on")
    plain = told(house, "left", *READ, "--at", "23:00", "--door", "on")
    assert 0 < body["door_air_share"] < 1
    assert body["rows"][0]["stone_C"] > plain["rows"][0]["stone_C"] + 5
    assert all(split["time_s"] < 0 for split in body["fed"]["splits"])


def test_a_night_may_run_past_midnight(house):
    laid = ("--split", "23:50=1kg", "--split", "00:10=1kg")
    body = told(house, "ahead", *READ, *laid, "--minutes", "40")
    assert [split["time_s"] for split in body["fed"]["splits"]] == [0.0, 1200.0]


@pytest.mark.parametrize(
    "words",
    [
        ("ready", "--wood", "6kg/h", "--aim-C", "150"),
        ("ahead", *READ, "--split", "19:40=1kg"),
        ("left", *READ, "--wood", "3kg/h", "--at", "23:00"),
        ("fuel", "--wood", "3kg/h", "--hours", "1"),
    ],
)
def test_every_fed_answer_has_its_picture(house, tmp_path, words):
    path = tmp_path / "answer.svg"
    done = heat(house, "--answer", *words, "--picture", path)
    assert done.returncode == 0, done.stderr
    assert "not readings of your oven" in done.stdout and "nan" not in done.stdout
    assert ET.parse(path).getroot().tag.endswith("svg")


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("ready", "--wood", "3"), "wood fed such as `3 kg/h`"),
        (("ready", "--wood", "plenty"), "wood fed such as `3 kg/h`"),
        (("ready", "--wood", "99kg/h"), "0.1 to 30 kg/h"),
        (("ready", "--wood", "-3kg/h"), "0.1 to 30 kg/h"),
        (("ready", "--wood", "nankg/h"), "wood fed such as"),
        (("ready", "--wood", "30kg/h"), "at most 120 kW"),
        (("ready", "--wood", "3kg/h", "--flame", "high"), "either it or --wood"),
        (("ready", "--price", "0.30/kg"), "--answer fuel"),
        (("ready", "--wood", "3kg/h", "--price", "2/m3"), "per kWh or kg"),
        (("ready", "--now", "19:00"), "--wood or --split"),
        (("ahead", *READ, "--split", "19:40"), "19:40=1.2kg"),
        (("ahead", *READ, "--split", "1.2kg=19:40"), "a time of day"),
        (("ahead", *READ, "--split", "19:40=1.2"), "a mass such as"),
        (("ahead", *READ, "--split", "19:40=9kg"), "0.1 to 5 kg"),
        (("ahead", *READ, "--split", "19:40=-1kg"), "0.1 to 5 kg"),
        (("ahead", *READ, "--split", "19:40=1kg", "--now", "noon"), "--now"),
        (("ahead", *READ, "--split", "19:40=1kg", "--split", "20:40=1kg"), "within 30 min"),
        (("ahead", *READ, *("--split", "19:40=5kg") * 4), "at most 120 kW"),
        (("left", *READ, "--split", "22:30=1kg"), "--out-at 22:00"),
        (("left", *READ, "--wood", "3kg/h", "--now", "19:00"), "--now"),
        (("hold", *READ, "--wood", "3kg/h"), "ready or ahead or left or fuel"),
        (("turndown", *READ, "--split", "19:40=1kg"), "ready or ahead or left or fuel"),
    ],
)
def test_what_cannot_be_fed_is_told_in_one_line(house, words, named):
    done = heat(house, "--answer", *words)
    assert done.returncode == 2 and not done.stdout
    (line,) = done.stderr.splitlines()  # before any run: no progress either
    assert named in line and "expected" in line


def test_without_an_answer_wood_says_nothing(house):
    done = heat(house, "--wood", "3kg/h")
    assert done.returncode == 2 and "--answer ready or ahead or left or fuel" in done.stderr


@pytest.mark.parametrize("words", [("--wood", "3kg/h"), ("--split", "19:40=1kg")])
def test_a_gas_oven_burns_no_wood(words):
    done = heat(EXAMPLES / "brindlecote", "--answer", "ready", *words)
    assert done.returncode == 2 and not done.stdout
    (line,) = done.stderr.splitlines()
    assert "oven.yaml burns natural gas, no wood" in line and "Give --flame instead" in line


def test_a_split_that_none_lays_is_told_with_its_line(house, tmp_path):
    folder = shutil.copytree(house, tmp_path / "house")
    (folder / "oven.yaml").write_text(OVEN.replace("split: 0.8 kg", "split: 8 kg"), encoding="utf-8")
    done = heat(folder, "--answer", "ready", "--wood", "3kg/h")
    assert done.returncode == 2
    (line,) = done.stderr.splitlines()
    assert "oven.yaml:12  split = 8 kg (expected at most 5 kg). Lower it" in line
