"""The moves of the night as a cook reads them on paper: minute, words, and the caution at the act."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from itertools import groupby

from hearthtide.house.models import House
from hearthtide.planning.plan import FlameChange, Move, Plan
from hearthtide.printing.html import around, element, section
from hearthtide.printing.shown import clock
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import cautions_for

LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Told:
    """One line of the list: what is done when, by whom, and the cautions that belong to it."""

    start_s: int
    words: str
    cook: str
    cautions: tuple[str, ...]
    is_flame: bool


def moves_section(plan: Plan, house: House) -> str:
    """Every move and flame change in order, an hour under each heading."""
    told = list(told_in_order(plan, house))
    names = lettered(told)
    usual = usual_cook(plan)
    first = min((move.start_s for move in plan.moves), default=0)
    hours = groupby(told, key=lambda line: line.start_s // 3600 if line.start_s >= first else None)
    parts = [_hour(hour, list(lines), names, usual) for hour, lines in hours]
    lead = "To the nearest quarter minute. Plates go in with their leading edge to the flame; turns and spins"
    lead += " are clockwise, seen from above. A caution stands in full at its first act of each hour"
    lead += " and by its letter at the acts after that; all letters are at the end of the list."
    if any(move.cook != usual for move in plan.moves):
        lead += f" Hands are the {usual}'s where no other name stands."
    key = "".join(around("li", _lettered(names, caution)) for caution in names)
    last = element("h3", "The cautions by letter") + around("ul", key, css="letters") if key else ""
    return section("The moves", element("p", lead, css="lead"), *parts, last, css="moves")


def usual_cook(plan: Plan) -> str:
    """Whose hands do most of the moves; "" when there are none."""
    counted = Counter(move.cook for move in plan.moves)
    return counted.most_common(1)[0][0] if counted else ""


def _lettered(names: Mapping[str, str], caution: str) -> str:
    return element("b", names[caution]) + " " + escape(caution)


def told_in_order(plan: Plan, house: House) -> Iterator[Told]:
    """Moves and flame changes by time; at one second the flame comes first."""
    lines = [_flame(change) for change in plan.flame]
    lines += [_move(move, house) for move in plan.moves]
    yield from sorted(lines, key=lambda line: (line.start_s, not line.is_flame))


def lettered(told: list[Told]) -> dict[str, str]:
    """Each caution's letters, in order of first use: a to z, then aa, ab and on."""
    sentences = dict.fromkeys(caution for line in told for caution in line.cautions)
    return {sentence: _letters(i) for i, sentence in enumerate(sentences)}


def _letters(index: int) -> str:
    high, low = divmod(index, len(LETTERS))
    return (LETTERS[high - 1] if high else "") + LETTERS[low]


def _flame(change: FlameChange) -> Told:
    return Told(change.start_s, change.words, "", (), True)


def _move(move: Move, house: House) -> Told:
    cautions = cautions_for(move.act, house.dishes[move.dish], house.own_fatty)
    return Told(move.start_s, move.words, move.cook, cautions, False)


def _hour(hour: int | None, lines: list[Told], names: Mapping[str, str], usual: str) -> str:
    """The lines of one hour; None for what comes before the first move."""
    said: set[str] = set()
    rows = []
    for line in lines:
        first = [caution for caution in line.cautions if caution not in said]
        said.update(first)
        rows.append(_line(line, first, names, usual))
    heading = element("h3", "Heat-up" if hour is None else f"From {clock_text(3600 * hour)}")
    return heading + around("ol", "".join(rows), css="acts")


def _line(line: Told, first: list[str], names: Mapping[str, str], usual: str) -> str:
    when = element("time", clock(line.start_s))
    if line.is_flame:
        return around("li", when + around("div", element("b", line.words)), css="flame")
    marks = " ".join(sorted(names[caution] for caution in line.cautions))
    words = escape(line.words)
    if line.cook != usual:
        words += " " + element("i", line.cook)
    if marks:
        words += " " + element("span", marks, css="marks")
    words += "".join(around("small", _lettered(names, caution)) for caution in first)
    return around("li", when + around("div", words))
