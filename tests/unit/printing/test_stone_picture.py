"""The stone's picture, read back from its SVG: to scale, mouth at the bottom, left is left."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from hearthtide.oven.design import Burner, Crown, FlameLevel, Mouth, OvenDesign
from hearthtide.oven.hearth import Hearth, RectangularHearth, RoundHearth
from hearthtide.planning.plan import StoneMap
from hearthtide.printing.picture import Area, svg, text_width
from hearthtide.printing.sheet import Sheet, fires
from hearthtide.printing.standing import standing_at
from hearthtide.printing.stone import dot_size, legend, stone_picture
from printed_plan import PLATES, SEVEN, house, plan

SVG = "{http://www.w3.org/2000/svg}"
AT_S = SEVEN + 660  # B4's pizza and chicken are on the stone
RIBBON = Burner("ribbon", bearing_deg=-45.0, length_m=0.5, standoff_m=0.08)


def design(hearth: Hearth, *burners: Burner, mouth_m: float = 0.5) -> OvenDesign:
    return OvenDesign(
        name="Test hearth",
        hearth=hearth,
        crown=Crown("dome", 0.0, 0.42),
        mouth=Mouth(mouth_m, 0.25),
        floor=(),
        walls=(),
        burners=burners,
        fuel="natural_gas",
        levels=(FlameLevel("low", 7_000.0), FlameLevel("full", 30_000.0)),
    )


ROUND = design(RoundHearth(1.2, 0.5), RIBBON)
DEEP = design(
    RectangularHearth(0.9, 1.2),
    Burner("ribbon", bearing_deg=-90.0, length_m=0.6, standoff_m=0.05, share=0.75),
    Burner("ribbon", bearing_deg=90.0, length_m=0.4, standoff_m=0.10, share=0.25),
)
BED = design(RectangularHearth(1.5, 1.0), Burner("bed", bearing_deg=-90.0, breadth_m=0.30, standoff_m=0.20))
WIDE_MOUTH = design(RoundHearth(0.8, 0.64), Burner("cluster", breadth_m=0.12, standoff_m=0.12), mouth_m=0.64)
SHAPES = pytest.mark.parametrize("oven", [ROUND, DEEP, BED, WIDE_MOUTH], ids=["round", "deep", "bed", "wide"])


def picture(at_s: int = AT_S, with_map: bool = True) -> ET.Element:
    made = plan()
    stone = made.oven.maps[0] if with_map else None
    return ET.fromstring(svg(stone_picture(made, house(), ROUND, stone, at_s), alone=True))


def named(root: ET.Element, name: str) -> list[ET.Element]:
    return [e for e in root.iter() if e.get("data-name") == name]


def points(element: ET.Element) -> list[tuple[float, float]]:
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", element.get("d", ""))]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def text_at(root: ET.Element, words: str) -> tuple[float, float]:
    found = [e for e in root.iter(f"{SVG}text") if e.text == words]
    assert len(found) == 1, words
    return float(found[0].get("x", "")), float(found[0].get("y", ""))


def scale_and_middle(root: ET.Element) -> tuple[float, float]:
    """Units per metre and the sheet's x of the hearth's middle, from the drawn wall: it is 1.2 m across."""
    across = [x for x, _ in points(named(root, "wall")[0])]
    return (max(across) - min(across)) / 1.2, (max(across) + min(across)) / 2


def test_a_pizza_is_drawn_to_the_hearths_scale() -> None:
    root = picture()
    scale, middle = scale_and_middle(root)
    pizza = named(root, "B4 pizza")[0]
    assert float(pizza.get("r", "")) == pytest.approx(0.14 * scale, rel=0.01)
    assert float(pizza.get("cx", "")) == pytest.approx(middle - 0.25 * scale, abs=0.2)


def test_a_pan_is_drawn_as_wide_and_deep_as_it_is_laid() -> None:
    root = picture()
    scale, middle = scale_and_middle(root)
    corners = points(named(root, "B4 half chicken")[0])
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    assert max(xs) - min(xs) == pytest.approx(0.20 * scale, abs=0.2)
    assert max(ys) - min(ys) == pytest.approx(0.26 * scale, abs=0.2)
    assert (max(xs) + min(xs)) / 2 == pytest.approx(middle + 0.30 * scale, abs=0.2)


def test_the_mouth_is_at_the_bottom_and_depth_goes_up() -> None:
    root = picture()
    scale, _ = scale_and_middle(root)
    sill = points(named(root, "sill")[0])
    assert sill[0][1] == sill[1][1]
    assert abs(sill[0][0] - sill[1][0]) == pytest.approx(0.50 * scale, abs=0.2)  # the mouth is 50 cm wide
    lowest = max(y for _, y in points(named(root, "wall")[0]))
    assert sill[0][1] == pytest.approx(lowest, abs=0.1)
    assert float(named(root, "B4 pizza")[0].get("cy", "")) == pytest.approx(
        sill[0][1] - 0.40 * scale, abs=0.2
    )
    assert text_at(root, "mouth")[1] > sill[0][1]


def test_left_is_left() -> None:
    root = picture()
    _, middle = scale_and_middle(root)
    assert text_at(root, "left")[0] < middle < text_at(root, "right")[0]
    flame = points(named(root, "flame")[0])
    assert max(x for x, _ in flame) < middle  # the ribbon's middle bears -45 degrees: back left
    hearth_y = [y for _, y in points(named(root, "wall")[0])]
    assert max(y for _, y in flame) < (min(hearth_y) + max(hearth_y)) / 2


def test_the_flames_ribbon_lies_off_the_wall_as_far_as_the_house_says() -> None:
    root = picture()
    scale, middle = scale_and_middle(root)
    top = min(y for _, y in points(named(root, "wall")[0]))
    centre = (middle, top + 0.6 * scale)
    away = [((x - centre[0]) ** 2 + (y - centre[1]) ** 2) ** 0.5 for x, y in points(named(root, "flame")[0])]
    assert min(away) == pytest.approx(0.52 * scale, abs=0.3)
    assert max(away) == pytest.approx(0.52 * scale, abs=0.3)


@pytest.mark.parametrize(
    ("facing_deg", "side"), [(0.0, (0, -1)), (90.0, (1, 0)), (180.0, (0, 1)), (270.0, (-1, 0))]
)
def test_the_wedge_points_where_the_leading_edge_does(facing_deg: float, side: tuple[int, int]) -> None:
    made = plan()
    moves = tuple(replace(m, facing_deg=facing_deg) for m in made.moves if m.item == "B4-1")
    made = replace(made, moves=moves)
    drawn = svg(stone_picture(made, house(), ROUND, None, AT_S), alone=True)
    root = ET.fromstring(drawn)
    pizza = named(root, "B4 pizza")[0]
    x, y, r = (float(pizza.get(k, "")) for k in ("cx", "cy", "r"))
    tip = points(named(root, "leading edge")[0])[0]
    assert ((tip[0] - x) / r > 1) == (side[0] > 0) and ((tip[0] - x) / r < -1) == (side[0] < 0)
    assert ((tip[1] - y) / r > 1) == (side[1] > 0) and ((tip[1] - y) / r < -1) == (side[1] < 0)


def test_facing_is_that_of_the_last_move_before() -> None:
    made = plan()
    turned = replace(made.moves[0], item="B4-1", start_s=AT_S - 5, facing_deg=200.0)
    later = replace(turned, start_s=AT_S + 5, facing_deg=300.0)
    made = replace(made, moves=(*made.moves, later, turned))
    facing = {s.dish: s.facing_deg for s in standing_at(made, house(), AT_S)}
    assert facing == {"pizza": 200.0, "half chicken": 0.0}


def test_only_what_stands_there_is_drawn() -> None:
    late = picture(SEVEN + 1320)
    assert not named(late, "B4 pizza")
    assert len(named(late, "C7 pizza")) == 2
    assert standing_at(plan(), house(), PLATES[0].stays[0].end_s) == ()


def test_an_item_being_moved_is_drawn_once_at_its_new_place() -> None:
    made = plan()
    first = PLATES[1].stays[0]
    second = replace(first, start_s=first.end_s - 10, end_s=first.end_s + 100, x_m=-0.2)
    moved = replace(PLATES[1], stays=(first, second))
    found = standing_at(replace(made, items=(moved,)), house(), first.end_s - 5)
    assert [s.stay.x_m for s in found] == [-0.2]


def test_hotter_stone_has_larger_dots() -> None:
    sizes = [dot_size(t) for t in (150, 200, 250, 325, 400, 450, 600)]
    assert sizes == sorted(sizes)
    assert sizes[0] == sizes[1] and sizes[-1] == sizes[-2]
    assert len(set(sizes[1:-1])) == 5
    root = picture()
    _, middle = scale_and_middle(root)
    mean = {True: [0.0, 0.0], False: [0.0, 0.0]}
    for path in (e for e in root.iter(f"{SVG}path") if e.get("stroke-linecap") == "round"):
        for x in re.findall(r"M([\d.]+) ", path.get("d", "")):
            mean[float(x) < middle][0] += float(path.get("stroke-width", ""))
            mean[float(x) < middle][1] += 1
    left, right = (mean[side][0] / mean[side][1] for side in (True, False))
    assert left > right  # the map is hotter to the left


def test_temperatures_in_print_are_the_maps_and_stand_clear_of_items() -> None:
    root = picture()
    scale, middle = scale_and_middle(root)
    pizza = named(root, "B4 pizza")[0]
    px, py, r = (float(pizza.get(k, "")) for k in ("cx", "cy", "r"))
    figures = [e for e in root.iter(f"{SVG}text") if re.fullmatch(r"\d{3}", e.text or "")]
    assert len(figures) >= 4
    for figure in figures:
        x, y = float(figure.get("x", "")), float(figure.get("y", ""))
        expected = 350.0 - 100.0 * (x - middle) / scale
        assert abs(int(figure.text or "") - expected) <= 100.0 * 0.05 + 1  # half a cell of 10 cm
        assert ((x - px) ** 2 + (y - py) ** 2) ** 0.5 > r


def test_without_a_map_there_is_no_texture_and_no_temperature() -> None:
    root = picture(with_map=False)
    assert not [e for e in root.iter(f"{SVG}path") if e.get("stroke-linecap") == "round"]
    assert not [e for e in root.iter(f"{SVG}text") if re.fullmatch(r"\d{3}", e.text or "")]
    assert named(root, "B4 pizza")


def test_the_flame_at_the_minute_is_named() -> None:
    assert text_at(picture(), "flame low, 7 kW")[1] < 30
    assert text_at(picture(SEVEN - 8000, with_map=False), "flame not lit")[1] < 30


def test_an_item_without_outline_is_refused() -> None:
    made = plan()
    bare = replace(PLATES[0], stays=(replace(PLATES[0].stays[0], diameter_m=None),))
    with pytest.raises(ValueError, match="B4 pizza"):
        stone_picture(replace(made, items=(bare,)), house(), ROUND, None, AT_S)


def test_words_of_a_small_item_stand_beside_it_inside_the_sheet() -> None:
    made = plan()
    small = replace(
        PLATES[0], stays=(replace(PLATES[0].stays[0], diameter_m=0.12, x_m=0.5, y_m=0.55),), diameter_m=0.12
    )
    drawn = svg(stone_picture(replace(made, items=(small,)), house(), ROUND, None, AT_S), alone=True)
    root = ET.fromstring(drawn)
    x, y = text_at(root, "B4 pizza")
    circle = named(root, "B4 pizza")[0]
    cx, cy, r = (float(circle.get(k, "")) for k in ("cx", "cy", "r"))
    assert x >= 0 and x + 8 * 15.5 * 0.6 <= 344
    assert y - 12 > cy + r or y < cy - r or x > cx + r or x + 8 * 15.5 * 0.6 < cx - r


def test_the_legend_names_its_marks() -> None:
    words = [e.text for e in ET.fromstring(svg(legend(), alone=True)).iter(f"{SVG}text")]
    assert set(words) >= {"250", "450", "leading edge"}


def drawn(oven: OvenDesign, at_s: int = AT_S) -> ET.Element:
    """A plan with nothing on the stone, over a map hotter to the left: 350 - 100 x."""
    made = plan()
    places = [(-0.725 + 0.05 * i, 0.025 + 0.05 * j) for j in range(24) for i in range(30)]
    cells = tuple(p for p in places if oven.hearth.room_m(np.array(p)) > 0)
    stone = StoneMap(at_s, tuple(350.0 - 100.0 * x for x, _ in cells))
    made = replace(made, items=(), oven=replace(made.oven, cells_m=cells, cell_side_m=0.05, maps=(stone,)))
    return ET.fromstring(svg(stone_picture(made, house(), oven, stone, at_s), alone=True))


def extent(corners: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize(
    ("oven", "wide_m", "deep_m"), [(DEEP, 0.9, 1.2), (BED, 1.5, 1.0)], ids=["deep", "wide"]
)
def test_a_rectangle_is_drawn_to_scale_and_open_at_the_mouth(
    oven: OvenDesign, wide_m: float, deep_m: float
) -> None:
    root = drawn(oven)
    wall = points(named(root, "wall")[0])
    left, top, right, bottom = extent(wall)
    scale = (344 - 20) / max(wide_m, deep_m)  # the sheet less 10 on either side
    assert right - left == pytest.approx(wide_m * scale, abs=0.2)
    assert bottom - top == pytest.approx(deep_m * scale, abs=0.2)
    assert (left + right) / 2 == pytest.approx(172, abs=0.1)
    assert wall[0][1] == wall[-1][1] == bottom
    assert wall[0][0] - wall[-1][0] == pytest.approx(0.5 * scale, abs=0.2)  # the mouth is 50 cm wide


def test_each_ribbon_lies_off_its_own_wall() -> None:
    root = drawn(DEEP)
    left, top, right, bottom = extent(points(named(root, "wall")[0]))
    scale = (bottom - top) / 1.2
    one, other = (points(e) for e in named(root, "flame"))
    assert [x for x, _ in one] == pytest.approx([left + 0.05 * scale] * len(one), abs=0.1)
    assert [x for x, _ in other] == pytest.approx([right - 0.10 * scale] * len(other), abs=0.1)
    for ribbon, length_m in ((one, 0.6), (other, 0.4)):
        ys = [y for _, y in ribbon]
        assert max(ys) - min(ys) == pytest.approx(length_m * scale, abs=0.2)
        assert (max(ys) + min(ys)) / 2 == pytest.approx((top + bottom) / 2, abs=0.2)


def test_tongues_point_inward_and_the_stronger_fire_has_the_longer_ones() -> None:
    root = drawn(DEEP)
    tongues = [points(e) for e in named(root, "tongue")]
    reach = [t[1][0] - (t[0][0] + t[2][0]) / 2 for t in tongues]  # the tip is the middle corner
    assert len(tongues) == 18
    assert min(reach[:9]) > 0 > max(reach[9:])  # from the left wall to the right, and back
    # 3 cm and 9 cm more at full flame of the strongest burner: 7 of 30 kW, a third of that for the weaker
    assert reach[0] == pytest.approx((0.03 + 0.09 * 7 / 30) * 270, abs=0.2)
    assert -reach[9] == pytest.approx((0.03 + 0.09 * 7 / 90) * 270, abs=0.2)


def test_a_round_fire_is_a_disc_to_scale() -> None:
    root = drawn(BED)
    left, top, right, bottom = extent(points(named(root, "wall")[0]))
    scale = (right - left) / 1.5
    disc = named(root, "flame")[0]
    assert disc.tag == f"{SVG}circle"
    assert float(disc.get("r", "")) == pytest.approx(0.15 * scale, abs=0.1)
    assert float(disc.get("cx", "")) == pytest.approx(left + 0.20 * scale, abs=0.1)
    assert float(disc.get("cy", "")) == pytest.approx((top + bottom) / 2, abs=0.1)


def test_a_fire_below_the_floor_is_not_drawn_on_it() -> None:
    assert not named(drawn(design(RoundHearth(1.0, 0.5), Burner("under"))), "flame")


def test_a_fire_in_the_very_middle_leans_to_the_mouth() -> None:
    sheet = Sheet(design(RoundHearth(1.0, 0.5), Burner("bed", breadth_m=0.2, standoff_m=0.5)))
    tongues = [mark for mark in fires(sheet, 7_000.0) if isinstance(mark, Area)]
    middle = sheet.at(*sheet.design.hearth.centre_m)
    assert sum(tongue.points[1][1] - middle[1] for tongue in tongues) > 0  # y grows toward the mouth
    assert sum(tongue.points[1][0] - middle[0] for tongue in tongues) == pytest.approx(0, abs=1e-6)


@SHAPES
def test_figures_and_dots_stay_on_the_stone_and_off_the_fires(oven: OvenDesign) -> None:
    root = drawn(oven)
    left, _, right, bottom = extent(points(named(root, "wall")[0]))
    scale = (right - left) / oven.hearth.width_m
    figures = [e for e in root.iter(f"{SVG}text") if re.fullmatch(r"\d{3}", e.text or "")]
    assert len(figures) >= 6
    for figure in figures:
        x = (float(figure.get("x", "")) - 172) / scale
        y = (bottom - float(figure.get("y", "")) + 15.5 * 0.36) / scale
        assert oven.hearth.room_m(np.array([x, y])) > 0.03
        assert oven.flame_distance_m(np.array([[x, y]]))[0] > 0.08
        assert abs(int(figure.text or "") - (350 - 100 * x)) <= 100 * 0.025 + 1  # half a cell of 5 cm
    for path in (e for e in root.iter(f"{SVG}path") if e.get("stroke-linecap") == "round"):
        dots = re.findall(r"M([\d.]+) ([\d.]+)h0", path.get("d", ""))
        at = np.array([((float(x) - 172) / scale, (bottom - float(y)) / scale) for x, y in dots])
        assert oven.hearth.room_m(at).min() > 0
        assert oven.flame_distance_m(at).min() > 0.06 - 0.002


@SHAPES
def test_words_lie_on_the_sheet_apart_and_off_the_stone(oven: OvenDesign) -> None:
    root = drawn(oven)
    height = float(root.get("height", ""))
    _, _, _, bottom = extent(points(named(root, "wall")[0]))
    words = ("left", "right", "mouth", "you stand here", "10 cm", "20 cm")
    boxes = [word_box(e) for e in root.iter(f"{SVG}text") if e.text in words]
    assert len(boxes) == 5
    scale = 324 / max(oven.hearth.width_m, oven.hearth.depth_m)
    for i, (l1, t1, r1, b1) in enumerate(boxes):
        assert l1 >= 0 and r1 <= 344 and b1 <= height
        corners = np.array([((x - 172) / scale, (bottom - y) / scale) for x in (l1, r1) for y in (t1, b1)])
        assert oven.hearth.room_m(corners).max() < 0.01
        for l2, t2, r2, b2 in boxes[:i]:
            assert r1 <= l2 or r2 <= l1 or b1 <= t2 or b2 <= t1


def word_box(element: ET.Element) -> tuple[float, float, float, float]:
    """About where a line of text lies: its letters reach 0.75 of the size above the baseline."""
    x, y, size = (float(element.get(k, "")) for k in ("x", "y", "font-size"))
    wide = text_width(element.text or "", size)
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[element.get("text-anchor", "start")]
    return left, y - 0.75 * size, left + wide, y + 0.2 * size


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    for oven in (ROUND, DEEP, design(RectangularHearth(0.4, 0.5), mouth_m=0.3)):
        root = drawn(oven)
        bar = [x for x, _ in points(named(root, "length")[0])]
        said = next(e.text or "" for e in root.iter(f"{SVG}text") if (e.text or "").endswith(" cm"))
        scale = 324 / max(oven.hearth.width_m, oven.hearth.depth_m)
        assert max(bar) - min(bar) == pytest.approx(float(said.removesuffix(" cm")) / 100 * scale, abs=0.2)
