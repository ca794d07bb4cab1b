"""The picture of a dish over time, read back from its marks; the course is made by hand."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from hearthtide.food.cooking import Target
from hearthtide.food.doneness import events_between
from hearthtide.house.places import Outline
from hearthtide.planning.dish_course import Carry, DishAct, DishCourse, StageCourse, Track
from hearthtide.printing.dish_run import Read, run_picture
from hearthtide.printing.picture import HALF, WIDE, Area, Disc, Line, Picture, Words, svg, text_width
from hearthtide.printing.together import with_margin

TIMES_S = np.array([0.0, 120.0, 240.0, 240.0, 300.0, 300.0, 420.0])
CORE_C = np.array([10.0, 40.0, 65.0, 65.0, 74.0, 74.0, 80.0])
TRACK = Track(
    times_s=TIMES_S,
    core_C=CORE_C,
    core_low_C=CORE_C - 4,
    core_high_C=CORE_C + 6,
    top_C=np.array([10.0, 90.0, 120.0, 120.0, 160.0, 160.0, 70.0]),
    base_C=np.array([10.0, 150.0, 200.0, 200.0, 220.0, 220.0, 78.0]),
    on_vessel=np.array([1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.0]),
    colour=np.array([[1.5, 1.0, 1.2, 1.4, 1.2]] * 4 + [[2.0, 2.0, 2.5, 3.0, 2.5]] * 3),
    loss=np.array([0.0, 0.02, 0.05, 0.05, 0.08, 0.08, 0.09]),
)
PAN = Outline(0.26, 0.20, 0.0)
STAGES = (
    StageCourse("warm", "mid", 0.1, 0.6, PAN, 0.3, 350.0, 0.0, 240.0, True, Target(65.0)),
    StageCourse("crisp", "near", -0.2, 0.7, PAN, None, 380.0, 240.0, 300.0, True, Target(74.0, 3)),
)
ACTS = (
    DishAct("launch", 0, 0.0),
    DishAct("flip", 0, 120.0),
    DishAct("move", 1, 240.0, 200.0, 280.0),
    DishAct("pull", 1, 300.0, 250.0, 360.0),
    DishAct("rest", 1, 420.0, 370.0, 480.0),
)
COURSE = DishCourse("Bird", 10.0, 14e3, STAGES, ACTS, 120.0, Carry(74.0, 6.0, 120.0, 80.0), None, TRACK)
WIDTHS = pytest.mark.parametrize("width", [WIDE, HALF], ids=["wide", "narrow"])


def lines(picture: Picture, name: str) -> list[Line]:
    return [mark for mark in picture.marks if isinstance(mark, Line) and mark.name == name]


def texts(picture: Picture) -> list[str]:
    return [mark.text for mark in picture.marks if isinstance(mark, Words)]


@WIDTHS
def test_curves_end_where_they_should_against_what_is_asked(width: float) -> None:
    picture = run_picture(COURSE, "pan", (), width)
    (core,) = lines(picture, "core")
    asked = [line.points[0][1] for line in lines(picture, "asked core")]
    low_y, high_y = sorted(asked, reverse=True)  # 65 °C lies lower on the sheet than 74 °C
    assert core.points[2][1] == pytest.approx(low_y)
    assert core.points[4][1] == pytest.approx(high_y)
    per_K = (low_y - high_y) / 9
    top = lines(picture, "top")[0]
    assert core.points[4][1] - top.points[4][1] == pytest.approx((160 - 74) * per_K)


@WIDTHS
def test_uprights_stand_at_their_acts(width: float) -> None:
    picture = run_picture(COURSE, "pan", (), width)
    (core,) = lines(picture, "core")
    first_x, last_x = core.points[0][0], core.points[-1][0]
    for act in ACTS[1:]:
        (pole,) = lines(picture, act.act)
        share = (pole.points[0][0] - first_x) / (last_x - first_x)
        assert share == pytest.approx(act.at_s / 420.0)
    said = texts(picture)
    assert {"flip 2:00", "to near 4:00", "pull 5:00", "rested 7:00"} <= set(said)


def test_ribbons_lie_round_core_and_top() -> None:
    areas = {m.name: m for m in run_picture(COURSE, "pan").marks if isinstance(m, Area)}
    assert {"core between", "top between"} <= set(areas)
    below, above = areas["core between"].points[0], areas["core between"].points[-1]
    assert below[0] == above[0] and below[1] > above[1]
    assert {"warm", "crisp", "rest"} <= set(areas)


def test_the_vessel_is_left_at_the_pull() -> None:
    picture = run_picture(COURSE, "pan")
    (pan,) = lines(picture, "pan")
    temperatures, _colours = lines(picture, "under")
    assert len(pan.points) == 6 and len(temperatures.points) == 1


@WIDTHS
def test_words_stay_on_the_sheet_and_caution_is_among_them(width: float) -> None:
    picture = run_picture(COURSE, "platter", (), width, events_between(0.0, 100.0))
    for mark in picture.marks:
        if isinstance(mark, Words):
            wide = text_width(mark.text, mark.size) * 0.9  # the estimate is wide for most letters
            left = mark.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[mark.anchor]
            assert left >= -2 and left + wide <= width + 8, mark.text
            assert 0 <= mark.at[1] <= picture.height
    assert "probe it" in " ".join(texts(picture))
    assert any("not done" in text for text in texts(run_picture(undone(), "pan", (), width)))


def undone() -> DishCourse:
    return replace(COURSE, stages=(replace(STAGES[0], done=False),), acts=ACTS[:1], rest_s=0.0, carry=None)


def test_readings_are_drawn_where_they_were_read() -> None:
    picture = run_picture(COURSE, "pan", (Read(120.0, 65.0),))
    (disc,) = [m for m in picture.marks if isinstance(m, Disc) and m.name == "reading"]
    (core,) = lines(picture, "core")
    assert disc.at[0] == pytest.approx(core.points[1][0])
    assert disc.at[1] == pytest.approx(core.points[2][1])


def test_what_it_shows_is_said_and_it_is_well_formed() -> None:
    picture = run_picture(COURSE, "pan")
    assert (
        picture.says
        == "warm at mid 0:00 to 4:00; crisp at near 4:00 to 5:00; rest to 7:00, core up 6 °C after 2:00."
    )
    framed = with_margin(picture)
    root = ET.fromstring(svg(framed, alone=True))
    assert float(root.attrib["width"]) == WIDE + 24


def test_proteins_have_a_bar_from_when_the_core_comes_to_them_until_they_are_through() -> None:
    picture = run_picture(COURSE, "pan", events=events_between(0.0, 100.0))
    bars = {mark.name: mark.points for mark in picture.marks if isinstance(mark, Area)}
    # The core passes 65 at 240 s and 80 at 420 s; myosin's 54 to 58 °C lie on the way from 120 to 240 s.
    clock = sorted(x for x, _ in bars["warm"]) + sorted(x for x, _ in bars["rest"])
    begin, end = clock[0], clock[-1]
    left, right = (min(x for x, _ in bars["myosin sets"]), max(x for x, _ in bars["myosin sets"]))
    assert begin < left <= right < end
    assert bars["actin sets (by another source)"][1][0] == end
    plain = {mark.name for mark in run_picture(COURSE, "pan").marks if isinstance(mark, Area)}
    assert "myosin sets" not in plain
