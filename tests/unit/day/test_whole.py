"""The parts of a day against each other: what is held hot, what nothing chills, what the window takes."""

import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from hearthtide.cli import day_planned
from hearthtide.day.load import Hand, Load, Tray
from hearthtide.day.whole import hold_lines, not_chilled
from hearthtide.day.whole_prep import around, blocks_of, cooked_by
from hearthtide.errors import InputError
from hearthtide.house.ahead_file import read_ahead
from hearthtide.house.chill_file import read_chill
from hearthtide.house.files import read_house
from hearthtide.house.pars_file import read_pars
from hearthtide.house.prep_file import read_prep
from hearthtide.house.rota_file import Hours
from hearthtide.safety.rule_sets import rule_set

BRINDLECOTE = Path(__file__).parents[3] / "examples" / "brindlecote"
HOUR, MIN = 3600, 60
ANA = Hours("Ana", 9 * HOUR, 17 * HOUR, ("prep", "hearth"))
BEN = Hours("Ben", 13 * HOUR, 23 * HOUR, ("hearth",))
FDA = rule_set("us-fda-2022")


def load(kind, number=1, portions=4, in_s=14 * HOUR, out_s=14 * HOUR + 20 * MIN):
    tray = Tray(f"{kind} {number}", kind, "dish", portions, 1.0, (1,), (), 600, 6, 100, 300, True, False)
    hands = (Hand("put in", "Ben", in_s, in_s + 45), Hand("take out", "Ben", out_s, out_s + 45))
    return Load(tray, 0, in_s, out_s, 1200, hands)


def window(*loads):
    return SimpleNamespace(loads=loads, lit_s=13 * HOUR, clean_by_s=16 * HOUR)


def held(then, rules):
    (line,) = hold_lines(window(load("wings")), {"wings": then}, rules)
    assert line.kind == "chill" and line.from_s == 14 * HOUR + 30 * MIN  # out, and its ten minutes of rest
    assert (rules is None) == (line.said == "")
    return line.what


def test_what_is_held_hot_is_told_the_rules_limit():
    """FDA Food Code 2022, 3-501.16(A)(1): 57 °C (135 °F) or above."""
    assert held("hot hold", FDA) == "wings 1: hold hot at 57 °C or above, probe"


def test_without_rules_no_number_is_told_and_the_code_decides():
    words = held("hot hold", None)
    assert "°C" not in words and "your local food code decides" in words


def test_what_stands_by_its_time_alone_is_marked_as_it_leaves_the_heat():
    assert "time alone: mark it 14:20, only by the house's written procedure" in held("line", FDA)
    assert "your local food code decides" in held("line", None)


def test_what_is_chilled_has_no_line_of_its_own_here():
    assert list(hold_lines(window(load("wings")), {"wings": "chill"}, FDA)) == []


def lot(key, feasible):
    return SimpleNamespace(lot=SimpleNamespace(key=key), feasible=feasible, reason="no rack is free")


def test_a_tray_that_no_plan_chills_is_told():
    """Chilled, refused, in no plan at all, and one that is not to be chilled."""
    then = {"wings": "chill", "roots": "line"}
    plan = window(load("wings", 1), load("wings", 2), load("wings", 3), load("roots"))
    chill = SimpleNamespace(lots=(lot("wings 1", True), lot("wings 2", False)))
    words = list(not_chilled(plan, chill, then))
    assert [one.split(",")[0] for one in words] == ["Do not put in wings 2", "Do not put in wings 3"]
    assert "no rack is free" in words[0]
    assert len(list(not_chilled(plan, None, then))) == 3


@pytest.fixture(scope="module")
def house():
    return read_house(BRINDLECOTE)


