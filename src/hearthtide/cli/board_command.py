"""`hearthtide board`: tonight's log behind the API, for tablets, the pass and a till."""

from __future__ import annotations

import getpass
import secrets
import sys
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from datetime import time as time_of_day
from pathlib import Path

from rich.markup import escape

from hearthtide.board.access import Access
from hearthtide.board.api import Board
from hearthtide.board.app import LOOPBACK, make_app
from hearthtide.board.conducting import conducted
from hearthtide.board.run import run
from hearthtide.cli.plan_command import tell_left_out
from hearthtide.cli.records_print import MOST, Whose
from hearthtide.cli.shared import err, out
from hearthtide.errors import Finding, InputError
from hearthtide.house.files import read_house, take_night
from hearthtide.house.models import House, NightFile
from hearthtide.safety.rule_sets import chosen_words
from hearthtide.service.day_kept import NEW_DAY_S, Days
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.log import Log
from hearthtide.service.night import Night
from hearthtide.service.records.book import LOG, Book
from hearthtide.service.records.keeping import Keeping
from hearthtide.service.records.listing import Asked, listing
from hearthtide.service.records.told import Place
from hearthtide.service.shown_house import shown_house
from hearthtide.store.database import open_database

STORE = "nights.db"


def run_board(
    folder: Path,
    night: str | None,
    store: str | None,
    host: str,
    port: int,
    names: tuple[str, ...],
    certificate: Path | None,
    key: Path | None,
    chef: str | None,
    books: str | None,
) -> None:
    """Serves one night until stopped; with the night its `books` foresee it is planned too."""
    if (certificate is None) != (key is None):
        raise _wrong("--certificate", "", "a certificate and its key", "Name both files.")
    house, day = read_house(folder), _day(night)
    foreseen = None if books is None else _books(house, books)
    midnight_s = datetime.combine(day, time_of_day()).timestamp()

    def clock() -> float:
        return time.time() - midnight_s

    where = store or str(folder / STORE)
    with open_database(where) as database:
        access = Access(
            database.door(),
            time.time,
            lambda: secrets.token_urlsafe(32),
            lambda: f"{secrets.randbelow(10**8):08}",
        )
        _first_person(access, chef)
        log = database.log(f"{folder.resolve().name}/{day.isoformat()}")
        dishes = {name: dish.name for name, dish in house.dishes.items()}
        live = Night(log, Kitchen(house), clock)
        board = Board(live, access, dishes, clock, shared="://" in where, secure=certificate is not None)
        board.prints = _prints(database.log(LOG), house)
        board.records = Keeping(database.log(LOG), house, wall_place(midnight_s), lambda: datetime.now(UTC))
        board.records.note_rules("the board", "the board")
        board.house = shown_house(house, foreseen, day.isoformat())
        board.days = Days(folder, day)
        if foreseen is not None:
            board.doors_s = float(foreseen.doors)
        answers_to = LOOPBACK | {name.lower() for name in names} | {host.lower()}

        def ready(at: int) -> None:
            scheme = "http" if certificate is None else "https"
            out.print(f"{escape(house.file.name)}, night of {day}: {scheme}://{host}:{at}/", soft_wrap=True)
            out.print(f"{live.state.seq} events so far, kept in {escape(_shown(where))}")
            if foreseen is None:
                out.print("Nothing is planned: `--books NIGHT` names the night that is foreseen.")
            code = access.first_code()
            if code is not None:
                out.print(
                    f"No device is enrolled. The first shows this code within 5 minutes: [bold]{code}[/]"
                )
            _tell_reach(host, certificate)
            out.print(f"[dim]{escape(chosen_words(house.file.chosen_rules))}[/]")
            sys.stdout.flush()

        with conducted(board, house, foreseen):
            run(make_app(board, answers_to), host, port, certificate, key, ready)


def _prints(log: Log, house: House) -> Callable[[str, date | None], bytes]:
    """Prints what the records have, at this machine's own hour."""

    def prints(words: str, day: date | None) -> bytes:
        from hearthtide.printing.records_pdf import records_pdf

        now, rules = datetime.now().astimezone(), house.file.chosen_rules
        asked = Asked(words, day, day)
        found = listing(Book(log, None).walk(), asked, rules, now.astimezone(UTC).replace(microsecond=0))
        if not 0 < len(found.entries) <= MOST:
            remedy = "Say other words or another day."
            raise _wrong("records", f"{len(found.entries)} entries", f"1 to {MOST} for a print", remedy)
        offset = now.utcoffset()
        assert offset is not None
        whose = Whose(house.file.name, rules)
        return records_pdf(found, rules, whose.name, whose.sha256, round(offset.total_seconds() / 60))

    return prints


def wall_place(midnight_s: float) -> Place:
    """The night's first midnight, and this machine's own clock on the wall."""

    def offset_min(at: datetime) -> int:
        offset = at.astimezone().utcoffset()
        assert offset is not None
        return round(offset.total_seconds() / 60)

    return Place(datetime.fromtimestamp(midnight_s, UTC), offset_min)


def _books(house: House, name: str) -> NightFile:
    """The night that is foreseen, with what of it had to be left out told on standard error."""
    taken = take_night(house, name)
    tell_left_out(taken.wrong, taken.gone)
    return taken.night


def _day(night: str | None) -> date:
    """The night's day: as written, else today's, which lasts until six in the morning."""
    if night is None:
        return (datetime.now() - timedelta(seconds=NEW_DAY_S)).date()
    try:
        return date.fromisoformat(night)
    except ValueError:
        raise _wrong("--night", night, "a day such as 2026-03-06", "Write it so.") from None


def _first_person(access: Access, chef: str | None) -> None:
    """Somebody has to be written down before anybody can come in."""
    if access.names():
        if chef is not None:
            raise _wrong(
                "--chef", chef, "it only the first time", "People are written down through the API now."
            )
        return
    if chef is None:
        raise _wrong(
            "--chef", "", "the chef's name, the first time", "Say `--chef NAME`; a PIN is asked for."
        )
    pin = getpass.getpass("PIN (4 to 12 digits): ") if sys.stdin.isatty() else sys.stdin.readline().strip()
    access.person(None, chef, "chef", pin)


def _tell_reach(host: str, certificate: Path | None) -> None:
    if host in LOOPBACK:
        out.print(
            "Only this machine reaches it. `--host 0.0.0.0 --name NAME` opens it to the house's network."
        )
        return
    err.print("Everything on this network reaches it. Keep it off the guests' network and the internet.")
    if certificate is None:
        err.print(
            "Without `--certificate` and `--key` PINs and tickets cross the network readable to all on it.",
            soft_wrap=True,
        )


def _shown(where: str) -> str:
    from sqlalchemy.engine import make_url

    return make_url(where).render_as_string(hide_password=True) if "://" in where else where


def _wrong(field: str, value: str, expected: str, remedy: str) -> InputError:
    return InputError((Finding("board", 0, field, value, expected, remedy),))
