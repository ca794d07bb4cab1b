"""A dish's card: all acts and cautions on it, its picture to scale, its strip of time by the clock."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hearthtide.food.cooking import Target
from hearthtide.house.files import oven_design
from hearthtide.house.places import Outline
from hearthtide.planning.dish_course import Carry, DishAct, DishCourse, StageCourse, Track
from hearthtide.printing.card import Card, Paper, card_data, card_of
from hearthtide.printing.typeset import pdf, png_pages
from hearthtide.safety.cautions import PROBE_IT, allergen_words, cautions_for
from kept_lots import house_by
from read_print import edge_is_blank, grey_of, words_of

NONE = np.array([0.0, 900.0])
TRACK = Track(NONE, NONE, NONE, NONE, NONE, NONE, NONE, np.zeros((2, 5)), NONE)
PAN = Outline(0.26, 0.20, 0.0)
STAGES = (
    StageCourse("warm through", "mid", 0.15, 0.66, PAN, 0.33, 358.0, 0.0, 674.0, True, Target(65.0)),
    StageCourse("crisp", "near", -0.25, 0.51, PAN, 0.15, 372.0, 674.0, 778.0, True, Target(74.0)),
)
ACTS = (
    DishAct("launch", 0, 0.0),
    DishAct("flip", 0, 236.0),
    DishAct("flip", 0, 472.0),
    DishAct("move", 1, 674.0, 576.0, 762.0),
    DishAct("pull", 1, 778.0, 668.0, None),
    DishAct("rest", 1, 898.0),
)
COURSE = DishCourse(
    "Half chicken", 4.0, 14e3, STAGES, ACTS, 120.0, Carry(74.0, 6.0, 120.0, 80.0), None, TRACK
)
PAPERS = pytest.mark.parametrize("paper", ["A4", "A5"])


def card(course: DishCourse = COURSE) -> Card:
    return card_of(house_by(), "half_chicken", course, 14e3)


def data(paper: Paper, course: DishCourse = COURSE) -> dict[str, object]:
    return card_data(card(course), oven_design(house_by()), course, paper)


def test_acts_stand_at_their_minutes_with_what_ends_them() -> None:
    assert [(one.at, one.words, one.within) for one in card().acts] == [
        ("0:00", "in, at the middle: warm through until core 65 °C", ""),
        ("3:56", "flip", ""),
        ("7:52", "flip", ""),
        ("11:14", "to the flame: crisp until core 74 °C", "9:36 to 12:42"),
        ("12:58", "pull", "11:08 to over 40 min"),
        ("14:58", "rested: core about 80 °C", ""),
    ]


def test_places_are_measured_from_the_mouths_middle_with_the_houses_own_minutes() -> None:
    assert card().stands == (
        ("warm through", "15 cm right, 66 cm in; edge 33 cm from the flame; stone 358 °C; house 10:00"),
        ("crisp", "25 cm left, 51 cm in; edge 15 cm from the flame; stone 372 °C; house 2:00"),
    )


@PAPERS
def test_nothing_of_the_card_is_lost(paper: Paper) -> None:
    there, house = words_of(pdf("card", data(paper))), house_by()
    dish = house.dishes["half_chicken"]
    wanted = [one.words for one in card().acts] + [one.at for one in card().acts]
    wanted += [dish.words, PROBE_IT, *allergen_words(dish), *cautions_for("pull", dish)]
    wanted += [words.split(";")[0] for _, words in card().stands]
    assert [one for one in wanted if one not in there.replace("\u00a0", " ")] == []
    for page in png_pages("card", data(paper), 60):
        assert edge_is_blank(grey_of(page))


def test_a_stage_that_is_not_done_is_told_and_not_to_be_cooked_so() -> None:
    course = replace(COURSE, stages=(replace(STAGES[0], done=False),), acts=ACTS[:3])
    last = card(course).acts[-1].words
    assert last == "warm through is not done there in 40 min: do not cook it so"


def test_a_plain_dish_has_room_on_one_side() -> None:
    assert [len(png_pages("card", data(paper), 40)) for paper in ("A4", "A5")] == [1, 1]


def test_a_long_dish_goes_on_overleaf_and_nothing_is_lost() -> None:
    long = (
        "Dry-aged rib with smoked marrow, burnt leek and a sauce of its bones, for two, carved at the table"
    )
    acts = tuple(DishAct("turn", 0, 60.0 * n, turned_deg=120.0) for n in range(1, 12))
    course = replace(COURSE, acts=(ACTS[0], *acts, *ACTS[3:]))
    body = card_data(replace(card(course), dish=long), oven_design(house_by()), course, "A4")
    there = words_of(pdf("card", body)).replace("\u00a0", " ")
    assert long in there and there.count("turn a third round") == 11
    assert all(one in there for one in card(course).cautions)
    for page in png_pages("card", body, 40):
        assert edge_is_blank(grey_of(page))


@PAPERS
def test_the_pan_is_drawn_to_the_scale_that_is_printed(paper: Paper) -> None:
    alone = replace(COURSE, stages=STAGES[:1], acts=ACTS[:3])
    body, dots = data(paper, alone), 254.0  # an inch: ten a millimetre
    (page,) = png_pages("card", body, dots)[:1]
    import io

    from PIL import Image

    colours = np.asarray(Image.open(io.BytesIO(page)).convert("RGB")).astype(int)
    blue = (np.abs(colours - (0x00, 0x72, 0xB2)).sum(axis=2) < 12).nonzero()
    wide, deep = np.ptp(blue[1]) / 10, np.ptp(blue[0]) / 10
    line_mm = 2.4 * float(str(body["unit_mm"]))  # the outline's stroke, half of it on either side
    assert wide == pytest.approx(260 / int(str(body["scale"])) + line_mm, abs=0.3)
    assert deep == pytest.approx(200 / int(str(body["scale"])) + line_mm, abs=0.3)


def test_a_stages_name_stands_where_no_stroke_crosses_it() -> None:
    first = card().stretches[0]
    assert (first.from_s, first.until_s) == (0.0, 674.0)
    assert (first.name_from_s, first.name_until_s) == (0.0, 236.0)
    assert [one.name for one in card().stretches] == ["warm through", "crisp", "rest"]
    assert all(
        not one.name_from_s < tick < one.name_until_s for one in card().stretches for tick in card().ticks_s
    )
