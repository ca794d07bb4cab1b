"""What a scanner reads of a lot: a number of ten digits worked out from its name, as QR and as Code 128.

The number and not the name: a scanner types what it reads as on a keyboard, and digits come through every
keyboard's language; few modules stay large enough for a label printer, flour and grease.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

# FNV-1a, 64 bits: offset basis and prime of the published description (IETF draft-eastlake-fnv).
FNV_BASIS, FNV_PRIME = 0xCBF29CE484222325, 0x100000001B3
# Code 128 (ISO/IEC 15417, from memory; each pair is read back in the tests): the modules of bar, space, bar,
# space, bar, space of the values 0 to 105, six digits each. 105 begins a code of pairs of digits.
WIDTHS = (
    "212222222122222221121223121322131222122213122312132212221213221312231212112232122132122231113222"
    "123122123221223211221132221231213212223112312131311222321122321221312212322112322211212123212321"
    "232121111323131123131321112313132113132311211313231113231311112133112331132131113123113321133121"
    "313121211331231131213113213311213131311123311321331121312113312311332111314111221411431111111224"
    "111422121124121421141122141221112214112412122114122411142112142211241211221114413111241112134111"
    "111242121142121241114212124112124211411212421112421211212141214121412121111143111341131141114113"
    "114311411113411311113141114131311141411131211412211214211232"
)
START_C, STOP = 105, "2331112"
DIGITS = 10  # two of a thousand lots share a number once in 20 000 such houses; a reader names both


@dataclass(frozen=True)
class Code:
    """A code's dark parts as (left, top, width, height), and its size, all in modules."""

    width: int
    height: int
    dark: tuple[tuple[int, int, int, int], ...]


def fnv1a_64(data: bytes) -> int:
    """The FNV-1a hash of some bytes.

    >>> hex(fnv1a_64(b""))
    '0xcbf29ce484222325'
    """
    found = FNV_BASIS
    for byte in data:
        found = (found ^ byte) * FNV_PRIME % 2**64
    return found


def lot_number(lot: str) -> str:
    """The number on a lot's label: of its name alone, so that every screen finds it without asking."""
    return f"{fnv1a_64(lot.encode()) % 10**DIGITS:0{DIGITS}}"


def in_groups(number: str) -> str:
    """As people read it.

    >>> in_groups("0482913557")
    '0482 913 557'
    """
    return f"{number[:4]} {number[4:7]} {number[7:]}"


def lots_meant(said: str, lots: Sequence[str]) -> tuple[str, ...]:
    """The lots that a scanned or typed word means: by name, or by number with or without its gaps."""
    text = said.strip()
    if text in lots:
        return (text,)
    number = text.replace(" ", "")
    return tuple(lot for lot in lots if lot_number(lot) == number)


def qr(text: str) -> Code:
    """A QR code with the most error correction there is, without its quiet margin of four modules."""
    import segno

    rows = [bytes(row) for row in segno.make_qr(text, error="h").matrix]
    dark = tuple((x, y, many, 1) for y, row in enumerate(rows) for x, many in _runs(row))
    return Code(len(rows[0]), len(rows), dark)


def code_128(digits: str) -> Code:
    """A Code 128 of an even number of digits, one module high, without its quiet margins of ten modules.

    ValueError for anything else.
    """
    if not digits.isascii() or not digits.isdigit() or len(digits) % 2:
        raise ValueError(f"expected an even number of digits, found {digits!r}")
    values = [START_C, *(int(digits[i : i + 2]) for i in range(0, len(digits), 2))]
    check = (values[0] + sum(place * value for place, value in enumerate(values))) % 103
    widths = "".join(WIDTHS[6 * value : 6 * value + 6] for value in (*values, check)) + STOP
    dark, x = [], 0
    for bar, space in zip(widths[::2], [*widths[1::2], "0"], strict=True):
        dark.append((x, 0, int(bar), 1))
        x += int(bar) + int(space)
    return Code(x, 1, tuple(dark))


def _runs(row: bytes) -> list[tuple[int, int]]:
    """Where dark stretches begin and how long they are."""
    found, x = [], 0
    for dark, stretch in groupby(row):
        many = len(list(stretch))
        if dark:
            found.append((x, many))
        x += many
    return found
