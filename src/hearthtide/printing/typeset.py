"""Pages from a template and plain data, by typst: PDF for paper, the same pages as SVG for a screen, PNG.

The template is a .typ file beside this one, set behind `common.typ`; the data goes in as JSON and is set as
text, never as markup. Fonts are those that come with matplotlib, so that nothing is asked of the machine or
the network. Equal data gives equal bytes, for one version of typst.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, is_dataclass
from functools import cache
from html import escape
from pathlib import Path
from typing import Any, Literal

from hearthtide.errors import HearthtideError

HERE = Path(__file__).parent
LONG_WORD = re.compile(r"[^\s\u200b]{19,}")  # may break anywhere, lest it run off the paper; own choice
BREAK = "\u200b"  # where a line may break though nothing is seen there
NO_ROOM = "no room: "  # how a template says that something does not fit


class NoRoom(HearthtideError):
    """Something does not fit where it has to stand, in the smallest type that can still be read."""


def pdf(template: str, data: object) -> bytes:
    """The pages as PDF, without a word of when it was made. Raises NoRoom."""
    made = _set(template, data, "pdf")
    assert isinstance(made, bytes)
    return made


def svg_pages(template: str, data: object) -> list[str]:
    """Each page as SVG, its letters as shapes: no font is needed to show it. Raises NoRoom."""
    return [page.decode() for page in _pages(_set(template, data, "svg"))]


def png_pages(template: str, data: object, dots_per_inch: float) -> list[bytes]:
    """Each page as PNG. Raises NoRoom."""
    return _pages(_set(template, data, "png", dots_per_inch=dots_per_inch))


def html(template: str, data: object, title: str) -> str:
    """The same pages in one file that fetches nothing, for a screen. Raises NoRoom."""
    pages = svg_pages(template, data)
    named = (f"{title}, page {n} of {len(pages)}" for n in range(1, len(pages) + 1))
    figures = "".join(
        f'<figure role="img" aria-label="{escape(name)}">{page}</figure>\n'
        for name, page in zip(named, pages, strict=True)
    )
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>{escape(title)}</title><style>{_SCREEN}</style></head><body>\n{figures}</body></html>\n"
    )


_SCREEN = (
    "body{margin:0;padding:1rem;background:#9a9a96}"
    "figure{margin:0 auto 1rem;max-width:74rem;background:#fff}"
    "figure svg{display:block;width:100%;height:auto}"
    "@media print{body{padding:0;background:none}figure{margin:0;break-after:page}}"
)


def write(path: Path, template: str, data: object, title: str) -> None:
    """Writes the pages as what the file's name ends in, .pdf or .html. Raises NoRoom, OSError."""
    if path.suffix.lower() == ".html":
        path.write_text(html(template, data, title), encoding="utf-8")
    else:
        path.write_bytes(pdf(template, data))


def _set(
    template: str,
    data: object,
    format: Literal["pdf", "svg", "png"],
    dots_per_inch: float | None = None,
) -> object:
    import typst

    source = b"".join((HERE / name).read_bytes() for name in ("common.typ", f"{template}.typ"))
    body = json.dumps(_breaking(shown(plain(data))), ensure_ascii=False, sort_keys=True)
    compiler = typst.Compiler(source, font_paths=fonts(), ignore_system_fonts=True)
    try:
        return compiler.compile(format=format, sys_inputs={"data": body}, ppi=dots_per_inch)
    except typst.TypstError as wrong:
        if NO_ROOM in wrong.message:
            raise NoRoom(wrong.message.partition(NO_ROOM)[2].strip('"').replace(BREAK, "")) from None
        raise


def _pages(made: object) -> list[bytes]:
    """typst gives one page alone, several as a list."""
    if isinstance(made, bytes):
        return [made]
    assert isinstance(made, list)
    return made


def plain(data: object) -> dict[str, object]:
    """A dataclass, or a mapping of them, as JSON has it."""
    there = json.loads(json.dumps(data, default=_plain))
    assert isinstance(there, dict)
    return there


def _plain(one: object) -> object:
    if is_dataclass(one) and not isinstance(one, type):
        return asdict(one)
    raise TypeError(f"expected a dataclass, found {type(one).__name__}")


@cache
def fonts() -> Any:
    """The fonts that all prints are set in: no font of the machine, none of the network."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[_folder()])


def _folder() -> Path:
    from matplotlib import get_data_path

    return Path(get_data_path()) / "fonts" / "ttf"


def shown(page: Mapping[str, object]) -> dict[str, object]:
    """A page whose every character the fonts have; another is written by its number, and named.

    `missing` says so in words, empty where nothing lacks.
    """
    lacking: set[str] = set()

    def one(value: object) -> object:
        if isinstance(value, str):
            return "".join(map(char, value))
        if isinstance(value, list | tuple):
            return [one(inner) for inner in value]
        if isinstance(value, Mapping):
            return {key: one(inner) for key, inner in value.items()}
        return value

    def char(letter: str) -> str:
        if ord(letter) in _has() or letter == "\n":
            return letter
        lacking.add(letter)
        return f"[U+{ord(letter):04X}]"

    there = one(page)
    assert isinstance(there, dict)
    return {**there, "missing": missing_words(sorted(lacking))}


def _breaking(value: object) -> object:
    """The same with places to break in words too long for a line, and none between a figure and its °C."""
    if isinstance(value, str):
        return LONG_WORD.sub(lambda word: BREAK.join(word[0]), value).replace(" °", "\u00a0°")
    if isinstance(value, list):
        return [_breaking(inner) for inner in value]
    return {key: _breaking(inner) for key, inner in value.items()} if isinstance(value, dict) else value


def missing_words(lacking: Sequence[str]) -> str:
    """What stands on a print that shows characters by their numbers."""
    named = ", ".join(f"[U+{ord(letter):04X}]" for letter in lacking)
    words = f"Written by their numbers in Unicode, for the fonts of this print lack them: {named}."
    return words if lacking else ""


@cache
def _has() -> frozenset[int]:
    """Characters that every one of the print's fonts has."""
    from matplotlib.ft2font import FT2Font

    files = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
    return frozenset.intersection(
        *(frozenset(FT2Font(str(_folder() / name)).get_charmap()) for name in files)
    )


def width_em(text: str) -> float:
    """How wide a line of text comes out in the prints' face, over the size of its type."""
    return sum(_advance_em(letter) for letter in text)


@cache
def _advance_em(letter: str) -> float:
    from matplotlib.ft2font import FT2Font, LoadFlags

    font = FT2Font(str(_folder() / "DejaVuSans.ttf"))
    font.set_size(12, 72)
    advance = font.load_char(ord(letter), flags=LoadFlags.NO_HINTING).linearHoriAdvance
    return float(advance) / 65536 / 12
