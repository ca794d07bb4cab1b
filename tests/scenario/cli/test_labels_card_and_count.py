"""Labels, a dish's card and the count at close as somebody asks for them, of an invented house."""

from __future__ import annotations

import io
import json
import shutil
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from pypdf import PdfReader

from at_the_prompt import typed
from hearthtide.house.files import read_house
from hearthtide.printing.lot_codes import lot_number
from hearthtide.safety.readings import Point, Reading
from hearthtide.safety.states import State
from hearthtide.service.records.book import LOG
from hearthtide.service.records.entries import Body, LotBecame, LotMade, ReadingTaken, Record
from hearthtide.service.records.keeping import Keeping
from hearthtide.service.records.told import Place
from hearthtide.store.database import open_database
from read_print import words_of

EXAMPLE = Path(__file__).parents[3] / "examples" / "brindlecote"
NEW, OLD, COLD = "Half chicken new", "Half chicken old", "Half chicken chilled"
# Cooked to 165 °F, then 135, 70 and 41 °F within 2 h and 6 h: FDA Food Code 2022 3-401.11, 3-501.14.
PACE: tuple[tuple[float, State | tuple[int, Point]], ...] = (
    (8, (166, "coldest")), (7.9, "cooked"), (7.8, "cooling"), (7.5, (135, "warmest")), (6, (70, "warmest")),
    (2, (41, "warmest")), (1.9, "chilled"),
)  # fmt: skip


