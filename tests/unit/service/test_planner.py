"""The planner in its own process: what it answers, what it lets go of, what it says of itself."""

from __future__ import annotations

import pickle
from dataclasses import replace
from queue import Queue

import pytest

from hearthtide.planning.engine.search import search
from hearthtide.planning.events import StageSeen, after_event
from hearthtide.planning.problem import Closed, Problem
from hearthtide.planning.replan import replanned
from hearthtide.planning.told import Running
from hearthtide.service.planner import Planner
from hearthtide.service.planner_process import plans
from hearthtide.service.planner_words import Answer, Refusal, Request, bare, on_stone, request_at, run_on
from small_night import MIXED, clock, problem_of, small_house, solved

WAIT_S = 300.0  # until a test that hears nothing fails: compiling anew may come before
LOOKS = (0, 20, 60)
ENDLESS = (0, 10**9)


class Heard:
    """A planner, a clock set by hand, and what it told."""

    def __init__(self) -> None:
        self.now_s = 1000.0
        self.told: Queue[Answer | Refusal] = Queue()
        self.planner = Planner(lambda: self.now_s, self.told.put)

    def next(self) -> Answer | Refusal:
        return self.told.get(timeout=WAIT_S)

    def answers(self, request: Request) -> list[Answer | Refusal]:
        """All that is told from a request on, to its end."""
        number, found = self.planner.ask(request), []
        while not found or not (isinstance(found[-1], Refusal) or found[-1].last):
            found.append(self.next())
            assert found[-1].number == number
        return found


@pytest.fixture(scope="module")
def heard():
    heard = Heard()
    yield heard
    heard.planner.close()
    assert heard.planner.state().condition == "closed"


@pytest.fixture(scope="module")
def mixed():
    return problem_of(small_house(cooks=2), MIXED)


def mid_night() -> Running:
    """18:12, with a stage that is seen to take a minute longer: the plan cannot stay as it is."""
    running = Running(*solved(small_house(cooks=2), MIXED, rounds=20), clock("18:12"))
    stay = next(
        s
        for b in running.schedule.booked
        for p in b.placed
        for s in p.stays
        if s.start_s < running.now_s < s.end_s
    )
    return after_event(running, StageSeen(stay.item, stay.stage, stay.end_s + 60))


def shut(problem: Problem) -> Problem:
    """The same with nowhere to stand until nobody waits any more."""
    until_s = max(o.wanted_s for o in problem.orders) + 17_000
    return replace(problem, closed=(Closed((1 << len(problem.places.spots)) - 1, 0, until_s),))


def test_every_look_answers_with_the_cheapest_plan_that_the_search_itself_finds(heard, mixed):
    found = heard.answers(Request(mixed, seed=3, looks=LOOKS))
    direct = [search(mixed, seed=3, rounds=rounds) for rounds in LOOKS]
    cheapest = [min(direct[: n + 1], key=lambda s: s.cost) for n in range(len(LOOKS))]
    assert [a.schedule for a in found] == cheapest
    assert [a.last for a in found] == [False, False, True]
    assert [a.schedule.cost for a in found] == sorted((a.schedule.cost for a in found), reverse=True)


def test_a_night_under_way_is_planned_on_as_the_search_itself_would(heard):
    request = request_at(mid_night(), seed=2, looks=(60,))
    assert request.reality is not None and request.reality.begun
    (answer,) = heard.answers(request)
    direct = search(request.problem, request.reality, request.running, seed=2, rounds=60)
    assert answer.schedule == direct


def test_what_was_answered_runs_on_as_a_re_plan_on_the_spot_would(heard):
    running = mid_night()
    (answer,) = heard.answers(request_at(running, seed=2, looks=(60,)))
    on_the_spot = replanned(running, lambda p, r, told: search(p, r, told, seed=2, rounds=60))
    assert run_on(running, answer) == on_the_spot
    assert on_the_spot.schedule != running.schedule


def test_a_newer_request_ends_an_older_one_that_would_never_end(heard, mixed):
    older = heard.planner.ask(Request(mixed, looks=ENDLESS))
    first = heard.next()
    assert (first.number, first.last) == (older, False)
    found = heard.answers(Request(mixed, seed=2, looks=(0,)))
    assert [a.schedule for a in found] == [search(mixed, seed=2, rounds=0)]
    assert heard.told.empty()


