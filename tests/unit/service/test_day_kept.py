"""A kept day: read as it was written, whole or not at all; whatever is wrong in it told by its field."""

import json
import os
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hearthtide.errors import InputError, StoreError
from hearthtide.service import day_kept
from hearthtide.service.day_kept import MAX_BYTES, Days, KeptDay, keep_day, kept_day, kept_file
from invented_day import TUESDAY, keep_invented, plain_day

GONE = object()


def changed(path, value):
    """The invented day with one value otherwise, or gone."""
    plain = plain_day()
    *way, last = path
    place = plain
    for step in way:
        place = place[step]
    if value is GONE:
        del place[last]
    else:
        place[last] = value
    return plain


def written(folder, text, day=TUESDAY):
    file = kept_file(folder, day)
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


def findings(folder, day=TUESDAY):
    with pytest.raises(InputError) as told:
        kept_day(folder, day)
    return told.value.findings


def test_a_day_is_read_as_its_file_has_it(tmp_path):
    written(tmp_path, json.dumps(plain_day()))
    kept = kept_day(tmp_path, TUESDAY)
    assert kept.model_dump(mode="json") == plain_day()
    assert (kept.lines[6].from_s, kept.lines[6].who, kept.lines[6].kind) == (14 * 3600, "Ana", "hearth")


def test_a_day_that_is_kept_is_read_again_and_replaced_by_the_next(tmp_path):
    file = keep_invented(tmp_path)
    first = kept_day(tmp_path, TUESDAY)
    assert keep_day(tmp_path, first.model_copy(update={"loads": ()})) == file
    assert kept_day(tmp_path, TUESDAY).loads == ()
    assert [one.name for one in file.parent.iterdir()] == ["2026-06-02.json"]


def test_where_no_day_is_kept_there_is_none(tmp_path):
    assert kept_day(tmp_path, TUESDAY) is None
    keep_invented(tmp_path)
    assert kept_day(tmp_path, TUESDAY + timedelta(1)) is None


