"""Screens on a real server: pushed once and in order, late ones catch up, a restart loses nothing."""

import json
import threading
import time
from contextlib import contextmanager

import httpx2
import pytest

from hearthtide.board import pushing
from hearthtide.board.run import board_server, bound
from live_board import LiveBoard
from told_night import AT_S

READING = {"kind": "reading", "temperature_C": 61.5, "of": "core", "instrument": "probe 2", "place": "pass"}


@contextmanager
def served(board, port=0):
    """The board behind a server of its own on a thread; gives its address."""
    at = bound("127.0.0.1", port)
    server = board_server(board.app, at)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [at]})
    thread.start()
    while not server.started:
        time.sleep(0.005)
    try:
        yield f"http://127.0.0.1:{at.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(20)
        at.close()
        assert not thread.is_alive()


class Screen(threading.Thread):
    """A screen: reads the stream from `after` on and keeps each number and when it came."""

    def __init__(self, address, token, after=0):
        super().__init__(daemon=True)
        self.address, self.token, self.after = address, token, after
        self.seen, self.status, self.here = [], None, threading.Event()
        self.start()
        assert self.here.wait(20)

    def run(self):
        headers = {"Authorization": f"Bearer {self.token}", "Last-Event-ID": str(self.after)}
        try:
            with httpx2.stream("GET", f"{self.address}/api/stream", headers=headers, timeout=30) as answer:
                self.status = answer.status_code
                for line in answer.iter_lines():
                    self.here.set()
                    if line.startswith('data: {"seq"'):  # an entry of the log, no other event
                        self.seen.append((json.loads(line[6:])["seq"], time.perf_counter()))
        except httpx2.HTTPError:
            return  # the server went away, as in some tests it does
        finally:
            self.here.set()

    def numbers(self, last, within_s=20):
        """The numbers seen once `last` is among them."""
        end = time.perf_counter() + within_s
        while (not self.seen or self.seen[-1][0] < last) and time.perf_counter() < end:
            time.sleep(0.005)
        return [seq for seq, _ in self.seen]


def tell(address, token, id):
    body = {"id": id, "at_s": AT_S, "what": READING}
    answer = httpx2.post(
        f"{address}/api/commands", json=body, headers={"Authorization": f"Bearer {token}"}, timeout=30
    )
    return answer.json()


@pytest.fixture
def board(tmp_path):
    one = LiveBoard(tmp_path)
    yield one
    one.database.close()


def test_every_screen_gets_every_event_once_in_order_also_those_that_come_late(board):
    token = board.session()
    with served(board) as address:
        screens = [Screen(address, token)]
        tellers = [
            threading.Thread(
                target=lambda k=k: [tell(address, token, f"tablet-{k}-{n:04}") for n in range(15)]
            )
            for k in range(3)
        ]
        for teller in tellers:
            teller.start()
        screens += [Screen(address, token), Screen(address, token, after=7)]
        for teller in tellers:
            teller.join()
        assert screens[0].numbers(45) == screens[1].numbers(45) == list(range(1, 46))
        assert screens[2].numbers(45) == list(range(8, 46))


def test_two_tablets_race_on_one_move_and_one_of_them_is_told(board):
    token = board.session()
    ticket = {"table": "B4", "covers": 2, "called": "19:00", "wanted": "19:22", "dishes": ["pizza"]}
    headers = {"Authorization": f"Bearer {token}"}
    with served(board) as address:
        httpx2.post(f"{address}/api/tickets", json={"id": "till-1-0001", "ticket": ticket}, headers=headers)
        together, answers = threading.Barrier(2), []

        def tap(tablet):
            together.wait()
            body = {
                "id": f"{tablet}-0001",
                "at_s": AT_S,
                "what": {"kind": "done", "item": "B4-1", "act": "launch"},
            }
            answers.append(httpx2.post(f"{address}/api/commands", json=body, headers=headers, timeout=30))

        taps = [threading.Thread(target=tap, args=(f"tablet-{k}",)) for k in "ab"]
        for one in taps:
            one.start()
        for one in taps:
            one.join()
    assert sorted(answer.status_code for answer in answers) == [200, 409]
    assert "was done by Ben" in max(answers, key=lambda a: a.status_code).json()["words"]
    (plate,) = board.night.state.facts.ticket("B4").plates
    assert len(plate.done) == 1


def test_a_board_that_stops_lets_its_screens_go_at_once_and_in_peace(board, caplog):
    with served(board) as address:
        screens = [Screen(address, board.session()) for _ in range(3)]
    for screen in screens:
        screen.join(5)
        assert not screen.is_alive()
    assert [record.message for record in caplog.records if record.levelname == "ERROR"] == []


def test_a_restart_under_way_loses_nothing_and_nobody_logs_in_anew(tmp_path):
    first = LiveBoard(tmp_path)
    token = first.session()
    with served(first) as address:
        port = int(address.rpartition(":")[2])
        screen = Screen(address, token)
        for n in range(5):
            tell(address, token, f"tablet-1-{n:04}")
        assert screen.numbers(5) == [1, 2, 3, 4, 5]
    screen.join(20)
    first.database.close()
    second = LiveBoard(tmp_path, "again")
    with served(second, port) as address:
        again = tell(address, token, "tablet-1-0004")  # its answer had been lost
        assert (again["repeat"], again["taken"], again["seq"]) == (True, True, 5)
        assert tell(address, token, "tablet-1-0005")["seq"] == 6
        assert Screen(address, token, after=5).numbers(6) == [6]
    second.database.close()


def test_a_session_that_ends_ends_its_stream(board, monkeypatch):
    monkeypatch.setattr(pushing, "PING_S", 0.05)
    monkeypatch.setattr(pushing, "LOOK_S", 0.05)
    token = board.session()
    with served(board) as address:
        screen = Screen(address, token)
        assert screen.status == 200 and screen.is_alive()
        board.access.left(token)
        screen.join(10)
        assert not screen.is_alive()
        assert board.board.hub is not None and not board.board.hub._screens


def test_a_screen_that_does_not_keep_up_is_let_go(board, monkeypatch):
    monkeypatch.setattr(pushing, "PING_S", 0.05)
    token = board.session()
    with served(board) as address:
        screen = Screen(address, token)
        hub = board.board.hub
        (stuck,) = hub._screens
        stuck.queue.full = lambda: True  # as if it had not read for a thousand events
        tell(address, token, "tablet-1-0001")
        tell(address, token, "tablet-1-0002")
        screen.join(10)
        assert not screen.is_alive() and not hub._screens


def test_two_boards_on_one_log_push_what_the_other_heard(tmp_path):
    first, second = LiveBoard(tmp_path, shared=True), LiveBoard(tmp_path, "other", shared=True)
    token = first.session()
    with served(first) as one, served(second) as other:
        screen = Screen(other, token)
        for n in range(4):
            tell(one if n % 2 else other, token, f"tablet-1-{n:04}")
        assert screen.numbers(4) == [1, 2, 3, 4]
        assert first.night.read_on() == second.night.read_on()
    first.database.close()
    second.database.close()
