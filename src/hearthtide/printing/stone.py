"""The stone as the cook sees it who stands at the mouth: to scale, mouth at the bottom, left is left."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hearthtide.house.models import House
from hearthtide.oven.design import OvenDesign
from hearthtide.planning.plan import FlameChange, ItemReport, Move, OnStone, OvenTrack, Plan, StoneMap
from hearthtide.printing.picture import (
    HALF,
    LETTER,
    TEXT,
    WIDE,
    Area,
    Disc,
    Dots,
    Line,
    Mark,
    Picture,
    Point,
    Words,
    text_width,
)
from hearthtide.printing.shown import clock, degrees

SIDE, TOP, BOTTOM = 10.0, 28.0, 44.0  # room around the hearth on the sheet
COLD_C, HOT_C = 200.0, 450.0  # stone temperatures with the least and the largest dot: own choice
DOT_LEAST, DOT_MOST = 0.8, 8.6
WEDGE = 7.0  # half the size of the mark at a leading edge
NUMBERS_AT = ((0.0, 1), (0.45, 6), (0.80, 12))  # rings of printed temperatures: share of radius, how many
TONGUES = 9  # along the flame's ribbon


@dataclass(frozen=True)
class Sheet:
    """How metres on the stone come to lie on the sheet: the same scale both ways, y up becomes y down."""

    design: OvenDesign

    @property
    def scale(self) -> float:
        """Units per metre."""
        return (HALF - 2 * SIDE) / self.design.diameter_m

    @property
    def sill_y(self) -> float:
        return TOP + (self.design.centre_m[1] + self.design.radius_m) * self.scale

    @property
    def height(self) -> float:
        return self.sill_y + BOTTOM

    def at(self, x_m: float, y_m: float) -> Point:
        """The place on the sheet of a place on the stone."""
        return HALF / 2 + x_m * self.scale, self.sill_y - y_m * self.scale


@dataclass(frozen=True)
class Standing:
    """An item on the stone at the pictured minute; `facing_deg` None when no move says."""

    label: str
    short: str
    stay: OnStone
    facing_deg: float | None

    def size_m(self) -> tuple[float, float]:
        """Across and deep."""
        if self.stay.diameter_m is not None:
            return self.stay.diameter_m, self.stay.diameter_m
        if self.stay.width_m is None or self.stay.depth_m is None:
            raise ValueError(f"{self.label}: an item has a diameter, or a width and a depth")
        return self.stay.width_m, self.stay.depth_m


def short_dish(name: str) -> str:
    """One word for a dish: the noun before any "in", "with" or "and".

    >>> short_dish("Shrimp in butter"), short_dish("Half chicken"), short_dish("Pizza")
    ('shrimp', 'chicken', 'pizza')
    """
    words = name.lower().split()
    ends = [i for i, word in enumerate(words) if word in ("in", "with", "and", "on") and i]
    return words[ends[0] - 1 if ends else -1]


def standing_at(plan: Plan, house: House, at_s: float) -> tuple[Standing, ...]:
    """What stands on the stone at a time, in the plan's order."""
    found = []
    for item in plan.items:
        stays = [stay for stay in item.stays if stay.start_s <= at_s < stay.end_s]
        if stays:
            name = house.dishes[item.dish].name
            facing = _facing(plan.moves, item, at_s)
            found.append(Standing(f"{item.ticket} {name.lower()}", short_dish(name), stays[-1], facing))
    return tuple(found)


def flame_at(flame: Sequence[FlameChange], at_s: float) -> FlameChange | None:
    """The flame held at a time; None before it is lit."""
    held = [change for change in flame if change.start_s <= at_s]
    return max(held, key=lambda change: change.start_s) if held else None


def stone_picture(plan: Plan, house: House, design: OvenDesign, stone: StoneMap | None, at_s: int) -> Picture:
    """The stone at one minute; without a map the texture and the temperatures are left out."""
    sheet = Sheet(design)
    standing = standing_at(plan, house, at_s)
    flame = flame_at(plan.flame, at_s)
    held = "flame not lit" if flame is None else f"flame {flame.level}, {flame.power_W / 1000:.0f} kW"
    title = f"The stone at {clock(at_s)}, {held}"
    says = ", ".join(s.label for s in standing) or "nothing on the stone"
    marks: list[Mark] = [Words((SIDE, 18.0), clock(at_s), bold=True), _held_words(held)]
    marks.append(Area(outline(sheet), fill="paper", ink=None, name="hearth"))
    if stone is not None:
        marks.append(_texture(sheet, plan.oven, stone))
    marks += _flame(sheet, flame)
    marks += _walls(sheet)
    for item in standing:
        marks += _item(sheet, item)
    if stone is not None:
        marks += _temperatures(sheet, plan.oven, stone, standing)
    return Picture(title, f"On the stone: {says}.", HALF, sheet.height, tuple(marks))


