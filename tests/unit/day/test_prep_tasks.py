"""From a house's words to tasks: batches, minutes, orders, checks; why a task stands where it stands."""

from datetime import date

import pytest

from hearthtide.day.dough import TrayOut
from hearthtide.day.prep import Block, Machine, Person, Problem, Step, Task
from hearthtide.day.prep_checks import CHECKS, FIRST
from hearthtide.day.prep_search import Effort, planned
from hearthtide.day.prep_tasks import problem_of
from hearthtide.day.prep_words import idle_s, named, where, why
from hearthtide.house.prep_file import Check, PrepFile
from hearthtide.house.rota_file import Hours

PREP = frozenset({"prep"})
ANA = Hours("Ana", 9 * 3600, 17 * 3600, frozenset({"prep"}))
WRITTEN = {
    "line_up": "16:30",
    "machines": {
        "mixer": {"name": "Mixer"},
        "shelf": {"name": "Shelf", "count": 9, "until": "20:00"},
    },
    "tasks": {
        "mix": {
            "name": "Mix",
            "makes": "dough",
            "batch": 24,
            "steps": [
                {"hands": "5 min", "each": "10 s", "at": {"mixer": 1}},
                {"rest": "1 h", "at_each": {"shelf": 12}},
            ],
            "due": "line-up",
        },
        "ball": {
            "name": "Ball",
            "makes": "dough",
            "batch": 24,
            "after": ["mix"],
            "steps": [{"hands": "1 min", "each": "30 s"}],
        },
        "mark": {"name": "Mark it all", "after": ["ball"], "steps": [{"hands": "61 s"}]},
        "dip": {"name": "Dip", "makes": "dip", "steps": [{"hands": "5 min"}]},
    },
    "opening": {"from": "09:00", "by": "10:00", "of": ["gas_valve", "extraction", "co_alarm"]},
    "evening": {"from": "17:00", "covers": ["4", "8"]},
    "dough": {"made": "dough", "tray": "6"},
}


def written(**changes):
    return PrepFile.model_validate(_texts(WRITTEN | changes))


def _texts(value):
    """As a file hands it over: every scalar but counts as text."""
    if isinstance(value, dict):
        return {key: _texts(one) for key, one in value.items()}
    return [_texts(one) for one in value] if isinstance(value, list) else value


def test_a_making_is_done_in_batches_that_follow_each_other_in_pairs():
    problem = problem_of(written(), {"dough": 60, "dip": 0}, (ANA,))
    mixes = [problem.task[f"mix.{n}"] for n in (1, 2, 3)]
    assert [task.amount for task in mixes] == [24, 24, 12]
    assert [task.steps[0].seconds for task in mixes] == [540, 540, 420]  # 5 min and 10 s a ball, in minutes
    assert [task.steps[1].at["shelf"] for task in mixes] == [2, 2, 1]
    assert problem.task["ball.2"].after == ("mix.2",)
    assert problem.task["mark"].after == ("ball.1", "ball.2", "ball.3")
    assert problem.task["mark"].steps[0].seconds == 120
    assert mixes[0].due_s == 16.5 * 3600
    assert "dip" not in problem.task  # none to make


def test_one_batch_keeps_its_name():
    problem = problem_of(written(), {"dough": 24}, (ANA,))
    assert problem.task["ball"].after == ("mix",)


def test_checks_come_in_their_order_with_their_cautions():
    problem = problem_of(written(), {}, (ANA,))
    gas = problem.task["opening gas_valve"]
    assert set(gas.after) == {"opening extraction", "opening co_alarm"}
    assert any("licensed" in words for words in gas.cautions)
    assert gas.due_s == 10 * 3600


def test_every_check_a_house_may_name_is_known_and_none_waits_for_itself():
    assert set(CHECKS) == set(Check.__args__)
    assert set(FIRST) <= set(CHECKS) and all(set(before) <= set(CHECKS) for before in FIRST.values())
    dangers = (
        "flue",
        "extraction",
        "gas_valve",
        "co_alarm",
        "ash_bin",
        "coals_out",
        "gas_shut",
        "thermometers",
    )
    assert all(CHECKS[key].cautions for key in dangers)
    said = " ".join(one.words + " ".join(one.cautions) for one in CHECKS.values()).lower()
    assert "is safe" not in said


