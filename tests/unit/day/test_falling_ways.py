"""Ways out on nights done by hand, with fires and doors in closed form in place of the oven model's."""

from dataclasses import replace
from datetime import date
from math import exp, log

import numpy as np
import pytest

from hearthtide.day.falling import falling
from hearthtide.day.falling_check import untended
from hearthtide.day.falling_oven import BURN_S, Relit
from hearthtide.day.falling_things import Fall, Fires, Night, Thing
from hearthtide.day.falling_ways import SETTLE_S, Means
from hearthtide.house.rota_file import Hours

HOUR = 3600.0
ROOM_C = 20.0


def share_fall(from_C=300.0, share_h=0.05):
    """From 22:00 on an even share of the excess over 20 °C an hour."""
    times_s = np.arange(22 * HOUR, 58 * HOUR + 1, 300.0)
    value_C = ROOM_C + (from_C - ROOM_C) * np.exp(-share_h * (times_s / HOUR - 22))
    return Fall(times_s, value_C, value_C - 5, value_C + 5, "the oven model", times_s[-1])


def person(from_h, until_h):
    return Hours("Del", round(from_h * HOUR), round(until_h * HOUR), frozenset({"hearth"}))


def night(fuel="wood", people=(), usable=1.0):
    fires = Fires(22 * HOUR, 22 * HOUR, 22 * HOUR, fuel)
    there = people or (person(22, 24), person(29, 40))
    return Night(date(2026, 5, 31), {"stone": share_fall()}, fires, there, usable, 58 * HOUR)


def loaves(**said):
    return Thing("loaves", "Loaves", **{**dict(portions=10, area_m2=0.1, low_C=230.0, high_C=260.0,
                                               least_s=1200.0, most_s=2400.0), **said})  # fmt: skip


def ten_a_unit(asked=None):
    """A fire that leaves the stone ten degrees hotter for each kg, or for each five minutes of gas."""

    def relit(stone_C, amount, after_s):
        if asked is not None:
            asked.append((stone_C, amount))
        burn_s = BURN_S if amount < 60 else amount
        kg = amount if amount < 60 else 0.0
        up_C = 10 * amount if amount < 60 else 10 * amount / 300
        times_s = np.array([0.0, burn_s, burn_s + after_s])
        return Relit(stone_C, burn_s, kg, 4.0 * amount, times_s, stone_C + np.array([0.0, up_C, up_C]))

    return Means(ROOM_C, None, relit)


def ways(of, things, means):
    found = falling(of, things, means)
    assert found.broken == untended(of)  # some of these nights have nobody there at ten
    return {one.thing.key: one.ways for one in found.told}


def test_the_least_wood_that_does_is_lit_at_the_soonest_with_the_rota_s_people():
    """At 05:00 the stone is 20 + 280 e^-0.35 = 217.3 °C: 230 want 12.7 more, at ten a kg 1.5 kg."""
    (way,) = ways(night(), (loaves(),), ten_a_unit())["loaves"]
    assert (way.kind, way.fuel_kg, way.early_s) == ("relight", 1.5, 0.0)
    assert way.night.fires.lit == ((29 * HOUR, 29 * HOUR + BURN_S + SETTLE_S),)
    assert way.stays[0].in_s >= 29 * HOUR + BURN_S + SETTLE_S
    assert "Monday 05:00" in way.words and "extraction on, door off" in way.words


def test_somebody_comes_as_little_earlier_as_will_do():
    """20 min in after 40 of fire and 5 for the brush: by 06:15 lit at 05:10 or before; by 05:50 at 04:45."""
    (in_time,) = ways(night(), (loaves(by_s=30.25 * HOUR),), ten_a_unit())["loaves"]
    assert in_time.early_s == 0
    (early,) = ways(night(), (loaves(by_s=29 * HOUR + 3000),), ten_a_unit())["loaves"]
    assert early.early_s == 900 and "somebody there 15 min before the rota" in early.words
    assert ways(night(), (loaves(by_s=27 * HOUR),), ten_a_unit())["loaves"] == ()


