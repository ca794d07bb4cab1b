"""The number of a lot and its codes, beside published values and what ZXing reads of bare modules."""

from __future__ import annotations

import numpy as np
import pytest

from hearthtide.printing.lot_codes import Code, code_128, fnv1a_64, in_groups, lot_number, lots_meant, qr
from read_print import codes_in


def raster(code: Code, across: int, up: int, quiet: int) -> np.ndarray:
    """Each module so many dots wide and high, in a quiet margin of so many modules."""
    page = np.full((code.height * up + 2 * quiet * across, (code.width + 2 * quiet) * across), 255, np.uint8)
    for x, y, wide, high in code.dark:
        left, top = (x + quiet) * across, y * up + quiet * across
        page[top : top + high * up, left : left + wide * across] = 0
    return page


@pytest.mark.parametrize(
    ("text", "hash"),
    # Test vectors of the IETF draft-eastlake-fnv, FNV-1a of 64 bits.
    [("", 0xCBF29CE484222325), ("a", 0xAF63DC4C8601EC8C), ("foobar", 0x85944171F73967E8)],
)
def test_the_hash_is_the_published_one(text: str, hash: int) -> None:
    assert fnv1a_64(text.encode()) == hash


def test_a_number_has_ten_digits_zeros_in_front_kept() -> None:
    assert lot_number("foobar") == "1332436968"  # 0x85944171f73967e8 is 9625390261332436968
    named = [f"lot {n}" for n in range(300)]
    numbers = [lot_number(name) for name in named]
    assert {len(one) for one in numbers} == {10}
    assert any(one.startswith("0") for one in numbers)
    assert len(set(numbers)) == 300


def test_a_code_128_of_pairs_of_digits_is_as_long_as_its_standard_says() -> None:
    # ISO/IEC 15417 (from memory): 11 modules for the start, each pair and the check, 13 for the stop.
    code = code_128("0482913557")
    assert code.width == 11 * (1 + 5 + 1) + 13
    assert code.dark[0][:1] == (0,) and code.dark[-1][0] + code.dark[-1][2] == code.width


def test_a_qr_code_of_ten_digits_is_of_the_smallest_kind_with_the_most_correction() -> None:
    # ISO/IEC 18004 (from memory): version 1 is 21 modules and holds 17 digits at level H.
    assert (qr("0482913557").width, qr("0482913557").height) == (21, 21)


def test_bare_modules_are_read() -> None:
    assert codes_in(raster(qr("0482913557"), 3, 3, 4)) == {("QRCode", "0482913557")}
    assert codes_in(raster(code_128("0482913557"), 2, 60, 10)) == {("Code128", "0482913557")}


def test_a_name_comes_before_a_number_and_two_of_one_number_are_both_meant() -> None:
    number = lot_number("Dip")
    assert lots_meant(in_groups(number), ["Dip", number]) == ("Dip",)
    assert lots_meant(number, ["Dip", number]) == (number,)
    assert lots_meant("nothing", ["Dip"]) == ()


@pytest.mark.parametrize("pair", range(100))
def test_every_pair_of_digits_is_read_at_either_end(pair: int) -> None:
    # Some writers take a first pair of 99 for a change of the character set.
    said = f"{pair:02}04829135", f"48291355{pair:02}"
    for one in said:
        assert codes_in(raster(code_128(one), 2, 60, 10)) == {("Code128", one)}


@pytest.mark.parametrize("bad", ["123", "12a4", "", "١٢"])
def test_nothing_but_pairs_of_digits_becomes_a_code(bad: str) -> None:
    with pytest.raises(ValueError, match="even number of digits"):
        code_128(bad)
