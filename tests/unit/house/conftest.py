import shutil
from pathlib import Path

import pytest

from hearthtide.house.oven_checks import check_oven
from hearthtide.house.oven_design import design_of
from hearthtide.house.oven_file import OvenFile
from hearthtide.house.validate import validated
from hearthtide.house.yaml_lines import read_yaml

HERE = Path(__file__).parent


@pytest.fixture
def folder(tmp_path):
    """A copy of a good house that a test may spoil."""
    return Path(shutil.copytree(HERE / "good_house", tmp_path / "house"))


def read_oven(name, changes):
    """The oven in `ovens` with (old, new) texts exchanged, and what is found in it."""
    text = (HERE / "ovens" / f"{name}.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, f"{old!r} is not in {name}.yaml"
        text = text.replace(old, new, 1)
    document = read_yaml(text.encode("utf-8"), f"{name}.yaml")
    oven = validated(OvenFile, document)
    return (None, oven) if isinstance(oven, tuple) else (oven, tuple(check_oven(oven, document)))


@pytest.fixture
def findings():
    """What is found in an oven of `ovens` after changes."""
    return lambda name, *changes: read_oven(name, changes)[1]


@pytest.fixture
def design():
    """A good oven of `ovens`, after changes, as the model takes it."""

    def build(name, *changes):
        oven, found = read_oven(name, changes)
        assert found == ()
        return design_of(oven)

    return build


@pytest.fixture
def power_W(design):
    """The first flame's power of a good oven of `ovens` after changes."""
    return lambda name, *changes: design(name, *changes).levels[0].power_W
