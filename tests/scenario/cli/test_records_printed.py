"""`records print` and `records verify`: a print for an inspector, and whether the records still say so."""

import json
import random
import shutil
import sqlite3
from pathlib import Path

import pytest

from at_the_prompt import typed
from kept_records import kept_in

HOUSE = Path(__file__).parents[3] / "examples" / "brindlecote"


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    """Records of a day and a print of them."""
    folder = tmp_path_factory.mktemp("printed")
    file, made = kept_in(folder / "records.db"), folder / "wings.pdf"
    asked = ("--day", "2026-06-02", "--rules", "us-fda-2022", "--as", "cooled")
    done = typed("records", "print", file, made, "wings", *asked)
    assert done.returncode == 0, done.stderr
    assert "printed" in done.stdout and "11:" in done.stdout
    return file, made


def verified(made, file):
    done = typed("records", "verify", made, file, "--json")
    assert done.returncode in (0, 1, 2), done.stderr
    return done.returncode, (json.loads(done.stdout) if done.stdout else done.stderr)


def test_a_print_agrees_with_the_records_it_was_printed_of(printed):
    file, made = printed
    code, said = verified(made, file)
    assert code == 0 and said["agrees"], said
    assert any("byte for byte" in words for words in said["said"])
    assert typed("records", "verify", made, file).stdout.endswith("It agrees with the records.\n")


def test_no_byte_of_a_print_can_be_altered_and_still_agree(printed, tmp_path):
    """Forty bytes anywhere and some of what it tells of itself."""
    file, made = printed
    whole, rng, other = made.read_bytes(), random.Random(5), tmp_path / "other.pdf"
    told = whole.index(b"<dc:description>")
    places = [rng.randrange(len(whole)) for _ in range(40)] + [told + rng.randrange(800) for _ in range(20)]
    for place in places:
        spoilt = bytearray(whole)
        spoilt[place] = (spoilt[place] + rng.randrange(1, 256)) % 256
        other.write_bytes(spoilt)
        code, said = verified(other, file)
        assert code in (1, 2), (place, said)


def test_pages_of_another_typesetter_are_not_said_to_agree(printed, tmp_path):
    """Or of whoever altered a page and the version with it."""
    file, made = printed
    other, whole = tmp_path / "older.pdf", made.read_bytes()
    there = whole.index(b"typst 0.", whole.index(b"<dc:description>"))
    other.write_bytes(whole[:there] + b"typst 9." + whole[there + 8 :])
    code, said = verified(other, file)
    assert code == 1 and not said["agrees"] and not said["pages_compared"]
    shown = typed("records", "verify", other, file).stdout
    assert "Its list agrees with the records; its pages are not shown to." in shown


def test_a_log_that_was_altered_does_not_agree_and_the_entry_is_named(printed, tmp_path):
    file, made = printed
    other = tmp_path / "records.db"
    shutil.copy(file, other)
    with sqlite3.connect(other) as database:
        database.execute("DROP TRIGGER entries_no_update")
        database.execute("""UPDATE entries SET body = replace(body, '"value":"97"', '"value":"67"')""")
    code, said = verified(made, other)
    assert code == 1
    assert any("broken at entry 4" in words for words in said["wrong"])
    assert any('"entry":4' in words or "97" in words for words in said["wrong"])


def test_a_chain_written_anew_does_not_agree(printed, tmp_path):
    """The same day but for one reading, sealed as a whole chain: only the print's end shows it."""
    from hearthtide.service.records.entries import ReadingTaken
    from hearthtide.store.database import open_database
    from kept_records import reading, record, the_day, write

    other, day = tmp_path / "anew.db", list(the_day())
    day[3] = record("r-2", ReadingTaken(reading("r-2", "67F", "15:00")), "15:00")
    with open_database(other) as database:
        write(database.log("records"), tuple(day))
    assert typed("records", "check", other).returncode == 0
    code, said = verified(printed[1], other)
    assert code == 1 and any("written anew" in words for words in said["wrong"])


def test_what_was_corrected_since_is_said(printed, tmp_path):
    file, made = printed
    other = tmp_path / "records.db"
    shutil.copy(file, other)
    words = ("--read", "42F", "--why", "misread", "--person", "Ana")
    assert typed("records", "correct", other, "r-4", *words).returncode == 0
    code, said = verified(made, other)
    assert code == 1
    corrected, verdict = said["wrong"]
    assert corrected == "r-4 was corrected since, by r-4-corrected-1: print anew"
    assert "wings Tuesday, cooled: was pass, is unproven" in verdict
    assert "1 entries were written since it was printed" in said["said"]


def test_a_house_s_own_rules_are_asked_for_when_it_is_verified(printed, tmp_path):
    file, _ = printed
    house = tmp_path / "house"
    shutil.copytree(HOUSE, house)
    own = "rules:\n  set: us-fda-2022\n  own:\n    - {id: HH1C, what: hold, side: cold, limit: {F: 40, C: 4},"
    own += " section: city code 9, severity: block, known: seen, words: Kept cold at 40 °F or below.,"
    own += " override: {who: Ana, on: 2026-05-01, why: the city's adoption}}\n"
    text = (house / "house.yaml").read_text(encoding="utf-8")
    assert "\nrules:" not in text
    (house / "house.yaml").write_text(f"{text}\n{own}", encoding="utf-8")
    made = tmp_path / "own.pdf"
    done = typed("records", "print", file, made, "dip", "--house", house, "--as", "kept-cold")
    assert done.returncode == 0, done.stderr
    assert verified(made, file)[0] == 1
    done = typed("records", "verify", made, file, "--house", house)
    assert done.returncode == 0, done.stdout
    noted = tmp_path / "noted.db"
    shutil.copy(file, noted)
    for said in ("From now on", "already"):
        done = typed("records", "rules", noted, "--house", house, "--person", "Ana")
        assert done.returncode == 0 and said in done.stdout, done.stderr
    (house / "house.yaml").write_text(text, encoding="utf-8")
    done = typed("records", "verify", made, noted)
    assert done.returncode == 0, f"by the rules in the records: {done.stdout}"
    assert typed("records", "verify", made, file).returncode == 1, "they stand in the other file alone"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nothing-of-it",), "1 to 5000 for a print"),
        (("wings", "--as", "cooled"), "a rule set to judge by"),
        (("wings", "--as", "cooked", "--rules", "us-fda-2022"), "the food, one of"),
        (("wings", "--rules", "mars-2022"), "a rule set"),
        (("wings", "--day", "2026-06-02", "--from", "2026-06-01"), "either --day or --from"),
    ],
)
def test_asked_wrongly_it_says_what_to_do(printed, tmp_path, words, said):
    done = typed("records", "print", printed[0], tmp_path / "x.pdf", *words)
    assert done.returncode == 2 and said in done.stderr.replace("\n", " ")
    assert not (tmp_path / "x.pdf").exists()


def test_what_is_no_print_is_refused(printed, tmp_path):
    (tmp_path / "no.pdf").write_bytes(b"%PDF-1.7 nothing")
    done = typed("records", "verify", tmp_path / "no.pdf", printed[0])
    assert done.returncode == 2 and "a print of" in done.stderr
    done = typed("records", "verify", tmp_path / "gone.pdf", printed[0])
    assert done.returncode == 2 and "can be read" in done.stderr
