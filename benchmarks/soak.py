"""A long night on the real board at sixty times the speed, with simulated devices over HTTP.

    python benchmarks/soak.py [--hours 12] [--speed 60] [--devices 20]

Prints every quarter hour of the night: tap to all screens (median, 99th of 100), memory of the whole process
family's head, its threads and open streams; at the end what came of the rehearsal. The devices are threads of
this process, so that their work is in the figures.
"""

from __future__ import annotations

import argparse
import json
import random
import tempfile
import threading
import time
from pathlib import Path

import httpx2
import numpy as np

from hearthtide.board.access import Access
from hearthtide.board.api import Board
from hearthtide.board.app import make_app
from hearthtide.board.conducting import conducted
from hearthtide.board.run import board_server, bound
from hearthtide.cli.rehearse_board import OnTheBoard
from hearthtide.cli.rehearse_command import print_rehearsed
from hearthtide.house.files import read_house, read_night
from hearthtide.house.night_file import NightFile
from hearthtide.house.upsets_file import UpsetsFile
from hearthtide.planning.night import prepare_night
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.night import Night
from hearthtide.service.rehearsal.clock import SpeedClock
from hearthtide.service.shown_house import shown_house
from hearthtide.service.upcoming import from_doors
from hearthtide.store.database import open_database

EXAMPLES = Path(__file__).parents[1] / "examples"
TAP = {"kind": "reading", "temperature_C": 61.5, "of": "core", "instrument": "probe 2", "place": "pass"}
REST_S = 1.0  # of real time, between two taps


def long_night(hours: float, rng: random.Random) -> NightFile:
    """Brindlecote's Tuesday with a table every six minutes or so for so many hours."""
    night = read_night(read_house(EXAMPLES / "brindlecote"), "tuesday")
    doors, tickets, at = 11 * 3600.0, [], 11 * 3600.0
    while at < doors + (hours - 0.7) * 3600:
        like = rng.choice(night.tickets)
        table = f"T{len(tickets) + 1}"
        wanted = at + (like.wanted - like.called)
        tickets.append(like.model_copy(update={"table": table, "called": at, "own_wanted": wanted}))
        at += rng.uniform(240, 540)
    hours_of = {"doors": doors, "lit": 8 * 3600.0, "last_call": doors + hours * 3600}
    return night.model_copy(update={"tickets": tuple(tickets), "name": "Soak", **hours_of})


class Screens:
    """Devices on the stream; `seen_s[k]` is when each saw the entry numbered so."""

    def __init__(self, address: str, headers: dict[str, str], count: int) -> None:
        self.address, self.headers = address, headers
        self.seen: list[dict[int, float]] = [{} for _ in range(count)]
        for k in range(count):
            threading.Thread(target=self._screen, args=(k,), daemon=True).start()

    def _screen(self, k: int) -> None:
        with httpx2.stream("GET", f"{self.address}/api/stream", headers=self.headers, timeout=600) as answer:
            for line in answer.iter_lines():
                if line.startswith("id: "):
                    self.seen[k][int(line[4:])] = time.perf_counter()

    def all_saw_s(self, seq: int) -> float | None:
        seen = [one.get(seq) for one in self.seen]
        return None if None in seen else max(one for one in seen if one is not None)


def memory_MB() -> float:
    return int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1]) * 4096 / 1e6


def run(hours: float, speed: float, devices: int, seed: int) -> None:
    house, books = read_house(EXAMPLES / "brindlecote"), long_night(hours, random.Random(seed))
    foreseen = from_doors(books)
    file = UpsetsFile.model_validate({"name": f"Soak of {hours:g} h"})
    print(f"{len(books.tickets)} tables; making the night ready")
    ready = prepare_night(house, foreseen)
    with tempfile.TemporaryDirectory() as folder, open_database(Path(folder) / "soak.db") as database:
        clock = SpeedClock(float(books.doors), speed)
        night = Night(database.log("soak"), Kitchen(house), clock)
        access = Access(
            database.door(), time.time, lambda: f"token-{time.perf_counter_ns()}", lambda: "12345678"
        )
        access.person(None, "Chef", "chef", "246810")
        board = Board(night, access, {k: d.name for k, d in house.dishes.items()}, clock)
        board.house = shown_house(house, foreseen, "soak")
        device = access.enrolled(access.new_code(), "tablet")
        headers = {"Authorization": f"Bearer {access.logged_in(device, 'Chef', '246810')}"}
        played = OnTheBoard(house, books, file, ready, night, board, clock, speed, seed)
        night.listen(played.watch.event)
        at = bound("127.0.0.1", 0)
        with conducted(board, house, foreseen, ready=ready, watch=played.watch.shown):
            server = board_server(make_app(board), at)
            serving = threading.Thread(target=server.run, kwargs={"sockets": [at]})
            serving.start()
            address = f"http://127.0.0.1:{at.getsockname()[1]}"
            threading.Thread(target=played.live, daemon=True).start()
            soak(played, Screens(address, headers, devices), address, headers)
            came = played.came()
            server.should_exit = True
            serving.join()
        print_rehearsed(file, came)


def soak(played: OnTheBoard, screens: Screens, address: str, headers: dict[str, str]) -> None:
    """Taps until the night is over; a line every quarter hour of it."""
    next_s, taps, all_ms = played.clock() + 900, list[tuple[int, float]](), list[float]()
    with httpx2.Client(headers=headers, timeout=60) as tablet:
        n = 0
        while not played.over.is_set():
            n += 1
            began = time.perf_counter()
            body = {"id": f"soak-tap-{n:06}", "at_s": played.clock(), "what": TAP}
            answer = tablet.post(f"{address}/api/commands", json=body).json()
            taps.append((answer["seq"], began))
            time.sleep(REST_S)
            if played.clock() >= next_s:
                next_s += 900
                ms = [1000 * (saw - t) for seq, t in taps if (saw := screens.all_saw_s(seq)) is not None]
                lost, taps = len(taps) - len(ms), []
                all_ms += ms
                print(line(played, ms, lost), flush=True)
    p50, p99 = np.percentile(all_ms, (50, 99))
    print(f"{len(all_ms)} taps, tap to all screens: median {p50:.0f} ms, 99th of 100 {p99:.0f} ms")


def line(played: OnTheBoard, ms: list[float], lost: int) -> str:
    at = played.clock()
    hub = played.board.hub
    streams = 0 if hub is None else len(hub._screens)
    p50, p99 = np.percentile(ms, (50, 99)) if ms else (float("nan"), float("nan"))
    return json.dumps(
        {
            "at": f"{int(at // 3600):02}:{int(at % 3600 // 60):02}",
            "events": played.night.state.seq,
            "taps": len(ms),
            "not_yet_everywhere": lost,
            "p50_ms": round(float(p50), 1),
            "p99_ms": round(float(p99), 1),
            "memory_MB": round(memory_MB(), 1),
            "threads": threading.active_count(),
            "streams": streams,
        }
    )


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--hours", type=float, default=12.0)
    asked.add_argument("--speed", type=float, default=60.0)
    asked.add_argument("--devices", type=int, default=20)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    run(given.hours, given.speed, given.devices, given.seed)
