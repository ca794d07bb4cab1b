"""Which test files take longest: two workers that begin with them end together, else one ends alone.

Not one of tests/reference, whose order is that of docs/validation.md. How long each takes is in
docs/performance.md; the order among them need not be exact.
"""

from __future__ import annotations

from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
LONGEST = (
    "scenario/cli/test_rehearsals.py",
    "scenario/cli/test_friday_rush.py",
)


def longest_first(items: list[pytest.Item]) -> None:
    """Puts the tests of these files before all others, whose order stays."""
    places = {TESTS / name: place for place, name in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get(item.path, len(LONGEST)))
