"""The map of a field, read back from its marks: to scale, values where they are, the band where it is."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from hearthtide.errors import PhysicalRangeError
from hearthtide.oven.design import Burner, Crown, FlameLevel, Mouth, OvenDesign
from hearthtide.oven.hearth import Hearth, RectangularHearth, RoundHearth
from hearthtide.printing.fieldmap import contours, field_picture
from hearthtide.printing.picture import HALF, Area, Dots, Line, Picture, Words, text_width
from hearthtide.ranges import Array

ROUND, DEEP = RoundHearth(1.2, 0.5), RectangularHearth(0.9, 1.2)
SHAPES = pytest.mark.parametrize("hearth", [ROUND, DEEP], ids=["round", "deep"])
SIDE_M = (0.03, 0.05)
RIBBON = Burner("ribbon", bearing_deg=-45.0, length_m=0.5, standoff_m=0.08)


def design(hearth: Hearth) -> OvenDesign:
    levels = (FlameLevel("low", 7_000.0), FlameLevel("full", 30_000.0))
    return OvenDesign(
        "Test", hearth, Crown("dome", 0, 0.4), Mouth(0.5, 0.25), (), (), (RIBBON,), "propane", levels
    )


def cells(hearth: Hearth, side_m: tuple[float, float] = SIDE_M) -> Array:
    x = np.arange(-hearth.width_m / 2 + side_m[0] / 2, hearth.width_m / 2, side_m[0])
    y = np.arange(side_m[1] / 2, hearth.depth_m, side_m[1])
    places = np.stack(np.meshgrid(x, y), -1).reshape(-1, 2)
    return places[hearth.room_m(places) > 0]


def slope(at_m: Array) -> Array:
    """Hotter to the left and toward the back: 320 - 100 x + 50 y."""
    return np.asarray(320.0 - 100.0 * at_m[..., 0] + 50.0 * at_m[..., 1])


def drawn(hearth: Hearth, side_m: tuple[float, float] = SIDE_M, **more: object) -> Picture:
    at = cells(hearth, side_m)
    asked = {"title": "Stone", "unit": "°C", "low": 250.0, "high": 450.0, "band": (330.0, 360.0), **more}
    return field_picture(design(hearth), at, side_m, slope(at), **asked)


def on_stone(picture: Picture, hearth: Hearth, points: Array) -> Array:
    """Sheet units back to metres, by the drawn wall: its extent is the hearth's."""
    wall = np.array(next(m.points for m in picture.marks if isinstance(m, Line) and m.name == "wall"))
    scale = np.ptp(wall[:, 0]) / hearth.width_m
    assert np.ptp(wall[:, 1]) == pytest.approx(hearth.depth_m * scale, rel=1e-3)
    middle = (wall[:, 0].min() + wall[:, 0].max()) / 2
    return np.stack([(points[..., 0] - middle) / scale, (wall[:, 1].max() - points[..., 1]) / scale], -1)


def texture(picture: Picture, hearth: Hearth, ink: str) -> tuple[Array, Array]:
    """Places, m, and sizes of the dots on the stone; the key's dots lie below it."""
    dots = np.array([d for m in picture.marks if isinstance(m, Dots) and m.ink == ink for d in m.dots])
    at = on_stone(picture, hearth, dots[:, :2])
    return at[at[:, 1] > 0], dots[at[:, 1] > 0, 2]


@SHAPES
def test_dots_grow_with_the_value_and_keep_to_the_stone(hearth: Hearth) -> None:
    picture = drawn(hearth, band=None)
    at, sizes = texture(picture, hearth, "orange")
    order = np.argsort(slope(at))
    assert np.all(np.diff(sizes[order]) >= -1e-9)
    assert hearth.room_m(at).min() > 0
    assert design(hearth).flame_distance_m(at).min() >= 0.06  # CLEAR_M, so that the flame stands out
    assert len(at) > 300


@pytest.mark.parametrize("side_m", [(0.01, 0.01), (0.03, 0.05), (0.12, 0.08)])
def test_dots_do_not_touch_whatever_the_cells(side_m: tuple[float, float]) -> None:
    at, sizes = texture(drawn(DEEP, side_m, band=None), DEEP, "orange")
    apart = np.hypot(*(at[:, None] - at[None, :]).transpose(2, 0, 1)) + np.eye(len(at))
    assert apart.min() * 270 >= sizes.max()  # 324 units stand for 1.2 m
    assert 5 <= apart.min() * 270 <= 14


