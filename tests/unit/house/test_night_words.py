"""Courses, drops, drags, allergies, re-fires, spots by hand, 86 and closed stone in a night's file."""

import pytest

from hearthtide.errors import InputError
from hearthtide.house.files import read_house, read_night, take_house, take_night
from hearthtide.house.set_aside import without_dishes

HEAD = "name: Try\nlit: 14:00\ndoors: 17:00\nlast_call: 21:30\n"
PLAIN = "  - {table: Z9, covers: 2, called: 18:00, wanted: 18:15, dishes: [pizza]}\n"


@pytest.fixture
def house(folder):
    return read_house(folder)


@pytest.fixture
def taken(house, folder):
    """The night of these tickets (and a plain one), as far as it can be planned."""

    def take(tickets, more="", plain=PLAIN):
        text = f"{HEAD}tickets:\n{plain}{tickets}\n{more}\n"
        (folder / "nights/try.yaml").write_text(text, encoding="utf-8")
        return take_night(house, "try")

    return take


COURSES = """\
  - table: B4
    covers: 4
    called: 18:30
    priority: 2
    courses:
      - {wanted: 18:50, dishes: [pizza, flatbread]}
      - wanted: 19:10
        dishes: [pizza, {dish: strip_steak, allergy: [milk]}]
        drops: 2
        drops_apart: 6:00
        drag: 4:00
"""


def test_courses_each_have_their_minute_their_drops_and_their_drag(taken):
    night = taken(COURSES).night
    first, second = night.tickets[1].parts
    assert (first.lands, first.drops) == (18 * 3600 + 50 * 60, 1)
    assert (second.lands, second.drops, second.drops_apart) == (19 * 3600 + 14 * 60, 2, 360)
    assert night.tickets[1].dishes == ("pizza", "flatbread", "pizza", "strip_steak")
    assert night.tickets[1].wanted == second.lands
    assert night.tickets[1].allergy_of(second.plates[1]) == ("milk",)
    assert night.tickets[1].allergy_of(second.plates[0]) == ()


def test_a_ticket_without_courses_is_one_course(taken):
    (part,) = taken("").night.tickets[0].parts
    assert (part.wanted, [plate.dish for plate in part.plates]) == (18 * 3600 + 15 * 60, ["pizza"])


def ticket(**keys):
    row = {"table": "A1", "covers": "2", "called": "18:00", "wanted": "18:15", "dishes": "[pizza]"} | keys
    return "  - {" + ", ".join(f"{key}: {value}" for key, value in row.items() if value is not None) + "}"


BAD = [
    # what is written wrong, the field, what is expected
    ({"wanted": "17:50"}, "tickets[2].wanted", "a minute after called"),
    ({"called": "16:40", "wanted": "17:20"}, "tickets[2].called", "a time from doors to last_call"),
    ({"dishes": None}, "tickets[2].dishes", "dishes, or courses"),
    ({"wanted": None}, "tickets[2].wanted", "or courses that hold theirs"),
    ({"courses": "[{wanted: 18:20, dishes: [pizza]}]"}, "tickets[2].", "in the courses alone"),
    ({"wanted": None, "dishes": None, "courses": "[]"}, "tickets[2].courses", "at least 1"),
    (
        {
            "wanted": None,
            "dishes": None,
            "courses": "[{wanted: 18:40, dishes: [pizza]}, {wanted: 18:30, dishes: [pizza]}]",
        },
        "tickets[2].courses",
        "after the course before it",
    ),
    ({"drops": "0"}, "tickets[2].drops", "at least 1"),
    ({"priority": "0.5"}, "tickets[2].priority", "at least 1"),
    ({"drag": "-5 min"}, "tickets[2].drag", "at least"),
    ({"allergy": "[shelfish]"}, "tickets[2].allergy[1]", "an allergen by a word that is known"),
    ({"refire_of": "Q7"}, "tickets[2].refire_of", "a table of this night"),
    ({"refire_of": "Z9"}, "tickets[2].refire_of", "a ticket called before it"),
    ({"dishes": "[pizzza]"}, "tickets[2].dishes[1]", "a dish of this house"),
    ({"dishes": "[flatbread]", "allergy": "[sesame]"}, "tickets[2].dishes[1]", "allergy order of A1"),
    (
        {"dishes": "[{dish: pizza, spot: {x: 0 cm, y: 300 cm}}]"},
        "tickets[2].dishes[1].spot",
        "fits on this hearth",
    ),
]


@pytest.mark.parametrize(("change", "field", "expected"), BAD, ids=lambda part: str(part)[:40])
def test_one_line_for_one_mistake_and_the_rest_of_the_night_is_planned(taken, house, change, field, expected):
    found = taken(ticket(**change))
    (line,) = found.wrong
    assert line.file == "nights/try.yaml" and line.field.startswith(field) and expected in line.expected
    assert line.line == 7 and line.remedy
    assert found.night.tickets[0].table == "Z9"
    with pytest.raises(InputError) as raised:  # asked for the whole night, it is refused
        read_night(house, "try")
    assert raised.value.findings == found.wrong


