"""What a night's file alone cannot know: its dishes, its hours, its spots and allergies on this house.

Each finding comes with the part of the file it spoils: the smallest that cannot be planned as written.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hearthtide.errors import Finding
from hearthtide.house.models import DishFile, House
from hearthtide.house.night_file import ClosedFile, CourseFile, NightFile, PlateFile, TicketFile
from hearthtide.house.oven_design import design_of
from hearthtide.house.places import CLEARANCE_M, Outline, Spot, fits_at, spot_at
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document, KeyPath
from hearthtide.oven.design import OvenDesign
from hearthtide.quantities import length_text
from hearthtide.quantities.show import clock_text
from hearthtide.safety.separation import all_meant, allergy_verdicts, known_words, left_on_stone, meant


@dataclass(frozen=True)
class Wrong:
    """A finding, and the key path of what it spoils: a ticket, a plate, or one of its keys."""

    path: KeyPath
    finding: Finding


@dataclass(frozen=True)
class PlateAt:
    """One plate with its ticket and course, and the key path it was written at."""

    ticket: TicketFile
    part: CourseFile
    plate: PlateFile
    path: KeyPath


def plates_of(night: NightFile, numbers: Sequence[int]) -> Iterator[PlateAt]:
    """Every plate in order; `numbers` are the tickets' places in the file."""
    for number, ticket in zip(numbers, night.tickets, strict=True):
        yield from ticket_plates(ticket, ("tickets", number))


def ticket_plates(ticket: TicketFile, at: KeyPath) -> Iterator[PlateAt]:
    """One ticket's plates; `at` is the key path it was written at."""
    for c, part in enumerate(ticket.parts):
        course: KeyPath = ("courses", c) if ticket.courses else ()
        for j, plate in enumerate(part.plates):
            yield PlateAt(ticket, part, plate, (*at, *course, "dishes", j))


def check_night(
    night: NightFile, document: Document, house: House, numbers: Sequence[int]
) -> Iterator[Wrong]:
    """Dishes that exist, calls within hours, re-fires of something, allergies that can be heeded, spots."""
    known = words_known(house)
    for number, ticket in zip(numbers, night.tickets, strict=True):
        at: KeyPath = ("tickets", number)
        if not night.doors <= ticket.called <= night.last_call:
            expected, remedy = "a time from doors to last_call", "Correct the time or the night's hours."
            yield _wrong(document, (*at, "called"), expected, remedy)
        yield from _check_refire(ticket, night, document, at)
        yield from _check_words(ticket.allergy, known, document, at)
    for one in plates_of(night, numbers):
        yield from check_plate(one, document, house, known)
    yield from _check_spots(night, document, house, numbers)
    for k, off in enumerate(night.eighty_six):
        if off.dish not in house.dishes and off.dish not in house.set_aside:
            remedy = close_to(off.dish, house.dishes)
            yield _wrong(document, ("eighty_six", k, "dish"), "a dish of this house", remedy)
    design = design_of(house.oven)
    for k, shut in enumerate(night.closed):
        if not _on_hearth(design, shut):
            expected = "a place on this hearth"
            yield _wrong(document, ("closed", k, "x"), expected, "Correct x, y or radius.")


def _wrong(document: Document, path: KeyPath, expected: str, remedy: str) -> Wrong:
    return Wrong(path, document.finding(path, expected, remedy))


def words_known(house: House) -> frozenset[str]:
    """Every word for an allergen that means something in this house."""
    said = [(*dish.allergens.contains, *dish.allergens.may_contact) for dish in house.dishes.values()]
    return known_words() | all_meant([word for words in said for word in words])


def _check_refire(ticket: TicketFile, night: NightFile, document: Document, at: KeyPath) -> Iterator[Wrong]:
    if ticket.refire_of is None:
        return
    first = next((t for t in night.tickets if t.table == ticket.refire_of), None)
    if first is None:
        tables = [t.table for t in night.tickets if t is not ticket]
        yield _wrong(
            document, (*at, "refire_of"), "a table of this night", close_to(ticket.refire_of, tables)
        )
    elif first.called >= ticket.called:
        expected = f"a ticket called before it, not at {clock_text(first.called)}"
        yield _wrong(document, (*at, "refire_of"), expected, "Correct one of the two calls.")


def _check_words(
    words: Sequence[str], known: frozenset[str], document: Document, at: KeyPath
) -> Iterator[Wrong]:
    for k, word in enumerate(words):
        if not (word.lower() in known or meant(word) & known):
            remedy = f"{close_to(word, known_words())} Nobody else would know what to keep away."
            yield _wrong(document, (*at, "allergy", k), "an allergen by a word that is known here", remedy)


