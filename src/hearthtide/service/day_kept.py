"""A day's plan as the house keeps it: `days/2026-06-02.json` in its folder, written whole, read with doubt.

The command that plans a day writes it, screens draw it, and nothing in it is told back. All times are seconds
from that day's own midnight; what the falling heat does after it goes on beyond 86 400.
"""

from __future__ import annotations

import os
import re
import tempfile
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator
from pydantic_core import ErrorDetails

from hearthtide.errors import Finding, InputError, StoreError
from hearthtide.house.yaml_lines import field_text, shown

FOLDER = "days"
DAY_S = 86_400.0
NEW_DAY_S = 6 * 3600.0  # before six it is still the day before, as for a night, whose clock ends at 30:00
# All own choice: some ten times the largest day (40 lots, 3 ovens, 6 people) that is likely to be written.
MAX_BYTES = 1_000_000
MOST_LINES = 2_000
MOST_LOADS = 500
MOST_POINTS = 5_000
MOST_WORDS = 200
LAST_S = 3 * DAY_S  # what dries in the falling heat may take into the day after the next
REMEDY = "Write the day anew: `hearthtide day HOUSE {day} --keep`."

Kind = Literal["fire", "hearth", "chill", "prep", "dough", "check", "reheat", "falling", "floor"]
DaySecond = Annotated[float, Field(ge=0, le=LAST_S)]
StoneC = Annotated[float, Field(ge=-50, le=1000)]  # a stone in frost to beyond any hearth's; own choice
Short = Annotated[str, Field(max_length=80)]
Words = Annotated[str, Field(min_length=1, max_length=400)]


