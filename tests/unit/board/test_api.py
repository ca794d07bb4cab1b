"""The board's API: who may do what, one shape of every error, the first answer to every repeat."""

import re
import time

import pytest

from hearthtide.errors import StoreError
from live_board import LiveBoard
from told_night import AT_S

TICKET = {"table": "B4", "covers": 2, "called": "19:00", "wanted": "19:22", "dishes": ["pizza", "shrimp"]}


@pytest.fixture
def board(tmp_path):
    one = LiveBoard(tmp_path)
    yield one
    one.database.close()


@pytest.fixture
def cook(board):
    with board.client(board.session("Ben")) as client:
        yield client


def say(client, what, id="tablet-1-0001", at_s=AT_S):
    return client.post("/api/commands", json={"id": id, "at_s": at_s, "what": what})


def call(client, id="tablet-1-0000", **changed):
    return client.post("/api/tickets", json={"id": id, "ticket": TICKET | changed})


def test_a_ticket_and_a_move_are_told_and_bear_the_name_of_who_told_them(board, cook):
    assert call(cook).json() == {
        "id": "tablet-1-0000",
        "seq": 1,
        "taken": True,
        "words": "",
        "repeat": False,
        "cautions": [],
    }
    assert say(cook, {"kind": "done", "item": "B4-1", "act": "launch"}).status_code == 200
    (plate, _) = board.night.state.facts.ticket("B4").plates
    assert [(done.act, done.by) for done in plate.done] == [("launch", "Ben")]
    assert board.night.state.facts.ticket("B4").way == "tapped"


def test_refused_is_409_with_words_and_a_repeat_gets_the_same(cook):
    call(cook)
    first, again = call(cook, id="tablet-1-0009"), call(cook, id="tablet-1-0009")
    assert first.status_code == again.status_code == 409
    assert "B4 has a ticket tonight" in first.json()["words"]
    assert again.json() == first.json() | {"repeat": True}


def test_cautions_come_with_the_answer(cook):
    assert any("shut the gas" in words for words in say(cook, {"kind": "flame_out"}).json()["cautions"])


def test_a_typed_line_and_a_table_call_tickets(board, cook):
    typed = cook.post(
        "/api/lines", json={"id": "tablet-1-0001", "at_s": AT_S, "line": "C1 x2 +25 2 pizza, shr !milk"}
    )
    assert typed.status_code == 409 and "allergy order of C1" in typed.json()["words"]
    typed = cook.post("/api/lines", json={"id": "tablet-1-0002", "at_s": AT_S, "line": "C1 x2 +25 2 pizza"})
    assert typed.status_code == 200
    rows = "table,covers,called,wanted,dish\nD1,2,19:00,19:30,pizza\nD2,2,19:00,noon,pizza\n"
    sent = cook.post(
        "/api/tables?id=tablet-1-0003&at_s=68400", content=rows, headers={"Content-Type": "text/csv"}
    )
    assert [answer["id"] for answer in sent.json()["answers"]] == ["tablet-1-0003-D1"]
    assert len(sent.json()["wrong"]) == 1 and "the table:3" in sent.json()["wrong"][0]
    assert [t.way for t in board.night.state.facts.tickets] == ["typed", "csv"]


def test_a_till_calls_tickets_and_nothing_else(board):
    chef = board.client(board.session("Ana"))
    token = chef.post("/api/feeds", json={"name": "till"}).json()["token"]
    till = board.client(token)
    assert call(till).status_code == 200
    assert board.night.state.facts.ticket("B4").way == "feed"
    assert say(till, {"kind": "flame_out"}).status_code == 403
    for path in ("/api/state", "/api/events", "/api/people", "/api/stream"):
        assert till.get(path).status_code == 403
    assert chef.get("/api/feeds").json() == ["till"]
    assert chef.delete("/api/feeds/till").status_code == 204
    assert call(till, id="till-1-0002").status_code == 401