@pytest.mark.parametrize(
    ("path", "value", "field", "expected"),
    [
        (("lines", 2, "kind"), "baking", "lines[3].kind", "fire"),
        (("lines", 2, "from_s"), "ten", "lines[3].from_s", "number"),
        (("lines", 2, "from_s"), -1, "lines[3].from_s", "0"),
        (("lines", 2, "until_s"), 10, "lines[3]", "until_s not before from_s"),
        (("lines", 2, "who"), GONE, "lines[3].who", "a value"),
        (("lines", 2, "done"), True, "lines[3].done", "no such key"),
        (("lines", 2, "what"), "", "lines[3].what", "1 character"),
        (("lines",), None, "lines", "array"),
        (("figures", 0, "value"), 78, "figures[1].value", "string"),
        (("curve", "stone_C"), [20.0, 30.0], "curve", "as many stone_C as times_s"),
        (("curve", "times_s", 3), 0, "curve", "times_s each later"),
        (("curve", "stone_C", 0), float("nan"), "curve.stone_C[1]", "finite"),
        (("curve", "band_low_C"), 371, "curve", "band_high_C above band_low_C"),
        (("loads", 0, "out_s"), 50400, "loads[1]", "out_s after in_s"),
        (("loads", 0, "portions"), 4.5, "loads[1].portions", "integer"),
        (("document",), "another", "document", "hearthtide day"),
        (("schema_version",), 2, "schema_version", "1"),
        (("day",), "2026-06-03", "day", "2026-06-02, as the file is called"),
        (("day",), "Tuesday", "day", "a day such as"),
        (("cautions", 0), 5, "cautions[1]", "string"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_by_its_field_with_the_remedy(tmp_path, path, value, field, expected):
    written(tmp_path, json.dumps(changed(path, value)))
    (one,) = findings(tmp_path)
    assert (one.file, one.field) == ("days/2026-06-02.json", field)
    assert expected in one.expected
    assert "hearthtide day HOUSE 2026-06-02 --keep" in one.remedy


def test_all_that_is_wrong_is_told_at_once(tmp_path):
    plain = changed(("lines", 0, "kind"), "baking") | {"house": None, "problems": [1]}
    written(tmp_path, json.dumps(plain))
    assert {one.field for one in findings(tmp_path)} == {"house", "lines[1].kind", "problems[1]"}


@pytest.mark.parametrize(
    "text", ["", "{", '{"day": }', "[]", "null", "\xff".encode("latin-1"), "[" * 100_000]
)
def test_what_is_no_day_at_all_is_told_too(tmp_path, text):
    written(tmp_path, text)
    assert findings(tmp_path)[0].remedy


def test_a_broken_file_is_told_by_its_line(tmp_path):
    lines = json.dumps(plain_day(), indent=1).splitlines()
    lines[4] = lines[4].replace(":", "")
    written(tmp_path, "\n".join(lines))
    assert findings(tmp_path)[0].line == 5


def test_a_file_that_is_too_long_is_neither_read_nor_written(tmp_path):
    written(tmp_path, b" " * (MAX_BYTES + 1))
    assert str(MAX_BYTES) in findings(tmp_path)[0].expected
    line = plain_day()["lines"][0] | {"what": "x" * 400, "why": "y" * 400}
    kept = KeptDay.model_validate(plain_day() | {"lines": [line] * 2000})
    with pytest.raises(StoreError, match="not kept"):
        keep_day(tmp_path, kept)


def test_a_folder_in_the_files_place_is_told(tmp_path):
    kept_file(tmp_path, TUESDAY).mkdir(parents=True)
    assert "can be read" in findings(tmp_path)[0].expected


def test_what_cannot_be_written_leaves_the_day_before_it_as_it_was(tmp_path, monkeypatch):
    file = keep_invented(tmp_path)
    before = file.read_bytes()

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(StoreError, match="No space left"):
        keep_invented(tmp_path)
    assert file.read_bytes() == before
    assert list(file.parent.iterdir()) == [file]


def test_a_house_that_is_not_there_is_told(tmp_path):
    with pytest.raises(StoreError, match="cannot be written"):
        keep_invented(tmp_path / "no-house")


KEYS = st.sampled_from(sorted(plain_day()))
ANY_JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda one: st.lists(one, max_size=3) | st.dictionaries(KEYS, one, max_size=5),
)


@given(st.binary(max_size=200) | ANY_JSON.map(lambda one: json.dumps(one).encode()))
def test_any_file_is_a_day_or_is_told(tmp_path_factory, body):
    folder = tmp_path_factory.mktemp("any")
    written(folder, body)
    assert all(one.expected and one.remedy for one in findings(folder))


@pytest.mark.parametrize(
    ("clock", "day", "midnight_s"),
    [
        ("05:59", -1, -86_400),
        ("06:00", 0, 0),
        ("19:00", 0, 0),
        ("29:59", 0, 0),
        ("30:00", 1, 86_400),
        ("54:00", 2, 172_800),
    ],
)
def test_the_day_goes_on_until_six_as_a_night_does(tmp_path, clock, day, midnight_s):
    hours, minutes = map(int, clock.split(":"))
    found = Days(tmp_path, TUESDAY).at(hours * 3600.0 + minutes * 60)
    assert (found.day, found.midnight_s) == (TUESDAY + timedelta(day), midnight_s)


def test_a_day_now_has_its_plan_or_says_why_not(tmp_path):
    days = Days(tmp_path, TUESDAY)
    noon = 43_200.0
    assert (days.at(noon).kept, days.at(noon).wrong) == (None, ())
    keep_invented(tmp_path)
    assert days.at(noon).kept.house == "Brindlecote"
    keep_invented(tmp_path, TUESDAY + timedelta(1))
    assert days.at(86_400 + noon).kept.day == date(2026, 6, 3)
    written(tmp_path, json.dumps(changed(("house",), 5)))
    broken = days.at(noon)
    assert broken.kept is None
    assert broken.wrong == (
        "days/2026-06-02.json  house = 5 (expected a valid string). "
        "Write the day anew: `hearthtide day HOUSE 2026-06-02 --keep`.",
    )


def test_the_folder_is_the_one_the_documents_name():
    assert (day_kept.FOLDER, day_kept.NEW_DAY_S) == ("days", 6 * 3600)
