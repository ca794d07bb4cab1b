"""`records lot, state, probe, deviation, close, open, correct`: a lot's way, told at the prompt.

The limits are those of the FDA Food Code 2022 as docs/rules.md says they are known: 165 °F for poultry
(3-401.11(A)(3)), 135 to 70 °F in two hours and to 41 °F in six (3-501.14(A)), thermometers to 2 °F or 1 °C
(4-203.11), seven days with the day of making as the first (3-501.17(A)).
"""

import json

import pytest

from at_the_prompt import typed

RULES = ("--rules", "us-fda-2022")
FOUR = ("--cause", "a", "--control", "b", "--prevention", "c", "--disposition", "d")
HEAD = "lot,time,read,point,place,instrument,person,held\n"
LOT = "half chickens Tuesday"


def clock(time):
    return f"2026-06-02T{time}-04:00"


def read_in(file, tmp_path, *rows):
    """Readings such as `13:40 166F coldest`, taken with probe 2 by Ben."""
    lines = "".join(
        f"{LOT},{clock(when)},{read},{point},inner thigh,probe 2,Ben,\n"
        for when, read, point in (row.split() for row in rows)
    )
    table = tmp_path / "readings.csv"
    table.write_text(HEAD + lines, encoding="utf-8")
    done = typed("records", "add", file, table)
    assert done.returncode == 0, done.stderr


def became(file, state, time, *words):
    return typed("records", "state", file, LOT, state, "--person", "Ana", "--at", clock(time), *words)


def ids(file, words):
    return [
        one["id"] for one in json.loads(typed("records", "find", file, *words, "--json").stdout)["entries"]
    ]


@pytest.fixture
def file(tmp_path):
    file = tmp_path / "records.db"
    words = ("--dish", "half chicken", "--quantity", "12 halves", "--person", "Ana", "--at", clock("12:00"))
    done = typed("records", "lot", file, LOT, *words)
    assert done.returncode == 0, done.stderr
    return file


def cooked(file, tmp_path):
    read_in(file, tmp_path, "13:40 166F coldest")
    done = became(file, "cooked", "13:41", *RULES, "--food", "poultry")
    assert done.returncode == 0, done.stderr
    return done.stdout


def cooled(file, tmp_path):
    read_in(file, tmp_path, "14:00 135F warmest", "15:30 70F warmest", "19:00 41F warmest")
    assert became(file, "cooling", "13:50", *RULES).returncode == 0
    done = became(file, "chilled", "19:01", *RULES)
    assert done.returncode == 0, done.stderr


def probe(file, showed, *words):
    asked = ("--showed", showed, "--person", "Ana", *words)
    return typed("records", "probe", file, "probe 2", *asked)


def test_a_lot_goes_from_raw_to_served_by_what_its_readings_prove(file, tmp_path):
    said = cooked(file, tmp_path)
    assert "cooked: pass" in said and "3-401.11(A)(3)" in said and "written down as cooked" in said
    cooled(file, tmp_path)
    done = became(file, "served", "20:00", *RULES)
    assert done.returncode == 0, done.stderr
    assert "cooling: pass" in done.stdout and "date: pass" in done.stdout
    assert typed("records", "check", file).returncode == 0
    (last,) = json.loads(typed("records", "find", file, "became", "--json").stdout)["entries"][-1:]
    assert [one["proof"] for one in last["body"]["proofs"]] == ["cooling", "date"]
    assert last["body"]["proofs"][0]["readings"], "it names the readings it stands on"


@pytest.mark.parametrize(
    ("rows", "state", "words", "said"),
    [
        (("13:40 164F coldest",), "cooked", (*RULES, "--food", "poultry"), "cooked: fail"),
        (("13:40 166F warmest",), "cooked", (*RULES, "--food", "poultry"), "cooked: unproven"),
        (("13:40 166F coldest",), "cooked", RULES, "cooked: unproven, no verdict"),
        (("13:40 166F coldest",), "cooked", (), "cooked: unproven, no verdict"),
        (("13:40 166F coldest",), "served", RULES, "cannot become served"),
        (("13:40 150F coldest",), "par-cooked", (*RULES, "--into", clock("12:55")), "locked"),
    ],
)
def test_what_is_not_proved_is_refused_and_not_written(file, tmp_path, rows, state, words, said):
    read_in(file, tmp_path, *rows)
    before = json.loads(typed("records", "check", file, "--json").stdout)["head"]
    done = became(file, state, "13:41", *words)
    assert done.returncode == 2
    assert said in done.stderr.replace("\n", " "), done.stderr
    assert json.loads(typed("records", "check", file, "--json").stdout)["head"] == before


