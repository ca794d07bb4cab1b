from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.day.counts import Counts
from hearthtide.day.pars import Ahead, Costs, Sum, best, rule_of_thumb, sum_of, to_par, top

SMALL = st.lists(st.integers(0, 5), min_size=2, max_size=4).filter(any)


def counts(weights: list[int]) -> Counts:
    return Counts(np.array(weights) / sum(weights))


def by_hand(ahead: Ahead, make: int) -> dict[str, float]:
    """Every run of demands followed portion by portion, oldest last day first; ours the last of equals."""
    totals = dict.fromkeys(("short", "carried", "binned", "old_binned", "runs_out"), 0.0)
    for run in product(*(range(len(day.shares)) for day in ahead.demand)):
        chance = float(np.prod([day.shares[n] for day, n in zip(ahead.demand, run, strict=True)]))
        shelf = [(last, 0) for last, n in enumerate(ahead.stock) for _ in range(n)]
        shelf = sorted(shelf + [(ahead.life - 1, 1)] * make)
        for day, wanted in enumerate(run):
            sold = min(wanted, len(shelf))
            shelf = shelf[sold:]
            if day < ahead.until_next:
                totals["short"] += chance * (wanted - sold)
                totals["runs_out"] += chance * (day == 0 and wanted > sold)
            over = [one for one in shelf if one[0] == day]
            totals["binned"] += chance * sum(1 for one in over if one[1])
            totals["old_binned"] += chance * sum(1 for one in over if not one[1])
            shelf = [one for one in shelf if one[0] != day]
            if day < ahead.until_next:
                totals["carried"] += chance * len(shelf)
    return totals


@settings(max_examples=60)
@given(
    st.lists(SMALL, min_size=1, max_size=3),
    st.lists(st.integers(0, 2), max_size=4),
    st.integers(0, 5),
    st.data(),
)
def test_the_sum_is_that_of_every_run_of_demands(days, stock, make, data):
    until = data.draw(st.integers(1, len(days)))
    ahead = Ahead(tuple(counts(day) for day in days), Costs(3, 1, 0.5), tuple(stock), until)
    found, hand = sum_of(ahead, make), by_hand(ahead, make)
    for name, value in hand.items():
        assert getattr(found, name) == pytest.approx(value, abs=1e-9), name
    assert found.money == pytest.approx(3 * hand["short"] + hand["binned"] + 0.5 * hand["carried"])


@settings(max_examples=60)
@given(st.lists(SMALL, min_size=1, max_size=3), st.lists(st.integers(0, 2), max_size=3), st.data())
def test_no_other_making_costs_less(days, stock, data):
    until = data.draw(st.integers(1, len(days)))
    batch = data.draw(st.integers(1, 3))
    costs = Costs(data.draw(st.sampled_from((1.0, 3.0, 20.0))), 1, data.draw(st.sampled_from((0.0, 0.4))))
    ahead = Ahead(tuple(counts(day) for day in days), costs, tuple(stock), until, batch)
    found = best(ahead)
    assert found.make % batch == 0
    tried = [sum_of(ahead, make).money for make in range(0, 20, batch)]
    assert found.money == pytest.approx(min(tried), abs=1e-6)
    assert found.make <= top(ahead) + batch


def test_what_is_there_is_not_made_again():
    day = counts([1, 1, 1, 1, 1])
    bare = best(Ahead((day, day), Costs(3, 1)))
    assert best(Ahead((day, day), Costs(3, 1), (0, 2))).make < bare.make
    assert best(Ahead((day, day), Costs(3, 1), (0, 9))).make == 0


def test_a_par_is_filled_in_whole_batches():
    ahead = Ahead((counts([1, 1]), counts([1, 1])), Costs(3, 1), (2, 3), batch=4)
    assert [to_par(ahead, par) for par in (3, 5, 6, 9, 10)] == [0, 0, 4, 4, 8]
    assert sum_of(ahead, 4).par == 9


def test_what_does_not_fit_together_is_refused():
    day = counts([1, 1])
    for wrong in (
        lambda: Ahead((day,), Costs(3, 1), until_next=2),
        lambda: Ahead((day,), Costs(3, 1), batch=0),
        lambda: Ahead((day,), Costs(3, 1), (-1,)),
        lambda: Costs(0, 1),
        lambda: Costs(3, 0),
        lambda: Costs(3, -1, 2),
        lambda: rule_of_thumb(()),
    ):
        with pytest.raises(ValueError):
            wrong()


def test_a_free_shelf_still_ends_somewhere():
    """Binning and keeping cost next to nothing: no more is made than is ever wanted."""
    day = counts([1, 2, 1])
    assert isinstance(best(Ahead((day,) * 3, Costs(100, 0.001))), Sum)
    assert best(Ahead((day,) * 3, Costs(100, 0.001))).make <= 2
