"""What is printed is no finer than a cook can believe."""

import pytest

from hearthtide.printing.shown import clock, colour_word, late_words, stretch
from hearthtide.printing.tables import burn_words


@pytest.mark.parametrize(
    ("time_s", "text"), [(68_700, "19:05"), (68_722, "19:05:15"), (68_723, "19:05:30"), (68_759, "19:06")]
)
def test_the_clock_goes_in_quarter_minutes(time_s: int, text: str) -> None:
    assert clock(time_s) == text


@pytest.mark.parametrize(("seconds", "text"), [(52, "0:45"), (299, "5:00"), (301, "5:00"), (450, "8:00")])
def test_stretches_go_in_quarters_below_five_minutes_and_whole_minutes_above(seconds: int, text: str) -> None:
    assert stretch(seconds) == text


@pytest.mark.parametrize(
    ("late_s", "words"),
    [(0, "on time"), (7, "on time"), (-60, "1:00 early"), (120, "2:00 after"), (135, "2:15 late")],
)
def test_late_is_later_than_the_house_allows(late_s: int, words: str) -> None:
    assert late_words(late_s, 120) == words


def test_colours_are_the_houses_words() -> None:
    # the scale of house files: pale 1, straw 2, golden 3, brown 4, dark 5
    assert [colour_word(step) for step in (0.2, 1, 2, 3, 4.4, 4.6, 7)] == [
        "pale", "pale", "straw", "golden", "brown", "dark", "dark"
    ]  # fmt: skip


def test_a_burnt_plate_is_not_called_safe() -> None:
    assert burn_words(0) == "past dark"
    assert burn_words(14.9) == "under 0:15"
    assert burn_words(240) == "over 4:00"
