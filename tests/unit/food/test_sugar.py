import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.sugar import CRUMB_SHARE, MOST, browning_factor


def test_plain_food_browns_as_measured_and_the_first_sugar_counts_in_proportion():
    assert browning_factor(0.0) == 1
    # first order: as much again as the crumb held doubles the rate, near enough while there is little
    little = CRUMB_SHARE / 100
    assert browning_factor(little) - 1 == pytest.approx(0.01, rel=0.01)


def test_more_sugar_counts_ever_less():
    assert browning_factor(0.8) < MOST
    gains = [browning_factor(s + 0.02) - browning_factor(s) for s in (0.0, 0.1, 0.3, 0.6)]
    assert gains == sorted(gains, reverse=True) and gains[-1] > 0


@pytest.mark.parametrize("share", [-0.01, 0.81, float("nan")])
def test_outside_of_what_it_is_made_for(share):
    with pytest.raises(PhysicalRangeError, match="reducing sugar"):
        browning_factor(share)
