"""`prep`, `reheat` and `orders` on the invented Brindlecote: read, made harder, put right."""

import json
import shutil
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from at_the_prompt import typed

EXAMPLES = Path(__file__).parents[3] / "examples"
DAY = "2026-06-02"
FEW = ("--rounds", 60)


@pytest.fixture
def house(tmp_path):
    return Path(shutil.copytree(EXAMPLES / "brindlecote", tmp_path / "brindlecote"))


@cache
def prep():
    done = typed("prep", EXAMPLES / "brindlecote", DAY, *FEW, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def clock(text):
    hours, minutes = text.split(":")[:2]
    return 60 * int(hours) + int(minutes)


def test_the_list_of_a_tuesday_keeps_every_promise():
    """Read off the list alone, as somebody on the floor would: hands, hearth, dues, order, wash-down."""
    body = prep()
    tasks = {one["task"]: one for one in body["tasks"]}
    assert body["in_time"] and body["left_out"] == [] and body["binding"] is None
    for one in tasks.values():
        assert one["due"] is None or clock(one["until"]) <= clock(one["due"]), one["task"]
        assert one["why"]
    hearth = [(clock(t["from"]), clock(t["hands_until"])) for t in tasks.values() if t["where"] == "Hearth"]
    assert len(hearth) >= 3
    for begin, end in hearth:
        assert clock("14:00") <= begin and end <= clock("16:30")
        assert sum(b <= begin < e for b, e in hearth) <= 2
    assert all(
        clock(t["from"]) >= clock(tasks["half_birds"]["until"])
        for k, t in tasks.items()
        if "roast_birds" in k
    )
    rest = ("Ana", clock("12:30"), clock("13:00"))
    for one in tasks.values():
        if rest[0] in one["hands"] and len(one["hands"]) == 1:
            assert clock(one["until"]) <= rest[1] or clock(one["from"]) >= rest[2], one["task"]


def test_the_amounts_are_those_of_the_pars():
    pars = json.loads(typed("pars", EXAMPLES / "brindlecote", DAY, "--json").stdout)
    made = prep()["amounts"]
    assert made == {one["item"]: one["ours"]["make"] for one in pars["pars"]}
    birds = [one["amount"] for one in prep()["tasks"] if one["task"].startswith("roast_birds")]
    assert sum(birds) == made["chicken"]


def test_tonight_s_dough_is_out_in_time_and_the_oldest_first():
    dough = prep()["dough"]
    assert sum(one["balls"] for one in dough["trays"]) + dough["short"] == dough["wanted"]
    made = [date.fromisoformat(one["made"]) for one in dough["trays"]]
    assert made == sorted(made) and made[0] == date(2026, 5, 31)
    assert all(clock(one["ready"]) - clock(one["out"]) == 75 for one in dough["trays"])
    assert len(dough["days"]) == 3


def test_the_print_is_a_list_in_words_with_cautions_at_the_act():
    done = typed("prep", EXAMPLES / "brindlecote", DAY, *FEW)
    assert done.returncode == 0, done.stderr
    for words in ("Tuesday 2 June 2026", "09:00  Ana", "due 10:30", "Mind: ", "licensed fitter", "Wash hands",
                  "Dough", "No rule set"):  # fmt: skip
        assert words in done.stdout, words
    assert "[ ]" not in done.stdout and "☐" not in done.stdout
    assert "ordering the prep" in done.stderr


def test_the_same_seed_gives_the_same_list():
    again = typed("prep", EXAMPLES / "brindlecote", DAY, *FEW, "--json")
    assert json.loads(again.stdout) == prep()


def test_too_many_birds_are_told_with_what_binds_and_a_way_out(house):
    done = typed("prep", house, DAY, "--amount", "chicken=60", "--rounds", 30, "--json")
    assert done.returncode == 1
    bound = json.loads(done.stdout)["binding"]
    assert bound["limit"] == "Hearth" and bound["sure"]
    (way,) = [one for one in bound["ways_out"] if one["in_time"]]
    assert way["words"] == "45 of chicken in place of 60"
    fewer = typed("prep", house, DAY, "--amount", "chicken=45", "--json")
    assert fewer.returncode == 0
    said = typed("prep", house, DAY, "--amount", "chicken=60", "--rounds", 30)
    assert "It cannot all be in time. What binds: Hearth" in said.stdout


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        ("prep.yaml", "makes: dough", "makes: doug", "prep.yaml:14"),
        ("prep.yaml", "person: Ana", "person: Anne", "somebody of rota.yaml"),
        ("supplies.yaml", "pack: 25 kg", "pack: 25", "Add the unit"),
    ],
)
def test_a_mistake_is_told_by_line(house, file, old, new, told):
    path = house / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    done = typed("prep" if file == "prep.yaml" else "orders", house, DAY)
    assert done.returncode == 2 and told in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize("amount", ["chickn=4", "chicken=many", "chicken", "chicken=-3", "chicken=99999"])
