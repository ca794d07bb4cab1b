"""`hearthtide labels`: labels of lots from a house's records, for a label printer's roll or an A4 sheet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.lots_there import There, lots_there
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_house
from hearthtide.house.models import House
from hearthtide.house.pars_file import NAME as PARS
from hearthtide.house.pars_file import MadeFile, read_pars
from hearthtide.house.validate import close_to
from hearthtide.printing.labels import SIZES, TEMPLATE, Label, Size, labels_data
from hearthtide.printing.lot_codes import in_groups, lot_number, lots_meant
from hearthtide.printing.lot_labels import first_of, label_of
from hearthtide.printing.typeset import NoRoom, plain, write

SHOWN = (".pdf", ".html")


def run_labels(
    folder: Path,
    records: str | None,
    lots: tuple[str, ...],
    every_open: bool,
    size: str,
    made: Path,
    json: bool,
    now: datetime | None = None,
) -> bool:
    """Writes the labels; True when each may be used as it says, False when one bears DO NOT USE."""
    asked = _size(size)
    check_file(made)
    house = read_house(folder)
    at = (datetime.now(UTC) if now is None else now).replace(microsecond=0)
    there, pars = lots_there(folder, records), pars_of(house)
    first = first_of(there.ledger, there.lots, house, pars, at)
    chosen = there.lots if every_open and not lots else tuple(_named(one, there) for one in lots)
    if not chosen:
        raise wrong("--lot", "", "a lot, or --open for all that are not served or discarded", "Name one.")
    labels = tuple(label_of(there.ledger, lot, house, pars, at, lot in first) for lot in chosen)
    title = f"Labels, {house.file.name}"
    try:
        with progress() as tell:
            tell("page", 0.0)
            write_pages(made, TEMPLATE, labels_data(labels, asked, title), title)
    except NoRoom as full:
        remedy = f"Ask for a larger --size: {', '.join(SIZES)}; or shorten its name."
        raise wrong("--size", size, f"room for all that the label of {full} must say", remedy) from None
    if json:
        print_json("labels", plain({"labels": [_body(one) for one in labels]}))
    else:
        for one in labels:
            flag = f"  [bold]{escape(one.warning)}[/]" if one.warning else f"  {escape(one.last)}"
            out.print(f"{in_groups(lot_number(one.lot))}  {escape(one.lot)}{flag}")
        out.print(f"{len(labels)} label{'' if len(labels) == 1 else 's'} written: {escape(str(made))}")
    return not any(one.warning for one in labels)


def _body(label: Label) -> dict[str, object]:
    return {"number": lot_number(label.lot), **plain(label)}


def _size(said: str) -> Size:
    if said not in SIZES:
        raise wrong("--size", said, f"one of {', '.join(SIZES)} (mm, a4 a sheet)", close_to(said, SIZES))
    return said


def check_file(path: Path) -> None:
    """InputError for a print that is neither for paper nor for a screen."""
    if path.suffix.lower() not in SHOWN:
        raise wrong("--out", str(path), "a file that ends in .pdf, or .html for a screen", "Name it so.")


def write_pages(path: Path, template: str, data: Mapping[str, object], title: str) -> None:
    """Writes the pages; InputError for a file that cannot be written. Raises NoRoom."""
    try:
        write(path, template, data, title)
    except OSError as broken:
        why = broken.strerror or str(broken)
        raise wrong("--out", str(path), f"a file that can be written ({why})", "Name another.") from broken


def pars_of(house: House) -> Mapping[str, MadeFile]:
    """What pars.yaml makes ahead; nothing where the house has written none."""
    return read_pars(house).made if (Path(house.folder) / PARS).is_file() else {}


def _named(said: str, there: There) -> str:
    meant = lots_meant(said, there.lots)
    if len(meant) == 1:
        return meant[0]
    if meant:
        raise wrong("--lot", said, f"one lot; this number is of {' and of '.join(meant)}", "Say its name.")
    if lots_meant(said, there.gone):
        raise wrong("--lot", said, "a lot that is still there: it was served or discarded", "Name another.")
    raise wrong("--lot", said, "a lot of the records, by name or number", close_to(said, there.lots))


def wrong(field: str, value: str, expected: str, remedy: str) -> InputError:
    """What was asked wrongly."""
    return InputError((Finding("labels", 0, field, value, expected, remedy),))
