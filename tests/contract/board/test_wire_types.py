"""What the screens' code is told of the board's data is what the board's own types say."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from hearthtide.board.wire_types import Writer, wire_types

WIRE = Path(__file__).parents[3] / "web" / "src" / "wire.ts"


def test_the_screens_types_are_the_boards():
    words = "run `make wire`"
    assert WIRE.read_text(encoding="utf-8") == wire_types(), words


def test_lists_pairs_and_absence_are_written_as_typescript_has_them():
    writer = Writer()
    assert writer.type_text(tuple[float | None, ...]) == "readonly (number | null)[]"
    assert writer.type_text(tuple[str, ...]) == "readonly string[]"
    assert writer.type_text(tuple[float, str]) == "readonly [number, string]"


def test_what_json_does_not_have_is_an_error():
    @dataclass(frozen=True)
    class Odd:
        """Odd."""

        when: complex

    with pytest.raises(TypeError, match="complex"):
        Writer().type_text(Odd)
