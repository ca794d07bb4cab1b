"""Records over HTTP: who writes, who reads, what is refused, what a correction asks for."""

from types import SimpleNamespace

import pytest

from live_board import PINS, LiveBoard
from told_night import AT_S


@pytest.fixture
def board(tmp_path):
    one = LiveBoard(tmp_path)
    yield one
    one.database.close()


@pytest.fixture
def cook(board):
    with board.client(board.session("Ben")) as client:
        yield client


@pytest.fixture
def inspector(board):
    with board.client(board.session("Iva")) as client:
        yield client


def say(client, id, at_s=AT_S, **what):
    return client.post("/api/records", json={"id": f"tablet-1-{id}", "at_s": at_s, "what": what})


def make(client, lot="chicken Tue", id="made"):
    return say(
        client, id, kind="lot_made", lot=lot, dish="half_chicken", quantity="12 halves", food="poultry"
    )


def read(client, value, id, unit="F", point="coldest", lot="chicken Tue", at_s=AT_S):
    what = {"kind": "lot_reading", "lot": lot, "value": value, "unit": unit, "point": point}
    return say(client, id, at_s=at_s, **what, instrument="probe 2")


def test_a_reading_is_judged_as_it_comes_and_bears_who_when_and_by_what(board, cook):
    assert make(cook).json()["taken"]
    assert read(cook, "150.5", "r1").status_code == 200
    (lot,) = cook.get("/api/lots").json()["lots"]
    assert [one["answer"] for one in lot["verdicts"]] == ["fail"]
    assert "150.5 °F" in lot["verdicts"][0]["words"]
    assert lot["readings"][0] | {"id": ""} == {
        "id": "", "at_s": AT_S, "clock": "15:00", "value": "150.5", "unit": "F", "point": "coldest",
        "place": "", "held_s": 0, "instrument": "probe 2", "person": "Ben", "instead_of": [],
    }  # fmt: skip
    board.now_s = AT_S + 60
    read(cook, "165", "r2", at_s=AT_S + 61)
    (lot,) = cook.get("/api/lots").json()["lots"]
    assert [one["answer"] for one in lot["verdicts"]] == ["pass"]
    assert "3-401.11" in lot["verdicts"][0]["section"]


def test_a_repeat_is_written_once_and_what_lacks_proof_is_409_with_words(board, cook):
    make(cook)
    first, again = read(cook, "150", "r1"), read(cook, "150", "r1")
    assert first.json() | {"repeat": True} == again.json()
    refused = say(cook, "became", kind="lot_became", lot="chicken Tue", state="cooked")
    assert refused.status_code == 409
    assert "165 °F" in refused.json()["words"]
    assert cook.get("/api/records").json()["count"] == 2


def test_an_inspector_reads_everything_and_writes_nothing(board, cook, inspector):
    make(cook)
    read(cook, "170", "r1")
    for path in ("/api/lots", "/api/records", "/api/records/open", "/api/lots/chicken Tue"):
        assert inspector.get(path).status_code == 200, path
    assert read(inspector, "165", "r2").status_code == 403
    correction = {"id": "tablet-1-c1", "of": "tablet-1-r1", "value": "165", "unit": "F", "why": "misread"}
    assert inspector.post("/api/records/corrections", json=correction).status_code == 403


def test_entries_are_found_by_day_and_words(board, cook, inspector):
    make(cook)
    read(cook, "170", "r1", at_s=AT_S - 3600)
    found = inspector.get("/api/records", params={"words": "half_chicken", "day": "2026-06-02"}).json()
    assert found["count"] == 2
    assert [(one["kind"], one["clock"], one["offset"], one["late"]) for one in found["entries"]] == [
        ("lot", "15:00", "-04:00", False),
        ("reading", "14:00", "-04:00", True),
    ]
    assert (
        inspector.get("/api/records", params={"words": "half_chicken", "day": "2026-06-01"}).json()["count"]
        == 0
    )
    assert inspector.get("/api/records", params={"words": "wings"}).json()["count"] == 0


