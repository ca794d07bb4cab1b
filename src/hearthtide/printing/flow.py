"""Where the fuel's heat went, as a flow: sources from the left, what they became to the right."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from hearthtide.errors import PhysicalRangeError
from hearthtide.printing.picture import WIDE, Anchor, Area, Disc, Ink, Line, Mark, Picture, Point, Words
from hearthtide.ranges import require

FUEL = "fuel"
KEPT = ("stone", "floor", "dome", "food")  # heat that stays in the oven or leaves it on a plate
UNEXPLAINED = "not accounted for"
AGREES = 0.005  # parts and fuel may differ by this share of all that comes in
SHOWN = 0.0005  # a difference from this share on is drawn
BROAD = 220.0  # units that stand for all that comes in
ROW, GAP = 18.0, 12.0  # from a line of words to the next; between neighbours
HEAD, FOOT = 38.0, 38.0
LEFT, RIGHT = 190.0, 260.0  # room for words
LETTERS = 20  # of a name on one line: the left room, and bold type a tenth wider than plain (own choice)
FORK, TRUNK = 0.42, 40.0  # where the trunk begins, of the way between the words; its length
TIP = 10.0  # of the arrows
THIN = 1.5  # bands narrower than this get a hair line along them
STEPS = 24  # along a band's bend
KEY: tuple[tuple[Ink, float, str], ...] = (
    ("blue", 8.0, "stored, or on plates"),
    ("orange", 248.0, "burnt, or gone"),
)


@dataclass(frozen=True)
class _Part:
    """One band: its share of all that comes in, and its top at the trunk and at its words, sheet units."""

    name: str
    heat_J: float
    share: float
    trunk_y: float
    outer_y: float

    @property
    def width(self) -> float:
        return BROAD * self.share

    @property
    def lines(self) -> list[str]:
        """The name, broken where it is too long for a line."""
        return textwrap.wrap(self.name, LETTERS)

    @property
    def middle_y(self) -> float:
        return self.outer_y + self.width / 2


def flow_picture(title: str, parts: Mapping[str, float], kept: Collection[str] = KEPT) -> Picture:
    """An energy ledger as bands whose widths are true to their shares, each with MJ and percent.

    Parameters
    ----------
    parts :
        Heat, J, in the order to draw. `"fuel"` is what was released; all others are what it became,
        and where such a part is negative (stone that gives heat back while it cools) it enters from
        the left as a source. Percents are of all that comes in.
    kept :
        Names drawn in the second ink: what stays in the oven or leaves it on a plate.

    Raises
    ------
    PhysicalRangeError
        No fuel named, fuel below zero, no heat at all, numbers that are none, or parts that differ
        from the fuel by more than 0.5 % of all that comes in. A smaller difference is drawn under
        its own name.
    """
    sources, sinks = _balanced(parts)
    high = max(BROAD, _needed(sources), _needed(sinks))
    middle = HEAD + high / 2
    incoming, outgoing = _laid(sources, middle), _laid(sinks, middle)
    left, right = LEFT, WIDE - RIGHT
    fork = left + FORK * (right - left - TRUNK)
    marks: list[Mark] = [Words((0.0, 18.0), title, bold=True)]
    for part in incoming:
        ink: Ink = "blue" if part.name in kept else "orange"
        marks += _band(part, (left, part.outer_y), (fork, part.trunk_y), ink, arrow=False)
        marks += _label(part, left - 10, "end")
    marks.append(_trunk(fork, middle))
    for part in outgoing:
        ink = "blue" if part.name in kept else "orange"
        marks += _band(part, (fork + TRUNK, part.trunk_y), (right, part.outer_y), ink, arrow=True)
        marks += _label(part, right + TIP + 8, "start")
    marks += _key(HEAD + high + FOOT - 8)
    return Picture(title, _says(incoming, outgoing), WIDE, HEAD + high + FOOT, tuple(marks))


def _balanced(parts: Mapping[str, float]) -> tuple[dict[str, float], dict[str, float]]:
    """Sources and sinks, J, all positive and of one sum, or PhysicalRangeError."""
    if FUEL not in parts:
        raise PhysicalRangeError(
            f"parts have no {FUEL!r} (expected it beside {', '.join(parts) or 'nothing'})"
        )
    for name, heat_J in parts.items():
        require(name, heat_J, "J", 0.0 if name == FUEL else -1e15, 1e15)
    spent = {name: heat_J for name, heat_J in parts.items() if name != FUEL}
    sources = {name: heat_J for name, heat_J in {FUEL: parts[FUEL]}.items() if heat_J > 0}
    sources |= {name: -heat_J for name, heat_J in spent.items() if heat_J < 0}
    sinks = {name: heat_J for name, heat_J in spent.items() if heat_J > 0}
    total_J = max(sum(sources.values()), sum(sinks.values()))
    if total_J <= 0:
        raise PhysicalRangeError("parts hold no heat at all (expected some fuel, or heat given back)")
    missing_J = sum(sources.values()) - sum(sinks.values())
    if abs(missing_J) > AGREES * total_J:
        share = f"{100 * missing_J / total_J:.2g} % of all heat"
        raise PhysicalRangeError(
            f"parts differ from the fuel by {_megajoules(missing_J)}, {share} (expected {100 * AGREES:g} %)"
        )
    if abs(missing_J) > SHOWN * total_J:
        (sinks if missing_J > 0 else sources)[UNEXPLAINED] = abs(missing_J)
    return sources, sinks


def _slots(heats_J: Mapping[str, float]) -> list[float]:
    """Heights for bands side by side, each with room for its words."""
    total_J = sum(heats_J.values())
    return [
        max(ROW * (1 + len(textwrap.wrap(name, LETTERS))), BROAD * heat_J / total_J)
        for name, heat_J in heats_J.items()
    ]


def _needed(heats_J: Mapping[str, float]) -> float:
    return sum(_slots(heats_J)) + GAP * (len(heats_J) - 1)


def _laid(heats_J: Mapping[str, float], middle: float) -> list[_Part]:
    """The bands from the top down: touching at the trunk, apart at their words."""
    total_J = sum(heats_J.values())
    trunk_y, slot_y = middle - BROAD / 2, middle - _needed(heats_J) / 2
    found = []
    for (name, heat_J), slot in zip(heats_J.items(), _slots(heats_J), strict=True):
        width = BROAD * heat_J / total_J
        found.append(_Part(name, heat_J, heat_J / total_J, trunk_y, slot_y + (slot - width) / 2))
        trunk_y, slot_y = trunk_y + width, slot_y + slot + GAP
    return found


def _band(part: _Part, start: Point, end: Point, ink: Ink, arrow: bool) -> Iterator[Mark]:
    """A band between two tops, as wide all the way; an arrow's tip is added to its length."""
    upper = _bend(start, end)
    lower = [(x, y + part.width) for x, y in upper]
    tip = [(end[0] + TIP, end[1] + part.width / 2)] if arrow else []
    yield Area((*upper, *tip, *reversed(lower)), ink, "paper", 0.8, name=part.name)
    if part.width < THIN:
        middle = [(x, y + part.width / 2) for x, y in upper]
        yield Line((*middle, *tip), ink, width=1.0)


