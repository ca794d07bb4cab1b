"""The options of `chill`: what they mean, and each that says nothing usable refused with its remedy."""

from __future__ import annotations

import math
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from hearthtide.cli.chill_asked import Asked, Case, case_of, hours_s, limits_of, readings_of
from hearthtide.errors import InputError
from hearthtide.food.chill_methods import FAN_RACK, ICE_BATH

HOUSE = Path(__file__).parents[3] / "examples" / "brindlecote"
BIRDS = Asked("chicken_cooked", thickest="40mm")
US = "57C,21C@2:00,5C@6:00"


def line(asked: Asked) -> str:
    with pytest.raises(InputError) as error:
        case_of(asked)
    (finding,) = error.value.findings
    assert finding.expected and finding.remedy
    return str(finding)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (replace(BIRDS, food="soup"), ("FOOD = soup", "chicken_cooked", "--house")),
        (replace(BIRDS, thickest=None), ("--thickest", "40mm")),
        (replace(BIRDS, thickest="40"), ("--thickest = 40", "length")),
        (replace(BIRDS, thickest="400mm"), ("--thickest = 400mm", "5 to 200 mm")),
        (replace(BIRDS, thickest="1mm"), ("--thickest = 1mm", "5 to 200 mm")),
        (replace(BIRDS, shape="cube"), ("--shape = cube", "flat, log, ball, bird, pan")),
        (replace(BIRDS, contents="liquid"), ("--contents = liquid", "--shape pan")),
        (replace(BIRDS, shape="pan", contents="soup"), ("--contents = soup", "thick, liquid, stirred")),
        (replace(BIRDS, start="4C"), ("--from = 4 °C", "above 5 °C")),
        (replace(BIRDS, start="140C"), ("--from = 140 °C", "up to 100 °C")),
        (replace(BIRDS, start="hot"), ("--from = hot", "temperature")),
        (replace(BIRDS, air="25C"), ("--air = 25C", "-25 to 20 °C")),
        (replace(BIRDS, start="15C", air="16C"), ("--from = 15 °C", "above the air's 16 °C")),
        (replace(BIRDS, now="drawer"), ("--now = drawer", "rack")),
        (replace(BIRDS, shape="pan", now="rack"), ("--now = rack", "covered, tray, fan-tray, ice, blast")),
        (replace(BIRDS, reading=("1:00=34C",)), ("--reading = 1:00=34C", "--now")),
        (replace(BIRDS, out_at="late"), ("--out = late", "time of day")),
        (replace(BIRDS, picture=Path("cool.png")), ("--picture = cool.png", ".svg")),
        (replace(BIRDS, picture=Path("no/where/cool.svg")), ("--picture", "folder")),
        (Asked("soup", house=HOUSE), ("FOOD = soup", "half_chicken")),
    ],
)
def test_what_cannot_be_used(asked: Asked, words: tuple[str, ...]) -> None:
    said = line(asked)
    assert all(word in said for word in words), said


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("57C", "three falling"),
        ("57C,21C@2:00", "three falling"),
        ("57C@1:00,21C@2:00,5C@6:00", "three falling"),
        ("21C,57C@2:00,5C@6:00", "three falling"),
        ("57C,21C,5C@6:00", "a time behind 21C"),
        ("57C,21C@6:00,5C@2:00", "times that rise"),
        ("57C,21C@2:00:00,5C@6:00", "hours:minutes"),
        ("57C,21C@0:00,5C@6:00", "above 0:00"),
        ("57C,21C@2:00,5C@26:00", "24:00"),
        ("57,21@2:00,5@6:00", "temperature"),
        ("57C,21C@soon,5C@6:00", "duration"),
    ],
)
def test_limits_that_are_none(text: str, word: str) -> None:
    said = line(replace(BIRDS, limits=text))
    assert f"--limits = {text}" in said and word in said


def test_limits_count_from_the_first_or_from_the_second() -> None:
    total, further = limits_of(US), limits_of("140F, 70F@120 min, 41F@+4:00")
    assert (total.from_C, total.middle_C, total.end_C) == (57.0, 21.0, 5.0)
    assert (total.middle_within_s, total.end_within_s, total.further_within_s) == (7200.0, 21_600.0, math.inf)
    # 140, 70 and 41 °F are 60, 21.1 and 5 °C (hand sum).
    assert (further.from_C, further.middle_C, further.end_C) == pytest.approx((60.0, 21.11, 5.0), abs=0.01)
    assert (further.middle_within_s, further.end_within_s, further.further_within_s) == (
        7200.0,
        math.inf,
        14_400.0,
    )


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("1:00", "1:00=34C"),
        ("=34C", "duration"),
        ("1:00=34", "temperature"),
        ("0:00=34C", "above 0:00"),
        ("25:00=34C", "24:00"),
        ("1:00=340C", "100 °C"),
        ("1:75=34C", "hours:minutes"),
    ],
)
def test_readings_that_are_none(text: str, word: str) -> None:
    said = line(replace(BIRDS, now="rack", reading=(text,)))
    assert f"--reading = {text}" in said and word in said