def test_no_fire_is_left_alone():
    """Somebody is there for half an hour at a time only: a fire of 40 min is never lit."""
    halves = (person(22, 24), person(29, 29.5), person(30, 30.5))
    asked = []
    found = ways(night(people=halves), (loaves(by_s=31 * HOUR),), ten_a_unit(asked))["loaves"]
    assert all(way.early_s > 0 for way in found)
    for way in found:
        (lit,) = way.night.fires.lit
        assert any(one.name == "somebody" and one.from_s <= lit[0] for one in way.night.people)
        assert lit[1] <= 29 * HOUR + 0.5 * HOUR


def test_what_stands_already_must_bear_the_fire():
    pans = Thing("pans", "Pans", 2, 0.05, 200.0, 300.0, 6 * HOUR, 9 * HOUR, out_at_s=31 * HOUR)
    (way,) = ways(night(usable=1.2), (pans, loaves()), ten_a_unit())["loaves"]
    assert any("Pans stay in meanwhile" in line for line in way.sums)
    tender = replace(pans, high_C=232.0, low_C=100.0, out_at_s=None, least_s=1 * HOUR, most_s=9 * HOUR)

    def hot(stone_C, amount, after_s):
        run = ten_a_unit().relit(stone_C, amount, after_s)
        return replace(run, stone_C=run.stone_C + np.array([0.0, 100.0, 0.0]))

    of = night(usable=1.2, people=(person(25.5, 26), person(29, 40)))
    stays = falling(of, (tender, loaves()), Means(ROOM_C, None, None)).told[0].stays
    assert stays, "the pans have a place of their own"
    found = ways(of, (tender, loaves()), Means(ROOM_C, None, hot))["loaves"]
    for way in found:
        (lit,) = way.night.fires.lit
        assert all(stay.out_s <= lit[0] or stay.in_s >= lit[1] for stay in stays)


def test_gas_burns_as_many_minutes_as_will_do():
    """12.7 °C at ten for five minutes: ten minutes of the top flame, then the gas is shut."""
    (way,) = ways(night("natural_gas"), (loaves(),), ten_a_unit())["loaves"]
    assert way.fuel_kg == 0 and way.fuel_kWh > 0 and "the top flame for 10 min" in way.words
    assert "gas shut" in way.words


def test_a_propped_door_is_newton_s_law_with_a_larger_share():
    """From 05:00 at 217.3 °C to 115, surely below 120: ln(197.3 / 95) / (0.05 + 0.05) = 7.3 h, at 12:19."""
    drying = Thing("dry", "Trays", 4, 0.1, 100.0, 120.0, 2 * HOUR, 4 * HOUR)
    of = night(people=(person(29, 40),))
    (way,) = ways(of, (drying,), Means(ROOM_C, lambda _: 0.05, None))["dry"]
    hours = log(280 * exp(-0.35) / 95) / 0.10
    assert way.stays[0].in_s == pytest.approx((29 + hours) * HOUR, abs=600)
    assert "5.0% of the excess an hour, propped 5.0% more" in way.sums[0]
    ajar = replace(drying, door="ajar")
    assert ways(of, (ajar,), Means(ROOM_C, lambda _: 0.05, None))["dry"][0].kind == "prop"
    assert ways(of, (drying,), Means(ROOM_C, None, None))["dry"] == ()


def test_a_door_is_not_propped_on_food_that_must_stay_hot():
    hot = Thing("beans", "Beans", 1, 0.1, 200, 300, 6 * HOUR, 12 * HOUR, out_at_s=33 * HOUR, hot=True)
    drying = Thing("dry", "Trays", 4, 0.1, 100.0, 120.0, 2 * HOUR, 4 * HOUR)
    (way,) = ways(night(), (hot, drying), Means(ROOM_C, lambda _: 0.10, None))["dry"]
    assert "prop the door a quarter open at Monday 09:00" in way.words


def test_what_costs_nothing_is_told_before_somebody_s_sleep_and_fuel():
    small = loaves(low_C=280.0, high_C=300.0)
    of = night()
    kinds = [way.kind for way in ways(of, (loaves(instead=(small,)),), ten_a_unit())["loaves"]]
    assert kinds == ["instead", "relight"]
