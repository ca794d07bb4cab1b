"""Where trays stand: counts that can be seen by hand, and against all subsets of a few places."""

from itertools import combinations
from random import Random

import pytest

from hearthtide.day.stations import stations
from hearthtide.planning.places import Places


def places_with(pairs, count):
    conflicts = [1 << p for p in range(count)]
    for a, b in pairs:
        conflicts[a] |= 1 << b
        conflicts[b] |= 1 << a
    return Places((), tuple(conflicts))


def most_by_trying_all(places, count):
    for size in range(count, 0, -1):
        for some in combinations(range(count), size):
            if all(not places.conflicts[a] >> b & 1 for a, b in combinations(some, 2)):
                return size
    return 0


@pytest.mark.parametrize("seed", range(12))
def test_no_other_choice_of_places_holds_more(seed):
    chance = Random(seed)
    pairs = [(a, b) for a, b in combinations(range(11), 2) if chance.random() < 0.35]
    places = places_with(pairs, 11)
    found = stations(places, ((1 << 11) - 1,))
    assert all(not places.conflicts[a] >> b & 1 for a, b in combinations(found, 2))
    assert len(found) == most_by_trying_all(places, 11)


def test_only_places_that_are_asked_for():
    assert set(stations(places_with([], 6), (0b000101, 0b100000))) == {0, 2, 5}


def test_no_place_at_all():
    assert stations(places_with([], 3), ()) == ()
