"""What a plan costs, in seconds and in the house's money."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hearthtide.house.weights_file import WeightsFile
from hearthtide.planning.money import schedule_parts
from hearthtide.planning.problem import Recourse
from hearthtide.planning.worth import worth_of
from small_night import MIXED, small_house, solved


def test_a_guest_minute_and_a_kWh_at_the_houses_prices() -> None:
    # 120 guest-seconds are two guest-minutes at 0.50; 36 MJ are 10 kWh at 0.12: by hand.
    house = WeightsFile(guest_minute_costs=0.5, fuel_costs=0.12, currency="crowns")
    worth = worth_of({"late": 90.0, "off": 30.0}, 36e6, house)
    assert worth.total_s == 120.0
    assert worth.waiting_money == pytest.approx(1.0)
    assert (worth.fuel_kWh, worth.fuel_money) == (pytest.approx(10.0), pytest.approx(1.2))
    assert worth.words.endswith("1.00 crowns; fuel 10 kWh: 1.20 crowns")
    assert "tables late 90" in worth.words


def test_a_house_that_says_no_prices_is_told_seconds_and_kWh() -> None:
    worth = worth_of({"late": 0.0}, 36e6, WeightsFile())
    assert (worth.waiting_money, worth.fuel_money) == (None, None)
    assert worth.words == "Costs 0 guest-seconds; fuel 10 kWh"


def test_the_kinds_add_up_to_what_the_search_says_it_costs() -> None:
    problem, schedule = solved(small_house(), MIXED, rounds=40)
    assert sum(schedule_parts(problem, schedule).values()) == pytest.approx(schedule.cost)


def test_what_was_done_to_begun_food_has_words_of_its_own() -> None:
    problem, schedule = solved(small_house(), MIXED, rounds=0)
    forced = replace(schedule, recourse=(Recourse("A1-1", "early", 3), Recourse("A1-2", "overrun", 2)))
    parts = schedule_parts(problem, forced)
    assert (parts["early pull"], parts["overrun"]) == (180.0, 120.0)
    words = worth_of(parts, 0.0, WeightsFile()).words
    assert "begun food pulled early 180" in words and "begun food overrun 120" in words
