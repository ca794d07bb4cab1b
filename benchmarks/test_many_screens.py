"""From a tap to all screens: twenty of them on one board, taps one after another and all at once.

Each screen is a thread of this process that reads the stream, so that its own work is in the figures too.
"""

import json
import threading
import time

import httpx2
import numpy as np

from hearthtide.board.run import board_server, bound
from live_board import LiveBoard
from told_night import AT_S

SCREENS, TAPS = 20, 200
TAP = {"kind": "reading", "temperature_C": 61.5, "of": "core", "instrument": "probe 2", "place": "pass"}


def test_from_a_tap_to_all_screens(tmp_path, capsys):
    board = LiveBoard(tmp_path)
    token = board.session()
    at = bound("127.0.0.1", 0)
    server = board_server(board.app, at)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [at]})
    thread.start()
    address = f"http://127.0.0.1:{at.getsockname()[1]}"
    headers = {"Authorization": f"Bearer {token}"}
    seen_s = np.full((SCREENS, TAPS + 1), np.nan)
    here = threading.Barrier(SCREENS + 1)

    def screen(k):
        with httpx2.stream("GET", f"{address}/api/stream", headers=headers, timeout=60) as answer:
            lines = answer.iter_lines()
            next(lines)
            here.wait()
            for line in lines:
                if line.startswith("data: "):
                    seq = json.loads(line[6:])["seq"]
                    seen_s[k, seq] = time.perf_counter()
                    if seq == TAPS:
                        return

    screens = [threading.Thread(target=screen, args=(k,)) for k in range(SCREENS)]
    for one in screens:
        one.start()
    here.wait()
    tapped_s = np.full(TAPS + 1, np.nan)
    answered_s = np.full(TAPS + 1, np.nan)
    with httpx2.Client(headers=headers, timeout=60) as tablet:
        for n in range(1, TAPS + 1):
            tapped_s[n] = time.perf_counter()
            body = {"id": f"tablet-1-{n:05}", "at_s": AT_S, "what": TAP}
            assert tablet.post(f"{address}/api/commands", json=body).json()["seq"] == n
            answered_s[n] = time.perf_counter()
            time.sleep(0.02)
    for one in screens:
        one.join(30)
    server.should_exit = True
    thread.join()
    board.database.close()
    everywhere_ms = 1000 * (seen_s[:, 1:].max(0) - tapped_s[1:])
    answered_ms = 1000 * (answered_s[1:] - tapped_s[1:])
    with capsys.disabled():
        for words, found in (("tap to its answer", answered_ms), ("tap to all screens", everywhere_ms)):
            p50, p99 = np.percentile(found, (50, 99))
            print(
                f"\n{SCREENS} screens, {TAPS} taps, {words}: median {p50:.1f} ms, 99th of 100 {p99:.1f} ms",
                end="",
            )
        print()
    assert not np.isnan(everywhere_ms).any()
