"""The coupled run over a small schedule, on the quick oven: books close, stone cools, food warms."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from hearthtide.house.files import oven_design
from hearthtide.oven.design import FlameLevel
from hearthtide.planning.draw import NOTHING
from hearthtide.planning.flame import FlamePlan, Held
from hearthtide.planning.problem import Schedule
from hearthtide.planning.verify import Seen, Verifier, turn_deg
from small_night import HEARTHS, clock, places_of, quick_oven, small_house, small_night, solved

HOUSE = small_house()
NIGHT = small_night(("A1", "18:00", "18:20", ("pizza", "steak")), ("B2", "18:04", "18:24", ("chicken",)))
OVEN = quick_oven(oven_design(HOUSE))
FLAME = FlamePlan(
    (Held(clock("14:00"), FlameLevel("high", 22_000.0)), Held(clock("17:00"), FlameLevel("half", 14_000.0))),
    None,
)
MAP_S = (clock("16:00"), clock("18:18:30"))


@cache
def schedule() -> Schedule:
    return solved(HOUSE, NIGHT)[1]


@cache
def ran() -> Seen:
    return Verifier(OVEN, HOUSE, NIGHT, places_of(HOUSE)).run(schedule(), FLAME, MAP_S)


def test_heat_is_accounted_for() -> None:
    assert abs(ran().residual_J) < 1e-6 * ran().fuel_J


@pytest.mark.parametrize("hearth", [name for name in HEARTHS if name != "round, ribbon"])
def test_on_any_hearth_heat_is_accounted_for_and_food_warms(hearth: str) -> None:
    house = small_house(oven=HEARTHS[hearth])
    booked = solved(house, NIGHT)[1]
    seen = Verifier(quick_oven(oven_design(house)), house, NIGHT, places_of(house)).run(booked, FLAME)
    assert abs(seen.residual_J) < 1e-6 * seen.fuel_J
    assert len(seen.items) == 3
    for item in seen.items.values():
        assert item.core_C_at_pull > item.cores_C[0] + 20


def test_fuel_is_flame_times_time() -> None:
    end = max(p.leave_s for b in schedule().booked for p in b.placed)
    burnt = 22_000.0 * 3 * 3600 + 14_000.0 * (end - clock("17:00"))
    assert ran().fuel_J == pytest.approx(burnt, rel=1e-6)


def test_every_item_is_seen_with_every_stage() -> None:
    placed = {p.item.key: p for b in schedule().booked for p in b.placed}
    assert set(ran().items) == set(placed)
    for key, item in ran().items.items():
        ends = [*(s.start_s for s in placed[key].stays[1:]), placed[key].leave_s]
        lasted = [end - s.start_s for s, end in zip(placed[key].stays, ends, strict=True)]
        assert [stage.planned_s for stage in item.stages] == lasted


def test_food_warms_on_the_stone_and_the_stone_pays() -> None:
    for item in ran().items.values():
        assert item.core_C_at_pull > item.cores_C[0] + 20
        assert 0 < item.weight_loss < 0.6
        assert item.colour.mean >= 1
    pizza = ran().items["A1-1"].stages[0]
    assert pizza.stone_C_out < pizza.stone_C_in - 10


def test_the_track_runs_from_launch_to_landing() -> None:
    for booked in schedule().booked:
        for placed in booked.placed:
            times = ran().items[placed.item.key].times_s
            assert times[0] == pytest.approx(placed.stays[0].start_s, abs=2)
            assert times[-1] == pytest.approx(booked.landing_s, abs=1)
            assert list(times) == sorted(times)


def test_a_resting_steak_carries_over() -> None:
    steak = ran().items["A1-2"]
    assert steak.core_C_at_landing > steak.core_C_at_pull


def test_the_oven_is_told_minute_by_minute() -> None:
    times = np.array(ran().times_s)
    assert times[0] == clock("14:00")
    assert set(np.diff(times)) == {60.0}
    assert len(ran().zone_C) == len(ran().dome_C) == len(times)
    assert ran().zone_C[0] == pytest.approx(25.0, abs=1)
    assert max(ran().zone_C) > 250


def test_maps_are_made_when_asked() -> None:
    assert [m.time_s for m in ran().maps] == list(MAP_S)
    assert all(len(m.floor_C) == len(OVEN.cells_m) for m in ran().maps)


def test_the_draw_is_what_lay_there() -> None:
    draw = ran().draw
    assert draw.at(clock("17:30")).covered_m2 == 0
    # Pizza and chicken, about 18:18: pi (0.14 m)^2 and 0.26 m * 0.20 m, by hand.
    both = 0.0615752 + 0.052
    assert max(row.covered_m2 for row in draw.rows) == pytest.approx(both, rel=0.05)


def test_nothing_is_drawn_once_the_last_item_is_off() -> None:
    end = max(p.leave_s for b in schedule().booked for p in b.placed)
    assert ran().draw.at(end + 60) == NOTHING
    assert ran().draw.at(end + 2700) == NOTHING


def test_the_same_schedule_is_seen_alike_twice() -> None:
    verifier = Verifier(OVEN, HOUSE, NIGHT, places_of(HOUSE))
    first, again = verifier.run(schedule(), FLAME), verifier.run(schedule(), FLAME)
    assert first.items == again.items
    assert first.zone_C == again.zone_C


def test_no_flame_no_fuel_and_cold_food() -> None:
    dark = FlamePlan((Held(clock("14:00"), FlameLevel("off", 0.0)),), None)
    seen = Verifier(OVEN, HOUSE, NIGHT, places_of(HOUSE)).run(schedule(), dark)
    assert seen.fuel_J == 0
    assert all(stage.met_s is None for item in seen.items.values() for stage in item.stages)
    # 25 °C all round, but for the steak's platter: it comes from a bank at 230 °C.
    assert all(seen.items[key].core_C_at_pull < 30 for key in ("A1-1", "B2-1"))


def test_turns_share_the_full_round() -> None:
    placed = {p.item.dish: p for b in schedule().booked for p in b.placed}
    # Two turns leave three stands: a third each. A spin is a quarter.
    assert turn_deg(placed["pizza"], "turn", 0) == pytest.approx(120.0)
    assert turn_deg(placed["chicken"], "spin", 0) == 90.0


def test_food_followed_for_its_draw_alone_draws_what_it_does_when_all_is_told() -> None:
    coarse = Verifier(OVEN, HOUSE, NIGHT, places_of(HOUSE), draw_only=True).run(schedule(), FLAME)
    assert not coarse.items
    assert coarse.draw.times_s == ran().draw.times_s
    for rough, fine in zip(coarse.draw.rows, ran().draw.rows, strict=True):
        assert rough.covered_m2 == fine.covered_m2
        assert rough.base_C == pytest.approx(fine.base_C, abs=2.0)
        assert rough.top_C == pytest.approx(fine.top_C, abs=2.0)
    assert coarse.zone_C == pytest.approx(ran().zone_C, abs=1.0)
