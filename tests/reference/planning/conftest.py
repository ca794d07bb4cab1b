"""The small house stands beside the unit tests; these tests use it too."""

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[2] / "unit" / "planning"))
