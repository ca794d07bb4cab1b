"""A planned board and its screens, driven through a night: the clocks of all of them skip together."""

from __future__ import annotations

import json
import time
import urllib.request
from collections import Counter
from itertools import count
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, expect

from board_process import CODE
from hearthtide.service import commands as told
from hearthtide.service.commands import Event, event_of
from hearthtide.service.facts import LivePlate
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.night import Night
from hearthtide.store.database import open_database
from live_board import PINS
from screens import BoardProcess, Tablet
from small_night import small_house
from told_night import AT_S

FROM_S = 18 * 3600.0
PLANNED_MS = 240_000  # the planner compiles its search where nobody has yet
LOOK_MS = 100  # of real time, for what was pushed to be drawn
MOST_SKIPS = 300
SETTLE_MS = 300  # of real time, for the board to look at its clock and tell every screen of it

# The next move of a hearth page as it is drawn: whether it is due, or seconds still to go.
NEXT = """() => {
  const first = document.querySelector('button.first');
  if (first === null) return null;
  const [, number, unit] = /(\\d+)\\s*(s|min)$/.exec(first.querySelector('.number-place').textContent) ?? [];
  return {due: first.matches('.due'), left_s: unit === 's' ? +number : 60 * +number - 30};
}"""


class ConductedBoard(BoardProcess):
    """A board whose night is really planned, opened at 18:00 by its own clock."""

    def __init__(self, folder: Path, static: Path) -> None:
        super().__init__(folder, static, "conducted_board.py")
        self.midnight += AT_S - FROM_S

    def skip(self, seconds: float) -> None:
        """Moves the night on; a board that is down starts again that much later."""
        self.midnight -= seconds
        if self.process is None:
            return
        assert self.process.stdin is not None and self.process.stdout is not None
        print(seconds, file=self.process.stdin, flush=True)
        assert self.process.stdout.readline().strip() == "skipped"

    def every(self) -> list[Event]:
        """All that was told, from the log itself."""
        with open_database(self.folder / "nights.db") as database:
            return [event_of(entry) for entry in database.log("tonight").read(0)]

    def events(self) -> list[Event]:
        """All that was taken."""
        return [event for event in self.every() if not event.refused]

    def plates(self, table: str) -> tuple[LivePlate, ...]:
        """A table's plates as the log says they stand."""
        with open_database(self.folder / "nights.db") as database:
            night = Night(database.log("tonight"), Kitchen(small_house()), lambda: self.now_s)
            ticket = night.state.facts.ticket(table)
        assert ticket is not None
        return ticket.plates

    def acts(self) -> Counter[tuple[str, str, int, str]]:
        """How often each act was told done and not undone since: (plate, act, nth, by whom)."""
        found: dict[str, tuple[str, str, int, str]] = {}
        for event in self.events():
            what = event.command.what
            if isinstance(what, told.MoveDone):
                found[event.command.id] = (what.item, what.act, what.nth, event.command.by)
            elif isinstance(what, told.Undo):
                found.pop(what.of, None)
        return Counter(found.values())


class ConductedNight:
    """The board, its screens, and a till that calls tickets."""

    def __init__(self, board: ConductedBoard, browser: Browser) -> None:
        self.board, self.browser = board, browser
        self.tablets: list[Tablet] = []
        self.ids, self.ahead_s = count(1), 0.0
        self.token = ""
        self.token = self._said("/api/devices", code=CODE, device="at the till")["token"]
        self.token = self._said("/api/sessions", name="Ana", pin=PINS["Ana"][1])["token"]

    def _said(self, path: str, **said: object) -> dict[str, Any]:
        asked = urllib.request.Request(self.board.address + path.lstrip("/"), json.dumps(said).encode())
        asked.add_header("Content-Type", "application/json")
        if self.token:
            asked.add_header("Authorization", f"Bearer {self.token}")
        with urllib.request.urlopen(asked, timeout=20) as answer:
            found: dict[str, Any] = json.load(answer)
        return found

    def tablet(self, name: str, page: str = "hearth", address: str = "", size: str = "tablet") -> Tablet:
        """A tablet with somebody come in, once there is a plan to follow."""
        one = Tablet(self.browser, address or self.board.address, size)
        self.tablets.append(one)
        one.page.clock.install()
        one.open().enrol().come_in(name)
        expect(one.page.locator("main.hearth")).to_be_visible()
        expect(one.page.get_by_text("The planner is starting.")).to_be_hidden(timeout=PLANNED_MS)
        if page != "hearth":
            one.go(page)
        return one

    def call(self, line: str) -> None:
        """Calls a ticket in one line, at another device."""
        answer = self._said("/api/lines", id=f"by-hand-{next(self.ids):04}", at_s=self.board.now_s, line=line)
        assert answer["taken"], answer

    def skip(self, seconds: float) -> None:
        """All clocks move on together; then what came of it is drawn."""
        self.board.skip(seconds)
        self.ahead_s += seconds
        for one in self.tablets:
            one.page.clock.fast_forward(round(seconds * 1000))
            one.page.clock.set_system_time(time.time() + self.ahead_s)  # it lags a little each time
        self.tablets[0].page.wait_for_timeout(LOOK_MS)

    def until_due(self, one: Tablet) -> bool:
        """Skips until that screen's next move is due; False when nothing more is to be done."""
        for _ in range(MOST_SKIPS):
            found = one.page.evaluate(NEXT)
            if found is None:
                return False
            if found["due"]:
                return True
            self.skip(max(1.0, found["left_s"]))
        raise AssertionError("no move ever came due")

    def close(self) -> list[str]:
        """Closes the screens; what their pages complained of."""
        complaints = [words for one in self.tablets for words in one.complaints]
        for one in self.tablets:
            one.close()
        return complaints
