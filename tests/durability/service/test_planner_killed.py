"""The planner's process killed: it comes back, the last plan stays, and what replaces it says what it is."""

from __future__ import annotations

import os
import signal
import sys
import time
from dataclasses import replace
from queue import Queue

import pytest

import hearthtide.service.planner as planner_module
from hearthtide.planning.engine.search import search
from hearthtide.service.planner import DEATHS, Planner
from hearthtide.service.planner_words import Answer, Refusal, Request
from small_night import MIXED, problem_of, small_house

WAIT_S = 300.0  # until a test that hears nothing fails: compiling anew may come before
ENDLESS = (0, 10**9)


@pytest.fixture(scope="module")
def mixed():
    return problem_of(small_house(cooks=2), MIXED)


@pytest.fixture
def told() -> Queue[Answer | Refusal]:
    return Queue()


@pytest.fixture
def planner(told):
    with Planner(lambda: 0.0, told.put) as planner:
        yield planner


def once(true):
    """Waits until that is so."""
    until = time.monotonic() + WAIT_S
    while not true():
        assert time.monotonic() < until, "waited in vain"
        time.sleep(0.01)


def killed(planner: Planner) -> None:
    """Kills the process once it runs, and waits until that has been seen."""
    once(lambda: planner.state().pid is not None)
    state = planner.state()
    os.kill(state.pid, signal.SIGKILL)
    once(lambda: planner.state().pid != state.pid)


def test_killed_while_it_searches_it_starts_again_and_answers_what_was_asked(planner, told, mixed):
    planner.ask(Request(mixed, looks=ENDLESS))
    first = told.get(timeout=WAIT_S)
    killed(planner)
    state = planner.state()
    assert state.last == first and "ended by signal 9" in state.trouble
    again = told.get(timeout=WAIT_S)
    assert (again.number, again.schedule) == (first.number, first.schedule) and not again.plain
    number = planner.ask(Request(mixed, looks=(20,)))
    last = told.get(timeout=WAIT_S)
    assert (last.number, last.schedule) == (number, search(mixed, rounds=20))
    once(lambda: planner.state().condition == "ready")
    assert (planner.state().starts, planner.state().trouble) == (2, "")


def test_killed_while_idle_the_last_plan_stays_and_the_next_request_is_answered(planner, told, mixed):
    planner.ask(Request(mixed, looks=(0,)))
    first = told.get(timeout=WAIT_S)
    killed(planner)
    assert planner.state().last == first
    planner.ask(Request(mixed, seed=5, looks=(0,)))
    assert told.get(timeout=WAIT_S).schedule == search(mixed, seed=5, rounds=0)


def test_killed_again_and_again_it_plans_plainly_and_says_so(planner, told, mixed):
    for _ in range(DEATHS):
        killed(planner)
    one = replace(mixed, orders=mixed.orders[:1])
    planner.ask(Request(one, looks=(0,)))
    answer = told.get(timeout=WAIT_S)
    assert answer.plain and answer.schedule == search(one, rounds=0)
    state = planner.state()
    assert state.plain and f"{DEATHS} times in a row" in state.trouble and "uncompiled" in state.trouble
    assert state.starts == DEATHS + 1
    assert "NUMBA_DISABLE_JIT" not in os.environ


def test_one_that_cannot_start_refuses_in_words_and_tries_again_when_asked(monkeypatch, capfd, told, mixed):
    monkeypatch.setattr(planner_module, "_run", sys.exit)
    with Planner(lambda: 0.0, told.put) as planner:
        planner.ask(Request(mixed, looks=(0,)))
        refused = told.get(timeout=WAIT_S)
        assert isinstance(refused, Refusal) and "ended with 1" in refused.why and "ask again" in refused.why
        assert (planner.state().starts, planner.state().condition) == (2 * DEATHS, "down")
        monkeypatch.undo()
        planner.ask(Request(replace(mixed, orders=mixed.orders[:1]), looks=(0,)))
        answer = told.get(timeout=WAIT_S)
        assert answer.plain and planner.state().starts == 2 * DEATHS + 1
    capfd.readouterr()


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_a_listener_that_fails_ends_the_planner_and_the_state_says_so(mixed):
    def fails(_: Answer | Refusal) -> None:
        raise RuntimeError("the screens are gone")

    with Planner(lambda: 0.0, fails) as planner:
        planner.ask(Request(mixed, looks=(0,)))
        once(lambda: planner.state().condition == "down")
        state = planner.state()
        assert "the screens are gone" in state.trouble and state.pid is None and state.last is not None
