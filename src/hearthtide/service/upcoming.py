"""The night that is foreseen, made ready for tables that come before the first one on the books."""

from __future__ import annotations

from hearthtide.house.night_file import NightFile

BEFORE_S = 1800.0  # hands may be asked for so long before doors; own choice


def from_doors(books: NightFile) -> NightFile:
    """The night with its minutes asked of the models from before doors on, whenever its first table comes."""
    first = min(range(len(books.tickets)), key=lambda n: books.tickets[n].called)
    early = books.tickets[first]
    from_s = min(early.called, max(books.lit, books.doors - BEFORE_S))
    moved = early.model_copy(update={"called": from_s})
    tickets = tuple(moved if n == first else ticket for n, ticket in enumerate(books.tickets))
    return books.model_copy(update={"tickets": tickets})
