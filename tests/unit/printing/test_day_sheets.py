"""The sheets of a day: every word of many rows over pages, the heat-up's bars and curve to scale."""

from __future__ import annotations

import io
from datetime import date
from itertools import combinations

import pytest
from pypdf import PdfReader

from hearthtide.printing.day_sheets import (
    DayLine,
    DaySheet,
    Figure,
    Handover,
    PrepList,
    PrepRow,
    StillThere,
    sheets_data,
    sheets_html,
    sheets_pdf,
)
from hearthtide.printing.heat_up import FlameAt, HeatUpChart, Load, heat_up_pictures
from hearthtide.printing.picture import Area, Line, Picture, Words
from hearthtide.printing.typeset import png_pages, width_em
from hearthtide.safety.cautions import HOUSE_CAUTIONS
from read_print import edge_is_blank, grey_of, words_of

DAY = date(2026, 6, 2)
FIGURES = (
    Figure("Covers", "83", "69 to 100 on 8 nights in ten"),
    Figure("Gas", "61 kWh", "14 kW × 4 h 20 min"),
)
LINES = tuple(
    DayLine(
        36000.0 + 900 * n, 36600.0 + 900 * n if n % 2 else None, f"Cook{n}", f"place {n}", f"thing {n} to do"
    )
    for n in range(40)
)
SHEET = DaySheet("Brindlecote", DAY, LINES, FIGURES, HOUSE_CAUTIONS[:2])
ROWS = tuple(
    PrepRow(n + 1, 32400.0 + 600 * n, 34200.0 + 600 * n, f"Cook{n}", f"Dish {n}", f"{n + 2} portions",
            f"spot {n}", f"{n % 12 + 10}:00", f"par {n} = 0 there + make {n}")
    for n in range(40)
)  # fmt: skip
CHART = HeatUpChart(
    "Brindlecote", DAY, (36000.0, 43200.0, 57600.0, 61200.0), (20.0, 200.0, 330.0, 360.0), (345.0, 370.0),
    61200.0,
    (FlameAt(36000.0, "small, 6 kW"), FlameAt(37800.0, "half, 14 kW"), FlameAt(38000.0, "full, 20 kW")),
    (Load("12 half chickens", 46800.0, 49500.0, "back right", 0), Load("Roots", 48600.0, 50760.0, "left", 1),
     Load("Scrap", 60000.0, 60300.0, "middle", 0)),
    ("Heat and flame at the mouth: long tool, covered arms, face back.",),
)  # fmt: skip
HANDOVER = Handover(
    "Brindlecote", DAY, "Ana", FIGURES, ("Shrimp at 20:40",),
    (StillThere("Half chickens", "3", "last day Wed 3 Jun", "use first"),), ("Gas fitter comes 09:00",),
    HOUSE_CAUTIONS[:1],
)  # fmt: skip


def in_order(words: list[str], there: str) -> list[str]:
    """Those that are not found behind the one before them."""
    at, lost = 0, []
    for one in words:
        found = there.find(one, at)
        if found < 0:
            lost.append(one)
        else:
            at = found + len(one)
    return lost


def test_a_day_of_forty_lines_goes_on_over_pages_with_every_word_in_order() -> None:
    made = sheets_pdf((SHEET,))
    assert len(PdfReader(io.BytesIO(made)).pages) > 1
    there = words_of(made)
    assert in_order([one.words for one in LINES], there) == []
    assert [one for line in LINES for one in (line.who, line.where) if one not in there] == []
    assert [
        one for figure in FIGURES for one in (figure.label, figure.value, figure.sum) if one not in there
    ] == []
    assert [one for one in HOUSE_CAUTIONS[:2] if one not in there] == []
    assert "10:15 to 10:25" in there and "after" not in there


def test_a_prep_list_of_forty_rows_has_them_in_their_order() -> None:
    made = sheets_pdf((PrepList("Brindlecote", DAY, ROWS, (), ("Wash hands.",)),))
    there = words_of(made)
    assert in_order([f"{row.what}, {row.how_much}" for row in ROWS], there) == []
    assert [one for row in ROWS for one in (row.why, f"{row.where}, due {row.due}") if one not in there] == []


def test_a_handover_says_all_and_leaves_out_parts_with_nothing_in_them() -> None:
    there = words_of(sheets_pdf((HANDOVER,)))
    for one in ("Written by Ana.", "Half chickens", "last day Wed 3 Jun", "use first", "Ran out",
                "Shrimp at 20:40",
                "Waits for the morning", "Gas fitter comes 09:00", HOUSE_CAUTIONS[0]):  # fmt: skip
        assert one in there
    bare = words_of(sheets_pdf((Handover("Brindlecote", DAY, "", (), (), (), (), ()),)))
    assert "Ran out" not in bare and "Still there" not in bare and "Handover" in bare


