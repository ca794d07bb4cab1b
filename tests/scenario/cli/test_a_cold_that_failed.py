"""Marrowby Sheds, a cold that failed: the trade's fourth worked scenario, asked as a chef asks it.

Every number that is asserted stands in that scenario; the chilling itself is checked in tests/reference/day.
"""

import json
import shutil
from functools import cache
from pathlib import Path

import pytest

from at_the_prompt import typed

MARROWBY = Path(__file__).parents[3] / "examples" / "marrowby-sheds"
BRINDLECOTE = MARROWBY.with_name("brindlecote")
ASKED = (
    "coldout", MARROWBY, "walk-in", "--logger", MARROWBY / "walk-in-log.csv",
    "--inside", MARROWBY / "inside.csv",
    "--now", "2026-06-02T08:30-04:00", "--last-good", "2026-06-01T22:40-04:00",
)  # fmt: skip
DAY = (
    "--lands", "chicken 20 11:30", "--load", "9 50", "--window", "14:30-16:30",
    "--doors", "17:00", "--mended",
)  # fmt: skip


@cache
def told(*more):
    done = typed(*ASKED, *more, "--json")
    assert done.returncode == 1, done.stderr
    return json.loads(done.stdout)


def test_by_the_us_code_all_that_needs_cold_is_discarded_with_its_value():
    body = told(*DAY)
    outcomes = {one["item"]: one["outcome"] for one in body["items"]}
    assert [one for one, said in outcomes.items() if said == "discard"] == [
        "Half chickens cooked", "Shrimp", "Dip base", "Steaks raw",
    ]  # fmt: skip
    assert body["discarded_value"] == 169 + 58 + 42 + 126 == 395
    assert body["spoiled_value"] == 52 and outcomes["Dough balls"] == "not by this rule"
    assert all(one["out_minutes"] == [380, 380] for one in body["items"] if one["outcome"] == "discard")
    assert "FDA" in body["rules"] and all(one["time"]["section"] for one in body["items"])


def test_by_the_uk_s_rule_the_answer_is_another_and_the_code_is_named():
    body = told("--rules", "england-wales-ni")
    outcomes = [one["outcome"] for one in body["items"]]
    assert "discard" not in outcomes and outcomes[0] == "a person decides"
    assert {tuple(one["out_minutes"]) for one in body["items"] if one["out_minutes"]} == {(100, 100)}
    assert body["discarded_value"] == 0 and "England" in body["rules"]
    assert "England" in typed(*ASKED, "--rules", "england-wales-ni").stdout.splitlines()[1]


def test_the_day_that_is_left():
    day = told(*DAY)["day"]
    assert [one["portions"] for one in day["loads"]] == [9, 9]  # two loads of 8 to 10
    assert day["loads"][0]["from_s"] == 14.5 * 3600 and day["loads"][-1]["ready_s"] <= 16.5 * 3600
    assert day["most_portions"] == 18 and day["hold_hot"] and day["hot_C"] == 57
    for one in day["chilled"]["lots"]:
        assert not one["feasible"] and one["ways_out"][0]["kind"] == "hot hold"
        assert one["likely_s"]["end_s"] > 17 * 3600
    assert told("--rules", "england-wales-ni", *DAY)["day"]["hot_C"] == 63


def test_it_is_told_in_the_cook_s_words():
    done = typed(*ASKED, *DAY)
    for words in ("Discard: 169 + 58 + 42 + 126 = €395", "18 at most tonight, then it is 86",
                  "flash to order", "made today it is inferior", "the one that was chosen"):  # fmt: skip
        assert words in done.stdout, words


