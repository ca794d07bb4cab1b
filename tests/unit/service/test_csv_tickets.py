"""Tickets from comma-separated values: put together by table, bad ones set aside by file and line."""

import pytest

from hearthtide.errors import InputError
from hearthtide.service.csv_tickets import tickets_of_csv
from hearthtide.service.tickets import Plate

HEAD = "table,covers,called,wanted,course,dish,count,allergy\n"


def read(text):
    return tickets_of_csv(text.encode(), "friday.csv")


def test_lines_of_a_table_are_one_ticket_in_courses():
    tickets, wrong = read(
        HEAD
        + "B4,4,19:05,19:22,1,pizza,2,nuts / milk\n"
        + "C1,2,19:06,19:30,,shrimp,,\n"
        + "B4,,,,1,strip_steak,,\n"
        + "\n"
        + "B4,4,19:05,19:45,2,cheese_dip,1,egg\n"
    )
    assert wrong == ()
    b4, c1 = tickets
    assert (b4.table, b4.covers, b4.allergy) == ("B4", 4, ("nuts", "milk", "egg"))
    assert [tuple(p.dish for p in course.plates) for course in b4.courses] == [
        ("pizza", "pizza", "strip_steak"),
        ("cheese_dip",),
    ]
    assert [course.wanted_s for course in b4.courses] == [19 * 3600 + 22 * 60, 19 * 3600 + 45 * 60]
    assert (c1.courses[0].plates, c1.allergy) == ((Plate("shrimp"),), ())


@pytest.mark.parametrize("sign", [";", "\t"])
def test_other_signs_between_fields_and_columns_in_any_order(sign):
    rows = [
        ("dish", "table", "wanted", "called", "covers", "drops", "drops_apart", "priority"),
        ("pizza", "B4", "19:22", "19:05", "4", "2", "6 min", "2"),
    ]
    (ticket,), wrong = read("\ufeff" + "\r\n".join(sign.join(row) for row in rows))
    assert wrong == ()
    assert (ticket.priority, ticket.courses[0].drops, ticket.courses[0].drops_apart_s) == (2, 2, 360)


GOOD = "A1,2,19:00,19:20,1,pizza,1,\n"


@pytest.mark.parametrize(
    ("row", "line", "field", "expected"),
    [
        ("B4,400,19:05,19:22,1,pizza,1,", 3, "covers", "at most 100"),
        ("B4,4,19:05,noon,1,pizza,1,", 3, "courses[1].wanted", "a time of day"),
        ("B4,4,19:05,19:01,1,pizza,1,", 3, "courses", "a minute after called"),
        ("B4,4,19:05,19:22,1,pizza,0,", 3, "count", "1 to 60"),
        ("B4,4,19:05,19:22,1,pizza,61,", 3, "count", "1 to 60"),
        ("B4,4,19:05,19:22,1,pizza,1,nuts//milk", 3, "allergy", "both sides"),
        ("B4,4,19:05,19:22,1,pizza\u2603,1,", 3, "dish", "pattern"),
        (",4,19:05,19:22,1,pizza,1,", 3, "table", "the table's name"),
        ("B4,4,19:05,19:22,1,pizza,1,\nB4,5,,,1,pizza,1,", 4, "covers", "4, as on line 3"),
        ("B4,4,19:05,19:22,1,pizza,1,\nB4,,,19:25,1,pizza,1,", 4, "wanted", "19:22, as on line 3"),
    ],
)
def test_a_bad_ticket_is_set_aside_by_its_line_and_the_rest_is_taken(row, line, field, expected):
    tickets, wrong = read(f"{HEAD}{GOOD}{row}\n")
    assert [ticket.table for ticket in tickets] == ["A1"]
    (finding,) = wrong
    assert (finding.file, finding.line, finding.field) == ("friday.csv", line, field)
    assert expected in finding.expected and finding.remedy


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", "a first line with the columns"),
        (b"\xff\xfe", "UTF-8 text"),
        (b"x" * 1_000_001, "at most 1000 kB"),
        (b"table,covers,called,wanted\n", "a column `dish`"),
        (b"table,covers,called,wanted,dish,dsh\n", "columns that are known"),
        (b"table,covers,called,wanted,dish,dish\n", "each column once"),
        (HEAD.encode() + b"B4,4,19:05,19:22,1,pizza,1,,,\n", "8 fields"),
        (HEAD.encode() + b'B4,4,19:05,19:22,1,"pizza,1,\n', "comma-separated values"),
        (HEAD.encode() + GOOD.encode() * 5001, "at most 5000 lines"),
    ],
)
def test_a_table_that_cannot_be_read_is_refused_whole(content, expected):
    with pytest.raises(InputError) as wrong:
        tickets_of_csv(content, "friday.csv")
    assert expected in wrong.value.findings[0].expected
