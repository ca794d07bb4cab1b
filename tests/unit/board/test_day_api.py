"""The kept day over HTTP: to whoever reads, as the house keeps it; each change told to the screens once."""

import json

import pytest

from hearthtide.service.day_kept import kept_file
from invented_day import TUESDAY, keep_invented, plain_day
from live_board import LiveBoard


@pytest.fixture
def live(tmp_path):
    board = LiveBoard(tmp_path)
    yield board
    board.database.close()


@pytest.fixture
def folder(live):
    return live.board.days.folder


def asked(live, name="Iva"):
    with live.client(live.session(name)) as client:
        return client.get("/api/day")


def test_an_inspector_reads_the_day_as_the_house_keeps_it(live, folder):
    keep_invented(folder)
    answer = asked(live)
    assert answer.status_code == 200
    assert answer.json() == {"day": "2026-06-02", "midnight_s": 0.0, "kept": plain_day(), "wrong": []}


def test_a_day_nobody_kept_is_none_and_nothing_is_wrong(live):
    assert asked(live).json() == {"day": "2026-06-02", "midnight_s": 0.0, "kept": None, "wrong": []}


def test_a_broken_file_is_told_in_words(live, folder):
    keep_invented(folder)
    kept_file(folder, TUESDAY).write_text('{"day": "2026-06-02"', encoding="utf-8")
    told = asked(live).json()
    assert told["kept"] is None
    assert "2026-06-02.json:1" in told["wrong"][0]


def test_the_next_day_begins_at_six_by_the_boards_clock(live, folder):
    keep_invented(folder)
    live.now_s = 30 * 3600.0
    told = asked(live).json()
    assert (told["day"], told["midnight_s"], told["kept"]) == ("2026-06-03", 86_400.0, None)


def test_a_board_without_a_house_folder_keeps_no_days(live):
    live.board.days = None
    answer = asked(live)
    assert answer.status_code == 404
    assert "keeps no days" in answer.json()["words"]


def test_nobody_a_device_and_a_feed_are_told_nothing_of_it(live, folder):
    keep_invented(folder)
    with live.client() as client:
        assert client.get("/api/day").status_code == 401
    with live.client(live.device) as client:
        assert client.get("/api/day").status_code == 403


class HeardHub:
    """Stands where the hub does, and remembers what screens were told."""

    def __init__(self):
        self.told = []

    def show(self, what, shown):
        self.told.append((what, json.loads(shown)))


def test_screens_are_told_each_change_of_the_day_once(live, folder):
    board = live.board
    board.hub = HeardHub()
    board.day_changed()
    board.day_changed()
    assert [(what, told["kept"]) for what, told in board.hub.told] == [("day", None)]
    keep_invented(folder)
    board.day_changed()
    board.day_changed()
    assert [told["kept"] for _, told in board.hub.told[1:]] == [plain_day()]
    live.now_s = 30 * 3600.0
    board.day_changed()
    assert board.hub.told[-1][1]["day"] == "2026-06-03"