@SHAPES
def test_the_second_ink_marks_the_band_and_nothing_else(hearth: Hearth) -> None:
    picture = drawn(hearth)
    inside, outside = (texture(picture, hearth, ink)[0] for ink in ("blue", "orange"))
    assert len(inside) and len(outside)
    assert np.all((slope(inside) >= 330 - 1e-6) & (slope(inside) <= 360 + 1e-6))
    assert not np.any((slope(outside) > 330 + 1e-6) & (slope(outside) < 360 - 1e-6))


@SHAPES
def test_the_band_is_outlined_where_the_field_crosses_it_from_wall_to_wall(hearth: Hearth) -> None:
    picture = drawn(hearth)
    lines = [
        on_stone(picture, hearth, np.array(m.points))
        for m in picture.marks
        if isinstance(m, Line) and m.name == "band"
    ]
    assert len(lines) == 2
    for line, level in zip(sorted(lines, key=lambda p: float(slope(p).mean())), (330.0, 360.0), strict=True):
        inner = line[hearth.room_m(line) > 0.06]  # nearer to the wall the field is carried on from its cells
        assert slope(inner) == pytest.approx(level, abs=0.01)
        assert abs(hearth.room_m(line[[0, -1]])).max() < 0.005


@SHAPES
def test_figures_are_those_of_their_places_and_bold_in_the_band(hearth: Hearth) -> None:
    picture = drawn(hearth)
    wall_bottom = max(
        y for m in picture.marks if isinstance(m, Line) and m.name == "wall" for _, y in m.points
    )
    figures = [
        m for m in picture.marks if isinstance(m, Words) and m.text.isdigit() and m.at[1] < wall_bottom
    ]
    assert len(figures) >= 10
    at = on_stone(picture, hearth, np.array([(f.at[0], f.at[1] - 15.5 * 0.36) for f in figures]))
    for figure, place in zip(figures, at, strict=True):
        # half a cell of 3 by 5 cm on this slope is 1.5 + 1.25 degrees, and a figure is rounded
        assert abs(int(figure.text) - slope(place)) <= 1.5 + 1.25 + 0.51
        if abs(int(figure.text) - 330) > 1 and abs(int(figure.text) - 360) > 1:
            assert figure.bold == (330 < int(figure.text) < 360)


def test_a_small_span_is_printed_to_a_tenth() -> None:
    picture = drawn(ROUND, unit="kW/m²", low=0.0, high=20.0, band=None)
    figures = [m.text for m in picture.marks if isinstance(m, Words) and m.text[:1].isdigit()]
    assert len([f for f in figures if f.count(".") == 1]) >= 10
    assert {"0.0", "10.0", "20.0"} <= set(figures)  # the key


def test_left_is_left_and_the_mouth_is_at_the_bottom() -> None:
    picture = drawn(DEEP)
    at = {m.text: m.at for m in picture.marks if isinstance(m, Words)}
    assert at["left"][0] < HALF / 2 < at["right"][0]
    sill = next(m for m in picture.marks if isinstance(m, Line) and m.name == "sill")
    hearth = next(m for m in picture.marks if isinstance(m, Area) and m.name == "hearth")
    assert sill.points[0][1] == sill.points[1][1] == max(y for _, y in hearth.points)
    assert at["mouth"][1] > sill.points[0][1]


@SHAPES
def test_words_lie_on_the_sheet_and_apart(hearth: Hearth) -> None:
    title = "What the stone holds after two hours and a half at half flame, seen from the mouth"
    picture = drawn(hearth, title=title, unit="kW/m²")
    words = [m for m in picture.marks if isinstance(m, Words)]
    assert " ".join(w.text for w in words if w.bold and not w.text.isdigit()) == title
    boxes = []
    for word in words:
        wide = text_width(word.text, word.size)
        left = word.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[word.anchor]
        box = (left, word.at[1] - 0.75 * word.size, left + wide, word.at[1] + 0.2 * word.size)
        assert box[0] >= 0 and box[2] <= picture.width and box[3] <= picture.height, word.text
        for other, text in boxes:
            clear = box[2] <= other[0] or other[2] <= box[0] or box[3] <= other[1] or other[3] <= box[1]
            assert clear, (word.text, text)
        boxes.append((box, word.text))


