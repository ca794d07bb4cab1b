"""`records`: what is written down besides readings: lots, what they became, probe checks, deviations."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import cast, get_args

from rich.markup import escape

from hearthtide.cli.records_command import opened, value_of, wrong
from hearthtide.cli.shared import out
from hearthtide.house.files import read_house
from hearthtide.house.validate import close_to
from hearthtide.safety.cautions import NO_RULES
from hearthtide.safety.par_cook import Procedure
from hearthtide.safety.probe_check import Checked, Scale, boiling_reference, check_verdict
from hearthtide.safety.readings import Unit
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.rules import FoodClass, RuleSet
from hearthtide.safety.states import Proof, State
from hearthtide.safety.verdicts import Verdict
from hearthtide.service.records.book import Book, says
from hearthtide.service.records.chain import TEXT
from hearthtide.service.records.entries import (
    Body,
    Closed,
    Corrected,
    Deviation,
    LotBecame,
    LotMade,
    ProbeChecked,
    Proved,
    ReadingTaken,
    Record,
)
from hearthtide.service.records.ledger import Ledger, NotSo
from hearthtide.service.records.proofs import Said, again, fallen, proofs
from hearthtide.service.records.search import lot_of

DEVICE = "command line"
# Common practice, no source.
SCALDS = "Boiling water and its steam scald: a pot that stands firm, a dry glove, the hand beside the steam."
DAY = slice(TEXT + 7, TEXT + 17)  # of an entry's body: the date in UTC of what it tells


@dataclass(frozen=True)
class When:
    """An instant, with the offset of the place from UTC."""

    at: datetime
    offset_min: int


def when(said: str | None, field: str = "--at") -> When:
    """A time as it is typed, with its offset from UTC; now, on this machine's clock, where none is."""
    if said is None:
        time = datetime.now().astimezone()
    else:
        try:
            time = datetime.fromisoformat(said)
        except ValueError:
            time = datetime.min
    offset = time.utcoffset()
    if offset is None:
        expected = "a time with its offset from UTC"
        raise wrong(field, said or "", expected, "Such as 2026-06-02T14:00-04:00.")
    return When(time.astimezone(UTC), round(offset.total_seconds() / 60))


@dataclass(frozen=True)
class Rules:
    """The rule set somebody named, or a house's, with its approved procedure."""

    rules: RuleSet | None
    procedure: Procedure | None


def rules_of(name: str | None, house: Path | None) -> Rules:
    """The set of an id, or that of a house; none where neither is named."""
    if name is not None and house is not None:
        raise wrong("--rules", name, "either --rules or --house", "Leave one of them out.")
    if house is not None:
        file = read_house(house).file
        return Rules(file.chosen_rules, None if file.rules is None else file.rules.par_cook)
    if name is not None and name not in rule_set_names():
        raise wrong("--rules", name, "a rule set", close_to(name, rule_set_names()))
    return Rules(None if name is None else rule_set(name), None)


def rules_known(ledger: Ledger) -> RuleSet | None:
    """The set the records themselves went by last; None where they name none that is here."""
    named = [turn for record in ledger.records if isinstance(turn := record.body, LotBecame) and turn.rules]
    return rule_set(named[-1].rules) if named and named[-1].rules in rule_set_names() else None


def written(book: Book, kind: str, body: Body, person: str, time: When, key: str) -> Record:
    digest = hashlib.sha256(f"{kind}|{key}|{time.at.isoformat()}|{person}".encode()).hexdigest()[:20]
    record = Record(f"{kind}-{digest}", person, DEVICE, time.at, datetime.now(UTC), time.offset_min, body)
    head = book.write(record)
    out.print(f"Written as {record.id}. The records end at [bold]{head.words}[/].")
    return record


def run_correct(file: str, of: str, read: str, why: str, person: str, second: str, by: Rules) -> None:
    """Writes a correction of a reading; the old one stays.

    Whether it needs a second person is asked of the rules that are named, or of those the records went by.
    """
    with opened(file) as log:
        ledger = Book(log, None).about(says("id", of))
        last = ledger.as_it_stands(of)
        if last is None:
            raise wrong("ENTRY", of, "the id of a reading", "`hearthtide records find` prints them.")
        value, unit = value_of(read, "--read")
        id = f"{of}-corrected-{len(ledger.corrections(of)) + 1}"
        reading = replace(last, id=id, value=value, unit=unit)
        now = datetime.now(UTC)
        corrected = Corrected(of, reading, why, second)
        rules = by.rules or rules_known(ledger)
        head = Book(log, rules).write(Record(id, person, DEVICE, now, now, last.offset_min, corrected))
    out.print(f"Corrected: {escape(last.words)} is now {escape(reading.words)}; both stand.")
    if rules is None and not second:
        out.print("No rule set is named here or in the records: nobody was asked whether it helps a verdict.")
    out.print(f"The records end at [bold]{head.words}[/].")


