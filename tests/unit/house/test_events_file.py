"""What really happened, as a cook writes it: one thing in each line, the bad ones set aside."""

import pytest

from hearthtide.errors import InputError
from hearthtide.house.events_file import take_events
from hearthtide.house.files import read_house, read_night


@pytest.fixture
def take(folder):
    house = read_house(folder)
    night = read_night(house, "tuesday")

    def read(*events, now=""):
        path = folder / "events.yaml"
        rows = "".join(f"  - {event}\n" for event in events)
        path.write_text(f"{now}events:\n{rows}", encoding="utf-8")
        return take_events(path, house, night)

    return read


GOOD = "{at: 19:10, item: B4-2, act: launch, late: 0:30}"


def test_each_thing_is_read_and_now_is_the_last_of_them(take):
    rows = [
        GOOD,
        "{at: 19:12, item: B4-2, more: 0:40}",
        "{at: 19:13, item: B4-2, probe: 41 C}",
        "{at: 19:14, item: B4-2, done_at: 19:16}",
        "{at: 19:14, spill: {x: 10 cm, y: 50 cm, radius: 12 cm, until: 19:40}}",
        "{at: 19:15, eighty_six: shrimp}",
        "{at: 19:15, refire: B4-1}",
        "{at: 19:16, ticket: {table: G1, covers: 2, called: 19:16, wanted: 19:34, dishes: [pizza]}}",
    ]
    events, wrong = take(*rows)
    assert wrong == () and len(events.events) == 8
    assert events.now_s == 19 * 3600 + 16 * 60
    assert take(*rows, now="now: 19:20\n")[0].now_s == 19 * 3600 + 20 * 60


@pytest.mark.parametrize(
    ("row", "field", "expected"),
    [
        ("{at: 19:12}", "events[2]", "exactly one of"),
        ("{at: 19:12, eighty_six: shrimp, refire: B4-1}", "events[2]", "exactly one of"),
        ("{at: 19:12, act: turn, late: 0:20}", "events[2].item", "with act"),
        ("{at: 19:12, item: B4-1, act: turn}", "events[2].act", "how much early or late"),
        ("{at: 19:12, item: B4-1, more: 0:20, late: 0:20}", "events[2].act", "that was early or late"),
        ("{at: 19:12, item: B4, more: 0:20}", "events[2].item", "letters and digits"),
        ("{at: 19:12, eighty_six: shrim}", "events[2].eighty_six", "a dish of this house"),
        ("{at: 13:12, eighty_six: shrimp}", "events[2].at", "after the oven is lit"),
        (
            "{at: 19:12, spill: {x: 0 cm, y: 50 cm, radius: 9 cm, until: 19:00}}",
            "events[2].spill.until",
            "after it was told",
        ),
        (
            "{at: 19:30, ticket: {table: G1, covers: 2, called: 19:00, wanted: 19:20, dishes: [pizza]}}",
            "events[2].ticket.wanted",
            "a minute after it is told",
        ),
        (
            "{at: 19:12, ticket: {table: B4, covers: 2, called: 19:12, wanted: 19:40, dishes: [pizza]}}",
            "events[2].ticket.table",
            "does not have yet",
        ),
        (
            "{at: 19:12, ticket: {table: G1, covers: 2, called: 19:12, wanted: 19:40, dishes: [soup]}}",
            "events[2].ticket.dishes[1]",
            "a dish of this house",
        ),
    ],
)
def test_a_bad_line_is_set_aside_and_the_rest_is_heard(take, row, field, expected):
    events, wrong = take(GOOD, row)
    (line,) = wrong
    assert (line.file, line.field) == ("events.yaml", field)
    assert expected in line.expected and line.line == 3 and line.remedy
    assert len(events.events) == 1


def test_nothing_left_or_a_now_before_what_happened_is_refused(take):
    with pytest.raises(InputError):
        take("{at: 19:12}")
    with pytest.raises(InputError) as raised:
        take(GOOD, now="now: 19:00\n")
    assert raised.value.findings[0].field == "now"
