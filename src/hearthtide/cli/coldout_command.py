"""`coldout`: a cold unit stood warm: each item's verdict by the chosen code, what is lost, the day left."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.cooldown_command import Limits, limits_of, plan_body, plan_lines
from hearthtide.cli.records_command import id_of, opened
from hearthtide.cli.records_entered import run_deviation
from hearthtide.cli.shared import err, out, print_json
from hearthtide.day.chill_lots import ColdUnit
from hearthtide.day.chill_units import lots_of, units_of
from hearthtide.day.cold_day import Anew, NewDay, new_day
from hearthtide.errors import Finding, InputError
from hearthtide.house.chill_file import ChillFile, ToCool, read_chill
from hearthtide.house.cold_file import Found, take_inside, take_logger
from hearthtide.house.files import read_house
from hearthtide.house.models import House
from hearthtide.house.pars_file import NAME as PARS
from hearthtide.house.pars_file import read_pars
from hearthtide.house.validate import close_to
from hearthtide.quantities.parse import parse_clock_s
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import CHILL_CAUTIONS
from hearthtide.safety.cold_failure import ColdVerdict, Inside, cold_failure_verdict
from hearthtide.safety.readings import Reading
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.service.records.book import Book
from hearthtide.service.records.entries import ReadingTaken, Record

DEVICE = "command line"
# Common practice, no source.
COLD_CAUTIONS = (
    "Nothing of it is served, tasted or cooked on until each verdict is settled; what is discarded is made "
    "unusable and written down. Heating does not mend food that was warm too long.",
    "A failed unit is looked at by somebody licensed for it. It takes nothing in before its air and a probe "
    "in something within it have stood at its limit.",
)


@dataclass(frozen=True)
class ColdoutAsked:
    """The options as given; None where nothing was."""

    folder: Path
    unit: str
    logger: Path
    inside: Path
    now: str
    last_good: str | None = None
    rules: str | None = None
    lands: str | None = None
    load: str | None = None
    window: str | None = None
    doors: str | None = None
    mended: bool = False
    records: str | None = None
    person: str = ""


@dataclass(frozen=True)
class Told:
    """All that the answer says."""

    house: House
    limits: Limits
    items: tuple[tuple[Found, ColdVerdict], ...]
    currency: str
    air: tuple[Reading, ...]
    now: datetime
    left_out: tuple[Finding, ...]
    day: NewDay | None
    units: tuple[ColdUnit, ...]

    def value(self, outcome: str) -> float:
        """What the items of an outcome are worth."""
        return sum(found.value for found, one in self.items if one.outcome == outcome)

    @property
    def spoiled(self) -> tuple[Found, ...]:
        """What no rule speaks of and its own note calls gone."""
        return tuple(found for found, one in self.items if one.outcome == "not by this rule" and found.note)


def run_coldout(asked: ColdoutAsked, json: bool) -> bool:
    """Prints the verdicts and the day; True when nothing is over its limit and every row could be read."""
    told = _told(asked)
    for finding in told.left_out:
        err.print(f"Set aside: {escape(str(finding))}", soft_wrap=True)
    if json:
        print_json("coldout", _body(asked, told))
    else:
        _print(asked, told)
    if asked.records is not None:
        _record(asked, told)
    settled = all(one.outcome in ("within its limit", "not by this rule") for _, one in told.items)
    return settled and not told.left_out


def _told(asked: ColdoutAsked) -> Told:
    house = read_house(asked.folder)
    file = read_chill(house)
    if asked.unit not in file.units:
        raise bad("UNIT", asked.unit, "a unit of chill.yaml", close_to(asked.unit, file.units))
    limits = limits_of(house.file.chosen_rules, asked.rules)
    if limits.rules is None:
        raise bad("--rules", "", "the code that decides", "Say --rules SET, or write it into house.yaml.")
    if asked.records is not None and not asked.person.strip():
        raise bad("--person", "", "a name with --records", "Say who writes it down.")
    now, last_good = _instant("--now", asked.now), None
    if asked.last_good is not None:
        last_good = _instant("--last-good", asked.last_good)
    air, odd = take_logger(asked.logger, asked.unit)
    found, wrong = take_inside(asked.inside, now)
    rules, at = limits.rules, now.astimezone(UTC)
    good = None if last_good is None else last_good.astimezone(UTC)
    items = tuple((one, cold_failure_verdict(rules, _inside(one), air, good, at)) for one in found)
    units = units_of(file, () if asked.mended else (asked.unit,))
    day = _new_day(asked, house, file, units, limits)
    currency = read_pars(house).currency if (Path(house.folder) / PARS).is_file() else "money "
    return Told(house, limits, items, currency, air, now, (*odd, *wrong), day, units)


def _inside(one: Found) -> Inside:
    return Inside(one.item, one.needs_cold, () if one.reading is None else (one.reading,))


def _new_day(
    asked: ColdoutAsked, house: House, file: ChillFile, units: tuple[ColdUnit, ...], limits: Limits
) -> NewDay | None:
    """What lands, in loads; None where nothing was said to land."""
    if asked.lands is None:
        return None
    parts = asked.lands.split()
    form = "KEY PORTIONS HH:MM, such as 'chicken 20 11:30'"
    if len(parts) != 3 or not _whole(parts[1]) or int(parts[1]) < 1:
        raise bad("--lands", asked.lands, form, "Write it so.")
    if parts[0] not in file.things:
        raise bad("--lands", asked.lands, "something that chill.yaml holds", close_to(parts[0], file.things))
    if asked.load is None or asked.window is None or asked.doors is None:
        raise bad("--lands", asked.lands, "--load, --window and --doors with it", "Say all three.")
    count, _, minutes = asked.load.partition(" ")
    if not (_whole(count) and _whole(minutes.strip()) and int(count) and int(minutes)):
        raise bad("--load", asked.load, "portions and minutes, such as '9 50'", "Write it so.")
    first, _, last = asked.window.partition("-")
    anew = Anew(
        int(parts[1]),
        _clock_s("--lands", parts[2]),
        int(count),
        60.0 * int(minutes),
        (_clock_s("--window", first), _clock_s("--window", last)),
        _clock_s("--doors", asked.doors),
    )
    thing = file.things[parts[0]]
    row = ToCool(parts[0], 1, anew.window_s[0])
    one = replace(lots_of(house, file, (row,), units)[0], trays=thing.per_tray)
    return new_day(anew, one, units, limits.chill, limits.cold_C, limits.hot_C)


def _whole(text: str) -> bool:
    """Whether it is a whole number of up to five plain digits.

    >>> [_whole(text) for text in ("50", "²", "٣", "", "100000")]
    [True, False, False, False, False]
    """
    return text.isascii() and text.isdecimal() and len(text) <= 5


def bad(name: str, value: str, expected: str, remedy: str) -> InputError:
    return InputError((Finding("coldout", 0, name, value, expected, remedy),))


def _instant(name: str, text: str) -> datetime:
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        when = datetime.min
    if when.utcoffset() is None:
        raise bad(name, text, "a time with its offset, such as 2026-06-02T08:30-04:00", "Write it so.")
    return when


def _clock_s(name: str, text: str) -> float:
    try:
        return parse_clock_s(text)
    except ValueError as odd:
        raise bad(name, text, str(odd).removeprefix("expected "), "Write it so, such as 14:30.") from odd


def _print(asked: ColdoutAsked, told: Told) -> None:
    rules = told.limits.rules
    assert rules is not None
    out.print(f"[bold]{escape(told.house.file.name)}, {escape(asked.unit)} stood warm[/], {told.now:%H:%M}")
    out.print(f"  By {escape(rules.named)}. Another code may say otherwise: this is the one that was chosen.")
    for found, one in told.items:
        _print_item(told, found, one)
    for words in _sums(told):
        out.print(f"  [bold]{escape(words)}[/]")
    _print_day(told)
    for caution in (*COLD_CAUTIONS, *(CHILL_CAUTIONS if told.day else ()), chosen_words(rules)):
        out.print(f"[dim]{escape(caution)}[/]")


def _print_item(told: Told, found: Found, one: ColdVerdict) -> None:
    portions = "" if found.portions is None else f"{found.portions} "
    read = "not read" if found.reading is None else f"{found.reading.value} °{found.reading.unit}"
    money = f"{told.currency}{found.value:.0f}"
    out.print(f"  [bold]{escape(one.outcome)}[/]: {portions}{escape(found.item)}, {read}, {escape(money)}")
    for verdict in dict.fromkeys((one.kept, one.time)):
        out.print(f"      {verdict.answer}: {escape(verdict.words)} [dim]{escape(verdict.section)}[/]")
    if found.note:
        out.print(f"      {escape(found.note)}")


def _sums(told: Told) -> list[str]:
    """What is lost, in words with its sum."""
    said = []
    for outcome, words in (("discard", "Discard"), ("a person decides", "A named person decides on")):
        parts = [f"{found.value:.0f}" for found, one in told.items if one.outcome == outcome]
        if parts:
            said.append(f"{words}: {' + '.join(parts)} = {told.currency}{told.value(outcome):.0f}")
    for found in told.spoiled:
        said.append(f"{found.item}, for its quality ({found.note}): {told.currency}{found.value:.0f}")
    return said


def _print_day(told: Told) -> None:
    for words in _day_words(told):
        out.print(f"  {escape(words)}")
    if told.day is not None:
        for line in plan_lines(told.day.chilled, told.limits, told.units):
            out.print(line)


def _day_words(told: Told) -> list[str]:
    """What the day can still be."""
    said, day = [], told.day
    if day is not None:
        loads = ", ".join(
            f"{one.portions} in at {clock_text(one.from_s)}, out {clock_text(one.ready_s)}"
            for one in day.loads
        )
        said.append(f"Loads: {loads or 'none fits into the window'}.")
        said.append(
            f"{day.most} at most tonight, then it is 86: what is sold is counted down from {day.most}."
        )
        if day.hold_hot and told.limits.hot_C is not None:
            said.append(
                f"They cannot be cold before doors: hold them hot at {told.limits.hot_C:.3g} °C or above, by "
                "probe, and flash to order."
            )
    for found in told.spoiled:
        if found.best_day is not None and found.best_day > 1:
            said.append(
                f"{found.item}: made today it is inferior, best on day {found.best_day}. Say so to the cooks "
                "and sell less of it."
            )
    return said


def _body(asked: ColdoutAsked, told: Told) -> dict[str, object]:
    rules = told.limits.rules
    assert rules is not None
    day = None
    if told.day is not None:
        day = {
            "loads": [asdict(one) for one in told.day.loads],
            "most_portions": told.day.most,
            "hold_hot": told.day.hold_hot,
            "hot_C": told.limits.hot_C,
            "chilled": plan_body(told.day.chilled, told.limits, told.units),
        }
    return {
        "house": told.house.file.name,
        "unit": asked.unit,
        "rules": rules.named,
        "rule_set": rules.id,
        "items": [_item(found, one) for found, one in told.items],
        "currency": told.currency,
        "discarded_value": told.value("discard"),
        "undecided_value": told.value("a person decides"),
        "spoiled_value": sum(one.value for one in told.spoiled),
        "words": [*_sums(told), *_day_words(told)],
        "day": day,
        "left_out": [str(one) for one in told.left_out],
        "cautions": [*COLD_CAUTIONS, chosen_words(rules)],
    }


def _item(found: Found, one: ColdVerdict) -> dict[str, object]:
    minutes = None
    if one.out is not None:
        minutes = [round(one.out.least.total_seconds() / 60), round(one.out.most.total_seconds() / 60)]
    return {
        "item": found.item,
        "portions": found.portions,
        "value": found.value,
        "outcome": one.outcome,
        "out_minutes": minutes,
        "kept": asdict(one.kept),
        "time": asdict(one.time),
        "note": found.note,
    }


def _record(asked: ColdoutAsked, told: Told) -> None:
    """The readings, and a deviation for the unit and each item discarded or undecided, on its reading."""
    assert asked.records is not None
    ids: dict[str, str] = {}
    with opened(asked.records) as log:
        book, entered = Book(log, told.limits.rules), datetime.now(UTC)
        items = [found.reading for found, _ in told.items if found.reading is not None]
        for read in (*_air_shown(told), *items):
            id = ids[read.lot] = id_of(read)
            if log.by_id(id) is None:
                taken = ReadingTaken(replace(read, id=id))
                book.write(Record(id, asked.person, DEVICE, read.at, entered, read.offset_min, taken))
    over = [(found, one) for found, one in told.items if one.outcome in ("discard", "a person decides")]
    for found, one in over:
        of_time = one.outcome == "discard" or one.kept.answer == "pass"
        verdict = one.time if of_time else one.kept
        words = f"{asked.unit}: " + "; ".join(dict.fromkeys((one.kept.words, one.time.words)))
        on = [ids[found.item]] if found.item in ids else []
        rule = verdict.rule or one.kept.rule or "cold holding"
        run_deviation(asked.records, found.item, rule, words, on, asked.person, asked.now)
    if over and told.air:
        words = f"its air: {' and '.join(one.words for one in _air_shown(told))}"
        rule = over[0][1].kept.rule or "cold holding"
        run_deviation(asked.records, asked.unit, rule, words, [ids[asked.unit]], asked.person, asked.now)


def _air_shown(told: Told) -> tuple[Reading, ...]:
    """The logger's first row and its warmest: what came about; the whole table is kept apart."""
    if not told.air:
        return ()
    first = min(told.air, key=lambda one: one.at)
    warmest = max(
        told.air, key=lambda one: (one.value if one.unit == "C" else (one.value - 32) * 5 / 9, one.at)
    )
    return (first, warmest)
