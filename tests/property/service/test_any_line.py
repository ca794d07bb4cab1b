"""Whatever is typed or sent as a ticket is read or refused in words; what is read can be told and kept."""

import string

from hypothesis import given
from hypothesis import strategies as st

from hearthtide.errors import InputError
from hearthtide.service.csv_tickets import COLUMNS, tickets_of_csv
from hearthtide.service.shorthand import ticket_of_line
from hearthtide.service.tickets import file_of, ticket_of

DISHES = {"pizza": "Pizza", "strip_steak": "Strip steak", "shrimp": "Shrimp in butter"}
CALLED_S = 19 * 3600.0
PIECES = [
    "B4",
    " ",
    "x",
    "4",
    "19:22",
    "+",
    "20",
    "pizza",
    "st",
    "!",
    "nuts",
    "*",
    "2",
    "re ",
    ",",
    ";",
    "/",
    "each",
]

words = st.text(string.ascii_letters, min_size=1, max_size=12)
anything = st.one_of(
    st.text(max_size=80),
    st.lists(st.sampled_from(PIECES), max_size=40).map("".join),
    st.lists(st.sampled_from(PIECES), max_size=40).map(" ".join).map("B4 x4 19:22 ".__add__),
)


@given(anything)
def test_any_line_is_read_or_refused_in_words(line):
    try:
        ticket = ticket_of_line(line, DISHES, CALLED_S)
    except InputError as err:
        assert all("\n" not in str(finding) for finding in err.findings) and err.findings
    else:
        plates = [plate for course in ticket.courses for plate in course.plates]
        assert {plate.dish for plate in plates} <= set(DISHES)
        # Nothing that may harm a guest is dropped: every `!` of the line has its word on some plate.
        said = {word for plate in plates for word in (*ticket.allergy, *plate.allergy)}
        assert all(word.strip() for word in said)
        assert said if "!" in line else not said
        assert ticket_of(file_of(ticket)) == ticket


courses = st.lists(
    st.lists(
        st.tuples(st.sampled_from(sorted(DISHES)), st.integers(1, 4), st.lists(words, max_size=2)),
        min_size=1,
        max_size=4,
    ),
    min_size=1,
    max_size=4,
)


@given(
    table=st.from_regex(r"[A-Za-z0-9-]{1,12}", fullmatch=True),
    covers=st.integers(1, 100),
    allergy=st.lists(words, max_size=3),
    courses=courses,
    minutes=st.integers(1, 60),
)
def test_a_line_written_from_a_ticket_reads_as_that_ticket(table, covers, allergy, courses, minutes):
    texts = []
    for n, plates in enumerate(courses, 1):
        shown = (f"{count} {dish}" + "".join(f" !{w}" for w in own) for dish, count, own in plates)
        texts.append(f"+{n * minutes} {', '.join(shown)}")
    line = f"{table} x{covers} {''.join(f'!{w} ' for w in allergy)}{'; '.join(texts)}"
    ticket = ticket_of_line(line, DISHES, CALLED_S)
    assert (ticket.table, ticket.covers, ticket.allergy) == (table, covers, tuple(allergy))
    assert [course.wanted_s for course in ticket.courses] == [
        CALLED_S + 60 * minutes * n for n in range(1, len(courses) + 1)
    ]
    assert [[(p.dish, p.allergy) for p in course.plates] for course in ticket.courses] == [
        [(dish, tuple(own)) for dish, count, own in plates for _ in range(count)] for plates in courses
    ]


cells = st.one_of(st.text(max_size=12), st.sampled_from(["B4", "4", "19:05", "19:22", "pizza", '"', "", "1"]))


@given(
    st.one_of(
        st.binary(max_size=300),
        st.lists(st.lists(cells, max_size=14).map(",".join), max_size=8).map(
            lambda rows: "\n".join([",".join(COLUMNS), *rows]).encode(errors="surrogatepass")
        ),
    )
)
def test_any_table_is_read_or_refused_in_words(content):
    try:
        tickets, wrong = tickets_of_csv(content, "any.csv")
    except InputError as err:
        assert err.findings
    else:
        assert all(finding.remedy for finding in wrong)
        assert all(ticket_of(file_of(ticket)) == ticket for ticket in tickets)
