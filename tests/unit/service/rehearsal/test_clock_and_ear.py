"""A rehearsal's clocks, and the count of what would be called out, held to the page's own rule."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hearthtide.service.rehearsal import spoken
from hearthtide.service.rehearsal.clock import PLANNED_S, SpeedClock, StepClock
from hearthtide.service.rehearsal.spoken import Call, Ear

WEB = Path(__file__).parents[4] / "web" / "src"


def test_a_quick_clock_goes_at_real_speed_while_a_plan_is_made():
    now = [100.0]
    clock = SpeedClock(1000.0, 20.0, lambda: now[0])
    now[0] += 2
    assert clock() == 1040.0
    clock.thinking(True)
    now[0] += 3
    assert clock() == 1043.0
    clock.thinking(False)
    now[0] += 1
    assert clock() == 1063.0
    clock.stand()
    now[0] += 100
    assert clock() == 1063.0


def test_a_stepped_clock_pays_for_plans_and_for_slow_ones_in_full():
    clock = StepClock(0.0)
    clock.planned(0.01)
    assert clock() == PLANNED_S
    clock.planned(7.0)
    assert clock() == PLANNED_S + 7.0


@pytest.mark.parametrize(
    ("file", "names"),
    [
        ("ear/calls.ts", ("PROBE_AHEAD_S", "FIRST_AHEAD_S", "OUT_OF_ORDER_S", "FLAME_AHEAD_S")),
        ("ear/pace.ts", ("EACH_S", "SAVED", "AGAIN_S", "FORGET_S")),
        ("pages/hearth/next.ts", ("SLACK_S", "MOST_MOVES")),
    ],
)
def test_the_page_calls_by_the_same_numbers(file, names):
    text = (WEB / file).read_text(encoding="utf-8")
    for name in names:
        (written,) = re.findall(rf"const {name} = (\d+);", text)
        assert int(written) == getattr(spoken, name)


def test_two_calls_come_close_together_then_one_in_ten_minutes():
    ear = Ear()
    for n in range(6):
        ear.listen((Call(f"first T{n}", "note"),), 60.0 * n)
    assert [at for at, _ in ear.heard] == [0.0, 60.0]
    assert ear.kept_quiet == 4
    ear.listen((Call("first T9", "note"),), 700.0)
    assert len(ear.heard) == 3


def test_the_same_thing_is_called_once_and_a_hazard_again_and_again():
    ear = Ear()
    for at_s in range(0, 100, 10):
        ear.listen((Call("floor high", "note"),), float(at_s))
    assert len(ear.heard) == 1
    for at_s in range(100, 200, 10):
        ear.listen((Call("out 99", "hazard"),), float(at_s))
    assert ear.hazards == 4 and len(ear.heard) == 1
