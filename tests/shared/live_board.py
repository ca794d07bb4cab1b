"""A live board of the invented house for tests: its night, its people, its clocks set by hand."""

from __future__ import annotations

import hashlib
from itertools import count
from pathlib import Path

from fastapi.testclient import TestClient

from hearthtide.board.access import Access
from hearthtide.board.api import Board
from hearthtide.board.app import make_app
from hearthtide.service.day_kept import Days
from hearthtide.service.night import Night
from hearthtide.service.records.book import LOG
from hearthtide.store.database import open_database
from invented_day import TUESDAY
from kept_lots import kept
from told_night import AT_S, kitchen

PINS = {"Ana": ("chef", "2580"), "Ben": ("cook", "1470"), "Iva": ("inspector", "9630")}


class LiveBoard:
    """A board with Ana (chef), Ben (cook) and Iva (inspector), and one enrolled tablet."""

    def __init__(self, folder: Path, name: str = "token", shared: bool = False) -> None:
        self.now_s, self.wall_s = AT_S, 1e9
        self.database = open_database(folder / "nights.db")
        tokens, codes = count(1), count(12345678)
        self.access = Access(
            self.database.door(),
            lambda: self.wall_s,
            lambda: f"{name}-{next(tokens):06}",
            lambda: str(next(codes)),
        )
        if not self.access.names():
            for person, (role, pin) in PINS.items():
                self.database.door().put_person(person, role, pin_kept_quick(pin))
        self.device = self.access.enrolled(self.access.new_code(), "tablet at the mouth")
        house = kitchen().house
        self.night = Night(self.database.log("tonight"), kitchen(), lambda: self.now_s)
        dishes = {key: dish.name for key, dish in house.dishes.items()}
        self.board = Board(self.night, self.access, dishes, lambda: self.now_s, shared=shared)
        self.board.records = kept(self.database.log(LOG), lambda: self.now_s)
        self.board.days = Days(folder, TUESDAY)
        self.app = make_app(self.board, frozenset({"127.0.0.1", "localhost", "testserver"}))

    def session(self, name: str = "Ben") -> str:
        return self.access.logged_in(self.device, name, PINS[name][1])

    def client(self, token: str | None = None) -> TestClient:
        headers = {} if token is None else {"Authorization": f"Bearer {token}"}
        return TestClient(self.app, headers=headers, raise_server_exceptions=False)


def pin_kept_quick(pin: str) -> str:
    """A PIN kept with a setting that is quick: the tests log in often."""
    salt = "00" * 16
    return (
        f"scrypt:2:8:1:{salt}:{hashlib.scrypt(pin.encode(), salt=bytes.fromhex(salt), n=2, r=8, p=1).hex()}"
    )
