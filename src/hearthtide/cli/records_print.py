"""`records print`: a list for an inspector as PDF; `records verify`: whether the records still say so."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import cast, get_args

from rich.markup import escape

from hearthtide.cli.records_command import day_of, opened, wrong
from hearthtide.cli.shared import out, print_json
from hearthtide.house.files import read_house
from hearthtide.house.validate import close_to
from hearthtide.safety.rule_sets import rule_set, rule_set_names
from hearthtide.safety.rules import FoodClass, RuleSet
from hearthtide.service.log import Log
from hearthtide.service.records.book import Book
from hearthtide.service.records.chain import TEXT, Head, Walk
from hearthtide.service.records.entries import Corrected, Record
from hearthtide.service.records.judging import Step
from hearthtide.service.records.listing import Asked, Listing, differences, listing
from hearthtide.service.records.rules_noted import noted_rules, rules_sha256
from hearthtide.service.records.search import parsed

MOST = 5000  # entries of one print, some 200 pages; own choice


@dataclass(frozen=True)
class Whose:
    """Whose records they are, and the rules it goes by."""

    name: str
    rules: RuleSet | None

    @property
    def sha256(self) -> str:
        """Of the rules, every own one of the house among them."""
        return rules_sha256(self.rules)


def run_print(
    file: str, made: Path, asked: Asked, house: Path | None, rules: str | None, now: datetime | None = None
) -> bool:
    """Prints what is asked for; True when the chain is whole: behind a break nothing is listed."""
    from hearthtide.printing.records_pdf import records_pdf

    whose = _house(house, rules)
    if asked.step is not None and whose.rules is None:
        raise wrong("--as", asked.step, "a rule set to judge by", "Say --rules SET or --house HOUSE.")
    at = datetime.now().astimezone() if now is None else now
    offset = at.utcoffset()
    offset_min = 0 if offset is None else round(offset.total_seconds() / 60)
    with opened(file) as log:
        walk = Book(log, None).walk()
        found = listing(walk, asked, whose.rules, at.astimezone(UTC).replace(microsecond=0))
    if not 0 < len(found.entries) <= MOST:
        remedy = "Say other words or days; `hearthtide records export` writes all of them."
        raise wrong("records", f"{len(found.entries)} entries", f"1 to {MOST} for a print", remedy)
    made.write_bytes(records_pdf(found, whose.rules, whose.name, whose.sha256, offset_min))
    out.print(f"{len(found.entries)} entries of {len(found.lots)} lots printed: {escape(str(made))}")
    out.print(f"The records end at [bold]{found.head.words}[/]; SHA-256 of what is listed: {found.sha256}")
    if walk.broken is not None:
        out.print(f"[bold]Broken[/] at entry {walk.broken.seq}: {escape(walk.broken.words)}.")
    return walk.broken is None


def asked_for(
    words: str, day: str | None, first: str | None, last: str | None, step: str | None, food: str | None
) -> Asked:
    """What is asked for, from the words of the command."""
    today = date.today()
    if day is not None and (first is not None or last is not None):
        raise wrong("--day", day, "either --day or --from and --to", "Leave one of them out.")
    if step is not None and step not in get_args(Step):
        raise wrong("--as", step, f"one of {', '.join(get_args(Step))}", close_to(step, get_args(Step)))
    if food is not None and food not in get_args(FoodClass):
        foods = get_args(FoodClass)
        raise wrong("--food", food, f"one of {', '.join(foods)}", close_to(food, foods))
    if step == "cooked" and food is None:
        raise wrong("--food", "", f"the food, one of {', '.join(get_args(FoodClass))}", "Say it.")
    since, until = (None if said is None else day_of(said, today) for said in (day or first, day or last))
    return Asked(words, since, until, cast(Step | None, step), cast(FoodClass | None, food))


def _house(house: Path | None, rules: str | None) -> Whose:
    if house is not None and rules is not None:
        raise wrong("--rules", rules, "either --rules or --house", "Leave one of them out.")
    if house is not None:
        file = read_house(house).file
        return Whose(file.name, file.chosen_rules)
    if rules is not None and rules not in rule_set_names():
        raise wrong("--rules", rules, "a rule set", close_to(rules, rule_set_names()))
    return Whose("", None if rules is None else rule_set(rules))


def run_verify(made: Path, file: str, house: Path | None, json: bool) -> bool:
    """Says whether what a print lists is what the records say now; True when it is."""
    said = _verified(made, file, house)
    if json:
        body = {"agrees": said.agrees, "pages_compared": said.pages, "said": said.good, "wrong": said.bad}
        print_json("records verify", body)
        return said.agrees
    for words in said.good:
        out.print(escape(words))
    for words in said.bad:
        out.print(f"[bold]No:[/] {escape(words)}")
    if said.agrees:
        out.print("[bold]It agrees with the records.[/]")
    elif not said.pages and len(said.bad) == 1:
        out.print("[bold]Its list agrees with the records; its pages are not shown to.[/]")
    else:
        out.print("[bold]It does not agree with the records.[/]")
    return said.agrees


@dataclass
class _Said:
    good: list[str]
    bad: list[str]
    pages: bool = True  # whether they could be compared

    @property
    def agrees(self) -> bool:
        return not self.bad


def _verified(made: Path, file: str, house: Path | None) -> _Said:
    from hearthtide.printing.records_pdf import records_pdf, told, typeset_by

    try:
        printed = made.read_bytes()
    except OSError as fault:
        raise wrong(
            "FILE.pdf", str(made), f"a file that can be read ({fault.strerror})", "Name it."
        ) from fault
    print_ = told(printed)
    if print_ is None:
        raise wrong("FILE.pdf", str(made), "a print of `hearthtide records print`, whole", "Name one.")
    said = _Said([], [])
    if hashlib.sha256(print_.listed.encode()).hexdigest() != print_.sha256:
        said.bad.append("its list is not the one that its SHA-256 was taken of: the file was altered")
    asked = _asked(print_.asked)
    now = datetime.fromisoformat(print_.now)
    with opened(file) as log:
        whose = _rules_of(print_.rules, print_.rules_sha256, house, log, said)
        walk = Book(log, None).walk(print_.head)
        found = listing(walk, asked, whose.rules, now, print_.head.count)
        later = _written_since(log, print_.head) if walk.broken is None else ()
        today = listing(Book(log, None).walk(), asked, whose.rules, now) if later else found
    _chain(walk, print_.head, said)
    _list(print_.listed, found, said)
    _since(found, today, later, said)
    again = records_pdf(found, whose.rules, print_.house, whose.sha256, print_.offset_min)
    if again == printed:
        said.good.append("its pages are, byte for byte, what these records print")
    elif print_.typeset_by != typeset_by():
        said.pages = False
        said.bad.append(
            f"its pages say that {print_.typeset_by} set them and cannot be compared with those of "
            f"{typeset_by()}: go by a new print"
        )
    elif said.agrees:
        said.bad.append("its pages are not what these records print: the file was altered outside its list")
    return said


def _rules_of(named: str, sha256: str, house: Path | None, log: Log, said: _Said) -> Whose:
    """The rules of a print: a set as it is shipped, a house's, else as they stand in the records."""
    if house is not None:
        whose = _house(house, None)
    else:
        sets = (Whose("", rule_set(name)) for name in rule_set_names())
        whose = next((one for one in sets if one.sha256 == sha256), Whose("", None))
    if whose.sha256 != sha256:
        whose = Whose(whose.name, noted_rules(Book(log, None).walk(), sha256))
    if whose.sha256 != sha256:
        said.bad.append(
            f"it was judged by other rules than are here or in the records ({named}): say --house HOUSE as "
            "it was"
        )
    return whose


