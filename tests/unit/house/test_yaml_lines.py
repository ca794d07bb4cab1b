import pytest

from hearthtide.errors import InputError
from hearthtide.house import yaml_lines
from hearthtide.house.yaml_lines import read_yaml


def refusal(content):
    with pytest.raises(InputError) as raised:
        read_yaml(content, "night.yaml")
    (finding,) = raised.value.findings
    assert finding.file == "night.yaml"
    return finding


def test_every_key_path_keeps_its_line_and_its_text():
    document = read_yaml(b"name: A\n\ntickets:\n  - table: 12\n    called: 19:05\n", "night.yaml")
    assert document.data == {"name": "A", "tickets": [{"table": "12", "called": "19:05"}]}
    assert document.line(("tickets", 0, "called")) == 5
    assert document.texts["tickets", 0, "called"] == "19:05"


def test_a_key_that_was_not_written_takes_the_line_around_it():
    document = read_yaml(b"name: A\ntickets:\n  - table: 12\n", "night.yaml")
    assert document.line(("tickets", 0, "wanted")) == 3
    assert document.line(("lit",)) == 1


def test_plain_words_stay_words_and_only_nothing_is_nothing():
    document = read_yaml(b"{a: no, b: 007, c: ~, d: 'null', e: null, f: true}", "f")
    assert document.data == {"a": "no", "b": "007", "c": None, "d": "null", "e": None, "f": "true"}


def test_a_byte_order_mark_is_no_mistake():
    assert read_yaml(b"\xef\xbb\xbfname: A\n", "f").data == {"name": "A"}


REFUSED = [
    (b"", 1, "`key: value` lines", "empty"),
    (b"# only a remark\n", 1, "`key: value` lines", "empty"),
    (b"- a\n- b\n", 1, "`key: value` at the top level", "Start with a key"),
    (b"just words\n", 1, "`key: value` at the top level", "Start with a key"),
    (b"a: 1\nb: &x 2\n", 2, "no anchors", "Write the value out"),
    (b"a: 1\nb: *x\n", 2, "no anchors", "Write the value out"),
    (b"a: 1\nb: !!python/object:os.system 2\n", 2, "no tags", "plain value"),
    (b"a: !mine 1\n", 1, "no tags", "plain value"),
    (b"a:\n  <<: {b: 1}\n", 2, "no merge keys", "Write the values out"),
    (b"a: 1\nb: 2\na: 3\n", 3, "each key once", "line 1"),
    (b"? [a, b]\n: 1\n", 1, "a word as key", "key: value"),
    (b"a: 1\n---\nb: 2\n", 2, "one document", "Remove"),
    (b"a: 1\nb: [1, 2\n", 3, "YAML", "cannot be read"),
    (b"a: 1\n\tb: 2\n", 2, "YAML", "cannot be read"),
    (b"a: 1\nb: \xff\n", 2, "UTF-8 text", "Save the file as UTF-8"),
    (b"a: \x07\n", 1, "YAML", "cannot be read"),
    (b'a: "\\UFFFFFFFF"\n', 1, "YAML", "cannot be read"),
    (b'a: 1\nb: "\\ud800"\n', 2, "readable characters", "escape"),
]


@pytest.mark.parametrize(("content", "line", "expected", "remedy"), REFUSED, ids=lambda part: repr(part)[:30])
def test_what_a_house_file_never_needs_is_refused_at_its_line(content, line, expected, remedy):
    finding = refusal(content)
    assert finding.line == line
    assert expected in finding.expected
    assert remedy in finding.remedy


def test_depth_is_bounded():
    deepest = b"a: " + b"[" * (yaml_lines.MAX_DEPTH - 1) + b"]" * (yaml_lines.MAX_DEPTH - 1)
    assert read_yaml(deepest, "f").data
    assert "12 levels" in refusal(b"a: " + b"[" * 5000).expected


def test_count_is_bounded():
    assert "values in a file" in refusal(b"a: [" + b"1," * yaml_lines.MAX_NODES + b"1]").expected


def test_size_is_bounded():
    assert "1000 kB" in refusal(b"a: " + b"x" * yaml_lines.MAX_BYTES).expected


def test_a_bomb_of_aliases_is_refused_at_its_first_anchor():
    bomb = b"a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\n"
    assert refusal(bomb).line == 1


def test_shown_text_is_one_clean_short_line():
    assert yaml_lines.shown("a\x1b[31m\nb") == "a [31m b"
    assert len(yaml_lines.shown("x" * 500)) == 60