def _bend(start: Point, end: Point) -> list[Point]:
    """Level at both ends, smooth between."""
    points = []
    for i in range(STEPS + 1):
        share = i / STEPS
        rise = share * share * (3 - 2 * share)
        points.append((start[0] + share * (end[0] - start[0]), start[1] + rise * (end[1] - start[1])))
    return points


def _trunk(fork: float, middle: float) -> Area:
    top, bottom = middle - BROAD / 2, middle + BROAD / 2
    corners = ((fork, top), (fork + TRUNK, top), (fork + TRUNK, bottom), (fork, bottom))
    return Area(corners, "orange", None, name="all heat")


def _label(part: _Part, x: float, anchor: Anchor) -> Iterator[Words]:
    y = part.middle_y - ROW * (1 + len(part.lines)) / 2 - 4
    for line in part.lines:
        y += ROW
        yield Words((x, y), line, anchor, bold=True)
    yield Words((x, y + ROW), _figures(part), anchor)


def _key(y: float) -> Iterator[Mark]:
    """What the two inks mean."""
    for ink, x, text in KEY:
        yield Disc((x, y - 5), 6.0, ink, None)
        yield Words((x + 14, y), text)


def _figures(part: _Part) -> str:
    return f"{_megajoules(part.heat_J)}, {_percent(part.share)}"


def _megajoules(heat_J: float) -> str:
    """To three figures or a hundredth.

    >>> _megajoules(251.4e6), _megajoules(12.34e6), _megajoules(0.456e6), _megajoules(1e3)
    ('251 MJ', '12.3 MJ', '0.46 MJ', '0.00 MJ')
    """
    heat_MJ = heat_J / 1e6
    digits = 0 if abs(heat_MJ) >= 99.95 else 1 if abs(heat_MJ) >= 9.995 else 2
    return f"{heat_MJ:.{digits}f} MJ"


def _percent(share: float) -> str:
    """Whole from ten on, else to a tenth.

    >>> _percent(0.384), _percent(0.0163), _percent(0.0001)
    ('38 %', '1.6 %', 'under 0.1 %')
    """
    if share < 0.0005:
        return "under 0.1 %"
    return f"{100 * share:.0f} %" if share >= 0.09995 else f"{100 * share:.1f} %"


def _says(incoming: Sequence[_Part], outgoing: Sequence[_Part]) -> str:
    sides = (", ".join(f"{part.name} {_figures(part)}" for part in side) for side in (incoming, outgoing))
    return "In: {}. Out: {}.".format(*sides)
