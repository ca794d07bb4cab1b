"""A whole day in one order: its parts agree about hands, trays and racks; its prints; what a house lacks."""

import json
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


def test_it_is_kept_for_the_board(day, folder):
    from hearthtide.service.day_kept import kept_day

    assert (folder / "days" / f"{TUESDAY}.json").is_file()
    assert kept_day(folder, date.fromisoformat(TUESDAY)) is not None


def test_what_no_unit_chills_in_time_is_not_started_and_told(tmp_path):
    """A house whose only cold unit holds hardly any hot food, under a code with times for cooling."""
    made = tmp_path / "house"
    shutil.copytree(BRINDLECOTE, made)
    chill = made / "chill.yaml"
    chill.write_text(chill.read_text(encoding="utf-8").replace("most_hot: 25 kg", "most_hot: 2 kg"), "utf-8")
    house = made / "house.yaml"
    house.write_text(house.read_text(encoding="utf-8") + "\nrules: {set: us-fda-2022}\n", "utf-8")
    told = typed("day", made, TUESDAY, "--json")
    answer = json.loads(told.stdout)
    assert told.returncode == 1
    assert any(words.startswith("Not started") for words in answer["problems"])
    racked = [one for one in answer["lines"] if one["kind"] == "chill" and one["how_much"]]
    assert len(racked) == len(answer["loads"])  # what is left over went in, and all of it has its rack


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
