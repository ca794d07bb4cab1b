"""The fit to a night's own readings, against closed forms, a general solver and sums done by hand."""

from math import exp, log

import numpy as np
import pytest
from scipy.optimize import least_squares

from hearthtide.day.falling_curve import LEAST_MISS_K, Seen, fall_of, fitted
from hearthtide.errors import PhysicalRangeError

HOUR = 3600.0
# A worked example of the trade: a wood hearth's stone with its door on from 22:30, read through a night.
NIGHT = (Seen(23.5 * HOUR, 300), Seen(25.5 * HOUR, 262), Seen(29.5 * HOUR, 215), Seen(31.5 * HOUR, 200))


def seen(values_C, hours):
    return tuple(Seen(hour * HOUR, value) for hour, value in zip(hours, values_C, strict=True))


def test_an_even_share_is_found_again():
    """Newton's law of cooling: excess 280 K falling by 6 % an hour, e^-0.06 each hour."""
    fit = fitted(seen([20 + 280 * exp(-0.06 * h) for h in (0, 1, 3, 7)], (0, 1, 3, 7)), 20.0)
    assert fit.share_h == pytest.approx(0.06, rel=1e-4) and fit.slows_h == pytest.approx(0, abs=1e-4)
    assert fit.misses_K == pytest.approx([0, 0, 0, 0], abs=0.01) and fit.off_K == LEAST_MISS_K
    assert float(fit.at_C(12 * HOUR)) == pytest.approx(20 + 280 * exp(-0.72), abs=0.05)


@pytest.mark.parametrize(("share", "slows"), [(0.08, 0.15), (0.12, 0.4), (0.05, 0.02)])
def test_a_share_that_slows_is_found_again(share, slows):
    """The closed form of d ln E / dt = -share / (1 + slows t): E = E0 (1 + slows t)^(-share / slows)."""
    hours = (0, 1, 2, 4, 6, 9)
    fit = fitted(seen([25 + 300 * (1 + slows * h) ** (-share / slows) for h in hours], hours), 25.0)
    assert fit.share_h == pytest.approx(share, rel=1e-3)
    assert fit.slows_h == pytest.approx(slows, rel=2e-3, abs=1e-4)
    assert fit.share_at_h(9 * HOUR) == pytest.approx(share / (1 + slows * 9), rel=1e-3)


def test_the_night_s_fit_is_that_of_a_general_solver():
    """Three numbers by scipy's least squares in the logarithm, from two different starts."""
    hours = np.array([one.at_s / HOUR - 23.5 for one in NIGHT])
    logs = np.log([one.value_C - 20 for one in NIGHT])

    def off(x):
        return x[0] - x[1] / x[2] * np.log1p(x[2] * hours) - logs

    fit = fitted(NIGHT, 20.0)
    for start in ((5.6, 0.07, 0.1), (5.0, 0.2, 0.6)):
        log_K, share, slows = least_squares(off, start, xtol=1e-14, ftol=1e-14, gtol=1e-14).x
        assert (fit.log_K, fit.share_h) == pytest.approx((log_K, share), rel=1e-3)
        assert fit.slows_h == pytest.approx(slows, rel=1e-2)


def test_the_night_s_shares_are_seven_five_and_four_in_a_hundred():
    """By hand over a room of 20 °C: ln(280/242)/2, ln(242/195)/4, ln(195/180)/2 = 7.3, 5.4, 4.0 % an hour."""
    by_hand = (log(280 / 242) / 2, log(242 / 195) / 4, log(195 / 180) / 2)
    assert [round(100 * share) for share in by_hand] == [7, 5, 4]
    fit = fitted(NIGHT, 20.0)
    for middle_h, share in zip((24.5, 27.5, 30.5), by_hand, strict=True):
        assert fit.share_at_h(middle_h * HOUR) == pytest.approx(share, abs=0.003)
    assert fit.last_share_h == pytest.approx(by_hand[-1], rel=1e-6)


def test_each_reading_left_out_is_missed_as_by_a_fit_of_the_others():
    fit = fitted(NIGHT, 20.0)
    for i, miss_K in enumerate(fit.misses_K):
        others = fitted([one for k, one in enumerate(NIGHT) if k != i], 20.0)
        assert float(others.slowing_C(NIGHT[i].at_s)) - NIGHT[i].value_C == pytest.approx(miss_K, abs=1e-6)
    assert max(map(abs, fit.misses_K)) < 5


def test_one_false_reading_widens_what_is_known():
    false = (*NIGHT[:2], Seen(28.0 * HOUR, 262), *NIGHT[2:])
    assert fitted(false, 20.0).off_K > 20


def test_two_readings_say_an_even_share_and_nothing_of_how_good():
    fit = fitted(NIGHT[:2], 20.0)
    assert (fit.share_h, fit.slows_h) == (pytest.approx(log(280 / 242) / 2), 0.0)
    assert fit.misses_K == ()


def test_after_the_last_reading_the_last_share_goes_on_and_the_upper_bound_slows():
    """By hand: 180 K at 07:30 is 100 K after ln(1.8) / 0.0400 = 14.7 h, at 22:11 the next evening."""
    fit = fitted(NIGHT, 20.0)
    fall = fall_of(fit, (Seen(21.5 * HOUR, 352), *NIGHT), 22.5 * HOUR, 60 * HOUR)
    at_s = (31.5 + log(1.8) / (log(195 / 180) / 2)) * HOUR
    assert float(fall.at_C(at_s)) == pytest.approx(120, abs=0.5)
    upper = float(np.interp(at_s, fall.times_s, fall.high_C))
    assert upper == pytest.approx(float(fit.slowing_C(at_s)) + fit.off_K, abs=0.1) and upper > 145
    assert fall.source == "the house's own readings" and fall.known_until_s == 31.5 * HOUR


def test_before_the_door_it_is_straight_between_readings():
    fit = fitted(NIGHT, 20.0)
    fall = fall_of(fit, (Seen(21.5 * HOUR, 352), *NIGHT), 22.5 * HOUR, 40 * HOUR)
    door_C = float(fit.at_C(22.5 * HOUR))
    assert float(fall.at_C(21.5 * HOUR)) == 352
    assert float(fall.at_C(22 * HOUR)) == pytest.approx((352 + door_C) / 2, abs=0.1)


@pytest.mark.parametrize(
    ("readings", "told"),
    [
        (NIGHT[:1], "number of readings"),
        ((NIGHT[1], NIGHT[0]), "steps between readings"),
        (seen([200, 20], (0, 2)), "reading above the room"),
        (seen([200, 220], (0, 2)), "fall from first to last"),
    ],
)
def test_readings_that_are_no_fall_are_refused(readings, told):
    with pytest.raises(PhysicalRangeError, match=told):
        fitted(readings, 20.0)


def test_two_readings_a_minute_apart_at_the_end_say_nothing_of_the_last_share():
    """Back an hour or more: ln(242/193) / 4.02 = 5.6 % an hour, not ln(195/193) / 0.0167 = 62 %."""
    close = (*NIGHT[:3], Seen(29.5 * HOUR + 60, 213))
    by_hand = log(242 / 193) / (4 + 1 / 60)
    assert fitted(close, 20.0).last_share_h == pytest.approx(by_hand)
