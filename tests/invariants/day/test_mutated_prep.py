"""The checker of a day's prep must reject every plan that has been spoilt, and say at what."""

from dataclasses import replace

import pytest

from hearthtide.day.prep import Machine, Person, Problem, Schedule, Step, Task, Wash
from hearthtide.day.prep_checker import faults
from hearthtide.day.prep_search import Effort, planned

PREP, HEARTH = frozenset({"prep"}), frozenset({"hearth"})
MIN = 60


def task(key, *steps, **more):
    return Task(key, key, tuple(steps), more.pop("who", PREP), **more)


PROBLEM = Problem(
    (
        task("mix", Step(10 * MIN, True, {"mixer": 1}), Step(20 * MIN, False, {"shelf": 1}), due_s=200 * MIN),
        task("ball", Step(15 * MIN, True, {"bench": 1}), after=("mix",)),
        task("birds", Step(20 * MIN, True, {"bench": 1}), leaves=frozenset({"raw"}), release_s=15 * MIN),
        task("herbs", Step(10 * MIN, True, {"bench": 1}), keeps_from=frozenset({"raw"}), release_s=40 * MIN),
        task("roast", Step(5 * MIN, True, {"hearth": 1}), Step(30 * MIN, False, {"hearth": 1}), who=HEARTH),
        task("wings", Step(5 * MIN, True, {"hearth": 1}), Step(30 * MIN, False, {"hearth": 1}), who=HEARTH),
    ),
    (Person("Ana", 0, 300 * MIN, PREP), Person("Ben", 10 * MIN, 300 * MIN, HEARTH | PREP)),
    (
        Machine("mixer", "Mixer"),
        Machine("bench", "Bench", apart=True, wash_s=8 * MIN),
        Machine("shelf", "Shelf", 2),
        Machine("hearth", "Hearth", from_s=30 * MIN),
    ),
)
PLAN = planned(PROBLEM, effort=Effort(200))


def moved(key, start_s):
    return replace(
        PLAN,
        entries=tuple(replace(e, start_s=start_s) if e.task.key == key else e for e in PLAN.entries),
    )


def in_hands(key, *names):
    return replace(
        PLAN,
        entries=tuple(replace(e, hands=names) if e.task.key == key else e for e in PLAN.entries),
    )


def test_the_plan_itself_stands():
    assert faults(PROBLEM, PLAN) == ()
    assert PLAN.kept and len(PLAN.washes) == 1


SPOILT = {
    "before what it waits for": (moved("ball", PLAN.by_task["mix"].start_s), "ball: begins before mix"),
    "before its own time": (moved("birds", 5 * MIN), "birds: begins 00:05"),
    "before the hearth is hot": (moved("roast", 15 * MIN), "hearth: not to be had"),
    "two trays in one place": (moved("roast", PLAN.by_task["wings"].start_s), "hearth: 2 of 1 in use"),
    "hands that are not there": (moved("roast", 320 * MIN), "Ben: not there"),
    "one at two places": (in_hands("mix", "Ben", ""), ""),
    "hands without that skill": (in_hands("roast", "Ana", ""), "Ana does not do such work"),
    "hands of nobody": (in_hands("ball", ""), "hands of nobody"),
    "hands of a stranger": (in_hands("ball", "Zoe"), "hands of Zoe"),
    "hands on what rests": (in_hands("mix", "Ana", "Ana"), "mix: hands of Ana"),
    "no wash-down": (replace(PLAN, washes=()), "herbs meets the raw of birds"),
    "a hasty wash-down": (
        replace(PLAN, washes=tuple(replace(w, end_s=w.start_s + 60) for w in PLAN.washes)),
        "a wash-down shorter",
    ),
    "a wash-down in wrong hands": (
        replace(PLAN, washes=(*PLAN.washes, Wash("bench", 250 * MIN, 258 * MIN, "nobody at all"))),
        "does not do such work",
    ),
    "a task left out": (replace(PLAN, entries=PLAN.entries[1:]), "stands 0 times"),
    "a task twice": (replace(PLAN, entries=(*PLAN.entries, PLAN.entries[0])), "stands 2 times"),
    "a shorter task": (
        replace(
            PLAN,
            entries=tuple(
                replace(e, task=replace(e.task, steps=(Step(MIN, True, {"bench": 1}),)))
                if e.task.key == "birds"
                else e
                for e in PLAN.entries
            ),
        ),
        "birds: is not the task",
    ),
}


@pytest.mark.parametrize("name", SPOILT)
def test_a_spoilt_plan_is_rejected(name):
    plan, told = SPOILT[name]
    if name == "one at two places":
        busy = PLAN.by_task["roast"].start_s
        plan = replace(
            plan,
            entries=tuple(replace(e, start_s=busy) if e.task.key == "mix" else e for e in plan.entries),
        )
        told = "Ben: at"
    found = faults(PROBLEM, plan)
    assert any(told in one for one in found), found


def test_a_plan_that_hides_its_lateness_is_told():
    class Hiding(Schedule):
        late_s = 0

    late = moved("mix", 260 * MIN)
    hiding = Hiding(late.entries, late.washes)
    assert any("the plan says 0 s late" in one for one in faults(PROBLEM, hiding))
