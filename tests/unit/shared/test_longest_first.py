"""The list of long test files names files there are, and none whose order is told in docs/validation.md."""

from dataclasses import dataclass
from pathlib import Path

from longest_first import LONGEST, TESTS, longest_first


@dataclass(frozen=True)
class Item:
    """A collected test, for what of it is looked at."""

    path: Path
    name: str


def test_every_file_on_the_list_is_there_once():
    assert [name for name in LONGEST if not (TESTS / name).is_file()] == []
    assert len(set(LONGEST)) == len(LONGEST)


def test_the_pages_order_is_left_alone():
    assert not any(name.startswith("reference/") for name in LONGEST)


def test_long_files_come_first_and_the_others_stay_as_they_were():
    last, first = TESTS / LONGEST[-1], TESTS / LONGEST[0]
    others = [Item(TESTS / "unit/z.py", "1"), Item(TESTS / "reference/a.py", "2"), Item(TESTS / "b.py", "3")]
    items = [others[0], Item(last, "4"), others[1], Item(first, "5"), Item(first, "6"), others[2]]
    longest_first(items)
    assert [item.name for item in items] == ["5", "6", "4", "1", "2", "3"]
