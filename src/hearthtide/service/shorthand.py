"""A ticket typed on one line, in a shorthand of our own.

    B4 x4 19:22 2 pizza, strip steak, shrimp !milk; 19:45 cheese dip

Table, covers, then courses parted by `;`. A course is its minute and its plates parted by `,`. In full::

    ticket  = table "x" covers { "!" words | "*" priority | "re" table } course { ";" course }
    course  = minute plate { "," plate } [ "/" drops [ "each" duration ] ]
    minute  = clock | "+" minutes            (19:22, or so many minutes after the call)
    plate   = [ number ] dish { "!" words }  (a number: that many plates of it)

`!` names what a guest may not have: first for the whole ticket, behind a dish for its plate.
A dish is its name or its key, or any beginning of one that no other dish shares.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from hearthtide.errors import Finding, InputError
from hearthtide.house.validate import close_to
from hearthtide.house.yaml_lines import Document, KeyPath, Plain, shown
from hearthtide.quantities.show import clock_text
from hearthtide.service.tickets import Ticket, read_ticket

LONGEST = 2000  # characters of a line; own choice, some ten times a ticket of sixty plates in courses
MOST_ALIKE = 60  # plates of a course, as in a night's file
EXAMPLE = "`B4 x4 19:22 2 pizza, shrimp`"

_HEAD = re.compile(r"\s*(?P<table>\S+)\s+x\s*(?P<covers>\S+)(?P<rest>.*)", re.DOTALL)
_OPTION = re.compile(
    r"\s*(?:!\s*(?P<allergy>[^\s!*+/,;0-9][^!*+/,;0-9]*)|\*\s*(?P<priority>[0-9.]+)|re\s+(?P<refire_of>[^\s!*+]+))\s*"
)
_WHEN = re.compile(
    r"\s*(?:(?P<clock>[0-9]{1,2}:[0-9]{2})|\+\s*(?P<minutes>[0-9]{1,3}))(?:\s+(?P<plates>.*))?", re.DOTALL
)
_DROPS = re.compile(r"(?P<plates>[^/]*)/\s*(?P<drops>[0-9]{1,3})\s*(?:each\s+(?P<apart>[^/]+?))?\s*")
_PLATE = re.compile(r"\s*(?:(?P<count>[0-9]{1,3})\s+)?(?P<dish>[^!0-9][^!]*?)\s*(?P<allergy>(?:![^!]*)*)")


def ticket_of_line(line: str, dishes: Mapping[str, str], called_s: float) -> Ticket:
    """The ticket that a line means, called at `called_s`; `dishes` are the house's names by key.

    Raises
    ------
    InputError
        With all that is wrong with the line: which part, what was written, what was expected, what to do.

    Examples
    --------
    >>> line = "B4 x2 +20 2 pizza, str; 19:50 cheese dip"
    >>> dishes = {"pizza": "Pizza", "strip_steak": "Strip steak", "cheese_dip": "Cheese dip"}
    >>> [[plate.dish for plate in course.plates] for course in ticket_of_line(line, dishes, 68_400.0).courses]
    [['pizza', 'pizza', 'strip_steak'], ['cheese_dip']]
    """
    reading = _Reading(dishes, called_s)
    reading.read(line)
    if reading.wrong:
        raise InputError(tuple(reading.wrong))
    found = read_ticket(Document("ticket", reading.data, {}, reading.texts))
    if isinstance(found, tuple):
        raise InputError(found)
    return found


@dataclass
class _Reading:
    """A line being read: what it says so far, and what is wrong with it."""

    dishes: Mapping[str, str]
    called_s: float
    data: dict[str, Plain] = field(default_factory=dict)
    texts: dict[KeyPath, str] = field(default_factory=dict)
    wrong: list[Finding] = field(default_factory=list)

    def read(self, line: str) -> None:
        if len(line) > LONGEST:
            self._wrong("line", f"{len(line)} characters", f"at most {LONGEST}", "Split it in two tickets.")
            return
        head = _HEAD.fullmatch(line)
        if head is None:
            self._wrong(
                "line", line, f"a table and its covers first, such as {EXAMPLE}", "Begin it that way."
            )
            return
        self._put(("table",), head["table"])
        self._put(("covers",), head["covers"])
        self._put(("called",), clock_text(int(self.called_s)))
        rest = self._options(head["rest"])
        courses = [self._course(n, text) for n, text in enumerate(rest.split(";"))]
        self.data["courses"] = list[Plain](courses)

    def _options(self, text: str) -> str:
        """Reads what stands before the first minute; gives back the rest."""
        words: list[str] = []
        while (option := _OPTION.match(text)) is not None:
            text = text[option.end() :]
            if option["allergy"] is not None:
                words.append(option["allergy"].strip())
            for key in ("priority", "refire_of"):
                if option[key] is not None:
                    self._put((key,), option[key])
        if words:
            self._list(("allergy",), words)
            self.data["allergy"] = list[Plain](words)
        return text

    def _course(self, n: int, text: str) -> dict[str, Plain]:
        at: KeyPath = ("courses", n)
        course: dict[str, Plain] = {}
        when = _WHEN.fullmatch(text)
        if when is None:
            expected = "its minute first, such as `19:22`, or `+20` for 20 min after the call"
            self._wrong(f"course {n + 1}", text, expected, "Write the minute, then the plates.")
            return course
        wanted = when["clock"] or clock_text(int(self.called_s) + 60 * int(when["minutes"]))
        course["wanted"] = self.texts[*at, "wanted"] = wanted
        plates = when["plates"] or ""
        drops = _DROPS.fullmatch(plates)
        if drops is not None:
            plates = drops["plates"]
            course["drops"] = self.texts[*at, "drops"] = drops["drops"]
            if drops["apart"] is not None:
                course["drops_apart"] = self.texts[*at, "drops_apart"] = drops["apart"]
        course["dishes"] = self._plates(n, plates)
        return course

    def _plates(self, n: int, text: str) -> list[Plain]:
        found: list[Plain] = []
        for k, one in enumerate(text.split(",")):
            where = f"course {n + 1}, plate {k + 1}"
            plate = _PLATE.fullmatch(one)
            if plate is None:
                expected = "a dish, or a number and a dish, such as `2 pizza`"
                self._wrong(where, one, expected, "Write one dish between two commas.")
                continue
            dish = self._dish(where, plate["dish"])
            count = int(plate["count"] or 1)
            if not 1 <= count <= MOST_ALIKE:
                self._wrong(where, str(count), f"1 to {MOST_ALIKE} plates", "Correct the number.")
                continue
            words = [word.strip() for word in plate["allergy"].split("!")[1:]]
            if "" in words:
                self._wrong(
                    where, one, "what the guest may not have, behind each `!`", "Write it, or take `!` out."
                )
            for _ in range(count if dish is not None else 0):
                at: KeyPath = ("courses", n, "dishes", len(found))
                self.texts[*at, "dish"] = plate["dish"]
                self._list((*at, "allergy"), words)
                found.append({"dish": dish, "allergy": list[Plain](words)})
        return found

    def _dish(self, where: str, text: str) -> str | None:
        """The key of the dish that a word means."""
        word = _plain(text)
        names = [(_plain(said), key) for key, name in self.dishes.items() for said in (key, name)]
        meant = sorted({key for said, key in names if said == word})
        if not meant:
            meant = sorted({key for said, key in names if word and said.startswith(word)})
        if len(meant) == 1:
            return meant[0]
        if meant:
            self._wrong(where, text, f"one dish; it may be {' or '.join(meant)}", "Write more of its name.")
        else:
            self._wrong(where, text, "a dish of this house", close_to(word, self.dishes))
        return None

    def _put(self, path: KeyPath, text: str) -> None:
        self.data[str(path[-1])] = self.texts[path] = text

    def _list(self, path: KeyPath, words: list[str]) -> None:
        self.texts.update({(*path, k): word for k, word in enumerate(words)})

    def _wrong(self, where: str, value: str, expected: str, remedy: str) -> None:
        self.wrong.append(Finding("ticket", 1, where, shown(value), expected, remedy))


def _plain(text: str) -> str:
    """A dish's name as it is compared: small letters, words joined by `_`."""
    return "_".join(re.findall(r"[^\W_]+", text.lower()))