def test_of_many_at_once_the_newest_wins(heard, mixed):
    for seed in range(5):
        heard.planner.ask(Request(mixed, seed=seed, looks=ENDLESS))
    newest = heard.planner.ask(Request(mixed, seed=7, looks=(20,)))
    told = [heard.next()]
    while not told[-1].last:
        told.append(heard.next())
    assert told[-1].number == newest and told[-1].schedule == search(mixed, seed=7, rounds=20)
    assert not any(a.last for a in told[:-1])


def test_it_says_how_old_the_last_plan_is_and_whether_a_newer_one_is_asked_for(heard, mixed):
    heard.answers(Request(mixed, looks=(0,)))
    made_s = heard.now_s
    heard.now_s += 95
    state = heard.planner.state()
    assert (state.age_s, state.behind, state.condition) == (95, False, "ready")
    assert state.last is not None and state.last.made_s == made_s and not state.plain and state.trouble == ""
    heard.answers(Request(shut(mixed), looks=(0,)))
    state = heard.planner.state()
    assert (state.age_s, state.behind) == (95, True)


def test_what_fits_nowhere_is_refused_by_name_and_the_process_goes_on(heard, mixed):
    before = heard.planner.state()
    (refused,) = heard.answers(Request(shut(mixed), looks=(0,)))
    assert isinstance(refused, Refusal) and refused.order.partition("/")[0] in {o.key for o in mixed.orders}
    assert "no minute in four hours has room for it" in refused.why and "\n" not in refused.why
    crowd = replace(mixed, cooks=mixed.cooks * 40)
    (refused,) = heard.answers(Request(crowd, looks=(0,)))
    assert isinstance(refused, Refusal) and "cooks" in refused.why
    heard.answers(Request(mixed, looks=(0,)))
    after = heard.planner.state()
    assert (after.starts, after.pid) == (before.starts, before.pid)


def test_plans_that_come_back_hold_the_problem_s_own_items(heard, mixed):
    (answer,) = heard.answers(Request(mixed, looks=(20,)))
    own = {id(item) for order in mixed.orders for item in order.items}
    assert {id(p.item) for b in answer.schedule.booked for p in b.placed} == own
    assert {id(item) for b in answer.schedule.booked for item in b.order.items} == own


def test_a_request_crosses_whole_and_its_stone_only_once(mixed):
    request = Request(mixed, seed=4)
    sent = pickle.dumps(bare(9, request))
    assert len(sent) < len(pickle.dumps(mixed.places)) / 4
    assert on_stone(pickle.loads(sent), mixed.places) == request


@pytest.mark.parametrize("looks", [(), (-1, 5), (5, 5), (40, 0)])
def test_looks_that_do_not_rise_are_refused(mixed, looks):
    with pytest.raises(ValueError, match="expected rounds of search, rising"):
        Request(mixed, looks=looks)


def test_no_time_at_all_is_refused(mixed):
    with pytest.raises(ValueError, match="expected above 0 s"):
        Request(mixed, budget_s=0.0)


def test_a_budget_ends_the_looks_and_the_last_says_so(mixed):
    ticks = iter([0.0, 0.0, 0.5, 0.5, 2.5])
    found = list(
        plans(1, Request(mixed, looks=(0, 20, 40), budget_s=2.0), lambda: False, lambda: next(ticks))
    )
    assert [f.last for f in found] == [False, True]


def test_without_compiling_the_plan_is_the_same_search_s_and_says_so(monkeypatch, mixed):
    monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")
    one = replace(mixed, orders=mixed.orders[:1])
    heard = Heard()
    with heard.planner:
        found = heard.answers(Request(one, looks=(0, 5000)))
        state = heard.planner.state()
    assert state.plain and "uncompiled" in state.trouble and "NUMBA_DISABLE_JIT" in state.trouble
    assert all(a.plain for a in found) and found[-1].last
    direct = min((search(one, rounds=n) for n in (0, 20)), key=lambda s: s.cost)
    assert found[-1].schedule == direct


def test_a_process_that_is_killed_for_its_silence_is_started_and_asked_again(heard, mixed):
    before = heard.planner.state().starts
    number = heard.planner.ask(Request(mixed, looks=ENDLESS))
    assert heard.next().number == number
    heard.planner.kill()
    again = heard.next()
    assert again.number == number and not again.last
    assert heard.planner.state().starts == before + 1
    heard.answers(Request(mixed, looks=(0,)))
