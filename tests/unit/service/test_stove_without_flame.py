"""A stone without a flame: nothing new goes on it, so that it cools by itself alone."""

from __future__ import annotations

import numpy as np
import pytest

from hearthtide.oven.model import OvenState
from hearthtide.planning.draw import Draw, DrawNow
from hearthtide.planning.flame import QuickNight
from hearthtide.service.facts import Facts, Since
from hearthtide.service.stove import Burnt, burnt_on
from live_night import ready

AT_S = 19 * 3600
FULL = Draw((AT_S - 3600.0,), (DrawNow(0.4, 125.0, 190.0, 110.0),))
LIT = Facts()
OUT = Facts(flame_out=Since("the flame", float(AT_S), "Ana"))


@pytest.fixture(scope="module")
def hot() -> OvenState:
    return ready().moments[0].state


def after_ten_minutes_C(hot: OvenState, draw: Draw, facts: Facts, **how) -> float:
    night = QuickNight(ready().oven, draw)
    found = burnt_on(Burnt(hot, AT_S), night, ready().flame, facts, AT_S + 600, **how)
    return float(np.mean(found.state.floor_C))


def test_food_that_is_foreseen_does_not_cool_a_stone_without_a_flame(hot):
    empty = Draw((), ())
    assert after_ten_minutes_C(hot, FULL, OUT) == after_ten_minutes_C(hot, empty, OUT)
    assert after_ten_minutes_C(hot, FULL, LIT) < after_ten_minutes_C(hot, empty, LIT)


def test_nor_one_that_is_lit_and_still_shut(hot):
    shut = after_ten_minutes_C(hot, FULL, LIT, shut_s=AT_S + 600)
    assert shut == after_ten_minutes_C(hot, Draw((), ()), LIT)


def test_a_weaker_flame_leaves_a_colder_stone(hot):
    assert after_ten_minutes_C(hot, FULL, LIT, share=0.8) < after_ten_minutes_C(hot, FULL, LIT)
