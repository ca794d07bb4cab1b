"""The flow of heat: widths true to the shares, as much out as in; what does not add up is refused."""

import re
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hearthtide.errors import PhysicalRangeError
from hearthtide.printing.flow import flow_picture
from hearthtide.printing.picture import WIDE, Area, Disc, Picture, Words, text_width

# 270 = 52 + 48 + 2 + 132 + 22 + 14
HEAT_UP = {
    "fuel": 270e6,
    "stone": 52e6,
    "dome": 48e6,
    "food": 2e6,
    "gas": 132e6,
    "shine through the mouth": 22e6,
    "shell": 14e6,
}
# 36 + 14 + 4 = 54 = 17 + 26 + 9 + 2
SERVICE = {"fuel": 36e6, "stone": -14e6, "dome": -4e6, "food": 17e6, "gas": 26e6, "mouth": 9e6, "shell": 2e6}
NIGHT = {"fuel": 0.0, "stone": -44e6, "dome": -29e6, "gas": 15e6, "shell": 58e6}
LEDGERS = pytest.mark.parametrize("parts", [HEAT_UP, SERVICE, NIGHT], ids=["heat-up", "service", "night"])


def areas(picture: Picture) -> dict[str, Area]:
    return {m.name: m for m in picture.marks if isinstance(m, Area)}


def ends(area: Area) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """x, top and height of a band's left and right end; an arrow's tip is the one point beyond."""
    points = np.array(area.points)
    half = len(points) // 2  # the upper edge, perhaps a tip, and the lower edge back
    upper, lower = points[:half], points[-half:][::-1]
    assert upper[:, 0] == pytest.approx(lower[:, 0])
    high = lower[:, 1] - upper[:, 1]
    assert high == pytest.approx([high[0]] * half)
    return (upper[0, 0], upper[0, 1], high[0]), (upper[-1, 0], upper[-1, 1], high[-1])


def sides(picture: Picture) -> tuple[dict[str, Area], dict[str, Area], Area]:
    """What comes in, what goes out and the trunk between."""
    found = areas(picture)
    trunk = found.pop("all heat")
    middle = np.array(trunk.points)[:, 0].mean()
    into = {n: a for n, a in found.items() if a.points[0][0] < middle}
    return into, {n: a for n, a in found.items() if n not in into}, trunk


@LEDGERS
def test_widths_are_true_to_the_shares_and_out_equals_in(parts: dict[str, float]) -> None:
    into, out, trunk = sides(flow_picture("x", parts))
    total_J = parts["fuel"] - sum(v for v in parts.values() if v < 0)
    whole = np.ptp(np.array(trunk.points)[:, 1])
    for name, area in (into | out).items():
        assert ends(area)[0][2] == pytest.approx(whole * abs(parts[name]) / total_J, rel=1e-9)
    assert sum(ends(a)[0][2] for a in into.values()) == pytest.approx(whole, rel=1e-9)
    assert sum(ends(a)[0][2] for a in out.values()) == pytest.approx(whole, rel=1e-9)


@LEDGERS
def test_bands_touch_along_the_trunk_and_stand_apart_at_their_words(parts: dict[str, float]) -> None:
    into, out, trunk = sides(flow_picture("x", parts))
    top, bottom = (f(y for _, y in trunk.points) for f in (min, max))
    for bands, inner, outer in ((into, 1, 0), (out, 0, 1)):
        at_trunk = sorted(ends(a)[inner][1:] for a in bands.values())
        assert at_trunk[0][0] == pytest.approx(top)
        assert at_trunk[-1][0] + at_trunk[-1][1] == pytest.approx(bottom)
        assert all(y + h == pytest.approx(below) for (y, h), (below, _) in pairwise(at_trunk))
        outside = sorted(ends(a)[outer][1:] for a in bands.values())
        assert all(y + h < below for (y, h), (below, _) in pairwise(outside))


def test_stone_that_gives_heat_back_comes_in_from_the_left() -> None:
    into, out, _ = sides(flow_picture("x", SERVICE))
    assert set(into) == {"fuel", "stone", "dome"} and set(out) == {"food", "gas", "mouth", "shell"}
    into, out, _ = sides(flow_picture("x", NIGHT))
    assert set(into) == {"stone", "dome"} and set(out) == {"gas", "shell"}


def test_each_part_is_labelled_with_word_heat_and_percent() -> None:
    said = [m.text for m in flow_picture("x", HEAT_UP).marks if isinstance(m, Words)]
    # shares of 270 MJ: 52 is 19.26 %, 2 is 0.74 %, 132 is 48.9 %
    assert {"fuel", "270 MJ, 100 %", "stone", "52.0 MJ, 19 %", "2.00 MJ, 0.7 %", "132 MJ, 49 %"} <= set(said)
    said = [m.text for m in flow_picture("x", SERVICE).marks if isinstance(m, Words)]
    # shares of 54 MJ: fuel 66.7 %, stone 25.9 %, dome 7.4 %, food 31.5 %
    assert {"36.0 MJ, 67 %", "14.0 MJ, 26 %", "4.00 MJ, 7.4 %", "17.0 MJ, 31 %"} <= set(said)