def test_late_devices_catch_up_and_see_what_was_refused(board, cook):
    call(cook)
    call(cook, id="tablet-1-0009")
    say(cook, {"kind": "done", "item": "B4-1", "act": "launch"})
    told = cook.get("/api/events?after=1").json()
    assert [one["seq"] for one in told["events"]] == [2, 3] and told["last"] == 3
    assert "has a ticket" in told["events"][0]["event"]["refused"]
    assert told["events"][1]["event"]["command"]["what"]["item"] == "B4-1"
    assert cook.get("/api/events?after=0&most=1").json()["events"][0]["seq"] == 1
    now = cook.get("/api/state").json()
    assert (now["seq"], now["now_s"]) == (3, AT_S)
    assert now["facts"]["tickets"][0]["plates"][0]["done"][0]["act"] == "launch"


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("POST", "/api/commands", {"id": "tablet-1-0001", "at_s": AT_S, "what": {"kind": "flame_out"}}),
        ("POST", "/api/tickets", {"id": "tablet-1-0001", "ticket": TICKET}),
        ("POST", "/api/lines", {"id": "tablet-1-0001", "at_s": AT_S, "line": "B4 x2 19:30 pizza"}),
        ("POST", "/api/sessions", {"name": "Ana", "pin": "2580"}),
        ("DELETE", "/api/sessions", None),
        ("GET", "/api/people", None),
        ("POST", "/api/people", {"name": "Eve", "role": "owner", "pin": "1234"}),
        ("POST", "/api/codes", None),
        ("POST", "/api/feeds", {"name": "till"}),
        ("GET", "/api/feeds", None),
        ("DELETE", "/api/feeds/till", None),
        ("GET", "/api/devices", None),
        ("DELETE", "/api/devices/wall", None),
        ("GET", "/api/events", None),
        ("GET", "/api/state", None),
        ("GET", "/api/stream", None),
        ("GET", "/api/openapi.json", None),
    ],
)
def test_nothing_but_health_answers_without_a_session(board, method, path, body):
    for token in (None, "token-000099"):
        answer = board.client(token).request(method, path, json=body)
        assert answer.status_code == 401
        assert re.search("Say your name and PIN|not enrolled", answer.json()["words"])
    assert board.night.state.seq == 0 and "Eve" not in dict(board.access.names())
    assert board.client().get("/health").json() == {"answers": True}


def test_an_inspector_reads_and_tells_nothing(board):
    inspector = board.client(board.session("Iva"))
    assert inspector.get("/api/state").status_code == 200
    assert say(inspector, {"kind": "flame_out"}).status_code == 403
    assert call(inspector).status_code == 403
    assert inspector.post("/api/codes").status_code == 403


def test_a_device_is_enrolled_and_a_cook_comes_in_by_pin(board):
    chef = board.client(board.session("Ana"))
    code = chef.post("/api/codes").json()["code"]
    device = board.client().post("/api/devices", json={"code": code, "device": "wall"}).json()["token"]
    tablet = board.client(device)
    assert {"name": "Ben", "role": "cook"} in tablet.get("/api/people").json()
    assert tablet.get("/api/state").status_code == 403
    came_in = tablet.post("/api/sessions", json={"name": "Ben", "pin": "1470"})
    cookie = came_in.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie
    browser = board.client()
    browser.cookies = came_in.cookies
    assert browser.get("/api/state").status_code == 200
    assert browser.delete("/api/sessions").status_code == 204
    assert board.client(came_in.json()["token"]).get("/api/state").status_code == 401


def test_a_lost_tablet_is_put_out_by_the_chef(board):
    chef, cook = board.client(board.session("Ana")), board.client(board.session("Ben"))
    wall = board.access.enrolled(board.access.new_code(), "wall")
    session = board.access.logged_in(wall, "Ben", "1470")
    assert chef.get("/api/devices").json() == ["tablet at the mouth", "wall"]
    assert cook.delete("/api/devices/wall").status_code == cook.get("/api/devices").status_code == 403
    assert chef.delete("/api/devices/wall").status_code == 204
    assert board.client(session).get("/api/state").status_code == 401
    assert cook.get("/api/state").status_code == 200
    assert "tablet at the mouth" in chef.delete("/api/devices/wall").json()["words"]


def test_the_chef_writes_people_down(board):
    chef, cook = board.client(board.session("Ana")), board.client(board.session("Ben"))
    eve = {"name": "Eve", "role": "pass", "pin": "8642"}
    assert cook.post("/api/people", json=eve).status_code == 403
    assert chef.post("/api/people", json=eve).json() == {"name": "Eve", "role": "pass"}
    assert board.client(board.access.logged_in(board.device, "Eve", "8642")).get("/api/state").is_success
    assert chef.post("/api/people", json=eve | {"pin": "8888"}).status_code == 422


def test_a_snapshot_that_cannot_be_kept_is_told_and_the_night_goes_on(board, monkeypatch, caplog):
    def full(*_):
        raise StoreError("nights.db: the disk is full. Free some space.")

    monkeypatch.setattr(board.night._log, "keep", full)
    with board.client(board.session("Ben")) as client:
        assert call(client).status_code == 200
    assert "no snapshot was kept: nights.db: the disk is full" in caplog.text


def test_a_snapshot_is_kept_after_many_events_and_at_the_end(board, monkeypatch):
    monkeypatch.setattr("hearthtide.board.app.SNAPSHOT_S", 0.02)
    monkeypatch.setattr("hearthtide.board.app.SNAPSHOT_EVERY", 5)
    with board.client(board.session("Ben")) as client:
        for n in range(6):
            say(client, {"kind": "flame_out"}, id=f"tablet-1-{n:04}")
        deadline = time.monotonic() + 10
        while board.night._log.snapshot() is None and time.monotonic() < deadline:
            time.sleep(0.01)
        assert board.night._log.snapshot().seq in (5, 6)  # the sixth may come while it is being kept
        say(client, {"kind": "flame_out"}, id="tablet-1-0099")
    assert board.night._log.snapshot().seq == 7


