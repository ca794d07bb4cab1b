"""What the food on the stone takes from the oven, before anything has been run."""

from __future__ import annotations

import pytest

from hearthtide.planning.draw import (
    BARE_BASE_C,
    BARE_TOP_C,
    NOTHING,
    SLOT_S,
    UNTIMED_S,
    BARE_W_m2K,
    Draw,
    DrawNow,
    PLATTER_W_m2K,
    expected_draw,
    stone_s,
)
from small_night import clock, small_house, small_night

HOUSE = small_house()
PIZZA_M2 = 0.0615752  # pi (0.14 m)^2, by hand
PLATTER_M2 = 0.0530929  # pi (0.13 m)^2


def test_one_pizza_draws_while_it_should_lie_there() -> None:
    draw = expected_draw(HOUSE, small_night(("A1", "18:00", "18:20", ("pizza",))))
    # Wanted 18:20, plating 0:45, 3:00 on the stone: 18:16:15 to 18:19:15, looked at every minute.
    on = [t for t in range(clock("18:00"), clock("18:21"), SLOT_S) if draw.at(t) != NOTHING]
    assert on == [clock("18:17"), clock("18:18"), clock("18:19")]
    now = draw.at(clock("18:18"))
    assert now.covered_m2 == pytest.approx(PIZZA_M2, rel=1e-5)
    assert (now.conductance_W_m2K, now.base_C, now.top_C) == (BARE_W_m2K, BARE_BASE_C, BARE_TOP_C)


def test_bare_and_platter_mix_by_area() -> None:
    draw = expected_draw(HOUSE, small_night(("A1", "18:00", "18:20", ("pizza", "steak"))))
    # The steak rests 5:00, so it lies from 18:06:45 to 18:14:15: not with the pizza.
    assert draw.at(clock("18:10")).conductance_W_m2K == PLATTER_W_m2K
    assert draw.at(clock("18:10")).covered_m2 == pytest.approx(PLATTER_M2, rel=1e-5)
    both = expected_draw(
        HOUSE, small_night(("A1", "18:00", "18:20", ("pizza",)), ("B2", "18:00", "18:26", ("steak",)))
    ).at(clock("18:18"))
    assert both.covered_m2 == pytest.approx(PIZZA_M2 + PLATTER_M2, rel=1e-5)
    bare = PIZZA_M2 / (PIZZA_M2 + PLATTER_M2)
    assert both.conductance_W_m2K == pytest.approx(bare * BARE_W_m2K + (1 - bare) * PLATTER_W_m2K, rel=1e-5)


def test_nothing_before_the_first_call_and_after_the_last_plate() -> None:
    # Wanted 55 s past the minute: the last look falls while the pizza still lies there.
    draw = expected_draw(HOUSE, small_night(("A1", "18:00", "18:20:55", ("pizza",))))
    assert draw.at(clock("17:59")) == NOTHING
    assert draw.at(clock("18:19")) != NOTHING
    assert draw.at(clock("18:25")) == NOTHING
    assert draw.at(clock("20:00")) == NOTHING


def test_draw_holds_each_row_until_the_next() -> None:
    some, more = DrawNow(0.1, 100, 200, 120), DrawNow(0.2, 100, 200, 120)
    draw = Draw((10.0, 20.0, 30.0), (some, more, NOTHING))
    assert [draw.at(t) for t in (9.9, 10.0, 19.9, 20.0, 29.0, 31.0)] == [
        NOTHING,
        some,
        some,
        more,
        more,
        NOTHING,
    ]
    assert Draw((), ()).at(100.0) == NOTHING


def test_time_on_the_stone() -> None:
    assert stone_s(HOUSE.dishes["chicken"]) == 720
    untimed = HOUSE.dishes["chicken"].model_copy(
        update={
            "stages": tuple(
                stage.model_copy(update={"minutes": None}) for stage in HOUSE.dishes["chicken"].stages
            )
        }
    )
    assert stone_s(untimed) == UNTIMED_S
