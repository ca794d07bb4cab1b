"""`dish --table`: a dish over other stones and heats; the second time it is read, not run."""

from __future__ import annotations

import json
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from asked_once import once
from at_the_prompt import typed
from hearthtide.cli import dish_table
from hearthtide.planning.settled import settled

HOUSE = Path(__file__).parents[3] / "examples" / "brindlecote"


@pytest.fixture(autouse=True)
def own_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tables kept in a folder of the test's own; the oven they are of heated up once in this process."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr(dish_table, "settled", once(settled))


def dish(*words: str) -> CompletedProcess[str]:
    done = typed("dish", HOUSE, *words)
    assert "Traceback" not in done.stderr
    return done


def test_a_table_is_printed_kept_and_mended(tmp_path: Path):
    page = dish("strip_steak", "--table")
    assert page.returncode == 0, page.stderr
    assert "near 1" in page.stdout
    assert "temp it" in page.stdout
    (file,) = (tmp_path / "hearthtide" / "tables").iterdir()
    again = json.loads(dish("strip_steak", "--table", "--json").stdout)
    assert again["from_store"]
    assert "temp it" in again["cautions"][0] and "No rule set" in again["cautions"][-1]
    (stage,) = again["stages"]
    shape = (len(stage["kinds"]), len(stage["stone_C"]), len(stage["up_W_m2"]))
    for low, middle, high in zip(stage["seconds_low"], stage["seconds"], stage["seconds_high"], strict=True):
        assert low[0][0] < middle[0][0] < high[0][0]
    assert shape == (len(stage["seconds"]), len(stage["seconds"][0]), len(stage["seconds"][0][0]))
    file.write_bytes(file.read_bytes()[:-1])
    mended = dish("strip_steak", "--table", "--json")
    assert "damaged: made anew" in mended.stderr
    assert json.loads(mended.stdout)["stages"] == again["stages"]


def test_a_table_takes_no_reading():
    done = dish("strip_steak", "--table", "--probe", "5:00=40C")
    assert done.returncode == 2
    assert len(done.stderr.strip().splitlines()) == 1
    assert "--table" in done.stderr
