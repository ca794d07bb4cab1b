"""What `chill` says of a change: only what the shares behind it bear out."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from rich.console import Console

from hearthtide.cli import chill_command
from hearthtide.cli.chill_asked import Asked, case_of
from hearthtide.cli.chill_tried import Change, Times, Tried, Way
from hearthtide.food.chilling import LONGEST_S

CASE = case_of(Asked("chicken_cooked", thickest="40mm", now="rack", limits="57C,21C@2:00,5C@6:00"))
SOON = Times(3000, 3600, 4200)


def way(word: str, share: float | None, change: Change | None = None) -> Way:
    return Way(word, CASE.ways[word].name, SOON, SOON, SOON, share, 1.1, {}, 0.05, 2.0, change)


def change(to: str, share: float, sure: float | None, even: float | None, at_s: float = 0.0) -> Change:
    return Change(to, at_s, SOON, SOON, share, sure, even)


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch):
    """The lines on the screen for a case and what came out of it."""

    def printed(case, *ways: Way, changes: tuple[Change, ...] = ()) -> list[str]:
        page = Console(file=io.StringIO(), width=400)
        monkeypatch.setattr(chill_command, "out", page)
        chill_command._print_changes(case, Tried(ways, changes, None, ()))
        return page.file.getvalue().splitlines()

    return printed


def test_a_change_that_misses_is_not_called_needless(said) -> None:
    covered = change("covered", 0.02, LONGEST_S, LONGEST_S)
    (row,) = (line for line in said(CASE, way("rack", 0.97), changes=(covered,)) if "covered" in line)
    assert "misses" in row and "without" not in row and "needed" not in row


def test_a_change_that_is_not_needed_names_the_way_that_keeps_them(said) -> None:
    blast = change("blast", 1.0, LONGEST_S, LONGEST_S)
    (row,) = (line for line in said(CASE, way("rack", 0.97), changes=(blast,)) if "blast" in line)
    assert "makes it" in row and "rack keeps them in 9 of 10 without it" in row


def test_nothing_is_said_to_keep_them_that_does_not_in_nine_of_ten(said) -> None:
    blast = change("blast", 1.0, LONGEST_S, LONGEST_S)
    (row,) = (line for line in said(CASE, way("rack", 0.88), changes=(blast,)) if "blast" in line)
    assert "without" not in row and "needed" not in row
    unasked = replace(CASE, now=None)
    assert said(unasked, way("rack", 0.88, blast)) == []


def test_a_worse_way_is_no_even_chance_where_staying_is_one(said) -> None:
    covered = change("covered", 0.1, None, LONGEST_S)
    (row,) = (line for line in said(CASE, way("rack", 0.6), changes=(covered,)) if "covered" in line)
    assert "even chance" not in row and "24:00" not in row


def test_a_change_in_time_and_one_too_late_are_told(said) -> None:
    changes = (
        change("blast", 0.95, 1800.0, 3600.0),
        change("ice", 0.5, None, 60.0),
        change("tray", 0, None, None, 60.0),
    )
    text = "\n".join(said(CASE, way("rack", 0.2), changes=changes))
    assert "change to blast by 0:30 at the latest (1:00 is an even chance)" in text
    assert "change to ice by 0:01, an even chance, not more" in text and "too late for tray" in text


def test_what_misses_from_the_first_is_not_called_too_late(said) -> None:
    covered = change("covered", 0.0, None, None)
    (row,) = (line for line in said(CASE, way("rack", 0.97), changes=(covered,)) if "covered" in line)
    assert "misses" in row and "too late" not in row
