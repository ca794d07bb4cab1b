"""Case 6 (b) of the reference on food safety, and what no advisory can mend.

The reference stands beside the project's design. Sections: 3-401.11(A)(2), (C), (D), 3-603.11, 3-401.14(D).
"""

from dataclasses import replace

import pytest

from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.rules import UNVERIFIED
from hearthtide.safety.undercooked import Ordered, intact_verdict, undercooked_verdict
from hearthtide.safety.verdicts import (
    Steak,
    Verdict,
    cook_verdict,
    no_longer_intact,
    steak_verdict,
)
from read_by_hand import read

EACH_US = pytest.mark.parametrize("name", ["us-fda-2022", "us-fda-2017", "us-fda-2013"])
SEARED = (
    read("150F", "18:00", "surface", place="top"),
    read("146F", "18:00", "surface", place="bottom"),
    read("130F", "18:00"),
)
TOLD = Ordered(asked_for=True, disclosed=True, reminded=True, highly_susceptible=False)


@EACH_US
@pytest.mark.parametrize("handled", ["mechanically tenderized", "scored and marinated"])
def test_6_a_tenderized_or_scored_steak_at_130_F_without_an_advisory(name, handled):
    rules = rule_set(name)
    found = steak_verdict(rules, Steak(True, True, False, (handled,)), SEARED)
    assert (found.answer, found.rule) == ("fail", "CK6")
    assert UNVERIFIED in found.section, "1-201.10 is from memory"
    assert intact_verdict(rules, (handled,)).answer == "fail"
    assert cook_verdict(rules, no_longer_intact((handled,)), SEARED).answer == "fail"
    assert steak_verdict(rules, Steak(True, True, False), SEARED).passes, "the same steak left whole"
    assert intact_verdict(rules, ()).passes


@EACH_US
def test_6_b_the_same_steak_with_disclosure_and_reminder(name):
    rules = rule_set(name)
    found = undercooked_verdict(rules, "tenderized", TOLD, SEARED)
    assert (found.answer, found.rule, found.readings) == ("pass", "CK7", (SEARED[2].id,))
    assert UNVERIFIED in found.section
    for less, by in (
        (replace(TOLD, reminded=False), "CA1"),  # an asterisk alone
        (replace(TOLD, disclosed=False), "CA1"),
        (replace(TOLD, highly_susceptible=True), "CK7"),
        (replace(TOLD, asked_for=False), "CK7"),
    ):
        refused = undercooked_verdict(rules, "tenderized", less, SEARED)
        assert (refused.answer, refused.rule) == ("fail", by)


@EACH_US
@pytest.mark.parametrize("food", ["poultry", "stuffed", "ground"])
def test_no_poultry_stuffed_or_ground_food_goes_out_undercooked(name, food):
    """Own choice, stricter than 3-401.11(D)."""
    asked = replace(TOLD, variance="V-3")
    assert undercooked_verdict(rule_set(name), food, asked, SEARED).answer == "fail"


@EACH_US
def test_plant_food_needs_no_advisory(name):
    assert undercooked_verdict(rule_set(name), "plant", TOLD).answer == "not applicable"


@EACH_US
def test_an_advisory_does_not_mend_par_cooked_food(name):
    """3-401.14(D) names paragraphs (A) to (C) of 3-401.11 alone."""
    found = undercooked_verdict(rule_set(name), "tenderized", replace(TOLD, par_cooked=True), SEARED)
    assert found.answer == "fail"


@EACH_US
def test_a_variance_stands_for_the_advisory_and_for_nothing_else(name):
    rules, by = rule_set(name), Ordered(True, False, False, False, variance="V-3")
    assert undercooked_verdict(rules, "intact meat", by, ()).passes
    assert undercooked_verdict(rules, "intact meat", replace(by, variance=" "), ()).answer == "fail"
    assert (
        undercooked_verdict(rules, "intact meat", replace(by, highly_susceptible=True), ()).answer == "fail"
    )


@EACH_US
def test_fish_at_a_guest_s_wish_was_frozen_before(name):
    """3-402.11."""
    rules = rule_set(name)
    assert undercooked_verdict(rules, "fish", TOLD, ()).answer == "unproven"
    for answer in ("fail", "unproven"):
        frozen = Verdict(answer, "CK8", "3-402.11", "")
        assert undercooked_verdict(rules, "fish", TOLD, (), frozen).answer == answer
    for answer in ("pass", "not applicable"):
        assert undercooked_verdict(rules, "fish", TOLD, (), Verdict(answer, "CK8", "", "")).passes
