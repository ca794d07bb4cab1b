import shutil
from pathlib import Path

import pytest

GOOD_HOUSE = Path(__file__).parent / "good_house"


@pytest.fixture
def folder(tmp_path):
    """A copy of a good house that a test may spoil."""
    return Path(shutil.copytree(GOOD_HOUSE, tmp_path / "house"))
