"""A worked example of the trade, given with its right answers: does Harrowdine Court want a second oven?"""

import json
from pathlib import Path

import pytest

from at_the_prompt import typed

COURT = Path(__file__).parents[3] / "examples" / "harrowdine-court"


@pytest.mark.parametrize("path", [COURT, COURT / "capacity.yaml"])
def test_the_answer_is_the_example_s(path):
    """42 m²·min, 112 % of the limit; 9.4 freed, 87 %; 25,500 lost, 9,100 running, 3 years, 2.4 to 5."""
    done = typed("capacity", path, "--json")
    assert done.returncode == 0, done.stderr
    body = json.loads(done.stdout)
    hour, oven = body["hour"], body["second_oven"]
    assert round(hour["wanted_m2min"]) == 42 and round(100 * hour["of_limit"]) == 112
    assert (round(hour["comfortable_m2min"]), round(hour["limit_m2min"])) == (27, 38)
    first = body["steps"][0]
    assert "wings and vegetables" in first["name"] and first["costs"] == 0
    assert round(first["frees_m2min"], 1) == 9.4 and round(100 * first["of_limit_then"]) == 87
    assert round(oven["lost_year"], -2) == 25_500 and round(oven["running_year"], -2) == 9_100
    assert round(2 * oven["payback_years"]) / 2 == 3
    assert oven["payback_years_from"] == pytest.approx(2.4, abs=0.25)
    assert oven["payback_years_to"] == pytest.approx(5, abs=0.25)
    assert body["verdict"] == "steps first"


def test_an_owner_reads_whole_money_and_half_years_and_what_flips_it():
    text = typed("capacity", COURT).stdout
    for words in (
        "Do the steps first and measure again for six weeks",
        "112% of the limit",
        "€25,500 a year",
        "€9,100",
        "about 3 years (2.5 years to 5 years",
        "What would flip the answer",
        "covers turned away a night (now 14)",
        "one pair of hands makes about 40",
        "licensed people and your local code",
    ):
        assert words in text, words
    assert text.index("First, the cheapest") < text.index("A second oven:")


def test_every_dish_off_the_stone_is_an_answer_and_no_traceback(tmp_path):
    text = (COURT / "capacity.yaml").read_text(encoding="utf-8")
    assert "off: [wings, vegetables]" in text
    path = tmp_path / "capacity.yaml"
    every = "[pizza, steak, shrimp, half_chicken, wings, cheese_dip, vegetables, flatbread]"
    path.write_text(text.replace("off: [wings, vegetables]", f"off: {every}"), encoding="utf-8")
    done = typed("capacity", path)
    assert done.returncode == 0, done.stderr
    assert "nothing stands on the stone then" in done.stdout and "inf" not in done.stdout
    body = json.loads(typed("capacity", path, "--json").stdout)
    assert body["verdict"] == "steps first" and body["flips_hour"] == {}


def test_one_input_changed_moves_the_answer(tmp_path):
    text = (COURT / "capacity.yaml").read_text(encoding="utf-8")
    path = tmp_path / "capacity.yaml"
    answers = []
    for covers, turned in ((86, 14), (110, 14), (110, 8)):
        path.write_text(
            text.replace("covers: 86 ", f"covers: {covers} ").replace("covers: 14,", f"covers: {turned},"),
            encoding="utf-8",
        )
        answers.append(json.loads(typed("capacity", path, "--json").stdout)["verdict"])
    assert answers == ["steps first", "second oven", "neither"]


def test_a_gas_house_s_fuel_is_its_flames_for_their_hours():
    """22 kW x 2.5 h = 55 before the doors, 14 x 3 + 22 x 2 = 86 in service: 141 kWh; on five days 705, 85 at
    0.12.
    """
    done = typed("fuel", COURT, "--from", "2026-06-01", "--json")
    body = json.loads(done.stdout)
    assert body["day_kWh"] == pytest.approx(141) and body["heat_up_share"] == pytest.approx(
        55 / 141, abs=1e-3
    )
    assert len(body["lit_on"]) == 5 and body["cost"] == pytest.approx(705 * 0.12, abs=0.01)
    assert body["kWh_for_each"]["cover"] == pytest.approx(141 / 230, abs=1e-3)
    text = typed("fuel", COURT, "--from", "2026-06-01").stdout
    assert "gross" in text and "Gas: if the flame goes out" in text
    assert typed("fuel", COURT, "--in-store", "20 kg").returncode == 2
    assert typed("capacity", COURT / "nothing.yaml").returncode == 2
