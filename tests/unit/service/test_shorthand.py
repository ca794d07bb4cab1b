"""Tickets typed on one line: what each sign means, and what is said of a line that means nothing."""

import pytest

from hearthtide.errors import InputError
from hearthtide.service.shorthand import ticket_of_line

DISHES = {
    "pizza": "Pizza",
    "strip_steak": "Strip steak",
    "shrimp": "Shrimp in butter",
    "cheese_dip": "Cheese dip",
    "half_chicken": "Half chicken",
    "pizza_bread": "Pizza",
}
OWN = {key: name for key, name in DISHES.items() if key != "pizza_bread"}
CALLED_S = 19 * 3600.0


def read(line, dishes=OWN):
    return ticket_of_line(line, dishes, CALLED_S)


def dishes(ticket):
    return [plate.dish for course in ticket.courses for plate in course.plates]


def test_a_plain_line():
    ticket = read("B4 x4 19:22 2 pizza, strip steak, shrimp")
    assert (ticket.table, ticket.covers, ticket.called_s) == ("B4", 4, CALLED_S)
    assert ticket.courses[0].wanted_s == CALLED_S + 22 * 60
    assert dishes(ticket) == ["pizza", "pizza", "strip_steak", "shrimp"]


def test_everything_a_line_can_say():
    ticket = read(
        "C-12 x12 !nuts !tree nuts *2.5 re B7 +18 8 pizza !milk !egg, str /2 each 6 min; 19:45 cheese_dip"
    )
    first, second = ticket.courses
    assert (ticket.allergy, ticket.priority, ticket.refire_of) == (("nuts", "tree nuts"), 2.5, "B7")
    assert (first.wanted_s, first.drops, first.drops_apart_s) == (CALLED_S + 18 * 60, 2, 360)
    assert [plate.dish for plate in first.plates] == ["pizza"] * 8 + ["strip_steak"]
    assert [plate.allergy for plate in first.plates] == [("milk", "egg")] * 8 + [()]
    assert (second.wanted_s, [plate.dish for plate in second.plates]) == (
        CALLED_S + 45 * 60,
        ["cheese_dip"],
    )


@pytest.mark.parametrize("word", ["strip steak", "Strip Steak", "strip_steak", "strip-steak", "st", "STRIP"])
def test_a_dish_is_its_name_its_key_or_the_beginning_of_one(word):
    assert dishes(read(f"B4 x2 19:22 {word}")) == ["strip_steak"]


@pytest.mark.parametrize(
    ("line", "field", "expected"),
    [
        ("", "line", "a table and its covers first"),
        ("B4 19:22 pizza", "line", "a table and its covers first"),
        ("B4 x2 pizza", "course 1", "its minute first"),
        ("B4 x2 ! 19:22 pizza", "course 1", "its minute first"),
        ("B4 x2 19:22", "course 1, plate 1", "a dish, or a number"),
        ("B4 x2 19:22 pizza,", "course 1, plate 2", "a dish, or a number"),
        ("B4 x2 19:22 pizza; shrimp", "course 2", "its minute first"),
        ("B4 x2 19:22 s", "course 1, plate 1", "shrimp or strip_steak"),
        ("B4 x2 19:22 piza", "course 1, plate 1", "a dish of this house"),
        ("B4 x2 19:22 61 pizza", "course 1, plate 1", "1 to 60 plates"),
        ("B4 x2 19:22 0 pizza", "course 1, plate 1", "1 to 60 plates"),
        ("B4 x2 19:22 pizza !", "course 1, plate 1", "may not have"),
        ("B4 x2 19:22 pizza !milk !", "course 1, plate 1", "may not have"),
        ("B4 x0 19:22 pizza", "covers", "at least 1"),
        ("B4 xtwo 19:22 pizza", "covers", "a whole number"),
        ("B_4 x2 19:22 pizza", "table", "letters and digits"),
        ("B4 x2 *11 19:22 pizza", "priority", "at most 10"),
        ("B4 x2 19:99 pizza", "courses[1].wanted", "a time of day"),
        ("B4 x2 18:59 pizza", "courses", "a minute after called"),
        ("B4 x2 19:22 pizza; 19:10 shrimp", "courses", "after the course before it"),
        ("B4 x2 19:22 pizza /13", "courses[1].drops", "at most 12"),
        ("B4 x2 19:22 pizza /2 each lunch", "courses[1].drops_apart", "a duration"),
        ("B4 x2 !nu\u2603ts 19:22 pizza", "allergy.1", "pattern"),
        ("B4 x2 " + "19:22 pizza, " * 200, "line", "at most 2000"),
    ],
)
def test_what_means_nothing_is_named_with_its_place(line, field, expected):
    with pytest.raises(InputError) as wrong:
        read(line)
    (finding,) = wrong.value.findings
    assert (finding.file, finding.field) == ("ticket", field)
    assert expected in finding.expected
    assert "\n" not in str(finding) and finding.remedy


def test_all_mistakes_of_a_line_are_told_at_once():
    with pytest.raises(InputError) as wrong:
        read("B4 x2 19:22 piza, 99 pizza; shrimp")
    assert [f.field for f in wrong.value.findings] == ["course 1, plate 1", "course 1, plate 2", "course 2"]


def test_two_dishes_of_one_name_are_told_apart_by_their_keys():
    with pytest.raises(InputError, match="pizza or pizza_bread"):
        read("B4 x2 19:22 pizza", DISHES)
    assert dishes(read("B4 x2 19:22 pizza bread", DISHES)) == ["pizza_bread"]
