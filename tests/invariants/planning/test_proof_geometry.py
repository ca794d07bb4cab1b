"""The proof's geometry against the search's, on whole hearths: two ways of measuring, one answer."""

from __future__ import annotations

import random

import pytest

from hearthtide.planning.proof.floor import BORDER_M, SAME_M, Floor
from small_night import HEARTHS, MIXED, problem_of, small_house

PAIRS = 6000


@pytest.mark.parametrize("hearth", sorted(HEARTHS))
def test_conflicts_splash_and_reach_are_what_the_search_thinks(hearth: str) -> None:
    problem = problem_of(small_house(oven=HEARTHS[hearth], splash="18 cm"), MIXED)
    places, floor, rng = problem.places, Floor(problem), random.Random(1)
    n = len(places.spots)
    seen: dict[str, int] = {"clash": 0, "splash": 0, "over": 0, "doubtful": 0}
    for _ in range(PAIRS):
        p, q = rng.randrange(n), rng.randrange(n)
        assert floor.clash(p, q) == bool(places.conflicts[p] >> q & 1), (p, q)
        gap = floor.gap(p, q)
        if p != q and abs(gap - 0.18) > SAME_M:
            assert (gap < 0.18) == bool(places.splash[p] >> q & 1), (p, q, gap)
        over = bool(places.reach[p] >> q & 1)
        surely, perhaps = floor.over(p, q, BORDER_M), floor.over(p, q, -SAME_M)
        assert surely <= over <= perhaps, (p, q)
        seen["clash"] += floor.clash(p, q)
        seen["splash"] += gap < 0.18
        seen["over"] += surely
        seen["doubtful"] += surely != perhaps
    assert min(seen["clash"], seen["splash"], seen["over"]) > 100
    assert seen["doubtful"] < PAIRS / 200, seen
