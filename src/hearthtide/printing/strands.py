"""The landing lines: each table's plates as strands from launch to the minute at which they meet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from hearthtide.house.models import House
from hearthtide.planning.plan import ItemReport, Landing, Plan
from hearthtide.printing.axes import TimeAxis
from hearthtide.printing.picture import (
    TEXT,
    WIDE,
    Area,
    Disc,
    Ink,
    Line,
    Mark,
    Picture,
    Point,
    Words,
    text_width,
)
from hearthtide.printing.shown import clock, late_words

STRAND = 17.0  # between two strands
GAP = 22.0  # between two tables
LEAST_ROW = 3.4 * STRAND  # room for the table's words beside the knot
RIGHT = 176.0  # room for the table's words after the last knot
TOP, FOOT = 34.0, 10.0
MOST_HEIGHT, MOST_S = 960.0, 2700  # of one picture: an A4 page; every picture spans the same time
BEFORE_S = 900  # how far before the first launch a wanted minute is still shown
BEND = 46.0  # how far before the knot strands begin to draw together


@dataclass(frozen=True)
class Row:
    """One table's landing with its plates, the first to go in first."""

    landing: Landing
    plates: tuple[ItemReport, ...]

    @property
    def height(self) -> float:
        return max(LEAST_ROW, len(self.plates) * self.strand)

    @property
    def strand(self) -> float:
        """Between two strands: closer where a table would not fit a page."""
        return min(STRAND, (MOST_HEIGHT - TOP - FOOT - GAP) / len(self.plates))

    @property
    def start_s(self) -> int:
        return min(plate.stays[0].start_s for plate in self.plates)


def strand_pictures(plan: Plan, house: House) -> tuple[Picture, ...]:
    """The night's landings in order, about an hour to a picture."""
    items = {item.item: item for item in plan.items}
    pages = _pages([_row(landing, items) for landing in sorted(plan.landings, key=lambda x: x.planned_s)])
    return tuple(_picture(page, house) for page in pages)


def _row(landing: Landing, items: Mapping[str, ItemReport]) -> Row:
    plates = sorted((items[key] for key in landing.items), key=lambda plate: plate.stays[0].start_s)
    return Row(landing, tuple(plates))


def _pages(rows: Sequence[Row]) -> list[list[Row]]:
    pages: list[list[Row]] = []
    for row in rows:
        if pages:
            page = pages[-1]
            height = _height([*page, row])
            spent = row.landing.planned_s - min(r.start_s for r in page)
            if height <= MOST_HEIGHT and spent <= MOST_S:
                page.append(row)
                continue
        pages.append([row])
    return pages


def _height(rows: Sequence[Row]) -> float:
    return TOP + sum(row.height + GAP for row in rows) + FOOT


def _picture(rows: Sequence[Row], house: House) -> Picture:
    names = {plate.dish: house.dishes[plate.dish].name.lower() for row in rows for plate in row.plates}
    height = _height(rows)
    left = max(map(text_width, names.values())) + 12
    axis = _axis(rows, left)
    marks = list(axis.marks(TOP - 12, height - FOOT))
    y = TOP + GAP / 2
    for row in rows:
        marks += _row_marks(row, axis, y, names, house.file.late_after)
        y += row.height + GAP
    first, last = rows[0].landing.planned_s, rows[-1].landing.planned_s
    says = "; ".join(f"{_table(r.landing)} lands {clock(r.landing.planned_s)}" for r in rows)
    return Picture(f"Landings from {clock(first)} to {clock(last)}", says, WIDE, height, tuple(marks))


def _axis(rows: Sequence[Row], left: float) -> TimeAxis:
    """From the first launch, or a little before it if a minute was wanted there, over the usual span."""
    launch = min(row.start_s for row in rows)
    start = max(launch - BEFORE_S, min(launch, *(row.landing.wanted_s for row in rows)))
    last = max(max(row.landing.planned_s, row.landing.wanted_s) for row in rows)
    return TimeAxis(start, max(last, start + MOST_S), left, WIDE - RIGHT)


def _table(landing: Landing) -> str:
    course = "" if landing.course == 1 else f", course {landing.course}"
    return f"{landing.ticket}{course}" + ("" if landing.drop == 1 else f", drop {landing.drop},")


