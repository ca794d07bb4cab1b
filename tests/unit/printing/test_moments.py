"""Which minutes are pictured: worked by hand on a few stays."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hearthtide.printing.moments import picture_times

STAYS = st.lists(
    st.tuples(st.integers(0, 20_000), st.integers(1, 2_000)).map(lambda p: (p[0], p[0] + p[1])), max_size=30
)


def test_each_half_of_a_night_gives_its_fullest_minute() -> None:
    # halves are 0..600 and 600..1200: three items stand at 240 s, two at 900 s and never more
    stays = [(0, 600), (200, 300), (230, 250), (600, 1200), (890, 950)]
    assert picture_times(stays, count=2) == (240, 900)


def test_of_equally_full_minutes_the_earliest() -> None:
    assert picture_times([(60, 600)], count=1) == (60,)


def test_an_item_is_off_at_the_second_it_ends() -> None:
    assert picture_times([(30, 120), (150, 200)], count=1) == (60,)
    assert picture_times([(61, 120)], count=1) == ()


def test_an_empty_part_of_the_night_has_no_picture() -> None:
    assert picture_times([(0, 61), (5940, 6001)], count=6) == (0, 5940)


def test_no_stays_no_pictures() -> None:
    assert picture_times([]) == ()


def test_no_parts_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one"):
        picture_times([(0, 60)], count=0)


@given(STAYS, st.integers(1, 8))
def test_whole_minutes_in_order_with_something_on_the_stone(stays: list[tuple[int, int]], count: int) -> None:
    times = picture_times(stays, count)
    assert list(times) == sorted(set(times))
    assert len(times) <= count
    assert all(t % 60 == 0 and any(start <= t < end for start, end in stays) for t in times)
    assert picture_times(reversed(stays), count) == times