def test_the_last_chill_plan_is_of_the_window_as_it_stands(house, monkeypatch):
    """A chiller that refuses every last tray: each round is kept, and the last window was chilled too."""
    windows = []

    def heat_up(ahead, wanted, people, tell):
        windows.append(window(*(load("wings", n, 1) for n in range(wanted.get("wings", 0)))))
        return windows[-1]

    def chilled(ahead, cold, plan, limits):
        keys = [one.tray.key for one in plan.loads]
        return SimpleNamespace(of=plan, lots=tuple(lot(key, key != keys[-1]) for key in keys))

    monkeypatch.setattr(day_planned, "plan_heat_up", heat_up)
    monkeypatch.setattr(day_planned, "_chilled", chilled)
    ahead, cold = read_ahead(house), read_chill(house)
    found = day_planned.windowed(ahead, cold, {"wings": 9}, (ANA, BEN), lambda *_: None)
    assert len(found.refused) == day_planned.MOST_FEWER
    assert found.heat_up is windows[-1] and found.chill.of is windows[-1]
    assert len(found.heat_up.loads) == 9 - day_planned.MOST_FEWER == found.wanted["wings"]
    assert len(list(not_chilled(found.heat_up, found.chill, {"wings": "chill"}))) == 1


def prep_of(house):
    return read_prep(house, read_pars(house))


def test_no_hearth_task_is_left_for_what_a_batch_makes_laid_or_not(house):
    ahead = read_ahead(house)
    left = around(prep_of(house), ahead, window(load("wings"))).tasks
    assert not {"roast_birds", "cook_wings", "roast_roots"} & set(left)
    assert {"half_birds", "cut_steaks", "set_line"} <= set(left)
    assert cooked_by(ahead, window(load("wings"), load("peppers", portions=7))) == {
        "chicken": 0,
        "roots": 7,
        "wings": 4,
    }


def test_what_comes_before_a_tray_is_due_as_the_first_goes_in_and_what_follows_waits_for_the_last(house):
    file = prep_of(house)
    packed = file.tasks["set_line"].model_copy(update={"after": ("roast_birds",), "since": 13.0 * HOUR})
    file = file.model_copy(update={"tasks": {**file.tasks, "pack": packed}})
    loads = (load("chicken", 1), load("chicken", 2, in_s=15 * HOUR, out_s=15 * HOUR + 20 * MIN))
    left = around(file, read_ahead(house), window(*loads)).tasks
    assert left["half_birds"].due == 14 * HOUR
    assert left["pack"].after == () and left["pack"].since == 15 * HOUR + 30 * MIN


def test_the_window_takes_the_hearth_and_the_hands_that_light_and_brush(house):
    """Ana is the first of the rota; where she has gone it is Ben; where nobody is, nobody is taken."""
    file, ahead = prep_of(house), read_ahead(house)
    taken = {one.what: one for one in blocks_of(file, ahead, window(load("wings")), (ANA, BEN))}
    lit, brush, hearth = taken["light"], taken["brush the stone"], taken["the heat-up window"]
    assert (lit.person, lit.from_s, lit.until_s) == ("Ana", 13 * HOUR, 13 * HOUR + 5 * MIN)
    assert (brush.person, brush.from_s, brush.until_s) == ("Ana", 16 * HOUR - 5 * MIN, 16 * HOUR)
    assert (hearth.machine, hearth.count) == ("hearth", file.machines["hearth"].count)
    assert (hearth.from_s, hearth.until_s) == (13 * HOUR, 16 * HOUR)
    assert taken["put in wings 1"].person == "Ben"
    only_ben = {one.what: one.person for one in blocks_of(file, ahead, window(), (BEN,))}
    assert only_ben["light"] == only_ben["brush the stone"] == "Ben"
    assert "light" not in {one.what for one in blocks_of(file, ahead, window(), ())}


@pytest.mark.parametrize(
    ("portion", "asked"), [("479 g", False), ("481 g", True), ("321 g", False), ("319 g", True)]
)
def test_a_portion_may_be_a_fifth_off_the_mass_put_in(tmp_path, portion, asked):
    """Of 400 g a fifth is 80 g."""
    made = tmp_path / "house"
    shutil.copytree(BRINDLECOTE, made)
    chill = made / "chill.yaml"
    chill.write_text(
        chill.read_text(encoding="utf-8").replace("portion: 400 g", f"portion: {portion}"), "utf-8"
    )
    house = read_house(made)
    if asked:
        with pytest.raises(InputError, match=rf"chill\.yaml:\d+  things\.chicken\.portion = {portion}"):
            day_planned.check_chilled(read_ahead(house), read_chill(house))
    else:
        day_planned.check_chilled(read_ahead(house), read_chill(house))