def test_chilled_food_is_heated_for_one_guest_or_to_be_held(file, tmp_path):
    """3-403.11(A): 165 °F for the hot hold, for 15 s; for one order any temperature (3-403.10)."""
    cooked(file, tmp_path)
    cooled(file, tmp_path)
    read_in(file, tmp_path, "20:10 150F coldest")
    words = (*RULES, "--food", "poultry", "--left-cold", clock("19:45"))
    held = became(file, "re-heated and held", "20:11", *words)
    assert held.returncode == 2 and "re-heated to hold: fail" in held.stderr
    no_food = became(file, "re-heated and served", "20:11", *RULES)
    assert no_food.returncode == 2 and "re-heated for one: unproven, no verdict" in no_food.stderr
    served = became(file, "re-heated and served", "20:11", *words)
    assert served.returncode == 0, served.stderr


def test_over_its_days_food_is_not_served_and_no_mark_is_no_date(file, tmp_path):
    """Day one is Tuesday 2 June: through Monday 8 June with a mark that says so."""
    cooked(file, tmp_path)
    cooled(file, tmp_path)

    def served(day, *words):
        at = f"2026-06-{day:02}T12:00-04:00"
        return typed("records", "state", file, LOT, "served", "--person", "Ana", "--at", at, *RULES, *words)

    assert "bears no mark" in served(5).stderr
    assert "date: fail" in served(9, "--marked", "2026-06-08").stderr
    assert served(8, "--marked", "2026-06-08").returncode == 0


def test_a_lot_of_what_is_not_written_down_has_no_date(tmp_path):
    file = tmp_path / "records.db"
    words = ("--dish", "half chicken", "--quantity", "12", "--of", "brine Monday", "--person", "Ana")
    assert typed("records", "lot", file, LOT, *words, "--at", clock("12:05")).returncode == 0
    cooked(file, tmp_path)
    cooled(file, tmp_path)
    done = became(file, "served", "20:00", *RULES)
    assert done.returncode == 2 and "date: unproven, no verdict" in done.stderr


def test_kept_hot_and_what_nobody_can_judge_here(file, tmp_path):
    cooked(file, tmp_path)
    assert became(file, "held hot", "13:45", *RULES).returncode == 0
    assert "held: unproven" in became(file, "served", "14:30", *RULES).stderr
    read_in(file, tmp_path, "14:00 140F coldest")
    alone = became(file, "time-controlled", "14:30", *RULES)
    assert alone.returncode == 2 and "in its time: fail" in alone.stderr
    assert became(file, "served", "14:30", *RULES).returncode == 0


def test_food_that_cooled_too_slowly_becomes_nothing_but_discarded(file, tmp_path):
    cooked(file, tmp_path)
    read_in(file, tmp_path, "14:00 135F warmest", "16:20 70F warmest", "18:00 41F warmest")
    assert became(file, "cooling", "13:50", *RULES).returncode == 0
    done = became(file, "chilled", "18:01", *RULES)
    assert done.returncode == 2 and "cooling: fail" in done.stderr
    assert became(file, "discarded", "18:05").returncode == 0
    assert "cannot become" in became(file, "cooling", "18:10", *RULES).stderr


def test_a_lot_is_told_of_in_the_order_of_its_day(file, tmp_path):
    cooked(file, tmp_path)
    done = became(file, "cooling", "13:30", *RULES)
    assert done.returncode == 2 and "after that" in done.stderr


def test_15_a_failed_check_takes_passes_back_to_the_last_good_one(file, tmp_path):
    """Ice slush read at 33.9 °F: 1.9 °F off passes on a thermometer that shows °F alone, 1.06 °C fails it."""
    good = probe(file, "32.5F", *RULES, "--at", clock("09:00"))
    assert good.returncode == 0 and "pass: probe 2 is 0.28 °C off" in good.stdout
    cooked(file, tmp_path)
    alone = probe(file, "33.9F", *RULES, "--scale", "F", "--at", clock("20:00"))
    assert alone.returncode == 0 and "pass" in alone.stdout
    made = tmp_path / "before.pdf"
    assert typed("records", "print", file, made, "half", *RULES).returncode == 0
    assert typed("records", "verify", made, file).returncode == 0
    bad = probe(file, "33.9F", *RULES, "--scale", "both", "--at", clock("19:00"))
    assert bad.returncode == 1 and "fail: probe 2 is 1.06 °C off" in bad.stdout
    assert "Take it out of use" in bad.stdout
    assert f"{LOT}, cooked: was pass, is unproven" in bad.stdout
    assert f"Read with it since: {LOT}" in bad.stdout
    found = json.loads(typed("records", "find", file, "probe", "2", "--json").stdout)["entries"]
    verified = typed("records", "verify", made, file)
    assert verified.returncode == 1 and f"{LOT}, cooked: was pass, is unproven" in verified.stdout
    values = [one["body"]["reading"]["value"] for one in found if one["body"]["kind"] == "reading"]
    assert values == ["166"], "what was recorded is not altered"