def run_lot(
    file: str, name: str, dish: str, quantity: str, of: list[str], person: str, at: str | None
) -> None:
    """Writes that food was made ahead in one go."""
    with opened(file) as log:
        written(Book(log, None), "lot", LotMade(name, dish, quantity, tuple(of)), person, when(at), name)


def run_state(file: str, lot: str, to: str, person: str, at: str | None, by: Rules, said: Said) -> None:
    """Writes what a lot became, with what proves it. Raises NotSo where it is not proved."""
    if to not in get_args(State):
        raise wrong("STATE", to, f"one of {', '.join(get_args(State))}", close_to(to, get_args(State)))
    state, time = cast(State, to), when(at)
    rules, found = by.rules, dict[Proof, Verdict]()
    with opened(file) as log:
        book = Book(log, rules)
        if rules is not None:
            ledger = book.about(says("lot", lot))
            short = fallen(ledger, rules, lot, state, time.at)
            if short:
                raise NotSo(f"{' '.join(short)} Hold it for a named person's decision.")
            found = proofs(ledger, rules, lot, state, time.at, time.offset_min, said)
        for name, one in found.items():
            out.print(f"{name}: [bold]{one.answer}[/], {escape(one.words)} [dim]{escape(one.section)}[/]")
        proved = tuple(
            Proved(name, v.answer, v.rule, v.section, v.words, v.readings) for name, v in found.items()
        )
        became = LotBecame(lot, state, proved, "" if rules is None else rules.id, said.food)
        written(book, "became", became, person, time, f"{lot}|{to}")
    by_rules = NO_RULES if rules is None else escape(rules.named)
    out.print(f"{escape(lot)} is written down as {state}. [dim]{by_rules}[/]")


def said_of(food: str | None, into: str | None, left_cold: str | None, marked: str | None, by: Rules) -> Said:
    """What somebody says besides the readings."""
    if food is not None and food not in get_args(FoodClass):
        foods = get_args(FoodClass)
        raise wrong("--food", food, f"one of {', '.join(foods)}", close_to(food, foods))
    try:
        mark = None if marked is None else date.fromisoformat(marked)
    except ValueError:
        raise wrong("--marked", str(marked), "a date such as 2026-06-08", "Write it so.") from None
    return Said(
        cast(FoodClass | None, food),
        None if into is None else when(into, "--into").at,
        None if left_cold is None else when(left_cold, "--left-cold").at,
        mark,
        by.procedure,
    )


def run_probe(
    file: str,
    instrument: str,
    showed: str,
    reference: str,
    scale: str,
    person: str,
    at: str | None,
    by: Rules,
) -> bool:
    """Writes a thermometer's check down and says what it puts in doubt; False where it failed."""
    if scale not in get_args(Scale):
        raise wrong("--scale", scale, f"one of {', '.join(get_args(Scale))}", "Say what it can show.")
    shown, unit = value_of(showed, "--showed")
    time = when(at)
    key = f"{instrument}|{showed}"
    digest = hashlib.sha256(f"{key}|{time.at.isoformat()}".encode()).hexdigest()[:20]
    known = reference_of(reference, unit)
    checked = Checked(f"check-{digest}", instrument, time.at, person, shown, known, unit, cast(Scale, scale))
    if reference.startswith("boiling"):
        out.print(SCALDS)
    with opened(file) as log:
        book = Book(log, by.rules)
        rules = by.rules or rules_known(book.about(lambda _: False))
        written(book, "check", ProbeChecked(checked), person, time, key)
        if rules is None:
            out.print(f"{escape(instrument)} is {checked.off:+} °{unit} off. {NO_RULES}")
            return True
        found = check_verdict(rules, checked)
        out.print(f"[bold]{found.answer}[/]: {escape(found.words)} [dim]{escape(found.section)}[/]")
        if found.answer == "fail":
            out.print("Take it out of use. What was read with it since its last good check is in doubt:")
            _doubted(book, rules, checked)
    return found.answer == "pass"


