"""What holds of sugar and of any scale a house may have, whatever the numbers."""

import itertools
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.colour import STANDARD, calibrated, step
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import prepare, start
from hearthtide.food.outcome import burn_margin_s
from hearthtide.food.spec import FoodLayer, Portion
from hearthtide.food.sugar import browning_factor

EXAMPLES = settings(max_examples=25, deadline=None)
shares = st.floats(0, 0.8)
WING = Portion("wing", (FoodLayer("chicken_wing_cooked", 0.02),), 0.02, 4.0)
marks = st.dictionaries(st.sampled_from(("straw", "golden", "brown", "dark", "burnt")), st.floats(-5, 60))


def margin_s(share: float, up_W_m2: float) -> float:
    food = prepare(replace(WING, sugar=browning_factor(share)))
    heat = Exposure("stone", 280.0, up_W_m2, (up_W_m2,) * 4, 300.0)
    return burn_margin_s(food, start(food), heat, horizon_s=600.0)


@given(shares, shares)
def test_sweeter_browns_sooner_at_equal_heat(one, other):
    low, high = sorted((one, other))
    assert browning_factor(low) <= browning_factor(high)
    assert high - low < 1e-6 or browning_factor(low) < browning_factor(high)


@EXAMPLES
@given(st.floats(0, 0.3), st.floats(0.02, 0.4), st.floats(20_000, 60_000))
def test_the_sweeter_stands_further_from_the_flame_for_the_same_margin(share, more, near_W_m2):
    """What arrives falls with distance: the sweeter piece has the plain one's margin only in less heat."""
    plain_s = margin_s(share, near_W_m2)
    assume(5 < plain_s < 599)
    assert margin_s(share + more, near_W_m2) < plain_s
    low, high = 1_000.0, near_W_m2
    for _ in range(12):
        middle = (low + high) / 2
        low, high = (low, middle) if margin_s(share + more, middle) < plain_s else (middle, high)
    assert high < near_W_m2


@given(marks)
def test_a_scale_is_refused_or_rises(given_dE):
    told = [given_dE[word] for word in ("straw", "golden", "brown", "dark", "burnt") if word in given_dE]
    good = all(a < b for a, b in itertools.pairwise([0.0, *told, 52.0]))
    try:
        scale = calibrated(given_dE)
    except PhysicalRangeError:
        # nothing that rises is refused, but for words too close together to tell apart
        assert not good or min(b - a for a, b in itertools.pairwise([0.0, *told, 52.0])) < 1e-9
        return
    assert good
    for word, dE in given_dE.items():
        assert getattr(scale, f"{word}_dE") == pytest.approx(dE)
    steps = [step(dE, scale) for dE in range(53)]
    assert steps == sorted(steps) and steps[0] == 1 and steps[-1] == 5
    assert given_dE or scale == STANDARD
