"""What a reference test compares with numbers from outside, and how such a comparison is stated."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

SUBJECTS = (
    "conduction",
    "materials",
    "radiation",
    "combustion and flames",
    "air and rooms",
    "ovens",
    "food properties",
    "food on the hearth",
    "chilling",
    "food safety",
    "planning",
    "forecasts",
    "pars",
)
"""The groups of the table, in its order: the only words a module's mark `subject` may say."""

Expected = float | tuple[float, float]
"""A number, or a range (low, high), of which one end is infinite for "at most" and "at least"."""


@dataclass(frozen=True)
class Case:
    """One comparison: it agrees when `computed` lies from `low` to `high`, else it has a `cause`.

    `tolerance` says in words what `low` and `high` were made from. Comparisons of one `what` and `source` are
    one row of the table, which shows the worst of them: `at` tells them apart.
    """

    subject: str
    what: str
    source: str
    expected: Expected
    computed: float
    low: float
    high: float
    tolerance: str
    unit: str = ""
    at: str = ""
    cause: str = ""
    held_by: str = ""
    order: int = 0

    @property
    def agrees(self) -> bool:
        return self.low <= self.computed <= self.high

    @property
    def strain(self) -> float:
        """How far off: 1 at the edge of what is allowed (of a one-sided bound: in shares of the bound)."""
        if math.isinf(self.low) or math.isinf(self.high):
            bound, over = (self.high, 1) if math.isinf(self.low) else (self.low, -1)
            return 1 + over * (self.computed - bound) / (abs(bound) or 1.0)
        half = (self.high - self.low) / 2
        return abs(self.computed - (self.low + self.high) / 2) / half if half else 0.0


def case_of(
    subject: str,
    what: str,
    source: str,
    *,
    expected: Expected,
    computed: float,
    relative: float | None = None,
    absolute: float | None = None,
    unit: str = "",
    at: str = "",
    missed: str = "",
) -> Case:
    """A comparison, with exactly one of `relative` (a share) or `absolute` unless `expected` is a range.

    Raises ValueError where the tolerance is not stated, or stated twice, or a number is not finite.
    """
    if subject not in SUBJECTS:
        raise ValueError(f"subject {subject!r}: expected one of {SUBJECTS}")
    if not math.isfinite(computed):
        raise ValueError(f"{what}: computed {computed}")
    told = (float(expected[0]), float(expected[1])) if isinstance(expected, tuple) else float(expected)
    low, high, tolerance = _allowed(what, told, relative, absolute, unit)
    return Case(subject, what, source, told, float(computed), low, high, tolerance, unit, at, missed)


def _allowed(
    what: str, expected: Expected, relative: float | None, absolute: float | None, unit: str
) -> tuple[float, float, str]:
    if isinstance(expected, tuple):
        if (relative, absolute) != (None, None):
            raise ValueError(f"{what}: a range is its own tolerance")
        return *expected, "the range"
    if (relative is None) == (absolute is None):
        raise ValueError(f"{what}: expected one of relative and absolute")
    if relative is not None:
        margin, words = abs(expected) * relative, f"{100 * relative:.3g} %"
    else:
        margin, of = float(absolute or 0.0), "point" if absolute == 1 else "points"
        words = f"{absolute:.3g} {of if unit == '%' else unit}".strip()
    return expected - margin, expected + margin, words


Published = Callable[..., Case]
"""The fixture: `case_of` without its subject (the module's mark says it). It asserts and records."""


def check(case: Case) -> None:
    """Fails a comparison that misses without a cause, and a known miss that has mended itself."""
    shown = f"{case.what} {case.at}: expected {case.expected} ({case.tolerance}), computed {case.computed}"
    if case.cause:
        assert not case.agrees, f"no longer a miss, state it as agreeing: {shown}"
    else:
        assert case.agrees, shown
