import numpy as np
import pytest

from hearthtide.day.counts import Counts, certain, from_misses, spread_counts, summed


def test_a_table_that_is_none_is_refused():
    for shares in (np.array([]), np.array([0.5, 0.4]), np.array([1.5, -0.5]), np.ones((1, 1))):
        with pytest.raises(ValueError):
            Counts(shares)


def test_a_quantile_is_the_least_count_not_passed_often_enough():
    one = Counts(np.array([0.1, 0.2, 0.4, 0.3]))
    assert [one.quantile(level) for level in (0.0, 0.1, 0.3, 0.31, 0.7, 1.0)] == [0, 0, 1, 2, 2, 3]
    assert one.band(0.8) == (0, 3)


def test_what_is_short_and_what_is_left_add_up():
    one = Counts(np.array([0.1, 0.2, 0.4, 0.3]))
    for stock in range(6):
        assert one.left(stock) - one.short(stock) == pytest.approx(stock - one.mean)
        assert one.short(stock) == pytest.approx(sum(p * max(k - stock, 0) for k, p in enumerate(one.shares)))


def test_moved_counts_keep_their_spread_in_proportion():
    one = Counts(spread_counts(np.array([20.0]), 1.5, 80)[0])
    moved = one.moved_to(30.0)
    assert moved.mean == pytest.approx(30.0)
    assert moved.sd == pytest.approx(1.5 * one.sd, rel=0.01)
    assert certain(0).moved_to(4.0).mean == 4.0


def test_chances_with_a_spread_have_that_mean_and_variance():
    for mean, spread in ((6.0, 1.0), (6.0, 1.13), (42.0, 1.9), (0.4, 3.0)):
        one = Counts(spread_counts(np.array([mean]), spread, 400)[0])
        assert one.mean == pytest.approx(mean, rel=1e-6)
        assert one.sd**2 == pytest.approx(mean * spread, rel=1e-6)


def test_misses_come_again_as_often_as_they_came():
    rng = np.random.default_rng(4)
    misses = rng.normal(0.0, 0.5, 400)
    told = from_misses(8.0, misses)
    again = (8.0 + rng.normal(0.0, 0.5, 20_000)) ** 2
    low, high = told.band(0.8)
    assert np.mean((again > low - 0.5) & (again < high + 0.5)) == pytest.approx(0.8, abs=0.04)
    assert told.mean == pytest.approx(float(again.mean()), rel=0.02)
    with pytest.raises(ValueError):
        from_misses(8.0, misses[:1])


def test_a_few_misses_leave_room_beyond_them():
    told = from_misses(8.0, np.array([-0.5, 0.0, 0.5]))
    assert told.more_than(int(8.5**2) + 1) > 0.1  # a quarter lies above the greatest of three


def test_days_are_summed_by_their_chances():
    both = summed((Counts(np.array([0.5, 0.5])), Counts(np.array([0.25, 0.75]))))
    assert both.shares.tolist() == [0.125, 0.5, 0.375]