def test_a_correction_that_helps_needs_a_second_person_and_their_own_pin(board, cook):
    make(cook)
    read(cook, "615", "r1")
    correction = {"of": "tablet-1-r1", "value": "165", "unit": "F", "why": "typed 615"}

    def correct(id, second=None, **changed):
        body = correction | {"id": f"tablet-1-{id}", "second": second} | changed
        return cook.post("/api/records/corrections", json=body)

    assert correct("c1").status_code == 409
    assert correct("c2", {"name": "Ana", "pin": "0000"}).status_code == 403
    assert correct("c3", {"name": "Ben", "pin": PINS["Ben"][1]}).status_code == 403, "nobody seconds himself"
    assert correct("c4", {"name": "Iva", "pin": PINS["Iva"][1]}).status_code == 403, (
        "an inspector tells nothing"
    )
    assert correct("c5", {"name": "Ana", "pin": PINS["Ana"][1]}).json()["taken"]
    (lot,) = cook.get("/api/lots").json()["lots"]
    assert lot["readings"][0]["value"] == "165"
    assert lot["readings"][0]["instead_of"] == ["615 °F at 15:00, coldest: typed 615 (Ben, with Ana)"]
    assert correct("c6", of="no-such-1").status_code == 404


def test_guessing_the_second_persons_pin_is_slowed(board, cook):
    make(cook)
    read(cook, "615", "r1")
    body = {"id": "tablet-1-c1", "of": "tablet-1-r1", "value": "165", "unit": "F", "why": "typed 615"}
    statuses = []
    for n in range(7):
        guessed = body | {"second": {"name": "Ana", "pin": f"{n:04}"}}
        statuses.append(cook.post("/api/records/corrections", json=guessed).status_code)
    assert statuses[:5] == [403] * 5
    assert 429 in statuses[5:]


def test_a_probe_in_ice_and_a_deviation_stand_until_they_are_closed(board, cook, inspector):
    make(cook)
    say(cook, "ice-00", kind="probe_in_ice", instrument="probe 2", shown="34.5", unit="F", scale="F")
    say(cook, "dev-00", kind="deviation", lot="chicken Tue", rule="CK1", found="150 °F, out of the oven")
    stands = inspector.get("/api/records/open").json()
    assert [one["verdict"]["answer"] for one in stands["checks"]] == ["fail"]  # 2 °F by 4-203.11
    assert [one["words"] for one in stands["deviations"]] == ["CK1: 150 °F, out of the oven"]
    closing = {
        "kind": "deviation_closed",
        "of": "tablet-1-dev-00",
        "cause": "cold spot",
        "control": "back in",
    }
    half = say(cook, "end-00", **closing, prevention="turn it", disposition="")
    assert half.status_code == 422, "all four"
    assert say(cook, "end-00", **closing, prevention="turn it", disposition="cooked on").json()["taken"]
    assert inspector.get("/api/records/open").json()["deviations"] == []


def test_a_board_without_records_says_so(board, cook):
    board.board.records = None
    assert cook.get("/api/lots").status_code == 404
    assert make(cook).status_code == 404


def test_the_records_go_out_as_a_table_and_as_a_print_to_whoever_reads(board, cook, inspector):
    make(cook)
    read(cook, "170", "r1")
    rows = inspector.get("/api/records/table").text.splitlines()
    assert rows[0].startswith("entry,kind,at_utc") and len(rows) == 3
    assert inspector.get("/api/records/print").status_code == 404, "this board of the tests prints none"
    board.board.prints = lambda words, day: f"{words} {day}".encode()
    made = inspector.get("/api/records/print", params={"words": "chicken", "day": "2026-06-02"})
    assert (made.content, made.headers["content-type"]) == (b"chicken 2026-06-02", "application/pdf")
    with board.client() as nobody:
        assert nobody.get("/api/records/table").status_code == 401


