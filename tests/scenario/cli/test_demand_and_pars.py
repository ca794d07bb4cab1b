"""`demand` and `pars` on the invented Brindlecote, as a chef uses them: read, changed, looked at again."""

import json
import runpy
import shutil
from pathlib import Path

import pytest

from at_the_prompt import typed

EXAMPLES = Path(__file__).parents[3] / "examples"
DAY = "2026-06-02"


@pytest.fixture
def house(tmp_path):
    return Path(shutil.copytree(EXAMPLES / "brindlecote", tmp_path / "brindlecote"))


def asked(*words):
    done = typed(*words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_the_invented_sales_are_those_of_the_script(tmp_path):
    made = tmp_path / "sales.csv"
    runpy.run_path(str(EXAMPLES / "invent_sales.py"))["write"](made)
    assert made.read_bytes() == (EXAMPLES / "brindlecote" / "sales.csv").read_bytes()


def test_the_demand_of_a_tuesday(house):
    done = typed("demand", house, DAY)
    assert done.returncode == 0, done.stderr
    for words in ("Tuesday 2 June 2026", "last Tuesdays", "bookings", "in the band", "too many"):
        assert words in done.stdout
    body = asked("demand", house, DAY)
    covers, *dishes = body["figures"]
    assert covers["figure"] == "covers" and len(dishes) == 8
    assert covers["low"] < covers["wanted"] < covers["high"]
    assert len(covers["last_same_weekdays"]) == 4
    assert covers["rule"] == sum(covers["last_same_weekdays"].values()) / 4
    assert covers["last_time_came"] == 60 and covers["last_time_said"] is not None
    assert body["score_eight_weeks"]["days"] > 40
    assert body["left_out"] == [] and body["no_row"] == []


def test_bookings_can_be_said(house):
    few, many = (asked("demand", house, DAY, "--booked", n)["figures"][0]["wanted"] for n in (15, 60))
    assert many > few + 15


def test_a_chef_s_number_is_kept_used_and_looked_at_again(house):
    ours = asked("demand", house, DAY)["figures"]
    mine = ("--mine", "covers=60", "--why", "road works", "--person", "Ana")
    body = asked("demand", house, DAY, *mine)
    covers, *dishes = body["figures"]
    assert (covers["ours"], covers["yours"], covers["person"]) == (ours[0]["wanted"], 60, "Ana")
    assert abs(covers["wanted"] - 60) <= 2
    assert all(one["mean"] < was["mean"] for one, was in zip(dishes, ours[1:], strict=True))
    again = asked("demand", house, DAY)
    assert again["figures"] == body["figures"], "it is remembered"
    assert "* covers: yours 60" in typed("demand", house, DAY).stdout
    fewer = asked("pars", house, DAY)
    assert abs(fewer["covers"] - 60) <= 2, "pars go by it"
    sales = house / "sales.csv"  # the day comes
    rows = sales.read_text(encoding="utf-8").splitlines()
    rows = [f"{DAY},63,43,,,,18,17,7,6,6,5,5,7,8" if row.startswith(DAY) else row for row in rows]
    sales.write_text("\n".join(rows), encoding="utf-8")
    judged = asked("demand", house, "2026-06-03")["changes_judged"]["covers"]
    assert judged["days"] == 1 and judged["nearer"] == 1
    assert judged["yours_off"] == 3 and judged["ours_off"] == ours[0]["wanted"] - 63
    assert "yours nearer on 1" in typed("demand", house, "2026-06-03").stdout


def test_the_pars_of_a_tuesday_show_their_sum(house):
    done = typed("pars", house, DAY)
    assert done.returncode == 0, done.stderr
    assert "Half chickens roasted: par" in done.stdout
    assert "and a fifth: par" in done.stdout
    assert "3 of 2026-05-31 are past their days: not counted" in done.stdout
    assert "Your food code, the date mark and a probe decide" in done.stdout
    for one in asked("pars", house, DAY)["pars"]:
        ours, rule = one["ours"], one["rule"]
        total = (
            ours["short_portions"] * ours["short_money_each"]
            + ours["binned_portions"] * ours["waste_money_each"]
            + ours["carried_portions"] * ours["older_money_each"]
        )
        assert ours["money"] == pytest.approx(total, abs=0.1)
        assert ours["par"] == ours["on_hand"] + ours["make"]
        assert ours["money"] <= rule["money"] + 0.01
        assert one["nights_looked_back"] == 8


def test_a_chef_s_par_is_kept_with_its_own_sum(house):
    mine = ("--mine", "chicken=8", "--why", "new supplier", "--person", "Ana")
    par = {one["item"]: one for one in asked("pars", house, DAY, *mine)["pars"]}["chicken"]
    assert par["yours"]["par"] == 8 and par["yours"]["money"] > par["ours"]["money"]
    assert "* yours 8 (Ana: new supplier)" in typed("pars", house, DAY).stdout
    assert len((house / "changes.csv").read_text(encoding="utf-8").splitlines()) == 2


def test_no_count_is_said_to_be_none(house):
    (house / "stock.csv").unlink()
    done = typed("pars", house, DAY)
    assert done.returncode == 0 and "nothing is taken to be there" in done.stdout


def test_bad_rows_are_told_and_the_rest_is_used(house):
    sales = house / "sales.csv"
    rows = sales.read_text(encoding="utf-8").splitlines()
    rows[100] = rows[100].replace(",", ",many ", 1)  # line 101
    del rows[200]
    sales.write_text("\n".join(rows), encoding="utf-8")
    done = typed("demand", house, DAY)
    assert done.returncode == 0
    assert "Set aside: sales.csv:101" in done.stderr and "Write the number alone" in done.stderr
    assert "No row: sales.csv:201" in done.stderr and "if the house was shut" in done.stderr


def test_check_reads_what_is_sold_and_made_ahead_too(house):
    done = typed("check", house)
    assert done.returncode == 0 and "sales of 439 days" in done.stdout and "made ahead: dough" in done.stdout
    for name, old, new in (
        ("history.yaml", "covers: Guests", "covers: Gests"),
        ("pars.yaml", "days: 3", "days: 0"),
    ):
        file = house / name
        file.write_text(file.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    done = typed("check", house)
    assert done.returncode == 2
    assert "Did you mean `Guests`" in done.stderr and "pars.yaml" in done.stderr, "both at once"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("demand", "tomorrow"), "a date such as 2026-06-02"),
        (("demand", "2027-06-02"), "up to 28 days after"),
        (("demand", "2024-06-02"), "after a day that was sold on"),
        (("demand", DAY, "--mine", "covers=80"), "--why WORDS and --person NAME"),
        (("demand", DAY, "--mine", "cover=80", "--why", "a", "--person", "b"), "Did you mean `covers`"),
        (("demand", DAY, "--mine", "covers=many", "--why", "a", "--person", "b"), "FIGURE=NUMBER"),
        (("pars", DAY, "--mine", "chiken=8", "--why", "a", "--person", "b"), "Did you mean `chicken`"),
        (("pars", DAY, "--stock", "none.csv"), "a file that can be read"),
    ],
)
def test_what_cannot_be_meant_is_told_with_a_remedy(house, words, told):
    command, day, *rest = words
    done = typed(command, house, day, *rest)
    assert done.returncode == 2
    assert told in done.stderr
    assert not (house / "changes.csv").exists()


def test_a_house_without_a_history_is_told_what_to_write():
    done = typed("demand", EXAMPLES / "tannock-row", DAY)
    assert done.returncode == 2 and "docs/day.md" in done.stderr


def test_three_weeks_are_too_few_and_it_says_so(house):
    sales = house / "sales.csv"
    rows = sales.read_text(encoding="utf-8").splitlines()
    kept = [rows[0], *(row for row in rows[1:] if "2026-05-10" < row[:10] < "2026-06-01")]
    sales.write_text("\n".join(kept), encoding="utf-8")
    done = typed("demand", house, DAY)
    assert done.returncode == 1
    assert "too few days to learn from" in done.stdout and "last four same weekdays:" in done.stdout
    assert typed("pars", house, DAY).returncode == 1
