"""States in which nothing is planned but the way out; the wait before a relight is not cut short."""

import pytest

from hearthtide.safety.fire_states import Told, may_light, way_out

EVERY = (
    Told(carbon_monoxide_s=0.0),
    Told(fire_s=0.0),
    Told(coals_behind_door_s=0.0),
    Told(extraction_off_s=0.0),
    Told(flame_out_s=0.0),
    Told(flame_out_s=0.0, gas_shut_s=10.0),
    Told(flame_out_s=0.0, gas_shut_s=-1000.0),
    Told(flame_out_s=0.0, extraction_off_s=0.0),
    Told(flame_out_s=0.0, coals_behind_door_s=0.0, extraction_off_s=0.0),
)


def test_nothing_said_is_a_night_as_usual():
    assert way_out(Told(), 0.0) is None
    assert may_light(Told(), 0.0) == ""


@pytest.mark.parametrize("told", EVERY)
def test_no_words_promise_anything_or_advise_on_gas(told):
    words = way_out(told, 20.0).words.lower()
    for never in (
        "safe",
        "clear of",
        "no co ",
        "ppm",
        "compliant",
        "certified",
        "pressure",
        "draught",
        "flue",
        "burner",
    ):
        assert never not in words


def test_the_alarm_comes_before_all_else_and_plans_nothing():
    found = way_out(Told(carbon_monoxide_s=5.0, extraction_off_s=1.0, flame_out_s=2.0), 6.0)
    assert (found.danger, found.plans) == ("carbon monoxide", "nothing")
    assert "Everyone out" in found.words and "emergency number" in found.words


@pytest.mark.parametrize("told", [Told(fire_s=1.0), Told(coals_behind_door_s=1.0)])
def test_fire_and_coals_behind_a_door_plan_nothing(told):
    assert way_out(told, 2.0).plans == "nothing"


def test_without_extraction_the_oven_is_emptied_and_nothing_goes_in():
    assert way_out(Told(extraction_off_s=1.0), 2.0).plans == "emptying the oven"


def test_a_flame_that_is_out_waits_for_the_gas_and_then_its_whole_wait():
    out = Told(flame_out_s=100.0)
    assert "Shut the gas" in way_out(out, 5000.0).words
    assert "nobody has said" in may_light(out, 5000.0)
    shut = Told(flame_out_s=100.0, gas_shut_s=160.0)
    assert way_out(shut, 459.0).until_s == 460.0
    assert "cannot be cut short" in may_light(shut, 459.0)
    assert may_light(shut, 460.0) == ""
    assert "own instructions" in way_out(shut, 460.0).words


def test_gas_shut_before_the_flame_went_out_says_nothing_of_it():
    told = Told(flame_out_s=1000.0, gas_shut_s=100.0)
    assert "nobody has said" in may_light(told, 5000.0)
    assert "Shut the gas" in way_out(told, 5000.0).words


@pytest.mark.parametrize("wait_s", [0.0, -1.0, 299.0, float("nan"), float("inf")])
def test_a_wait_is_never_shorter_than_five_minutes(wait_s):
    with pytest.raises(ValueError, match="expected a wait"):
        Told(wait_s=wait_s)


@pytest.mark.parametrize("danger", ["carbon_monoxide_s", "fire_s", "coals_behind_door_s", "extraction_off_s"])
def test_no_flame_is_lit_while_something_graver_stands(danger):
    told = Told(flame_out_s=0.0, gas_shut_s=10.0, **{danger: 5.0})
    assert "not while this stands" in may_light(told, 10_000.0)


def test_gas_that_is_open_is_shut_first_whatever_else_is_so():
    for also in ({"extraction_off_s": 1.0}, {"coals_behind_door_s": 1.0}):
        assert way_out(Told(flame_out_s=0.0, **also), 2.0).words.startswith("Shut the gas now.")
    assert "extraction on" not in way_out(Told(coals_behind_door_s=1.0, extraction_off_s=1.0), 2.0).words