def _doubted(book: Book, rules: RuleSet, failed: Checked) -> None:
    """Prints every pass that a failed check takes, and the lots that were read with the thermometer since."""
    checks = (one for one in book.about(lambda _: False).checks(failed.instrument) if one.at < failed.at)
    since = max((one.at for one in checks if check_verdict(rules, one).passes), default=None)
    lots = _read_with(book, failed, since)
    after = book.about(lambda body: lot_of(body) in lots)
    before = Ledger(
        tuple(
            record
            for record in after.records
            if not isinstance(record.body, ProbeChecked) or record.body.checked.id != failed.id
        )
    )
    for record in after.records:
        if not isinstance(record.body, LotBecame) or record.body.lot not in lots:
            continue
        was = again(before, rules, record)
        for name, one in again(after, rules, record).items():
            if one.answer != was[name].answer:
                out.print(
                    f"  {escape(record.body.lot)}, {name}: was {was[name].answer}, is [bold]{one.answer}[/]: "
                    f"{escape(one.words)}. Hold it for a named person's decision."
                )
    out.print(f"  Read with it since: {escape(', '.join(lots)) or 'nothing'}.")


def _read_with(book: Book, failed: Checked, since: datetime | None) -> dict[str, None]:
    """The lots that were read with a thermometer after its last good check and before the failed one."""
    with_it = says("instrument", failed.instrument)
    first = "" if since is None else since.date().isoformat()
    taken = book.about(lambda body: with_it(body) and body[DAY] >= first)
    return dict.fromkeys(
        one.lot
        for record in taken.records
        if isinstance(record.body, ReadingTaken | Corrected)
        and (one := record.body.reading).instrument == failed.instrument
        and (since is None or since < one.at)
        and one.at < failed.at
    )


def reference_of(said: str, unit: Unit) -> Decimal:
    """What a thermometer should show: `ice`, `boiling at 300 m`, or a temperature in the unit it showed."""
    if said == "ice":
        return Decimal(0) if unit == "C" else Decimal(32)
    if said.startswith("boiling"):
        height = said.removeprefix("boiling").strip().removeprefix("at").strip().removesuffix("m").strip()
        try:
            return boiling_reference(float(height or 0), unit)
        except ValueError as fault:
            raise wrong("--against", said, f"such as `boiling at 300 m` ({fault})", "Write it so.") from None
    value, of = value_of(said, "--against")
    if of != unit:
        raise wrong("--against", said, f"the unit it showed, °{unit}", "Write both in one unit.")
    return value


def run_deviation(
    file: str, lot: str, rule: str, found: str, on: list[str], person: str, at: str | None
) -> None:
    """Writes that something was not as a rule asks."""
    with opened(file) as log:
        book = Book(log, None)
        for id in on:
            if book.about(says("id", id)).as_it_stands(id) is None:
                raise wrong("--on", id, "the id of a reading", "`hearthtide records find` prints them.")
        written(book, "deviation", Deviation(lot, rule, found, tuple(on)), person, when(at), f"{lot}|{found}")
    out.print(
        "It is open until its cause, control again, prevention and what became of the food are written."
    )


def run_close(file: str, of: str, four: tuple[str, str, str, str], person: str, at: str | None) -> None:
    """Closes a deviation with all four said."""
    names = ("--cause", "--control", "--prevention", "--disposition")
    for name, words in zip(names, four, strict=True):
        if not words.strip():
            raise wrong(name, words, "words: a deviation closes with all four", "Say it, or leave it open.")
    with opened(file) as log:
        written(Book(log, None), "closed", Closed(of, *four), person, when(at), of)


def run_open(file: str) -> bool:
    """Prints the deviations nobody has closed; True when there is none."""
    with opened(file) as log:
        left = Book(log, None).about(lambda _: False).open_deviations()
    for record in left:
        body = record.body
        if isinstance(body, Deviation):
            said = escape(f"{body.lot}: {body.rule}, {body.found}")
            out.print(f"{record.id}  {said} [dim]{escape(record.person)}[/]")
    out.print(f"{len(left)} open.")
    return not left
