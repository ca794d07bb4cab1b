import importlib.resources
import itertools
import re

import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.doneness import doneness_scale, events_between, protein_events, scale_names
from hearthtide.food.library import food_names

TEXT = importlib.resources.files("hearthtide").joinpath("data", "sources-food.bib").read_text("utf-8")
KEYS = set(re.findall(r"@\w+\{([^,]+),", TEXT))
WORDS = ["rare", "medium rare", "medium", "medium well", "well"]


@pytest.mark.parametrize("name", scale_names())
def test_every_scale_is_sourced_and_speaks_of_known_food(name):
    scale = doneness_scale(name)
    assert scale.source in KEYS and scale.about
    for degree in scale.degrees.values():
        assert 40 <= degree.pull_C <= degree.serve_C <= 90
        assert degree.serve_C - degree.pull_C <= 7  # what a rest of a small cut is taught to give
        assert degree.foods <= set(food_names())


@pytest.mark.parametrize("name", ["kitchen", "butcher"])
def test_the_words_rise(name):
    degrees = doneness_scale(name).degrees
    assert list(degrees) == WORDS
    for less, more in itertools.pairwise(degrees.values()):
        assert less.pull_C < more.pull_C and less.serve_C < more.serve_C


def test_one_word_means_two_things():
    """The trap the scales are named for: the butcher's rare is more than the kitchen's medium rare."""
    kitchen, butcher = (doneness_scale(name).degrees for name in ("kitchen", "butcher"))
    assert butcher["rare"].serve_C > kitchen["medium rare"].serve_C
    assert max(butcher[w].serve_C - kitchen[w].serve_C for w in WORDS) >= 8


def test_the_authority_asks_for_it_before_the_rest_and_names_no_taste():
    degrees = doneness_scale("authority_minimum").degrees
    assert not set(WORDS) & set(degrees)
    assert all(degree.pull_C == degree.serve_C for degree in degrees.values())
    assert degrees["whole cut"].rest_s == 180


def test_an_unknown_scale_lists_those_that_exist():
    with pytest.raises(KeyError, match="kitchen"):
        doneness_scale("mine")


def test_events_on_the_way():
    assert all(event.source in KEYS and event.from_C < event.to_C for event in protein_events())
    names = [event.name for event in events_between(4.0, 57.0)]
    assert names == ["collagen shrinks", "myosin sets"]
    assert events_between(20.0, 30.0) == ()
    assert {event.of for event in events_between(0.0, 100.0, "fish")} == {"fish"}
    with pytest.raises(PhysicalRangeError, match="not to fall"):
        events_between(60.0, 50.0)
