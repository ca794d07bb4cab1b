import pytest

from hearthtide.errors import InputError
from hearthtide.house.files import read_house, read_night


@pytest.fixture
def house(folder):
    return read_house(folder)


def findings_in(house, night):
    with pytest.raises(InputError) as raised:
        read_night(house, night)
    return raised.value.findings


def written(folder, *tickets, lit="14:00", doors="17:00", last_call="21:30"):
    lines = ["name: Try", f"lit: {lit}", f"doors: {doors}", f"last_call: {last_call}", "tickets:", *tickets]
    (folder / "nights/try.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def ticket(table="A1", covers="2", called="18:00", wanted="18:15", dishes="[pizza]"):
    return f"  - {{table: {table}, covers: {covers}, called: {called}, wanted: {wanted}, dishes: {dishes}}}"


def test_a_night_is_read_by_name_or_by_path(house, folder):
    by_name = read_night(house, "tuesday")
    assert by_name == read_night(house, str(folder / "nights/tuesday.yaml"))
    assert by_name.ambient == 25


def test_a_missing_night_names_those_that_exist(house, folder):
    (folder / "nights/sunday.yaml").write_text("name: Sunday\n", encoding="utf-8")
    (finding,) = findings_in(house, "tusday")
    assert (finding.file, finding.expected) == ("nights/tusday.yaml", "a file in the house's folder")
    assert finding.remedy.startswith("Did you mean `tuesday`")
    (finding,) = findings_in(house, "xyz")
    assert finding.remedy == "Known: sunday, tuesday."


@pytest.mark.parametrize(
    "night",
    [
        "../oven",
        "../../etc/passwd",
        "nights/tuesday",
        "/",
        "",
        ".",
        "a\0b",
        "x" * 5000,
        "no/such.yaml",
        "\ud800",
    ],
)
def test_a_name_cannot_lead_out_of_the_folder(house, night):
    (finding,) = findings_in(house, night)
    assert finding.file == "nights"
    assert "tuesday" in finding.remedy


def test_a_linked_night_outside_the_folder_is_not_followed(house, folder, tmp_path):
    outside = tmp_path / "outside.yaml"
    outside.write_bytes((folder / "nights/tuesday.yaml").read_bytes())
    (folder / "nights/linked.yaml").symlink_to(outside)
    (finding,) = findings_in(house, "linked")
    assert "inside the house's folder" in finding.expected


BAD_TICKETS = [
    ({"dishes": "[pizzza]"}, "tickets[1].dishes[1]", "a dish of this house", "Did you mean `pizza`?"),
    ({"dishes": "[]"}, "tickets[1].dishes", "at least 1 in this list", "Add to the list."),
    ({"wanted": "18:00"}, "tickets[1].wanted", "a minute after called", "Change it"),
    ({"wanted": "6 pm"}, "tickets[1].wanted", "a time of day such as `19:22`", "Write it that way."),
    ({"called": "16:59"}, "tickets[1].called", "a time from doors to last_call", "Correct the time"),
    ({"called": "21:31", "wanted": "21:50"}, "tickets[1].called", "a time from doors", "Correct the time"),
    ({"covers": "0"}, "tickets[1].covers", "at least 1", "Raise it"),
    ({"covers": "1000"}, "tickets[1].covers", "at most 100", "Lower it"),
    ({"table": "the window"}, "tickets[1].table", "letters and digits", "Shorten it"),
]


@pytest.mark.parametrize(
    ("change", "field", "expected", "remedy"), BAD_TICKETS, ids=lambda part: str(part)[:40]
)
def test_a_bad_ticket_is_found_at_its_line(house, folder, change, field, expected, remedy):
    written(folder, ticket(**change))
    (finding,) = findings_in(house, "try")
    assert (finding.file, finding.line, finding.field) == ("nights/try.yaml", 6, field)
    assert expected in finding.expected
    assert remedy in finding.remedy


def test_a_table_stands_once(house, folder):
    written(folder, ticket(), ticket(called="19:00", wanted="19:20"))
    (finding,) = findings_in(house, "try")
    assert finding.field == "tickets"
    assert "each table once, found again: A1" in finding.expected


@pytest.mark.parametrize("hours", [{"lit": "17:00"}, {"last_call": "16:00"}])
def test_hours_must_be_in_order(house, folder, hours):
    written(folder, ticket(), **hours)
    (finding,) = findings_in(house, "try")
    assert finding.expected == "lit before doors before last_call"


def test_all_bad_tickets_are_told_at_once_and_a_late_night_runs_past_midnight(house, folder):
    written(folder, ticket(dishes="[pie]"), ticket(table="A2", dishes="[soup, pizza]"))
    assert [finding.line for finding in findings_in(house, "try")] == [6, 7]
    written(folder, ticket(called="24:40", wanted="25:00"), last_call="25:30")
    assert read_night(house, "try").tickets[0].wanted == 25 * 3600
