"""What binds when prep cannot be in time, by hand; ways out that are true when tried."""

from dataclasses import replace

import pytest

from hearthtide.day.prep import Block, Machine, Person, Problem, Step, Task
from hearthtide.day.prep_limits import binding
from hearthtide.day.prep_search import Effort, planned

PREP, HEARTH = frozenset({"prep"}), frozenset({"hearth"})
MIN, NINE = 60, 9 * 3600
ANA = Person("Ana", NINE, NINE + 8 * 3600, PREP)
BEN = Person("Ben", NINE, NINE + 8 * 3600, HEARTH)


def task(key, minutes, due=None, at=None, who=PREP, **more):
    due_s = None if due is None else NINE + due * MIN
    return Task(key, key, (Step(minutes * MIN, True, at or {}),), who, due_s=due_s, **more)


def bound(tasks, people=(ANA, BEN), machines=(), less=None, amounts=None, blocks=()):
    problem = Problem(tuple(tasks), tuple(people), tuple(machines), tuple(blocks))
    plan = planned(problem, effort=Effort(200))
    assert not plan.kept
    return binding(problem, plan, less, amounts, rounds=100)


def test_too_few_hands_are_named_with_their_minutes():
    told = bound([task(f"t{n}", 20, due=50) for n in range(3)])
    assert told.sure and told.limit == "hands for prep"
    assert "60 min" in told.words and "50 min" in told.words
    words = [way.words for way in told.ways_out if way.mends]
    assert any("one more pair of hands for prep" in one for one in words)
    assert any(one.startswith("Ana and Ben 15 min earlier, from 08:45") for one in words)


def test_too_little_of_a_machine_is_named_with_its_minutes():
    slots = [
        Task(
            f"r{n}",
            "Roast",
            (Step(30 * MIN, False, {"hearth": 1}),),
            HEARTH,
            due_s=NINE + 60 * MIN,
            makes="birds",
        )
        for n in range(3)
    ]
    hearth = Machine("hearth", "Hearth", from_s=NINE)
    less = {count: tuple(slots[: -(-count // 10)]) for count in range(0, 31)}

    def fewer(key, count):
        assert key == "birds"
        return Problem(less[count], (ANA, BEN), (hearth,))

    told = bound(slots, machines=(hearth,), less=fewer, amounts={"birds": 30})
    assert told.sure and told.limit == "Hearth" and "90 min of Hearth wanted" in told.words
    mends = [way.words for way in told.ways_out if way.mends]
    assert mends == ["15 of birds in place of 30"]  # 27 and 22 were tried before and did not
    assert {one.limit for one in told.lifted if not one.late_s} >= {"Hearth"}


def test_a_chain_that_is_too_long_is_named():
    told = bound([task("mix", 30), task("ball", 31, due=60, after=("mix",))])
    assert told.sure and told.limit == "the steps themselves" and "ball" in told.words


def test_nobody_with_that_skill_is_named():
    told = bound([task("roast", 10, who=frozenset({"porter"}))])
    assert told.sure and told.limit == "hands for porter"
    assert any(way.mends and "one more pair of hands for porter" in way.words for way in told.ways_out)


def test_more_than_there_ever_is_of_a_place_is_named():
    told = bound([task("chill", 10, at={"shelf": 5})], machines=(Machine("shelf", "Shelf", 4),))
    assert told.sure and told.limit == "Shelf" and "wants 5 of Shelf, 4 are there" in told.words


def test_a_limit_that_needs_trying_is_found_by_lifting_it():
    """The hearth is taken for an hour in the middle: no sum of minutes shows it, planning without it does."""
    hearth = Machine("hearth", "Hearth")
    block = Block("tray", NINE + 20 * MIN, NINE + 80 * MIN, machine="hearth")
    told = bound(
        [
            task("a", 15, due=90, at={"hearth": 1}, who=HEARTH),
            task("b", 15, due=90, at={"hearth": 1}, who=HEARTH),
        ],
        machines=(hearth,),
        blocks=(block,),
    )
    assert not told.sure and told.limit == "Hearth"
    assert "without this limit all of it is in time" in told.words


def test_keeping_apart_is_a_limit_of_its_own():
    bench = Machine("bench", "Bench", apart=True, wash_s=20 * MIN)
    birds = task("birds", 20, due=20, at={"bench": 1}, leaves=frozenset({"raw"}))
    herbs = task("herbs", 20, due=45, at={"bench": 1}, keeps_from=frozenset({"raw"}))
    told = bound([birds, herbs], machines=(bench,))
    assert "Bench" in told.limit


def test_a_plan_in_time_has_no_limit_to_name():
    problem = Problem((task("a", 10, due=60),), (ANA,), ())
    plan = planned(problem)
    with pytest.raises(ValueError, match="meets every due"):
        binding(problem, plan)
    assert planned(replace(problem, tasks=())).kept
