"""Cooling curves against the limits: numbered where they run, a stair that says when, words below."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.printing.cooling import NUMBER, Falling, Read, Stair, cooling_picture
from hearthtide.printing.picture import TEXT, WIDE, Area, Disc, Line, Picture, Words, svg, text_width

HOURS = 3600.0


def falling(words: str, constant_h: float, standing="told", known: bool = False) -> Falling:
    times_s = np.linspace(0.0, constant_h * 3.3 * HOURS, 100)
    core = 3 + 54 * np.exp(-times_s / (constant_h * HOURS))
    low, high = (core - 1, core + 2) if known else (None, None)
    return Falling(words, times_s, core, standing, low, high)


WAYS = [
    falling("blast: quick", 0.5, "kept"),
    falling("ice: nearly as quick", 0.52, "kept"),
    falling("rack: so so", 1.6, "even", known=True),
    falling("covered: slow", 5.0, "missed"),
]
LIMITS = [Stair(21.0, 2 * HOURS), Stair(5.0, 6 * HOURS)]
READ = (Read(HOURS, 31.0),)
SINCE = "since the core passed 57 °C"


def drawn(readings=READ, stairs=LIMITS) -> Picture:
    return cooling_picture("How it chills", SINCE, WAYS, stairs, readings, 8 * HOURS)


def named(picture: Picture, name: str) -> list[Line | Area | Disc]:
    return [m for m in picture.marks if isinstance(m, Line | Area | Disc) and m.name == name]


def texts(picture: Picture) -> dict[str, Words]:
    return {m.text: m for m in picture.marks if isinstance(m, Words)}


def at(picture: Picture, point: tuple[float, float]) -> tuple[float, float]:
    """Hours and °C of a point, by the printed axes (levels' middles 0.36 sizes over their baselines)."""
    said = texts(picture)
    x0, x1 = said["0:00"].at[0], said["8:00"].at[0]
    y0, y1 = said["0"].at[1], said["50"].at[1]
    return 8 * (point[0] - x0) / (x1 - x0), 50 * (y0 - TEXT * 0.36 - point[1]) / (y0 - y1)


def test_curves_lie_where_the_printed_axes_say_and_end_with_the_plot() -> None:
    picture = drawn()
    for way in WAYS:
        (line,) = named(picture, way.words)
        for point in line.points:
            hours, degrees = at(picture, point)
            assert degrees == pytest.approx(np.interp(hours * HOURS, way.times_s, way.core_C), abs=0.1)
            assert hours <= 8.0 + 1e-6


def test_the_stair_falls_at_its_hours_and_names_them() -> None:
    picture = drawn()
    (line,) = named(picture, "limits")
    corners = [at(picture, point) for point in line.points]
    assert corners[1] == pytest.approx((2.0, 21.0), abs=0.05)
    assert corners[2] == pytest.approx((6.0, 21.0), abs=0.05)
    assert corners[3] == pytest.approx((6.0, 5.0), abs=0.05)
    assert {"21 °C by 2:00", "5 °C by 6:00"} <= set(texts(picture))


def test_marks_without_a_time_are_levels() -> None:
    picture = drawn(stairs=[Stair(57.0, None), Stair(21.0, None), Stair(5.0, None)])
    levels = [at(picture, line.points[0])[1] for line in named(picture, "mark")]
    assert levels == pytest.approx([57.0, 21.0, 5.0], abs=0.1)
    assert not named(picture, "limits")


def test_numbers_stand_on_their_curves_apart_from_each_other() -> None:
    picture = drawn()
    discs = {n: named(picture, f"number {n}")[0] for n in range(1, 5)}
    for number, way in enumerate(WAYS, 1):
        hours, degrees = at(picture, discs[number].at)
        assert degrees == pytest.approx(np.interp(hours * HOURS, way.times_s, way.core_C), abs=1.0)
    for one, other in combinations(discs.values(), 2):
        assert math.dist(one.at, other.at) > 2 * NUMBER


def test_how_a_way_stands_is_told_by_ink_and_by_dash() -> None:
    picture = drawn()
    lines = [named(picture, way.words)[0] for way in WAYS]
    assert [line.ink for line in lines] == ["blue", "blue", "ink", "orange"]
    assert lines[0].dash == () and len({line.dash for line in lines}) == 3


def test_only_what_is_known_is_washed_and_a_reading_is_pointed_out() -> None:
    picture = drawn()
    assert named(picture, "rack: so so known") and not named(picture, "blast: quick known")
    (disc,) = named(picture, "reading")
    assert at(picture, disc.at) == pytest.approx((1.0, 31.0), abs=0.1)
    assert "read 31 °C" in texts(picture)
    assert not named(drawn(readings=(Read(-60.0, 60.0),)), "reading")


def test_words_are_large_enough_and_on_the_sheet() -> None:
    picture = drawn()
    for words in texts(picture).values():
        assert words.size >= TEXT
        wide = 0.85 * text_width(words.text, words.size)  # text_width is wide for a sans face
        left = words.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[words.anchor]
        assert left >= -1 and left + wide <= WIDE + 1, words.text
        assert words.at[1] <= picture.height
    assert all(way.words in picture.says for way in WAYS)
    lowest = max(texts(picture).values(), key=lambda words: words.at[1])
    assert "probe it" in lowest.text and "probe it" in picture.says
    assert "prefers-color-scheme:dark" in svg(picture, alone=True)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: cooling_picture("t", SINCE, [], LIMITS),
        lambda: cooling_picture("t", SINCE, WAYS * 3, LIMITS),
        lambda: cooling_picture("t", SINCE, WAYS, LIMITS[::-1]),
        lambda: cooling_picture("t", SINCE, WAYS, LIMITS, longest_s=10.0),
        lambda: cooling_picture("t", SINCE, [Falling("x", np.array([0.0, 1.0]), np.array([200.0, 5.0]))], ()),
        lambda: cooling_picture("t", SINCE, [Falling("x", np.array([0.0, 1.0]), np.array([20.0]))], ()),
        lambda: cooling_picture("t", SINCE, [Falling("x", np.array([1.0, 0.0]), np.array([20.0, 5.0]))], ()),
    ],
)
def test_what_cannot_be_drawn_is_refused(ask) -> None:
    with pytest.raises(PhysicalRangeError):
        ask()