@pytest.mark.parametrize("sheet", [SHEET, PrepList("B", DAY, ROWS, (), ()), CHART, HANDOVER])
def test_nothing_stands_on_the_edge_of_the_paper(sheet: DaySheet | PrepList | HeatUpChart | Handover) -> None:
    for page in png_pages("day_sheets", sheets_data((sheet,)), 60):
        assert edge_is_blank(grey_of(page))


def test_several_sheets_begin_on_pages_of_their_own_and_each_page_says_of_which_it_is() -> None:
    pages = PdfReader(io.BytesIO(sheets_pdf((HANDOVER, CHART, SHEET)))).pages
    texts = [" ".join(page.extract_text().split()) for page in pages]
    assert (
        texts[0].startswith("Handover")
        and texts[1].startswith("Heat-up")
        and texts[2].startswith("Day sheet")
    )
    assert all("Day sheet, Brindlecote, Tuesday 2 June 2026" in one for one in texts[2:])
    assert sheets_html((HANDOVER, CHART, SHEET)).count("<figure") == len(pages)


def test_words_after_midnight_go_on_with_the_clock() -> None:
    late = DaySheet("B", DAY, (DayLine(90000.0, None, "", "", "embers out"),), (), ())
    assert "25:00 embers out" in words_of(sheets_pdf((late,))) or "1:00 embers out" in words_of(
        sheets_pdf((late,))
    )


def test_bars_and_curve_are_to_scale_by_the_clock() -> None:
    (picture,) = heat_up_pictures(CHART)
    (stone,) = [one for one in picture.marks if isinstance(one, Line) and one.name == "stone"]
    per_s = (stone.points[-1][0] - stone.points[0][0]) / (61200 - 36000)
    bars = sorted(
        (one for one in picture.marks if isinstance(one, Area) and one.name == "load"),
        key=lambda one: one.points[0][0],
    )
    for bar, load in zip(bars, sorted(CHART.loads, key=lambda one: one.from_s), strict=True):
        left, right = bar.points[0][0], bar.points[1][0]
        assert left == pytest.approx(stone.points[0][0] + per_s * (load.from_s - 36000))
        assert right - left == pytest.approx(per_s * (load.until_s - load.from_s))
    (band,) = [one for one in picture.marks if isinstance(one, Area) and one.name == "band"]
    per_K = (band.points[2][1] - band.points[0][1]) / 25
    assert stone.points[0][1] - stone.points[2][1] == pytest.approx(310 * per_K)
    assert max(y for bar in bars for _, y in bar.points) < min(y for _, y in stone.points)


@pytest.mark.parametrize("many", [0, 1, 3, 12, 40])
def test_no_bar_and_no_words_lie_on_others_however_many(many: int) -> None:
    loads = tuple(
        Load(f"{n + 1} trays of roots and peppers", 40000.0 + 450 * n, 42500.0 + 450 * n, "back right", n % 4)
        for n in range(many)
    )
    chart = HeatUpChart("B", DAY, CHART.times_s, CHART.floor_C, (345.0, 370.0), None, (), loads, ())
    pictures = heat_up_pictures(chart)
    told = [one.text for picture in pictures for one in picture.marks if isinstance(one, Words)]
    assert sorted(one for one in told if "trays" in one) == sorted(f"{one.name}, back right" for one in loads)
    assert len(pictures) == 1 or many > 3
    for picture in pictures:
        _is_clear(picture)


def _is_clear(picture: Picture) -> None:
    assert picture.height <= 150.0  # mm left on the page below its head
    bars = [
        (min(x for x, _ in one.points), min(y for _, y in one.points), max(x for x, _ in one.points),
         max(y for _, y in one.points))
        for one in picture.marks if isinstance(one, Area) and one.name == "load"
    ]  # fmt: skip
    words = [one for one in picture.marks if isinstance(one, Words) and "trays" in one.text]
    texts = []
    for one in words:
        wide = one.size * width_em(one.text)
        left = one.at[0] - (wide if one.anchor == "end" else 0.0)
        assert left >= 0.0 and left + wide <= picture.width
        # From the top of its capitals to the foot of its descenders: 0.73 and 0.24 of the size in this face.
        texts.append((left, one.at[1] - 0.73 * one.size, left + wide, one.at[1] + 0.24 * one.size))
    assert len(bars) == len(texts)
    assert not any(_meet(a, b) for some in (bars, texts) for a, b in combinations(some, 2))
    assert not any(_meet(text, bar) for n, text in enumerate(texts) for m, bar in enumerate(bars) if n != m)


def _meet(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    apart = 0.01  # mm
    return a[0] < b[2] - apart and b[0] < a[2] - apart and a[1] < b[3] - apart and b[1] < a[3] - apart


@pytest.mark.parametrize(
    ("times_s", "floor_C"),
    [((1.0,), (20.0,)), ((1.0, 2.0), (20.0,)), ((2.0, 1.0), (20.0, 30.0)), ((1.0, 1.0), (2.0, 3.0))],
)
def test_a_curve_that_is_none_is_refused(times_s: tuple[float, ...], floor_C: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="expected"):
        HeatUpChart("B", DAY, times_s, floor_C, (345.0, 370.0), None, (), (), ())
