"""A whole day in one order: its parts agree about hands, trays and racks; its prints; what a house lacks."""

import json
import re
import shutil
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from at_the_prompt import typed

BRINDLECOTE = Path(__file__).parents[3] / "examples" / "brindlecote"
TUESDAY = "2026-06-02"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("day") / "house"
    shutil.copytree(BRINDLECOTE, made)
    return made


@pytest.fixture(scope="module")
def day(folder):
    sheets = folder / "day.pdf"
    told = typed("day", folder, TUESDAY, "--json", "--keep", "--out", sheets)
    return told, json.loads(told.stdout), sheets


def of(day, kind):
    return [line for line in day[1]["lines"] if line["kind"] == kind]


def test_the_day_comes_about(day):
    assert day[0].returncode == 0, day[0].stderr
    assert day[1]["problems"] == []


def test_it_is_in_order_and_names_who_is_there(day):
    lines = day[1]["lines"]
    assert [line["from_s"] for line in lines] == sorted(line["from_s"] for line in lines)
    hours = {"Ana": (9, 17), "Ben": (13.5, 23), "Cleo": (16, 23)}  # examples/brindlecote/rota.yaml
    for line in lines:
        for who in filter(None, line["who"].split(", ")):
            first, last = hours[who]
            assert 3600 * first <= line["from_s"] <= 3600 * last, line


def test_nobody_has_a_tray_and_a_task_of_the_hands_at_once(day):
    """The prep is laid around the hearth's own acts: no task begins within one of them."""
    acts = [(one["who"], one["from_s"], one["until_s"]) for one in of(day, "hearth")]
    for line in of(day, "prep") + of(day, "check"):
        for who, begin, end in acts:
            assert not (line["who"] == who and begin <= line["from_s"] < end), line


def test_what_is_boned_is_ready_before_it_goes_in(day):
    birds = next(line for line in of(day, "prep") if "birds" in line["what"])
    first_in = min(line["from_s"] for line in of(day, "hearth") if line["what"].startswith("put in chicken"))
    assert birds["until_s"] <= first_in


def test_every_chilled_tray_goes_to_a_rack_once_it_is_out_and_rested(day):
    racked = {line["what"].partition(":")[0] for line in of(day, "chill") if line["how_much"]}
    assert racked == {load["tray"] for load in day[1]["loads"]}
    out = {load["tray"]: load["out_s"] for load in day[1]["loads"]}
    for line in of(day, "chill"):
        if line["how_much"]:
            assert line["from_s"] >= out[line["what"].partition(":")[0]]


def test_the_fire_is_lit_once_before_the_first_tray(day):
    fires = of(day, "fire")
    assert [line["what"].startswith("light") for line in fires] == [True] + [False] * (len(fires) - 1)
    assert fires[0]["from_s"] < min(load["in_s"] for load in day[1]["loads"])


def test_the_sheets_hold_every_line(day):
    words = " ".join(page.extract_text() for page in PdfReader(day[2]).pages)
    for line in day[1]["lines"]:
        head = line["what"].split(",")[0]
        assert head.split()[0] in words and head.split()[-1] in words, head


def test_a_task_keeps_what_its_house_wrote_of_it(day):
    """Words and cautions of prep.yaml stand with their line, and on the prep's own sheet."""
    birds = next(line for line in of(day, "prep") if "birds" in line["what"])
    assert birds["why"].startswith("Mind: Raw poultry: own board") and "thicker than 25 mm" in birds["why"]
    assert "words" not in birds and "cautions" not in birds  # a kept day has no such fields
    words = " ".join(" ".join(page.extract_text() for page in PdfReader(day[2]).pages).split())
    assert "Raw poultry: own board" in words and "No piece thicker than 25 mm" in words


def test_nobody_preps_while_they_light_or_brush(day):
    """The brush is five minutes of ahead.yaml; five to light are common practice, no source."""
    light = next(line for line in of(day, "fire") if line["what"].startswith("light"))
    brush = next(line for line in of(day, "floor") if line["what"].startswith("brush"))
    assert brush["until_s"] - brush["from_s"] == 300
    for taken in (light, brush):
        for line in of(day, "prep") + of(day, "check"):
            begins = taken["from_s"] <= line["from_s"] < taken["from_s"] + 300
            assert not (begins and taken["who"] in line["who"].split(", ")), line


