import subprocess
import sys
from pathlib import Path

import pytest

from hearthtide.house import schema

COMMITTED = Path(__file__).parents[3] / "docs" / "schema"


@pytest.mark.parametrize("kind", schema.FILES)
def test_the_schema_in_the_docs_is_current(kind):
    assert (COMMITTED / f"{kind}.json").read_text(encoding="utf-8") == schema.schema_text(kind)


def test_no_schema_in_the_docs_is_left_over():
    assert {path.stem for path in COMMITTED.glob("*.json")} == set(schema.FILES)


def test_defaults_and_ranges_are_shown_as_a_cook_writes_them():
    night = schema.schema_of("night")["properties"]
    assert night["ambient"]["default"] == "25 C"
    assert night["ambient"]["description"] == "from -10 C to 50 C"
    oven = schema.schema_of("oven")
    assert oven["properties"]["diameter"]["description"] == "of a round hearth; from 60 cm to 250 cm"
    assert oven["properties"]["mouth_width"]["description"] == "from 20 cm to 120 cm"
    assert "from -180 deg to 180 deg" in oven["$defs"]["BurnerFile"]["properties"]["bearing"]["description"]
    burner = oven["$defs"]["BurnerFile"]["properties"]
    assert burner["share"]["description"].endswith("above 0 % to 100 %")
    assert oven["properties"]["wall_height"]["default"] == "0 cm"
    assert oven["$defs"]["DoorFile"]["properties"]["gap"]["default"] == "2 %"
    stage = schema.schema_of("dish")["$defs"]["StageFile"]["properties"]
    assert stage["flips"]["description"] == "above 0 % below 100 %"


def test_an_unknown_key_is_refused_in_every_part():
    for kind in schema.FILES:
        whole = schema.schema_of(kind)
        for part in [whole, *whole.get("$defs", {}).values()]:
            assert part.get("additionalProperties") is False or "properties" not in part


def test_the_module_writes_all_files(tmp_path):
    command = [sys.executable, "-m", "hearthtide.house.schema", str(tmp_path / "out")]
    subprocess.run(command, check=True, capture_output=True)
    assert {path.stem for path in (tmp_path / "out").iterdir()} == set(schema.FILES)
    assert subprocess.run(command[:-1], capture_output=True, check=False).returncode != 0