def _asked(plain: dict[str, str | None]) -> Asked:
    first, last = (
        None if day is None else date.fromisoformat(day) for day in (plain["first"], plain["last"])
    )
    step, food = cast(Step | None, plain["step"]), cast(FoodClass | None, plain["food"])
    return Asked(plain["words"] or "", first, last, step, food)


def _chain(walk: Walk, head: Head, said: _Said) -> None:
    if walk.broken is not None:
        said.bad.append(f"the records are broken at entry {walk.broken.seq}: {walk.broken.words}")
    else:
        said.good.append(f"the records are whole, and the print's end, entry {head.count}, lies on them")


def _list(listed: str, found: Listing, said: _Said) -> None:
    apart = differences(listed.splitlines(), found.lines())
    if apart:
        said.bad += apart[:5]
        said.bad += [f"and {len(apart) - 5} more lines"] if len(apart) > 5 else []
    else:
        said.good.append(
            f"all {len(found.entries)} entries and {len(found.verdicts)} verdicts are as it lists them"
        )


def _written_since(log: Log, head: Head) -> tuple[Record, ...]:
    later = Walk(log.lines(head.count), head)
    return tuple(parsed({seq: body[TEXT:] for seq, body in enumerate(later, head.count + 1)}))


def _since(found: Listing, today: Listing, later: tuple[Record, ...], said: _Said) -> None:
    """What was written since: where it changes a reading or a verdict that is listed, print anew."""
    listed = {one.record.id for one in found.entries}
    said.good.append(f"{len(later)} entries were written since it was printed")
    for record in later:
        if isinstance(record.body, Corrected) and record.body.of in listed:
            said.bad.append(f"{record.body.of} was corrected since, by {record.id}: print anew")
    stood = {(one.lot, one.of, one.proof, one.verdict.rule): one.verdict.answer for one in found.verdicts}
    for one in today.verdicts:
        was = stood.get((one.lot, one.of, one.proof, one.verdict.rule))
        if was not in (None, one.verdict.answer):
            words = f"{one.lot}, {one.proof}: was {was}, is {one.verdict.answer} by what was written since"
            said.bad.append(f"{words}: print anew")