def read(id: str, at: datetime, value_F: int, point: Point) -> ReadingTaken:
    value = Decimal(value_F)
    return ReadingTaken(Reading(id, COLD, at, 0, value, "F", point, "probe 1", "Ben", "thigh"))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Brindlecote by the US model code: raw lots of now and of 3 days ago, one chilled, one thrown away."""
    there = tmp_path_factory.mktemp("houses") / "brindlecote"
    shutil.copytree(EXAMPLE, there)
    house = there / "house.yaml"
    house.write_text(f"{house.read_text(encoding='utf-8')}\nrules: {{set: us-fda-2022}}\n", encoding="utf-8")
    now = datetime.now(UTC).replace(microsecond=0)
    at = [now]
    with open_database(str(there / "nights.db")) as database:
        keeping = Keeping(database.log(LOG), read_house(there), Place(now, lambda _: 0), lambda: at[0])

        def write(id: str, body: Body, ago: timedelta) -> None:
            at[0] = now - ago
            keeping.write(Record(id, "Ben", "tablet", at[0], at[0], 0, body))

        write("a", LotMade(OLD, "half_chicken", "12", food="poultry"), timedelta(days=3))
        write("b", LotMade("gone", "wings", "8", food="poultry"), timedelta(days=1))
        write("c", LotBecame("gone", "discarded"), timedelta(hours=20))
        write("e", LotMade(COLD, "half_chicken", "6", food="poultry"), timedelta(hours=9))
        for n, (hours, what) in enumerate(PACE):
            ago = timedelta(hours=hours)
            body = LotBecame(COLD, what) if isinstance(what, str) else read(f"e{n}", now - ago, *what)
            write(f"e{n}", body, ago)
        write("d", LotMade(NEW, "half_chicken", "8", food="poultry"), timedelta())
    return there


def test_labels_of_all_that_is_there_and_code_1_for_what_is_past_its_days(
    folder: Path, tmp_path: Path
) -> None:
    out = tmp_path / "labels.pdf"
    done = typed("labels", folder, "--open", "--out", out, "--json")
    assert done.returncode == 1, done.stderr
    told = json.loads(done.stdout)["labels"]
    assert [(one["lot"], one["number"]) for one in told] == [
        (lot, lot_number(lot)) for lot in (OLD, COLD, NEW)
    ]
    assert told[0]["warning"].startswith("DO NOT USE: last day was") and told[2]["warning"] == ""
    # The good raw lot goes first, not the one that may not be used; the one chilled lot is beside no other.
    assert [one["use_first"] for one in told] == [False, False, True]
    assert len(PdfReader(io.BytesIO(out.read_bytes())).pages) == 3


def test_one_lot_by_its_number_for_a_screen(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "label.html"
    done = typed("labels", folder, "--lot", lot_number(NEW), "--size", "70x50", "--out", out)
    assert done.returncode == 0, done.stderr
    assert out.read_text(encoding="utf-8").count("<figure") == 1
    again = typed("labels", folder, "--lot", NEW, "--size", "70x50", "--out", tmp_path / "again.html")
    assert again.returncode == 0
    assert (tmp_path / "again.html").read_bytes() == out.read_bytes()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--lot", "gone"), "a lot that is still there: it was served or discarded"),
        (("--lot", "nothing"), "a lot of the records, by name or number"),
        (("--open", "--size", "30x20"), "one of 50x30, 70x50, 100x50, a4"),
        ((), "a lot, or --open"),
        (("--open", "--records", "no.db"), "the house's records"),
    ],
)
def test_what_is_asked_wrongly_is_told_with_code_2(
    folder: Path, tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    done = typed("labels", folder, "--out", tmp_path / "labels.pdf", *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
    assert not (tmp_path / "labels.pdf").exists()


def test_a_print_is_pdf_or_for_a_screen_and_goes_where_it_can(folder: Path, tmp_path: Path) -> None:
    for name, said in (
        ("labels.docx", ".pdf, or .html"),
        ("no/such/labels.pdf", "a file that can be written"),
    ):
        done = typed("labels", folder, "--lot", NEW, "--out", tmp_path / name)
        assert done.returncode == 2 and said in done.stderr


def test_the_count_beside_the_records_and_the_morning_that_reads_it(folder: Path, tmp_path: Path) -> None:
    count, stock, trays = tmp_path / "count.csv", tmp_path / "stock.csv", tmp_path / "trays.csv"
    count.write_text(f"lot,portions\n{lot_number(NEW)},7\n{OLD},12\n{COLD},6\n", encoding="utf-8")
    trays.write_text(f"tray,made,balls,out\nA,{date.today() - timedelta(5)},12,\n", encoding="utf-8")
    done = typed("count", folder, "--counted", count, "--stock", stock, "--dough", trays, "--json")
    assert done.returncode == 1, done.stderr
    told = json.loads(done.stdout)
    assert [(one["lot"], one["told"], one["counted"], one["off"]) for one in told["lots"]] == [
        (OLD, 12, 12, 0), (COLD, 6, 6, 0), (NEW, 8, 7, -1),
    ]  # fmt: skip
    assert told["lots"][2]["could_be"]
    assert told["lots"][0]["not_stock"] == told["lots"][0]["do_not_use"]
    assert [one["not_stock"] for one in told["lots"][1:]] == [None, "it is raw, not chilled"]
    assert [(one["tray"], one["fate"]) for one in told["dough"]] == [("A", "bin")]
    made = (datetime.now(UTC) - timedelta(hours=9)).date()
    assert stock.read_text(encoding="utf-8") == f"item,made,portions\nchicken,{made},6\n"
    in_words = typed("count", folder, "--counted", count, "--stock", stock).stdout
    assert f"Left out for the morning: {NEW}: it is raw, not chilled" in in_words
    assert f"Left out for the morning: {OLD}: DO NOT USE: last day was" in in_words.replace("\n", " ")
    assert f"Left out for the morning: {COLD}" not in in_words
    plain = typed("count", folder)
    assert (
        plain.returncode == 0
        and "8 by the records" in plain.stdout
        and "DO NOT USE: last day was" in plain.stdout
    )
    assert typed("count", folder, "--stock", stock).returncode == 2


def test_a_card_says_the_acts_that_the_command_prints(tmp_path: Path) -> None:
    out = tmp_path / "card.pdf"
    done = typed("card", EXAMPLE, "pizza", "--out", out, "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    there = words_of(out.read_bytes()).replace("\u00a0", " ")
    assert [one for act in told["acts"] for one in (act["at"], act["words"]) if one not in there] == []
    assert told["acts"][0]["words"].startswith("in, at the ") and told["acts"][-1]["words"] == "pull"
    assert "Contains wheat, milk." in there and "Heat and flame at the mouth" in there


@pytest.mark.parametrize(("words", "said"), [(("piza",), "pizza"), (("pizza", "--size", "A3"), "A4, A5")])
def test_no_such_dish_and_no_such_paper(tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    done = typed("card", EXAMPLE, *words, "--out", tmp_path / "card.pdf")
    assert done.returncode == 2 and said in done.stderr