def test_a_good_check_between_keeps_the_pass(file, tmp_path):
    cooked(file, tmp_path)
    assert probe(file, "32F", *RULES, "--at", clock("15:00")).returncode == 0
    bad = probe(file, "33.9F", *RULES, "--at", clock("20:00"))
    assert bad.returncode == 1 and "was pass" not in bad.stdout
    assert "Read with it since: nothing" in bad.stdout


@pytest.mark.parametrize(
    ("words", "off"),
    [
        (("--against", "boiling at 0 m"), "0.0"),
        (("--against", "boiling at 1524 m"), "9.0"),  # 5,000 ft: 203.0 °F in the published table
        (("--against", "210F"), "2"),
    ],
)
def test_what_it_should_have_shown_is_told_in_words(file, words, off):
    """Water boils at 203.0 °F at 5,000 ft, within 0.2 °F (food-code training tables)."""
    done = probe(file, "212F", *words)
    assert done.returncode == 0 and "No rule set is chosen" in done.stdout
    assert ("scald" in done.stdout) == ("boiling" in words[1])
    shown = float(done.stdout.split("probe 2 is ")[1].split(" ")[0])
    assert shown == pytest.approx(float(off), abs=0.2)


def test_a_deviation_stays_open_until_all_four_are_said(file, tmp_path):
    read_in(file, tmp_path, "16:20 71F warmest")
    reading = ids(file, ["probe"])[0]
    words = ("--rule", "CL1", "--found", "71 °F after 2 h 20 min", "--on", reading, "--person", "Ana")
    assert typed("records", "deviation", file, LOT, *words).returncode == 0
    listed = typed("records", "open", file)
    assert listed.returncode == 1 and "71 °F after 2 h 20 min" in listed.stdout
    deviation = listed.stdout.split()[0]
    four = {
        "--cause": "pans stacked",
        "--control": "ice",
        "--prevention": "one layer",
        "--disposition": "gone",
    }
    for lacks in four:
        said = [word for pair in ({**four, lacks: "  "}).items() for word in pair]
        done = typed("records", "close", file, deviation, *said, "--person", "Ana")
        assert done.returncode == 2 and lacks in done.stderr
        left = [word for name, words in four.items() if name != lacks for word in (name, words)]
        assert typed("records", "close", file, deviation, *left, "--person", "Ana").returncode == 2
    said = [word for pair in four.items() for word in pair]
    assert typed("records", "close", file, deviation, *said, "--person", "Ana").returncode == 0
    done = typed("records", "open", file)
    assert done.returncode == 0 and "0 open" in done.stdout
    again = typed("records", "close", file, deviation, *said, "--person", "Ben")
    assert again.returncode == 2 and "closed already" in again.stderr


def test_a_correction_goes_by_the_rules_the_records_went_by(file, tmp_path):
    """Nobody says --house: the records know that their lots were judged by a set."""
    cooked(file, tmp_path)
    read_in(file, tmp_path, "13:30 150F coldest")
    low = next(id for id in ids(file, ["probe"]) if "13:30" in typed("records", "find", file, id).stdout)
    words = ("records", "correct", file, low, "--read", "165F", "--why", "misread", "--person", "Ben")
    refused = typed(*words)
    assert refused.returncode == 2 and "second person" in refused.stderr
    assert typed(*words, "--second", "Ana").returncode == 0
    worse = typed(*words[:4], "--read", "140F", "--why", "misread", "--person", "Ben")
    assert worse.returncode == 0 and "No rule set" not in worse.stdout