def test_a_record_for_the_inspector(tmp_path):
    book = tmp_path / "records.db"
    done = typed(*ASKED, "--records", book, "--person", "Ida")
    assert done.returncode == 1 and "Written as deviation" in done.stdout
    found = typed("records", "open", book)
    assert "5 open" in found.stdout and "walk-in: its air" not in found.stdout
    for words in ("Half chickens cooked: CF1", "6 h 20 min above 41 °F or 5 °C", "Steaks raw: CF1", "9.5 °C"):
        assert words in found.stdout, words
    assert "Dough" not in found.stdout
    assert typed("records", "check", book).returncode == 0
    again = typed(*ASKED, "--records", book, "--person", "Ida")
    assert again.returncode == 2 and "is there already" in again.stderr
    assert "5 open" in typed("records", "open", book).stdout


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        (("walk-in", "cellar"), "a unit of chill.yaml"),
        (("2026-06-02T08:30-04:00", "half past eight"), "a time with its offset"),
        ((MARROWBY / "inside.csv", MARROWBY / "nothing.csv"), "a file that can be read"),
    ],
)
def test_what_cannot_be_used_is_told_with_its_remedy(changed, words):
    old, new = changed
    done = typed(*(new if one == old else one for one in ASKED))
    assert done.returncode == 2 and words in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--lands", "chicken 20 11:30"), "--load, --window and --doors"),
        (("--lands", "geese 20 11:30", *DAY[2:]), "something that chill.yaml holds"),
        (("--lands", "chicken many 11:30", *DAY[2:]), "KEY PORTIONS HH:MM"),
        ((*DAY[:2], "--load", "² 50", *DAY[4:]), "portions and minutes"),
        ((*DAY[:2], "--load", "9 ٥٠", *DAY[4:]), "portions and minutes"),
        (("--rules", "moon"), "rule set"),
        (("--records", "x.db"), "--person"),
        ((*DAY[:-3], "--doors", "late"), "--doors"),
        ((*DAY[:4], "--window", "14:30-14:30", *DAY[6:]), "window"),
    ],
)
def test_options_that_do_not_go_together_are_told(more, words):
    done = typed(*ASKED, *more)
    assert done.returncode == 2 and words in done.stderr and "Traceback" not in done.stderr


HOT = ("--lot", "chicken 9 14:00 76C", "--lot", "wings 24 13:00", "--lot", "dip 50 14:30")


def test_a_day_s_hot_lots_are_planned(tmp_path):
    drawn = tmp_path / "curves.svg"
    done = typed("cooldown", MARROWBY, "2026-06-02", *HOT, "--json", "--picture", drawn)
    body = json.loads(done.stdout)
    assert done.returncode == 1 and body["faults"] == [] and not body["feasible"]
    chicken, wings, dip = body["lots"]
    assert chicken["feasible"] and wings["feasible"] and not dip["feasible"]
    assert dip["binds"] == "limit" and dip["stands"] == [] and dip["ways_out"][0]["kind"] == "thinner"
    assert chicken["stands"][0]["unit"] == "walk-in" and chicken["prompts_s"][0] < chicken["prompts_s"][-1]
    for point in chicken["curve"]:
        assert point["quick_C"] <= point["core_C"] <= point["slow_C"]
    assert body["limits"]["middle_within_s"] == 7200 and body["keeps_C"] == 5
    assert "<svg" in drawn.read_text(encoding="utf-8")


def test_it_is_told_where_when_and_what_would():
    done = typed("cooldown", MARROWBY, "2026-06-02", *HOT)
    for words in ("Do not start Dip base", "what would, the least trouble first", "on trolley",
                  "read its warmest part at", "assumed, write yours", "not touching",
                  "a reading decides"):  # fmt: skip
        assert words in done.stdout, words