def test_it_is_kept_for_the_board(day, folder):
    from hearthtide.service.day_kept import kept_day

    assert (folder / "days" / f"{TUESDAY}.json").is_file()
    assert kept_day(folder, date.fromisoformat(TUESDAY)) is not None


@pytest.fixture(scope="module")
def hardly_cold(tmp_path_factory):
    """A house whose only cold unit holds hardly any hot food, under a code with times for cooling."""
    made = tmp_path_factory.mktemp("warm") / "house"
    shutil.copytree(BRINDLECOTE, made)
    chill = made / "chill.yaml"
    text = chill.read_text(encoding="utf-8").replace("most_hot: 25 kg", "most_hot: 2 kg")
    chill.write_text(re.sub(r"  ice:\n.*?(?=\nthings:)", "", text, flags=re.DOTALL), encoding="utf-8")
    house = made / "house.yaml"
    house.write_text(house.read_text(encoding="utf-8") + "\nrules: {set: us-fda-2022}\n", "utf-8")
    told = typed("day", made, TUESDAY, "--json")
    return told, json.loads(told.stdout)


def test_what_no_unit_chills_in_time_is_not_started_and_told(hardly_cold):
    told, answer = hardly_cold
    assert told.returncode == 1
    racked = [one for one in answer["lines"] if one["kind"] == "chill" and one["how_much"]]
    assert len(racked) == len(answer["loads"])  # what is left over went in, and all of it has its rack


def test_every_portion_is_cooked_or_told_as_not_started(hardly_cold):
    """Nothing is lost between the rounds: by hand, of 11 to be made 11 are accounted for."""
    _, answer = hardly_cold
    for name, tray, made in (("Half chickens roasted", "chicken", 11), ("Wings pre-cooked", "wings", 11)):
        figure = next(one for one in answer["figures"] if one["words"] == name)
        assert figure["value"] == f"make {made}"
        cooked = sum(load["portions"] for load in answer["loads"] if load["tray"].startswith(tray))
        refused = sum(
            int(found[1])
            for words in answer["problems"]
            if (found := re.match(rf"Not started, {name}, (\d+) portions?:", words))
        )
        assert refused > 0 and cooked + refused == made
        told = f"{name}: {cooked} of {made} are cooked; nothing is prepped for the others"
        assert told in answer["problems"]


def test_what_is_not_started_is_not_roasted_by_the_prep_either(hardly_cold):
    _, answer = hardly_cold
    prep = [line for line in answer["lines"] if line["kind"] == "prep"]
    assert prep and not [line for line in prep if re.search(r"Roast|Cook the wings|Hearth", line["what"])]
    assert not [line for line in prep if "Hearth" in line["where"]]
    cooked = sum(one["portions"] for one in answer["loads"] if one["tray"].startswith("chicken"))
    boned = [line["how_much"] for line in prep if "birds" in line["what"]]
    assert boned == ([f"{cooked} portions"] if cooked else [])


FALLING = """usable_area: 0.9
gas_shut: 22:00
door_on: 23:30
free_for: 14 h
room: 20 C
readings:
  - {at: 21:30, stone: 352 C}
  - {at: 23:40, stone: 300 C}
  - {at: 01:30, stone: 262 C}
  - {at: 05:30, stone: 215 C}
things:
  beans:
    name: Pans of beans
    portions: 4
    area: 0.09
    goes_in: {low: 150 C, high: 350 C}
    stays: {least: 6 h, most: 12 h}
    least: 95 C
    out_at: 09:30
    kept_hot: true
  loaves:
    name: Loaves
    portions: 24
    area: 0.04
    goes_in: {low: 230 C, high: 260 C}
    stays: {least: 20 min, most: 40 min}
    by: 08:15
"""


