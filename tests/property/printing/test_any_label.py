"""Whatever a lot is called, its printed label is read back to its number by ZXing, and says all it must."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.printing.labels import SIZES, TEMPLATE, Label, Size, labels_data
from hearthtide.printing.lot_codes import in_groups, lot_number, lots_meant
from hearthtide.printing.typeset import pdf, png_pages
from read_print import codes_in, edge_is_blank, grey_of, one_bit, words_of, worn

DOTS = 203.2  # an inch: eight a millimetre, the common label printer's
# Letters of many scripts, signs and spaces; control characters nobody types.
NAMES = st.text(st.characters(categories=("L", "N", "P", "S", "Zs", "M")), min_size=1, max_size=40)


def label(lot: str) -> Label:
    return Label(
        lot, "Half chicken", "PAR-COOKED", "raw in law: cook through", "Day 1 Tue 2 Jun 14:10",
        "Last day Wed 3 Jun", "this house's quality", "12 portions",
        "Contains milk; may hold more: ask", True,
    )  # fmt: skip


def both(lot: str) -> set[tuple[str, str]]:
    return {("QRCode", lot_number(lot)), ("Code128", lot_number(lot))}


@settings(max_examples=25, deadline=None)
@given(lot=NAMES, size=st.sampled_from(sorted(SIZES)))
def test_a_label_is_read_back_in_black_and_white(lot: str, size: Size) -> None:
    (page,) = png_pages(TEMPLATE, labels_data((label(lot),), size, "Labels"), DOTS)
    printed = one_bit(grey_of(page))
    assert codes_in(printed) == both(lot)
    assert edge_is_blank(printed)


@settings(max_examples=10, deadline=None)
@given(lot=NAMES)
def test_a_worn_label_is_still_read(lot: str) -> None:
    (page,) = png_pages(TEMPLATE, labels_data((label(lot),), "50x30", "Labels"), DOTS)
    assert codes_in(worn(one_bit(grey_of(page)), 0.6)) == both(lot)
    assert ("QRCode", lot_number(lot)) in codes_in(worn(one_bit(grey_of(page)), 1.0))


@given(lots=st.lists(NAMES, min_size=1, max_size=30, unique=True))
def test_a_number_means_its_own_lot(lots: list[str]) -> None:
    for lot in lots:
        assert lot in lots_meant(in_groups(lot_number(lot)), lots)


@pytest.mark.parametrize("size", sorted(SIZES))
def test_a_number_stands_beside_its_code(size: Size) -> None:
    words = words_of(pdf(TEMPLATE, labels_data((label("Wings 2026-06-02"),), size, "Labels")))
    assert in_groups(lot_number("Wings 2026-06-02")) in words
