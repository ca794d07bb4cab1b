"""`dish --table`: a dish over other stones and heats; the second time it is read, not run."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

HOUSE = Path(__file__).parents[3] / "examples" / "brindlecote"


def dish(store: Path, *words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "hearthtide.cli", "dish", str(HOUSE), *words]
    own = {**os.environ, "XDG_CACHE_HOME": str(store)}
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=own)
    assert "Traceback" not in done.stderr
    return done


def test_a_table_is_printed_kept_and_mended(tmp_path: Path):
    page = dish(tmp_path, "strip_steak", "--table")
    assert page.returncode == 0, page.stderr
    assert "near 1" in page.stdout
    assert "temp it" in page.stdout
    (file,) = (tmp_path / "hearthtide" / "tables").iterdir()
    again = json.loads(dish(tmp_path, "strip_steak", "--table", "--json").stdout)
    assert again["from_store"]
    assert "temp it" in again["cautions"][0] and "No rule set" in again["cautions"][-1]
    (stage,) = again["stages"]
    shape = (len(stage["kinds"]), len(stage["stone_C"]), len(stage["up_W_m2"]))
    for low, middle, high in zip(stage["seconds_low"], stage["seconds"], stage["seconds_high"], strict=True):
        assert low[0][0] < middle[0][0] < high[0][0]
    assert shape == (len(stage["seconds"]), len(stage["seconds"][0]), len(stage["seconds"][0][0]))
    file.write_bytes(file.read_bytes()[:-1])
    mended = dish(tmp_path, "strip_steak", "--table", "--json")
    assert "damaged: made anew" in mended.stderr
    assert json.loads(mended.stdout)["stages"] == again["stages"]


def test_a_table_takes_no_reading(tmp_path: Path):
    done = dish(tmp_path, "strip_steak", "--table", "--probe", "5:00=40C")
    assert done.returncode == 2
    assert len(done.stderr.strip().splitlines()) == 1
    assert "--table" in done.stderr
