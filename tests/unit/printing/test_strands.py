"""The landing lines: strands meet at the landing minute, and a late table looks and reads different."""

import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from hearthtide.planning.plan import Plan
from hearthtide.printing.picture import WIDE, svg, text_width
from hearthtide.printing.strands import strand_pictures
from printed_plan import PLATES, SEVEN, house, plan

SVG = "{http://www.w3.org/2000/svg}"


def roots(made: Plan) -> list[ET.Element]:
    return [ET.fromstring(svg(picture, alone=True)) for picture in strand_pictures(made, house())]


def named(root: ET.Element, name: str) -> list[ET.Element]:
    return [e for e in root.iter() if e.get("data-name") == name]


def points(element: ET.Element) -> list[tuple[float, float]]:
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", element.get("d", ""))]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def texts(root: ET.Element) -> dict[str, tuple[float, float]]:
    return {e.text or "": (float(e.get("x", "")), float(e.get("y", ""))) for e in root.iter(f"{SVG}text")}


def minute_x(root: ET.Element) -> tuple[float, float]:
    """x of 19:00 and units per second, from the clock texts over the picture."""
    said = texts(root)
    x1, x2 = said["19:10"][0], said["19:20"][0]
    return x1 - (x2 - x1), (x2 - x1) / 600


def test_strands_start_at_launch_and_leave_the_stone_at_the_pull() -> None:
    root = roots(plan())[0]
    zero, per_s = minute_x(root)
    for item in PLATES:
        strand = points(named(root, item.item)[0])
        assert strand[0][0] == pytest.approx(zero + per_s * (item.stays[0].start_s - SEVEN), abs=0.3)
        assert strand[-1][0] == pytest.approx(zero + per_s * (item.stays[-1].end_s - SEVEN), abs=0.3)


def test_every_strand_of_a_table_ends_in_its_knot() -> None:
    root = roots(plan())[0]
    zero, per_s = minute_x(root)
    knot = named(root, "knot B4")[0]
    at = float(knot.get("cx", "")), float(knot.get("cy", ""))
    assert at[0] == pytest.approx(zero + per_s * 840, abs=0.3)
    ends = [points(e)[-1] for e in root.iter(f"{SVG}path") if e.get("stroke-dasharray") == "1.5 3"]
    assert sum(end == pytest.approx(at, abs=0.2) for end in ends) == 2


def test_the_wanted_minute_is_marked() -> None:
    root = roots(plan())[0]
    zero, per_s = minute_x(root)
    for ticket, wanted_s in (("B4", 840), ("C7", 1160)):
        line = points(named(root, f"wanted {ticket}")[0])
        assert line[0][0] == line[1][0] == pytest.approx(zero + per_s * wanted_s, abs=0.3)


def test_a_late_table_differs_in_shape_and_in_words() -> None:
    root = roots(plan())[0]
    assert named(root, "knot B4")[0].tag == f"{SVG}circle"
    assert named(root, "knot C7")[0].tag == f"{SVG}path"
    said = texts(root)
    assert {"on time", "5:00 late", "wanted 19:19:15", "B4  19:14", "C7  19:24:15"} <= set(said)


def test_lateness_the_house_allows_is_not_called_late() -> None:
    made = plan()
    soon = replace(made.landings[0], planned_s=SEVEN + 900)
    root = roots(replace(made, landings=(soon,)))[0]
    assert "1:00 after" in texts(root)
    assert named(root, "knot B4")[0].tag == f"{SVG}circle"


def test_a_second_drop_is_named() -> None:
    made = plan()
    root = roots(replace(made, landings=(replace(made.landings[0], drop=2),)))[0]
    assert {"B4  19:14", "drop 2, 2 covers"} <= set(texts(root))


def test_a_minute_wanted_long_ago_does_not_squeeze_the_picture() -> None:
    made = plan()
    long_ago = replace(made.landings[1], wanted_s=SEVEN - 2 * 3600)
    root = roots(replace(made, landings=(made.landings[0], long_ago)))[0]
    assert not named(root, "wanted C7")
    assert "2 h 24 min late" in texts(root)
    _, per_s = minute_x(root)
    assert per_s * 600 > 60


def crowd(many: int, apart_s: int) -> Plan:
    made = plan()
    landings = tuple(
        replace(
            made.landings[0],
            ticket=f"T{i}",
            planned_s=SEVEN + 840 + i * apart_s,
            wanted_s=SEVEN + 840 + i * apart_s,
        )
        for i in range(many)
    )
    return replace(made, landings=landings)


def test_a_crowded_night_takes_more_pictures_and_loses_no_table() -> None:
    drawn = roots(crowd(60, 30))
    knots = [e.get("data-name") for root in drawn for e in root.iter() if "knot" in e.get("data-name", "")]
    assert sorted(k or "" for k in knots) == sorted(f"knot T{i}" for i in range(60))
    heights = [float(root.get("height", "")) for root in drawn]
    assert max(heights) < 1050  # an A4 page less its margins is 273 mm, 1057 units at 720 to 186 mm
    assert len(drawn) > 1


def test_words_keep_apart_and_on_the_sheet() -> None:
    for root in roots(crowd(12, 200)):
        said = [
            (float(e.get("x", "")), float(e.get("y", "")), e.text or "", e.get("text-anchor"))
            for e in root.iter(f"{SVG}text")
        ]
        boxes = []
        for x, y, text, anchor in said:
            wide = text_width(text)
            left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor or ""]
            assert left >= 0 and left + wide <= WIDE, text
            boxes.append((left, left + wide, y, text))
        for i, (l1, r1, y1, t1) in enumerate(boxes):
            for l2, r2, y2, t2 in boxes[:i]:
                assert abs(y1 - y2) >= 13 or r1 <= l2 or r2 <= l1, (t1, t2)


def test_a_table_of_sixty_plates_still_fits_a_page() -> None:
    made = plan()
    many = tuple(replace(PLATES[0], item=f"B4-{i}") for i in range(60))
    landing = replace(made.landings[0], items=tuple(p.item for p in many))
    root = roots(replace(made, items=many, landings=(landing,)))[0]
    assert float(root.get("height", "")) < 1050
    starts = sorted(points(named(root, p.item)[0])[0][1] for p in many)
    assert min(b - a for a, b in itertools.pairwise(starts)) > 13
