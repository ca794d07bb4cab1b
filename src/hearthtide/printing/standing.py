"""What stands on the stone at a pictured minute: outlines to scale, short words, leading edges."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hearthtide.house.models import House
from hearthtide.planning.plan import ItemReport, Move, OnStone, Plan
from hearthtide.printing.picture import (
    HALF,
    LETTER,
    TEXT,
    Area,
    Disc,
    Mark,
    Point,
    Words,
    text_width,
)
from hearthtide.printing.sheet import Sheet

WEDGE = 9.0  # from the edge to the tip of the mark at a leading edge
LEAST_FOR_WORDS = 44.0  # an item smaller than this has its words beside it
MOUTH = 66.0  # half the width of the words below the sill
ROOM = 6.0  # between a small item and its words


@dataclass(frozen=True)
class Standing:
    """An item on the stone at the pictured minute; `facing_deg` None when no move says."""

    ticket: str
    dish: str
    stay: OnStone
    facing_deg: float | None

    @property
    def label(self) -> str:
        return f"{self.ticket} {self.dish}"

    def size_m(self) -> tuple[float, float]:
        """Across and deep."""
        if self.stay.diameter_m is not None:
            return self.stay.diameter_m, self.stay.diameter_m
        if self.stay.width_m is None or self.stay.depth_m is None:
            raise ValueError(f"{self.label}: an item has a diameter, or a width and a depth")
        return self.stay.width_m, self.stay.depth_m


@dataclass(frozen=True)
class Box:
    """An upright rectangle on the sheet."""

    left: float
    top: float
    right: float
    bottom: float

    def shared(self, other: Box) -> float:
        """The area two boxes share, 0 when they do not touch."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(0.0, wide) * max(0.0, high)


def short_dish(name: str) -> str:
    """One word for a dish: the noun before any "in", "with", "and" or "on".

    >>> short_dish("Shrimp in butter"), short_dish("Half chicken"), short_dish("Pizza")
    ('shrimp', 'chicken', 'pizza')
    """
    words = name.lower().split()
    ends = [i for i, word in enumerate(words) if word in ("in", "with", "and", "on") and i]
    return words[ends[0] - 1 if ends else -1]


def standing_at(plan: Plan, house: House, at_s: float) -> tuple[Standing, ...]:
    """What stands on the stone at a time, in the plan's order; of an item being moved the later stay."""
    found = []
    for item in plan.items:
        stays = [stay for stay in item.stays if stay.start_s <= at_s < stay.end_s]
        if stays:
            name = house.dishes[item.dish].name.lower()
            found.append(Standing(item.ticket, name, stays[-1], _facing(plan.moves, item, at_s)))
    return tuple(found)


def _facing(moves: Sequence[Move], item: ItemReport, at_s: float) -> float | None:
    own = [m for m in moves if m.item == item.item and m.facing_deg is not None and m.start_s <= at_s]
    return max(own, key=lambda m: m.start_s).facing_deg if own else None


def standing_words(standing: Sequence[Standing]) -> str:
    """What stands on the stone, table by table.

    >>> stay = OnStone(0, 60, 0.0, 0.5, 0.28, None, None)
    >>> standing_words([Standing("B4", "pizza", stay, None)] * 2)
    'B4: 2 pizza.'
    """
    tables: dict[str, Counter[str]] = {}
    for item in standing:
        tables.setdefault(item.ticket, Counter())[item.dish] += 1
    words = [
        f"{ticket}: {', '.join(f'{many} {dish}' if many > 1 else dish for dish, many in dishes.items())}"
        for ticket, dishes in tables.items()
    ]
    return f"{'; '.join(words) or 'Nothing on the stone'}."


def box_of(sheet: Sheet, item: Standing) -> Box:
    """The upright rectangle about an item."""
    wide_m, deep_m = item.size_m()
    x, y = sheet.at(item.stay.x_m, item.stay.y_m)
    wide, deep = wide_m * sheet.scale / 2, deep_m * sheet.scale / 2
    return Box(x - wide, y - deep, x + wide, y + deep)


