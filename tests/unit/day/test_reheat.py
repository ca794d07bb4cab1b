"""Re-heats: what may be one, from where, to what core, where the probe goes, what is pulled to temper."""

from pathlib import Path

import numpy as np
import pytest

from hearthtide.day.counts import Counts, certain
from hearthtide.day.reheat import as_thick, probe_points, refuse_raw, starts_of, target_of
from hearthtide.day.reheat_pulls import pulls, temper_rule, thinned
from hearthtide.errors import InputError
from hearthtide.house.files import read_house
from hearthtide.safety.rule_sets import rule_set, rule_set_names

BRINDLECOTE = Path(__file__).parents[3] / "examples" / "brindlecote"
US, ENGLAND, SCOTLAND = (rule_set(name) for name in ("us-fda-2022", "england-wales-ni", "scotland"))
FIVE, HOUR = 17 * 3600, 3600
EVENING = (4, 8, 12, 14, 10, 8, 6, 4, 2)


@pytest.fixture(scope="module")
def house():
    return read_house(BRINDLECOTE)


def test_what_goes_in_raw_or_is_not_said_to_be_ready_is_refused(house):
    refuse_raw(house, "half_chicken")
    raw = house.dishes["half_chicken"].model_copy(update={"ready_to_eat": False, "raw": True})
    spoilt = house.model_copy(update={"dishes": {**house.dishes, "half_chicken": raw}})
    for one, key in ((spoilt, "half_chicken"), (house, "vegetables")):
        with pytest.raises(InputError, match="Par-cooked is raw in law"):
            refuse_raw(one, key)


def test_the_hot_hold_is_that_of_the_house_s_own_rules():
    hot = [
        [one.start_C for one in starts_of(rules) if one.kind == "hot hold"] for rules in (US, ENGLAND, None)
    ]
    assert hot == [[57.0], [63.0], [57.0, 63.0]]  # as the trade knows them: 57 in the US, 63 in the UK


def test_the_core_is_the_house_rule_unless_the_code_asks_for_more(house):
    """As the trade knows them: none for one order in the US code, 82 °C in Scotland; 74 a house rule."""
    chicken = house.dishes["half_chicken"]
    assert target_of(US, chicken).core_C == 74 and "3-403.10" in target_of(US, chicken).words
    assert target_of(SCOTLAND, chicken).core_C == 82
    assert target_of(None, chicken).core_C == 74
    assert all(target_of(rule_set(name), chicken).core_C >= 74 for name in rule_set_names())


def test_the_probe_goes_into_the_thickest_and_every_part_a_rule_names(house):
    told = " ".join(probe_points(house, "half_chicken", US))
    for words in ("24 mm", "bone", "thigh", "breast"):
        assert words in told
    assert "thigh" not in " ".join(probe_points(house, "wings", US))


def test_a_dish_is_made_thicker_without_another_shape(house):
    dish = as_thick(house.dishes["half_chicken"], 0.05, 8.0, 82.0)
    assert sum(layer.thickness for layer in dish.layers) == pytest.approx(0.05)
    assert (dish.start, dish.stages[-1].until.core) == (8.0, 82.0)
    assert dish.stages[0].until.core == 65  # only the last stage ends at the target


def told(rules=US, procedure=True, wanted=None, stock=100, temper_s=1800, heat_s=720):
    return pulls(rules, procedure, wanted or certain(40), FIVE, EVENING, stock, temper_s, heat_s)


def test_nothing_is_pulled_without_a_rule_that_lets_it():
    assert told(rules=None).pulls == () and "No rule set" in told(rules=None).words
    assert told(procedure=False).pulls == () and "written procedure" in told(procedure=False).words
    assert told(temper_s=4 * HOUR).pulls == () and "before its mark" in told(temper_s=4 * HOUR).words


def test_the_rule_is_one_for_any_food_from_the_cold():
    assert (
        temper_rule(US).id == "TP2" and temper_rule(US).within_s == 4 * HOUR
    )  # as the trade knows it: 4 h, then discard
    assert temper_rule(None) is None
    for name in rule_set_names():
        rule = temper_rule(rule_set(name))
        assert rule is None or (not rule.only and rule.never_above is None)


def test_each_pull_bears_the_mark_of_its_rule_and_serves_the_half_hour_to_come():
    """Forty sure guests as they come: 40 x 4/68 in the first half hour, and so on; none twice."""
    made = told()
    assert all(one.mark_s == one.at_s + 4 * HOUR for one in made.pulls)
    assert made.pulls[0].at_s == FIVE - 1800
    first = thinned(certain(40), 4 / 68).middle
    assert made.pulls[0].portions == first
    assert sum(one.portions for one in made.pulls) <= 40


def test_no_more_is_pulled_than_there_is():
    assert sum(one.portions for one in told(stock=7).pulls) == 7
    assert told(stock=0).pulls == ()


@pytest.mark.parametrize("heat_s", [300, 1800])
def test_what_is_pulled_is_wanted_before_its_mark_nine_times_in_ten(heat_s):
    """Every evening drawn from the chances themselves: how often a portion is left at its mark."""
    rng = np.random.default_rng(3)
    shares = np.array([0.0] * 6 + [1 / 15] * 15)
    wanted = Counts(shares / shares.sum())
    made = told(wanted=wanted, heat_s=heat_s).pulls
    assert made
    nights, left_over = 4000, np.zeros(len(made))
    starts = FIVE + 1800 * np.repeat(np.arange(len(EVENING)), EVENING)
    for _ in range(nights):
        count = 6 + rng.integers(0, 15)
        came = np.sort(rng.choice(starts, count) + rng.uniform(0, 1800, count))
        pulled = 0
        for n, one in enumerate(made):
            pulled += one.portions
            left_over[n] += (came <= one.mark_s - heat_s).sum() < pulled
    assert (left_over / nights).max() <= 0.1 + 3 * np.sqrt(0.09 / nights)