def test_what_stays_is_told_from_what_is_gone() -> None:
    picture = flow_picture("x", HEAT_UP)
    inks = {name: area.fill for name, area in areas(picture).items()}
    assert {name for name, ink in inks.items() if ink == "blue"} == {"stone", "dome", "food"}
    key = {m.fill for m in picture.marks if isinstance(m, Disc)}
    assert key == {"blue", "orange"}


@LEDGERS
def test_words_lie_on_the_sheet_and_apart(parts: dict[str, float]) -> None:
    longer = {name: heat for name, heat in parts.items() if name != "shell"}
    longer["shell, from the insulation to the kitchen"] = parts["shell"]
    picture = flow_picture("Where it went", longer)
    boxes = []
    for word in (m for m in picture.marks if isinstance(m, Words)):
        wide = text_width(word.text)
        left = word.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[word.anchor]
        box = (left, word.at[1] - 12, left + wide, word.at[1] + 3)
        assert box[0] >= 0 and box[2] <= WIDE and box[1] >= 0 and box[3] <= picture.height, word.text
        for other, text in boxes:
            clear = box[2] <= other[0] or other[2] <= box[0] or box[3] <= other[1] or other[3] <= box[1]
            assert clear, (word.text, text)
        boxes.append((box, word.text))


def test_words_stand_beside_their_bands_in_order() -> None:
    picture = flow_picture("x", HEAT_UP)
    at = {m.text: m.at for m in picture.marks if isinstance(m, Words)}
    for name in ("stone", "dome", "food", "gas", "shell"):
        _, (x, top, high) = ends(areas(picture)[name])
        assert at[name][0] > x and abs(at[name][1] + 6 - (top + high / 2)) < 12
    assert [at[n][1] for n in ("stone", "dome", "food", "gas", "shell")] == sorted(
        at[n][1] for n in ("stone", "dome", "food", "gas", "shell")
    )


def test_a_small_difference_is_drawn_under_its_own_name() -> None:
    into, out, _ = sides(flow_picture("x", {"fuel": 100e6, "stone": 60e6, "gas": 39.6e6}))
    assert set(into) == {"fuel"} and set(out) == {"stone", "gas", "not accounted for"}
    into, out, _ = sides(flow_picture("x", {"fuel": 100e6, "stone": 60e6, "gas": 40.4e6}))
    assert set(into) == {"fuel", "not accounted for"} and set(out) == {"stone", "gas"}


@pytest.mark.parametrize(
    ("parts", "message"),
    [
        ({"fuel": 100e6, "stone": 60e6, "gas": 39.4e6}, r"0\.60 MJ, 0\.6 %"),
        ({"fuel": 100e6, "stone": 60e6, "gas": 41e6}, "differ"),
        ({"stone": 60e6, "gas": -60e6}, "fuel"),
        ({"fuel": -1.0, "stone": -1.0}, "fuel"),
        ({"fuel": 0.0, "stone": 0.0}, "no heat"),
        ({"fuel": 0.0}, "no heat"),
        ({"fuel": float("nan"), "stone": 1.0}, "fuel"),
        ({"fuel": 1.0, "stone": float("inf")}, "stone"),
    ],
)
def test_a_ledger_that_does_not_add_up_is_refused(parts: dict[str, float], message: str) -> None:
    with pytest.raises(PhysicalRangeError, match=message):
        flow_picture("x", parts)


@given(st.lists(st.floats(-1e8, 1e8), min_size=1, max_size=9))
def test_any_balanced_ledger_is_drawn_in_balance(heats_J: list[float]) -> None:
    surplus = sum(heats_J)
    parts = {f"part {i}": heat for i, heat in enumerate(heats_J)} | {"fuel": max(surplus, 0.0)}
    parts["shell"] = max(-surplus, 0.0)
    assume(sum(abs(heat) for heat in parts.values()) > 1.0)
    picture = flow_picture("x", parts)
    into, out, trunk = sides(picture)
    whole = np.ptp(np.array(trunk.points)[:, 1])
    for bands in (into, out):
        assert sum(ends(a)[0][2] for a in bands.values()) == pytest.approx(whole, rel=1e-6)
    percents = [
        float(p) for m in picture.marks if isinstance(m, Words) for p in re.findall(r", ([\d.]+) %", m.text)
    ]
    assert sum(percents) == pytest.approx(200, abs=0.5 * len(parts) + 0.5)
