"""Heat-up and cooling curves: points where the axes say, names at the ends, words apart."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hearthtide.errors import PhysicalRangeError
from hearthtide.printing.curves import Band, Curve, Moment, curves_picture, elapsed, kept_apart
from hearthtide.printing.picture import WIDE, Area, Disc, Line, Picture, Words, text_width
from hearthtide.ranges import Array

TIMES_S = np.arange(0.0, 3 * 3600 + 1, 600.0)
STONE = 20 + 380 * (1 - np.exp(-TIMES_S / 4000))
DOME = 20 + 500 * (1 - np.exp(-TIMES_S / 2500))
BAND = Band(330.0, 360.0, "floor band 330 to 360")


def heat_up(*moments: Moment) -> Picture:
    series = (
        Curve("stone", STONE, STONE - 15, STONE + 25, "blue"),
        Curve("dome", DOME, ink="orange", dash=(2, 3)),
    )
    return curves_picture("Heat-up", TIMES_S, series, BAND, moments or (Moment(6120, "ready"),))


def line(picture: Picture, name: str) -> Array:
    return np.array(next(m.points for m in picture.marks if isinstance(m, Line) and m.name == name))


def area(picture: Picture, name: str) -> Array:
    return np.array(next(m.points for m in picture.marks if isinstance(m, Area) and m.name == name))


def words(picture: Picture) -> dict[str, Words]:
    return {m.text: m for m in picture.marks if isinstance(m, Words)}


def time_s(picture: Picture, x: Array) -> Array:
    """Times of places across, by the printed 0:00 and 3:00."""
    first, last = words(picture)["0:00"].at[0], words(picture)["3:00"].at[0]
    return np.asarray((x - first) / (last - first) * 3 * 3600)


def temperature_C(picture: Picture, y: Array) -> Array:
    """Temperatures of heights, by the printed 0 and 400 (middles 0.36 sizes over their baselines)."""
    low, high = words(picture)["0"].at[1], words(picture)["400"].at[1]
    return np.asarray((low - 15.5 * 0.36 - y) / (low - high) * 400)


def test_curves_lie_where_the_printed_axes_say() -> None:
    picture = heat_up()
    for name, values in (("stone", STONE), ("dome", DOME)):
        points = line(picture, name)
        assert time_s(picture, points[:, 0]) == pytest.approx(TIMES_S, abs=1.0)
        assert temperature_C(picture, points[:, 1]) == pytest.approx(values, abs=0.1)


def test_what_is_known_of_a_curve_is_washed_between_its_bounds() -> None:
    picture = heat_up()
    edge = temperature_C(picture, area(picture, "stone known")[:, 1])
    many = len(TIMES_S)
    assert edge[:many] == pytest.approx(STONE - 15, abs=0.1)
    assert edge[many:][::-1] == pytest.approx(STONE + 25, abs=0.1)
    assert not [m for m in picture.marks if isinstance(m, Area) and m.name == "dome known"]
    assert next(m for m in picture.marks if isinstance(m, Area) and m.name == "stone known").wash


def test_the_band_spans_the_plot_at_its_temperatures() -> None:
    picture = heat_up()
    corners = area(picture, "band")
    assert sorted(temperature_C(picture, corners[:, 1])) == pytest.approx([330, 330, 360, 360], abs=0.1)
    assert sorted(time_s(picture, corners[:, 0])) == pytest.approx([0, 0, 10_800, 10_800], abs=1.0)
    assert BAND.words in words(picture)


def test_a_moment_stands_at_its_minute_with_its_time_in_words() -> None:
    picture = heat_up()
    upright = line(picture, "ready")
    assert upright[0][0] == upright[1][0]
    assert float(time_s(picture, upright[0][0])) == pytest.approx(6120, abs=1.0)
    assert "ready 1:42" in words(picture)  # 6120 s = 102 min


def test_every_curve_is_named_at_its_own_end() -> None:
    picture = heat_up()
    for name in ("stone", "dome"):
        end, said = line(picture, name)[-1], words(picture)[name]
        assert said.at[0] > end[0] and abs(said.at[1] - 15.5 * 0.36 - end[1]) < 1
        assert any(isinstance(m, Disc) and m.at == pytest.approx(tuple(end)) for m in picture.marks)


def test_curves_that_end_together_are_named_apart_in_their_order() -> None:
    ends = {"a": 300.0, "b": 302.0, "c": 301.0, "d": 299.0}
    series = [Curve(name, np.array([20.0, end])) for name, end in ends.items()]
    picture = curves_picture("Four", np.array([0.0, 3600.0]), series)
    heights = [words(picture)[name].at[1] for name in ("b", "c", "a", "d")]
    assert min(b - a for a, b in pairwise(heights)) >= 15.5


@pytest.mark.parametrize(
    "moments",
    [
        (Moment(6120, "ready"), Moment(6200, "doors"), Moment(6300, "first table")),
        (Moment(0, "lit"), Moment(10_800, "the flame goes down to idle")),
        tuple(Moment(900.0 * i, f"load {i}") for i in range(13)),
    ],
)
def test_words_lie_on_the_sheet_and_apart(moments: tuple[Moment, ...]) -> None:
    picture = heat_up(*moments)
    boxes = []
    for word in words(picture).values():
        wide = text_width(word.text)
        left = word.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[word.anchor]
        box = (left, word.at[1] - 12, left + wide, word.at[1] + 3)
        assert box[0] >= -0.5 and box[2] <= WIDE and box[3] <= picture.height, word.text
        for other, text in boxes:
            clear = box[2] <= other[0] or other[2] <= box[0] or box[3] <= other[1] or other[3] <= box[1]
            assert clear, (word.text, text)
        boxes.append((box, word.text))
    assert sum(m.words in word for m in moments for word in words(picture)) >= len(moments)


@pytest.mark.parametrize("hours", [0.2, 1.0, 5.0, 14.0, 30.0, 60.0])
def test_times_across_keep_apart_from_minutes_to_days(hours: float) -> None:
    times_s = np.linspace(0.0, hours * 3600, 20)
    picture = curves_picture("Cooling", times_s, [Curve("stone", np.linspace(350.0, 40.0, 20))])
    said = [m for m in picture.marks if isinstance(m, Words) and ":" in m.text and m.text != "h:mm"]
    assert len(said) >= 2
    for one, other in pairwise(sorted(said, key=lambda m: m.at[0])):
        assert other.at[0] - one.at[0] >= (text_width(one.text) + text_width(other.text)) / 2


def test_a_frozen_stone_is_still_on_the_sheet() -> None:
    picture = curves_picture("Cold", np.array([0.0, 3600.0]), [Curve("stone", np.array([-20.0, 5.0]))])
    assert line(picture, "stone")[0][1] < picture.height - 30
    assert "-40" in words(picture)


def test_says_tells_ends_and_moments() -> None:
    says = heat_up().says
    # 20 + 380 (1 - exp(-10800/4000)) = 374.5; 20 + 500 (1 - exp(-10800/2500)) = 513.3, by hand
    assert says.startswith("stone 20 °C at 0:00, highest 374, 374 at 3:00; dome 20 °C at 0:00, highest 513,")
    assert says.endswith("ready 1:42; floor band 330 to 360: 330 to 360 °C.")


@pytest.mark.parametrize("seconds", [0.0, 3599.0, 35_999.0])
def test_elapsed_never_says_sixty_minutes(seconds: float) -> None:
    assert elapsed(seconds).split(":")[1] == "00"


@given(st.lists(st.floats(-50, 400), min_size=1, max_size=12))
def test_places_keep_apart_and_within(wanted: list[float]) -> None:
    places = kept_apart(wanted, 18.0, 0.0, 300.0)
    ordered = sorted(places)
    assert all(b - a >= 18.0 - 1e-6 for a, b in pairwise(ordered))
    assert ordered[0] >= 0 and ordered[-1] <= 300 + 1e-6
    assert [places[i] for i in sorted(range(len(wanted)), key=lambda i: wanted[i])] == ordered


@given(st.floats(0, 300))
def test_a_place_with_room_is_where_it_was_wanted(wanted: float) -> None:
    assert kept_apart([wanted], 18.0, 0.0, 300.0) == [wanted]


@pytest.mark.parametrize(
    ("times_s", "values", "more", "message"),
    [
        ([0.0], [20.0], {}, "number of times"),
        ([0.0, 0.0], [20.0, 20.0], {}, "steps between"),
        ([0.0, 60.0], [20.0, np.nan], {}, "stone, values"),
        ([0.0, 60.0], [20.0, 20.0, 20.0], {}, "stone, values"),
        ([0.0, 60.0], [20.0, 20.0], {"band": Band(360.0, 330.0, "x")}, "band"),
        ([0.0, 60.0], [20.0, 20.0], {"moments": (Moment(61.0, "late"),)}, "late"),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    times_s: list[float], values: list[float], more: dict[str, object], message: str
) -> None:
    asked = {"band": None, "moments": (), **more}
    with pytest.raises(PhysicalRangeError, match=message):
        curves_picture("x", np.array(times_s), [Curve("stone", np.array(values))], **asked)


def test_bounds_on_the_wrong_side_are_refused() -> None:
    values = np.array([20.0, 30.0])
    for low, high in ((values + 1, None), (None, values - 1)):
        with pytest.raises(PhysicalRangeError, match="stone"):
            curves_picture("x", np.array([0.0, 60.0]), [Curve("stone", values, low, high)])