def test_trays_come_out_at_their_minute():
    out = TrayOut(15 * 3600, 16 * 3600, 18 * 3600, 4, date(2026, 6, 1))
    problem = problem_of(written(), {}, (ANA,), (out,), date(2026, 6, 2))
    tray = problem.task["tray 1"]
    assert "part tray" in tray.name and "day 2 (best)" in tray.name
    assert tray.release_s <= out.out_s <= tray.due_s and tray.due_s - tray.release_s <= 900
    assert "16:00" in tray.words and "18:00" in tray.words


def test_words_for_an_allergen_are_those_of_the_kitchen():
    """Regulation (EU) 1169/2011, annex II, names them; `separation` has the words cooks say for them."""
    tasks = {
        "roll": {"name": "Roll", "steps": [{"hands": "5 min"}], "leaves": ["flour", "raw"]},
        "fry": {"name": "Fry", "steps": [{"hands": "5 min"}], "keeps_from": ["gluten", "shrimp"]},
    }
    problem = problem_of(written(tasks=tasks), {}, (ANA,))
    assert problem.task["roll"].leaves == {"wheat", "raw"}
    assert problem.task["fry"].keeps_from == {"wheat", "rye", "barley", "oats", "crustacean"}


def test_a_heat_up_plan_s_trays_are_taken_as_they_are():
    block = Block("a tray of the heat-up", 0, 3600, machine="mixer")
    assert block in problem_of(written(), {}, (ANA,), blocks=(block,)).blocks


def day():
    return Problem(
        (
            Task("mix", "Mix", (Step(600, True, {"mixer": 1}), Step(600, False)), PREP),
            Task("ball", "Ball", (Step(600, True, {"bench": 1}),), PREP, after=("mix",)),
            Task("birds", "Birds", (Step(300, True, {"bench": 1}),), PREP, leaves=frozenset({"raw"})),
            Task("herbs", "Herbs", (Step(300, True, {"bench": 1}),), PREP, keeps_from=frozenset({"raw"}),
                 after=("birds",)),
            Task("late", "Late one", (Step(300, True),), PREP, release_s=7200),
        ),
        (Person("Ana", 0, 20_000, PREP),),
        (Machine("mixer", "Mixer"), Machine("bench", "Bench", apart=True, wash_s=600)),
    )  # fmt: skip


def test_why_a_task_stands_where_it_stands():
    problem = day()
    plan = planned(problem, effort=Effort(300))
    told = {entry.task.key: why(problem, plan, entry) for entry in plan.entries}
    assert told["herbs"] == "Bench washed down by then" or told["herbs"].startswith("Ana")
    assert told["late"] == "not before 02:00"
    first = min(plan.entries, key=lambda entry: entry.start_s)
    assert told[first.task.key] == "Ana comes then"
    assert where(problem, plan.by_task["mix"]) == "Mixer"
    assert idle_s(problem, plan)["Ana"] == 7500 - sum(task.hands_s for task in problem.tasks) - 600


def test_batches_are_numbered_as_they_begin():
    problem = Problem(
        (
            Task("mix.1", "Mix", (Step(600, True),), PREP, release_s=1200),
            Task("mix.2", "Mix", (Step(600, True),), PREP),
        ),
        (Person("Ana", 0, 20_000, PREP),),
        (),
    )
    plan = planned(problem, effort=Effort(10))
    assert named(plan, plan.by_task["mix.2"]) == "Mix, 1 of 2"
    assert named(plan, plan.by_task["mix.1"]) == "Mix, 2 of 2"


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"tasks": (Task("a", "A", (), PREP), Task("a", "A", (), PREP))}, "task a twice"),
        ({"tasks": (Task("a", "A", (), PREP, after=("b",)),)}, "b is not there"),
        ({"tasks": (Task("a", "A", (Step(5, True, {"x": 1}),), PREP),)}, "x is not there"),
        ({"machines": (Machine("b", "B", apart=True),)}, "wash it down"),
        ({"tasks": (Task("a", "A", (Step(0, True),), PREP),)}, "counts from 1"),
        ({"tasks": (Task("a", "A", (), PREP, after=("a",)),)}, "waits for itself"),
    ],
)
def test_a_day_that_does_not_hold_together_is_refused(changed, told):
    with pytest.raises(ValueError, match=told):
        Problem(**{"tasks": (), "people": (), "machines": (), **changed})