def test_readings_are_hours_and_minutes_earliest_first() -> None:
    early, late = readings_of(("2:30=70F", "90 min=34C"))
    assert (early.time_s, late.time_s) == (5400.0, 9000.0)
    assert late.value_C == pytest.approx(21.1, abs=0.02)
    assert hours_s("--reading", "1:05", "1:05=34C") == 3900.0
    assert "at most 12" in line(replace(BIRDS, now="rack", reading=("1:00=34C",) * 13))


def test_a_piece_lies_flat_from_an_assumed_start_and_nothing_is_judged() -> None:
    case = case_of(BIRDS)
    assert (case.shape, case.start_C, case.judged, case.contents) == ("flat", 75.0, False, "thick")
    assert "assumed" in case.began
    assert (case.limits.from_C, case.limits.middle_C, case.limits.end_C) == (57.0, 21.0, 5.0)
    assert case.piece(FAN_RACK).exponent == 0.0


def test_what_flows_stands_in_a_pan() -> None:
    case = case_of(Asked("tomato_sauce", thickest="50mm", contents="liquid"))
    assert case.shape == "pan" and case.piece(FAN_RACK).contents == "liquid"
    assert "rack" not in case.ways


def test_a_dish_brings_its_food_thickness_and_core() -> None:
    case = case_of(Asked("half_chicken", house=HOUSE))
    assert (case.name, case.food.name, case.start_C) == ("Half chicken", "chicken_cooked", 74.0)
    assert "at the pull" in case.began
    assert case.thickness_m == pytest.approx(0.024)
    said = case_of(Asked("half_chicken", house=HOUSE, thickest="30mm", start="80C"))
    assert (said.thickness_m, said.start_C) == pytest.approx((0.030, 80.0))


@pytest.fixture
def house(tmp_path: Path) -> Path:
    return Path(shutil.copytree(HOUSE, tmp_path / "house"))


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


def test_a_dish_of_the_houses_own_food_is_chilled_as_that_food(house: Path) -> None:
    (house / "foods.yaml").write_text(
        "foods:\n  - name: house_bird\n    composition: {protein: 25, fat: 8, carbohydrate: 0, ash: 1}\n"
        "    behaviour: muscle\n    source: packet\n",
        "utf-8",
    )
    change(house / "dishes/half_chicken.yaml", "food: chicken_cooked", "food: house_bird")
    case = case_of(Asked("half_chicken", house=house))
    assert case.food.name == "house_bird" and case.shape == "flat"
    assert case.food.composition.fat == pytest.approx(0.08)
    assert case.piece(FAN_RACK).stuff is case.food


def test_of_a_piece_in_parts_the_thickest_is_chilled(house: Path) -> None:
    thigh = "also:\n  - {name: thigh, layers: [{food: chicken_thigh_raw, thickness: 45 mm}]}\nstart:"
    change(house / "dishes/half_chicken.yaml", "start:", thigh)
    case = case_of(Asked("half_chicken", house=house))
    assert (case.name, case.food.name) == ("Half chicken, thigh", "chicken_thigh_raw")
    assert case.thickness_m == pytest.approx(0.045)


def test_a_landing_hotter_than_the_pull_is_where_the_chilling_starts(house: Path) -> None:
    change(house / "dishes/half_chicken.yaml", "rest:", "core_at_landing: 77 C\nrest:")
    case = case_of(Asked("half_chicken", house=house))
    assert case.start_C == 77.0 and "landing" in case.began
    change(house / "dishes/half_chicken.yaml", "core_at_landing: 77 C", "core_at_landing: 70 C")
    cooler = case_of(Asked("half_chicken", house=house))
    assert cooler.start_C == 74.0 and "at the pull" in cooler.began


def shaped(shape: str) -> Case:
    return case_of(replace(BIRDS, shape=shape))


def test_shapes_have_their_dimensions_and_a_bird_lies_between_slab_and_log() -> None:
    assert shaped("log").piece(FAN_RACK).exponent == 1.0
    assert shaped("ball").piece(FAN_RACK).exponent == 2.0
    bird = shaped("bird")
    assert 0.2 < bird.piece(FAN_RACK).exponent < 1.0
    # For a change of method the hardest film counts, which is the slow side.
    assert bird.piece(FAN_RACK, ICE_BATH).exponent == bird.piece(ICE_BATH).exponent
    assert bird.piece(ICE_BATH).exponent <= bird.piece(FAN_RACK).exponent


def test_the_rooms_air_is_that_of_the_walk_in_alone() -> None:
    ways = case_of(replace(BIRDS, air="5C")).ways
    assert {word for word, way in ways.items() if way.air_C == 5.0} == {
        "covered",
        "tray",
        "rack",
        "fan-tray",
        "fan-rack",
    }
    assert (ways["ice"].air_C, ways["blast"].air_C) == (0.5, -5.0)