def _row_marks(
    row: Row, axis: TimeAxis, top: float, names: Mapping[str, str], allowed_s: float
) -> Iterator[Mark]:
    """Strands and knot: plates that go in late lie outermost, so that no strand crosses a word."""
    landing = row.landing
    late = landing.late_s > allowed_s
    middle = top + row.height / 2
    knot = (axis.x(landing.planned_s), middle)
    yield from _wanted(row, axis, top, knot if late else None)
    for place, plate in zip(_places(len(row.plates)), row.plates, strict=True):
        y = middle + place * row.strand
        yield from _strand(plate, axis, y, knot, late)
        yield Words((axis.x(plate.stays[0].start_s) - 6, y + TEXT * 0.36), names[plate.dish], anchor="end")
    yield _knot(knot, late, landing.ticket)
    yield from _words(landing, knot, allowed_s)


def _wanted(row: Row, axis: TimeAxis, top: float, knot: Point | None) -> Iterator[Mark]:
    """An upright at the wanted minute and, to a late knot, the way from there; it may begin off the sheet."""
    wanted = axis.x(row.landing.wanted_s)
    if row.landing.wanted_s >= axis.start_s:
        upright = ((wanted, top - 3), (wanted, top + row.height + 3))
        yield Line(upright, dash=(3, 3), name=f"wanted {row.landing.ticket}")
    if knot is not None:
        yield Line(((max(axis.left, wanted), knot[1]), knot), "orange", width=2.0, dash=(2, 3))


def _places(many: int) -> list[float]:
    """Where strands lie about the middle, in strands: the first nearest, later ones outward in turn.

    >>> _places(3), _places(4)
    ([0.0, -1.0, 1.0], [-0.5, 0.5, -1.5, 1.5])
    """
    return sorted((i - (many - 1) / 2 for i in range(many)), key=lambda place: (abs(place), place))


def _strand(plate: ItemReport, axis: TimeAxis, y: float, knot: Point, late: bool) -> Iterator[Mark]:
    """Thick on the stone, thin while it rests or is cut, dotted while it is plated and waits."""
    start = axis.x(plate.stays[0].start_s)
    off, ready = axis.x(plate.stays[-1].end_s), axis.x(plate.ready_s)
    ink: Ink = "orange" if late else "blue"
    off = min(off, knot[0])
    ready = min(max(ready, off), knot[0])
    yield Disc((start, y), 3.2, ink, None)
    yield Line(_bent(start, off, start, y, knot), ink, width=3.4, name=plate.item)
    yield Line(_bent(off, ready, start, y, knot), "ink", width=1.4)
    yield Line(_bent(ready, knot[0], start, y, knot), "ink", width=1.4, dash=(1.5, 3))


def _bent(x1: float, x2: float, start: float, y: float, knot: Point) -> tuple[Point, ...]:
    """The part from x1 to x2 of a strand that leaves `start` level and ends in the knot."""
    bend = max(1e-6, min(BEND, knot[0] - start))
    points = []
    for i in range(13):
        x = x1 + (x2 - x1) * i / 12
        share = min(1.0, max(0.0, (x - (knot[0] - bend)) / bend))
        points.append((x, y + (knot[1] - y) * share * share * (3 - 2 * share)))
    return tuple(points)


def _knot(at: Point, late: bool, ticket: str) -> Mark:
    """Where plates meet: a full round for a kept minute, an open triangle for a late one."""
    x, y = at
    if late:
        return Area(
            ((x - 8, y - 9), (x + 9, y), (x - 8, y + 9)), "paper", "orange", 3.0, name=f"knot {ticket}"
        )
    return Disc(at, 6.5, "ink", "paper", 1.5, name=f"knot {ticket}")


def _words(landing: Landing, knot: Point, allowed_s: float) -> Iterator[Words]:
    x, y = knot[0] + 14, knot[1]
    drop = "" if landing.drop == 1 else f"drop {landing.drop}, "
    lines = [late_words(landing.late_s, allowed_s)]
    if landing.late_s > allowed_s:
        lines.append(f"wanted {clock(landing.wanted_s)}")
    lines.append(drop + (f"{landing.covers} covers" if landing.covers != 1 else "1 cover"))
    y += 6 - STRAND * len(lines) / 2
    yield Words((x, y), f"{landing.ticket}  {clock(landing.planned_s)}", bold=True)
    for line in lines:
        y += STRAND
        yield Words((x, y), line)
