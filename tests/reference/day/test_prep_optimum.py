"""A day's prep against the best there is: CP-SAT, closed forms of scheduling, every order of a tiny day.

CP-SAT is OR-tools' constraint solver, which takes the same words by a model of its own (`prep_by_cpsat`). The
closed forms are named beside each test.
"""

from functools import cache
from itertools import permutations

import pytest

from hearthtide.day.prep import Machine, Person, Problem, Step, Task
from hearthtide.day.prep_checker import faults
from hearthtide.day.prep_search import Effort, planned
from prep_by_cpsat import best_cost
from prep_instances import MINUTE_S, invented_day

ONE = frozenset({"prep"})


SEEDS = range(1, 9)


@cache
def both(seed, apart):
    problem = invented_day(seed, apart=apart)
    return problem, planned(problem, effort=Effort(rounds=1500)), best_cost(problem)


@pytest.mark.parametrize("apart", [False, True], ids=["free", "kept apart"])
@pytest.mark.parametrize("seed", SEEDS)
def test_a_small_day_is_in_time_and_over_as_soon_as_can_be(seed, apart):
    problem, plan, best = both(seed, apart)
    assert faults(problem, plan) == () and plan.unplaced == ()
    assert plan.cost[1:3] == best[:2]


def test_what_only_breaks_ties_is_near_the_least():
    """The sum of all ends, over these days together: within 1 % of CP-SAT's; none below it."""
    found = [both(seed, apart)[1:] for seed in SEEDS for apart in (False, True)]
    assert all(plan.cost[3] >= best[2] for plan, best in found)
    assert sum(plan.cost[3] for plan, _ in found) <= 1.01 * sum(best[2] for _, best in found)


def hands_alone(seconds, dues=None):
    """One person, tasks of so many minutes one after the other."""
    dues = dues or [None] * len(seconds)
    tasks = tuple(
        Task(
            f"t{n}",
            f"Task {n}",
            (Step(s * MINUTE_S, True),),
            ONE,
            due_s=None if due is None else due * MINUTE_S,
        )
        for n, (s, due) in enumerate(zip(seconds, dues, strict=True))
    )
    return Problem(tasks, (Person("Ana", 0, 100_000, ONE),), ())


@pytest.mark.parametrize(
    ("seconds", "dues"),
    [
        ((6, 9, 4, 7, 12, 3), (30, 15, 4, 41, 26, 44)),  # in time by their dues' order
        ((6, 9, 4, 7, 12, 3), (30, 15, 4, 37, 26, 44)),  # one minute less: not
        ((5, 5, 5, 5), (20, 15, 10, 5)),
        ((5, 5, 5, 5), (20, 15, 9, 5)),
    ],
)
def test_one_pair_of_hands_is_in_time_where_the_earliest_due_first_is(seconds, dues):
    """Jackson (1955): if any order of one machine meets all dues, that of the dues does."""
    now, in_time = 0, True
    for due, length in sorted(zip(dues, seconds, strict=True)):
        now += length
        in_time &= now <= due
    assert planned(hands_alone(seconds, dues), effort=Effort(300)).kept is in_time


def test_one_pair_of_hands_ends_soonest_in_all_with_the_shortest_first():
    """Smith (1956): the sum of ends on one machine is least in order of length."""
    seconds = (14, 3, 9, 22, 5, 11, 7)
    now, whole = 0, 0
    for length in sorted(seconds):
        now += length
        whole += now
    assert planned(hands_alone(seconds), effort=Effort(600)).cost == (0, 0, now * MINUTE_S, whole * MINUTE_S)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ((3, 5, 1, 6, 7), (6, 2, 2, 6, 5)),
        ((4, 1, 8, 3, 9, 2), (2, 7, 3, 8, 5, 6)),
        ((5, 5, 5, 5), (1, 2, 3, 4)),
    ],
)
def test_a_flow_through_two_machines_ends_as_soon_as_johnson_s_order(first, second):
    """Johnson (1954): least on the first machine first where that is the shorter, the others in reverse."""
    both = list(zip(first, second, strict=True))
    early = sorted(pair for pair in both if pair[0] < pair[1])
    late = sorted((pair for pair in both if pair[0] >= pair[1]), key=lambda pair: -pair[1])
    one = two = 0
    for a, b in early + late:
        one += a
        two = max(one, two) + b
    tasks = []
    for n, (a, b) in enumerate(both):
        tasks.append(Task(f"a{n}", "first", (Step(a * MINUTE_S, False, {"one": 1}),), ONE))
        tasks.append(Task(f"b{n}", "second", (Step(b * MINUTE_S, False, {"two": 1}),), ONE, after=(f"a{n}",)))
    problem = Problem(tuple(tasks), (), (Machine("one", "One"), Machine("two", "Two")))
    plan = planned(problem, effort=Effort(1500))
    assert faults(problem, plan) == ()
    assert plan.finish_s == two * MINUTE_S


@pytest.mark.parametrize("words", ["rrwrw", "wrwrw", "rwwrn"])
def test_raw_and_ready_at_one_bench_as_every_order_has_it(words):
    """Brute force: each order of a bench that is washed (10 min) between raw and ready to eat, by hand."""
    seconds = (12, 5, 20, 8, 15)
    leaves = {"r": frozenset({"raw"})}
    keeps = {"w": frozenset({"raw"})}
    tasks = tuple(
        Task(
            f"t{n}",
            f"Task {n}",
            (Step(s * MINUTE_S, True, {"bench": 1}),),
            ONE,
            leaves=leaves.get(word, frozenset()),
            keeps_from=keeps.get(word, frozenset()),
        )
        for n, (s, word) in enumerate(zip(seconds, words, strict=True))
    )
    bench = Machine("bench", "Bench", apart=True, wash_s=10 * MINUTE_S, washed_by=ONE)
    problem = Problem(tasks, (Person("Ana", 0, 100_000, ONE),), (bench,))
    best = min(_by_hand(order, seconds, words) for order in permutations(range(5)))
    plan = planned(problem, effort=Effort(800))
    assert faults(problem, plan) == ()
    assert plan.cost[2:] == tuple(minutes * MINUTE_S for minutes in best)


def _by_hand(order, seconds, words):
    """Finish and sum of ends of one order."""
    now, whole, dirty = 0, 0, False
    for n in order:
        if words[n] == "w" and dirty:
            now, dirty = now + 10, False
        now += seconds[n]
        whole += now
        dirty |= words[n] == "r"
    return now, whole
