"""Whatever stands in a file, a house is read or refused with findings; nothing else comes out."""

import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.errors import InputError
from hearthtide.house.files import read_house, read_night
from hearthtide.house.models import House, NightFile
from hearthtide.house.yaml_lines import Document, read_yaml

EXAMPLE = Path(__file__).parents[3] / "examples" / "brindlecote"
FILES = ["house.yaml", "oven.yaml", "dishes/pizza.yaml", "dishes/half_chicken.yaml", "nights/tuesday.yaml"]
YAML_SIGNS = "abz019:-{}[],&*!|>'\"%@`#?<~ \n\t\\\x00\x85\ud83d\u2028°"
words = st.text(st.characters(exclude_categories=["Cs"]), max_size=200) | st.text(
    st.sampled_from([sign for sign in YAML_SIGNS if not "\ud800" <= sign <= "\udfff"]), max_size=200
)
values = st.sampled_from(
    [
        "",
        "~",
        "null",
        "[]",
        "{}",
        "[[1]]",
        "{a: 1}",
        "-1",
        "1e400",
        "nan",
        "99:99",
        "1 m",
        "0 C",
        "-999999 F",
        "true",
    ]
)


@pytest.fixture(scope="module")
def folder():
    with tempfile.TemporaryDirectory() as place:
        yield Path(shutil.copytree(EXAMPLE, Path(place) / "house"))


@pytest.fixture(scope="module")
def house():
    return read_house(EXAMPLE)


def outcome(call, *arguments):
    """The result, or the findings after checking that each one says all it must."""
    try:
        return call(*arguments)
    except InputError as error:
        assert error.findings
        for finding in error.findings:
            assert finding.file
            assert finding.field
            assert finding.expected
            assert finding.remedy
            assert finding.line >= 0
            assert str(finding).isprintable()
        return None


@given(words)
def test_any_text_is_a_document_or_findings(text):
    assert isinstance(outcome(read_yaml, text.encode("utf-8"), "f"), Document | None)


@given(st.binary(max_size=300))
def test_any_bytes_are_a_document_or_findings(content):
    assert isinstance(outcome(read_yaml, content, "f"), Document | None)


@settings(max_examples=60, deadline=None)
@given(file=st.sampled_from(FILES), data=st.data())
def test_a_house_with_one_line_spoilt_is_read_or_refused(folder, file, data):
    original = (EXAMPLE / file).read_text(encoding="utf-8")
    lines = original.splitlines()
    at = data.draw(st.integers(0, len(lines) - 1))
    key, colon, _ = lines[at].partition(":")
    spoilt = key + colon + " " + data.draw(values) if colon and data.draw(st.booleans()) else data.draw(words)
    lines[at] = spoilt
    path = folder / file
    path.write_bytes("\n".join(lines).encode("utf-8"))
    try:
        house = outcome(read_house, folder)
        assert isinstance(house, House | None)
        if house is not None:
            assert isinstance(outcome(read_night, house, "tuesday"), NightFile | None)
    finally:
        path.write_text(original, encoding="utf-8")


@settings(max_examples=60, deadline=None)
@given(words)
def test_any_name_is_a_night_or_findings(house, name):
    assert isinstance(outcome(read_night, house, name), NightFile | None)


DEGREES_AND_COLOURS = """
doneness: kitchen
colours: {pale: '#e8dcc0', golden: 18, dark: '#8a5a30'}
"""


@pytest.fixture(scope="module")
def own():
    """The house with foods, colours and words for doneness of its own."""
    with tempfile.TemporaryDirectory() as place:
        own = Path(shutil.copytree(EXAMPLE, Path(place) / "house"))
        shutil.copy(EXAMPLE.parent / "osmer-and-vane" / "foods.yaml", own)
        house = own / "house.yaml"
        house.write_text(house.read_text("utf-8") + DEGREES_AND_COLOURS, "utf-8")
        steak = own / "dishes/strip_steak.yaml"
        steak.write_text(steak.read_text("utf-8").replace("core: 50 C", "core: rare"), "utf-8")
        assert read_house(own).foods
        yield own


@settings(max_examples=60, deadline=None)
@given(file=st.sampled_from(["foods.yaml", "house.yaml", "dishes/strip_steak.yaml"]), data=st.data())
def test_a_house_with_words_of_its_own_spoilt_is_read_or_refused(own, file, data):
    original = (own / file).read_text(encoding="utf-8")
    lines = original.splitlines()
    at = data.draw(st.integers(len(lines) // 2, len(lines) - 1))
    key, colon, _ = lines[at].partition(":")
    lines[at] = key + colon + " " + data.draw(values) if colon else data.draw(words)
    path = own / file
    path.write_bytes("\n".join(lines).encode("utf-8"))
    try:
        assert isinstance(outcome(read_house, own), House | None)
    finally:
        path.write_text(original, encoding="utf-8")