def outline(sheet: Sheet) -> tuple[Point, ...]:
    """The hearth's edge on the sheet: the wall from the sill's right end round to its left end."""
    design = sheet.design
    x0, y0 = design.centre_m
    corner = math.atan2(design.mouth_width_m / 2, -y0)
    bearings = [corner * (1 - 2 * i / 90) for i in range(91)]
    radius = design.radius_m
    return tuple(sheet.at(x0 + radius * math.sin(b), y0 + radius * math.cos(b)) for b in bearings)


def legend() -> Picture:
    """What the marks of the stone's pictures mean."""
    marks: list[Mark] = [Words((0.0, 22.0), "Stone, °C:")]
    x = 96.0
    for temperature_C in (250, 300, 350, 400, 450):
        across = 11.0
        dots = tuple((x + i % 3 * across, 8 + i // 3 * across, dot_size(temperature_C)) for i in range(6))
        marks += [Dots(dots), Words((x + 36, 22.0), str(temperature_C))]
        x += 78.0
    marks += [_wedge((x + 14, 16.0), 90.0), Words((x + 30, 22.0), "where the leading edge points")]
    return Picture("What the marks mean", "Larger dots are hotter stone.", WIDE, 32.0, tuple(marks))


def dot_size(temperature_C: float) -> float:
    """Diameter of a dot of the texture: the hotter the larger, from 200 to 450 °C."""
    share = min(1.0, max(0.0, (temperature_C - COLD_C) / (HOT_C - COLD_C)))
    return DOT_LEAST + share * (DOT_MOST - DOT_LEAST)


def _held_words(held: str) -> Words:
    return Words((HALF - SIDE, 18.0), held, anchor="end")


def _facing(moves: Sequence[Move], item: ItemReport, at_s: float) -> float | None:
    own = [m for m in moves if m.item == item.item and m.facing_deg is not None and m.start_s <= at_s]
    return max(own, key=lambda m: m.start_s).facing_deg if own else None


def _texture(sheet: Sheet, oven: OvenTrack, stone: StoneMap) -> Dots:
    dots = []
    for (x_m, y_m), floor_C in zip(oven.cells_m, stone.floor_C, strict=True):
        x, y = sheet.at(x_m, y_m)
        dots.append((x, y, dot_size(floor_C)))
    return Dots(tuple(dots))


def _walls(sheet: Sheet) -> Iterator[Mark]:
    """The wall, the sill, and what orients: mouth, left, right, a length."""
    edge = outline(sheet)
    right, left = edge[0], edge[-1]
    yield Line(edge, width=3.0, name="wall")
    yield Line((left, right), width=1.2, dash=(6, 4), name="sill")
    low = sheet.sill_y
    yield Words((HALF / 2, low + 20), "mouth, you stand here", anchor="middle")
    yield Words((SIDE, low - 6), "left")
    yield Words((HALF - SIDE, low - 6), "right", anchor="end")
    length = 0.20 * sheet.scale
    yield Line(((SIDE, low + 22), (SIDE, low + 30), (SIDE + length, low + 30), (SIDE + length, low + 22)))
    yield Words((SIDE + length + 6, low + 36), "20 cm")


def _flame(sheet: Sheet, flame: FlameChange | None) -> Iterator[Mark]:
    """The ribbon where it lies; its tongues lean inward and grow with the power."""
    design = sheet.design
    path = design.flame_path_m()
    yield Line(tuple(sheet.at(x, y) for x, y in path), "orange", width=5.0, name="flame")
    if flame is None or flame.power_W <= 0:
        return
    x0, y0 = design.centre_m
    reach_m = (0.03 + 0.09 * flame.power_W / design.levels[-1].power_W) * design.diameter_m / 1.2
    half_m = design.burner.length_m / TONGUES / 2.4
    for i in range(TONGUES):
        x, y = path[round((i + 0.5) * (len(path) - 1) / TONGUES)]
        away = math.hypot(x0 - x, y0 - y)
        in_x, in_y = (x0 - x) / away, (y0 - y) / away
        feet = [(x - in_y * half_m, y + in_x * half_m), (x + in_y * half_m, y - in_x * half_m)]
        tip = (x + in_x * reach_m, y + in_y * reach_m)
        yield Area(tuple(sheet.at(*p) for p in (feet[0], tip, feet[1])), "orange", "orange", width=1.0)


def _item(sheet: Sheet, item: Standing) -> Iterator[Mark]:
    """Its outline to scale, its words, and a wedge where its leading edge points."""
    wide_m, deep_m = item.size_m()
    x, y = sheet.at(item.stay.x_m, item.stay.y_m)
    wide, deep = wide_m * sheet.scale, deep_m * sheet.scale
    if item.stay.diameter_m is not None:
        yield Disc((x, y), wide / 2, width=2.0, name=item.label)
    else:
        x1, x2, y1, y2 = x - wide / 2, x + wide / 2, y - deep / 2, y + deep / 2
        yield Area(((x1, y1), (x2, y1), (x2, y2), (x1, y2)), width=2.0, name=item.label)
    if item.facing_deg is not None:
        yield _wedge(_on_edge((x, y), wide, deep, item), item.facing_deg)
    ticket, _, _ = item.label.partition(" ")
    yield Words((x, y - 2), fitted(ticket, wide), anchor="middle", bold=True)
    yield Words((x, y + 14), fitted(item.short, wide), anchor="middle")


def fitted(word: str, room: float) -> str:
    """The word, cut with a full stop where it is wider than the room.

    >>> fitted("vegetables", 70), fitted("pizza", 76)
    ('vegetab.', 'pizza')
    """
    most = max(2, int(room / (LETTER * TEXT)))
    return word if len(word) <= most else word[: max(1, most - 1)] + "."


def _on_edge(middle: Point, wide: float, deep: float, item: Standing) -> Point:
    """Where a ray from the item's middle along its facing meets its outline, on the sheet."""
    angle = math.radians(item.facing_deg or 0.0)
    dx, dy = math.sin(angle), -math.cos(angle)
    if item.stay.diameter_m is not None:
        reach = wide / 2
    else:
        reach = min(wide / 2 / max(abs(dx), 1e-9), deep / 2 / max(abs(dy), 1e-9))
    return middle[0] + dx * reach, middle[1] + dy * reach


def _wedge(at: Point, bearing_deg: float) -> Area:
    """A small triangle that points along a bearing."""
    angle = math.radians(bearing_deg)
    dx, dy = math.sin(angle), -math.cos(angle)
    tip = (at[0] + dx * WEDGE * 1.2, at[1] + dy * WEDGE * 1.2)
    left = (at[0] - dx * WEDGE * 0.5 - dy * WEDGE, at[1] - dy * WEDGE * 0.5 + dx * WEDGE)
    right = (at[0] - dx * WEDGE * 0.5 + dy * WEDGE, at[1] - dy * WEDGE * 0.5 - dx * WEDGE)
    return Area((tip, left, right), "blue", "paper", width=1.0, name="leading edge")


def _temperatures(
    sheet: Sheet, oven: OvenTrack, stone: StoneMap, standing: Sequence[Standing]
) -> Iterator[Mark]:
    """Temperatures in print at a few places where the stone is free and the figure has room."""
    design = sheet.design
    x0, y0 = design.centre_m
    room_m = text_width("000") / 2 / sheet.scale, TEXT / 2 / sheet.scale
    flame = design.flame_path_m()
    for share, many in NUMBERS_AT:
        for i in range(many):
            bearing = 2 * math.pi * i / many
            x_m = x0 + share * design.radius_m * math.sin(bearing)
            y_m = y0 + share * design.radius_m * math.cos(bearing)
            by_flame = min(math.hypot(x - x_m, y - y_m) for x, y in flame) < 0.12 * design.diameter_m
            if by_flame or y_m < 0.05 or any(_covers(s, x_m, y_m, room_m) for s in standing):
                continue
            nearest = min(
                range(len(oven.cells_m)),
                key=lambda c: math.hypot(oven.cells_m[c][0] - x_m, oven.cells_m[c][1] - y_m),
            )
            x, y = sheet.at(x_m, y_m)
            yield Words((x, y + TEXT * 0.36), degrees(stone.floor_C[nearest]), anchor="middle")


def _covers(item: Standing, x_m: float, y_m: float, room_m: tuple[float, float]) -> bool:
    """Would a figure with this much room about a place touch the item?"""
    wide_m, deep_m = item.size_m()
    dx, dy = abs(x_m - item.stay.x_m) - room_m[0], abs(y_m - item.stay.y_m) - room_m[1]
    if item.stay.diameter_m is not None:
        return math.hypot(max(dx, 0.0), max(dy, 0.0)) < wide_m / 2 + 0.02
    return dx < wide_m / 2 + 0.02 and dy < deep_m / 2 + 0.02
