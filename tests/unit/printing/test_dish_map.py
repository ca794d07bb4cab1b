"""The map of a stage, read back from its marks: to scale, shapes for what gives first, words for each."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from typing import get_args

import numpy as np
import pytest

from hearthtide.food.cooking import Target
from hearthtide.house.places import Outline
from hearthtide.oven.design import Burner, Crown, FlameLevel, Mouth, OvenDesign
from hearthtide.oven.hearth import RoundHearth
from hearthtide.planning.dish_course import StageCourse
from hearthtide.planning.hearth_map import Gives, SpotAnswer, StageSpots
from hearthtide.printing.dish_map import map_picture, minutes_text, words_of
from hearthtide.printing.picture import HALF, WIDE, Area, Disc, Line, Picture, Words, svg
from hearthtide.printing.together import moved, together

DESIGN = OvenDesign(
    "Test",
    RoundHearth(1.2, 0.5),
    Crown("dome", 0, 0.4),
    Mouth(0.5, 0.25),
    (),
    (),
    (Burner("ribbon", bearing_deg=-45.0, length_m=0.5, standoff_m=0.08),),
    "propane",
    (FlameLevel("low", 7_000.0), FlameLevel("full", 30_000.0)),
)
ALL: tuple[Gives, ...] = get_args(Gives)


def spot(x_m: float, y_m: float, gives: Gives, seconds: float | None = None, **more: object) -> SpotAnswer:
    told = {"place": "mid", "flame_m": 0.4, "wished": True, "burns_s": None, **more}
    return SpotAnswer(x_m=x_m, y_m=y_m, seconds=seconds, gives=gives, **told)


PIZZA = Outline(0.0, 0.0, 0.14)


def stage(*spots: SpotAnswer) -> StageSpots:
    return StageSpots("Pizza", "bake", 0.11, Target(85.0, 3), "brown", 14e3, spots)


EACH = stage(
    spot(0.0, 0.6, "done", 180.0),
    spot(0.2, 0.6, "done", 240.0, wished=False),
    spot(0.0, 0.8, "too dark", 170.0),
    spot(-0.2, 0.8, "top", None, burns_s=66.0),
    spot(-0.2, 0.6, "underside", None, burns_s=72.0),
    spot(0.2, 0.4, "core"),
    spot(0.0, 0.4, "colour"),
    spot(-0.2, 0.4, "never"),
)


def texts(picture: Picture) -> list[str]:
    return [mark.text for mark in picture.marks if isinstance(mark, Words)]


def test_every_thing_that_gives_has_its_words_and_its_count() -> None:
    said = texts(map_picture(DESIGN, EACH))
    for gives in ALL:
        if gives != "done":
            assert f"{words_of(gives, 'brown')}: 1" in said
    assert "min to done" in said and "half full: min until it burns" in said
    assert any("probe it" in text for text in said)
    assert len({words_of(gives, "brown") for gives in ALL}) == len(ALL)


def test_what_is_not_there_is_not_in_the_key() -> None:
    said = texts(map_picture(DESIGN, stage(spot(0.0, 0.6, "done", 180.0))))
    assert not any(any(word in text for word in ("burns", "enough", "pale", "never")) for text in said)
    assert not any("ringed" in text for text in said)


def test_what_it_shows_is_said_in_a_cooks_words() -> None:
    says = map_picture(DESIGN, EACH).says
    assert "done: 2 places" in says and "top burns first: 1 place;" in says and "1 places" not in says
    assert "core not hot enough after 40 min: 1 place" in says and "too pale after 40 min" in says
    assert "short" not in says


def scale(picture: Picture) -> tuple[float, float, float]:
    """Units per metre, x of the middle and y of the sill, from the drawn wall."""
    wall = np.array(next(m.points for m in picture.marks if isinstance(m, Line) and m.name == "wall"))
    return np.ptp(wall[:, 0]) / 1.2, (wall[:, 0].min() + wall[:, 0].max()) / 2, wall[:, 1].max()


def test_marks_lie_to_scale_with_their_minutes_on_them() -> None:
    picture = map_picture(DESIGN, EACH)
    per_m, x0, sill = scale(picture)
    discs = [m for m in picture.marks if isinstance(m, Disc) and m.name == "done"]
    assert discs[0].at == pytest.approx((x0, sill - 0.6 * per_m), abs=0.2)
    assert discs[1].at == pytest.approx((x0 + 0.2 * per_m, sill - 0.6 * per_m), abs=0.2)
    words = {m.text: m.at for m in picture.marks if isinstance(m, Words) and m.at[1] < sill}
    assert words["3.0"][0] == pytest.approx(discs[0].at[0])
    assert words["4.0"][0] == pytest.approx(discs[1].at[0])
    assert {"1.1", "1.2"} <= set(words)  # until it burns: 66 s, 72 s


def test_the_quicker_the_fuller_and_only_wished_places_are_ringed() -> None:
    picture = map_picture(DESIGN, EACH)
    quick, slow = [m for m in picture.marks if isinstance(m, Disc) and m.name == "done"][:2]
    assert quick.shade > slow.shade > 0
    assert quick.ink == "ink" and slow.ink is None


def test_times_that_hardly_differ_look_alike() -> None:
    near = stage(spot(0.0, 0.6, "done", 180.0), spot(0.2, 0.6, "done", 182.0))
    one, other = [m for m in map_picture(DESIGN, near).marks if isinstance(m, Disc) and m.name == "done"][:2]
    assert one.shade - other.shade < 0.05


def test_the_half_that_burns_is_the_half_that_is_full() -> None:
    picture = map_picture(DESIGN, EACH)
    per_m, _, sill = scale(picture)
    halves = {
        m.name: np.array(m.points)[:, 1]
        for m in reversed(picture.marks)
        if isinstance(m, Area) and m.shade < 1
    }
    assert halves["top"].max() == pytest.approx(sill - 0.8 * per_m, abs=0.2)
    assert halves["underside"].min() == pytest.approx(sill - 0.6 * per_m, abs=0.2)


def test_shapes_differ_without_their_colours() -> None:
    """Square, diamond and cross by their corners, the discs by what is in them."""
    picture = map_picture(DESIGN, EACH)
    square, diamond = (
        np.array(next(m.points for m in picture.marks if isinstance(m, Area) and m.name == name))
        for name in ("core", "colour")
    )
    assert len(set(np.round(square[:, 0]))) == 2 and len(set(np.round(diamond[:, 0]))) == 3
    assert any(isinstance(m, Line) and m.name == "never" for m in picture.marks)
    assert (
        len([m for m in picture.marks if isinstance(m, Disc) and m.fill is None and m.ink == "orange"]) == 2
    )


@pytest.mark.parametrize("outline", [PIZZA, Outline(0.26, 0.20, 0.0)])
def test_the_vessel_is_drawn_to_scale(outline: Outline) -> None:
    run = StageCourse("bake", "mid", 0.1, 0.5, outline, 0.4, 350.0, 0.0, 180.0, True, Target(85.0))
    picture = map_picture(DESIGN, stage(spot(0.0, 0.6, "done", 180.0)), run)
    per_m, x0, _ = scale(picture)
    vessel = next(m for m in picture.marks if isinstance(m, Disc | Area) and m.name == "vessel")
    if isinstance(vessel, Disc):
        assert vessel.radius == pytest.approx(0.14 * per_m)
        assert vessel.at[0] == pytest.approx(x0 + 0.1 * per_m, abs=0.2)
    else:
        assert np.ptp(np.array(vessel.points), axis=0) == pytest.approx((0.26 * per_m, 0.20 * per_m))


def test_a_hearth_with_no_place_still_says_so() -> None:
    picture = map_picture(DESIGN, stage())
    assert picture.says == "bake: no place."
    assert "no place clear of the flame" in texts(picture)


def test_pictures_side_by_side_keep_all_their_marks() -> None:
    one = map_picture(DESIGN, EACH)
    two = together([one, one, one], 2)
    assert two.width == WIDE and two.height == 2 * one.height
    assert len(two.marks) == 3 * len(one.marks)
    assert together([one, one], 1).width == HALF
    assert two.marks[len(one.marks)] == moved(one.marks[0], WIDE - HALF, 0.0)
    ET.fromstring(svg(two, alone=True))


@pytest.mark.parametrize(("seconds", "text"), [(28, "0.5"), (594, "9.9"), (600, "10"), (2400, "40")])
def test_minutes(seconds: float, text: str) -> None:
    assert minutes_text(seconds) == text
