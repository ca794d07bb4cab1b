"""`rules` and `judge`: an owner looks up what a code says, a cook's readings are judged by it."""

import json
from pathlib import Path
from textwrap import dedent

import pytest

from at_the_prompt import typed

WINGS = """\
    lot,time,read,point,instrument,person
    wings,2026-06-02T18:00-04:00,41F,warmest,probe 2,Ben
    wings,2026-06-02T14:00-04:00,135F,warmest,probe 2,Ben
    wings,2026-06-02T16:20-04:00,70F,warmest,probe 2,Ben
"""


@pytest.fixture
def table(tmp_path):
    def written(text):
        path = tmp_path / "readings.csv"
        path.write_text(dedent(text), encoding="utf-8")
        return path

    return written


def test_all_sets_are_listed_with_what_is_unverified_of_them():
    done = typed("rules")
    assert done.returncode == 0
    assert "us-fda-2022" in done.stdout
    assert "unverified" in done.stdout
    assert "nothing here is judged" in done.stdout


def test_a_set_says_each_rule_with_its_section():
    done = typed("rules", "us-fda-2022")
    assert "From 135 to 70 °F within 2 h." in done.stdout
    assert "3-501.14(A)(1)" in done.stdout
    body = json.loads(typed("rules", "us-fda-2022", "--json").stdout)
    (first,) = (one for one in body["rules"] if one["id"] == "CL1")
    assert first["to"] == {"F": "70", "C": "21"}


def test_what_is_from_memory_or_practice_is_printed_so_beside_its_rule():
    """The reference has 1-201.10 and parts of 3-401.11(D) from memory; the bird's parts have no source."""
    lines = typed("rules", "us-fda-2022").stdout.replace("\n", " ")
    for id, words in (("CK6", "unverified"), ("CK7", "unverified"), ("PP1", "common practice, no source")):
        after = lines.split(f"  {id} ", 1)[1].split("; block", 1)[0]
        assert words in after, id
    for id in ("CK4", "CK8", "CK10", "RH4", "CL4", "DM2", "TP4"):
        assert "unverified" not in lines.split(f"  {id} ", 1)[1].split("; block", 1)[0], id


def test_wings_that_cooled_too_slowly_fail_with_the_section_and_their_line(table):
    """3-501.14(A)(1): two hours from 135 to 70 °F."""
    done = typed("judge", "us-fda-2022", table(WINGS), "--as", "cooled")
    assert done.returncode == 1
    assert "fail  first shown at 2 h 20 min, 2 h 00 min is the limit (line 4)" in done.stdout
    assert "pass  41 °F at 18:00" in done.stdout
    for word in ("safe", "compliant", "certified"):
        assert word not in done.stdout.lower()


def test_the_table_of_the_pages_is_judged_as_they_say():
    table = Path(__file__).parents[3] / "examples" / "readings" / "wings.csv"
    assert "fail  first shown at 2 h 20 min" in typed("judge", "us-fda-2022", table, "--as", "cooled").stdout


def test_wings_in_time_pass_and_end_well(table):
    done = typed("judge", "us-fda-2022", table(WINGS.replace("16:20", "15:59")), "--as", "cooled")
    assert (done.returncode, done.stderr) == (0, "")


def test_a_reading_that_is_missing_is_unproven_and_no_pass(table):
    text = "".join(WINGS.splitlines(keepends=True)[:3])
    done = typed("judge", "us-fda-2022", table(text), "--as", "cooled", "--json")
    verdicts = json.loads(done.stdout)["lots"]["wings"]
    assert done.returncode == 1
    assert [one["answer"] for one in verdicts] == ["fail", "pass"], "41 °F is first shown at four hours"
    alone = table("\n".join(WINGS.splitlines()[:1] + WINGS.splitlines()[2:3]))
    done = typed("judge", "us-fda-2022", alone, "--as", "cooled", "--now", "2026-06-02T23:00-04:00")
    assert done.stdout.count("unproven  no reading shows") == 2
    assert "hold it for a named person" in done.stdout


def test_rows_that_cannot_be_read_are_set_aside_by_line_and_the_good_ones_judged(table):
    text = (
        WINGS
        + """\
    wings,2026-06-02T16:00,70F,warmest,probe 2,Ben
    wings,2026-06-02T16:00-04:00,70,warmest,probe 2,Ben
    wings,2026-06-02T16:00-04:00,70F,middle,probe 2,Ben
    wings,2026-06-02T16:00-04:00,70F,warmest,probe 2,
"""
    )
    done = typed("judge", "us-fda-2022", table(text), "--as", "cooled")
    assert done.returncode == 1
    for line, words in (
        (5, "its offset from UTC"),
        (6, "a unit, such as 135F"),
        (7, "one of coldest"),
        (8, "person"),
    ):
        assert f":{line} " in done.stderr and words in done.stderr
    assert "2 h 20 min" in done.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("judge", "us-fda-2021", "r.csv", "--as", "cooled"), "us-fda-2022"),
        (("judge", "us-fda-2022", "none.csv", "--as", "cooled"), "a file that can be read"),
        (("judge", "us-fda-2022", "none.csv", "--as", "chilled"), "one of cooked, cooled"),
        (("judge", "us-fda-2022", "none.csv", "--as", "cooked"), "poultry"),
        (("rules", "us-fda-2021"), "us-fda-2022"),
        (("judge", "examples/brindlecote", "none.csv", "--as", "cooled"), "rules: set:"),
    ],
)
def test_asked_wrongly_it_says_what_to_do(words, said):
    done = typed(*words)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr
