"""Roasts, microwaves, packs, freezers, a second heat: no order and no missing reading makes a pass."""

from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hearthtide.safety.cooling_acts import Again, heated_through_verdict
from hearthtide.safety.packed import Microwaved, microwave_verdict, packed_reheat_verdict
from hearthtide.safety.readings import Reading
from hearthtide.safety.roasts import Roasted, roast_verdict
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.rules import RuleSet
from hearthtide.safety.undercooked import FrozenFish, frozen_verdict
from hearthtide.safety.verdicts import Verdict, cook_verdict
from read_by_hand import at

VALUES = {
    "coldest": ("165F", "164.9F", "74C", "73.9C", "158F", "130F", "135F", "57C", "170F", "615F"),
    "warmest": ("135F", "134.9F", "57C", "-4F", "-20C", "-31F", "5C"),
    "air": ("350F", "349.9F", "177C", "250F", "-4F", "-3.9F", "-20C", "-31F", "-35C"),
}
ROAST = Roasted("still dry", Decimal(6), "lb", at("8:00"), at("9:00"))
FISH = FrozenFish(at("8:00"), at("8:00") + timedelta(days=7))
AGAIN = Again("poultry", at("10:00"), at("8:00"), "half bird")


@st.composite
def taken(draw):
    """Readings of one lot at its limits, some of them at one instant."""
    found = []
    for n in range(draw(st.integers(0, 9))):
        point = draw(st.sampled_from(tuple(VALUES)))
        said = draw(st.sampled_from(VALUES[point]))
        when = at("8:00") + timedelta(minutes=draw(st.sampled_from((0, 30, 60, 62, 119, 120, 121, 240))))
        place, held = (
            draw(st.sampled_from(("thigh", "breast", "edge", ""))),
            draw(st.sampled_from((0, 15, 6720))),
        )
        found.append(
            Reading(f"r{n}", "lot", when, 0, Decimal(said[:-1]), said[-1], point, "probe", "Ben", place, held)
        )
    return tuple(found)


def all_of(rules: RuleSet, readings: tuple[Reading, ...]) -> tuple[Verdict, ...]:
    """Every verdict on handling, of one record."""
    heated = Microwaved(True, True, at("9:00"), at("8:00"))
    return (
        cook_verdict(rules, "poultry", readings, "half bird"),
        roast_verdict(rules, ROAST, readings),
        microwave_verdict(rules, "cook", heated, readings),
        microwave_verdict(rules, "hold", heated, readings),
        packed_reheat_verdict(rules, True, at("8:00"), readings),
        frozen_verdict(rules, FISH, readings),
        heated_through_verdict(rules, AGAIN, readings),
    )


@given(taken(), st.randoms(use_true_random=False), st.sampled_from(rule_set_names()))
def test_the_order_of_writing_down_changes_none_of_them(readings, random, name):
    shuffled = list(readings)
    random.shuffle(shuffled)
    assert all_of(rule_set(name), tuple(shuffled)) == all_of(rule_set(name), readings)


@given(taken(), st.sampled_from(("us-fda-2022", "us-fda-2017", "us-fda-2013")))
def test_a_pass_stands_on_readings_that_were_taken_and_can_be(readings, name):
    by_id = {one.id: one for one in readings}
    for found in all_of(rule_set(name), readings):
        assert set(found.readings) <= set(by_id)
        if found.passes:
            assert found.readings
            assert not any(by_id[id].value == 615 for id in found.readings)


@pytest.mark.parametrize("name", rule_set_names())
def test_without_a_reading_none_of_them_passes(name):
    assert not any(found.passes for found in all_of(rule_set(name), ()))


@given(taken(), st.sampled_from(("us-fda-2022", "us-fda-2017", "us-fda-2013")), st.data())
def test_a_last_reading_that_is_too_cold_takes_every_pass_on_heat_back(readings, name, data):
    """Of each part the last reading counts; own check, no rule set asked: nothing passes at 100 °F."""
    place = data.draw(st.sampled_from(("thigh", "breast", "edge", "")))
    cold = Reading("cold", "lot", at("23:00"), 0, Decimal(100), "F", "coldest", "probe", "Ben", place)
    for found in all_of(rule_set(name), (*readings, cold)):
        if found.rule != "CK8":
            assert not found.passes
