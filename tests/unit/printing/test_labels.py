"""Labels as pages: nothing lost, however long the name; sheets of many; black and white alone."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from hearthtide.printing.labels import SIZES, TEMPLATE, Label, Size, labels_data
from hearthtide.printing.lot_codes import lot_number
from hearthtide.printing.typeset import NoRoom, pdf, png_pages
from read_print import codes_in, edge_is_blank, grey_of, one_bit, words_of

ONE = Label(
    "Half chicken 2026-06-02", "Half chicken", "PRE-COOKED", "chilled, ready to eat in law",
    "Day 1 Tue 2 Jun 14:10", "Last day Wed 3 Jun", "this house's quality; rules Mon 8 Jun", "12 portions",
    "Contains wheat, milk; may hold more: ask", True,
)  # fmt: skip
LONG = replace(
    ONE,
    lot="x" * 120,
    name="Wings, brined for a day in buttermilk, smoked over apple wood and glazed with honey",
    contains="Contains celery, crustaceans, egg, fish, milk, molluscs, mustard, sesame; may hold more: ask",
)
ALL = pytest.mark.parametrize("size", sorted(SIZES))


def words(label: Label) -> list[str]:
    return [
        label.name, label.state, label.state_words, label.made, label.last, label.why, label.quantity,
        label.contains, "USE FIRST",
    ]  # fmt: skip


@ALL
@pytest.mark.parametrize("label", [ONE, LONG], ids=["plain", "long"])
def test_all_of_a_label_is_on_its_paper(label: Label, size: Size) -> None:
    if label is LONG and size == "50x30":
        label = replace(label, contains=ONE.contains)  # with all of those too it is refused, see below
    data = labels_data((label,), size, "Labels")
    there = words_of(pdf(TEMPLATE, data))
    assert [one for one in words(label) if one not in there] == []
    (page,) = png_pages(TEMPLATE, data, 203.2)
    assert edge_is_blank(one_bit(grey_of(page)))
    assert codes_in(one_bit(grey_of(page))) >= {("QRCode", lot_number(label.lot))}


def test_what_a_small_label_cannot_say_in_readable_type_is_refused_not_cut() -> None:
    fuller = replace(LONG, name=f"{LONG.name}, {LONG.name}"[:120])
    with pytest.raises(NoRoom, match="x" * 120):
        pdf(TEMPLATE, labels_data((ONE, fuller), "50x30", "Labels"))
    pdf(TEMPLATE, labels_data((ONE, fuller), "70x50", "Labels"))


def test_a_warning_stands_in_place_of_state_and_last_day() -> None:
    there = words_of(
        pdf(TEMPLATE, labels_data((replace(ONE, warning="DO NOT USE: old"),), "50x30", "Labels"))
    )
    assert "DO NOT USE: old" in there
    assert ONE.state not in there and ONE.last not in there


@pytest.mark.parametrize(("size", "mm"), [(one, SIZES[one]) for one in ("50x30", "70x50", "100x50")])
def test_a_roll_has_a_page_of_its_own_size_for_each_label(size: Size, mm: tuple[float, float]) -> None:
    pages = PdfReader(io.BytesIO(pdf(TEMPLATE, labels_data((ONE, ONE, ONE), size, "Labels")))).pages
    assert len(pages) == 3
    found = [float(pages[0].mediabox.width), float(pages[0].mediabox.height)]
    assert found == pytest.approx([one / 25.4 * 72 for one in mm], abs=0.1)  # points of 1/72 inch


def test_a_sheet_takes_24_and_goes_on_on_the_next() -> None:
    many = tuple(replace(ONE, lot=f"lot {n}") for n in range(30))
    pages = png_pages(TEMPLATE, labels_data(many, "a4", "Labels"), 203.2)
    found = [codes_in(one_bit(grey_of(page))) for page in pages]
    assert [len([one for one in page if one[0] == "QRCode"]) for page in found] == [24, 6]
    assert set().union(*found) == {
        (kind, lot_number(f"lot {n}")) for n in range(30) for kind in ("QRCode", "Code128")
    }


def test_a_label_is_black_on_white_alone() -> None:
    (page,) = png_pages(TEMPLATE, labels_data((ONE,), "70x50", "Labels"), 300)
    colours = np.asarray(Image.open(io.BytesIO(page)).convert("RGB")).astype(int)
    assert int(np.ptp(colours, axis=2).max()) == 0


def test_names_of_other_scripts_are_set() -> None:
    there = words_of(
        pdf(TEMPLATE, labels_data((replace(ONE, name="Крылья Πίτσα Żeberka 翼"),), "50x30", "Labels"))
    )
    assert "Крылья Πίτσα Żeberka [U+7FFC]" in there