def test_the_share_of_stone_in_the_band_is_counted() -> None:
    at = np.array([(-0.3, 0.2), (0.0, 0.2), (0.3, 0.2), (0.3, 0.4)])
    values = np.array([300.0, 340.0, 360.0, 361.0])
    picture = field_picture(design(DEEP), at, (0.3, 0.2), values, "Four", "°C", 250, 450, (330, 360))
    assert picture.says == "From 300 to 361 °C, mean 340. 330 to 360: 50 % of stone."
    assert any(isinstance(m, Words) and m.text == "330 to 360: 50 % of stone" for m in picture.marks)


def test_tongues_are_drawn_for_a_burning_flame_only() -> None:
    def tongues(power_W: float) -> int:
        marks = drawn(ROUND, power_W=power_W).marks
        return sum(isinstance(m, Area) and m.name == "tongue" for m in marks)

    assert tongues(0.0) == 0 < tongues(7_000.0)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"values": np.full(3, 300.0)}, "cells_m"),
        ({"values": np.array([300.0, np.nan, 300.0, 300.0])}, "values"),
        ({"cells_m": np.array([(-0.3, 0.2), (0.0, 0.2), (0.3, 0.2), (0.4, 0.2)])}, "lattice"),
        ({"cells_m": np.array([(-0.3, 0.2), (0.0, 0.2), (0.3, 0.2), (0.3, 0.2)])}, "lattice"),
        ({"side_m": (0.0, 0.2)}, "side_m"),
        ({"low": 450.0}, "low, high"),
        ({"band": (360.0, 330.0)}, "band"),
        ({"power_W": -1.0}, "power_W"),
    ],
)
def test_what_cannot_be_drawn_is_refused(change: dict[str, object], words: str) -> None:
    asked = {
        "cells_m": np.array([(-0.3, 0.2), (0.0, 0.2), (0.3, 0.2), (0.3, 0.4)]),
        "side_m": (0.3, 0.2),
        "values": np.full(4, 300.0),
        "title": "x",
        "unit": "°C",
        "low": 250.0,
        "high": 450.0,
        **change,
    }
    with pytest.raises(PhysicalRangeError, match=words):
        field_picture(design(DEEP), **asked)


def test_the_line_about_a_hill_is_a_circle() -> None:
    x = np.linspace(-1.0, 1.0, 41)
    lines = contours(x, x, 0.36 - (x[None, :] ** 2 + x[:, None] ** 2))
    assert len(lines) == 1 and lines[0][0] == lines[0][-1]
    # radius 0.6; a straight piece over a square of side h bends by at most h squared / 8 r, as does the field
    assert [math.hypot(*p) for p in lines[0]] == pytest.approx(
        [0.6] * len(lines[0]), abs=0.05**2 / 8 / 0.6 + 1e-9
    )
    length = sum(math.dist(a, b) for a, b in pairwise(lines[0]))
    assert length == pytest.approx(2 * math.pi * 0.6, rel=0.01)


def test_hills_that_meet_at_a_corner_stay_apart() -> None:
    values = np.array([[1.0, -1.0], [-1.0, 1.0]])
    for saddle in (values, -values):
        lines = contours(np.array([0.0, 1.0]), np.array([0.0, 1.0]), saddle)
        assert len(lines) == 2
        for line in lines:  # each cuts off one positive corner: half a unit away along both edges
            corner = [c for c in ((0, 0), (0, 1), (1, 0), (1, 1)) if all(math.dist(c, p) < 0.6 for p in line)]
            assert len(corner) == 1 and saddle[corner[0][1], corner[0][0]] > 0


@given(arrays(float, (6, 7), elements=st.sampled_from([-1.0, -0.25, 0.5, 1.0])))
def test_every_change_of_sign_is_crossed_once(values: Array) -> None:
    lines = contours(np.arange(7.0), np.arange(6.0), values)
    up = values >= 0
    changes = int(np.sum(up[1:] != up[:-1]) + np.sum(up[:, 1:] != up[:, :-1]))
    closed = sum(line[0] == line[-1] for line in lines)
    assert sum(map(len, lines)) - closed == changes