@pytest.fixture(scope="module")
def evening(tmp_path_factory):
    """Ben is there until 23:00, Ana from 09:00: nobody for a door at 23:30, nor for bread before dawn."""
    made = tmp_path_factory.mktemp("evening") / "house"
    shutil.copytree(BRINDLECOTE, made)
    for name in ("ahead.yaml", "chill.yaml", "prep.yaml"):
        (made / name).unlink()
    house = made / "house.yaml"
    house.write_text(house.read_text(encoding="utf-8") + "\nrules: {set: us-fda-2022}\n", "utf-8")
    (made / "falling.yaml").write_text(FALLING, encoding="utf-8")
    told = typed("day", made, TUESDAY, "--json", "--keep")
    assert told.stdout, told.stderr
    return told, json.loads(told.stdout)


def test_what_does_not_fit_the_falling_heat_is_told_with_what_would(evening):
    told, answer = evening
    assert told.returncode == 1
    assert any(
        re.match(r"Not in the falling heat as it is, Loaves, 24 .*nobody", w) for w in answer["problems"]
    )
    assert any(words.startswith("Loaves: what would: ") for words in answer["problems"])


def test_an_act_of_the_evening_has_somebody_or_says_that_nobody_is_there(evening):
    _, answer = evening
    by_what = {line["what"]: line for line in answer["lines"]}
    assert by_what["gas shut"]["who"] == "Ben" and by_what["Pans of beans in"]["who"] == "Ben"
    assert by_what["Pans of beans out"]["who"] == "Ana"  # at half past nine in the morning
    door = next(line for line in answer["lines"] if line["what"].startswith("door on"))
    assert door["who"] == ""
    assert [w for w in answer["problems"] if w.startswith("23:30, door on") and "nobody is there" in w]


def test_what_stays_hot_overnight_is_probed_at_the_rules_limit(evening):
    """FDA Food Code 2022, 3-501.16(A)(1): 57 °C (135 °F) or above."""
    _, answer = evening
    probes = [line for line in answer["lines"] if line["what"].startswith("Pans of beans: Probe")]
    assert len(probes) == 1 and "57 °C or above" in probes[0]["what"]


def test_a_shut_oven_s_cautions_stand_on_the_day(evening):
    _, answer = evening
    assert any(words.startswith("The door goes on only once the gas is shut") for words in answer["cautions"])
    assert any(words.startswith("An oven that was shut") for words in answer["cautions"])


def test_a_portion_that_weighs_another_in_the_cold_is_asked_about_before_anything_is_planned(tmp_path):
    made = tmp_path / "house"
    shutil.copytree(BRINDLECOTE, made)
    chill = made / "chill.yaml"
    text = chill.read_text(encoding="utf-8")
    chill.write_text(text.replace("portion: 350 g", "portion: 250 g"), "utf-8")
    told = typed("day", made, TUESDAY)
    assert told.returncode == 2 and "running" not in told.stderr
    assert "chill.yaml:" in told.stderr and "things.wings.portion = 250 g" in told.stderr


def test_a_house_without_the_files_of_a_part_has_a_day_without_it(tmp_path):
    made = tmp_path / "house"
    shutil.copytree(BRINDLECOTE, made)
    for name in ("ahead.yaml", "chill.yaml", "prep.yaml"):
        (made / name).unlink()
    answer = json.loads(typed("day", made, TUESDAY, "--json").stdout)
    assert answer["lines"] == [] and answer["curve"] is None and answer["figures"]


@pytest.mark.parametrize("name", ["rota.yaml", "pars.yaml", "history.yaml"])
def test_what_every_day_needs_is_asked_for_with_a_remedy(tmp_path, name):
    made = tmp_path / "house"
    shutil.copytree(BRINDLECOTE, made)
    (made / name).unlink()
    told = typed("day", made, TUESDAY)
    assert told.returncode == 2 and name in told.stderr and "Write it" in told.stderr


def test_check_reads_the_files_of_the_day_too(tmp_path):
    made = tmp_path / "house"
    shutil.copytree(BRINDLECOTE, made)
    for name, before, after in (
        ("rota.yaml", "until: 17:00", "until: 08:00"),
        ("chill.yaml", "most_hot: 25 kg", "most_hot: 25"),
        ("ahead.yaml", "dish: roots_tray", "dish: rots_tray"),
    ):
        path = made / name
        path.write_text(path.read_text(encoding="utf-8").replace(before, after), "utf-8")
    told = typed("check", made)
    assert told.returncode == 2
    assert all(f"{name}:" in told.stderr for name in ("rota.yaml", "chill.yaml", "ahead.yaml"))
