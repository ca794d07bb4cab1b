"""Whatever a house has written down, what is said of a day is a table of chances; nothing later counts."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.day.demand import covers_ahead, last_miss, score_of
from hearthtide.day.dishes import share_of, wanted
from hearthtide.day.making import Made, par_of
from hearthtide.day.pars import Costs
from hearthtide.house.sold import History, Lot, SoldDay

FIRST = date(2025, 12, 20)


@st.composite
def histories(draw):
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    days, level = draw(st.integers(2, 200)), draw(st.sampled_from((0, 1, 12, 90, 3000)))
    gaps, notes, feasts, told = (draw(st.sampled_from((0.0, 0.1, 0.9))) for _ in range(4))
    rows = []
    for n in range(days):
        if rng.random() < gaps:
            continue
        covers = int(rng.poisson(level * rng.uniform(0.5, 1.5)))
        rows.append(
            SoldDay(
                FIRST + timedelta(days=n),
                None if rng.random() < 0.05 else covers,
                int(rng.poisson(level / 2)) if rng.random() < told else None,
                "feast" if rng.random() < feasts else "",
                "odd" if rng.random() < notes else "",
                {"a": int(rng.poisson(covers / 10))},
                frozenset({"a"}) if rng.random() < 0.1 else frozenset(),
            )
        )
    return History(tuple(rows))


@settings(max_examples=40)
@given(histories(), st.integers(1, 9), st.integers(1, 4))
def test_a_table_of_chances_comes_of_any_history(history, ahead, life):
    if not history.open_days:
        return
    day = history.open_days[-1].day + timedelta(days=ahead)
    days = tuple(day + timedelta(days=n) for n in range(life))
    told = covers_ahead(history, days)
    for one in told:
        if one.counts is not None:
            assert np.all(np.isfinite(one.counts.shares))
            low, high = one.counts.band()
            assert low <= one.counts.middle <= high
            assert one.counts.shares[low : high + 1].sum() >= 0.8 - 1e-9
    last_miss(history, told[0])
    score_of(history, told[0])
    share = share_of(history, {"a": 1}, day)
    if share is not None and told[0].counts is not None:
        assert abs(wanted(share, told[0].counts).mean - share.each * told[0].counts.mean) < 0.5
    lots = (Lot("a", day - timedelta(days=1), 3), Lot("a", day, 2))
    par = par_of(history, Made("a", "A", {"a": 1}, life, Costs(3, 1, 0.1)), day, told, lots)
    if par is not None:
        assert par.ours.money <= par.at(par.ours.par + 1).money + 1e-6
        assert par.ours.par >= par.ours.on_hand


@settings(max_examples=15)
@given(histories(), st.integers(0, 199))
def test_what_came_later_changes_nothing(history, at):
    rows = history.open_days
    if len(rows) < 2:
        return
    day = rows[1 + at % (len(rows) - 1)].day
    other = History(
        tuple(replace(one, covers=7, dishes={}) if one.day >= day else one for one in history.days)
    )
    if (day - max(one.day for one in rows if one.day < day)).days > 28:
        return
    ours, theirs = (covers_ahead(one, (day,))[0] for one in (history, other))
    assert (ours.counts is None) == (theirs.counts is None)
    if ours.counts is not None and theirs.counts is not None:
        assert np.array_equal(ours.counts.shares, theirs.counts.shares)