class _Kept(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class DayLine(_Kept):
    """One thing to be done: from when until when, by whom, where, how much, by when at the latest and why."""

    from_s: DaySecond
    until_s: DaySecond | None
    who: Short
    kind: Kind
    where: Annotated[str, Field(max_length=200)]
    what: Words
    how_much: Short
    due_s: DaySecond | None
    why: Annotated[str, Field(max_length=400)]

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.until_s is not None and self.until_s < self.from_s:
            raise ValueError("until_s not before from_s")
        return self


class DayFigure(_Kept):
    """A figure of the day in words, and the sum it came from."""

    words: Words
    value: Annotated[str, Field(min_length=1, max_length=80)]
    sum: Annotated[str, Field(max_length=1000)]


class DayCurve(_Kept):
    """What the stone is foreseen to do, °C, and the band it is wanted in at doors."""

    times_s: Annotated[tuple[DaySecond, ...], Field(min_length=2, max_length=MOST_POINTS)]
    stone_C: Annotated[tuple[StoneC, ...], Field(min_length=2, max_length=MOST_POINTS)]
    band_low_C: StoneC
    band_high_C: StoneC

    @model_validator(mode="after")
    def _together(self) -> Self:
        if len(self.times_s) != len(self.stone_C):
            raise ValueError(f"as many stone_C as times_s, {len(self.times_s)}, not {len(self.stone_C)}")
        if any(b <= a for a, b in zip(self.times_s, self.times_s[1:], strict=False)):
            raise ValueError("times_s each later than the one before")
        if self.band_high_C <= self.band_low_C:
            raise ValueError("band_high_C above band_low_C")
        return self


class DayLoad(_Kept):
    """A tray, pan or platter in the oven, from its going in to its coming out."""

    tray: Annotated[str, Field(min_length=1, max_length=80)]
    in_s: DaySecond
    out_s: DaySecond
    portions: Annotated[int, Field(ge=0, le=100_000)]

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.out_s <= self.in_s:
            raise ValueError("out_s after in_s")
        return self


class KeptDay(_Kept):
    """A planned day: its lines, figures, the stone's curve, the loads, cautions, and what could not be."""

    document: Literal["hearthtide day"]
    schema_version: Literal[1]
    house: Short
    day: date
    lines: Annotated[tuple[DayLine, ...], Field(max_length=MOST_LINES)]
    figures: Annotated[tuple[DayFigure, ...], Field(max_length=MOST_WORDS)]
    curve: DayCurve | None
    loads: Annotated[tuple[DayLoad, ...], Field(max_length=MOST_LOADS)]
    cautions: Annotated[tuple[Words, ...], Field(max_length=MOST_WORDS)]
    problems: Annotated[tuple[Words, ...], Field(max_length=MOST_WORDS)]


class DayNow(BaseModel):
    """The day it is by the board's clock, and its plan; without one `wrong` says why, empty: none was kept.

    `midnight_s` is the day's own midnight in seconds of the night that the board serves. `before` are the
    lines of the day before that reach into this one (beans out of the falling heat), in this day's seconds.
    """

    model_config = ConfigDict(frozen=True)

    day: date
    midnight_s: float
    kept: KeptDay | None
    before: tuple[DayLine, ...]
    wrong: tuple[str, ...]


@dataclass(frozen=True)
class Days:
    """The kept days of a house's folder, beside the night of that date whose clock runs."""

    folder: Path
    night: date

    def at(self, now_s: float) -> DayNow:
        """The day it is at a second of the night's clock, which may have run on into later days."""
        on = int((now_s - NEW_DAY_S) // DAY_S)
        day = self.night + timedelta(days=on)
        kept, wrong = self._read(day)
        yesterday, wrong_before = self._read(day - timedelta(days=1))
        before = () if yesterday is None else _reaching_on(yesterday.lines)
        return DayNow(day=day, midnight_s=on * DAY_S, kept=kept, before=before, wrong=wrong + wrong_before)

    def _read(self, day: date) -> tuple[KeptDay | None, tuple[str, ...]]:
        try:
            return kept_day(self.folder, day), ()
        except InputError as err:
            return None, tuple(str(finding) for finding in err.findings)


def _reaching_on(lines: tuple[DayLine, ...]) -> tuple[DayLine, ...]:
    """A day's lines that are not over when the next day begins at six, in that day's seconds."""
    last_s = DAY_S + NEW_DAY_S
    return tuple(
        line.model_copy(
            update={
                "from_s": max(0.0, line.from_s - DAY_S),
                "until_s": None if line.until_s is None else line.until_s - DAY_S,
                "due_s": None if line.due_s is None else max(0.0, line.due_s - DAY_S),
            }
        )
        for line in lines
        if max(line.from_s, line.until_s or 0.0) >= last_s
    )


def kept_file(folder: Path, day: date) -> Path:
    """Where a house's day is kept."""
    return folder / FOLDER / f"{day.isoformat()}.json"


def kept_day(folder: Path, day: date) -> KeptDay | None:
    """The kept day of that date; None where none is kept.

    Raises InputError with all that is wrong in the file, by field.
    """
    file = kept_file(folder, day)
    try:
        with file.open("rb") as opened:
            body = opened.read(MAX_BYTES + 1)
    except FileNotFoundError:
        return None
    except OSError as err:
        raise _wrong(file, day, "a file that can be read", why=err.strerror or str(err)) from err
    if len(body) > MAX_BYTES:
        raise _wrong(file, day, f"at most {MAX_BYTES} bytes")
    kept = day_from(body, file, day)
    if kept.day != day:
        raise _wrong(file, day, f"{day}, as the file is called", "day", kept.day.isoformat())
    return kept


def day_from(body: bytes | str, file: Path, day: date) -> KeptDay:
    """A day from its document, as `hearthtide day --json` prints it; `file` and `day` name it in errors.

    Raises InputError with all that is wrong in it, by field.
    """
    try:
        return KeptDay.model_validate_json(body, strict=True)
    except ValidationError as err:
        details = err.errors(include_url=False)
        raise InputError(tuple(_finding(file, day, detail) for detail in details)) from None


def keep_day(folder: Path, kept: KeptDay) -> Path:
    """Writes a day into its house's folder in place of the one kept before: whole, or not at all.

    Returns the file. Raises StoreError.
    """
    file = kept_file(folder, kept.day)
    body = kept.model_dump_json(indent=1).encode() + b"\n"
    if len(body) > MAX_BYTES:
        words = f"{file} would have {len(body)} bytes, more than {MAX_BYTES}"
        raise StoreError(f"{words}: it is not kept. Plan fewer lots in one day.")
    try:
        file.parent.mkdir(exist_ok=True)
        _replace(file, body)
    except OSError as err:
        words = f"{file} cannot be written: {err.strerror or err}"
        raise StoreError(
            f"{words}. See that the folder is there and may be written, then keep the day again."
        ) from err
    return file


def _replace(file: Path, body: bytes) -> None:
    """Puts a file in place of another at one stroke; what was begun beside it is taken away if that fails."""
    with tempfile.NamedTemporaryFile(dir=file.parent, prefix=".", suffix=".part", delete=False) as part:
        try:
            part.write(body)
            part.flush()
            os.fsync(part.fileno())
            os.replace(part.name, file)
        except OSError:
            Path(part.name).unlink(missing_ok=True)
            raise


def _finding(file: Path, day: date, detail: ErrorDetails) -> Finding:
    kind, words = detail["type"], detail["msg"]
    remedy = REMEDY.format(day=day)
    if kind == "json_invalid":
        line = re.search(r"at line (\d+)", words)
        return Finding(
            f"{FOLDER}/{file.name}", int(line[1]) if line else 0, "the file", "", _lowered(words), remedy
        )
    plain = isinstance(detail["input"], str | int | float) and kind != "missing"
    value = shown(str(detail["input"])) if plain else ""
    return Finding(f"{FOLDER}/{file.name}", 0, field_text(detail["loc"]), value, _expected(detail), remedy)


def _expected(detail: ErrorDetails) -> str:
    kind = detail["type"]
    if kind.startswith("date"):
        return "a day such as 2026-06-02"
    if kind == "value_error":
        return str(detail["ctx"]["error"])
    plain = {"missing": "a value", "extra_forbidden": "no such key"}
    return plain.get(kind) or _lowered(detail["msg"].removeprefix("Input should be "))


def _lowered(words: str) -> str:
    return words[:1].lower() + words[1:]


def _wrong(
    file: Path, day: date, expected: str, field: str = "the file", value: str = "", why: str = ""
) -> InputError:
    return InputError(
        (Finding(f"{FOLDER}/{file.name}", 0, field, value or why, expected, REMEDY.format(day=day)),)
    )
