"""docs/validation.md from the comparisons that tests stated, and what it lacks of them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import groupby

from published import SUBJECTS, Case

HEAD = """\
# Validation

What Hearthtide's models were checked against, outside the project, and how it came out. Every row is stated
by a test, which fails when an agreement is lost and when a miss mends itself. Where a test makes one
comparison at many points, its row shows the worst of them. Misses stand here with their cause; nothing was
bent to remove one. "Held by" names the test's folder under `tests`.

`make validation` writes this page from the tests' own numbers and `docs/validation-notes.md`.
"""
AGREES = ("what", "source", "expected", "computed", "tolerance", "result", "held by")
MISSES = ("what", "source", "expected", "computed", "tolerance", "cause", "held by")
COMPUTED = AGREES.index("computed")
Row = tuple[str, ...]


def decimals(case: Case) -> int:
    """Digits after the point: one more than the tolerance's own first, so that rounding does not show, and
    six in all at most.
    """
    ends = [abs(end) for end in (case.low, case.high) if math.isfinite(end)]
    margin = (case.high - case.low) / 2 if len(ends) == 2 else ends[0] / 20
    return max(0, min(1 - _power(margin), 5 - _power(max(ends)))) if margin > 0 else 1


def _power(value: float) -> int:
    """Of ten, of its first digit."""
    return math.floor(math.log10(value))


def number(value: float, digits: int) -> str:
    """To so many decimals; a nought is a plain one."""
    shown = f"{value:.{digits}f}"
    return "0" if float(shown) == 0 else shown


def plain(value: float, digits: int) -> str:
    """The same without noughts at the end, as a source prints it."""
    shown = number(value, digits)
    return shown.rstrip("0").rstrip(".") if "." in shown else shown


def expected_text(case: Case) -> str:
    digits = decimals(case)
    if not isinstance(case.expected, tuple):
        return f"{plain(case.expected, digits)} {case.unit}".strip()
    low, high = case.expected
    if math.isinf(low):
        words = f"at most {plain(high, digits)}"
    elif math.isinf(high):
        words = f"at least {plain(low, digits)}"
    else:
        words = f"{plain(low, digits)} to {plain(high, digits)}"
    return f"{words} {case.unit}".strip()


def row(cells: list[Case]) -> Row:
    """One row: the worst of the comparisons of one thing with one source."""
    worst = max(cells, key=lambda case: (round(case.strain, 2), -case.order))
    where = f"worst of {len(cells)}" + (f", {worst.at}" if worst.at else "") if len(cells) > 1 else worst.at
    computed = f"{number(worst.computed, decimals(worst))} {worst.unit}".strip()
    verdict = worst.cause or "agrees"
    return (
        worst.what,
        worst.source,
        expected_text(worst),
        computed,
        worst.tolerance,
        f"{verdict} ({where})" if where else verdict,
        f"`{worst.held_by}`",
    )


def rows(cases: Iterable[Case], subject: str, missed: bool) -> list[Row]:
    """The rows of one subject, in the order in which the tests stand."""
    chosen = [case for case in cases if case.subject == subject and bool(case.cause) == missed]
    places = {(case.what, case.source): case.order for case in reversed(sorted(chosen, key=_order))}

    def key(case: Case) -> tuple[int, str, str]:
        return places[case.what, case.source], case.what, case.source

    return [row(sorted(cells, key=_order)) for _, cells in groupby(sorted(chosen, key=key), key)]


def _order(case: Case) -> int:
    return case.order


def table(columns: Row, body: list[Row]) -> str:
    lines = [columns, ("---",) * len(columns), *body]
    return "".join(f"| {' | '.join(line)} |\n" for line in lines)


def page(cases: Iterable[Case], notes: str) -> str:
    """The whole page."""
    told = list(cases)
    parts = [HEAD]
    for title, columns, missed in (("Agrees", AGREES, False), ("Misses", MISSES, True)):
        parts.append(f"## {title}\n")
        for subject in SUBJECTS:
            if body := rows(told, subject, missed):
                parts.append(f"### {title}: {subject}\n\n{table(columns, body)}")
    return "\n".join([*parts, notes])


def differences(found: str, fresh: str) -> list[str]:
    """Lines of the page as it should be that the page found lacks, and the other way round.

    A computed number may be off by two in its last place: another machine's rounding, no change of a model.
    """
    have, want = found.splitlines(), fresh.splitlines()
    known, wanted = {_key(line): line for line in have}, {_key(line): line for line in want}
    lacks = [
        f"lacks:    {line}" for line in want if _key(line) not in known or not _same(known[_key(line)], line)
    ]
    return lacks + [f"outdated: {line}" for line in have if _key(line) not in wanted]


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip("|").split("|")] if line.startswith("|") else [line]


def _key(line: str) -> tuple[str, ...]:
    """All of a line but the computed number of a row."""
    cells = _cells(line)
    return (*cells[:COMPUTED], *cells[COMPUTED + 1 :]) if len(cells) == len(AGREES) else tuple(cells)


def _same(found: str, fresh: str) -> bool:
    if found == fresh:
        return True
    old, new = (_cells(line)[COMPUTED].split()[0] for line in (found, fresh))
    after = max(len(shown.partition(".")[2]) for shown in (old, new))
    return math.isclose(float(old), float(new), rel_tol=0, abs_tol=2.001 * 10.0**-after)
