"""An upsets file: read whole or not at all, every mistake named."""

from __future__ import annotations

from pathlib import Path

import pytest

from hearthtide.errors import InputError
from hearthtide.house.files import read_house, read_night
from hearthtide.house.upsets_file import read_upsets

EXAMPLES = Path(__file__).parents[3] / "examples"
GOOD = """\
name: A try
upsets:
  - {at: 19:10, spill: {x: 10 cm, y: 50 cm, radius: 12 cm, until: 19:20}}
  - {at: 19:12, cook_out: Pass}
expect:
  - {at: 19:12, slips: B4, by: 3:00}
"""


@pytest.fixture(scope="module")
def house():
    return read_house(EXAMPLES / "brindlecote")


def read(house, tmp_path: Path, text: str):
    path = tmp_path / "try.yaml"
    path.write_text(text, encoding="utf-8")
    return read_upsets(path, house, read_night(house, "tuesday"))


def test_what_is_written_is_read_in_SI(house, tmp_path):
    file = read(house, tmp_path, GOOD)
    assert file.upsets[0].spill.radius == 0.12
    assert file.upsets[1].at == 19 * 3600 + 12 * 60
    assert file.expect[0].by == 180


@pytest.mark.parametrize(
    ("was", "now", "where"),
    [
        ("cook_out: Pass", "cook_out: Psas", "upsets[2].cook_out"),
        ("until: 19:20", "until: 19:05", "upsets[1].spill.until"),
        ("cook_out: Pass", "cook_out: Pass, flame_out: out", "upsets[2]"),
        ("cook_out: Pass", "eighty_six: soup", "upsets[2].eighty_six"),
        ("slips: B4, by: 3:00", "slips: B4", "expect[1]"),
        ("{at: 19:12, slips: B4, by: 3:00}", "{figure: lost}", "expect[1]"),
        ("{at: 19:12, slips: B4, by: 3:00}", "{binds: hands}", "expect[1]"),
        ("name: A try", "name: A try\nfrom: 20:00\nuntil: 19:00", "until"),
    ],
)
def test_one_mistake_refuses_the_file_and_is_named(house, tmp_path, was, now, where):
    assert was in GOOD
    with pytest.raises(InputError) as refused:
        read(house, tmp_path, GOOD.replace(was, now))
    assert any(finding.field.startswith(where) or where in str(finding) for finding in refused.value.findings)


def test_a_walk_in_may_not_have_a_table_of_the_night(house, tmp_path):
    ticket = "{table: B4, covers: 2, called: 19:10, wanted: 19:30, dishes: [pizza]}"
    text = GOOD.replace("cook_out: Pass", f"ticket: {ticket}")
    with pytest.raises(InputError) as refused:
        read(house, tmp_path, text)
    assert "upsets[2].ticket.table" in refused.value.findings[0].field


def test_the_examples_are_read():
    found = sorted(EXAMPLES.glob("*/upsets/*.yaml"))
    assert len(found) == 4
    nights = {"plain-tuesday": "tuesday", "twelve-top": "friday", "flame-out": "blip"}
    for path in found:
        house = read_house(path.parents[1])
        assert read_upsets(path, house, read_night(house, nights.get(path.stem, path.stem))).expect