def check_plate(one: PlateAt, document: Document, house: House, known: frozenset[str]) -> Iterator[Wrong]:
    """A dish that can be made, and that its allergy order may have."""
    dish = house.dishes.get(one.plate.dish)
    if dish is None:
        if one.plate.dish in house.set_aside:
            yield _wrong(
                document,
                one.path,
                f"a dish that can be used; dishes/{one.plate.dish}.yaml is not",
                "Mend it.",
            )
        else:
            yield _wrong(document, one.path, "a dish of this house", close_to(one.plate.dish, house.dishes))
        return
    yield from _check_words(one.plate.allergy, known, document, one.path)
    on_stone = left_on_stone(tuple(house.dishes.values()))
    for verdict in allergy_verdicts(dish, one.ticket.allergy_of(one.plate), on_stone):
        if verdict.answer == "refused":
            yield _wrong(
                document,
                one.path,
                f"a dish that the allergy order of {one.ticket.table} may have: {verdict.words} "
                f"{verdict.rule.words}",
                "Ask the person in charge for another dish.",
            )


def _check_spots(
    night: NightFile, document: Document, house: House, numbers: Sequence[int]
) -> Iterator[Wrong]:
    """Every spot by hand on the hearth, at a place of its dish, and no two at once on one another."""
    design, taken = design_of(house.oven), list[tuple[PlateAt, Spot]]()
    for one in plates_of(night, numbers):
        dish = house.dishes.get(one.plate.dish)
        if one.plate.spot is None or dish is None:
            continue
        path: KeyPath = (*one.path, "spot")
        spot = _spot(design, house, dish, one.plate)
        if spot is None:
            expected = f"a spot where {dish.name} fits on this hearth"
            yield _wrong(document, path, expected, "Move it off the wall and the flame.")
            continue
        if spot.flame_m < dish.clear_of_flame or not any(spot.zone in s.places for s in dish.stages):
            expected = f"a spot at one of its places; this is {spot.zone}, {length_text(spot.flame_m)} off"
            yield _wrong(document, path, expected, "Move it, or change the dish's places.")
            continue
        other = next((o for o, at in taken if _over(at, spot) and _at_once(house, o, one)), None)
        if other is not None:
            expected = (
                f"a spot clear of {other.plate.dish} for {other.ticket.table}, which stands there then too"
            )
            yield _wrong(
                document, path, expected, "Move one of the two; until then the plan finds its place."
            )
            continue
        taken.append((one, spot))


def _spot(design: OvenDesign, house: House, dish: DishFile, plate: PlateFile) -> Spot | None:
    outline = Outline.of(dish.vessel)
    if plate.spot is None or not fits_at(design, outline, plate.spot.x, plate.spot.y):
        return None
    return spot_at(design, house.file.zones, outline, plate.spot.x, plate.spot.y)


def _over(a: Spot, b: Spot) -> bool:
    """Whether two outlines come nearer than the clearance (both are discs or rectangles grown by a disc)."""
    dx = max(abs(a.x_m - b.x_m) - (a.outline.width_m + b.outline.width_m) / 2, 0.0)
    dy = max(abs(a.y_m - b.y_m) - (a.outline.depth_m + b.outline.depth_m) / 2, 0.0)
    return math.hypot(dx, dy) - a.outline.radius_m - b.outline.radius_m < CLEARANCE_M


def _at_once(house: House, a: PlateAt, b: PlateAt) -> bool:
    """Whether two plates landing at their minutes would be on the stone together.

    Of dishes without minutes of the house's own only plates that land together are known to be.
    """
    if (a.ticket.table, a.part.lands) == (b.ticket.table, b.part.lands):
        return True
    spans = [_span(house, one) for one in (a, b)]
    return spans[0][0] < spans[1][1] and spans[1][0] < spans[0][1]


def _span(house: House, one: PlateAt) -> tuple[float, float]:
    dish = house.dishes[one.plate.dish]
    leave = one.part.lands - house.file.plating - dish.rest
    return leave - sum(stage.minutes or 0.0 for stage in dish.stages), leave


def _on_hearth(design: OvenDesign, shut: ClosedFile) -> bool:
    """Whether any of a circle lies on the hearth."""
    x0, y0 = design.hearth.centre_m
    gap = math.hypot(shut.x - x0, shut.y - y0)
    nearer = max(0.0, 1.0 - shut.radius / gap) if gap > 0 else 0.0
    return fits_at(
        design,
        Outline(0.0, 0.0, -CLEARANCE_M),
        x0 + nearer * (shut.x - x0),
        y0 + nearer * (shut.y - y0),
    )
