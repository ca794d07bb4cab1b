"""What is counted and noted when a night ends, as the facts of a night hold it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Wasted:
    """Portions of a dish thrown away, in all, for one reason."""

    dish: str
    why: str
    count: int


@dataclass(frozen=True)
class Note:
    """What somebody wrote down for the next cook."""

    words: str
    by: str
    at_s: float