def item_marks(sheet: Sheet, item: Standing) -> Iterator[Mark]:
    """Its outline to scale and, where they fit, its words inside."""
    box = box_of(sheet, item)
    x, y = sheet.at(item.stay.x_m, item.stay.y_m)
    wide = box.right - box.left
    if item.stay.diameter_m is not None:
        yield Disc((x, y), wide / 2, width=2.0, name=item.label)
    else:
        corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
        yield Area(corners, width=2.0, name=item.label)
    if not _is_small(box):
        yield Words((x, y - 2), fitted(item.ticket, wide), anchor="middle", bold=True, halo=False)
        yield Words((x, y + 15), fitted(short_dish(item.dish), wide), anchor="middle", halo=False)


def labels_beside(sheet: Sheet, standing: Sequence[Standing]) -> tuple[tuple[Box, Words], ...]:
    """The words of items too small to hold them, each on the side where it covers least."""
    x, y = sheet.at(0.0, 0.0)
    half = HALF / 2 if sheet.words_below else MOUTH
    mouth = Box(x - half, y + 3, x + half, y + sheet.height)
    taken = [mouth, *(box_of(sheet, item) for item in standing)]
    found = []
    for item in standing:
        box = box_of(sheet, item)
        if _is_small(box):
            text = f"{item.ticket} {short_dish(item.dish)}"
            best = min(_sides(box, text_width(text)), key=lambda place: _covered(place, taken))
            taken.append(best)
            found.append((best, Words((best.left, best.bottom - 4), text, bold=True)))
    return tuple(found)


def _is_small(box: Box) -> bool:
    return min(box.right - box.left, box.bottom - box.top) < LEAST_FOR_WORDS


def _sides(box: Box, wide: float) -> list[Box]:
    """Below, above, right and left of an item, in order of liking."""
    x, y, high = (box.left + box.right) / 2, (box.top + box.bottom) / 2, TEXT + 3
    return [
        Box(x - wide / 2, box.bottom + ROOM / 2, x + wide / 2, box.bottom + ROOM / 2 + high),
        Box(x - wide / 2, box.top - ROOM / 2 - high, x + wide / 2, box.top - ROOM / 2),
        Box(box.right + ROOM, y - high / 2, box.right + ROOM + wide, y + high / 2),
        Box(box.left - ROOM - wide, y - high / 2, box.left - ROOM, y + high / 2),
    ]


def _covered(place: Box, taken: Sequence[Box]) -> float:
    """How much a label would hide, or lose beyond the sheet's sides."""
    outside = max(0.0, -place.left) + max(0.0, place.right - HALF)
    return sum(place.shared(other) for other in taken) + outside * (place.bottom - place.top) * 4


def leading_edge(sheet: Sheet, item: Standing) -> Iterator[Mark]:
    """A wedge on the outline where the leading edge points; none when no move says."""
    if item.facing_deg is None:
        return
    angle = math.radians(item.facing_deg)
    dx, dy = math.sin(angle), -math.cos(angle)
    box = box_of(sheet, item)
    wide, deep = (box.right - box.left) / 2, (box.bottom - box.top) / 2
    if item.stay.diameter_m is not None:
        reach = wide
    else:
        reach = min(wide / max(abs(dx), 1e-9), deep / max(abs(dy), 1e-9))
    x, y = sheet.at(item.stay.x_m, item.stay.y_m)
    yield wedge((x + dx * reach, y + dy * reach), item.facing_deg)


def wedge(at: Point, bearing_deg: float) -> Area:
    """A small triangle that points along a bearing, 0 up and 90 right."""
    angle = math.radians(bearing_deg)
    dx, dy = math.sin(angle), -math.cos(angle)
    back, half = 0.8 * WEDGE, 0.6 * WEDGE
    tip = (at[0] + dx * WEDGE, at[1] + dy * WEDGE)
    left = (at[0] - dx * back - dy * half, at[1] - dy * back + dx * half)
    right = (at[0] - dx * back + dy * half, at[1] - dy * back - dx * half)
    return Area((tip, left, right), "blue", "paper", width=1.0, name="leading edge")


def fitted(word: str, room: float) -> str:
    """The word, cut with a full stop where it is wider than the room.

    >>> fitted("vegetables", 70), fitted("pizza", 76)
    ('vegetab.', 'pizza')
    """
    most = max(2, int(1.1 * room / (LETTER * TEXT)))
    return word if len(word) <= most else word[: max(1, most - 1)] + "."