def test_seconds_of_another_night_and_of_the_future_are_not_written(board, cook):
    make(cook)
    ahead = read(cook, "165", "r1", at_s=AT_S + 3600)
    assert ahead.status_code == 409 and "still to come" in ahead.json()["words"]
    board.board.house = SimpleNamespace(night="2026-06-02")
    what = {"kind": "lot_became", "lot": "chicken Tue", "state": "discarded"}
    other = {"id": "tablet-1-n1", "at_s": AT_S, "what": what, "night": "2026-06-03"}
    answer = cook.post("/api/records", json=other)
    assert answer.status_code == 409 and "night of 2026-06-03" in answer.json()["words"]
    assert cook.post("/api/records", json=other | {"night": "2026-06-02"}).status_code == 200


def test_a_reading_is_corrected_twice_by_the_name_the_screen_has(board, cook):
    make(cook)
    read(cook, "170", "r1")

    def correct(of, value, id):
        body = {"id": f"tablet-1-{id}", "of": of, "value": value, "unit": "F", "why": "misread"}
        return cook.post("/api/records/corrections", json=body)

    assert correct("tablet-1-r1", "160", "c1").status_code == 200
    (lot,) = cook.get("/api/lots").json()["lots"]
    assert correct(lot["readings"][0]["id"], "150", "c2").status_code == 200
    (lot,) = cook.get("/api/lots").json()["lots"]
    assert lot["readings"][0]["value"] == "150"
    assert len(lot["readings"][0]["instead_of"]) == 2


def test_a_probe_in_boiling_water_is_judged_by_the_height_it_boils_at(board, cook, inspector):
    """At 1,500 m water boils at 95.0 °C (boiling_C; its own test holds it to a published table)."""
    for n, (shown, height) in enumerate((("95.0", 1500), ("95.0", 0), ("100", 0))):
        what = {
            "kind": "probe_in_boiling",
            "instrument": "probe 2",
            "shown": shown,
            "unit": "C",
            "scale": "C",
        }
        assert say(cook, f"boil-{n}", **what, height_m=height).json()["taken"]
    stands = inspector.get("/api/records/open").json()
    assert [one["verdict"]["answer"] for one in stands["checks"]] == ["pass", "fail", "pass"]
    far = say(
        cook,
        "boil-9",
        kind="probe_in_boiling",
        instrument="p",
        shown="90",
        unit="C",
        scale="C",
        height_m=9000,
    )
    assert far.status_code == 422


def test_freezer_procedure_and_time_marks_are_told_from_a_tablet(board, cook):
    make(cook)
    refused = say(cook, "frz-00", kind="lot_freezer", lot="chicken Tue", way="in")
    assert refused.status_code == 409 and "raw" in refused.json()["words"]
    assert say(cook, "proc-0", kind="time_procedure", reference="TP-1, blue folder").json()["taken"]
    assert say(cook, "mark-0", kind="lot_time_marked", lot="chicken Tue", for_s=4 * 3600).json()["taken"]
    found = cook.get("/api/records").json()["entries"]
    assert [one["words"] for one in found][-2:] == [
        "written procedure for time alone: TP-1, blue folder",
        "on time alone until 2026-06-02 19:00",
    ]


def test_what_waited_past_its_night_is_written_with_its_own_day(board, cook):
    """The board is a night on; 15:00 of 1 June is told by the clock of that night, four hours behind UTC."""
    board.board.house = SimpleNamespace(night="2026-06-03")
    body = {"id": "tablet-1-w1", "at_s": 15 * 3600, "night": "2026-06-01"}
    what = {"kind": "lot_made", "lot": "old", "dish": "half_chicken", "quantity": "2", "food": "poultry"}
    for night, taken in (("2026-06-04", False), ("2026-04-01", False), ("no date", False)):
        answer = cook.post("/api/records", json=body | {"what": what, "night": night})
        assert answer.json()["taken"] == taken and night in answer.json()["words"]
    answer = cook.post("/api/records", json=body | {"what": what})
    assert answer.json()["taken"], answer.json()
    (entry,) = cook.get("/api/records").json()["entries"]
    assert (entry["day"], entry["clock"], entry["late"]) == ("2026-06-01", "15:00", True)