def test_all_mistakes_are_told_at_once_and_each_costs_no_more_than_it_must(taken):
    rows = [
        ticket(table="A1", wanted="17:00"),
        ticket(table="A2", dishes="[pizza, soup, flatbread]"),
        ticket(table="A3", dishes="[{dish: pizza, spot: {x: 0 cm, y: 300 cm}}]"),
    ]
    found = taken("\n".join(rows))
    assert [finding.line for finding in found.wrong] == [7, 8, 9]
    assert {t.table: t.dishes for t in found.night.tickets} == {
        "Z9": ("pizza",),
        "A2": ("pizza", "flatbread"),
        "A3": ("pizza",),
    }
    assert found.night.tickets[2].parts[0].plates[0].spot is None


SPOT = "[{dish: pizza, spot: {x: %s, y: 55 cm}}]"


def test_two_plates_given_one_spot_at_once_keep_the_first(taken):
    both = [ticket(table="A1", dishes=SPOT % "20 cm"), ticket(table="A2", dishes=SPOT % "25 cm")]
    found = taken("\n".join(both))
    (line,) = found.wrong
    assert "stands there then too" in line.expected and "pizza for A1" in line.expected
    spots = [t.parts[0].plates[0].spot for t in found.night.tickets]
    assert spots[1] is not None and spots[2] is None


def test_one_spot_one_after_the_other_is_fine(taken):
    later = {"called": "18:30", "wanted": "18:45"}
    both = [ticket(table="A1", dishes=SPOT % "20 cm"), ticket(table="A2", dishes=SPOT % "20 cm", **later)]
    assert taken("\n".join(both)).wrong == ()


def test_nothing_left_to_plan_refuses_the_night(taken):
    with pytest.raises(InputError) as raised:
        taken(ticket(dishes="[soup]"), plain="")
    assert len(raised.value.findings) == 1


def test_what_concerns_the_whole_night_refuses_it(taken):
    for more, field in (
        ("eighty_six: [{dish: soup}]", "eighty_six[1].dish"),
        ("closed: [{x: 0 cm, y: 350 cm, radius: 10 cm, from: 18:00, until: 19:00}]", "closed[1].x"),
        ("closed: [{x: 0 cm, y: 50 cm, radius: 10 cm, from: 19:00, until: 18:00}]", "closed[1].until"),
    ):
        with pytest.raises(InputError) as raised:
            taken("", more)
        assert [f.field for f in raised.value.findings] == [field]


def test_a_dish_that_is_off_is_named_left_out_and_no_mistake(taken, house):
    rows = [
        ticket(table="A1", dishes="[pizza, flatbread]"),
        ticket(table="A2", called="17:30", wanted="17:50"),
    ]
    rows[1] = rows[1].replace("[pizza]", "[flatbread]")
    found = taken("\n".join(rows), "eighty_six: [{dish: flatbread, from: 17:45}]")
    assert found.wrong == ()
    (gone,) = found.gone
    assert (gone.field, gone.value) == (
        "tickets[2].dishes[2]",
        "flatbread",
    ) and "86 from 17:45" in gone.expected
    assert {t.table: t.dishes for t in found.night.tickets} == {
        "Z9": ("pizza",),
        "A1": ("pizza",),
        "A2": ("flatbread",),  # called before it ran out
    }
    assert read_night(house, "try") == found.night


def test_a_course_left_empty_goes_and_the_others_stay(taken):
    found = taken(COURSES, "eighty_six: [{dish: strip_steak}, {dish: pizza}]", plain="")
    (left,) = found.night.tickets
    assert left.dishes == ("flatbread",) and len(left.parts) == 1


def test_a_bad_dish_is_set_aside_with_its_plates(folder):
    dish = folder / "dishes/pizza.yaml"
    dish.write_text(
        dish.read_text(encoding="utf-8").replace("clear_of_flame: 30 cm", "clear_of_flame: 140 cm")
    )
    house, wrong = take_house(folder)
    assert {f.file for f in wrong} == {"dishes/pizza.yaml"}
    assert house.set_aside == {"pizza"} and "pizza" not in house.dishes
    found = take_night(house, "tuesday")
    assert all("dishes/pizza.yaml" in f.expected for f in found.wrong) and found.wrong
    assert all("pizza" not in ticket.dishes for ticket in found.night.tickets)
    with pytest.raises(InputError):
        read_house(folder)


def test_a_house_with_no_dish_left_is_refused(folder):
    for dish in (folder / "dishes").glob("*.yaml"):
        dish.write_text("name: Broken\n", encoding="utf-8")
    with pytest.raises(InputError):
        take_house(folder)


def test_dishes_taken_off_a_night(taken):
    night = taken(COURSES).night
    left = without_dishes(night, ["pizza"])
    assert left is not None and [t.dishes for t in left.tickets] == [("flatbread", "strip_steak")]
    assert without_dishes(night, ["pizza", "flatbread", "strip_steak"]) is None
