"""What a house says about a command, whatever else has happened: dishes, allergies, cooks, flames."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from hearthtide.house.models import House
from hearthtide.house.night_checks import PlateAt, check_plate, words_known
from hearthtide.house.night_file import PlateFile
from hearthtide.house.oven_design import design_of
from hearthtide.house.places import Outline, fits_at
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document
from hearthtide.quantities.show import clock_text
from hearthtide.service.facts import Since
from hearthtide.service.tickets import Course, Plate, Ticket, file_of


@dataclass(frozen=True)
class Kitchen:
    """A house, asked whether something can be so in it. Every answer is one line, empty when it can."""

    house: House

    @cached_property
    def _known(self) -> frozenset[str]:
        return words_known(self.house)

    def ticket_wrong(self, ticket: Ticket) -> str:
        """Why a ticket cannot be served as written."""
        if ticket.courses[0].wanted_s <= ticket.called_s:
            return (
                f"wanted {clock_text(ticket.courses[0].wanted_s)} is not after it was called. Quote it anew."
            )
        for before, course in pairwise(ticket.courses):
            if course.wanted_s <= before.wanted_s + before.drag_s:
                return (
                    f"a course wanted {clock_text(course.wanted_s)} comes before the one ahead of it lands. "
                    "Put the courses in order of their minutes."
                )
        return self.plates_wrong(
            ticket.table, tuple(p for c in ticket.courses for p in c.plates), ticket.allergy
        )

    def plates_wrong(self, table: str, plates: tuple[Plate, ...], allergy: tuple[str, ...]) -> str:
        """Why one of a table's plates cannot be made, or not for a guest with that allergy."""
        return next(self._wrong(table, plates, allergy), "")

    def _wrong(self, table: str, plates: tuple[Plate, ...], allergy: tuple[str, ...]) -> Iterator[str]:
        document = Document(table, {})
        for one in plates:
            ticket = file_of(Ticket(table, 1, 0.0, (Course(0.0, (one,)),), allergy=allergy))
            (part,) = ticket.parts
            (plate,) = part.plates
            # The ticket's words on the plate, so that each of them is looked up too.
            whole = plate.model_copy(update={"allergy": ticket.allergy_of(plate)})
            for wrong in check_plate(PlateAt(ticket, part, whole, ()), document, self.house, self._known):
                yield f"{plate.dish}: expected {wrong.finding.expected}. {wrong.finding.remedy}"
            yield from self._off_hearth(plate)

    def _off_hearth(self, plate: PlateFile) -> Iterator[str]:
        dish = self.house.dishes.get(plate.dish)
        if plate.spot is None or dish is None:
            return
        outline = Outline.of(dish.vessel)
        if not fits_at(design_of(self.house.oven), outline, plate.spot.x, plate.spot.y):
            yield f"{plate.dish}: its spot is not on this hearth. Move it off the wall, or let the plan say."

    def dish_wrong(self, dish: str) -> str:
        """Why there is no such dish."""
        if dish in self.house.dishes:
            return ""
        return f"{dish} is no dish of this house. {close_to(dish, self.house.dishes)}"

    def cook_wrong(self, cook: str) -> str:
        """Why there is no such cook."""
        names = [one.name for one in self.house.file.cooks]
        return "" if cook in names else f"{cook} is no cook of this house. {close_to(cook, names)}"

    def level_wrong(self, level: str) -> str:
        """Why the flame has no such level."""
        names = [flame.name for flame in self.house.oven.flames]
        return "" if level in names else f"{level} is no flame of this oven. {close_to(level, names)}"

    @property
    def burns_gas(self) -> bool:
        """Whether a flame that goes out leaves gas behind."""
        return self.house.oven.fuel != "wood"

    def is_lower(self, level: str, than: Since | None) -> bool:
        """Whether a level gives less than what burns, or is the oven's lowest where nobody said what does."""
        power_W = {one.name: one.power_W for one in design_of(self.house.oven).levels}
        if than is None:
            return power_W[level] == min(power_W.values())
        return power_W[level] < power_W[than.name]

    @property
    def platters(self) -> int:
        """How many platters the bank holds when all are whole."""
        return 0 if self.house.file.platters is None else self.house.file.platters.count
