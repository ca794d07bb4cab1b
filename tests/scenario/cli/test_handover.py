"""The handover of a night told to a database: counted by hand, on a sheet that holds it all."""

import json
import shutil
from pathlib import Path

import pytest
from pypdf import PdfReader

from at_the_prompt import typed
from hearthtide.service import commands as told
from hearthtide.store.database import open_database
from told_night import AT_S, Told, called

BRINDLECOTE = Path(__file__).parents[3] / "examples" / "brindlecote"
DAY = "2026-06-02"


@pytest.fixture
def house(tmp_path):
    folder = tmp_path / "house"
    shutil.copytree(BRINDLECOTE, folder)
    return folder


def tell(house, *whats):
    with open_database(house / "nights.db") as database:
        night = Told(database.log(f"house/{DAY}"))
        night.taken(called(dishes="pizza"))
        for what in whats:
            night.taken(what)


def test_what_was_told_is_on_the_sheet(house):
    tell(
        house,
        told.EightySix("shrimp"),
        told.DeadPlatter(2),
        told.Spill(0.1, 0.5, 0.1, AT_S + 420, "butter"),
        told.Handover("Wood is low, two splits a bin."),
    )
    sheet = house / "handover.pdf"
    done = typed("handover", house, DAY, "--out", sheet, "--json")
    answer = json.loads(done.stdout)
    assert done.returncode == 1  # something waits
    assert answer["figures"][0] == {"label": "Covers", "value": "2", "sum": "1 table"}
    assert answer["ran_out"] == ["Shrimp in butter, from 19:00"]
    assert answer["by"] == "Ana" and answer["waits"][0] == "Wood is low, two splits a bin."
    assert any(words.startswith("2 platters") for words in answer["waits"])
    assert any(words.startswith("Spill at 19:00") for words in answer["waits"])
    words = " ".join(page.extract_text() for page in PdfReader(sheet).pages)
    for part in (
        "Handover",
        "Wood is low",
        "Shrimp in butter",
        "Covers",
        "Never leave coals behind a shut door",
    ):
        assert part in " ".join(words.split()), part


def test_what_is_left_stands_with_its_words(house):
    """A lot told to the records the same evening, raw, its portions counted by them."""
    tell(house)
    made = typed(
        "records",
        "lot",
        house / "nights.db",
        "birds 2",
        "--dish",
        "half_chicken",
        "--quantity",
        "6 portions",
        "--person",
        "Ana",
    )
    assert made.returncode == 0, made.stderr
    answer = json.loads(typed("handover", house, DAY, "--out", house / "sheet.html", "--json").stdout)
    (left,) = answer["left"]
    assert left["what"] == "birds 2" and left["portions"] == "6 by the records" and left["words"]
    assert (house / "sheet.html").stat().st_size > 1000


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("2026-06-03", "--out", "x.pdf"), "a night on which something was told"),
        ((DAY, "--out", "x.doc"), ".pdf or .html"),
        ((DAY, "--out", "x.pdf", "--doors", "five"), "--doors"),
        ((DAY, "--out", "x.pdf", "--nights", "nowhere.db"), "--nights"),
    ],
)
def test_what_cannot_be_is_told_with_a_remedy(house, words, said, tmp_path):
    tell(house)
    made = [str(tmp_path / word) if word.startswith("x.") else word for word in words]
    done = typed("handover", house, *made)
    assert done.returncode == 2 and said in done.stderr and "Traceback" not in done.stderr
