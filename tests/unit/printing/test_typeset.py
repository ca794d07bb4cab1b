"""The layer that all prints go through: fonts, bytes, breaks, what lacks room or a letter."""

from __future__ import annotations

import io
import re
from datetime import date

import pytest
from pypdf import PdfReader

from hearthtide.printing.day_sheets import DayLine, DaySheet, sheets_data, sheets_html, sheets_pdf
from hearthtide.printing.labels import Label, labels_data
from hearthtide.printing.typeset import NoRoom, fonts, pdf, png_pages, shown, svg_pages, width_em
from read_print import grey_of, words_of


def sheet(*words: str) -> DaySheet:
    lines = tuple(DayLine(36000.0 + 600 * n, None, "Ana", "hearth", one) for n, one in enumerate(words))
    return DaySheet("Brindlecote", date(2026, 6, 2), lines, (), ())


def test_every_face_is_in_the_file_and_none_is_the_machines() -> None:
    made = PdfReader(io.BytesIO(sheets_pdf((sheet("Light the gas"),))))
    faces = {
        str(one["/FontName"]): any(str(key).startswith("/FontFile") for key in one)
        for page in made.pages
        for font in page["/Resources"]["/Font"].values()
        for one in (font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object(),)
    }
    assert faces and all(faces.values())
    assert {name.partition("+")[2] for name in faces} <= {"DejaVuSans", "DejaVuSans-Bold"}
    assert all("matplotlib" in str(font.path) for font in fonts().fonts())


def test_equal_words_give_equal_bytes_whenever_they_are_printed() -> None:
    one = sheets_pdf((sheet("Light the gas"),))
    assert one == sheets_pdf((sheet("Light the gas"),))
    assert one != sheets_pdf((sheet("Light the wood"),))
    told = PdfReader(io.BytesIO(one)).metadata
    assert told is not None and told.creation_date is None and told.modification_date is None


def test_the_screen_fetches_nothing_and_shows_the_same_pages() -> None:
    some = (sheet(*(f"line {n} of the day" for n in range(40))),)
    screen = sheets_html(some)
    asked = re.findall(r"(?:src|href|url\()\s*=?\s*[\"']?([^\"')\s>]+)", screen)
    assert all(one.startswith("#") for one in asked)
    assert screen.count("<figure") == len(PdfReader(io.BytesIO(sheets_pdf(some))).pages)
    assert screen.count("<figure") == len(svg_pages("day_sheets", sheets_data(some)))


def test_letters_the_fonts_lack_are_named_and_others_are_set() -> None:
    assert shown({"a": ["Крылья", "翼"]}) == {
        "a": ["Крылья", "[U+7FFC]"],
        "missing": "Written by their numbers in Unicode, for the fonts of this print lack them: [U+7FFC].",
    }
    words = words_of(sheets_pdf((sheet("Крылья, Πίτσα, Żeberka"), sheet("翼"))))
    assert "Крылья, Πίτσα, Żeberka" in words and "[U+7FFC]" in words and "fonts of this print lack" in words


def test_markup_is_words_and_nothing_more() -> None:
    words = words_of(sheets_pdf((sheet("#panic() *bold* $x$ <b>&amp;", '"quoted" \\ #sys'),)))
    assert "#panic() *bold* $x$ <b>&amp;" in words and '"quoted" \\ #sys' in words


def test_a_word_wider_than_the_page_is_broken_and_none_of_it_lost() -> None:
    long = "x" * 400
    assert words_of(sheets_pdf((sheet(long),))).replace(" ", "").count("x") >= 400
    (page,) = png_pages("day_sheets", sheets_data((sheet(long),)), 60)
    assert int(grey_of(page)[:, -10:].min()) == 255


def test_what_has_no_room_in_readable_type_is_refused() -> None:
    full = Label(
        "a lot", "n" * 120, "RAW", "cook through", "Day 1", "Last day", "", "12 portions", "m, " * 60
    )
    with pytest.raises(NoRoom, match="a lot"):
        pdf("labels", labels_data((full,), "50x30", "Labels"))
    pdf("labels", labels_data((full,), "100x50", "Labels"))


def test_words_are_as_wide_as_their_face_says() -> None:
    # DejaVu Sans 2.37, by the widths in its table of glyphs: of 2048 units a digit 1303, a space 651, W 2025.
    assert width_em("7") == pytest.approx(1303 / 2048, abs=0.002)
    assert width_em(" ") == pytest.approx(651 / 2048, abs=0.002)
    assert width_em("WW") == pytest.approx(2 * 2025 / 2048, abs=0.004)