def test_wrong_pins_are_slowed_and_say_how_long(board):
    tablet = board.client(board.device)
    wrong = [tablet.post("/api/sessions", json={"name": "Ben", "pin": "1111"}).status_code for _ in range(5)]
    assert wrong == [401] * 5
    slowed = tablet.post("/api/sessions", json={"name": "Ben", "pin": "1470"})
    assert slowed.status_code == 429 and int(slowed.headers["retry-after"]) >= 1
    board.wall_s += 3
    assert tablet.post("/api/sessions", json={"name": "Ben", "pin": "1470"}).status_code == 200


@pytest.mark.parametrize(
    ("path", "body", "field"),
    [
        ("/api/commands", {"id": "x", "at_s": AT_S, "what": {"kind": "flame_out"}}, "id"),
        ("/api/commands", {"id": "tablet-1-0001", "at_s": -1, "what": {"kind": "flame_out"}}, "at_s"),
        ("/api/commands", {"id": "tablet-1-0001", "at_s": AT_S, "what": {"kind": "bake"}}, "what"),
        ("/api/commands", {"id": "tablet-1-0001", "at_s": AT_S, "what": {"kind": "hold"}}, "what.hold.table"),
        (
            "/api/commands",
            {"id": "tablet-1-0001", "at_s": AT_S, "what": {"kind": "flame_out"}, "by": "Eve"},
            "by",
        ),
        ("/api/tickets", {"id": "tablet-1-0001", "ticket": TICKET | {"covers": 999}}, "ticket.covers"),
        ("/api/tickets", {"id": "tablet-1-0001", "ticket": TICKET | {"wanted": "noon"}}, "ticket.wanted"),
        ("/api/tickets", {"id": "tablet-1-0001", "ticket": TICKET | {"dishes": ["☃"]}}, "dish"),
        (
            "/api/lines",
            {"id": "tablet-1-0001", "at_s": AT_S, "line": "B4 x2 19:30 soup"},
            "course 1, plate 1",
        ),
    ],
)
def test_what_cannot_be_understood_is_one_shape_and_names_the_field(board, cook, path, body, field):
    answer = cook.post(path, json=body)
    assert answer.status_code == 422
    trouble = answer.json()
    assert set(trouble) == {"words", "findings"} and trouble["words"]
    assert trouble["findings"][0]["field"] == field
    assert all(one["expected"] and one["remedy"] for one in trouble["findings"])
    assert board.night.state.seq == 0


def test_other_troubles_have_the_same_shape(board, cook, monkeypatch):
    answers = [cook.get("/api/soup"), cook.put("/api/state"), cook.post("/api/lines", content="{")]
    assert [answer.status_code for answer in answers] == [404, 405, 422]
    long = cook.post("/api/lines", content=b"x" * 1_000_001, headers={"Content-Type": "application/json"})
    assert long.status_code == 413
    elsewhere = cook.get("/api/state", headers={"Host": "kitchen.example"})
    assert elsewhere.status_code == 421

    def full(*_):
        raise StoreError("nights.db: the disk is full. Free some space.")

    monkeypatch.setattr(board.night._log, "append", full)
    full_disk = say(cook, {"kind": "flame_out"})
    assert full_disk.status_code == 503 and "Free some space" in full_disk.json()["words"]

    def mistaken(*_):
        raise ZeroDivisionError

    monkeypatch.setattr(board.night._log, "append", mistaken)
    mistake = say(cook, {"kind": "flame_out"})
    assert mistake.status_code == 500
    for answer in (*answers, long, elsewhere, full_disk, mistake):
        assert set(answer.json()) == {"words", "findings"}
        assert answer.headers["x-content-type-options"] == "nosniff"
    assert board.night.state.seq == 0


def test_the_api_describes_itself(board):
    told = board.client(board.session()).get("/api/openapi.json").json()
    assert set(told["paths"]) == {
        "/api/closing",
        "/api/codes",
        "/api/commands",
        "/api/day",
        "/api/devices",
        "/api/devices/{name}",
        "/api/events",
        "/api/feeds",
        "/api/feeds/{name}",
        "/api/house",
        "/api/lots",
        "/api/lots/{lot}",
        "/api/records",
        "/api/records/corrections",
        "/api/records/open",
        "/api/records/print",
        "/api/records/table",
        "/api/lines",
        "/api/people",
        "/api/quotes",
        "/api/replay",
        "/api/sessions",
        "/api/shown",
        "/api/state",
        "/api/stream",
        "/api/tables",
        "/api/tickets",
        "/health",
    }
    kinds = told["components"]["schemas"]["SaidCommand"]["properties"]["what"]["discriminator"]["mapping"]
    assert {"ticket", "done", "not_yet", "undo", "reading", "spill"} <= set(kinds)
    for path, ways in told["paths"].items():
        for way in ways.values():
            if path != "/health":
                assert way["responses"]["401"]["content"]["application/json"]["schema"]["$ref"].endswith(
                    "/Trouble"
                )
                assert way["description"]
