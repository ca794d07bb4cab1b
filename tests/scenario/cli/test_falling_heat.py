"""A worked example of the trade, given with its right answers: Pellow's Rick, a wood hearth read through a
Sunday night, what goes in, what does not and what would make it; and its week's wood.
"""

import json
import shutil
from functools import cache
from pathlib import Path

import pytest

from at_the_prompt import typed

EXAMPLES = Path(__file__).parents[3] / "examples"
RICK = EXAMPLES / "pellows-rick"
SUNDAY = "2026-05-31"
HOUR, MIN = 3600, 60


@cache
def told():
    done = typed("falling", RICK, SUNDAY, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@cache
def words():
    done = typed("falling", RICK, SUNDAY)
    assert done.returncode == 0, done.stderr
    return done.stdout


def thing(key):
    return next(one for one in told()["things"] if one["thing"] == key)


def way(key, kind):
    return next(one for one in thing(key)["ways_out"] if one["kind"] == kind)


def test_nothing_is_broken_and_the_curve_says_whose_it_is():
    curve = told()["curve"]
    assert told()["broken"] == [] and curve["source"] == "the house's own readings"
    assert len(curve["misses_K"]) == 4 and max(map(abs, curve["misses_K"])) <= 5
    assert "by the house's own readings" in words() and "Each reading told from the others" in words()


def test_the_bread_s_band_comes_when_nobody_is_there():
    """Right answer: about 01:45 to 04:15, nobody there. To twenty minutes: 5 °C where an hour is 12."""
    ((from_s, until_s),) = thing("loaves")["in_band_s"]
    assert from_s == pytest.approx(25.75 * HOUR, abs=20 * MIN)
    assert until_s == pytest.approx(28.25 * HOUR, abs=20 * MIN)
    assert thing("loaves")["stays"] == [] and thing("loaves")["windows_s"] == []
    assert "nobody is there" in thing("loaves")["why_not"]


@pytest.mark.xfail(
    strict=True,
    reason="the example goes straight between 01:30 (262 °C) and 05:30 (215 °C): 01:40 and 04:13. What falls "
    "by a share of its excess lies below that line, so that 230 °C is passed a quarter of an hour sooner",
)
def test_the_bread_s_band_ends_at_a_quarter_past_four():
    ((_, until_s),) = thing("loaves")["in_band_s"]
    assert until_s == pytest.approx(28.25 * HOUR, abs=7.5 * MIN)


def test_straight_lines_between_the_readings_give_the_example_s_own_times():
    """By hand: 01:30 + 4 h x (262 - 260) / 47 = 01:40; 01:30 + 4 h x (262 - 230) / 47 = 04:13."""
    first, last = (25.5 + 4 * (262 - aim) / (262 - 215) for aim in (260, 230))
    assert first == pytest.approx(25.75, abs=0.125) and last == pytest.approx(28.25, abs=0.125)


def test_small_loaves_go_in_early_and_hotter():
    """Right answer: 22:45 to 23:45 at 300 and more, with small loaves."""
    early = way("loaves", "instead")
    assert early["words"] == "small loaves" and sum(stay["portions"] for stay in early["stays"]) == 24
    assert min(stay["in_s"] for stay in early["stays"]) >= 22.75 * HOUR
    assert max(stay["out_s"] for stay in early["stays"]) <= 23.75 * HOUR
    assert "300 to 330 °C wanted" in early["sums"][0]


def test_or_two_or_three_kilograms_are_lit_again_and_cleared():
    """Right answer: about 2 to 3 kg at half past four, and cleared. We light on quarter hours."""
    again = way("loaves", "relight")
    assert 2 <= again["fuel_kg"] <= 3
    assert "coals out into the lidded bin" in again["words"] and "only then the door" in again["words"]
    assert "somebody there" in again["words"] and 0 < again["before_the_rota_s"] <= 45 * MIN
    lit_s = 29 * HOUR - again["before_the_rota_s"]
    assert lit_s == pytest.approx(28.5 * HOUR, abs=15 * MIN)
    assert all(lit_s + 40 * MIN <= stay["in_s"] for stay in again["stays"])
    assert thing("loaves")["ways_out"].index(again) > 0, "what costs nothing is told first"


def test_the_beans_go_in_at_a_quarter_to_eleven_and_come_out_at_seven():
    """Right answer, with 57 °C or more all night or the chill clock starts: the rules' limit, by readings."""
    (stay,) = thing("beans")["stays"]
    assert (stay["in_s"], stay["out_s"], stay["portions"]) == (22.75 * HOUR, 31 * HOUR, 4)
    hot = " ".join(thing("beans")["to_stay_hot"])
    assert told()["hot_limit_C"] == 57
    assert "57 °C or above" in hot and "3-501.16(A)(1)" in hot
    assert "chill clock" in hot and "within 2 h" in hot and "within 6 h" in hot
    assert "22:45, Monday 05:00, Monday 07:00" in hot


def test_the_tomatoes_meet_their_band_only_late_on_monday():
    """Right answer: with the door shut about 22:00 on Monday."""
    (from_s, _), *_ = thing("tomatoes")["in_band_s"]
    assert from_s == pytest.approx(46 * HOUR, abs=15 * MIN)
    assert thing("tomatoes")["stays"] == [] and "nobody is there" in thing("tomatoes")["why_not"]
    assert "later than told if it goes on slowing" in words()


def test_the_tomatoes_ways_out_are_the_afternoon_and_the_door():
    """Right answer: prop the door, or 150 °C for two hours in the afternoon."""
    afternoon, prop = way("tomatoes", "instead"), way("tomatoes", "prop")
    (stay,) = afternoon["stays"]
    assert stay["out_s"] - stay["in_s"] == 2 * HOUR and 36 * HOUR <= stay["in_s"] <= 42 * HOUR
    (dried,) = prop["stays"]
    assert 31 * HOUR < dried["in_s"] < 42 * HOUR, "hours before the shut oven's 22:00"
    assert "the excess an hour" in prop["sums"][0] and "ln(" in prop["sums"][1]


def test_what_must_be_said_of_coals_stands_there():
    assert "Never leave coals behind a shut door" in words()
    assert "The door goes on only once no live coal is in the oven" in words()
    assert "never planned otherwise" in " ".join(told()["cautions"])
    assert "Carbon monoxide" in words() and "certify" in words()


def test_the_week_s_wood():
    """Right answer: (42 + 5.5 x 6.5) x 6 = 467 kg, about 79 at 0.17; 0.37 kg a pie; 54 % of it to heat up."""
    done = typed("fuel", RICK, "--from", "2026-06-01", "--json")
    body = json.loads(done.stdout)
    assert body["wanted_kg"] == pytest.approx((42 + 5.5 * 6.5) * 6) == 466.5 and len(body["lit_on"]) == 6
    assert round(body["cost"]) == 79 and round(body["kg_for_each"]["portion of pizza"], 2) == 0.37
    assert round(100 * body["heat_up_share"]) == 54
    assert body["order_kg"] == 347, "120 kg are there"
    text = typed("fuel", RICK, "--from", "2026-06-01", "--in-store", "0 kg").stdout
    assert "78 kg x 6 = 467 kg" in text and "order 467 kg" in text
    assert "no more than one day's wood" in text and "0.9 m clear" in text


@pytest.fixture
def house(tmp_path):
    return Path(shutil.copytree(RICK, tmp_path / "rick"))


def with_lines(house, old, new, file="falling.yaml"):
    path = house / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_a_door_on_live_coals_is_refused(house):
    with_lines(house, "door_on: 22:30", "door_on: 21:45")
    done = typed("falling", house, SUNDAY)
    assert done.returncode == 2 and "carbon monoxide" in done.stderr
    assert "Put the door on later: this is never planned otherwise." in done.stderr


def test_coals_and_a_door_with_nobody_there_are_broken(house):
    """On Mondays the rota ends at 18:00; the coals come out at 22:00 and the door goes on at 22:30."""
    beans_alone(house)
    done = typed("falling", house, "2026-06-01")
    assert done.returncode == 1
    for act in ("the coals come out at 22:00", "the door goes on at 22:30"):
        assert f"Broken: {act} and nobody who tends the hearth is there" in done.stdout


def test_readings_that_rise_and_a_dome_that_nobody_read_are_told(house):
    with_lines(house, "at: 07:30, stone: 200 C", "at: 07:30, stone: 320 C")
    done = typed("falling", house, SUNDAY)
    assert done.returncode == 2 and "falling.yaml:14  readings[5].stone = 320 C" in done.stderr
    assert "less than the first after the door" in done.stderr
    with_lines(house, "at: 07:30, stone: 320 C", "at: 07:30, stone: 200 C")
    with_lines(house, "portions: 4", "portions: 4\n    of: dome")
    done = typed("falling", house, SUNDAY)
    assert done.returncode == 2 and "two readings of the dome" in done.stderr


def beans_alone(house):
    """Without what needs the oven model."""
    path = house / "falling.yaml"
    text = path.read_text(encoding="utf-8")
    head, beans = text.split("  loaves:")[0], text.split("  beans:")[1].split("  tomatoes:")[0]
    path.write_text(f"{head}  beans:{beans}".replace("name: Covered", "name: Beans &"), encoding="utf-8")


def test_a_picture_is_drawn_and_a_bad_date_told(house, tmp_path):
    beans_alone(house)
    drawn = tmp_path / "fall.svg"
    done = typed("falling", house, SUNDAY, "--picture", drawn)
    assert done.returncode == 0, done.stderr
    assert "Beans &amp; pans of beans in" in drawn.read_text(encoding="utf-8")
    assert typed("falling", house, "Sunday").returncode == 2


def test_without_rules_no_limit_is_named(house):
    with_lines(house, "rules: {set: us-fda-2022}", "", "house.yaml")
    beans_alone(house)
    body = json.loads(typed("falling", house, SUNDAY, "--json").stdout)
    assert body["hot_limit_C"] is None and "No rule set is chosen" in body["rules"]


GAS = """usable_area: 0.9
gas_shut: 23:00
door_on: 23:10
free_for: 14 h
things:
  rolls:
    name: Rolls
    portions: 40
    area: 0.02
    goes_in: {low: 230 C, high: 260 C}
    stays: {least: 12 min, most: 20 min}
    watched: true
"""


def test_a_house_without_readings_goes_by_the_oven_model(tmp_path):
    house = Path(shutil.copytree(EXAMPLES / "brindlecote", tmp_path / "gas"))
    (house / "falling.yaml").write_text(GAS, encoding="utf-8")
    with_lines(
        house, "from: 13:30, until: 23:00", "from: 13:30, until: 23:30", "rota.yaml"
    )  # for gas and door
    done = typed("falling", house, "2026-06-02")
    assert done.returncode == 0, done.stderr
    assert "by the oven model" in done.stdout and "two readings of your own" in done.stdout
    assert "40 in Wednesday" in done.stdout, "Ana is there from nine"
    assert "only once the gas is shut" in done.stdout and "Relight only by" in done.stdout
