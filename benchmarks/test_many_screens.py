"""Twenty screens on one board: from a tap to all of them, and what is left in memory as they come and go.

Each screen is a thread of this process that reads the stream, so that its own work is in the figures too.
"""

import json
import threading
import time
from contextlib import contextmanager
from pathlib import Path

import httpx2
import numpy as np

from hearthtide.board.run import board_server, bound
from live_board import LiveBoard
from told_night import AT_S

SCREENS, TAPS = 20, 200
ROUNDS, TABLETS, EACH, STAY = 5, 4, 250, 200  # of coming and going: a screen stays for so many events
TAP = {"kind": "reading", "temperature_C": 61.5, "of": "core", "instrument": "probe 2", "place": "pass"}


@contextmanager
def served(board):
    at = bound("127.0.0.1", 0)
    server = board_server(board.app, at)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [at]})
    thread.start()
    yield f"http://127.0.0.1:{at.getsockname()[1]}", {"Authorization": f"Bearer {board.session()}"}
    server.should_exit = True
    thread.join()
    board.database.close()


def numbers(address, headers, last):
    """The numbers a screen is pushed from `last` on."""
    with httpx2.stream(
        "GET", f"{address}/api/stream", headers=headers | {"Last-Event-ID": str(last)}, timeout=60
    ) as answer:
        yield 0  # it is there
        for line in answer.iter_lines():
            if line.startswith("data: "):
                yield json.loads(line[6:])["seq"]


def tap(tablet, address, id):
    body = {"id": id, "at_s": AT_S, "what": TAP}
    return tablet.post(f"{address}/api/commands", json=body).json()["seq"]


def test_from_a_tap_to_all_screens(tmp_path, capsys):
    seen_s = np.full((SCREENS, TAPS + 1), np.nan)
    here = threading.Barrier(SCREENS + 1)
    tapped_s, answered_s = np.full(TAPS + 1, np.nan), np.full(TAPS + 1, np.nan)
    with served(LiveBoard(tmp_path)) as (address, headers):

        def screen(k):
            for seq in numbers(address, headers, 0):
                if seq == 0:
                    here.wait()
                seen_s[k, seq] = time.perf_counter()
                if seq == TAPS:
                    return

        screens = [threading.Thread(target=screen, args=(k,)) for k in range(SCREENS)]
        for one in screens:
            one.start()
        here.wait()
        with httpx2.Client(headers=headers, timeout=60) as tablet:
            for n in range(1, TAPS + 1):
                tapped_s[n] = time.perf_counter()
                assert tap(tablet, address, f"tablet-1-{n:05}") == n
                answered_s[n] = time.perf_counter()
                time.sleep(0.02)
        for one in screens:
            one.join(30)
    everywhere_ms = 1000 * (seen_s[:, 1:].max(0) - tapped_s[1:])
    answered_ms = 1000 * (answered_s[1:] - tapped_s[1:])
    with capsys.disabled():
        for words, found in (("its answer", answered_ms), ("all screens", everywhere_ms)):
            p50, p99 = np.percentile(found, (50, 99))
            print(f"\n{TAPS} taps, tap to {words}: median {p50:.1f} ms, 99th of 100 {p99:.1f} ms", end="")
        print()
    assert not np.isnan(everywhere_ms).any()


def memory_MB():
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4096 / 1e6


def test_screens_that_come_and_go(tmp_path, capsys):
    """Every screen sees every number once and in order, over all its comings; memory by the round."""
    board, last, stop, wrong = LiveBoard(tmp_path), [0] * SCREENS, threading.Event(), []
    with served(board) as (address, headers):

        def screen(k):
            while not stop.is_set():
                for n, seq in enumerate(numbers(address, headers, last[k])):
                    if seq and seq != last[k] + 1:
                        wrong.append((k, last[k], seq))
                    last[k] = seq or last[k]
                    if n == STAY:
                        break

        def tablet(name):
            with httpx2.Client(headers=headers, timeout=60) as client:
                for n in range(EACH):
                    tap(client, address, f"tablet-{name}-{n:05}")

        screens = [threading.Thread(target=screen, args=(k,), daemon=True) for k in range(SCREENS)]
        for one in screens:
            one.start()
        with capsys.disabled():
            for number in range(ROUNDS):
                tablets = [threading.Thread(target=tablet, args=(f"{number}{k}",)) for k in range(TABLETS)]
                for one in tablets:
                    one.start()
                for one in tablets:
                    one.join()
                time.sleep(1)
                told, open_ = board.night.state.seq, len(board.board.hub._screens)
                print(f"\n{told} events, {open_} streams open, {memory_MB():.1f} MB", end="")
            print()
        total = ROUNDS * TABLETS * EACH
        stop.set()
        assert board.night.state.seq == total and not wrong
        assert min(last) == total