def test_where_no_rules_are_known_a_correction_says_that_nobody_was_asked(file, tmp_path):
    read_in(file, tmp_path, "13:30 150F coldest")
    (low,) = ids(file, ["probe"])
    words = ("records", "correct", file, low, "--read", "165F", "--why", "misread", "--person", "Ben")
    done = typed(*words)
    assert done.returncode == 0 and "No rule set is named here or in the records" in done.stdout
    other = typed(*words, *RULES)
    assert other.returncode == 0, "165 in place of 165 meets no more than before"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("state", LOT, "boiled", "--person", "A"), "one of raw"),
        (("state", LOT, "cooked", "--person", "A", "--food", "unicorn"), "one of poultry"),
        (("state", LOT, "cooked", "--person", "A", "--at", "noon"), "a time with its offset"),
        (("state", LOT, "cooked", "--person", "A", "--marked", "soon"), "a date such as"),
        (("state", LOT, "cooked", "--person", "A", "--rules", "x", "--house", "y"), "either --rules"),
        (("probe", "probe 2", "--person", "A", "--showed", "hot"), "a temperature such as"),
        (("probe", "probe 2", "--person", "A", "--showed", "32F", "--scale", "K"), "one of C, F, both"),
        (("probe", "probe 2", "--person", "A", "--showed", "32F", "--against", "0C"), "the unit it showed"),
        (
            ("probe", "p", "--person", "A", "--showed", "32F", "--against", "boiling at 9000 m"),
            "-500 to 5000",
        ),
        (("deviation", LOT, "--person", "A", "--rule", "CL1", "--found", "x", "--on", "no"), "the id of a"),
        (("close", "no", *FOUR, "--person", "A"), "no deviation here"),
    ],
)
def test_asked_wrongly_it_says_what_to_do(file, words, said):
    done = typed("records", words[0], file, *words[1:])
    assert done.returncode == 2
    assert said in done.stderr.replace("\n", " "), done.stderr


def test_the_freezer_and_marks_are_told_at_the_prompt(file, tmp_path):
    """Made on the 2nd, frozen on the 3rd, thawed on the 20th, day 3 of 7: the last is the 24th."""
    cooked(file, tmp_path)
    cooled(file, tmp_path)
    person = ("--person", "Ana", "--at")

    def day(n, time="12:00"):
        return f"2026-06-{n:02}T{time}-04:00"

    assert typed("records", "freezer", file, LOT, "out", *person, day(3)).returncode != 0
    assert (
        typed("records", "mark", file, LOT, "--day", "2026-06-08", *person, day(2, "20:00")).returncode == 0
    )
    assert typed("records", "freezer", file, LOT, "in", *person, day(3)).returncode == 0
    served = ("records", "state", file, LOT, "served", *RULES, *person)
    refused = typed(*served, day(4))
    assert refused.returncode != 0 and "frozen" in refused.stdout + refused.stderr
    assert typed("records", "freezer", file, LOT, "out", *person, day(20)).returncode == 0
    assert typed(*served, day(21)).returncode != 0, "past its old mark"
    assert (
        typed("records", "mark", file, LOT, "--day", "2026-06-24", *person, day(20, "13:00")).returncode == 0
    )
    assert typed(*served, day(25)).returncode != 0
    done = typed(*served, day(24))
    assert done.returncode == 0, done.stdout + done.stderr
    made = tmp_path / "frozen.pdf"
    assert typed("records", "print", file, made, LOT, *RULES).returncode == 0
    assert "It agrees" in typed("records", "verify", made, file).stdout


def test_time_alone_at_the_prompt_wants_its_procedure_and_its_mark(file, tmp_path):
    cooked(file, tmp_path)
    read_in(file, tmp_path, "13:45 140F coldest")
    refused = became(file, "time-controlled", "13:50", *RULES)
    assert "no written procedure" in refused.stdout + refused.stderr
    told = typed(
        "records", "procedure", file, "--reference", "TP-1", "--person", "Ana", "--at", clock("09:00")
    )
    assert told.returncode == 0 and "from now on" in told.stdout
    marked = typed(
        "records", "mark", file, LOT, "--until", clock("17:50"), "--person", "Ana", "--at", clock("13:50")
    )
    assert marked.returncode == 0
    late = became(file, "time-controlled", "13:50", *RULES)
    assert late.returncode != 0, "it was written down after the food left, whatever time it was told for"
    made = tmp_path / "marked.pdf"
    assert typed("records", "print", file, made, LOT, *RULES).returncode == 0
    both = typed("records", "mark", file, LOT, "--person", "Ana")
    assert both.returncode == 2 and "either --day or --until" in both.stderr
