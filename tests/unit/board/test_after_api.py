"""The closing page and the night again over HTTP: to whoever reads, counted from the same log."""

import pytest

from hearthtide.service import commands as told
from hearthtide.service.commands import Command
from live_board import LiveBoard
from told_night import AT_S, called


@pytest.fixture
def live(tmp_path):
    board = LiveBoard(tmp_path)
    yield board
    board.database.close()


def tell(live, what, n):
    answer = live.night.tell(Command(f"tablet-1-{n:04}", "Ben", live.now_s, what))
    assert answer.taken, answer.words


def test_an_inspector_reads_the_closing_figures(live):
    tell(live, called(dishes="pizza pizza"), 1)
    tell(live, told.Waste("pizza", 2, "burnt"), 2)
    tell(live, told.Handover("Wood is low."), 3)
    with live.client(live.session("Iva")) as client:
        page = client.get("/api/closing").json()
    assert page["seq"] == 3
    pizza = next(one for one in page["closing"]["dishes"] if one["dish"] == "pizza")
    assert (pizza["called"], pizza["unfinished"], pizza["wasted"]) == (2, 2, [["burnt", 2]])
    assert page["closing"]["handover"] == {"words": "Wood is low.", "by": "Ben", "at_s": AT_S}
    assert page["late"] == []


def test_the_night_again_holds_its_plates_and_marks(live):
    tell(live, called(dishes="pizza"), 1)
    tell(live, told.Spill(0.1, 0.5, 0.2, AT_S + 420), 2)
    with live.client(live.session()) as client:
        shown = client.get("/api/replay").json()
    assert [one["item"] for one in shown["plates"]] == ["B4-1"]
    assert [mark["kind"] for mark in shown["marks"]] == ["ticket", "spill"]
    assert (shown["from_s"], shown["until_s"]) == (AT_S, AT_S)


@pytest.mark.parametrize("path", ["/api/closing", "/api/replay"])
def test_neither_is_told_to_a_device_or_to_nobody(live, path):
    with live.client() as client:
        assert client.get(path).status_code == 401
    with live.client(live.device) as client:
        assert client.get(path).status_code == 403