def test_a_table_of_lots_a_unit_out_of_order_and_a_code_without_times(tmp_path):
    table = tmp_path / "hot.csv"
    table.write_text("item,portions,ready,wanted\nwings,12,13:00,\nwangs,3,13:00,\n", encoding="utf-8")
    done = typed(
        "cooldown", MARROWBY, "2026-06-02", "--lots", table, "--without", "walk-in", "--rules", "scotland"
    )
    assert done.returncode == 1 and "hot.csv:3" in done.stderr
    assert "Reach-in under the pass" in done.stdout and "nothing is judged here" in done.stdout
    assert "Walk-in" not in done.stdout


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ((), "at least one lot"),
        (("--lot", "chicken 9"), "KEY PORTIONS HH:MM"),
        (("--lot", "chicken 9 noon"), "--lot"),
        (("--lot", "goose 9 14:00"), "chill.yaml holds"),
        (("--lot", "chicken 9 14:00 900C"), "20 to 100"),
        ((*HOT, "--without", "cellar"), "a unit of chill.yaml"),
        ((*HOT, "--without", "walk-in", "--without", "reach-in"), "a unit left"),
        ((*HOT, "--picture", "curves.png"), ".svg"),
        ((*HOT, "--there", "roots 30 walk-in"), "KEY PORTIONS HH:MM CORE UNIT"),
        ((*HOT, "--there", "roots 30 13:30 40C cellar"), "a unit in order"),
    ],
)
def test_a_question_that_cannot_be_answered_is_told(more, words):
    done = typed("cooldown", MARROWBY, "2026-06-02", *more)
    assert done.returncode == 2 and words in done.stderr and "Traceback" not in done.stderr


def test_what_cools_there_already_counts_and_is_not_planned():
    lone = ("cooldown", MARROWBY, "2026-06-02", "--lot", "chicken 9 14:00 76C", "--json")
    alone = json.loads(typed(*lone).stdout)
    beside = json.loads(typed(*lone, "--there", "roots 80 13:30 60C walk-in").stdout)
    assert [one["lot"] for one in beside["lots"]] == ["chicken"]
    assert beside["units"][0]["most_hot_kg"] > alone["units"][0]["most_hot_kg"] + 10
    assert beside["units"][0]["air_highest_C"] > alone["units"][0]["air_highest_C"]


def test_a_lot_that_cools_already_is_told_and_judged():
    # 22 kg at 70 °C put 5 °C food at risk in a walk-in of 1.1 kW: seen in a review of this command.
    lots = (
        "--rules",
        "us-fda-2022",
        "--lot",
        "peppers 2 16:30 60C",
        "--there",
        "chicken 55 13:30 70C walk-in",
    )
    done = typed("cooldown", BRINDLECOTE, "2026-06-02", *lots)
    assert done.returncode == 1
    for words in ("Cooling already Half chickens roasted: 55 portions", "70 °C at 13:30",
                  "a thin pack stored there warms to", "5 °C is its limit"):  # fmt: skip
        assert words in done.stdout, words
    body = json.loads(typed("cooldown", BRINDLECOTE, "2026-06-02", *lots, "--json").stdout)
    (chicken,) = body["there"]
    assert chicken["lot"] == "chicken" and chicken["prompts_s"] and chicken["slow_s"]["end_s"]
    assert body["warmed"] == ["walk-in"] and not body["feasible"] and body["faults"] == []


def test_food_cold_again_after_a_night_out_is_for_a_person_and_goes_into_the_records(tmp_path):
    log = (MARROWBY / "walk-in-log.csv").read_text(encoding="utf-8").splitlines()
    back = [
        f"{line.split(',')[0]},3.9C" if line > "2026-06-02T07:30" and "T" in line else line for line in log
    ]
    logger, inside, book = (tmp_path / name for name in ("log.csv", "inside.csv", "records.db"))
    logger.write_text("\n".join(back) + "\n", encoding="utf-8")
    text = (MARROWBY / "inside.csv").read_text(encoding="utf-8")
    inside.write_text(text.replace("8.1C", "4.8C"), encoding="utf-8")
    asked = [logger if one == ASKED[4] else inside if one == ASKED[6] else one for one in ASKED]
    done = typed(*asked, "--records", book, "--person", "Ida")
    assert done.returncode == 1 and "a person decides: 26 Half chickens cooked" in done.stdout
    assert "6 h 20 min" in done.stdout
    assert "Half chickens cooked: CF1" in typed("records", "open", book).stdout


def test_a_house_without_chill_yaml(tmp_path):
    house = Path(shutil.copytree(MARROWBY, tmp_path / "house"))
    (house / "chill.yaml").unlink()
    done = typed("cooldown", house, "2026-06-02", *HOT)
    assert done.returncode == 2 and "docs/day-chill.md" in done.stderr