def test_an_amount_that_is_none_is_told(amount):
    done = typed("prep", EXAMPLES / "brindlecote", DAY, "--amount", amount)
    assert done.returncode == 2 and "--amount" in done.stderr


def test_the_orders_of_a_tuesday_add_up(house):
    done = typed("orders", house, DAY, "--json")
    assert done.returncode == 0, done.stderr
    for one in json.loads(done.stdout)["supplies"]:
        for order in one["orders"]:
            days = (date.fromisoformat(order["lasts_to"]) - date(2026, 6, 2)).days
            assert order["wanted_kg"] == pytest.approx(sum(one["uses_kg"][:days]), abs=0.02)
            assert order["packs"] * one["pack_kg"] >= order["up_to_kg"] - order["there_kg"] - 1e-6
            assert (order["packs"] - 1) * one["pack_kg"] < order["up_to_kg"] - order["there_kg"]
    said = typed("orders", house, DAY)
    assert "will not last" in said.stdout and "order 5 packs of 15 kg by Monday 8 June 2026" in said.stdout


def test_a_re_heat_is_told_by_thickness_start_and_probe(house):
    (house / "house.yaml").open("a", encoding="utf-8").write("rules: {set: us-fda-2022}\n")
    done = typed("reheat", house, "wings", "--day", DAY, "--procedure", "--json")
    assert done.returncode == 0, done.stderr
    (dish,) = json.loads(done.stdout)["dishes"]
    at = {(one["start"], round(1000 * one["thickness_m"])): one["seconds"] for one in dish["table"]}
    starts = list(dict.fromkeys(start for start, _ in at))
    assert starts[0] == "fridge 2 °C" and starts[-1] == "hot hold 57 °C"
    for start in starts:  # thicker takes longer
        row = [at[start, mm] for mm in (15, 20, 25, 30, 35, 40, 50)]
        assert row == sorted(row) and row[0] > 0
    for mm in (15, 25, 50):  # warmer takes less
        column = [at[start, mm] for start in ("fridge 2 °C", "fridge 8 °C", "hot hold 57 °C")]
        assert column == sorted(column, reverse=True)
    # The trade's table for a flat piece from 4 °C, to a quarter: it states no vessel, no turning
    # over and no face that dries.
    for mm, told in ((25, 12), (30, 17), (35, 23), (40, 30)):
        assert at["fridge 4 °C", mm] / 60 == pytest.approx(told, rel=0.25)
    assert dish["target_C"] == 74
    assert dish["pull"]["rule"] == "TP2" and dish["pull"]["pulls"]
    said = typed("reheat", house, "wings", "--day", DAY)
    assert "only by a written procedure" in said.stdout and "Par-cooked" not in said.stdout.split("\n")[0]
    assert "par-cooked piece is raw in law" in said.stdout


def test_what_is_not_ready_to_eat_is_no_re_heat(house):
    done = typed("reheat", house, "vegetables")
    assert done.returncode == 2 and "Par-cooked is raw in law" in done.stderr
    assert typed("reheat", house, "pasta").returncode == 2
